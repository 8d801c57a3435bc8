"""What all drawings share: scales, the way from metres to paper, boxes round marks, and what goes round a drawing.

A drawing is laid out in millimetres with the ground line of what it shows at y = 0 and its left end at x = 0; `bounded`
moves all of it to the left upper corner in the end, so that nobody has to know beforehand how much room labels take.
"""

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Final
from unicodedata import combining, east_asian_width

from planlint.sheet_records import Anchor, Area, Circle, Flag, Line, Look, Mark, Spot, Text

SCALES: Final = (5, 10, 20, 25, 30, 40, 50, 100, 200, 500)
"""One metre is 1000 mm ÷ scale on paper; those of ISO 5455, with 25, 30 and 40 between them."""
WIDEST: Final = 180.0
"""[mm] What fits between the margins of an A4 page."""
HIGHEST: Final = 250.0
FLAG_RADIUS: Final = 2.2
"""[mm] Of a flag, the number of a finding."""
FLAG_STEP: Final = 5.3
"""[mm] From middle to middle of two flags in a row: they do not run together."""
MARGIN: Final = 2.0
"""[mm] Left free around a drawing."""
LETTERS: Final = 3.0
"""[mm] Height of a line of labels; those in passing have `SMALL`."""
SMALL: Final = 2.6
TICK: Final = 1.2
"""[mm] How far the oblique stroke at the end of a dimension reaches to each side (ISO 129-1)."""

# Advance widths in thousandths of the letter height, by groups of letters: never less than in DejaVu Sans (the widest
# of the usual sans fonts; measured in a browser) and its like, so that a text does not come out wider than this says.
_GROUPS: Final = (
    ("ijlI|'!.,·tfr łı\N{RIGHT SINGLE QUOTATION MARK}\N{PRIME}", 430),
    (':;/\\()[]-"″', 460),
    ("cszJ?°*`žš²³", 560),
    ("LFT_“”\N{EN DASH}", 640),
    ("ABEKPSVXYZÄÅ", 700),
    ("w#+<=>^~×±≤≥", 860),
    ("mWM—…æÆ½¼¾", 1000),
    ("%@œŒ", 1100),
)
_ADVANCES: Final = {letter: width for letters, width in _GROUPS for letter in letters}
_SMALL_LETTER: Final = 640
_CAPITAL: Final = 800
_LATIN: Final = 0x250
"""Letters from here on may be as wide as any."""
_WIDE: Final = 1100
_SQUARE: Final = 1020
_ABOVE: Final = 0.80
"""How far letters rise above their base line, and sink below it, in letter heights."""
_BELOW: Final = 0.24


def text_width(text: str, size: float) -> float:
    """The most (mm) that a text in a usual sans font is wide; East Asian wide letters take a square each."""
    return sum(_advance(letter) for letter in text) * size / 1000


def shortened(text: str, width: float, size: float) -> str:
    """A text cut to so many millimetres; what was cut off is shown by three points in one sign."""
    if text_width(text, size) <= width:
        return text
    kept = next((end for end in range(len(text), 0, -1) if text_width(f"{text[:end]}…", size) <= width), 0)
    return f"{text[:kept]}…"


def _advance(letter: str) -> int:
    if combining(letter):
        return 0
    if east_asian_width(letter) in "WF":
        return _SQUARE
    if letter in _ADVANCES:
        return _ADVANCES[letter]
    if ord(letter) >= _LATIN:
        return _WIDE
    return _CAPITAL if letter.isupper() else _SMALL_LETTER


