"""What holds of the electrical formulas for every input; their figures are checked in reference/test_electrical.py."""

import inspect
import math
from collections.abc import Callable
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planlint.formulas import electrical
from planlint.formulas.electrical import (
    Stretch,
    adiabatic_section,
    ambient_factor,
    area_share,
    capacity,
    careful_factor,
    conductor_resistance,
    drop_per_metre,
    drop_share,
    fault_loop,
    greatest_electrode,
    greatest_loop,
    is_coordinated,
    jam_ratio,
    joule_integral,
    least_bore,
    load_current,
    longest_run_for_drop,
    longest_run_for_loop,
    ring_length,
    touch_voltage,
    trip_current,
    voltage_drop,
    voltage_drop_along,
    withstood_energy,
)

steady = settings(derandomize=True, deadline=None, max_examples=60)

lengths = st.floats(0, 500)
sections = st.floats(0.5e-6, 120e-6)
currents = st.floats(0.1, 200)
power_factors = st.floats(0.1, 1)
loaded = st.sampled_from([2, 3])
shares = st.floats(0.05, 1)
ohms = st.floats(0, 100)
per_length = st.floats(1e-4, 0.1)
diameters = st.floats(1e-3, 8e-3)
Pair = tuple[float, float]


def rising(values: "st.SearchStrategy[float]") -> "st.SearchStrategy[Pair]":
    """Two values, the smaller one first."""
    return st.tuples(values, values).map(lambda pair: (min(pair), max(pair)))


# ---- Longer and thinner -------------------------------------------------------------------------------------------


@steady
@given(rising(lengths), rising(sections), currents, power_factors, loaded)
def test_drop_never_falls_in_a_longer_or_thinner_run(
    length: Pair, section: Pair, current: float, power_factor: float, cores: int
) -> None:
    (short, long), (thin, thick) = length, section
    before = voltage_drop(short, current, drop_per_metre(thick, power_factor, cores))
    assert voltage_drop(long, current, drop_per_metre(thick, power_factor, cores)) >= before
    assert voltage_drop(short, current, drop_per_metre(thin, power_factor, cores)) >= before


@steady
@given(rising(lengths), rising(sections), sections, ohms)
def test_loop_never_falls_in_a_longer_or_thinner_run(
    length: Pair, section: Pair, earth: float, external: float
) -> None:
    (short, long), (thin, thick) = length, section
    rho = electrical.COPPER_IN_SERVICE
    before = fault_loop(external, short, rho / thick, rho / earth)
    assert fault_loop(external, long, rho / thick, rho / earth) >= before >= external
    assert fault_loop(external, short, rho / thin, rho / earth) >= before
    # The earth conductor counts as much as the line.
    assert fault_loop(external, short, rho / earth, rho / thick) == pytest.approx(before)


@steady
@given(per_length, rising(st.floats(253.15, 433.15)))
def test_a_warmer_conductor_resists_no_less(at_20: float, temperatures: Pair) -> None:
    cool, warm = temperatures
    assert conductor_resistance(at_20, warm) >= conductor_resistance(at_20, cool)


@steady
@given(st.lists(st.tuples(lengths, currents), min_size=1, max_size=6), sections, power_factors)
def test_loads_spread_along_a_run_drop_no_more_than_all_at_its_end(
    points: list[tuple[float, float]], section: float, power_factor: float
) -> None:
    per_metre = drop_per_metre(section, power_factor)
    carried = [sum(load for _, load in points[number:]) for number in range(len(points))]
    spread = [Stretch(length, amperes, per_metre) for (length, _), amperes in zip(points, carried, strict=True)]
    whole = sum(length for length, _ in points)
    assert voltage_drop_along(spread) <= voltage_drop(whole, carried[0], per_metre) * (1 + 1e-12)
    # Each load by itself over its own way gives the same (superposition).
    ways = [sum(length for length, _ in points[: number + 1]) for number in range(len(points))]
    each = [voltage_drop(way, load, per_metre) for way, (_, load) in zip(ways, points, strict=True)]
    assert voltage_drop_along(spread) == pytest.approx(sum(each))


@steady
@given(st.floats(0.01, 500), st.floats(0, 1))
def test_a_ring_does_as_a_run_of_a_quarter_of_it_at_most(around: float, share: float) -> None:
    single = ring_length(around, around * share)
    assert 0 <= single <= around / 4 * (1 + 1e-12)
    assert single <= min(share, 1 - share) * around * (1 + 1e-9) + 1e-12
    assert single == pytest.approx(ring_length(around, around - around * share), abs=1e-9)


