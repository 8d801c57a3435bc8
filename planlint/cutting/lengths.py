"""Cutting bars: which piece comes from which bar, with the fewest new ones."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import chain, repeat

from planlint.cutting.bars import COARSE, FINE, BarStock, Share, bar_prices, singles
from planlint.cutting.effort import Effort
from planlint.cutting.grid import STEPS, metres, steps
from planlint.cutting.knapsack import fullest
from planlint.cutting.patterns import Counts, Limits, Problem, Weighting, fewest
from planlint.cutting.programme import Column

__all__ = ["Bar", "Bars", "cut_lengths"]

LIMITS = Limits(prices=20_000, pricing=0, search=200_000, kinds=120)
NODES = 3_000_000


@dataclass(frozen=True, slots=True)
class Bar:
    """One bar, and the pieces from it in the order of `wanted`."""

    length: float
    pieces: tuple[int, ...]
    """Which of the wanted lengths come from it, counted from 0."""
    offcut: int | None = None
    """Which of the offcuts it is, counted from 0; None for a new bar."""


@dataclass(frozen=True, slots=True)
class Bars:
    """What is cut from which bar. Offcuts come first; the rest are new bars."""

    bars: tuple[Bar, ...]
    bound: int
    """No plan does with fewer new bars than this."""

    @property
    def new(self) -> int:
        """How many new bars it takes."""
        return sum(bar.offcut is None for bar in self.bars)

    @property
    def is_proved(self) -> bool:
        """Whether it is known that fewer new bars will not do."""
        return self.new <= self.bound


def cut_lengths(
    wanted: Sequence[float],
    bar: float | Sequence[float],
    kerf: float = 0.0,
    offcuts: Sequence[float] = (),
    *,
    seconds: float = 10.0,
) -> Bars:
    """Cuts the wanted lengths (m) from offcuts and from the fewest new bars.

    Pieces fit a bar where sum(piece + kerf) <= bar + kerf. Where bars are sold in several lengths, the fewest of the
    longest are taken, and then for each the shortest that holds what is cut from it. All is worked out in steps of
    0.1 mm. ValueError for a length that is none, and for a piece that is longer than every bar.
    """
    saw = steps(kerf, "the kerf", least=0)
    sold = sorted(steps(length, "a bar") for length in ([bar] if isinstance(bar, int | float) else bar))
    pieces = [steps(length, f"piece {number + 1}") for number, length in enumerate(wanted)]
    if pieces and (not sold or max(pieces) > sold[-1]):
        longest = f"the longest bar has {sold[-1] / STEPS:g} m" if sold else "there is no bar"
        raise ValueError(f"a piece of {max(pieces) / STEPS:g} m is wanted, and {longest}")
    sizes = tuple(sorted({piece + saw for piece in pieces}, reverse=True))
    of_kind: dict[int, list[int]] = {size: [] for size in sizes}
    for number, piece in enumerate(pieces):
        of_kind[piece + saw].append(number)
    counts = tuple(len(of_kind[size]) for size in sizes)
    capacities = [*(steps(length, "an offcut") + saw for length in offcuts), *(length + saw for length in sold[-1:])]
    if not pieces:
        return Bars((), 0)
    stocks = tuple(BarStock(capacity, sizes) for capacity in capacities)
    settled, counts = _settled(stocks, counts)
    effort = Effort.of_seconds(seconds, NODES)
    problem = Problem(
        counts,
        stocks,
        tuple(range(len(offcuts))),
        lambda left, on_hand: _spread(stocks, left, on_hand),
        singles(len(sizes), len(offcuts)),
        _weightings(stocks, counts, effort),
    )
    answer = fewest(problem, LIMITS, effort)
    bars = []
    for column in sorted(settled + answer.columns, key=lambda column: (column.stock, column.counts)):
        held = [of_kind[size].pop(0) for size, number in zip(sizes, column.counts, strict=True) for _ in range(number)]
        if column.stock < len(offcuts):
            bars.append(Bar(offcuts[column.stock], tuple(sorted(held)), column.stock))
        else:
            used = sum(pieces[number] + saw for number in held)
            shortest = next(length for length in sold if used <= length + saw)
            bars.append(Bar(metres(shortest), tuple(sorted(held))))
    return Bars(tuple(bars), len(settled) + answer.bound)


def _weightings(stocks: tuple[BarStock, ...], counts: Counts, effort: Effort) -> Iterator[Weighting]:
    """By length; and, where there are many kinds, by the prices of a problem with fewer."""
    sizes = stocks[-1].sizes
    yield Weighting(sizes, tuple(stock.capacity for stock in stocks))
    shares = [Share(size, 0, 1.0, number) for size, number in zip(sizes, counts, strict=True)]
    for classes, finer in ((COARSE, FINE), (FINE, LIMITS.kinds)):
        if sum(map(bool, counts)) > finer:
            yield bar_prices(shares, [(stock.capacity, 0) for stock in stocks], classes, effort)


def _settled(stocks: tuple[BarStock, ...], counts: Counts) -> tuple[list[Column], Counts]:
    """New bars that some best answer has, and what is left to find.

    A piece too long for any offcut comes from a new bar. Where that has room for one more piece at most, the longest
    that fits may as well come from it (whatever stands there instead goes to that one's place); so may one that fills
    it to the end.
    """
    *offcuts, bar = stocks
    sizes, left, columns = bar.sizes, list(counts), list[Column]()
    for kind, size in enumerate(sizes):
        while left[kind] and all(size > offcut.capacity for offcut in offcuts):
            left[kind] -= 1
            room = bar.capacity - size
            others = [other for other, number in enumerate(left) if number and sizes[other] <= room]
            shortest = [sizes[other] for other in reversed(others) for _ in range(min(2, left[other]))][:2]
            if sum(shortest) <= room and len(shortest) > 1 and sizes[others[0]] < room:
                left[kind] += 1
                break
            held = [kind, *others[:1]]
            for other in others[:1]:
                left[other] -= 1
            columns.append(Column(len(offcuts), tuple(held.count(other) for other in range(len(sizes)))))
    return columns, tuple(left)


def _longest_first(stock: BarStock, counts: Counts) -> Counts:
    """The longest piece that still fits, again and again."""
    room, held = stock.capacity, []
    for size, number in zip(stock.sizes, counts, strict=True):
        held.append(min(number, room // size))
        room -= held[-1] * size
    return tuple(held)


def _fullest(stock: BarStock, counts: Counts) -> Counts:
    """As little waste as can be."""
    held = fullest(zip(stock.sizes, counts, strict=True), stock.capacity)
    return tuple(held.get(size, 0) for size in stock.sizes)


def _longest_then_fullest(stock: BarStock, counts: Counts) -> Counts:
    """The longest piece that fits, and beside it as little waste as can be."""
    first = next((n for n, size in enumerate(stock.sizes) if counts[n] and size <= stock.capacity), None)
    if first is None:
        return (0,) * len(counts)
    one = tuple(int(number == first) for number in range(len(counts)))
    rest = BarStock(stock.capacity - stock.sizes[first], stock.sizes)
    return tuple(map(int.__add__, one, _fullest(rest, tuple(map(int.__sub__, counts, one)))))


def _spread(stocks: tuple[BarStock, ...], counts: Counts, on_hand: tuple[int, ...]) -> list[Column]:
    """Fills bar by bar, in each of the ways; the one that needs fewest."""
    plans = []
    for way in (_longest_first, _fullest, _longest_then_fullest):
        left, columns, last = counts, list[Column](), len(stocks) - 1
        for stock in chain(on_hand, repeat(last)):
            if not any(left):
                break
            if any(held := way(stocks[stock], left)):
                times = min(n // h for n, h in zip(left, held, strict=True) if h) if stock == last else 1
                columns += [Column(stock, held)] * times
                left = tuple(number - times * taken for number, taken in zip(left, held, strict=True))
        plans.append(columns)
    return min(plans, key=lambda columns: sum(column.stock == len(stocks) - 1 for column in columns))
