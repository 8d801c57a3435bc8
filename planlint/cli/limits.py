"""`planlint limits`: the values that rules judge by."""

from collections.abc import Sequence
from importlib.resources.abc import Traversable

import click

from planlint.cli.output import page, say
from planlint.cli.plans import load_rulebook
from planlint.limits import Limit, available, load_set, resolve
from planlint.reports.page import Page, Tone, count, listing


@click.command("limits", short_help="List the limit sets, or print one with its sources.")
@click.argument("name", required=False, metavar="[NAME]")
def command(name: str | None) -> None:
    """List the limit sets, or print every value of the set NAME with how it is known and its source.

    A plan names the set that it is judged by (`limits: gb`). What a country's set does not say stands
    as in the set general.

    \b
    Examples:
      planlint limits
      planlint limits general
    """  # noqa: D301 - \b is click's mark for lines that are not to be wrapped
    folders = load_rulebook().limit_folders
    if name is None:
        blocks = [_head(set_name, folders, page()) for set_name in available(folders)]
        say("\n\n".join(blocks) + "\n")
        return
    limits = resolve(name, folders)
    values = [limits[key] for key in limits]
    own = [limit for limit in values if limit.set == name]
    parts = [_head(name, folders, page()), *(_value(limit, page()) for limit in own)]
    if rest := [limit for limit in values if limit.set != name]:
        parts.append(page().tone(f"The rest is as in {listing(sorted({limit.set for limit in rest}))}", Tone.HEADING))
        parts += [_value(limit, page()) for limit in rest]
    say("\n\n".join(parts) + "\n")


def _head(name: str, folders: Sequence[Traversable], page: Page) -> str:
    found = load_set(name, folders)
    lines = [page.tone(name, Tone.HEADING), page.paragraph(found.title, 2)]
    if found.applies:
        applies = ", ".join(f"{key.replace('_', ' ')} {value}" for key, value in found.applies.items())
        lines.append(page.paragraph(f"Applies to: {applies}", 2))
    builds_on = f"; builds on {listing(found.builds_on)}" if found.builds_on else ""
    lines.append(page.paragraph(f"{count(len(found.limits), 'value')} of its own{builds_on}", 2))
    return "\n".join(lines)


def _value(limit: Limit, page: Page) -> str:
    lines = [page.paragraph(f"{limit.name}: {limit.said}", 4, ""), page.paragraph(origin(limit), 4)]
    if limit.note:
        lines.append(page.paragraph(f"Note: {limit.note}", 4))
    return "\n".join(lines)


def origin(limit: Limit) -> str:
    """How a value is known, and from where."""
    return f"{limit.basis}: {limit.source}" if limit.source else limit.basis