# ---- There and back ----------------------------------------------------------------------------------------------


@steady
@given(st.floats(0, 50), currents, sections, power_factors, loaded)
def test_longest_run_and_drop_invert_each_other(
    allowed: float, current: float, section: float, power_factor: float, cores: int
) -> None:
    per_metre = drop_per_metre(section, power_factor, cores)
    longest = longest_run_for_drop(allowed, current, per_metre)
    assert per_metre * longest * current == pytest.approx(allowed)
    if longest <= electrical.LENGTH.most:
        assert voltage_drop(longest, current, per_metre) == pytest.approx(allowed)


@steady
@given(lengths, ohms, per_length, per_length)
def test_longest_run_and_loop_invert_each_other(length: float, external: float, line: float, earth: float) -> None:
    loop = fault_loop(external, length, line, earth)
    assert longest_run_for_loop(loop, external, line, earth) == pytest.approx(length, abs=1e-6)


@steady
@given(rising(ohms), per_length)
def test_where_the_supply_uses_up_the_loop_no_run_is_left(loops: Pair, per_metre: float) -> None:
    greatest, external = loops
    assert longest_run_for_loop(greatest, external, per_metre, per_metre) == 0


@steady
@given(lengths, lengths, ohms, per_length, per_length)
def test_runs_one_after_the_other_add_up(one: float, other: float, external: float, line: float, earth: float) -> None:
    halfway = fault_loop(external, one, line, earth)
    assert fault_loop(halfway, other, line, earth) == pytest.approx(fault_loop(external, one + other, line, earth))


@steady
@given(sections, st.floats(50, 230))
def test_a_section_withstands_what_asks_for_it(section: float, k: float) -> None:
    assert adiabatic_section(withstood_energy(section, k), k) == pytest.approx(section)


@steady
@given(st.floats(1, 1000), st.floats(0.001, 10))
def test_the_greatest_electrode_brings_just_the_touch_voltage(touch: float, residual: float) -> None:
    assert touch_voltage(greatest_electrode(touch, residual), residual) == pytest.approx(touch)


@steady
@given(st.lists(diameters, min_size=1, max_size=9), st.floats(0.1, 1))
def test_the_least_bore_is_filled_to_the_share(wires: list[float], share: float) -> None:
    bore = least_bore(wires, share)
    assert area_share(wires, bore) == pytest.approx(share)
    assert area_share([*wires, wires[0]], bore) > share


@steady
@given(st.floats(1, 100_000), st.floats(100, 400), power_factors)
def test_the_same_power_in_three_lines_is_a_third_in_each(power: float, voltage: float, power_factor: float) -> None:
    single = load_current(power, voltage, power_factor)
    assert single * voltage * power_factor == pytest.approx(power)
    assert 3 * load_current(power, voltage, power_factor, loaded=3) == pytest.approx(single)


# ---- Factors -----------------------------------------------------------------------------------------------------


@steady
@given(currents, shares, shares, shares)
def test_capacity_never_rises_when_a_factor_is_added(tabulated: float, one: float, two: float, three: float) -> None:
    bare = capacity(tabulated)
    warm = capacity(tabulated, ambient=one)
    bunched = capacity(tabulated, ambient=one, grouping=two)
    enclosed = capacity(tabulated, ambient=one, grouping=two, insulation=three)
    assert tabulated == bare >= warm >= bunched >= enclosed


@steady
@given(currents, rising(st.floats(303.15, 333.15)))
def test_a_warmer_wall_leaves_no_more_capacity(tabulated: float, temperatures: Pair) -> None:
    cool, warm = temperatures
    least, more = capacity(tabulated, ambient_factor(warm)), capacity(tabulated, ambient_factor(cool))
    assert least <= more <= tabulated


falling = st.lists(
    st.tuples(st.integers(1, 500), st.floats(0.1, 1)), min_size=1, max_size=9, unique_by=lambda row: row[0]
).map(lambda rows: list(zip(sorted(key for key, _ in rows), sorted((f for _, f in rows), reverse=True), strict=True)))


@steady
@given(falling, st.floats(0, 600), st.randoms(use_true_random=False))
def test_a_table_is_read_to_the_careful_side(rows: list[tuple[int, float]], wanted: float, chance: Random) -> None:
    shuffled = sorted(rows, key=lambda _: chance.random())
    factor = careful_factor(shuffled, wanted, last_holds_beyond=True)
    assert factor in [own for _, own in rows]
    # No row at or below what is wanted is kinder than it has to be: the line between two rows lies above.
    below = [own for key, own in rows if key <= wanted]
    assert all(factor <= own for own in below)
    above = [own for key, own in rows if key >= wanted]
    assert factor == (max(above) if above else rows[-1][1])


