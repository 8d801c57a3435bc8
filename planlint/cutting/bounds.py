"""What no cut list can do without: bounds on the number of sheets, each proved by a weighting of the pieces."""

from collections.abc import Iterator, Sequence
from itertools import chain

from planlint.cutting.blocks import Panel, Shape
from planlint.cutting.effort import Effort
from planlint.cutting.knapsack import Item, most_valuable
from planlint.cutting.lengths import BarStock, singles
from planlint.cutting.patterns import Counts, Limits, Problem, Weighting, priced

__all__ = ["weightings"]

THRESHOLDS = 4
"""How many thresholds are tried on each axis."""
COARSE, FINE, REFINED = 60, 120, 3
"""Into how many sizes pieces are sorted for a bar problem; the best so many are worked out with the finer ones too."""
LIMITS = Limits(prices=2000, pricing=0, search=0)


def weightings(shapes: Sequence[Shape], panels: Sequence[Panel], counts: Counts, effort: Effort) -> Iterator[Weighting]:
    """One after another, the cheap ones first; the last panel is the new sheet.

    By area. By factory edges: the pieces that need one share the long edges as pieces of a bar share its length.
    And by lines across the sheet: pieces that one line crosses share its width, so that prices of a bar problem,
    each times the piece's share of the length, add up to no more than one for a sheet. The shares may be rounded:
    up to all for the long, down to nothing for the short (a dual feasible function: no set of lengths that fits
    then comes to more). The same with the axes changed.

    Source: Fekete and Schepers, A general framework for bounds for higher-dimensional orthogonal packing problems,
    Mathematical Methods of Operations Research 60 (2004), for the rounding; prices as weights are own decision, they
    hold since what lies along an axis is an interval graph, which is perfect. All from memory.
    """
    yield Weighting(
        tuple(shape.width * shape.length for shape in shapes), tuple(panel.width * panel.length for panel in panels)
    )
    # A piece that may turn counts as the square that it holds either way.
    sides = [(min(shape[:2]),) * 2 if shape.may_turn and not shape.edges else shape[:2] for shape in shapes]
    edges = [shape.edges for shape in shapes]
    if any(map(int.__mul__, edges, counts)):
        lengths = [length for _, length in sides]
        ones = [1.0 if need else 0.0 for need in edges]
        stocks = [(panel.length, 0) for panel in panels]
        prices, most = _prices(lengths, [0] * len(shapes), ones, counts, stocks, FINE, effort)
        yield Weighting(
            tuple(price * need for price, need in zip(prices, edges, strict=True)),
            tuple(value * panel.edges for value, panel in zip(most, panels, strict=True)),
        )
    if not any(counts):
        return
    lines = [
        (axis, threshold)
        for axis in (0, 1)
        for threshold in _thresholds([side[1 - axis] for side in sides], (panels[-1].length, panels[-1].width)[axis])
    ]
    coarse = []
    for line in lines:
        weighting = _by_lines(sides, edges, panels, counts, line, COARSE, effort)
        coarse.append((-weighting.worth(counts, range(len(panels) - 1)), line))
        yield weighting
    for _, line in sorted(coarse)[:REFINED]:
        yield _by_lines(sides, edges, panels, counts, line, FINE, effort)


def _by_lines(
    sides: Sequence[tuple[int, int]],
    edges: Sequence[int],
    panels: Sequence[Panel],
    counts: Counts,
    line: tuple[int, int],
    classes: int,
    effort: Effort,
) -> Weighting:
    """Prices along lines on one axis, times the shares on the other that a threshold gives."""
    axis, threshold = line
    own, other = [side[axis] for side in sides], [side[1 - axis] for side in sides]
    stocks = [(panel.length, 0) if axis else (panel.width, panel.edges) for panel in panels]
    whole = [panel.width if axis else panel.length for panel in panels]
    shares = [_rounded(size, whole[-1], threshold) for size in other]
    room = [_shares_held(other, shares, counts, size) for size in whole[:-1]]
    needs = [0] * len(sides) if axis else edges
    prices, most = _prices(own, needs, [share / whole[-1] for share in shares], counts, stocks, classes, effort)
    return Weighting(
        tuple(price * share for price, share in zip(prices, shares, strict=True)),
        tuple(value * share for value, share in zip(most, (*room, whole[-1]), strict=True)),
    )


def _thresholds(sizes: Sequence[int], whole: int) -> list[int]:
    """The half first, as it is the strongest where pieces are long; then none; then some between."""
    between = sorted(
        {size for size in sizes if 2 * size < whole} | {whole - size + 1 for size in sizes if size < whole}
    )
    between = [size for size in between if 0 < 2 * size < whole]
    step = max(1, len(between) // THRESHOLDS)
    return list(dict.fromkeys(chain((whole // 2, 0), between[::step])))


def _rounded(size: int, whole: int, threshold: int) -> int:
    """The share of a size in a whole, as a part of the whole: all where it leaves less than the threshold."""
    if size > whole - threshold:
        return whole
    return 0 if size < threshold else size


def _shares_held(sizes: Sequence[int], shares: Sequence[int], counts: Counts, room: int) -> int:
    """The most shares that an offcut so long can hold."""
    return -most_valuable(map(Item, range(len(sizes)), sizes, shares, counts), room)[1]


def _classes(keys: Sequence[tuple[int, int]], weights: Sequence[float], number: int) -> list[tuple[int, int]]:
    """The keys, where there are too many the smaller neighbour of each: what fits then fits all the more."""
    kinds = sorted({key for key, weight in zip(keys, weights, strict=True) if weight})
    step = -(-len(kinds) // number) or 1
    least: dict[tuple[int, int], tuple[int, int]] = {}
    for place, key in enumerate(kinds):
        least[key] = key if place % step == 0 or key[0] != kinds[place - 1][0] else least[kinds[place - 1]]
    return [least.get(key, key) for key in keys]


def _prices(
    sizes: Sequence[int],
    edges: Sequence[int],
    weights: Sequence[float],
    counts: Counts,
    stocks: Sequence[tuple[int, int]],
    classes: int,
    effort: Effort,
) -> tuple[list[int], tuple[int, ...]]:
    """The prices of a bar problem for each kind of piece, and the most that each bar (capacity, edges) holds of them."""
    keys = _classes(list(zip(edges, sizes, strict=True)), weights, classes)
    kinds = sorted({key for key, weight in zip(keys, weights, strict=True) if weight}, reverse=True)
    demand, number = [0.0] * len(kinds), [0] * len(kinds)
    row = {key: place for place, key in enumerate(kinds)}
    for key, weight, count in zip(keys, weights, counts, strict=True):
        if weight and count:
            demand[row[key]] += weight * count
            number[row[key]] += count
    needs = tuple(need for need, _ in kinds)
    bars = tuple(BarStock(capacity, tuple(size for _, size in kinds), own, needs) for capacity, own in stocks)
    ones = singles(len(kinds), len(stocks) - 1)
    problem = Problem(tuple(number), bars, tuple(range(len(stocks) - 1)), lambda _counts, _on_hand: [], ones)
    _, weighting = priced(problem, demand, problem.counts, problem.on_hand, LIMITS, effort.part(LIMITS.prices))
    if weighting is None:
        return [0] * len(keys), (0,) * (len(stocks) - 1) + (1,)
    return [weighting.values[row[key]] if key in row else 0 for key in keys], weighting.most
