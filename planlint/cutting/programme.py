"""A linear programme over patterns: how many of which filling cover what is wanted with the least new stock."""

from collections.abc import Callable, Iterable, Sequence
from typing import Any, NamedTuple

from planlint.cutting.effort import Effort

__all__ = ["Column", "solve"]

EPSILON = 1e-9
NUDGE = 1e-7
"""What is added to the demands, a little more for each, lest many bases be worth the same."""


class Column(NamedTuple):
    """One filling of one kind of stock: how many of each kind of piece. The last kind is the new stock, which costs."""

    stock: int
    counts: tuple[int, ...]
    detail: tuple[Any, ...] = ()
    """Whatever the filler wants to see again, for instance where each piece lies."""


def solve(
    demand: Sequence[float],
    stocks: int,
    pool: list[Column],
    price: Callable[[Sequence[float], Sequence[float]], Iterable[Column]],
    effort: Effort,
) -> list[tuple[Column, float]]:
    """How much of each column: revised simplex over `pool`, to which `price` adds what lowers the cost while it can.

    There is one of each of the `stocks` on hand; new stock is numbered after them. The pool begins with a new stock
    for a single piece of each kind: these are the start, so that there is always a solution. Floats are good enough,
    for whoever states a bound works it out from the prices again, in whole numbers.
    """
    kinds = len(demand)
    rows = kinds + stocks
    level = [amount + NUDGE * (row + 1) for row, amount in enumerate((*demand, *[1] * stocks))]
    # The inverse of the basis, column by column: almost all work is adding a multiple of one list to another.
    inverse = [[float(row == column) for row in range(rows)] for column in range(rows)]
    basis: list[Column | None] = [*pool[:kinds], *[None] * stocks]
    duals = [1.0] * kinds + [0.0] * stocks
    entries: list[list[tuple[int, float]]] = []
    while True:
        effort.spend()
        for column in pool[len(entries) :]:
            own = [(kind, float(count)) for kind, count in enumerate(column.counts) if count]
            entries.append(own if column.stock == stocks else [*own, (kinds + column.stock, 1.0)])
        entering, vector, gain = _best_of_pool(pool, entries, duals, stocks)
        if entering is None:
            # More than is wanted of a kind, or stock that stays unused.
            gains = [-dual for dual in duals[:kinds]] + duals[kinds:]
            gain = max(gains)
            row = gains.index(gain)
            vector = [(row, -1.0 if row < kinds else 1.0)]
            if gain <= EPSILON:
                fresh = list(price(duals[:kinds], [-dual for dual in duals[kinds:]]))
                if not fresh:
                    break
                pool.extend(fresh)
                continue
        direction = [0.0] * rows
        for row, amount in vector:
            direction = [step + amount * entry for step, entry in zip(direction, inverse[row], strict=True)]
        ratios = [(level[row] / step, row) for row, step in enumerate(direction) if step > EPSILON]
        if not ratios:
            break
        moved, out = min(ratios)
        level = [max(0.0, had - moved * step) for had, step in zip(level, direction, strict=True)]
        level[out] = moved
        for number, line in enumerate(inverse):
            if line[out]:
                share = line[out] / direction[out]
                duals[number] -= gain * share
                inverse[number] = [entry - share * step for entry, step in zip(line, direction, strict=True)]
                inverse[number][out] = share
        basis[out] = entering
    used = zip(basis, level, strict=True)
    return [(column, amount) for column, amount in used if column is not None and amount > 10 * NUDGE * rows]


def _best_of_pool(
    pool: list[Column], entries: list[list[tuple[int, float]]], duals: list[float], new: int
) -> tuple[Column | None, list[tuple[int, float]], float]:
    """The column that saves most for each of it, its entries, and what it saves; None where none saves anything."""
    most, best = EPSILON, -1
    for number, (column, own) in enumerate(zip(pool, entries, strict=True)):
        gain = -1.0 if column.stock == new else 0.0
        for row, amount in own:
            gain += duals[row] * amount
        if gain > most:
            most, best = gain, number
    return (pool[best], entries[best], most) if best >= 0 else (None, [], 0.0)