def test_beyond_its_end_a_table_says_nothing_unless_it_says_so() -> None:
    rows = [(400, 0.51), (500, 0.50)]
    # Float noise is not beyond a row.
    assert careful_factor(rows, 400 * (1 + 1e-12)) == 0.51
    assert careful_factor(rows, 500 * (1 + 1e-12)) == 0.50
    assert careful_factor(rows, 2000, last_holds_beyond=True) == 0.50
    for wanted, beyond in ((501, False), (math.nan, True), (math.inf, True), (-math.inf, False)):
        with pytest.raises(ValueError, match=r"wanted is .*, and has to be at most 500"):
            careful_factor(rows, wanted, last_holds_beyond=beyond)
    with pytest.raises(ValueError, match="rows is empty"):
        careful_factor([], 1)
    with pytest.raises(ValueError, match=r"factor is 88, and has to be from 0.01 to 1.5"):
        careful_factor([(50, 88)], 50)


@steady
@given(currents, currents, currents)
def test_coordinated_is_load_below_breaker_below_cable(one: float, two: float, three: float) -> None:
    load, rated, carried = sorted((one, two, three))
    assert is_coordinated(load, rated, carried)
    assert is_coordinated(rated, rated, rated * (1 - 1e-12))  # exactly equal holds, float noise aside
    if load < rated * (1 - 1e-6):
        assert not is_coordinated(rated, load, carried)
        assert not is_coordinated(load, rated, load)


# ---- Out of range ------------------------------------------------------------------------------------------------

# Each function: sound arguments, and how far each of them may go, by the docstrings (°C in K, mm² in m² and so on).
KM, KA = 10_000, 100_000
AREA, WIDTH, SPECIFIC, HOT = (1e-7, 1e-3), (1e-4, 1.0), (1e-6, 10.0), (253.15, 433.15)
RANGES: list[tuple[Callable[..., float], dict[str, tuple[float, float, float]]]] = [
    (load_current, {"power": (3680, 0, 1e6), "voltage": (230, 1, 1000), "power_factor": (1, 0.1, 1)}),
    (conductor_resistance, {"resistance_at_20": (7.41e-3, *SPECIFIC), "temperature": (343.15, *HOT)}),
    (
        drop_per_metre,
        {
            "section": (2.5e-6, *AREA),
            "power_factor": (1, 0.1, 1),
            "resistivity": (2.25e-8, 1e-8, 1e-7),
            "reactance": (8e-5, 0, 1e-3),
        },
    ),
    (voltage_drop, {"length": (25, 0, KM), "current": (16, 0, KA), "per_metre": (0.018, *SPECIFIC)}),
    (drop_share, {"drop": (7.2, 0, 1000), "voltage": (230, 1, 1000)}),
    (longest_run_for_drop, {"allowed": (6.9, 0, 1000), "current": (16, 1e-3, KA), "per_metre": (0.018, *SPECIFIC)}),
    (ring_length, {"around": (60, 20, KM), "along": (20, 0, 60)}),
    (
        ambient_factor,
        {
            "ambient": (303.15, 283.15, 333.15),
            "conductor_limit": (343.15, 333.15, 383.15),
            "reference": (303.15, 283.15, 333.15),
        },
    ),
    (
        capacity,
        {"tabulated": (23, 0, KA), "ambient": (1, 0.01, 1.5), "grouping": (1, 0.01, 1), "insulation": (1, 0.01, 1)},
    ),
    (is_coordinated, {"load": (13, 0, KA), "rated": (16, 0, KA), "carried": (23, 0, KA)}),
    (trip_current, {"rated": (16, 1e-3, KA), "multiple": (5, 1, 50)}),
    (
        fault_loop,
        {"external": (0.35, 0, 1e6), "length": (18, 0, KM), "line": (3e-3, *SPECIFIC), "earth": (7e-3, *SPECIFIC)},
    ),
    (greatest_loop, {"trips_at": (80, 1e-3, KA), "voltage": (230, 1, 1000), "voltage_factor": (0.95, 0.5, 1.1)}),
    (
        longest_run_for_loop,
        {
            "greatest": (2.7, 0, 1e6),
            "external": (0.35, 0, 1e6),
            "line": (7e-3, *SPECIFIC),
            "earth": (7e-3, *SPECIFIC),
        },
    ),
    (touch_voltage, {"electrode": (1600, 0, 1e6), "residual": (0.03, 1e-3, KA)}),
    (greatest_electrode, {"touch": (50, 1, 1000), "residual": (0.03, 1e-3, KA)}),
    (joule_integral, {"current": (200, 0, KA), "time": (0.4, 0.1, 5)}),
    (adiabatic_section, {"energy": (35_000, 0, 1e12), "k": (115, 20, 250)}),
    (withstood_energy, {"section": (1.5e-6, *AREA), "k": (115, 20, 250)}),
    (jam_ratio, {"bore": (10.7e-3, *WIDTH), "diameter": (3.4e-3, *WIDTH)}),
]
ARGUMENTS = [(function, name) for function, arguments in RANGES for name in arguments]


