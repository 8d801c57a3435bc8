"""What the parts of a wall's elevation draw on: its frame, the marks so far, and the labels that wait for room."""

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Final

from planlint.drawing.blocks import Block, Numbers
from planlint.drawing.paper import Box, Paper
from planlint.limit_values import listed
from planlint.model.rooms import Wall
from planlint.rule import Given
from planlint.sheet_records import Area, Line, Look, Mark, Sample, Spot
from planlint.sums.working import tidy
from planlint.units import Length, at_most

BEYOND: Final = 1.0
"""[m] How far beyond a wall's end or ceiling a thing is still drawn, so that the slip shows; own decision."""


@dataclass(frozen=True, slots=True)
class Frame:
    """How much of a wall there is to draw, in metres: from its left end, and up from the bare floor."""

    wall: Wall
    right: float
    """Its right end at the floor or at the top, or the farthest that is known to be on it."""
    top: float

    @classmethod
    def of(cls, wall: Wall, spots: Iterable[tuple[float | None, float | None]]) -> "Frame | None":
        """The frame of a wall and of what is on it, by the spots of these; None where there is nothing to measure by.

        The heights of the spots are as the room measures them.
        """
        some, datum = list(spots), wall.room.floor.datum
        lengths = [float(one) for one in (wall.length, wall.length_at_top) if one is not None and wall.length]
        heights = [float(one) for one in (wall.height_left, wall.height_right) if one is not None]
        heights += [float(height) for _, height in wall.gable]
        right = max(lengths, default=None)
        top = max(heights, default=None)
        alongs = [at for at, _ in some if at is not None and (right is None or at <= right + BEYOND)]
        ups = [up + datum for _, up in some if up is not None and (top is None or up + datum <= top + BEYOND)]
        right = max([*alongs, *([right] if right else [])], default=0.0)
        top = max([*ups, *([top] if top else [])], default=0.0)
        return cls(wall, right, top) if right > 0 and top > 0 else None

    @property
    def has_height(self) -> bool:
        """Whether it is known how high the wall is."""
        return self.wall.height_left is not None and self.wall.height_right is not None

    def holds(self, at: float, height: float) -> bool:
        """Whether a spot, by its height above the bare floor, is in it or not far outside."""
        return at_most(at, self.right) and at_most(height, self.top) and height >= -BEYOND

    def top_line(self) -> list[tuple[float, float]]:
        """The line of the bare ceiling from left to right; empty where it is not known."""
        wall = self.wall
        if wall.height_left is None or wall.height_right is None or not wall.length:
            return []
        if wall.gable:
            line = [(float(at), float(height)) for at, height in wall.gable]
            return [*line[:-1], (wall.length_at(line[-1][1]) or line[-1][0], line[-1][1])]
        end = wall.length_at(wall.height_right) or float(wall.length)
        return [(0.0, float(wall.height_left)), (end, float(wall.height_right))]


@dataclass(frozen=True, slots=True)
class Label:
    """A label that waits for room."""

    block: Block
    spot: Spot
    """What it speaks of."""
    clear: float = 0.0
    """How far off it must be, in millimetres."""
    first: tuple[Spot, ...] = ()
    """Left upper corners to try before others."""
    is_optional: bool = False
    """Whether it may be left out where none of these is free: the tables have its figures."""


@dataclass(slots=True)
class Scene:
    """An elevation as it comes about."""

    wall: Wall
    given: Given
    frame: Frame
    paper: Paper
    numbers: dict[str, Numbers]
    """What is found at each place; what is drawn beside its thing is taken out."""
    marks: list[Mark] = field(default_factory=list)
    clear: list[Box] = field(default_factory=list)
    """Where no label may lie."""
    labels: list[Label] = field(default_factory=list)
    positions: dict[Length, list[str]] = field(default_factory=dict)
    """What is measured from the left end."""
    legend: dict[str, Sample] = field(default_factory=dict)
    unplaced: list[str] = field(default_factory=list)

    @property
    def datum(self) -> float:
        """How far the floor that heights are measured from lies above the bare one (m)."""
        return self.wall.room.floor.datum

    def flags(self, place: str) -> Numbers:
        """What is found at a place, which is now drawn."""
        return self.numbers.pop(place, ())

    def measured(self, at: Length, what: str) -> None:
        """Has a position shown below the wall, with the name of what is there."""
        key = next((one for one in self.positions if math.isclose(one, at, abs_tol=1e-6)), at)
        names = self.positions.setdefault(key, [])
        if what not in names:
            names.append(what)

    def explain(self, sample: Sample) -> None:
        """Puts something in the legend, once."""
        self.legend.setdefault(sample.words, sample)

    def lacks(self, what: str, keys: Sequence[str]) -> None:
        """Says that something is not drawn and which keys to add."""
        self.tell(f"{what} not drawn: add {listed(keys, 'and')}")

    def tell(self, sentence: str) -> None:
        """Says something of what is not drawn, once."""
        if sentence not in self.unplaced:
            self.unplaced.append(sentence)

    def outside(self, what: str, at: float, up: float) -> bool:
        """Whether a spot, by its height above the bare floor, is too far off to be drawn; then it is said."""
        if self.frame.holds(at, up):
            return False
        self.tell(f"{what} not drawn: it would be far outside of the wall; check where it is")
        return True


def absent(place: str, values: Mapping[str, object]) -> list[str]:
    """The keys of a thing, from the plan down, of which the values are not recorded."""
    return [f"{place}.{key}" for key, value in values.items() if value is None]


def length(metres: float, like: Length | None) -> Length:
    """A length that was worked out, in the unit of another."""
    return Length(tidy(metres), like.unit if like is not None else "m")


def line_sample(look: Look, words: str) -> Sample:
    """A line of the legend for a line."""
    return Sample((Line(look, ((1.0, 3.0), (11.0, 3.0))),), words)


def area_sample(look: Look, words: str) -> Sample:
    """A line of the legend for a filled area."""
    return Sample((Area(look, ((1.0, 1.0), (11.0, 1.0), (11.0, 5.0), (1.0, 5.0))),), words)
