import copy
import pickle
import subprocess
import sys
import time

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planlint.errors import QuantityError
from planlint.grammar import parse
from planlint.units import (
    DIMENSIONS,
    EXAMPLES,
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
    at_least,
    at_most,
    contrast,
    show,
)

# Expected SI values follow from the units' definitions: NIST SP 811 (2008), appendix B (1 in = 25.4 mm and
# 1 ft = 304.8 mm, both exact; 32 °F = 273.15 K), and the SI Brochure, 9th edition, table 8 (min, h, d, l, °).
ACCEPTED = [
    ("600 mm", Length, 0.6, "mm"),
    ("600mm", Length, 0.6, "mm"),
    ("0.60 m", Length, 0.6, "m"),
    (".5 m", Length, 0.5, "m"),
    ("25 cm", Length, 0.25, "cm"),
    ("50 \N{MICRO SIGN}m", Length, 50e-6, "\N{MICRO SIGN}m"),
    ("50 \N{GREEK SMALL LETTER MU}m", Length, 50e-6, "\N{MICRO SIGN}m"),
    ("50 um", Length, 50e-6, "\N{MICRO SIGN}m"),
    ("600\N{NO-BREAK SPACE}mm", Length, 0.6, "mm"),
    ("1 in", Length, 0.0254, "in"),
    ("1 1/2 in", Length, 0.0381, "in"),
    ("1½ in", Length, 0.0381, "in"),
    ("½ in", Length, 0.0127, "in"),
    ("1 1\N{FRACTION SLASH}2 in", Length, 0.0381, "in"),
    ('5/8"', Length, 0.015875, "in"),
    ("5/8\N{DOUBLE PRIME}", Length, 0.015875, "in"),
    ("8 ft", Length, 2.4384, "ft"),
    ("8'", Length, 2.4384, "ft"),
    ("8\N{PRIME}", Length, 2.4384, "ft"),
    ("8 ft 6 in", Length, 2.5908, "ft in"),
    ("8' 6\"", Length, 2.5908, "ft in"),
    ("8\N{RIGHT SINGLE QUOTATION MARK} 6\N{RIGHT DOUBLE QUOTATION MARK}", Length, 2.5908, "ft in"),
    ("8'6 1/2\"", Length, 2.6035, "ft in"),
    ("8 ft 6 1/2 in", Length, 2.6035, "ft in"),
    ("8 ft 6½ in", Length, 2.6035, "ft in"),
    ("8 ft 6.5 in", Length, 2.6035, "ft in"),
    ("2.5 mm²", Area, 2.5e-6, "mm²"),
    ("2.5 mm2", Area, 2.5e-6, "mm²"),
    ("2.5mm^2", Area, 2.5e-6, "mm²"),
    ("3 m²", Area, 3, "m²"),
    ("45 deg", Angle, 0.7853981633974483, "°"),
    ("45°", Angle, 0.7853981633974483, "°"),
    ("8.5 kg/m²", SurfaceMass, 8.5, "kg/m²"),
    ("8.5 kg/m2", SurfaceMass, 8.5, "kg/m²"),
    ("500 g/m²", SurfaceMass, 0.5, "g/m²"),
    ("650 kg/m³", Density, 650, "kg/m³"),
    ("24 kg", Mass, 24, "kg"),
    ("20 degC", Temperature, 293.15, "°C"),
    ("20 °C", Temperature, 293.15, "°C"),
    ("-5 degC", Temperature, 268.15, "°C"),
    ("\N{MINUS SIGN}5 °C", Temperature, 268.15, "°C"),
    ("-273.15 °C", Temperature, 0, "°C"),
    ("32 °F", Temperature, 273.15, "°F"),
    ("77 degF", Temperature, 298.15, "°F"),
    ("5 K", Temperature, 5, "K"),
    ("19 %", Ratio, 0.19, "%"),
    ("90 s", Duration, 90, "s"),
    ("8 min", Duration, 480, "min"),
    ("24 h", Duration, 86400, "h"),
    ("0.5 d", Duration, 43200, "day"),
    ("2 weeks", Duration, 1209600, "week"),
    ("16 A", Current, 16, "A"),
    ("30 mA", Current, 0.03, "mA"),
    ("0.6 kA", Current, 600, "kA"),
    ("230 V", Voltage, 230, "V"),
    ("0.42 ohm", Resistance, 0.42, "ohm"),
    ("0.42 Ohm", Resistance, 0.42, "ohm"),
    ("0.42 \N{GREEK CAPITAL LETTER OMEGA}", Resistance, 0.42, "ohm"),
    ("0.42 \N{OHM SIGN}", Resistance, 0.42, "ohm"),
    ("210 Mohm", Resistance, 210e6, "Mohm"),
    ("210 M\N{GREEK CAPITAL LETTER OMEGA}", Resistance, 210e6, "Mohm"),
    ("210 mohm", Resistance, 0.21, "mohm"),
    ("2 k\N{GREEK CAPITAL LETTER OMEGA}", Resistance, 2000, "kohm"),
    ("12.1 ohm/km", LinearResistance, 0.0121, "ohm/km"),
    ("12.1 \N{OHM SIGN}/km", LinearResistance, 0.0121, "ohm/km"),
    ("7.41 mohm/m", LinearResistance, 0.00741, "mohm/m"),
    ("7.41 m\N{GREEK CAPITAL LETTER OMEGA}/m", LinearResistance, 0.00741, "mohm/m"),
    ("60 W", Power, 60, "W"),
    ("2 kVA", Power, 2000, "kVA"),
    ("0.035 W/mK", Conductivity, 0.035, "W/(m·K)"),
    ("0.035 W/(m·K)", Conductivity, 0.035, "W/(m·K)"),
    ("0.035 W/(m K)", Conductivity, 0.035, "W/(m·K)"),
    ("0.13 m²·K/W", ThermalResistance, 0.13, "m²·K/W"),
    ("0.25 m2K/W", ThermalResistance, 0.25, "m²·K/W"),
    # 1.761102e-01 m²·K/W (NIST SP 811, appendix B.9); the Btu of the International Table is 4.1868 J/g · 5/9 K · 1 lb.
    ("1 h·ft²·°F/Btu", ThermalResistance, 3600 * 0.3048**2 / (4186.8 * 0.45359237), "h·ft²·°F/Btu"),
    ("1013 hPa", Pressure, 101300, "hPa"),
    ("3 bar", Pressure, 300000, "bar"),
    ("310 ml", Volume, 0.00031, "ml"),
    ("10 l", Volume, 0.01, "l"),
]


