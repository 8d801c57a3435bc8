"""Lengths on a grid of 0.1 mm, so that what fits is decided in whole numbers."""

from math import isfinite

__all__ = ["STEPS", "metres", "steps"]

STEPS = 10_000
"""Steps in a metre."""


def steps(length: float, what: str, least: int = 1) -> int:
    """A length in metres as steps of the grid; ValueError, naming `what`, where it is no length."""
    if not isfinite(length) or (number := round(length * STEPS)) < least:
        raise ValueError(f"{what} is {length:g} m, and has to be {'at least 0.1 mm' if least else '0 m or more'}")
    return number


def metres(number: int) -> float:
    """Steps of the grid in metres."""
    return number / STEPS
