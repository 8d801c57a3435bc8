"""Our outlines against shapely 2 (GEOS): areas, closing, crossings, and which way a corner stands."""

import json
import math

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from shapely import LinearRing, LineString, Polygon
from shapely.geometry.polygon import orient

from planlint import source
from planlint.geometry import Outline, walk
from planlint.model.build import build
from planlint.model.rooms import Room

steady = settings(derandomize=True, deadline=None, max_examples=150)
figures = st.integers(-40, 40)


def walked(corners: list[tuple[float, float]]) -> Outline:
    """The walk along a polygon's corners, by the lengths and the turns that one would measure."""
    lengths = [math.dist(start, end) for start, end in zip(corners, [*corners[1:], corners[0]], strict=True)]
    return walk(lengths, turns_of(corners))


def turns_of(corners: list[tuple[float, float]]) -> list[float]:
    around = list(zip(corners, [*corners[1:], corners[0]], strict=True))
    headings = [math.atan2(x2 - x1, y2 - y1) for (x1, y1), (x2, y2) in around]
    return [
        (after - before + math.pi) % (2 * math.pi) - math.pi
        for before, after in zip(headings, [*headings[1:], headings[0]], strict=True)
    ]


def room(corners: list[tuple[float, float]]) -> Room:
    """The room of a plan whose walls run from corner to corner."""
    legs = zip(corners, [*corners[1:], corners[0]], turns_of(corners), strict=True)
    walls = [
        {
            "wall": f"w{number}",
            "length": f"{math.dist(start, end):.9f} m",
            "then": {"turn": "right" if turn > 0 else "left", "by": f"{abs(math.degrees(turn)):.9f} deg"},
        }
        for number, (start, end, turn) in enumerate(legs)
    ]
    plan = {"plan": 1, "title": "one room", "rooms": {"hall": {"outline": "closed", "walls": walls}}}
    return build(source.read(json.dumps(plan).encode(), "hall.plan.yaml")).rooms[0]


def clockwise(polygon: Polygon) -> list[tuple[float, float]]:
    return [(x, y) for x, y in orient(polygon, sign=-1.0).exterior.coords][:-1]


@st.composite
def rectilinear(draw: st.DrawFn) -> list[tuple[float, float]]:
    """A room with right angles only: a stair of widths and depths, closed by two long walls."""
    steps = draw(st.lists(st.tuples(st.integers(1, 30), st.integers(1, 30)), min_size=1, max_size=6))
    x, y, corners = 0.0, float(sum(depth for _, depth in steps)), [(0.0, 0.0)]
    for width, depth in steps:
        corners += [(x, y), (x + width, y)]
        x, y = x + width, y - depth
    return [*corners, (x, 0.0)]


@st.composite
def slanted(draw: st.DrawFn) -> list[tuple[float, float]]:
    """A room with any angles: corners at growing bearings round a centre, which never cross."""
    bearings = sorted(draw(st.sets(st.integers(0, 359), min_size=4, max_size=9)))
    gaps = [(after - before) % 360 for before, after in zip(bearings, [*bearings[1:], bearings[0]], strict=True)]
    assume(max(gaps) < 170)
    reach = draw(st.lists(st.integers(10, 60), min_size=len(bearings), max_size=len(bearings)))
    pairs = zip(bearings, reach, strict=True)
    return [(r / 10 * math.sin(math.radians(b)), r / 10 * math.cos(math.radians(b))) for b, r in pairs]


@steady
@given(st.one_of(rectilinear(), slanted()))
def test_area_and_closing(corners: list[tuple[float, float]]) -> None:
    polygon = Polygon(corners)
    outline = walked(corners)
    assert outline.area == pytest.approx(polygon.area)
    assert outline.misclosure == pytest.approx(0, abs=1e-9)
    assert outline.swing == pytest.approx(0, abs=1e-6)


@steady
@given(st.one_of(rectilinear(), slanted()))
def test_sound_rooms_do_not_cross(corners: list[tuple[float, float]]) -> None:
    assume(Polygon(corners).is_valid)
    assert walked(corners).crossings() == []


@steady
@given(st.lists(st.tuples(figures, figures), min_size=4, max_size=8, unique=True))
def test_crossing_where_shapely_says_so(corners: list[tuple[float, float]]) -> None:
    ring = LineString([*corners, corners[0]])
    # What GEOS decides on whole numbers we decide on walked ones: to a micrometre, so touching is told too.
    assert bool(walked(corners).crossings()) == (not ring.is_simple)


@steady
@given(st.one_of(rectilinear(), slanted()))
def test_corner_kind_by_the_orientation_of_the_coordinates(corners: list[tuple[float, float]]) -> None:
    ring = clockwise(Polygon(corners))
    walls = room(ring).walls
    for wall, before, corner, after in zip(walls, ring, [*ring[1:], ring[0]], [*ring[2:], *ring[:2]], strict=True):
        # Walked clockwise, three coordinates that run against the clock turn away from the room.
        assert wall.corner
        assert wall.corner.is_outside == LinearRing([before, corner, after]).is_ccw
    outline = walls[0].room.outline()
    assert outline
    assert outline.area == pytest.approx(Polygon(corners).area, rel=1e-6)


@steady
@given(rectilinear(), st.integers(0, 30))
def test_a_clockwise_ring_of_shapely_is_walked_with_turns_to_the_right(
    corners: list[tuple[float, float]], number: int
) -> None:
    ring = clockwise(Polygon(corners))
    start = number % len(ring)
    outline = walked([*ring[start:], *ring[:start]])
    assert outline.turned == pytest.approx(2 * math.pi)
    assert outline.area > 0
