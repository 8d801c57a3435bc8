"""Rooms, their walls, and what is on the walls."""

from bisect import bisect_left, bisect_right
from dataclasses import dataclass, field
from datetime import date
from functools import cached_property
from itertools import accumulate
from math import nan, pi
from operator import itemgetter
from typing import TYPE_CHECKING, ClassVar

from planlint import geometry
from planlint.model.access import Passage
from planlint.model.buildups import Base, Board, Extent, JoistEnds, Layer, Lining
from planlint.model.climate import Climate
from planlint.model.fixtures import Chase, Fixture, Notch, OtherFace
from planlint.model.readings import Reading
from planlint.model.thing import Thing
from planlint.model.words import (
    Edge,
    Faces,
    HeightsFrom,
    Joint,
    OpeningKind,
    PointKind,
    ReadOf,
    Salts,
    Screed,
    Swing,
)
from planlint.units import Angle, Length

if TYPE_CHECKING:
    from planlint.model.services import Pipe, Point, Run
    from planlint.model.work import Building, Task

RIGHT_ANGLE = pi / 2


@dataclass(frozen=True, slots=True)
class Damp:
    """A known cause of damp, and when it was cured."""

    cause: str | None
    cured: date | None


@dataclass(frozen=True, eq=False, repr=False, kw_only=True)
class Surface(Thing):
    """A wall or a ceiling: something that is lined or stays as it is, and carries points."""

    room: "Room"
    lining: Lining | None
    extent: Extent | None
    stays: bool
    """Whether it is recorded that the face stays as it is."""
    existing: tuple[Layer, ...]
    """What stands on the face as found, wall side first; empty where nothing is recorded."""
    points: tuple["Point", ...] = field(default=(), init=False)

    @property
    def undecided(self) -> bool:
        """Whether it is not recorded how the face will be lined, or that it stays."""
        return self.lining is None and not self.stays

    def lining_at(self, at: float, height: float) -> Lining | None:
        """The lining in front of a spot: None where none reaches it."""
        if self.extent and not self.extent.covers(at, height):
            return None
        return self.lining


@dataclass(frozen=True, eq=False, repr=False, kw_only=True)
class Ceiling(Surface):
    """The ceiling of a room."""

    called: ClassVar[str] = "ceiling"
    base: Base | None
    air_gap: Length | None
    """The free air gap above the insulation, below the roofing."""


@dataclass(frozen=True, eq=False, repr=False, kw_only=True)
class Floor(Thing):
    """The floor of a room."""

    called: ClassVar[str] = "floor"
    heights_from: HeightsFrom
    build_up: Length | None
    screed: Screed | None
    heated: bool | None
    readings: tuple[Reading, ...]
    readings_recorded: bool
    tasks: tuple["Task", ...] = field(default=(), init=False)
    """The tasks of the order of work that are done in its room."""

    @property
    def datum(self) -> float:
        """How far the floor that heights are measured from lies above the bare one, in metres."""
        return self.build_up or 0.0 if self.heights_from is HeightsFrom.FINISHED else 0.0


