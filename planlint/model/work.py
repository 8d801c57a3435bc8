"""The order of work: tasks, what each waits for, and the building that they are done in."""

from dataclasses import dataclass, field
from datetime import date
from functools import cached_property
from typing import TYPE_CHECKING, ClassVar

from planlint.model.thing import Thing
from planlint.model.words import TaskKind
from planlint.units import Duration, Length

if TYPE_CHECKING:
    from planlint.model.rooms import Room


@dataclass(frozen=True, eq=False, repr=False, kw_only=True)
class Task(Thing):
    """A task of the order of work; it bears on its rooms or walls, or on all where it names none."""

    called: ClassVar[str] = "task"
    name: str
    kind: TaskKind
    after_names: tuple[str, ...]
    """The names of the tasks that must be done first; the plan need not hold them all."""
    after: tuple["Task", ...] = field(default=(), init=False)
    """Those of them that the plan holds."""
    takes: Duration | None
    wait: Duration | None
    """What passes by itself after it, after every coat."""
    coats: int
    product: str | None
    thickness: Length | None
    done: date | None
    is_usual: bool
    """Whether it comes from the usual order of work rather than from the plan's own list."""

    @cached_property
    def rooms(self) -> tuple["Room", ...]:
        """The rooms that it is done in; the builder gives them.

        No field of the class: which rooms a plan holds is no fact of a task that is done in all of them.
        """
        return ()

    @property
    def is_everywhere(self) -> bool:
        """Whether it names no room and no wall, and so is done in all of them."""
        return "" in self.bears_on


@dataclass(frozen=True, slots=True)
class Survey:
    """What was looked for before anything was opened up, and in which rooms; None where that is not recorded."""

    date: date | None
    reference: str | None
    covers: tuple[str, ...] | None


@dataclass(frozen=True, eq=False, repr=False, kw_only=True)
class Building(Thing):
    """The building: its age and country decide which hazards and which rules of law may apply."""

    called: ClassVar[str] = "building"
    built: int | None
    country: str | None
    asbestos: Survey | None
    lead_paint: Survey | None
