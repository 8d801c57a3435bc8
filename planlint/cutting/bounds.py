"""What no cut list can do without: bounds on the number of sheets, each proved by a weighting of the pieces."""

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from planlint.cutting.blocks import Panel, Shape
from planlint.cutting.effort import Effort
from planlint.cutting.knapsack import Item, most_valuable
from planlint.cutting.lengths import BarStock, singles
from planlint.cutting.patterns import Counts, Limits, Problem, Weighting, priced
from planlint.cutting.programme import Column

__all__ = ["weightings"]

THRESHOLDS = 4
"""How many thresholds between none and the half are tried on each axis."""
COARSE, FINE, REFINED = 60, 120, 3
"""Into how many sizes pieces are sorted for a bar problem; the best so many are worked out with the finer ones too."""
LIMITS = Limits(prices=2000, pricing=0, search=0, kinds=0)


def weightings(shapes: Sequence[Shape], panels: Sequence[Panel], counts: Counts, effort: Effort) -> Iterator[Weighting]:
    """One after another, the cheap ones first; the last panel is the new sheet.

    By area. By factory edges: the pieces that need one share the long edges as pieces of a bar share its length.
    And by lines across the sheet: pieces that one line crosses share its width, so that prices of a bar problem,
    each times the piece's share of the length, add up to no more than one for a sheet. The shares may be rounded:
    up to all for the long, down to nothing for the short (a dual feasible function: no set of lengths that fits
    then comes to more). The same with the axes changed.

    Source: Fekete and Schepers, A general framework for bounds for higher-dimensional orthogonal packing problems,
    Mathematical Methods of Operations Research 60 (2004), for the rounding, from memory. Prices as weights: own
    decision; they hold because what lies along an axis is an interval graph, and those are perfect.
    """
    yield Weighting(
        tuple(shape.width * shape.length for shape in shapes), tuple(panel.width * panel.length for panel in panels)
    )
    wanted = [kind for kind, number in enumerate(counts) if number]
    if not wanted:
        return
    bounds = _Bounds(shapes, panels, counts, effort)
    if any(shapes[kind].edges for kind in wanted):
        yield bounds.by_edges()
    coarse = []
    for axis in (0, 1):
        for threshold in bounds.thresholds(axis):
            weighting = bounds.by_lines(axis, threshold, COARSE)
            coarse.append((-weighting.worth(counts, range(len(panels) - 1)), axis, threshold))
            yield weighting
    if len(wanted) > COARSE:
        for _, axis, threshold in sorted(coarse)[:REFINED]:
            yield bounds.by_lines(axis, threshold, FINE)


class _Bar(NamedTuple):
    """A panel seen along one axis."""

    capacity: int
    edges: int


class _Share(NamedTuple):
    """A piece in a bar problem: its size along the bar, edges that it takes, and what part of it counts."""

    size: int
    edges: int
    weight: float


class _Bounds:
    def __init__(self, shapes: Sequence[Shape], panels: Sequence[Panel], counts: Counts, effort: Effort) -> None:
        self.panels, self.counts, self.effort = panels, counts, effort
        self.edges = [shape.edges for shape in shapes]
        # A piece that may turn counts as the square that it holds either way.
        self.sides = [(min(shape[:2]),) * 2 if len(list(shape.ways())) > 1 else shape[:2] for shape in shapes]

    def by_edges(self) -> Weighting:
        """The long factory edges are bars; a piece that keeps both is cut from both."""
        pieces = [
            _Share(length, 0, float(edges > 0)) for (_, length), edges in zip(self.sides, self.edges, strict=True)
        ]
        prices = self._prices(pieces, [_Bar(panel.length, 0) for panel in self.panels], FINE)
        return Weighting(
            tuple(price * edges for price, edges in zip(prices.values, self.edges, strict=True)),
            tuple(most * panel.edges for most, panel in zip(prices.most, self.panels, strict=True)),
        )

    def thresholds(self, axis: int) -> list[int]:
        """On the other axis: the half first, as it is the strongest where pieces are long; then none; then some."""
        whole = (self.panels[-1].length, self.panels[-1].width)[axis]
        sizes = {side[1 - axis] for side, number in zip(self.sides, self.counts, strict=True) if number}
        between = sorted(size for size in sizes | {whole - size + 1 for size in sizes} if 0 < 2 * size < whole)
        return list(dict.fromkeys((whole // 2, 0, *between[:: max(1, len(between) // THRESHOLDS)])))

    def by_lines(self, axis: int, threshold: int, classes: int) -> Weighting:
        """Prices along lines on one axis, times the shares on the other that a threshold gives."""
        if axis:
            bars = [_Bar(panel.length, 0) for panel in self.panels]
            wholes = [panel.width for panel in self.panels]
        else:
            bars = [_Bar(panel.width, panel.edges) for panel in self.panels]
            wholes = [panel.length for panel in self.panels]
        whole = wholes[-1]
        other = [side[1 - axis] for side in self.sides]
        shares = [whole if size > whole - threshold else 0 if size < threshold else size for size in other]
        prices = self._prices(
            [
                _Share(side[axis], 0 if axis else edges, share / whole)
                for side, edges, share in zip(self.sides, self.edges, shares, strict=True)
            ],
            bars,
            classes,
        )
        # An offcut holds no more shares than pieces whose sizes come to its own.
        items = list(map(Item, range(len(other)), other, shares, self.counts))
        held = [*(-most_valuable(items, size)[1] for size in wholes[:-1]), whole]
        return Weighting(
            tuple(price * share for price, share in zip(prices.values, shares, strict=True)),
            tuple(most * share for most, share in zip(prices.most, held, strict=True)),
        )

    def _prices(self, pieces: list[_Share], bars: list[_Bar], classes: int) -> Weighting:
        """The prices of a bar problem for each kind of piece."""
        keys = [
            (piece.edges, piece.size) if piece.weight and number else None
            for piece, number in zip(pieces, self.counts, strict=True)
        ]
        rows, sizes = _classes({key for key in keys if key}, classes)
        demand, counts = [0.0] * len(sizes), [0] * len(sizes)
        for key, piece, number in zip(keys, pieces, self.counts, strict=True):
            if key:
                demand[rows[key]] += piece.weight * number
                counts[rows[key]] += number
        last = len(bars) - 1
        stocks = tuple(
            BarStock(bar.capacity, tuple(size for _, size in sizes), bar.edges, tuple(edges for edges, _ in sizes))
            for bar in bars
        )
        problem = Problem(tuple(counts), stocks, tuple(range(last)), _no_plan, singles(len(sizes), last))
        effort = self.effort.part(LIMITS.prices)
        found = priced(problem, demand, LIMITS, effort)[1] if sizes else None
        if found is None:
            return Weighting((0,) * len(pieces), (0,) * last + (1,))
        return Weighting(tuple(found.values[rows[key]] if key else 0 for key in keys), found.most)


def _no_plan(_counts: Counts, _on_hand: tuple[int, ...]) -> list[Column]:
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
