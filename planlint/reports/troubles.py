"""What stood in the way of an inspection: plans and records that cannot be read, and rules that broke down."""

from collections.abc import Iterator

from planlint.errors import Fault
from planlint.records import Crash, InspectionRecord, PlanRecord
from planlint.reports.page import plain


def troubles(record: InspectionRecord) -> list[Fault]:
    """All trouble of a run, sorted: the faults as they are, each broken-down rule as a fault of the whole plan."""
    of_plans = [fault for plan in record.plans for fault in (*plan.faults, *_broken(plan))]
    return sorted((*record.faults, *of_plans))


def _broken(plan: PlanRecord) -> Iterator[Fault]:
    """Each rule that broke down on a plan, once, however many things it broke down on."""
    by_rule: dict[str, list[Crash]] = {}
    for crash in plan.crashes:
        by_rule.setdefault(crash.rule, []).append(crash)
    for rule, (first, *others) in by_rule.items():
        more = f" and {len(others)} more" if others else ""
        message = f"the rule {rule} broke down at {first.place}{more}: {first.error}"
        yield Fault(plan.plan, 0, 0, message, f"this is a mistake in the package {first.package}, not in the plan")


def render(faults: list[Fault]) -> str:
    """Faults in the form of GNU error messages, each with its hint indented below."""
    return "".join(f"{_where(fault)}: {plain(fault.message)}\n{_hint(fault)}" for fault in faults)


def _where(fault: Fault) -> str:
    file = plain(fault.file)
    return f"{file}:{fault.line}:{fault.column}" if fault.line else file


def _hint(fault: Fault) -> str:
    return f"  {plain(fault.hint)}\n" if fault.hint else ""
