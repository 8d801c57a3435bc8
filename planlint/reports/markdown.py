"""The report as a comment under a change: counts first, then a table a room, what is open and what passed folded away.

A comment holds so many characters and no more, so what is worst is written first, and what had no room is counted.
"""

import re
from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field

from planlint.entries import Entry, stops
from planlint.errors import Fault
from planlint.records import Finding, InspectionRecord, Level, PlanRecord, Verdict
from planlint.reports import hold
from planlint.reports.page import Page, count, listing, plain
from planlint.reports.summary import checked, not_checked, standing
from planlint.reports.troubles import troubles

LIMIT = 65_536
"""Characters that a comment may have on the sites that host reviews."""
_RESERVE = 1_000
"""Room kept for the sentences about what was left out."""

_UNWRAPPED = Page(width=1_000_000)
_CELL = 1_000
"""Characters of the longest text that a cell shows."""

_SUMMARY, _FAULT, _CAUTION, _FOUND, _REVIEW, _CHECKED, _OPEN, _LEAVE, _PASSED = 0, 1, 2, 3, 6, 7, 8, 9, 10
"""In which order rows get room; `_FOUND` is that of errors, and warnings and notes follow it."""
_NAMED = {
    _SUMMARY: ("row of the summary", "rows of the summary"),
    _FAULT: ("trouble",),
    _CAUTION: ("caution",),
    _FOUND: ("error",),
    _FOUND + 1: ("warning",),
    _FOUND + 2: ("note",),
    _REVIEW: ("thing to look at", "things to look at"),
    _CHECKED: ("account of what was checked and what was not", "accounts of what was checked and what was not"),
    _OPEN: ("thing that is not recorded", "things that are not recorded"),
    _LEAVE: ("conceded finding",),
    _PASSED: ("rule that passed", "rules that passed"),
}


@dataclass(frozen=True, slots=True)
class _Row:
    """One row of a table, and how soon it gets room."""

    turn: int
    text: str


@dataclass(frozen=True, slots=True)
class _Part:
    """Rows with what stands before and after them; it is written where at least one of them has room."""

    before: str
    rows: list[_Row] = field(default_factory=list)
    after: str = ""
    under: "_Part | None" = None
    """The heading of its plan, which is written once something below it is."""


def render(record: InspectionRecord) -> str:
    """The whole run as GitHub-flavoured markdown of at most `LIMIT` characters. Wants the checks to be kept."""
    head, tail = f"# planlint: {_headline(record)}\n\n", f"{_escape(_standing(record))}\n"
    parts = list(_parts(record))
    kept, left_out = _fitting(parts, LIMIT - _RESERVE - len(head) - len(tail))
    if left_out:
        told = listing([count(left_out[turn], *_NAMED[turn]) for turn in sorted(left_out)])
        tail = (
            f"A comment holds {LIMIT:,} characters at most. Left out here: {told}. "
            f"`planlint inspect` says all of it.\n\n{tail}"
        )
    return head + "".join(_written(part, kept) for part in parts if id(part) in kept) + tail


def _standing(record: InspectionRecord) -> str:
    """What holds for every run; which plans could not be read has a table of its own."""
    return standing(record, _UNWRAPPED).split("\n\n")[-1]


def _written(part: _Part, kept: set[int]) -> str:
    return f"{part.before}{''.join(row.text for row in part.rows if id(row) in kept)}{part.after}\n"


def _fitting(parts: list[_Part], room: int) -> tuple[set[int], Counter[int]]:
    """The rows that have room, the worst first, and their parts, by identity; and how many of each kind have none."""
    kept: set[int] = set()
    left_out: Counter[int] = Counter()
    waiting = [(row, part) for part in parts for row in part.rows]
    for row, part in sorted(waiting, key=lambda one: one[0].turn):
        begun = [one for one in (part, part.under) if one and id(one) not in kept]
        wanted = len(row.text) + sum(len(one.before) + len(one.after) + 1 for one in begun)
        # What is less bad never takes the room that something worse did not find.
        if wanted > room or left_out:
            left_out[row.turn] += 1
            continue
        room -= wanted
        kept.update(map(id, (row, *begun)))
    return kept, left_out


