"""How far a surface may be out of plane, out of plumb or out of square in new work.

All values are lengths in metres. Each function refuses a value outside its range with a ValueError that names the
argument and the range. Source of all of it: DIN 18202, Tables 2 and 3, as several public pages quote them; the standard
itself was not read. Old walls are outside of it: it tells what a new lining may show, not what the wall behind it is.
"""

import math
from enum import StrEnum
from itertools import pairwise
from typing import Final

from planlint.formulas.ranges import Range
from planlint.units import TOLERANCE, at_most

APART: Final = Range(0.1, 15, "m")
"""[m] The table begins at 0.1 m; further apart than 15 m a rod tells nothing in a room."""
NOMINAL: Final = Range(0.001, 100, "m")


class FlatnessRow(StrEnum):
    """A row of the table of flatness."""

    RAW_WALL = "raw wall"
    """Row 5: walls and ceilings that are not finished."""
    FINISHED_WALL = "finished wall"
    """Row 6: finished walls, linings, suspended ceilings."""
    FINE_WALL = "fine wall"
    """Row 7: as row 6, where more is asked for."""
    FINISHED_FLOOR = "finished floor"
    """Row 3."""


_APART: Final = (0.1, 1, 4, 10, 15)  # m between the points on which the rod lies
_GAPS: Final = {  # mm
    FlatnessRow.RAW_WALL: (5, 10, 15, 25, 30),
    FlatnessRow.FINISHED_WALL: (3, 5, 10, 20, 25),
    FlatnessRow.FINE_WALL: (2, 3, 8, 15, 20),
    FlatnessRow.FINISHED_FLOOR: (2, 4, 10, 12, 15),
}
_OFFSETS: Final = ((0.5, 3), (1, 6), (3, 8), (6, 12), (15, 16), (30, 20))  # m, mm


def flatness_limit(row: FlatnessRow, apart: float) -> float:
    """Deepest gap under a rod that lies on two high points [m]: linear between the columns, rounded to whole mm.

    `row` of the table; `apart` [m], between the two points, 0.1 to 15 m. A gap says nothing without its distance.
    Source: DIN 18202, Table 3, as quoted. One page prints 2 mm for row 7 at 0.6 m, where the line gives 3 (2.56).

    >>> [round(1000 * flatness_limit(FlatnessRow.FINISHED_WALL, apart)) for apart in (1, 2, 2.5)]
    [5, 7, 8]
    """
    APART.admit(apart=apart)
    columns = list(zip(_APART, _GAPS[row], strict=True))
    (start, first), (end, last) = next(pair for pair in pairwise(columns) if at_most(apart, pair[1][0]))
    gap = first + (last - first) * (apart - start) / (end - start)
    return math.floor(gap * (1 + TOLERANCE) + 1 / 2) / 1000


def plumb_limit(size: float) -> float:
    """How far one end may be off plumb, level or square against the other [m]: a step for each range of sizes.

    `size` [m], nominal length or height, 1 mm to 100 m. Source: DIN 18202, Table 2, as quoted.

    >>> round(1000 * plumb_limit(2.60))
    8
    """
    NOMINAL.admit(size=size)
    return next((offset for most, offset in _OFFSETS if at_most(size, most)), 30) / 1000
