"""The list of materials as a whole, and how a material is found. Its figures are held in tests/reference."""

import time
from importlib.resources import files
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st
from jsonschema import Draft202012Validator

from planlint import source
from planlint.grammar import parse
from planlint.materials import Material, load
from planlint.schema import check, load_schema
from planlint.units import Density, Length, ThermalResistance

ALL = list(load())
FILE = files("planlint.rules") / "materials.yaml"


def material(words: str) -> Material:
    found = load().find(words)
    assert found is not None
    return found


# ---- The list ----------------------------------------------------------------------------------------------------


def test_the_file_fits_its_schema() -> None:
    # The program itself leaves this out, for the sake of a quick start.
    Draft202012Validator.check_schema(load_schema("materials-1"))
    assert check(source.read(FILE.read_bytes(), str(FILE)), "materials-1") == []


@pytest.mark.parametrize(
    ("row", "says"),
    [
        ("{family: masonry, basis: memory}", 'needs "source"'),
        ("{family: stone, basis: memory, source: x}", "not a word that it takes"),
        ("{family: masonry, basis: guess, source: x}", "not a word that it takes"),
        ("{family: masonry, basis: memory, source: x, density: 5 kg}", "5 kg is a mass"),
        ("{family: masonry, basis: memory, source: x, sd: 0 m}", "not above zero"),
        ("{family: masonry, basis: memory, source: x, vapour_resistance: {dry: 0.5, wet: 1}}", "too small"),
        ("{family: masonry, basis: memory, source: x, vapour_resistance: {dry: 5}}", 'needs "wet"'),
        ("{family: masonry, basis: memory, source: x, lambda: 1}", '"lambda" is not a key of a material'),
    ],
)
def test_a_slip_in_the_file_is_caught(row: str, says: str) -> None:
    text = f"title: x\nmaterials:\n  brick: {row}\n"
    assert says in " ".join(fault.message for fault in check(source.read(text.encode(), "x.yaml"), "materials-1"))


@pytest.mark.parametrize("one", ALL, ids=lambda one: one.name)
def test_every_material_says_how_it_is_known(one: Material) -> None:
    assert one.basis in {"published", "common practice", "memory", "own decision"}
    assert one.source
    # What has no figures says what to write instead.
    assert one.conductivity or one.sd or one.note


@pytest.mark.parametrize("one", ALL, ids=lambda one: one.name)
def test_figures_make_sense(one: Material) -> None:
    assert (one.mu_dry is None) is (one.mu_wet is None)
    assert one.mu_dry is None or one.mu_wet is None or 1 <= one.mu_wet <= one.mu_dry
    assert one.mu_dry is None or one.sd is None
    assert one.conductivity is None or 0.02 < one.conductivity < 60
    assert one.density is None or 5 < one.density < 8000
    # What has a λ can be worked with as a layer: it has a vapour resistance too.
    assert one.conductivity is None or one.mu_dry or one.sd


def test_each_family_stands_together_in_the_list() -> None:
    families = [one.family for one in ALL]
    assert len([pair for pair in pairwise(families) if pair[0] != pair[1]]) == len(set(families)) - 1


def test_no_word_means_two_materials() -> None:
    words = [(word, one) for one in ALL for word in (one.name, *one.aliases)]
    assert [(word, one.name) for word, one in words if load().find(word) is not one] == []
    assert len({" ".join(word.split("-")) for word, _ in words}) == len(words)


@pytest.mark.parametrize("one", [one for one in ALL if one.by_density], ids=lambda one: one.name)
def test_what_is_heavier_conducts_better(one: Material) -> None:
    for lighter, heavier in pairwise(one.by_density):
        assert lighter.density < heavier.density
        assert lighter.conductivity < heavier.conductivity
    own = next(grade for grade in one.by_density if grade.density == one.density)
    assert own.conductivity == one.conductivity
    assert own.mu_dry is None


def test_condensate_runs_off_films_foams_and_metal() -> None:
    for one in ALL:
        if one.family in {"film", "paint", "foam", "metal"}:
            assert not one.absorbs, one.name
        if one.family in {"plaster", "gypsum", "timber", "timber-sheet"}:
            assert one.absorbs, one.name


def test_timber_is_what_rots() -> None:
    timber = {one.name for one in ALL if one.is_timber}
    assert {"softwood", "hardwood", "osb", "plywood", "chipboard", "mdf", "softboard"} <= timber
    assert not timber & {"gypsum", "cement", "mineral-wool", "solid-brick"}


# ---- Found by name -----------------------------------------------------------------------------------------------


def test_every_kind_of_board_is_known() -> None:
    for kind in load_schema("plan-1")["$defs"]["board"]["properties"]["kind"]["enum"]:
        assert material(kind).conductivity is not None
        assert material(kind).density is not None


@pytest.mark.parametrize(
    ("words", "name"),
    [
        ("solid-brick", "solid-brick"),
        ("Solid brick", "solid-brick"),
        ("SOLID_BRICKS", "solid-brick"),
        ("brickwork", "solid-brick"),
        ("hollow-brick", "hollow-brick"),
        ("rubble-stone", "rubble-stone"),
        ("timber-stud", "timber-stud"),
        ("timber studs", "timber-stud"),
        ("timber-joists", "timber-joists"),
        ("mineral wool", "mineral-wool"),
        ("glass-wool", "mineral-wool"),
        ("hemp-wool", "hemp"),
        ("vapour-barrier", "vapour-barrier"),
        ("vapor barrier", "vapour-barrier"),
        ("air", "air"),
        ("foam-adhesive", "foam-adhesive"),
        ("plasterboard", "gypsum"),
        ("OSB/3", "osb"),
        ("wood fiber", "wood-fibre"),
        ("aluminum foil", "aluminium-foil"),
        ("EPS", "eps"),
        ("PIR boards", "pur"),
        ("tiles", "tiles"),
        ("tile", "tiles"),
    ],
)
def test_a_material_is_found_however_it_is_spelt(words: str, name: str) -> None:
    assert material(words).name == name


