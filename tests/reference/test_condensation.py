"""Condensation inside walls: worked sums, and the convex hull against all chords by brute force.

No full published example with a mass of condensate was found. Every case is therefore computed independently: those
with figures beside them by a separate program before this one was written, and by hand where the sum is short; random
walls by numpy from all chords; and years of weather by small steps of time. The climates are published: DIN 4108-3, as
quoted in a German building wiki and on training pages (pressure at the plane, 1700 Pa, from memory).
"""

import math
from collections.abc import Sequence
from itertools import pairwise

import numpy as np
import pytest
from numpy.typing import NDArray

from planlint.formulas.condensation import (
    Air,
    Condensate,
    Month,
    Profile,
    Slab,
    Year,
    by_month,
    drying,
    profile,
    wetting,
)

DAY = 86_400.0
WITHIN = 0.005  # kg/m²


def kelvin(celsius: float) -> float:
    return celsius + 273.15


def saturation(celsius: float) -> float:
    """ISO 13788, Annex E, written here from the formula."""
    if celsius >= 0:
        return 610.5 * math.exp(17.269 * celsius / (237.3 + celsius))
    return 610.5 * math.exp(21.875 * celsius / (265.5 + celsius))


# ---- The old brick wall and its linings --------------------------------------------------------------------------


def slab(thickness: float, conductivity: float, mu: float) -> Slab:
    return Slab(thickness / conductivity, mu * thickness)


def film(sd: float) -> Slab:
    return Slab(0, sd)


def osb(mu: float = 50) -> Slab:
    return slab(0.012, 0.13, mu)


WALL = [slab(0.380, 0.81, 10), slab(0.015, 1.00, 15)]  # brick, old lime plaster
WOOL, BOARD, FOAM = slab(0.060, 0.040, 1), slab(0.0125, 0.25, 10), slab(0.060, 0.028, 60)
CASES = {
    "0": WALL,
    "A": [*WALL, WOOL, BOARD],
    "B": [*WALL, WOOL, osb(), BOARD],
    "C": [*WALL, WOOL, film(20), BOARD],
    "D": [*WALL, osb(), WOOL, BOARD],
    "E": [*WALL, FOAM, BOARD],
    **{f"C, film of {sd} m": [*WALL, WOOL, film(sd), BOARD] for sd in (0.5, 1, 2, 5, 10, 100)},
    **{f"B, mu {mu}": [*WALL, WOOL, osb(mu), BOARD] for mu in (30, 200)},
}
ROOM = Air(kelvin(20), 0.50)
OLD = (ROOM, Air(kelvin(-10), 0.80), 0.13, 0.04)  # editions of DIN 4108-3 before 2014; 60 days
NEW = (ROOM, Air(kelvin(-5), 0.80), 0.25, 0.04)  # DIN 4108-3:2014; 90 days
SUMMER = saturation(12)  # before 2014 the plane is at saturation at 12 °C, and both airs at 70 % of it


def wet(case: str, climate: str) -> tuple[Condensate, ...]:
    return wetting(CASES[case], *NEW, 90 * DAY) if climate == "new" else wetting(CASES[case], *OLD, 60 * DAY)


def dried(case: str, condensate: Sequence[Condensate], climate: str) -> tuple[float, ...]:
    at_plane, at_sides = (1700.0, 1200.0) if climate == "new" else (SUMMER, 0.7 * SUMMER)
    return drying(CASES[case], condensate, at_plane, at_sides, 90 * DAY)


@pytest.mark.parametrize(
    ("case", "climate", "depth", "condensate", "evaporable"),
    [
        # Computed independently; depth as sd from outside, m; masses in kg/m².
        ("A", "old", 4.025, 3.783, 3.698),
        ("A", "new", 4.025, 4.324, 4.396),
        ("B", "old", 4.025, 0.856, 0.996),
        ("B", "new", 4.025, 0.9485, 1.1838),  # by hand below
        ("D", "new", 4.625, 4.034, 4.371),
        ("E", "old", 4.025, 0.154, 0.338),
        ("E", "new", 4.025, 0.144, 0.402),
        ("C, film of 0.5 m", "new", 4.025, 1.078, 1.328),
        ("C, film of 1 m", "new", 4.025, 0.571, 0.849),
        ("C, film of 2 m", "new", 4.025, 0.254, 0.549),
        ("C, film of 5 m", "new", 4.025, 0.036, 0.343),
        ("B, mu 30", "new", 4.025, 1.419, 1.620),
        ("B, mu 200", "new", 4.025, 0.205, 0.494),
    ],
)
def test_lined_brick_wall_with_one_plane(
    case: str, climate: str, depth: float, condensate: float, evaporable: float
) -> None:
    (own,) = found = wet(case, climate)
    assert own.plane.depth_sd == pytest.approx(depth)
    assert own.plane.at_face
    assert own.mass == pytest.approx(condensate, abs=WITHIN)
    assert dried(case, found, climate) == pytest.approx((evaporable,), abs=WITHIN)


