"""The order of work for programs: version 1, whose form `schemas/order-1.json` describes."""

import json
from datetime import date, datetime

from planlint.order_records import OrderOfWork, Span, TaskCard

Json = dict[str, object]


def render(order: OrderOfWork, version: str) -> str:
    """The whole order as JSON; the same order gives the same text."""
    # Named one by one, in the order that people read them: what the records gain later is not promised to programs.
    report = {
        "order": 1,
        "tool": {"name": "planlint", "version": version},
        "plan": order.plan,
        "title": order.title,
        "digest": order.digest,
        "today": order.today.isoformat(),
        "place": order.place,
        "next": order.only_next,
        "in_plan": order.in_plan,
        "loop": list(order.loop),
        "end": _moment(order.end),
        "tasks": [_task(task) for task in order.shown],
    }
    return json.dumps(report, ensure_ascii=False, indent=2) + "\n"


def _task(task: TaskCard) -> Json:
    when = task.when
    return {
        "name": task.name,
        "kind": task.kind,
        "place": task.place,
        "where": list(task.where),
        "hold_point": task.hold_point,
        "releases": [
            {"place": one.place, "date": one.date, "by": one.by, "overtaken": one.overtaken} for one in task.releases
        ],
        "to_release": list(task.to_release),
        "after": list(task.after),
        "not_in_plan": list(task.not_in_plan),
        "takes": _span(task.takes),
        "wait": _span(task.wait),
        "coats": task.coats,
        "state": task.state,
        "done": _day(task.done),
        "earliest": when and {"start": _moment(when.start), "finish": _moment(when.finish), "free": _moment(when.free)},
        "latest": when and {"start": _moment(when.latest_start), "finish": _moment(when.latest_finish)},
        "float": when and when.total_float,
        "critical": when and when.total_float == 0,
        "dries_until": _moment(task.dries_until),
        "meanwhile": list(task.meanwhile),
        "late": task.late and {"since": _day(task.late.since), "overtaken_by": list(task.late.overtaken_by)},
        "missing": list(task.missing),
    }


def _span(span: Span | None) -> Json | None:
    return None if span is None else {"hours": span.hours, "said": span.said}


def _day(day: date | None) -> str | None:
    return None if day is None else day.isoformat()


def _moment(moment: datetime | None) -> str | None:
    return None if moment is None else moment.isoformat(timespec="minutes")