WORDS = [word for one in ALL for word in (one.name, *one.aliases)]


@given(st.sampled_from(WORDS), st.sampled_from([" ", "_", "-", "  "]), st.booleans())
def test_hyphens_and_capitals_do_not_matter(word: str, between: str, capitals: bool) -> None:  # noqa: FBT001 - drawn
    respelt = between.join(word.split("-"))
    assert load().find(respelt.upper() if capitals else respelt) is load().find(word)


@pytest.mark.parametrize("words", ["", "-", "wool", "foam", "insulation", "plaster", "brick wall", "unobtainium"])
def test_what_is_not_known_is_not_guessed(words: str) -> None:
    assert load().find(words) is None


@pytest.mark.parametrize(
    ("words", "name"),
    [
        ("solid-brik", "solid-brick"),
        ("minral wool", "mineral-wool"),
        ("rockwool", "mineral-wool"),
        ("wool", "mineral-wool"),
        ("brick wall", "solid-brick"),
        ("plaster", "lime-plaster"),
        ("vapour-bariers", "vapour-barrier"),
        ("closed-cell", "closed-cell-foam"),
        ("polysterene", "eps"),
        ("red sandstone", "sandstone"),
    ],
)
def test_the_nearest_names_are_a_hint(words: str, name: str) -> None:
    near = load().nearest(words)
    assert name in near
    assert len(near) <= 3
    assert len(near) == len(set(near))


@pytest.mark.parametrize("words", ["", "xyzzy", "??"])
def test_without_likeness_there_is_no_hint(words: str) -> None:
    assert load().nearest(words) == []


def test_a_huge_text_gets_its_answer_soon() -> None:
    begun = time.perf_counter()
    load().nearest("mineral wool " * 100_000)
    assert time.perf_counter() - begun < 2


# ---- Of a density, of a thickness --------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("density", "conductivity"),
    # DIN 4108-4, masonry of clay brick, from memory: 1600 0.68, 1800 0.81, 2000 0.96. Between them the heavier one.
    [("1600 kg/m³", 0.68), ("1601 kg/m³", 0.81), ("1800 kg/m³", 0.81), ("1850 kg/m³", 0.96), ("500 kg/m³", 0.50)],
)
def test_a_known_density_decides_the_conductivity(density: str, conductivity: float) -> None:
    brick = material("solid-brick").of_density(parse(density, Density))
    assert brick.conductivity == conductivity
    assert (brick.mu_wet, brick.mu_dry) == (5, 10)
    assert str(brick.density) == density


def test_a_density_may_bring_its_own_vapour_resistance() -> None:
    soft = material("limestone").of_density(parse("1600 kg/m³", Density))
    assert (soft.conductivity, soft.mu_dry, soft.mu_wet) == (0.85, 30, 20)  # ISO 10456, table 3, from memory


def test_what_is_heavier_than_all_that_is_known_is_not_guessed() -> None:
    assert material("hollow-brick").of_density(parse("1401 kg/m³", Density)).conductivity is None


def test_where_density_does_not_matter_only_the_mass_changes() -> None:
    board = material("osb").of_density(parse("600 kg/m³", Density))
    assert board.density == 600
    assert board.conductivity == 0.13
    assert board.mu_dry == 50


@pytest.mark.parametrize(
    ("words", "thickness", "resistance"),
    [
        ("mineral-wool", "60 mm", 1.5),  # 0.060 / 0.040
        ("solid-brick", "380 mm", 0.38 / 0.81),
        ("air", "15 mm", 0.17),
        ("air", "20 mm", 0.175),  # half way between 0.17 at 15 mm and 0.18 at 25 mm: ISO 6946 interpolates
        ("air", "40 mm", 0.18),
        ("air", "300 mm", 0.18),
        ("air", "0 mm", 0),
        ("vapour-barrier", "0.2 mm", 0),
        ("gloss-paint", "0.1 mm", 0),
    ],
)
def test_thermal_resistance(words: str, thickness: str, resistance: float) -> None:
    found = material(words).thermal_resistance(parse(thickness, Length))
    assert type(found) is ThermalResistance
    assert found == pytest.approx(resistance, rel=1e-12, abs=1e-15)


def test_a_film_needs_no_thickness() -> None:
    assert material("vapour-barrier").thermal_resistance(None) == pytest.approx(0, abs=1e-15)


@pytest.mark.parametrize(
    ("words", "thickness"), [("mineral-wool", None), ("timber-stud", "100 mm"), ("air", None), ("air", "301 mm")]
)
def test_a_thermal_resistance_that_cannot_be_told(words: str, thickness: str | None) -> None:
    assert material(words).thermal_resistance(parse(thickness, Length) if thickness else None) is None


@given(st.floats(min_value=0, max_value=0.3), st.floats(min_value=0, max_value=0.3))
def test_a_deeper_layer_of_air_never_insulates_less(one: float, other: float) -> None:
    air, (thin, thick) = material("air"), sorted([one, other])
    resistances = [air.thermal_resistance(Length(thickness, "m")) or 0.0 for thickness in (thin, thick)]
    assert resistances[0] <= resistances[1] <= 0.18 + 1e-12
