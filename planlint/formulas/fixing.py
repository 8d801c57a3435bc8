"""How many fixings hold a frame, how many screws a board, and how long the bead around an opening is.

All values are lengths in metres. Each function refuses a value outside its range with a ValueError that names the
argument and the range; the ranges are our own decision, there to catch a wrong unit.
"""

from typing import Final

from planlint.formulas.counting import whole_above
from planlint.formulas.ranges import Range
from planlint.units import at_most

SIDE: Final = Range(0.001, 100, "m")
SPACING: Final = Range(10, 5000, "mm", 1e-3)
ENDS: Final = Range(0, 1000, "mm", 1e-3)

SINGLE: Final = 0.45
"""[m] Up to this length one fixing holds the side of a frame."""
EDGES: Final = 0.020
"""[m] What screws keep off both edges of a board together."""


def frame_fixings(length: float, from_corner: float, spacing: float, single_up_to: float = SINGLE) -> int:
    """Fixings along one side of a frame: n = 2 + max(0, ⌈(L - 2e)/s⌉ - 1); 1 where L ≤ 450 mm.

    `length` L [m] of the side, 1 mm to 100 m; `from_corner` e [m], 0 to 1000 mm; `spacing` s [m], the most between two,
    10 to 5000 mm; `single_up_to` [m], 0 to 1000 mm. Source: an installation page of the trade (corner distance,
    spacing, and one fixing up to 450 mm); the count is geometry.

    >>> [frame_fixings(side, 0.150, 0.700) for side in (0.450, 0.600, 1.200, 1.600, 1.800)]
    [1, 2, 3, 3, 4]
    """
    SIDE.admit(length=length)
    ENDS.admit(from_corner=from_corner, single_up_to=single_up_to)
    SPACING.admit(spacing=spacing)
    if at_most(length, single_up_to):
        return 1
    return 2 + max(0, whole_above((length - 2 * from_corner) / spacing) - 1)


def bead_length(width: float, height: float, *, has_sill: bool = False) -> float:
    """Bead around the edges of an opening [m]: 2·h + w, and w again where the sill has an edge too.

    `width` w and `height` h [m], 1 mm to 100 m. Source: geometry.
    """
    SIDE.admit(width=width, height=height)
    return 2 * height + width * (2 if has_sill else 1)


def supports(width: float, spacing: float) -> int:
    """Battens or studs behind a board: ⌈W/s⌉ + 1, one at each edge and no two further apart than `spacing`.

    `width` W [m], across the supports, 1 mm to 100 m; `spacing` s [m], 10 to 5000 mm. Source: geometry.
    """
    SIDE.admit(width=width)
    SPACING.admit(spacing=spacing)
    return whole_above(width / spacing) + 1


def screws(supported_by: int, length: float, spacing: float, edges: float = EDGES) -> int:
    """Screws in a board: n = supports·(⌈(L - 20 mm)/s⌉ + 1).

    `supported_by`, how many supports it is screwed to, 0 or more; `length` L [m], along them, 1 mm to 100 m; `spacing`
    s [m], the most between two, 10 to 5000 mm; `edges` [m], kept free at both ends together, 0 to 1000 mm.
    Source: geometry, as the reference sheets of the trade count them.

    >>> screws(supports(1.200, 0.600), 2.600, 0.250)
    36
    """
    if supported_by < 0:
        raise ValueError(f"supported_by is {supported_by}, and has to be 0 or more")
    SIDE.admit(length=length)
    SPACING.admit(spacing=spacing)
    ENDS.admit(edges=edges)
    return supported_by * (max(0, whole_above((length - edges) / spacing)) + 1)
