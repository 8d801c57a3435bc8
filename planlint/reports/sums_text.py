"""What the schedules of all subjects say to people in one way: their head, steps, sources, what is not worked out."""

from collections.abc import Iterable, Iterator

from planlint.reports.page import Page, Tone, named_file, sentence, to_add
from planlint.sum_records import About, Source, Unknown, Working


def head(about: About, page: Page, *lines: str) -> Iterator[str]:
    """The title, the file, these lines, and the limits that the plan sets for itself."""
    yield page.tone(page.paragraph(about.title), Tone.HEADING)
    yield page.paragraph(named_file(about.plan))
    yield from map(page.paragraph, lines)
    if about.overridden:
        yield page.paragraph(f"The plan sets limits of its own: {'; '.join(about.overridden)}.")


def working(name: str, found: Working, page: Page) -> str:
    """A sum step by step."""
    lines = [page.tone(page.paragraph(name, 2, "  "), Tone.HEADING), page.paragraph(f"{found.formula}.", 4)]
    lines += [page.paragraph(f"{step.what}: {step.how} = {step.result}", 8, "    ") for step in found.steps]
    return "\n".join((*lines, page.tone(page.paragraph(f"Figures: {', '.join(found.limits)}", 4), Tone.QUIET)))


def origins(sources: Iterable[Source], page: Page) -> str:
    """Where the figures come from."""
    lines = [page.paragraph(_origin(one), 4, "  ") for one in sources]
    return "\n".join((page.tone("Where the figures come from", Tone.HEADING), *lines))


def _origin(source: Source) -> str:
    said = f" {source.said}" if source.said else ""
    note = f" ({source.note})" if source.note else ""
    by = "set by the plan" if source.set == "plan" else f"of the set {source.set}"
    return sentence(f"{source.name}{said}, {by}; {source.basis}: {source.source}{note}")


def not_worked_out(unknown: Unknown) -> str:
    """What could not be worked out, and what to add for it."""
    if not unknown.missing:
        return f"not worked out: {unknown.what}"
    return f"not worked out, since this is not recorded: {unknown.what}{to_add(unknown.missing)}"
