"""Marks on paper as SVG, in millimetres; how each kind of mark looks is for the style of the page to say."""

from collections.abc import Iterable
from html import escape
from typing import Final

from planlint.reports.page import plain
from planlint.sheet_records import Area, Circle, Flag, Line, Look, Mark, Spot, Text

FLAG: Final = 2.2
"""[mm] How far a flag reaches to each side."""
_DIGITS: Final = 2.5
"""[mm] Height of the number on a flag."""
_SQUARE: Final = (Look.FOUND_ERROR, Look.FOUND_OPEN)
"""Flags are squares or round, filled or not, so that they can be told apart without their colours."""


def drawn(marks: Iterable[Mark]) -> str:
    """The marks, one on top of the other; flags are left out."""
    return "".join(map(_drawn, marks))


def flags(marks: Iterable[Mark]) -> str:
    """The flags, each a link to what is said under its number; for pointers, since the words stand in a list."""
    return "".join(
        f'<a href="#item-{one.number}" tabindex="-1">{_flag(one.look, one.at, one.number)}</a>'
        for one in marks
        if isinstance(one, Flag)
    )


def mark(look: Look, number: int | None) -> str:
    """The picture of a flag by itself, for a line of text."""
    reach = FLAG + 0.3
    side = _length(2 * reach)
    box = f"{_length(-reach)} {_length(-reach)} {side} {side}"
    return f'<svg class="mark" viewBox="{box}" aria-hidden="true">{_flag(look, (0.0, 0.0), number)}</svg>'


def _flag(look: Look, at: Spot, number: int | None) -> str:
    x, y = at
    shape = f'<circle cx="{_length(x)}" cy="{_length(y)}" r="{_length(FLAG)}"/>'
    if look in _SQUARE:
        side = _length(2 * FLAG)
        shape = f'<rect x="{_length(x - FLAG)}" y="{_length(y - FLAG)}" width="{side}" height="{side}"/>'
    middle = f'x="{_length(x)}" y="{_length(y + 0.36 * _DIGITS)}"'
    text = "" if number is None else f'<text {middle} font-size="{_DIGITS}">{number}</text>'
    return f'<g class="flag is-{look}">{shape}{text}</g>'


def _drawn(mark: Mark) -> str:
    match mark:
        case Line(look, spots):
            return f'<polyline class="is-{look} line" points="{_points(spots)}"/>'
        case Area(look, spots):
            return f'<polygon class="is-{look}" points="{_points(spots)}"/>'
        case Circle(look, (x, y), radius):
            return f'<circle class="is-{look}" cx="{_length(x)}" cy="{_length(y)}" r="{_length(radius)}"/>'
        case Text():
            return _text(mark)
        case Flag():
            return ""


def _text(mark: Text) -> str:
    x, y = map(_length, mark.at)
    turned = f' transform="rotate({_length(mark.turned)} {x} {y})"' if mark.turned else ""
    return (
        f'<text class="is-{mark.look} text" x="{x}" y="{y}" font-size="{_length(mark.size)}" '
        f'text-anchor="{mark.anchor}"{turned}>{escape(plain(mark.text))}</text>'
    )


def _points(spots: Iterable[Spot]) -> str:
    return " ".join(f"{_length(x)},{_length(y)}" for x, y in spots)


def _length(millimetres: float) -> str:
    """To a hundredth of a millimetre, without zeros that say nothing: 12, 3.5, 0."""
    return f"{round(millimetres, 2) + 0.0:g}"
