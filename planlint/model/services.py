"""Circuits, the runs that feed them, the points on walls and ceilings, the boxes behind those, and pipes."""

from dataclasses import dataclass, field
from datetime import date
from functools import cached_property
from typing import ClassVar

from planlint import geometry
from planlint.model.rooms import Opening, Surface, Wall
from planlint.model.thing import Thing
from planlint.model.ways import DrawnWay, WaySpot, follow
from planlint.model.words import Cable, Curve, Earthing, Method, PipeKind, PointKind, Protection, Serves, Tested
from planlint.model.work import Task
from planlint.units import Area, Current, Length, Power, Pressure, Resistance, Temperature, Voltage, Volume

SUPPLY = "supply"
"""What runs call the distribution board."""

RUN_TAIL = Length(0.30, "m")
"""Cable left at each end of a run whose length is worked out (own decision, DEVELOPERS.md)."""


@dataclass(frozen=True, eq=False, repr=False, kw_only=True)
class Box(Thing):
    """A back box in use."""

    called: ClassVar[str] = "box"
    name: str
    hole: Length | None
    depth: Length | None
    clamps: tuple[Length, Length] | None
    """The thinnest and the thickest board that its clamps grip."""
    volume: Volume | None
    hole_saws: tuple[Length, ...] | None
    """The hole saws at hand; None where the plan does not list them."""

    @cached_property
    def others(self) -> tuple["Box", ...]:
        """The other boxes in use; the builder gives them. No field of the class: they are no facts of this one."""
        return ()


@dataclass(frozen=True, eq=False, repr=False, kw_only=True)
class Point(Thing):
    """A socket, switch, light or the like; `at` and `height` are those of its centre."""

    called: ClassVar[str] = "point"
    name: str
    on: Surface
    kind: PointKind
    at: Length | None
    height: Length | None
    circuit_name: str | None
    box: Box | None
    to_bottom: bool
    """Whether `height` is that of the plate's lower edge rather than of its centre."""
    gangs: int
    outlets: int
    vapour_sealed: bool | None
    """Whether its hole in the vapour layer is sealed."""
    recess: Length | None
    """How deep the wall behind it is hollowed out for its box."""
    ip: str | None
    """The degree of protection of its fitting (IEC 60529)."""
    voltage: Voltage | None
    """Its voltage where that is not the supply's."""
    downlight: "Downlight | None"
    from_walls: tuple[tuple[Wall, Length], ...]
    """How far it is from the walls that are named, where it is on a ceiling."""
    group: str | None
    backing: bool
    load: Power | None
    switched_by: tuple[str, ...] | None
    accessible: bool | None
    circuit: "Circuit | None" = field(default=None, init=False)
    switches: tuple["Point | None", ...] = field(default=(), init=False)
    """The points that `switched_by` names; None for one that is not there."""

    @property
    def wall(self) -> Wall | None:
        """The wall that it is on; None where it is on a ceiling."""
        return self.on if isinstance(self.on, Wall) else None

    def centre(self, plate: float) -> Length | None:
        """The height of its centre, where its plate is `plate` metres high."""
        if self.height is None or not self.to_bottom:
            return self.height
        return self.height.like(round(self.height + plate / 2, 9))  # without the noise of floats


@dataclass(frozen=True, slots=True)
class Downlight:
    """A light that is sunk into a ceiling or wall."""

    may_be_covered: bool | None
    clearance: Length | None


@dataclass(frozen=True, slots=True)
class PathSpot:
    """One spot of the way of a cable or pipe: a wall, the distance from its left end, and a height."""

    wall: Wall
    at: Length
    height: Length | None


@dataclass(frozen=True, slots=True)
class PipeSpot:
    """One spot of a pipe's way; `wall` is the place of the wall that it lies on."""

    wall: str
    at: Length | None
    height: Length | None


@dataclass(frozen=True, eq=False, repr=False, kw_only=True)
class Pipe(Thing):
    """A pipe that comes out of a wall or lies in it."""

    called: ClassVar[str] = "pipe"
    name: str
    wall: Wall
    kind: PipeKind
    at: Length | None
    height: Length | None
    outside: Length | None
    depth: Length | None
    """How deep it lies below the bare surface of the wall."""
    way: tuple[PipeSpot, ...]
    """The spots that it passes, as the plan gives them; empty where it does not."""
    tested: date | None
    """The day of its pressure test."""
    pressure: Pressure | None
    """The pressure of that test."""
    vapour_sealed: bool | None
    """Whether its hole in the vapour layer is sealed."""

    @property
    def comes_out(self) -> bool:
        """Whether it comes out of the wall, as far as is known: one with a way alone stays inside it."""
        return not self.way or self.at is not None or self.height is not None


