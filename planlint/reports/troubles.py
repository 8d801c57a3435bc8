"""What stood in the way of an inspection: plans that cannot be read, and rules that broke down."""

from planlint.errors import Fault
from planlint.records import InspectionRecord
from planlint.reports.page import plain


def troubles(record: InspectionRecord) -> list[Fault]:
    """All trouble of a run, sorted: the faults as they are, each broken-down rule as a fault of the whole plan."""
    crashes = (
        Fault(
            plan.plan,
            0,
            0,
            f"the rule {crash.rule} broke down at {crash.place}: {crash.error}",
            f"this is a mistake in the package {crash.package}, not in the plan",
        )
        for plan in record.plans
        for crash in plan.crashes
    )
    return sorted((*record.faults, *crashes))


def render(faults: list[Fault]) -> str:
    """Faults in the form of GNU error messages, each with its hint indented below."""
    return "".join(f"{_where(fault)}: {plain(fault.message)}\n{_hint(fault)}" for fault in faults)


def _where(fault: Fault) -> str:
    file = plain(fault.file)
    return f"{file}:{fault.line}:{fault.column}" if fault.line else file


def _hint(fault: Fault) -> str:
    return f"  {plain(fault.hint)}\n" if fault.hint else ""
