"""How a run of wall is divided into boards side by side: the least bad of all divisions, found exactly.

Plain floats in metres, places from the left end of the bare wall.
"""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise, product
from typing import Final

__all__ = ["NEAR_BOX", "NEAR_OPENING", "OFF_BEHIND", "UNSEEN", "Avoid", "Run", "Strip", "broken", "divide"]

# What a division costs. Only the order of magnitude matters: one rule is not broken to save a joint (own decision).
PIECE: Final = 10
ODD_JOINT: Final = 1
"""A factory edge against a cut one: it wants filler over more of its width."""
CUT_JOINT: Final = 3
BARELY: Final = 2
"""A joint just as far from what it avoids as it has to be: a tape that is read badly brings it too near."""
OFF_BEHIND: Final = 200
"""A joint above a joint of the sheets behind."""
NARROW: Final = 300
NEAR_OPENING: Final = 400
UNSEEN: Final = 20
"""The same in a layer that another one covers."""
NEAR_BOX: Final = 40
OFF_SUPPORT: Final = 1000
BARE_CORNER: Final = 1000
"""No factory edge at an outside corner."""

SAME: Final = 0.0005
"""[m] Widths closer than this are one."""
SPARE: Final = 0.001
"""[m] By how much more than they have to joints keep away where they can."""
ROUNDS: Final = 4
MOST: Final = 160
"""Places for a joint that are looked at; more than these a wall without supports does not gain from."""


