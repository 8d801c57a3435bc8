"""The layers of a wall and the air on both sides, as sums take them from a plan and from the list of materials."""

from collections.abc import Callable

import pytest

from planlint.model.rooms import Wall
from planlint.rule import Given
from planlint.sums.climate import Conditions, conditions
from planlint.sums.section import Part, Section, section
from planlint.sums.working import Lacking

Make = Callable[..., Wall]
WOOL = "{material: mineral-wool, thickness: 60 mm}"


def found(wall: Wall) -> Section:
    made = section(wall.base, wall.existing, wall.lining)
    assert isinstance(made, Section), made
    return made


def lacking(wall: Wall) -> Lacking:
    made = section(wall.base, wall.existing, wall.lining)
    assert isinstance(made, Lacking), made
    return made


def test_layers_stand_from_outside_to_the_room(wall_of: Make) -> None:
    """What stands on the face stays there under the lining."""
    wall = wall_of(
        f"{WOOL}, {{material: vapour-barrier, sd: 20 m}}, {{board: sheet}}",
        wall="existing: {layers: [{material: lime-plaster, thickness: 15 mm}]}, lining: chosen",
    )
    strata = found(wall).strata
    assert [one.words for one in strata] == [
        "solid brick",
        "lime plaster",
        "mineral wool",
        "vapour barrier",
        "board sheet",
    ]
    assert [one.part for one in strata] == [Part.BASE, Part.EXISTING, *[Part.LINING] * 3]
    assert found(wall).face(2) == "between the lime plaster and the mineral wool"
    assert found(wall).face(0) == "on the outer surface"
    assert found(wall).face(5) == "on the surface in the room"
    assert found(wall).where(2, at_face=False) == "inside the mineral wool"


def test_figures_are_those_of_the_list_and_then_the_plans_own(wall_of: Make) -> None:
    """Brick 0.81 W/(m·K), μ 5 and 10 (DIN 4108-4): R = 0.38/0.81 = 0.4691, sd from 1.9 m to 3.8 m."""
    brick = found(wall_of(WOOL)).strata[0]
    assert brick.resistance == pytest.approx(0.4691, abs=5e-5)
    assert brick.sd == pytest.approx((1.9, 3.8))
    own = "material: solid-brick, thickness: 380 mm, conductivity: 0.5 W/(m·K), vapour_resistance: {dry: 12, wet: 6}"
    brick = found(wall_of(WOOL, base=own)).strata[0]
    assert brick.resistance == pytest.approx(0.76)
    assert brick.sd == pytest.approx((2.28, 4.56))
    assert brick.absorbs


def test_a_known_density_chooses_the_grade(wall_of: Make) -> None:
    """1600 kg/m³: 0.68 W/(m·K) (DIN 4108-4, from memory)."""
    lighter = "material: solid-brick, thickness: 380 mm, density: 1600 kg/m³"
    assert found(wall_of(WOOL, base=lighter)).strata[0].resistance == pytest.approx(0.38 / 0.68)


def test_a_board_is_found_by_its_kind_and_weighs_what_the_plan_says(wall_of: Make) -> None:
    strand, sheet = found(wall_of("{board: strand}, {board: sheet}")).strata[1:]
    assert strand.is_timber_sheet
    assert strand.density == 600
    assert sheet.density == pytest.approx(10 / 0.0125)
    assert not sheet.is_timber


def test_a_film_needs_its_sd_alone(wall_of: Make) -> None:
    strata = found(wall_of(f"{WOOL}, {{material: my-film, sd: 3 m}}, {{material: aluminium-foil, sd: 0 m}}")).strata
    assert [(one.is_film, one.resistance) for one in strata[2:]] == [(True, 0), (True, 0)]
    assert strata[2].sd == (3, 3)
    assert strata[3].sd[0] > 0  # a formula divides by it
    assert not strata[2].absorbs


def test_still_air_insulates_by_its_depth(wall_of: Make) -> None:
    """0.18 m²·K/W from 25 mm on, 0.16 half way between 10 and 15 mm (ISO 6946)."""
    strata = found(wall_of("{material: air, thickness: 40 mm}, {material: air, thickness: 12.5 mm}")).strata
    assert [one.resistance for one in strata[1:]] == pytest.approx([0.18, 0.16])
    assert strata[1].words == "air gap"


