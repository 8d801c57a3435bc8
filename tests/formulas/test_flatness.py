"""What holds of tolerances for every input; their figures are checked in reference/test_joints.py."""

from collections.abc import Callable

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planlint.formulas.flatness import FlatnessRow, flatness_limit, plumb_limit

steady = settings(derandomize=True, deadline=None, max_examples=60)
apart = st.floats(0.1, 15)
sizes = st.floats(0.01, 50)


@steady
@given(st.sampled_from(FlatnessRow), apart, apart)
def test_a_longer_rod_never_allows_less(row: FlatnessRow, one: float, other: float) -> None:
    near, far = sorted((one, other))
    assert flatness_limit(row, near) <= flatness_limit(row, far)


@steady
@given(apart)
def test_what_is_finished_may_be_less_out_of_plane_than_what_is_not(distance: float) -> None:
    fine, finished, raw = (
        flatness_limit(row, distance)
        for row in (FlatnessRow.FINE_WALL, FlatnessRow.FINISHED_WALL, FlatnessRow.RAW_WALL)
    )
    assert fine <= finished <= raw


@steady
@given(st.sampled_from(FlatnessRow), apart)
def test_limits_are_whole_millimetres(row: FlatnessRow, distance: float) -> None:
    millimetres = 1000 * flatness_limit(row, distance)
    assert millimetres == pytest.approx(round(millimetres), abs=1e-9)


@steady
@given(sizes, sizes)
def test_a_larger_part_may_lean_no_less(one: float, other: float) -> None:
    assert plumb_limit(min(one, other)) <= plumb_limit(max(one, other))


@pytest.mark.parametrize(
    ("wrong", "said"),
    [
        (lambda: flatness_limit(FlatnessRow.RAW_WALL, 0.05), "apart is 0.05 m, and has to be from 0.1 to 15 m"),
        (lambda: flatness_limit(FlatnessRow.RAW_WALL, 16), "apart is 16 m"),
        (lambda: plumb_limit(0), "size is 0 m"),
    ],
)
def test_what_lies_outside_of_the_ranges_is_refused_by_name(wrong: Callable[[], float], said: str) -> None:
    with pytest.raises(ValueError, match=said):
        wrong()
