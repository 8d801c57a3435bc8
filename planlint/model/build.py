"""Builds the model of a plan from data that has passed the schema."""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping

from planlint.errors import PlanFaults
from planlint.model.access import Passage
from planlint.model.build_circuits import Known, build_circuits
from planlint.model.build_parts import air, base, layers
from planlint.model.build_rooms import RoomBuilder
from planlint.model.build_work import build_tasks, building
from planlint.model.buildups import Battens, Board, Lining, Offcut, Size, boards_of
from planlint.model.climate import Climate, Month
from planlint.model.fields import Faults, Fields
from planlint.model.fixtures import Fixture, OtherFace
from planlint.model.names import check_names
from planlint.model.plan import ConcessionEntry, Plan, ReviewEntry, Whole
from planlint.model.references import check_places
from planlint.model.rooms import Ceiling, Room, Surface, Wall
from planlint.model.services import Box, Circuit, Run, Supply
from planlint.model.thing import Thing, complete
from planlint.model.words import BoardKind, Earthing, Edges, PassageKind
from planlint.model.work import Task
from planlint.source import Document
from planlint.units import Current, Density, Length, Resistance, SurfaceMass, Voltage, Volume

EVERYWHERE = frozenset({""})


def build(document: Document) -> Plan:
    """Build the plan that `document` holds.

    Raises PlanFaults where it refers to a box, board, base, lining, passage or place that it does not hold, or
    names two things alike.
    """
    faults = Faults(document)
    check_names(document.data, faults)
    if faults.found:
        raise PlanFaults(faults.found)
    plan = _Builder(Fields(document.data, (), faults)).build()
    if faults.found:
        raise PlanFaults(faults.found)
    return plan


class _Builder:
    """Builds what serves the whole plan, hands the rooms to their own builder, then links the two."""

    def __init__(self, root: Fields) -> None:
        self.root = root

    def build(self) -> Plan:
        root = self.root
        people = root.part("access").count("people", 0) or None
        self.boards = {name: _board(name, fields, people) for name, fields in root.named("boards")}
        hole_saws = root.part("tools").quantities("hole_saws", Length)
        self.boxes = {name: _box(name, fields, hole_saws) for name, fields in root.named("boxes")}
        for box in self.boxes.values():
            complete(box, others=tuple(other for other in self.boxes.values() if other is not box))
        self.bases = {name: base(fields, f"bases.{name}") for name, fields in root.named("bases")}
        self.linings = {name: self._lining(name, fields) for name, fields in root.named("linings")}
        self.passages = {name: _passage(name, fields) for name, fields in root.part("access").named("passages")}
        self.climate = _climate(root.part("climate"))
        rooms = tuple(self._room(name, fields) for name, fields in root.named("rooms"))
        points = {point.name: point for room in rooms for surface in _surfaces(room) for point in surface.points}
        supply = _supply(root.part("supply"))
        walls = {wall.place: wall for room in rooms for wall in room.walls}
        circuits = build_circuits(root, supply, Known(points, walls))
        plan = Plan(
            place="plan",
            path=(),
            title=root.text("title") or "",
            limits=root.data.get("limits"),
            people=people,
            kerf=root.part("tools").quantity("kerf", Length),
            building=building(root.part("building")),
            wholes=tuple(Whole(place=name, path=(name,), bears_on=EVERYWHERE) for name in ("access", "work")),
            supply=supply,
            passages=tuple(self.passages.values()),
            boxes=self.boxes,
            boards=self.boards,
            bases=self.bases,
            linings=self.linings,
            circuits=circuits,
            tasks=build_tasks(root, {room.name: room for room in rooms}),
            concessions=tuple(_concessions(root)),
            reviews=tuple(
                ReviewEntry(fields.text("rule") or "", fields.text("at") or "", fields.text("by") or "")
                for fields in root.items("reviews")
            ),
        )
        complete(plan, rooms=rooms)
        _house(plan)
        _turn_round(root, walls)
        _bear(plan, rooms)
        _put_on(rooms)
        _assign(plan.tasks, rooms, plan.circuits.values())
        check_places(root, plan)
        return plan

    def _lining(self, name: str, fields: Fields) -> Lining:
        battens = fields.part("battens")
        return Lining(
            place=f"linings.{name}",
            path=fields.path,
            name=name,
            battens=Battens(
                spacing=battens.quantity("spacing", Length),
                width=battens.quantity("width", Length),
                depth=battens.quantity("depth", Length),
                treated=battens.flag("treated"),
                isolated_by=battens.text("isolated_by"),
            )
            if "battens" in fields
            else None,
            adhesive=(fields.part("adhesive").text("kind") or "") if "adhesive" in fields else None,
            layers=layers(fields, self.boards),
        )

    def _room(self, name: str, fields: Fields) -> Room:
        for index, passage in enumerate(fields.texts("reached_by") or ()):
            if passage not in self.passages:
                fields.unknown(
                    (*fields.path, "reached_by", index), passage, self.passages, "passage", "access: passages"
                )
        passages = tuple(self.passages[one] for one in fields.texts("reached_by") or () if one in self.passages)
        return RoomBuilder(self.boards, self.boxes, self.bases, self.linings, self.climate).build(
            name, fields, passages
        )