@pytest.mark.parametrize("climate", ["old", "new"])
@pytest.mark.parametrize("case", ["0", "C", "C, film of 10 m", "C, film of 100 m"])
def test_brick_wall_that_stays_dry(case: str, climate: str) -> None:
    assert wet(case, climate) == ()
    assert dried(case, (), climate) == ()


@pytest.mark.parametrize(("case", "evaporable"), [("C", 0.23), ("C, film of 10 m", 0.270), ("C, film of 100 m", 0.201)])
def test_wall_behind_a_tight_film_dries_outwards_alone(case: str, evaporable: float) -> None:
    # Computed independently: what could leave the inside of the masonry, were it wet there.
    (there,) = wet("A", "new")
    assert dried(case, [there], "new") == pytest.approx((evaporable,), abs=WITHIN)


def test_sheet_on_the_cold_side_has_two_planes() -> None:
    # Computed independently, climate before 2014.
    planes = wet("D", "old")
    assert [own.plane.depth_sd for own in planes] == pytest.approx([4.025, 4.625])
    assert [own.mass for own in planes] == pytest.approx([0.019, 3.551], abs=WITHIN)
    # By hand: the outer one needs 0.0190/0.1625 of 90 days to dry outwards alone, the inner one dries to the room all
    # the time, and to both sides from then on.
    away = 2e-10 * 0.3 * SUMMER * 90 * DAY
    outer = planes[0].mass / (away / 4.025)
    inner = away / (4.81 - 4.625) + (1 - outer) * away / 4.625
    assert dried("D", planes, "old") == pytest.approx((planes[0].mass, inner), rel=1e-12)
    assert inner > planes[1].mass


@pytest.mark.parametrize(
    ("case", "climate", "face", "humidity"),
    [
        # Computed independently: the cold face of the wool behind a film, and the bare wall's own surface.
        ("C", "old", 2, 0.764),
        ("C", "new", 2, 0.722),
        ("0", "new", 2, 0.838),
    ],
)
def test_humidity_where_nothing_condenses(case: str, climate: str, face: int, humidity: float) -> None:
    found = profile(CASES[case], *(NEW if climate == "new" else OLD))
    assert found.faces[face].humidity == pytest.approx(humidity, abs=0.0005)


# ---- Case B by hand ----------------------------------------------------------------------------------------------


def case_b() -> Profile:
    return profile(CASES["B"], *NEW)


def test_temperatures_and_pressures_of_case_b() -> None:
    # Computed independently: °C, saturation and vapour pressure in Pa, humidity in %.
    table = [
        (0.000, -4.59, 415.6, 320.9, 77.2),
        (3.800, 0.27, 622.5, 612.3, 98.4),
        (4.025, 0.42, 629.5, 629.5, 100.0),
        (4.085, 15.94, 1810.5, 670.7, 37.0),
        (4.685, 16.90, 1924.0, 1082.7, 56.3),
        (4.810, 17.41, 1988.0, 1168.5, 58.8),
    ]
    found = case_b()
    assert len(found.faces) == len(table)
    for number, (face, (depth, celsius, full, pressure, percent)) in enumerate(zip(found.faces, table, strict=True)):
        assert face.index == number
        assert face.depth_sd == pytest.approx(depth)
        assert face.temperature == pytest.approx(kelvin(celsius), abs=0.0051)
        assert face.saturation == pytest.approx(full, abs=0.051)
        assert face.pressure == pytest.approx(pressure, abs=0.051)
        assert 100 * face.humidity == pytest.approx(percent, abs=0.051)


def test_heat_through_case_b_by_hand() -> None:
    # 0.25 + 0.38/0.81 + 0.015 + 1.5 + 0.012/0.13 + 0.05 + 0.04 = 2.4164; U 0.4138; 25 K of it 10.346.
    found = case_b()
    assert found.resistance == pytest.approx(2.4164, abs=5e-5)
    assert found.transmittance == pytest.approx(0.4138, abs=5e-5)
    assert found.heat_flow == pytest.approx(10.346, abs=5e-4)


