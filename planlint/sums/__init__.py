"""Sums over a thing of a plan, worked step by step: read by rules, and by the commands that show them."""
