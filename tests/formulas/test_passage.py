"""What holds of boards in passages for every input; figures are checked in reference/test_passage.py."""

import math
from collections.abc import Callable

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from planlint.formulas.passage import (
    Sheet,
    Turn,
    headroom_to_stand,
    longest_board,
    longest_sideways,
    longest_through,
    longest_through_hatch,
    touching_length,
)

steady = settings(derandomize=True, deadline=None, max_examples=60)
widths = st.floats(0.3, 5)
more = st.floats(0, 2)
thin = st.floats(0, 0.3)
thick = st.floats(0, 6)
angles = st.floats(0.01, math.pi / 2 - 0.01)
sheets = st.builds(Sheet, st.floats(0.1, 2), st.floats(0.1, 4), st.floats(0.005, 0.05))
turns = st.builds(Turn, widths, widths, st.floats(0.3, 3))
rooms_for_hands = st.floats(0, 0.2)
LITTLE = 1 + 1e-9


@steady
@given(widths, widths, thick, more, more)
def test_a_wider_passage_never_shortens_the_longest_board(
    a: float, b: float, w: float, wider: float, beyond: float
) -> None:
    assert longest_board(a, b, w) <= longest_board(a + wider, b + beyond, w) * LITTLE


@steady
@given(widths, widths, thick, more)
def test_a_thicker_board_is_never_the_longer_one(a: float, b: float, w: float, thicker: float) -> None:
    assert longest_board(a, b, w + thicker) <= longest_board(a, b, w) * LITTLE


@steady
@given(widths, widths, thick)
def test_there_and_back_is_the_same(a: float, b: float, w: float) -> None:
    assert longest_board(a, b, w) == pytest.approx(longest_board(b, a, w))


@steady
@given(widths, widths, thin, angles)
def test_at_no_angle_is_there_less_room_than_the_longest_board_takes(a: float, b: float, w: float, t: float) -> None:
    assume(w < min(a, b))
    assert longest_board(a, b, w) <= touching_length(a, b, w, t) * LITTLE


@steady
@given(widths, widths)
def test_a_line_has_a_closed_form(a: float, b: float) -> None:
    assert longest_board(a, b) == pytest.approx((a ** (2 / 3) + b ** (2 / 3)) ** 1.5)


@steady
@given(widths, st.floats(0, 0.99))
def test_equal_widths_have_a_closed_form(a: float, share: float) -> None:
    assert longest_board(a, a, a * share) == pytest.approx(2 * math.sqrt(2) * a - 2 * a * share)


@steady
@given(widths, widths, thick)
def test_sideways_a_board_is_no_longer_than_a_stretch_is_wide(a: float, b: float, w: float) -> None:
    assert longest_sideways(a, b, w) in (0, a, b)
    assert bool(longest_sideways(a, b, w)) == (w <= max(a, b))


@steady
@given(sheets, turns, rooms_for_hands, st.tuples(more, more, more))
def test_more_room_never_stops_a_sheet(
    sheet: Sheet, turn: Turn, hands: float, room: tuple[float, float, float]
) -> None:
    roomier = Turn(*(side + extra for side, extra in zip(turn, room, strict=True)))
    assert longest_through(sheet, turn, hands) <= longest_through(sheet, roomier, hands) * LITTLE


@steady
@given(sheets, turns, rooms_for_hands, st.floats(0, 0.5))
def test_room_for_hands_never_helps(sheet: Sheet, turn: Turn, hands: float, extra: float) -> None:
    assert longest_through(sheet, turn, hands + extra) <= longest_through(sheet, turn, hands) * LITTLE


@steady
@given(sheets, turns, rooms_for_hands, st.floats(0.1, 1))
def test_a_narrower_sheet_may_be_as_long(sheet: Sheet, turn: Turn, hands: float, share: float) -> None:
    narrower = sheet._replace(width=sheet.width * share)
    assert longest_through(sheet, turn, hands) <= longest_through(narrower, turn, hands) * LITTLE


@steady
@given(sheets, widths, widths, st.floats(0.3, 3), rooms_for_hands)
def test_either_side_of_a_hatch_may_be_named_first(
    sheet: Sheet, one: float, other: float, headroom: float, hands: float
) -> None:
    through = longest_through_hatch(sheet, (one, other), headroom, hands)
    assert through == longest_through_hatch(sheet, (other, one), headroom, hands)


@steady
@given(st.floats(0.1, 4), st.floats(0.1, 4))
def test_standing_a_board_up_takes_more_than_its_longer_side(length: float, width: float) -> None:
    assert max(length, width) < headroom_to_stand(length, width) < length + width


@pytest.mark.parametrize(
    ("wrong", "said"),
    [
        (lambda: longest_board(0, 1), "a is 0 m, and has to be from 0.01 to 1,000 m"),
        (lambda: longest_board(1, 1, -0.1), "w is -0.1 m"),
        (lambda: touching_length(1, 1, 0, 0), "angle is 0 °"),
        (lambda: touching_length(1, 1, 0, math.pi / 2), "angle is 90 °"),
        (lambda: headroom_to_stand(2.6, math.nan), "width is nan m"),
        (lambda: longest_through(Sheet(1200, 2.6, 0.01), Turn(1, 1, 2), 0.05), "width is 1,200 m"),
        (lambda: longest_through(Sheet(1.2, 2.6, 0.01), Turn(1, 1, 0), 0.05), "clear is 0 m"),
        (lambda: longest_through(Sheet(1.2, 2.6, 0.01), Turn(1, 1, 2), 50), "hand_room is 50 m"),
    ],
)
def test_what_lies_outside_of_the_ranges_is_refused_by_name(wrong: Callable[[], float], said: str) -> None:
    with pytest.raises(ValueError, match=said):
        wrong()
