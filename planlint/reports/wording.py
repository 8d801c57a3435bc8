"""How a finding and a hold point are worded wherever people read about them."""

from collections.abc import Iterable
from typing import Final

from planlint.entries import Entry
from planlint.records import Finding, HoldState, Passing, Verdict
from planlint.reports.hold import STATES, given, how
from planlint.reports.page import listing, plain, to_add

_WAYS: Final = {
    Verdict.FAIL: "failed",
    Verdict.OPEN: "not recorded",
    Verdict.REVIEW: "for a person to look at",
    Verdict.CRASHED: "broke down",
}


def word(entry: Entry) -> str:
    """In a word, how grave it is or what it asks for."""
    if entry.lead.outcome is Verdict.FAIL:
        return entry.lead.level.capitalize()
    return "Not recorded" if entry.is_open else "Have a look"


def message(entry: Entry) -> str:
    """What the entry says; of open findings together, what each of them wants to know, said once."""
    if not entry.is_open:
        return entry.lead.message
    add = to_add(entry.lead.missing)
    wanted = (finding.message.removeprefix("not recorded: ") for finding in entry.findings)
    said = dict.fromkeys(text.partition(" (add ")[0] if add else text for text in wanted)
    # Rules that wait for the same keys say so in their own words each; one of them is enough.
    return min(said, key=len) + add


def below(finding: Finding, stop: str) -> str:
    """Where it is, as seen from where one stops on the walk; empty where it is that very place."""
    return finding.place.removeprefix(stop).lstrip(".")


def sentence(text: str) -> str:
    """`text` on one line, with a full stop where it ends with none."""
    text = plain(text)
    return text if text.endswith((".", "!", "?", "…")) else f"{text}."


def in_rows(numbers: Iterable[int]) -> str:
    """Numbers as one says them, more than two in a row from first to last.

    >>> in_rows([1, 2, 3, 4, 7])
    '1 to 4 and 7'
    """
    rows: list[list[int]] = []
    for number in numbers:
        if rows and rows[-1][-1] == number - 1:
            rows[-1].append(number)
        else:
            rows.append([number])
    spoken = ([f"{row[0]} to {row[-1]}"] if len(row) > 2 else map(str, row) for row in rows)  # noqa: PLR2004 - a pair
    return listing(word for words in spoken for word in words)


def standing_before(hold: HoldState) -> str:
    """How things stand before a hold point."""
    release, tally = hold.release, hold.tally
    if hold.state is Passing.RELEASED:
        return f"Released{how(hold)}"
    why = [f"{tally[verdict]} {words}" for verdict, words in _WAYS.items() if tally[verdict]]
    said = f"{STATES[hold.state]}{': ' if why else ''}{listing(why) if why else ''}"
    if tally[Verdict.CONCEDED]:
        said += f"; {tally[Verdict.CONCEDED]} conceded"
    if release:
        said += f"; {given(release, hold)} {'is overtaken' if release.overtaken else 'came before this'}"
    return said
