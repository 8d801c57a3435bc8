"""The points of a plan, as they are marked on the bare walls and on the boards, and where every cable lies."""

from collections import defaultdict
from collections.abc import Iterator, Sequence
from datetime import date
from typing import Final

from planlint import points_records as records
from planlint.inspection import limits_of, plan_of, things_at
from planlint.model.rooms import Floor, Wall
from planlint.model.services import SUPPLY, Box, Point, Run
from planlint.model.words import HeightsFrom
from planlint.registry import Rulebook
from planlint.rule import Given
from planlint.schedules.figures import figure, known, overridden, source
from planlint.source import Document
from planlint.sum_records import Figure, StepCard, Unknown
from planlint.sums.boxes import BOXED, lining_in_front
from planlint.sums.holes import (
    LIMITS_OF_HOLES,
    LIMITS_OF_HOLES_ON_PIECES,
    Hole,
    HoleInPiece,
    above_bare,
    above_finished,
    centre_of,
    from_right,
    holes_of,
    holes_on_pieces,
    saw_for,
)
from planlint.sums.paths import LIMITS_OF_PATHS, CablePath, path_of
from planlint.sums.vapour_layer import film_depth
from planlint.sums.working import Lacking, tidy
from planlint.units import Length, Quantity, at_most

CAUTION: Final = (
    "Before a hole is cut or anything is drilled, go over the spot with a detector and switch off what may lie behind "
    "it: the walls may hold what this plan does not. A way that is not drawn was worked out and never measured; draw "
    "it, measure its depth and photograph it before the wall is closed. In many places fixed wiring is licensed work, "
    "and the local code decides where a point and a cable may be."
)
"""What is said beside every schedule of points."""
_LIMITS: Final = tuple(
    dict.fromkeys((*LIMITS_OF_HOLES, *LIMITS_OF_HOLES_ON_PIECES, *LIMITS_OF_PATHS, "vapour_layer_sd"))
)


def points(
    document: Document,
    rulebook: Rulebook,
    limits: str | None = None,
    place: str | None = None,
    *,
    on_pieces: bool = False,
) -> records.PointsSchedule:
    """The points of a plan that lie under `place` or bear on it, by the limit set `limits` or the plan's own.

    Raises PlanFaults where it cannot be read as a plan, UsageError for a place that it does not hold, LimitError for
    a limit set that there is not.
    """
    plan = plan_of(document)
    in_force = limits_of(document, plan, rulebook, limits)
    given = Given(in_force, date.min, _LIMITS)  # no sum goes by the day
    asked, things = things_at(plan, place), list(plan.things())
    found = [thing for thing in asked if isinstance(thing, Point)]
    on_wall: defaultdict[Wall, list[Point]] = defaultdict(list)
    for point in found:
        if point.wall:
            on_wall[point.wall].append(point)
    return records.PointsSchedule(
        plan=document.file,
        title=plan.title,
        digest=document.digest,
        limits=in_force.names,
        overridden=overridden(in_force),
        place=place,
        on_pieces=on_pieces,
        points_in_plan=sum(isinstance(thing, Point) for thing in things),
        walls=tuple(_wall(wall, some, given, on_pieces=on_pieces) for wall, some in on_wall.items()),
        ceilings=tuple(_on_ceiling(point, given) for point in found if point.wall is None),
        runs_in_plan=sum(isinstance(thing, Run) for thing in things),
        runs=tuple(_run(thing, given) for thing in asked if isinstance(thing, Run)),
        sources=tuple(source(name, in_force) for name in _used(found, on_pieces=on_pieces)),
        caution=CAUTION,
    )


def _used(found: Sequence[Point], *, on_pieces: bool) -> Iterator[str]:
    if any(point.gangs > 1 for point in found):
        yield "gang_spacing"
    if any(point.to_bottom for point in found):
        yield "plate_width"
    if any(point.box for point in found):
        yield "hole_tolerance"
    if on_pieces and any(point.wall and point.wall.pieces for point in found):
        yield "floor_gap"


