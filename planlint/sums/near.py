"""How near the things in a wall lie to a spot on it: cables, boxes, battens, pipes, chases, openings.

Everything is measured in the plane of the wall, in metres from its left end and up as its room measures heights. What
is not recorded closely enough to be measured is `Lacking`: nothing counts as far away because it is not known.
"""

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from enum import StrEnum
from typing import Final

from planlint.model.fixtures import Chase
from planlint.model.plan import Plan
from planlint.model.rooms import Opening, Wall
from planlint.model.services import Pipe, Point, Run
from planlint.model.ways import Stretch, WaySpot, follow
from planlint.model.words import Direction, HeightsFrom
from planlint.rule import Given
from planlint.sums.boxes import BOXED
from planlint.sums.paths import How, path_of
from planlint.sums.plates import plate_of
from planlint.sums.supports import supports
from planlint.sums.working import Lacking
from planlint.units import Length

NEAR: Final = Length(0.30, "m")
"""How far around a spot one looks unless one says otherwise; own decision: further than any drill wanders."""

Spot = tuple[float, float]


class Kind(StrEnum):
    """What lies behind a spot."""

    CABLE = "cable"
    BOX = "box"
    OUTLET = "outlet"
    BATTEN = "batten"
    STUD = "stud"
    PIPE = "pipe"
    CHASE = "chase"
    OPENING = "opening"
    NOTCH = "notch"
    FIXTURE = "fixture"


@dataclass(frozen=True, slots=True)
class Near:
    """Something near a spot: where its nearest part lies, as far as is known."""

    kind: Kind
    what: str
    place: str
    shift: Spot
    """From the spot to its nearest part: metres to the right and up; nothing where it lies behind the spot itself."""
    slack: float = 0.0
    """How much nearer it may be than that, since its place was worked out; infinite where it may be anywhere."""
    said: str = ""
    """How its place is known, and what of its size is not; in words."""
    depth: Length | None = None
    """Below the bare surface of the wall."""
    keys: tuple[str, ...] = ()
    """What would say where it lies more closely."""

    @property
    def distance(self) -> float:
        """How far away its nearest part is (m), as recorded or worked out."""
        return math.hypot(*self.shift)

    @property
    def least(self) -> float:
        """How near it may be (m)."""
        return max(self.distance - self.slack, 0.0)


@dataclass(frozen=True, slots=True)
class Rectangle:
    """An upright rectangle on a wall; infinite where an end of it is not known, so that it comes out too near."""

    left: float
    right: float
    bottom: float
    top: float

    def shift(self, spot: Spot) -> Spot:
        """From a spot to its nearest part; nothing where the spot lies in it."""
        at, height = spot
        return min(max(at, self.left), self.right) - at, min(max(height, self.bottom), self.top) - height


def to_stretch(spot: Spot, start: Spot, end: Spot) -> Spot:
    """From a spot to the nearest part of a straight way.

    >>> to_stretch((1, 1), (0, 0), (4, 0)), to_stretch((7, 4), (0, 0), (4, 0))
    ((0.0, -1.0), (-3.0, -4.0))
    """
    along, up = end[0] - start[0], end[1] - start[1]
    square = along**2 + up**2
    share = ((spot[0] - start[0]) * along + (spot[1] - start[1]) * up) / square if square else 0.0
    share = min(max(share, 0.0), 1.0)
    return start[0] + share * along - spot[0], start[1] + share * up - spot[1]


def less_half(shift: Spot, half: float) -> Spot:
    """To the edge of something round, `half` as wide, in place of its middle."""
    distance = math.hypot(*shift)
    share = max(distance - half, 0.0) / distance if distance else 0.0
    return shift[0] * share, shift[1] * share


def near(wall: Wall, spot: Spot, plan: Plan, given: Given) -> Iterator[Near | Lacking]:
    """Everything in a wall with how far it lies from a spot on it, and what of it is not recorded; in no order."""
    runs = (run for circuit in plan.circuits.values() for run in circuit.runs)
    yield from (found for run in runs if (found := _cable(run, wall, spot, given)))
    yield from (_box(point, spot, given) for point in wall.points)
    yield from _battens(wall, spot)
    pipes = (thing for thing in plan.things() if isinstance(thing, Pipe))
    walls = {other.place: other for room in plan.rooms for other in room.walls}
    for pipe in pipes:
        yield from _pipe(pipe, wall, spot, walls)
    yield from _cut(wall, spot)
    yield from (_opening(opening, spot) for opening in wall.openings)
    yield from _fixtures(wall, spot)


def named(run: Run) -> str:
    """A run as one says it."""
    start = "the distribution board" if run.start_name == "supply" else run.start_name or "a point not recorded"
    return f"the cable of {run.circuit.name} from {start} to {run.end_name}"


