"""The kit that rules are tested with: a table of named cases for each rule, kept in `<module of rules>.yaml`.

A table gives a plan with `$names` in it, and cases that say what each name stands for. The line of the plan
that carries `# <-` is the one at which the finding must be. Cases are sorted by what they hold: `passing`,
`failing`, `at the limit`, `open`, `not applicable`, or `more`. Where a rule cannot have one of these kinds,
the table says why under `without`. Where a finding concerns two things and is made at both, the case gives the place
of the other one as `twin`; the finding is the same there, but for the line.
"""

from collections.abc import Callable, Iterator
from datetime import date
from pathlib import Path
from string import Template
from typing import Any

import pytest
import yaml

from planlint import inspection, registry, source
from planlint.records import PlanRecord, Verdict

TABLES = Path(__file__).parent
TODAY = "2026-10-03"

Inspect = Callable[..., PlanRecord]


@pytest.fixture(scope="session")
def rulebook() -> registry.Rulebook:
    return registry.load(inspection.ENGINE_CARDS)


@pytest.fixture(scope="session")
def inspect(rulebook: registry.Rulebook) -> Inspect:
    """Inspect the text of a plan by the rules named; a rule that breaks down raises."""

    def run(text: str, *only: str, today: str = TODAY, **wanted: str) -> PlanRecord:
        document = source.read(text.encode(), "case.plan.yaml")
        asked = inspection.Wanted(today=date.fromisoformat(today), only=only, contain=False, **wanted)
        return inspection.inspect(document, rulebook, asked)

    return run


def tables(module: str) -> dict[str, Any]:
    """The tables of cases of a module of rules, by rule."""
    return dict(yaml.safe_load((TABLES / f"{module}.yaml").read_text(encoding="utf-8")))


def pytest_generate_tests(metafunc: pytest.Metafunc) -> None:
    if "case" in metafunc.fixturenames:
        cases = list(_cases(metafunc.module.__name__.rpartition("test_")[2]))
        metafunc.parametrize("case", cases, ids=[f"{case['rule']}: {case['name']}" for case in cases])


def _cases(module: str) -> Iterator[dict[str, Any]]:
    for rule, table in tables(module).items():
        defaults = table.get("defaults", {})
        for case in table["cases"]:
            text = Template(table["plan"]).substitute(defaults | case.get("with", {}))
            yield {"today": TODAY} | case | {"rule": rule, "text": text}


@pytest.fixture(scope="session")
def hold(inspect: Inspect, rulebook: registry.Rulebook) -> Callable[[dict[str, Any]], None]:
    """Hold a case against what its rule finds."""

    def check(case: dict[str, Any]) -> None:
        record = inspect(case["text"], case["rule"], today=case["today"])
        found = [finding for finding in record.findings if finding.rule == case["rule"]]
        findings = [finding for finding in found if finding.place != case.get("twin")]
        assert len(found) - len(findings) == ("twin" in case), found
        expected = case["expect"]
        if expected in ("pass", "not-applicable"):
            assert findings == []
            assert record.tally[Verdict(expected)] > 0
            return
        assert len(findings) == 1, findings
        finding = findings[0]
        lines = [number for number, line in enumerate(case["text"].splitlines(), 1) if line.endswith("# <-")]
        # A fail is expected by its level, the others by their outcome.
        assert expected == (finding.level if finding.outcome is Verdict.FAIL else finding.outcome)
        assert [finding.line] == lines, finding.message
        assert case.get("at", finding.place) == finding.place
        assert case.get("says", "") in finding.message
        assert case.get("measured", finding.measured) == finding.measured
        assert case.get("allowed", finding.allowed) == finding.allowed
        assert list(finding.missing) == case.get("missing", [])
        assert "{" not in finding.message
        if finding.outcome is Verdict.FAIL:
            assert finding.remedy
        needs = next(card.needs for card in rulebook.cards if card.id == finding.rule)
        # A key is named from its end (`box`), or with a name of the plan's own after it (`lengths.S1`).
        assert all(any(f".{need}." in f".{key}." for need in needs) for key in finding.missing)

    return check
