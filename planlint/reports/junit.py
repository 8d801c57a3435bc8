"""The report for what reads test results: JUnit XML, one suite a plan and one case a check.

Readers agree on little beside `failure` and `skipped`, so nothing else is said of a case: what fails is a failure,
and what neither passed nor failed is skipped, with the reason; to call it passed would be wrong.
"""

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import groupby
from xml.sax.saxutils import escape, quoteattr

from planlint.errors import Fault
from planlint.records import Check, Crash, Finding, InspectionRecord, PlanRecord, Verdict
from planlint.reports import troubles
from planlint.reports.page import Page, plain
from planlint.reports.summary import checked, not_checked, standing

_FAILED = (Verdict.FAIL, Verdict.CRASHED)
_UNWRAPPED = Page(width=1_000_000)


@dataclass(frozen=True, slots=True)
class _Suite:
    name: str
    cases: list[str]
    failures: int
    skipped: int
    said: str = ""


def render(record: InspectionRecord) -> str:
    """Every check of every plan, and a failing case for all that could not be read. Wants the checks to be kept."""
    suites = [_plan(plan, record) for plan in record.plans]
    faults = sorted((*record.faults, *(fault for plan in record.plans for fault in plan.faults)))
    suites += [_unread(file, list(group)) for file, group in groupby(faults, key=lambda fault: fault.file)]
    tests, failures = sum(len(suite.cases) for suite in suites), sum(suite.failures for suite in suites)
    lines = ['<?xml version="1.0" encoding="UTF-8"?>']
    lines.append(f'<testsuites name="planlint" tests="{tests}" failures="{failures}" errors="0">')
    for suite in suites:
        lines += _suite(suite)
    return "\n".join((*lines, "</testsuites>", ""))


def _suite(suite: _Suite) -> Iterator[str]:
    counts = f'tests="{len(suite.cases)}" failures="{suite.failures}" errors="0" skipped="{suite.skipped}"'
    yield f"<testsuite name={_attribute(suite.name)} {counts}>"
    yield from suite.cases
    if suite.said:
        yield f"<system-out>{escape(suite.said)}</system-out>"
    yield "</testsuite>"


def _plan(plan: PlanRecord, record: InspectionRecord) -> _Suite:
    verdicts = [check.verdict for check in plan.checks]
    failures = sum(verdict in _FAILED for verdict in verdicts)
    said = (checked(plan, record, _UNWRAPPED), not_checked(plan, record, _UNWRAPPED), standing(record, _UNWRAPPED))
    return _Suite(
        plan.plan,
        list(_cases(plan)),
        failures,
        len(verdicts) - failures - verdicts.count(Verdict.PASS),
        "\n".join((plain(plan.title), *said)),
    )


def _cases(plan: PlanRecord) -> Iterator[str]:
    # Some readers keep one case for each pair of class and name, so the two together are unique in a run.
    seen: Counter[str] = Counter()
    for check in plan.checks:
        name = f"{check.rule} at {check.place}"
        seen[name] += 1
        yield _case(plan.plan, name if seen[name] == 1 else f"{name} ({seen[name]})", _outcome(check))


def _case(file: str, name: str, outcome: str) -> str:
    case = f"<testcase classname={_attribute(file)} name={_attribute(name)}"
    return f"{case}>{outcome}</testcase>" if outcome else f"{case}/>"


def _outcome(check: Check) -> str:
    match check.found:
        case Finding() as finding if finding.outcome is Verdict.FAIL and not finding.conceded:
            return _failure(finding.level, finding.message, "\n".join(_told(finding)))
        case Finding() as finding:
            return f"<skipped message={_attribute(_reason(finding))}/>"
        case Crash() as crash:
            said = f"this is a mistake in the package {crash.package}, not in the plan"
            return _failure("crashed", f"the rule broke down: {crash.error}", plain(said))
    return '<skipped message="does not apply here"/>' if check.verdict is Verdict.NOT_APPLICABLE else ""


def _reason(finding: Finding) -> str:
    if finding.conceded:
        leave = finding.conceded
        return f"conceded by {leave.agreed_by} until {leave.until}: {finding.message}"
    return f"a person has to look: {finding.message}" if finding.outcome is Verdict.REVIEW else finding.message


def _told(finding: Finding) -> Iterator[str]:
    yield plain(f"{finding.file}:{finding.line}:{finding.column}: {finding.message}")
    if finding.remedy:
        yield f"To do: {plain(finding.remedy)}"
    if finding.caution:
        yield f"Take care: {plain(finding.caution)}"


def _unread(file: str, faults: list[Fault]) -> _Suite:
    # Without a case of its own a plan that cannot be read would look as if nothing were wrong with it.
    text = troubles.render(faults).rstrip("\n")
    return _Suite(file, [_case(file, "can be read", _failure("fault", faults[0].message, text))], 1, 0)


def _failure(kind: str, message: str, text: str) -> str:
    return f"<failure type={_attribute(kind)} message={_attribute(message)}>{escape(text)}</failure>"


def _attribute(text: str) -> str:
    # XML has no way at all to write most control characters; `plain`, through which every text goes, replaces them.
    return quoteattr(plain(text))
