"""Zones against shapely 2 (GEOS), and gaps along walls against counting them out step by step."""

import math

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from shapely import LineString, Polygon, distance, points, unary_union

from planlint.formulas.zones import (
    Spot,
    WallSpace,
    Zone,
    distance_to_way,
    farthest_spots,
    fewest_sockets,
    slant,
    strays,
    strip_along,
    strip_up,
    wall_spaces,
)

steady = settings(derandomize=True, deadline=None, max_examples=100)
figures = st.integers(0, 12)
spots = st.tuples(figures, figures).map(lambda spot: (spot[0] / 4, spot[1] / 4))


@st.composite
def zones(draw: st.DrawFn) -> Zone:
    """A strip with sides a quarter of a metre apart or more, its edges level or not."""
    left, width, low, high = (draw(st.integers(least, 10)) for least in (0, 1, 0, 1))
    slope, spread = draw(st.integers(0, 3)), draw(st.integers(0, 3))
    bottom, top = (low / 4, (low + slope) / 4), ((low + high) / 4, (low + high + slope + spread) / 4)
    return Zone(left / 4, (left + width) / 4, bottom, top, is_level=draw(st.booleans()))


def polygon(zone: Zone) -> Polygon:
    (left_low, right_low), (left_high, right_high) = zone.bottom, zone.top
    return Polygon([(zone.left, left_low), (zone.right, right_low), (zone.right, right_high), (zone.left, left_high)])


@steady
@given(zones(), spots)
def test_what_a_zone_holds_and_how_far_the_rest_is_from_it(zone: Zone, spot: Spot) -> None:
    area = polygon(zone)
    assert zone.holds(spot) == area.intersects(points(*spot).buffer(1e-9))
    # Under a sloping edge the distance is measured straight up, which is never less than the shortest.
    shortest = distance(area, points(*spot))
    assert zone.distance(spot) == pytest.approx(shortest) or (
        len({*zone.bottom, *zone.top}) > 2 and zone.distance(spot) > shortest
    )


@steady
@given(st.lists(zones(), max_size=4), spots, spots)
def test_what_of_a_way_lies_in_no_zone(found: list[Zone], start: Spot, end: Spot) -> None:
    union = unary_union([polygon(zone) for zone in found]).buffer(1e-7, join_style="mitre")
    way = LineString([start, end])
    outside = strays(start, end, found)
    if start == end:
        assert (outside is None) == union.intersects(points(*start))
        return
    rest = way.difference(union)
    assert (outside is None) == (rest.length < 1e-4)
    if outside:
        ends = [[math.dist(start, spot) for spot in piece.coords] for piece in getattr(rest, "geoms", [rest])]
        pieces = sorted((min(piece), max(piece)) for piece in ends if max(piece) - min(piece) > 1e-4)
        # A way that only touches the corner of a zone is cut there by shapely, and goes on outside.
        first, last = pieces[0]
        for near, far in pieces[1:]:
            last = far if near - last < 1e-4 else last
        assert math.dist(start, outside[0]) == pytest.approx(first, abs=1e-4)
        assert math.dist(start, outside[1]) == pytest.approx(last, abs=1e-4)


@steady
@given(zones(), spots, spots)
def test_a_way_through_a_zone_and_one_along_its_edge(zone: Zone, start: Spot, end: Spot) -> None:
    assume(start != end)
    through = LineString([start, end]).intersection(polygon(zone).buffer(-2e-6, join_style="mitre"))
    assert zone.is_crossed(start, end) == (not through.is_empty)


@steady
@given(spots, spots, spots)
def test_how_far_a_spot_is_from_a_way(spot: Spot, start: Spot, end: Spot) -> None:
    assert distance_to_way(spot, start, end) == pytest.approx(distance(LineString([start, end]), points(*spot)))


