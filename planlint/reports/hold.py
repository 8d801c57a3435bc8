"""The answer to who stands with the board in hand: hold, or may be released, why, and what to do next."""

from collections.abc import Mapping
from typing import Any

from planlint.records import Finding, HoldState, Passing, PlanRecord
from planlint.reports.entries import Entry
from planlint.reports.page import Page, Tone, count, listing

_LEAVE = (
    "The release says that the record fits the limits it was judged by, and that the person named has looked. Where "
    "an inspector or a licensed person has to see the work before it is covered, it waits for them."
)

_SEQUENCE = ("hazards", "order", "moisture", "condensation", "windows", "circuits", "boxes", "heights", "handling")
"""In which order one sees to things: what may hurt or is wet first, then what is behind the boards, then these."""


def answer(plan: PlanRecord, entries: list[Entry], page: Page) -> str:
    """The first line: whether the hold point may be passed, and what is the first thing in the way."""
    hold = plan.hold
    assert hold is not None  # noqa: S101 - told apart by the caller; this tells the type checker
    step = f"{hold.hold_point} of {'all of the plan' if hold.place == 'plan' else hold.place}"
    if hold.state is Passing.RELEASED:
        return page.tone(page.paragraph(f"Released: {step}, on {hold.released} by {hold.released_by}."), Tone.HEADING)
    if hold.state is Passing.MAY_BE_RELEASED:
        return page.tone(page.paragraph(f"May be released: {step}.{_earlier(hold)}"), Tone.HEADING)
    inway = in_order(entries, hold)
    why = _first(inway[0]) if inway else "a check broke down, or nothing was checked"
    more = f" and {count(len(inway) - 1, 'thing')} more" if len(inway) > 1 else ""
    return page.tone(page.paragraph(f"Hold: {step}: {why}{more}.{_earlier(hold)}"), Tone.GRAVE)


def recorded(entry: Mapping[str, Any], file: str | None, page: Page) -> str:
    """What was written to a release record, or would be."""
    done = "Released" if entry["entry"] == "released" else "Withdrawn"
    if file is None:
        done = f"Would be {done.lower()}"
    lines = [f"{done}: {entry['hold_point']} of {entry['place']}, on {entry['date']} by {entry['by']}."]
    if conceded := entry.get("conceded"):
        named = listing([f"{one['rule']} at {one['place']}" for one in conceded])
        lines.append(f"{count(len(conceded), 'finding')} conceded: {named}.")
    lines.append(f"Recorded in {file}." if file else "This was a trial: nothing was written.")
    if entry["entry"] == "released":
        lines.append(_LEAVE)
    return "\n".join(page.paragraph(line) for line in lines) + "\n"


def next_steps(numbered: list[tuple[int, Entry]], hold: HoldState, page: Page) -> str:
    """What to do and to record before the hold point, in the order in which to do it."""
    numbers = {id(entry): number for number, entry in numbered}
    ordered = in_order([entry for _, entry in numbered], hold)
    lines = [page.paragraph(f"{_to_do(entry)} (item {numbers[id(entry)]})", 4, "  - ") for entry in ordered]
    return "\n".join((page.tone("What to do next, in this order", Tone.HEADING), *lines))


def in_order(entries: list[Entry], hold: HoldState) -> list[Entry]:
    """What stands in the way of a hold point, in the order in which one sees to it."""
    inway = [entry for entry in entries if any(_blocks(finding, hold) for finding in entry.findings)]
    return sorted(inway, key=lambda entry: (_place_of(entry.lead), entry.rank))


def _blocks(finding: Finding, hold: HoldState) -> bool:
    return finding.guards is hold.hold_point and not finding.conceded


def _place_of(finding: Finding) -> int:
    return _SEQUENCE.index(finding.family) if finding.family in _SEQUENCE else len(_SEQUENCE)


def _first(entry: Entry) -> str:
    return f"{entry.lead.place}: {entry.lead.message.rstrip('.')}"


def _to_do(entry: Entry) -> str:
    if entry.is_open and entry.lead.missing:
        return f"Record {listing(entry.lead.missing)} of {entry.lead.place}."
    text = entry.lead.remedy or entry.lead.message
    return f"{text[:1].upper()}{text[1:].rstrip('.')}."


def _earlier(hold: HoldState) -> str:
    if hold.released and hold.overtaken:
        return f" The release of {hold.released} by {hold.released_by} is overtaken."
    return ""
