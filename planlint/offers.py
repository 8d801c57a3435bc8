"""What of a remedy may be written into a plan: edits of what is still to come, never of what is done."""

from collections.abc import Iterable
from datetime import date

from planlint.model.services import Circuit, Run
from planlint.model.thing import Thing, concerns
from planlint.model.words import TaskKind
from planlint.model.work import Task
from planlint.records import Edit, HoldPoint, RuleCard, Written
from planlint.rule import Add, Remedy, Set, Value
from planlint.units import Quantity

_MAKES = {
    HoldPoint.CLOSING_IN: {TaskKind.CLOSING_IN},
    HoldPoint.FILLING: {TaskKind.CLOSING_IN, TaskKind.BEADS, TaskKind.FILLING},
    HoldPoint.TILING: {TaskKind.TANKING, TaskKind.TILING},
    HoldPoint.FLOORING: {TaskKind.SCREED, TaskKind.FLOORING},
    HoldPoint.PAINTING: {TaskKind.CORNER_SEALING, TaskKind.PAINTING},
    HoldPoint.ENERGISING: {TaskKind.SECOND_FIX, TaskKind.LIVE_TEST},
    None: {TaskKind.CLOSING_IN},
}
"""The tasks after which what a hold point guards is no plan any more, but stands there."""

_LAYS = {TaskKind.FIRST_FIX, TaskKind.DEAD_TEST}
"""The tasks after which cables lie."""


def offered(card: RuleCard, remedy: Remedy | None, tasks: Iterable[Task], today: date) -> tuple[Edit, ...]:
    """The edits of a remedy, where all that they write is still to come.

    What guards life is never written from here: whoever makes that right writes it down themselves.
    """
    wishes = remedy.edits if remedy else ()
    if not wishes or card.guards_life:
        return ()
    done = [task for task in tasks if task.done is not None and task.done <= today]
    if any(_stands(wish.thing, card, done) for wish in wishes):
        return ()
    return tuple(_edit(wish) for wish in wishes)


def _stands(thing: Thing, card: RuleCard, done: Iterable[Task]) -> bool:
    """Whether a thing is there already, by the tasks that are done on it or by what was tested."""
    if isinstance(thing, Task):
        return thing.done is not None or thing.is_usual  # what the plan does not write cannot be edited in it
    circuit = thing if isinstance(thing, Circuit) else thing.circuit if isinstance(thing, Run) else None
    if circuit and circuit.tests:
        return True
    kinds = _MAKES[card.guards] | (_LAYS if circuit else set())
    places = {thing.place, *thing.bears_on}
    return any(task.kind in kinds and any(concerns(task, place) for place in places) for task in done)


def _edit(wish: Set) -> Edit:
    steps = tuple(int(step) - 1 if step.isdigit() else step for step in wish.key.split("."))
    return Edit((*wish.thing.path, *steps), _written(wish.value), isinstance(wish, Add))


def _written(value: Value | tuple[str, ...]) -> Written:
    if isinstance(value, tuple):
        return tuple(map(str, value))
    # A quantity as it shows itself, a word without its class.
    return str(value) if isinstance(value, str | Quantity) else value