def _cable(run: Run, wall: Wall, spot: Spot, given: Given) -> Near | None:
    path = path_of(run, given)
    stretches = () if isinstance(path, Lacking) else path.on(wall)
    if isinstance(path, Lacking) or not stretches:
        return None
    shift = min((to_stretch(spot, one.start, one.end) for one in stretches), key=lambda one: math.hypot(*one))
    tube = run.conduit.outside if run.conduit else None
    slack = {How.DRAWN: 0.0, How.IN_ZONES: path.spread or math.inf, How.ALONG_WALLS: math.inf}[path.how]
    said = [path.said, f"to the edge of its conduit of {tube}" if tube else "to its middle"]
    said += [f"guarded by {run.protected_by.replace('-', ' ')}"] if run.protected_by else []
    return Near(
        Kind.CABLE,
        named(run),
        run.place,
        less_half(shift, tube / 2) if tube else shift,
        slack,
        "; ".join(said),
        run.depth,
        () if path.is_drawn else (run.key("path"),),
    )


def _box(point: Point, spot: Spot, given: Given) -> Near | Lacking:
    plate = plate_of(point, given)
    if plate is None:
        recorded = (("at", point.at), ("height", point.height))
        return Lacking(
            f"where {point.name} is", tuple(f"{point.place}.{key}" for key, value in recorded if value is None)
        )
    shifts = [(at - spot[0], plate.height - spot[1]) for at in plate.centres]
    shift = min(shifts, key=lambda one: math.hypot(*one))
    hole = point.box.hole if point.box else None
    is_boxed = bool(point.box) or point.kind in BOXED
    keys: tuple[str, ...] = ()
    if hole is None and is_boxed:
        keys = (f"{point.box.place}.hole" if point.box else f"{point.place}.box",)
    said = f"to the edge of its hole of {hole}" if hole else "to its middle"
    what = f"the box of {point.name} ({point.kind})" if is_boxed else f"{point.name} ({point.kind}), with its cable"
    shift = less_half(shift, hole / 2) if hole else shift
    return Near(Kind.BOX if is_boxed else Kind.OUTLET, what, point.place, shift, said=said, keys=keys)


def _battens(wall: Wall, spot: Spot) -> Iterator[Near | Lacking]:
    """What the boards are screwed to: the battens of the lining at the spot, else the studs of the wall."""
    lining = wall.lining_at(*spot)
    is_stud = wall.base is not None and wall.base.is_stud
    if lining and lining.battens:
        centres, width = supports(wall), lining.battens.width
        said = "as recorded" if wall.battens_at is not None else f"by the spacing of {lining.name}, not measured"
        kind, key = Kind.BATTEN, f"{lining.place}.battens.width"
    elif is_stud:
        missing = Lacking("where the studs of the wall stand", (f"{wall.place}.battens_at",))
        centres, width = (missing if wall.battens_at is None else wall.battens_at), None
        kind, said, key = Kind.STUD, "as recorded", ""
    else:
        return
    if isinstance(centres, Lacking):
        yield centres
        return
    for centre in centres:
        half = width / 2 if width else 0.0
        shift = Rectangle(centre - half, centre + half, -math.inf, math.inf).shift(spot)
        measured = f"to its edge, {width} wide" if width else "to its middle"
        what = f"the {kind} at {Length(round(centre, 6), wall.length.unit if wall.length else 'm')}"
        keys = (key,) if key and not width else ()
        yield Near(kind, what, wall.place, shift, said=f"{said}; {measured}", keys=keys)


def _pipe(pipe: Pipe, wall: Wall, spot: Spot, walls: dict[str, Wall]) -> Iterator[Near | Lacking]:
    """A pipe where it comes out of a wall, and on its way in it."""
    outlet: WaySpot | None = (pipe.wall, pipe.at, pipe.height) if pipe.at is not None else None
    way: list[WaySpot] = [
        (walls[one.wall], one.at, one.height) for one in pipe.way if one.wall in walls and one.at is not None
    ]
    if pipe.wall is not wall and not any(one[0] is wall for one in way):
        return
    if outlet and way:
        # The plan gives the way in either direction: the pipe comes out beyond the end that is nearer.
        way = [outlet, *way] if _apart(outlet, way[0]) <= _apart(outlet, way[-1]) else [*way, outlet]
    drawn = follow(way) if way else None
    ends = [one for one in (outlet, *way) if one and one[0] is wall and one[2] is not None]
    shifts = [(at - spot[0], (height or 0.0) - spot[1]) for _, at, height in ends]
    shifts += [to_stretch(spot, one.start, one.end) for one in _stretches(drawn.stretches if drawn else (), wall)]
    if shifts:
        shift, half = min(shifts, key=lambda one: math.hypot(*one)), (pipe.outside or 0.0) / 2
        said = f"to the edge of {pipe.outside}" if pipe.outside else "to its middle"
        sized = () if pipe.outside else (f"{pipe.place}.outside",)
        what = f"the {pipe.kind} pipe {pipe.name}"
        yield Near(Kind.PIPE, what, pipe.place, less_half(shift, half), said=said, depth=pipe.depth, keys=sized)
    if pipe.wall is wall and (outlet is None or pipe.height is None) and not way:
        recorded = (("at", pipe.at), ("height", pipe.height))
        keys = tuple(f"{pipe.place}.{key}" for key, value in recorded if value is None)
        yield Lacking(f"where the {pipe.kind} pipe {pipe.name} comes out", keys)
    if drawn is None or not drawn.is_whole or len(ends) < len([one for one in way if one[0] is wall]):
        yield Lacking(f"which way the {pipe.kind} pipe {pipe.name} takes", (f"{pipe.place}.path",))


