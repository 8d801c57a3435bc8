"""How plumb the ends of a wall stand, as far as its lengths at the floor and at the ceiling tell."""

from dataclasses import dataclass

from planlint.formulas.flatness import plumb_limit
from planlint.model.rooms import Wall
from planlint.sums.working import Lacking, tidy
from planlint.units import Length


@dataclass(frozen=True, slots=True)
class Lean:
    """How much longer or shorter a wall is at the top, and what two ends of new work may make of it together."""

    by: Length
    """Above 0 where it is longer at the top."""
    usual: Length


def lean(wall: Wall) -> Lean | Lacking | None:
    """What two lengths of a wall say, each end by itself out of plumb or not; None where they are one."""
    if wall.length is None or wall.length_at_top is None or wall.length == wall.length_at_top:
        return None
    heights = [height for height in (wall.height_left, wall.height_right) if height is not None]
    if not heights:
        return Lacking("how high the wall is", ("height",))
    by = wall.length.like(tidy(wall.length_at_top - wall.length))
    try:
        return Lean(by, by.like(2 * plumb_limit(max(heights))))
    except ValueError as error:
        return Lacking(str(error), ())
