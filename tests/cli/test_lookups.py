"""The commands that explain: words, rulebook, limits, schema."""

import json
from collections.abc import Callable
from importlib.metadata import entry_points

import pytest

from planlint.cli.plans import load_rulebook
from planlint.cli.vocabulary import find, things
from planlint.limits import available
from planlint.materials import load
from planlint.schema import load_schema

Main = Callable[..., tuple[int, str, str]]


def test_words_lists_every_key_of_the_format(main: Main) -> None:
    lines = [line.strip() for line in main("words")[1].splitlines()]
    schema = load_schema("plan-1")
    for key in schema["properties"]:
        assert any(line.startswith(f"{key}: ") for line in lines), key
    assert {name for name, part in schema["$defs"].items() if "properties" in part} < set(things())


def test_every_key_has_a_meaning_and_what_it_takes() -> None:
    keys = [key for thing in things().values() for key in thing.keys.values()]
    assert len(keys) > 200
    assert [f"{key.thing}.{key.name}" for key in keys if not key.meaning or not key.takes] == []


def test_one_key_in_full(main: Main) -> None:
    status, out, _ = main("words", "corner.joint")
    said = " ".join(out.split())
    assert status == 0
    assert out.startswith("joint, of a corner\n")
    assert "Takes: one of bead, sealant, filler, tape, none." in said
    assert "Left out: not recorded" in said
    assert "Example: joint: bead" in said


def test_absence_that_the_format_explains_is_not_called_open(main: Main) -> None:
    out = main("words", "wall.damp")[1]
    assert "Absent: no cause known." in out
    assert "Left out" not in out


@pytest.mark.parametrize(
    ("path", "owner"),
    [
        ("wall.corner.joint", "corner"),
        ("boards.mass", "board"),
        ("linings.battens.treated", "battens"),
        ("rooms.walls.readings.scale", "reading"),
    ],
)
def test_a_key_is_found_by_its_way_through_a_plan(path: str, owner: str) -> None:
    assert [key.thing for key in find(path)[1]] == [owner]


@pytest.mark.parametrize(
    ("wrong", "near"), [("jiont", "joint"), ("corner.jiont", "corner.joint"), ("base.jiont", "joint")]
)
def test_a_misspelt_key(main: Main, wrong: str, near: str) -> None:
    status, out, err = main("words", wrong)
    assert (status, out) == (2, "")
    assert f"did you mean {near}?" in err


def test_material_lists_all_that_are_known_with_their_figures(main: Main) -> None:
    status, out, _ = main("words", "material")
    said = " ".join(out.split())
    assert status == 0
    assert out.startswith("material, of a base\n")
    for one in load():
        assert f"\n  {one.name}: " in out
        assert f"\n\n{one.family}\n" in out
    assert "solid-brick: λ 0.81 W/(m·K), μ 5 to 10, 1800 kg/m³" in said
    assert "mineral-wool: λ 0.04 W/(m·K), μ 1 " in said
    assert "polyethylene-film: sd 50 m" in said
    assert "vapour-barrier: its figures are asked of the plan" in said
    assert "figures of its own with conductivity, vapour_resistance and density" in said


def test_only_material_lists_the_materials(main: Main) -> None:
    assert "Materials known by name" not in main("words", "layer.thickness")[1]


@pytest.mark.parametrize("words", ["solid-brick", "Solid bricks", "brickwork"])
def test_one_material_in_full(main: Main, words: str) -> None:
    status, out, _ = main("words", words)
    said = " ".join(out.split())
    assert status == 0
    assert out.startswith("solid-brick, a material (masonry)\n")
    assert "At 2000 kg/m³: λ 0.96 W/(m·K)." in said
    assert "How this is known: memory; DIN 4108-4, masonry of clay brick." in said
    assert "Note: " in said
    assert "Also known as: brick, " in said


def test_air_by_its_thickness_beside_the_key_of_that_name(main: Main) -> None:
    out = main("words", "air")[1]
    assert out.startswith("air: The temperature and humidity of air.")
    assert "\n\nair, a material (air)\n" in out
    assert "At 15 mm: R 0.17 m²·K/W." in out


def test_a_key_goes_before_what_a_material_is_also_called(main: Main) -> None:
    assert "softwood" not in main("words", "battens")[1]  # of which a batten is made


@pytest.mark.parametrize(
    ("wrong", "near"), [("solid-brik", "solid-brick"), ("minral wool", "mineral-wool"), ("rockwool", "mineral-wool")]
)
def test_a_misspelt_material(main: Main, wrong: str, near: str) -> None:
    status, out, err = main("words", wrong)
    assert (status, out) == (2, "")
    assert f"did you mean {near}?" in err


def test_what_is_neither_key_nor_material_is_told_where_to_look(main: Main) -> None:
    err = " ".join(main("words", "xyzzy")[2].split())
    assert "neither a key of a plan nor a known material is called xyzzy" in err
    assert "`planlint words material`" in err


def test_rulebook_lists_every_rule_by_family(main: Main) -> None:
    status, out, _ = main("rulebook")
    assert status == 0
    for card in load_rulebook().cards:
        assert f"  {card.id} (" in out
    families = {point.name.partition("_")[0] for point in entry_points(group="planlint.rules")}
    assert families <= set(out.split("\n"))


def test_one_rule_in_full(main: Main) -> None:
    status, out, _ = main("rulebook", "hole-saw-matches-box")
    said = " ".join(out.split())
    assert status == 0
    for part in ("Why: ", "Source: ", "Judges: box.", "Needs: hole, tools.hole_saws.", "hole_tolerance: 0.5 mm"):
        assert part in said
    assert "It guards the step closing-in" in said
    assert "From the package planlint; family boxes." in said


def test_what_guards_life_cannot_be_conceded(main: Main) -> None:
    assert "no concession" in main("rulebook", "conductor-colours")[1]
    assert "no concession" not in main("rulebook", "hole-saw-matches-box")[1]


def test_one_family(main: Main) -> None:
    out = main("rulebook", "boxes")[1]
    assert "hole-saw-matches-box" in out
    assert "wall-dry-enough" not in out


def test_limits_lists_the_sets(main: Main) -> None:
    out = main("limits")[1].split("\n")
    assert set(available()) <= set(out)


def test_one_set_with_what_it_leaves_to_general(main: Main) -> None:
    status, out, _ = main("limits", "gb")
    own, rest = out.split("The rest is as in general")
    assert status == 0
    assert "socket_points_per_circuit: no limit" in own
    assert "height_tolerance: 3 mm" in rest
    assert "published: " in own


@pytest.mark.parametrize("command", ["rulebook", "limits", "schema"])
def test_a_name_that_is_not_there(main: Main, command: str) -> None:
    status, out, err = main(command, "xyzzy")
    assert (status, out) == (2, "")
    assert err.startswith("planlint: ")


@pytest.mark.parametrize(("name", "title"), [("plan", "the plan"), ("plan-1", "the plan"), ("report", "the report")])
def test_schema_is_printed_as_it_is(main: Main, name: str, title: str) -> None:
    assert json.loads(main("schema", name)[1])["title"] == title


def test_schema_is_that_of_a_plan_by_itself(main: Main) -> None:
    assert json.loads(main("schema")[1]) == load_schema("plan-1")
