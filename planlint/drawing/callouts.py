"""A list beside a drawing, each of its lines with a thin line to the part of the drawing that it speaks of."""

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Final

from planlint.drawing.paper import LETTERS, text_width
from planlint.sheet_records import Flag, Line, Look, Mark, Spot, Text

FLAG_APART: Final = 6.6
"""[mm] From middle to middle of two flags: each is something to press on."""
LINE: Final = 1.35
"""From one line of a text to the next, in heights of its letters."""
_ROW_GAP: Final = 1.4
_FLAG_GAP: Final = 0.6
_FIGURE: Final = re.compile(r"(?<=\d) (?=[^\W\d]|[%°])")
"""The space between a figure and its unit."""
_TIED: Final = "\u00a0"


@dataclass(frozen=True, slots=True)
class Callout:
    """A text with what it speaks of: a spot in the drawing, above the list."""

    start: Spot
    text: str
    flags: tuple[tuple[int, Look], ...] = ()


def callouts(entries: Sequence[Callout], left: float, top: float, width: float) -> tuple[list[Mark], float]:
    """The list below a drawing, from `left` on, and where it ends.

    What is farthest to the right comes first, so that no lines cross.
    """
    found: list[Mark] = []
    y = top
    for entry in sorted(entries, key=lambda entry: -entry.start[0]):
        y += _FLAG_GAP if entry.flags else 0.0
        middle = y + LETTERS / 2
        found.append(Line(Look.LEADER, (entry.start, (entry.start[0], middle), (left - 1.0, middle))))
        lines = wrapped(entry.text, width)
        marks, y = paragraph(lines, left, y)
        found += marks
        beside = text_width(lines[-1], LETTERS) + 1.0
        if beside + len(entry.flags) * FLAG_APART <= width:
            last = y - LINE * LETTERS - 0.5 * FLAG_APART + LETTERS / 2
            marks, below = flags_below(entry.flags, left + beside, last, width - beside)
            y = max(y, below)
        else:
            marks, y = flags_below(entry.flags, left, y, width)
        found += marks
        y += _ROW_GAP
    return found, y


def paragraph(
    lines: Sequence[str], left: float, top: float, size: float = LETTERS, look: Look = Look.LABEL
) -> tuple[list[Mark], float]:
    """Lines of a text from a left upper corner, and where they end."""
    marks: list[Mark] = [
        Text(look, (left, top + (0.8 + number * LINE) * size), line, size) for number, line in enumerate(lines)
    ]
    return marks, top + len(lines) * LINE * size


def flags_below(flags: Sequence[tuple[int, Look]], left: float, top: float, width: float) -> tuple[list[Mark], float]:
    """Flags in rows from a left upper corner, and where they end."""
    in_row = max(1, int(width // FLAG_APART))
    marks: list[Mark] = []
    for index, (number, look) in enumerate(flags):
        row, column = divmod(index, in_row)
        marks.append(Flag(look, (left + (column + 0.5) * FLAG_APART, top + (row + 0.5) * FLAG_APART), number))
    return marks, top + -(-len(flags) // in_row) * FLAG_APART


def wrapped(text: str, width: float, size: float = LETTERS) -> list[str]:
    """A text in lines that are no wider than so many mm; a word that is too long for one is broken.

    >>> wrapped("board narrow, 12.5 mm", 30.0)
    ['board narrow,', '12.5 mm']
    """
    lines: list[str] = []
    line = ""
    for word in _pieces(_FIGURE.sub(_TIED, text), width, size):
        longer = f"{line} {word}" if line else word
        if line and text_width(longer, size) > width:
            lines.append(line)
            longer = word
        line = longer
    return [one.replace(_TIED, " ") for one in (*lines, line)]


def _pieces(text: str, width: float, size: float) -> Iterator[str]:
    """The words of a text, those that are wider than a line in parts; figures stay with their units."""
    for word in text.split(" "):
        rest = word
        while len(rest) > 1 and text_width(rest, size) > width:
            fits = max((count for count in range(1, len(rest)) if text_width(rest[:count], size) <= width), default=1)
            yield rest[:fits]
            rest = rest[fits:]
        yield rest
