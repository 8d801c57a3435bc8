"""`planlint behind` as a whole: distances worked out by hand, and that it never says that nothing is there."""

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft202012Validator

from planlint.schema import load_schema

Main = Callable[..., tuple[int, str, str]]
Tannery = Callable[..., Path]
Answer = Callable[..., dict[str, Any]]

TANNERY = """\
plan: 1
title: Tannery, office and store
boxes:
  deep: {hole: 68 mm, depth: 61 mm}
boards:
  narrow: {kind: gypsum, thickness: 12.5 mm}
bases:
  front: {material: solid-brick, thickness: 380 mm, faces: outside}
  stud: {material: timber-stud, thickness: 100 mm, faces: inside}
linings:
  plain:
    battens: {spacing: 600 mm, width: 50 mm, depth: 40 mm}
    layers: [{material: air, thickness: 40 mm}, {board: narrow}]
circuits:
  sockets:
    conduit: {outside: 20 mm}
    runs:
      - {from: S1, to: S2, path: [{wall: office.north, at: 0.90 m, height: 0.30 m}], depth: 40 mm}
  lights:
    runs:
      - {from: supply, to: W1}
rooms:
  office:
    height: 2.60 m
    floor: {heights_from: finished, build_up: 50 mm}
    outline: partial
    ceiling:
      lining: plain
      points:
        C1: {kind: light, at: {north: 1.20 m, east: 0.90 m}}
        C2: {kind: light, at: {north: 2.00 m}}
    walls:
      - wall: north
        length: 4.00 m
        then: right
        base: front
        lining: plain
        chases: [{direction: vertical, at: 3.00 m, width: 30 mm, depth: 20 mm, height: 0.30 m, length: 1.00 m}]
        openings:
          window: {kind: window, at: 1.50 m, width: 1.00 m, sill: 0.90 m, height: 1.20 m}
        points:
          S1: {kind: socket, at: 0.40 m, height: 0.30 m, box: deep, circuit: sockets}
          S2: {kind: socket, at: 1.30 m, height: 0.30 m, box: deep, circuit: sockets}
        pipes:
          hot: {kind: water, at: 3.60 m, height: 0.50 m, outside: 20 mm, depth: 30 mm,
            path: [{wall: office.north, at: 3.60 m, height: 0.00 m}]}
        photos: [north.jpg]
      - wall: east
        length: 3.00 m
        base: stud
        lining: none
        existing: {board: narrow}
        points:
          W1: {kind: switch, at: 0.50 m, height: 1.05 m, box: deep, circuit: lights}
  store:
    height: 2.60 m
    floor: {heights_from: raw, build_up: 20 mm}
    outline: partial
    walls:
      - wall: west
        length: 2.00 m
        base: stud
        lining: none
        existing: {board: narrow}
        battens_at: [0.10 m, 0.70 m]
        back_of: {wall: office.east, offset: 0.20 m}
        points:
          T1: {kind: socket, at: 0.55 m, height: 0.40 m, box: deep}
    slopes:
      roof: {above: west, rafters: 160 mm, lining: plain}
"""
NORTH = "office.north"


@pytest.fixture
def tannery(tmp_path: Path) -> Tannery:
    """Writes the plan of the tannery, with texts of it replaced."""

    def write(*edits: tuple[str, str]) -> Path:
        text = TANNERY
        for old, new in edits:
            assert text.count(old) == 1, old
            text = text.replace(old, new)
        file = tmp_path / "office.plan.yaml"
        file.write_text(text, encoding="utf-8")
        return file

    return write


@pytest.fixture
def answer(main: Main) -> Answer:
    """What lies behind a spot as programs read it, held against its schema."""

    def read(plan: Path, place: str, at: str, height: str, *options: str) -> dict[str, Any]:
        status, out, err = main("behind", plan, place, "--at", at, "--height", height, "--report=json", *options)
        assert (status, err) == (0, "")
        found: dict[str, Any] = json.loads(out)
        Draft202012Validator(load_schema("behind-1")).validate(found)
        return found

    return read


def said(text: str) -> str:
    return " ".join(text.split())


