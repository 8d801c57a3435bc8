"""What holds of every cut list of bars; published optima are in reference/test_cutting.py."""

from collections import Counter

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import Bounds, LinearConstraint, milp

from planlint.cutting import Bars, cut_lengths

steady = settings(derandomize=True, deadline=None, max_examples=60)
millimetres = st.integers(200, 3000)
wanted_lists = st.lists(millimetres, min_size=1, max_size=9)
kerfs = st.sampled_from([0, 3])
offcut_lists = st.lists(st.integers(200, 3500), max_size=2)


def cut(wanted: list[int], kerf: int, offcuts: list[int]) -> Bars:
    return cut_lengths([one / 1000 for one in wanted], 3.0, kerf / 1000, [one / 1000 for one in offcuts])


def by_assignment(wanted: list[int], kerf: int, offcuts: list[int]) -> int:
    """The fewest new bars by scipy's mixed-integer programme: which piece lies in which bar."""
    stocks = [*offcuts, *([3000] * len(wanted))]
    pieces, bars = range(len(wanted)), range(len(stocks))
    size = len(wanted) * len(stocks)
    once = [
        [float(n // len(stocks) == piece) if n < size else 0.0 for n in range(size + len(stocks))] for piece in pieces
    ]
    room = []
    for bar in bars:
        row = [0.0] * (size + len(stocks))
        for piece in pieces:
            row[piece * len(stocks) + bar] = wanted[piece] + kerf
        row[size + bar] = -(stocks[bar] + kerf)
        room.append(row)
    cost = [0.0] * size + [float(bar >= len(offcuts)) for bar in bars]
    solved = milp(
        cost,
        constraints=[LinearConstraint(once, 1, 1), LinearConstraint(room, -float("inf"), 0)],
        integrality=[1] * len(cost),
        bounds=Bounds(0, 1),
    )
    assert solved.success
    return round(solved.fun)


@steady
@given(wanted_lists, kerfs, offcut_lists)
def test_every_piece_comes_from_one_bar_that_holds_it(wanted: list[int], kerf: int, offcuts: list[int]) -> None:
    bars = cut(wanted, kerf, offcuts)
    assert sorted(piece for bar in bars.bars for piece in bar.pieces) == list(range(len(wanted)))
    for bar in bars.bars:
        assert sum(wanted[piece] + kerf for piece in bar.pieces) <= round(bar.length * 1000) + kerf
    used = Counter(bar.offcut for bar in bars.bars if bar.offcut is not None)
    assert all(number == 1 and offcut < len(offcuts) for offcut, number in used.items())
    assert all(bar.length == offcuts[bar.offcut] / 1000 for bar in bars.bars if bar.offcut is not None)
    assert [bar.offcut is None for bar in bars.bars] == sorted(bar.offcut is None for bar in bars.bars)


@settings(derandomize=True, deadline=None, max_examples=40)
@given(wanted_lists, kerfs, offcut_lists)
def test_an_integer_programme_needs_as_many(wanted: list[int], kerf: int, offcuts: list[int]) -> None:
    bars = cut(wanted, kerf, offcuts)
    assert bars.is_proved
    assert bars.new == bars.bound == by_assignment(wanted, kerf, offcuts)


@steady
@given(wanted_lists, millimetres, kerfs, offcut_lists)
def test_one_piece_more_never_needs_fewer(wanted: list[int], more: int, kerf: int, offcuts: list[int]) -> None:
    assert (
        cut(wanted, kerf, offcuts).new <= cut([*wanted, more], kerf, offcuts).new <= cut(wanted, kerf, offcuts).new + 1
    )


@steady
@given(wanted_lists, st.integers(200, 3500), kerfs)
def test_an_offcut_never_costs_a_bar(wanted: list[int], offcut: int, kerf: int) -> None:
    assert cut(wanted, kerf, []).new - 1 <= cut(wanted, kerf, [offcut]).new <= cut(wanted, kerf, []).new


def test_shorter_bars_are_taken_where_they_do() -> None:
    bars = cut_lengths([2.4, 1.3, 1.2], [3.0, 2.5])
    # Two bars: the 2.4 alone from a short one, 1.3 and 1.2 together fill another to the end.
    assert [bar.length for bar in bars.bars] == [2.5, 2.5]


def test_many_kinds_are_cut_in_batches() -> None:
    # More kinds than are looked at at once, and each several times: whatever is cut anew, no piece goes astray.
    wanted = [300 + 5 * number for number in range(150)] * 2 + [1200 + 7 * number for number in range(60)] * 3
    bars = cut_lengths([one / 1000 for one in wanted], 3.0, 0.003, [1.5, 0.8], seconds=2)
    assert sorted(piece for bar in bars.bars for piece in bar.pieces) == list(range(len(wanted)))
    assert all(sum(wanted[piece] + 3 for piece in bar.pieces) <= round(bar.length * 1000) + 3 for bar in bars.bars)
    assert bars.bound <= bars.new <= 1.03 * bars.bound


def test_nothing_wanted_needs_nothing() -> None:
    bars = cut_lengths([], 3.0)
    assert (bars.bars, bars.new, bars.bound, bars.is_proved) == ((), 0, 0, True)


def test_it_says_how_far_from_the_bound_it_is_when_the_time_is_up() -> None:
    # Lengths above a third of the bar: by their sum 2 bars could do; that they do not is for the programme to show.
    bars = cut_lengths([1.2, 1.1, 1.3, 1.4, 1.2] * 3, 3.0, seconds=0)
    assert bars.new >= bars.bound
    assert sorted(piece for bar in bars.bars for piece in bar.pieces) == list(range(15))


@pytest.mark.parametrize(
    ("wanted", "bar", "kerf", "said"),
    [
        ([3.001], 3.0, 0.0, "a piece of 3.001 m is wanted, and the longest bar has 3 m"),
        ([1.0], [], 0.0, "there is no bar"),
        ([0.0], 3.0, 0.0, "piece 1 is 0 m"),
        ([1.0, float("nan")], 3.0, 0.0, "piece 2 is nan m"),
        ([1.0], 3.0, -0.001, "the kerf is -0.001 m"),
    ],
)
def test_what_cannot_be_cut_is_said(wanted: list[float], bar: float | list[float], kerf: float, said: str) -> None:
    with pytest.raises(ValueError, match=said):
        cut_lengths(wanted, bar, kerf)
