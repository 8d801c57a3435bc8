"""The examples find what their headers say, and the sound one with one fact changed (data/weigh-house.yaml) that.

What is expected comes from the rulebook: which rule, at which place, how grave, and the text that stands on the line.
"""

import cmath
import math
import re
import shlex
import subprocess
import sys
from collections.abc import Callable, Iterable
from datetime import date
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
import yaml

from planlint import inspection, registry, source
from planlint.records import PlanRecord, Verdict

EXAMPLES = Path(__file__).parents[1] / "examples"
PLANS = sorted(EXAMPLES.rglob("*.plan.yaml"))
DRAFT, READY = (EXAMPLES / f"weigh-house/{name}.plan.yaml" for name in ("first-draft", "ready-to-close"))
COTTAGE = EXAMPLES / "ferry-cottage.plan.yaml"
CREW = EXAMPLES / "crew"
CHANGES: dict[str, dict[str, Any]] = yaml.safe_load(
    Path(__file__).with_name("data").joinpath("weigh-house.yaml").read_text(encoding="utf-8")
)
MADE = {"reports", "plan.schema.json"}
"""What the scripts and commands of the crew make; its .gitignore says so."""
TODAY = date(2026, 10, 3)

Inspect = Callable[[str], PlanRecord]
Edit = tuple[str, str]


@pytest.fixture(scope="module")
def rulebook() -> registry.Rulebook:
    return registry.load(inspection.ENGINE_CARDS)


@pytest.fixture(scope="module")
def inspect(rulebook: registry.Rulebook) -> Inspect:
    """Inspect the text of a plan; a rule that breaks down raises."""

    def run(text: str) -> PlanRecord:
        document = source.read(text.encode(), "example.plan.yaml")
        return inspection.inspect(document, rulebook, inspection.Wanted(today=TODAY, contain=False))

    return run


def fails(record: PlanRecord, text: str) -> set[tuple[str, str, str, str]]:
    """What failed and is not conceded: rule, level, place, and the beginning of the line that it points at."""
    lines = text.splitlines()
    return {
        (finding.rule, str(finding.level), finding.place, lines[finding.line - 1].strip())
        for finding in record.findings
        if finding.outcome is Verdict.FAIL and not finding.conceded
    }


def opens(record: PlanRecord) -> set[tuple[str, str, tuple[str, ...]]]:
    return {(f.rule, f.place, f.missing) for f in record.findings if f.outcome is Verdict.OPEN}


def rows(table: str) -> list[list[str]]:
    """The rows of a table whose columns stand between bars."""
    return [[cell.strip() for cell in line.split("|")] for line in table.strip().splitlines()]


def assert_rows(found: set[tuple[str, str, str, str]], table: str) -> None:
    """Hold what failed against rows of rule, level, place and the beginning of the line."""
    expected = rows(table)
    assert sorted(row[:3] for row in map(list, found)) == sorted(row[:3] for row in expected)
    on_line = {(rule, place): line for rule, _, place, line in found}
    for rule, _, place, beginning in expected:
        assert on_line[rule, place].startswith(beginning), (rule, place)


def edited(text: str, edits: Iterable[Edit]) -> str:
    for old, new in edits:
        assert text.count(old) == 1, f"{old!r} stands {text.count(old)} times in the plan"
        text = text.replace(old, new)
    return text


# The first draft

