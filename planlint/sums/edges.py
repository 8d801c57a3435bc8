"""What a hole in a wall has to keep clear of: the ends of its finished face, and its battens."""

import math
from collections.abc import Iterator
from dataclasses import dataclass

from planlint.model.buildups import Lining
from planlint.model.rooms import Wall
from planlint.sums.faces import lining_depth
from planlint.sums.working import Lacking

EXACT = 1e-9
"""A batten that falls on the wall's end counts, whatever the last digit of a float says."""

SHALLOW = math.sin(math.radians(5))
"""Walls that turn by less go on in one line for a box (own decision): there is no corner to be clear of."""


@dataclass(frozen=True, slots=True)
class End:
    """An end of a wall where it meets another at a corner."""

    is_left: bool
    wall: Wall
    neighbour: Wall
    turn: float
    """How far one turns there (rad), to the right positive."""

    def moved(self, height: float) -> float | Lacking:
        """How far inside the bare wall's end the finished face ends, at a height above the bare floor (m).

        (t_neighbour - t_own · cos θ) / sin θ: below 0 at an outside corner, where the face reaches past the wall.
        Source: design, walls; geometry.
        """
        own, other = _stood(self.wall, height, left=self.is_left), _stood(self.neighbour, height, left=not self.is_left)
        if isinstance(other, Lacking):
            return other
        if math.isclose(math.cos(self.turn), 0.0, abs_tol=1e-9):
            return other / math.sin(self.turn)
        return own if isinstance(own, Lacking) else (other - own * math.cos(self.turn)) / math.sin(self.turn)


def ends_of(wall: Wall) -> Iterator[End | tuple[bool, Lacking]]:
    """The corners at a wall's ends; for an end of which it is not recorded how it goes on: whether left, and what."""
    room = wall.room
    here = room.walls.index(wall)
    for is_left in (True, False):
        if here == (0 if is_left else len(room.walls) - 1) and not room.is_closed:
            if room.is_closed is None:
                yield is_left, Lacking("whether the walls go all the way round", (f"{room.place}.outline",))
            continue
        neighbour = room.walls[here - 1] if is_left else room.walls[(here + 1) % len(room.walls)]
        before = neighbour if is_left else wall
        if before.turn is None:
            yield is_left, Lacking(f"how the walk goes on after {before.name}", (f"{before.place}.then",))
        elif abs(math.sin(before.turn)) > SHALLOW:
            yield End(is_left, wall, neighbour, before.turn)


def battens_along(wall: Wall, lining: Lining) -> tuple[float, ...] | Lacking:
    """The centres of the battens, in metres from the wall's left end: as recorded, else one at every spacing."""
    if wall.battens_at is not None:
        return wall.battens_at
    spacing = lining.battens.spacing if lining.battens else None
    missing = {f"{lining.place}.battens.spacing": spacing, f"{wall.place}.length": wall.length}
    if spacing is None or wall.length is None:
        keys = tuple(key for key, value in missing.items() if value is None)
        return Lacking("where the battens stand", keys)
    return tuple(number * spacing for number in range(math.floor(wall.length / spacing + EXACT) + 1))


def _stood(wall: Wall, height: float, *, left: bool) -> float | Lacking:
    """How far what is put on a wall stands out at one of its ends, at a height above the bare floor (m)."""
    if wall.undecided:
        return Lacking(f"whether and how {wall.name} will be lined", (f"{wall.place}.lining",))
    if wall.extent is None:
        return lining_depth(wall.lining) if wall.lining else 0.0
    at = 0.0 if left else wall.length
    if at is None:
        return Lacking(f"how long {wall.name} is", (f"{wall.place}.length",))
    lining = wall.lining_at(at, height)
    return lining_depth(lining) if lining else 0.0