@pytest.mark.parametrize(("text", "kind", "si", "unit"), ACCEPTED)
def test_spellings_are_read(text: str, kind: type[Quantity], si: float, unit: str) -> None:
    quantity = parse(text, kind)
    assert type(quantity) is kind
    assert quantity == pytest.approx(si, rel=1e-12, abs=1e-12)
    assert quantity.unit == unit


@pytest.mark.parametrize(
    ("one", "other", "kind"),
    [
        ("600 mm", "0.60 m", Length),
        ("1 in", "25.4 mm", Length),
        ("2.5 mm²", "0.0000025 m²", Area),
        ("24 h", "1 d", Duration),
        ("77 °F", "25 °C", Temperature),
        ("12.1 mohm/m", "12.1 ohm/km", LinearResistance),
    ],
)
def test_one_value_is_one_number_however_written(one: str, other: str, kind: type[Quantity]) -> None:
    assert float(parse(one, kind)) == float(parse(other, kind))


# ASTM B258, nominal sections in mm², from memory.
@pytest.mark.parametrize(
    ("size", "section"), [(4, 21.15), (6, 13.30), (8, 8.37), (10, 5.26), (12, 3.31), (14, 2.08), (18, 0.823)]
)
def test_named_wire_sizes(size: int, section: float) -> None:
    assert parse(f"{size} AWG", Area) * 1e6 == pytest.approx(section, rel=2e-3)
    assert parse(f"AWG {size}", Area) == parse(f"{size} AWG", Area)
    assert str(parse(f"{size} AWG", Area)) == f"{size} AWG"


