"""What condenses in a wall. Cases 0 and A to E are those of the sheet ("computed" there), within 0.005 kg/m².

What must hold for every wall is held by properties; the unfavourable factors by trying every pair by another way.
"""

from collections.abc import Callable
from itertools import product
from math import exp

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planlint.model.rooms import Wall
from planlint.rule import Given
from planlint.sums.condensation import Condensation, condensation
from planlint.sums.condensation_steps import steps
from planlint.sums.surface import Surface, surface
from planlint.sums.vapour_layer import least_vapour_layer, too_wet
from planlint.sums.working import Lacking

Make = Callable[..., Wall]
SMALL = settings(deadline=None, derandomize=True, max_examples=40)

BRICK = "material: solid-brick, thickness: 380 mm, faces: outside, conductivity: 0.81 W/(m·K), vapour_resistance: 10"
PLASTERED = (
    "existing: {layers: [{material: lime-plaster, thickness: 15 mm, conductivity: 1.00 W/(m·K), "
    "vapour_resistance: 15}]}, lining: chosen"
)
WOOL = "{material: mineral-wool, thickness: 60 mm, conductivity: 0.040 W/(m·K), vapour_resistance: 1}"
PUR = "{material: pur, thickness: 60 mm, conductivity: 0.028 W/(m·K), vapour_resistance: 60}"
STRAND = "{board: strand, conductivity: 0.13 W/(m·K), vapour_resistance: 50}"
SHEET = "{board: sheet, conductivity: 0.25 W/(m·K), vapour_resistance: 10}"
CASES = {
    "A": f"{WOOL}, {SHEET}",
    "B": f"{WOOL}, {STRAND}, {SHEET}",
    "C": f"{WOOL}, {{material: vapour-barrier, sd: 20 m}}, {SHEET}",
    "D": f"{STRAND}, {WOOL}, {SHEET}",
    "E": f"{PUR}, {SHEET}",
}
MONTHS = [
    *((-1, 85), (0, 83), (4, 78), (9, 73), (14, 71), (17, 72)),
    *((19, 73), (18, 75), (14, 79), (9, 83), (4, 86), (0, 87)),
]
"""The sheet's invented climate, January first: °C and % outside."""


def months(*years: tuple[int, int], indoors: str = "{temperature: 20 degC, humidity: 50 %}") -> str:
    told = ", ".join(f"{{outside: {{temperature: {warm} degC, humidity: {humid} %}}}}" for warm, humid in years)
    return f"climate: {{inside: {indoors}, months: [{told}]}}"


def reckoned(wall: Wall, limits: Given) -> Condensation:
    found = condensation(wall, limits)
    assert isinstance(found, Condensation), found
    return found


@pytest.fixture
def of_case(wall_of: Make, given_all: Given) -> Callable[..., Condensation]:
    def make(case: str, more: str = "", battens: str = "battens: {depth: 60 mm},") -> Condensation:
        return reckoned(wall_of(CASES[case], base=BRICK, wall=PLASTERED, more=more, battens=battens), given_all)

    return make


@pytest.mark.parametrize(
    ("case", "condenses", "dries"),
    [("A", 4.324, 4.396), ("B", 0.949, 1.184), ("C", 0, None), ("D", 4.034, 4.371), ("E", 0.144, 0.402)],
)
def test_the_sheets_cases(of_case: Callable[..., Condensation], case: str, condenses: float, dries: float) -> None:
    found = of_case(case)
    assert found.total == pytest.approx(condenses, abs=0.005)
    assert found.evaporates == (None if dries is None else pytest.approx(dries, abs=0.005))
    assert found.dries


def test_the_table_of_layers_of_case_b(of_case: Callable[..., Condensation]) -> None:
    """Columns of the sheet: °C, Pa of saturation, Pa, % at the inner face of each layer."""
    rows = of_case("B").rows
    expected = [
        ("outer surface", -4.59, 415.6, 320.9, 77.2),
        ("solid brick", 0.27, 622.5, 612.3, 98.4),
        ("lime plaster", 0.42, 629.5, 629.5, 100),
        ("mineral wool", 15.94, 1810.5, 670.7, 37.0),
        ("board strand", 16.90, 1924.0, 1082.7, 56.3),
        ("board sheet", 17.41, 1988.0, 1168.5, 58.8),
    ]
    for row, (words, celsius, saturation, pressure, percent) in zip(rows, expected, strict=True):
        assert row.words == words
        assert row.temperature - 273.15 == pytest.approx(celsius, abs=0.005)
        assert row.saturation == pytest.approx(saturation, abs=0.06)
        assert row.pressure == pytest.approx(pressure, abs=0.06)
        assert 100 * row.humidity == pytest.approx(percent, abs=0.06)


def test_water_is_said_where_it_stands(of_case: Callable[..., Condensation]) -> None:
    (water,) = of_case("B").water
    assert of_case("B").where(water) == "between the lime plaster and the mineral wool"
    assert not water.on_tight_face
    (water,) = of_case("E").water
    assert water.on_tight_face
    assert water.allowed == 0.5


