"""The precedence network of a job: earliest and latest times, floats, and what is critical.

Times and durations are in hours from a start that the caller chooses. Each function refuses a value outside its range
with a ValueError that names the argument and the range, and an order that bites its own tail with a LoopError.
"""

import heapq
from collections.abc import Iterable, Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass
from graphlib import CycleError, TopologicalSorter
from typing import Final

from planlint.formulas.ranges import Range
from planlint.units import at_most

HOURS: Final = Range(0, 1e8, "h")
MOMENT: Final = Range(-1e8, 1e8, "h")


class LoopError(ValueError):
    """An order in which some activities wait for each other, so that none of them can ever begin.

    `loop` holds them in the order of work: each comes before the next, and the last comes before the first.
    """

    def __init__(self, loop: Sequence[str]) -> None:
        self.loop = tuple(loop)
        super().__init__(f"these wait for each other: {', '.join(self.loop)}")


@dataclass(frozen=True, slots=True, kw_only=True)
class Activity:
    """One activity of a network."""

    name: str
    duration: float
    """How long it takes [h]."""
    wait: float = 0.0
    """What passes by itself after it, before anything that comes after it may begin [h]."""
    after: tuple[str, ...] = ()
    """The names of the activities that must be finished first."""
    earliest: float = 0.0
    """Before this it cannot begin, whatever it comes after [h]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Times:
    """When an activity can and must take place [h]."""

    earliest_start: float
    earliest_finish: float
    free: float
    """The earliest moment at which what comes after it may begin: its wait has passed too."""
    latest_start: float
    latest_finish: float
    total_float: float
    """How long it may be put off without moving the end; never below zero."""

    @property
    def is_critical(self) -> bool:
        """Whether every delay of it delays the end."""
        return self.total_float == 0


def find_loop(after: Mapping[str, Iterable[str]]) -> tuple[str, ...]:
    """The names of one loop in the order of work, or nothing where there is none.

    `after` gives for each name those that come before it. The loop begins with the name that `after` lists first.

    >>> find_loop({"lining": ["inspection"], "insulation": ["lining"], "inspection": ["insulation"], "paint": []})
    ('lining', 'insulation', 'inspection')
    """
    try:
        TopologicalSorter(after).prepare()
    except CycleError as error:
        loop: list[str] = error.args[1][:-1]
        rank = {name: number for number, name in enumerate(after)}
        first = min(range(len(loop)), key=lambda index: rank[loop[index]])
        return (*loop[first:], *loop[:first])
    return ()


def clear_of_loops(after: Mapping[str, Iterable[str]]) -> frozenset[str]:
    """The names that no loop holds up, neither as a part of it nor as what comes after it.

    >>> sorted(clear_of_loops({"a": [], "b": ["a", "c"], "c": ["b"], "d": ["c"], "e": ["a"]}))
    ['a', 'e']
    """
    sorter = TopologicalSorter(after)
    with suppress(CycleError):
        sorter.prepare()
    clear: set[str] = set()
    while ready := sorter.get_ready():  # a sorter that has met a loop still gives what the loop does not block
        clear.update(ready)
        sorter.done(*ready)
    return frozenset(clear)


def schedule(activities: Sequence[Activity]) -> dict[str, Times]:
    """When each activity can and must take place, in the order of their earliest starts; ties as they are given.

    Forward, ES = max(earliest, EF + wait of all that comes before) and EF = ES + duration; the end T is the greatest
    EF + wait. Backward, LF + wait = min(T, LS of all that comes after) and LS = LF - duration. The total float is
    LS - ES, and what has none is critical: with ties that is more than one chain. `duration` and `wait` [h], 0 to 1e8
    h; `earliest` [h], -1e8 to 1e8 h. As many hands are supposed as there is work side by side. Raises LoopError where
    activities wait for each other, ValueError where one is named twice or comes after one that is not there.
    Source: critical path method as in Hendrickson, Project Management for Construction, chapter 10.

    >>> lining = Activity(name="lining", duration=8)
    >>> times = schedule([lining, Activity(name="filling", duration=4, wait=24, after=("lining",))])
    >>> times["filling"].earliest_start, times["filling"].free
    (8.0, 36.0)
    """
    by_name = {activity.name: activity for activity in activities}
    if len(by_name) < len(activities):
        raise ValueError("two activities have one name")
    for activity in activities:
        HOURS.admit(duration=activity.duration, wait=activity.wait)
        MOMENT.admit(earliest=activity.earliest)
        if missing := [name for name in activity.after if name not in by_name]:
            raise ValueError(f"{activity.name} comes after {missing[0]}, which is not there")
    if loop := find_loop({activity.name: activity.after for activity in activities}):
        raise LoopError(loop)
    starts = _forward(by_name)
    free = {name: start + by_name[name].duration + by_name[name].wait for name, start in starts.items()}
    end = max(free.values(), default=0.0)
    latest = _backward(by_name, starts, end)
    span = end - min(starts.values(), default=end)
    slack = {name: latest[name] - start for name, start in starts.items()}
    return {
        name: Times(
            earliest_start=start,
            earliest_finish=start + by_name[name].duration,
            free=free[name],
            latest_start=latest[name],
            latest_finish=latest[name] + by_name[name].duration,
            # Held against the whole span, beside which the noise of floats is nothing.
            total_float=0.0 if at_most(span + slack[name], span) else slack[name],
        )
        for name, start in starts.items()
    }


def _forward(by_name: Mapping[str, Activity]) -> dict[str, float]:
    """The earliest starts, the earliest first."""
    sorter = TopologicalSorter({name: activity.after for name, activity in by_name.items()})
    sorter.prepare()
    rank = {name: number for number, name in enumerate(by_name)}
    free: dict[str, float] = {}
    starts: dict[str, float] = {}
    ready: list[tuple[float, int, str]] = []
    while sorter.is_active():
        for name in sorter.get_ready():
            activity = by_name[name]
            start = max([activity.earliest, *(free[before] for before in activity.after)])
            heapq.heappush(ready, (start, rank[name], name))
        start, _, name = heapq.heappop(ready)
        starts[name] = start
        free[name] = start + by_name[name].duration + by_name[name].wait
        sorter.done(name)
    return starts


def _backward(by_name: Mapping[str, Activity], order: Iterable[str], end: float) -> dict[str, float]:
    """The latest starts with which the end does not move."""
    due = dict.fromkeys(by_name, end)
    latest: dict[str, float] = {}
    for name in reversed(list(order)):
        activity = by_name[name]
        latest[name] = due[name] - activity.wait - activity.duration
        for before in activity.after:
            due[before] = min(due[before], latest[name])
    return latest
