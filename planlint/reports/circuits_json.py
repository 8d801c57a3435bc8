"""The schedule of circuits for programs: version 1, whose form `schemas/circuits-1.json` describes."""

import json

from planlint.circuit_records import (
    Carrying,
    CircuitCard,
    CircuitSchedule,
    Drop,
    Figure,
    Loop,
    MetresLeft,
    OutletsLeft,
    Source,
    Unknown,
    Working,
)

Json = dict[str, object]


def render(schedule: CircuitSchedule, version: str) -> str:
    """The whole schedule as JSON; the same schedule gives the same text."""
    # Named one by one, in the order that people read them: what the records gain later is not promised to programs.
    report = {
        "circuits": 1,
        "tool": {"name": "planlint", "version": version},
        "plan": schedule.plan,
        "title": schedule.title,
        "digest": schedule.digest,
        "limits": list(schedule.limits),
        "overridden": list(schedule.overridden),
        "place": schedule.place,
        "in_plan": schedule.in_plan,
        "schedule": [_circuit(circuit) for circuit in schedule.circuits],
        "sources": [_source(source) for source in schedule.sources],
        "caution": schedule.caution,
    }
    return json.dumps(report, ensure_ascii=False, indent=2) + "\n"


def _circuit(circuit: CircuitCard) -> Json:
    return {
        "place": circuit.place,
        "serves": circuit.serves,
        "points": [
            {"name": fed.name, "kind": fed.kind, "outlets": fed.outlets, "place": fed.place} for fed in circuit.feeds
        ],
        "also_feeds": {"sockets": circuit.also_sockets, "lights": circuit.also_lights},
        "outlets": circuit.outlets,
        "breaker": {"rating": _figure(circuit.breaker), "curve": circuit.curve},
        "rcd": _figure(circuit.rcd) if isinstance(circuit.rcd, Figure) else circuit.rcd,
        "section": _figure(circuit.section),
        "other_sections": [{"run": run, "section": _figure(section)} for run, section in circuit.other_sections],
        "earth_section": _figure(circuit.earth_section),
        "cable": circuit.cable,
        "ring": circuit.is_ring,
        "missing": list(circuit.unrecorded),
        "capacity": _capacity(circuit.capacity),
        "drop": _drop(circuit.drop),
        "loop": _loop(circuit.loop),
        "left": {
            "outlets": [_outlets(left) for left in circuit.outlets_left],
            "length": _length(circuit.metres_left),
            "has_to_carry": _figure(circuit.amperes_left.has_to_carry),
            "cable": _either(circuit.amperes_left.cable),
            "breaker": _either(circuit.amperes_left.breaker),
        },
    }


def _capacity(found: Carrying | Unknown) -> Json:
    if isinstance(found, Unknown):
        return _unknown(found)
    return {
        "run": found.run,
        "lies": found.lying,
        "table": _figure(found.table),
        "carries": _figure(found.carried),
        "at_best": _figure(found.at_best),
        "missing": list(found.missing),
        "working": _working(found.working),
    }


def _drop(found: Drop | Unknown) -> Json:
    if isinstance(found, Unknown):
        return _unknown(found)
    return {
        "point": found.point,
        "length": _figure(found.way),
        "volts": _figure(found.volts),
        "share": _figure(found.share),
        "allowed": _figure(found.allowed),
        "within": found.is_within,
        "by_loads": found.by_loads,
        "working": _working(found.working),
    }


def _loop(found: Loop | Unknown) -> Json:
    if isinstance(found, Unknown):
        return _unknown(found)
    return {
        "point": found.point,
        "length": _figure(found.way),
        "impedance": _figure(found.ohms),
        "allowed": _figure(found.allowed),
        "within": found.is_within,
        "cleared_by": found.cleared_by,
        "working": _working(found.working),
    }


def _outlets(found: OutletsLeft | Unknown) -> Json:
    if isinstance(found, Unknown):
        return _unknown(found)
    return {"what": found.what, "fed": found.fed, "most": found.most, "left": found.left, "why": found.why}


def _length(found: MetresLeft | Unknown) -> Json:
    if isinstance(found, Unknown):
        return _unknown(found)
    unknown = [_unknown(one) for one in found.unknown]
    return {**_known(found.left), "to": found.to, "ends_by": found.ends_by, "or_sooner": unknown}


def _either(found: Figure | Unknown) -> Json:
    return _unknown(found) if isinstance(found, Unknown) else _known(found)


def _unknown(unknown: Unknown) -> Json:
    return {"unknown": unknown.what, "missing": list(unknown.missing)}


def _figure(figure: Figure | None) -> Json | None:
    return None if figure is None else _known(figure)


def _known(figure: Figure) -> Json:
    return {"value": figure.value, "unit": figure.unit, "said": figure.said}


def _working(working: Working) -> Json:
    steps = [{"what": step.what, "how": step.how, "result": step.result} for step in working.steps]
    return {"formula": working.formula, "steps": steps, "limits": list(working.limits)}


def _source(source: Source) -> Json:
    return {
        "limit": source.name,
        "said": source.said or None,
        "set": source.set,
        "basis": source.basis,
        "source": source.source,
        "note": source.note or None,
    }
