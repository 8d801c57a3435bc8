"""The edits that rules offer: whoever makes one has put right what it was offered for.

The failing cases of the tables serve: the plan with the edits of its finding in it is judged again by the same rule.
"""

import inspect
from collections.abc import Iterator
from datetime import date
from pathlib import Path
from string import Template
from typing import Any

import pytest
import yaml

from planlint import inspection, registry, source
from planlint.edits import revise
from planlint.records import Finding, PlanRecord, Verdict

BOOK = registry.load(inspection.ENGINE_CARDS)
MODULES = {inspect.getsourcefile(rule.judge) or "" for rule in BOOK.rules}
OFFERING = sorted(Path(module).stem for module in MODULES if "edit=" in Path(module).read_text(encoding="utf-8"))
TABLES: dict[str, dict[str, Any]] = {
    rule: table
    for module in OFFERING
    for rule, table in yaml.safe_load(Path(__file__).with_name(f"{module}.yaml").read_text(encoding="utf-8")).items()
}
"""The tables of the modules with a rule that offers an edit."""
TODAY = "2026-10-03"

WITH_EDITS = {
    "bead-at-outside-corner",
    "box-depth-fits",
    "box-has-backing",
    "buried-work-first",
    "clamps-reach-boards",
    "conductor-section",
    "cut-joints-grooved",
    "energise-last",
    "finish-in-order",
    "hung-load-has-backing",
    "light-has-switch",
    "method-matches-wall",
    "piece-comes-from-board",
    "screw-length-and-spacing",
    "sealant-at-inside-corner",
    "sealant-takes-movement",
    "sealant-takes-paint",
    "sheet-timber-gap",
    "socket-heights-agree",
    "support-spacing",
    "switch-heights-agree",
    "tapered-edges-to-outside-corner",
    "wet-area-tanked-before-tiling",
    "wet-work-dries",
}

GOES_ON = {
    # Another finding of the same rule shows once the first is out of the way.
    ("screw-length-and-spacing", "a flaw goes before a gap"),
    ("cut-joints-grooved", "cut is cut whatever it meets"),
    ("buried-work-first", "insulation behind the boards"),
    ("buried-work-first", "nothing named where the ceiling is lined too"),
}


def judge(document: source.Document, rule: str, today: str) -> PlanRecord:
    wanted = inspection.Wanted(today=date.fromisoformat(today), only=(rule,), contain=False)
    return inspection.inspect(document, BOOK, wanted)


def cases() -> Iterator[Any]:
    for rule, table in TABLES.items():
        for one in table["cases"]:
            if one["expect"] in ("error", "warning", "note"):
                text = Template(table["plan"]).substitute(table.get("defaults", {}) | one.get("with", {}))
                yield pytest.param(rule, text, one, id=f"{rule}: {one['name']}")


CASES = list(cases())


@pytest.mark.parametrize(("rule", "text", "failing"), CASES)
def test_a_failing_case_is_put_right_by_its_edits(rule: str, text: str, failing: dict[str, Any]) -> None:
    today = failing.get("today", TODAY)
    document = source.read(text.encode(), "case.plan.yaml")
    for finding in judge(document, rule, today).findings:
        if not finding.edits:
            continue
        revision = revise(document, finding.edits)
        assert revision, finding.edits
        after = [one for one in judge(revision.document, rule, today).findings if same(one, finding)]
        assert finding.message not in [one.message for one in after]
        assert bool(after) == ((rule, failing["name"]) in GOES_ON), [one.message for one in after]


def same(one: Finding, other: Finding) -> bool:
    return (one.rule, one.place) == (other.rule, other.place)


def test_every_exception_is_a_case() -> None:
    names = {(param.values[0], param.values[2]["name"]) for param in CASES}
    assert names >= GOES_ON


def test_no_rule_that_guards_life_is_among_them() -> None:
    cards = {card.id: card for card in BOOK.cards}
    assert cards.keys() >= WITH_EDITS
    assert not [name for name in WITH_EDITS if cards[name].guards_life]


def offers_one(param: Any) -> bool:  # noqa: ANN401 - pytest's sets of parameters have no public type
    rule, text, case = param.values
    record = judge(source.read(text.encode(), "case.plan.yaml"), rule, case.get("today", TODAY))
    return any(finding.edits for finding in record.findings)


def test_rules_with_edits_are_listed_here() -> None:
    # Those whose tables hold one box, or walls without a lining, have plans of their own below.
    own = {"box-depth-fits", "clamps-reach-boards", "socket-heights-agree", "switch-heights-agree"}
    assert {param.values[0] for param in CASES if offers_one(param)} | own == WITH_EDITS


