"""Our grammar and trimmed definitions against pint's own default registry."""

import pint
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planlint.grammar import parse
from planlint.units import (
    Angle,
    Area,
    Conductivity,
    Current,
    Density,
    Duration,
    Length,
    LinearResistance,
    Mass,
    Power,
    Pressure,
    Quantity,
    Ratio,
    Resistance,
    SurfaceMass,
    Temperature,
    ThermalResistance,
    Voltage,
    Volume,
)

# dimension, its SI unit in pint's words, and for each unit in pint's words every spelling that a plan may use
SPELLINGS: list[tuple[type[Quantity], str, dict[str, list[str]]]] = [
    (
        Length,
        "meter",
        {
            "micrometer": ["\N{MICRO SIGN}m", "\N{GREEK SMALL LETTER MU}m", "um"],
            "millimeter": ["mm"],
            "centimeter": ["cm"],
            "meter": ["m"],
            "inch": ["in", '"', "\N{DOUBLE PRIME}"],
            "foot": ["ft", "'", "\N{PRIME}"],
        },
    ),
    (
        Area,
        "meter ** 2",
        {
            "millimeter ** 2": ["mm²", "mm2", "mm^2"],
            "centimeter ** 2": ["cm²", "cm2", "cm^2"],
            "meter ** 2": ["m²", "m2", "m^2"],
        },
    ),
    (Angle, "radian", {"degree": ["°", "deg"]}),
    (
        SurfaceMass,
        "kilogram / meter ** 2",
        {
            "kilogram / meter ** 2": ["kg/m²", "kg/m2", "kg/m^2"],
            "gram / meter ** 2": ["g/m²", "g/m2", "g/m^2"],
        },
    ),
    (Density, "kilogram / meter ** 3", {"kilogram / meter ** 3": ["kg/m³", "kg/m3", "kg/m^3"]}),
    (Mass, "kilogram", {"kilogram": ["kg"], "gram": ["g"]}),
    (
        Temperature,
        "kelvin",
        {
            "degree_Celsius": ["°C", "degC"],
            "degree_Fahrenheit": ["°F", "degF"],
            "kelvin": ["K"],
        },
    ),
    (Ratio, "dimensionless", {"percent": ["%"]}),
    (
        Duration,
        "second",
        {
            "second": ["s"],
            "minute": ["min", "minute", "minutes"],
            "hour": ["h", "hour", "hours"],
            "day": ["d", "day", "days"],
            "week": ["week", "weeks"],
        },
    ),
    (Current, "ampere", {"ampere": ["A"], "milliampere": ["mA"], "kiloampere": ["kA"]}),
    (Voltage, "volt", {"volt": ["V"], "millivolt": ["mV"], "kilovolt": ["kV"]}),
    (
        Resistance,
        "ohm",
        {
            "ohm": ["ohm", "Ohm", "Ω", "\N{OHM SIGN}"],
            "milliohm": ["mohm", "mOhm", "mΩ"],
            "kiloohm": ["kohm", "kOhm", "kΩ"],
            "megaohm": ["Mohm", "MOhm", "MΩ"],
        },
    ),
    (
        LinearResistance,
        "ohm / meter",
        {
            "ohm / kilometer": ["ohm/km", "Ohm/km", "Ω/km", "\N{OHM SIGN}/km"],
            "milliohm / meter": ["mohm/m", "mOhm/m", "mΩ/m"],
        },
    ),
    (
        Power,
        "watt",
        {"watt": ["W"], "kilowatt": ["kW"], "volt_ampere": ["VA"], "kilovolt_ampere": ["kVA"]},
    ),
    (
        Conductivity,
        "watt / meter / kelvin",
        {
            "watt / meter / kelvin": [
                *(
                    "W/(m·K)",
                    "W/(m\N{DOT OPERATOR}K)",
                    "W/mK",
                    "W/(mK)",
                    "W/(m K)",
                    "W/(m*K)",
                    "W/m·K",
                    "W/m/K",
                )
            ]
        },
    ),
    (
        ThermalResistance,
        "meter ** 2 * kelvin / watt",
        {
            "meter ** 2 * kelvin / watt": [
                *("m²·K/W", "m²\N{DOT OPERATOR}K/W", "m²K/W", "m² K/W", "m²*K/W", "m2K/W", "m2·K/W", "m2 K/W", "m2*K/W")
            ],
            "hour * foot ** 2 * delta_degree_Fahrenheit / Btu_it": ["h·ft²·°F/Btu", "h·ft²·°F/BTU", "h ft2 F/Btu"],
        },
    ),
    (
        Pressure,
        "pascal",
        {"pascal": ["Pa"], "hectopascal": ["hPa"], "kilopascal": ["kPa"], "bar": ["bar"]},
    ),
    (
        Volume,
        "meter ** 3",
        {
            "liter": ["l", "L"],
            "milliliter": ["ml", "mL"],
            "centimeter ** 3": ["cm³", "cm3", "cm^3"],
            "meter ** 3": ["m³", "m3", "m^3"],
            "inch ** 3": ["in³", "in3", "in^3", "cu in"],
        },
    ),
]
CASES = [
    pytest.param(kind, si, unit, spelling, id=f"{kind.dimension}-{spelling}")
    for kind, si, units in SPELLINGS
    for unit, spellings in units.items()
    for spelling in spellings
]
REGISTRY: "pint.UnitRegistry[float]" = pint.UnitRegistry(cache_folder=None)


@pytest.mark.parametrize(("kind", "si", "unit", "spelling"), CASES)
@settings(deadline=None, max_examples=20)
@given(
    figure=st.decimals(min_value=0, max_value=10**7, places=6, allow_nan=False, allow_infinity=False),
    space=st.sampled_from(["", " ", "  "]),
)
def test_every_spelling_agrees_with_the_default_registry(  # noqa: PLR0913 - four of the six name the spelling
    *, kind: type[Quantity], si: str, unit: str, spelling: str, figure: object, space: str
) -> None:
    figure_text = f"{figure:f}"
    expected = REGISTRY.Quantity(float(figure_text), unit).to(si).magnitude
    assert parse(f"{figure_text}{space}{spelling}", kind) == pytest.approx(expected, rel=1e-12, abs=0)


@given(
    feet=st.integers(0, 200),
    inches=st.integers(0, 11),
    sixty_fourths=st.integers(1, 63),
    form=st.sampled_from(["{} ft {} {}/64 in", "{}' {} {}/64\"", "{}'{} {}/64\""]),
)
@settings(deadline=None)
def test_feet_and_inches_agree_with_the_default_registry(
    *, feet: int, inches: int, sixty_fourths: int, form: str
) -> None:
    expected = REGISTRY.Quantity(12 * feet + inches + sixty_fourths / 64, "inch").to("meter").magnitude
    assert parse(form.format(feet, inches, sixty_fourths), Length) == pytest.approx(expected, rel=1e-12, abs=0)


@given(celsius=st.decimals(min_value=-200, max_value=200, places=2))
@settings(deadline=None)
def test_temperatures_below_zero_agree_with_the_default_registry(celsius: object) -> None:
    expected = REGISTRY.Quantity(float(f"{celsius:f}"), "degree_Celsius").to("kelvin").magnitude
    assert parse(f"{celsius:f} degC", Temperature) == pytest.approx(expected, rel=1e-12, abs=0)
