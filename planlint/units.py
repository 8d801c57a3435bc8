"""Quantities: a float in SI base units that remembers the unit it was written in, and shows itself in it.

The factors are pint's, from `units.txt`; here is the only pint registry. `grammar` reads quantities from text.
"""

import math
from collections.abc import Mapping
from functools import cache
from pathlib import Path
from types import MappingProxyType
from typing import TYPE_CHECKING, ClassVar, Final, Self

if TYPE_CHECKING:
    from pint import UnitRegistry

TOLERANCE: Final = 1e-9  # relative; own decision: far above float noise, far below what anybody can measure


class Quantity(float):
    """A float in SI base units that remembers the unit it was written in; arithmetic gives plain floats."""

    __slots__ = ("unit",)
    dimension: ClassVar[str]
    example: ClassVar[str]
    unit: str

    def __new__(cls, si: float, unit: str) -> Self:
        """Makes a quantity of `si`, in SI base units, to be shown in `unit`."""
        quantity = super().__new__(cls, si)
        quantity.unit = unit
        return quantity

    def like(self, si: float) -> Self:
        """Another quantity of this dimension, shown in the same unit."""
        return type(self)(si, self.unit)

    def __str__(self) -> str:
        return show(self)

    def __format__(self, spec: str) -> str:
        # The spec is for text: a number format would show SI figures without their unit.
        return format(show(self), spec)

    def __reduce__(self) -> tuple[type[Self], tuple[float, str]]:
        return type(self), (float(self), self.unit)


class Length(Quantity):
    """A length, in metres."""

    __slots__ = ()
    dimension, example = "length", "2.60 m"


class Area(Quantity):
    """An area or a cross-section, in square metres."""

    __slots__ = ()
    dimension, example = "area", "2.5 mm²"


class Angle(Quantity):
    """An angle, in radians."""

    __slots__ = ()
    dimension, example = "angle", "45 deg"


class SurfaceMass(Quantity):
    """A mass per area, in kg/m²."""

    __slots__ = ()
    dimension, example = "surface-mass", "8.5 kg/m²"


class Density(Quantity):
    """A mass per volume, in kg/m³."""

    __slots__ = ()
    dimension, example = "density", "650 kg/m³"


class Mass(Quantity):
    """A mass, in kilograms."""

    __slots__ = ()
    dimension, example = "mass", "24 kg"


class Temperature(Quantity):
    """A temperature, in kelvins; the only quantity that may be written with a minus sign."""

    __slots__ = ()
    dimension, example = "temperature", "20 °C"


class Ratio(Quantity):
    """A share or a moisture content: 19 % is 0.19."""

    __slots__ = ()
    dimension, example = "ratio", "19 %"


class Duration(Quantity):
    """A length of time, in seconds."""

    __slots__ = ()
    dimension, example = "duration", "24 h"


class Current(Quantity):
    """A current, in amperes."""

    __slots__ = ()
    dimension, example = "current", "16 A"


class Voltage(Quantity):
    """A voltage, in volts."""

    __slots__ = ()
    dimension, example = "voltage", "230 V"


class Resistance(Quantity):
    """A resistance or an impedance, in ohms."""

    __slots__ = ()
    dimension, example = "resistance", "0.42 ohm"


class LinearResistance(Quantity):
    """A resistance per length, as of a conductor, in ohm/m."""

    __slots__ = ()
    dimension, example = "linear-resistance", "12.1 ohm/km"


class Power(Quantity):
    """A power, real or apparent, in watts or volt-amperes."""

    __slots__ = ()
    dimension, example = "power", "60 W"


class Conductivity(Quantity):
    """A thermal conductivity, in W/(m·K)."""

    __slots__ = ()
    dimension, example = "conductivity", "0.035 W/(m·K)"


class ThermalResistance(Quantity):
    """A thermal resistance of a layer or a surface, in m²·K/W."""

    __slots__ = ()
    dimension, example = "thermal-resistance", "0.13 m²·K/W"


class Pressure(Quantity):
    """A pressure, in pascals."""

    __slots__ = ()
    dimension, example = "pressure", "3 bar"


class Volume(Quantity):
    """A volume, in cubic metres."""

    __slots__ = ()
    dimension, example = "volume", "10 l"


