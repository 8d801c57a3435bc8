"""Labels of several lines with symbols and flags, and where they find room beside what they speak of.

Nothing is ever laid over a label: what finds no room in the drawing is set above it, with a line to what it means.
"""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from itertools import accumulate, pairwise
from typing import Final

from planlint.drawing.paper import FLAG_RADIUS, FLAG_STEP, LETTERS, Box, around, box_of, moved, spread, text_width
from planlint.sheet_records import Flag, Line, Look, Mark, Spot, Text

FLAGS_IN_ROW: Final = 4
_FLAGS_BESIDE: Final = 3
"""So many flags stand beside the first line of a label; more go under it."""
_CLEAR: Final = 0.7
"""[mm] Left free round a label."""
_STEP: Final = 1.2
_FARTHEST: Final = 18.0
"""[mm] A label that finds no room so near goes over the drawing."""
_ADJACENT: Final = 2.5
"""[mm] A label that stands so near needs no line to what it speaks of."""
_TURNS: Final = 16
_ACROSS: Final = 4.0
"""[mm] How much farther away a place may be for each line that is then not written across."""
_MOST_ACROSS: Final = 3
"""More lines than these make it no worse: somewhere a label has to go."""
_LANE: Final = 1.0
"""[mm] Between the lines that lead past labels to those above them."""
_BENDS: Final = (0.0, 0.25, 0.5, 0.75, 1.0)
"""How far up a line to a label above the drawing may go before it bends."""

Numbers = tuple[tuple[int, Look], ...]
"""Numbers of findings, with the look of each flag."""


@dataclass(frozen=True, slots=True)
class Block:
    """A label as one unit, laid out from its left upper corner."""

    marks: tuple[Mark, ...]
    width: float
    height: float

    def at(self, left: float, top: float) -> tuple[Mark, ...]:
        """Its marks with its left upper corner there."""
        return tuple(moved(mark, left, top) for mark in self.marks)

    def box(self, left: float, top: float) -> Box:
        """The box that it takes there."""
        return Box(left, top, left + self.width, top + self.height)


def block(
    lines: Sequence[str],
    flags: Numbers = (),
    *,
    symbol: Sequence[Mark] = (),
    size: float = LETTERS,
    look: Look = Look.LABEL,
) -> Block:
    """A label: a symbol that is centred on (0, 0) at its left, lines of text, and flags under them.

    With a symbol the first flags stand beside the first line, which is a name and short.
    """
    marks: list[Mark] = []
    left, step, top = 0.0, size * 1.1, 0.0
    if symbol:
        bounds = around(map(box_of, symbol))
        left = bounds.width + 0.8
        marks += [moved(mark, -bounds.left, -bounds.top) for mark in symbol]
    beside = flags[:_FLAGS_BESIDE] if symbol else ()
    if beside:
        marks += flag_rows(beside, left + text_width(lines[0], size) + 0.7, 0.0)
        top = FLAG_RADIUS - size / 2
    for number, line in enumerate(lines):
        marks.append(Text(look if number == 0 else Look.DIMENSION, (left, top + 0.82 * size), line, size))
        top = max(top + step, 2 * FLAG_RADIUS + 0.1 if beside else 0.0)
    marks += flag_rows(flags[len(beside) :], 0.0, around(map(box_of, marks)).bottom + 0.3 if marks else 0.0)
    whole = around(map(box_of, marks))
    return Block(tuple(moved(mark, -whole.left, -whole.top) for mark in marks), whole.width, whole.height)


def flag_rows(flags: Numbers, left: float, top: float, in_row: int = FLAGS_IN_ROW) -> Iterator[Flag]:
    """Flags in rows, from a left upper corner."""
    step = FLAG_STEP
    for index, (number, look) in enumerate(flags):
        row, column = divmod(index, in_row)
        yield Flag(look, (left + FLAG_RADIUS + column * step, top + FLAG_RADIUS + row * step), number)


