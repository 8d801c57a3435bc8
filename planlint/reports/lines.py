"""One line per finding, in the form of GNU error messages, which editors parse."""

from planlint.records import Finding, InspectionRecord
from planlint.reports.page import plain


def render(record: InspectionRecord) -> str:
    """`file:line:column: level: message [rule]` for every finding of every plan."""
    return "".join(f"{_line(finding)}\n" for plan in record.plans for finding in plan.findings)


def _line(finding: Finding) -> str:
    level, message = str(finding.level), finding.message
    if leave := finding.conceded:
        level, message = "note", f"conceded by {leave.agreed_by} until {leave.until}: {message}"
    return plain(f"{finding.file}:{finding.line}:{finding.column}: {level}: {message} [{finding.rule}]")
