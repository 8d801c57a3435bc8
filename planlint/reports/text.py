"""The report for people: a numbered list to walk the rooms with, then what was checked and what was not."""

from collections.abc import Iterator

from planlint.entries import Entry, Stop, stops
from planlint.records import Finding, InspectionRecord, Passing, PlanRecord
from planlint.reports import hold
from planlint.reports.page import Page, Tone, count, listing, named_file
from planlint.reports.summary import checked, not_checked, standing
from planlint.reports.wording import below, in_rows, message, sentence, word

_INDENT = 6


def render(record: InspectionRecord, page: Page) -> str:
    """The list of every plan with its summary, and at the end what planlint never looks at."""
    if not record.plans:
        return ""
    parts = ["\n\n".join(_plan(plan, record, page)) for plan in record.plans]
    return "\n\n\n".join((*parts, standing(record, page))) + "\n"


def _plan(plan: PlanRecord, record: InspectionRecord, page: Page) -> Iterator[str]:
    walk = list(stops(plan))
    if plan.hold:
        yield hold.answer(plan, [entry for stop in walk for entry in stop.entries], page)
    yield (page.tone(page.paragraph(plan.title), Tone.HEADING) + "\n" + page.paragraph(named_file(plan.plan)))
    cautions: dict[str, list[int]] = {}
    numbered: list[tuple[int, Entry]] = []
    for stop in walk:
        items = [page.tone(page.paragraph(stop.place.replace(".", ", ")), Tone.HEADING)]
        for entry in stop.entries:
            if entry.lead.conceded:
                items.append(_conceded(entry.lead, stop, page))
                continue
            number = len(numbered) + 1
            numbered.append((number, entry))
            items.append(_item(number, entry, stop, page))
            if entry.lead.caution and not entry.is_open:
                cautions.setdefault(entry.lead.caution, []).append(number)
        yield "\n".join(items)
    if not plan.rules:
        yield page.paragraph("Nothing was checked: planlint has no rule yet for what was asked for.")
    elif not numbered:
        yield page.paragraph("There is nothing to put right or to add in what was checked.")
    if plan.hold and plan.hold.state is Passing.HOLD and numbered:
        yield hold.next_steps(numbered, plan.hold, page)
    if cautions:
        lines = [page.paragraph(f"{caution} ({_items(numbers)})", 2) for caution, numbers in cautions.items()]
        yield "\n".join((page.tone("Take care", Tone.HEADING), *lines))
    yield checked(plan, record, page)
    yield not_checked(plan, record, page)


def _item(number: int, entry: Entry, stop: Stop, page: Page) -> str:
    finding = entry.lead
    grave = word(entry)
    lines = [
        page.paragraph(
            f"{grave}{_at(finding, stop)}: {sentence(message(entry))}", _INDENT, f"{number}.".rjust(4).ljust(_INDENT)
        )
    ]
    if grave == "Error":
        lines = [page.tone(lines[0], Tone.GRAVE, grave)]
    if finding.remedy:
        lines.append(page.paragraph(f"To do: {sentence(finding.remedy)}", _INDENT))
    rules = listing(sorted({finding.rule for finding in entry.findings}))
    waiting = f"{count(len(entry.findings), 'rule waits', 'rules wait')} for it: " if entry.is_open else ""
    offer = "; `planlint mend` tries an edit" if finding.edits else ""
    lines.append(page.tone(page.paragraph(f"Line {finding.line}; {waiting}{rules}{offer}", _INDENT), Tone.QUIET))
    return "\n".join(lines)


def _conceded(finding: Finding, stop: Stop, page: Page) -> str:
    leave = finding.conceded
    assert leave is not None  # noqa: S101 - told apart by the caller; this tells the type checker
    text = (
        f"Conceded{_at(finding, stop)}: {sentence(finding.message)} "
        f"Agreed to by {leave.agreed_by} until {leave.until}: {sentence(leave.reason)} "
        f"Line {finding.line}; {finding.rule}"
    )
    return page.tone(page.paragraph(text, _INDENT), Tone.QUIET)


def _at(finding: Finding, stop: Stop) -> str:
    place = below(finding, stop.place)
    return f" at {place}" if place else ""


def _items(numbers: list[int]) -> str:
    return f"{'item' if len(numbers) == 1 else 'items'} {in_rows(numbers)}"
