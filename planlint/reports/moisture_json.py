"""The schedule of outside walls for programs: version 1, whose form `schemas/moisture-1.json` describes."""

import json
from dataclasses import asdict

from planlint.circuit_records import Figure, Unknown
from planlint.moisture_records import Inside, LayerRow, MoistureSchedule, SurfaceCard, WallCard

Json = dict[str, object]


def render(schedule: MoistureSchedule, version: str) -> str:
    """The whole schedule as JSON; the same schedule gives the same text."""
    # Named one by one, in the order that people read them: what the records gain later is not promised to programs.
    report = {
        "moisture": 1,
        "tool": {"name": "planlint", "version": version},
        "plan": schedule.plan,
        "title": schedule.title,
        "digest": schedule.digest,
        "limits": list(schedule.limits),
        "overridden": list(schedule.overridden),
        "today": schedule.today,
        "place": schedule.place,
        "walls": [_wall(wall) for wall in schedule.walls],
        "not_outside": [{"place": place, "faces": faces} for place, faces in schedule.not_outside],
        "sources": [
            {
                "limit": one.name,
                "said": one.said or None,
                "set": one.set,
                "basis": one.basis,
                "source": one.source,
                "note": one.note or None,
            }
            for one in schedule.sources
        ],
        "left_out": schedule.left_out,
    }
    return json.dumps(report, ensure_ascii=False, indent=2) + "\n"


def _wall(wall: WallCard) -> Json:
    readings = wall.readings
    return {
        "place": wall.place,
        "lining": wall.lining,
        "undecided": wall.undecided,
        "standing": wall.standing,
        "reasons": list(wall.reasons),
        "readings": {
            "says": readings.says,
            "value": _figure(readings.value),
            "warn": _figure(readings.warn),
            "stop": _figure(readings.stop),
            "wet": readings.is_wet,
            "missing": list(readings.missing),
        },
        "inside": _unknown(wall.inside) if isinstance(wall.inside, Unknown) else _inside(wall.inside),
        "surface": _unknown(wall.surface) if isinstance(wall.surface, Unknown) else _surface(wall.surface),
        "vapour_layer": _figure(wall.vapour_layer),
    }


def _inside(found: Inside) -> Json:
    return {
        "climate": found.climate,
        "layers": [_row(row) for row in found.rows],
        "condensate": [
            {"where": one.where, "mass": _figure(one.mass), "allowed": _figure(one.allowed)} for one in found.water
        ],
        "total": _figure(found.total),
        "allowed": _figure(found.allowed),
        "can_dry": _figure(found.evaporates),
        "dries": found.dries,
        "months": [{"month": one.month, "mass": _figure(one.mass)} for one in found.months],
        "timber": [
            {
                "what": one.words,
                "where": one.where,
                "humidity": _figure(one.humidity),
                "moisture": _figure(one.moisture),
                "allowed": _figure(one.allowed),
                "within": one.is_within,
            }
            for one in found.timber
        ],
        "transmittance": _figure(found.transmittance),
        "working": {
            "formula": found.working.formula,
            "steps": [{"what": step.what, "how": step.how, "result": step.result} for step in found.working.steps],
            "limits": list(found.working.limits),
        },
    }


def _row(row: LayerRow) -> Json:
    return {
        "layer": row.words,
        "thickness": _figure(row.thickness),
        "conductivity": _figure(row.conductivity),
        "resistance": _figure(row.resistance),
        "sd": _figure(row.sd),
        "temperature": _figure(row.temperature),
        "saturation": _figure(row.saturation),
        "pressure": _figure(row.pressure),
        "humidity": _figure(row.humidity),
    }


def _surface(found: SurfaceCard) -> Json:
    return {
        "temperature": _figure(found.temperature),
        "humidity": _figure(found.humidity),
        "allowed": _figure(found.allowed),
        "within": found.is_within,
        "factor": found.factor,
        "least_factor": found.least_factor,
    }


def _unknown(unknown: Unknown) -> Json:
    return {"unknown": unknown.what, "missing": list(unknown.missing)}


def _figure(figure: Figure | None) -> Json | None:
    return None if figure is None else asdict(figure)
