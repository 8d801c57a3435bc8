"""The way of a cable along the walls: as drawn, else worked out inside the installation zones, else along the walls.

A way that was worked out is what somebody who keeps to the habits of the trade would probably lay. Nobody drew it, and
what is buried may lie elsewhere: whoever shows one says so.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum
from typing import cast

from planlint.formulas.zones import distance_to_way
from planlint.model.rooms import Wall
from planlint.model.services import Point, Run
from planlint.model.ways import Stretch
from planlint.rule import Given
from planlint.sums.paths_in_zones import path_in_zones
from planlint.sums.working import Lacking
from planlint.sums.zones import LIMITS_OF_ZONES, has_zones, hole
from planlint.units import Length

LIMITS_OF_PATHS = LIMITS_OF_ZONES


class How(StrEnum):
    """How a way is known."""

    DRAWN = "drawn"
    IN_ZONES = "in-zones"
    ALONG_WALLS = "along-walls"


@dataclass(frozen=True, slots=True)
class CablePath:
    """The way of a run: straight stretches, each on one wall, from its beginning to its end."""

    run: Run
    stretches: tuple[Stretch, ...]
    how: How
    is_whole: bool
    """Whether the stretches lead from one end to the other: not from the supply, nor across a ceiling."""
    spread: Length | None
    """How far to either side it may lie where it keeps to the zones; None where it is drawn, or nobody can say."""

    @property
    def is_drawn(self) -> bool:
        """Whether the plan draws it; else it was worked out."""
        return self.how is How.DRAWN

    @property
    def said(self) -> str:
        """How it is known, and how far to trust it, in words."""
        if self.how is How.DRAWN:
            return "as drawn in the plan" if self.is_whole else "as drawn in the plan, which does not show all of it"
        if self.how is How.IN_ZONES:
            about = f", {self.spread} or so to either side" if self.spread else ""
            return f"not drawn: worked out inside the installation zones{about}; it may lie elsewhere"
        return "not drawn: worked out along the walls; it may lie anywhere between its two ends"

    @property
    def walls(self) -> tuple[Wall, ...]:
        """The walls that it passes, in the order in which it comes to them."""
        return tuple(dict.fromkeys(stretch.wall for stretch in self.stretches))

    def on(self, wall: Wall) -> tuple[Stretch, ...]:
        """Its stretches on one wall."""
        return tuple(stretch for stretch in self.stretches if stretch.wall is wall)

    def distance(self, wall: Wall, at: float, height: float) -> float | None:
        """How far (m) a spot of a wall lies from it there, by heights as the room measures them; None on other walls.

        It is measured to the middle of the cable, in the plane of the wall.
        """
        return min((distance_to_way((at, height), one.start, one.end) for one in self.on(wall)), default=None)


def path_of(run: Run, given: Given) -> CablePath | Lacking:
    """The way of a run; made once in a run of the program."""
    return given.once(("path", run), lambda: _path_of(run, given))


def _path_of(run: Run, given: Given) -> CablePath | Lacking:
    if run.drawn:
        return CablePath(run, run.drawn.stretches, How.DRAWN, run.is_drawn_whole, None)
    legs = path_in_zones(run, given) if has_zones(given) else None
    if legs:
        spread = Length(max(half for _, half in legs), "mm")
        return CablePath(run, tuple(leg for leg, _ in legs), How.IN_ZONES, is_whole=True, spread=spread)
    if run.length_from_walls is not None:
        return CablePath(run, tuple(_along_walls(run)), How.ALONG_WALLS, is_whole=True, spread=None)
    return Lacking(f"the way of the cable to {run.end_name}", (run.key("path"),))


def _along_walls(run: Run) -> Iterator[Stretch]:
    """The way by which the model works out its length: up to the highest head of a door on its way, and along."""
    start, end = cast("tuple[Point, Point]", (run.start, run.end))
    walls = cast("list[Wall]", list(run.surfaces))
    spots = [(point.wall, float(point.at or 0.0), float(point.height or 0.0)) for point in (start, end)]
    # The walls are in the order of the walk, and the run may go against it.
    against = spots[0][0] is not walls[0] or (len(walls) == 1 and spots[0][1] > spots[1][1])
    (_, first, low), (_, last, high) = reversed(spots) if against else spots
    ends = [*(float(wall.length or 0.0) for wall in walls[:-1]), last]
    passed = list(zip(walls, [first, *(0.0 for _ in walls[1:])], ends, strict=True))
    gaps = [(gap, left, right) for wall, left, right in passed for gap in map(hole, wall.openings) if gap]
    heads = [gap.top[0] for gap, left, right in gaps if gap.bottom[0] <= 0 and gap.left < right and gap.right > left]
    level = max(low, high, *heads) if heads else low
    legs = [Stretch(walls[0], (first, low), (first, level))]
    legs += [Stretch(wall, (left, level), (right, level)) for wall, left, right in passed]
    legs += [Stretch(walls[-1], (last, level), (last, high))]
    if against:
        legs = [Stretch(leg.wall, leg.end, leg.start) for leg in reversed(legs)]
    yield from (leg for leg in legs if leg.start != leg.end)