REFUSED = [
    ("600", Length, "600 has no unit", "write 600 mm: a quantity needs its unit"),
    ("2.6", Length, "2.6 has no unit", "write 2.6 m or 2.6 mm"),
    ("5/8", Length, "5/8 has no unit", "write 5/8 in"),
    ("16", Current, "16 has no unit", "write 16 A"),
    ("-5", Temperature, "-5 has no unit", "write -5 °C"),
    ("2,5 mm", Length, "decimal comma", "write 2.5 mm: the decimal sign is a point"),
    ("2,5", Area, "decimal comma", "write 2.5 mm²"),
    ("-2,5 °C", Temperature, "decimal comma", "write -2.5 °C"),
    ("1,250 mm", Length, "comma", "write 1250 mm, or 1.250 mm"),
    ("1.234,5 mm", Length, "more than one point, comma", "one decimal point"),
    ("12.5.3 mm", Length, "more than one point", "one decimal point"),
    ("1 250 mm", Length, "space between its thousands", "write 1250 mm"),
    ("1e3 mm", Length, "power of ten", "plain digits"),
    ("+5 mm", Length, "plus sign", "write 5 mm"),
    ("16 mm", Current, "16 mm is a length", "here belongs a current, such as 16 A"),
    ("16 A", Area, "16 A is a current", "here belongs an area, such as 16 mm²"),
    (
        "12.1 ohm/km",
        Resistance,
        "12.1 ohm/km is a resistance per length",
        "here belongs a resistance, such as 12.1 ohm",
    ),
    ("12.1 ohm", LinearResistance, "12.1 ohm is a resistance", "a resistance per length, such as 12.1 ohm/km"),
    ("12.1", LinearResistance, "12.1 has no unit", "write 12.1 ohm/km"),
    ("-1 ohm/km", LinearResistance, "below zero, which a resistance per length cannot be", "write 1 ohm/km"),
    ("12 AWG", Current, "12 AWG is an area", "here belongs a current, such as 12 A"),
    ("8 ft 6 in", Area, "8 ft 6 in is a length", "here belongs an area, such as 2.5 mm²"),
    ("nan mm", Length, "nan mm is not a number", "2.60 m"),
    ("NaN", Length, "not a number", "2.60 m"),
    ("inf A", Current, "inf A is not a number", "16 A"),
    ("-.inf", Current, "not a number", "16 A"),
    ("5 MM", Length, "MM is not a unit known here", "did you mean 5 mm?"),
    ("5 mmm", Length, "mmm is not a unit known here", "did you mean 5 mm?"),
    ("5 m m", Length, "m m is not a unit known here", "did you mean 5 mm?"),
    ("20 C", Temperature, "C is not a unit known here", "did you mean 20 °C?"),
    ("5 MOHM", Resistance, "MOHM is not a unit known here", "did you mean 5 mohm or 5 Mohm?"),
    ("5 furlongs", Length, "furlongs is not a unit known here", "(mm, cm, m, \N{MICRO SIGN}m, in or ft)"),
    ("-5 mm", Length, "-5 mm is below zero, which a length cannot be", "write 5 mm"),
    ("-8 ft 6 in", Length, "below zero", "write 8 ft 6 in"),
    ("-19 %", Ratio, "below zero, which a percentage cannot be", "write 19 %"),
    ("-274 °C", Temperature, "below absolute zero", "20 °C"),
    ("", Length, "nothing written", "2.60 m"),
    ("  ", Current, "nothing written", "16 A"),
    ("mm", Length, "mm is a unit without a number", "2.60 m"),
    ("AWG", Area, "AWG is a unit without a number", "2.5 mm²"),
    ("thick", Length, "thick is not a quantity", "2.60 m"),
    ("\N{ARABIC-INDIC DIGIT FIVE} mm", Length, "is not a quantity", "2.60 m"),
    ("1/0 in", Length, "divides by zero", "5/8 in"),
    ("8 ft 1/0 in", Length, "divides by zero", "5/8 in"),
    ("8 ft 12 in", Length, "a foot or more in its inches", "write 9 ft 0 in"),
    ("8 ft 14 1/2 in", Length, "a foot or more in its inches", "write 9 ft 2 1/2 in"),
    ("8 ft 6", Length, "feet and inches", "write 8 ft 6 in"),
    ("8'-6\"", Length, "feet and inches", "write 8 ft 6 in"),
    ("8.5 ft 6 in", Length, "more than one number", "one unit"),
    ("1 h 30 min", Duration, "more than one number", "one unit"),
    ("5-10 mm", Length, "more than one number", "one number"),
    ("3 x 2.5 mm²", Area, "more than one number", "one number"),
    ("41 AWG", Area, "41 AWG is not a wire size known here", "the section"),
    ("1/0 AWG", Area, "is not a wire size known here", "the section"),
    ("00 AWG", Area, "is not a wire size known here", "the section"),
    ("12.5 AWG", Area, "is not a wire size known here", "12 AWG"),
    ("12 awg", Area, "awg is not a unit known here", "did you mean 12 AWG?"),
    ("9" * 61, Length, "too long", "2.60 m"),
]


@pytest.mark.parametrize(("text", "kind", "message", "hint"), REFUSED)
def test_refusals_say_why_and_show_the_right_form(text: str, kind: type[Quantity], message: str, hint: str) -> None:
    with pytest.raises(QuantityError) as refusal:
        parse(text, kind)
    assert message in refusal.value.message
    assert hint in refusal.value.hint