@dataclass(frozen=True, eq=False, repr=False, kw_only=True)
class Wall(Surface):
    """A wall, seen from inside the room; `turn` is how far one turns to the right at its end, in radians."""

    called: ClassVar[str] = "wall"
    name: str
    length: Length | None
    length_at_top: Length | None
    turn: float | None
    height_left: Length | None
    height_right: Length | None
    gable: tuple[tuple[Length, Length], ...]
    """Positions and heights from left to right, where the ceiling is no straight line; else empty."""
    base: Base | None
    damp: Damp | None
    salts: Salts | None
    battens_at: tuple[Length, ...] | None
    """Where the battens stand, from the wall's left end; None where they follow the lining's spacing."""
    readings: tuple[Reading, ...]
    readings_recorded: bool
    pieces: tuple["Piece", ...] = field(default=(), init=False)
    board_joints: tuple["BoardJoint", ...] = field(default=(), init=False)
    openings: tuple["Opening", ...] = field(default=(), init=False)
    finishes: tuple["RevealEdge | FrameJoint", ...] = field(default=(), init=False)
    corner: "Corner | None" = field(default=None, init=False)
    pipes: tuple["Pipe", ...] = field(default=(), init=False)
    joist_ends: JoistEnds | None
    """None where no joists come through it."""
    photos: int | None
    """How many photographs of it are recorded; None where the plan does not say."""
    runs: tuple["Run", ...] = field(default=(), init=False)
    """The cables that run behind it, as far as the plan shows them."""
    tasks: tuple["Task", ...] = field(default=(), init=False)
    """The tasks of the order of work that are done on it."""
    fixtures: tuple[Fixture, ...] = field(default=(), init=False)
    """The fixtures of its room that stand at it or hang on it."""
    chases: tuple[Chase, ...] | None
    """None where the plan does not say whether it is chased."""
    notches: tuple[Notch, ...] | None
    other_face: OtherFace | None = field(default=None, init=False)
    """The wall of another room that is its other face, whichever of the two says so."""

    @property
    def true_turn(self) -> float | None:
        """How far one turns at its end, by the measured diagonals where the room has some."""
        fitted = self.room.fitted
        return fitted.turns[self.room.walls.index(self)] if fitted else self.turn

    def length_at(self, height: float) -> float | None:
        """Length in metres of the bare wall at a height, where it differs between floor and ceiling."""
        heights = [height for height in (self.height_left, self.height_right) if height is not None]
        if self.length is None or self.length_at_top is None or not heights:
            return self.length
        share = min(max(height / max(heights), 0), 1)
        return self.length + (self.length_at_top - self.length) * share

    def height_at(self, at: float) -> float | None:
        """Height in metres from bare floor to bare ceiling, `at` metres from the wall's left end."""
        if self.height_left is None or self.height_right is None or not self.length:
            return self.height_left
        return geometry.level(self.gable or ((0.0, self.height_left), (self.length, self.height_right)), at)

    @cached_property
    def _placed(self) -> list[tuple[Length, "Point"]]:
        placed = [(point.at, point) for point in self.points if point.at is not None]
        return sorted(placed, key=itemgetter(0))

    def points_near(self, at: float, within: float) -> list["Point"]:
        """Its points whose centre is not further than `within` metres from `at` metres along, from the left."""
        first = bisect_left(self._placed, at - within, key=itemgetter(0))
        last = bisect_right(self._placed, at + within, key=itemgetter(0))
        return [point for _, point in self._placed[first:last]]

    @property
    def faces(self) -> Faces | None:
        """What is behind the wall."""
        return self.base.faces if self.base else None

    def readings_of(self, *subjects: ReadOf) -> list[Reading]:
        """The readings that were taken of the wall itself, of its battens, of its frame."""
        return [reading for reading in self.readings if reading.of in subjects]

    @cached_property
    def outer_layer(self) -> int:
        """The number of the layer of boards on the room's side, counted from the wall; 0 where none is known."""
        layers = [piece.layer for piece in self.pieces if piece.layer is not None]
        return max(*layers, len(self.lining.boards) if self.lining else 0, 0)

    @property
    def visible_pieces(self) -> tuple["Piece", ...]:
        """The cut pieces on the room's side, from left to right."""
        return tuple(piece for piece in self.pieces if piece.in_layer == self.outer_layer)

    def end_pieces(self, *, left: bool) -> tuple["Piece", ...]:
        """The visible pieces at its left or right end, one in each row; none where the lining ends before it.

        A row that only goes on beside an opening does not come to the end: whole pieces of other rows stand beyond it.
        """
        extent = self.extent
        if extent and (extent.start if left else extent.end is not None and self.length and extent.end < self.length):
            return ()
        rows: dict[int, tuple[Piece, float, float]] = {}
        ends: dict[int, float] = {}
        middles: list[float] = []
        for piece in self.visible_pieces:
            start = ends.get(piece.row, 0.0) if piece.at is None else piece.at
            end = ends[piece.row] = start + (nan if piece.width_bottom is None else piece.width_bottom)
            middles.append((start + end) / 2)
            if not left or piece.row not in rows:
                rows[piece.row] = (piece, start, end)
        return tuple(
            piece
            for piece, start, end in rows.values()
            if not any(middle <= start if left else middle >= end for middle in middles)
        )


