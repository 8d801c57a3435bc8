"""Cutting sheets: which piece comes from where on which sheet, by guillotine cuts, with the fewest new sheets."""

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass

from planlint.cutting.blocks import Packed, Panel, Shape, Spot, Wanted, best_block, every_block, joined
from planlint.cutting.bounds import weightings
from planlint.cutting.effort import Effort
from planlint.cutting.greedy import Greedy
from planlint.cutting.grid import metres, steps
from planlint.cutting.patterns import Counts, Filling, Limits, Problem, fewest
from planlint.cutting.programme import Column
from planlint.cutting.rests import largest_rest

__all__ = ["LEFT", "RIGHT", "Layout", "Offcut", "Placed", "PlacedSheet", "Rect", "Rest", "Sheet", "cut_sheets", "fits"]

LEFT, RIGHT = "left", "right"
LIMITS = Limits(prices=4000, pricing=30_000, search=1_000_000, kinds=60)
NODES = 20_000_000


@dataclass(frozen=True, slots=True)
class Rect:
    """A piece that is wanted (m): its width runs across the sheet and its length along it, unless it may turn."""

    name: str
    width: float
    length: float
    may_turn: bool = False
    needs: frozenset[str] = frozenset()
    """Which of its sides, left and right, have to be long factory edges; such a piece turns end for end at most."""


@dataclass(frozen=True, slots=True)
class Sheet:
    """The sheet that is bought (m)."""

    width: float
    length: float
    factory_edges: bool = True


@dataclass(frozen=True, slots=True)
class Offcut:
    """A piece left over from earlier work (m), and which of its long sides are factory edges."""

    width: float
    length: float
    edges: frozenset[str] = frozenset()


@dataclass(frozen=True, slots=True)
class Placed:
    """A piece on its sheet (m): `x` across the sheet from its left edge, `y` along it, both to the nearer corner."""

    name: str
    x: float
    y: float
    width: float
    """Across the sheet, as it lies."""
    length: float
    turned: int
    """By how many degrees: 0, 90, or 180 where it lies end for end, so that the side it needs is at an edge."""
    number: int
    """Which of the wanted pieces it is, counted from 0."""


@dataclass(frozen=True, slots=True)
class Rest:
    """The largest piece of a sheet that stays whole (m)."""

    x: float
    y: float
    width: float
    length: float


@dataclass(frozen=True, slots=True)
class PlacedSheet:
    """A sheet or an offcut, and what is cut from it."""

    pieces: tuple[Placed, ...]
    offcut: int | None
    """Which of the offcuts it is, counted from 0; None for a new sheet."""
    rest: Rest | None


@dataclass(frozen=True, slots=True)
class Layout:
    """What is cut from what. Offcuts come first; the rest are new sheets."""

    sheets: tuple[PlacedSheet, ...]
    bound: int
    """No cut list does with fewer new sheets than this."""

    @property
    def new(self) -> int:
        """How many new sheets it takes."""
        return sum(sheet.offcut is None for sheet in self.sheets)

    @property
    def is_proved(self) -> bool:
        """Whether it is known that fewer new sheets will not do."""
        return self.new <= self.bound

    @property
    def offcuts_used(self) -> tuple[int, ...]:
        """The offcuts that pieces come from."""
        return tuple(sheet.offcut for sheet in self.sheets if sheet.offcut is not None)


def fits(piece: Rect, sheet: Sheet) -> bool:
    """Whether the piece comes from a new sheet at all."""
    shape = _shape(piece, 0)
    panel = _panel(sheet, 0)
    return any(
        panel.holds(block.width, block.length, block.tie) for block in Wanted([shape], (1,), [0]).blocks(Packed([1]))
    )