def test_case_b_passes_by_mass_and_not_for_timber(of_case: Callable[..., Condensation], given_all: Given) -> None:
    """ "Any batten at that plane sits at 100 %", about 29 % of moisture; the case passes by mass."""
    found = of_case("B")
    assert found.is_within_limits
    assert found.flaws == ()
    wettest = too_wet(found, given_all)
    assert wettest is not None
    assert wettest.words == "battens"
    assert wettest.moisture == pytest.approx(0.29, abs=0.002)


def test_a_timber_sheet_on_the_cold_side_takes_up_the_water(of_case: Callable[..., Condensation]) -> None:
    """4.034 kg/m² on a board of 12 mm and 600 kg/m³, which may take up 0.216 kg/m²."""
    gain = of_case("D").gains[0]
    assert gain.moisture * 7.2 == pytest.approx(4.034, abs=0.005)
    assert gain.allowed * 7.2 == pytest.approx(0.216)
    first, second = of_case("D").flaws
    assert "board strand would take up" in first.text
    assert "4.034 kg/m²" in second.text


def test_case_c_keeps_its_cold_face_below_saturation(of_case: Callable[..., Condensation]) -> None:
    assert of_case("C").rows[2].humidity == pytest.approx(0.722, abs=0.0005)
    assert of_case("C").transmittance == pytest.approx(1 / (2.416 - 0.0923 - 0.25 + 0.13), abs=0.001)


@pytest.mark.parametrize(("case", "peak"), [("A", 3.143), ("B", 0.607)])
def test_month_by_month(of_case: Callable[..., Condensation], case: str, peak: float) -> None:
    """The sheet's monthly check: the most stands there at the end of March, and both are dry by the end of June."""
    found = of_case(case, more=months(*MONTHS))
    assert found.total == pytest.approx(peak, abs=0.005)
    assert found.year is not None
    assert found.year.peak_month == 2
    assert found.dries
    assert found.year.months[5].mass == 0
    assert found.evaporates is None


def test_a_wall_that_never_dries_says_so(of_case: Callable[..., Condensation]) -> None:
    found = of_case("A", more=months(*[(-10, 85)] * 12))
    assert not found.dries
    assert any("all year" in flaw.text for flaw in found.flaws)


def test_the_remedy_is_the_least_that_would_do(wall_of: Make, given_all: Given) -> None:
    """With the film that is named the wall and its timber keep to the limits, with the one before it they do not."""
    battens = "battens: {depth: 60 mm},"
    least = least_vapour_layer(wall_of(CASES["A"], base=BRICK, wall=PLASTERED, battens=battens), given_all)
    assert least == 10  # the sheet's sweep: 0.036 kg/m² at 5 m, none at 10 m

    def holds(sd: float) -> bool:
        layers = f"{WOOL}, {{material: vapour-barrier, sd: {sd} m}}, {SHEET}"
        found = reckoned(wall_of(layers, base=BRICK, wall=PLASTERED, battens=battens), given_all)
        return found.is_within_limits and not too_wet(found, given_all)

    assert holds(10)
    assert not holds(5)


def test_a_film_that_is_there_makes_way_for_a_tighter_one(wall_of: Make, given_all: Given) -> None:
    layers = f"{WOOL}, {{material: vapour-retarder, sd: 0.5 m}}, {SHEET}"
    wall = wall_of(layers, base=BRICK, wall=PLASTERED, battens="battens: {depth: 60 mm},")
    assert least_vapour_layer(wall, given_all) == 10


def saturation(celsius: float) -> float:
    """ISO 13788, as the sheet prints it."""
    a, b = (17.269, 237.3) if celsius >= 0 else (21.875, 265.5)
    return 610.5 * exp(a * celsius / (b + celsius))


def test_the_unfavourable_factors_are_found_by_trying_all(wall_of: Make, given_all: Given) -> None:
    """Brick μ 5 or 10, wool 1, board 4 or 10: one plane, so Mc by hand for every pair; the worst of them counts."""
    base = "material: brick, thickness: 380 mm, conductivity: 0.81 W/(m·K), vapour_resistance: {dry: 10, wet: 5}"
    sheet = "{board: sheet, conductivity: 0.25 W/(m·K), vapour_resistance: {dry: 10, wet: 4}}"
    found = reckoned(wall_of(f"{WOOL}, {sheet}", base=base), given_all)
    outside = 0.04 + 0.38 / 0.81
    cold = -5 + 25 * outside / (outside + 1.5 + 0.05 + 0.25)
    masses = [
        2e-10
        * (
            (0.5 * saturation(20) - saturation(cold)) / (0.06 + 0.0125 * board)
            - (saturation(cold) - 0.8 * saturation(-5)) / (0.38 * brick)
        )
        * 90
        * 86_400
        for brick, board in product((5, 10), (4, 10))
    ]
    assert found.total == pytest.approx(max(masses), rel=1e-6)


