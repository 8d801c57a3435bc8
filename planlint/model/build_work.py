"""Builds the order of work: the tasks that a plan lists, and the usual ones of the rooms that ask for them."""

from collections.abc import Iterator, Mapping
from typing import Any, Final

from planlint.model.fields import Fields
from planlint.model.rooms import Room
from planlint.model.thing import complete
from planlint.model.words import TaskKind
from planlint.model.work import Building, Survey, Task
from planlint.units import Duration, Length

EVERYWHERE = frozenset({""})


USUAL: Final[Mapping[str, Mapping[str, Any]]] = {
    "survey": {"kind": "hazard-survey", "takes": "1 d"},
    "wiring": {"kind": "first-fix", "takes": "3 d"},
    "dead-tests": {"kind": "dead-test", "takes": "0.5 d"},
    "photos": {"kind": "photographs", "takes": "0.5 d"},
    "lining": {"kind": "closing-in", "takes": "4 d", "wait": "24 h"},
    "beads": {"kind": "beads", "takes": "1 d", "wait": "24 h"},
    "filling": {"kind": "filling", "takes": "2 d", "wait": "24 h", "coats": 2},
    "sanding": {"kind": "sanding", "takes": "1 d"},
    "corners": {"kind": "corner-sealing", "takes": "0.5 d", "wait": "24 h"},
    "base-coat": {"kind": "priming", "takes": "0.5 d", "wait": "12 h"},
    "paint": {"kind": "painting", "takes": "2 d", "wait": "12 h", "coats": 2},
    "fittings": {"kind": "second-fix", "takes": "1 d"},
    "live-tests": {"kind": "live-test", "takes": "0.5 d"},
}
"""The usual tasks of a room, each after the one before it (common practice); what each takes is our own decision."""


def build_tasks(root: Fields, rooms: Mapping[str, Room]) -> tuple[Task, ...]:
    """The tasks of a plan, each linked with those of the plan that must be done before it."""
    written = {fields.text("task") or "": fields for fields in written_tasks(root)}
    usual = {fields.text("task") or "": fields for fields in _usual_tasks(root, rooms, written)}
    tasks = [
        *(_task(fields, is_usual=True) for fields in usual.values()),
        *(_task(fields, is_usual=False) for name, fields in written.items() if name not in usual and _has_kind(fields)),
    ]
    by_name = {task.name: task for task in tasks}
    for task in tasks:
        complete(task, after=tuple(by_name[name] for name in task.after_names if name in by_name))
    return tuple(tasks)


def written_tasks(root: Fields) -> Iterator[Fields]:
    """The tasks as the plan writes them, in a list of their own or beside the usual ones."""
    return root.items("work") if isinstance(root.data.get("work"), list) else root.part("work").items("tasks")


def building(fields: Fields) -> Building:
    """The building, as far as the plan describes it."""
    surveys = fields.part("surveys")
    return Building(
        place="building",
        path=("building",),
        bears_on=EVERYWHERE,
        built=fields.count("built", 0) or None,
        country=fields.text("country"),
        asbestos=_survey(surveys, "asbestos"),
        lead_paint=_survey(surveys, "lead-paint"),
    )


def _survey(surveys: Fields, hazard: str) -> Survey | None:
    if hazard not in surveys:
        return None
    survey = surveys.part(hazard)
    return Survey(survey.day("date"), survey.text("reference"), survey.texts("covers"))


def _usual_tasks(root: Fields, rooms: Mapping[str, Room], written: Mapping[str, Fields]) -> Iterator[Fields]:
    """The usual tasks of the rooms that ask for them, with what the plan says of one under the same name."""
    work = root.part("work")
    asked = {name: index for index, name in reversed(list(enumerate(work.texts("usual") or ())))}
    for room, index in sorted(asked.items(), key=lambda item: item[1]):
        before: str | None = None
        for task, usual in USUAL.items() if room in rooms else ():
            name = f"{room}-{task}"
            own = written.get(name)
            data = {**usual, "task": name, "rooms": [room], "after": [before] if before else []}
            path = own.path if own else (*work.path, "usual", index)
            yield Fields({**data, **(own.data if own else {})}, path, root.faults)
            before = name


def _has_kind(fields: Fields) -> bool:
    """Whether a task says what is done; one beside the usual tasks may not, and is none of them then."""
    if "kind" in fields:
        return True
    name = fields.text("task") or ""
    hint = f"give its kind, such as kind: first-fix, or use a usual name, such as study-{next(iter(USUAL))}"
    fields.faults.add((*fields.path, "task"), f"{name} is none of the usual tasks, and has no kind", hint)
    return False


def _task(fields: Fields, *, is_usual: bool) -> Task:
    places = (*(fields.texts("rooms") or ()), *(fields.texts("walls") or ()))
    return Task(
        place=f"work.{fields.text('task')}",
        path=fields.path,
        bears_on=frozenset(places) or EVERYWHERE,
        name=fields.text("task") or "",
        kind=fields.must("kind", TaskKind),
        after_names=fields.texts("after") or (),
        takes=fields.quantity("takes", Duration),
        wait=fields.quantity("wait", Duration),
        coats=fields.count("coats", 1),
        product=fields.text("product"),
        thickness=fields.quantity("thickness", Length),
        done=fields.day("done"),
        is_usual=is_usual,
    )