def the(kind: str, found: dict[str, Any]) -> dict[str, Any]:
    """The one thing of that kind."""
    (one,) = (one for one in found["near"] if one["kind"] == kind)
    return dict(one)


def test_the_schema_is_one_and_is_printed(main: Main) -> None:
    schema = json.loads(main("schema", "behind")[1])
    Draft202012Validator.check_schema(schema)
    assert schema["title"] == "what lies behind a spot"


def test_the_edge_of_a_box(tannery: Tannery, answer: Answer) -> None:
    """30 mm to the right and 40 mm up from the middle of S1 are 50 mm, and its hole has a radius of 34 mm."""
    box = the("box", answer(tannery(), NORTH, "0.43 m", "0.34 m"))
    assert (box["place"], box["distance"]["said"], box["least"]["said"]) == ("office.north.S1", "16 mm", "16 mm")
    assert (box["direction"], box["certain"]) == ("to the left and down", True)


def test_each_hole_of_a_plate_counts(tannery: Tannery, answer: Answer) -> None:
    """Of two holes the right one is 35.5 mm beyond the middle of the plate: 0.40 + 0.0355 + 0.034 + 0.01 = 0.4795 m."""
    plan = tannery(("at: 0.40 m, height: 0.30 m,", "at: 0.40 m, height: 0.30 m, gangs: 2,"))
    assert the("box", answer(plan, NORTH, "0.4795 m", "0.30 m"))["distance"]["said"] == "10 mm"


def test_a_drawn_cable(tannery: Tannery, answer: Answer) -> None:
    """It runs level at 0.30 m in a conduit of 20 mm: 100 mm above it leave 90 mm."""
    cable = the("cable", answer(tannery(), NORTH, "0.80 m", "0.40 m"))
    assert (cable["distance"]["said"], cable["least"]["said"], cable["direction"]) == ("90 mm", "90 mm", "down")
    assert (cable["certain"], cable["depth"]["said"], cable["missing"]) == (True, "40 mm", [])
    assert "as drawn in the plan" in cable["said"]


def test_a_cable_along_the_zones_may_lie_to_either_side(tannery: Tannery, answer: Answer, main: Main) -> None:
    """Zones of DIN 18015-3 are 300 mm wide, the lower one around 300 mm: what was worked out may be 150 mm off."""
    plan = tannery((", path: [{wall: office.north, at: 0.90 m, height: 0.30 m}], depth: 40 mm", ""))
    cable = the("cable", answer(plan, NORTH, "0.80 m", "0.50 m", "--limits=de"))
    assert (cable["distance"]["said"], cable["least"]["said"]) == ("190 mm", "40 mm")
    assert (cable["certain"], cable["missing"]) == (False, ["circuits.sockets.run-to-S2.path"])
    out = said(main("behind", plan, NORTH, "--at", "0.80 m", "--height", "0.50 m", "--limits=de")[1])
    assert "190 mm down, perhaps only 40 mm: the cable of sockets from S1 to S2; not drawn" in out


def test_a_cable_along_the_walls_may_lie_anywhere(main: Main, answer: Answer) -> None:
    plan = Path(__file__).parents[2] / "examples" / "weigh-house" / "ready-to-close.plan.yaml"
    found = answer(plan, "study.north-left", "0.30 m", "2.00 m")
    cables = [one for one in found["near"] if one["kind"] == "cable"]
    assert cables
    assert {one["least"]["value"] for one in cables} == {0}
    assert found["near"][0]["kind"] == "cable"
    out = said(main("behind", plan, "study.north-left", "--at", "0.30 m", "--height", "2.00 m")[1])
    assert "perhaps right behind the spot" in out
    assert "it may lie anywhere between its two ends" in out


def test_battens_at_their_spacing(tannery: Tannery, answer: Answer, main: Main) -> None:
    """The second stands at 600 mm and is 50 mm wide: from 0.50 m its edge is 75 mm to the right."""
    plan = tannery()
    batten = the("batten", answer(plan, NORTH, "0.50 m", "1.50 m"))
    assert (batten["distance"]["said"], batten["direction"]) == ("75 mm", "to the right")
    assert "by the spacing of plain, not measured" in batten["said"]
    out = main("behind", plan, NORTH, "--at", "0.60 m", "--height", "1.50 m")[1]
    assert "Right behind the spot: the batten at 0.6 m" in out


