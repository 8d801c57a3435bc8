"""Finds room for the labels of a room in plan: as near as can be, with a line to what they speak of where that is far.

Nothing is laid over a label or its line; lines of the drawing may be crossed on the way, where nothing else is left.
"""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from typing import Final

from planlint.drawing.blocks import Block
from planlint.drawing.paper import Box
from planlint.sheet_records import Line, Look, Mark, Spot

_CLEAR: Final = 0.6
"""[mm] Left free round a label."""
_STEP: Final = 1.5
_FARTHEST: Final = 45.0
_TURNS: Final = 24
_BESIDE: Final = 2.5
"""[mm] A label that stands so near needs no line to what it speaks of."""
_OVER_LINE: Final = 2.0
"""[mm] How much farther a place may be for each line of the drawing that its own line then does not cross."""
_OVER_LABEL: Final = 25.0


@dataclass(frozen=True, slots=True)
class Label:
    """A label that waits for room."""

    block: Block
    spot: Spot
    """What it speaks of."""
    clear: float
    """How many mm off it has to be."""
    first: tuple[Spot, ...] = ()
    """Left upper corners to try before others, the best first; there it needs no line."""


@dataclass(slots=True)
class Places:
    """What room is taken, within the page."""

    left: float
    right: float
    drawn: list[Box]
    """What the drawing takes."""
    labels: list[Box] = field(default_factory=list)
    lines: list[tuple[Spot, Spot]] = field(default_factory=list)
    """Lines from labels to what they speak of."""

    def place(self, label: Label) -> Iterator[Mark]:
        """The marks of a label, with its line."""
        block = label.block
        box = next((box for corner in label.first if self._is_free(box := block.box(*corner))), None)
        is_beside = box is not None
        box = box or self._nearest(label) or self._above(block)
        self.labels.append(box)
        end = box.nearest(label.spot)
        if not is_beside and math.dist(end, label.spot) > label.clear + _BESIDE:
            self.lines.append((label.spot, end))
            yield Line(Look.LEADER, (label.spot, end))
        yield from block.at(box.left, box.top)

    def _nearest(self, label: Label) -> Box | None:
        best: tuple[float, Box] | None = None
        distance = label.clear + _CLEAR
        while distance < label.clear + _FARTHEST and (best is None or distance < best[0]):
            for turn in range(_TURNS):
                box = _beside(label, distance, 2 * math.pi * turn / _TURNS)
                if not self._is_free(box):
                    continue
                cost = distance + self._crossed(label, box) if distance > label.clear + _BESIDE else distance
                if best is None or cost < best[0]:
                    best = cost, box
            distance += _STEP
        return best[1] if best else None

    def _is_free(self, box: Box) -> bool:
        wide = box.grown(_CLEAR)
        return (
            self.left <= box.left
            and box.right <= self.right
            and not any(wide.overlaps(other) for other in self.labels)
            and not any(wide.overlaps(other) for other in self.drawn)
            and not any(wide.is_crossed(*line) for line in self.lines)
        )

    def _crossed(self, label: Label, box: Box) -> float:
        """What it costs that the line of a label passes over others."""
        way = label.spot, box.nearest(label.spot)
        drawn = sum(other.is_crossed(*way) for other in self.drawn)
        labels = sum(other.is_crossed(*way) for other in self.labels)
        return _OVER_LINE * min(drawn, 5) + _OVER_LABEL * labels

    def _above(self, block: Block) -> Box:
        """A place above all that was put anywhere."""
        return block.box(self.left, min(box.top for box in (*self.drawn, *self.labels)) - block.height - 2 * _CLEAR)


def _beside(label: Label, distance: float, angle: float) -> Box:
    """The label in a direction, its near side so far off: one on the right begins there, one above ends there."""
    block = label.block
    across, up = math.cos(angle), math.sin(angle)
    x, y = label.spot[0] + distance * across, label.spot[1] - distance * up
    return block.box(x - block.width * (1 - across) / 2, y - block.height * (1 + up) / 2)


def widest(drawn: Sequence[Box], width: float) -> tuple[float, float]:
    """From where to where labels may stand, so that they and the drawing are no wider than a page."""
    left, right = min(box.left for box in drawn), max(box.right for box in drawn)
    spare = max(0.0, width - (right - left)) / 2
    return left - spare, right + spare