@dataclass(frozen=True, slots=True)
class Conduit:
    """A conduit that wires are pulled into."""

    outside: Length | None
    bore: Length | None


@dataclass(frozen=True, eq=False, repr=False, kw_only=True)
class Run(Thing):
    """A cable from one point to the next. An end that is not in the plan is a name without a point."""

    called: ClassVar[str] = "run"
    circuit: "Circuit"
    start_name: str | None
    end_name: str
    start: Point | None
    end: Point | None
    length: Length | None
    section: Area | None
    """The section of its conductors: its own, else the circuit's."""
    wires: int | None
    """How many wires lie in it; None where it holds the circuit's own."""
    conduit: Conduit | None
    """Its own conduit, else the circuit's."""
    method: Method | None
    """How it lies: its own, else the circuit's; None where neither says so."""
    in_insulation: Length | None
    """The length of it that lies wholly in insulation: its own, else the circuit's."""
    path_spots: tuple[PathSpot, ...]
    """The way that it takes, spot by spot, where the plan draws it; between two spots it runs straight."""
    depth: Length | None
    """How deep it lies below the bare surface of the wall."""
    protected_by: Protection | None
    closes_loop: bool
    """Whether its ends were joined already by the runs before it."""

    @property
    def stands_alone(self) -> bool:
        """Whether the plan writes it among `runs`, with keys of its own, rather than in a chain."""
        return self.path[-2] == "runs"

    def key(self, name: str) -> str:
        """Path of one of its keys from the plan down; what a chain cannot hold wants the long form, `runs`."""
        if self.stands_alone:
            return f"{self.place}.{name}"
        return f"{self.circuit.place}.lengths.{self.end_name}" if name == "length" else f"{self.circuit.place}.runs"

    @property
    def known_length(self) -> Length | None:
        """Its length as recorded, else as worked out along the walls."""
        return self.length or self.length_from_walls

    @property
    def length_from_walls(self) -> Length | None:
        """Length along the walls; None where it cannot be worked out. Both ends keep a tail.

        It is that of the way as drawn, where that leads from end to end, else that of `_way`.
        """
        way = self.drawn if self.drawn and self.is_drawn_whole else self._way
        return Length(way.length + 2 * RUN_TAIL, RUN_TAIL.unit) if way else None

    @cached_property
    def drawn(self) -> DrawnWay | None:
        """Its way as the plan draws it, led on to those of its ends that are on walls; None where none is drawn."""
        spots: list[WaySpot] = [(spot.wall, spot.at, spot.height) for spot in self.path_spots]
        start, end = _way_spot(self.start), _way_spot(self.end)
        return follow([*([start] if start else []), *spots, *([end] if end else [])]) if spots else None

    @property
    def is_drawn_whole(self) -> bool:
        """Whether its way is drawn from end to end: not where it comes from the supply or ends on a ceiling."""
        return bool(self.drawn and self.drawn.is_whole and _way_spot(self.start) and _way_spot(self.end))

    @cached_property
    def surfaces(self) -> tuple[Surface, ...]:
        """The walls and ceilings behind which it runs, as far as the plan shows them."""
        ends = [point.on for point in (self.start, self.end) if point]
        if self.drawn:
            drawn = (*(spot.wall for spot in self.path_spots), *(stretch.wall for stretch in self.drawn.stretches))
            return tuple(dict.fromkeys((*ends, *drawn)))
        way = self._way
        if way is None:
            return tuple(ends)
        walls = ends[0].room.walls
        first, last = sorted(walls.index(wall) for wall in ends if isinstance(wall, Wall))
        return walls[last:] + walls[: first + 1] if way.passes_start else walls[first : last + 1]

    @property
    def shows_whole_way(self) -> bool:
        """Whether `surfaces` are all that it runs behind: a cable from the board or another room passes others."""
        if not (self.start and self.end):
            return False
        if self.drawn:
            return self.drawn.is_whole
        surfaces = {self.start.on, self.end.on}
        walls = [surface for surface in surfaces if isinstance(surface, Wall)]
        return self._way is not None or (len({surface.room for surface in surfaces}) == 1 and len(walls) <= 1)

    @cached_property
    def _way(self) -> geometry.Way | None:
        """Its way between two points on the walls of one closed room.

        None where a length, position or height is not known, those of the doors that it might pass among them.
        """
        spots = [spot for spot in (_spot(self.start), _spot(self.end)) if spot]
        if not (self.start and self.end and len(spots) == 2):  # noqa: PLR2004 - a run has two ends
            return None
        room = self.start.on.room
        if room is not self.end.on.room or not room.is_closed:
            return None
        doors = [door for wall in room.walls for door in wall.openings if door.reaches_floor]
        doorways = [doorway for doorway in map(_doorway, doors) if doorway]
        if len(doorways) < len(doors):
            return None
        around = sum(wall.length or 0.0 for wall in room.walls)
        return geometry.way_along_walls(spots[0], spots[1], around, doorways)


