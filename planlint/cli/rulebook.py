"""`planlint rulebook`: what is checked, and why."""

from collections.abc import Iterable, Iterator
from itertools import groupby

import click

from planlint.cli.limits import origin
from planlint.cli.output import page, say
from planlint.cli.plans import load_rulebook
from planlint.limits import GENERAL, Limits, resolve
from planlint.records import RuleCard
from planlint.reports.page import Page, Tone, count, listing
from planlint.reports.terms import explained

_INDENT = 2


@click.command("rulebook", short_help="List the rules, or print one in full.")
@click.argument("rule", required=False, metavar="[RULE]")
def command(rule: str | None) -> None:
    """List every rule with what it asks for, or print one RULE in full.

    In full: what is right and why, the limits it judges by, where they come from, the keys that it
    needs, the step that buries what it looks at, and what words of the trades mean. The name of a
    family lists that family.

    \b
    Examples:
      planlint rulebook
      planlint rulebook sealant-at-inside-corner
    """  # noqa: D301 - \b is click's mark for lines that are not to be wrapped
    rulebook = load_rulebook()
    chosen = rulebook.choose((rule,)) if rule else rulebook.ids
    cards = sorted((card for card in rulebook.cards if card.id in chosen), key=lambda card: card.family)
    if len(cards) == 1 and cards[0].id == rule:
        say("\n".join(_in_full(cards[0], resolve(GENERAL, rulebook.limit_folders), page())) + "\n")
    else:
        say("\n\n".join(_by_family(cards, page())) + "\n")


def _by_family(cards: Iterable[RuleCard], page: Page) -> Iterator[str]:
    for family, members in groupby(cards, key=lambda card: card.family):
        yield page.tone(family, Tone.HEADING) + "\n" + "\n".join(_in_short(card, page) for card in members)


def _in_short(card: RuleCard, page: Page) -> str:
    before = f", before {card.guards}" if card.guards else ""
    return f"{page.paragraph(f'{card.id} ({card.level}{before})', _INDENT, '  ')}\n{page.paragraph(card.summary, 6)}"


def _in_full(card: RuleCard, limits: Limits, page: Page) -> Iterator[str]:
    yield page.tone(card.id, Tone.HEADING)
    yield page.paragraph(card.summary)
    yield ""
    yield page.paragraph(f"Why: {card.why}")
    yield page.paragraph(f"Source: {card.source}")
    yield ""
    guards = f" It guards the step {card.guards}, which buries what it looks at." if card.guards else ""
    yield page.paragraph(f"Judges: {listing(card.judges)}. A fail counts as {_article(card.level)}.{guards}")
    if card.needs:
        yield page.paragraph(f"Needs: {', '.join(card.needs)}. Where one of them is not recorded, the check is open.")
    yield page.paragraph(
        "It guards life: no concession can set it aside."
        if card.guards_life
        else "A concession can set one finding aside."
    )
    yield page.paragraph(f"From the package {card.package}; family {card.family}.")
    if card.reads:
        yield ""
        yield page.paragraph(
            f"{count(len(card.reads), 'limit')}, as the set {GENERAL} gives it (a plan may name others):"
        )
        for name in card.reads:
            yield page.paragraph(f"{name}: {limits[name].said} ({origin(limits[name])})", 6, "  ")
    if card.caution:
        yield ""
        yield page.paragraph(f"Take care: {card.caution}")
    words = list(explained(" ".join((card.summary, card.why, card.source, card.caution, *card.needs))))
    if words:
        yield ""
        yield page.paragraph("What these words mean:")
        yield from (page.paragraph(f"{term}: {meaning}", 6, "  ") for term, meaning in words)


def _article(level: str) -> str:
    return f"an {level}" if level[0] in "aeiou" else f"a {level}"
