import json
import pickle
from collections.abc import Callable
from dataclasses import replace

import pytest
from jsonschema import Draft202012Validator, FormatChecker, ValidationError

from planlint.records import Edit, InspectionRecord
from planlint.reports import json_report
from planlint.schema import load_schema


@pytest.fixture
def validator() -> Draft202012Validator:
    schema = load_schema("report-1")
    Draft202012Validator.check_schema(schema)
    return Draft202012Validator(schema, format_checker=FormatChecker())


def test_json(run: InspectionRecord, golden: Callable[[str, str], None]) -> None:
    golden("report.json", json_report.render(run))


def test_fits_its_schema(run: InspectionRecord, clean: InspectionRecord, validator: Draft202012Validator) -> None:
    for record in (run, clean, replace(run, plans=())):
        validator.validate(json.loads(json_report.render(record)))


@pytest.mark.parametrize(
    ("key", "value"), [("line", 0), ("level", "fatal"), ("outcome", "pass"), ("guards", "roofing"), ("missing", None)]
)
def test_the_schema_refuses_what_is_wrong(
    run: InspectionRecord, validator: Draft202012Validator, key: str, value: object
) -> None:
    report = json.loads(json_report.render(run))
    report["plans"][0]["findings"][0][key] = value
    with pytest.raises(ValidationError):
        validator.validate(report)


def test_the_same_run_gives_the_same_bytes(run: InspectionRecord) -> None:
    again = pickle.loads(pickle.dumps(run))  # noqa: S301 - our own, as a worker process sends it
    shuffled = replace(again, plans=(replace(again.plans[0], findings=again.plans[0].findings[::-1]),))
    assert json_report.render(shuffled) == json_report.render(run)
    assert json_report.render(run).endswith("}\n")


def test_limits_are_those_of_all_plans(run: InspectionRecord) -> None:
    other = replace(run.plans[0], limits=("general", "fr"))
    report = json.loads(json_report.render(replace(run, plans=(*run.plans, other))))
    assert report["limits"] == ["general", "gb", "fr"]


def test_a_rule_that_broke_down_is_among_the_faults(run: InspectionRecord) -> None:
    faults = json.loads(json_report.render(run))["faults"]
    assert [fault["file"] for fault in faults] == ["barn.plan.yaml", "toll-house.plan.yaml"]
    assert "outline-closes" in faults[1]["message"]
    assert "planlint-extra" in faults[1]["hint"]


def test_what_mend_tries_is_there_where_a_remedy_carries_it(
    run: InspectionRecord, validator: Draft202012Validator
) -> None:
    edits = (
        Edit(("rooms", "kitchen", "walls", 0, "corner", "joint"), "bead"),
        Edit(("work", 2, "after"), ("beads",), adds=True),
    )
    plan = run.plans[0]
    first, *others = sorted(plan.findings, key=lambda finding: finding.order)
    record = replace(run, plans=(replace(plan, findings=(replace(first, edits=edits), *others)),))
    report = json.loads(json_report.render(record))
    validator.validate(report)
    first, *others = report["plans"][0]["findings"]
    assert first["edits"] == [
        {"path": ["rooms", "kitchen", "walls", 0, "corner", "joint"], "set": "bead"},
        {"path": ["work", 2, "after"], "add": ["beads"]},
    ]
    assert not any("edits" in other for other in others)
    first["edits"][0]["add"] = ["x"]
    with pytest.raises(ValidationError):
        validator.validate(report)