def _wall(wall: Wall, found: Sequence[Point], given: Given, *, on_pieces: bool) -> records.WallCard:
    ordered = sorted(found, key=lambda point: (point.at is None, point.at or 0.0))
    through = list(holes_on_pieces(wall, given)) if on_pieces else []
    in_boards = [one for one in through if isinstance(one, HoleInPiece) and one.hole.point in found]
    return records.WallCard(
        place=wall.place,
        length=figure(wall.length) or Unknown(f"how long {wall.name} is", (f"{wall.place}.length",)),
        points=tuple(_point(point, wall, given) for point in ordered),
        has_pieces=bool(wall.pieces),
        pieces=tuple(
            map(_in_piece, sorted(in_boards, key=lambda one: (one.piece.in_layer, one.piece.index, one.left)))
        ),
        unplaced=tuple(dict.fromkeys(_unknown(one) for one in through if isinstance(one, Lacking))),
    )


def _point(point: Point, wall: Wall, given: Given) -> records.PointCard:
    holes = holes_of(point, wall, given)
    first = holes[0]
    middle = point.at or Lacking(f"how far along {point.name} is", (f"{point.place}.at",))
    return records.PointCard(
        place=point.place,
        name=point.name,
        kind=point.kind,
        gangs=point.gangs,
        now=_known(first.now),
        finished=_known(first.finished),
        holes=tuple(records.HoleCard(hole.gang, _known(hole.left), _known(hole.right)) for hole in holes),
        centre=records.HoleCard(0, _known(middle), _known(from_right(middle, first.now, wall))),
        fitting=_fitting(point, given),
        steps=tuple(_steps(point, wall, holes, given)),
    )


def _steps(point: Point, wall: Wall, holes: Sequence[Hole], given: Given) -> Iterator[StepCard]:
    """How the marks of a point come about, as far as they are worked out."""
    centre, floor = centre_of(point, given), wall.room.floor
    if point.to_bottom and point.height is not None:
        plate = given.quantity("plate_width", Length)
        yield StepCard("height of its centre", f"lower edge {point.height} + plate {plate} ÷ 2", str(centre))
    if not isinstance(centre, Lacking) and floor.build_up is not None:
        if floor.heights_from is HeightsFrom.FINISHED:
            how = f"finished height {centre} + {floor.build_up} still to be laid"
            yield StepCard("height above the floor as it is now", how, str(above_bare(centre, floor)))
        else:
            how = f"height {centre} above the floor as it is now - {floor.build_up} still to be laid"
            yield StepCard("height above the finished floor", how, str(above_finished(centre, floor)))
    for hole in holes:
        if isinstance(hole.left, Lacking):
            continue
        if point.gangs > 1:
            shift = tidy((hole.gang - 1 - (point.gangs - 1) / 2) * given.quantity("gang_spacing", Length))
            sign = "-" if shift < 0 else "+"
            how = f"middle {point.at} {sign} {given.quantity('gang_spacing', Length).like(abs(shift))}"
            yield StepCard(f"hole {hole.gang} from the left end", how, str(hole.left))
        if not isinstance(hole.right, Lacking):
            length = hole.left.like(tidy(hole.left + hole.right))
            name = f"hole {hole.gang} from" if point.gangs > 1 else "from"
            yield StepCard(f"{name} the right end", f"length {length} - {hole.left}", str(hole.right))


def _on_ceiling(point: Point, given: Given) -> records.CeilingPointCard:
    distances = tuple((wall.name, known(distance)) for wall, distance in point.from_walls)
    # One distance is a line across the ceiling: it takes two walls to find a spot.
    enough = len(distances) > 1
    return records.CeilingPointCard(
        place=point.place,
        name=point.name,
        kind=point.kind,
        gangs=point.gangs,
        from_walls=distances,
        unplaced=None if enough else Unknown(f"how far {point.name} is from two walls", (f"{point.place}.at",)),
        fitting=_fitting(point, given),
    )


def _fitting(point: Point, given: Given) -> records.FittingCard:
    box: records.BoxCard | Unknown | None = None
    if point.box:
        box = _box(point.box, given)
    elif point.kind in BOXED:
        box = Unknown(f"which box {point.name} sits in", (f"{point.place}.box",))
    circuit = point.circuit_name or Unknown(f"which circuit feeds {point.name}", (f"{point.place}.circuit",))
    return records.FittingCard(
        box=box,
        circuit=circuit,
        is_circuit_known=point.circuit is not None,
        backing=point.backing,
        recess=figure(point.recess),
        ip=point.ip,
        vapour=_vapour(point, given),
    )


