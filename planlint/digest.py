"""Digests of the facts that releases rest on: one changes when such a fact does, and not with its spelling."""

import hashlib
import json
from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import fields
from datetime import date
from functools import cached_property
from typing import Any, Final
from unicodedata import normalize

from planlint import materials
from planlint.limits import Limits
from planlint.materials import Material
from planlint.model.build_work import USUAL
from planlint.model.fixtures import OtherFace
from planlint.model.places import Places
from planlint.model.plan import ConcessionEntry, Plan
from planlint.model.rooms import Surface
from planlint.model.services import Circuit, Point
from planlint.model.thing import Thing, concerns, lies_under
from planlint.model.words import BoardKind, TaskKind
from planlint.model.work import Task
from planlint.records import HoldPoint
from planlint.sums.order import HOLD_POINTS
from planlint.units import Quantity

_STEP: Final = {hold_point: kind for kind, hold_point in HOLD_POINTS.items()}
"""The kind of task that a hold point stands before."""

_KINDS: Final = tuple(dict.fromkeys(TaskKind(task["kind"]) for task in USUAL.values()))
"""The kinds of the usual order of work, the first first."""

_NO_FACTS: Final = frozenset(
    {"path", "index", "is_usual", "bears_on", "tasks", "title", "limits", "kerf", "concessions", "reviews"}
)
"""What is spelling (where, in which order, in which form something is written), what a digest holds elsewhere (tasks
bear on what they are done to, limits stand beside), and what no check that guards a hold point reads."""

_IN_ORDER: Final = frozenset({"walls", "layers", "existing", "pieces", "months", "path_spots", "way", "gable"})
"""Where it is a fact in which order things stand; all else is a set, however a plan lists it."""

_OF_A_FACE: Final = frozenset(
    {"place", "length", "length_at_top", "turn", "height_left", "height_right", "gable"}
    | {"base", "lining", "extent", "stays", "existing", "battens_at"}
)
"""What of a wall matters to its neighbour, and to the room behind it."""

_WITHIN: Final = "within"
_BESIDE: Final = "beside"
_FACE: Final = "face"
"""Which values of a thing count: all of them, without what lies under it, or only what its neighbour sees."""

_DIGITS: Final = 12
"""Significant digits: the same length written in feet and in metres differs in the sixteenth."""


class Facts:
    """The facts of one plan, gathered once for the digests of all its releases."""

    def __init__(self, plan: Plan, limits: Limits) -> None:
        self.plan = plan
        self.limits = limits
        self.places = Places(plan.things())
        self._said: dict[tuple[Thing, str], str] = {}
        self._links: dict[Thing, frozenset[Thing]] = {}

    def digest(self, place: str, hold_point: HoldPoint, read: Iterable[str]) -> str:
        """The digest of the facts under a place, of those that touch it, and of the limits named by `read`.

        What lies under the place counts with all its values; what bears on it or is linked from it with its own
        values, and not with what lies under that. A material counts with its figures in the list of materials. Tasks
        that come only with or after the hold point do not count: doing them overtakes nothing.
        """
        everywhere = place == self.plan.place
        near = list(self.plan.things()) if everywhere else self.places.at(place)
        left_out = self._later({thing for thing in near if isinstance(thing, Task)}, _STEP[hold_point])
        facts = [thing for thing in near if thing not in left_out and not isinstance(thing, ConcessionEntry)]
        within = [thing for thing in facts if everywhere or lies_under(thing.place, place)]
        inside = sorted(self._say(thing, _WITHIN) for thing in within)
        linked = {link for thing in within for link in self._links[thing]}
        beside = {self.plan, *facts, *linked}.difference(within, left_out)
        everything = {
            _WITHIN: inside,
            _BESIDE: sorted(self._say(thing, _how_near(thing, place)) for thing in beside),
            "limits": {
                name: _value(self.limits[name].value, []) for name in sorted(set(read) & self.limits.by_name.keys())
            },
        }
        return f"sha256:{hashlib.sha256(_text(everything).encode()).hexdigest()}"

    def _say(self, thing: Thing, how: str) -> str:
        """The values of a thing as a text, worked out once; `how` says which of them count."""
        if (thing, how) not in self._said:
            links: list[Thing] = []
            self._said[thing, how] = _text(_facts(thing, how, links))
            if how == _WITHIN:
                self._links[thing] = frozenset(links)
        return self._said[thing, how]

    @cached_property
    def _followers(self) -> dict[Task, list[Task]]:
        """By task, those that come right after it."""
        found: defaultdict[Task, list[Task]] = defaultdict(list)
        for task in self.plan.tasks:
            for earlier in task.after:
                found[earlier].append(task)
        return found

    def _later(self, tasks: set[Task], step: TaskKind) -> set[Task]:
        """Those of the tasks at a place that come only with or after the step that its hold point stands before.

        The plan's own order decides; of tasks that it does not put in order with the step, the usual order.
        """
        steps = {task for task in tasks if task.kind is step}
        before = _reached(steps, {task: task.after for task in self.plan.tasks}) - steps
        after = _reached(steps, self._followers)
        usual = _KINDS[_KINDS.index(step) :] if step in _KINDS else ()
        return steps | {task for task in tasks if (task in after or task.kind in usual) and task not in before}


