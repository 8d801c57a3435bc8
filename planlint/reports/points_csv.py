"""The schedule of points as a table for other programs: a row a hole, or with the boards a row for each piece it is in.

Lengths are plain numbers in millimetres, as the heads say; what is not recorded is an empty cell, and its keys stand in
the last one.
"""

import csv
import io
from collections.abc import Iterator

from planlint.points_records import (
    BoxCard,
    CeilingPointCard,
    Figure,
    FittingCard,
    HoleCard,
    PieceHole,
    PointCard,
    PointsSchedule,
    Unknown,
    WallCard,
)
from planlint.units import scale

_COLUMNS = (
    *("place", "surface", "point", "kind", "hole", "from_left_mm", "from_right_mm", "height_now_mm"),
    *("height_finished_mm", "from_walls_mm", "box", "hole_diameter_mm", "box_depth_mm", "hole_saw_mm", "circuit"),
    *("backing", "recess_mm", "ip", "vapour_layer"),
)
_ON_PIECES = ("piece", "layer", "piece_from_left_mm", "piece_from_bottom_mm", "crosses_edge")
_MILLIMETRE = 0.001
Row = dict[str, object]


def render(schedule: PointsSchedule) -> str:
    """Comma-separated (RFC 4180), a heading first."""
    text = io.StringIO()
    columns = (*_COLUMNS, *(_ON_PIECES if schedule.on_pieces else ()), "missing")
    writer = csv.DictWriter(text, columns, restval="", extrasaction="ignore", lineterminator="\r\n")
    writer.writeheader()
    for wall in schedule.walls:
        writer.writerows(_on_wall(wall))
    for point in schedule.ceilings:
        writer.writerows(_on_ceiling(point))
    return text.getvalue()


def _on_wall(wall: WallCard) -> Iterator[Row]:
    for point in wall.points:
        for hole in point.holes:
            boards = [one for one in wall.pieces if (one.point, one.hole) == (point.name, hole.number)]
            yield from (_hole(wall, point, hole) | _in_piece(one) for one in boards)
            if not boards:
                yield _hole(wall, point, hole)


def _hole(wall: WallCard, point: PointCard, hole: HoleCard) -> Row:
    figures = (hole.left, hole.right, point.now, point.finished)
    names = ("from_left_mm", "from_right_mm", "height_now_mm", "height_finished_mm")
    found: Row = {"place": point.place, "surface": wall.place, "point": point.name, "kind": point.kind}
    found |= {"hole": hole.number, **{name: _mm(one) for name, one in zip(names, figures, strict=True)}}
    fitted, unknown = _fitting(point.fitting)
    return found | fitted | {"missing": _keys([*figures, *unknown])}


def _in_piece(one: PieceHole) -> Row:
    return {
        "piece": one.piece,
        "layer": one.layer,
        "piece_from_left_mm": _mm(one.left),
        "piece_from_bottom_mm": _mm(one.bottom),
        "crosses_edge": _yes(is_so=one.crosses_edge),
    }


def _on_ceiling(point: CeilingPointCard) -> Iterator[Row]:
    surface = point.place.rpartition(".")[0]
    where = "; ".join(f"{wall} {_mm(distance)}" for wall, distance in point.from_walls)
    fitted, unknown = _fitting(point.fitting)
    for number in range(1, point.gangs + 1):
        yield {
            "place": point.place,
            "surface": surface,
            "point": point.name,
            "kind": point.kind,
            "hole": number,
            "from_walls_mm": where,
            **fitted,
            "missing": _keys([point.unplaced, *unknown]),
        }


def _fitting(fitting: FittingCard) -> tuple[Row, list[object]]:
    box = fitting.box if isinstance(fitting.box, BoxCard) else None
    unknown: list[object] = [fitting.box, fitting.circuit, fitting.vapour]
    if box:
        unknown += [box.hole, box.depth, box.saw]
    return {
        "box": box.name if box else "" if fitting.box else "none",
        "hole_diameter_mm": _mm(box.hole) if box else "",
        "box_depth_mm": _mm(box.depth) if box else "",
        "hole_saw_mm": _mm(box.saw) if box and box.saw else "none" if box else "",
        "circuit": fitting.circuit if isinstance(fitting.circuit, str) else "",
        "backing": _yes(is_so=fitting.backing),
        "recess_mm": _mm(fitting.recess) if fitting.recess else "",
        "ip": fitting.ip or "",
        "vapour_layer": fitting.vapour if isinstance(fitting.vapour, str) else "",
    }, unknown


def _mm(found: Figure | Unknown) -> str:
    """A length in millimetres, to a tenth of one at most."""
    if isinstance(found, Unknown):
        return ""
    factor, _ = scale(found.unit)
    return f"{found.value * factor / _MILLIMETRE:.1f}".removesuffix(".0").replace("-0", "0", found.value == 0)


def _yes(*, is_so: bool) -> str:
    return "yes" if is_so else "no"


def _keys(found: list[object]) -> str:
    keys = (key for one in found if isinstance(one, Unknown) for key in one.missing)
    return " ".join(dict.fromkeys(keys))