def _apart(one: WaySpot, other: WaySpot) -> float:
    """How far two spots of one wall lie apart; infinite on different walls."""
    return math.dist((one[1], one[2] or 0.0), (other[1], other[2] or 0.0)) if one[0] is other[0] else math.inf


def _stretches(stretches: Iterable[Stretch], wall: Wall) -> Iterator[Stretch]:
    return (one for one in stretches if one.wall is wall)


def _cut(wall: Wall, spot: Spot) -> Iterator[Near | Lacking]:
    """Chases, and the notches and holes in studs: cables and pipes lie in them."""
    for number, chase in enumerate(wall.chases or (), 1):
        key, words = f"{wall.place}.chases.{number}", f"the {chase.direction or ''} chase".replace("  ", " ")
        if chase.at is None:
            yield Lacking(f"where {words} is", (f"{key}.at",))
            continue
        needed = (("direction", chase.direction), ("height", chase.height), ("length", chase.length))
        keys = tuple(f"{key}.{name}" for name, value in (*needed, ("width", chase.width)) if value is None)
        deep = f"; {chase.depth} deep" if chase.depth else ""
        yield Near(
            Kind.CHASE,
            words,
            wall.place,
            _slot(chase, chase.at).shift(spot),
            said=f"what lies in it is not said{deep}",
            keys=keys,
        )
    for number, notch in enumerate(wall.notches or (), 1):
        words = f"the {'hole' if notch.is_hole else 'notch'} in a {notch.member or 'stud'}"
        if notch.at is None:
            yield Lacking(f"where {words} is", (f"{wall.place}.notches.{number}.at",))
        else:
            said = "how high it is, is not recorded; something runs through it"
            yield Near(Kind.NOTCH, words, wall.place, (notch.at - spot[0], 0.0), said=said)


def _slot(chase: Chase, at: float) -> Rectangle:
    """Where a chase lies. `at` may be its left end or the line of its middle: it is taken wide enough for both."""
    width, length = chase.width or 0.0, math.inf if chase.length is None else chase.length
    along = width if chase.direction is Direction.VERTICAL else max(length, width)
    up = width if chase.direction is Direction.HORIZONTAL else max(length, width)
    bottom = -math.inf if chase.height is None else chase.height - width / 2
    top = math.inf if chase.height is None else chase.height + up
    return Rectangle(at - width / 2, at + along, bottom, top)


def _opening(opening: Opening, spot: Spot) -> Near | Lacking:
    if opening.at is None:
        return Lacking(f"where {opening.name} is", (f"{opening.place}.at",))
    recorded = (("width", opening.width), ("sill", opening.bottom), ("height", opening.height))
    keys = tuple(f"{opening.place}.{key}" for key, value in recorded if value is None)
    return Near(
        Kind.OPENING,
        opening.name if opening.name == opening.kind else f"{opening.name} ({opening.kind})",
        opening.place,
        hole_of(opening).shift(spot),
        said="to its bare edge; what holds its frame goes into the wall",
        keys=keys,
    )


def hole_of(opening: Opening) -> Rectangle:
    """The hole of an opening in its wall; what is not known of it goes on without end."""
    at, bottom = opening.at, opening.bottom
    return Rectangle(
        -math.inf if at is None else at,
        math.inf if at is None or opening.width is None else at + opening.width,
        -math.inf if bottom is None else bottom,
        math.inf if bottom is None or opening.height is None else bottom + opening.height,
    )


def _fixtures(wall: Wall, spot: Spot) -> Iterator[Near | Lacking]:
    """Fixtures stand in front of a wall, with fixings and often pipes behind them."""
    floor = wall.room.floor
    # Fixtures are measured from the finished floor.
    raised: float | None = 0.0 if floor.heights_from is HeightsFrom.FINISHED else floor.build_up
    for fixture in wall.fixtures:
        words = fixture.name if fixture.name == fixture.kind else f"{fixture.name} ({fixture.kind})"
        if fixture.at is None or fixture.width is None:
            recorded = (("at", fixture.at), ("width", fixture.width))
            yield Lacking(
                f"where {words} is", tuple(f"{fixture.place}.{key}" for key, value in recorded if value is None)
            )
            continue
        tops = [height for height in (fixture.height, fixture.rim, fixture.outlet_height) if height is not None]
        top = max(tops) + raised if tops and raised is not None else math.inf
        body = Rectangle(fixture.at, fixture.at + fixture.width, -math.inf, top)
        backed = "; a rigid backing lies behind the board" if fixture.backing else ""
        said = f"it stands in front; its fixings and pipes may lie behind{backed}"
        yield Near(Kind.FIXTURE, words, wall.place, body.shift(spot), said=said)
