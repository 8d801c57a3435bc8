"""What else is fixed to walls or cut into them: baths and basins, chases and notches, and what is behind a wall."""

from dataclasses import dataclass
from typing import TYPE_CHECKING, ClassVar

from planlint.model.thing import Thing
from planlint.model.words import Direction, FixtureKind
from planlint.units import Length

if TYPE_CHECKING:
    from planlint.model.rooms import Room, Wall


@dataclass(frozen=True, eq=False, repr=False, kw_only=True)
class Fixture(Thing):
    """A bath, basin, radiator or the like; `at` is its left edge from the wall's left end, facing it."""

    called: ClassVar[str] = "fixture"
    name: str
    kind: FixtureKind
    room: "Room"
    wall: "Wall | None"
    at: Length | None
    width: Length | None
    depth: Length | None
    rim: Length | None
    """Height of its rim above the finished floor."""
    height: Length | None
    """Height of its top above the finished floor."""
    has_tray: bool | None
    outlet_height: Length | None
    """Height of its highest fixed water outlet above the finished floor."""
    backing: bool


@dataclass(frozen=True, slots=True)
class Chase:
    """A slot cut into a masonry wall."""

    direction: Direction | None
    depth: Length | None
    width: Length | None
    length: Length | None
    at: Length | None
    height: Length | None


@dataclass(frozen=True, slots=True)
class Notch:
    """A notch or hole cut into a stud or joist; `at` is measured from the member's end, on a wall from its left end."""

    is_hole: bool
    member: str | None
    depth: Length | None
    member_depth: Length | None
    at: Length | None
    span: Length | None


@dataclass(frozen=True, slots=True)
class Flue:
    """A flue in a wall."""

    is_in_use: bool | None
    is_ventilated: bool | None


@dataclass(frozen=True, slots=True)
class OtherFace:
    """The wall of another room that is the other face of a wall; one of the two says so, the mirror is the same.

    `offset` is how far the right end of the wall that is named lies from the left end of the wall that names it,
    facing the latter, and `length` is that of the wall that is named.
    """

    wall: "Wall"
    offset: Length
    length: Length | None

    def opposite(self, at: float) -> float | None:
        """Where a spot `at` metres along one face is on the other, in metres from that face's left end.

        None where the length of the wall that is named is not known.
        """
        return None if self.length is None else self.offset + self.length - at
