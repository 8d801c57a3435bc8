"""End joints on walls higher than a sheet is long."""

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planlint.takeoff.rows import end_joints


def test_a_sheet_that_is_long_enough_has_no_end_joint() -> None:
    assert end_joints(2.59, 2.60, 0.4, 0.15) == ((), ())
    assert end_joints(2.60, 2.60, 0.4, 0.15) == ((), ())


def test_a_wall_a_little_too_high_gets_no_sliver() -> None:
    """2.59 m from sheets of 2.50 m: 2.44 and 0.15 m, the other way round in every second board."""
    even, odd = end_joints(2.59, 2.50, 0.4, 0.15)
    assert even == pytest.approx([2.44])
    assert odd == pytest.approx([0.15])


def test_two_whole_sheets_leave_no_room_to_stagger() -> None:
    """5.15 m from sheets of 2.60 m: two would do, in line; three of them keep 400 mm."""
    even, odd = end_joints(5.15, 2.60, 0.4, 0.15)
    assert (len(even), len(odd)) == (2, 2)


@given(st.integers(2000, 9000), st.sampled_from([2000, 2400, 2500, 2600, 3000]), st.sampled_from([300, 400, 600]))
def test_pieces_fit_their_sheets_and_joints_keep_apart(high: int, long: int, apart: int) -> None:
    height, length, offset, least = high / 1000, long / 1000, apart / 1000, 0.15
    even, odd = end_joints(height, length, offset, least)
    for joints in (even, odd):
        pieces = [there - here for here, there in pairwise([0.0, *joints, height])]
        assert all(least - 1e-9 <= piece <= length + 1e-6 for piece in pieces)
    assert all(abs(one - other) >= offset - 1e-9 for one in even for other in odd)
