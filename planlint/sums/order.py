"""The order of work in time: when each task can begin, what can be done meanwhile, and what is late.

Hours count from the beginning of today; a day counts all its 24, so that `1 d` of work is a day of the calendar and a
wait passes day and night. What is done stays on its day. A task that is not done begins today at the earliest.
"""

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from functools import reduce
from operator import or_
from typing import Final

from planlint.formulas.schedule import Activity, Times, clear_of_loops, find_loop, schedule
from planlint.model.words import TaskKind
from planlint.model.work import Task
from planlint.order_records import State
from planlint.records import HoldPoint
from planlint.units import at_least, at_most

DAY: Final = 24.0
_HOUR: Final = 3600.0

HOLD_POINTS: Final[Mapping[TaskKind, HoldPoint]] = {
    TaskKind.CLOSING_IN: HoldPoint.CLOSING_IN,
    TaskKind.FILLING: HoldPoint.FILLING,
    TaskKind.TILING: HoldPoint.TILING,
    TaskKind.FLOORING: HoldPoint.FLOORING,
    TaskKind.PAINTING: HoldPoint.PAINTING,
    TaskKind.LIVE_TEST: HoldPoint.ENERGISING,
}
"""The hold point that stands before a task."""

DRIES: Final = frozenset(
    {
        TaskKind.PLASTERING,
        TaskKind.SCREED,
        TaskKind.TANKING,
        TaskKind.TILING,
        TaskKind.FILLING,
        TaskKind.CORNER_SEALING,
        TaskKind.PRIMING,
        TaskKind.PAINTING,
    }
)
"""The tasks after which something has to dry, set or cure, so that a wait belongs to them (common practice)."""


@dataclass(frozen=True, slots=True)
class Lateness:
    """Why a task is late: since which day, and what was done though it comes after."""

    since: date
    overtaken_by: tuple[Task, ...]


@dataclass(frozen=True, slots=True)
class Slot:
    """A task in time."""

    task: Task
    state: State
    times: Times | None
    """None where it is done or held up."""
    free: float | None
    """When what comes after it may begin; None where it is held up."""
    meanwhile: tuple[Task, ...]
    late: Lateness | None
    missing: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Order:
    """The tasks in order: what is done by its day, then what is to come, then what a loop holds up."""

    slots: tuple[Slot, ...]
    loop: tuple[Task, ...]
    """One loop of tasks that wait for each other, each before the next; nothing where there is none."""


def work_hours(task: Task) -> float:
    """From the beginning of a task to the end of its last coat, with the waits between coats; 0 where not recorded."""
    return (task.takes or 0.0) / _HOUR + (task.coats - 1) * wait_hours(task)


def wait_hours(task: Task) -> float:
    """What passes by itself after a coat; 0 where it is not recorded."""
    return (task.wait or 0.0) / _HOUR


def order_of(tasks: Sequence[Task], today: date) -> Order:
    """The tasks of a plan in time, as of `today`."""
    after = {task.name: [before.name for before in task.after] for task in tasks}
    loop = find_loop(after)
    clear = clear_of_loops(after)
    by_name = {task.name: task for task in tasks}
    network = _Network([task for task in tasks if task.name in clear], today, has_end=not loop)
    done = sorted((task for task in tasks if task.done), key=lambda task: task.done or today)
    held_up = [task for task in tasks if not task.done and task.name not in clear]
    slots = [*map(network.done, done), *network.to_come(), *(_held_up(task) for task in held_up)]
    return Order(tuple(slots), tuple(by_name[name] for name in loop))


def _held_up(task: Task) -> Slot:
    return Slot(task, State.HELD_UP, None, None, (), None, _missing(task))


def _missing(task: Task) -> tuple[str, ...]:
    unknown = [] if task.takes is not None else ["takes"]
    return (*unknown, *(["wait"] if task.wait is None and task.kind in DRIES else []))


