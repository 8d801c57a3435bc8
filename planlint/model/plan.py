"""The plan as a whole, its order of work, and what those responsible have agreed to."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date
from typing import Any, ClassVar

from planlint.model.access import Passage
from planlint.model.buildups import Base, Board, Lining
from planlint.model.rooms import Room
from planlint.model.services import Box, Circuit, Supply
from planlint.model.thing import Thing
from planlint.model.work import Building, Task
from planlint.units import Length


@dataclass(frozen=True, eq=False, repr=False, kw_only=True)
class Whole(Thing):
    """The access or the order of work: what stands behind everything."""

    called: ClassVar[str] = "part of the plan"


@dataclass(frozen=True, eq=False, repr=False, kw_only=True)
class ConcessionEntry(Thing):
    """The leave to live with one finding of `rule` at `at`, as the plan records it."""

    called: ClassVar[str] = "concession"
    rule: str
    at: str
    reason: str
    agreed_by: str
    until: date


@dataclass(frozen=True, slots=True)
class ReviewEntry:
    """The record that a person has looked where `rule` asked for it."""

    rule: str
    at: str
    by: str


@dataclass(frozen=True, eq=False, repr=False, kw_only=True)
class Plan(Thing):
    """A plan file, read and linked."""

    called: ClassVar[str] = "plan"
    title: str
    limits: Any
    """The plan's choice of limit sets, as written."""
    people: int | None
    """How many people carry and lift."""
    kerf: Length | None
    """What the saw takes away; None where boards are scored and snapped, or the plan does not say."""
    building: Building
    wholes: tuple[Whole, ...]
    supply: Supply
    passages: tuple[Passage, ...]
    boxes: Mapping[str, Box]
    boards: Mapping[str, Board]
    bases: Mapping[str, Base]
    linings: Mapping[str, Lining]
    circuits: Mapping[str, Circuit]
    tasks: tuple[Task, ...]
    concessions: tuple[ConcessionEntry, ...]
    reviews: tuple[ReviewEntry, ...]
    rooms: tuple[Room, ...] = field(default=(), init=False)

    def things(self) -> Iterator[Thing]:
        """Every thing of the plan: what serves the whole first, then room by room in the order of the walk."""
        yield self
        yield self.building
        yield from self.wholes
        yield self.supply
        yield from self.passages
        yield from self.boxes.values()
        yield from self.boards.values()
        yield from self.bases.values()
        yield from self.linings.values()
        for circuit in self.circuits.values():
            yield circuit
            yield from circuit.runs
        for room in self.rooms:
            yield from self._things_of(room)
        yield from self.tasks
        yield from self.concessions

    def _things_of(self, room: Room) -> Iterator[Thing]:
        yield room
        yield room.floor
        for wall in room.walls:
            yield wall
            yield from wall.openings
            yield from wall.finishes
            yield from wall.points
            yield from wall.pieces
            yield from wall.board_joints
            yield from wall.pipes
            if wall.corner:
                yield wall.corner
        if room.ceiling:
            yield room.ceiling
            yield from room.ceiling.points
        yield from room.slopes
        yield from room.fixtures
        yield from room.height_groups
