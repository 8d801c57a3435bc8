"""What holds of the sums of air and wood for every input; their figures are checked in reference/test_moisture_air.py.

Wood is checked in reference/test_wood_moisture.py.
"""

import inspect
import math
from collections.abc import Callable

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planlint.formulas import moisture
from planlint.formulas.moisture import (
    dew_point,
    humidity_over_wood,
    meter_temperature_correction,
    moisture_gain,
    saturation_pressure,
    surface_factor,
    surface_temperature,
    temperature_at_humidity,
    thermal_resistance,
    transmittance,
    vapour_pressure,
    vapour_thickness,
    wood_moisture,
)

steady = settings(derandomize=True, deadline=None, max_examples=60)

COLDEST, WARMEST = 233.15, 353.15
temperatures = st.floats(COLDEST, WARMEST)
rooms = st.floats(273.15, 313.15)
wood_temperatures = st.floats(253.15, 373.15)
humidities = st.floats(0, 1)
resistances = st.floats(0.3, 20)
Pair = tuple[float, float]


def rising(values: "st.SearchStrategy[float]", apart: float = 1e-3) -> "st.SearchStrategy[Pair]":
    """Two values, the smaller one first, and not as good as equal."""
    pairs = st.tuples(values, values).map(lambda pair: (min(pair), max(pair)))
    return pairs.filter(lambda pair: pair[1] - pair[0] > apart)


# ---- Air ---------------------------------------------------------------------------------------------------------


@steady
@given(rising(temperatures))
def test_saturation_rises_with_temperature(pair: Pair) -> None:
    cold, warm = pair
    assert saturation_pressure(cold) < saturation_pressure(warm)


def test_ice_and_water_meet_at_the_freezing_point() -> None:
    assert saturation_pressure(273.15 - 1e-9) == pytest.approx(saturation_pressure(273.15), rel=1e-9)


@steady
@given(temperatures)
def test_dew_point_undoes_saturation(temperature: float) -> None:
    assert dew_point(saturation_pressure(temperature)) == pytest.approx(temperature, abs=1e-6)


@steady
@given(rooms, rising(st.floats(0.05, 1)))
def test_damper_air_has_more_vapour_and_a_higher_dew_point(temperature: float, pair: Pair) -> None:
    dry, damp = (vapour_pressure(temperature, humidity) for humidity in pair)
    assert dry < damp
    assert dew_point(dry) < dew_point(damp) <= temperature + 1e-6


@steady
@given(rooms, st.floats(0.1, 1), st.floats(0.2, 1))
def test_at_the_temperature_found_air_has_that_humidity(temperature: float, humidity: float, reached: float) -> None:
    pressure = vapour_pressure(temperature, humidity)
    assert vapour_pressure(temperature_at_humidity(pressure, reached), reached) == pytest.approx(pressure)


# ---- Wood --------------------------------------------------------------------------------------------------------


@steady
@given(wood_temperatures, rising(humidities))
def test_damper_air_means_damper_wood(temperature: float, pair: Pair) -> None:
    dry, damp = pair
    assert 0 <= wood_moisture(temperature, dry) < wood_moisture(temperature, damp) < 0.30


@steady
@given(wood_temperatures, humidities)
def test_humidity_over_wood_undoes_its_moisture(temperature: float, humidity: float) -> None:
    found = humidity_over_wood(temperature, wood_moisture(temperature, humidity))
    assert found == pytest.approx(humidity, abs=1e-9)


@pytest.mark.parametrize("celsius", [-10, 0, 10, 20, 35])
def test_no_air_explains_wood_past_fibre_saturation(celsius: float) -> None:
    saturated = wood_moisture(celsius + 273.15, 1)
    assert humidity_over_wood(celsius + 273.15, saturated) == pytest.approx(1)
    with pytest.raises(ValueError, match=r"moisture is .* %, and has to be from 0 to 2[89]\."):
        humidity_over_wood(celsius + 273.15, saturated + 0.0001)


@steady
@given(st.floats(0.07, 0.30), rising(st.floats(278.15, 323.15)))
def test_colder_wood_reads_lower(reading: float, pair: Pair) -> None:
    cold, warm = (meter_temperature_correction(reading, temperature) for temperature in pair)
    assert -0.04 - 1e-12 <= warm < cold <= 0.03 + 1e-12


@pytest.mark.parametrize(("celsius", "points"), [(7.5, 2.5), (15, 1), (30, -1.5), (45, -3.5)])
def test_correction_lies_half_way_between_the_points_of_the_manual(celsius: float, points: float) -> None:
    assert 100 * meter_temperature_correction(0.18, celsius + 273.15) == pytest.approx(points)


# ---- Layers ------------------------------------------------------------------------------------------------------


