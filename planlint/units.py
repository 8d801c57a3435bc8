"""Quantities: a number with its unit, read by a small grammar of our own, held as a float in SI base units.

The grammar is ours because a library's parser of units is made for calculators: it reads `1 1/2 in` as half
an inch and can be made to hang. The factors are pint's, from `units.txt`; here is the only pint registry.
"""

import math
import re
import unicodedata
from collections.abc import Mapping
from functools import cache, lru_cache
from pathlib import Path
from types import MappingProxyType
from typing import TYPE_CHECKING, ClassVar, Final, Self, TypeVar, cast

from planlint.errors import QuantityError

if TYPE_CHECKING:
    from collections.abc import Callable

    from pint import UnitRegistry

TOLERANCE: Final = 1e-9  # relative; own decision: far above float noise, far below what anybody can measure
LONGEST: Final = 60  # characters; nobody writes a longer quantity, and no pattern meets a longer text


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


class Power(Quantity):
    """A power, real or apparent, in watts or volt-amperes."""

    __slots__ = ()
    dimension, example = "power", "60 W"


class Conductivity(Quantity):
    """A thermal conductivity, in W/(m·K)."""

    __slots__ = ()
    dimension, example = "conductivity", "0.035 W/(m·K)"


class Pressure(Quantity):
    """A pressure, in pascals."""

    __slots__ = ()
    dimension, example = "pressure", "3 bar"


class Volume(Quantity):
    """A volume, in cubic metres."""

    __slots__ = ()
    dimension, example = "volume", "10 l"


Q = TypeVar("Q", bound=Quantity)

# dimension -> {name of the unit as we show it: (its expression in units.txt, further spellings ...)}
_TABLE: Final[Mapping[type[Quantity], Mapping[str, tuple[str, ...]]]] = {
    Length: {
        "mm": ("millimetre",),
        "cm": ("centimetre",),
        "m": ("metre",),
        "µm": ("micrometre", "um"),
        "in": ("inch", '"'),
        "ft": ("foot", "'"),
    },
    Area: {
        "mm²": ("millimetre ** 2", "mm2", "mm^2"),
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
        "d": ("day", "day", "days"),
        "week": ("week", "weeks"),
    },
    Current: {"A": ("ampere",), "mA": ("milliampere",), "kA": ("kiloampere",)},
    Voltage: {"V": ("volt",), "mV": ("millivolt",), "kV": ("kilovolt",)},
    Resistance: {
        "ohm": ("ohm", "Ohm", "Ω"),
        "mohm": ("milliohm", "mOhm", "mΩ"),
        "kohm": ("kiloohm", "kOhm", "kΩ"),
        "Mohm": ("megaohm", "MOhm", "MΩ"),
    },
    Power: {
        "W": ("watt",),
        "kW": ("kilowatt",),
        "VA": ("volt_ampere",),
        "kVA": ("kilovolt_ampere",),
    },
    Conductivity: {
        "W/(m·K)": ("watt / metre / kelvin", "W/mK", "W/(mK)", "W/(m K)", "W/(m*K)", "W/m·K", "W/m/K"),
    },
    Pressure: {
        "Pa": ("pascal",),
        "hPa": ("hectopascal",),
        "kPa": ("kilopascal",),
        "bar": ("bar",),
    },
    Volume: {"l": ("litre", "L"), "ml": ("millilitre", "mL"), "m³": ("metre ** 3", "m3", "m^3")},
}
DIMENSIONS: Final[Mapping[str, type[Quantity]]] = MappingProxyType({kind.dimension: kind for kind in _TABLE})
EXAMPLES: Final[Mapping[str, str]] = MappingProxyType({kind.dimension: kind.example for kind in _TABLE})

_KINDS: Final = {unit: kind for kind, units in _TABLE.items() for unit in units}
_EXPRESSIONS: Final = {unit: row[0] for units in _TABLE.values() for unit, row in units.items()} | {"ft in": "inch"}
_SPELLINGS: Final = {
    spelling: unit for units in _TABLE.values() for unit, row in units.items() for spelling in (unit, *row[1:])
}
_SPOKEN: Final = {
    "surface-mass": "a mass per area",
    "ratio": "a percentage",
    "duration": "a length of time",
    "area": "an area",
    "angle": "an angle",
}

