"""The schedule of points for people: a table a wall to mark it from, the holes in its boards, where the cables lie."""

from collections.abc import Iterable, Iterator, Sequence

from planlint.points_records import (
    BoxCard,
    CeilingPointCard,
    Figure,
    FittingCard,
    PieceHole,
    PointCard,
    PointsSchedule,
    RunCard,
    SpotCard,
    Unknown,
    Vapour,
    WallCard,
)
from planlint.reports.page import Page, Tone, count, listing, sentence, to_add
from planlint.reports.sums_text import head, origins

_HEADS = ("point", "from left", "from right", "up now", "finished")
_BOARD_HEADS = ("piece", "hole for", "from left", "from bottom", "wide")
_VAPOUR = {
    Vapour.SEALED: "vapour layer sealed",
    Vapour.OPEN: "vapour layer not sealed",
    Vapour.NOT_REACHED: "the box ends before the vapour layer",
    Vapour.NONE: "no vapour layer recorded",
}
_GAP = "  "
_WHERE = (
    "To the centre, in the plan's units: from the left and right end of the bare wall, facing it; up from the floor as "
    "it is now, and from the finished one."
)
_ON_BOARDS = (
    "To the centre of each hole, from the left edge of the piece at that height and from its lower edge, seen from the "
    "room."
)


def render(schedule: PointsSchedule, page: Page, *, show_working: bool = False) -> str:
    """Every wall with its points; with `show_working` how each mark comes about, and where the figures come from."""
    return "\n\n".join(_parts(schedule, page, show_working=show_working)) + "\n"


def _parts(schedule: PointsSchedule, page: Page, *, show_working: bool) -> Iterator[str]:
    said = f"{_shown(schedule)}, by the limits {listing(schedule.limits)}."
    yield "\n".join((*head(schedule, page, said), *([page.paragraph(_WHERE)] if schedule.walls else [])))
    for wall in schedule.walls:
        yield "\n".join(_wall(wall, page, show_working=show_working))
        if schedule.on_pieces and wall.has_pieces:
            yield "\n".join(_boards(wall, page))
    bare = [wall.place for wall in schedule.walls if not wall.has_pieces]
    if schedule.on_pieces and bare:
        keys = ", ".join(f"{place}.pieces" for place in bare)
        yield page.paragraph(f"No pieces of board are recorded for {listing(bare)} (add {keys}).")
    if schedule.ceilings:
        lines = [page.paragraph(_ceiling_point(point), 4, "  ") for point in schedule.ceilings]
        yield "\n".join((page.tone("On ceilings", Tone.HEADING), *lines))
    yield "\n".join(_cables(schedule, page))
    if show_working and schedule.sources:
        yield origins(schedule.sources, page)
    yield "\n".join((page.tone("Take care", Tone.HEADING), page.paragraph(schedule.caution, 2, "  ")))


def _shown(schedule: PointsSchedule) -> str:
    if not schedule.points_in_plan:
        return "It records no points; `planlint words point` says how one is written"
    if schedule.place is None:
        return count(schedule.points_in_plan, "point")
    number = sum(len(wall.points) for wall in schedule.walls) + len(schedule.ceilings)
    shown = f"{number or 'none'} of its {count(schedule.points_in_plan, 'point')}"
    return f"{shown[:1].upper()}{shown[1:]}, as far as they lie under {schedule.place} or bear on it"


def _wall(wall: WallCard, page: Page, *, show_working: bool) -> Iterator[str]:
    length = f"{wall.length.said} long" if isinstance(wall.length, Figure) else "its length is not recorded"
    yield page.tone(page.paragraph(f"{wall.place.replace('.', ', ')}: {length}"), Tone.HEADING)
    rows = [row for point in wall.points for row in _rows(point)]
    lines = _table(_HEADS, rows, page)
    yield next(lines)
    for point in wall.points:
        for _ in _rows(point):
            yield next(lines)
        yield page.paragraph(_described(point), 6)
        if show_working:
            yield from (page.paragraph(f"{one.what}: {one.how} = {one.result}", 8, "      ") for one in point.steps)


def _rows(point: PointCard) -> Iterator[tuple[str, ...]]:
    """A row for the middle of the plate, and one a hole where there are several."""
    heights = (_cell(point.now), _cell(point.finished))
    yield (point.name, _cell(point.centre.left), _cell(point.centre.right), *heights)
    if point.gangs > 1:
        yield from ((f"  hole {hole.number}", _cell(hole.left), _cell(hole.right), *heights) for hole in point.holes)


def _cell(found: Figure | Unknown) -> str:
    return found.said if isinstance(found, Figure) else "?"


def _table(heads: Sequence[str], rows: Sequence[tuple[str, ...]], page: Page) -> Iterator[str]:
    widths = [max(len(row[column]) for row in (heads, *rows)) for column in range(len(heads))]
    yield page.tone(_line(heads, widths), Tone.QUIET)
    yield from (_line(row, widths) for row in rows)


def _line(cells: Sequence[str], widths: Sequence[int]) -> str:
    """Names to the left, figures to the right."""
    first, *others = [
        cell.ljust(width) if column == 0 else cell.rjust(width)
        for column, (cell, width) in enumerate(zip(cells, widths, strict=True))
    ]
    return f"  {_GAP.join((first, *others))}".rstrip()