@pytest.mark.parametrize(
    ("battens", "faces"),
    [
        ("battens: {depth: 60 mm},", (1, 2)),
        ("battens: {depth: 100 mm},", (1, 2, 3, 4)),
        ("battens: {},", (1, 2, 3)),  # up to the first board
        ("", None),
    ],
)
def test_battens_stand_between_the_wall_and_as_deep_as_they_are(
    wall_of: Make, battens: str, faces: tuple[int, ...] | None
) -> None:
    wall = wall_of(f"{WOOL}, {{material: vapour-barrier, sd: 20 m}}, {{board: sheet}}", battens=battens)
    assert [(one.words, one.faces) for one in found(wall).timber] == ([("battens", faces)] if faces else [])


def test_timber_layers_touch_both_of_their_faces(wall_of: Make) -> None:
    (sheet,) = found(wall_of(f"{WOOL}, {{board: strand}}, {{board: sheet}}")).timber
    assert (sheet.words, sheet.faces) == ("board strand", (2, 3))


def test_all_that_is_lacking_is_said_at_once(wall_of: Make) -> None:
    gap = lacking(
        wall_of("{material: mineral-woll, thickness: 60 mm}, {material: vapour-barrier}", base="material: timber-stud")
    )
    assert gap.keys == (
        "base.thickness",
        "base.conductivity",
        "base.vapour_resistance",
        "linings.chosen.layers.1.conductivity",
        "linings.chosen.layers.1.vapour_resistance",
        "linings.chosen.layers.2.sd",
    )
    assert "near to it: mineral-wool" in gap.what


def test_without_a_base_or_layers_there_is_no_section(wall_of: Make) -> None:
    assert section(None, (), None) == Lacking("what the wall is made of", ("base",))
    assert lacking(wall_of("")).keys == ("linings.chosen.layers",)


def climate(wall: Wall, given: Given) -> Conditions:
    made = conditions(wall.room, given)
    assert isinstance(made, Conditions), made
    return made


def test_the_check_climate_stands_in_where_the_plan_says_nothing(wall_of: Make, given_all: Given) -> None:
    """20 °C 50 %, -5 °C 80 %, 90 days, Rsi 0.25, Rse 0.04 (DIN 4108-3:2014)."""
    air = climate(wall_of(WOOL), given_all)
    assert air.words == "20 °C and 50 % inside and -5 °C and 80 % outside, for 90 days"
    assert (air.surface, air.outer_surface) == (0.25, 0.04)
    assert air.inside.from_limits


def test_a_plan_may_give_part_of_the_air(wall_of: Make, given_all: Given) -> None:
    wall = wall_of(WOOL, more="climate: {inside: {humidity: 60 %}, outside: {temperature: 14 degF}}")
    air = climate(wall, given_all)
    assert air.words == "20 °C and 60 % inside and 14 °F and 80 % outside, for 90 days"


MONTH = "{inside: {temperature: 21 degC}, outside: {temperature: 9 degC, humidity: 80 %}}"
JANUARY = "{outside: {temperature: -2 degC, humidity: 85 %}}"


def test_months_take_what_they_leave_out_from_the_year(wall_of: Make, given_all: Given) -> None:
    """The year has 365 days, and Rsi is 0.13 by month (ISO 13788)."""
    months = ", ".join([JANUARY, *[MONTH] * 11])
    air = climate(wall_of(WOOL, more=f"climate: {{inside: {{humidity: 45 %}}, months: [{months}]}}"), given_all)
    assert [month.inside.temperature for month in air.months[:2]] == [293.15, 294.15]
    assert {month.inside.humidity for month in air.months} == {0.45}
    assert sum(month.duration for month in air.months) == 365 * 86_400
    assert air.surface == 0.13
    assert air.words == "20 °C and 45 % inside and -2 °C and 85 % outside, in the coldest of the twelve months"


def test_a_month_without_air_outside_is_lacking(wall_of: Make, given_all: Given) -> None:
    months = ", ".join([*[MONTH] * 11, "{outside: {humidity: 80 %}}"])
    made = conditions(wall_of(WOOL, more=f"climate: {{months: [{months}]}}").room, given_all)
    assert isinstance(made, Lacking)
    assert made.keys == ("climate.months.12.outside.temperature",)
