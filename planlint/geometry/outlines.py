"""Plane geometry of a room: its outline walked from wall to wall, and ways along its walls.

Walls are walked clockwise as seen from above, with the wall on the left hand. Coordinates are metres, the
first wall starts at the origin and heads north (+y). Angles are radians; a turn to the right is positive.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from planlint.units import Angle

Vector = tuple[float, float]

FULL_TURN = Angle(2 * math.pi, "°")


@dataclass(frozen=True, slots=True)
class Outline:
    """The line that the walls of a room draw on its floor (or at its ceiling).

    `corners` has one more entry than there are walls: wall i runs from corner i to corner i + 1. In a closed
    room the last corner should fall on the first.
    """

    corners: tuple[Vector, ...]
    turned: Angle
    """How far one has turned after the last wall's turn: a full turn to the right where a room closes."""

    @property
    def misclosure(self) -> float:
        """Distance between where the walk began and where it ended, in metres."""
        return math.dist(self.corners[0], self.corners[-1])

    @property
    def gap(self) -> Vector:
        """Where the walk ended as seen from its beginning: metres east, metres north."""
        (east, north), (start_east, start_north) = self.corners[-1], self.corners[0]
        return east - start_east, north - start_north

    @property
    def once_round(self) -> Angle:
        """What the turns of a closed room add up to."""
        return FULL_TURN

    @property
    def swing(self) -> float:
        """How far the first wall's far end is missed (m) where the turns are not once round to the right."""
        return abs(self.turned - FULL_TURN) * math.dist(*self.corners[:2])

    @property
    def area(self) -> float:
        """Area inside the outline in square metres (shoelace formula); positive where walked clockwise."""
        pairs = zip(self.corners, [*self.corners[1:], self.corners[0]], strict=True)
        return sum(x2 * y1 - x1 * y2 for (x1, y1), (x2, y2) in pairs) / 2

    def crossings(self) -> list[tuple[int, int]]:
        """Pairs of walls (by index) that run through each other or fold back on each other."""
        legs = list(zip(self.corners, self.corners[1:], strict=False))
        last = len(legs) - 1
        return [
            (first, second)
            for first in range(len(legs))
            for second in range(first + 1, len(legs))
            if _collide(legs[first], legs[second], joined=second == first + 1 or (first, second) == (0, last))
        ]


def walk(lengths: Sequence[float], turns: Sequence[float]) -> Outline:
    """Outline of walls of `lengths` (m), each followed by its turn (rad, right positive).

    The last wall's turn leads back to the first; it counts for `turned` only.

    >>> str(walk([4, 3, 4, 3], [math.pi / 2] * 4).turned)
    '360°'
    """
    heading = 0.0
    x = y = 0.0
    corners = [(x, y)]
    for length, turn in zip(lengths, turns, strict=True):
        x += length * math.sin(heading)
        y += length * math.cos(heading)
        heading += turn
        corners.append((x, y))
    return Outline(tuple(corners), FULL_TURN.like(heading))


Leg = tuple[Vector, Vector]


def _collide(first: Leg, second: Leg, *, joined: bool) -> bool:
    """Whether two walls touch, other than at the corner that they share where they are `joined`."""
    (a, b), (c, d) = first, second
    sides = (_side(c, d, a), _side(c, d, b), _side(a, b, c), _side(a, b, d))
    if sides[0] * sides[1] < 0 and sides[2] * sides[3] < 0:
        # Walls that meet at a corner may overshoot each other by the misclosure; that is no crossing.
        return not joined
    if joined:
        # Two walls in one line fold back on each other only where they head in opposite directions.
        along = (b[0] - a[0]) * (d[0] - c[0]) + (b[1] - a[1]) * (d[1] - c[1])
        return sides == (0, 0, 0, 0) and along < 0
    return any(
        side == 0 and _within(leg, point)
        for side, leg, point in zip(sides, (second, second, first, first), (a, b, c, d), strict=True)
    )


def _side(start: Vector, end: Vector, point: Vector) -> float:
    """On which side of the line from start to end a point lies: 0 on it (to a micrometre), else the sign."""
    length = math.dist(start, end)
    twice_area = (end[0] - start[0]) * (point[1] - start[1]) - (end[1] - start[1]) * (point[0] - start[0])
    distance = twice_area / length if length else 0.0
    return 0.0 if abs(distance) < 1e-6 else math.copysign(1.0, distance)  # noqa: PLR2004 - a micrometre


def _within(leg: Leg, point: Vector) -> bool:
    (x1, y1), (x2, y2) = leg
    return min(x1, x2) - 1e-6 <= point[0] <= max(x1, x2) + 1e-6 and min(y1, y2) - 1e-6 <= point[1] <= max(y1, y2) + 1e-6


def level(spots: Sequence[Vector], at: float) -> float:
    """Height at a position on the line through `spots` (position, height); beyond its ends it stays level.

    >>> level([(0, 2.4), (2, 3.4), (4, 2.4)], 3)
    2.9
    """
    for (left, low), (right, high) in pairwise(spots):
        if at <= left:
            return low
        if at < right:
            return low + (high - low) * (at - left) / (right - left)
    return spots[-1][1]


@dataclass(frozen=True, slots=True)
class Spot:
    """A place on the walls of a room: how far along the walk (m), and how high (m)."""

    along: float
    height: float


@dataclass(frozen=True, slots=True)
class Doorway:
    """An opening down to the floor, which a cable can only pass over its head."""

    start: float
    end: float
    head: float


@dataclass(frozen=True, slots=True)
class Way:
    """A way along the walls: its length in metres, and whether it goes past the walk's first corner."""

    length: float
    passes_start: bool


def way_along_walls(start: Spot, end: Spot, around: float, doorways: Sequence[Doorway]) -> Way:
    """The shorter way along the walls of a closed room from one spot to another.

    `around` is the whole way round in metres. Where the way meets a doorway it goes up to the highest head on
    its way and down again; otherwise it climbs the difference in height. Source: own decision (DEVELOPERS.md).
    """
    first, last = sorted((start, end), key=lambda spot: spot.along)
    inner = [door for door in doorways if door.start < last.along and door.end > first.along]
    outer = [door for door in doorways if door not in inner]
    direct = last.along - first.along
    return min(
        Way(direct + _climb(first, last, inner), passes_start=False),
        Way(around - direct + _climb(first, last, outer), passes_start=True),
        key=lambda way: way.length,
    )


def _climb(first: Spot, last: Spot, doorways: Sequence[Doorway]) -> float:
    head = max((door.head for door in doorways), default=0.0)
    return max(abs(first.height - last.height), 2 * head - first.height - last.height)