DRAFT_FAILS = """
    sockets-and-lights-apart        | error   | circuits.sockets            | sockets:
    socket-points-per-circuit       | warning | circuits.sockets            | sockets:
    appliance-has-own-circuit       | warning | circuits.sockets            | sockets:
    conductor-section               | error   | circuits.sockets            | sockets:
    breaker-protects-cable          | error   | circuits.sockets            | sockets:
    run-leads-somewhere             | error   | circuits.sockets.run-to-S6  | chain:
    conductor-colours               | error   | circuits.lights             | lights:
    rcd-protects                    | error   | circuits.lights             | lights:
    light-has-switch                | warning | study.ceiling.C1            | C1:
    conduit-not-overfull            | warning | circuits.lights.run-to-W2   | - {from: W1, to: W2
    hole-saw-matches-box            | error   | boxes.deep                  | deep:
    hole-saw-matches-box            | error   | boxes.flat                  | flat:
    board-lift                      | warning | boards.strand               | strand:
    support-spacing                 | error   | linings.insulated           | insulated:
    screw-length-and-spacing        | warning | linings.plain               | plain:
    outline-closes                  | error   | study                       | study:
    height-datum-known              | warning | study                       | study:
    wall-sound-before-lining        | error   | study.west                  | - wall: west
    damp-cause-cured                | error   | study.west                  | - wall: west
    wall-dry-enough                 | error   | study.west                  | - wall: west
    no-condensation-in-lining       | error   | study.west                  | - wall: west
    timber-dry-enough               | error   | study.west                  | - wall: west
    no-timber-on-damp-wall          | error   | study.west                  | - wall: west
    board-suits-room                | warning | study.west                  | - wall: west
    sealant-takes-paint             | warning | study.west.corner           | corner: {joint: sealant
    frame-held-mechanically         | error   | study.west.window           | window:
    point-on-wall                   | error   | study.west.W2               | W2:
    sealant-at-inside-corner        | error   | study.north-left.corner     | corner: filler
    no-timber-on-damp-wall          | error   | study.north-left            | - wall: north-left
    board-suits-room                | warning | study.north-left            | - wall: north-left
    point-on-wall                   | error   | study.north-left.S2         | S2:
    socket-heights-agree            | warning | study.north-left.S2         | S2:
    bead-at-outside-corner          | error   | study.breast-left.corner    | corner: filler
    tapered-edges-to-outside-corner | warning | study.breast-left.corner    | corner: filler
    pieces-fill-wall                | error   | study.breast-left           | - wall: breast-left
    readings-recent                 | warning | study.breast-left           | - wall: breast-left
    readings-on-one-scale           | error   | study.breast-face           | - wall: breast-face
    bead-in-one-piece               | warning | study.breast-face.corner    | corner: {joint: bead, length: 1.25 m}
    no-timber-on-damp-wall          | error   | study.north-right           | - wall: north-right
    board-suits-room                | warning | study.north-right           | - wall: north-right
    wall-read-before-closing        | error   | study.north-right           | - wall: north-right
    box-depth-fits                  | error   | study.north-right.S3        | S3:
    hung-load-has-backing           | warning | study.north-right.H1        | H1:
    box-has-backing                 | warning | study.east.S4               | S4:
    point-is-fed                    | error   | study.east.S5               | S5:
    switch-heights-agree            | warning | study.south.W1              | W1:
    concession-in-force             | warning | plan                        | - {rule: bead-at-outside-corner
"""

DRAFT_OPENS = {
    "circuits.sockets": {"dead-tests-recorded", "earth-fault-disconnection", "voltage-drop"},
    "circuits.lights": {"dead-tests-recorded"},
    "study.west": {"runs-photographed"},
    "study.west.S1": {"box-clear-of-corner", "height-in-reach"},  # the build-up of the floor, as for S3 and S4
    "study.north-left.S2": {"height-in-reach"},
    "study.north-right.S3": {"box-clear-of-corner", "height-in-reach"},
    "study.east.S4": {"box-clear-of-corner", "height-in-reach"},
    "study.west.window": {"sealant-at-inside-corner"},
    "study.west.W2": {"height-in-reach", "vapour-layer-unbroken"},
    "study.north-left": {"runs-photographed"},
    "study.breast-left": {"runs-photographed"},
    "study.breast-face": {"bond-suits-wall", "pieces-fill-wall", "runs-photographed", "wall-dry-enough"},
    "study.north-right": {"runs-photographed"},
    "study.breast-right": {
        "board-suits-room",
        "bond-suits-wall",
        "no-timber-on-damp-wall",
        "readings-on-one-scale",
        "readings-recent",
        "runs-photographed",
        "timber-dry-enough",
        "vapour-layer-unbroken",
        "wall-dry-enough",
        "wall-read-before-closing",
        "wall-sound-before-lining",
    },
    "study.east.S5": {
        "height-in-reach",
        "box-clear-of-corner",
        "box-depth-fits",
        "box-has-backing",
        "clamps-reach-boards",
    },
    "study.south.W1": {"height-in-reach"},
    "study.south.door": {"frame-fixing-spacing", "frame-held-mechanically"},
    "study.breast-right.corner": {"sealant-takes-movement", "sealant-takes-paint"},
    "study.north-right.corner": {"sealant-takes-movement", "sealant-takes-paint"},
    "study.east.corner": {"sealant-takes-movement", "sealant-takes-paint"},
    "study.south.corner": {"sealant-at-inside-corner", "sealant-takes-movement", "sealant-takes-paint"},
}


