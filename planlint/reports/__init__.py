"""Reports: each a pure function from the record of an inspection to a text."""
