"""The report for review tools: SARIF 2.1.0 (OASIS, errata 01), one run for all plans.

What fails has a level; what is open or waits for a person has a kind of its own and, as the standard wants it, no
level. What is conceded is there, suppressed by the plan's word.
"""

import hashlib
import json
import os
import re
from collections import Counter
from collections.abc import Iterator
from pathlib import PurePath
from urllib.parse import quote

from planlint.errors import Fault
from planlint.records import Check, Concession, Finding, InspectionRecord, Replacement, RuleCard, Verdict
from planlint.reports.page import plain
from planlint.reports.troubles import troubles

Json = dict[str, object]

SCHEMA = "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json"
_ROOT = "SRCROOT"
_FINGERPRINT = "ruleAndPlace/v1"
_LINK = re.compile(r"\[(?=[^\]]*\]\()")
"""What a reader of SARIF takes for the beginning of a link."""
_PASSED = {Verdict.PASS: "pass", Verdict.NOT_APPLICABLE: "notApplicable"}
_STANDARD_INPUT = "-"


def render(record: InspectionRecord, *, passed: bool = False) -> str:
    """The whole run as SARIF; with `passed` also the checks that passed or did not apply, where they were kept."""
    faults = troubles(record)
    numbers = {card.id: number for number, card in enumerate(record.cards)}
    results = list(_results(record, numbers))
    if passed:
        results += [
            _check(check, plan.plan, numbers) for plan in record.plans for check in plan.checks if not check.found
        ]
    run: Json = {
        "tool": {
            "driver": {"name": "planlint", "version": record.version, "rules": [_rule(card) for card in record.cards]}
        },
        "invocations": [
            {"executionSuccessful": not faults, "toolExecutionNotifications": [_notification(one) for one in faults]}
        ],
        "originalUriBaseIds": {_ROOT: {"description": {"text": "The folder in which planlint was run."}}},
        "artifacts": [
            {
                "location": _artifact(plan.plan),
                "roles": ["analysisTarget"],
                "properties": {
                    "title": plan.title,
                    "digest": plan.digest,
                    "limits": list(plan.limits),
                    "tally": {verdict.value: number for verdict, number in plan.tally.items()},
                },
            }
            for plan in record.plans
        ],
        "columnKind": "unicodeCodePoints",
        "results": results,
        "properties": {"today": record.today, "narrowed": dict(record.narrowed)},
    }
    return json.dumps({"$schema": SCHEMA, "version": "2.1.0", "runs": [run]}, ensure_ascii=False, indent=2) + "\n"


def _rule(card: RuleCard) -> Json:
    needs = f"Needs: {', '.join(card.needs)}." if card.needs else ""
    caution = f"Take care: {card.caution}" if card.caution else ""
    parts = [part for part in (f"Why: {card.why}", needs, caution, f"Source: {card.source}") if part]
    return {
        "id": card.id,
        "shortDescription": _text(card.summary),
        "fullDescription": _text(f"{card.summary} {parts[0]}"),
        "help": {**_text("\n".join(parts)), "markdown": "\n\n".join(_formatted(part) for part in parts)},
        "defaultConfiguration": {"level": card.level},
        "properties": {"tags": [card.family, *([card.guards] if card.guards else [])], "package": card.package},
    }


def _results(record: InspectionRecord, numbers: dict[str, int]) -> Iterator[Json]:
    for plan in record.plans:
        seen: Counter[tuple[str, str]] = Counter()
        for finding in sorted(plan.findings, key=lambda finding: finding.order):
            seen[finding.rule, finding.place] += 1
            yield _result(finding, seen[finding.rule, finding.place], numbers)