def cut_sheets(  # noqa: PLR0913 - what, from what, how, and how long; the last two by name
    pieces: Sequence[Rect],
    sheet: Sheet,
    kerf: float = 0.0,
    offcuts: Sequence[Offcut] = (),
    *,
    seconds: float = 10.0,
    on_progress: Callable[[int, int], None] = lambda _found, _bound: None,
) -> Layout:
    """Cuts the pieces from offcuts and from the fewest new sheets, each cut going through from edge to edge.

    Where several cut lists need as few, the one of those seen that leaves the largest piece whole is taken.
    `on_progress` hears of the new sheets of the best cut list and of the bound, whenever they change. The same input
    gives the same answer as long as `seconds` do not run out. ValueError for a length that is none, and for a piece
    that does not come from a new sheet.
    """
    saw = steps(kerf, "the kerf", least=0)
    for piece in pieces:
        if not fits(piece, sheet):
            raise ValueError(_too_large(piece, sheet))
    of_shape: dict[Shape, list[int]] = {}
    for number, piece in enumerate(pieces):
        of_shape.setdefault(_shape(piece, saw), []).append(number)
    shapes = tuple(sorted(of_shape, key=lambda shape: (-shape.width * shape.length, shape)))
    stocks: list[Sheet | Offcut] = [*offcuts, sheet]
    panels = tuple(_panel(stock, saw) for stock in stocks)
    cutter = _Cutter(shapes, panels)
    counts = tuple(len(of_shape[shape]) for shape in shapes)
    alone, counts = cutter.alone(counts)
    effort = Effort.of_seconds(seconds, NODES)
    problem = Problem(
        counts,
        tuple(_SheetStock(cutter, panel) for panel in panels),
        tuple(range(len(offcuts))),
        cutter.spread,
        [cutter.single(kind) for kind in range(len(shapes))],
        weightings(shapes, panels, counts, effort),
        rank=cutter.rank,
    )
    more = len(alone)
    answer = fewest(problem, LIMITS, effort, lambda new, bound: on_progress(new + more, bound + more))
    waiting = {shape: iter(numbers) for shape, numbers in of_shape.items()}
    sheets = []
    for column in sorted((*answer.columns, *alone), key=lambda column: (column.stock, [-n for n in column.counts])):
        stock = stocks[column.stock]
        spots, rest = _as_cut(column, stock, panels[column.stock], saw)
        placed = []
        for spot in spots:
            number = next(waiting[shapes[spot.shape]])
            placed.append(_placed(pieces[number], number, spot, stock, saw))
        sheets.append(PlacedSheet(tuple(placed), column.stock if column.stock < len(offcuts) else None, rest))
    return Layout(tuple(sheets), answer.bound + more)


def _shape(piece: Rect, saw: int) -> Shape:
    width, length = (steps(side, f"a side of {piece.name}") for side in (piece.width, piece.length))
    if not piece.needs <= {LEFT, RIGHT}:
        raise ValueError(f"{piece.name} needs an edge that is neither {LEFT} nor {RIGHT}")
    return Shape(width + saw, length + saw, len(piece.needs), piece.may_turn and not piece.needs)


def _panel(stock: Sheet | Offcut, saw: int) -> Panel:
    width, length = (steps(side, "a side of a sheet or an offcut") for side in (stock.width, stock.length))
    return Panel(width + saw, length + saw, len(_edges(stock)))


def _too_large(piece: Rect, sheet: Sheet) -> str:
    said = f"{piece.name} of {piece.width:g} × {piece.length:g} m does not come from a sheet of {sheet.width:g} × "
    needs = " and ".join(sorted(piece.needs))
    return f"{said}{sheet.length:g} m" + (f" with a factory edge {needs}" if needs else "")


def _edges(stock: Sheet | Offcut) -> frozenset[str]:
    if isinstance(stock, Sheet):
        return frozenset((LEFT, RIGHT)) if stock.factory_edges else frozenset()
    return stock.edges


def _as_cut(column: Column, stock: Sheet | Offcut, panel: Panel, saw: int) -> tuple[list[Spot], Rest | None]:
    """Where the pieces of a column lie, from the left on, and the largest rest."""
    spots = list(_spots(column))
    if _edges(stock) == {RIGHT}:
        # It was planned as if its one factory edge were the left one.
        spots = [spot._replace(x=panel.width - spot.x - spot.width) for spot in spots]
    rest = largest_rest(panel.width, panel.length, spots, saw)
    return sorted(spots, key=lambda spot: (spot.x, spot.y)), rest and Rest(*map(metres, rest))


def _placed(piece: Rect, number: int, spot: Spot, stock: Sheet | Offcut, saw: int) -> Placed:
    x, y, width, length = map(metres, (spot.x, spot.y, spot.width - saw, spot.length - saw))
    sides = {LEFT} if spot.x == 0 else set()
    if spot.x + spot.width - saw == steps(stock.width, "a sheet"):
        sides.add(RIGHT)
    turned = 90 if spot.turned else 0 if piece.needs <= sides & _edges(stock) else 180
    return Placed(piece.name, x, y, width, length, turned, number)