def test_control_characters_do_not_reach_the_reader() -> None:
    with pytest.raises(QuantityError) as refusal:
        parse("5 \x1b[31mmm", Length)
    assert str(refusal.value).isprintable()


@pytest.mark.parametrize("dimension", DIMENSIONS)
def test_every_example_is_right(dimension: str) -> None:
    assert parse(EXAMPLES[dimension], DIMENSIONS[dimension]).dimension == dimension


@settings(deadline=1000)
@given(
    st.text(max_size=80) | st.text("0123456789 .,/-+'\"eEmftinAWG²°%x", max_size=60),
    st.sampled_from(sorted(DIMENSIONS)),
)
def test_any_text_is_read_or_refused(text: str, dimension: str) -> None:
    try:
        quantity = parse(text, DIMENSIONS[dimension])
    except QuantityError as refusal:
        said = [refusal.message, refusal.hint]
    else:
        said = [show(quantity)]
        assert type(quantity) is DIMENSIONS[dimension]
    assert all(said)
    assert "".join(said).isprintable()


def test_no_text_takes_long() -> None:
    parse("1 mm", Length)
    nasty = [part * 60 for part in ("1", " ", ".", "1 ", "1/", "1.", "1,", "1'", "1 ft", "(", "1-", "e1", "½")]
    started = time.perf_counter()
    for text in nasty:
        for kept in (text[:60], text[:59] + "x", text, text * 10_000):
            with pytest.raises(QuantityError):
                parse(kept, Length)
    assert time.perf_counter() - started < 1


@pytest.mark.parametrize(
    ("quantity", "text"),
    [
        (Length(0.25, "mm"), "250 mm"),
        (Length(2.60, "m"), "2.6 m"),
        (Length(0.1 + 0.2, "m"), "0.3 m"),
        (Length(0.1 + 0.2 - 0.3, "m"), "0 m"),
        (Length(1 / 3, "m"), "0.333 m"),
        (Length(1 / 3, "mm"), "333.3 mm"),
        (Length(2.50412, "m"), "2.504 m"),
        (Length(12.345678, "mm"), "12346 mm"),
        (Length(-0.005, "mm"), "-5 mm"),
        (Length(2.5908, "ft in"), "8 ft 6 in"),
        (Length(2.6035, "ft in"), "8 ft 6 1/2 in"),
        (Length(2.4384, "ft in"), "8 ft 0 in"),
        (Length(0.1524, "ft in"), "6 in"),
        (Length(2.5, "ft in"), "8 ft 2.43 in"),
        (Length(3.6575999, "ft in"), "12 ft 0 in"),
        (Length(-2.5908, "ft in"), "-8 ft 6 in"),
        (Length(0.015875, "in"), "5/8 in"),
        (Length(0.01, "in"), "0.3937 in"),
        (Length(2.5908, "ft"), "8.5 ft"),
        (Area(4e-6, "AWG"), "4 mm²"),
        (LinearResistance(0.0121, "ohm/km"), "12.1 ohm/km"),
        (LinearResistance(0.0121, "mohm/m"), "12.1 mohm/m"),
        (Ratio(0.19, "%"), "19 %"),
        (Ratio(0.29, "%"), "29 %"),
        (Ratio(0.1225, "%"), "12.25 %"),  # as somebody wrote it
        (Ratio(0.142637, "%"), "14.3 %"),
        (Ratio(0.000612531, "%"), "0.061 %"),
        (SurfaceMass(8.525, "kg/m²"), "8.525 kg/m²"),
        (SurfaceMass(1.67812, "kg/m²"), "1.68 kg/m²"),
        (SurfaceMass(0.00712345, "kg/m²"), "0.0071 kg/m²"),
        (Temperature(273.15 + 0.300312, "°C"), "0.3 °C"),
        (Temperature(273.15 - 0.012345, "°C"), "0 °C"),
        (Temperature(273.15 + 20.55, "°C"), "20.55 °C"),
        (Temperature(268.15, "°C"), "-5 °C"),
        (Temperature(273.15, "°C"), "0 °C"),
        (Temperature(298.15, "°F"), "77 °F"),
        (Angle(0.7853981633974483, "°"), "45°"),
        (Duration(604800, "week"), "1 week"),
        (Duration(1209600, "week"), "2 weeks"),
    ],
)
def test_quantities_are_shown_as_people_write_them(quantity: Quantity, text: str) -> None:
    assert show(quantity) == text
    assert f"{quantity}" == text
    assert f"{quantity:>14}" == text.rjust(14)


