"""What lies behind a spot, for people: nearest first, then the layers, then what nobody knows, and what to do first."""

from collections.abc import Iterator

from planlint.behind_records import BehindReport, Figure, LayerCard, NearCard, Unknown
from planlint.reports.page import Page, Tone, count, listing, to_add
from planlint.reports.sums_text import head


def render(report: BehindReport, page: Page) -> str:
    """The whole answer; it never ends without what is to be done before one drills."""
    return "\n\n".join("\n".join(part) for part in _parts(report, page)) + "\n"


def _parts(report: BehindReport, page: Page) -> Iterator[list[str]]:
    granted = (f"Taken for granted: {one}." for one in report.assumed)
    yield list(head(report, page, f"{report.place.replace('.', ', ')}: {_where(report)}.", *granted))
    lines = [page.tone(f"Within {report.within.said}, the nearest first", Tone.HEADING)]
    lines += [page.paragraph(_near(one), 4, "  ") for one in report.near]
    if not report.near:
        lines.append(
            page.paragraph("The plan records nothing so near. That does not say that nothing is there.", 2, "  ")
        )
    if report.beyond:
        more = count(report.beyond, "thing is", "things are")
        lines.append(page.paragraph(f"{more} recorded further away.", 2, "  "))
    yield lines
    if report.photos:
        yield [
            page.paragraph(f"{count(report.photos, 'photograph')} of it from before it was closed: look there first.")
        ]
    if report.layers:
        lines = [page.tone("From the surface in the room inwards", Tone.HEADING)]
        yield [*lines, *(page.paragraph(_layer(one), 4, "  ") for one in report.layers)]
    if report.unrecorded:
        lines = [page.tone("What the plan does not say", Tone.HEADING)]
        yield [*lines, *(page.paragraph(_unknown(one), 4, "  ") for one in report.unrecorded)]
    yield [page.tone("Before you drill", Tone.HEADING), page.paragraph(report.caution, 2, "  ")]


def _where(report: BehindReport) -> str:
    if report.from_walls:
        return listing([f"{distance.said} from {wall}" for wall, distance in report.from_walls])
    if report.at is None or report.height is None:
        return "no spot"
    finished = f"{report.height.said} above the finished floor"
    if report.heights_from == "raw":
        return f"{report.at.said} from its left end, {report.height.said} above the floor as it is now"
    if isinstance(report.now, Figure):
        return f"{report.at.said} from its left end, {finished}, {report.now.said} above the floor as it is now"
    add = f" (add {', '.join(report.now.missing)})" if report.now else ""
    return (
        f"{report.at.said} from its left end, {finished}; how high above the floor as it is now, is not recorded{add}"
    )


def _near(one: NearCard) -> str:
    face = "on the other face, " if one.other_face else ""
    where = f"{one.distance.said} {one.direction or 'away'}" if one.distance.value else "right behind the spot"
    if not one.is_certain and one.distance.value:
        where += f", perhaps {'right behind the spot' if one.least.value == 0 else f'only {one.least.said}'}"
    told = [f"{one.said}"] if one.said else []
    if one.depth:
        told.append(f"{one.depth.said} below the bare wall")
    add = to_add(one.missing)
    return _sentence(
        f"{where}: {face}{one.what}; {'; '.join(told)}{add}" if told else f"{where}: {face}{one.what}{add}"
    )


def _layer(one: LayerCard) -> str:
    thick = "too thin to measure" if one.thickness is None else ""
    if isinstance(one.thickness, Unknown):
        thick = f"thickness not recorded{to_add(one.thickness.missing)}"
    elif one.thickness:
        thick = one.thickness.said
    begins = f", from {one.begins.said} on" if one.begins and one.begins.value else ""
    return _sentence(f"{one.words}: {thick}{begins}")


def _unknown(unknown: Unknown) -> str:
    add = to_add(unknown.missing)
    return _sentence(f"{unknown.what[:1].upper()}{unknown.what[1:]}{add}")


def _sentence(text: str) -> str:
    text = f"{text[:1].upper()}{text[1:]}"
    return text if text.endswith((".", "!", "?")) else f"{text}."
