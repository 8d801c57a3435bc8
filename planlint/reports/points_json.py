"""The schedule of points for programs: version 1, whose form `schemas/points-1.json` describes."""

from planlint.points_records import (
    BoxCard,
    CeilingPointCard,
    FittingCard,
    HoleCard,
    PieceHole,
    PointCard,
    PointsSchedule,
    RunCard,
    Unknown,
    WallCard,
)
from planlint.reports.sums_json import Json, known, source, steps, written


def render(schedule: PointsSchedule, version: str) -> str:
    """The whole schedule as JSON; the same schedule gives the same text."""
    # Named one by one, in the order that people read them: what the records gain later is not promised to programs.
    body: Json = {
        "place": schedule.place,
        "on_pieces": schedule.on_pieces,
        "walls": [_wall(wall, on_pieces=schedule.on_pieces) for wall in schedule.walls],
        "ceilings": [_on_ceiling(point) for point in schedule.ceilings],
        "runs": [_run(run) for run in schedule.runs],
        "sources": [source(one) for one in schedule.sources],
        "caution": schedule.caution,
    }
    return written("points", schedule, version, body)


def _wall(wall: WallCard, *, on_pieces: bool) -> Json:
    pieces: Json = {
        "holes": [_in_piece(one) for one in wall.pieces],
        "unplaced": [known(one) for one in wall.unplaced],
    }
    return {
        "place": wall.place,
        "length": known(wall.length),
        "points": [_point(point) for point in wall.points],
        "pieces": pieces if on_pieces and wall.has_pieces else None,
    }


def _point(point: PointCard) -> Json:
    return {
        "place": point.place,
        "name": point.name,
        "kind": point.kind,
        "gangs": point.gangs,
        "from_left": known(point.centre.left),
        "from_right": known(point.centre.right),
        "height_now": known(point.now),
        "height_finished": known(point.finished),
        "holes": [_hole(hole) for hole in point.holes],
        **_fitting(point.fitting),
        "steps": steps(point.steps),
    }


def _hole(hole: HoleCard) -> Json:
    return {"number": hole.number, "from_left": known(hole.left), "from_right": known(hole.right)}


def _on_ceiling(point: CeilingPointCard) -> Json:
    return {
        "place": point.place,
        "name": point.name,
        "kind": point.kind,
        "gangs": point.gangs,
        "from_walls": [{"wall": wall, "distance": known(distance)} for wall, distance in point.from_walls],
        "unplaced": known(point.unplaced),
        **_fitting(point.fitting),
    }


def _fitting(fitting: FittingCard) -> Json:
    box: object = known(fitting.box) if isinstance(fitting.box, Unknown) else None
    if isinstance(fitting.box, BoxCard):
        box = {
            "name": fitting.box.name,
            "hole": known(fitting.box.hole),
            "depth": known(fitting.box.depth),
            "hole_saw": known(fitting.box.saw),
        }
    return {
        "box": box,
        "circuit": known(fitting.circuit),
        "circuit_in_plan": fitting.is_circuit_known,
        "backing": fitting.backing,
        "recess": known(fitting.recess),
        "ip": fitting.ip,
        "vapour_layer": known(fitting.vapour),
    }


def _in_piece(one: PieceHole) -> Json:
    return {
        "piece": one.piece,
        "layer": one.layer,
        "board": one.board,
        "point": one.point,
        "hole": one.hole,
        "from_left": known(one.left),
        "from_bottom": known(one.bottom),
        "diameter": known(one.width),
        "crosses_edge": one.crosses_edge,
    }


def _run(run: RunCard) -> Json:
    return {
        "place": run.place,
        "circuit": run.circuit,
        "from": run.start,
        "to": run.end,
        "section": known(run.section),
        "how": run.how,
        "said": run.said,
        "whole": run.is_whole,
        "spread": known(run.spread),
        "ways": [
            {
                "wall": way.wall,
                "spots": [
                    {
                        "at": known(spot.at),
                        "height_now": known(spot.now),
                        "height_finished": known(spot.finished),
                    }
                    for spot in way.spots
                ],
            }
            for way in run.ways
        ],
        "depth": known(run.depth),
        "protected_by": run.protected_by,
        "length": known(run.length),
        "missing": list(run.missing),
    }
