from string import Template

import pytest

from planlint import source
from planlint.errors import Fault, PlanFaults
from planlint.model.build import build
from planlint.schema import check

MILL = Template("""
plan: 1
title: the mill
access: {passages: {gate: {kind: door}}}
boxes: {deep: {hole: 68 mm}}
boards: {narrow: {}, strand: {kind: osb}}
bases: {rubble: {material: rubble-stone}}
linings: {warm: {layers: [{board: $layer}]}, glued: {}}
circuits:
  lamps: {runs: [{from: supply, to: W1, path: [{wall: $path, at: 1 m, height: 1 m}]}]}
rooms:
  bin:
    reached_by: [$passage]
    fixtures: {rail: {kind: rail, wall: $fixture}}
    slopes: {roof: {above: $above, lining: $slope}}
    diagonals: [{from: $start, to: $end, length: 5 m}]
    ceiling:
      lining: $ceiling
      base: $joists
      points: {C1: {kind: light, at: {$beside: 1 m}}}
    walls:
      - wall: west
        base: $base
        lining: $lining
        back_of: {wall: $back}
        existing: {$existing}
        pieces: [{board: $piece}]
        openings: {hatch: {kind: window}}
        points: {W1: {kind: switch, box: $box}}
        pipes: {feed: {kind: water, path: [{wall: $pipe, at: 1 m, height: 1 m}]}}
      - {wall: north, lining: {build_up: $part, to: 1 m}}
work:
  $work
concessions: [{rule: some-rule, at: $conceded, reason: none, agreed_by: owner, until: 2026-12-31}]
reviews: [{rule: some-rule, at: $reviewed, by: owner, date: 2026-12-31}]
""")
SOUND = {
    "layer": "narrow",
    "path": "bin.west",
    "passage": "gate",
    "fixture": "west",
    "above": "north",
    "slope": "warm",
    "start": "west",
    "end": "north",
    "ceiling": "glued",
    "joists": "rubble",
    "beside": "west",
    "base": "rubble",
    "lining": "warm",
    "back": "bin.north",
    "existing": "board: narrow",
    "piece": "narrow",
    "box": "deep",
    "pipe": "bin.west",
    "part": "glued",
    "work": "- {task: fill, kind: filling, rooms: [bin], walls: [bin.north]}",
    "conceded": "bin.west.hatch",
    "reviewed": "bin.west.corner",
}
TASK = "- {task: fill, kind: filling, "


def faults(text: str) -> tuple[Fault, ...]:
    document = source.read(text.encode(), "mill.plan.yaml")
    assert check(document) == []
    try:
        build(document)
    except PlanFaults as error:
        return error.faults
    return ()


def test_a_plan_whose_references_all_lead_somewhere() -> None:
    assert faults(MILL.substitute(SOUND)) == ()


@pytest.mark.parametrize(
    ("where", "written", "what", "nearest"),
    [
        ("layer", "narow", "board", "narrow"),
        ("piece", "strandd", "board", "strand"),
        ("existing", "board: narwo", "board", "narrow"),
        ("existing", "layers: [{board: starnd}]", "board", "strand"),
        ("box", "depe", "box", "deep"),
        ("base", "ruble", "base", "rubble"),
        ("joists", "rubbel", "base", "rubble"),
        ("lining", "wram", "lining", "warm"),
        ("ceiling", "gleud", "lining", "glued"),
        ("part", "gluede", "lining", "glued"),
        ("slope", "warmm", "lining", "warm"),
        ("passage", "gaet", "passage", "gate"),
        ("path", "bin.wets", "wall", "bin.west"),
        ("pipe", "bin.nroth", "wall", "bin.north"),
        ("back", "bni.north", "wall", "bin.north"),
        ("fixture", "wets", "wall", "west"),
        ("above", "nroth", "wall", "north"),
        ("start", "wsst", "wall", "west"),
        ("end", "norht", "wall", "north"),
        ("beside", "weest", "wall", "west"),
        ("work", TASK + "rooms: [bni]}", "room", "bin"),
        ("work", TASK + "walls: [bin.wset]}", "wall", "bin.west"),
        ("work", "usual: [bnn]", "room", "bin"),
        ("conceded", "bin.west.hacth", "place", "bin.west.hatch"),
        ("reviewed", "bin.west.croner", "place", "bin.west.corner"),
    ],
)
def test_a_reference_to_nothing(where: str, written: str, what: str, nearest: str) -> None:
    text = MILL.substitute(SOUND | {where: written})
    name = written.rpartition(" ")[2].strip("[]{}")
    (line,) = (number for number, each in enumerate(text.splitlines(), 1) if name in each)
    (fault,) = faults(text)
    assert fault.message == f"there is no {what} called {name}"
    assert fault.hint == f"did you mean {nearest}?"
    assert (fault.file, fault.line) == ("mill.plan.yaml", line)


def test_every_one_of_them_is_told_at_once() -> None:
    wrong = {"box": "depe", "base": "ruble", "passage": "gaet"}
    text = MILL.substitute(SOUND | wrong)
    assert [fault.message.rpartition(" ")[2] for fault in faults(text)] == ["gaet", "ruble", "depe"]


def test_a_name_that_is_like_none_lists_those_that_there_are() -> None:
    (fault,) = faults(MILL.substitute(SOUND | {"piece": "xylophone"}))
    assert fault.hint == "describe it under boards, or use one of: narrow, strand"


def test_where_nothing_is_described_the_hint_says_where_to_describe_it() -> None:
    (fault,) = faults(MILL.substitute(SOUND).replace("boxes: {deep: {hole: 68 mm}}\n", ""))
    assert (fault.message, fault.hint) == ("there is no box called deep", "describe it under boxes")


def test_a_slope_and_a_ceiling_may_stay_as_they_are() -> None:
    assert faults(MILL.substitute(SOUND | {"slope": "none", "ceiling": "none", "lining": "none"})) == ()


def test_a_survey_may_cover_rooms_that_the_plan_does_not_hold() -> None:
    surveys = "building: {surveys: {asbestos: {date: 2026-01-01, covers: [attic]}}}\n"
    assert faults(MILL.substitute(SOUND) + surveys) == ()


def test_a_name_is_compared_as_composed_however_it_was_typed() -> None:
    # An o with a diaeresis as one character, and as an o with a combining mark (Unicode Standard Annex 15, NFC).
    composed, decomposed = "l\N{LATIN SMALL LETTER O WITH DIAERESIS}ss", "lo\N{COMBINING DIAERESIS}ss"
    text = MILL.substitute(SOUND | {"base": decomposed}).replace("rubble: {", f"{composed}: {{")
    assert composed != decomposed
    assert faults(text.replace("base: rubble", f"base: {composed}")) == ()