@dataclass(frozen=True, eq=False, repr=False, kw_only=True)
class Piece(Thing):
    """A cut piece of board on a wall."""

    called: ClassVar[str] = "piece"
    wall: Wall
    index: int
    board: Board
    name: str
    left: Edge | None
    right: Edge | None
    layer: int | None
    row: int
    at: Length | None
    bottom: Length | None
    width_bottom: Length | None
    width_top: Length | None
    height_left: Length | None
    height_right: Length | None

    @property
    def in_layer(self) -> int:
        """The number of its layer, counted from the wall; the one on the room's side where it names none."""
        return self.layer or self.wall.outer_layer


@dataclass(frozen=True, eq=False, repr=False, kw_only=True)
class BoardJoint(Thing):
    """Where two neighbouring pieces of one layer and row meet; it has the place of the right one."""

    called: ClassVar[str] = "board joint"
    wall: Wall
    left: Piece
    right: Piece


@dataclass(frozen=True, slots=True)
class Sealant:
    """What an elastic joint is filled with; its class is how far it gives, in percent of the joint's width."""

    kind: str | None
    movement_class: float | None
    paintable: bool | None


@dataclass(frozen=True, eq=False, repr=False, kw_only=True)
class Corner(Thing):
    """Where a wall ends and the next one begins."""

    called: ClassVar[str] = "corner"
    wall: Wall
    next_wall: Wall
    joint: Joint | None
    length: Length | None
    """Length of the bead, where one is noted."""
    width: Length | None
    """Width of the elastic joint."""
    sealant: "Sealant | None"

    @property
    def is_outside(self) -> bool | None:
        """Whether the corner stands out into the room (a turn to the left); None where no turn is recorded."""
        return None if self.wall.turn is None else self.wall.turn < 0

    @property
    def height(self) -> Length | None:
        """Height of the corner from bare floor to bare ceiling."""
        heights = [height for height in (self.wall.height_right, self.next_wall.height_left) if height is not None]
        return max(heights, default=None)


@dataclass(frozen=True, eq=False, repr=False, kw_only=True)
class Opening(Thing):
    """A window, door, niche or passage; `at` is its left edge from the wall's left end, facing it."""

    called: ClassVar[str] = "opening"
    wall: Wall
    name: str
    kind: OpeningKind
    at: Length | None
    width: Length | None
    sill: Length | None
    height: Length | None
    reveal_depth: Length | None
    reveal_sealed: bool | None
    """Whether the vapour layer is led into the reveal and sealed to the frame; None where the plan does not say."""
    has_reveal: bool | None
    """Whether the wall shows its thickness around it; None where the plan does not say."""
    held_by: tuple[str, ...] | None
    fixing_spacing: Length | None
    fixing_from_corner: Length | None
    hinges: str | None
    opens: Swing | None

    @property
    def reaches_floor(self) -> bool:
        """Whether one walks through it: a cable along the wall has to pass over its head."""
        return self.kind in (OpeningKind.DOOR, OpeningKind.PASSAGE)

    @property
    def bottom(self) -> Length | None:
        """Height of its lower edge."""
        return Length(0.0, "m") if self.sill is None and self.reaches_floor else self.sill


@dataclass(frozen=True, eq=False, repr=False, kw_only=True)
class RevealEdge(Thing):
    """The edges of an opening's reveal towards the room: outside corners, finished in one way."""

    called: ClassVar[str] = "reveal edge"
    opening: Opening
    joint: Joint | None


@dataclass(frozen=True, eq=False, repr=False, kw_only=True)
class FrameJoint(Thing):
    """Where the reveal of a window or door meets its frame: an inside corner."""

    called: ClassVar[str] = "frame joint"
    opening: Opening
    joint: Joint | None


