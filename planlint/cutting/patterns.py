"""The fewest new stocks that give all pieces, whatever the stock is: a bar, a sheet.

What a kind of stock can hold is its own affair (`Stock`). Here stands what all have in common: bounds that can be
proved, patterns priced by a linear programme and rounded step by step, and an exact search for few pieces.
"""

from collections.abc import Callable, Iterable, Sequence
from contextlib import suppress
from dataclasses import dataclass, field, replace
from typing import Any, NamedTuple, Protocol

from planlint.cutting.effort import Effort, Spent
from planlint.cutting.programme import Column, solve

__all__ = ["Answer", "Counts", "Filling", "Problem", "Stock", "Weighting", "fewest", "priced"]

Counts = tuple[int, ...]
SCALE = 1 << 30
"""Prices are rounded down to whole numbers of this part of a new stock, so that bounds are exact."""
BATCHES, LESS_IN_BATCH = 8, 50
"""How many batches are tried, and by what each may do less than where all is looked at at once."""
ALMOST = 1e-4
FIXED_AT = 0.7
"""A pattern that the programme uses this often or more is taken for good in a round of rounding."""


class Filling(NamedTuple):
    """The most valuable filling found of one stock; no filling at all is worth more than `most`."""

    counts: Counts
    value: int
    most: int
    detail: tuple[Any, ...] = ()


class Stock(Protocol):
    """A kind of stock, and how it is filled."""

    def best(self, values: Sequence[int], counts: Counts, floor: int, effort: Effort) -> Filling:
        """The best filling found, if worth more than `floor`, by at most so many of each kind; never raises Spent."""

    def fillings(self, counts: Counts, must: int | None, effort: Effort) -> Iterable[Column]:
        """Every filling to which no more piece can be added, holding one of kind `must`; Spent where it gets long."""


