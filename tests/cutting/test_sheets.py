"""What holds of every cut list of sheets, checked by a reading of our own and, for few pieces, by trying all ways."""

from collections.abc import Iterator
from functools import cache
from itertools import combinations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planlint.cutting import LEFT, RIGHT, Layout, Offcut, Placed, PlacedSheet, Rect, Sheet, cut_sheets, fits

steady = settings(derandomize=True, deadline=None, max_examples=50)
BOARD = Sheet(0.6, 2.6)
NO_EDGE = frozenset[str]()
NEEDS = [NO_EDGE, NO_EDGE, NO_EDGE, frozenset({LEFT}), frozenset({RIGHT})]


@st.composite
def pieces(draw: st.DrawFn) -> Rect:
    is_whole = draw(st.integers(0, 9)) == 0
    width = 600 if is_whole else draw(st.integers(60, 600))
    length = draw(st.sampled_from([2590, 2580, 1290, 880]) | st.integers(100, 2600))
    needs = frozenset({LEFT, RIGHT}) if is_whole else draw(st.sampled_from(NEEDS))
    may_turn = not needs and draw(st.booleans())
    return Rect("piece", width / 1000, length / 1000, may_turn, needs)


offcut_lists = st.lists(
    st.builds(
        lambda width, length, edges: Offcut(width / 1000, length / 1000, edges),
        st.integers(80, 700),
        st.integers(200, 2600),
        st.sampled_from([NO_EDGE, NO_EDGE, frozenset({LEFT}), frozenset({RIGHT}), frozenset({LEFT, RIGHT})]),
    ),
    max_size=2,
)
kerfs = st.sampled_from([0.0, 0.003])
piece_lists = st.lists(pieces(), min_size=1, max_size=10)

Box = tuple[int, int, int, int]


def tenths(length: float) -> int:
    return round(length * 10_000)


def box(piece: Placed) -> Box:
    x, y = tenths(piece.x), tenths(piece.y)
    return x, y, x + tenths(piece.width), y + tenths(piece.length)


def cuts_through(boxes: list[Box], kerf: int) -> bool:
    """Whether cuts from edge to edge, each a kerf wide at least, part all boxes from another."""
    if len(boxes) < 2:
        return True
    for axis in (0, 1):
        ordered = sorted(boxes, key=lambda one: one[axis])
        reach = ordered[0][axis + 2]
        for place, one in enumerate(ordered[1:], 1):
            if one[axis] >= reach + kerf:
                # One cut that works never spoils another: what it parts can be parted in any case.
                return cuts_through(ordered[:place], kerf) and cuts_through(ordered[place:], kerf)
            reach = max(reach, one[axis + 2])
    return False


def check(wanted: list[Rect], kerf: float, offcuts: list[Offcut], layout: Layout, board: Sheet = BOARD) -> None:
    placed = [piece for sheet in layout.sheets for piece in sheet.pieces]
    assert sorted(piece.number for piece in placed) == list(range(len(wanted)))
    assert layout.new >= layout.bound
    assert len(set(layout.offcuts_used)) == len(layout.offcuts_used)
    for sheet in layout.sheets:
        stock = board if sheet.offcut is None else offcuts[sheet.offcut]
        check_sheet(wanted, kerf, sheet, stock)


def check_sheet(wanted: list[Rect], kerf: float, sheet: PlacedSheet, stock: Sheet | Offcut) -> None:
    edges = stock.edges if isinstance(stock, Offcut) else frozenset({LEFT, RIGHT} if stock.factory_edges else ())
    boxes = []
    for piece in sheet.pieces:
        asked, own = wanted[piece.number], box(piece)
        sides = (tenths(asked.width), tenths(asked.length))
        assert (own[2] - own[0], own[3] - own[1]) == (sides[::-1] if piece.turned == 90 else sides)
        assert piece.name == asked.name
        assert asked.may_turn or piece.turned != 90
        assert own[0] >= 0
        assert own[1] >= 0
        assert own[2] <= tenths(stock.width)
        assert own[3] <= tenths(stock.length)
        for need in asked.needs:
            # End for end, the side that was left lies right.
            side = need if piece.turned == 0 else {LEFT: RIGHT, RIGHT: LEFT}[need]
            assert side in edges
            assert own[0] == 0 if side == LEFT else own[2] == tenths(stock.width)
        boxes.append(own)
    if sheet.rest is not None:
        rest = sheet.rest
        boxes.append(box(Placed("rest", rest.x, rest.y, rest.width, rest.length, 0, 0)))
        assert 0 <= boxes[-1][0] < boxes[-1][2] <= tenths(stock.width)
        assert 0 <= boxes[-1][1] < boxes[-1][3] <= tenths(stock.length)
    assert cuts_through(boxes, tenths(kerf))


# ---- Every cut list ------------------------------------------------------------------------------------------------


@steady
@given(piece_lists, kerfs, offcut_lists)
def test_a_cut_list_can_be_cut(wanted: list[Rect], kerf: float, offcuts: list[Offcut]) -> None:
    check(wanted, kerf, offcuts, cut_sheets(wanted, BOARD, kerf, offcuts))


