import re
from collections.abc import Callable
from dataclasses import replace

from planlint.records import InspectionRecord
from planlint.reports import lines

# GNU Coding Standards, "Formatting Error Messages": file:line:column: message.
GNU = re.compile(r"[^:\n]+:\d+:\d+: (error|warning|note): .+ \[[a-z-]+\]")


def test_lines(run: InspectionRecord, golden: Callable[[str, str], None]) -> None:
    golden("lines.txt", lines.render(run))


def test_one_line_a_finding_in_the_gnu_form(run: InspectionRecord) -> None:
    plan = run.plans[0]
    broken = replace(plan.findings[0], message="two\nlines")
    report = lines.render(replace(run, plans=(replace(plan, findings=(*plan.findings, broken)),)))
    assert len(report.splitlines()) == len(plan.findings) + 1
    assert all(GNU.fullmatch(line) for line in report.splitlines())
