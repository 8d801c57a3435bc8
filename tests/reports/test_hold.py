"""The answer at a hold point and what to do next, read aloud; the runs are made up by hand."""

import json
from dataclasses import replace

from jsonschema import Draft202012Validator

from planlint.errors import Fault
from planlint.records import (
    Concession,
    Crash,
    Finding,
    HoldPoint,
    HoldState,
    InspectionRecord,
    Level,
    Passing,
    PlanRecord,
    Release,
    Verdict,
)
from planlint.reports import hold, holds, json_report, text
from planlint.reports.page import Page
from planlint.schema import load_schema

FILE = "toll-house.plan.yaml"
WIDE = Page(width=2000)
GIVEN = Release("shop.west", "2026-10-03", "A. Mason", overtaken=False)


def state(passing: Passing, release: Release | None = None, place: str = "shop.west", **tally: int) -> HoldState:
    counted = {verdict: tally.get(verdict.name.lower(), 0) for verdict in Verdict}
    return HoldState(HoldPoint.CLOSING_IN, place, passing, counted, ("some-rule",), release)


def plan(found: HoldState, *findings: object, **more: object) -> PlanRecord:
    walk = ("shop.west", "shop.north", "shop.north.S1")
    kept: dict[str, object] = {"rules": 3, "walk": walk, "hold": found, "findings": findings} | more
    return PlanRecord(FILE, "The shop", "sha256:" + "0" * 64, ("general",), {Verdict.PASS: 1}, **kept)  # type: ignore[arg-type]  # made up


def run(record: PlanRecord) -> InspectionRecord:
    return InspectionRecord("1.2.3", "2026-10-03", (record,))


def first_line(record: PlanRecord) -> str:
    return text.render(run(record), WIDE).splitlines()[0]


def finding(rule: str, place: str, line: int, message: str, **more: object) -> Finding:
    fields: dict[str, object] = {
        "outcome": Verdict.FAIL,
        "level": Level.ERROR,
        "guards": HoldPoint.CLOSING_IN,
        "file": FILE,
        "column": 9,
        "measured": None,
        "allowed": None,
        "missing": (),
        "remedy": None,
        "caution": None,
        "sources": ("common practice",),
    }
    return Finding(rule=rule, place=place, line=line, message=message, **(fields | more))  # type: ignore[arg-type]  # made up


WET = finding("wall-dry-enough", "shop.west", 9, "the wall reads 30 %", family="moisture", remedy="find the water")
LOW = finding(
    "socket-heights-agree",
    "shop.north.S1",
    20,
    "the socket is at 240 mm",
    family="heights",
    level=Level.WARNING,
    remedy="raise the box",
)
UNTESTED = finding(
    "dead-tests-recorded",
    "circuits.ring",
    5,
    "not recorded: the tests of the dead circuit (add tests)",
    family="circuits",
    outcome=Verdict.OPEN,
    level=Level.NOTE,
    missing=("tests",),
)
LATER = finding("bead-at-outside-corner", "shop.west.corner", 12, "no bead", family="corners", guards=HoldPoint.FILLING)


def test_nothing_in_the_way() -> None:
    assert first_line(plan(state(Passing.MAY_BE_RELEASED))) == "May be released: closing-in of shop.west."


def test_the_whole_plan_has_no_name_of_its_own() -> None:
    assert (
        first_line(plan(state(Passing.MAY_BE_RELEASED, place="plan")))
        == "May be released: closing-in of all of the plan."
    )


def test_one_thing_in_the_way() -> None:
    said = first_line(plan(state(Passing.HOLD, fail=1), WET))
    assert said == "Hold: closing-in of shop.west. At shop.west: the wall reads 30 %."


def test_several_things_in_the_way_the_wet_one_first() -> None:
    said = first_line(plan(state(Passing.HOLD, fail=2, open=1), LOW, UNTESTED, WET, LATER))
    assert said == "Hold: closing-in of shop.west. At shop.west: the wall reads 30 %. 2 more things are in the way."
    one = first_line(plan(state(Passing.HOLD, fail=1, open=1), LOW, UNTESTED))
    assert one == (
        "Hold: closing-in of shop.west. At circuits.ring: not recorded: the tests of the dead circuit (add tests). "
        "1 more thing is in the way."
    )


