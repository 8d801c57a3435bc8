"""The order of work for people: what is late, what comes when with the hold points between, and what is done."""

from collections.abc import Iterable, Iterator
from datetime import date, datetime, time, timedelta

from planlint.order_records import Late, OrderOfWork, State, TaskCard, When
from planlint.reports.page import Page, Tone, count, listing, named_file

_DAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
_COLUMN = 18
_DAY = 24
_HOW_COUNTED = (
    "Days are those of the calendar, Sundays among them, and each counts all its hours: half a day of work ends at "
    "12:00. Every task begins as soon as it can, with as many hands as that takes. What is done counts from its day, a "
    "wait after it from the end of that day. Waits are those that the plan records: look and feel whether it is dry."
)
_BEFORE_HOLD_POINTS = (
    "Before a hold point, `planlint inspect PLAN --hold-point NAME --place PLACE` says what is wrong or not recorded; "
    "the local code and licensed people decide what may be covered up or switched on."
)


def render(order: OrderOfWork, page: Page) -> str:
    """The whole order of work, or what can be begun today where only that was asked for."""
    return "\n\n".join(_parts(order, page)) + "\n"


def last_day(when: When) -> date:
    """The last day on which something is done: where it ends at midnight, the day that ends then."""
    return max(when.start.date(), _ending(when.finish))


def _ending(moment: datetime) -> date:
    """The day of a moment; of midnight the day that ends, not the one that begins."""
    return moment.date() - timedelta(days=moment.time() == time())


def places(task: TaskCard) -> str:
    """Where a task is done, as one says it."""
    return listing(task.where) if task.where else spoken(())


def spoken(where: tuple[str, ...]) -> str:
    """Places as one says them."""
    return "the whole plan" if where in ((), ("plan",)) else listing(where)


def _parts(order: OrderOfWork, page: Page) -> Iterator[str]:
    head = [page.tone(page.paragraph(order.title), Tone.HEADING)]
    head.append(page.paragraph(named_file(order.plan)))
    head.append(page.paragraph(" ".join(_summary(order))))
    yield "\n".join(head)
    if order.loop:
        yield _notes("In a circle", [_circle(order)], page, Tone.GRAVE)
    if late := [_lateness(task, task.late) for task in order.tasks if task.late]:
        yield _notes("Late", late, page, Tone.GRAVE)
    yield from (_next if order.only_next else _all)(order, page)
    if remarks := list(_remarks(order)) if order.tasks else []:
        yield _notes("What to know", remarks, page)


def _summary(order: OrderOfWork) -> Iterator[str]:
    if not order.in_plan:
        yield "It records no work; `planlint words task` says how a task is written."
        return
    number, done = len(order.tasks), sum(task.state is State.DONE for task in order.tasks)
    asked = count(number, "task")
    if order.place is not None:
        bear = "bears" if number == 1 else "bear"
        asked = f"{number or 'none'} of its {count(order.in_plan, 'task')} {bear} on {order.place}"
    yield f"On {_day(order.today)}: {asked}" + (f", {done or 'none'} of them done." if number else ".")
    if order.end:
        yield f"All of the plan can be done and dry by the end of {_day(_ending(order.end))}."
    if order.end and any(task.when for task in order.tasks) and _is_tight(order):
        yield "None of what is to come can be put off without moving that day."


def _is_tight(order: OrderOfWork) -> bool:
    """Whether the end hangs on every task, so that there is no need to say it of each."""
    return not any(task.when.total_float for task in order.tasks if task.when)


def _circle(order: OrderOfWork) -> str:
    first, *others = order.loop
    before = "itself" if not others else f"{', which comes before '.join(others)}, which comes before {first} again"
    held = sum(task.state is State.HELD_UP for task in order.tasks)
    return (
        f"{first} comes before {before}, so that none of it can ever begin: take one name out of an `after` there. "
        f"Until then {count(held, 'task has', 'tasks have')} no day."
    )


def _lateness(task: TaskCard, late: Late) -> str:
    if late.overtaken_by:
        later, have = listing(late.overtaken_by), "has" if len(late.overtaken_by) == 1 else "have"
        return (
            f"{task.name} is not done, yet {later}, which {'comes' if have == 'has' else 'come'} after it, {have} been "
            f"done since {_day(late.since)}: record when it was done, or see to it before more is laid over it."
        )
    return (
        f"{task.name} could have been done by {_day(late.since)}, and the end hangs on it: with each day more it moves "
        "by a day. Here the task begins today, with all that it takes."
    )


def _next(order: OrderOfWork, page: Page) -> Iterator[str]:
    heading = f"What can be begun on {_day(order.today)}"
    can = [task for task in order.tasks if task.state is State.CAN_BEGIN]
    if can:
        yield _rows(heading, (row for task in can for row in _to_come(task, order)), page)
    else:
        yield _notes(heading, [_nothing(order)], page)
    if drying := [task for task in order.tasks if task.dries_until]:
        yield _rows("What is drying or setting", (row for task in drying for row in _done(task, order)), page)


def _nothing(order: OrderOfWork) -> str:
    coming = [(task.when.start, task.name) for task in order.tasks if task.when]
    if coming:
        start, name = coming[0]
        return f"Nothing; {name} is the next that can, on {_moment(start)}."
    return "Nothing, until the circle is broken." if order.loop else "Nothing: all of it is done."