class _Cutter:
    """All that is known of the pieces and the sheets of one cut list."""

    def __init__(self, shapes: tuple[Shape, ...], panels: tuple[Panel, ...]) -> None:
        self.shapes = shapes
        self.panels = panels
        self._rests: dict[tuple[int, tuple[Spot, ...]], int] = {}

    def alone(self, counts: Counts) -> tuple[list[Column], Counts]:
        """The pieces that share a new sheet with no other and come from no offcut, and what is left without them."""
        *offcuts, new = self.panels
        ones = [list(Wanted([shape], (1,), [0]).blocks(Packed([1]))) for shape in self.shapes]

        def share(first: int, second: int) -> bool:
            return any(
                new.holds(both.width, both.length, both.tie)
                for one in ones[first]
                for other in ones[second]
                for both in joined(one, other, new)
            )

        columns, left = list[Column](), list(counts)
        for kind, number in enumerate(counts):
            others = [other for other, there in enumerate(counts) if there and (other != kind or number > 1)]
            held = any(panel.holds(one.width, one.length, one.tie) for panel in offcuts for one in ones[kind])
            if not held and not any(share(kind, other) for other in others):
                columns += [self.single(kind)] * number
                left[kind] = 0
        return columns, tuple(left)

    def single(self, kind: int) -> Column:
        """A new sheet with one piece."""
        width, length, turned = next(
            way
            for way in self.shapes[kind].ways()
            if way[0] <= self.panels[-1].width and way[1] <= self.panels[-1].length
        )
        one = tuple(int(other == kind) for other in range(len(self.shapes)))
        return Column(len(self.panels) - 1, one, (Spot(kind, 0, 0, width, length, turned),))

    def spread(self, counts: Counts, on_hand: tuple[int, ...]) -> list[Column]:
        """The best of the quick ways."""
        last = len(self.panels) - 1
        plans = Greedy(self.shapes, self.panels).spreads(counts, on_hand)
        return min(plans, key=lambda plan: (sum(column.stock == last for column in plan), -self.rank(plan)))

    def rank(self, columns: Iterable[Column]) -> int:
        """The area of the largest piece that a new sheet keeps whole."""
        last = len(self.panels) - 1
        return max((self._rest(column) for column in columns if column.stock == last), default=0)

    def _rest(self, column: Column) -> int:
        key = (column.stock, _spots(column))
        if key not in self._rests:
            panel = self.panels[column.stock]
            rest = largest_rest(panel.width, panel.length, key[1], 0)
            self._rests[key] = rest.width * rest.length if rest else 0
        return self._rests[key]


def _spots(column: Column) -> tuple[Spot, ...]:
    """Where the pieces of a column lie; without those that rounding gave to other sheets."""
    left, kept = list(column.counts), []
    for spot in column.detail:
        if left[spot.shape]:
            left[spot.shape] -= 1
            kept.append(spot)
    return tuple(kept)


@dataclass(frozen=True, slots=True)
class _SheetStock:
    """A sheet to be filled."""

    cutter: _Cutter
    panel: Panel

    def best(self, values: Sequence[int], counts: Counts, floor: int, effort: Effort) -> Filling:
        """The most valuable filling that the effort allows to find."""
        block, most, packed = best_block(Wanted(self.cutter.shapes, counts, values), self.panel, floor, effort)
        if block is None:
            return Filling((0,) * len(counts), 0, most)
        return Filling(packed.unpack(block.used), block.value, most, tuple(block.spots(0, self.panel.width)))

    def fillings(self, counts: Counts, must: int | None, effort: Effort) -> Iterator[Column]:
        """Every filling to which no piece can be added."""
        packed, fronts = every_block(Wanted(self.cutter.shapes, counts, [0] * len(counts)), self.panel, effort)
        sets = [(used, front) for used, front in fronts.items() if must is None or packed.count(used, must)]
        sets.sort(key=lambda pair: (-sum(packed.unpack(pair[0])), pair[0]))
        kept: list[int] = []
        for used, front in sets:
            effort.spend(1 + len(kept) // 64)
            if not any(packed.within(used, larger) for larger in kept):
                kept.append(used)
                block = min(
                    front, key=lambda block: min(block.width * self.panel.length, block.length * self.panel.width)
                )
                yield Column(0, packed.unpack(used), tuple(block.spots(0, self.panel.width)))