def _spot(point: Point | None) -> geometry.Spot | None:
    if point is None or point.wall is None or point.at is None or point.height is None:
        return None
    starts = point.wall.room.starts
    return geometry.Spot(starts[point.wall.name] + point.at, point.height) if starts else None


def _way_spot(point: Point | None) -> WaySpot | None:
    return (point.wall, point.at, point.height) if point and point.wall and point.at is not None else None


def _doorway(door: Opening) -> geometry.Doorway | None:
    if door.at is None or door.width is None or door.height is None:
        return None
    start = door.wall.room.starts[door.wall.name] + door.at
    return geometry.Doorway(start, start + door.width, (door.bottom or 0.0) + door.height)


@dataclass(frozen=True, slots=True)
class Conductors:
    """The colours of a circuit's conductors; several lines where the circuit has more than one phase."""

    line: tuple[str, ...]
    neutral: str | None
    earth: str | None
    switched: str | None
    """The wire from the switch to the light, where it has a colour of its own."""


@dataclass(frozen=True, slots=True)
class RecordedTest:
    """A test of a circuit, as recorded."""

    date: date | None
    kind: Tested | None
    value: Resistance | None
    voltage: Voltage | None


@dataclass(frozen=True, eq=False, repr=False, kw_only=True)
class Supply(Thing):
    """The supply at the distribution board; it bears on everything."""

    called: ClassVar[str] = "supply"
    earthing: Earthing | None
    voltage: Voltage | None
    loop_impedance: Resistance | None
    earth_resistance: Resistance | None
    fault_current: Current | None


@dataclass(frozen=True, eq=False, repr=False, kw_only=True)
class Circuit(Thing):
    """A circuit from its breaker to its points."""

    called: ClassVar[str] = "circuit"
    name: str
    serves: Serves | None
    supply: Supply
    breaker_rating: Current | None
    curve: Curve | None
    rcd: Current | None
    has_rcd: bool | None
    """Whether an RCD stands before it; None where that is not recorded."""
    section: Area | None
    earth_section: Area | None
    """The section of its protective earth; None where it is that of the other conductors."""
    cable: Cable | None
    ambient: Temperature | None
    grouped_with: tuple[str, ...]
    """The names of the circuits that share its conduit, chase or hole."""
    tests: tuple[RecordedTest, ...]
    tests_recorded: bool
    conductors: Conductors | None
    is_ring: bool
    also_sockets: int
    also_lights: int
    runs_recorded: bool
    points: tuple[Point, ...] = field(default=(), init=False)
    runs: tuple[Run, ...] = field(default=(), init=False)
    fed: frozenset[str] = field(default=frozenset(), init=False)
    """Names of the points that its runs reach from the supply."""
    perhaps_fed: frozenset[str] = field(default=frozenset(), init=False)
    """The same if every run whose beginning is not recorded came from what is fed."""
    tasks: tuple[Task, ...] = field(default=(), init=False)
    """The tasks of the order of work that are done where it runs."""
    neighbours: tuple["Circuit", ...] = field(default=(), init=False)
    """The circuits of the plan that share its conduit, chase or hole, whichever of them says so."""

    @property
    def thinnest(self) -> Area | None:
        """The thinnest section that is recorded of its conductors; a run may have its own."""
        sections = (self.section, *(run.section for run in self.runs))
        return min((section for section in sections if section is not None), default=None)

    @property
    def lines(self) -> int:
        """How many line conductors it has: one unless more colours are recorded."""
        return max(1, len(self.conductors.line)) if self.conductors else 1

    @property
    def usual_wires(self) -> int:
        """How many wires lie in a run that says nothing else: its lines, a neutral and an earth."""
        return self.lines + 2

    def points_of(self, *kinds: PointKind) -> list[Point]:
        """Its points of the wanted kinds."""
        return [point for point in self.points if point.kind in kinds]