# Signs that keyboards and word processors put for the plain one. Vulgar fractions become ` 1/2`.
_LOOKALIKES: Final = str.maketrans(
    {
        "\N{NO-BREAK SPACE}": " ",
        "\N{NARROW NO-BREAK SPACE}": " ",
        "\N{THIN SPACE}": " ",
        "\N{MINUS SIGN}": "-",
        "\N{FRACTION SLASH}": "/",
        "\N{PRIME}": "'",
        "\N{RIGHT SINGLE QUOTATION MARK}": "'",
        "\N{DOUBLE PRIME}": '"',
        "\N{RIGHT DOUBLE QUOTATION MARK}": '"',
        "\N{GREEK SMALL LETTER MU}": "\N{MICRO SIGN}",
        "\N{OHM SIGN}": "\N{GREEK CAPITAL LETTER OMEGA}",
        "\N{DOT OPERATOR}": "\N{MIDDLE DOT}",
    }
    | {sign: " " + unicodedata.normalize("NFKC", sign).replace("\N{FRACTION SLASH}", "/") for sign in "¼½¾⅓⅔⅛⅜⅝⅞"}
)
_FIGURE = r"(?:(?P<whole>\d+) +)?(?P<over>\d+)/(?P<under>\d+)|(?P<plain>\d*\.\d+|\d+)"
_SIMPLE = re.compile(rf"(?P<sign>-?) *(?P<figure>{_FIGURE}) *(?P<unit>.*)", re.ASCII | re.DOTALL)
_FEET_INCHES = re.compile(rf"(?P<sign>-?) *(?P<feet>\d+) *(?:ft|') *(?P<figure>{_FIGURE}) *(?:in|\")", re.ASCII)
_NAMED_SIZE = re.compile(r"0|[1-9]|[123]\d|40", re.ASCII)


def parse(text: str, kind: type[Q]) -> Q:
    """Reads a number with its unit as a quantity of the dimension `kind`.

    Raises:
        QuantityError: the text is not one; the hint shows the right form.
    """
    return cast("Q", _read_once(text, kind))


def show(quantity: Quantity, digits: int | None = None) -> str:
    """The quantity in the unit it was written in.

    Without `digits`: four significant digits, up to six where the value is exact in them, and whole numbers
    in full. Inches are shown as fractions where they are multiples of 1/64 in, wire sizes by their name.
    """
    return _text(quantity, _decimals(_in_unit(quantity), digits))


def contrast(measured: Quantity, allowed: Quantity) -> tuple[str, str]:
    """Both values in the unit of the first, with enough digits to see which is larger where they differ."""
    if math.isclose(measured, allowed, rel_tol=TOLERANCE):
        return show(measured), show(measured)
    values = _in_unit(measured), _in_unit(measured.like(allowed))
    # A step smaller than the gap: rounding then moves both by less than the gap, and they keep their order.
    least = math.floor(-math.log10(abs(values[0] - values[1]))) + 1
    first, second = (max(least, _decimals(value, None)) for value in values)
    return _text(measured, first, least), _text(measured.like(allowed), second, least)


def at_most(value: float, limit: float) -> bool:
    """Whether `value` ≤ `limit`, within the tolerance: 600 mm meets 0.60 m."""
    return value <= limit or math.isclose(value, limit, rel_tol=TOLERANCE)


def at_least(value: float, limit: float) -> bool:
    """Whether `value` ≥ `limit`, within the tolerance."""
    return value >= limit or math.isclose(value, limit, rel_tol=TOLERANCE)


def _read(text: str, kind: type[Quantity]) -> Quantity:
    if len(text) > LONGEST:
        raise QuantityError(f"{_printable(text[:20])}… is too long for a quantity", _form(kind))
    written = text.translate(_LOOKALIKES).strip()
    if written.startswith("AWG"):
        written = f"{written[3:]} AWG".strip()
    match = _SIMPLE.fullmatch(written)
    unit = _SPELLINGS.get(match["unit"]) if match else None
    if not match or not unit:
        match, unit = _FEET_INCHES.fullmatch(written), "ft in"
    if not match:
        raise _flaw(_printable(written), kind)
    _refuse_wrong_kind(match, unit, written, kind)
    value = _section_of(match["figure"], written) if unit == "AWG" else _number(match, written, kind)
    if unit == "ft in":
        value = _inches(int(match["feet"]), value, written)
    factor, offset = _scale(unit)
    si = float(f"{value * factor + offset:.14g}")  # without float noise: 600 mm and 0.60 m are one number
    if si < -TOLERANCE:
        raise QuantityError(f"{written} is below absolute zero (-273.15 °C)", f"write a figure such as {kind.example}")
    return kind(si, unit)


