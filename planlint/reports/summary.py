"""How a text report ends: what was checked, what was not and why, in words that add up."""

from collections import Counter
from collections.abc import Iterator

from planlint.records import InspectionRecord, Level, PlanRecord, Verdict
from planlint.reports.page import Page, Tone, count, listing

_STANDING = (
    "planlint looks at what a plan records, as far as its rules go: not at gas, fire, what a wall can carry, or what "
    "nobody has measured. "
    "Its sums of condensation leave out rain, rising damp and air leaks. "
    "A check that passed says that the record fits the limits named above. "
    "Local code and licensed people decide what may be done and what may be covered up."
)


def checked(plan: PlanRecord, record: InspectionRecord, page: Page) -> str:
    """How many checks were made and how each kind of them came out; the parts add up to the whole."""
    total = sum(plan.tally.values())
    said = "; ".join(f"{number} {words}" for number, words in _outcomes(plan) if number)
    made = f"{count(plan.rules, 'rule')} made {count(total, 'check')}"
    lines = [f"On {record.today}, by the limits {listing(plan.limits)}. {made}{': ' + said if said else ''}."]
    if plan.overridden:
        lines.append(f"The plan sets limits of its own: {'; '.join(plan.overridden)}.")
    return _block("What was checked", lines, page)


def _outcomes(plan: PlanRecord) -> Iterator[tuple[int, str]]:
    tally = plan.tally
    levels = Counter(
        finding.level for finding in plan.findings if finding.outcome is Verdict.FAIL and not finding.conceded
    )
    grave = listing([count(levels[level], level) for level in Level if levels[level]]) if levels else ""
    yield tally.get(Verdict.PASS, 0), "passed"
    yield tally.get(Verdict.FAIL, 0), f"failed ({grave})"
    yield tally.get(Verdict.OPEN, 0), "open, since something is not recorded"
    yield tally.get(Verdict.REVIEW, 0), "for a person to look at"
    yield tally.get(Verdict.CONCEDED, 0), "conceded"
    yield tally.get(Verdict.NOT_APPLICABLE, 0), "did not apply to their thing"
    yield tally.get(Verdict.CRASHED, 0), "broke down"


def not_checked(plan: PlanRecord, record: InspectionRecord, page: Page) -> str:
    """What this run left out, and why."""
    return _block("What was not checked", list(_left_out(plan, record)) or ["Nothing that the rules cover."], page)


def _left_out(plan: PlanRecord, record: InspectionRecord) -> Iterator[str]:
    if record.narrowed:
        asked = listing([f"{name} {value}" for name, value in record.narrowed.items()])
        yield f"What lies outside of what was asked for: {asked}."
    if number := plan.tally.get(Verdict.OPEN, 0):
        yield (
            f"{count(number, 'check is', 'checks are')} open until what they need is recorded; "
            "`planlint inspect --list-missing` lists every key to add."
        )
    if plan.crashes:
        rules = listing(sorted({crash.rule for crash in plan.crashes}))
        yield f"{count(len(plan.crashes), 'check')} broke down, by a mistake of the rule and not of the plan: {rules}."
    if not plan.rules:
        yield "Anything: planlint has no rule yet for what was asked for."
    if plan.nothing_to_judge and record.narrowed:
        yield f"{count(len(plan.nothing_to_judge), 'rule')} found nothing to judge in what was asked for."
    elif plan.nothing_to_judge:
        yield (
            f"{count(len(plan.nothing_to_judge), 'rule')} found nothing in the plan to judge: "
            f"{listing(plan.nothing_to_judge)}."
        )


def standing(record: InspectionRecord, page: Page) -> str:
    """What holds for every run, and which plans could not be read in this one."""
    faults = (*record.faults, *(fault for plan in record.plans for fault in plan.faults))
    unread = list(dict.fromkeys(fault.file for fault in faults))
    lines = (
        [f"Not looked at, since planlint could not read it, or not find in it what was asked for: {listing(unread)}."]
        if unread
        else []
    )
    return "\n\n".join(page.paragraph(line) for line in (*lines, _STANDING))


def _block(heading: str, lines: list[str], page: Page) -> str:
    return "\n".join((page.tone(heading, Tone.HEADING), *(page.paragraph(line, 2, "  ") for line in lines)))
