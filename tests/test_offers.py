"""Which remedies carry an edit into a finding: what is planned and still to come, and nothing that guards life."""

from datetime import date

import pytest

from planlint import source
from planlint.api import Wall
from planlint.inspection import ENGINE_CARDS, Wanted, inspect
from planlint.model.build import build
from planlint.records import Edit, HoldPoint, Level
from planlint.registry import Rulebook, load
from planlint.rule import PLANNED, Add, Fail, Given, Outcome, Remedy, Rule, Set, rule

TODAY = date(2026, 10, 3)
PLAN = """
plan: 1
title: a shed
circuits: {sockets: {serves: sockets, section: 1.5 mm², chain: [supply, S1]%s}}
rooms:
  shed:
    outline: partial
    walls:
      - wall: long
        then: left
        height: 2.40 m
        corner: filler
        points: {S1: {kind: socket, circuit: sockets}}
      - wall: short
work: %s
"""


def edits(name: str, circuit: str = "", work: str = "[]") -> tuple[Edit, ...]:
    document = source.read((PLAN % (circuit, work)).encode(), "shed.plan.yaml")
    found = inspect(document, load(ENGINE_CARDS), Wanted(TODAY, only=(name,), contain=False)).findings
    return next(finding.edits for finding in found if finding.rule == name)


CORNER = ("rooms", "shed", "walls", 0, "corner")


def test_an_edit_names_the_way_from_the_root_of_the_plan() -> None:
    assert edits("bead-at-outside-corner") == (Edit((*CORNER, "joint"), "bead"), Edit((*CORNER, "length"), "2.4 m"))
    assert edits("conductor-section") == (Edit(("circuits", "sockets", "section"), "2.5 mm²"),)


@pytest.mark.parametrize(
    ("task", "is_offered"),
    [
        ("{task: x, kind: beads, done: 2026-10-03}", False),
        ("{task: x, kind: beads, done: 2026-10-04}", True),  # a date to come is a finding of its own
        ("{task: x, kind: beads}", True),
        ("{task: x, kind: closing-in, walls: [shed.long], done: 2026-09-01}", False),
        ("{task: x, kind: closing-in, walls: [shed.short], done: 2026-09-01}", True),
        ("{task: x, kind: filling, rooms: [shed], done: 2026-09-01}", False),
        ("{task: x, kind: photographs, done: 2026-09-01}", True),
    ],
)
def test_what_is_done_is_no_plan_any_more(task: str, *, is_offered: bool) -> None:
    assert bool(edits("bead-at-outside-corner", work=f"[{task}]")) is is_offered


@pytest.mark.parametrize(
    ("circuit", "task", "is_offered"),
    [
        ("", "{task: x, kind: beads, done: 2026-09-01}", True),
        ("", "{task: x, kind: first-fix, done: 2026-09-01}", False),
        ("", "{task: x, kind: closing-in, walls: [shed.long], done: 2026-09-01}", False),
        ("", "{task: x, kind: closing-in, walls: [shed.short], done: 2026-09-01}", True),
        (", tests: [{kind: continuity, date: 2026-09-01}]", "{task: x, kind: first-fix}", False),
    ],
)
def test_a_cable_that_lies_is_no_plan_any_more(circuit: str, task: str, *, is_offered: bool) -> None:
    assert bool(edits("conductor-section", circuit, f"[{task}]")) is is_offered


def judged(*, guards_life: bool) -> Rule:
    @rule("wall-is-west", judges=Wall, level=Level.ERROR, guards=HoldPoint.CLOSING_IN, guards_life=guards_life)
    def wall_is_west(wall: Wall, _: Given) -> Outcome:
        """A wall is lined as the others are.

        Why: it would show.
        Source: own decision.
        """
        return Fail("it is not", remedy=Remedy("line it", edit=Set(wall, "lining", "none")))

    return wall_is_west


@pytest.mark.parametrize("guards_life", [True, False])
def test_what_guards_life_is_never_edited(*, guards_life: bool) -> None:
    own = judged(guards_life=guards_life)
    document = source.read((PLAN % ("", "[]")).encode(), "shed.plan.yaml")
    book = Rulebook((own,), (*ENGINE_CARDS, own.card("here")), load(ENGINE_CARDS).limit_folders)
    found = inspect(document, book, Wanted(TODAY, contain=False))
    assert [bool(finding.edits) for finding in found.findings] == [not guards_life] * 2


FACTS = ["length", "readings", "damp.cured", "base.sound", "photos", "diagonals", "existing", "height"]


@pytest.mark.parametrize("key", FACTS)
def test_no_edit_writes_what_was_measured_or_observed(key: str) -> None:
    plan = build(source.read((PLAN % ("", "[]")).encode(), "shed.plan.yaml"))
    wall, circuit = plan.rooms[0].walls[0], plan.circuits["sockets"]
    with pytest.raises(ValueError, match=f"no edit writes {key}"):
        Set(wall, key, "x")
    for fact in ("tests", "rcd", "breaker.rating", "breaker.curve", "conductors.neutral", "lengths.S1"):
        with pytest.raises(ValueError, match="no decision about the plan"):
            Set(circuit, fact, "x")
    with pytest.raises(ValueError, match="no decision about the plan"):
        Add(circuit, "tests", ("x",))


def test_kinds_of_things_that_are_planned_are_kinds_of_the_model() -> None:
    kinds = {
        thing.called for thing in build(source.read((PLAN % ("", "[{task: x, kind: beads}]")).encode(), "-")).things()
    }
    assert {"wall", "point", "circuit", "run", "task"} <= kinds & PLANNED.keys()


def test_several_edits_or_one_or_none() -> None:
    plan = build(source.read((PLAN % ("", "[]")).encode(), "shed.plan.yaml"))
    one = Set(plan.rooms[0].walls[0], "lining", "none")
    assert Remedy("x").edits == ()
    assert Remedy("x", edit=one).edits == (one,)
    assert Remedy("x", edit=(one, one)).edits == (one, one)