@dataclass(frozen=True, eq=False, repr=False, kw_only=True)
class HeightGroup(Thing):
    """The points of one kind and `group` in a room, in the order of the walk: their heights belong together."""

    room: "Room"
    points: tuple["Point", ...]


@dataclass(frozen=True, eq=False, repr=False, kw_only=True)
class SocketHeights(HeightGroup):
    """The sockets of a room, or those of one `group`."""

    called: ClassVar[str] = "heights of sockets"


@dataclass(frozen=True, eq=False, repr=False, kw_only=True)
class SwitchHeights(HeightGroup):
    """The switches of a room, or those of one `group`."""

    called: ClassVar[str] = "heights of switches"


HEIGHT_GROUPS: dict[PointKind, type[HeightGroup]] = {
    PointKind.SOCKET: SocketHeights,
    PointKind.SWITCH: SwitchHeights,
}


@dataclass(frozen=True, slots=True)
class Diagonal:
    """A measured distance between the corners at the ends of two walls."""

    start: Wall
    end: Wall
    length: Length


@dataclass(frozen=True, eq=False, repr=False, kw_only=True)
class Slope(Surface):
    """A sloping ceiling that begins above a low wall."""

    called: ClassVar[str] = "slope"
    name: str
    above: Wall
    pitch: Angle | None
    rafters: Length | None
    air_gap: Length | None
    underlay: str | None


@dataclass(frozen=True, eq=False, repr=False, kw_only=True)
class Room(Thing):
    """A room with its walls in the order of the walk."""

    called: ClassVar[str] = "room"
    name: str
    use: str | None
    is_closed: bool | None
    """Whether the walls go all the way round; None where the plan does not say."""
    floor: Floor
    height: Length | None
    climate: Climate
    """The plan's climate, with the room's own air inside."""
    reached_by: tuple[Passage, ...]
    """The passages on the way to it."""
    reached_by_recorded: bool
    diagonals: tuple["Diagonal", ...]
    slopes: tuple["Slope", ...] = field(default=(), init=False)
    fixtures: tuple[Fixture, ...] = field(default=(), init=False)
    walls: tuple[Wall, ...] = field(default=(), init=False)
    ceiling: Ceiling | None = field(default=None, init=False)
    height_groups: tuple["HeightGroup", ...] = field(default=(), init=False)
    building: "Building" = field(init=False)
    """The building that it is a room of."""

    def outline(self, *, top: bool = False) -> geometry.Outline | None:
        """The outline at the floor, or at the top by the true turns; None where a length or a turn is missing."""
        lengths = [wall.length_at_top if top and wall.length_at_top else wall.length for wall in self.walls]
        turns = [wall.true_turn if top else wall.turn for wall in self.walls]
        if None in lengths or None in turns or not self.walls:
            return None
        return geometry.walk([length for length in lengths if length], [turn or 0.0 for turn in turns])

    @cached_property
    def fitted(self) -> geometry.TrueOutline | None:
        """The outline that fits walls and measured diagonals best; None where none are measured, or they cannot be."""
        outline, places = self.outline(), {wall: index for index, wall in enumerate(self.walls)}
        if not self.diagonals or outline is None or not self.is_closed:
            return None
        measured = [geometry.Diagonal(places[one.start], places[one.end], one.length) for one in self.diagonals]
        lengths, turns = [wall.length or 0.0 for wall in self.walls], [wall.turn or 0.0 for wall in self.walls]
        try:
            return geometry.true_outline(lengths, turns, measured)
        except ValueError:
            return None

    @cached_property
    def starts(self) -> dict[str, float]:
        """How far along the walk each wall begins (m), by its name; empty where a length is missing."""
        if any(wall.length is None for wall in self.walls):
            return {}
        ends = accumulate((wall.length or 0.0 for wall in self.walls), initial=0.0)
        return {wall.name: start for wall, start in zip(self.walls, ends, strict=False)}