def test_what_to_do_next_is_in_the_order_of_doing_it_and_names_its_items() -> None:
    page = text.render(run(plan(state(Passing.HOLD, fail=2, open=1), LOW, UNTESTED, WET, LATER)), WIDE)
    _, _, rest = page.partition("What to do next, in this order\n")
    assert rest.partition("\n\n")[0].splitlines() == [
        "  - Find the water (item 1).",
        "  - Record tests for circuits.ring (item 4).",
        "  - Raise the box (item 3).",
    ]


def test_what_is_conceded_is_not_in_the_way() -> None:
    leave = Concession("it is only a shed", "the owner", "2026-12-31")
    record = plan(state(Passing.MAY_BE_RELEASED, conceded=1), replace(WET, conceded=leave))
    assert first_line(record) == "May be released: closing-in of shop.west."
    assert "What to do next" not in text.render(run(record), WIDE)


def test_a_rule_that_broke_down_is_no_leave() -> None:
    record = plan(state(Passing.HOLD, crashed=1), crashes=(Crash("some-rule", "shop.west", "x", "boom"),))
    assert first_line(record) == "Hold: closing-in of shop.west. A rule broke down, so that nobody knows."


def test_where_nothing_was_checked_nothing_is_released() -> None:
    said = first_line(plan(state(Passing.HOLD))).partition(". ")[2]
    assert said == "Nothing was checked: no rule guards it there, so there is nothing to release."


def test_released() -> None:
    assert (
        first_line(plan(state(Passing.RELEASED, GIVEN)))
        == "Released: closing-in of shop.west, on 2026-10-03 by A. Mason."
    )
    room = replace(GIVEN, place="shop")
    said = first_line(plan(state(Passing.RELEASED, room)))
    assert said == "Released: closing-in of shop.west, with shop, on 2026-10-03 by A. Mason."
    whole = first_line(plan(state(Passing.RELEASED, replace(GIVEN, place="plan"))))
    assert whole == "Released: closing-in of shop.west, with all of the plan, on 2026-10-03 by A. Mason."


def test_a_release_that_does_not_count_any_more() -> None:
    gone = replace(GIVEN, overtaken=True)
    assert first_line(plan(state(Passing.MAY_BE_RELEASED, gone))) == (
        "May be released: closing-in of shop.west. The release on 2026-10-03 by A. Mason does not count any more: "
        "what it rests on has changed since."
    )
    assert first_line(plan(state(Passing.HOLD, replace(gone, place="shop"), fail=1), WET)).endswith(
        "The release of shop on 2026-10-03 by A. Mason does not count any more: what it rests on has changed since."
    )


def test_a_release_that_something_came_after() -> None:
    said = first_line(plan(state(Passing.HOLD, GIVEN, fail=1), WET))
    assert said.endswith("the wall reads 30 %. The release on 2026-10-03 by A. Mason was given before this came up.")


def test_a_record_that_cannot_be_used_is_said() -> None:
    fault = Fault("shop.releases.yaml", 3, 1, "this release record cannot be used: it ends")
    record = plan(state(Passing.MAY_BE_RELEASED), faults=(fault,))
    page = text.render(run(record), WIDE)
    assert "Whether it was released before cannot be told: its release record cannot be used." in page
    assert "shop.releases.yaml" in page.rpartition("Not looked at")[2]
    assert json.loads(json_report.render(run(record)))["faults"][0]["line"] == 3


def test_no_answer_where_no_hold_point_was_asked_for() -> None:
    record = replace(plan(state(Passing.HOLD)), hold=None)
    assert first_line(record) == "The shop"
    assert "hold" not in json.loads(json_report.render(run(record)))["plans"][0]


def test_for_programs() -> None:
    full = dict.fromkeys(Verdict, 0)
    record = replace(plan(state(Passing.HOLD, GIVEN, fail=1), WET), tally=full)
    report = json.loads(json_report.render(run(record)))
    Draft202012Validator(load_schema("report-1")).validate(report)
    assert report["plans"][0]["hold"] == {
        "hold_point": "closing-in",
        "place": "shop.west",
        "state": "hold",
        "tally": {str(verdict): int(verdict is Verdict.FAIL) for verdict in Verdict},
        "rules": ["some-rule"],
        "release": {"place": "shop.west", "date": "2026-10-03", "by": "A. Mason", "overtaken": False},
    }