def test_condensate_of_case_b_by_hand() -> None:
    # 2e-10·(1168.5 - 629.5)/0.785 - 2e-10·(629.5 - 320.9)/4.025
    (plane,) = case_b().planes
    assert plane.rate == pytest.approx(1.3731e-7 - 1.5334e-8, rel=2e-4)
    assert (plane.slab, plane.at_face) == (1, True)
    assert plane.temperature == pytest.approx(kelvin(0.42), abs=0.005)


# ---- Twelve months -----------------------------------------------------------------------------------------------

DAYS = (31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31)  # the months of the calendar: with 30.4 each, 0.03 more stands
# An invented climate, mean temperature in °C and humidity in %, from January on.
WEATHER = [
    *((-1, 85), (0, 83), (4, 78), (9, 73), (14, 71), (17, 72)),
    *((19, 73), (18, 75), (14, 79), (9, 83), (4, 86), (0, 87)),
]
MONTHS = [
    Month(ROOM, Air(kelvin(celsius), percent / 100), days * DAY)
    for (celsius, percent), days in zip(WEATHER, DAYS, strict=True)
]


def year(case: str) -> Year:
    return by_month(CASES[case], MONTHS, 0.13, 0.04)


def test_case_a_month_by_month() -> None:
    # Computed independently: kg/m² at the end of each month, from January on.
    stands = [2.108, 2.880, 3.143, 2.520, 0.748, 0, 0, 0, 0, 0, 0.263, 1.121]
    found = year("A")
    assert [end.mass for end in found.months] == pytest.approx(stands, abs=WITHIN)
    assert found.peak == pytest.approx(3.143, abs=WITHIN)
    assert (found.start, found.peak_month, found.dries_out) == (10, 2, True)


def test_temperature_at_the_plane_of_case_a() -> None:
    # Computed independently: °C at the inside of the masonry, in the months in which water stands there at their end.
    warmth = {10: 7.80, 11: 4.76, 0: 3.99, 1: 4.76, 2: 7.80, 3: 11.62, 4: 15.43}
    found = year("A")
    for month, celsius in warmth.items():
        (own,) = found.months[month].condensate
        assert own.plane.temperature == pytest.approx(kelvin(celsius), abs=0.005)
        assert own.plane.depth_sd == pytest.approx(4.025)
        # Wet from end to end: all that the month brings or takes.
        before = found.months[month - 1].mass
        assert own.plane.rate * MONTHS[month].duration == pytest.approx(own.mass - before)


def test_case_b_month_by_month() -> None:
    # Computed independently.
    found = year("B")
    assert found.peak == pytest.approx(0.607, abs=WITHIN)
    assert (found.peak_month, found.dries_out) == (2, True)
    assert found.months[3].mass > 0
    assert found.months[4].mass == 0


# ---- All chords --------------------------------------------------------------------------------------------------

Row = NDArray[np.float64]


def minorant(depth: Row, pressure: Row, held: Sequence[int] = ()) -> Row:
    """The greatest convex line below all points, at each of them: the lowest of all chords that span it.

    Between `held` points, through which the line has to go, each stretch has chords of its own.
    """
    line = np.full_like(pressure, np.inf)
    for first, last in pairwise(sorted({0, len(depth) - 1, *held})):
        here = slice(first, last + 1)
        x, p = depth[here], pressure[here]
        outer, at, inner = np.ix_(range(len(x)), range(len(x)), range(len(x)))
        span = np.where(x[inner] > x[outer], x[inner] - x[outer], 1)
        chords = p[outer] + (p[inner] - p[outer]) * (x[at] - x[outer]) / span
        spanned = (outer <= at) & (at <= inner) & (outer < inner)
        line[here] = np.minimum(line[here], np.where(spanned, chords, np.inf).min(axis=(0, 2)))
    return np.minimum(line, pressure)


def gained(depth: Row, line: Row) -> Row:
    """What condenses at each inner point [kg/(m²·s)]: the bend of the line there."""
    return 2e-10 * np.diff(np.diff(line) / np.diff(depth))