def _reached(start: Iterable[Task], ways: Mapping[Task, Sequence[Task]]) -> set[Task]:
    """The tasks that one comes to from some, step by step; those themselves only where a loop leads back."""
    found: set[Task] = set()
    waiting = [following for task in start for following in ways.get(task, ())]
    while waiting:
        task = waiting.pop()
        if task not in found:
            found.add(task)
            waiting += ways.get(task, ())
    return found


def _how_near(thing: Thing, place: str) -> str:
    """Which values count of a thing that does not lie under a place."""
    return _FACE if isinstance(thing, Surface) and not concerns(thing, place) else _BESIDE


_WRITER: Final = json.JSONEncoder(ensure_ascii=False, sort_keys=True, separators=(",", ":"))


def _text(facts: object) -> str:
    return facts if isinstance(facts, str) else _WRITER.encode(facts)


def _facts(thing: Thing, how: str, links: list[Thing]) -> dict[str, Any]:
    """The values of a thing that count, by their names; the things that it refers to are added to `links`."""
    names = _names(type(thing))
    if how == _FACE:
        names = [name for name in names if name in _OF_A_FACE]
    facts = _parts(thing, names, links, None if how == _WITHIN else thing)
    if isinstance(thing, Circuit):
        facts |= _fed(thing, how)
    return {"kind": thing.called, **facts}


def _names(kind: type[Any]) -> list[str]:
    if kind not in _KNOWN:
        _KNOWN[kind] = [field.name for field in fields(kind) if field.name not in _NO_FACTS]
    return _KNOWN[kind]


_KNOWN: dict[type[Any], list[str]] = {}
"""By class, the names of the fields that are facts: to ask a class for its fields takes longer than to read them."""


def _fed(circuit: Circuit, how: str) -> dict[str, Any]:
    """What the cables of a circuit depend on elsewhere: each other, what they feed, and what heats them up."""
    cables = [] if how == _WITHIN else circuit.runs  # within a place they count anyway
    return {
        "cables": sorted((_facts(run, _WITHIN, []) for run in cables), key=_text),
        "feeds": sorted((_drawn(point) for point in circuit.points), key=_text),
        "together": sorted(([other.place, *map(_drawn, other.points)] for other in circuit.neighbours), key=_text),
    }


def _drawn(point: Point) -> list[Any]:
    return [_value(part, []) for part in (point.kind, point.outlets, point.load)]


def _parts(whole: Any, names: Iterable[str], links: list[Thing], above: Thing | None) -> dict[str, Any]:  # noqa: ANN401 - any part of a model
    """The values of some fields; where `above` is given, without the things that lie under it."""
    facts: dict[str, Any] = {}
    for name in names:
        value = getattr(whole, name)
        if isinstance(value, dict):
            value = tuple(value.values())
        if isinstance(value, tuple):
            items = [_value(item, links) for item in value if not _is_below(item, above)]
            facts[name] = items if name in _IN_ORDER or len(items) == 1 else sorted(items, key=_text)
        # What is not recorded is left out, so that a key that a later version adds changes no digest.
        elif value is not None and not _is_below(value, above):
            is_material = name == "material" or isinstance(value, BoardKind)
            facts[name] = _material(value) if is_material else _value(value, links)
    return facts


def _material(words: str) -> list[Any]:
    """A material as a plan names it, and its figures in the list, which stand for what the plan leaves out."""
    known = materials.load().find(words)
    return [_value(words, []), known and [_value(getattr(known, name), []) for name in _FIGURES]]


_FIGURES: Final = [
    field.name for field in fields(Material) if field.name not in ("name", "aliases", "basis", "source", "note")
]


def _is_below(value: Any, above: Thing | None) -> bool:  # noqa: ANN401 - any part of a model
    if above is None or not isinstance(value, Thing):
        return False
    return isinstance(above, Plan) or lies_under(value.place, above.place)


def _value(value: Any, links: list[Thing]) -> Any:  # noqa: ANN401, PLR0911 - any part of a model, a return each
    if value is None or isinstance(value, bool):
        return value
    if isinstance(value, Thing):
        links.append(value)
        return f"→ {value.place}"
    if isinstance(value, Quantity):
        return f"{float(value):.{_DIGITS}g} {value.dimension}"
    if isinstance(value, int | float):
        return f"{float(value):.{_DIGITS}g}"
    if isinstance(value, str | date):
        return normalize("NFC", str(value))
    if isinstance(value, tuple):
        return [_value(item, links) for item in value]
    if isinstance(value, dict):
        return {key: _value(item, links) for key, item in value.items()}
    if isinstance(value, frozenset):
        return sorted(value)
    # What is left are the small parts of things, such as a reading: plain frozen dataclasses.
    facts = _parts(value, _names(type(value)), links, None)
    if isinstance(value, OtherFace):
        spots = [[_value(part, []) for part in (one.at, one.height, one.gangs)] for one in value.wall.points]
        facts["boxes"] = sorted(spots, key=_text)
    return facts
