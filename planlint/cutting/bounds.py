"""What no cut list can do without: bounds on the number of sheets, each proved by a weighting of the pieces."""

from collections.abc import Iterator, Sequence

from planlint.cutting.bars import COARSE, FINE, Share, bar_prices
from planlint.cutting.blocks import Panel, Shape
from planlint.cutting.effort import Effort
from planlint.cutting.knapsack import Item, most_valuable
from planlint.cutting.patterns import Counts, Weighting

__all__ = ["weightings"]

THRESHOLDS = 4
"""How many thresholds between none and the half are tried on each axis."""
REFINED = 3
"""How many of the best weightings are worked out with finer sizes too."""


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


class _Bounds:
    def __init__(self, shapes: Sequence[Shape], panels: Sequence[Panel], counts: Counts, effort: Effort) -> None:
        self.panels, self.counts, self.effort = panels, counts, effort
        self.edges = [shape.edges for shape in shapes]
        # A piece that may turn counts as the square that it holds either way.
        self.sides = [(min(shape[:2]),) * 2 if len(list(shape.ways())) > 1 else shape[:2] for shape in shapes]

    def by_edges(self) -> Weighting:
        """The long factory edges are bars; a piece that keeps both is cut from both."""
        pieces = [
            Share(length, 0, float(edges > 0), number)
            for (_, length), edges, number in zip(self.sides, self.edges, self.counts, strict=True)
        ]
        prices = bar_prices(pieces, [(panel.length, 0) for panel in self.panels], FINE, self.effort)
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
            bars = [(panel.length, 0) for panel in self.panels]
            wholes = [panel.width for panel in self.panels]
        else:
            bars = [(panel.width, panel.edges) for panel in self.panels]
            wholes = [panel.length for panel in self.panels]
        whole = wholes[-1]
        other = [side[1 - axis] for side in self.sides]
        shares = [whole if size > whole - threshold else 0 if size < threshold else size for size in other]
        pieces = [
            Share(side[axis], 0 if axis else edges, share / whole, number)
            for side, edges, share, number in zip(self.sides, self.edges, shares, self.counts, strict=True)
        ]
        prices = bar_prices(pieces, bars, classes, self.effort)
        # An offcut holds no more shares than pieces whose sizes come to its own.
        items = list(map(Item, range(len(other)), other, shares, self.counts))
        held = [*(-most_valuable(items, size)[1] for size in wholes[:-1]), whole]
        return Weighting(
            tuple(price * share for price, share in zip(prices.values, shares, strict=True)),
            tuple(most * share for most, share in zip(prices.most, held, strict=True)),
        )
