"""What the trade works out: pure functions on floats, each with its formula, its units, its range and its source."""
