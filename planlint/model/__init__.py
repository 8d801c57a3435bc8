"""A frozen, typed, linked view of a valid plan; each thing knows its place."""