@dataclass(frozen=True, slots=True)
class Avoid:
    """A place that joints keep away from, and what it costs where one does not."""

    at: float
    within: float
    cost: int
    rule: str = ""
    """The rule that a joint breaks which comes nearer; none where it is only better so."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Run:
    """What is to be divided: where its boards begin and end at the floor and at the top, and what joints must keep."""

    start: tuple[float, float]
    end: tuple[float, float]
    width: float
    """Of the sheet."""
    gap: float = 0.0
    """Left between sheets and at both ends."""
    has_factory_edges: bool = True
    keeps_both: bool = True
    """Whether a piece of the full width has both long edges of the sheet; a sheet cut to size before has one."""
    corner_left: bool = False
    """Whether the left end is an outside corner, which wants a factory edge."""
    corner_right: bool = False
    supports: tuple[float, ...] | None = None
    """Where a joint finds something to be screwed to; None: anywhere."""
    avoid: tuple[Avoid, ...] = ()
    least: float = 0.0
    """The narrowest piece."""

    @property
    def first(self) -> float:
        """Where its boards reach furthest to the left."""
        return min(self.start) + self.gap

    @property
    def last(self) -> float:
        """Where they reach furthest to the right."""
        return max(self.end) - self.gap


@dataclass(frozen=True, slots=True)
class Strip:
    """One board of the run: between which joints it stands (None at the ends of the run), and its factory edges."""

    left: float | None
    right: float | None
    factory_left: bool
    factory_right: bool


def divide(run: Run) -> tuple[Strip, ...]:
    """The division that costs least; of equals the one found first from the left.

    A dynamic programme over the places where joints may be, and whether the board before ends in a factory edge.
    Where no division keeps all that joints must keep, the one that breaks least is given.
    """
    places = _places(run)
    spots = [run.first - run.gap / 2, *places, run.last + run.gap / 2]
    fixed = [0.0, *(_cost(place, run) for place in places), 0.0]
    plumb_start, plumb_end = _same(*run.start), _same(*run.end)
    last = len(spots) - 1
    # For each place, by whether the board on its left ends there in a factory edge: cost, and the step that led there.
    best: list[dict[bool, tuple[float, tuple[int, bool, bool]]]] = [{} for _ in spots]
    best[0] = {True: (0.0, (0, True, True))}
    for there in range(1, last + 1):
        for here in range(there - 1, -1, -1):
            width = spots[there] - spots[here] - run.gap
            if width > run.width + 1e-7:
                break
            if not best[here] or width <= SAME:
                continue
            plumb = (here > 0 or plumb_start) and (there < last or plumb_end)
            cost = PIECE + fixed[there] + (NARROW if width < run.least - SAME and spots[last] > spots[0] else 0)
            for left, right in _edges(run, is_whole=run.keeps_both and plumb and _same(width, run.width)):
                own = cost + (BARE_CORNER if here == 0 and run.corner_left and not left else 0)
                own += BARE_CORNER if there == last and run.corner_right and not right else 0
                for before, (spent, _) in best[here].items():
                    joint = 0 if here == 0 else (CUT_JOINT, ODD_JOINT, 0)[before + left]
                    whole = spent + own + joint
                    if whole < best[there].get(right, (math.inf,))[0] - 1e-9:
                        best[there][right] = (whole, (here, before, left))
    if not best[last]:
        raise ValueError(f"boards {run.width:g} m wide cannot cover {run.last - run.first:g} m here")
    strips: list[Strip] = []
    there, right = last, min(best[last], key=lambda end: best[last][end][0])
    while there:
        here, before, left = best[there][right][1]
        strips.append(Strip(spots[here] if here else None, spots[there] if there < last else None, left, right))
        there, right = here, before
    return tuple(reversed(strips))


def _edges(run: Run, *, is_whole: bool) -> tuple[tuple[bool, bool], ...]:
    """The factory edges that a piece may have left and right, the best first."""
    if not run.has_factory_edges:
        return ((False, False),)
    return ((True, True),) if is_whole else ((False, True), (True, False))


def _cost(place: float, run: Run) -> float:
    off = run.supports is not None and not any(_same(place, support) for support in run.supports)
    cost = float(OFF_SUPPORT * off)
    for one in run.avoid:
        by = abs(place - one.at)
        if by < one.within - SAME:
            # Where it cannot be helped, as far off as may be.
            cost += one.cost * (1 - by / one.within / 2)
        elif by < one.within + SPARE - SAME:
            cost += BARELY
    return cost


def broken(run: Run, strips: Sequence[Strip]) -> Iterator[tuple[str, float]]:
    """What a division does not keep, by the name of the rule or the limit, and where along the bare wall."""
    for strip in strips:
        left = run.first if strip.left is None else strip.left
        right = run.last if strip.right is None else strip.right
        if right - left < run.least - SAME < run.last - run.first:
            yield "least_piece", left
        if strip.right is not None:
            if run.supports is not None and not any(_same(right, support) for support in run.supports):
                yield "joint-on-support", right
            for rule in dict.fromkeys(one.rule for one in run.avoid if abs(right - one.at) < one.within - SAME):
                if rule:
                    yield rule, right
    if run.corner_left and not strips[0].factory_left:
        yield "tapered-edges-to-outside-corner", run.first
    if run.corner_right and not strips[-1].factory_right:
        yield "tapered-edges-to-outside-corner", run.last


def _places(run: Run) -> list[float]:
    """Where joints may be: on supports; without them, or where they stand too far apart, whole widths from anything."""
    low, high = max(run.start) + run.gap, min(run.end) - run.gap
    inside = [at for at in run.supports or () if low + SAME < at < high - SAME]
    marks = [run.first, *inside, run.last]
    if run.supports is not None and all(there - here - run.gap <= run.width + 1e-7 for here, there in pairwise(marks)):
        return sorted(inside)
    step = run.width + run.gap
    ends = (run.first - run.gap / 2, run.last + run.gap / 2)
    # Whole boards from either end, so that there is always some division.
    fresh = {
        *inside,
        *(end + side * step * n for end, side in zip(ends, (1, -1), strict=True) for n in range(MOST // 2)),
    }
    fresh |= {ends[0] + run.least + run.gap, ends[1] - run.least - run.gap, sum(ends) / 2}
    fresh |= {one.at + side * (one.within + more) for one, side, more in product(run.avoid, (-1, 1), (0.0, SPARE))}
    found: dict[int, float] = {}
    for _ in range(max(ROUNDS, math.ceil((high - low) / step))):
        kept = {round(place * 10_000): place for place in sorted(fresh) if low + SAME < place < high - SAME}
        found = kept | found
        if len(found) > MOST:
            break
        fresh = {place + side * step for place, side in product(fresh, (-1, 1)) if low - step < place < high + step}
    return sorted(found.values())


def _same(one: float, other: float) -> bool:
    return abs(one - other) <= SAME
