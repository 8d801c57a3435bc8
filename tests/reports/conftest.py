"""A run made up by hand, and the files that say how its reports look.

After a report has been changed on purpose, `REWRITE_GOLDEN=1 pytest tests/reports` writes those files anew; read
the difference before it is kept.
"""

import os
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest

from planlint.errors import Fault
from planlint.records import (
    Check,
    Concession,
    Crash,
    Finding,
    HoldPoint,
    InspectionRecord,
    Level,
    PlanRecord,
    RuleCard,
    Verdict,
)

GOLDEN = Path(__file__).parents[1] / "data" / "reports"
FILE = "toll-house.plan.yaml"


def made(rule: str, place: str, line: int, message: str, **more: object) -> Finding:
    fields: dict[str, object] = {
        "family": "corners",
        "outcome": Verdict.FAIL,
        "level": Level.ERROR,
        "guards": HoldPoint.FILLING,
        "file": FILE,
        "column": 9,
        "measured": None,
        "allowed": None,
        "missing": (),
        "remedy": None,
        "caution": None,
        "sources": ("common practice",),
    }
    return Finding(rule=rule, place=place, line=line, message=message, **(fields | more))  # type: ignore[arg-type]  # made up


def unrecorded(rule: str, place: str, line: int, what: str, *missing: str) -> Finding:
    add = f" (add {', '.join(missing)})" if missing else ""
    return made(
        rule, place, line, f"not recorded: {what}{add}", outcome=Verdict.OPEN, level=Level.NOTE, missing=missing
    )


DUST = "Filler dust harms lungs: wear a mask when you sand."


@pytest.fixture(scope="session")
def toll_house() -> PlanRecord:
    """A kitchen with something of everything. Its north wall comes before its east wall on the walk."""
    findings = (
        made(
            "socket-points-per-circuit",
            "circuits.ring",
            12,
            "the circuit feeds 9 outlets; the limit is 6",
            level=Level.WARNING,
            measured="9",
            allowed="6",
            remedy="feed some of them from a circuit of their own",
            caution="Work on circuits only when they are dead.",
        ),
        made("bead-at-outside-corner", "kitchen.east.corner", 40, "the outside corner has filler", caution=DUST),
        made("wall-dry-enough", "kitchen.north", 55, "the wettest spot reads 21 %", level=Level.WARNING),
        made(
            "bead-at-outside-corner",
            "kitchen.north.corner",
            58,
            "the outside corner has no bead",
            measured="none",
            allowed="bead",
            remedy="set a metal bead over the full height",
            caution=DUST,
        ),
        unrecorded("box-has-backing", "kitchen.north.S1", 60, "whether this face will be lined", "lining", "base"),
        unrecorded("box-depth-fits", "kitchen.north.S1", 60, "how deep the lining is", "base", "lining"),
        unrecorded("hole-saw-matches-box", "kitchen.north.S1", 60, "the hole saws at hand", "tools.hole_saws"),
        made(
            "joint-looks-sound",
            "kitchen.north.window",
            66,
            "nobody has looked at the joint",
            outcome=Verdict.REVIEW,
            level=Level.NOTE,
        ),
        made(
            "bead-in-one-piece",
            "kitchen.ceiling",
            80,
            "the bead is pieced together",
            level=Level.WARNING,
            conceded=Concession("the shop had short ones only", "the owner", "2026-12-31"),
        ),
        unrecorded("concession-in-force", "plan", 90, "whether the concession is needed"),
    )
    tally = {
        Verdict.PASS: 21,
        Verdict.FAIL: 4,
        Verdict.OPEN: 4,
        Verdict.REVIEW: 1,
        Verdict.NOT_APPLICABLE: 30,
        Verdict.CONCEDED: 1,
        Verdict.CRASHED: 1,
    }
    walk = (
        "plan",
        "circuits.ring",
        "kitchen.north",
        "kitchen.north.window",
        "kitchen.north.S1",
        "kitchen.north.corner",
        "kitchen.east.corner",
        "kitchen.ceiling",
    )
    return PlanRecord(
        plan=FILE,
        title="Toll house, küche",
        digest="sha256:" + "0" * 64,
        limits=("general", "gb"),
        tally=tally,
        findings=tuple(sorted(findings, key=lambda finding: finding.order)),
        crashes=(Crash("outline-closes", "kitchen", "planlint-extra", "ZeroDivisionError('division by zero')"),),
        walk=walk,
        rules=11,
        things=20,
        nothing_to_judge=("readings-recent",),
        overridden=("socket_points_per_circuit: 6 (agreed with the supplier)",),
    )


@pytest.fixture
def run(toll_house: PlanRecord) -> InspectionRecord:
    fault = Fault("barn.plan.yaml", 3, 5, "rooms has no key called wals", "did you mean walls?")
    return InspectionRecord("1.2.3", "2026-10-03", (toll_house,), (fault,), {"place": "kitchen"})


@pytest.fixture
def whole_run(run: InspectionRecord) -> InspectionRecord:
    """The same run with every check that its tally counts, and with two of the rules that were put."""
    plan = run.plans[0]
    checks = [
        Check(one.rule, one.place, Verdict.CONCEDED if one.conceded else one.outcome, one) for one in plan.findings
    ]
    checks += [Check(crash.rule, crash.place, Verdict.CRASHED, crash) for crash in plan.crashes]
    for outcome, number in ((Verdict.PASS, 21), (Verdict.NOT_APPLICABLE, 30)):
        checks += [Check("joint-on-support", f"kitchen.north.piece-{at}", outcome) for at in range(1, number + 1)]
    cards = (
        RuleCard(
            "bead-at-outside-corner",
            "corners",
            Level.ERROR,
            HoldPoint.FILLING,
            ("corner",),
            "An outside corner gets a metal bead.",
            "a bare filled edge chips at the first knock.",
            "common practice.",
            ("joint",),
            (),
            guards_life=False,
            caution=DUST,
            package="planlint",
        ),
        RuleCard(
            "joint-on-support",
            "boards",
            Level.WARNING,
            None,
            ("board joint",),
            "A joint between boards lies on a batten.",
            "a free joint cracks.",
            "own decision.",
            (),
            (),
            guards_life=False,
            caution="",
            package="planlint-extra",
        ),
    )
    return replace(run, plans=(replace(plan, checks=tuple(checks)),), cards=cards)


@pytest.fixture
def clean() -> InspectionRecord:
    tally = dict.fromkeys(Verdict, 0) | {Verdict.PASS: 3}
    plan = PlanRecord(FILE, "Toll house", "sha256:" + "1" * 64, ("general",), tally, (), rules=3)
    return InspectionRecord("1.2.3", "2026-10-03", (plan,))


@pytest.fixture
def golden() -> Callable[[str, str], None]:
    """Compares a text with the file that says how it should look."""

    def compare(name: str, text: str) -> None:
        file = GOLDEN / name
        if os.environ.get("REWRITE_GOLDEN"):
            file.write_text(text, encoding="utf-8", newline="\n")
        assert text == file.read_text(encoding="utf-8")

    return compare