@dataclass(frozen=True, slots=True)
class Weighting:
    """A value for each kind of piece, and the most that each kind of stock can hold of it, the new stock last."""

    values: tuple[int, ...]
    most: tuple[int, ...]

    def bound(self, counts: Counts, on_hand: Iterable[int]) -> int:
        """The new stocks that are needed at least, when the kinds of stock `on_hand` are there too."""
        left = sum(map(int.__mul__, self.values, counts)) - sum(self.most[stock] for stock in on_hand)
        return 0 if left <= 0 else -(-left // self.most[-1])

    def worth(self, demand: Sequence[float], on_hand: Iterable[int]) -> float:
        """The same for a demand in parts, and not rounded up."""
        left = sum(value * amount for value, amount in zip(self.values, demand, strict=True))
        return (left - sum(self.most[stock] for stock in on_hand)) / self.most[-1]


@dataclass(frozen=True, slots=True)
class Problem:
    """What is wanted of each kind, and from what: stocks on hand, once each, and the new stock, the last of all."""

    counts: Counts
    stocks: tuple[Stock, ...]
    on_hand: tuple[int, ...]
    """The stocks that are there once."""
    spread: Callable[[Counts, tuple[int, ...]], list[Column]]
    """A good quick solution for counts and the stocks still on hand."""
    singles: Sequence[Column]
    """A new stock with a single piece, for each kind."""
    bounds: Iterable[Weighting] = ()
    """Weightings, one after another as long as a better bound is wanted."""
    rank: Callable[[list[Column]], int] = lambda _: 0
    """Of solutions with equally many new stocks, the one that ranks highest is taken."""
    weightings: list[Weighting] = field(default_factory=list)
    pool: list[Column] = field(default_factory=list)

    @property
    def kinds(self) -> int:
        """How many kinds of piece are wanted."""
        return sum(map(bool, self.counts))

    def bound(self, counts: Counts, on_hand: Iterable[int]) -> int:
        """The best bound of all weightings."""
        stocks = tuple(on_hand)
        return max((weighting.bound(counts, stocks) for weighting in self.weightings), default=0)

    def new(self, columns: Iterable[Column]) -> int:
        """How many of these are new stock."""
        return sum(column.stock == len(self.stocks) - 1 for column in columns)


@dataclass(frozen=True, slots=True)
class Answer:
    """What is cut from what: the columns, and how many new stocks any answer needs."""

    columns: list[Column]
    bound: int


@dataclass(frozen=True, slots=True)
class Limits:
    """How much work each stage may do."""

    prices: int
    """Turns of the linear programme, each time that it is solved."""
    pricing: int
    """Nodes for pricing one stock."""
    search: int
    """Nodes of the exact search."""
    kinds: int
    """With how many kinds of piece all is looked at at once; with more, batches of two thirds as many."""


def priced(
    problem: Problem, demand: Sequence[float], limits: Limits, effort: Effort
) -> tuple[list[tuple[Column, float]], Weighting | None]:
    """The linear programme for a demand, and the best weighting that its prices gave; None where time is up before.

    Inside it, columns are numbered among the kinds that are wanted and the stocks that are there.
    """
    counts, on_hand = problem.counts, problem.on_hand
    stocks = (*on_hand, len(problem.stocks) - 1)
    kinds = [kind for kind, amount in enumerate(demand) if amount]
    kept: Weighting | None = None

    def price(prices: Sequence[float], rents: Sequence[float]) -> list[Column]:
        nonlocal kept
        effort.look()
        values = [0] * len(counts)
        for kind, value in zip(kinds, prices, strict=True):
            values[kind] = int(max(0.0, value) * SCALE)
        floors = [int(cost * SCALE * (1 + 1e-8)) + len(counts) for cost in (*rents, 1.0)]
        fillings = [
            problem.stocks[stock].best(values, counts, floor, effort.part(limits.pricing))
            for stock, floor in zip(stocks, floors, strict=True)
        ]
        most = [0] * len(problem.stocks)
        for stock, filling in zip(stocks, fillings, strict=True):
            most[stock] = filling.most
        found = Weighting(tuple(values), tuple(most))
        if kept is None or found.worth(demand, on_hand) > kept.worth(demand, on_hand):
            kept = found
        fresh = [
            Column(stock, filling.counts, filling.detail)
            for stock, filling, floor in zip(stocks, fillings, floors, strict=True)
            if filling.value > floor
        ]
        problem.pool.extend(fresh)
        return [inside(column) for column in fresh]

    def inside(column: Column) -> Column:
        return Column(stocks.index(column.stock), tuple(column.counts[kind] for kind in kinds), (column,))

    pool = [problem.singles[kind] for kind in kinds]
    pool += [column for column in problem.pool if column.stock in stocks]
    used: list[tuple[Column, float]] = []
    with suppress(Spent):
        used = solve([demand[kind] for kind in kinds], len(on_hand), list(map(inside, pool)), price, effort)
    return [(column.detail[0], amount) for column, amount in used], kept


def fewest(
    problem: Problem,
    limits: Limits,
    effort: Effort,
    on_progress: Callable[[int, int], None] = lambda _found, _bound: None,
) -> Answer:
    """The best answer found, and the bound; they agree where it is proved."""
    run = _Run(problem, limits, effort, on_progress)
    with suppress(Spent):
        run.ask_bounds()
        run.ask_batches()
        run.ask_programme()
        run.ask_search()
    return Answer(run.best, run.bound)


class _Run:
    """One search for the fewest: each stage does nothing where it is proved already that fewer will not do."""

    def __init__(
        self, problem: Problem, limits: Limits, effort: Effort, on_progress: Callable[[int, int], None]
    ) -> None:
        self.problem, self.limits, self.effort, self._on_progress = problem, limits, effort, on_progress
        self.best = problem.spread(problem.counts, problem.on_hand)
        self.bound = problem.bound(problem.counts, problem.on_hand)
        self._told = (-1, -1)

    def is_proved(self) -> bool:
        """Whether the best is known to be the best."""
        new = self.problem.new(self.best)
        if self._told != (new, self.bound):
            self._told = (new, self.bound)
            self._on_progress(new, self.bound)
        return new <= self.bound

    def offer(self, columns: list[Column]) -> bool:
        """Takes an answer where it is better."""
        new, before = self.problem.new(columns), self.problem.new(self.best)
        if new > before or (new == before and self.problem.rank(columns) <= self.problem.rank(self.best)):
            return False
        self.best = columns
        return new < before

    def learn(self, weighting: Weighting) -> None:
        """Keeps a weighting that holds for the whole problem."""
        self.problem.weightings.append(weighting)
        self.bound = max(self.bound, weighting.bound(self.problem.counts, self.problem.on_hand))

    def ask_bounds(self) -> None:
        """The caller's own bounds."""
        if not self.is_proved():
            for weighting in self.problem.bounds:
                self.learn(weighting)
                if self.is_proved():
                    break

    def ask_batches(self) -> None:
        """Where there are many kinds: cuts those pieces anew that come from the worst used of the new stocks.

        How well a stock is used is said by the weighting that gave the best bound: what is short of its most, over
        all stocks, is what the answer is above the bound.
        """
        problem, last = self.problem, len(self.problem.stocks) - 1
        if self.is_proved() or problem.kinds <= self.limits.kinds or not problem.weightings:
            return
        by = max(problem.weightings, key=lambda weighting: weighting.worth(problem.counts, problem.on_hand))
        pricing, search = self.limits.pricing // LESS_IN_BATCH, self.limits.search // LESS_IN_BATCH
        limits = replace(self.limits, pricing=pricing, search=search)
        start = 0
        for _ in range(BATCHES):
            new = sorted(
                (column for column in self.best if column.stock == last),
                key=lambda column: (sum(map(int.__mul__, by.values, column.counts)), column.counts),
            )
            end, kinds = start, set[int]()
            for column in new[start:]:
                kinds.update(kind for kind, number in enumerate(column.counts) if number)
                if 3 * len(kinds) > 2 * self.limits.kinds:
                    break
                end += 1
            if self.is_proved() or end == start:
                break
            counts = tuple(map(sum, zip(*(column.counts for column in new[start:end]), strict=True)))
            known = list(problem.weightings)
            part = replace(problem, counts=counts, on_hand=(), bounds=(), weightings=known, pool=new[start:end])
            answer = fewest(part, limits, self.effort)
            others = [column for column in self.best if column.stock != last] + new[:start] + new[end:]
            start = 0 if self.offer(others + answer.columns) else (start + end + 1) // 2

    def ask_programme(self) -> None:
        """The linear programme, and what rounding it gives."""
        problem = self.problem
        if self.is_proved() or problem.kinds > self.limits.kinds:
            return
        problem.pool.extend(self.best)
        counts, on_hand, taken = problem.counts, problem.on_hand, list[Column]()
        while any(counts) and not self.is_proved():
            left = replace(problem, counts=counts, on_hand=on_hand)
            use, weighting = priced(left, counts, self.limits, self.effort.part(self.limits.prices))
            if counts == problem.counts and weighting is not None:
                self.learn(weighting)
            before = counts
            counts, on_hand = self._fix(use, taken, counts, on_hand)
            if counts == before:
                break
            self._follow(taken, use, counts, on_hand)

    def _fix(
        self, use: list[tuple[Column, float]], taken: list[Column], counts: Counts, on_hand: tuple[int, ...]
    ) -> tuple[Counts, tuple[int, ...]]:
        """Takes for good what the programme uses most; what is left then."""
        ranked = _by_fraction(use)
        fixed = [column for column, amount in use for _ in range(int(amount + ALMOST))]
        fixed += [column for column, amount in ranked if FIXED_AT <= amount % 1 < 1 - ALMOST]
        last, before = len(self.problem.stocks) - 1, counts
        for column in fixed or [column for column, _ in ranked[:1]]:
            held = tuple(map(min, column.counts, counts))
            # A pattern of which others have taken pieces is not worth a stock.
            if not any(held) or (held != column.counts and counts != before):
                continue
            if column.stock != last:
                if column.stock not in on_hand:
                    continue
                on_hand = tuple(stock for stock in on_hand if stock != column.stock)
            taken.append(column._replace(counts=held))
            counts = tuple(map(int.__sub__, counts, held))
        return counts, on_hand

    def _follow(
        self, taken: list[Column], use: list[tuple[Column, float]], counts: Counts, on_hand: tuple[int, ...]
    ) -> None:
        """Takes one pattern after another without asking again, and tries the quick way on what each leaves."""
        problem, taken = self.problem, list(taken)
        self.offer(taken + problem.spread(counts, on_hand))
        for column, _ in _by_fraction(use):
            if self.is_proved():
                break
            self.effort.look()
            is_new = column.stock == len(problem.stocks) - 1
            if all(map(int.__le__, column.counts, counts)) and (is_new or column.stock in on_hand):
                taken.append(column)
                counts = tuple(map(int.__sub__, counts, column.counts))
                on_hand = tuple(stock for stock in on_hand if stock != column.stock)
                self.offer(taken + problem.spread(counts, on_hand))

    def ask_search(self) -> None:
        """All ways, one number of new stocks after another, as long as the effort lasts."""
        effort = self.effort.part(self.limits.search)
        while not self.is_proved():
            found = _search(self.problem, self.bound, effort)
            if found is None:
                self.bound += 1
            else:
                self.offer(found)


def _by_fraction(use: list[tuple[Column, float]]) -> list[tuple[Column, float]]:
    return sorted(use, key=lambda pair: (-(pair[1] % 1), pair[0].counts))


def _search(problem: Problem, new: int, effort: Effort) -> list[Column] | None:
    """An answer with at most so many new stocks, or None where there is none; Spent where that stays unknown."""
    order = problem.on_hand
    hopeless: set[tuple[Counts, int, int]] = set()

    def go(counts: Counts, place: int, left: int) -> list[Column] | None:
        if not any(counts):
            return []
        effort.spend()
        is_new = place == len(order)
        stock = len(problem.stocks) - 1 if is_new else order[place]
        if problem.bound(counts, order[place:]) > left or (counts, place, left) in hopeless:
            return None
        after = (place, left - 1) if is_new else (place + 1, left)
        must = next(kind for kind, number in enumerate(counts) if number) if is_new else None
        ways = problem.stocks[stock].fillings(counts, must, effort) if left or not is_new else ()
        tried = False
        for column in ways:
            tried = True
            found = go(tuple(map(int.__sub__, counts, column.counts)), *after)
            if found is not None:
                return [column._replace(stock=stock), *found]
        if not is_new and not tried and (found := go(counts, *after)) is not None:
            return found
        hopeless.add((counts, place, left))
        return None

    return go(problem.counts, 0, new)