def test_a_pipe_on_its_way(tannery: Tannery, answer: Answer) -> None:
    """From the floor up to 0.50 m at 3.60 m, 20 mm thick: 60 mm to its left leave 50 mm."""
    pipe = the("pipe", answer(tannery(), NORTH, "3.54 m", "0.25 m"))
    assert (pipe["distance"]["said"], pipe["direction"], pipe["depth"]["said"]) == ("50 mm", "to the right", "30 mm")


def test_a_pipe_whose_way_is_not_drawn(tannery: Tannery, answer: Answer) -> None:
    plan = tannery((",\n            path: [{wall: office.north, at: 3.60 m, height: 0.00 m}]", ""))
    found = answer(plan, NORTH, "3.54 m", "0.42 m")
    assert the("pipe", found)["distance"]["value"] == 90  # 60 mm and 80 mm are 100 mm, less 10 mm
    assert ["office.north.hot.path"] in [one["missing"] for one in found["unrecorded"]]


def test_a_chase(tannery: Tannery, answer: Answer) -> None:
    """30 mm wide at 3.00 m, by its middle or by its left end: at most to 3.03 m, and up to 1.30 m."""
    chase = the("chase", answer(tannery(), NORTH, "3.07 m", "1.33 m"))
    assert (chase["distance"]["said"], chase["direction"]) == ("50 mm", "to the left and down")
    assert "20 mm deep" in chase["said"]


def test_an_opening(tannery: Tannery, answer: Answer) -> None:
    opening = the("opening", answer(tannery(), NORTH, "1.38 m", "1.50 m"))
    assert (opening["what"], opening["distance"]["said"], opening["direction"]) == ("window", "120 mm", "to the right")


def test_the_nearest_first_and_the_rest_counted(tannery: Tannery, answer: Answer, main: Main) -> None:
    plan = tannery()
    found = answer(plan, NORTH, "0.50 m", "0.30 m")
    assert [one["kind"] for one in found["near"]] == ["cable", "box", "batten"]
    assert [one["distance"]["value"] for one in found["near"]] == [0, 66, 75]
    wider = answer(plan, NORTH, "0.50 m", "0.30 m", "--within", "10 m")
    assert (len(wider["near"]), wider["beyond"]) == (len(found["near"]) + found["beyond"], 0)
    assert "things are recorded further away" in main("behind", plan, NORTH, "--at", "0.5 m", "--height", "0.3 m")[1]


def test_exactly_at_the_edge_of_what_is_asked_for(tannery: Tannery, answer: Answer) -> None:
    """90 mm above the cable meet 9 cm."""
    found = answer(tannery(), NORTH, "0.80 m", "0.40 m", "--within", "9 cm")
    assert [one["kind"] for one in found["near"]] == ["cable"]


def test_the_layers_inwards(tannery: Tannery, answer: Answer, main: Main) -> None:
    found = answer(tannery(), NORTH, "0.80 m", "0.40 m")
    layers = [(one["layer"], one["thickness"]["said"], one["begins"]["value"]) for one in found["layers"]]
    assert layers == [
        ("board narrow (gypsum)", "12.5 mm", 0),
        ("air", "40 mm", 12.5),
        ("the wall of solid brick", "380 mm", 52.5),
    ]
    plan = tannery(("thickness: 12.5 mm}", "type: A}"))
    assert "thickness not recorded (add boards.narrow.thickness)" in said(
        main("behind", plan, NORTH, "--at", "0.80 m", "--height", "0.40 m")[1]
    )


def test_the_hollow_between_battens(tannery: Tannery, answer: Answer) -> None:
    found = answer(
        tannery(("{material: air, thickness: 40 mm}", "{material: wool, thickness: 30 mm}")), NORTH, "1 m", "1 m"
    )
    assert [one["layer"] for one in found["layers"]][1:3] == ["wool", "hollow between the battens"]
    assert found["layers"][2]["thickness"]["value"] == 10