def _board(name: str, fields: Fields, people: int | None) -> Board:
    return Board(
        place=f"boards.{name}",
        path=fields.path,
        name=name,
        kind=fields.word("kind", BoardKind),
        type=fields.text("type"),
        width=fields.quantity("width", Length),
        length=fields.quantity("length", Length),
        thickness=fields.quantity("thickness", Length),
        edges=fields.word("edges", Edges),
        mass=fields.quantity("mass", SurfaceMass),
        density=fields.quantity("density", Density),
        stock=fields.count("stock", 0),
        cut_to=_size(fields.part("cut_to")),
        offcuts=tuple(
            Offcut(size, offcut.count("count", 1))
            for offcut in fields.items("offcuts")
            if (size := _size(offcut)) is not None
        ),
        people=people,
    )


def _size(fields: Fields) -> Size | None:
    width, length = fields.quantity("width", Length), fields.quantity("length", Length)
    return None if width is None or length is None else Size(width, length)


def _passage(name: str, fields: Fields) -> Passage:
    return Passage(
        place=f"access.{name}",
        path=fields.path,
        bears_on=EVERYWHERE,
        name=name,
        kind=fields.word("kind", PassageKind),
        width=fields.quantity("width", Length),
        width_beyond=fields.quantity("width_beyond", Length),
        headroom=fields.quantity("headroom", Length),
    )


def _climate(fields: Fields) -> Climate:
    return Climate(
        air(fields.part("inside")),
        air(fields.part("outside")),
        tuple(Month(air(month.part("inside")), air(month.part("outside"))) for month in fields.items("months")),
    )


def _box(name: str, fields: Fields, hole_saws: tuple[Length, ...] | None) -> Box:
    return Box(
        place=f"boxes.{name}",
        path=fields.path,
        name=name,
        hole=fields.quantity("hole", Length),
        depth=fields.quantity("depth", Length),
        clamps=_pair(fields.quantities("clamps", Length)),
        volume=fields.quantity("volume", Volume),
        hole_saws=hole_saws,
    )


def _pair(lengths: tuple[Length, ...] | None) -> tuple[Length, Length] | None:
    return (min(lengths), max(lengths)) if lengths else None


def _turn_round(root: Fields, walls: Mapping[str, Wall]) -> None:
    """Link the two faces of a wall between rooms; one of them says so, with left and right as seen from there."""
    for name, room in root.named("rooms"):
        for written in room.items("walls"):
            part = written.part("back_of")
            wall, other = walls[f"{name}.{written.text('wall')}"], walls.get(part.text("wall") or "")
            if other is None:
                continue
            offset = part.quantity("offset", Length) or Length(0.0, "m")
            complete(wall, other_face=OtherFace(other, offset, other.length))
            if other.other_face is None:
                complete(other, other_face=OtherFace(wall, offset, other.length))


def _supply(fields: Fields) -> Supply:
    return Supply(
        place="supply",
        path=fields.path,
        bears_on=EVERYWHERE,
        earthing=fields.word("earthing", Earthing),
        voltage=fields.quantity("voltage", Voltage),
        loop_impedance=fields.quantity("loop_impedance", Resistance),
        earth_resistance=fields.quantity("earth_resistance", Resistance),
        fault_current=fields.quantity("fault_current", Current),
    )


