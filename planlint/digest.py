"""A digest over the facts that a release rests on: it changes when one of them does, and not with their spelling."""

import hashlib
import json
from collections.abc import Iterable, Mapping
from dataclasses import fields
from datetime import date
from typing import Any, Final
from unicodedata import normalize

from planlint.limits import Limits
from planlint.model.plan import ConcessionEntry, Plan
from planlint.model.thing import Thing, concerns, lies_under
from planlint.model.words import TaskKind
from planlint.model.work import Task
from planlint.records import HoldPoint
from planlint.units import Quantity

_BURIES: Final = {
    HoldPoint.CLOSING_IN: TaskKind.CLOSING_IN,
    HoldPoint.FILLING: TaskKind.FILLING,
    HoldPoint.TILING: TaskKind.TILING,
    HoldPoint.FLOORING: TaskKind.FLOORING,
    HoldPoint.PAINTING: TaskKind.PAINTING,
    HoldPoint.ENERGISING: TaskKind.LIVE_TEST,
}
"""The task that a hold point stands before."""

_NO_FACTS: Final = frozenset({"path", "bears_on"})
"""Where a fact is written, and what else of the plan uses a thing, are no facts of the thing."""

_DIGITS: Final = 12
"""Significant digits: the same length written in feet and in metres differs in the sixteenth."""


def digest(plan: Plan, place: str, hold_point: HoldPoint, limits: Limits, read: Iterable[str]) -> str:
    """The digest of the facts under a place, of those that touch it, and of the limits named by `read`.

    What lies under the place counts with all its values, what bears on it or is linked from it with its own
    values alone. Tasks that come only with or after the hold point do not count: doing them overtakes nothing.
    """
    later = _later(plan.tasks, _BURIES[hold_point])
    inner: dict[Thing, None] = {}
    outer: dict[Thing, None] = {}
    for thing in plan.things():
        if isinstance(thing, ConcessionEntry | Plan) or thing in later:
            continue
        if place == plan.place or lies_under(thing.place, place):
            inner[thing] = None
        elif concerns(thing, place):
            outer[thing] = None
    within = [_own(thing, outer) for thing in inner]
    beside = [_own(thing, None) for thing in outer if thing not in inner and thing not in later]
    facts = {
        "within": sorted(within, key=_text),
        "beside": sorted(beside, key=_text),
        "limits": {name: _value(limits[name].value, None) for name in sorted(set(read))},
    }
    return f"sha256:{hashlib.sha256(_text(facts).encode()).hexdigest()}"


def _text(facts: object) -> str:
    return json.dumps(facts, ensure_ascii=False, sort_keys=True, separators=(",", ":"))


def _later(tasks: Iterable[Task], step: TaskKind) -> set[Task]:
    """The tasks of the kind that a hold point stands before, and all that come after them."""
    found: set[Task] = set()
    waiting = list(tasks)
    while more := [task for task in waiting if task.kind is step or found.intersection(task.after)]:
        found.update(more)
        waiting = [task for task in waiting if task not in found]
    return found


def _own(thing: Thing, links: dict[Thing, None] | None) -> dict[str, Any]:
    """The own values of a thing; what it links to is gathered in `links`, and stands as its place."""
    values = {
        field.name: _value(getattr(thing, field.name), links) for field in fields(thing) if field.name not in _NO_FACTS
    }
    # In which order a plan lists the points of a wall is no fact; in which order it lists the walls is one.
    for name, value in values.items():
        linked = getattr(thing, name)
        if name != "walls" and isinstance(linked, tuple) and all(isinstance(item, Thing) for item in linked):
            values[name] = sorted(value)
    return {"place": thing.place, "kind": thing.called, **values}


def _value(value: Any, links: dict[Thing, None] | None) -> Any:  # noqa: ANN401 - any fact of a model
    match value:
        case Thing():
            if links is not None:
                links[value] = None
            return f"→ {value.place}"
        case bool() | int() | None:
            return value
        case float():
            return f"{float(value):.{_DIGITS}g} {value.dimension if isinstance(value, Quantity) else ''}"
        case str() | date():
            return normalize("NFC", str(value))
        case tuple():
            return [_value(item, links) for item in value]
        case Mapping():
            return {str(key): _value(item, links) for key, item in value.items()}
        case frozenset():
            return sorted(map(str, value))
    # What is left are the small parts of things, such as a reading: plain frozen dataclasses.
    return {field.name: _value(getattr(value, field.name), links) for field in fields(value)}
