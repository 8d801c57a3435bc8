"""The marks of a room in plan: windows, doors with their swing, corners, and texts along walls."""

import math
from collections.abc import Iterator, Sequence
from itertools import pairwise
from typing import Final

from planlint.drawing.paper import LETTERS, Box
from planlint.model.words import Swing
from planlint.sheet_records import Anchor, Area, Circle, Line, Look, Mark, Sample, Spot, Text

CORNER: Final = 1.2
"""[mm] How far the mark of a corner reaches to each side."""
OFF: Final = 2.0
"""[mm] From a wall to its name."""
_WINDOW: Final = 0.8
_ARC: Final = 10
_CLOSE: Final = 1.5
"""[mm] Boxes along a line that is neither level nor upright are so long."""


def window_marks(left: Spot, right: Spot, inward: Spot) -> tuple[Mark, ...]:
    """A window between its two edges: two lines beside the wall's own; `inward` as on paper."""
    rows = [
        tuple((x + side * inward[0], y + side * inward[1]) for x, y in (left, right)) for side in (-_WINDOW, _WINDOW)
    ]
    ends = tuple(Line(Look.OPENING, pair) for pair in zip(*rows, strict=True))
    return (*(Line(Look.OPENING, row) for row in rows), *ends)


def door_marks(hinge: Spot, other: Spot, inward: Spot, opens: Swing | None) -> tuple[Mark, ...]:
    """A door that stands open, with the way of its edge; a sliding one lies beside the wall."""
    wide = math.dist(hinge, other)
    if opens is Swing.SLIDE:
        off = tuple((x + 1.2 * inward[0], y + 1.2 * inward[1]) for x, y in (hinge, other))
        return (Line(Look.OPENING, off),)
    sign = -1.0 if opens is Swing.OUT else 1.0
    shut = ((other[0] - hinge[0]) / wide, (other[1] - hinge[1]) / wide)
    angles = [math.pi / 2 * step / _ARC for step in range(_ARC + 1)]
    swing = tuple(
        (
            hinge[0] + wide * (math.cos(angle) * shut[0] + sign * math.sin(angle) * inward[0]),
            hinge[1] + wide * (math.cos(angle) * shut[1] + sign * math.sin(angle) * inward[1]),
        )
        for angle in angles
    )
    return Line(Look.OPENING, (hinge, swing[-1])), Line(Look.OPENING, swing)


def corner_mark(at: Spot, *, is_outside: bool) -> Mark:
    """The mark of a corner: a square where it stands out into the room, else a ring."""
    if not is_outside:
        return Circle(Look.CORNER_INSIDE, at, CORNER)
    x, y = at
    reach = CORNER * 0.9
    return Area(
        Look.CORNER_OUTSIDE,
        ((x - reach, y - reach), (x + reach, y - reach), (x + reach, y + reach), (x - reach, y + reach)),
    )


def sample_of_corner(*, is_outside: bool) -> Sample:
    """The legend of a corner."""
    words = "outside corner: it stands out into the room" if is_outside else "inside corner"
    return Sample((corner_mark((6.0, 3.0), is_outside=is_outside),), words)


def sample_of_line(look: Look, words: str) -> Sample:
    """The legend of a line."""
    return Sample((Line(look, ((1.0, 3.0), (11.0, 3.0))),), words)


def along(words: str, ends: tuple[Spot, Spot], share: float, outward: Spot, off: float = OFF) -> Text:
    """A text along a line, a share of it from its beginning, on the side that `outward` shows; never upside down."""
    (x1, y1), (x2, y2) = ends
    angle = math.degrees(math.atan2(y2 - y1, x2 - x1))
    # Upright texts are read from the right (ISO 129-1).
    turned = math.remainder(angle, 180.0)
    turned = -90.0 if math.isclose(abs(turned), 90.0, abs_tol=1e-6) else turned
    up = math.sin(math.radians(turned)), -math.cos(math.radians(turned))
    stands = up[0] * outward[0] + up[1] * outward[1] > 0
    gap = off + (0.24 if stands else 0.8) * LETTERS
    at = (x1 + share * (x2 - x1) + gap * outward[0], y1 + share * (y2 - y1) + gap * outward[1])
    return Text(Look.LABEL, at, words, LETTERS, Anchor.MIDDLE, turned=round(turned, 6) + 0.0)


def boxes_along(spots: Sequence[Spot]) -> list[Box]:
    """Boxes that cover a line closely, also where it is oblique."""
    found: list[Box] = []
    for (x1, y1), (x2, y2) in pairwise(spots):
        is_square = math.isclose(x1, x2, abs_tol=1e-6) or math.isclose(y1, y2, abs_tol=1e-6)
        parts = 1 if is_square else max(1, math.ceil(math.dist((x1, y1), (x2, y2)) / _CLOSE))
        for part in range(parts):
            (left, right), (top, bottom) = (
                sorted((start + (end - start) * part / parts, start + (end - start) * (part + 1) / parts))
                for start, end in ((x1, x2), (y1, y2))
            )
            found.append(Box(left - 0.15, top - 0.15, right + 0.15, bottom + 0.15))
    return found


def parts_between(start: float, end: float, gaps: Sequence[tuple[float, float]]) -> Iterator[tuple[float, float]]:
    """What is left of a stretch between gaps in it.

    >>> list(parts_between(0, 5, [(1, 2), (4, 6)]))
    [(0, 1), (2, 4)]
    """
    for left, right in sorted(gaps):
        if right <= start or left >= end:
            continue
        if left > start:
            yield start, left
        start = max(start, right)
    if start < end:
        yield start, end