def test_the_other_face_of_a_wall(tannery: Tannery, answer: Answer, main: Main) -> None:
    """Seen from the store, the right end of office.east (3.00 m) lies 0.20 m from the left end of store.west.

    T1 at 0.55 m of store.west is 0.35 m from that end, so at 2.65 m of office.east. Its 0.40 m above the raw floor are
    0.35 m above the finished floor of the office, which lies 50 mm higher.
    """
    plan = tannery()
    found = answer(plan, "office.east", "2.55 m", "0.35 m")
    box = the("box", found)
    assert (box["place"], box["other_face"]) == ("store.west.T1", True)
    assert (box["distance"]["said"], box["direction"]) == ("66 mm", "to the right")
    assert found["assumed"] == [
        "the bare floors on both sides are level; the other face is store.west, seen through the wall"
    ]
    # The stud at 0.70 m of store.west stands at 0.20 + 3.00 - 0.70 = 2.50 m of office.east.
    stud = the("stud", found)
    assert (stud["distance"]["said"], stud["direction"]) == ("50 mm", "to the left")
    assert "on the other face, the box of T1 (socket)" in said(
        main("behind", plan, "office.east", "--at", "2.55 m", "--height", "0.35 m")[1]
    )


def test_the_two_faces_tell_the_same(tannery: Tannery, answer: Answer) -> None:
    """One spot, named from either room: the same distances, left and right changed over."""
    plan = tannery()
    here = the("box", answer(plan, "office.east", "2.55 m", "0.35 m"))
    there = the("box", answer(plan, "store.west", "0.65 m", "0.40 m"))
    assert (here["distance"], here["other_face"], there["other_face"]) == (there["distance"], True, False)
    assert (here["direction"], there["direction"]) == ("to the right", "to the left")


def test_what_the_plan_does_not_say(tannery: Tannery, answer: Answer, main: Main) -> None:
    found = answer(tannery((", at: 0.50 m, height: 1.05 m", ", height: 1.05 m")), "office.east", "1.00 m", "1.50 m")
    missing = {one["unknown"]: one["missing"] for one in found["unrecorded"]}
    assert missing["where W1 is"] == ["office.east.W1.at"]
    assert missing["which way the cable of lights from the distribution board to W1 takes"] == [
        "circuits.lights.run-to-W1.path"
    ]
    assert missing["by which cable C1, C2 is fed, and where it lies"] == [
        *("office.ceiling.C1.circuit", "office.ceiling.C2.circuit"),
    ]
    assert missing["where the studs of the wall stand"] == ["office.east.battens_at"]
    assert missing["by which cable T1 is fed, and where it lies"] == ["store.west.T1.circuit"]
    undecided = tannery(("        base: front\n        lining: plain\n", "        base: front\n"))
    assert ["office.north.lining"] in [
        one["missing"] for one in answer(undecided, NORTH, "1.00 m", "2.50 m")["unrecorded"]
    ]
    assert "1 photograph of it from before it was closed: look there first." in said(
        main("behind", undecided, NORTH, "--at", "1 m", "--height", "0.5 m")[1]
    )


@pytest.mark.parametrize(
    ("place", "spot"),
    [
        (NORTH, ("--at", "3.30 m", "--height", "2.30 m", "--within", "1 mm")),
        (NORTH, ("--at", "0.40 m", "--height", "0.30 m")),
        ("store.roof", ("--at", "1.00 m", "--height", "2.70 m")),
        ("office.ceiling", ("--from", "north", "1.20 m", "--from", "east", "1.00 m")),
    ],
)
def test_it_never_gives_the_all_clear(tannery: Tannery, main: Main, place: str, spot: tuple[str, ...]) -> None:
    plan = tannery()
    status, out, _ = main("behind", plan, place, *spot)
    heading, caution = out.rstrip().rpartition("Before you drill\n")[1:]
    text = said(caution)
    assert (status, heading) == (0, "Before you drill\n")
    assert text.startswith("A plan is no proof of what is in a wall")
    for words in ("detector", "prove them dead", "licensed person", "local code"):
        assert words in text
    assert not {"safe", "clear", "compliant"} & set(said(out).lower().replace(".", "").split())
    found = json.loads(main("behind", plan, place, *spot, "--report=json")[1])
    assert said(found["caution"]) == text