def _all(order: OrderOfWork, page: Page) -> Iterator[str]:
    if coming := [row for task in order.tasks if task.when for row in _to_come(task, order)]:
        yield _rows("What is to come", coming, page)
    if held := [("none yet", f"{task.name}: {_what(task)}.{_after(task)}") for task in _held_up(order)]:
        yield _rows("Without a day", held, page)
    if done := [row for task in order.tasks if task.done for row in _done(task, order)]:
        yield _rows("What is done", done, page)


def _held_up(order: OrderOfWork) -> list[TaskCard]:
    return [task for task in order.tasks if task.state is State.HELD_UP]


Row = tuple[str, str]
"""What stands in the column of days, and beside it."""


def _to_come(task: TaskCard, order: OrderOfWork) -> Iterator[Row]:
    when = task.when
    assert when is not None  # noqa: S101 - told apart by the caller; this tells the type checker
    if task.hold_point:
        yield _day(when.start.date()), f"Hold point {task.hold_point}: {' '.join(_released(task))}"
    takes = f", {task.takes.said}" if task.takes else ""
    coats = f" in {task.coats} coats" if task.coats > 1 else ""
    told = f"{task.name}{_from(when.start)}: {_what(task)}{takes}{coats}{_until(when)}."
    told += "" if task.takes else " How long it takes is not recorded (add takes)."
    told += " It can begin today." if task.state is State.CAN_BEGIN and not order.only_next else ""
    told += _after(task)
    if task.wait and task.wait.hours:
        each = " after each coat" if task.coats > 1 else ""
        told += f" Then {task.wait.said} of waiting{each}, over on {_moment(when.free)}{_meanwhile(task)}."
    elif "wait" in task.missing:
        told += " How long it dries is not recorded (add wait)."
    if not order.loop and not _is_tight(order):
        told += f" It may begin {_hours(when.total_float)} later." if when.total_float else " The end hangs on it."
    yield _day(when.start.date()), told


def _released(task: TaskCard) -> Iterator[str]:
    """How far the hold point before a task is released."""
    if task.to_release:
        yield f"{task.name} begins once {spoken(task.to_release)} {_is(task.to_release)} released for it."
    word = "Released" if task.to_release else "released"
    for one in task.releases:
        changed = ", and what that rests on has changed since" if one.overtaken else ""
        yield f"{word} for {spoken((one.place,))} on {one.date} by {one.by}{changed}."
        word = "Released"


def _done(task: TaskCard, order: OrderOfWork) -> Iterator[Row]:
    assert task.done is not None  # noqa: S101 - told apart by the caller; this tells the type checker
    told = f"{task.name}: {_what(task)}."
    if task.done > order.today:
        told += " This day is still to come."
    if task.dries_until:
        told += f" It dries or sets until {_moment(task.dries_until)}{_meanwhile(task)}."
    yield _day(task.done), told


def _remarks(order: OrderOfWork) -> Iterator[str]:
    if not order.only_next:
        yield _HOW_COUNTED
    for key, what in (("takes", "How long it takes"), ("wait", "How long it dries")):
        if names := [task.name for task in order.shown if key in task.missing]:
            of = listing(names)
            yield f"{what} is not recorded of {of} (add {key}): here it is no time, and later days may slip."
    for task in order.shown:
        if task.not_in_plan:
            yield f"{task.name} is to come after {listing(task.not_in_plan)}, of which the plan knows nothing."
    if any(task.hold_point and not task.done for task in order.shown):
        yield _BEFORE_HOLD_POINTS


def _what(task: TaskCard) -> str:
    where = f"in {listing(task.where)}" if task.where else "everywhere"
    return where if task.name == task.kind else f"{task.kind} {where}"


def _is(names: tuple[str, ...]) -> str:
    return "are" if len(names) > 1 else "is"


def _after(task: TaskCard) -> str:
    return f" After {listing(task.after)}." if task.after else ""


def _meanwhile(task: TaskCard) -> str:
    return f"; meanwhile {listing(task.meanwhile)} can begin" if task.meanwhile else ""


def _from(start: datetime) -> str:
    return f" from {start:%H:%M}" if start.time() != time() else ""


def _until(when: When) -> str:
    last = last_day(when)
    clock = f" at {when.finish:%H:%M}" if when.finish.time() != time() else ""
    if last == when.start.date():
        return f", until {when.finish:%H:%M}" if clock and when.finish > when.start else ""
    return f", to {_day(last)}{clock}"


def _moment(moment: datetime) -> str:
    return _day(moment.date()) + (f" at {moment:%H:%M}" if moment.time() != time() else "")


def _day(day: date) -> str:
    return f"{_DAYS[day.weekday()]} {day.isoformat()}"


def _hours(hours: float) -> str:
    return f"{hours:g} h" if hours < 2 * _DAY else f"{hours / _DAY:g} days"


def _rows(heading: str, rows: Iterable[Row], page: Page) -> str:
    lines = [page.paragraph(told, _COLUMN, f"  {day}".ljust(_COLUMN)) for day, told in rows]
    return "\n".join((page.tone(heading, Tone.HEADING), *lines))


def _notes(heading: str, notes: Iterable[str], page: Page, tone: Tone = Tone.HEADING) -> str:
    return "\n".join((page.tone(heading, tone), *(page.paragraph(note, 2, "  ") for note in notes)))