# dimension -> {name of the unit as we show it: (its expression in units.txt, further spellings ...)}
TABLE: Final[Mapping[type[Quantity], Mapping[str, tuple[str, ...]]]] = {
    Length: {
        "mm": ("millimetre",),
        "cm": ("centimetre",),
        "m": ("metre", "metre", "metres", "meter", "meters"),
        "µm": ("micrometre", "um"),
        "in": ("inch", '"', "inch", "inches"),
        "ft": ("foot", "'", "foot", "feet"),
    },
    Area: {
        "mm²": ("millimetre ** 2", "mm2", "mm^2", "sqmm", "sq mm"),
        "cm²": ("centimetre ** 2", "cm2", "cm^2"),
        "m²": ("metre ** 2", "m2", "m^2"),
        "AWG": ("millimetre ** 2",),  # a named size, turned into mm² by its formula
    },
    Angle: {"°": ("degree", "deg")},
    SurfaceMass: {
        "kg/m²": ("kilogram / metre ** 2", "kg/m2", "kg/m^2"),
        "g/m²": ("gram / metre ** 2", "g/m2", "g/m^2"),
    },
    Density: {"kg/m³": ("kilogram / metre ** 3", "kg/m3", "kg/m^3")},
    Mass: {"kg": ("kilogram",), "g": ("gram",)},
    Temperature: {
        "°C": ("degree_Celsius", "degC"),
        "°F": ("degree_Fahrenheit", "degF"),
        "K": ("kelvin",),
    },
    Ratio: {"%": ("percent",)},
    Duration: {
        "s": ("second",),
        "min": ("minute", "minute", "minutes"),
        "h": ("hour", "hour", "hours"),
        "day": ("day", "d", "days"),
        "week": ("week", "weeks"),
    },
    Current: {"A": ("ampere", "amp", "amps"), "mA": ("milliampere",), "kA": ("kiloampere",)},
    Voltage: {"V": ("volt", "volt", "volts"), "mV": ("millivolt",), "kV": ("kilovolt",)},
    Resistance: {
        "ohm": ("ohm", "Ohm", "Ω", "ohms"),
        "mohm": ("milliohm", "mOhm", "mΩ"),
        "kohm": ("kiloohm", "kOhm", "kΩ"),
        "Mohm": ("megaohm", "MOhm", "MΩ"),
    },
    LinearResistance: {
        "ohm/km": ("ohm / kilometre", "Ohm/km", "Ω/km"),
        "mohm/m": ("milliohm / metre", "mOhm/m", "mΩ/m"),
    },
    Power: {
        "W": ("watt", "watt", "watts"),
        "kW": ("kilowatt",),
        "VA": ("volt_ampere",),
        "kVA": ("kilovolt_ampere",),
    },
    Conductivity: {
        "W/(m·K)": ("watt / metre / kelvin", "W/mK", "W/(mK)", "W/(m K)", "W/(m*K)", "W/m·K", "W/m/K"),
    },
    ThermalResistance: {
        "m²·K/W": ("metre ** 2 * kelvin / watt", "m²K/W", "m² K/W", "m²*K/W", "m2K/W", "m2·K/W", "m2 K/W", "m2*K/W"),
        "h·ft²·°F/Btu": ("hour * foot ** 2 * rankine / british_thermal_unit", "h·ft²·°F/BTU", "h ft2 F/Btu"),
    },
    Pressure: {
        "Pa": ("pascal",),
        "hPa": ("hectopascal",),
        "kPa": ("kilopascal",),
        "bar": ("bar",),
    },
    Volume: {
        "l": ("litre", "L"),
        "ml": ("millilitre", "mL"),
        "cm³": ("centimetre ** 3", "cm3", "cm^3"),
        "m³": ("metre ** 3", "m3", "m^3"),
        "in³": ("inch ** 3", "in3", "in^3", "cu in"),
    },
}
DIMENSIONS: Final[Mapping[str, type[Quantity]]] = MappingProxyType({kind.dimension: kind for kind in TABLE})
EXAMPLES: Final[Mapping[str, str]] = MappingProxyType({kind.dimension: kind.example for kind in TABLE})

KINDS: Final = {unit: kind for kind, units in TABLE.items() for unit in units}
_EXPRESSIONS: Final = {unit: row[0] for units in TABLE.values() for unit, row in units.items()} | {"ft in": "inch"}
_FINEST: Final = {"m": 3, "kg": 1, "°C": 1, "°F": 1, "%": 1, "kg/m²": 2}
"""To how many decimals anybody measures on site; own decision."""
SPELLINGS: Final = {
    spelling: unit for units in TABLE.values() for unit, row in units.items() for spelling in (unit, *row[1:])
}


def show(quantity: Quantity, digits: int | None = None) -> str:
    """The quantity in the unit it was written in.

    Without `digits`: four significant digits, or fewer in a unit that nobody measures so closely; up to six where
    the value is exact in them, and whole numbers in full. Inches are shown as fractions where they are multiples of
    1/64 in, wire sizes by their name.
    """
    return _text(quantity, _fitting(quantity, digits))


def contrast(measured: Quantity, allowed: Quantity) -> tuple[str, str]:
    """Both values in the unit of the first, with enough digits to see which is larger where they differ."""
    if math.isclose(measured, allowed, rel_tol=TOLERANCE):
        return show(measured), show(measured)
    values = _in_unit(measured), _in_unit(measured.like(allowed))
    decimals = _fitting(measured, None), _fitting(measured.like(allowed), None)
    # A step smaller than the gap: rounding then moves both by less than the gap, and they keep their order.
    least = math.floor(-math.log10(abs(values[0] - values[1]))) + 1
    first, second = (max(least, wanted) for wanted in decimals)
    return _text(measured, first, least), _text(measured.like(allowed), second, least)


