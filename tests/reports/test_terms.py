"""Words of the trades: each is in use in some rule, and those that a reader meets in capitals are explained."""

import re

import pytest

from planlint import inspection, registry
from planlint.records import RuleCard
from planlint.reports.terms import TERMS, explained

KNOWN = {
    "AND",
    "BS",
    "CEM",
    "CIB",
    "DIN",
    "EN",
    "EU",
    "IEC",
    "IRC",
    "ISO",
    "NEC",
    "NFPA",
    "PPE",
    "REACH",
    "UK",
    "US",
    "VDE",
}
"""Bodies, documents and countries: names that a reader looks up where he looks up the document."""


@pytest.fixture(scope="module")
def cards() -> tuple[RuleCard, ...]:
    return registry.load(inspection.ENGINE_CARDS).cards


def said(card: RuleCard) -> str:
    return " ".join((card.summary, card.why, card.source, card.caution, *card.needs))


def test_every_word_is_used_by_a_rule(cards: tuple[RuleCard, ...]) -> None:
    used = {term for card in cards for term, _ in explained(said(card))}
    assert set(TERMS) - used == set()


def test_short_forms_in_what_is_right_and_why_are_explained(cards: tuple[RuleCard, ...]) -> None:
    for card in cards:
        short = set(re.findall(r"\b[A-Z]{2,}\b", f"{card.summary} {card.why} {card.caution}"))
        assert short - KNOWN - {term for term, _ in explained(said(card))} == set(), card.id


def test_longest_first_and_whole_words() -> None:
    assert [term for term, _ in explained("OSB/3; a section; intersections; OSB")] == ["OSB/3", "section", "OSB"]
