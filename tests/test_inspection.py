import json
from collections import Counter
from datetime import date
from itertools import pairwise
from random import Random
from typing import Any

import pytest
import yaml
from hypothesis import given, settings
from hypothesis import strategies as st

from planlint import source
from planlint.errors import LimitError, PlanFaults, UsageError
from planlint.inspection import ENGINE_CARDS, Wanted, inspect
from planlint.model.build import build
from planlint.model.rooms import Room, Wall
from planlint.records import HoldPoint, Level, Passing, PlanRecord, Verdict
from planlint.registry import Rulebook, load
from planlint.rule import NOT_APPLICABLE, PASS, Fail, Given, Open, Outcome, Remedy, rule
from planlint.units import Length

TODAY = date(2026, 6, 1)
# A plan of a boathouse with something wrong in every family.
BOATHOUSE = """
plan: 1
title: the boathouse
tools: {hole_saws: [65 mm]}
boxes: {deep: {hole: 68 mm}}
boards: {narrow: {kind: gypsum, thickness: 12.5 mm, edges: tapered}}
bases: {rubble: {material: rubble-stone, faces: outside, sound: true}}
linings:
  glued: {adhesive: {kind: foam}, layers: [{board: narrow}]}
circuits:
  sockets:
    serves: sockets
    breaker: {rating: 16 A}
    section: 1.5 mm²
    conductors: {line: brown, neutral: blue, earth: green-yellow}
    chain: [supply, S1, S2, X9]
    lengths: {S1: 11 m}
rooms:
  slip:
    height: 2.60 m
    outline: closed
    floor: {heights_from: raw}
    walls:
      - wall: west
        length: 4 m
        then: right
        corner: filler
        base: rubble
        lining: glued
        readings:
          - {date: 2026-05-20, scale: wood-equivalent, at: 400 mm, column: {150 mm: 26 %, 600 mm: 18 %, 1200 mm: 17 %}}
        openings:
          window: {kind: window, at: 1 m, width: 1 m, sill: 900 mm, height: 1.2 m, reveal: {edges: tape}}
        points:
          S1: {kind: socket, at: 500 mm, height: 250 mm, circuit: sockets, box: deep}
      - wall: north
        length: 3 m
        then: right
        corner: sealant
        lining: none
        points:
          S2: {kind: socket, at: 1 m, height: 300 mm, circuit: sockets}
      - wall: east
        length: 4.05 m
        then: right
      - wall: south
        length: 3 m
        then: right
        points:
          L1: {kind: light, at: 3.5 m, height: 2 m, circuit: sockets}
  loft:
    outline: partial
    walls:
      - {wall: long, then: left, corner: sealant}
      - {wall: short}
concessions:
  - {rule: sealant-at-inside-corner, at: slip.west.corner, reason: later, agreed_by: owner, until: 2026-12-31}
  - {rule: socket-heights-agree, at: slip, reason: later, agreed_by: owner, until: 2026-12-31}
"""


@pytest.fixture(scope="module")
def installed() -> Rulebook:
    return load(ENGINE_CARDS)


def look(text: str, book: Rulebook, **wanted: Any) -> PlanRecord:  # noqa: ANN401 - what is wanted
    return inspect(source.read(text.encode(), "boathouse.plan.yaml"), book, Wanted(**{"today": TODAY} | wanted))


def edited(old: str, new: str) -> str:
    assert BOATHOUSE.count(old) == 1, old
    return BOATHOUSE.replace(old, new)


@rule("walls-bear-looking-at", judges=Wall, level=Level.ERROR, guards=HoldPoint.TILING)
def breaks_down(wall: Wall, given: Given) -> Outcome:  # noqa: ARG001 - every rule takes both
    """Walls bear looking at.

    Why: so that something breaks down on every wall but one.
    Source: this test.
    """
    if wall.name == "west":
        return PASS
    raise ZeroDivisionError(wall.name)


@rule("limit-was-declared", judges=Room, level=Level.ERROR, guards=HoldPoint.TILING, reads=("gang_spacing",))
def reads_undeclared(room: Room, given: Given) -> Outcome:  # noqa: ARG001 - every rule takes both
    """The limit was declared.

    Why: so that a rule reads what it did not declare.
    Source: this test.
    """
    given.quantity("plate_width", Length)
    return PASS


