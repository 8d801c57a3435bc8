"""JUnit XML, read by two libraries that we did not write."""

from collections import Counter
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from junit2htmlreport.parser import Junit
from junitparser import Failure, JUnitXml, Skipped, TestCase

from planlint.records import Check, InspectionRecord, Verdict
from planlint.reports import junit


def read(record: InspectionRecord) -> JUnitXml:
    read_back = JUnitXml.fromstring(junit.render(record).encode())
    stated = (read_back.tests, read_back.failures, read_back.errors)
    of_suites = [(suite.tests, suite.failures, suite.errors, suite.skipped) for suite in read_back]
    read_back.update_statistics()
    # The counts that are written are those that the reader finds.
    assert stated == (read_back.tests, read_back.failures, read_back.errors)
    assert of_suites == [(suite.tests, suite.failures, suite.errors, suite.skipped) for suite in read_back]
    return read_back


def cases(record: InspectionRecord) -> dict[str, TestCase]:
    return {case.name: case for suite in read(record) for case in suite}


def test_junit(whole_run: InspectionRecord, golden: Callable[[str, str], None]) -> None:
    golden("report.junit.xml", junit.render(whole_run))


def test_one_case_a_check(whole_run: InspectionRecord) -> None:
    plan = whole_run.plans[0]
    suite = next(iter(read(whole_run)))
    assert suite.name == plan.plan
    assert suite.tests == sum(plan.tally.values()) == len(plan.checks)
    assert suite.failures == plan.tally[Verdict.FAIL] + plan.tally[Verdict.CRASHED]
    assert suite.tests - suite.failures - suite.skipped == plan.tally[Verdict.PASS]


def test_a_second_reader_finds_the_same(whole_run: InspectionRecord, tmp_path: Path) -> None:
    file = tmp_path / "report.xml"
    file.write_text(junit.render(whole_run), encoding="utf-8")
    suite, unread = Junit(str(file)).suites
    assert (len(suite.all()), len(suite.failed()), len(suite.skipped())) == (62, 5, 36)
    assert (unread.name, len(unread.failed())) == ("barn.plan.yaml", 1)


def test_a_fail_says_its_level_and_what_to_do(whole_run: InspectionRecord) -> None:
    case = cases(whole_run)["bead-at-outside-corner at kitchen.north.corner"]
    (failure,) = case.result
    assert isinstance(failure, Failure)
    assert (failure.type, failure.message) == ("error", "the outside corner has no bead")
    assert failure.text.split("\n") == [
        "toll-house.plan.yaml:58:9: the outside corner has no bead",
        "To do: set a metal bead over the full height",
        "Take care: Filler dust harms lungs: wear a mask when you sand.",
    ]


@pytest.mark.parametrize(
    ("name", "reason"),
    [
        ("box-has-backing at kitchen.north.S1", "not recorded: whether this face will be lined (add lining, base)"),
        ("joint-looks-sound at kitchen.north.window", "a person has to look: nobody has looked at the joint"),
        ("bead-in-one-piece at kitchen.ceiling", "conceded by the owner until 2026-12-31: the bead is pieced together"),
        ("joint-on-support at kitchen.north.piece-30", "does not apply here"),
    ],
)
def test_what_neither_passed_nor_failed_is_skipped(whole_run: InspectionRecord, name: str, reason: str) -> None:
    (skipped,) = cases(whole_run)[name].result
    assert isinstance(skipped, Skipped)
    assert skipped.message == reason


def test_a_rule_that_broke_down_is_no_pass(whole_run: InspectionRecord) -> None:
    (failure,) = cases(whole_run)["outline-closes at kitchen"].result
    assert (failure.type, failure.message) == ("crashed", "the rule broke down: ZeroDivisionError('division by zero')")
    assert "package planlint-extra" in failure.text


def test_a_plan_that_cannot_be_read_is_no_pass(run: InspectionRecord) -> None:
    (failure,) = cases(replace(run, plans=()))["can be read"].result
    assert failure.type == "fault"
    assert "did you mean walls?" in failure.text


def test_names_are_unique(whole_run: InspectionRecord) -> None:
    plan = whole_run.plans[0]
    doubled = replace(plan, checks=(*plan.checks, *plan.checks), plan="other.plan.yaml")
    found = read(replace(whole_run, plans=(plan, doubled)))
    names = Counter((case.classname, case.name) for suite in found for case in suite)
    assert set(names.values()) == {1}


def test_the_end_says_what_was_not_looked_at(whole_run: InspectionRecord, tmp_path: Path) -> None:
    file = tmp_path / "report.xml"
    file.write_text(junit.render(whole_run), encoding="utf-8")
    said = Junit(str(file)).suites[0].stdout
    assert "What was not checked" in said
    assert "Local code and licensed people decide" in said


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], max_examples=25)
@given(text=st.text(min_size=1))
def test_any_text_is_read_back(run: InspectionRecord, text: str) -> None:
    plan = run.plans[0]
    odd = replace(plan.findings[0], message=text, remedy=text)
    check = Check(odd.rule, odd.place, Verdict.FAIL, odd)
    record = replace(run, plans=(replace(plan, plan=text, title=text, checks=(check,)),))
    (failure,) = cases(record)[f"{odd.rule} at {odd.place}"].result
    kept = "".join(sign if sign.isprintable() else "\N{REPLACEMENT CHARACTER}" for sign in " ".join(text.split()))
    assert failure.message == kept
