"""Whole numbers from measured lengths, without the noise of floats."""

import math

from planlint.units import TOLERANCE


def whole_above(value: float) -> int:
    """The least whole number that is not below `value`: 2.4 m in steps of 0.6 m are 4, not 5 for a float's noise.

    >>> whole_above(2.4 / 0.6), whole_above(0.3 / 0.1), whole_above(3.01)
    (4, 3, 4)
    """
    return math.ceil(value - abs(value) * TOLERANCE)
