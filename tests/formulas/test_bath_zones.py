"""What holds of the zones of baths for every input; their figures are checked in reference/test_bath.py."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planlint.formulas.bath_zones import Extent, Outlet, Tub, apart, zone_at

steady = settings(derandomize=True, deadline=None, max_examples=60)
ordinates = st.integers(-500, 500).map(lambda hundredths: hundredths / 100)
spots = st.tuples(ordinates, ordinates)
EXTENT = Extent(top=2.25, beyond=0.60, film=0.10)
TUB = Tub(((0, 0), (0, 1.7), (0.75, 1.7), (0.75, 0)), rim=0.56)
OUTLET = Outlet((0, 0), 1.2)
# Walked clockwise, with one outside corner at (0, 0): the room is all round it but for the south-west.
ELL = ((-4.0, 0.0), (-4.0, 5.0), (5.0, 5.0), (5.0, -4.0), (0.0, -4.0), (0.0, 0.0))


@steady
@given(spots, ordinates, ordinates, st.floats(0, 6.28))
def test_turned_and_moved_together_nothing_changes(
    spot: tuple[float, float], east: float, north: float, turn: float
) -> None:
    def moved(place: tuple[float, float]) -> tuple[float, float]:
        x, y = place
        return (
            x * math.cos(turn) - y * math.sin(turn) + east,
            x * math.sin(turn) + y * math.cos(turn) + north,
        )

    tub = Tub(tuple(map(moved, TUB.corners)))
    assert apart(tub, moved(spot)) == pytest.approx(apart(TUB, spot), abs=1e-9)


@steady
@given(spots)
def test_in_a_mirror_nothing_changes(spot: tuple[float, float]) -> None:
    mirrored = Tub(tuple((-x, y) for x, y in TUB.corners))
    assert apart(mirrored, (-spot[0], spot[1])) == pytest.approx(apart(TUB, spot))


@steady
@given(st.floats(-2, 4), st.floats(0, 4), st.floats(0, 1))
def test_moving_out_never_leads_into_an_inner_zone(distance: float, height: float, step: float) -> None:
    order = {0: 0, 1: 1, 2: 2, None: 3}
    for place in (TUB, OUTLET):
        assert order[zone_at(place, distance + step, height, EXTENT)] >= order[zone_at(place, distance, height, EXTENT)]


@steady
@given(spots)
def test_a_string_round_a_corner_is_never_shorter_than_the_straight_line(spot: tuple[float, float]) -> None:
    tub = Tub(((1, -4), (1, -2.3), (1.75, -2.3), (1.75, -4)))
    if spot[0] >= 0 or spot[1] >= 0:
        assert apart(tub, spot, ELL) >= apart(tub, spot) - 1e-12


@pytest.mark.parametrize("spot", [(math.nan, 0.0), (1001.0, 0.0), (0.0, math.inf)])
def test_what_is_no_spot_of_a_room_is_refused(spot: tuple[float, float]) -> None:
    with pytest.raises(ValueError, match="has to be from"):
        apart(TUB, spot)