@rule("walls-are-long", judges=Wall | Room, level=Level.ERROR, guards=HoldPoint.FLOORING, needs=("length",))
def lengths(thing: Wall | Room, given: Given) -> Outcome:  # noqa: ARG001 - every rule takes both
    """Walls are long.

    Why: so that one rule has every outcome.
    Source: this test.
    """
    if isinstance(thing, Room):
        first = thing.walls[0]
        return Fail("lower", measured="short", allowed="long", remedy=Remedy("build on"), at=first, level=Level.NOTE)
    if thing.length is None:
        return Open("how long it is", "length")
    if thing.length > 4:
        return Fail("{measured} for {allowed}", measured=thing.length, allowed=Length(4.0, "m"))
    return NOT_APPLICABLE if thing.name == "south" else PASS


def by_hand(installed: Rulebook, *rules: Any) -> Rulebook:  # noqa: ANN401 - rules
    return Rulebook(rules, (*(each.card("a-package") for each in rules), *ENGINE_CARDS), installed.limit_folders)


def test_every_check_is_counted(installed: Rulebook) -> None:
    record = look(BOATHOUSE, installed)
    document = source.read(BOATHOUSE.encode(), "boathouse.plan.yaml")
    of_kind = Counter(type(thing) for thing in build(document).things())
    checks = sum(of_kind[kind] for each in installed.rules for kind in each.judges)
    assert sum(record.tally.values()) == checks + 2  # the two concessions
    assert set(record.tally) == set(Verdict)
    assert record.rules == len(installed.rules)
    assert record.tally[Verdict.FAIL] == sum(f.outcome is Verdict.FAIL and not f.conceded for f in record.findings)
    assert record.tally[Verdict.CONCEDED] == sum(f.conceded is not None for f in record.findings) == 1


def test_a_rule_that_breaks_down_is_contained_and_counted(installed: Rulebook) -> None:
    record = look(BOATHOUSE, by_hand(installed, breaks_down, lengths))
    alone = look(BOATHOUSE, by_hand(installed, lengths))
    # Six walls, one of which passes; what the other rule finds is untouched.
    assert [(crash.rule, crash.place) for crash in record.crashes] == [
        ("walls-bear-looking-at", place)
        for place in ("slip.north", "slip.east", "slip.south", "loft.long", "loft.short")
    ]
    assert record.tally[Verdict.CRASHED] == 5
    assert {crash.package for crash in record.crashes} == {"a-package"}
    assert record.crashes[0].error == "ZeroDivisionError('north')"
    assert [f for f in record.findings if f.rule == "walls-are-long"] == [
        f for f in alone.findings if f.rule == "walls-are-long"
    ]


def test_a_rule_that_broke_down_holds_what_it_guards_and_nothing_else(installed: Rulebook) -> None:
    book = by_hand(installed, breaks_down, lengths)
    broken, other = (look(BOATHOUSE, book, hold_point=point).hold for point in (HoldPoint.TILING, HoldPoint.FLOORING))
    assert broken
    assert (broken.state, broken.in_the_way, broken.rules) == (Passing.HOLD, 5, ("walls-bear-looking-at",))
    assert (broken.tally[Verdict.CRASHED], broken.tally[Verdict.PASS]) == (5, 1)
    assert other
    assert other.tally[Verdict.CRASHED] == 0
    only_west = look(BOATHOUSE, book, hold_point=HoldPoint.TILING, place="slip.west").hold
    assert only_west
    assert only_west.state is Passing.MAY_BE_RELEASED


def test_reading_a_limit_without_declaring_it_breaks_down(installed: Rulebook) -> None:
    record = look(BOATHOUSE, by_hand(installed, reads_undeclared))
    assert len(record.crashes) == 2
    assert "plate_width" in record.crashes[0].error


def test_tests_can_let_a_rule_break_down(installed: Rulebook) -> None:
    with pytest.raises(ZeroDivisionError):
        look(BOATHOUSE, by_hand(installed, breaks_down), contain=False)


def test_what_a_finding_carries(installed: Rulebook) -> None:
    record = look(BOATHOUSE, by_hand(installed, lengths), only=("walls-are-long",))
    found = {(finding.place, finding.outcome): finding for finding in record.findings}
    east = found["slip.east", Verdict.FAIL]
    assert (east.message, east.measured, east.allowed) == ("4.05 m for 4 m", "4.05 m", "4 m")
    assert (east.level, east.guards, east.missing) == (Level.ERROR, HoldPoint.FLOORING, ())
    # A rule may place a finding finer than the thing that it judged, and lower its level.
    assert found["slip.west", Verdict.FAIL].level is Level.NOTE
    unknown = found["loft.long", Verdict.FAIL], found["loft.long", Verdict.OPEN]
    assert unknown[1].level is Level.NOTE
    assert unknown[1].missing == ("length",)
    assert unknown[1].message == "not recorded: how long it is (add length)"


