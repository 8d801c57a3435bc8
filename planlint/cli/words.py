"""`planlint words`: the keys of a plan for people who do not read a schema."""

from collections.abc import Iterator
from difflib import get_close_matches

import click

from planlint.cli.output import page, say
from planlint.cli.vocabulary import WHOLE, Key, Thing, find, names, things
from planlint.errors import UsageError
from planlint.reports.missing import Format
from planlint.reports.page import Page, Tone


@click.command("words", short_help="Explain the keys of a plan and the words that each takes.")
@click.argument("key", required=False, metavar="[KEY]")
def command(key: str | None) -> None:
    """List the keys of a plan by the thing that they belong to, or explain one KEY.

    A KEY may also be a thing, such as wall, or a key of one, such as corner.joint.

    \b
    Examples:
      planlint words
      planlint words corner.joint
    """  # noqa: D301 - \b is click's mark for lines that are not to be wrapped
    if key is None:
        say("\n\n".join(_in_short(thing, page()) for thing in things().values()) + "\n")
        return
    thing, keys = find(key)
    if not thing and not keys:
        raise UsageError(f"a plan has no key called {key}; {_hint(key)}")
    parts = [_in_short(thing, page())] if thing else []
    parts += ["\n".join(_in_full(found, page())) for found in keys]
    say("\n\n".join(parts) + "\n")


def _hint(key: str) -> str:
    above, dot, name = key.rpartition(".")
    owner, keys = find(above) if dot else (None, [])
    owners = {*([owner.name] if owner else []), *(below for key in keys for below in key.leads_to)}
    known = {inner for below in owners for inner in things()[below].keys}
    if near := get_close_matches(name, known, n=1):
        return f"did you mean {above}.{near[0]}?"
    near = get_close_matches(name, names(), n=1)
    return f"did you mean {near[0]}?" if near else "`planlint words` lists them"


def _in_short(thing: Thing, page: Page) -> str:
    lines = [page.tone(page.paragraph(f"{thing.name}: {thing.meaning}", 2, ""), Tone.HEADING, f"{thing.name}:")]
    for key in thing.keys.values():
        meaning = _first_sentence(key.meaning)
        lines.append(page.paragraph(f"{key.name}: {meaning}" if meaning else key.name, 6, "  "))
    return "\n".join(lines)


def _first_sentence(text: str) -> str:
    first, stop, _ = text.partition(". ")
    return first + "." if stop else text


def _in_full(key: Key, page: Page) -> Iterator[str]:
    owner = "at the top of a plan" if key.thing == WHOLE else f"of {things()[key.thing].title}"
    yield page.tone(page.paragraph(f"{key.name}, {owner}"), Tone.HEADING, key.name)
    yield page.paragraph(key.meaning, 2)
    yield page.paragraph(f"Takes: {key.takes}.", 2)
    if key.required:
        yield page.paragraph(f"It must be there in {things()[key.thing].title}.", 2)
    elif "bsent: " not in key.meaning:
        yield page.paragraph("Left out: not recorded, so that a rule which needs it stays open.", 2)
    for example in key.examples:
        yield page.paragraph(f"Example: {key.name}: {example}", 2)
    if key.leads_to:
        yield page.paragraph(f"Its keys: {', '.join(f'`planlint words {name}`' for name in key.leads_to)}.", 2)


def plan_format() -> Format:
    """What the list of missing keys must know of the plan format."""
    return Format(frozenset(things()[WHOLE].keys), _example)


def _example(path: str) -> str:
    """A value for a key, where all keys of that name show the same one; a word could be the wrong one to copy."""
    # Between the first and the last step of a path there may be names of the user's own.
    keys = find(path)[1] or find(".".join(path.split(".")[:: path.count(".") or 1]))[1]
    examples = {key.examples[0] for key in keys if key.examples}
    return examples.pop() if len(examples) == 1 and not any(key.words for key in keys) else ""