def _box(box: Box, given: Given) -> records.BoxCard:
    saw = saw_for(box, given)
    return records.BoxCard(
        name=box.name,
        hole=figure(box.hole) or Unknown(f"the hole that the box {box.name} wants", (f"{box.place}.hole",)),
        depth=figure(box.depth) or Unknown(f"how deep the box {box.name} is", (f"{box.place}.depth",)),
        saw=_unknown(saw) if isinstance(saw, Lacking) else figure(saw),
    )


def _vapour(point: Point, given: Given) -> records.Vapour | Unknown:
    recorded = {True: records.Vapour.SEALED, False: records.Vapour.OPEN, None: None}[point.vapour_sealed]
    lining = lining_in_front(point)
    if isinstance(lining, Lacking):
        return recorded or _unknown(_from_plan(lining, point))
    depth = film_depth(lining, given) if lining else None
    if isinstance(depth, Lacking):
        return recorded or _unknown(depth)
    if depth is None:
        return recorded or records.Vapour.NONE
    if point.box and point.box.depth is not None and at_most(point.box.depth, depth):
        return records.Vapour.NOT_REACHED
    return recorded or Unknown(f"whether the vapour layer is sealed at {point.name}", (f"{point.place}.vapour_sealed",))


def _from_plan(lacking: Lacking, point: Point) -> Lacking:
    """The same with its keys read from the plan down: sums name a point's own keys from the point."""
    keys = (f"{point.place}.{key}" if key in ("at", "height", "recess") else key for key in lacking.keys)
    return Lacking(lacking.what, tuple(keys))


def _in_piece(one: HoleInPiece) -> records.PieceHole:
    point, width = one.hole.point, one.hole.width
    where = (f"{point.box.place}.hole" if point.box else f"{point.place}.box",)
    return records.PieceHole(
        piece=one.piece.place,
        name=one.piece.name,
        layer=one.piece.in_layer,
        board=one.piece.board.name,
        point=point.name,
        hole=one.hole.gang,
        left=known(one.left),
        bottom=known(one.bottom),
        width=figure(width) or Unknown(f"how wide the hole of {point.name} is", where),
        crosses_edge=one.crosses_edge,
    )


def _run(run: Run, given: Given) -> records.RunCard:
    found = path_of(run, given)
    path = None if isinstance(found, Lacking) else found
    missing = found.keys if isinstance(found, Lacking) else (run.key("path"),)
    return records.RunCard(
        place=run.place,
        circuit=run.circuit.name,
        start="the distribution board" if run.start_name == SUPPLY else run.start_name,
        end=run.end_name,
        section=figure(run.section),
        how=path.how if path else None,
        said=path.said if path else "nobody can say from this plan where it lies",
        is_whole=path is not None and path.is_whole,
        spread=figure(path.spread) if path else None,
        ways=tuple(_ways(path)) if path else (),
        depth=figure(run.depth) or Unknown("how deep it lies", (run.key("depth"),)),
        protected_by=run.protected_by,
        length=figure(run.known_length) or Unknown("how long it is", (run.key("length"),)),
        missing=() if path and path.is_drawn and path.is_whole else missing,
    )


def _ways(path: CablePath) -> Iterator[records.WayCard]:
    """Its way wall by wall; it may come back to a wall, and a way that is drawn may have gaps."""
    wall: Wall | None = None
    spots: list[tuple[float, float]] = []
    for stretch in path.stretches:
        if wall is not None and (stretch.wall is not wall or stretch.start != spots[-1]):
            yield _way(wall, spots)
            spots = []
        wall = stretch.wall
        spots = [*(spots or [stretch.start]), stretch.end]
    if wall is not None:
        yield _way(wall, spots)


def _way(wall: Wall, spots: Sequence[tuple[float, float]]) -> records.WayCard:
    unit = wall.length.unit if wall.length else "m"
    return records.WayCard(wall.place, tuple(_spot(at, height, unit, wall.room.floor) for at, height in spots))


def _spot(at: float, height: float, unit: str, floor: Floor) -> records.SpotCard:
    up = Length(tidy(height), unit)
    return records.SpotCard(
        known(Length(tidy(at), unit)), _known(above_bare(up, floor)), _known(above_finished(up, floor))
    )


def _known(found: Quantity | Lacking) -> Figure | Unknown:
    return _unknown(found) if isinstance(found, Lacking) else known(found)


def _unknown(found: Lacking) -> Unknown:
    return Unknown(found.what, found.keys)
