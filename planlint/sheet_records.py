"""What a sheet of a plan holds, as plain frozen data: the only thing that its page sees.

A picture is laid out on paper: millimetres from its left upper corner, to the right and down. Who shows it need not
know what a wall is, only how each kind of mark looks.
"""

from dataclasses import dataclass
from enum import StrEnum

from planlint.entries import Entry
from planlint.records import HoldState, PlanRecord

Spot = tuple[float, float]
"""To the right and down, in millimetres on paper."""


class Look(StrEnum):
    """What a mark stands for, and so how it is drawn; the page has one style for each."""

    FACE = "face"
    """The outline of a wall's face, or a wall in the plan of a room."""
    LINING = "lining"
    """The face of a lining, in the plan of a room."""
    FLOOR = "floor"
    """The finished floor."""
    OPENING = "opening"
    BATTEN = "batten"
    BOARD = "board"
    EDGE_TAPERED = "edge-tapered"
    EDGE_CUT = "edge-cut"
    EDGE_GROOVED = "edge-grooved"
    CABLE = "cable"
    """A way that the plan draws."""
    CABLE_GUESSED = "cable-guessed"
    """A way that was worked out."""
    PIPE = "pipe"
    ZONE = "zone"
    """Where cables may lie unseen."""
    BACKING = "backing"
    BOX = "box"
    SYMBOL = "symbol"
    """The lines of a symbol."""
    SYMBOL_FILLED = "symbol-filled"
    READING_DRY = "reading-dry"
    READING_DAMP = "reading-damp"
    READING_WET = "reading-wet"
    READING_UNJUDGED = "reading-unjudged"
    """No limit is stated for its scale, or something about it is not recorded."""
    DIMENSION = "dimension"
    CORNER_INSIDE = "corner-inside"
    CORNER_OUTSIDE = "corner-outside"
    MASONRY = "masonry"
    INSULATION = "insulation"
    SHEET = "sheet"
    """A board, in the section of a lining."""
    FILM = "film"
    AIR = "air"
    TIMBER = "timber"
    CURVE_TEMPERATURE = "curve-temperature"
    CURVE_VAPOUR = "curve-vapour"
    CURVE_SATURATION = "curve-saturation"
    CONDENSING = "condensing"
    """Where water gathers."""
    AXIS = "axis"
    LABEL = "label"
    QUIET = "quiet"
    """What is said in passing."""
    LEADER = "leader"
    """The thin line from a label to what it speaks of."""
    FOUND_ERROR = "found-error"
    FOUND_WARNING = "found-warning"
    FOUND_NOTE = "found-note"
    FOUND_OPEN = "found-open"
    FOUND_CONCEDED = "found-conceded"


class Anchor(StrEnum):
    """Which end of a text stands at its spot."""

    START = "start"
    MIDDLE = "middle"
    END = "end"


@dataclass(frozen=True, slots=True)
class Line:
    """A line from spot to spot."""

    look: Look
    spots: tuple[Spot, ...]


@dataclass(frozen=True, slots=True)
class Area:
    """An outline that closes, filled."""

    look: Look
    spots: tuple[Spot, ...]


@dataclass(frozen=True, slots=True)
class Circle:
    """A circle, or a round spot."""

    look: Look
    middle: Spot
    radius: float


@dataclass(frozen=True, slots=True)
class Text:
    """A text; its spot is on its base line. `size` is the height of its letters from top to bottom of a line."""

    look: Look
    at: Spot
    text: str
    size: float = 3.0
    anchor: Anchor = Anchor.START
    turned: float = 0.0
    """By how many degrees it is turned to the right about its spot."""


@dataclass(frozen=True, slots=True)
class Flag:
    """The number of a finding beside what it speaks of; the page makes it a link to its words."""

    look: Look
    at: Spot
    """Its middle."""
    number: int


Mark = Line | Area | Circle | Text | Flag


@dataclass(frozen=True, slots=True)
class Sample:
    """One line of a legend: how something is drawn, and what it is; its marks lie within 12 by 6 mm."""

    marks: tuple[Mark, ...]
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Picture:
    """A drawing on paper. What it shows is said in words as well, for whoever does not see it."""

    title: str
    """Such as `West wall, seen from inside`."""
    described: str
    """What one would say of it on the telephone, with the figures; one or two sentences."""
    width: float
    height: float
    scale: int | None
    """25 where one metre is 40 mm on paper; None where nothing is to scale."""
    marks: tuple[Mark, ...]
    legend: tuple[Sample, ...] = ()
    """The symbols and styles in use in it."""
    unplaced: tuple[str, ...] = ()
    """What belongs in it and could not be drawn, with what is not recorded, as sentences."""


@dataclass(frozen=True, slots=True)
class Table:
    """Figures in rows; each row has as many cells as the head, and the first one names the row."""

    title: str
    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


@dataclass(frozen=True, slots=True)
class Numbered:
    """One thing to see to, with its number on this sheet; what is conceded has a number too."""

    number: int
    entry: Entry


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """A wall, ceiling, floor or circuit, or what else one stops at: what it looks like and what is found there."""

    place: str
    title: str
    pictures: tuple[Picture, ...] = ()
    tables: tuple[Table, ...] = ()
    found: tuple[Numbered, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class RoomSheet:
    """A room in the order of the walk; `parts` are its own findings first, then walls, ceiling, floor, slopes."""

    place: str
    title: str
    picture: Picture | None
    """The room from above."""
    found: tuple[Numbered, ...]
    """What is found of the room as a whole."""
    parts: tuple[Part, ...]
    tables: tuple[Table, ...] = ()
    """Figures of the room as a whole."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """The whole page of one plan."""

    version: str
    today: str
    plan: PlanRecord
    rooms: tuple[RoomSheet, ...]
    elsewhere: tuple[Part, ...]
    """What belongs to no room: supply, circuits, boards, linings, the order of work."""
    holds: tuple[HoldState, ...]
    cautions: tuple[tuple[str, tuple[int, ...]], ...]
    """Each caution once, with the numbers of the findings that it belongs to; none where it is for the whole page."""
    place: str | None = None
    """Where it is of one place alone."""
