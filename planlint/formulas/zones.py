"""Zones of a wall in which cables are laid, ways held against them, and how far apart sockets stand along walls.

A spot is (metres along the wall from its left end, metres up). A zone is a strip with upright sides; its lower and
its upper edge may slope, as they do under a ceiling that does. Nothing is known here of rooms or countries.
"""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from planlint.formulas.ranges import Range

Spot = tuple[float, float]

_SLACK = 1e-6
"""A micrometre: what floats leave of a figure, and nobody can measure."""
_SPACE = Range(0, 10_000, "m")
_REACH = Range(0.001, 1_000, "m")


@dataclass(frozen=True, slots=True)
class Zone:
    """A strip of a wall from `left` to `right` (m), its edges given by their heights (m) at these two ends.

    A strip whose far end is not known goes on to infinity, level.
    """

    left: float
    right: float
    bottom: Spot
    top: Spot
    is_level: bool
    """Whether it goes along the wall; else up and down it."""

    def edges(self, at: float) -> Spot:
        """Height of its lower and of its upper edge at a position."""
        return self._edge(self.bottom, at), self._edge(self.top, at)

    def _edge(self, ends: Spot, at: float) -> float:
        if ends[0] == ends[1]:
            return ends[0]
        return ends[0] + (ends[1] - ends[0]) * (at - self.left) / (self.right - self.left)

    def holds(self, spot: Spot, slack: float = _SLACK) -> bool:
        """Whether a spot lies in it; on its very edge it does."""
        at, height = spot
        low, high = self.edges(at)
        return self.left - slack <= at <= self.right + slack and low - slack <= height <= high + slack

    def is_crossed(self, start: Spot, end: Spot) -> bool:
        """Whether a straight way passes through it; along its very edge it does not."""
        cuts = sorted({0.0, 1.0, *(cut for cut in self.crossings(start, end) if 0 < cut < 1)})
        return any(self.holds(_between(start, end, (one + other) / 2), -_SLACK) for one, other in pairwise(cuts))

    def distance(self, spot: Spot) -> float:
        """How far a spot lies from it (m), measured from the edge that one meets along the wall and up it; 0 inside."""
        at = min(max(spot[0], self.left), self.right)
        low, high = self.edges(at)
        return math.dist(spot, (at, min(max(spot[1], low), high)))

    def crossings(self, start: Spot, end: Spot) -> Iterator[float]:
        """Shares of the straight way from start to end at which it may cross an edge, in no order."""
        along = end[0] - start[0]
        if along:
            yield from ((side - start[0]) / along for side in (self.left, self.right))
        for ends in (self.bottom, self.top):
            # Where the way and a sloping edge have one height: both are straight, so two differences tell.
            first, last = start[1] - self._edge(ends, start[0]), end[1] - self._edge(ends, end[0])
            if math.isfinite(first) and math.isfinite(last) and first != last:
                yield first / (first - last)


def _between(start: Spot, end: Spot, share: float) -> Spot:
    return start[0] + share * (end[0] - start[0]), start[1] + share * (end[1] - start[1])


def distance_to_way(spot: Spot, start: Spot, end: Spot) -> float:
    """How far a spot lies from a straight way (m), at the nearest spot of it.

    >>> distance_to_way((1, 1), (0, 0), (4, 0)), distance_to_way((7, 4), (0, 0), (4, 0))
    (1.0, 5.0)
    """
    along, up = end[0] - start[0], end[1] - start[1]
    square = along**2 + up**2
    share = ((spot[0] - start[0]) * along + (spot[1] - start[1]) * up) / square if square else 0.0
    return math.dist(spot, _between(start, end, min(max(share, 0.0), 1.0)))


def strip_along(line: Sequence[Spot], low: float, high: float) -> list[Zone]:
    """The level strip from `low` to `high` metres above a line, or below it where they are negative.

    >>> [zone] = strip_along([(0, 2.5), (4, 2.5)], -0.45, -0.15)
    >>> zone.bottom, zone.top
    ((2.05, 2.05), (2.35, 2.35))
    """
    return [
        Zone(left, right, (start + low, end + low), (start + high, end + high), is_level=True)
        for (left, start), (right, end) in pairwise(line)
        if left < right
    ]


def strip_up(left: float, right: float, floor: float, ceiling: Sequence[Spot]) -> list[Zone]:
    """The upright strip from `left` to `right` between the floor and the ceiling's line, as far as that line goes.

    >>> strip_up(-0.1, 0.1, 0, [(0, 2.5), (4, 2.5)])
    [Zone(left=0, right=0.1, bottom=(0, 0), top=(2.5, 2.5), is_level=False)]
    """
    found = []
    for under in strip_along(ceiling, 0, 0):
        start, end = max(left, under.left), min(right, under.right)
        if start < end:
            top = (under.edges(start)[1], under.edges(end)[1])
            found.append(Zone(start, end, (floor, floor), top, is_level=False))
    return found