def test_findings_come_in_the_order_of_the_file(installed: Rulebook) -> None:
    record = look(BOATHOUSE, installed)
    order = [(finding.line, finding.column, finding.rule) for finding in record.findings]
    assert order == sorted(order)
    lines = BOATHOUSE.splitlines()
    (bead,) = (f for f in record.findings if f.rule == "sealant-at-inside-corner" and f.place == "slip.west.corner")
    assert lines[bead.line - 1].strip() == "corner: filler"


def test_a_hold_point_narrows_to_the_rules_that_guard_it(installed: Rulebook) -> None:
    whole = look(BOATHOUSE, installed)
    for point in HoldPoint:
        part = look(BOATHOUSE, installed, hold_point=point)
        assert part.rules == sum(each.guards is point for each in installed.rules)
        assert [f for f in part.findings if f.rule != "concession-in-force"] == [
            f for f in whole.findings if f.guards is point
        ]


def test_a_place_narrows_to_what_lies_under_or_bears_on_it(installed: Rulebook) -> None:
    places = {finding.place for finding in look(BOATHOUSE, installed, place="slip.west").findings}
    assert {"slip.west", "slip.west.corner", "slip.west.window"} <= places
    assert "boxes.deep" in places
    assert not {place for place in places if place.startswith(("slip.south", "loft"))}
    assert not {"slip.north.corner", "slip.north"} & places
    assert "circuits.sockets" in places
    loft = {finding.place for finding in look(BOATHOUSE, installed, place="loft").findings}
    assert {place.split(".")[0] for place in loft} <= {"loft", "building", "supply", "plan", "access", "work"}


def test_the_place_plan_is_everything(installed: Rulebook) -> None:
    assert look(BOATHOUSE, installed, place="plan").findings == look(BOATHOUSE, installed).findings


def test_a_place_is_asked_for_in_any_spelling_of_its_letters(installed: Rulebook) -> None:
    text = "plan: 1\ntitle: t\nrooms:\n  caf\u00e9: {walls: [{wall: west}]}\n"
    assert (
        look(text, installed, place="cafe\u0301.west").findings
        == look(text, installed, place="caf\u00e9.west").findings
    )


def test_only_some_rules_or_a_family(installed: Rulebook) -> None:
    assert {f.family for f in look(BOATHOUSE, installed, only=("heights",)).findings} <= {"heights", "order"}
    record = look(BOATHOUSE, installed, only=("outline-closes",))
    assert [(f.rule, f.place) for f in record.findings] == [("outline-closes", "slip")]


@pytest.mark.parametrize(
    ("wanted", "said"),
    [
        ({"place": "slip.wst"}, "did you mean slip.west?"),
        ({"place": "nowhere-at-all"}, "a place is a dotted name"),
        ({"only": ("outline-close",)}, "did you mean outline-closes?"),
        ({"only": ("heigths",)}, "did you mean heights?"),
        ({"only": ("outline-closes", "xyzzy")}, "no rule or family of rules called xyzzy"),
    ],
)
def test_what_is_not_there_is_said_with_the_nearest(installed: Rulebook, wanted: dict[str, Any], said: str) -> None:
    with pytest.raises(UsageError, match=r"there is no") as caught:
        look(BOATHOUSE, installed, **wanted)
    assert said in str(caught.value)


@pytest.mark.parametrize(
    ("limits", "column"),
    [
        ("limits: generall", 9),
        ("limits: [general, atlantis]", 19),
        ("limits: [general, {gang_spacin: {value: 71 mm, reason: r}}]", 20),
        ("limits: [general, {gang_spacing: {value: 71 A, reason: r}}]", 42),
        ("limits: [general, {gang_spacing: {value: 71 m, reason: r}}]", 42),
    ],
)
def test_a_fault_of_the_limits_has_its_line(installed: Rulebook, limits: str, column: int) -> None:
    text = edited("title: the boathouse\n", f"title: the boathouse\n{limits}\n")
    with pytest.raises(PlanFaults) as caught:
        look(text, installed)
    (fault,) = caught.value.faults
    assert fault.line == 4
    assert fault.message
    assert fault.hint
    assert column - 1 <= fault.column <= column + len("gang_spacing: {value: ")


def test_limits_asked_for_from_outside_stand_in_no_file(installed: Rulebook) -> None:
    with pytest.raises(LimitError):
        look(BOATHOUSE, installed, limits="atlantis")


