"""The grammar in which quantities are written, and what is said of a text that is none.

The grammar is ours because a library's parser of units is made for calculators: it reads `1 1/2 in` as half
an inch and can be made to hang.
"""

import re
import unicodedata
from functools import lru_cache
from typing import TYPE_CHECKING, Final, TypeVar, cast

from planlint.errors import QuantityError
from planlint.units import (
    KINDS,
    SPELLINGS,
    TABLE,
    TOLERANCE,
    Length,
    Quantity,
    Temperature,
    awg_section,
    scale,
    show,
)

if TYPE_CHECKING:
    from collections.abc import Callable

LONGEST: Final = 60  # characters; nobody writes a longer quantity, and no pattern meets a longer text

Q = TypeVar("Q", bound=Quantity)

_SPOKEN: Final = {
    "surface-mass": "a mass per area",
    "linear-resistance": "a resistance per length",
    "thermal-resistance": "a thermal resistance",
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


def _read(text: str, kind: type[Quantity]) -> Quantity:
    if len(text) > LONGEST:
        raise QuantityError(f"{_printable(text[:20])}… is too long for a quantity", _form(kind))
    written = text.translate(_LOOKALIKES).strip()
    if written.startswith("AWG"):
        written = f"{written[3:]} AWG".strip()
    match = _SIMPLE.fullmatch(written)
    unit = SPELLINGS.get(match["unit"]) if match else None
    if not match or not unit:
        match, unit = _FEET_INCHES.fullmatch(written), "ft in"
    if not match:
        raise _flaw(_printable(written), kind)
    _refuse_wrong_kind(match, unit, written, kind)
    value = _section_of(match["figure"], written) if unit == "AWG" else _number(match, written, kind)
    if unit == "ft in":
        value = _inches(int(match["feet"]), value, written)
    factor, offset = scale(unit)
    si = float(f"{value * factor + offset:.14g}")  # without float noise: 600 mm and 0.60 m are one number
    if si < -TOLERANCE:
        raise QuantityError(f"{written} is below absolute zero (-273.15 °C)", f"write a figure such as {kind.example}")
    return kind(si, unit)


_read_once: Final = cast("Callable[[str, type[Quantity]], Quantity]", lru_cache(maxsize=1 << 16)(_read))


def _refuse_wrong_kind(match: re.Match[str], unit: str, written: str, kind: type[Quantity]) -> None:
    found = KINDS.get(unit, Length)
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
        right = show(Length(total * scale("in")[0], "ft in"))
        raise QuantityError(f"{written} has a foot or more in its inches", f"write {right}")
    return total


def _section_of(figure: str, written: str) -> float:
    if not _NAMED_SIZE.fullmatch(figure):
        raise QuantityError(
            f"{written} is not a wire size known here: they are the whole numbers from 0 to 40",
            "write a size such as 12 AWG, or the section, such as 4 mm²",
        )
    return awg_section(int(figure))


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
    if written in SPELLINGS:
        return QuantityError(f"{written} is a unit without a number", _form(kind))
    if not match:
        return QuantityError(f"{written} is not a quantity", _form(kind))
    near = [f"{match['sign']}{match['figure']} {spelling}" for spelling in _near(match["unit"], kind)]
    hint = f"did you mean {' or '.join(near)}?" if near else _form(kind)
    return QuantityError(f"{match['unit']} is not a unit known here", hint)


def _near(unit: str, kind: type[Quantity]) -> list[str]:
    """The units of `kind` that come near to `unit`: all that differ in capitals only, else the nearest."""
    from difflib import get_close_matches  # noqa: PLC0415 - only a mistake needs it

    known = [spelling for spelling, name in SPELLINGS.items() if KINDS[name] is kind]
    same = [spelling for spelling in known if spelling.casefold() == unit.casefold()]
    return list(dict.fromkeys(SPELLINGS[found] for found in same or get_close_matches(unit, known, n=1)))


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
    *others, last = TABLE[kind]
    units = f"{', '.join(others)} or {last}" if others else last
    return f"write {_spoken(kind)} as a number with its unit ({units}), such as {kind.example}"


def _printable(text: str) -> str:
    return "".join(character if character.isprintable() else "\N{REPLACEMENT CHARACTER}" for character in text)