_read_once: Final = cast("Callable[[str, type[Quantity]], Quantity]", lru_cache(maxsize=1 << 16)(_read))


def _refuse_wrong_kind(match: re.Match[str], unit: str, written: str, kind: type[Quantity]) -> None:
    found = _KINDS.get(unit, Length)
    if found is not kind:
        example = kind.example if unit == "ft in" else f"{match['figure']} {_usual(kind)}"
        raise QuantityError(f"{written} is {_spoken(found)}", f"here belongs {_spoken(kind)}, such as {example}")
    if match["sign"] and kind is not Temperature:
        raise QuantityError(
            f"{written} is below zero, which {_spoken(kind)} cannot be", f"write {written.lstrip('- ')}"
        )


def _number(match: re.Match[str], written: str, kind: type[Quantity]) -> float:
    if match["plain"]:
        value = float(match["plain"])
    elif int(match["under"]) == 0:
        raise QuantityError(
            f"{written} divides by zero",
            f"write {'a fraction such as 5/8 in' if kind is Length else kind.example}",
        )
    else:
        value = int(match["whole"] or 0) + int(match["over"]) / int(match["under"])
    return -value if match["sign"] else value


def _inches(feet: int, inches: float, written: str) -> float:
    total = 12 * feet + inches
    if inches >= 12:  # noqa: PLR2004 - a foot
        right = show(Length(total * _scale("in")[0], "ft in"))
        raise QuantityError(f"{written} has a foot or more in its inches", f"write {right}")
    return total


def _section_of(figure: str, written: str) -> float:
    if not _NAMED_SIZE.fullmatch(figure):
        raise QuantityError(
            f"{written} is not a wire size known here: they are the whole numbers from 0 to 40",
            "write a size such as 12 AWG, or the section, such as 4 mm²",
        )
    return _awg_section(int(figure))


def _awg_section(size: int) -> float:
    """The section of an American wire gauge size, in mm²: d = 0.127 mm · 92^((36-n)/39) (ASTM B258)."""
    diameter: float = 0.127 * 92 ** ((36 - size) / 39)
    return math.pi / 4 * diameter**2


@cache
def _awg_sections() -> Mapping[int, float]:
    return {size: _awg_section(size) for size in range(41)}


@cache
def _registry() -> "UnitRegistry[float]":
    # Imported here, for a short cold start: pint is slow to import, and without a plan no factor is needed.
    from pint import UnitRegistry  # noqa: PLC0415

    return UnitRegistry(str(Path(__file__).with_name("units.txt")), cache_folder=None, on_redefinition="raise")


@cache
def _scale(unit: str) -> tuple[float, float]:
    """What turns a value in `unit` into SI: the factor, and what is then added."""
    zero, one = (
        float(_registry().Quantity(value, _EXPRESSIONS[unit]).to_root_units().magnitude) for value in (0.0, 1.0)
    )
    return one - zero, zero


def _in_unit(quantity: Quantity) -> float:
    factor, offset = _scale(quantity.unit)
    return (quantity - offset) / factor


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
    if unit in {"in", "ft in"}:
        return ("-" if value < 0 else "") + _inch_text(abs(value), unit, decimals, min(1e-6, 10.0**-least / 2))
    figure = _figure(value, decimals)
    if unit == "week" and figure != "1":
        unit = "weeks"
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


