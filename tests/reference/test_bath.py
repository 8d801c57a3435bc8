"""Zones of baths and showers against the figures of IEC 60364-7-701 as quoted, and plan distances against shapely.

Figures, read on trade pages that quote the standard: zone 1 from the floor to 2.25 m, or to the highest outlet; 1.20 m
around the outlet of a shower without a tray; zone 2 0.60 m beyond zone 1, none for a shower without a tray; zone 0 the
inside of the tub, 10 cm where there is no tray.
"""

import math
from itertools import product

import pytest
from shapely import LineString, Point, Polygon

from planlint import limits
from planlint.formulas.bath_zones import Extent, Outlet, Tub, apart, zone_at
from planlint.units import Length

GENERAL = limits.resolve(None)
EXTENT = Extent(
    top=GENERAL.quantity("bath_zone_height", Length),
    beyond=GENERAL.quantity("bath_zone_two", Length),
    film=GENERAL.quantity("shower_floor_zone", Length),
)
REACH = GENERAL.quantity("shower_outlet_reach", Length)
# A bath of 1.70 m by 0.75 m along a wall, its rim at 0.56 m.
CORNERS = ((0.0, 0.0), (0.0, 1.7), (0.75, 1.7), (0.75, 0.0))
BATH = Tub(CORNERS, rim=0.56)


@pytest.mark.parametrize(
    ("spot", "height", "zone"),
    [
        ((0.4, 0.8), 0.30, 0),  # in the water
        ((0.4, 0.8), 0.57, 1),  # over the rim
        ((0.0, 0.8), 1.10, 1),  # on the wall behind
        ((0.0, 0.8), 2.24, 1),
        ((0.0, 0.8), 2.25, None),
        ((0.0, 2.0), 1.10, 2),
        ((0.0, 2.29), 1.10, 2),
        ((0.0, 2.30), 1.10, None),  # 1.70 m and 0.60 m
        ((0.0, 2.0), 2.25, None),
        ((1.35, 0.8), 0.0, None),  # 0.75 m and 0.60 m
        ((1.17, 2.12), 1.0, 2),  # 0.42 m each way: 0.594 m
        ((1.18, 2.13), 1.0, None),  # 0.43 m each way: 0.608 m
    ],
)
def test_zones_of_a_bath(spot: tuple[float, float], height: float, zone: int | None) -> None:
    assert zone_at(BATH, apart(BATH, spot), height, EXTENT) == zone


@pytest.mark.parametrize(
    ("distance", "height", "zone"),
    [
        (0.0, 0.10, 0),
        (0.0, 0.11, 1),
        (1.19, 0.05, 0),
        (1.19, 2.0, 1),
        (1.20, 1.0, None),
        (1.5, 1.0, None),
        (0, 2.3, None),
    ],
)
def test_zones_of_a_shower_without_a_tray(distance: float, height: float, zone: int | None) -> None:
    outlet = Outlet((0.0, 0.0), REACH)
    assert zone_at(outlet, apart(outlet, (0.0, distance)), height, EXTENT) == zone


def test_a_higher_outlet_lifts_the_zones() -> None:
    assert zone_at(BATH, 0.3, 2.35, Extent(top=2.4, beyond=EXTENT.beyond, film=EXTENT.film)) == 2


def test_plan_distances_are_those_of_shapely() -> None:
    bath, outlet = Polygon(CORNERS), Point(0.0, 0.85).buffer(REACH, quad_segs=4096)
    for east, north in product(range(-17, 20), repeat=2):
        spot = east * 0.173, north * 0.191
        there = Point(spot)
        if bath.contains(there):
            assert apart(BATH, spot) == pytest.approx(-bath.exterior.distance(there))
        else:
            assert apart(BATH, spot) == pytest.approx(bath.distance(there), abs=1e-9)
        if not outlet.contains(there):
            assert apart(Outlet((0.0, 0.85), REACH), spot) == pytest.approx(outlet.distance(there), abs=1e-6)


# An L-shaped room walked clockwise: its outside corner is at (2, 2).
ROOM = ((0.0, 0.0), (0.0, 4.0), (2.0, 4.0), (2.0, 2.0), (5.0, 2.0), (5.0, 0.0))


def test_round_an_outside_corner_the_string_bends() -> None:
    """The straight line leaves the room; the shortest way touches the corner, by Pythagoras on both sides of it."""
    tub = Tub(((2.3, 1.3), (2.3, 2.0), (4.0, 2.0), (4.0, 1.3)))
    # From 0.40 m up the wall before the corner, to the corner, and on along the wall to the tub: 0.40 m and 0.30 m.
    assert apart(tub, (2.0, 2.4), ROOM) == pytest.approx(0.70)
    assert apart(tub, (2.0, 2.4)) == pytest.approx(0.50)  # 3 : 4 : 5, through the masonry
    assert apart(tub, (1.0, 1.6), ROOM) == pytest.approx(1.30)  # seen from there, straight


def test_round_corners_no_way_is_shorter_than_by_a_fine_net_of_the_room() -> None:
    """shapely says which straight ways stay in the room; the best of all ways over one corner is the string."""
    room = Polygon(ROOM).buffer(1e-6)
    tub = Tub(((3.0, 1.25), (3.0, 2.0), (4.7, 2.0), (4.7, 1.25)))
    edge = Polygon(tub.corners).exterior
    targets = [edge.interpolate(share, normalized=True) for share in (number / 800 for number in range(800))]
    corner = (2.0, 2.0)

    def seen(start: tuple[float, float]) -> float:
        ways = (LineString([start, (target.x, target.y)]) for target in targets)
        return min((way.length for way in ways if room.covers(way)), default=math.inf)

    beyond = seen(corner)
    for east, north in product((0.0, 0.7, 1.3, 2.0), (0.1, 0.9, 1.8, 2.3, 2.9, 4.0)):
        spot = (east, north)
        best = min(seen(spot), math.dist(spot, corner) + beyond)
        assert apart(tub, spot, ROOM) == pytest.approx(best, abs=0.011)
