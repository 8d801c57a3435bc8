"""`planlint points` as a whole: marks worked out by hand, in all of its reports."""

import csv
import io
import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft202012Validator

from planlint.schema import load_schema

Main = Callable[..., tuple[int, str, str]]
Malthouse = Callable[..., Path]
Schedule = Callable[..., dict[str, Any]]

MALTHOUSE = """\
plan: 1
title: Malt house, kiln room
tools: {hole_saws: [35 mm, 68 mm]}
boxes:
  deep: {hole: 68 mm, depth: 61 mm}
boards:
  narrow: {kind: gypsum, width: 600 mm, length: 2600 mm, thickness: 12.5 mm}
linings:
  glued:
    adhesive: {kind: foam}
    layers: [{material: foam-adhesive, thickness: 25 mm}, {board: narrow}]
circuits:
  sockets:
    section: 2.5 mm²
    runs:
      - from: supply
        to: S1
        path: [{wall: kiln.north, at: 0.90 m, height: 2.20 m}]
        depth: 40 mm
        protected_by: steel-plate
      - {from: S1, to: S2}
rooms:
  kiln:
    height: 2.60 m
    floor: {heights_from: finished, build_up: 78 mm}
    outline: partial
    ceiling:
      lining: none
      points:
        C1: {kind: light, at: {north: 1.20 m, west: 0.90 m}}
        C2: {kind: light, at: {north: 2.00 m}}
    walls:
      - {wall: west, length: 3.00 m, then: right, lining: glued}
      - wall: north
        length: 4.20 m
        lining: glued
        points:
          S2: {kind: socket, at: 1.50 m, height: 30 cm, box: deep, circuit: sockets, gangs: 3, backing: true}
          S1: {kind: socket, at: 0.90 m, height: 300 mm, box: deep, circuit: sockets}
        pieces:
          - {board: narrow, width: 600 mm}
          - {board: narrow, width: 600 mm, name: P2}
          - {board: narrow, width: 600 mm}
"""


@pytest.fixture
def malthouse(tmp_path: Path) -> Malthouse:
    """Writes the plan of the malt house, with texts of it replaced."""

    def write(*edits: tuple[str, str]) -> Path:
        text = MALTHOUSE
        for old, new in edits:
            assert text.count(old) == 1, old
            text = text.replace(old, new)
        file = tmp_path / "kiln.plan.yaml"
        file.write_text(text, encoding="utf-8")
        return file

    return write


@pytest.fixture
def schedule(main: Main) -> Schedule:
    """The schedule of a plan as programs read it, held against its schema."""

    def read(plan: Path, *options: str) -> dict[str, Any]:
        status, out, err = main("points", plan, "--report=json", *options)
        assert (status, err) == (0, "")
        found: dict[str, Any] = json.loads(out)
        Draft202012Validator(load_schema("points-1")).validate(found)
        return found

    return read


def rows(main: Main, plan: Path, *options: str) -> list[dict[str, str]]:
    status, out, err = main("points", plan, "--report=csv", *options)
    assert (status, err) == (0, "")
    return list(csv.DictReader(io.StringIO(out, newline="")))


def said(text: str) -> str:
    return " ".join(text.split())


def test_the_schema_is_one_and_is_printed(main: Main) -> None:
    schema = json.loads(main("schema", "points")[1])
    Draft202012Validator.check_schema(schema)
    assert schema["title"] == "the schedule of points"


def test_the_mark_above_the_floor_as_it_is_now(malthouse: Malthouse, schedule: Schedule) -> None:
    """300 mm above the finished floor with 78 mm still to come is 378 mm above the raw one: the sheet of facts, 1.1."""
    (wall,) = schedule(malthouse())["walls"]
    first, second = wall["points"]
    assert (first["name"], second["name"]) == ("S1", "S2")
    assert (first["height_now"]["said"], first["height_finished"]["said"]) == ("378 mm", "300 mm")
    assert (second["height_now"]["said"], second["height_finished"]["said"]) == ("37.8 cm", "30 cm")
    assert (first["from_left"]["said"], first["from_right"]["said"]) == ("0.9 m", "3.3 m")


