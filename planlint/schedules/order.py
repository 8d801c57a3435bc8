"""Turns a plan into its order of work in time: each task with its moments, as records."""

from collections.abc import Sequence
from datetime import date, datetime, time, timedelta
from typing import Final

from planlint import order_records as records
from planlint.errors import Fault, PlanFaults
from planlint.formulas.schedule import Times
from planlint.holds import Releases
from planlint.inspection import plan_of, things_at
from planlint.model.plan import Plan
from planlint.model.work import Task
from planlint.schedules.released import OnRecord, released
from planlint.source import Document
from planlint.sums.order import DAY, HOLD_POINTS, Lateness, Slot, order_of, wait_hours, work_hours
from planlint.units import Duration

_ROOM_AT_THE_END: Final = 7
"""Days before the last day of the calendar by which all has to be done, so that a day after it can be named."""


def order(
    document: Document,
    today: date,
    place: str | None = None,
    *,
    only_next: bool = False,
    on_record: OnRecord | None = None,
) -> records.OrderOfWork:
    """The tasks of a plan that lie under `place` or bear on it, in order, as of `today`.

    The whole plan is reckoned with, whatever is asked for. Raises PlanFaults where it cannot be read as a plan or
    would never end, UsageError for a place that it does not hold.
    """
    plan = plan_of(document)
    asked = {thing for thing in things_at(plan, place) if isinstance(thing, Task)}
    _refuse_endless(document, plan.tasks, today)
    found = order_of(plan.tasks, today)
    given = on_record.standing(document, plan) if on_record else ()
    walk = {thing.place: number for number, thing in enumerate(plan.things())}
    ends = [slot.free for slot in found.slots if slot.free is not None]
    is_over = not any(slot.times for slot in found.slots) and max(ends, default=0.0) <= 0
    return records.OrderOfWork(
        plan=document.file,
        title=plan.title,
        digest=document.digest,
        today=today,
        place=place,
        only_next=only_next,
        tasks=tuple(_card(slot, today, walk, plan, given) for slot in found.slots if slot.task in asked),
        in_plan=len(plan.tasks),
        loop=tuple(task.name for task in found.loop),
        end=None if is_over or found.loop else _moment(today, max(ends)),
    )


def _refuse_endless(document: Document, tasks: Sequence[Task], today: date) -> None:
    """Refuse what would not end before the calendar does, were all of it done one after the other."""
    longest = max(tasks, key=_hours, default=None)
    last = max([today, *(task.done for task in tasks if task.done)])
    if longest and sum(map(_hours, tasks)) > DAY * ((date.max - last).days - _ROOM_AT_THE_END):
        span = document.spans.key(longest.path)
        message = f"the work would end after the year {date.max.year}; {longest.name} alone goes on for too long"
        hint = "look at its takes, wait and coats, and at those of the other tasks"
        raise PlanFaults([Fault(document.file, span.line, span.column, message, hint)])


def _hours(task: Task) -> float:
    return work_hours(task) + wait_hours(task)


def _card(slot: Slot, today: date, walk: dict[str, int], plan: Plan, given: Releases) -> records.TaskCard:
    task, hold_point = slot.task, HOLD_POINTS.get(slot.task.kind)
    covering, to_release = released(task, hold_point, plan, given) if hold_point else ((), ())
    return records.TaskCard(
        name=task.name,
        kind=task.kind,
        place=task.place,
        where=() if task.is_everywhere else tuple(sorted(task.bears_on, key=lambda place: walk[place])),
        hold_point=hold_point,
        releases=covering,
        to_release=to_release,
        after=task.after_names,
        not_in_plan=tuple(sorted({*task.after_names} - {before.name for before in task.after})),
        takes=_span(task.takes),
        wait=_span(task.wait),
        coats=task.coats,
        state=slot.state,
        done=task.done,
        when=_when(slot.times, today) if slot.times else None,
        dries_until=_moment(today, slot.free) if slot.free and slot.free > 0 and task.done and task.wait else None,
        meanwhile=tuple(other.name for other in slot.meanwhile),
        late=_late(slot.late),
        missing=slot.missing,
    )


def _when(times: Times, today: date) -> records.When:
    return records.When(
        start=_moment(today, times.earliest_start),
        finish=_moment(today, times.earliest_finish),
        free=_moment(today, times.free),
        latest_start=_moment(today, times.latest_start),
        latest_finish=_moment(today, times.latest_finish),
        total_float=round(times.total_float, 2),
    )


def _late(late: Lateness | None) -> records.Late | None:
    if late is None:
        return None
    return records.Late(since=late.since, overtaken_by=tuple(task.name for task in late.overtaken_by))


def _moment(today: date, hours: float) -> datetime:
    """The moment so many hours from the beginning of today, to the minute."""
    return datetime.combine(today, time()) + timedelta(minutes=round(60 * hours))


def _span(duration: Duration | None) -> records.Span | None:
    return None if duration is None else records.Span(round(duration / 3600, 2), str(duration))