def _parts(record: InspectionRecord) -> Iterator[_Part]:
    heads = ("Plan", "Errors", "Warnings", "Notes", "To look at", "Not recorded", "Conceded", "Passed")
    rows = [_Row(_SUMMARY, _cells(_counts(plan))) for plan in record.plans]
    yield _table("", heads, rows, numbers=len(heads) - 1)
    faults = [_Row(_FAULT, _cells((_fault_at(one), one.message, one.hint))) for one in troubles(record)]
    yield _table("## What could not be read or checked\n\n", ("Where", "What", "What to do"), faults)
    for plan in record.plans:
        yield from _plan(plan, record)
    cautions = dict.fromkeys(one.caution for plan in record.plans for one in plan.findings if _is_told(one))
    yield _Part("## Take care\n\n", [_Row(_CAUTION, f"- {_escape(caution)}\n") for caution in cautions if caution])


def _headline(record: InspectionRecord) -> str:
    failed = Counter(one.level for plan in record.plans for one in plan.findings if _is_fail(one))
    said = [count(failed[level], level) for level in Level if failed[level]]
    if number := sum(plan.tally.get(Verdict.OPEN, 0) for plan in record.plans):
        said.append(f"{number} not recorded")
    if number := sum(plan.tally.get(Verdict.REVIEW, 0) for plan in record.plans):
        said.append(f"{number} to look at")
    if number := len(troubles(record)):
        said.append(count(number, "trouble"))
    return listing(said) if said else "nothing found in what was checked"


def _counts(plan: PlanRecord) -> Iterator[str]:
    failed = Counter(finding.level for finding in plan.findings if _is_fail(finding))
    yield f"{plan.title} ({_named(plan)})"
    yield from (str(failed[level]) for level in Level)
    for verdict in (Verdict.REVIEW, Verdict.OPEN, Verdict.CONCEDED, Verdict.PASS):
        yield str(plan.tally.get(verdict, 0))


def _plan(plan: PlanRecord, record: InspectionRecord) -> Iterator[_Part]:
    entries = [entry for stop in stops(plan) for entry in stop.entries]
    answer = f"\n**{_escape(hold.answer(plan, entries, _UNWRAPPED))}**\n" if plan.hold else ""
    heading = _Part(f"## {_escape(plan.title)}\n\nFile: {_escape(_named(plan))}\n{answer}")
    yield heading
    told = [entry for entry in entries if _is_told(entry.lead)]
    heads: tuple[str, ...] = ("", "Where", "Line", "What", "What to do", "Rule")
    for room in dict.fromkeys(map(_room, told)):
        there = sorted((entry for entry in told if _room(entry) == room), key=lambda entry: entry.rank)
        rows = [_Row(_FOUND + entry.rank, _cells(_found(entry.lead))) for entry in there]
        yield _table(f"### {'The whole plan' if room == 'plan' else _escape(room)}\n\n", heads, rows, under=heading)
    rows = [_Row(_OPEN, _cells(_open(entry))) for entry in entries if entry.is_open]
    heads = ("Where", "Line", "What", "Add", "Rules that wait for it")
    things = f"{count(len(rows), 'thing')} for {count(plan.tally.get(Verdict.OPEN, 0), 'check')}"
    yield _folded(f"Not recorded: {things}", heads, rows, heading)
    rows = [_Row(_LEAVE, _cells(_conceded(entry.lead))) for entry in entries if entry.lead.conceded]
    heads = ("Where", "Line", "What", "Agreed to by", "Until", "Reason", "Rule")
    yield _folded(f"Conceded: {len(rows)}", heads, rows, heading)
    rows = list(_passed(plan))
    heads = ("Rule", "Passed", "Did not apply")
    yield _folded(f"Rules that passed: {len(rows)}", heads, rows, heading, numbers=2)
    ends = (checked(plan, record, _UNWRAPPED), not_checked(plan, record, _UNWRAPPED))
    yield _Part("", [_Row(_CHECKED, "\n".join(map(_end, ends)))], under=heading)


def _room(entry: Entry) -> str:
    return entry.lead.place.partition(".")[0]


