"""How near things lie to a spot, against the geometry of shapely."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as some
from shapely import LineString, Point, box

from planlint.sums.near import Rectangle, less_half, to_stretch

metres = some.floats(-20, 20).map(lambda value: round(value, 3))
spots = some.tuples(metres, metres)


@given(spots, spots, spots)
def test_a_straight_way(spot: tuple[float, float], start: tuple[float, float], end: tuple[float, float]) -> None:
    there = to_stretch(spot, start, end)
    assert math.hypot(*there) == pytest.approx(Point(spot).distance(LineString([start, end])), abs=1e-9)
    reached = Point(spot[0] + there[0], spot[1] + there[1])
    assert reached.distance(LineString([start, end])) == pytest.approx(0, abs=1e-9)


@given(spots, spots, metres.map(abs), metres.map(abs))
def test_a_rectangle(spot: tuple[float, float], corner: tuple[float, float], width: float, height: float) -> None:
    left, bottom = corner
    shift = Rectangle(left, left + width, bottom, bottom + height).shift(spot)
    assert math.hypot(*shift) == pytest.approx(Point(spot).distance(box(left, bottom, left + width, bottom + height)))


@given(spots, metres.map(abs))
def test_the_edge_of_something_round(shift: tuple[float, float], half: float) -> None:
    expected = Point(0, 0).distance(Point(shift).buffer(half)) if half else math.hypot(*shift)
    # The circle of shapely is a polygon of 64 corners inside of it: it may come out a thousandth of its radius too far.
    assert math.hypot(*less_half(shift, half)) == pytest.approx(expected, abs=half * 1.3e-3 + 1e-9)


def test_what_is_not_known_goes_on_without_end() -> None:
    endless = Rectangle(1.0, 2.0, -math.inf, math.inf)
    assert endless.shift((0.5, 100.0)) == (0.5, 0.0)
    assert endless.shift((1.5, -3.0)) == (0.0, 0.0)