@dataclass(slots=True)
class Placer:
    """Finds room for labels within bounds, one after another, around what was put there before."""

    bounds: Box
    taken: list[Box] = field(default_factory=list)
    """Where nothing more can lie."""
    soft: list[tuple[Spot, Spot]] = field(default_factory=list)
    """Lines that are better not written across."""
    leaders: list[tuple[Spot, Spot]] = field(default_factory=list)
    waiting: list[tuple[Spot, Block]] = field(default_factory=list)
    """Labels that found no room near what they speak of: `over` puts them."""

    def place(self, label: Block, spot: Spot, clear: float = 0.0, first: Sequence[Spot] = ()) -> Iterator[Mark]:
        """The marks of a label as near as may be to a spot, `clear` mm off it, with a line to it where that is far.

        `first` are left upper corners to try before all others; a label there needs no line. Where there is no room
        the label waits.
        """
        free = [one for one in (label.box(*spot) for spot in first) if self.is_free(one)]
        box = min(free, key=self._across) if free else self._nearest(label, spot, clear)
        if box is None:
            self.waiting.append((spot, label))
            return
        self.taken.append(box)
        end = box.nearest(spot)
        if not free and math.dist(end, spot) > clear + _ADJACENT:
            yield self._leader(spot, end)
        yield from label.at(box.left, box.top)

    def over(self) -> Iterator[Mark]:
        """The labels that wait, in columns above all else from left to right, each with a line to what it means.

        In a column the line to an upper label passes the lower ones on their left.
        """
        waiting = sorted(self.waiting, key=lambda one: one[0])
        self.waiting = []
        if not waiting:
            return
        room = self.bounds.width
        columns, widths = [waiting], [math.inf]
        # As few above each other as the width of the paper allows.
        for in_column in range(1, len(waiting) + 1):
            columns = [waiting[index : index + in_column] for index in range(0, len(waiting), in_column)]
            lanes = 3 * _CLEAR + (in_column - 1) * _LANE
            widths = [max(label.width for _, label in column) + lanes for column in columns]
            if sum(widths) <= room:
                break
        begins = list(accumulate(widths, initial=0.0))
        middles = [sum(spot[0] for spot, _ in column) / len(column) for column in columns]
        wanted = zip(middles, widths, begins, strict=False)
        shifts = spread([middle - width / 2 - begin for middle, width, begin in wanted], 0.0)
        low, high = self.bounds.left, max(self.bounds.right - begins[-1], self.bounds.left)
        bottom = min([self.bounds.top, *(box.top for box in self.taken)]) - 2 * _CLEAR
        for column, begin, shift in zip(columns, begins, shifts, strict=False):
            yield from self._column(column, begin + min(max(shift, low), high), bottom)

    def _column(self, column: Sequence[tuple[Spot, Block]], left: float, bottom: float) -> Iterator[Mark]:
        top, start = bottom, left + (len(column) - 1) * _LANE + _CLEAR
        boxes = []
        # What lies farthest to the left has the line farthest to the left, and so stands highest.
        for _, label in reversed(column):
            box = label.box(start, top - label.height)
            boxes.append(box)
            top = box.top - 2 * _CLEAR
            yield from label.at(box.left, box.top)
        for lane, ((spot, _), box) in enumerate(zip(column, reversed(boxes), strict=True)):
            x, y = left + lane * _LANE, bottom + _CLEAR
            if lane == len(column) - 1:
                yield self._leader(*self._bent(spot, (box.left + _CLEAR, bottom)))
            else:
                middle = box.middle[1]
                yield self._leader(*self._bent(spot, (x, y)), (x, middle), (box.left, middle))
        self.taken += boxes

    def _bent(self, spot: Spot, end: Spot) -> tuple[Spot, ...]:
        """The way to a spot above: straight, or straight up for a while, whichever passes fewer labels."""
        ways = [(spot, (spot[0], spot[1] + share * (end[1] - spot[1])), end) for share in _BENDS]
        return min(ways, key=lambda way: sum(self._crossings(*pair) for pair in pairwise(way)))

    def _leader(self, *spots: Spot) -> Line:
        self.leaders += pairwise(spots)
        return Line(Look.LEADER, spots)

    def is_free(self, box: Box) -> bool:
        """Whether a label may lie there."""
        wide = box.grown(_CLEAR)
        return (
            self.bounds.holds(box)
            and not any(wide.overlaps(other) for other in self.taken)
            and not any(wide.is_crossed(*leader) for leader in self.leaders)
        )

    def _nearest(self, label: Block, spot: Spot, clear: float) -> Box | None:
        best: tuple[float, Box] | None = None
        distance = clear + _CLEAR
        while distance < clear + _FARTHEST and (best is None or distance < best[0]):
            for turn in range(_TURNS):
                box = self._beside(label, spot, distance, turn)
                if self.is_free(box) and not self._crossings(spot, box.nearest(spot)):
                    cost = distance + _ACROSS * self._across(box)
                    if best is None or cost < best[0]:
                        best = cost, box
            distance += _STEP
        return best[1] if best else None

    @staticmethod
    def _beside(label: Block, spot: Spot, distance: float, turn: int) -> Box:
        """The label in a direction: 0 is to the right, then to the right and up, and so on round."""
        angle = 2 * math.pi * turn / _TURNS
        x, y = spot[0] + distance * math.cos(angle), spot[1] - distance * math.sin(angle)
        # Its side that faces the spot is there: a label on the right begins there, one above ends there, and one in
        # between does both.
        across, up = (min(max(1.5 * part, -1.0), 1.0) for part in (math.cos(angle), math.sin(angle)))
        left, top = x - label.width * (1 - across) / 2, y - label.height * (1 + up) / 2
        return label.box(left, top)

    def _crossings(self, start: Spot, end: Spot) -> int:
        """How many labels and lines to labels a line would pass through."""
        over = sum(box.is_crossed(start, end) and not box.holds(Box(*start, *start)) for box in self.taken)
        return over + sum(_cross((start, end), leader) for leader in self.leaders)

    def _across(self, box: Box) -> int:
        return min(sum(box.is_crossed(*line) for line in self.soft), _MOST_ACROSS)


def _cross(one: tuple[Spot, Spot], other: tuple[Spot, Spot]) -> bool:
    """Whether two straight lines cross each other."""

    def side(start: Spot, end: Spot, spot: Spot) -> float:
        return (end[0] - start[0]) * (spot[1] - start[1]) - (end[1] - start[1]) * (spot[0] - start[0])

    return side(*one, other[0]) * side(*one, other[1]) < 0 and side(*other, one[0]) * side(*other, one[1]) < 0