def test_digits_on_request() -> None:
    assert show(Length(1 / 3, "m"), 2) == "0.33 m"
    assert show(Length(1 / 3, "m"), 7) == "0.3333333 m"


@pytest.mark.parametrize(
    ("measured", "allowed", "kind", "texts"),
    [
        ("2.504 m", "2.5 m", Length, ("2.504 m", "2.5 m")),
        ("61 mm", "0.04 m", Length, ("61 mm", "40 mm")),
        ("600 mm", "0.60 m", Length, ("600 mm", "600 mm")),
        ("600.00001 mm", "0.60 m", Length, ("600.00001 mm", "600 mm")),
        ("14 AWG", "2.5 mm²", Area, ("14 AWG", "2.5 mm²")),
        ("14 AWG", "12 AWG", Area, ("14 AWG", "12 AWG")),
        ("77 °F", "20 °C", Temperature, ("77 °F", "68 °F")),
        ("80.0312 %", "80 %", Ratio, ("80.03 %", "80 %")),
        ("83.7612 %", "80 %", Ratio, ("83.8 %", "80 %")),
    ],
)
def test_contrast(measured: str, allowed: str, kind: type[Quantity], texts: tuple[str, str]) -> None:
    assert contrast(parse(measured, kind), parse(allowed, kind)) == texts


UNITS = st.sampled_from([(kind, unit) for _, kind, _, unit in ACCEPTED])
FIGURES = st.floats(min_value=1e-3, max_value=1e5)


def _si_of_one(kind: type[Quantity], unit: str) -> float:
    return float(parse({"ft in": "1 in", "AWG": "1 mm²"}.get(unit, f"1 {unit}"), kind))


@given(UNITS, FIGURES)
def test_what_is_shown_reads_back_within_its_digits(kind_unit: tuple[type[Quantity], str], figure: float) -> None:
    kind, unit = kind_unit
    one = _si_of_one(kind, unit)
    quantity = kind(figure * one, unit)
    # Four digits are within 0.05 %; a temperature's are of its distance from 0 °C or 0 °F, not from 0 K.
    least = 6e-4 * 273.15 if kind is Temperature else 1e-6 * one
    assert parse(show(quantity), kind) == pytest.approx(quantity, rel=6e-4, abs=least)


@given(UNITS, FIGURES, st.floats(min_value=-1e-7, max_value=1e-7) | st.floats(min_value=-0.5, max_value=2))
def test_contrast_keeps_values_apart_and_in_order(
    kind_unit: tuple[type[Quantity], str], figure: float, change: float
) -> None:
    kind, unit = kind_unit
    measured = kind(figure * _si_of_one(kind, unit), unit)
    allowed = measured.like(measured * (1 + change))
    first, second = contrast(measured, allowed)
    if at_most(measured, allowed) and at_least(measured, allowed):
        assert first == second
    else:
        shown = parse(first, kind), parse(second, kind)
        assert first != second
        assert (shown[0] < shown[1]) is (measured < allowed)


@pytest.mark.parametrize("value", [0.6, 1e-6, 2.5e6])
def test_limits_hold_within_the_tolerance_on_both_sides(value: float) -> None:
    assert at_most(value * (1 + 5e-10), value)
    assert not at_most(value * (1 + 2e-9), value)
    assert at_least(value * (1 - 5e-10), value)
    assert not at_least(value * (1 - 2e-9), value)
    assert at_most(0, value)
    assert at_least(value, 0)
    assert not at_most(float("nan"), value)


def test_a_quantity_is_a_float_and_arithmetic_gives_floats() -> None:
    height = parse("250 mm", Length)
    assert height == 0.25
    assert type(height * 2) is float
    assert type(height + height) is float
    assert type(height.like(0.3)) is Length
    assert str(height.like(0.3)) == "300 mm"


@pytest.mark.parametrize("protocol", range(pickle.HIGHEST_PROTOCOL + 1))
def test_quantities_are_pickled_and_copied(protocol: int) -> None:
    height = parse("8 ft 6 in", Length)
    thawed = pickle.loads(pickle.dumps(height, protocol))  # noqa: S301 - our own bytes
    for twin in (thawed, copy.copy(height), copy.deepcopy(height)):
        assert type(twin) is Length
        assert (float(twin), twin.unit) == (2.5908, "ft in")


def test_importing_units_does_not_import_pint() -> None:
    subprocess.run([sys.executable, "-c", "import sys, planlint.units; sys.exit('pint' in sys.modules)"], check=True)
