"""Builds the model of a plan from data that has passed the schema."""

from collections import defaultdict, deque
from collections.abc import Iterator, Mapping
from itertools import count, pairwise
from typing import Any

from planlint.errors import PlanFaults
from planlint.model.build_rooms import RoomBuilder, base, layers
from planlint.model.buildups import Battens, Board, Lining, boards_of
from planlint.model.fields import Faults, Fields
from planlint.model.names import check_names
from planlint.model.plan import ConcessionEntry, Passage, Plan, ReviewEntry, Whole
from planlint.model.references import check_places, written_tasks
from planlint.model.rooms import Room, Surface, Task, Wall
from planlint.model.services import SUPPLY, Box, Circuit, Conductors, Point, Run
from planlint.model.thing import Thing, complete
from planlint.model.words import Serves
from planlint.source import Document
from planlint.units import Area, Current, Length

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
        self.boards = {name: _board(name, fields) for name, fields in root.named("boards")}
        hole_saws = root.part("tools").quantities("hole_saws", Length)
        self.boxes = {name: _box(name, fields, hole_saws) for name, fields in root.named("boxes")}
        self.bases = {name: base(fields, f"bases.{name}") for name, fields in root.named("bases")}
        self.linings = {name: self._lining(name, fields) for name, fields in root.named("linings")}
        self.passages = {
            name: Passage(place=f"access.{name}", path=fields.path, bears_on=EVERYWHERE)
            for name, fields in root.part("access").named("passages")
        }
        rooms = tuple(self._room(name, fields) for name, fields in root.named("rooms"))
        points = {point.name: point for room in rooms for surface in _surfaces(room) for point in surface.points}
        self.points_of: defaultdict[str | None, list[Point]] = defaultdict(list)
        for point in points.values():
            self.points_of[point.circuit_name].append(point)
        circuits = {name: self._circuit(name, fields, points) for name, fields in root.named("circuits")}
        plan = Plan(
            place="plan",
            path=(),
            title=root.text("title") or "",
            limits=root.data.get("limits"),
            wholes=tuple(
                Whole(place=name, path=(name,), bears_on=EVERYWHERE)
                for name in ("building", "supply", "access", "work")
            ),
            passages=tuple(self.passages.values()),
            boxes=self.boxes,
            boards=self.boards,
            bases=self.bases,
            linings=self.linings,
            circuits=circuits,
            tasks=tuple(self._tasks()),
            concessions=tuple(_concessions(root)),
            reviews=tuple(
                ReviewEntry(fields.text("rule") or "", fields.text("at") or "", fields.text("by") or "")
                for fields in root.items("reviews")
            ),
        )
        complete(plan, rooms=rooms)
        _bear(plan, rooms)
        _assign(plan.tasks, rooms)
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
        return RoomBuilder(self.boards, self.boxes, self.bases, self.linings).build(name, fields)

    def _circuit(self, name: str, fields: Fields, points: Mapping[str, Point]) -> Circuit:
        also = fields.part("also_feeds")
        circuit = Circuit(
            place=f"circuits.{name}",
            path=fields.path,
            name=name,
            serves=fields.word("serves", Serves),
            breaker_rating=fields.part("breaker").quantity("rating", Current),
            section=fields.quantity("section", Area),
            conductors=_conductors(fields.part("conductors")) if "conductors" in fields else None,
            is_ring=bool(fields.flag("ring")),
            also_sockets=also.count("sockets", 0),
            also_lights=also.count("lights", 0),
            runs_recorded="chain" in fields or "runs" in fields,
        )
        own = tuple(self.points_of[name])
        runs = tuple(_runs(circuit, fields, points))
        fed = {"fed": _fed(runs, None), "perhaps_fed": _fed(runs, SUPPLY)}
        complete(circuit, points=own, runs=runs, **fed)
        for point in own:
            complete(point, circuit=circuit)
        return circuit

    def _tasks(self) -> Iterator[Task]:
        for fields in written_tasks(self.root):
            places = (*(fields.texts("rooms") or ()), *(fields.texts("walls") or ()))
            yield Task(
                place=f"work.{fields.text('task')}",
                path=fields.path,
                bears_on=frozenset(places) or EVERYWHERE,
                name=fields.text("task") or "",
                kind=fields.text("kind") or "",
                done=fields.day("done"),
            )


def _board(name: str, fields: Fields) -> Board:
    return Board(
        place=f"boards.{name}",
        path=fields.path,
        name=name,
        kind=fields.text("kind"),
        type=fields.text("type"),
        width=fields.quantity("width", Length),
        length=fields.quantity("length", Length),
        thickness=fields.quantity("thickness", Length),
        edges=fields.text("edges"),
    )