def at_most(value: float, limit: float) -> bool:
    """Whether `value` ≤ `limit`, within the tolerance: 600 mm meets 0.60 m."""
    return value <= limit or math.isclose(value, limit, rel_tol=TOLERANCE)


def at_least(value: float, limit: float) -> bool:
    """Whether `value` ≥ `limit`, within the tolerance."""
    return value >= limit or math.isclose(value, limit, rel_tol=TOLERANCE)


def awg_section(size: int) -> float:
    """The section of an American wire gauge size, in mm²: d = 0.127 mm · 92^((36-n)/39) (ASTM B258)."""
    diameter: float = 0.127 * 92 ** ((36 - size) / 39)
    return math.pi / 4 * diameter**2


@cache
def _awg_sections() -> Mapping[int, float]:
    return {size: awg_section(size) for size in range(41)}


@cache
def _registry() -> "UnitRegistry[float]":
    # Imported here, for a short cold start: pint is slow to import, and without a plan no factor is needed.
    from pint import UnitRegistry  # noqa: PLC0415

    return UnitRegistry(str(Path(__file__).with_name("units.txt")), cache_folder=None, on_redefinition="raise")


@cache
def scale(unit: str) -> tuple[float, float]:
    """What turns a value in `unit` into SI: the factor, and what is then added."""
    zero, one = (
        float(_registry().Quantity(value, _EXPRESSIONS[unit]).to_root_units().magnitude) for value in (0.0, 1.0)
    )
    return one - zero, zero


def _in_unit(quantity: Quantity) -> float:
    factor, offset = scale(quantity.unit)
    return (quantity - offset) / factor


def _fitting(quantity: Quantity, digits: int | None) -> int:
    """How many decimals show a quantity: what takes more than four digits is said no closer than anybody measures."""
    value = _in_unit(quantity)
    decimals = _decimals(value, digits)
    finest = _FINEST.get(quantity.unit)
    is_short = math.isclose(round(value, _decimals(value, 4)), value, rel_tol=TOLERANCE)
    if digits is not None or finest is None or is_short:
        return decimals
    # Two digits of what is small; but how far a temperature is from 0 °C says nothing about it.
    least = 0 if isinstance(quantity, Temperature) else _decimals(value, 2)
    return min(decimals, max(finest, least))


def _decimals(value: float, digits: int | None) -> int:
    """How many decimals show `value` in `digits` significant digits; never rounds left of the point."""
    if value == 0:
        return 0
    first = math.floor(math.log10(abs(value)))
    if digits is not None:
        return max(0, digits - 1 - first)
    # Nine decimals at most: what is smaller is the noise that a subtraction of floats leaves.
    four, five, six = (min(max(0, wanted - 1 - first), 9) for wanted in (4, 5, 6))
    for decimals in (four, five, six):
        if math.isclose(round(value, decimals), value, rel_tol=TOLERANCE):
            return decimals
    return four


def _text(quantity: Quantity, decimals: int, least: int = 0) -> str:
    unit, value = quantity.unit, _in_unit(quantity)
    if unit == "AWG":
        for size, section in _awg_sections().items():
            if math.isclose(section, value, rel_tol=1e-12):
                return f"{size} AWG"
        unit = "mm²"
    if unit == "ft" and not math.isclose(round(value, 2), value, rel_tol=TOLERANCE):
        # Tenths of a foot are on no rule: what was worked out is shown in feet and inches.
        unit, value, decimals = "ft in", 12 * value, max(decimals - 1, 0)
    if unit in {"in", "ft in"}:
        return ("-" if value < 0 else "") + _inch_text(abs(value), unit, decimals, min(1e-6, 10.0**-least / 2))
    figure = _figure(value, decimals)
    if unit in {"day", "week"} and figure != "1":
        unit += "s"
    return f"{figure}{unit}" if unit == "°" else f"{figure} {unit}"


def _figure(value: float, decimals: int) -> str:
    figure = f"{value:.{decimals}f}"
    if decimals:
        figure = figure.rstrip("0").rstrip(".")
    return "0" if figure == "-0" else figure


def _inch_text(inches: float, unit: str, decimals: int, tolerance: float) -> str:
    feet, parts = 0, round(inches * 64)  # of 1/64 in, the finest mark on a rule
    if abs(inches - parts / 64) <= tolerance:
        if unit == "ft in":
            feet, parts = divmod(parts, 12 * 64)
        whole, parts = divmod(parts, 64)
        shared = math.gcd(parts, 64)
        fraction = f"{parts // shared}/{64 // shared}" if parts else ""
        rest = f"{whole} {fraction}".strip() if whole or not parts else fraction
    else:
        inches = round(inches, decimals)  # before the split, so that it never leaves 12 in
        if unit == "ft in":
            feet = int(inches // 12)
        rest = _figure(inches - 12 * feet, decimals)
    return f"{feet} ft {rest} in" if feet else f"{rest} in"