def _concessions(root: Fields) -> Iterator[ConcessionEntry]:
    for fields in root.items("concessions"):
        until = fields.day("until")
        if until is not None:
            yield ConcessionEntry(
                place="plan",
                path=fields.path,
                bears_on=frozenset({fields.text("at") or ""}),
                rule=fields.text("rule") or "",
                at=fields.text("at") or "",
                reason=fields.text("reason") or "",
                agreed_by=fields.text("agreed_by") or "",
                until=until,
            )


def _surfaces(room: Room) -> Iterator[Surface]:
    yield from room.walls
    if room.ceiling:
        yield room.ceiling
    yield from room.slopes


def _bear(plan: Plan, rooms: tuple[Room, ...]) -> None:
    """Say of what serves many walls which ones it bears on."""
    borne: defaultdict[Thing, set[str]] = defaultdict(set)
    for surface in (surface for room in rooms for surface in _surfaces(room)):
        for thing in _used(surface):
            if thing is not None:
                borne[thing].add(surface.place)
    for circuit in plan.circuits.values():
        for run in circuit.runs:
            borne[run] = {surface.place for surface in run.surfaces}
            borne[circuit] |= borne[run]
        borne[circuit] |= {point.on.place for point in circuit.points}
    for thing, places in borne.items():
        complete(thing, bears_on=frozenset(places))


def _used(surface: Surface) -> Iterator[Thing | None]:
    """What a surface is made of, lined with, and carries."""
    yield surface.lining
    yield from boards_of(surface.existing)
    yield from (point.box for point in surface.points)
    if isinstance(surface, Wall | Ceiling):
        yield surface.base
    yield from _hung(surface)


def _hung(surface: Surface) -> tuple[Board, ...]:
    """The boards that are hung on a surface: those of its lining, and those of its pieces."""
    boards = surface.lining.boards if surface.lining else ()
    return (*boards, *(piece.board for piece in surface.pieces)) if isinstance(surface, Wall) else boards


def _put_on(rooms: tuple[Room, ...]) -> None:
    """Give each lining the surfaces that it is put on, and each board the rooms that it is hung in."""
    lined: defaultdict[Lining, list[Thing]] = defaultdict(list)
    hung: defaultdict[Board, dict[Room, None]] = defaultdict(dict)
    for surface in (surface for room in rooms for surface in _surfaces(room)):
        if surface.lining:
            lined[surface.lining].append(surface)
        for board in _hung(surface):
            hung[board][surface.room] = None
    for lining, surfaces in lined.items():
        complete(lining, surfaces=tuple(surfaces))
    for board, used_in in hung.items():
        complete(board, rooms=tuple(used_in))


def _house(plan: Plan) -> None:
    """Give each room its building, and each task the rooms that it is done in."""
    for room in plan.rooms:
        complete(room, building=plan.building)
    for task in plan.tasks:
        names = {place.partition(".")[0] for place in task.bears_on}
        complete(task, rooms=tuple(room for room in plan.rooms if task.is_everywhere or room.name in names))


def _assign(tasks: tuple[Task, ...], rooms: tuple[Room, ...], circuits: Iterable[Circuit]) -> None:
    """Give each wall the tasks that are done on it and the cables behind it, each circuit the tasks where it runs."""
    by_place: defaultdict[str, list[Task]] = defaultdict(list)
    for task in tasks:
        for place in task.bears_on:
            by_place[place].append(task)
    behind: defaultdict[Surface, list[Run]] = defaultdict(list)
    for circuit in circuits:
        for run in circuit.runs:
            for surface in run.surfaces:
                behind[surface].append(run)
        places = ["", *circuit.bears_on, *{place.partition(".")[0] for place in circuit.bears_on}]
        complete(circuit, tasks=tuple({task: None for place in places for task in by_place[place]}))
    for room in rooms:
        complete(room.floor, tasks=(*by_place[""], *by_place[room.place]))
        at_wall: defaultdict[Wall, list[Fixture]] = defaultdict(list)
        for fixture in room.fixtures:
            if fixture.wall:
                at_wall[fixture.wall].append(fixture)
        for wall in room.walls:
            found = (*by_place[""], *by_place[room.place], *by_place[wall.place])
            complete(wall, tasks=found, runs=tuple(behind[wall]), fixtures=tuple(at_wall[wall]))