def _box(name: str, fields: Fields, hole_saws: tuple[Length, ...] | None) -> Box:
    return Box(
        place=f"boxes.{name}",
        path=fields.path,
        name=name,
        hole=fields.quantity("hole", Length),
        hole_saws=hole_saws,
    )


def _conductors(fields: Fields) -> Conductors:
    def colours(key: str) -> tuple[str, ...]:
        return tuple(colour.replace("gray", "grey") for colour in fields.texts(key) or ())

    neutral, earth, switched = (next(iter(colours(key)), None) for key in ("neutral", "earth", "switched"))
    return Conductors(line=colours("line"), neutral=neutral, earth=earth, switched=switched)


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


def _runs(circuit: Circuit, fields: Fields, points: Mapping[str, Point]) -> Iterator[Run]:
    """Runs in the plan's order; each knows whether those before it had joined its ends already."""
    joined: dict[str, str] = {}
    written = list(_written_runs(fields))
    ends = {end for _, _, end, _, _ in written}
    used: set[str] = set()
    for path, start, end, length, section in written:
        # A second run to S3 is S3-2, unless there is a point of that name.
        further = (f"{end}-{number}" for number in count(2))
        label = next(name for name in further if name not in used | ends) if end in used else end
        used.add(label)
        closes_loop = start is not None and _root(joined, start) == _root(joined, end)
        if start is not None:
            joined[_root(joined, start)] = _root(joined, end)
        yield Run(
            place=f"{circuit.place}.run-to-{label}",
            path=path,
            circuit=circuit,
            start_name=start,
            end_name=end,
            start=points.get(start or ""),
            end=points.get(end),
            length=length,
            section=section or circuit.section,
            closes_loop=closes_loop,
        )


def _written_runs(fields: Fields) -> Iterator[tuple[Any, str | None, str, Length | None, Area | None]]:
    """Path, start, end, length and own section of each run, whether written as a chain or one by one.

    A length for a point that the chain leaves out is a run too: one whose beginning is not recorded.
    """
    stops, lengths = fields.texts("chain") or (), fields.part("lengths")
    for index, (start, end) in enumerate(pairwise(stops), 1):
        yield (*fields.path, "chain", index), start, end, lengths.quantity(end, Length), None
    for end in lengths.data:
        if end not in stops:
            yield (*lengths.path, end), None, end, lengths.quantity(end, Length), None
    for run in fields.items("runs"):
        ends = run.text("from"), run.text("to") or ""
        yield run.path, *ends, run.quantity("length", Length), run.quantity("section", Area)


def _root(joined: dict[str, str], name: str) -> str:
    while name in joined and joined[name] != name:
        name = joined[name]
    return name


def _fed(runs: tuple[Run, ...], beginning: str | None) -> frozenset[str]:
    """Names that the runs reach from the supply; where a run's beginning is not recorded, it is `beginning`."""
    beside: defaultdict[str, set[str]] = defaultdict(set)
    for run in runs:
        start = run.start_name or beginning
        if start is not None:
            beside[start].add(run.end_name)
            beside[run.end_name].add(start)
    reached, queue = {SUPPLY}, deque([SUPPLY])
    while queue:
        for name in beside[queue.popleft()] - reached:
            reached.add(name)
            queue.append(name)
    return frozenset(reached)


def _surfaces(room: Room) -> Iterator[Surface]:
    yield from room.walls
    if room.ceiling:
        yield room.ceiling


def _bear(plan: Plan, rooms: tuple[Room, ...]) -> None:
    """Say of what serves many walls which ones it bears on."""
    borne: defaultdict[Thing, set[str]] = defaultdict(set)
    for room in rooms:
        for surface in _surfaces(room):
            used: list[Thing | None] = [surface.lining, *boards_of(surface.existing)]
            used += [point.box for point in surface.points]
            if isinstance(surface, Wall):
                used += [surface.base, *(piece.board for piece in surface.pieces)]
            if surface.lining:
                used += surface.lining.boards
            for thing in used:
                if thing is not None:
                    borne[thing].add(surface.place)
    for circuit in plan.circuits.values():
        for run in circuit.runs:
            borne[run] = {surface.place for surface in run.surfaces}
            borne[circuit] |= borne[run]
        borne[circuit] |= {point.on.place for point in circuit.points}
    for thing, places in borne.items():
        complete(thing, bears_on=frozenset(places))


def _assign(tasks: tuple[Task, ...], rooms: tuple[Room, ...]) -> None:
    """Give each wall the tasks that are done on it: on itself, in its room, or everywhere."""
    by_place: defaultdict[str, list[Task]] = defaultdict(list)
    for task in tasks:
        for place in task.bears_on:
            by_place[place].append(task)
    for room in rooms:
        for wall in room.walls:
            complete(wall, tasks=(*by_place[""], *by_place[room.place], *by_place[wall.place]))
