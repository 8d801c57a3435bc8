"""What was mended in a plan, and what was not: a diff for programs and reviewers, and a list for people."""

import difflib
import re
from collections.abc import Iterator

from planlint.records import Finding, MendRecord, Verdict
from planlint.reports.page import Page, Tone, count, plain

_LINES = re.compile(r"[^\n]*\n|[^\n]+")
_INDENT = 6


def diff(plan: str, before: str, after: str) -> str:
    """The difference between two texts in unified form; each line keeps the line break that it has."""
    name = plain(plan)
    lines = difflib.unified_diff(_LINES.findall(before), _LINES.findall(after), name, name)
    return "".join(line if line.endswith("\n") else f"{line}\n\\ No newline at end of file\n" for line in lines)


def render(record: MendRecord, page: Page, *, written: bool) -> str:
    """What the edits put right, what was left alone and why, and what remains."""
    return "\n\n".join(_parts(record, page, written=written)) + "\n"


def _parts(record: MendRecord, page: Page, *, written: bool) -> Iterator[str]:
    yield (
        page.tone(page.paragraph(record.title), Tone.HEADING)
        + "\n"
        + page.paragraph(record.plan if record.plan != "-" else "from standard input")
    )
    if record.mended:
        heading = "Written into the plan" if written else "What these edits put right"
        items = [_item(f"{number}.", finding, page) for number, finding in enumerate(record.mended, 1)]
        yield "\n".join((page.tone(heading, Tone.HEADING), *items))
    else:
        yield page.paragraph("There is nothing that planlint can mend here.")
    if record.left:
        items = [f"{_item('-', one.finding, page)}\n{_why(one.why, page)}" for one in record.left]
        yield "\n".join((page.tone("Left alone", Tone.HEADING), *items))
    cautions = dict.fromkeys(finding.caution for finding in record.mended if finding.caution)
    if cautions:
        lines = (page.paragraph(caution, 2) for caution in cautions)
        yield "\n".join((page.tone("Take care", Tone.HEADING), *lines))
    yield page.paragraph(" ".join(_standing(record, written=written)))


def _item(mark: str, finding: Finding, page: Page) -> str:
    first = f"  {mark}".ljust(_INDENT)
    return page.paragraph(f"{finding.place}: {finding.message} ({finding.rule})", _INDENT, first)


def _why(why: str, page: Page) -> str:
    return page.tone(page.paragraph(f"Not written, since {why}.", _INDENT), Tone.QUIET)


def _standing(record: MendRecord, *, written: bool) -> Iterator[str]:
    if record.is_cut_short:
        yield "More edits could be tried than one run tries; run it again."
    if record.mended:
        tense = "changes" if not written else "changed"
        yield f"An edit {tense} what is planned, and nothing on the wall: do as the plan now says."
        if not written:
            yield "Nothing is written yet; --write does it."
    remain = {verdict: record.tally.get(verdict, 0) for verdict in (Verdict.FAIL, Verdict.OPEN, Verdict.REVIEW)}
    if any(remain.values()):
        after = "after that " if record.mended and not written else ""
        failed = count(remain[Verdict.FAIL], "check fails", "checks fail")
        opened = count(remain[Verdict.OPEN], "is open", "are open")
        looked = count(remain[Verdict.REVIEW], "waits", "wait")
        yield f"What remains {after}is for people: {failed}, {opened}, {looked} for a person to look."
        yield "`planlint inspect` lists them."