def test_each_hole_of_a_plate(malthouse: Malthouse, main: Main) -> None:
    """Three holes 71 mm apart around 1.50 m, on a wall of 4.20 m."""
    marks = [
        (row["hole"], row["from_left_mm"], row["from_right_mm"], row["height_now_mm"])
        for row in rows(main, malthouse())
        if row["point"] == "S2"
    ]
    assert marks == [("1", "1429", "2771", "378"), ("2", "1500", "2700", "378"), ("3", "1571", "2629", "378")]


def test_an_even_number_of_holes_has_none_in_the_middle(malthouse: Malthouse, main: Main) -> None:
    found = rows(main, malthouse(("gangs: 3", "gangs: 2")))
    assert [row["from_left_mm"] for row in found if row["point"] == "S2"] == ["1464.5", "1535.5"]


def test_a_lower_edge_is_marked_by_its_centre(malthouse: Malthouse, schedule: Schedule, main: Main) -> None:
    """Half of a plate of 80 mm above its lower edge."""
    plan = malthouse(("height: 300 mm, box", "height: 300 mm, height_to: bottom, box"))
    first = schedule(plan)["walls"][0]["points"][0]
    assert (first["height_finished"]["said"], first["height_now"]["said"]) == ("340 mm", "418 mm")
    assert "lower edge 300 mm + plate 80 mm ÷ 2 = 340 mm" in said(main("points", plan, "--show-working")[1])


def test_heights_from_the_raw_floor(malthouse: Malthouse, schedule: Schedule) -> None:
    first = schedule(malthouse(("heights_from: finished", "heights_from: raw")))["walls"][0]["points"][0]
    assert (first["height_now"]["said"], first["height_finished"]["said"]) == ("300 mm", "222 mm")


def test_a_leaning_wall_is_measured_at_the_height_of_the_point(malthouse: Malthouse, schedule: Schedule) -> None:
    """From 4.20 m at the floor to 4.07 m at 2.60 m: 18.9 mm shorter at 378 mm."""
    plan = malthouse(("length: 4.20 m", "length: {bottom: 4.20 m, top: 4.07 m}"))
    first = schedule(plan)["walls"][0]["points"][0]
    assert first["from_right"]["value"] == pytest.approx(3.3 - 0.0189, abs=1e-5)


def test_what_is_not_recorded_is_said_with_its_key(malthouse: Malthouse, schedule: Schedule, main: Main) -> None:
    plan = malthouse(
        (", build_up: 78 mm", ""), ("at: 0.90 m, height: 300 mm, box: deep, circuit: sockets", "height: 300 mm")
    )
    point = schedule(plan)["walls"][0]["points"][1]
    assert point["from_left"]["missing"] == point["from_right"]["missing"] == ["kiln.north.S1.at"]
    assert point["height_now"]["missing"] == ["kiln.floor.build_up"]
    assert point["box"]["missing"] == ["kiln.north.S1.box"]
    assert point["circuit"]["missing"] == ["kiln.north.S1.circuit"]
    text = main("points", plan)[1]
    assert "S1 ? ? ? 300 mm Socket; not recorded: how far along S1 is (add kiln.north.S1.at)" in said(text)
    (row,) = (row for row in rows(main, plan) if row["point"] == "S1")
    assert (row["from_left_mm"], row["height_now_mm"], row["box"]) == ("", "", "")
    assert row["missing"].split() == [
        *("kiln.north.S1.at", "kiln.floor.build_up", "kiln.north.S1.box", "kiln.north.S1.circuit"),
    ]


def test_box_and_hole_saw(malthouse: Malthouse, schedule: Schedule, main: Main) -> None:
    plan = malthouse()
    box = schedule(plan)["walls"][0]["points"][0]["box"]
    assert (box["name"], box["hole"]["said"], box["hole_saw"]["said"]) == ("deep", "68 mm", "68 mm")
    assert schedule(malthouse(("35 mm, 68 mm", "35 mm, 67 mm")))["walls"][0]["points"][0]["box"]["hole_saw"] is None
    unknown = schedule(malthouse(("tools: {hole_saws: [35 mm, 68 mm]}\n", "")))["walls"][0]["points"][0]["box"]
    assert unknown["hole_saw"]["missing"] == ["tools.hole_saws"]
    assert "no hole saw at hand fits" in said(main("points", malthouse(("35 mm, 68 mm", "35 mm, 67 mm")))[1])


