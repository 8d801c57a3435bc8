"""What holds of the lifting equation for every input; its figures are checked in reference/test_handling.py."""

import math
from collections.abc import Callable

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planlint.formulas.handling import (
    LOAD_CONSTANT,
    Grip,
    Lift,
    asymmetry_multiplier,
    coupling_multiplier,
    distance_multiplier,
    frequency_multiplier,
    horizontal_multiplier,
    lifting_index,
    recommended_weight,
    vertical_multiplier,
)

steady = settings(derandomize=True, deadline=None, max_examples=60)
HOUR = 3600.0
lengths = st.floats(0, 3)
angles = st.floats(0, math.pi)
lifts = st.builds(Lift, lengths, lengths, lengths, angles)
shares = st.floats(0, 1)
frequencies = st.floats(0, 60)
times = st.floats(0, 8 * HOUR)
masses = st.floats(0.01, 200)


@steady
@given(lifts, shares, shares, st.floats(1, 100))
def test_no_limit_is_above_the_load_constant_nor_below_nothing(
    lift: Lift, coupling: float, frequency: float, constant: float
) -> None:
    assert 0 <= recommended_weight(lift, coupling, frequency, constant) <= constant


@steady
@given(masses, masses, st.floats(0, 100))
def test_a_heavier_load_never_has_the_lower_index(one: float, other: float, limit: float) -> None:
    light, heavy = sorted((one, other))
    assert lifting_index(light, limit) <= lifting_index(heavy, limit)


@steady
@given(masses, st.floats(0.01, 100), st.floats(0.01, 100))
def test_a_lower_limit_never_gives_the_lower_index(load: float, one: float, other: float) -> None:
    low, high = sorted((one, other))
    assert lifting_index(load, high) <= lifting_index(load, low)
    assert lifting_index(load, low) <= lifting_index(load, 0) == math.inf


@steady
@given(lengths, lengths)
def test_reaching_further_and_lifting_further_never_raise_the_limit(one: float, other: float) -> None:
    near, far = sorted((one, other))
    assert horizontal_multiplier(near) >= horizontal_multiplier(far)
    assert distance_multiplier(near) >= distance_multiplier(far)


@steady
@given(angles, angles)
def test_twisting_further_never_raises_the_limit(one: float, other: float) -> None:
    assert asymmetry_multiplier(min(one, other)) >= asymmetry_multiplier(max(one, other))


@steady
@given(st.floats(0, 1))
def test_75_cm_is_the_best_height(away: float) -> None:
    assert vertical_multiplier(0.75 + away) <= vertical_multiplier(0.75) == 1
    assert vertical_multiplier(0.75 - min(away, 0.75)) <= 1


@steady
@given(frequencies, frequencies, times, lengths)
def test_lifting_more_often_never_raises_the_limit(one: float, other: float, working: float, vertical: float) -> None:
    seldom, often = sorted((one, other))
    assert frequency_multiplier(often, working, vertical) <= frequency_multiplier(seldom, working, vertical)


@steady
@given(frequencies, times, times, lengths)
def test_lifting_for_longer_never_raises_the_limit(often: float, one: float, other: float, vertical: float) -> None:
    short, long = sorted((one, other))
    assert frequency_multiplier(often, long, vertical) <= frequency_multiplier(often, short, vertical)


@steady
@given(lengths)
def test_a_better_grip_never_lowers_the_limit(vertical: float) -> None:
    poor, fair, good = (coupling_multiplier(grip, vertical) for grip in (Grip.POOR, Grip.FAIR, Grip.GOOD))
    assert poor < fair <= good == 1


# The ends of the ranges where the equation breaks off: NIOSH 94-110, as the transcription of the manual has them.
@pytest.mark.parametrize(
    ("multiplier", "last", "beyond"),
    [
        (horizontal_multiplier, 0.63, 0.631),
        (vertical_multiplier, 1.75, 1.751),
        (distance_multiplier, 1.75, 1.751),
        (asymmetry_multiplier, math.radians(135), math.radians(136)),
    ],
)
def test_beyond_their_ends_multipliers_are_zero(
    multiplier: Callable[[float], float], last: float, beyond: float
) -> None:
    assert multiplier(last) > 0.3
    assert multiplier(beyond) == 0


def test_frequencies_between_and_beyond_the_rows() -> None:
    # Half way between 0.97 at 0.5 and 0.94 at 1 a minute.
    assert frequency_multiplier(0.75, HOUR, 0.5) == pytest.approx(0.955)
    assert frequency_multiplier(0, HOUR, 0.5) == frequency_multiplier(0.2, HOUR, 0.5) == 1
    assert frequency_multiplier(15, HOUR, 0.75) == 0.28
    assert frequency_multiplier(15.1, HOUR, 0.75) == 0


@pytest.mark.parametrize(
    ("wrong", "said"),
    [
        (lambda: horizontal_multiplier(30), "horizontal is 30 m, and has to be from 0 to 3 m"),
        (lambda: vertical_multiplier(-0.1), "vertical is -0.1 m"),
        (lambda: distance_multiplier(math.nan), "distance is nan m"),
        (lambda: asymmetry_multiplier(45), "asymmetry is 2,578"),
        (lambda: frequency_multiplier(61, HOUR, 1), "per_minute is 61 lifts a minute"),
        (lambda: frequency_multiplier(1, 9 * HOUR, 1), "working is 9 h, and has to be from 0 to 8 h"),
        (lambda: recommended_weight(Lift(0.25, 0.75, 0.25), coupling=1.1), "coupling is 1.1"),
        (lambda: recommended_weight(Lift(0.25, 0.75, 0.25), load_constant=0), "load_constant is 0 kg"),
        (lambda: lifting_index(0, 10), "load is 0 kg"),
        (lambda: lifting_index(10, -1), "limit is -1 kg"),
    ],
)
def test_what_lies_outside_of_the_ranges_is_refused_by_name(wrong: Callable[[], float], said: str) -> None:
    with pytest.raises(ValueError, match=said):
        wrong()


def test_everything_at_its_best_gives_the_load_constant() -> None:
    assert recommended_weight(Lift(0.25, 0.75, 0.25)) == LOAD_CONSTANT
