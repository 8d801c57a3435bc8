"""The order of work as a calendar (iCalendar, RFC 5545): what is not done, by days, with the hold points between."""

from collections.abc import Iterator
from datetime import UTC, date, datetime, time, timedelta
from typing import Final
from uuid import UUID, uuid5

from icalendar import Calendar, Event, vText

from planlint.order_records import OrderOfWork, TaskCard, When
from planlint.reports.order import last_day, places, spoken
from planlint.reports.page import listing, plain

_NAMESPACE: Final = UUID("5c2f4d0e-6f0b-5d6c-9a41-2e0d3c9b7a18")
"""Made up once, so that the entries of a plan have the same identifiers for good."""


def render(order: OrderOfWork, version: str) -> str:
    """The calendar; the same order gives the same bytes, and the same task the same identifier whatever its day.

    An entry takes whole days and leaves them free for other things: which hours one works, no plan says. A hold point
    stands on the day before its task, so that there is time to look, but never before today.
    """
    calendar = Calendar()
    calendar.add("prodid", f"-//planlint//planlint {version}//EN")
    calendar.add("version", "2.0")
    calendar.add("x-wr-calname", vText(plain(order.title)))
    for task in order.shown:
        if task.when:
            for entry in _entries(task, task.when, order):
                calendar.add_component(entry)
    written: bytes = calendar.to_ical()
    return written.decode()


def _entries(task: TaskCard, when: When, order: OrderOfWork) -> Iterator[Event]:
    begins = when.start.date()
    if task.to_release:
        eve = max(order.today, begins - timedelta(days=1))
        told = (
            f"Stop before {task.name} ({task.kind}), look, measure and record: planlint inspect --hold-point "
            f"{task.hold_point} says what is wrong or not recorded. Local code and licensed people decide."
        )
        title = f"Hold point {task.hold_point}: release {spoken(task.to_release)} before {task.name}"
        yield _event(order, f"hold/{task.name}", title, (eve, eve), told)
    title = task.name if task.name == task.kind else f"{task.name}: {task.kind}"
    days = (begins, last_day(when))
    yield _event(order, task.name, f"{title}, {places(task)}", days, " ".join(_told(task, when)))


def _event(order: OrderOfWork, name: str, title: str, days: tuple[date, date], told: str) -> Event:
    event = Event()
    event.add("uid", str(uuid5(_NAMESPACE, f"{order.title}\n{name}")))
    event.add("dtstamp", datetime.combine(order.today, time(), UTC))
    event.add("summary", plain(title))
    event.add("description", plain(told))
    event.add("dtstart", days[0])
    event.add("dtend", days[1] + timedelta(days=1))  # the day after the last one
    event.add("transp", "TRANSPARENT")
    return event


def _told(task: TaskCard, when: When) -> Iterator[str]:
    if task.after:
        yield f"After {listing(task.after)}."
    coats = f" in {task.coats} coats" if task.coats > 1 else ""
    yield f"Takes {task.takes.said}{coats}." if task.takes else "How long it takes is not recorded."
    if task.wait and task.wait.hours:
        each = " after each coat" if task.coats > 1 else ""
        yield f"Then {task.wait.said} of waiting{each}, over at {when.free:%H:%M} on {when.free.date().isoformat()}."
    elif "wait" in task.missing:
        yield "How long it dries is not recorded."
    if task.meanwhile:
        yield f"Meanwhile {listing(task.meanwhile)} can begin."
    if not when.total_float:
        yield "The end of the work hangs on it."
    if task.late:
        yield f"Late since {task.late.since.isoformat()}."
