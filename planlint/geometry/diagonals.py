"""The true angles of a room that is not square, from the tape alone: its walls and its diagonals."""

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import accumulate, pairwise
from operator import mul
from typing import NamedTuple

from planlint.geometry.faces import STRAIGHT
from planlint.geometry.outlines import Outline, Vector, walk

LOOSE = 1e-5
"""What a radian off its nominal turn weighs beside a misfit as long as the longest wall. So little that it bends
no measured length, but where the tape leaves a shape open the turns stay as near as they can to those given."""

ROUNDS = 60
"""Steps after which the search ends at the latest; a few are enough for a room that was measured well."""

BLUNT = 1e-6
"""A distance that changes by less than this share of a corner's shift says nothing about where the corner is."""


@dataclass(frozen=True, slots=True)
class Diagonal:
    """A measured distance between two corners, each by the index of the wall at whose end it is; metres."""

    start: int
    end: int
    length: float


@dataclass(frozen=True, slots=True)
class TrueOutline:
    """The closed outline that comes nearest to what was measured (least squares); metres and radians.

    Lengths and diagonals weigh the same: both came off the same tape. Walls in one line (a nominal turn of 0)
    stay in one line.
    """

    lengths: tuple[float, ...]
    turns: tuple[float, ...]
    outline: Outline
    length_misfits: tuple[float, ...]
    """How much longer each wall is here than it was measured."""
    diagonal_misfits: tuple[float, ...]
    """How much longer each diagonal is here than it was measured."""
    determined: bool
    """Whether what was measured fixes the shape; where not, the turns nearest to the nominal ones were taken."""

    @property
    def residual(self) -> float:
        """The largest misfit: measures that contradict each other leave a large one."""
        return max(map(abs, (*self.length_misfits, *self.diagonal_misfits)))


class _Mark(NamedTuple):
    """A corner: `share` of the way from one main corner (where the walls turn) to the next."""

    run: int
    share: float


def true_outline(lengths: Sequence[float], turns: Sequence[float], diagonals: Sequence[Diagonal]) -> TrueOutline:
    """The true turns of a closed room by the lengths (m) and nominal turns (rad) of its walls, and its diagonals.

    A room of n corners is fixed by n - 3 well chosen diagonals; more of them check each other (`residual`).
    Method: Gauss-Newton on the places of the corners, from the nominal walk.

    Raises:
        ValueError: Fewer than three corners, or a diagonal that is none.
    """
    mains = [index for index, turn in enumerate(turns) if abs(turn) > STRAIGHT]
    if len(mains) < 3:  # noqa: PLR2004 - the corners of a triangle
        raise ValueError("a room has at least three corners")
    if not min(lengths) > 0:
        raise ValueError(f"a wall is longer than 0 m, not {min(lengths):g} m")
    for diagonal in diagonals:
        if diagonal.start == diagonal.end or not {diagonal.start, diagonal.end} <= set(range(len(lengths))):
            raise ValueError("a diagonal runs between two different corners of its room")
        if not diagonal.length > 0:
            raise ValueError(f"a diagonal is longer than 0 m, not {diagonal.length:g} m")

    # Run r goes from main corner r to r + 1. Main corner 0 ends the last wall that turns.
    order = [(mains[-1] + 1 + step) % len(lengths) for step in range(len(lengths))]
    cuts = [0, *(place + 1 for place, index in enumerate(order) if index in mains)]
    runs = [order[first:last] for first, last in pairwise(cuts)]
    totals = [sum(lengths[index] for index in run) for run in runs]
    marks = {
        index: _Mark(number, gone / total)
        for number, (run, total) in enumerate(zip(runs, totals, strict=True))
        for index, gone in zip(run, accumulate(lengths[index] for index in run), strict=True)
    }
    taped = [(_Mark(number, 0.0), _Mark(number, 1.0), total) for number, total in enumerate(totals)]
    taped += [(marks[diagonal.start], marks[diagonal.end], diagonal.length) for diagonal in diagonals]

    fit = _Fit(taped, [turns[run[-1]] for run in runs])
    corners = fit.solve(walk(totals, fit.nominal).corners[:-1])
    found = [tape + miss for (_, _, tape), miss in zip(taped, fit.misfits(corners), strict=True)]
    stretch = {index: found[number] / totals[number] for number, run in enumerate(runs) for index in run}
    true_lengths = tuple(length * stretch[index] for index, length in enumerate(lengths))
    true_turns = [0.0] * len(lengths)
    for run, nominal, off in zip(runs, fit.nominal, fit.turned_off(corners), strict=True):
        true_turns[run[-1]] = nominal + off
    return TrueOutline(
        true_lengths,
        tuple(true_turns),
        walk(true_lengths, true_turns),
        tuple(true - length for true, length in zip(true_lengths, lengths, strict=True)),
        tuple(true - diagonal.length for true, diagonal in zip(found[len(runs) :], diagonals, strict=True)),
        _rank(fit.slopes(corners)[: len(taped)]) == fit.unknowns,
    )


