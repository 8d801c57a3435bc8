"""The schedule of outside walls for programs: version 1, whose form `schemas/moisture-1.json` describes."""

from planlint.moisture_records import Inside, LayerRow, MoistureSchedule, SurfaceCard, WallCard
from planlint.reports.sums_json import Json, known, source, unknown, working, written
from planlint.sum_records import Unknown


def render(schedule: MoistureSchedule, version: str) -> str:
    """The whole schedule as JSON; the same schedule gives the same text."""
    # Named one by one, in the order that people read them: what the records gain later is not promised to programs.
    body: Json = {
        "today": schedule.today,
        "place": schedule.place,
        "walls": [_wall(wall) for wall in schedule.walls],
        "not_outside": [{"place": place, "faces": faces} for place, faces in schedule.not_outside],
        "sources": [source(one) for one in schedule.sources],
        "left_out": schedule.left_out,
    }
    return written("moisture", schedule, version, body)


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
            "value": known(readings.value),
            "warn": known(readings.warn),
            "stop": known(readings.stop),
            "wet": readings.is_wet,
            "missing": list(readings.missing),
        },
        "inside": unknown(wall.inside) if isinstance(wall.inside, Unknown) else _inside(wall.inside),
        "surface": unknown(wall.surface) if isinstance(wall.surface, Unknown) else _surface(wall.surface),
        "vapour_layer": known(wall.vapour_layer),
    }


def _inside(found: Inside) -> Json:
    return {
        "climate": found.climate,
        "layers": [_row(row) for row in found.rows],
        "condensate": [
            {"where": one.where, "mass": known(one.mass), "allowed": known(one.allowed)} for one in found.water
        ],
        "total": known(found.total),
        "allowed": known(found.allowed),
        "can_dry": known(found.evaporates),
        "dries": found.dries,
        "months": [{"month": one.month, "mass": known(one.mass)} for one in found.months],
        "timber": [
            {
                "what": one.words,
                "where": one.where,
                "humidity": known(one.humidity),
                "moisture": known(one.moisture),
                "allowed": known(one.allowed),
                "within": one.is_within,
            }
            for one in found.timber
        ],
        "transmittance": known(found.transmittance),
        "working": working(found.working),
    }


def _row(row: LayerRow) -> Json:
    return {
        "layer": row.words,
        "thickness": known(row.thickness),
        "conductivity": known(row.conductivity),
        "resistance": known(row.resistance),
        "sd": known(row.sd),
        "temperature": known(row.temperature),
        "saturation": known(row.saturation),
        "pressure": known(row.pressure),
        "humidity": known(row.humidity),
    }


def _surface(found: SurfaceCard) -> Json:
    return {
        "temperature": known(found.temperature),
        "humidity": known(found.humidity),
        "allowed": known(found.allowed),
        "within": found.is_within,
        "factor": found.factor,
        "least_factor": found.least_factor,
    }