def strays(start: Spot, end: Spot, zones: Sequence[Zone]) -> tuple[Spot, Spot] | None:
    """The first stretch of a straight way that lies in no zone; None where the zones hold all of it.

    Exact: the way is cut where it crosses an edge, and between two cuts it is inside as a whole or not at all.

    >>> strays((0, 0.3), (4, 0.3), strip_along([(0, 0), (3, 0)], 0.15, 0.45))
    ((3.0, 0.3), (4.0, 0.3))
    """
    length = math.dist(start, end)
    if length <= _SLACK:
        return None if any(zone.holds(start) for zone in zones) else (start, end)
    cuts = sorted({0.0, 1.0, *(cut for zone in zones for cut in zone.crossings(start, end) if 0 < cut < 1)})
    out: list[tuple[float, float]] = []
    for first, last in pairwise(cuts):
        if (last - first) * length <= _SLACK:
            continue  # too short to be a stretch: between two edges that are one
        if not any(zone.holds(_between(start, end, (first + last) / 2)) for zone in zones):
            out.append((first, last))
        elif out:
            break
    return (_between(start, end, out[0][0]), _between(start, end, out[-1][1])) if out else None


def slant(start: Spot, end: Spot, ceiling: Sequence[Spot] = ()) -> float:
    """How far a straight way is from level, from upright, or from following the ceiling, whichever is nearest (m).

    >>> slant((0, 0.5), (2, 0.25)), slant((1, 0.3), (2, 1.3))
    (0.25, 1)
    """
    along, up = abs(end[0] - start[0]), end[1] - start[1]
    offs = [along, abs(up)]
    offs += [
        abs(up - (roof.edges(end[0])[1] - roof.edges(start[0])[1]))
        for roof in strip_along(ceiling, 0, 0)
        if math.isfinite(roof.right) and roof.left - _SLACK <= min(start[0], end[0])
        if max(start[0], end[0]) <= roof.right + _SLACK
    ]
    return min(offs)


@dataclass(frozen=True, slots=True)
class WallSpace:
    """A part of the line along a room's walls that nothing cuts: its beginning on the walk, and its length (m)."""

    start: float
    length: float
    is_ring: bool = False
    """Whether it goes all the way round, with no beginning and no end of its own."""


def wall_spaces(around: float, cuts: Sequence[tuple[float, float]]) -> list[WallSpace]:
    """The wall spaces of a room `around` metres round, cut where each of `cuts` begins and ends on the walk.

    >>> wall_spaces(14, [(2, 3), (9, 10)])
    [WallSpace(start=3, length=6, is_ring=False), WallSpace(start=10, length=6, is_ring=False)]
    """
    _SPACE.admit(around=around)
    if not cuts:
        return [WallSpace(0.0, around, is_ring=True)]
    joined: list[list[float]] = []
    for start, end in sorted(cuts):
        if joined and start <= joined[-1][1] + _SLACK:
            joined[-1][1] = max(joined[-1][1], end)
        else:
            joined.append([start, end])
    nexts = [*(start for start, _ in joined[1:]), joined[0][0] + around]
    spaces = [WallSpace(end, after - end) for (_, end), after in zip(joined, nexts, strict=True)]
    return [space for space in spaces if space.length > _SLACK]


@dataclass(frozen=True, slots=True)
class Farthest:
    """The spot between two sockets, or between one and the end of a wall space, that is farthest from any of them."""

    at: float
    """Metres along the walk."""
    distance: float
    """Metres along the walls to the nearest socket; infinite where the space has none."""


def farthest_spots(space: WallSpace, around: float, sockets: Sequence[float]) -> list[Farthest]:
    """The farthest spot of each gap of a wall space, in the order of the walk; `sockets` are metres along the walk.

    With s measured along the space of length L: s₁ before the first socket, (sᵢ₊₁ - sᵢ) / 2 between two, L - sₙ after
    the last (NEC 210.52(A)(1): along the floor line, round corners, never across the room).

    >>> [spot.distance for spot in farthest_spots(WallSpace(0.0, 10.0), 10, [2, 6])]
    [2.0, 2.0, 4.0]
    """
    _SPACE.admit(around=around)
    # The slack is for a socket on the space's very beginning, which is not once round from it.
    steps = ((socket - space.start + _SLACK) % around - _SLACK for socket in sockets)
    along = sorted(step for step in steps if step <= space.length + _SLACK)
    if not along:
        return [Farthest((space.start + space.length / 2) % around, math.inf)]
    if space.is_ring:
        along.append(along[0] + around)
    found = [((one + other) / 2, (other - one) / 2) for one, other in pairwise(along)]
    if not space.is_ring:
        found = [(0.0, along[0]), *found, (space.length, space.length - along[-1])]
    return [Farthest((space.start + at) % around, max(distance, 0.0)) for at, distance in found]


def fewest_sockets(length: float, reach: float) -> int:
    """The fewest sockets with which no spot of a wall space of `length` is further than `reach` from one.

    n = ⌈L / 2r⌉; both in metres, the length up to 10 km and the reach from 1 mm.

    >>> fewest_sockets(53, 6)
    5
    """
    _SPACE.admit(length=length)
    _REACH.admit(reach=reach)
    return math.ceil(length / (2 * reach) - _SLACK)
