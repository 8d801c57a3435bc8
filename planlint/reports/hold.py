"""The answer to who stands with the board in hand: hold, or may be released, why, and what to do next."""

from collections.abc import Iterator, Mapping
from typing import Any, Final

from planlint.entries import Entry
from planlint.records import Finding, HoldState, Passing, PlanRecord, Release
from planlint.reports.page import Page, Tone, count, listing

_LEAVE: Final = (
    "The release says that the record fits the limits it was judged by, and that the person named has looked. Where "
    "an inspector or a licensed person has to see the work before it is covered, it waits for them."
)

STATES: Final = {
    Passing.HOLD: "Hold",
    Passing.MAY_BE_RELEASED: "May be released",
    Passing.RELEASED: "Released",
}

_SEQUENCE: Final = (
    "hazards",
    "order",
    "moisture",
    "condensation",
    "windows",
    "circuits",
    "boxes",
    "heights",
    "handling",
)
"""In which order one sees to things: what may hurt or is wet first, then what is behind the boards, then these."""


def answer(plan: PlanRecord, entries: list[Entry], page: Page) -> str:
    """The first lines: whether the hold point may be passed, and what is the first thing in the way."""
    hold = plan.hold
    assert hold is not None  # noqa: S101 - told apart by the caller; this tells the type checker
    lines = [f"{STATES[hold.state]}: {hold.hold_point} of {spoken(hold.place)}{how(hold)}."]
    if hold.state is Passing.HOLD:
        lines += _why(in_order(entries, hold), hold)
    if hold.release and hold.state is not Passing.RELEASED:
        lines.append(_no_longer(hold.release, hold))
    if plan.faults:
        lines.append("Whether it was released before cannot be told: its release record cannot be used.")
    tone = Tone.GRAVE if hold.state is Passing.HOLD else Tone.HEADING
    return page.tone(page.paragraph(" ".join(lines)), tone)


def how(hold: HoldState) -> str:
    """By whom it was released, and with what it goes."""
    if hold.state is not Passing.RELEASED or hold.release is None:
        return ""
    larger = f", with {spoken(hold.release.place)}" if hold.release.place != hold.place else ""
    return f"{larger}, on {hold.release.date} by {hold.release.by}"


def _why(inway: list[Entry], hold: HoldState) -> Iterator[str]:
    if inway:
        first = inway[0].lead
        yield f"At {first.place}: {first.message.rstrip('.')}."
    elif hold.in_the_way:
        yield "A rule broke down, so that nobody knows."
    else:
        yield "Nothing was checked: no rule guards it there, so there is nothing to release."
    if len(inway) > 1:
        yield f"{count(len(inway) - 1, 'more thing is', 'more things are')} in the way."


def _no_longer(release: Release, hold: HoldState) -> str:
    said = given(release, hold)
    if release.overtaken:
        return f"T{said[1:]} does not count any more: what it rests on has changed since."
    return f"T{said[1:]} was given before this came up."


def given(release: Release, hold: HoldState) -> str:
    """A release that no longer opens the way to a hold point, in words."""
    of = f" of {spoken(release.place)}" if release.place != hold.place else ""
    return f"the release{of} on {release.date} by {release.by}"


def spoken(place: str) -> str:
    """A place as one says it."""
    return "all of the plan" if place == "plan" else place


def recorded(entry: Mapping[str, Any], file: str | None, page: Page) -> str:
    """What was written to a release record, or would be."""
    done = "Released" if entry["entry"] == "released" else "Withdrawn"
    if file is None:
        done = f"Would be {done.lower()}"
    lines = [f"{done}: {entry['hold_point']} of {spoken(entry['place'])}, on {entry['date']} by {entry['by']}."]
    if tally := entry.get("tally"):
        passed = count(tally["pass"], "check that guards it passed", "checks that guard it passed")
        leave = count(tally["conceded"], "was conceded", "were conceded")
        lines.append(f"{passed}, {tally['not-applicable']} did not apply, {leave}.")
    if conceded := entry.get("conceded"):
        named = listing([f"{one['rule']} at {one['place']}" for one in conceded])
        lines.append(f"Conceded: {named}.")
    lines.append(f"Recorded in {file}." if file else "This was a trial: nothing was written.")
    if entry["entry"] == "released":
        lines.append(_LEAVE)
    return "\n".join(page.paragraph(line) for line in lines) + "\n"


def next_steps(numbered: list[tuple[int, Entry]], hold: HoldState, page: Page) -> str:
    """What to do and to record before the hold point, in the order in which to do it."""
    numbers = {id(entry): number for number, entry in numbered}
    ordered = in_order([entry for _, entry in numbered], hold)
    lines = [page.paragraph(f"{_to_do(entry)} (item {numbers[id(entry)]}).", 4, "  - ") for entry in ordered]
    return "\n".join((page.tone("What to do next, in this order", Tone.HEADING), *lines))


def in_order(entries: list[Entry], hold: HoldState) -> list[Entry]:
    """What stands in the way of a hold point, in the order in which one sees to it."""
    inway = [entry for entry in entries if any(_blocks(finding, hold) for finding in entry.findings)]
    return sorted(inway, key=lambda entry: (_place_of(entry.lead), entry.rank))


def _blocks(finding: Finding, hold: HoldState) -> bool:
    return finding.guards is hold.hold_point and not finding.conceded


def _place_of(finding: Finding) -> int:
    return _SEQUENCE.index(finding.family) if finding.family in _SEQUENCE else len(_SEQUENCE)


def _to_do(entry: Entry) -> str:
    if entry.is_open and entry.lead.missing:
        return f"Record {listing(entry.lead.missing)} for {spoken(entry.lead.place)}"
    text = entry.lead.remedy or entry.lead.message
    return f"{text[:1].upper()}{text[1:].rstrip('.')}"
