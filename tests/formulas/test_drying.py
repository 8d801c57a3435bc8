"""Drying times: what holds for every input, and figures of the trade."""

import inspect
import math
from collections.abc import Callable

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planlint.formulas import drying
from planlint.formulas.drying import coat_drying_time, drying_factor, layer_drying_time, square_drying_time

steady = settings(derandomize=True, deadline=None, max_examples=60)

HOUR, DAY, MM = 3600.0, 86_400.0, 1e-3
temperatures = st.floats(273.15, 313.15)
humidities = st.floats(0, 0.9)
thicknesses = st.floats(0, 1)
rates = st.floats(0.01, 10).map(lambda mm: mm * MM / DAY)


def kelvin(celsius: float) -> float:
    return celsius + 273.15


# ---- The air of the room -----------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("celsius", "percent", "factor"),
    [
        (20, 50, 1),
        # Computed independently, before this program was written: deficit of vapour pressure, 1 at 20 °C and 50 %.
        (25, 40, 1.63),
        (15, 70, 0.44),
        (20, 80, 0.40),
        (10, 70, 0.32),
        (10, 80, 0.21),
        (5, 80, 0.15),
        (5, 90, 0.07),
    ],
)
def test_drying_by_the_deficit_of_vapour_pressure(celsius: float, percent: float, factor: float) -> None:
    assert drying_factor(kelvin(celsius), percent / 100) == pytest.approx(factor, abs=0.005)


# Hours for one coat of 1.6 mm of drying joint filler, at °F and % of humidity: a handbook of the trade, from memory.
FAHRENHEIT = (32, 40, 50, 60, 70, 80, 100)
HOURS = {
    0: (38, 28, 19, 13, 9, 6, 3),
    20: (48, 34, 23, 16, 11, 8, 4),
    40: (60, 44, 29, 20, 14, 10, 5),
    50: (72, 48, 36, 24, 17, 12, 6),
    60: (84, 60, 42, 29, 20, 14, 8),
    70: (108, 84, 54, 38, 26, 19, 10),
    80: (168, 114, 78, 54, 38, 27, 14),
    90: (312, 216, 144, 108, 72, 49, 29),
}


@pytest.mark.parametrize("percent", HOURS)
def test_coats_of_filler_against_a_table_of_the_trade(percent: int) -> None:
    for fahrenheit, hours in zip(FAHRENHEIT, HOURS[percent], strict=True):
        ours = coat_drying_time((fahrenheit - 32) / 1.8 + 273.15, percent / 100, 17 * HOUR) / (hours * HOUR)
        if percent <= 70:
            assert ours == pytest.approx(1, abs=0.10)
        else:
            assert 1 < ours < 1.25  # the careful side: the table is shorter in damp air


@steady
@given(temperatures, humidities, temperatures, humidities)
def test_warmer_and_drier_air_never_takes_longer(t1: float, h1: float, t2: float, h2: float) -> None:
    warm_dry = coat_drying_time(max(t1, t2), min(h1, h2), HOUR)
    assert 0 < warm_dry <= coat_drying_time(min(t1, t2), max(h1, h2), HOUR)


@steady
@given(temperatures, humidities, st.floats(0, 1000))
def test_under_the_makers_conditions_the_makers_time_holds(temperature: float, humidity: float, hours: float) -> None:
    time = coat_drying_time(temperature, humidity, hours * HOUR, temperature, humidity)
    assert time == pytest.approx(hours * HOUR)


# ---- Layers and walls --------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("millimetres", "days"),
    [
        (50, 50),  # cement screed, 1 mm a day down to 50 mm: BS 8203 and BS 8204, from memory
        (65, 80),  # and 0.5 mm a day below: likewise
    ],
)
def test_screed_as_the_trade_counts(millimetres: float, days: float) -> None:
    time = layer_drying_time(millimetres * MM, 1 * MM / DAY, 50 * MM, 0.5 * MM / DAY)
    assert time == pytest.approx(days * DAY)


def test_brick_wall_by_the_square_and_by_the_inch_a_month() -> None:
    # Textbook: s of brick is 0.28 days a cm², 380 mm is 0.28·38² = 404 days. A public page on floods (CIRIA, 2002) says
    # an inch a month: 380/25.4 months of 30.4 days, 455 days.
    squared = square_drying_time(0.380, 0.28)
    assert squared == pytest.approx(404 * DAY, abs=0.5 * DAY)
    by_the_inch = layer_drying_time(0.380, 0.0254 / (30.4 * DAY), 10, 0.0254 / (30.4 * DAY))
    assert by_the_inch == pytest.approx(455 * DAY, abs=0.5 * DAY)
    assert squared == pytest.approx(by_the_inch, rel=0.12)


@steady
@given(thicknesses, thicknesses, rates, thicknesses, rates)
def test_thicker_never_dries_sooner(one: float, other: float, rate: float, depth: float, later: float) -> None:
    thin, thick = sorted((one, other))
    assert layer_drying_time(thin, rate, depth, later) <= layer_drying_time(thick, rate, depth, later)
    assert square_drying_time(thin, 0.28) <= square_drying_time(thick, 0.28)


@steady
@given(thicknesses, rates, thicknesses)
def test_one_rate_throughout_needs_no_depth(thickness: float, rate: float, depth: float) -> None:
    assert layer_drying_time(thickness, rate, depth, rate) == pytest.approx(thickness / rate)


@steady
@given(thicknesses)
def test_twice_as_thick_takes_four_times_as_long(thickness: float) -> None:
    assert square_drying_time(2 * thickness, 0.9) == pytest.approx(4 * square_drying_time(thickness, 0.9))


# ---- Out of range ------------------------------------------------------------------------------------------------

# Each function: sound arguments, and how far each of them may go, by the docstrings.
ROOM, DAMP, DEEP, SPEED = (273.15, 313.15), (0, 0.9), (0, 10), (1e-6 / DAY, 0.1 / DAY)
RANGES: list[tuple[Callable[..., float], dict[str, tuple[float, float, float]]]] = [
    (drying_factor, {"temperature": (293.15, *ROOM), "humidity": (0.5, *DAMP)}),
    (
        coat_drying_time,
        {
            "temperature": (293.15, *ROOM),
            "humidity": (0.5, *DAMP),
            "reference_time": (HOUR, 0, 3650 * DAY),
            "reference_temperature": (293.15, *ROOM),
            "reference_humidity": (0.5, *DAMP),
        },
    ),
    (
        layer_drying_time,
        {
            "thickness": (0.065, *DEEP),
            "rate": (MM / DAY, *SPEED),
            "depth": (0.05, *DEEP),
            "later_rate": (MM / DAY, *SPEED),
        },
    ),
    (square_drying_time, {"thickness": (0.38, *DEEP), "coefficient": (0.28, 0.001, 100)}),
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
    for wrong in (least - away * max(least, 1e-9), most * (1 + away), math.nan, math.inf, -math.inf):
        with pytest.raises(ValueError, match=rf"^{name} is .*, and has to be from "):
            function(**sound | {name: wrong})


PUBLIC = [
    function
    for name, function in inspect.getmembers(drying, inspect.isfunction)
    if function.__module__ == drying.__name__ and not name.startswith("_")
]


@pytest.mark.parametrize("function", PUBLIC, ids=lambda function: function.__name__)
def test_a_formula_says_what_it_takes_and_where_it_comes_from(function: Callable[..., float]) -> None:
    said = inspect.getdoc(function) or ""
    assert "Source:" in said
    assert all(f"`{name}`" in said for name in inspect.signature(function).parameters)
    assert function in dict(RANGES), "no test holds it to its range"
