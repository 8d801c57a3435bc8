"""What the order of work in time holds, as plain frozen data: the only thing that its reports see.

Moments are those of the clock on the site. A day counts from midnight to midnight, and all its 24 hours.
"""

from dataclasses import dataclass
from datetime import date, datetime
from enum import StrEnum

from planlint.records import HoldPoint, Release


class State(StrEnum):
    """How far a task is."""

    DONE = "done"
    CAN_BEGIN = "can-begin"
    """All that comes before it is done, and what had to dry is dry in the course of today."""
    WAITS = "waits"
    HELD_UP = "held-up"
    """It waits for itself, by a loop in the order of work."""


@dataclass(frozen=True, slots=True)
class Span:
    """How long something lasts: in hours, and as the plan says it."""

    hours: float
    said: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Late:
    """That a task is late, and why."""

    since: date
    """The day on which one of those after it was done, or by which it could have been done."""
    overtaken_by: tuple[str, ...]
    """The tasks that come after it and are done; where there are none, it is late since it could long be done."""


@dataclass(frozen=True, slots=True, kw_only=True)
class When:
    """When a task that is not done can take place, and when it must for the end not to move."""

    start: datetime
    finish: datetime
    free: datetime
    """When what comes after it can begin: its wait has passed too."""
    latest_start: datetime
    latest_finish: datetime
    total_float: float
    """In hours."""


@dataclass(frozen=True, slots=True, kw_only=True)
class TaskCard:
    """One task."""

    name: str
    kind: str
    place: str
    where: tuple[str, ...]
    """The rooms and walls that it is done in, in the order of the walk; none where it is done everywhere."""
    hold_point: HoldPoint | None
    """What has to be released before it."""
    releases: tuple[Release, ...]
    """The releases of that which cover its places, or some of them."""
    to_release: tuple[str, ...]
    """Where that is still to be released, or anew; nowhere where it is released for all that the task is done to."""
    after: tuple[str, ...]
    not_in_plan: tuple[str, ...]
    """Those of `after` that the plan does not hold."""
    takes: Span | None
    wait: Span | None
    coats: int
    state: State
    done: date | None
    when: When | None
    """None where it is done, or a loop holds it up."""
    dries_until: datetime | None
    """Of one that is done: the end of its wait, where that is still to come."""
    meanwhile: tuple[str, ...]
    """What can be begun while it dries or sets, without moving the end."""
    late: Late | None
    missing: tuple[str, ...]
    """What is not recorded of it, and counts for nothing here."""


@dataclass(frozen=True, slots=True, kw_only=True)
class OrderOfWork:
    """The tasks of a plan in order, those that are done first, those that a loop holds up last."""

    plan: str
    title: str
    digest: str
    today: date
    place: str | None
    only_next: bool
    """Whether only that was asked for which can be begun today."""
    tasks: tuple[TaskCard, ...]
    in_plan: int
    loop: tuple[str, ...]
    """The tasks of the plan that wait for each other, each before the next, the last before the first."""
    end: datetime | None
    """When all of the plan can be done and dry; None where all is, or a loop holds some of it up."""

    @property
    def shown(self) -> tuple[TaskCard, ...]:
        """The tasks that were asked for: all of them, or what can be begun today and what is drying."""
        if not self.only_next:
            return self.tasks
        return tuple(task for task in self.tasks if task.state is State.CAN_BEGIN or task.dries_until)
