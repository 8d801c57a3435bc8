"""The way to the rooms, which boards are carried."""

from dataclasses import dataclass
from typing import ClassVar

from planlint.model.thing import Thing
from planlint.model.words import PassageKind
from planlint.units import Length


@dataclass(frozen=True, eq=False, repr=False, kw_only=True)
class Passage(Thing):
    """A turn, door or hatch on the way to the rooms."""

    called: ClassVar[str] = "passage"
    name: str
    kind: PassageKind | None
    width: Length | None
    width_beyond: Length | None
    headroom: Length | None
