"""The order of work as the plan writes it, and as rooms that ask for the usual tasks get it."""

from datetime import date
from itertools import pairwise

import pytest

from planlint import source
from planlint.errors import Fault, PlanFaults
from planlint.model.build import build
from planlint.model.plan import Plan
from planlint.model.words import TaskKind
from planlint.model.work import Task
from planlint.schema import check


def plan_with(work: str) -> Plan:
    rooms = "  malt: {walls: [{wall: west}]}\n  still: {walls: []}\n"
    text = f"plan: 1\ntitle: the brewery\nrooms:\n{rooms}work:\n{work}"
    document = source.read(text.encode(), "brewery.plan.yaml")
    assert not check(document)
    return build(document)


def tasks_of(work: str) -> dict[str, Task]:
    return {task.name: task for task in plan_with(work).tasks}


def fault_of(work: str) -> Fault:
    with pytest.raises(PlanFaults) as caught:
        plan_with(work)
    (fault,) = caught.value.faults
    return fault


def hours(task: Task) -> tuple[float | None, float | None]:
    """What it takes and waits, in hours."""
    return task.takes and task.takes / 3600, task.wait and task.wait / 3600


def test_a_task_as_it_is_written() -> None:
    found = tasks_of(
        "- {task: fill, kind: filling, walls: [malt.west], takes: 2 d, wait: 12 h, coats: 3, product: lime putty, "
        "thickness: 3 mm, done: 2026-05-01}\n- {task: sand, kind: sanding, after: [fill, gone]}"
    )
    fill, sand = found["fill"], found["sand"]
    assert (fill.place, fill.kind, fill.coats, fill.product) == ("work.fill", TaskKind.FILLING, 3, "lime putty")
    assert hours(fill) == (48, 12)
    assert fill.thickness == 0.003
    assert fill.done == date(2026, 5, 1)
    assert fill.bears_on == {"malt.west"}
    assert not fill.is_everywhere
    assert not fill.is_usual
    assert (sand.takes, sand.wait, sand.coats, sand.done) == (None, None, 1, None)
    assert sand.is_everywhere
    # What it is to come after and the plan does not hold is kept by its name.
    assert sand.after_names == ("fill", "gone")
    assert sand.after == (fill,)


def test_tasks_may_name_each_other_whatever_their_order() -> None:
    found = tasks_of("- {task: sand, kind: sanding, after: [fill]}\n- {task: fill, kind: filling}")
    assert found["sand"].after == (found["fill"],)


def test_the_usual_tasks_of_a_room_stand_in_the_usual_order() -> None:
    """Common practice: what is buried is tested and photographed before the lining, finishes follow in their order."""
    found = plan_with("  usual: [malt]").tasks
    assert [task.name.removeprefix("malt-") for task in found] == [
        "survey",
        "wiring",
        "dead-tests",
        "photos",
        "lining",
        "beads",
        "filling",
        "sanding",
        "corners",
        "base-coat",
        "paint",
        "fittings",
        "live-tests",
    ]
    assert found[0].after == ()
    for before, task in pairwise(found):
        assert task.after == (before,)
    assert all(task.is_usual and task.bears_on == {"malt"} and task.done is None for task in found)
    assert {task.kind for task in found} >= {TaskKind.DEAD_TEST, TaskKind.PHOTOGRAPHS, TaskKind.CLOSING_IN}


def test_every_room_that_asks_gets_tasks_of_its_own_once() -> None:
    found = plan_with("  usual: [still, malt, still]").tasks
    half = len(found) // 2
    assert {task.name.partition("-")[0] for task in found[:half]} == {"still"}
    assert {task.name.partition("-")[0] for task in found[half:]} == {"malt"}
    assert len({task.name for task in found}) == len(found)
    assert not {*found[:half]} & {before for task in found[half:] for before in task.after}


def test_a_usual_task_may_be_dated_without_saying_what_it_is() -> None:
    usual = tasks_of("  usual: [malt]")
    dated = tasks_of("  usual: [malt]\n  tasks:\n  - {task: malt-wiring, done: 2026-05-02}")
    assert list(dated) == list(usual)
    assert dated["malt-wiring"].done == date(2026, 5, 2)
    assert hours(dated["malt-wiring"]) == hours(usual["malt-wiring"])
    assert dated["malt-wiring"].after == (dated["malt-survey"],)
    assert dated["malt-dead-tests"].after == (dated["malt-wiring"],)
    assert dated["malt-wiring"].is_usual


def test_a_usual_task_may_be_changed() -> None:
    found = tasks_of(
        "  usual: [malt]\n  tasks:\n  - {task: malt-filling, takes: 5 h, wait: 3 d, coats: 1, after: [malt-survey]}"
    )
    assert hours(found["malt-filling"]) == (5, 72)
    assert found["malt-filling"].coats == 1
    assert found["malt-filling"].after == (found["malt-survey"],)
    assert found["malt-sanding"].after == (found["malt-filling"],)


def test_what_is_said_of_a_usual_task_stands_where_it_is_said() -> None:
    found = tasks_of("  usual: [still, malt]\n  tasks:\n  - {task: malt-wiring, done: 2026-05-02}")
    assert found["malt-wiring"].path == ("work", "tasks", 0)
    assert found["malt-survey"].path == ("work", "usual", 1)


def test_a_task_beside_the_usual_ones() -> None:
    found = tasks_of(
        "  usual: [malt]\n  tasks:\n  - {task: plumbing, kind: plumbing, rooms: [still], after: [malt-survey]}\n"
        "  - {task: malt-lining, after: [malt-photos, plumbing]}"
    )
    assert not found["plumbing"].is_usual
    assert found["plumbing"].after == (found["malt-survey"],)
    assert found["plumbing"].bears_on == {"still"}
    assert found["malt-lining"].after == (found["malt-photos"], found["plumbing"])


def test_tasks_alone_may_stand_under_tasks() -> None:
    assert [*tasks_of("  usual: []\n  tasks:\n  - {task: fill, kind: filling}")] == ["fill"]


def test_a_task_that_is_not_usual_needs_its_kind() -> None:
    fault = fault_of("  usual: [malt]\n  tasks:\n  - {task: malt-wring, done: 2026-05-02}")
    assert fault.message == "malt-wring is none of the usual tasks, and has no kind"
    assert "kind: first-fix" in fault.hint
    assert fault.line == 9


def test_the_usual_task_of_a_room_that_did_not_ask_needs_its_kind() -> None:
    assert fault_of("  usual: [malt]\n  tasks:\n  - {task: still-wiring}").message.startswith("still-wiring is none")


@pytest.mark.parametrize(
    ("work", "told", "line"),
    [
        ("  usual: [malt, mill]", "there is no room called mill", 7),
        ("  usual: [malt]\n  tasks:\n  - {task: malt-paint, rooms: [mlt]}", "there is no room called mlt", 9),
        ("  usual: [malt]\n  tasks:\n  - {task: malt-paint, walls: [malt.wst]}", "there is no wall called malt.wst", 9),
        (
            "  usual: []\n  tasks:\n  - {task: a, kind: sanding}\n  - {task: a}",
            "a is here twice; the first is on line 9",
            10,
        ),
    ],
)
def test_mistakes_are_told_where_they_are(work: str, told: str, line: int) -> None:
    fault = fault_of(work)
    assert (fault.message, fault.line) == (told, line)
