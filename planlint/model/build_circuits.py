"""Builds circuits: their runs from the short and the long form, what they reach, and which lie together."""

from collections import defaultdict, deque
from collections.abc import Iterator, Mapping
from itertools import count, pairwise
from typing import NamedTuple

from planlint.model.fields import Fields
from planlint.model.rooms import Wall
from planlint.model.services import (
    SUPPLY,
    Circuit,
    Conductors,
    Conduit,
    PathSpot,
    Point,
    RecordedTest,
    Run,
    Supply,
)
from planlint.model.thing import complete
from planlint.model.words import Cable, Curve, Method, Protection, Serves, Tested
from planlint.spans import Path
from planlint.units import Area, Current, Length, Resistance, Temperature, Voltage


class Known(NamedTuple):
    """What circuits refer to: points by name, walls by place."""

    points: Mapping[str, Point]
    walls: Mapping[str, Wall]


def build_circuits(root: Fields, supply: Supply, known: Known) -> dict[str, Circuit]:
    """The circuits of a plan by name, linked with the points that name them and with each other."""
    by_circuit: defaultdict[str | None, list[Point]] = defaultdict(list)
    for point in known.points.values():
        complete(point, switches=tuple(known.points.get(name) for name in point.switched_by or ()))
        by_circuit[point.circuit_name].append(point)
    circuits = {
        name: _circuit(name, fields, supply, known, by_circuit[name]) for name, fields in root.named("circuits")
    }
    beside: defaultdict[str, dict[str, Circuit]] = defaultdict(dict)
    for circuit in circuits.values():
        for name in circuit.grouped_with:
            if name in circuits and name != circuit.name:
                beside[circuit.name][name] = circuits[name]
                beside[name][circuit.name] = circuit
    for name, neighbours in beside.items():
        complete(circuits[name], neighbours=tuple(neighbours.values()))
    return circuits


def _circuit(name: str, fields: Fields, supply: Supply, known: Known, own: list[Point]) -> Circuit:
    breaker, also = fields.part("breaker"), fields.part("also_feeds")
    rcd = fields.text("rcd")
    circuit = Circuit(
        place=f"circuits.{name}",
        path=fields.path,
        name=name,
        supply=supply,
        serves=fields.word("serves", Serves),
        breaker_rating=breaker.quantity("rating", Current),
        curve=breaker.word("curve", Curve),
        rcd=fields.quantity("rcd", Current) if rcd not in (None, "none") else None,
        has_rcd=None if rcd is None else rcd != "none",
        section=fields.quantity("section", Area),
        earth_section=fields.quantity("earth_section", Area),
        conductors=_conductors(fields.part("conductors")) if "conductors" in fields else None,
        cable=fields.word("cable", Cable),
        ambient=fields.quantity("ambient", Temperature),
        grouped_with=fields.texts("grouped_with") or (),
        tests=tuple(
            RecordedTest(
                test.day("date"),
                test.word("kind", Tested),
                test.quantity("value", Resistance),
                test.quantity("voltage", Voltage),
            )
            for test in fields.items("tests")
        ),
        tests_recorded="tests" in fields,
        is_ring=bool(fields.flag("ring")),
        also_sockets=also.count("sockets", 0),
        also_lights=also.count("lights", 0),
        runs_recorded="chain" in fields or "runs" in fields,
    )
    runs = tuple(_runs(circuit, fields, known))
    complete(circuit, points=tuple(own), runs=runs, fed=_fed(runs, None), perhaps_fed=_fed(runs, SUPPLY))
    for point in own:
        complete(point, circuit=circuit)
    return circuit


def _conductors(fields: Fields) -> Conductors:
    def colours(key: str) -> tuple[str, ...]:
        return tuple(colour.replace("gray", "grey") for colour in fields.texts(key) or ())

    neutral, earth, switched = (next(iter(colours(key)), None) for key in ("neutral", "earth", "switched"))
    return Conductors(line=colours("line"), neutral=neutral, earth=earth, switched=switched)


class _Written(NamedTuple):
    """A run as the plan writes it: the path to it, its ends, and what it says of itself."""

    path: Path
    start: str | None
    end: str
    length: Length | None
    own: Fields


def _runs(circuit: Circuit, fields: Fields, known: Known) -> Iterator[Run]:
    """Runs in the plan's order; each knows whether those before it had joined its ends already."""
    joined: dict[str, str] = {}
    written = list(_written_runs(fields))
    ends = {run.end for run in written}
    used: set[str] = set()
    for path, start, end, length, own in written:
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
            start=known.points.get(start or ""),
            end=known.points.get(end),
            length=length,
            section=own.quantity("section", Area) or circuit.section,
            wires=own.count("wires", 0) or None,
            conduit=_conduit(own) or _conduit(fields),
            method=own.word("method", Method) or fields.word("method", Method),
            in_insulation=own.quantity("in_insulation", Length)
            if "in_insulation" in own
            else fields.quantity("in_insulation", Length),
            path_spots=tuple(_path(own, known.walls)),
            depth=own.quantity("depth", Length),
            protected_by=own.word("protected_by", Protection),
            closes_loop=closes_loop,
        )


def _path(fields: Fields, walls: Mapping[str, Wall]) -> Iterator[PathSpot]:
    for spot in fields.items("path"):
        wall, at = walls.get(spot.text("wall") or ""), spot.quantity("at", Length)
        if wall and at is not None:
            yield PathSpot(wall, at, spot.quantity("height", Length))


def _conduit(fields: Fields) -> Conduit | None:
    if "conduit" not in fields:
        return None
    conduit = fields.part("conduit")
    return Conduit(conduit.quantity("outside", Length), conduit.quantity("bore", Length))


def _written_runs(fields: Fields) -> Iterator[_Written]:
    """Each run, whether written in a chain or one by one.

    A length for a point that the chain leaves out is a run too: one whose beginning is not recorded.
    """
    stops, lengths = fields.texts("chain") or (), fields.part("lengths")
    nothing = Fields({}, fields.path, fields.faults)
    for index, (start, end) in enumerate(pairwise(stops), 1):
        yield _Written((*fields.path, "chain", index), start, end, lengths.quantity(end, Length), nothing)
    for end in lengths.data:
        if end not in stops:
            yield _Written((*lengths.path, end), None, end, lengths.quantity(end, Length), nothing)
    for run in fields.items("runs"):
        yield _Written(run.path, run.text("from"), run.text("to") or "", run.quantity("length", Length), run)


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