@pytest.mark.parametrize(
    ("sealed", "found"), [("", ["kiln.north.S1.vapour_sealed"]), ("true", "sealed"), ("false", "open")]
)
def test_the_vapour_layer(malthouse: Malthouse, schedule: Schedule, sealed: str, found: object) -> None:
    edits = [("thickness: 25 mm}, ", "thickness: 25 mm}, {material: vapour-barrier, sd: 20 m}, ")]
    if sealed:
        edits.append(("height: 300 mm, box", f"height: 300 mm, vapour_sealed: {sealed}, box"))
    layer = schedule(malthouse(*edits))["walls"][0]["points"][0]["vapour_layer"]
    assert (layer if isinstance(layer, str) else layer["missing"]) == found


def test_a_box_that_ends_before_the_vapour_layer(malthouse: Malthouse, schedule: Schedule) -> None:
    """75 mm of hollow in front of the film, behind a board of 12.5 mm: 61 mm do not reach it."""
    deep = "layers: [{material: vapour-barrier, sd: 20 m}, {material: air, thickness: 75 mm}, "
    plan = malthouse(
        ("layers: [{material: foam-adhesive, thickness: 25 mm}, ", deep), ("adhesive: {kind: foam}\n    ", "")
    )
    assert schedule(plan)["walls"][0]["points"][0]["vapour_layer"] == "not-reached"


def test_points_on_a_ceiling(malthouse: Malthouse, schedule: Schedule) -> None:
    first, second = schedule(malthouse())["ceilings"]
    assert [(one["wall"], one["distance"]["said"]) for one in first["from_walls"]] == [
        ("north", "1.2 m"),
        ("west", "0.9 m"),
    ]
    assert first["unplaced"] is None
    assert second["unplaced"]["missing"] == ["kiln.ceiling.C2.at"]


def test_holes_in_boards(malthouse: Malthouse, schedule: Schedule, main: Main) -> None:
    """The lining of the west wall, 37.5 mm, moves the left edge of the first piece; 10 mm are below."""
    plan = malthouse()
    (wall,) = schedule(plan, "--on-pieces")["walls"]
    found = [
        (one["piece"], one["point"], one["hole"], one["from_left"]["value"], one["from_bottom"]["value"])
        for one in wall["pieces"]["holes"]
    ]
    assert found == [
        ("kiln.north.P2", "S1", 1, pytest.approx(0.9 - 0.6375), 368),
        ("kiln.north.piece-3", "S2", 1, pytest.approx(1.429 - 1.2375), pytest.approx(36.8)),
        ("kiln.north.piece-3", "S2", 2, pytest.approx(1.5 - 1.2375), pytest.approx(36.8)),
        ("kiln.north.piece-3", "S2", 3, pytest.approx(1.571 - 1.2375), pytest.approx(36.8)),
    ]
    assert [one["crosses_edge"] for one in wall["pieces"]["holes"]] == [False] * 4
    assert schedule(plan)["walls"][0]["pieces"] is None
    text = said(main("points", plan, "--on-pieces")[1])
    assert "Holes in the boards of kiln, north" in text
    assert "P2 S1, 1 0.2625 m 368 mm 68 mm" in text


def test_a_hole_that_crosses_a_joint_is_in_both_boards(malthouse: Malthouse, schedule: Schedule, main: Main) -> None:
    """20 mm beyond the joint at 0.6375 m: 34 mm of radius reach back over it."""
    plan = malthouse(("at: 0.90 m, height: 300 mm", "at: 0.6575 m, height: 300 mm"))
    holes = [one for one in schedule(plan, "--on-pieces")["walls"][0]["pieces"]["holes"] if one["point"] == "S1"]
    assert [(one["piece"], one["from_left"]["value"], one["crosses_edge"]) for one in holes] == [
        ("kiln.north.piece-1", pytest.approx(0.62), True),
        ("kiln.north.P2", pytest.approx(0.02), True),
    ]
    assert "S1 crosses the edge of P2" in said(main("points", plan, "--on-pieces")[1])
    assert [row["piece"] for row in rows(main, plan, "--on-pieces") if row["point"] == "S1"] == [
        *("kiln.north.piece-1", "kiln.north.P2"),
    ]