def refuses(function: Callable[..., float], arguments: dict[str, float], name: str) -> None:
    with pytest.raises(ValueError, match=rf"^{name} is .*, and has to be from "):
        function(**arguments)


@pytest.mark.parametrize(("function", "name"), ARGUMENTS, ids=lambda part: getattr(part, "__name__", part))
@steady
@given(away=st.floats(1e-3, 1e6))
def test_out_of_range_is_always_refused(function: Callable[..., float], name: str, away: float) -> None:
    arguments = dict(RANGES)[function]
    sound = {key: value for key, (value, _, _) in arguments.items()}
    _, least, most = arguments[name]
    for end in (least, most):
        assert math.isfinite(function(**sound | {name: end}))
    # 20 m of the ring are used up: a ring shorter than that is refused for the point along it.
    low = "along" if (function, name) == (ring_length, "around") else name
    refuses(function, sound | {name: least - away * max(least, 1e-3) if low == name else 10.0}, low)
    refuses(function, sound | {name: most * (1 + away)}, name)
    for nonsense in (math.nan, math.inf, -math.inf):
        refuses(function, sound | {name: nonsense}, name)


@steady
@given(st.floats(1e-3, 1e6))
def test_wires_out_of_range_are_refused(away: float) -> None:
    for wrong in (1e-4 * (1 - min(away, 2)), 1 + away, math.nan):
        refuses(area_share, {"diameters": [3e-3, wrong], "bore": 0.016}, "diameters")
        refuses(area_share, {"diameters": [3e-3], "bore": wrong}, "bore")
        refuses(least_bore, {"diameters": [3e-3, wrong], "share": 0.5}, "diameters")
    for wrong in (0.01 / (1 + away), 1 + away, math.nan):
        refuses(least_bore, {"diameters": [3e-3], "share": wrong}, "share")


@pytest.mark.parametrize("wrong", [-1, 0, 1, 4, 2.5, math.nan])
def test_two_or_three_conductors_are_loaded(wrong: float) -> None:
    for function in (lambda: load_current(3680, 230, loaded=wrong), lambda: drop_per_metre(1e-6, loaded=wrong)):
        with pytest.raises(ValueError, match=r"loaded is .*, and has to be 2 or 3"):
            function()


def test_a_refusal_speaks_in_the_units_of_the_trade() -> None:
    with pytest.raises(ValueError, match=r"section is 2,500,000 mm², and has to be from 0.1 to 1,000 mm²"):
        drop_per_metre(2.5)
    with pytest.raises(ValueError, match=r"temperature is -203.15 °C, and has to be from -20 to 160 °C"):
        conductor_resistance(7.41e-3, 70)
    with pytest.raises(ValueError, match=r"time is 0.01 s, and has to be from 0.1 to 5 s"):
        joule_integral(600, 0.01)


NOT_SPELLED = {"stretches", "last_holds_beyond"}
ELSEWHERE = {"area_share", "least_bore", "careful_factor", "voltage_drop_along"}
PUBLIC = [
    function
    for name, function in inspect.getmembers(electrical, inspect.isfunction)
    if function.__module__ == electrical.__name__ and not name.startswith("_")
]


@pytest.mark.parametrize("function", PUBLIC, ids=lambda function: function.__name__)
def test_a_formula_says_what_it_takes_and_where_it_comes_from(function: Callable[..., float]) -> None:
    said = inspect.getdoc(function) or ""
    assert "Source:" in said
    assert all(f"`{name}`" in said for name in inspect.signature(function).parameters if name not in NOT_SPELLED)
    assert function in dict(RANGES) or function.__name__ in ELSEWHERE, "no test holds it to its range"
