"""A bar as a stock, and the prices of a bar problem, on which bounds rest for bars and for sheets."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from planlint.cutting.effort import Effort
from planlint.cutting.knapsack import Item, chosen, most_valuable
from planlint.cutting.patterns import Counts, Filling, Limits, Problem, Weighting, priced
from planlint.cutting.programme import Column

__all__ = ["COARSE", "FINE", "BarStock", "Share", "bar_prices", "singles"]

COARSE, FINE = 60, 120
"""Into how many sizes pieces are sorted for prices that come quickly, and for such as take longer."""
LIMITS = Limits(prices=2000, pricing=0, search=0, kinds=0)


@dataclass(frozen=True, slots=True)
class BarStock:
    """A bar to be filled: its length and the lengths of the kinds of piece, each with its kerf."""

    capacity: int
    sizes: tuple[int, ...]
    edges: int = 0
    needs: tuple[int, ...] = ()
    """How many of the bar's edges (see `sheets`) a piece of each kind takes."""

    def best(self, values: Sequence[int], counts: Counts, floor: int, effort: Effort) -> Filling:  # noqa: ARG002 - always exact
        """The most valuable filling that is worth more than `floor`."""
        needs = self.needs or (0,) * len(self.sizes)
        items = map(Item, range(len(counts)), self.sizes, values, counts, needs)
        state = most_valuable(items, self.capacity, self.edges, floor)
        held = [0] * len(counts)
        for number in chosen(state[2]):
            held[number] += 1
        return Filling(tuple(held), -state[1], max(floor, -state[1]))

    def fillings(self, counts: Counts, must: int | None, effort: Effort) -> Iterator[Column]:
        """Every filling to which no piece can be added, the fullest of long pieces first."""
        least = {
            kind: min((self.sizes[other] for other in range(kind, len(counts)) if counts[other]), default=0)
            for kind in range(len(counts) + 1)
        }

        def go(kind: int, room: int, held: tuple[int, ...], skipped: int | None) -> Iterator[tuple[int, ...]]:
            # `skipped` is the shortest piece that was left out although there are more of it.
            effort.spend()
            if kind == len(counts) or room < least[kind]:
                if skipped is None or room < skipped:
                    yield held + (0,) * (len(counts) - kind)
                return
            size = self.sizes[kind]
            most = min(counts[kind], room // size)
            for number in range(most, (1 if kind == must else 0) - 1, -1):
                left_out = size if number < counts[kind] and (skipped is None or size < skipped) else skipped
                yield from go(kind + 1, room - number * size, (*held, number), left_out)

        for held in go(0, self.capacity, (), None):
            if any(held):
                yield Column(0, held)


def singles(kinds: int, stock: int) -> list[Column]:
    """A bar with a single piece, for each kind."""
    return [Column(stock, tuple(int(other == kind) for other in range(kinds))) for kind in range(kinds)]


class Share(NamedTuple):
    """A kind of piece in a bar problem: its size along the bar, the edges it takes, what part counts, how many."""

    size: int
    edges: int
    weight: float
    there: int


def bar_prices(pieces: Sequence[Share], bars: Sequence[tuple[int, int]], classes: int, effort: Effort) -> Weighting:
    """The prices of a problem of bars (capacity and edges, the new one last) for each kind of piece."""
    keys = [(piece.edges, piece.size) if piece.weight and piece.there else None for piece in pieces]
    rows, sizes = _classes({key for key in keys if key}, classes)
    demand, counts = [0.0] * len(sizes), [0] * len(sizes)
    for key, piece in zip(keys, pieces, strict=True):
        if key:
            demand[rows[key]] += piece.weight * piece.there
            counts[rows[key]] += piece.there
    last = len(bars) - 1
    stocks = tuple(
        BarStock(capacity, tuple(size for _, size in sizes), edges, tuple(needs for needs, _ in sizes))
        for capacity, edges in bars
    )
    problem = Problem(tuple(counts), stocks, tuple(range(last)), _no_answer, singles(len(sizes), last))
    found = priced(problem, demand, LIMITS, effort.part(LIMITS.prices))[1] if sizes else None
    if found is None:
        return Weighting((0,) * len(pieces), (0,) * last + (1,))
    return Weighting(tuple(found.values[rows[key]] if key else 0 for key in keys), found.most)


def _no_answer(_counts: Counts, _on_hand: tuple[int, ...]) -> list[Column]:
    return []


def _classes(keys: set[tuple[int, int]], number: int) -> tuple[dict[tuple[int, int], int], list[tuple[int, int]]]:
    """The row of each key, and the sizes of the rows; where there are too many keys, neighbours share the smaller size.

    What is smaller fits all the more, so a bound for the classes is one for the pieces.
    """
    rows: dict[tuple[int, int], int] = {}
    sizes: list[tuple[int, int]] = []
    step = -(-len(keys) // number) or 1
    for place, key in enumerate(sorted(keys)):
        if place % step == 0 or key[0] != sizes[-1][0]:
            sizes.append(key)
        rows[key] = len(sizes) - 1
    return rows, sizes
