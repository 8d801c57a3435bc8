"""The way of a cable as a plan draws it, spot by spot, taken apart into straight stretches of one wall each."""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from planlint.model.rooms import Wall

WaySpot = tuple[Wall, float, float | None]
"""A wall, metres from its left end, and the height in metres as its room measures heights; None where not given."""


@dataclass(frozen=True, slots=True)
class Stretch:
    """A straight part of a way on one wall: (metres from the wall's left end, metres up as its room measures them)."""

    wall: Wall
    start: tuple[float, float]
    end: tuple[float, float]

    @property
    def length(self) -> float:
        """Its length in metres."""
        return math.dist(self.start, self.end)


@dataclass(frozen=True, slots=True)
class DrawnWay:
    """A way as drawn: its stretches, and whether these lead from its first spot to its last without a gap.

    A gap is where a height or the length of a wall between two spots is not known, or where the way leaves the walls
    of a room other than to the other face of one.
    """

    stretches: tuple[Stretch, ...]
    is_whole: bool
    through: float
    """Metres on which it goes through walls to their other face."""

    @property
    def length(self) -> float:
        """Length in metres of what is known of it."""
        return self.through + sum(stretch.length for stretch in self.stretches)


def follow(spots: Sequence[WaySpot]) -> DrawnWay:
    """The way from spot to spot: straight on a wall, the shorter way round the corners of a room, through a wall."""
    stretches: list[Stretch] = []
    is_whole, through = True, 0.0
    for start, end in pairwise(spots):
        legs = _legs(start, end)
        if legs is not None:
            stretches += legs
        elif (thickness := _through(start, end)) is not None:
            through += thickness
        else:
            is_whole = False
    return DrawnWay(tuple(stretches), is_whole, through)


def _legs(start: WaySpot, end: WaySpot) -> list[Stretch] | None:
    """The straight stretches between two spots on the walls of one room; None where they are not known."""
    (first, at, low), (last, to, high) = start, end
    if low is None or high is None or first.room is not last.room:
        return None
    walls = first.room.walls
    begin, stop = walls.index(first), walls.index(last)
    if begin == stop:
        return [Stretch(first, (at, low), (to, high))] if (at, low) != (to, high) else []
    closed = first.room.is_closed
    onward = _round(walls[begin:] + walls[: stop + 1] if begin > stop else walls[begin : stop + 1], at, to)
    # The other way round is the same walk from the other end.
    back = _round(walls[stop:] + walls[: begin + 1] if stop > begin else walls[stop : begin + 1], to, at)
    ways = [
        way
        for way, wraps in ((onward, begin > stop), (back and [(w, b, a) for w, a, b in reversed(back)], stop > begin))
        if way and (closed or not wraps)
    ]
    if not ways:
        return None
    way = min(ways, key=lambda way: sum(abs(right - left) for _, left, right in way))
    return list(_climbing(way, low, high))


def _round(walls: Sequence[Wall], at: float, to: float) -> list[tuple[Wall, float, float]] | None:
    """From `at` on the first of the walls, walked on, to `to` on the last: what is passed of each of them."""
    lengths = [wall.length for wall in walls[:-1]]
    known = [float(length) for length in lengths if length is not None]
    if len(known) < len(lengths):
        return None
    starts, ends = [at, *(0.0 for _ in known)], [*known, to]
    return list(zip(walls, starts, ends, strict=True))


def _climbing(way: Sequence[tuple[Wall, float, float]], low: float, high: float) -> Iterator[Stretch]:
    """The stretches of a way that climbs evenly from one height to another."""
    whole = sum(abs(right - left) for _, left, right in way)
    height, passed = low, 0.0
    for wall, left, right in way:
        passed += abs(right - left)
        after = low + (high - low) * passed / whole if whole else high
        if (left, height) != (right, after):
            yield Stretch(wall, (left, height), (right, after))
        height = after


def _through(start: WaySpot, end: WaySpot) -> float | None:
    """How thick the wall is through which a way goes to its other face; None where it does not, or nobody knows."""
    (wall, *_), (other, *_) = start, end
    if wall.other_face is None or wall.other_face.wall is not other:
        return None
    bases = (wall.base, other.base)
    return next((float(base.thickness) for base in bases if base and base.thickness is not None), None)
