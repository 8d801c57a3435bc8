"""What a plain (unquoted) scalar of YAML means: the core schema of YAML 1.2, less the traps of 1.1.

PyYAML's own rules are those of 1.1, in which `no` is false, `12:30` is 750 and `010` is 8. Taking either side
in silence would surprise somebody, so what the two read differently becomes a `Trap` with the form that is
right in both.
"""

import math
import re
from dataclasses import dataclass
from unicodedata import normalize

_MAX_FIGURES = 18


@dataclass(frozen=True, slots=True)
class Trap:
    """A plain scalar that is refused: why, and what to write instead, as a value and as a name."""

    text: str
    why: str
    as_value: str
    as_name: str


MERGE = Trap("<<", "", "", "")
"""Stands for the plain key `<<`; as a value it is an ordinary word."""

_WORDS: dict[str, object] = {
    **dict.fromkeys(("", "~", "null", "Null", "NULL")),
    **dict.fromkeys(("true", "True", "TRUE"), True),
    **dict.fromkeys(("false", "False", "FALSE"), False),
    "<<": MERGE,
}
_SWITCHES = {"yes", "no", "on", "off"}
_NUMBER = re.compile(r"[-+]?(?P<mantissa>[0-9]+(?:\.[0-9]*)?|\.[0-9]+)(?P<power>[eE][-+]?[0-9]+)?")
_ZEROS_IN_FRONT = re.compile(r"([-+]?)0+(?=[0-9])")
_BASE_SIXTY = re.compile(r"[-+]?[0-9]+(?::[0-9]+)+(?:\.[0-9]*)?")
_OTHER_BASE = re.compile(r"[-+]?0[xXoObB][0-9a-fA-F_]+")
_GROUPED = re.compile(r"[-+]?[0-9][0-9_]*_[0-9_]*(?:\.[0-9_]*)?")
_NO_NUMBER = re.compile(r"[-+]?\.(?:inf|nan)", re.IGNORECASE)


def resolve(text: str) -> object:
    """Give the value of a plain scalar: a str, int, float, bool or None, or a `Trap`.

    >>> resolve("2.5"), resolve("2.5 mm²"), resolve("2026-03-02"), resolve("~")
    (2.5, '2.5 mm²', '2026-03-02', None)
    """
    if text in _WORDS:
        return _WORDS[text]
    if text[0] in "+-.0123456789":
        if number := _NUMBER.fullmatch(text):
            return _number(text, number)
        if trap := _odd_number(text):
            return trap
    elif text.lower() in _SWITCHES:
        return Trap(
            text,
            f"the word {text} without quotes means true or false to some programs and a text to others",
            f'write true or false; or "{text}" in quotes if the word itself is meant',
            f'write "{text}" in quotes',
        )
    return composed(text)


def composed(text: str) -> str:
    """Give `text` in Unicode's composed form (NFC), so that an ö equals an ö however it was typed."""
    return text if text.isascii() else normalize("NFC", text)


def short(text: str, length: int = 24) -> str:
    """Cut `text` to what fits into a message."""
    return text if len(text) <= length else f"{text[:length]}…"


def _number(text: str, match: re.Match[str]) -> object:
    mantissa = match["mantissa"]
    if _ZEROS_IN_FRONT.match(text):
        right = short(_ZEROS_IN_FRONT.sub(r"\1", text, count=1))
        return _trap(text, "begins with a zero, which some programs read in base 8", f"write {right}")
    if len(mantissa.replace(".", "").lstrip("0")) > _MAX_FIGURES:
        return _trap(text, f"has more than {_MAX_FIGURES} figures", "write fewer figures, such as 2.5")
    if "." not in mantissa and not match["power"]:
        return int(text)
    value = float(text)
    return value if math.isfinite(value) else _trap(text, "is too large", "write a smaller one, such as 2.5e3")


def _odd_number(text: str) -> Trap | None:
    if _BASE_SIXTY.fullmatch(text):
        why = "without quotes is read in base 60 by some programs"
        return _trap(text, why, "a length of time has a unit, such as 12.5 h")
    if _GROUPED.fullmatch(text):
        return _trap(text, "holds an underscore", f"write {short(text.replace('_', ''))}")
    if _OTHER_BASE.fullmatch(text):
        return _trap(text, "is not in decimal figures", "write it in decimal figures, such as 31")
    if _NO_NUMBER.fullmatch(text):
        return _trap(text, "is no number that can be judged", "leave the key out where its value is not known")
    return None


def _trap(text: str, why: str, right: str) -> Trap:
    quoted = f'"{short(text)}"'
    hint = f"{right}; or write {quoted} in quotes if it is a name or a text"
    return Trap(text, f"the number {short(text)} {why}", hint, f"write {quoted} in quotes")