def test_bare_brick_is_cold_enough_for_mould(wall_of: Make, given_all: Given) -> None:
    """The sheet's case 0: fRsi 0.677 where 0.705 is needed, 12.62 °C, and 83.8 % on the surface."""
    found = surface(wall_of(WOOL, base=BRICK, wall=PLASTERED), None, given_all)
    assert isinstance(found, Surface)
    assert found.factor == pytest.approx(0.677, abs=0.0005)
    assert found.least_factor == pytest.approx(0.705, abs=0.0005)
    assert found.least_temperature - 273.15 == pytest.approx(12.62, abs=0.005)
    assert found.humidity == pytest.approx(0.838, abs=0.0005)


def test_the_worst_month_counts_for_mould(wall_of: Make, given_all: Given) -> None:
    found = surface(wall_of(WOOL, base=BRICK, more=months(*MONTHS)), None, given_all)
    assert isinstance(found, Surface)
    assert found.month == 0


def test_what_is_out_of_range_is_for_a_person(wall_of: Make, given_all: Given) -> None:
    found = condensation(wall_of("{material: cork, thickness: 20 m}"), given_all)
    assert isinstance(found, Lacking)
    assert found.keys == ()


def test_walls_that_are_alike_are_reckoned_once(wall_of: Make, given_all: Given) -> None:
    wall = wall_of(CASES["A"], base=BRICK)
    assert condensation(wall, given_all) is condensation(wall, given_all)


@pytest.mark.parametrize("more", ["", months(*MONTHS)])
@pytest.mark.parametrize("case", CASES)
def test_every_step_can_be_read(of_case: Callable[..., Condensation], case: str, more: str) -> None:
    told = list(steps(of_case(case, more)))
    assert all(step.what and step.how and step.result for step in told)
    assert any(step.what == "from air to air (R)" for step in told)
    assert len({step.what for step in told}) == len(told)


layer = st.tuples(
    st.integers(5, 120),  # mm
    st.sampled_from([0.03, 0.04, 0.13, 0.25, 0.8]),  # W/(m·K)
    st.integers(1, 100),  # μ
    st.integers(1, 5),  # how many times that when dry
)
Layers = list[tuple[int, float, int, int]]


def written(layers: Layers, film: float | None = None) -> str:
    told = [
        f"{{material: stuff-{index}, thickness: {mm} mm, conductivity: {heat} W/(m·K), "
        f"vapour_resistance: {{dry: {mu * times}, wet: {mu}}}}}"
        for index, (mm, heat, mu, times) in enumerate(layers)
    ]
    return ", ".join([*told, *([] if film is None else [f"{{material: some-film, sd: {film:.3f} m}}"])])


@SMALL
@given(layers=st.lists(layer, min_size=1, max_size=4), film=st.floats(0.01, 50), more=st.floats(0.01, 50))
def test_a_tighter_warm_side_never_lets_more_condense(
    wall_of: Make, given_all: Given, layers: Layers, film: float, more: float
) -> None:
    bare, with_film, tighter = (
        reckoned(wall_of(written(layers, sd)), given_all).total for sd in (None, film, film + more)
    )
    assert 0 <= tighter <= with_film + 1e-9
    assert with_film <= bare + 1e-9


@SMALL
@given(layers=st.lists(layer, min_size=1, max_size=4), humidity=st.integers(20, 80), more=st.integers(0, 15))
def test_a_more_humid_room_never_lets_less_condense(
    wall_of: Make, given_all: Given, layers: Layers, humidity: int, more: int
) -> None:
    drier, wetter = (
        reckoned(wall_of(written(layers), more=f"climate: {{inside: {{humidity: {now} %}}}}"), given_all).total
        for now in (humidity, humidity + more)
    )
    assert drier <= wetter + 1e-9


@SMALL
@given(layers=st.lists(layer, min_size=1, max_size=4), data=st.data())
def test_figures_that_are_known_better_never_make_it_worse(
    wall_of: Make, given_all: Given, layers: Layers, data: st.DataObject
) -> None:
    """One factor of the pair in the place of both: the worst of all arrangements covers it."""
    known = [(mm, heat, mu * data.draw(st.sampled_from([1, times])), 1) for mm, heat, mu, times in layers]
    either, settled = (reckoned(wall_of(written(some)), given_all) for some in (layers, known))
    if len(settled.water) <= 1:
        assert settled.total <= either.total + 1e-9


@SMALL
@given(layers=st.lists(layer, min_size=1, max_size=4))
def test_what_stands_in_a_wall_adds_up_and_lies_in_order(wall_of: Make, given_all: Given, layers: Layers) -> None:
    found = reckoned(wall_of(written(layers)), given_all)
    assert sum(water.mass for water in found.water) == pytest.approx(found.total)
    depths = [water.plane.depth_sd for water in found.water]
    assert depths == sorted(depths)
    assert all(0 <= row.humidity <= 1 + 1e-9 for row in found.rows)
    assert found.is_within_limits == (not found.flaws)
