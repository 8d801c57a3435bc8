"""Every rule has a table of cases, with a case of each kind or a reason why there can be none."""

from collections import Counter
from pathlib import Path
from typing import Any

import pytest
import yaml

from planlint import inspection, registry

KINDS = {"passing", "failing", "at the limit", "open", "not applicable"}
KEYS = {"name", "holds", "with", "expect", "at", "says", "measured", "allowed", "missing", "today", "twin"}
BOOK = registry.load(inspection.ENGINE_CARDS)
TABLES: dict[str, dict[str, Any]] = {
    path.stem: yaml.safe_load(path.read_text(encoding="utf-8")) for path in sorted(Path(__file__).parent.glob("*.yaml"))
}
RULES = [(module, rule, table) for module, tables in TABLES.items() for rule, table in tables.items()]
IDS = [rule for _, rule, _ in RULES]


def test_every_rule_has_a_table_named_after_its_module_and_every_table_a_rule() -> None:
    tables = {(module, rule) for module, rule, _ in RULES}
    rules = {(rule.judge.__module__.rpartition(".")[2], rule.id) for rule in BOOK.rules}
    assert not rules - tables, "rules without a table of cases"
    assert not tables - rules, "tables of cases for rules that are not there"


def test_every_table_is_run() -> None:
    for module in TABLES:
        assert "def test_case(" in (Path(__file__).parent / f"test_{module}.py").read_text(encoding="utf-8")


@pytest.mark.parametrize(("module", "rule", "table"), RULES, ids=IDS)
def test_a_table_has_every_kind_of_case_or_says_why_not(module: str, rule: str, table: dict[str, Any]) -> None:
    held = {case["holds"] for case in table["cases"]}
    without = table.get("without", {})
    assert held - {"more"} <= KINDS, module
    assert KINDS - held == without.keys(), f"{rule} lacks cases, or says why it has none and has some"
    assert all(len(reason.split()) > 3 for reason in without.values()), rule


@pytest.mark.parametrize(("module", "rule", "table"), RULES, ids=IDS)
def test_a_case_expects_what_its_kind_says(module: str, rule: str, table: dict[str, Any]) -> None:
    names = Counter(case["name"] for case in table["cases"])
    assert set(names.values()) == {1}, f"{module}, {rule}: two cases of one name"
    for case in table["cases"]:
        assert case.keys() <= KEYS, case
        outcomes = {
            "passing": {"pass"},
            "at the limit": {"pass"},
            "failing": {"error", "warning", "note"},
            "open": {"open"},
            "not applicable": {"not-applicable"},
        }
        assert case["expect"] in outcomes.get(case["holds"], {case["expect"]}), case
        assert case["expect"] != "open" or case.get("missing"), f"{rule}: {case['name']} does not say what is missing"


@pytest.mark.parametrize(("module", "rule", "table"), RULES, ids=IDS)
def test_every_key_that_a_rule_needs_is_missing_in_some_case(module: str, rule: str, table: dict[str, Any]) -> None:
    missing = [f".{key}." for case in table["cases"] for key in case.get("missing", ())]
    needs = {need for card in BOOK.cards if card.id == rule for need in card.needs}
    never = {need for need in needs if not any(f".{need}." in key for key in missing)}
    assert not never, f"{module}, {rule}: no case is open for want of them"
