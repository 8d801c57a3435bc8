"""The walls of a room in plan, as far as they are known, and where they lie on paper.

The first wall that is called after a side of the sky lies on that side of the page; where none is, the first wall heads
up the page, with the room on its right.
"""

import math
import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations, pairwise
from typing import Final

from planlint import geometry
from planlint.drawing.paper import Paper, scale_for
from planlint.model.rooms import Room, Wall
from planlint.sheet_records import Spot
from planlint.sums.ceiling_spots import SHALLOW
from planlint.units import Length

LARGEST: Final = 25
"""The largest scale of a room."""
WIDEST: Final = 132.0
"""[mm] What the walls take on paper at most, so that names fit around them."""
HIGHEST: Final = 170.0
BEYOND: Final = 0.5
"""[m] own decision"""
_SIDES: Final = {"west": 0.0, "north": math.pi / 2, "east": math.pi, "south": -math.pi / 2}
"""How one heads along the wall on each side, with the room on the right hand."""


@dataclass(frozen=True, slots=True)
class Leg:
    """A wall in plan, in metres from where the walk begins; `heading` is from the page's up, to the right positive."""

    wall: Wall
    start: geometry.Vector
    heading: float
    length: float

    def at(self, along: float, out: float = 0.0) -> geometry.Vector:
        """The spot so far from the wall's left end, and so far off it into the room."""
        across, up = math.sin(self.heading), math.cos(self.heading)
        return self.start[0] + along * across + out * up, self.start[1] + along * up - out * across

    @property
    def end(self) -> geometry.Vector:
        """Its right end."""
        return self.at(self.length)

    def reaches(self, along: float) -> bool:
        """Whether a spot lies on it, or so little beyond its ends that it is still drawn, for the slip to be seen."""
        return -BEYOND <= along <= self.length + BEYOND

    @property
    def inward(self) -> geometry.Vector:
        """The direction that leads from it straight into the room."""
        return math.cos(self.heading), -math.sin(self.heading)


@dataclass(frozen=True, slots=True)
class Plotted:
    """The walls of a room on paper; those that cannot be placed are not among `legs`."""

    room: Room
    legs: tuple[Leg, ...]
    paper: Paper
    is_whole: bool
    """Whether every wall of a room that closes is placed."""

    @property
    def gap(self) -> float:
        """How far (m) the walk misses its beginning where it should close; 0 elsewhere."""
        return math.dist(self.legs[-1].end, self.legs[0].start) if self.is_whole else 0.0

    def spot(self, place: geometry.Vector) -> Spot:
        """Where a place of the plan lies on paper."""
        return self.paper.spot(*place)

    def place(self, spot: Spot) -> geometry.Vector:
        """Which place of the plan lies at a spot on paper."""
        share = self.paper.scale / 1000
        return (spot[0] - self.paper.left) * share, (self.paper.base - spot[1]) * share

    def on(self, leg: Leg, along: float, out: float = 0.0, off: float = 0.0) -> Spot:
        """A spot along a wall, `out` metres off it into the room and `off` millimetres more."""
        return self.spot(leg.at(along, out + off * self.paper.scale / 1000))

    def holds(self, place: geometry.Vector) -> bool:
        """Whether a place lies in the room, as far as its walls tell."""
        corners = [leg.start for leg in self.legs] + ([] if self.is_whole else [self.legs[-1].end])
        crossings = 0
        for (left, low), (right, high) in pairwise((*corners, corners[0])):
            if (low > place[1]) != (high > place[1]):
                crossings += place[0] < left + (place[1] - low) / (high - low) * (right - left)
        return crossings % 2 == 1

    def leg(self, wall: Wall) -> Leg | None:
        """Where a wall lies; None where it is not placed."""
        return next((leg for leg in self.legs if leg.wall is wall), None)


def plotted(room: Room) -> Plotted | None:
    """The walls of a room on paper; None where not even one of them has a length."""
    legs = _legs(room)
    if not legs:
        return None
    corners = [spot for leg in legs for spot in (leg.start, leg.end)]
    across, up = zip(*corners, strict=True)
    wide, high = max(across) - min(across), max(up) - min(up)
    scale = scale_for(wide, high, width=WIDEST, height=HIGHEST, largest=LARGEST)
    paper = Paper(scale, left=-min(across) * 1000 / scale, base=max(up) * 1000 / scale)
    return Plotted(room, legs, paper, bool(room.is_closed) and len(legs) == len(room.walls))


@dataclass(frozen=True, slots=True)
class Taped:
    """A place by how far it is off two walls, square to each."""

    place: geometry.Vector
    distances: tuple[tuple[Leg, Length], tuple[Leg, Length]]


def taped(plot: Plotted, distances: Iterable[tuple[Wall, Length]]) -> Taped | None:
    """The place that is so far off walls; None where no two of them are placed and meet."""
    known = [(leg, distance) for wall, distance in distances if (leg := plot.leg(wall))]
    for (one, near), (other, far) in combinations(known, 2):
        (east, north), (other_east, other_north) = one.inward, other.inward
        cross = east * other_north - other_east * north
        if abs(cross) < SHALLOW:
            continue
        first = east * one.start[0] + north * one.start[1] + near
        second = other_east * other.start[0] + other_north * other.start[1] + far
        place = (first * other_north - second * north) / cross, (east * second - other_east * first) / cross
        return Taped(place, ((one, near), (other, far)))
    return None


def _legs(room: Room) -> tuple[Leg, ...]:
    """The longest row of walls that can be placed one after the other."""
    fitted = room.fitted
    if fitted:
        rows = [list(zip(room.walls, fitted.lengths, fitted.turns, strict=True))]
    else:
        rows = [[(wall, wall.length or 0.0, wall.turn or 0.0) for wall in row] for row in _rows(room)]
    longest = max(rows, key=len, default=[])
    return tuple(_walked(longest))


def _rows(room: Room) -> list[list[Wall]]:
    """Walls that hang together: each has a length, and each but the last a turn."""
    rows: list[list[Wall]] = []
    before: Wall | None = None
    for wall in room.walls:
        if wall.length is not None:
            if before is not None and before.turn is not None:
                rows[-1].append(wall)
            else:
                rows.append([wall])
        before = wall if wall.length is not None else None
    goes_round = room.is_closed and len(rows) > 1 and room.walls[-1].turn is not None
    if goes_round and rows[-1][-1] is room.walls[-1] and rows[0][0] is room.walls[0]:
        rows[0] = rows.pop() + rows[0]
    return rows


def _walked(row: Sequence[tuple[Wall, float, float]]) -> Iterator[Leg]:
    start, heading = (0.0, 0.0), _first_heading(row)
    for wall, length, turn in row:
        leg = Leg(wall, start, heading, length)
        yield leg
        start, heading = leg.end, heading + turn


def _first_heading(row: Sequence[tuple[Wall, float, float]]) -> float:
    """How the row is turned so that the first wall with a side of the sky in its name lies on that side."""
    turned = 0.0
    for wall, _, turn in row:
        sides = [side for side in _SIDES if side in re.split(r"[-_]", wall.name.casefold())]
        if len(sides) == 1:
            return _SIDES[sides[0]] - turned
        turned += turn
    return 0.0