def _described(point: PointCard) -> str:
    kind = point.kind if point.gangs == 1 else f"{point.kind} with {point.gangs} holes, above them the middle"
    unplaced = dict.fromkeys(
        one for one in (point.centre.left, point.centre.right, point.now, point.finished) if isinstance(one, Unknown)
    )
    said = {key for one in unplaced for key in one.missing}
    vapour = point.fitting.vapour
    again = isinstance(vapour, Unknown) and said.issuperset(vapour.missing)
    fitting = list(_fitting(point.fitting))[: -1 if again else None]
    return sentence("; ".join((kind.capitalize(), *map(_unknown, unplaced), *fitting)))


def _fitting(fitting: FittingCard) -> Iterator[str]:
    if isinstance(fitting.box, Unknown):
        yield _unknown(fitting.box)
    else:
        yield "no box" if fitting.box is None else _box(fitting.box)
    if isinstance(fitting.circuit, Unknown):
        yield _unknown(fitting.circuit)
    else:
        yield f"circuit {fitting.circuit}{'' if fitting.is_circuit_known else ', which the plan does not hold'}"
    yield "backing behind the board" if fitting.backing else "no backing"
    if fitting.recess:
        yield f"hollow of {fitting.recess.said} in the wall behind"
    if fitting.ip:
        yield fitting.ip
    yield _unknown(fitting.vapour) if isinstance(fitting.vapour, Unknown) else _VAPOUR[fitting.vapour]


def _box(box: BoxCard) -> str:
    hole = f"hole {box.hole.said}" if isinstance(box.hole, Figure) else _unknown(box.hole)
    depth = f"{box.depth.said} deep" if isinstance(box.depth, Figure) else _unknown(box.depth)
    if isinstance(box.saw, Figure):
        saw = f"saw {box.saw.said}"
    elif box.saw is None:
        saw = "no hole saw at hand fits"
    else:
        saw = _unknown(box.saw)
    told = (hole, depth) if isinstance(box.saw, Unknown) and isinstance(box.hole, Unknown) else (hole, saw, depth)
    return f"box {box.name} ({', '.join(told)})"


def _boards(wall: WallCard, page: Page) -> Iterator[str]:
    yield page.tone(page.paragraph(f"Holes in the boards of {wall.place.replace('.', ', ')}"), Tone.HEADING)
    if wall.pieces:
        layers = len({hole.layer for hole in wall.pieces}) > 1
        yield from _table(_BOARD_HEADS, [_on_board(hole, layers=layers) for hole in wall.pieces], page)
        yield page.paragraph(_ON_BOARDS, 2)
    elif not wall.unplaced:
        yield page.paragraph("None of its points lies on a recorded piece.", 2)
    yield from (
        page.paragraph(f"{hole.point} crosses the edge of {hole.name}: a part of its hole is beyond it.", 4, "  ")
        for hole in wall.pieces
        if hole.crosses_edge
    )
    widths = dict.fromkeys(hole.width for hole in wall.pieces if isinstance(hole.width, Unknown))
    yield from (page.paragraph(f"{sentence(_unknown(one))}", 4, "  ") for one in (*wall.unplaced, *widths))


def _on_board(hole: PieceHole, *, layers: bool) -> tuple[str, ...]:
    name = f"{hole.name}, layer {hole.layer}" if layers else hole.name
    point = f"{hole.point}, {hole.hole}"
    return (name, point, hole.left.said, hole.bottom.said, _cell(hole.width))


def _ceiling_point(point: CeilingPointCard) -> str:
    where = listing([f"{distance.said} from {wall}" for wall, distance in point.from_walls]) if point.from_walls else ""
    told = [where] if where else []
    told += [_unknown(point.unplaced)] if point.unplaced else []
    return sentence(f"{point.place.replace('.', ', ')} ({point.kind}): {'; '.join((*told, *_fitting(point.fitting)))}")


def _cables(schedule: PointsSchedule, page: Page) -> Iterator[str]:
    yield page.tone("Where the cables lie", Tone.HEADING)
    if not schedule.runs:
        yield page.paragraph("The plan records no run of a cable here; one lies behind every point all the same.", 2)
    for run in schedule.runs:
        yield page.paragraph(_run(run), 4, "  ")
        for way in run.ways:
            yield page.paragraph(f"{way.wall}: {'; '.join(_spots(way.spots))}", 8, "      ")


def _run(run: RunCard) -> str:
    start = run.start or "a point that is not recorded"
    section = f", {run.section.said}" if run.section else ""
    told = [f"circuit {run.circuit}, {start} to {run.end}{section}: {run.said}"]
    if run.how and not run.is_whole and run.how != "drawn":
        told.append("not all of its way")
    told.append(f"{run.depth.said} below the bare wall" if isinstance(run.depth, Figure) else "depth not recorded")
    told.append(f"guarded by {run.protected_by.replace('-', ' ')}" if run.protected_by else "no guard recorded")
    keys = dict.fromkeys((*run.missing, *(run.depth.missing if isinstance(run.depth, Unknown) else ())))
    return sentence("; ".join(told) + (to_add(keys)))


def _spots(spots: Iterable[SpotCard]) -> Iterator[str]:
    for spot in spots:
        if isinstance(spot.now, Figure):
            yield f"{spot.at.said} along, {spot.now.said} up now"
        else:
            # What is not known of the floor is one of the two heights, never both.
            yield f"{spot.at.said} along, {_cell(spot.finished)} above the finished floor"


def _unknown(unknown: Unknown) -> str:
    if not unknown.missing:
        return f"not worked out: {unknown.what}"
    return f"not recorded: {unknown.what}{to_add(unknown.missing)}"