@settings(derandomize=True, deadline=None, max_examples=15)
@given(st.lists(pieces(), min_size=1, max_size=8), kerfs)
def test_the_same_pieces_give_the_same_cut_list(wanted: list[Rect], kerf: float) -> None:
    assert cut_sheets(wanted, BOARD, kerf) == cut_sheets(wanted, BOARD, kerf)


@settings(derandomize=True, deadline=None, max_examples=25)
@given(st.lists(pieces(), min_size=1, max_size=7), pieces(), kerfs)
def test_one_piece_more_never_needs_fewer(wanted: list[Rect], more: Rect, kerf: float) -> None:
    before, after = cut_sheets(wanted, BOARD, kerf), cut_sheets([*wanted, more], BOARD, kerf)
    assert before.is_proved
    assert after.is_proved
    assert before.new <= after.new <= before.new + 1


# ---- Few pieces: all ways ------------------------------------------------------------------------------------------


class Trier:
    """Whether through cuts give some pieces: every parting of them in two, and every place of the cut for it."""

    def __init__(self, parts: tuple[Rect, ...]) -> None:
        self.parts = [(tenths(part.width), tenths(part.length), part) for part in parts]
        self.widths = sums([{width, length} if part.may_turn else {width} for width, length, part in self.parts])
        self.lengths = sums([{width, length} if part.may_turn else {length} for width, length, part in self.parts])
        self.gives = cache(self._gives)

    def lies(self, number: int, across: int, along: int, edges: int) -> bool:
        width, length, part = self.parts[number]
        if part.may_turn:
            return (width <= across and length <= along) or (length <= across and width <= along)
        needs = len(part.needs)
        return width <= across and length <= along and needs <= edges and (needs < 2 or width == across)

    def _gives(self, group: frozenset[int], across: int, along: int, edges: int) -> bool:
        if len(group) == 1:
            return self.lies(next(iter(group)), across, along, edges)
        return any(
            self.ends(one, group - one, across, along, edges) or self.sides(one, group - one, across, along, edges)
            for one in halves(group)
        )

    def ends(self, one: frozenset[int], rest: frozenset[int], across: int, along: int, edges: int) -> bool:
        return any(
            self.gives(one, across, cut, edges) and self.gives(rest, across, along - cut, edges)
            for cut in self.lengths
            if cut < along
        )

    def sides(self, one: frozenset[int], rest: frozenset[int], across: int, along: int, edges: int) -> bool:
        # Of two edges each part has one; of one, either part may have it.
        return any(
            self.gives(one, cut, along, mine) and self.gives(rest, across - cut, along, edges - mine)
            for cut in self.widths
            if cut < across
            for mine in ({1} if edges == 2 else {edges, 0})
        )


def sums(sides: list[set[int]]) -> list[int]:
    found = {0}
    for choice in sides:
        found |= {one + side for one in found for side in choice}
    return sorted(found - {0})


def halves(group: frozenset[int]) -> Iterator[frozenset[int]]:
    for size in range(1, len(group)):
        yield from map(frozenset, combinations(sorted(group), size))


def fewest_by_trying(wanted: tuple[Rect, ...], board: Sheet) -> int:
    width, length, edges = tenths(board.width), tenths(board.length), 2 if board.factory_edges else 0

    @cache
    def held(group: frozenset[int]) -> bool:
        parts = tuple(wanted[number] for number in sorted(group))
        return Trier(parts).gives(frozenset(range(len(parts))), width, length, edges)

    def go(left: frozenset[int]) -> int:
        if not left:
            return 0
        first = min(left)
        others = sorted(left - {first})
        groups = (frozenset({first, *more}) for size in range(len(others) + 1) for more in combinations(others, size))
        return min(1 + go(left - group) for group in groups if held(group))

    return go(frozenset(range(len(wanted))))


@settings(derandomize=True, deadline=None, max_examples=40)
@given(st.lists(pieces(), min_size=1, max_size=4), st.sampled_from([Sheet(0.6, 2.6), Sheet(0.9, 2.6)]))
def test_trying_all_ways_needs_as_many(wanted: list[Rect], board: Sheet) -> None:
    wanted = [piece for piece in wanted if fits(piece, board)]
    layout = cut_sheets(wanted, board)
    assert layout.is_proved
    assert layout.new == fewest_by_trying(tuple(wanted), board)


# ---- Edges, grain, offcuts -----------------------------------------------------------------------------------------


def of(width: int, length: int, *needs: str, may_turn: bool = False) -> Rect:
    return Rect("a", width / 1000, length / 1000, may_turn, frozenset(needs))


def test_a_sheet_has_two_factory_edges() -> None:
    # Six strips of 100 mm would come from one sheet; each needs an edge, and a sheet has two.
    wanted = [of(100, 2590, LEFT)] * 6
    layout = cut_sheets(wanted, BOARD)
    assert (layout.new, layout.bound) == (3, 3)
    check(wanted, 0, [], layout)
    assert sorted(piece.turned for sheet in layout.sheets for piece in sheet.pieces) == [0, 0, 0, 180, 180, 180]
    assert cut_sheets([of(100, 2590)] * 6, BOARD).new == 1


