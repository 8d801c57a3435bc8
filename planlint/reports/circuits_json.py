"""The schedule of circuits for programs: version 1, whose form `schemas/circuits-1.json` describes."""

from planlint.circuit_records import Carrying, CircuitCard, CircuitSchedule, Drop, Loop, MetresLeft, OutletsLeft
from planlint.reports.sums_json import Json, figure, known, source, unknown, working, written
from planlint.sum_records import Unknown


def render(schedule: CircuitSchedule, version: str) -> str:
    """The whole schedule as JSON; the same schedule gives the same text."""
    # Named one by one, in the order that people read them: what the records gain later is not promised to programs.
    body: Json = {
        "place": schedule.place,
        "in_plan": schedule.in_plan,
        "schedule": [_circuit(circuit) for circuit in schedule.circuits],
        "sources": [source(one) for one in schedule.sources],
        "caution": schedule.caution,
    }
    return written("circuits", schedule, version, body)


def _circuit(circuit: CircuitCard) -> Json:
    return {
        "place": circuit.place,
        "serves": circuit.serves,
        "points": [
            {"name": fed.name, "kind": fed.kind, "outlets": fed.outlets, "place": fed.place} for fed in circuit.feeds
        ],
        "also_feeds": {"sockets": circuit.also_sockets, "lights": circuit.also_lights},
        "outlets": circuit.outlets,
        "breaker": {"rating": known(circuit.breaker), "curve": circuit.curve},
        "rcd": known(circuit.rcd),
        "section": known(circuit.section),
        "other_sections": [{"run": run, "section": known(section)} for run, section in circuit.other_sections],
        "earth_section": known(circuit.earth_section),
        "cable": circuit.cable,
        "ring": circuit.is_ring,
        "missing": list(circuit.unrecorded),
        "capacity": _capacity(circuit.capacity),
        "drop": _drop(circuit.drop),
        "loop": _loop(circuit.loop),
        "left": {
            "outlets": [_outlets(left) for left in circuit.outlets_left],
            "length": _length(circuit.metres_left),
            "has_to_carry": known(circuit.amperes_left.has_to_carry),
            "cable": known(circuit.amperes_left.cable),
            "breaker": known(circuit.amperes_left.breaker),
        },
    }


def _capacity(found: Carrying | Unknown) -> Json:
    if isinstance(found, Unknown):
        return unknown(found)
    return {
        "run": found.run,
        "lies": found.lying,
        "table": known(found.table),
        "carries": known(found.carried),
        "at_best": known(found.at_best),
        "missing": list(found.missing),
        "working": working(found.working),
    }


def _drop(found: Drop | Unknown) -> Json:
    if isinstance(found, Unknown):
        return unknown(found)
    return {
        "point": found.point,
        "length": known(found.way),
        "volts": known(found.volts),
        "share": known(found.share),
        "allowed": known(found.allowed),
        "within": found.is_within,
        "by_loads": found.by_loads,
        "working": working(found.working),
    }


def _loop(found: Loop | Unknown) -> Json:
    if isinstance(found, Unknown):
        return unknown(found)
    return {
        "point": found.point,
        "length": known(found.way),
        "impedance": known(found.ohms),
        "allowed": known(found.allowed),
        "within": found.is_within,
        "cleared_by": found.cleared_by,
        "working": working(found.working),
    }


def _outlets(found: OutletsLeft | Unknown) -> Json:
    if isinstance(found, Unknown):
        return unknown(found)
    return {"what": found.what, "fed": found.fed, "most": found.most, "left": found.left, "why": found.why}


def _length(found: MetresLeft | Unknown) -> Json:
    if isinstance(found, Unknown):
        return unknown(found)
    sooner = [unknown(one) for one in found.unknown]
    return {**figure(found.left), "to": found.to, "ends_by": found.ends_by, "or_sooner": sooner}