def _found(finding: Finding) -> tuple[str, ...]:
    word = finding.level.capitalize() if finding.outcome is Verdict.FAIL else "Have a look"
    return (
        word,
        finding.place,
        str(finding.line),
        _sentence(finding.message),
        _sentence(finding.remedy or ""),
        finding.rule,
    )


def _open(entry: Entry) -> tuple[str, ...]:
    lead, rules = entry.lead, sorted({finding.rule for finding in entry.findings})
    wanted = (finding.message.removeprefix("not recorded: ").partition(" (add ")[0] for finding in entry.findings)
    return lead.place, str(lead.line), _sentence(min(wanted, key=len)), ", ".join(lead.missing), ", ".join(rules)


def _conceded(finding: Finding) -> tuple[str, ...]:
    leave = finding.conceded
    assert leave is not None  # noqa: S101 - told apart by the caller; this tells the type checker
    said = _sentence(finding.message)
    return finding.place, str(finding.line), said, leave.agreed_by, leave.until, leave.reason, finding.rule


def _passed(plan: PlanRecord) -> Iterator[_Row]:
    tallies = Counter((check.rule, check.verdict) for check in plan.checks)
    for rule in dict.fromkeys(check.rule for check in plan.checks):
        if passed := tallies[rule, Verdict.PASS]:
            yield _Row(_PASSED, _cells((rule, str(passed), str(tallies[rule, Verdict.NOT_APPLICABLE]))))


def _is_fail(finding: Finding) -> bool:
    return finding.outcome is Verdict.FAIL and not finding.conceded


def _is_told(finding: Finding) -> bool:
    """Whether it is in the tables that are not folded away: what fails, and what a person has to look at."""
    return finding.outcome is not Verdict.OPEN and not finding.conceded


def _named(plan: PlanRecord) -> str:
    return "from standard input" if plan.plan == "-" else plan.plan


def _fault_at(fault: Fault) -> str:
    return f"{fault.file}, line {fault.line}" if fault.line else fault.file


def _end(text: str) -> str:
    heading, *lines = text.split("\n")
    return f"**{heading}**\n" + "".join(f"\n{_escape(one)}\n" for one in lines)


def _folded(title: str, heads: tuple[str, ...], rows: list[_Row], under: _Part, numbers: int = 0) -> _Part:
    # An HTML block ends at an empty line, so the table between its tags is read as one.
    fold = f"<details>\n<summary>{title}</summary>\n\n"
    return _table(fold, heads, rows, numbers=numbers, after="\n</details>\n", under=under)


def _table(  # noqa: PLR0913 - what a table is made of
    before: str,
    heads: tuple[str, ...],
    rows: list[_Row],
    *,
    numbers: int = 0,
    after: str = "",
    under: _Part | None = None,
) -> _Part:
    """A table whose last columns, `numbers` of them, are figures."""
    ruled = ["---"] * (len(heads) - numbers) + ["--:"] * numbers
    head = f"| {' | '.join(heads)} |\n| {' | '.join(ruled)} |\n"
    return _Part(f"{before}{head}", rows, after, under)


def _cells(texts: Iterable[str]) -> str:
    shortened = (text if len(text) <= _CELL else f"{text[:_CELL]}…" for text in texts)
    return f"| {' | '.join(map(_escape, shortened))} |\n"


def _sentence(text: str) -> str:
    text = plain(text)
    return f"{text[:1].upper()}{text[1:]}"


_MARKS = re.compile(r"([\\`*_\[\]~])|([<>&|$])|(@|#|!(?=\d)|:(?=//)|www(?=\.))")


def _escape(text: str) -> str:
    """`text` as nothing but text: no mark-up, no cell's end, no link, and nobody and no issue that it calls upon."""
    return _MARKS.sub(_escaped, plain(text))


def _escaped(found: re.Match[str]) -> str:
    mark, special, calling = found.groups()
    if mark:
        return f"\\{mark}"
    # A pipe ends a cell whatever stands before it, so it is written as a reference. An empty comment between
    # `@` and a name, or inside an address, is what keeps the hosting site from making a link of it.
    return f"&#{ord(special)};" if special else f"{calling}<!-- -->"