def test_first_draft_has_every_mistake_that_was_put_into_it_and_no_other(inspect: Inspect) -> None:
    text = DRAFT.read_text(encoding="utf-8")
    record = inspect(text)
    assert_rows(fails(record, text), DRAFT_FAILS)
    assert {(rule, place) for rule, place, _ in opens(record)} == {
        (rule, place) for place, rules in DRAFT_OPENS.items() for rule in rules
    }
    kinds = {rule for rule, *_ in rows(DRAFT_FAILS)}
    assert f"It holds {len(kinds)} kinds of mistake" in text


def test_nothing_in_the_first_draft_gives_a_mistake_away() -> None:
    header, plan = DRAFT.read_text(encoding="utf-8").split("plan: 1\n")
    comments = re.findall(r"#.*", plan)
    assert all(comment in READY.read_text(encoding="utf-8") for comment in comments)
    assert "None is pointed out below" in header


def test_every_failure_of_the_first_draft_says_what_to_do_and_leaves_no_figure_out(inspect: Inspect) -> None:
    for finding in inspect(DRAFT.read_text(encoding="utf-8")).findings:
        assert not re.search(r"[{}]|\bNone\b", finding.message), finding
        assert finding.remedy or finding.outcome is Verdict.OPEN, finding


@pytest.mark.parametrize(
    ("rule", "place", "measured", "allowed"),
    [
        ("conductor-section", "circuits.sockets", "1.5 mm²", "2.5 mm²"),
        ("breaker-protects-cable", "circuits.sockets", "16 A", "14.5 A"),  # method A1, IEC 60364-5-52, Table B.52.2
        # Four wires of at most 3.3 mm (EN 50525-2-31, from memory) in 10.7 mm: 4 × 3.3² ÷ 10.7².
        ("conduit-not-overfull", "circuits.lights.run-to-W2", "38 %", "33.3 %"),
        ("socket-points-per-circuit", "circuits.sockets", "7", "6"),
        ("hole-saw-matches-box", "boxes.deep", "67 mm", "68 mm"),
        ("outline-closes", "study", "0.63 m", "0.01 m"),  # 1.70 m written as 1.07 m
        ("wall-dry-enough", "study.west", "50 %", "23 %"),
        ("timber-dry-enough", "study.west", "22 %", "20 %"),
        ("socket-heights-agree", "study.north-left.S2", "240 mm", "250 mm"),
        ("readings-recent", "study.breast-left", "63 days", "30 days"),  # 1 August to 3 October
        ("box-depth-fits", "study.north-right.S3", "71 mm", "64.5 mm"),  # 61 + 10 mm in 40 + 12 + 12.5 mm
        ("bead-in-one-piece", "study.breast-face.corner", "1.25 m", "2.58 m"),  # 2.60 m less 20 mm
        ("support-spacing", "linings.insulated", "650 mm", "600 mm"),
        ("screw-length-and-spacing", "linings.plain", "13 mm", "16 mm"),  # 25 mm through a sheet of 12 mm
        # 12 mm of 650 kg/m³; the revised NIOSH equation with H 30, V 70, D 30 cm and a poor grip.
        ("board-lift", "boards.strand", "24.4 kg", "16.5 kg"),
        # 400 mm of board where 400 mm of wall, 64.5 mm behind the lining of north-left, get 37.5 mm in front of the
        # corner and lose 12.5 mm to the board of the breast's face: 360.5 mm at the floor, 356.5 mm at the ceiling.
        ("pieces-fill-wall", "study.breast-left", "39.5 mm", "5 mm"),
    ],
)
def test_the_first_draft_says_by_how_much(inspect: Inspect, rule: str, place: str, measured: str, allowed: str) -> None:
    findings = inspect(DRAFT.read_text(encoding="utf-8")).findings
    (found,) = [finding for finding in findings if (finding.rule, finding.place) == (rule, place)]
    assert (found.measured, found.allowed) == (measured, allowed)


