"""What holds of counts of fixings for every input; their figures are checked in reference/test_joints.py."""

from collections.abc import Callable

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planlint.formulas.counting import whole_above
from planlint.formulas.fixing import bead_length, frame_fixings, screws, supports

steady = settings(derandomize=True, deadline=None, max_examples=60)
sides = st.floats(0.5, 6)
corners = st.floats(0.05, 0.2)
spacings = st.floats(0.1, 1)
LITTLE = 1 + 1e-9


@steady
@given(sides, corners, spacings)
def test_no_two_fixings_are_further_apart_than_the_spacing(side: float, corner: float, spacing: float) -> None:
    count = frame_fixings(side, corner, spacing)
    assert (side - 2 * corner) / (count - 1) <= spacing * LITTLE
    if count > 2:  # one less would not do
        assert (side - 2 * corner) / (count - 2) > spacing


@steady
@given(sides, sides, corners, spacings)
def test_a_longer_side_never_takes_fewer(one: float, other: float, corner: float, spacing: float) -> None:
    short, long = sorted((one, other))
    assert frame_fixings(short, corner, spacing) <= frame_fixings(long, corner, spacing)


@steady
@given(sides, st.integers(1, 12), spacings)
def test_screws_reach_along_the_whole_board(length: float, count: int, spacing: float) -> None:
    each, rest = divmod(screws(count, length, spacing), count)
    assert rest == 0
    assert (each - 1) * spacing >= (length - 0.020) / LITTLE
    assert (each - 2) * spacing < length - 0.020


@steady
@given(st.integers(1, 40), spacings)
def test_a_width_of_whole_spaces_takes_no_support_more(spaces: int, spacing: float) -> None:
    assert supports(spaces * spacing, spacing) == spaces + 1
    assert supports(spaces * spacing + 0.01 * spacing, spacing) == spaces + 2


@steady
@given(sides, sides)
def test_a_sill_adds_the_width_once_more(width: float, height: float) -> None:
    assert bead_length(width, height, has_sill=True) - bead_length(width, height) == pytest.approx(width)


def test_whole_numbers_have_no_noise() -> None:
    assert [whole_above(value) for value in (0, 0.1 + 0.2, 3 * 1.1 / 1.1, 2.000001)] == [0, 1, 3, 3]


@pytest.mark.parametrize(
    ("wrong", "said"),
    [
        (lambda: frame_fixings(1200, 0.15, 0.7), "length is 1,200 m, and has to be from 0.001 to 100 m"),
        (lambda: frame_fixings(1.2, -0.15, 0.7), "from_corner is -150 mm"),
        (lambda: frame_fixings(1.2, 0.15, 0), "spacing is 0 mm"),
        (lambda: bead_length(0, 1), "width is 0 m"),
        (lambda: supports(1.2, 600), "spacing is 600,000 mm"),
        (lambda: screws(-1, 2.6, 0.25), "supported_by is -1"),
        (lambda: screws(3, 2.6, 0.25, edges=20), "edges is 20,000 mm"),
    ],
)
def test_what_lies_outside_of_the_ranges_is_refused_by_name(wrong: Callable[[], float], said: str) -> None:
    with pytest.raises(ValueError, match=said):
        wrong()