# Every hold point at once

STATES = (
    state(Passing.HOLD, fail=2, open=1, review=1, crashed=1, place="shop"),
    replace(state(Passing.MAY_BE_RELEASED, conceded=2, place="shop"), hold_point=HoldPoint.FILLING),
    state(Passing.RELEASED, GIVEN),
    replace(state(Passing.RELEASED, replace(GIVEN, place="shop")), hold_point=HoldPoint.PAINTING),
    state(Passing.MAY_BE_RELEASED, replace(GIVEN, place="shop", overtaken=True), place="shop.north"),
    replace(
        state(Passing.HOLD, replace(GIVEN, place="shop.north"), place="shop.north", fail=1), hold_point=HoldPoint.TILING
    ),
    replace(state(Passing.RELEASED, replace(GIVEN, place="plan"), place="plan"), hold_point=HoldPoint.ENERGISING),
    # One that was released elsewhere comes last, and is told with its place.
    replace(
        state(Passing.MAY_BE_RELEASED, replace(GIVEN, place="shop", overtaken=True), place="shop"),
        hold_point=HoldPoint.FLOORING,
    ),
)


def test_all_of_them_for_people() -> None:
    record = replace(plan(state(Passing.HOLD)), hold=None, holds=STATES)
    shown, _, _ = holds.render(run(record), WIDE).partition("\n\nWhat stands in the way")
    assert shown.splitlines() == [
        "The shop",
        FILE,
        "",
        "shop",
        "  closing-in: Hold: 2 failed, 1 not recorded, 1 for a person to look at and 1 broke down.",
        "  filling:    May be released; 2 conceded.",
        "  flooring:   May be released; the release on 2026-10-03 by A. Mason is overtaken.",
        "",
        "shop, west",
        "  closing-in: Released, on 2026-10-03 by A. Mason.",
        "  painting:   Released, with shop, on 2026-10-03 by A. Mason.",
        "",
        "shop, north",
        "  closing-in: May be released; the release of shop on 2026-10-03 by A. Mason is overtaken.",
        "  tiling:     Hold: 1 failed; the release on 2026-10-03 by A. Mason came before this.",
        "",
        "all of the plan",
        "  energising: Released, on 2026-10-03 by A. Mason.",
    ]


def test_all_of_them_for_programs() -> None:
    record = replace(plan(state(Passing.HOLD)), hold=None, holds=STATES)
    report = json.loads(holds.as_json(run(record)))
    Draft202012Validator(load_schema("hold-points-1")).validate(report)
    assert [(one["hold_point"], one["place"], one["state"]) for one in report["states"]] == [
        (one.hold_point, one.place, one.state) for one in STATES
    ]


def test_a_plan_without_any_says_so() -> None:
    record = replace(plan(state(Passing.HOLD)), hold=None)
    assert "No rule guards a hold point in this plan" in holds.render(run(record), WIDE)


def test_what_was_recorded_is_said_and_what_would_be() -> None:
    entry = {
        "entry": "released",
        "hold_point": "closing-in",
        "place": "plan",
        "date": "2026-10-03",
        "by": "A. Mason",
        "tally": {"pass": 1, "not-applicable": 5, "conceded": 1},
        "conceded": [{"rule": "runs-photographed", "place": "shop.west"}],
    }
    said = hold.recorded(entry, "shop.releases.yaml", WIDE).splitlines()
    assert said[:4] == [
        "Released: closing-in of all of the plan, on 2026-10-03 by A. Mason.",
        "1 check that guards it passed, 5 did not apply, 1 was conceded.",
        "Conceded: runs-photographed at shop.west.",
        "Recorded in shop.releases.yaml.",
    ]
    assert "licensed person" in said[4]
    assert not any(word in " ".join(said) for word in ("safe", "compliant", "certified"))
    trial = hold.recorded(entry | {"entry": "withdrawn", "tally": {}, "conceded": []}, None, WIDE).splitlines()
    assert trial == [
        "Would be withdrawn: closing-in of all of the plan, on 2026-10-03 by A. Mason.",
        "This was a trial: nothing was written.",
    ]