# The same, ready to close


def test_ready_to_close_has_nothing_to_say(inspect: Inspect) -> None:
    record = inspect(READY.read_text(encoding="utf-8"))
    assert record.findings == ()
    assert record.tally[Verdict.PASS] > 0


def changes(kind: str) -> list[Any]:
    """The changes of one kind: their edits, and the table of what is expected."""
    return [pytest.param(change, id=name) for name, change in CHANGES[kind].items()]


def changed(change: dict[str, Any]) -> str:
    return edited(READY.read_text(encoding="utf-8"), change["edits"])


@pytest.mark.parametrize("change", changes("worse"))
def test_one_fact_changed_for_the_worse_fails_exactly_what_it_breaks(inspect: Inspect, change: dict[str, Any]) -> None:
    text = changed(change)
    record = inspect(text)
    assert_rows(fails(record, text), change["fails"])
    assert sorted(f"{rule} | {place}" for rule, place, _ in opens(record)) == change.get("opens", "").splitlines()


@pytest.mark.parametrize("change", changes("left out"))
def test_a_needed_key_left_out_is_open_and_named(inspect: Inspect, change: dict[str, Any]) -> None:
    text = changed(change)
    record = inspect(text)
    assert fails(record, text) == set()
    expected = [(rule, place, tuple(keys.split(", "))) for rule, place, keys in rows(change["opens"])]
    assert sorted(opens(record)) == sorted(expected)


@pytest.mark.parametrize("change", changes("absence means"))
def test_a_key_left_out_means_what_the_schema_says(inspect: Inspect, change: dict[str, Any]) -> None:
    text = changed(change)
    record = inspect(text)
    assert opens(record) == set()
    assert_rows(fails(record, text), change["fails"])


IN_THE_STUDY = {
    "circuit": 2,
    "run": 4 + 2,
    "box": 2,
    "room": 1,
    "wall": 8,
    "corner": 8,
    "lining": 3,
    "floor": 1,
    "ceiling": 1,
    "board": 2,
    "piece": 1 + 3,
    "board joint": 2,
    "opening": 2,
    "reveal edge": 1,
    "frame joint": 1,
    "point": 6,
    "fixture": 0,
    "heights of sockets": 1,
    "heights of switches": 1,
    "plan": 1,
    "task": 14,
    "pipe": 0,
    "slope": 0,
}
"""The things of the study, counted by hand."""


def test_the_tally_adds_up_to_rules_times_things(inspect: Inspect, rulebook: registry.Rulebook) -> None:
    # Without the engine's own: there is no concession and no release to judge.
    tally = inspect(READY.read_text(encoding="utf-8")).tally
    assert sum(tally.values()) == sum(IN_THE_STUDY[kind.called] for rule in rulebook.rules for kind in rule.judges)


# The other examples


@pytest.mark.parametrize(
    ("name", "expected_fails", "expected_opens"),
    [
        (
            "ferry-cottage",
            "no-mould-at-surface | note | hall.south | - wall: south",
            """sealant-at-inside-corner | parlour.bay-front.bay-window | reveal.frame_joint
            frame-held-mechanically | hall.south.front-door | frame.held_by
            frame-fixing-spacing | hall.south.front-door | frame.held_by, frame.spacing, frame.from_corner
            bead-in-one-piece | kitchen.return.corner | corner.length""",
        ),
        (
            "smallest",
            """conductor-section | error | circuits.sockets | sockets:
            socket-heights-agree | warning | back.window-side.S2 | S2:""",
            None,
        ),
        ("crew/plans/mill-lane-landing", "", ""),
        ("crew/plans/mill-lane-porch", "", None),
    ],
)
def test_what_the_others_find(inspect: Inspect, name: str, expected_fails: str, expected_opens: str | None) -> None:
    text = (EXAMPLES / f"{name}.plan.yaml").read_text(encoding="utf-8")
    record = inspect(text)
    assert_rows(fails(record, text), expected_fails)
    if expected_opens is None:
        assert opens(record)
    else:
        expected = [(rule, at, tuple(keys.split(", "))) for rule, at, keys in rows(expected_opens)]
        assert sorted(opens(record)) == sorted(expected)


