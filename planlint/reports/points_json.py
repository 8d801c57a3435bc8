"""The schedule of points for programs: version 1, whose form `schemas/points-1.json` describes."""

import json
from dataclasses import asdict

from planlint.points_records import (
    BoxCard,
    CeilingPointCard,
    Figure,
    FittingCard,
    HoleCard,
    PieceHole,
    PointCard,
    PointsSchedule,
    RunCard,
    Unknown,
    WallCard,
)

Json = dict[str, object]


def render(schedule: PointsSchedule, version: str) -> str:
    """The whole schedule as JSON; the same schedule gives the same text."""
    # Named one by one, in the order that people read them: what the records gain later is not promised to programs.
    report = {
        "points": 1,
        "tool": {"name": "planlint", "version": version},
        "plan": schedule.plan,
        "title": schedule.title,
        "digest": schedule.digest,
        "limits": list(schedule.limits),
        "overridden": list(schedule.overridden),
        "place": schedule.place,
        "on_pieces": schedule.on_pieces,
        "walls": [_wall(wall, on_pieces=schedule.on_pieces) for wall in schedule.walls],
        "ceilings": [_on_ceiling(point) for point in schedule.ceilings],
        "runs": [_run(run) for run in schedule.runs],
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
        "caution": schedule.caution,
    }
    return json.dumps(report, ensure_ascii=False, indent=2) + "\n"


def _wall(wall: WallCard, *, on_pieces: bool) -> Json:
    pieces: Json = {
        "holes": [_in_piece(one) for one in wall.pieces],
        "unplaced": [_known(one) for one in wall.unplaced],
    }
    return {
        "place": wall.place,
        "length": _known(wall.length),
        "points": [_point(point) for point in wall.points],
        "pieces": pieces if on_pieces and wall.has_pieces else None,
    }


def _point(point: PointCard) -> Json:
    return {
        "place": point.place,
        "name": point.name,
        "kind": point.kind,
        "gangs": point.gangs,
        "from_left": _known(point.centre.left),
        "from_right": _known(point.centre.right),
        "height_now": _known(point.now),
        "height_finished": _known(point.finished),
        "holes": [_hole(hole) for hole in point.holes],
        **_fitting(point.fitting),
        "steps": [{"what": step.what, "how": step.how, "result": step.result} for step in point.steps],
    }


def _hole(hole: HoleCard) -> Json:
    return {"number": hole.number, "from_left": _known(hole.left), "from_right": _known(hole.right)}


def _on_ceiling(point: CeilingPointCard) -> Json:
    return {
        "place": point.place,
        "name": point.name,
        "kind": point.kind,
        "gangs": point.gangs,
        "from_walls": [{"wall": wall, "distance": _known(distance)} for wall, distance in point.from_walls],
        "unplaced": _known(point.unplaced),
        **_fitting(point.fitting),
    }


def _fitting(fitting: FittingCard) -> Json:
    box: object = _known(fitting.box) if isinstance(fitting.box, Unknown) else None
    if isinstance(fitting.box, BoxCard):
        box = {
            "name": fitting.box.name,
            "hole": _known(fitting.box.hole),
            "depth": _known(fitting.box.depth),
            "hole_saw": _known(fitting.box.saw),
        }
    return {
        "box": box,
        "circuit": _known(fitting.circuit),
        "circuit_in_plan": fitting.is_circuit_known,
        "backing": fitting.backing,
        "recess": _known(fitting.recess),
        "ip": fitting.ip,
        "vapour_layer": _known(fitting.vapour),
    }


def _in_piece(one: PieceHole) -> Json:
    return {
        "piece": one.piece,
        "layer": one.layer,
        "board": one.board,
        "point": one.point,
        "hole": one.hole,
        "from_left": _known(one.left),
        "from_bottom": _known(one.bottom),
        "diameter": _known(one.width),
        "crosses_edge": one.crosses_edge,
    }


def _run(run: RunCard) -> Json:
    return {
        "place": run.place,
        "circuit": run.circuit,
        "from": run.start,
        "to": run.end,
        "section": _known(run.section),
        "how": run.how,
        "said": run.said,
        "whole": run.is_whole,
        "spread": _known(run.spread),
        "ways": [
            {
                "wall": way.wall,
                "spots": [
                    {
                        "at": _known(spot.at),
                        "height_now": _known(spot.now),
                        "height_finished": _known(spot.finished),
                    }
                    for spot in way.spots
                ],
            }
            for way in run.ways
        ],
        "depth": _known(run.depth),
        "protected_by": run.protected_by,
        "length": _known(run.length),
        "missing": list(run.missing),
    }


def _known(found: Figure | Unknown | str | None) -> Json | str | None:
    """A figure, a word, or what is not recorded; null where there is nothing to say."""
    if isinstance(found, Unknown):
        return {"unknown": found.what, "missing": list(found.missing)}
    return asdict(found) if isinstance(found, Figure) else found
