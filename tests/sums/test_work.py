"""Which tasks share a place, and which come before which; worked out by hand on a plan of two rooms."""

from datetime import date

import pytest

from planlint import source
from planlint.model.build import build
from planlint.model.plan import Plan
from planlint.model.work import Task
from planlint.sums.work import before, beside, buried_by, loop_of, precedes, walls_of

PLAN = """
plan: 1
title: two rooms
building: {built: 1911}
linings: {plain: {layers: []}}
rooms:
  hall: {walls: [{wall: west, lining: plain}, {wall: east, lining: none}]}
  attic: {ceiling: {lining: plain}, walls: [{wall: gable, lining: none}]}
work:
  - {task: everywhere, kind: first-fix, done: 2026-09-01}
  - {task: in-hall, kind: photographs, rooms: [hall], after: [everywhere]}
  - {task: on-west, kind: damp-repair, walls: [hall.west], after: [in-hall]}
  - {task: on-east, kind: damp-repair, walls: [hall.east], after: [nobody]}
  - {task: in-attic, kind: insulation, rooms: [attic]}
  - {task: boards, kind: closing-in, rooms: [hall], after: [on-west]}
  - {task: upstairs, kind: closing-in, rooms: [attic]}
"""


def plan(text: str = PLAN) -> Plan:
    return build(source.read(text.encode(), "case.plan.yaml"))


def task(name: str, of: Plan) -> Task:
    return next(task for task in of.tasks if task.name == name)


def names(tasks: tuple[Task, ...] | frozenset[Task]) -> set[str]:
    return {task.name for task in tasks}


def test_a_task_knows_its_rooms_and_a_room_its_building() -> None:
    found = plan()
    assert [room.name for room in task("everywhere", found).rooms] == ["hall", "attic"]
    assert [room.name for room in task("on-west", found).rooms] == ["hall"]
    assert {room.building for room in found.rooms} == {found.building}


def test_walls_of_a_task() -> None:
    found = plan()
    assert [wall.place for wall in walls_of(task("in-hall", found))] == ["hall.west", "hall.east"]
    assert [wall.place for wall in walls_of(task("on-east", found))] == ["hall.east"]


@pytest.mark.parametrize(
    ("name", "expected"),
    [
        ("on-west", {"everywhere", "in-hall", "boards"}),
        ("in-hall", {"everywhere", "on-west", "on-east", "boards"}),
        ("in-attic", {"everywhere", "upstairs"}),
    ],
)
def test_what_is_done_beside_a_task(name: str, expected: set[str]) -> None:
    assert names(beside(task(name, plan()))) == expected


def test_boards_bury_what_is_done_on_lined_walls_and_on_lined_ceilings() -> None:
    found = plan()
    assert names(buried_by(task("boards", found))) == {"everywhere", "in-hall", "on-west"}
    assert names(buried_by(task("upstairs", found))) == {"everywhere", "in-attic"}


def test_what_comes_before_a_task() -> None:
    assert names(before(task("boards", plan()))) == {"on-west", "in-hall", "everywhere"}


def test_the_tasks_of_a_loop_come_before_each_other_and_are_told() -> None:
    found = plan(PLAN.replace("kind: first-fix, done: 2026-09-01", "kind: first-fix, after: [boards]"))
    assert "boards" in names(before(task("boards", found)))
    assert [one.name for one in loop_of(found.tasks)] == ["everywhere", "in-hall", "on-west", "boards"]
    assert loop_of(plan().tasks) == ()


@pytest.mark.parametrize(("today", "expected"), [("2026-08-31", False), ("2026-09-01", True)])
def test_what_is_done_comes_before_what_is_not(today: str, *, expected: bool) -> None:
    found = plan()
    one, other = task("everywhere", found), task("upstairs", found)
    assert precedes(one, other, before(other), date.fromisoformat(today)) is expected
    assert not precedes(other, one, before(one), date.fromisoformat(today))
