"""A sheet as one HTML page that needs nothing else: no script, no other file, no network; it prints on A4."""

from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from html import escape
from itertools import groupby
from typing import Any, Final

from planlint.records import HoldState, InspectionRecord
from planlint.reports import svg
from planlint.reports.hold import spoken
from planlint.reports.page import Page, count, listing, plain
from planlint.reports.summary import checked, not_checked, standing
from planlint.reports.troubles import render as as_text
from planlint.reports.troubles import troubles
from planlint.reports.wording import below, in_rows, message, sentence, standing_before, word
from planlint.sheet_records import Look, Numbered, Part, RoomSheet, Sheet

_UNWRAPPED: Final = Page(width=1_000_000)
_RANKS: Final = (
    (Look.FOUND_ERROR, "error", "errors"),
    (Look.FOUND_WARNING, "warning", "warnings"),
    (Look.FOUND_NOTE, "note", "notes"),
    (Look.FOUND_NOTE, "for a person to look at", "for a person to look at"),
    (Look.FOUND_OPEN, "not recorded", "not recorded"),
    (Look.FOUND_CONCEDED, "conceded", "conceded"),
)
"""By `Entry.rank`: the flag, and what one and several are called."""


def render(sheet: Sheet) -> str:
    """The page of a sheet; the same sheet gives the same text."""
    # Imported here, so that only who asks for a page waits for it.
    from jinja2 import Environment, PackageLoader, StrictUndefined  # noqa: PLC0415
    from markupsafe import Markup  # noqa: PLC0415

    environment = Environment(
        loader=PackageLoader("planlint.reports"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
        # Whatever is written on the page is on one line and steers nothing, such as the direction of writing.
        finalize=lambda value: plain(value) if type(value) is str else value,
    )
    environment.filters |= {
        "drawn": lambda marks: Markup(svg.drawn(marks)),  # noqa: S704 - svg.py escapes what is text
        "flags": lambda marks: Markup(svg.flags(marks)),  # noqa: S704
        "mark": lambda look, number=None: Markup(svg.mark(look, number)),  # noqa: S704
        "rank": lambda entry: _RANKS[entry.rank][0],
        "rules": lambda entry: listing(sorted({finding.rule for finding in entry.findings})),
        "waiting": lambda entry: count(len(entry.findings), "rule waits", "rules wait"),
        "spelt": lambda text: Markup(_spelt(text)),  # noqa: S704 - likewise
        "place": _place,
        "below": below,
        "in_rows": in_rows,
        "message": message,
        "sentence": sentence,
        "standing_before": standing_before,
        "word": word,
    }
    return environment.get_template("sheet.html.jinja").render(_fields(sheet))


def _fields(sheet: Sheet) -> Mapping[str, Any]:
    plan = sheet.plan
    narrowed = {"place": sheet.place} if sheet.place else {}
    record = InspectionRecord(sheet.version, sheet.today, (plan,), narrowed=narrowed)
    parts: list[RoomSheet | Part] = [*sheet.rooms, *(part for room in sheet.rooms for part in room.parts)]
    found = [one for part in (*parts, *sheet.elsewhere) for one in part.found]
    cares: defaultdict[int, list[int]] = defaultdict(list)
    for care, (_, numbers) in enumerate(sheet.cautions, 1):
        for number in numbers:
            cares[number].append(care)
    return {
        "sheet": sheet,
        "file": "from standard input" if plan.plan == "-" else plan.plan,
        "counts": _counts(found),
        "counts_of": lambda part: _counts(part.found),
        "numbers_of": lambda part: in_rows(sorted(one.number for one in part.found)) if part.found else "",
        "troubles": as_text(troubles(record)).splitlines(),
        "ends": [end(plan, record, _UNWRAPPED).split("\n") for end in (checked, not_checked)],
        "standing": standing(record, _UNWRAPPED).split("\n\n")[-1],
        "holds": list(_holds(plan.holds)),
        "cares": cares,
    }


def _counts(found: Iterable[Numbered]) -> list[tuple[Look, str]]:
    """How many things of each rank there are, worst first, with the look of their flags."""
    ranks = Counter(one.entry.rank for one in found)
    return [(look, count(ranks[rank], *words)) for rank, (look, *words) in enumerate(_RANKS) if ranks[rank]]


def _holds(holds: Sequence[HoldState]) -> Iterator[tuple[str, list[tuple[int, HoldState]]]]:
    """The hold points, numbered, place by place in the order of the walk."""
    walk = {place: number for number, place in enumerate(dict.fromkeys(hold.place for hold in holds))}
    in_turn = enumerate(sorted(holds, key=lambda hold: walk[hold.place]), 1)
    for place, some in groupby(in_turn, key=lambda one: one[1].place):
        yield place, list(some)


def _spelt(text: str) -> str:
    """HTML of a text in which what stands between two backticks is to be typed as it is."""
    parts = escape(plain(text)).split("`")
    spelt = zip(parts[1::2], parts[2::2], strict=False)
    said = parts[0] + "".join(f"<code>{code}</code>{rest}" for code, rest in spelt)
    return said if len(parts) % 2 else f"{said}`{parts[-1]}"


def _place(place: str) -> str:
    return spoken(place).replace(".", ", ")