@dataclass(frozen=True, slots=True)
class Box:
    """An upright rectangle on paper, in millimetres."""

    left: float
    top: float
    right: float
    bottom: float

    @property
    def width(self) -> float:
        """From left to right."""
        return self.right - self.left

    @property
    def height(self) -> float:
        """From top to bottom."""
        return self.bottom - self.top

    @property
    def middle(self) -> Spot:
        """Its centre."""
        return (self.left + self.right) / 2, (self.top + self.bottom) / 2

    def overlaps(self, other: "Box", slack: float = 1e-9) -> bool:
        """Whether two boxes share more than an edge."""
        return (
            self.left < other.right - slack
            and other.left < self.right - slack
            and self.top < other.bottom - slack
            and other.top < self.bottom - slack
        )

    def holds(self, other: "Box") -> bool:
        """Whether another lies wholly in it."""
        return (
            self.left <= other.left
            and self.top <= other.top
            and self.right >= other.right
            and self.bottom >= other.bottom
        )

    def grown(self, by: float) -> "Box":
        """The same with so much more on each side."""
        return Box(self.left - by, self.top - by, self.right + by, self.bottom + by)

    def moved(self, right: float, down: float) -> "Box":
        """The same elsewhere."""
        return Box(self.left + right, self.top + down, self.right + right, self.bottom + down)

    def nearest(self, spot: Spot) -> Spot:
        """Its nearest part to a spot."""
        return min(max(spot[0], self.left), self.right), min(max(spot[1], self.top), self.bottom)

    def is_crossed(self, start: Spot, end: Spot) -> bool:
        """Whether a straight line passes through it."""
        low, high = 0.0, 1.0
        for begin, stop, near, far in (
            (start[0], end[0], self.left, self.right),
            (start[1], end[1], self.top, self.bottom),
        ):
            if begin == stop:
                if not near < begin < far:
                    return False
                continue
            first, last = sorted(((near - begin) / (stop - begin), (far - begin) / (stop - begin)))
            low, high = max(low, first), min(high, last)
        return low < high


def around(boxes: Iterable[Box]) -> Box:
    """The box round several; there is at least one."""
    some = list(boxes)
    return Box(
        min(box.left for box in some),
        min(box.top for box in some),
        max(box.right for box in some),
        max(box.bottom for box in some),
    )


def box_of(mark: Mark) -> Box:
    """The box round a mark; that of a text is as wide as it may come out."""
    match mark:
        case Circle(middle=(x, y), radius=radius):
            return Box(x - radius, y - radius, x + radius, y + radius)
        case Flag(at=(x, y)):
            return Box(x - FLAG_RADIUS, y - FLAG_RADIUS, x + FLAG_RADIUS, y + FLAG_RADIUS)
        case Text():
            return _box_of_text(mark)
        case _:
            xs, ys = [spot[0] for spot in mark.spots], [spot[1] for spot in mark.spots]
            return Box(min(xs), min(ys), max(xs), max(ys))


def _box_of_text(text: Text) -> Box:
    width = text_width(text.text, text.size)
    left = {Anchor.START: 0.0, Anchor.MIDDLE: -width / 2, Anchor.END: -width}[text.anchor]
    ends = (left, left + width), (-_ABOVE * text.size, _BELOW * text.size)
    sine, cosine = math.sin(math.radians(text.turned)), math.cos(math.radians(text.turned))
    corners = [(x * cosine - y * sine, x * sine + y * cosine) for x in ends[0] for y in ends[1]]
    xs, ys = [x for x, _ in corners], [y for _, y in corners]
    return Box(min(xs), min(ys), max(xs), max(ys)).moved(*text.at)


def moved(mark: Mark, right: float, down: float) -> Mark:
    """The same mark elsewhere."""
    match mark:
        case Circle(middle=(x, y)):
            return replace(mark, middle=(x + right, y + down))
        case Text(at=(x, y)) | Flag(at=(x, y)):
            return replace(mark, at=(x + right, y + down))
        case _:
            return replace(mark, spots=tuple((x + right, y + down) for x, y in mark.spots))


def bounded(marks: Sequence[Mark], margin: float = MARGIN) -> tuple[tuple[Mark, ...], float, float]:
    """The marks moved so that they begin at the left upper corner, and the width and height that they take."""
    whole = around(map(box_of, marks)).grown(margin)
    return tuple(moved(mark, -whole.left, -whole.top) for mark in marks), whole.width, whole.height