# What can be wrong with the figure of a text that is no quantity, most telling first: pattern, message, hint.
# Compiled when the first mistake is met, to keep a cold start short.
# {rest} is the unit as written, or the usual one where none is written.
_FLAWS: Final = (
    (r"", "there is nothing written here", "{form}"),
    (
        r"[-+]?\.?(?i:nan|inf|infinity)\b.*",
        "{text} is not a number",
        "write what was measured or planned, such as {example}, or leave the key out until it is known",
    ),
    (r"\+ *(?P<right>.+)", "{text} begins with a plus sign", "write {right}"),
    (
        r"\d+[.,/]\d+[.,/][\d.,/]*.*",
        "{text} has more than one point, comma or stroke in its figure",
        "write one decimal point and nothing between the thousands, such as {example}",
    ),
    (
        r"(?P<a>[1-9]\d{0,2}),(?P<b>\d{3})(?P<rest>\D.*|)",
        "{text} has a comma, which is no decimal sign here",
        "write {a}{b}{rest}, or {a}.{b}{rest} where the comma stood for a point",
    ),
    (
        r"(?P<a>-?\d*),(?P<b>\d+)(?P<rest>\D.*|)",
        "{text} has a decimal comma",
        "write {a}.{b}{rest}: the decimal sign is a point",
    ),
    (
        r"(?P<a>[1-9]\d{0,2}) (?P<b>\d{3})(?P<rest>[^\d/. ].*| [^\d].*|)",
        "{text} has a space between its thousands",
        "write {a}{b}{rest}: nothing stands between the thousands",
    ),
    (
        r"-?\d*\.?\d+[eE][-+]?\d+(?P<rest>.*)",
        "{text} is written with a power of ten",
        "write the figure in plain digits, such as {example}",
    ),
    (
        r"(?P<feet>\d+) *(?:ft|') *-? *(?P<inches>\d[\d./ ]*?) *(?:in|\")?",
        "{text} cannot be read as feet and inches",
        "write {feet} ft {inches} in",
    ),
    (
        r"-?[\d./]++\D*[^\w^./(]\d.*",
        "{text} holds more than one number",
        "write one number with one unit, such as {example}",
    ),
)


def _flaw(written: str, kind: type[Quantity]) -> QuantityError:
    """Says what is wrong with a text that is no quantity at all."""
    match = _SIMPLE.fullmatch(written)
    if match and not match["unit"]:
        return QuantityError(f"{written} has no unit", f"write {_with_unit(match, kind)}: a quantity needs its unit")
    for pattern, message, hint in _FLAWS:
        if found := re.fullmatch(pattern, written, re.ASCII):
            words = found.groupdict("")
            words["rest"] = f" {words.get('rest', '').strip() or _usual(kind)}"
            words |= {"text": written, "example": kind.example, "form": _form(kind)}
            return QuantityError(message.format_map(words), hint.format_map(words))
    if written in _SPELLINGS:
        return QuantityError(f"{written} is a unit without a number", _form(kind))
    if not match:
        return QuantityError(f"{written} is not a quantity", _form(kind))
    near = [f"{match['sign']}{match['figure']} {spelling}" for spelling in _near(match["unit"], kind)]
    hint = f"did you mean {' or '.join(near)}?" if near else _form(kind)
    return QuantityError(f"{match['unit']} is not a unit known here", hint)


def _near(unit: str, kind: type[Quantity]) -> list[str]:
    """The units of `kind` that come near to `unit`: all that differ in capitals only, else the nearest."""
    from difflib import get_close_matches  # noqa: PLC0415 - only a mistake needs it

    known = [spelling for spelling, name in _SPELLINGS.items() if _KINDS[name] is kind]
    same = [spelling for spelling in known if spelling.casefold() == unit.casefold()]
    return list(dict.fromkeys(_SPELLINGS[found] for found in same or get_close_matches(unit, known, n=1)))


def _with_unit(match: re.Match[str], kind: type[Quantity]) -> str:
    """A bare number with the unit that it most likely lacks; a small length could be in either of two."""
    number = f"{match['sign'] if kind is Temperature else ''}{match['figure']}"
    if kind is Length and not match["plain"]:
        return f"{number} in"
    if kind is Length and float(match["plain"]) < 10:  # noqa: PLR2004 - few lengths in a plan reach 10 m
        return f"{number} m or {number} mm"
    return f"{number} {_usual(kind)}"


def _usual(kind: type[Quantity]) -> str:
    return "mm" if kind is Length else kind.example.split(" ", 1)[1]


def _spoken(kind: type[Quantity]) -> str:
    return _SPOKEN.get(kind.dimension, f"a {kind.dimension}")


def _form(kind: type[Quantity]) -> str:
    *others, last = _TABLE[kind]
    units = f"{', '.join(others)} or {last}" if others else last
    return f"write {_spoken(kind)} as a number with its unit ({units}), such as {kind.example}"


def _printable(text: str) -> str:
    return "".join(character if character.isprintable() else "\N{REPLACEMENT CHARACTER}" for character in text)