def test_the_concession_of_the_cottage_is_in_use(inspect: Inspect) -> None:
    record = inspect(COTTAGE.read_text(encoding="utf-8"))
    conceded = [(finding.rule, finding.place) for finding in record.findings if finding.conceded]
    assert conceded == [("socket-heights-agree", "parlour.south.S4")]
    assert record.tally[Verdict.CONCEDED] == 1


def test_the_smallest_is_short() -> None:
    assert len((EXAMPLES / "smallest.plan.yaml").read_text(encoding="utf-8").splitlines()) < 20


def metres(length: str | dict[str, str]) -> float:
    """A length in metres, read by a way of its own; 1 ft = 0.3048 m exactly (international yard and pound, 1959)."""
    text = length["bottom"] if isinstance(length, dict) else length
    units = {"m": Fraction(1), "mm": Fraction(1, 1000), "ft": Fraction(3048, 10000), "in": Fraction(254, 10000)}
    parts = re.findall(r"([\d./ ]*\d) ?(mm|m|ft|in)\b", text)
    return float(sum(sum(map(Fraction, figure.split())) * units[unit] for figure, unit in parts))


def turned(then: str | dict[str, str]) -> float:
    """How far one turns to the right, in degrees."""
    if isinstance(then, dict):
        return float(then["by"].removesuffix(" deg")) * {"right": 1, "left": -1}[then["turn"]]
    return {"right": 90, "left": -90, "straight": 0}[then]


@pytest.mark.parametrize("plan", PLANS, ids=lambda plan: plan.name)
def test_closed_rooms_close_by_an_independent_sum(plan: Path) -> None:
    """Walls as complex numbers, each turned from the one before: their sum is the misclosure."""
    rooms: dict[str, Any] = yaml.safe_load(plan.read_text(encoding="utf-8"))["rooms"]
    for room in rooms.values():
        if room.get("outline") != "closed" or plan == DRAFT:
            continue
        heading, end = 0.0, 0j
        for wall in room["walls"]:
            end += cmath.rect(metres(wall["length"]), heading)
            heading -= math.radians(turned(wall["then"]))
        assert abs(end) <= 0.010
        assert heading == pytest.approx(-math.tau)


# Headers, the command line, and a crew's repository


def planlint(*words: str, cwd: Path) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-m", "planlint", *words],
        cwd=cwd,
        capture_output=True,
        text=True,
        encoding="utf-8",
        check=False,
    )


@pytest.mark.parametrize(
    "example",
    sorted(path for path in EXAMPLES.rglob("*") if path.is_file() and not MADE & set(path.parts)),
    ids=lambda path: path.name,
)
def test_each_header_says_what_it_shows_and_what_to_run(example: Path) -> None:
    header = re.match(r"(#!.*\n)?((?:#.*\n)+)", example.read_text(encoding="utf-8"))
    assert header
    assert re.search(r"\b[Ii]t\s+(# )?shows\b", header[2])
    assert "# Run: " in header[2]


@pytest.mark.parametrize("plan", PLANS, ids=lambda plan: plan.name)
def test_the_command_in_the_header_ends_as_the_header_says(plan: Path) -> None:
    command = re.search(r"^# Run: planlint (.*)$", plan.read_text(encoding="utf-8"), re.MULTILINE)
    assert command
    done = planlint(*shlex.split(command[1]), cwd=EXAMPLES.parent)
    assert (done.returncode, done.stderr) == (1 if plan.name in (DRAFT.name, "smallest.plan.yaml") else 0, "")


def test_the_hook_looks_at_every_plan_of_the_crew_and_at_nothing_else() -> None:
    config = yaml.safe_load((CREW / ".pre-commit-config.yaml").read_text(encoding="utf-8"))
    (hook,) = config["repos"][0]["hooks"]
    assert (config["repos"][0]["repo"], hook["language"]) == ("local", "system")
    files = [path.relative_to(CREW).as_posix() for path in CREW.rglob("*") if path.is_file()]
    seen = [file for file in files if re.search(hook["files"], file)]
    assert sorted(seen) == ["plans/mill-lane-landing.plan.yaml", "plans/mill-lane-porch.plan.yaml"]
    assert hook["entry"] == "planlint inspect"
    assert planlint("inspect", *seen, cwd=CREW).returncode == 0