def test_a_hole_that_touches_a_joint_is_in_one_board(malthouse: Malthouse, schedule: Schedule) -> None:
    plan = malthouse(("at: 0.90 m, height: 300 mm", "at: 671.5 mm, height: 300 mm"))
    holes = [one for one in schedule(plan, "--on-pieces")["walls"][0]["pieces"]["holes"] if one["point"] == "S1"]
    assert [(one["piece"], one["crosses_edge"]) for one in holes] == [("kiln.north.P2", False)]


def test_boards_of_a_wall_without_pieces(malthouse: Malthouse, main: Main) -> None:
    text = MALTHOUSE[MALTHOUSE.index("        pieces:") :]
    out = said(main("points", malthouse((text, "")), "--on-pieces")[1])
    assert "No pieces of board are recorded for kiln.north (add kiln.north.pieces)." in out


def test_where_the_cables_lie(malthouse: Malthouse, schedule: Schedule, main: Main) -> None:
    plan = malthouse()
    first, second = schedule(plan)["runs"]
    assert (first["how"], first["whole"], first["protected_by"]) == ("drawn", False, "steel-plate")
    assert first["depth"]["said"] == "40 mm"
    (way,) = first["ways"]
    assert way["wall"] == "kiln.north"
    assert [(spot["at"]["value"], spot["height_now"]["value"]) for spot in way["spots"]] == [(0.9, 2.278), (0.9, 0.378)]
    # The outline is not closed: nobody can say which way the second one takes.
    assert (second["how"], second["ways"], second["missing"]) == (None, [], ["circuits.sockets.run-to-S2.path"])
    text = said(main("points", plan)[1])
    assert "nobody can say from this plan where it lies; depth not recorded; no guard recorded" in text
    assert "40 mm below the bare wall; guarded by steel plate" in text


def test_a_way_that_was_worked_out_says_so(main: Main, schedule: Schedule) -> None:
    plan = Path(__file__).parents[2] / "examples" / "weigh-house" / "ready-to-close.plan.yaml"
    (run,) = (run for run in schedule(plan)["runs"] if run["place"] == "circuits.sockets.run-to-S2")
    assert run["how"] == "along-walls"
    assert "it may lie anywhere between its two ends" in run["said"]
    assert "it may lie anywhere between its two ends" in said(main("points", plan)[1])


def test_rfc_4180(malthouse: Malthouse, main: Main) -> None:
    _, out, _ = main("points", malthouse(), "--report=csv")
    lines = out.split("\r\n")
    assert lines[-1] == ""
    assert "\n" not in "".join(lines)
    assert {len(row) for row in csv.reader(lines[:-1], strict=True)} == {20}
    assert len(lines) == 1 + 6 + 1


def test_only_what_lies_under_a_place(malthouse: Malthouse, main: Main) -> None:
    plan = malthouse()
    out = main("points", plan, "--place=kiln.ceiling")[1]
    assert "2 of its 4 points" in said(out)
    assert "kiln, north" not in out
    status, _, err = main("points", plan, "--place=kiln.nort")
    assert status == 2
    assert "did you mean kiln.north?" in err


def test_a_plan_without_points(main: Main, tmp_path: Path) -> None:
    file = tmp_path / "bare.plan.yaml"
    file.write_text("plan: 1\ntitle: Bare barn\nrooms: {barn: {walls: [{wall: west}]}}\n", encoding="utf-8")
    out = said(main("points", file)[1])
    assert "It records no points; `planlint words point` says how one is written" in out
    assert "go over the spot with a detector" in out


def test_feet_and_inches(malthouse: Malthouse, main: Main) -> None:
    """1/2 in is 12.7 mm: 2 ft 11 1/2 in from the left are 901.7 mm."""
    plan = malthouse(("at: 0.90 m, height: 300 mm", "at: 2 ft 11 1/2 in, height: 12 in"))
    (row,) = (row for row in rows(main, plan) if row["point"] == "S1")
    assert (row["from_left_mm"], row["height_finished_mm"], row["height_now_mm"]) == ("901.7", "304.8", "382.8")
    assert "2 ft 11 1/2 in" in main("points", plan)[1]


@pytest.mark.parametrize("width", [60, 80, 100])
def test_it_fits_the_page(malthouse: Malthouse, main: Main, monkeypatch: pytest.MonkeyPatch, width: int) -> None:
    monkeypatch.setenv("COLUMNS", str(width))
    title, _, *lines = main("points", malthouse(), "--on-pieces")[1].splitlines()  # a path is never broken
    assert max(map(len, (title, *lines))) <= width