def test_limits_asked_for_replace_those_of_the_plan(installed: Rulebook) -> None:
    own = edited(
        "title: the boathouse\n",
        "title: the boathouse\nlimits: [general, {outline_misclosure: {value: 60 mm, reason: old walls}}]\n",
    )
    assert look(own, installed, only=("outline-closes",)).findings == ()
    assert look(own, installed, only=("outline-closes",)).overridden == ("outline_misclosure: 60 mm (old walls)",)
    assert len(look(own, installed, only=("outline-closes",), limits="general").findings) == 1


def test_the_same_plan_gives_the_same_record(installed: Rulebook) -> None:
    assert look(BOATHOUSE, installed) == look(BOATHOUSE, installed)


# Another spelling of the same plan: exact conversions of units, other orders, anchors, long forms for short ones.
ONE_METRE = {"mm": 1000, "cm": 100, "m": 1}
DATA = yaml.safe_load(BOATHOUSE.replace("2026-05-20", "'2026-05-20'").replace("2026-12-31", "'2026-12-31'"))


def respelt(node: Any, draw: Random, key: str = "") -> Any:  # noqa: ANN401 - plain YAML data
    if isinstance(node, dict):
        items = [
            (length(name, draw) if key == "column" else name, respelt(of, draw, name)) for name, of in node.items()
        ]
        if key not in ("points", "openings", "circuits", "rooms", "column"):
            draw.shuffle(items)
        if key == "sockets" and draw.random() < 0.5:
            return as_runs(dict(items))
        return dict(items)
    if isinstance(node, list):
        return [respelt(item, draw) for item in node]
    if key == "corner" and draw.random() < 0.5:
        return {"joint": node}
    if key == "then" and node != "straight" and draw.random() < 0.5:
        return {"turn": node, "by": "90 deg"}
    if key == "length" and draw.random() < 0.5:
        return {"top": length(node, draw), "bottom": length(node, draw)}
    return length(node, draw) if isinstance(node, str) else node


def length(text: str, draw: Random) -> str:
    figure, _, unit = text.partition(" ")
    if unit not in ONE_METRE:
        return text.replace("mm²", draw.choice(["mm²", "mm2", "mm^2"]))
    micrometres = round(float(figure) * 1_000_000 / ONE_METRE[unit])
    other = draw.choice([*ONE_METRE])
    return f"{micrometres * ONE_METRE[other] / 1_000_000:.6f} {other}"


def as_runs(circuit: dict[str, Any]) -> dict[str, Any]:
    chain, lengths = circuit.pop("chain"), circuit.pop("lengths")
    circuit["runs"] = [
        {"from": start, "to": end} | ({"length": lengths[end]} if end in lengths else {})
        for start, end in pairwise(chain)
    ]
    return circuit


def with_anchors(data: Any) -> str:  # noqa: ANN401 - plain YAML data
    """The plan with one object for all that is alike, which the writer turns into anchors and aliases."""
    known: dict[str, Any] = {}

    def shared(node: Any) -> Any:  # noqa: ANN401 - plain YAML data
        if isinstance(node, dict):
            node = {key: shared(value) for key, value in node.items()}
        elif isinstance(node, list):
            node = [shared(value) for value in node]
        else:
            return node
        return known.setdefault(json.dumps(node), node)

    return yaml.safe_dump(shared(data), sort_keys=False, allow_unicode=True)


def told(record: PlanRecord) -> list[tuple[Any, ...]]:
    return sorted((f.rule, f.place, f.outcome, f.level, f.missing, f.conceded is not None) for f in record.findings)


@settings(derandomize=True, deadline=None, max_examples=40)
@given(st.randoms(use_true_random=False), st.booleans())
def test_respelling_a_plan_keeps_the_findings(installed: Rulebook, draw: Random, anchors: bool) -> None:  # noqa: FBT001 - drawn
    data = respelt(DATA, draw)
    text = with_anchors(data) if anchors else json.dumps(data)
    plain, other = look(BOATHOUSE, installed, contain=False), look(text, installed, contain=False)
    assert told(other) == told(plain)
    assert other.tally == plain.tally


@settings(derandomize=True, deadline=None, max_examples=30)
@given(st.sampled_from(["filler", "tape", "none", "sealant"]), st.sampled_from(["4 m", "4.05 m", "5 m"]))
def test_a_mistake_changes_no_finding_on_what_it_does_not_touch(installed: Rulebook, corner: str, east: str) -> None:
    plain = look(BOATHOUSE, installed)
    changed = look(edited("corner: filler", f"corner: {corner}").replace("4.05 m", east), installed)

    def elsewhere(record: PlanRecord) -> list[tuple[Any, ...]]:
        touched = ("slip", "slip.west.corner", "plan")
        return [finding for finding in told(record) if finding[1] not in touched]

    assert elsewhere(plain) == elsewhere(changed)