class _Fit:
    """The least squares problem: which places of the main corners fit the tape, and loosely the nominal turns."""

    def __init__(self, taped: Sequence[tuple[_Mark, _Mark, float]], nominal: Sequence[float]) -> None:
        self.taped, self.nominal = taped, nominal
        self.count = len(nominal)
        self.loose = LOOSE * max(length for _, _, length in taped)
        # Corner 0 stays at the origin and corner 1 due north of it: shape counts, not where the room stands.
        self.unknowns = 2 * self.count - 3

    def misfits(self, corners: Sequence[Vector]) -> list[float]:
        """How much longer each taped distance is between these corners."""
        return [math.dist(self._place(corners, a), self._place(corners, b)) - tape for a, b, tape in self.taped]

    def turned_off(self, corners: Sequence[Vector]) -> list[float]:
        """How far each turn is off its nominal one, at the end of each run."""
        headings = [math.atan2(x2 - x1, y2 - y1) for (x1, y1), (x2, y2) in self._runs(corners)]
        after = [*headings[1:], headings[0]]
        return [
            math.remainder(then - now - nominal, 2 * math.pi)
            for now, then, nominal in zip(headings, after, self.nominal, strict=True)
        ]

    def slopes(self, corners: Sequence[Vector]) -> list[list[float]]:
        """How each misfit, and each weighted turn, changes with each unknown."""
        rows = []
        for a, b, _ in self.taped:
            (x1, y1), (x2, y2) = self._place(corners, a), self._place(corners, b)
            apart = math.dist((x1, y1), (x2, y2)) or math.inf
            rows.append(
                self._row(
                    (corner, weight * (x2 - x1) / apart, weight * (y2 - y1) / apart)
                    for mark, sign in ((a, -1), (b, 1))
                    for corner, weight in ((mark.run, sign * (1 - mark.share)), (mark.run + 1, sign * mark.share))
                )
            )
        headings = []
        for number, ((x1, y1), (x2, y2)) in enumerate(self._runs(corners)):
            square = ((x2 - x1) ** 2 + (y2 - y1) ** 2) or math.inf
            east, north = self.loose * (y2 - y1) / square, -self.loose * (x2 - x1) / square
            headings.append(self._row([(number, -east, -north), (number + 1, east, north)]))
        after = [*headings[1:], headings[0]]
        return rows + [
            [b - a for a, b in zip(now, then, strict=True)] for now, then in zip(headings, after, strict=True)
        ]

    def solve(self, corners: Sequence[Vector]) -> list[Vector]:
        """The places that fit best, from those given: Gauss-Newton, each step halved until it does no harm."""
        best = list(corners)
        cost = self._cost(best)
        for _ in range(ROUNDS):
            rows, errors = self.slopes(best), self._errors(best)
            columns = list(zip(*rows, strict=True))
            normal = [[_dot(one, other) for other in columns] for one in columns]
            step = _solved(normal, [-_dot(column, errors) for column in columns])
            for halving in range(30):
                moved = self._moved(best, [part / 2**halving for part in step])
                if (reached := self._cost(moved)) < cost:
                    break
            else:
                break
            best, cost = moved, reached
        return best

    def _errors(self, corners: Sequence[Vector]) -> list[float]:
        return self.misfits(corners) + [self.loose * off for off in self.turned_off(corners)]

    def _cost(self, corners: Sequence[Vector]) -> float:
        return math.fsum(error**2 for error in self._errors(corners))

    def _runs(self, corners: Sequence[Vector]) -> list[tuple[Vector, Vector]]:
        return list(pairwise([*corners, corners[0]]))

    def _place(self, corners: Sequence[Vector], mark: _Mark) -> Vector:
        (x1, y1), (x2, y2) = corners[mark.run], corners[(mark.run + 1) % self.count]
        return x1 + (x2 - x1) * mark.share, y1 + (y2 - y1) * mark.share

    def _row(self, parts: Iterable[tuple[int, float, float]]) -> list[float]:
        """A row of slopes from (corner, by its east, by its north)."""
        row = [0.0] * (2 * self.count)
        for corner, east, north in parts:
            row[2 * (corner % self.count)] += east
            row[2 * (corner % self.count) + 1] += north
        return row[3:]

    def _moved(self, corners: Sequence[Vector], step: Sequence[float]) -> list[Vector]:
        whole = [0.0, 0.0, 0.0, *step]
        return [(x + whole[2 * corner], y + whole[2 * corner + 1]) for corner, (x, y) in enumerate(corners)]


def _dot(one: Sequence[float], other: Sequence[float]) -> float:
    return math.fsum(map(mul, one, other))


def _solved(rows: Sequence[Sequence[float]], right: Sequence[float]) -> list[float]:
    """Solves as many equations as unknowns (Gauss with row pivots); an unknown that nothing fixes stays 0."""
    work = [[*row, value] for row, value in zip(rows, right, strict=True)]
    for pivot in range(len(work)):
        best = max(range(pivot, len(work)), key=lambda row: abs(work[row][pivot]))
        work[pivot], work[best] = work[best], work[pivot]
        if work[pivot][pivot]:
            for row in range(pivot + 1, len(work)):
                _subtract(work[row], work[pivot], work[row][pivot] / work[pivot][pivot])
    found = [0.0] * len(work)
    for pivot in reversed(range(len(work))):
        rest = work[pivot][-1] - _dot(work[pivot][:-1], found)
        found[pivot] = rest / work[pivot][pivot] if work[pivot][pivot] else 0.0
    return found


def _rank(rows: Sequence[Sequence[float]]) -> int:
    """How many of the rows say something of their own (Gauss, the largest figure of the rest first)."""
    work, rank = [list(row) for row in rows], 0
    while work:
        size, place, column = max(
            (abs(part), place, column) for place, row in enumerate(work) for column, part in enumerate(row)
        )
        if size < BLUNT:
            break
        pivot = work.pop(place)
        for row in work:
            _subtract(row, pivot, row[column] / pivot[column])
            row[column] = 0.0
        rank += 1
    return rank


def _subtract(row: list[float], other: Sequence[float], times: float) -> None:
    row[:] = [part - times * own for part, own in zip(row, other, strict=True)]
