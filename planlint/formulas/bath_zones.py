"""Zones 0, 1 and 2 around a bath or shower, in plan and in height.

Source: IEC 60364-7-701 (HD 60364-7-701) as quoted on trade pages. A spot is (metres, metres) in plan; heights are
metres above the finished floor. Nothing is known here of rooms, walls or countries.
"""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from planlint.formulas.ranges import Range
from planlint.units import at_least, at_most

Vector = tuple[float, float]

_SLACK = 0.02
"""Metres by which a straight way may graze a wall: outlines misclose, and the shorter way is the careful one."""
_EXACT = 1e-9
_SPACE = Range(-1_000, 1_000, "m")


@dataclass(frozen=True, slots=True)
class Tub:
    """A bath, or a shower with a tray: the corners of a convex figure in order, and the height of its rim if known."""

    corners: tuple[Vector, ...]
    rim: float | None = None


@dataclass(frozen=True, slots=True)
class Outlet:
    """The fixed water outlet of a shower without a tray; zone 1 reaches as far as `reach` metres around it."""

    spot: Vector
    reach: float


@dataclass(frozen=True, slots=True)
class Extent:
    """How far the zones of one bath or shower reach: up to `top`, zone 2 `beyond` zone 1, zone 0 without a tray."""

    top: float
    beyond: float
    film: float


def apart(place: Tub | Outlet, spot: Vector, outline: Sequence[Vector] = ()) -> float:
    """How far a spot is from the edge of zone 1 in plan (m), below 0 inside it: along a string pulled taut.

    Around the outside corners of a closed `outline` the string bends; where no outline is given it is straight.
    Ranges: every ordinate from -1000 m to 1000 m. Source: IEC 60364-7-701 as quoted; geometry.

    >>> apart(Tub(((0, 0), (0, 1.7), (0.75, 1.7), (0.75, 0))), (0, 2.3))
    0.6
    """
    _SPACE.admit(east=spot[0], north=spot[1])
    straight = _straight(place, spot)
    bends = _reflex(outline)
    if straight <= 0 or not bends:
        return round(straight, 12)
    return round(_taut(place, spot, outline, bends), 12)


def zone_at(place: Tub | Outlet, distance: float, height: float, extent: Extent) -> int | None:
    """The zone of a spot `distance` metres from the edge of zone 1, below 0 inside; None outside of all.

    Zone 0 is the inside of the tub up to its rim, or the lowest `film` metres of zone 1 where there is no tray; zone 1
    reaches from the floor to `top`; zone 2 as high, and less than `beyond` from zone 1. A shower without a tray
    has no zone 2. Exactly at the top, at the far edge of zone 2 or `reach` from an outlet a spot is outside; on the
    edge of a tub, such as the wall behind it, it is in zone 1.

    >>> tub, extent = Tub(((0, 0), (0, 1.7), (0.75, 1.7), (0.75, 0)), rim=0.56), Extent(2.25, 0.60, 0.10)
    >>> [zone_at(tub, distance, 1.1, extent) for distance in (-0.1, 0.0, 0.59, 0.60)]
    [1, 1, 2, None]
    """
    if at_least(height, extent.top):
        return None
    if isinstance(place, Outlet):
        return (0 if at_most(height, extent.film) else 1) if distance < -_EXACT else None
    if distance < -_EXACT and place.rim is not None and at_most(height, place.rim):
        return 0
    if distance <= _EXACT:
        return 1
    return None if at_least(distance, extent.beyond) else 2


def _straight(place: Tub | Outlet, spot: Vector) -> float:
    if isinstance(place, Outlet):
        return math.dist(place.spot, spot) - place.reach
    edge = min(math.dist(spot, _nearest(leg, spot)) for leg in _legs(place.corners))
    return -edge if _holds(place.corners, spot) else edge


def _taut(place: Tub | Outlet, spot: Vector, outline: Sequence[Vector], bends: Sequence[Vector]) -> float:
    """The shortest string from a spot to zone 1 that stays in the room.

    Where the nearest spot of a convex zone cannot be seen, the shortest string bends at an outside corner, from which
    the same holds: Dijkstra's algorithm over these corners (E. W. Dijkstra, Numerische Mathematik 1, 1959).
    """
    found: dict[Vector, float] = {}
    waiting = {spot: 0.0}
    best = math.inf
    while waiting:
        here = min(waiting, key=lambda corner: waiting[corner])
        so_far = found[here] = waiting.pop(here)
        if _sees(here, _towards(place, here), outline):
            best = min(best, so_far + max(_straight(place, here), 0.0))
        for corner in bends:
            further = so_far + math.dist(here, corner)
            if corner not in found and further < waiting.get(corner, math.inf) and _sees(here, corner, outline):
                waiting[corner] = further
    # Where nothing is seen the outline and the places contradict each other: the straight line is the careful reading.
    return best if math.isfinite(best) else _straight(place, spot)


def _towards(place: Tub | Outlet, spot: Vector) -> Vector:
    if isinstance(place, Outlet):
        return place.spot
    nearest = (_nearest(leg, spot) for leg in _legs(place.corners))
    return min(nearest, key=lambda other: math.dist(spot, other))


def _legs(corners: Sequence[Vector]) -> Iterator[tuple[Vector, Vector]]:
    return pairwise((*corners, corners[0]))


def _nearest(leg: tuple[Vector, Vector], spot: Vector) -> Vector:
    (x1, y1), (x2, y2) = leg
    along, up = x2 - x1, y2 - y1
    square = along**2 + up**2
    share = ((spot[0] - x1) * along + (spot[1] - y1) * up) / square if square else 0.0
    share = min(max(share, 0.0), 1.0)
    return x1 + share * along, y1 + share * up


def _cross(origin: Vector, first: Vector, second: Vector) -> float:
    return (first[0] - origin[0]) * (second[1] - origin[1]) - (first[1] - origin[1]) * (second[0] - origin[0])


def _holds(corners: Sequence[Vector], spot: Vector) -> bool:
    """Whether a spot lies inside a closed figure: a ray from it to the east cuts the figure an odd number of times."""
    inside = False
    for (x1, y1), (x2, y2) in _legs(corners):
        if (y1 > spot[1]) != (y2 > spot[1]) and spot[0] < x1 + (spot[1] - y1) * (x2 - x1) / (y2 - y1):
            inside = not inside
    return inside


def _reflex(outline: Sequence[Vector]) -> list[Vector]:
    """The outside corners of an outline that is walked clockwise: those at which one turns to the left."""
    around = zip((*outline[-1:], *outline[:-1]), outline, (*outline[1:], *outline[:1]), strict=True)
    return [corner for before, corner, after in around if _cross(before, corner, after) > _EXACT]


def _sees(start: Vector, end: Vector, outline: Sequence[Vector]) -> bool:
    """Whether the straight way between two spots stays in the room."""
    cuts = sorted({0.0, 1.0, *(cut for leg in _legs(outline) for cut in _cut(start, end, leg))})
    middles = ((first + last) / 2 for first, last in pairwise(cuts))
    spots = [(start[0] + share * (end[0] - start[0]), start[1] + share * (end[1] - start[1])) for share in middles]
    return all(
        _holds(outline, spot) or min(math.dist(spot, _nearest(leg, spot)) for leg in _legs(outline)) <= _SLACK
        for spot in spots
    )


def _cut(start: Vector, end: Vector, leg: tuple[Vector, Vector]) -> Iterator[float]:
    """The share of the way at which it cuts a wall, if it does."""
    first, last = _cross(*leg, start), _cross(*leg, end)
    if first != last and 0 < (share := first / (first - last)) < 1:
        yield share