HALL = """
plan: 1
title: a hall
boxes:
  deep: {hole: 68 mm, depth: 61 mm, clamps: [7 mm, 20 mm]}
  flat: {hole: 68 mm, depth: 40 mm, clamps: [7 mm, 40 mm]}
  other: $other
boards: {b: {kind: gypsum, thickness: 12.5 mm}, s: {kind: osb, thickness: 12 mm}}
bases: {brick: {material: solid-brick, faces: inside, sound: true}}
linings:
  thin:
    battens: {spacing: 400 mm, width: 50 mm, depth: $void}
    layers: [{material: air, thickness: $void}, {board: s}, {board: b}]
rooms:
  hall:
    height: 2.50 m
    outline: partial
    walls:
      - wall: long
        base: brick
        lining: thin
        points:
          S1: {kind: $kind, at: 0.50 m, height: 30 cm, box: deep}
          S2: {kind: $kind, at: 1.50 m, height: 30 cm, box: flat}
          S3: {kind: $kind, at: 2.50 m, height: $height, box: flat}
      - {wall: short, lining: $lining, base: brick, points: {S4: {kind: $kind, at: 0.5 m, height: $far, box: flat}}}
"""
USUAL = {
    "other": "{hole: 68 mm, depth: 61 mm, clamps: [7 mm, 20 mm]}",
    "void": "40 mm",
    "kind": "socket",
    "height": "0.30 m",
    "lining": "none",
    "far": "300 mm",
}


def hall(rule: str, **values: str) -> tuple[PlanRecord, str]:
    """What a rule finds in the hall, and the hall with the edits of its first fail in it."""
    document = source.read(Template(HALL).substitute(USUAL | values).encode(), "hall.plan.yaml")
    record = judge(document, rule, TODAY)
    first = next(finding for finding in record.findings if finding.outcome is Verdict.FAIL)
    revision = revise(document, first.edits)
    return record, revision.document.text if revision else ""


@pytest.mark.parametrize("rule", ["box-depth-fits", "clamps-reach-boards"])
def test_the_one_box_of_the_plan_that_fits_is_offered(rule: str) -> None:
    # 40 mm of air and 24.5 mm of boards leave 64.5 mm for a box; two boards of 24.5 mm are more than its clamps grip.
    _, text = hall(rule)
    assert "S1: {kind: socket, at: 0.50 m, height: 30 cm, box: flat}" in text
    assert not [one for one in judge(source.read(text.encode(), "-"), rule, TODAY).findings if one.place.endswith("S1")]


@pytest.mark.parametrize("rule", ["box-depth-fits", "clamps-reach-boards"])
def test_where_two_boxes_fit_or_none_a_person_chooses(rule: str) -> None:
    assert hall(rule, other="{hole: 68 mm, depth: 45 mm, clamps: [7 mm, 30 mm]}")[1] == ""
    assert hall("box-depth-fits", void="20 mm", other="{hole: 68 mm}")[1] == ""


@pytest.mark.parametrize("kind", ["socket", "switch"])
def test_points_on_faces_to_be_lined_are_brought_to_one_height(kind: str) -> None:
    rule = f"{kind}-heights-agree"
    _, text = hall(rule, kind=kind, height="12 in")
    assert "height: 12 in" not in text
    record = judge(source.read(text.encode(), "-"), rule, TODAY)
    assert [one.message for one in record.findings] == []


def test_a_point_on_a_face_that_stays_is_there_already() -> None:
    assert hall("socket-heights-agree", far="250 mm")[1] == ""
    assert "height: 300 mm" in hall("socket-heights-agree", far="250 mm", lining="thin")[1]
    assert hall("socket-heights-agree", height="0.35 m", far="250 mm")[1] == ""


def test_a_backing_is_planned_only_behind_boards_that_are_still_to_be_hung() -> None:
    text = Template(HALL.replace("{board: s}, ", "")).substitute(USUAL | {"lining": "none, existing: {board: b}"})
    found = judge(source.read(text.encode(), "hall.plan.yaml"), "box-has-backing", TODAY).findings
    assert {finding.place: bool(finding.edits) for finding in found if finding.outcome is Verdict.FAIL} == {
        "hall.long.S1": True,
        "hall.long.S2": True,
        "hall.long.S3": True,
        "hall.short.S4": False,
    }
