"""Cable, wires, conduit and boxes, as the circuits and the points of a plan give them."""

from collections import Counter, defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Final

from planlint.model.services import Point, Run
from planlint.model.thing import Thing
from planlint.model.words import Cable, PointKind
from planlint.sums.working import Lacking
from planlint.takeoff_records import Wiring

__all__ = ["Wired", "wiring"]

BOXED: Final = (PointKind.SOCKET, PointKind.SWITCH)
"""What has a back box in any case; others may hang without one."""


@dataclass(slots=True)
class Wired:
    """What the circuits take, and what is not known of it."""

    wiring: Wiring
    boxes: dict[str, Counter[str]]
    """By room."""
    lacking: list[Lacking] = field(default_factory=list)
    assumed: list[str] = field(default_factory=list)


def wiring(things: Iterable[Thing]) -> Wired:
    """The quantities of the runs and points among these things."""
    things = tuple(things)
    cable: defaultdict[str, float] = defaultdict(float)
    wires: defaultdict[str, float] = defaultdict(float)
    conduit: defaultdict[str, float] = defaultdict(float)
    missing: dict[str, dict[str, None]] = {}
    derived = 0
    for run in (thing for thing in things if isinstance(thing, Run)):
        circuit, length = run.circuit, run.known_length
        tube = run.conduit.outside if run.conduit else None
        in_tube = circuit.cable is Cable.SINGLES or run.conduit is not None
        values = {
            run.key("length"): length,
            f"{circuit.place}.cable": circuit.cable,
            f"{circuit.place}.section": run.section,
            **({f"{circuit.place}.conduit.outside": tube} if in_tube else {}),
        }
        missing.setdefault(circuit.place, {}).update({key: None for key, value in values.items() if value is None})
        if length is None:
            continue
        derived += run.length is None
        if tube is not None:
            conduit[str(tube)] += length
        if run.section is None or circuit.cable is None:
            continue
        if circuit.cable is Cable.MULTICORE:
            cable[str(run.section)] += length
        else:
            count = run.wires or circuit.usual_wires
            wires[str(run.section)] += (count - 1) * length
            wires[str(circuit.earth_section or run.section)] += length
    boxes: defaultdict[str, Counter[str]] = defaultdict(Counter)
    unboxed = []
    for point in (thing for thing in things if isinstance(thing, Point)):
        if point.box:
            boxes[point.on.room.name][point.box.name] += point.gangs
        elif point.kind in BOXED:
            unboxed.append(f"{point.place}.box")
    lacking = [
        Lacking(f"all that it takes to reckon the cable of {place}", tuple(keys))
        for place, keys in missing.items()
        if keys
    ]
    lacking += [Lacking("the boxes of all sockets and switches", tuple(unboxed))] if unboxed else []
    whole = sum(boxes.values(), Counter())
    found = Wiring(dict(cable), dict(wires), dict(conduit), dict(sorted(whole.items())))
    said = "runs without a recorded length are measured along the walls, as `planlint circuits` does"
    return Wired(found, dict(boxes), lacking, [said] if derived else [])
