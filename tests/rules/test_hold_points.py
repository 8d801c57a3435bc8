"""Every rule, by its table of cases: what it finds changes the answer at the hold point that it guards, no other.

Each rule stands alone here, beside one that always passes at every hold point, so that nothing else is in the way and
nothing is held for want of a check.
"""

import json
from collections.abc import Iterable
from datetime import date
from functools import cache
from pathlib import Path
from string import Template
from typing import Any

import pytest
import yaml

from planlint import inspection, registry, source
from planlint.api import Building
from planlint.records import Finding, HoldPoint, Level, Passing, PlanRecord
from planlint.rule import PASS, Given, Outcome, Rule, rule

MOST = 2  # cases of a kind, for each rule; the first of a table are the plainest
BOOK = registry.load(inspection.ENGINE_CARDS)
TABLES: dict[str, dict[str, Any]] = {
    name: table
    for path in sorted(Path(__file__).parent.glob("*.yaml"))
    for name, table in yaml.safe_load(path.read_text(encoding="utf-8")).items()
}
RULES = [one for one in BOOK.rules if one.id in TABLES]


def always(hold_point: HoldPoint) -> Rule:
    @rule(f"{hold_point}-looked-at", judges=Building, level=Level.ERROR, guards=hold_point)
    def judge(building: Building, given: Given) -> Outcome:  # noqa: ARG001 - every rule takes both
        """Somebody looked.

        Why: so that something is checked at every place.
        Source: this test.
        """
        return PASS

    return judge


ALWAYS = tuple(map(always, HoldPoint))


def inspect(one: Rule, text: str, today: str, **wanted: Any) -> PlanRecord:  # noqa: ANN401 - what Wanted takes
    alone = (one, *ALWAYS)
    cards = (*(card for card in BOOK.cards if card.id == one.id), *(each.card("test") for each in ALWAYS))
    book = registry.Rulebook(alone, (*cards, *inspection.ENGINE_CARDS), BOOK.limit_folders)
    document = source.read(text.encode(), "case.plan.yaml")
    return inspection.inspect(document, book, inspection.Wanted(date.fromisoformat(today), contain=False, **wanted))


@cache
def held(one: Rule, text: str, today: str) -> frozenset[HoldPoint]:
    """The hold points that something is in the way of, in the whole plan and at each of its rooms and surfaces."""
    record = inspect(one, text, today, every_hold_point=True)
    found = {state.hold_point for state in record.holds if state.state is Passing.HOLD}
    # Where a table's plan has no room, or the thing concerns none, the whole plan says it.
    if one.guards:
        whole = inspect(one, text, today, hold_point=one.guards).hold
        assert whole
        found |= {one.guards} if whole.state is Passing.HOLD else set()
    return frozenset(found)


def cases(name: str, *kinds: str) -> Iterable[tuple[str, str, dict[str, Any]]]:
    table = TABLES[name]
    for kind in kinds:
        some = [case for case in table["cases"] if case["holds"] == kind or case["expect"] == kind][:MOST]
        for case in some:
            text = Template(table["plan"]).substitute(table.get("defaults", {}) | case.get("with", {}))
            yield text, case.get("today", "2026-10-03"), case


def findings(one: Rule, text: str, today: str) -> list[Finding]:
    return [finding for finding in inspect(one, text, today).findings if finding.rule == one.id]


def added(text: str, key: str, entries: list[dict[str, str]]) -> str:
    lines = "".join(f"\n- {json.dumps(entry, ensure_ascii=False)}" for entry in entries)
    return f"{text.rstrip()}\n{key}:{lines}\n"


@pytest.mark.parametrize("one", RULES, ids=[one.id for one in RULES])
def test_what_fails_or_is_open_holds_what_the_rule_guards_and_nothing_else(one: Rule) -> None:
    guarded = {one.guards} - {None}
    for text, today, case in cases(one.id, "failing", "open"):
        assert held(one, text, today) == guarded, case["name"]


@pytest.mark.parametrize("one", RULES, ids=[one.id for one in RULES])
def test_what_passes_or_does_not_apply_holds_nothing(one: Rule) -> None:
    for text, today, case in cases(one.id, "passing", "at the limit", "not applicable"):
        assert held(one, text, today) == set(), case["name"]


@pytest.mark.parametrize("one", RULES, ids=[one.id for one in RULES])
def test_a_concession_opens_what_the_rule_guards_unless_it_guards_life(one: Rule) -> None:
    for text, today, case in cases(one.id, "failing", "open"):
        if "concessions:" in text:
            continue
        leave = {"reason": "a test", "agreed_by": "the owner", "until": today}
        found = findings(one, text, today)
        conceded = added(
            text, "concessions", [{"rule": one.id, "at": place, **leave} for place in {f.place for f in found}]
        )
        guarded = {one.guards} - {None}
        assert held(one, conceded, today) == (guarded if one.guards_life else set()), case["name"]


@pytest.mark.parametrize("one", RULES, ids=[one.id for one in RULES])
def test_a_recorded_look_settles_a_review_and_nothing_else(one: Rule) -> None:
    guarded = {one.guards} - {None}
    for text, today, case in cases(one.id, "review", "failing", "open"):
        if "reviews:" in text:
            continue
        found = findings(one, text, today)
        looked = [{"rule": one.id, "at": finding.place, "by": "an engineer", "date": today} for finding in found]
        reviewed = added(text, "reviews", looked)
        assert held(one, text, today) == guarded, case["name"]
        assert held(one, reviewed, today) == (set() if case["expect"] == "review" else guarded), case["name"]


def test_every_rule_was_there() -> None:
    assert all(any(True for _ in cases(one.id, "failing", "open", "review")) for one in RULES)
    assert {one.id for one in RULES} == {one.id for one in BOOK.rules}
    assert {HoldPoint.CLOSING_IN, HoldPoint.FILLING, HoldPoint.PAINTING, HoldPoint.ENERGISING} <= {
        one.guards for one in RULES
    }
