"""The way of a cable that follows the installation zones: the shortest along the middles of the zones of a room.

From a point it goes straight up or down to a level zone, along that, round the corners, over doors where a zone leads
over them, from one level zone to another in the upright zones, and never through the hole of an opening.
Source: own decision; by how DIN 18015-3 and BS 7671 have cables laid.
"""

import math
from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from heapq import heappop, heappush
from itertools import count, pairwise

from planlint.formulas.zones import Spot
from planlint.model.rooms import Room, Wall
from planlint.model.services import Point, Run
from planlint.model.ways import Stretch
from planlint.rule import Given
from planlint.sums.zones import hole, zones_of

_Node = tuple[float, float]
"""A spot of a room's walls laid out flat: metres along the walk, metres up, both without the noise of floats."""


@dataclass(frozen=True, slots=True)
class _Line:
    """A line that a cable may follow on one wall: the middle of a zone, or straight up from a point."""

    wall: Wall
    start: Spot
    end: Spot
    half: float
    """Half the width of its zone."""


_Leg = tuple[Stretch, float]
"""A stretch, and half the width of the zone that it follows."""


def path_in_zones(run: Run, given: Given) -> list[_Leg] | None:
    """The shortest way between two points on the walls of a room that follows the zones; None where there is none."""
    start, end = run.start, run.end
    if start is None or end is None or start.on.room is not end.on.room or not start.on.room.starts:
        return None
    spots = [spot for spot in (_spot(start), _spot(end)) if spot]
    if len(spots) == 1 or not spots:
        return None
    room = start.on.room
    heights = [height for _, (_, height) in spots]
    level = [line for wall in room.walls for line in _level_lines(wall, heights, given)]
    upright = [line for wall in room.walls for line in _upright_lines(wall, given)]
    upright += [line for wall, spot in spots for line in _from_point(wall, spot, level)]
    net = _Net(room)
    for line in level:
        met = (_meeting(line, other) for other in upright if other.wall is line.wall)
        net.add(line, (line.start, *filter(None, met), line.end))
    for line in upright:
        met = (_meeting(other, line) for other in level if other.wall is line.wall)
        own = (spot for wall, spot in spots if wall is line.wall and _is_on(line, spot))
        net.add(line, (*filter(None, met), *own))
    return net.shortest(*spots)


def _spot(point: Point) -> tuple[Wall, Spot] | None:
    if point.wall is None or point.at is None or point.height is None:
        return None
    return point.wall, (float(point.at), float(point.height))


def _level_lines(wall: Wall, heights: Sequence[float], given: Given) -> Iterator[_Line]:
    """The middles of its level zones; a zone that holds one of the ends is followed at that end's height."""
    for placed in zones_of(wall, given).level():
        zone = placed.zone
        if placed.keys or not math.isfinite(zone.right):
            continue
        (low, high), (low_right, high_right) = zone.edges(zone.left), zone.edges(zone.right)
        middles = ((low + high) / 2, (low_right + high_right) / 2)
        own = next((height for height in heights if low == low_right and low <= height <= high), None)
        left, right = middles if own is None else (own, own)
        yield _Line(wall, (zone.left, left), (zone.right, right), (high - low) / 2)


def _upright_lines(wall: Wall, given: Given) -> Iterator[_Line]:
    for placed in zones_of(wall, given).placed:
        zone = placed.zone
        if not (placed.keys or zone.is_level):
            at = (zone.left + zone.right) / 2
            low, high = zone.edges(at)
            yield _Line(wall, (at, low), (at, high), (zone.right - zone.left) / 2)


def _from_point(wall: Wall, spot: Spot, level: Sequence[_Line]) -> Iterator[_Line]:
    """Straight up or down from a point to the nearest level line."""
    at, height = spot
    over = [_height(line, at) for line in level if line.wall is wall and line.start[0] <= at <= line.end[0]]
    if over:
        low, high = sorted((height, min(over, key=lambda other: abs(other - height))))
        yield _Line(wall, (at, low), (at, high), 0.0)


def _height(line: _Line, at: float) -> float:
    (left, low), (right, high) = line.start, line.end
    return low + (high - low) * (at - left) / (right - left)


def _meeting(level: _Line, upright: _Line) -> Spot | None:
    """Where a level and an upright line of one wall meet."""
    at = upright.start[0]
    if not level.start[0] <= at <= level.end[0]:
        return None
    spot = (at, _height(level, at))
    return spot if _is_on(upright, spot) else None


def _is_on(upright: _Line, spot: Spot) -> bool:
    (at, low), (_, high) = upright.start, upright.end
    return math.isclose(spot[0], at, abs_tol=1e-6) and low - 1e-6 <= spot[1] <= high + 1e-6


class _Net:
    """The lines of a room, tied together where they meet."""

    def __init__(self, room: Room) -> None:
        self._starts = room.starts
        self._around = sum(wall.length or 0.0 for wall in room.walls) if room.is_closed else math.inf
        self._legs: defaultdict[_Node, list[tuple[_Node, _Leg]]] = defaultdict(list)

    def _node(self, wall: Wall, spot: Spot) -> _Node:
        along = round(self._starts[wall.name] + spot[0], 6)
        return (0.0 if math.isclose(along, self._around, abs_tol=1e-6) else along), round(spot[1], 6)

    def add(self, line: _Line, met: Iterable[Spot]) -> None:
        """A line, cut where it meets others; what of it leads through an opening is left out."""
        wall = line.wall
        holes = [gap for gap in map(hole, wall.openings) if gap]
        for start, end in pairwise(sorted(met)):
            one, other = self._node(wall, start), self._node(wall, end)
            if one != other and not any(gap.is_crossed(start, end) for gap in holes):
                self._legs[one].append((other, (Stretch(wall, start, end), line.half)))
                self._legs[other].append((one, (Stretch(wall, end, start), line.half)))

    def shortest(self, start: tuple[Wall, Spot], end: tuple[Wall, Spot]) -> list[_Leg] | None:
        """The shortest way from spot to spot (Dijkstra); None where no lines lead there."""
        goal, order = self._node(*end), count()
        queue: list[tuple[float, int, _Node, list[_Leg]]] = [(0.0, next(order), self._node(*start), [])]
        done: set[_Node] = set()
        while queue:
            length, _, node, legs = heappop(queue)
            if node == goal:
                return list(_joined(legs))
            if node not in done:
                done.add(node)
                for other, leg in self._legs[node]:
                    heappush(queue, (length + leg[0].length, next(order), other, [*legs, leg]))
        return None


def _joined(legs: Sequence[_Leg]) -> Iterator[_Leg]:
    """The same way with as few stretches as it has bends and walls."""
    waiting: _Leg | None = None
    for stretch, half in legs:
        if waiting and waiting[0].wall is stretch.wall and _in_line(waiting[0], stretch):
            waiting = (Stretch(stretch.wall, waiting[0].start, stretch.end), max(waiting[1], half))
            continue
        if waiting:
            yield waiting
        waiting = (stretch, half)
    if waiting:
        yield waiting


def _in_line(one: Stretch, other: Stretch) -> bool:
    (x1, y1), (x2, y2), (x3, y3) = one.start, one.end, other.end
    return math.isclose((x2 - x1) * (y3 - y2), (y2 - y1) * (x3 - x2), abs_tol=1e-9)