def test_short_pieces_share_an_edge() -> None:
    layout = cut_sheets([of(100, 1300, LEFT)] * 4, BOARD)
    assert layout.new == 1
    assert cut_sheets([of(100, 1300, LEFT)] * 4, BOARD, 0.003).new == 2


def test_a_piece_with_both_edges_is_as_wide_as_the_sheet() -> None:
    assert fits(of(600, 2590, LEFT, RIGHT), BOARD)
    assert not fits(of(599, 2590, LEFT, RIGHT), BOARD)
    assert not fits(of(600, 2590, LEFT), Sheet(0.6, 2.6, factory_edges=False))
    with pytest.raises(ValueError, match=r"a of 0\.599 × 2\.59 m does not come from a sheet of 0\.6 × 2\.6 m"):
        cut_sheets([of(599, 2590, LEFT, RIGHT)], BOARD)


def test_grain_runs_along_the_sheet() -> None:
    wanted = [of(700, 500), of(700, 500)]
    with pytest.raises(ValueError, match="does not come from a sheet"):
        cut_sheets(wanted, BOARD)
    layout = cut_sheets([of(700, 500, may_turn=True)] * 2, BOARD)
    assert {piece.turned for sheet in layout.sheets for piece in sheet.pieces} == {90}


def test_offcuts_come_first() -> None:
    layout = cut_sheets([of(250, 1000), of(600, 2590)], BOARD, 0, [Offcut(0.3, 1.0), Offcut(0.3, 1.2)])
    assert layout.new == layout.bound == 1
    assert len(layout.offcuts_used) == 1
    assert layout.sheets[0].offcut is not None


def test_an_offcut_has_the_edges_that_are_said() -> None:
    wanted = [of(250, 1000, LEFT)]
    assert cut_sheets(wanted, BOARD, 0, [Offcut(0.3, 1.2)]).new == 1
    layout = cut_sheets(wanted, BOARD, 0, [Offcut(0.3, 1.2, frozenset({RIGHT}))])
    assert layout.new == 0
    # Turned end for end, its left side lies at the offcut's right edge.
    (piece,) = layout.sheets[0].pieces
    assert piece.x == pytest.approx(0.05)
    assert piece.turned == 180


def test_the_larger_rest_is_kept_whole() -> None:
    layout = cut_sheets([of(600, 1000), of(300, 500), of(300, 500)], BOARD)
    rest = layout.sheets[0].rest
    assert rest is not None
    assert rest.width == pytest.approx(0.6)
    assert rest.length == pytest.approx(1.1)


def test_pieces_that_fill_a_sheet_leave_no_rest() -> None:
    layout = cut_sheets([of(600, 1300), of(600, 1300)], BOARD)
    assert [sheet.rest for sheet in layout.sheets] == [None]


def test_many_kinds_are_cut_in_batches() -> None:
    # More kinds than are looked at at once, and each several times: whatever is cut anew, no piece goes astray.
    tall = [of(150 + 5 * number, 2400 + 3 * number, *([LEFT] if number % 4 == 0 else [])) for number in range(60)] * 2
    low = [of(100 + 6 * number, 300 + 11 * number) for number in range(60)]
    offcuts = [Offcut(0.5, 1.1), Offcut(0.3, 2.5, frozenset({LEFT}))]
    layout = cut_sheets(tall + low, BOARD, 0.003, offcuts, seconds=2)
    check(tall + low, 0.003, offcuts, layout)
    assert layout.new <= 1.03 * layout.bound


def test_no_pieces_need_no_sheet() -> None:
    layout = cut_sheets([], BOARD)
    assert (layout.sheets, layout.new, layout.bound) == ((), 0, 0)


def test_progress_is_told() -> None:
    told: list[tuple[int, int]] = []
    wanted = [of(100 + 7 * number, 2590 - number) for number in range(30)]
    layout = cut_sheets(wanted, BOARD, on_progress=lambda found, bound: told.append((found, bound)))
    assert told
    assert told[-1] == (layout.new, layout.bound)
    assert [found for found, _ in told] == sorted((found for found, _ in told), reverse=True)
    assert [bound for _, bound in told] == sorted(bound for _, bound in told)


def test_when_the_time_is_up_it_says_how_far_from_the_bound_it_is() -> None:
    wanted = [of(150 + 11 * number, 2590 - 3 * number) for number in range(30)]
    layout = cut_sheets(wanted, BOARD, 0.003, seconds=0)
    check(wanted, 0.003, [], layout)


@pytest.mark.parametrize(
    ("piece", "said"),
    [
        (Rect("lid", 0.0, 1.0), "a side of lid is 0 m"),
        (Rect("lid", 0.1, float("inf")), "a side of lid is inf m"),
        (Rect("lid", 0.1, 1.0, needs=frozenset({"top"})), "lid needs an edge that is neither left nor right"),
    ],
)
def test_what_is_no_piece_is_said(piece: Rect, said: str) -> None:
    with pytest.raises(ValueError, match=said):
        cut_sheets([piece], BOARD)