@steady
@given(rooms, temperatures, resistances, st.floats(0.01, 0.3))
def test_surface_lies_where_heat_flow_puts_it(inside: float, outside: float, resistance: float, rsi: float) -> None:
    surface = surface_temperature(inside, outside, surface_factor(resistance, rsi))
    # What passes the wall passes the air before its surface too.
    through = transmittance(resistance) * (inside - outside)
    assert (inside - surface) / rsi == pytest.approx(through, rel=1e-6, abs=1e-6)


@steady
@given(st.floats(0, 1), st.floats(0, 1), st.floats(0.02, 3), st.floats(1, 1000))
def test_a_layer_in_two_parts_is_the_same_layer(one: float, other: float, conductivity: float, mu: float) -> None:
    parts = thermal_resistance(one, conductivity) + thermal_resistance(other, conductivity)
    assert thermal_resistance(one + other, conductivity) == pytest.approx(parts)
    assert vapour_thickness(mu, one + other) == pytest.approx(vapour_thickness(mu, one) + vapour_thickness(mu, other))


# ---- Out of range ------------------------------------------------------------------------------------------------

# Each function: sound arguments, and how far each of them may go, by the docstrings (°C in K, mm in m and so on).
AIR, WOOD, WHOLE = (COLDEST, WARMEST), (253.15, 373.15), (0, 1)
RANGES: list[tuple[Callable[..., float], dict[str, tuple[float, float, float]]]] = [
    (saturation_pressure, {"temperature": (293.15, *AIR)}),
    (dew_point, {"pressure": (1168, 1, saturation_pressure(WARMEST))}),
    (vapour_pressure, {"temperature": (293.15, *AIR), "humidity": (0.5, *WHOLE)}),
    (temperature_at_humidity, {"pressure": (1168, 1, saturation_pressure(WARMEST)), "humidity": (1, 0.1, 1)}),
    (wood_moisture, {"temperature": (293.15, *WOOD), "humidity": (0.5, *WHOLE)}),
    (humidity_over_wood, {"temperature": (293.15, *WOOD), "moisture": (0.12, 0, wood_moisture(293.15, 1))}),
    (meter_temperature_correction, {"reading": (0.15, 0.07, 0.30), "temperature": (293.15, 278.15, 323.15)}),
    (
        moisture_gain,
        {"condensate": (0.2, 0, 1000), "density": (600, 1, 10_000), "thickness": (0.012, 1e-4, 10)},
    ),
    (vapour_thickness, {"mu": (10, 1, 1e7), "thickness": (0.38, 0, 10)}),
    (thermal_resistance, {"thickness": (0.38, 0, 10), "conductivity": (0.81, 0.001, 500)}),
    (transmittance, {"resistance": (2.4, 0.01, 1000)}),
    (surface_factor, {"resistance": (0.77, 0.25, 1000), "rsi": (0.25, 0, 0.77)}),
    (surface_temperature, {"inside": (293.15, *AIR), "outside": (268.15, *AIR), "factor": (0.7, 0, 1)}),
]
ARGUMENTS = [(function, name) for function, arguments in RANGES for name in arguments]


@pytest.mark.parametrize(("function", "name"), ARGUMENTS, ids=lambda part: getattr(part, "__name__", part))
@steady
@given(away=st.floats(1e-3, 1e3))
def test_out_of_range_is_always_refused(function: Callable[..., float], name: str, away: float) -> None:
    arguments = dict(RANGES)[function]
    sound = {key: value for key, (value, _, _) in arguments.items()}
    _, least, most = arguments[name]
    for end in (least, most):
        assert math.isfinite(function(**sound | {name: end}))
    # A wall that resists less than its surface alone is refused for the surface.
    low = "rsi" if (function, name) == (surface_factor, "resistance") else name
    with pytest.raises(ValueError, match=rf"^{low} is .*, and has to be from "):
        function(**sound | {name: 0.2 if low != name else least - away * max(least, 1e-3)})
    for wrong in (most * (1 + away), math.nan, math.inf, -math.inf):
        with pytest.raises(ValueError, match=rf"^{name} is .*, and has to be from "):
            function(**sound | {name: wrong})


def test_a_refusal_speaks_in_the_units_of_the_trade() -> None:
    with pytest.raises(ValueError, match=r"temperature is -253.15 °C, and has to be from -40 to 80 °C"):
        saturation_pressure(20)
    with pytest.raises(ValueError, match=r"humidity is 5,000 %, and has to be from 0 to 100 %"):
        vapour_pressure(293.15, 50)


PUBLIC = [
    function
    for name, function in inspect.getmembers(moisture, inspect.isfunction)
    if function.__module__ == moisture.__name__ and not name.startswith("_")
]


@pytest.mark.parametrize("function", PUBLIC, ids=lambda function: function.__name__)
def test_a_formula_says_what_it_takes_and_where_it_comes_from(function: Callable[..., float]) -> None:
    said = inspect.getdoc(function) or ""
    assert "Source:" in said
    assert all(f"`{name}`" in said for name in inspect.signature(function).parameters)
    assert function in dict(RANGES), "no test holds it to its range"
