"""What walls are made of and lined with: boards, bases, linings and their layers."""

import re
from dataclasses import dataclass
from typing import ClassVar

from planlint.model.thing import Thing
from planlint.model.words import Faces
from planlint.units import Length

_STUD = re.compile(r"\bstud(s|work|ding|wall)?\b")


@dataclass(frozen=True, eq=False, repr=False, kw_only=True)
class Board(Thing):
    """A kind of sheet in use."""

    called: ClassVar[str] = "board"
    name: str
    kind: str | None
    type: str | None
    width: Length | None
    length: Length | None
    thickness: Length | None
    edges: str | None


@dataclass(frozen=True, eq=False, repr=False, kw_only=True)
class Base(Thing):
    """A wall as found, under whatever is put on it; written in place, it has the place of its wall."""

    called: ClassVar[str] = "base"
    material: str | None
    thickness: Length | None
    faces: Faces | None
    sound: bool | None

    def key(self, name: str) -> str:
        """The path of one of its keys: from the plan's list of bases, or from the wall where it is written in place."""
        return f"{self.place}.{name}" if self.place.startswith("bases.") else f"base.{name}"

    @property
    def is_stud(self) -> bool | None:
        """Whether the base is a frame of studs; every other base is masonry. None where no material is given."""
        return None if self.material is None else bool(_STUD.search(self.material.casefold()))

    @property
    def is_masonry(self) -> bool | None:
        """Whether the base is masonry; None where no material is given."""
        return None if self.material is None else not self.is_stud


@dataclass(frozen=True, slots=True)
class Battens:
    """The battens of a lining."""

    spacing: Length | None
    width: Length | None
    depth: Length | None
    treated: bool | None
    isolated_by: str | None


@dataclass(frozen=True, slots=True)
class Layer:
    """One layer of a lining: a board from the list, or a material."""

    board: Board | None
    material: str | None
    thickness: Length | None
    sd: Length | None

    @property
    def is_film(self) -> bool:
        """Whether it is as thin as a film: it has a vapour resistance (sd) rather than a thickness."""
        return self.board is None and self.thickness is None and self.sd is not None


def boards_of(layers: tuple[Layer, ...]) -> tuple[Board, ...]:
    """The boards among layers, wall side first."""
    return tuple(layer.board for layer in layers if layer.board)


@dataclass(frozen=True, eq=False, repr=False, kw_only=True)
class Lining(Thing):
    """A build-up; its layers run from the wall towards the room."""

    called: ClassVar[str] = "lining"
    name: str
    battens: Battens | None
    adhesive: str | None
    """What boards are glued with: its kind in the plan's words, empty where only its being there is recorded."""
    layers: tuple[Layer, ...]

    @property
    def is_glued(self) -> bool:
        """Whether boards are glued straight to the wall."""
        return self.adhesive is not None

    @property
    def boards(self) -> tuple[Board, ...]:
        """The boards among the layers, wall side first."""
        return boards_of(self.layers)


@dataclass(frozen=True, slots=True)
class Extent:
    """The part of a wall that a lining covers; None where it goes to the wall's end or to the ceiling."""

    start: Length | None
    end: Length | None
    top: Length | None

    def covers(self, at: float, height: float) -> bool:
        """Whether a spot (metres from the left end, metres up) lies on the covered part."""
        return (
            (self.start is None or at >= self.start)
            and (self.end is None or at <= self.end)
            and (self.top is None or height <= self.top)
        )