def _result(finding: Finding, occurrence: int, numbers: dict[str, int]) -> Json:
    failed = finding.outcome is Verdict.FAIL
    return {
        **_rule_of(finding.rule, numbers),
        "kind": finding.outcome,
        "level": finding.level if failed else "none",
        "message": _text(_message(finding)),
        "locations": [_location(finding.file, finding.line, finding.column, finding.place)],
        "partialFingerprints": {_FINGERPRINT: _fingerprint(finding.rule, finding.place, occurrence)},
        "suppressions": [_suppression(finding.conceded)] if finding.conceded else [],
        **({"fixes": [_fix(finding, finding.fix)]} if finding.fix else {}),
        "properties": {
            "family": finding.family,
            "guards": finding.guards,
            "measured": finding.measured,
            "allowed": finding.allowed,
            "missing": list(finding.missing),
            "remedy": finding.remedy,
            "caution": finding.caution,
            "sources": list(finding.sources),
        },
    }


def _fix(finding: Finding, fix: Replacement) -> Json:
    """The edit of the plan that a remedy carries, which was tried on the plan as it is."""
    region = {
        "startLine": fix.line,
        "startColumn": fix.column,
        "endLine": fix.end_line,
        "endColumn": fix.end_column,
    }
    replacement = {"deletedRegion": region, "insertedContent": {"text": fix.text}}
    return {
        **({"description": _text(finding.remedy)} if finding.remedy else {}),
        "artifactChanges": [{"artifactLocation": _artifact(finding.file), "replacements": [replacement]}],
    }


def _check(check: Check, file: str, numbers: dict[str, int]) -> Json:
    said = "This is right" if check.verdict is Verdict.PASS else "This does not apply here"
    return {
        **_rule_of(check.rule, numbers),
        "kind": _PASSED[check.verdict],
        "level": "none",
        "message": _text(f"{said}."),
        "analysisTarget": _artifact(file),
        "locations": [_named(check.place)],
        "suppressions": [],
    }


def _rule_of(rule: str, numbers: dict[str, int]) -> Json:
    return {"ruleId": rule, "ruleIndex": numbers[rule]} if rule in numbers else {"ruleId": rule}


def _message(finding: Finding) -> str:
    """What is wrong, what to do and what to take care of: review tools show nothing else of a result."""
    parts = [finding.message]
    if finding.remedy:
        parts.append(f"To do: {finding.remedy}")
    if finding.caution and finding.outcome is not Verdict.OPEN:
        parts.append(f"Take care: {finding.caution}")
    text = " ".join(part if part.endswith((".", "!", "?")) else f"{part}." for part in map(plain, parts))
    return text[:1].upper() + text[1:]


def _location(file: str, line: int, column: int, place: str = "") -> Json:
    physical: Json = {"artifactLocation": _artifact(file)}
    if line:
        physical["region"] = {"startLine": line, **({"startColumn": column} if column else {})}
    return {"physicalLocation": physical, **(_named(place) if place else {})}


def _named(place: str) -> Json:
    return {"logicalLocations": [{"name": place.rpartition(".")[2], "fullyQualifiedName": place}]}


def _artifact(file: str) -> Json:
    if file == _STANDARD_INPUT:
        return {"description": {"text": "Standard input."}}
    path = PurePath(os.path.normpath(file))
    if path.is_absolute():
        return {"uri": path.as_uri()}
    # Quoted as bytes: names of files need not be text.
    return {"uri": quote(os.fsencode(path.as_posix())), "uriBaseId": _ROOT}


def _fingerprint(rule: str, place: str, occurrence: int) -> str:
    """The same as long as rule and place stay, wherever the line moves to."""
    return hashlib.sha256("\0".join((rule, place, str(occurrence))).encode()).hexdigest()[:32]


def _suppression(leave: Concession) -> Json:
    justification = f"Agreed to by {leave.agreed_by} until {leave.until}: {leave.reason}"
    return {"kind": "external", "status": "accepted", "justification": plain(justification)}


def _notification(fault: Fault) -> Json:
    hint = f"; {fault.hint}" if fault.hint else ""
    return {
        "level": "error",
        "message": _text(f"{fault.message}{hint}"),
        "locations": [_location(fault.file, fault.line, fault.column)],
    }


def _text(text: str) -> Json:
    return {"text": _LINK.sub(r"\\[", "\n".join(map(plain, text.split("\n"))))}


def _formatted(text: str) -> str:
    return re.sub(r"([\\`*_\[\]<>|~#])", r"\\\1", plain(text))
