"""What is not recorded: place by place each missing key once, with the rules that wait for it."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from planlint.records import Finding, InspectionRecord, PlanRecord
from planlint.reports.page import Page, Tone, count, listing, named_file


@dataclass(frozen=True, slots=True)
class Format:
    """What the report must know of the plan format."""

    top_level: frozenset[str]
    """The keys that a plan begins with: a missing key that starts with one of them is read from there."""
    example: Callable[[str], str]
    """A value that a key may take, or an empty text where the keys of that name differ."""


def render(record: InspectionRecord, page: Page, form: Format) -> str:
    """The keys to add to every plan, in the order of the walk."""
    return "\n".join("\n\n".join(_plan(plan, page, form)) + "\n" for plan in record.plans)


def _plan(plan: PlanRecord, page: Page, form: Format) -> Iterator[str]:
    yield (page.tone(page.paragraph(plan.title), Tone.HEADING) + "\n" + page.paragraph(named_file(plan.plan)))
    places = _places(plan, form)
    if not places:
        yield page.paragraph("No check waits for a key that is not recorded.")
        return
    rules = {rule for _, waiting in places.values() for found in waiting.values() for rule in found}
    yield page.paragraph(
        f"{count(len(rules), 'rule waits', 'rules wait')} for what is not recorded. "
        "Each key belongs under the place above it, unless it begins with the name of another place; "
        "leave out what is truly not known."
    )
    for place, (line, waiting) in places.items():
        keys = (_key(key, rules, page, form) for key, rules in sorted(waiting.items()))
        yield "\n".join((page.tone(f"{place}, line {line}" if line else place, Tone.HEADING), *keys))


def _places(plan: PlanRecord, form: Format) -> dict[str, tuple[int, dict[str, list[str]]]]:
    """By place: its line, and the rules that wait for each key. What is read from the top comes first."""
    steps = {place: index for index, place in enumerate(plan.walk)}
    whole: dict[str, list[str]] = {}
    places: dict[str, tuple[int, dict[str, list[str]]]] = {"at the top of the plan": (0, whole)}
    for finding in sorted(plan.findings, key=lambda finding: (steps.get(finding.place, len(steps)), finding.order)):
        for key in _wanted(finding):
            waiting = whole
            if key.split(".")[0] not in form.top_level:
                _, waiting = places.setdefault(finding.place, (finding.line, {}))
            rules = waiting.setdefault(key, [])
            if finding.rule not in rules:
                rules.append(finding.rule)
    return {place: found for place, found in places.items() if found[1]}


def _wanted(finding: Finding) -> tuple[str, ...]:
    return () if finding.conceded else finding.missing


def _key(key: str, rules: list[str], page: Page, form: Format) -> str:
    example = form.example(key)
    wanted = page.paragraph(f"{key}, such as {example}" if example else key, 2)
    return f"{wanted}\n{page.tone(page.paragraph(listing(sorted(rules)), 6), Tone.QUIET)}"