def curve(slabs: Sequence[Slab], inside: Air, outside: Air, rsi: float, rse: float) -> tuple[Row, Row]:
    """Depth and greatest pressure at each point, slabs divided to 0.25 m²·K/W at most (ISO 13788)."""
    parts = [max(1, math.ceil(own.resistance / 0.25)) for own in slabs]
    depth = np.cumsum([0, *(own.vapour_thickness / n for own, n in zip(slabs, parts, strict=True) for _ in range(n))])
    through = np.cumsum([rse, *(own.resistance / n for own, n in zip(slabs, parts, strict=True) for _ in range(n))])
    outer, inner = outside.temperature - 273.15, inside.temperature - 273.15
    warmth = outer + (inner - outer) * through / (through[-1] + rsi)
    pressure = np.array([saturation(celsius) for celsius in warmth])
    pressure[0] = min(pressure[0], outside.humidity * saturation(outer))
    pressure[-1] = min(pressure[-1], inside.humidity * saturation(inner))
    return depth, pressure


def random_wall(chance: np.random.Generator) -> list[Slab]:
    return [
        Slab(chance.choice([0, 0.02, 0.3, 1.5, 4]) * chance.uniform(0.5, 1.5), 10 ** chance.uniform(-2, 1.5))
        for _ in range(chance.integers(1, 7))
    ]


def random_air(chance: np.random.Generator, coldest: float, warmest: float) -> Air:
    return Air(kelvin(chance.uniform(coldest, warmest)), chance.uniform(0.2, 1))


@pytest.mark.parametrize("seed", range(60))
def test_random_walls_against_all_chords(seed: int) -> None:
    # Computed independently: numpy, every chord between any two points. Warm outside is in it too.
    chance = np.random.default_rng(seed)
    slabs = random_wall(chance)
    airs = (random_air(chance, 10, 30), random_air(chance, -20, 35))
    depth, pressure = curve(slabs, *airs, 0.13, 0.04)
    line = minorant(depth, pressure)
    rates = gained(depth, line)
    found = profile(slabs, *airs, 0.13, 0.04)
    assert sum(plane.rate for plane in found.planes) == pytest.approx(rates.sum(), rel=1e-6, abs=1e-12)
    for plane in found.planes:
        at = int(np.argmin(np.abs(depth - plane.depth_sd)))
        assert plane.rate == pytest.approx(rates[at - 1], rel=1e-6, abs=1e-12)
        assert line[at] == pytest.approx(pressure[at])
    for face in found.faces:
        at = int(np.argmin(np.abs(depth - face.depth_sd)))
        assert face.pressure == pytest.approx(line[at])
        assert face.saturation >= face.pressure * (1 - 1e-12)


def test_the_random_walls_are_worth_drawing() -> None:
    # Dry ones, wet ones, ones with several planes, and planes inside a slab are all among them.
    drawn = []
    for seed in range(60):
        chance = np.random.default_rng(seed)
        slabs = random_wall(chance)
        drawn.append(profile(slabs, random_air(chance, 10, 30), random_air(chance, -20, 35), 0.13, 0.04).planes)
    assert min(map(len, drawn)) == 0
    assert max(map(len, drawn)) > 1
    assert {plane.at_face for planes in drawn for plane in planes} == {True, False}


def stepped(slabs: Sequence[Slab], months: Sequence[Month], start: int, step: float) -> list[float]:
    """Water at the end of each month by small steps of time, the line held wherever water stands: the brute way."""
    stands: dict[int, float] = {}
    ends = [0.0] * 12
    for month in (*range(start, 12), *range(start)):
        inside, outside, duration = months[month]
        depth, pressure = curve(slabs, inside, outside, 0.13, 0.04)
        water = np.zeros(len(depth))
        for index, mass in stands.items():
            water[index] = mass
        steps = round(duration / step)
        for _ in range(steps):
            rates = gained(depth, minorant(depth, pressure, np.flatnonzero(water).tolist()))
            rates[np.abs(rates) < 1e-13] = 0
            water[1:-1] = np.maximum(0, water[1:-1] + rates * duration / steps)
        stands = {int(index): float(water[index]) for index in np.flatnonzero(water)}
        ends[month] = sum(stands.values())
    return ends


@pytest.mark.parametrize("case", ["A", "B", "D", "E", "C, film of 1 m"])
def test_a_year_against_small_steps(case: str) -> None:
    # Computed independently: numpy, twice a day. D has two planes, and one of them dries up within a month.
    found = year(case)
    assert found.start is not None
    assert [end.mass for end in found.months] == pytest.approx(
        stepped(CASES[case], MONTHS, found.start, DAY / 2), abs=1e-4
    )
