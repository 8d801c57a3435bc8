"""Draws rooms, walls and build-ups: from the model to marks on paper (records), the layout of labels included."""