def scale_for(along: float, up: float, *, width: float, height: float, largest: int) -> int:
    """The largest scale, not above `largest`, at which so many metres along and up fit so many millimetres.

    >>> scale_for(3.6, 2.6, width=150, height=200, largest=20), scale_for(4.8, 2.6, width=150, height=200, largest=20)
    (25, 40)
    """
    usable = [scale for scale in SCALES if scale >= largest]
    fitting = (scale for scale in usable if along * 1000 / scale <= width and up * 1000 / scale <= height)
    return next(fitting, usable[-1])


@dataclass(frozen=True, slots=True)
class Paper:
    """The way from metres, along and up from a left lower corner, to millimetres on paper, right and down."""

    scale: int
    left: float = 0.0
    base: float = 0.0
    """Where the left lower corner lies on paper."""

    def size(self, metres: float) -> float:
        """How long something is on paper."""
        return metres * 1000 / self.scale

    def spot(self, along: float, up: float) -> Spot:
        """Where a spot lies on paper."""
        return self.left + self.size(along), self.base - self.size(up)

    def spots(self, *places: tuple[float, float]) -> tuple[Spot, ...]:
        """Where several spots lie."""
        return tuple(self.spot(along, up) for along, up in places)

    def rectangle(self, look: Look, along: tuple[float, float], up: tuple[float, float]) -> Area:
        """An upright rectangle from and to along, from and to in height."""
        (left, right), (low, high) = along, up
        return Area(look, self.spots((left, low), (right, low), (right, high), (left, high)))

    def line(self, look: Look, *places: tuple[float, float]) -> Line:
        """A line from spot to spot."""
        return Line(look, self.spots(*places))


def upright(text: str, x: float, top: float, size: float = LETTERS, look: Look = Look.DIMENSION) -> Text:
    """A text that is read from the right: the middle of its letters at x, and its end at the top."""
    return Text(look, (x + (_ABOVE - _BELOW) / 2 * size, top), text, size, Anchor.END, turned=-90.0)


def dimension(start: Spot, end: Spot, text: str, size: float = LETTERS) -> Iterator[Mark]:
    """A dimension between two spots, level or upright: a line, oblique strokes at its ends, the text on its line.

    The text stands above a level line and to the left of an upright one, which is read from the right (ISO 129-1).
    """
    yield Line(Look.DIMENSION, (start, end))
    for x, y in (start, end):
        yield Line(Look.DIMENSION, ((x - TICK, y + TICK), (x + TICK, y - TICK)))
    middle = ((start[0] + end[0]) / 2, (start[1] + end[1]) / 2)
    is_upright = start[0] == end[0]
    gap = _BELOW * size + 0.4
    at = (middle[0] - gap, middle[1]) if is_upright else (middle[0], middle[1] - gap)
    yield Text(Look.DIMENSION, at, text, size, Anchor.MIDDLE, turned=-90.0 if is_upright else 0.0)


def spread(wanted: Sequence[float], apart: float) -> list[float]:
    """Places in one row as near as can be to those wanted, in their order, and not closer than `apart`.

    Least squares by pooling neighbours: a group that is pushed together stands round the mean of what it wants.

    >>> spread([0.0, 1.0, 9.0], 3.0)
    [-1.0, 2.0, 9.0]
    """
    groups: list[tuple[float, int]] = []  # mean of what they want, each less its place in the group; how many
    for index, place in enumerate(wanted):
        mean, count = place - index * apart, 1
        while groups and groups[-1][0] > mean:
            before, many = groups.pop()
            mean, count = (before * many + mean * count) / (many + count), many + count
        groups.append((mean, count))
    means = [mean for mean, count in groups for _ in range(count)]
    return [mean + index * apart for index, mean in enumerate(means)]