def test_strips_follow_a_sloping_ceiling_and_end_with_the_wall() -> None:
    # A gable of 4 m: 2.4 m at its ends, 3.4 m in the middle; half a metre below the roof at 1 m it is 2.4 m.
    gable = [(0.0, 2.4), (2.0, 3.4), (4.0, 2.4)]
    left, right = strip_along(gable, -0.5, -0.1)
    assert left.edges(1.0) == pytest.approx((2.4, 2.8))
    assert right.edges(3.0) == pytest.approx((2.4, 2.8))
    assert left.holds((1.9, 2.95))
    assert not left.holds((0.1, 2.5))
    assert [(zone.left, zone.right) for zone in strip_up(1.8, 2.2, 0.0, gable)] == [(1.8, 2.0), (2.0, 2.2)]
    assert strip_up(4.1, 4.3, 0.0, gable) == []


def test_a_zone_whose_end_is_not_known_goes_on() -> None:
    [floor] = strip_along([(0.0, 0.0), (math.inf, 0.0)], 0.15, 0.45)
    assert strays((1.0, 0.3), (900.0, 0.3), [floor]) is None
    assert strays((1.0, 0.3), (1.0, 0.75), [floor]) == ((1.0, pytest.approx(0.45)), (1.0, 0.75))


def test_how_askew_a_way_is() -> None:
    assert slant((0, 1), (3, 1)) == slant((2, 0), (2, 2)) == 0
    assert slant((0, 0), (3, 0.02)) == pytest.approx(0.02)
    # 3 m along and 1 m up is as far from upright as from level, unless it follows a ceiling that climbs as it does.
    assert slant((0, 0), (3, 1)) == 1
    assert slant((0, 2.0), (3, 3.0), [(0, 2.5), (3, 3.5)]) == pytest.approx(0.0)
    assert slant((0, 2.0), (3, 3.0), [(0, 2.5), (2, 3.5), (4, 3.5)]) == 1


@st.composite
def rooms(draw: st.DrawFn) -> tuple[int, list[tuple[int, int]], list[int]]:
    """Feet round a room, its doorways, and where its sockets stand, all in whole feet."""
    around = draw(st.integers(10, 60))
    cuts = draw(st.lists(st.tuples(st.integers(0, around - 4), st.integers(1, 4)), max_size=3))
    sockets = draw(st.lists(st.integers(0, around - 1), max_size=6, unique=True))
    return around, [(start, start + width) for start, width in cuts], sockets


@steady
@given(rooms())
def test_wall_spaces_are_what_the_doorways_leave(room: tuple[int, list[tuple[int, int]], list[int]]) -> None:
    around, cuts, _ = room
    # Counted foot by foot.
    free = [foot for foot in range(around) if not any(start <= foot < end for start, end in cuts)]
    spaces = wall_spaces(around, cuts)
    counted = [(space.start + step) % around for space in spaces for step in range(round(space.length))]
    assert sorted(counted) == free
    assert all(space.is_ring == (not cuts) for space in spaces)


@steady
@given(rooms())
def test_the_farthest_spot_counted_out(room: tuple[int, list[tuple[int, int]], list[int]]) -> None:
    around, cuts, sockets = room
    for space in wall_spaces(around, cuts):
        found = farthest_spots(space, around, sockets)
        # Walk the space in half feet, and look from each spot to every socket that stands on it.
        steps = [step / 2 for step in range(round(2 * space.length) + 1)]
        own = [step for step in steps if (space.start + step) % around in sockets]
        if not own:
            assert [spot.distance for spot in found] == [math.inf]
            continue

        def far(step: float, own: list[float] = own, space: WallSpace = space) -> float:
            apart = [abs(step - one) for one in own]
            return min(min(one, space.length - one) for one in apart) if space.is_ring else min(apart)

        assert max(spot.distance for spot in found) == pytest.approx(max(map(far, steps)))
        for spot in found:
            assert far((spot.at - space.start) % around) == pytest.approx(spot.distance)


@steady
@given(st.integers(1, 400), st.integers(1, 40))
def test_the_fewest_sockets_are_enough_and_one_less_is_not(length: int, reach: int) -> None:
    fewest = fewest_sockets(length, reach)
    assert 2 * reach * fewest >= length > 2 * reach * (fewest - 1)


@pytest.mark.parametrize(("length", "reach"), [(-1, 6), (53, 0), (20_000, 6)])
def test_figures_that_no_wall_has_are_refused(length: float, reach: float) -> None:
    with pytest.raises(ValueError, match="has to be from"):
        fewest_sockets(length, reach)
