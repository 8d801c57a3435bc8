"""A room in plan while it is drawn: the marks so far, labels that wait for room, the legend, and what is lacking."""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Final

from planlint.drawing.blocks import Block
from planlint.drawing.callouts import FLAG_APART, flags_below, paragraph, wrapped
from planlint.drawing.outline import Plotted
from planlint.drawing.paper import LETTERS, Box, around, bounded, box_of, text_width
from planlint.drawing.plan_marks import boxes_along
from planlint.drawing.plan_places import Label, Places, widest
from planlint.sheet_records import Line, Look, Mark, Picture, Sample, Spot

Flags = tuple[tuple[int, Look], ...]
Numbers = Mapping[str, Flags]
"""For every place the numbers of what was found there, each with the look of its flag."""

_WIDEST: Final = 176.0
_LONGEST: Final = 48.0
"""[mm] A longer line of a label is broken."""
_IN_ROW: Final = 4
_SLID: Final = (0.0, 3.0, -3.0, 6.0, -6.0)
"""[mm] How far a label may be moved along the wall that it stands beside."""
_GRID: Final = 2.0
"""[mm] How closely a place for the name of the room is looked for."""


@dataclass(slots=True)
class PlanScene:
    """The picture while it grows."""

    plot: Plotted
    numbers: Numbers
    marks: list[Mark] = field(default_factory=list)
    taken: list[Box] = field(default_factory=list)
    symbols: list[Box] = field(default_factory=list)
    labels: list[Label] = field(default_factory=list)
    legend: dict[str, Sample] = field(default_factory=dict)
    unplaced: list[str] = field(default_factory=list)

    def flags(self, *places: str) -> Flags:
        """What is found at places."""
        return tuple(dict.fromkeys(flag for place in places for flag in self.numbers.get(place, ())))

    def explain(self, sample: Sample) -> None:
        """Has the legend say what something is, once."""
        self.legend.setdefault(sample.words, sample)

    def lack(self, sentence: str) -> None:
        """Says what could not be drawn, once."""
        if sentence not in self.unplaced:
            self.unplaced.append(sentence)

    def put(self, *marks: Mark) -> None:
        """Draws marks, and lets no label lie on them."""
        self.marks += marks
        for mark in marks:
            self.taken += boxes_along(mark.spots) if isinstance(mark, Line) else [box_of(mark)]

    def put_symbol(self, *marks: Mark) -> None:
        """Draws the marks of a symbol, which belong together."""
        box = around(map(box_of, marks))
        self.marks += marks
        self.taken.append(box)
        self.symbols.append(box)

    def is_free(self, box: Box) -> bool:
        """Whether nothing was drawn there."""
        return not any(box.overlaps(other) for other in self.taken)

    def label(self, block: Block, spot: Spot, clear: float, outward: Spot | None = None) -> None:
        """Has a label put near a spot, so far off it; on the side that `outward` shows where there is room."""
        first: list[Spot] = []
        if outward:
            half = abs(outward[0]) * block.width / 2 + abs(outward[1]) * block.height / 2
            for slid in _SLID:
                x = spot[0] + (clear + half) * outward[0] - slid * outward[1] - block.width / 2
                y = spot[1] + (clear + half) * outward[1] + slid * outward[0] - block.height / 2
                first.append((x, y))
        self.labels.append(Label(block, spot, clear, tuple(first)))

    def label_room(self, lines: Sequence[str], flags: Flags) -> None:
        """Has a text put where there is room inside of the walls, else above the drawing."""
        block = caption(lines, flags)
        walls = around(box_of(mark) for mark in self.marks)
        first: list[Spot] = []
        for down in range(int(max(0.0, walls.height - block.height) / _GRID) + 1):
            for right in range(int(max(0.0, walls.width - block.width) / _GRID) + 1):
                corner = walls.left + right * _GRID, walls.top + down * _GRID
                if self._is_inside(block.box(*corner)):
                    first.append(corner)
        middle = walls.middle
        half = block.width / 2, block.height / 2
        first.sort(key=lambda corner: (math.dist((corner[0] + half[0], corner[1] + half[1]), middle), corner))
        self.labels.append(Label(block, middle, 0.0, tuple(first)))

    def picture(self, title: str, described: str) -> Picture:
        """The picture as it is now."""
        marks, width, height = bounded(self._finished())
        return Picture(
            title=title,
            described=described,
            width=width,
            height=height,
            scale=self.plot.paper.scale,
            marks=marks,
            legend=tuple(self.legend.values()),
            unplaced=tuple(self.unplaced),
        )

    def _finished(self) -> list[Mark]:
        """All marks, with the labels where there is room for them."""
        drawn = [*map(box_of, self.marks), *self.taken]
        places = Places(*widest(drawn, _WIDEST), list(self.taken))
        return [*self.marks, *(mark for label in self.labels for mark in places.place(label))]

    def _is_inside(self, box: Box) -> bool:
        corners = ((box.left, box.top), (box.right, box.top), (box.right, box.bottom), (box.left, box.bottom))
        return all(self.plot.holds(self.plot.place(spot)) for spot in corners)


def caption(lines: Sequence[str], flags: Flags = (), size: float = LETTERS) -> Block:
    """Lines of text with flags under them."""
    marks: list[Mark] = []
    lines = [part for line in lines for part in wrapped(line, _LONGEST, size)]
    wide, y = max((text_width(line, size) for line in lines), default=0.0), 0.0
    if lines:
        marks, y = paragraph(lines, 0.0, 0.0, size)
    room = max(wide, _IN_ROW * FLAG_APART)
    below, y = flags_below(flags, 0.0, y, room)
    in_row = min(len(flags), int(room // FLAG_APART))
    return Block((*marks, *below), max(wide, in_row * FLAG_APART), y)