class _Network:
    """The tasks that no loop holds up, and when each can and must take place."""

    def __init__(self, tasks: Sequence[Task], today: date, *, has_end: bool) -> None:
        self.today = today
        self.has_end = has_end
        self.times = schedule([self._activity(task) for task in tasks])
        by_name = {task.name: task for task in tasks}
        self.tasks = [by_name[name] for name in self.times]
        self.before = _before(self.tasks)
        self.number = {task: number for number, task in enumerate(self.tasks)}
        self.open = sum(1 << number for number, task in enumerate(self.tasks) if not task.done)
        self.overtaken = reduce(or_, (self.before[task] for task in self.tasks if task.done), 0)

    def _activity(self, task: Task) -> Activity:
        after = tuple(before.name for before in task.after)
        if task.done is None:
            return Activity(name=task.name, duration=work_hours(task), wait=wait_hours(task), after=after)
        return Activity(name=task.name, duration=0.0, after=after, earliest=self._freed(task, task.done))

    def _freed(self, task: Task, done: date) -> float:
        """When what comes after a done task may begin: on the same day, or after a wait from the end of that day."""
        # At which hour it was done is not recorded: what dries counts from the last one.
        begun = DAY * (done - self.today).days
        return begun + DAY + wait_hours(task) if task.wait else begun

    def done(self, task: Task) -> Slot:
        """A task that is done, which may still be drying."""
        assert task.done  # noqa: S101 - told apart by the caller; this tells the type checker
        freed = self._freed(task, task.done)
        drying = [(0.0, freed)] if freed > 0 and task in self.number else []
        return Slot(task, State.DONE, None, freed, self._meanwhile(task, drying), None, ())

    def to_come(self) -> Iterator[Slot]:
        """What is not done, the earliest first."""
        for task in self.tasks:
            if not task.done:
                times = self.times[task.name]
                waits = list(_waits(task, times.earliest_start))
                yield Slot(
                    task,
                    State.CAN_BEGIN if self._can_begin(task) else State.WAITS,
                    times,
                    times.free,
                    self._meanwhile(task, waits),
                    self._late(task),
                    _missing(task),
                )

    def _can_begin(self, task: Task) -> bool:
        return not self.before[task] & self.open and not at_least(self.times[task.name].earliest_start, DAY)

    def _meanwhile(self, task: Task, waits: Sequence[tuple[float, float]]) -> tuple[Task, ...]:
        """What can be begun within one of the waits without moving the end, and has nothing to do with the task."""
        if not waits:
            return ()
        return tuple(
            other
            for other in self.tasks
            if not other.done and self._fits(self.times[other.name], waits) and not self._hangs_on(other, task)
        )

    def _hangs_on(self, other: Task, task: Task) -> bool:
        one, two = self.number[other], self.number[task]
        return one == two or bool(self.before[task] >> one & 1 or self.before[other] >> two & 1)

    @staticmethod
    def _fits(times: Times, waits: Sequence[tuple[float, float]]) -> bool:
        return any(
            not at_least(times.earliest_start, end) and at_least(times.latest_start, begin) for begin, end in waits
        )

    def _late(self, task: Task) -> Lateness | None:
        """Whether it was overtaken, or could have been done a day ago and more while the end hangs on it."""
        number = self.number[task]
        if self.overtaken >> number & 1:
            after = [other for other in self.tasks if other.done and self.before[other] >> number & 1]
            return Lateness(min(other.done for other in after if other.done), tuple(after))
        if not task.after or task.takes is None or not self._can_begin(task):
            return None
        if not self.has_end or not self.times[task.name].is_critical:
            return None
        # From the end of the last day, and with a day to write it down: whoever is at work is not called late.
        ended = [
            DAY * (before.done - self.today).days + DAY + wait_hours(before) for before in task.after if before.done
        ]
        could = max(ended) + work_hours(task)
        return Lateness(self.today + timedelta(days=math.ceil(could / DAY) - 1), ()) if at_most(could, -DAY) else None


def _before(tasks: Sequence[Task]) -> dict[Task, int]:
    """All that comes before each task, as the bits of a number; the tasks stand in an order that can be done."""
    before: dict[Task, int] = {}
    bit = {task: 1 << number for number, task in enumerate(tasks)}
    for task in tasks:
        found = 0
        for one in task.after:
            found |= before[one] | bit[one]
        before[task] = found
    return before


def _waits(task: Task, start: float) -> Iterator[tuple[float, float]]:
    """From when to when each coat of a task dries."""
    wait, coat = wait_hours(task), (task.takes or 0.0) / _HOUR / task.coats
    for number in range(task.coats if wait else 0):
        painted = start + (number + 1) * coat + number * wait
        yield painted, painted + wait
