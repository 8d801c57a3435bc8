"""What walls are made of and lined with: boards, bases, linings and their layers."""

import re
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, ClassVar

from planlint.model.fixtures import Flue
from planlint.model.thing import Thing
from planlint.model.words import BoardKind, Edges, Faces
from planlint.units import Conductivity, Density, Length, SurfaceMass

if TYPE_CHECKING:
    from planlint.model.rooms import Room

_STUD = re.compile(r"\bstud(s|work|ding|wall)?\b")


@dataclass(frozen=True, slots=True)
class Size:
    """The width and length of a sheet, or of a part of one."""

    width: Length
    length: Length


@dataclass(frozen=True, slots=True)
class Offcut:
    """A size that is left over from earlier, and how many there are of it."""

    size: Size
    count: int


@dataclass(frozen=True, slots=True)
class VapourResistance:
    """A vapour resistance factor (μ), dry and wet; one figure stands for both."""

    dry: float
    wet: float


@dataclass(frozen=True, slots=True)
class Screws:
    """The screws that hold a layer: how long, how far apart, how far from the edge of the sheet."""

    length: Length | None
    spacing: Length | None
    edge: Length | None


@dataclass(frozen=True, eq=False, repr=False, kw_only=True)
class Board(Thing):
    """A kind of sheet in use."""

    called: ClassVar[str] = "board"
    name: str
    kind: BoardKind | None
    type: str | None
    width: Length | None
    length: Length | None
    thickness: Length | None
    edges: Edges | None
    mass: SurfaceMass | None
    density: Density | None
    stock: int
    """How many whole sheets are at hand."""
    cut_to: Size | None
    """The size to which it is cut before it is carried in; None where it is carried whole."""
    offcuts: tuple[Offcut, ...]
    people: int | None
    """How many people carry and lift it."""
    rooms: tuple["Room", ...] = field(default=(), init=False)
    """The rooms in which it is to be hung; not those in which it stands already."""

    @property
    def stands_already(self) -> bool:
        """Whether the plan has it only where it hangs as found: nobody carries it in."""
        return bool(self.bears_on) and not self.rooms

    @property
    def mass_per_area(self) -> SurfaceMass | None:
        """Its mass per square metre: as recorded, else from density and thickness."""
        if self.mass is not None or self.density is None or self.thickness is None:
            return self.mass
        return SurfaceMass(self.density * self.thickness, "kg/m²")


@dataclass(frozen=True, eq=False, repr=False, kw_only=True)
class Base(Thing):
    """A wall as found, under whatever is put on it; written in place, it has the place of its wall."""

    called: ClassVar[str] = "base"
    material: str | None
    thickness: Length | None
    faces: Faces | None
    sound: bool | None
    unevenness: Length | None
    """How far its surface is out of plane under a long straightedge."""
    conductivity: Conductivity | None
    vapour_resistance: VapourResistance | None
    density: Density | None
    is_load_bearing: bool | None
    flue: Flue | None

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
    conductivity: Conductivity | None = None
    vapour_resistance: VapourResistance | None = None
    density: Density | None = None
    screws: Screws | None = None
    gap: Length | None = None
    """The gap between its sheets and at their edges: its own, else the lining's."""

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
    surfaces: tuple[Thing, ...] = field(default=(), init=False)
    """The walls, ceilings and slopes that it stands in front of."""

    @property
    def is_glued(self) -> bool:
        """Whether boards are glued straight to the wall."""
        return self.adhesive is not None

    @property
    def boards(self) -> tuple[Board, ...]:
        """The boards among the layers, wall side first."""
        return boards_of(self.layers)


@dataclass(frozen=True, slots=True)
class JoistEnds:
    """The ends of the joists that come through a wall's lining and rest in the wall."""

    vapour_sealed: bool | None
    """Whether the vapour layer is sealed to them."""


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
