"""The report for programs: version 1, whose form `schemas/report-1.json` describes."""

import json
from dataclasses import asdict

from planlint.records import Edit, Finding, InspectionRecord, PlanRecord
from planlint.reports.holds import state
from planlint.reports.troubles import troubles


def render(record: InspectionRecord) -> str:
    """The whole run as JSON; the same run gives the same text."""
    report = {
        "report": 1,
        "tool": {"name": "planlint", "version": record.version},
        "limits": list(dict.fromkeys(name for plan in record.plans for name in plan.limits)),
        "today": record.today,
        "plans": [_plan(plan) for plan in record.plans],
        "faults": [asdict(fault) for fault in troubles(record)],
    }
    return json.dumps(report, ensure_ascii=False, indent=2) + "\n"


def _plan(plan: PlanRecord) -> dict[str, object]:
    hold = {"hold": state(plan.hold)} if plan.hold else {}
    return {
        "plan": plan.plan,
        "title": plan.title,
        "digest": plan.digest,
        "tally": dict(plan.tally),
        "findings": [_finding(finding) for finding in sorted(plan.findings, key=lambda finding: finding.order)],
        **hold,
    }


def _finding(finding: Finding) -> dict[str, object]:
    # Named one by one, in the order that people read them: what the record gains later is not promised to programs.
    return {
        "rule": finding.rule,
        "family": finding.family,
        "outcome": finding.outcome,
        "level": finding.level,
        "guards": finding.guards,
        "place": finding.place,
        "file": finding.file,
        "line": finding.line,
        "column": finding.column,
        "message": finding.message,
        "measured": finding.measured,
        "allowed": finding.allowed,
        "missing": list(finding.missing),
        "remedy": finding.remedy,
        "caution": finding.caution,
        "sources": list(finding.sources),
        "conceded": asdict(finding.conceded) if finding.conceded else None,
        **({"edits": [_edit(edit) for edit in finding.edits]} if finding.edits else {}),
    }


def _edit(edit: Edit) -> dict[str, object]:
    return {"path": list(edit.path), "add" if edit.adds else "set": edit.value}