def test_nothing_so_near_is_not_nothing(tannery: Tannery, main: Main) -> None:
    out = said(main("behind", tannery(), NORTH, "--at", "3.30 m", "--height", "2.30 m", "--within", "1 mm")[1])
    assert "The plan records nothing so near. That does not say that nothing is there." in out


def test_a_spot_on_a_ceiling(tannery: Tannery, main: Main) -> None:
    """0.30 m further from the east wall, and as far from the north wall."""
    plan = tannery()
    spot = ("--from", "north", "1.20 m", "--from", "east", "1.20 m")
    found = json.loads(main("behind", plan, "office.ceiling", *spot, "--report=json")[1])
    Draft202012Validator(load_schema("behind-1")).validate(found)
    assert (the("outlet", found)["place"], the("outlet", found)["distance"]["said"]) == ("office.ceiling.C1", "300 mm")
    # C2 is at least 0.80 m off: that is how much its distance from the north wall differs.
    wider = json.loads(main("behind", plan, "office.ceiling", *spot, "--report=json", "--within", "1 m")[1])
    assert [(one["place"], one["distance"]["value"]) for one in wider["near"]][1:] == [("office.ceiling.C2", 800)]
    assert "do not say more" in wider["near"][1]["said"]


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        ((NORTH, "--at", "4.01 m", "--height", "1 m"), "office.north ends at 4 m; 4.01 m is beyond its right end"),
        ((NORTH, "--at", "1 m", "--height", "2.56 m"), "office.north is 2.55 m high there, measured from the finished"),
        ((NORTH, "--at", "2 m", "--height", "1 m"), "is in office.north.window, not on the wall"),
        ((NORTH, "--at", "2 m"), "is given by --at, from its left end, and by --height"),
        ((NORTH, "--at", "2", "--height", "1 m"), "--at: "),
        ((NORTH, "--at", "2,5 m", "--height", "1 m"), "2.5 m"),
        (("north", "--at", "2 m", "--height", "1 m"), "did you mean office.north?"),
        (("office.north.S1", "--at", "2 m", "--height", "1 m"), "office.north.S1 is a point; a spot lies on a wall"),
        (("store.roof", "--at", "1 m", "--height", "2.50 m"), "store.roof begins at 2.6 m; 2.5 m is on store.west"),
        (("office.ceiling", "--at", "1 m", "--height", "1 m"), "by its distances from two walls"),
        (("office.ceiling", "--from", "north", "1 m"), "by its distances from two walls"),
        (("office.ceiling", "--from", "north", "1 m", "--from", "eats", "1 m"), "did you mean east?"),
    ],
)
def test_a_spot_that_is_not_there(tannery: Tannery, main: Main, arguments: tuple[str, ...], words: str) -> None:
    status, out, err = main("behind", tannery(), *arguments)
    assert (status, out) == (2, "")
    assert words in said(err)


def test_the_very_ends_of_a_wall_are_on_it(tannery: Tannery, answer: Answer) -> None:
    assert answer(tannery(), NORTH, "400 cm", "2.55 m")["at"]["said"] == "400 cm"
    assert answer(tannery(), NORTH, "0 m", "0 m")["height_now"]["value"] == 0.05


def test_beyond_the_walls_of_a_room(main: Main) -> None:
    plan = Path(__file__).parents[2] / "examples" / "weigh-house" / "ready-to-close.plan.yaml"
    spot = ("--from", "west", "6 m", "--from", "north-left", "1 m")
    status, _, err = main("behind", plan, "study.ceiling", *spot)
    assert (status, "6 m from west and 1 m from north-left is outside of study" in said(err)) == (2, True)


def test_inches(tannery: Tannery, answer: Answer) -> None:
    """8 in above the cable's 0.30 m, less 10 mm of its conduit: 193.2 mm."""
    found = answer(tannery(), NORTH, "2 ft 7 1/2 in", "19.81102 in")
    assert the("cable", found)["distance"]["unit"] == "in"
    assert the("cable", found)["distance"]["value"] == pytest.approx(0.1932 / 0.0254, abs=0.01)
