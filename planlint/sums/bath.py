"""A point against the baths and showers of its room: its zone, and how far it is from zone 1 along the walls."""

import math
from collections.abc import Callable
from dataclasses import dataclass
from functools import partial
from itertools import pairwise

from planlint.formulas import bath_zones
from planlint.formulas.bath_zones import Outlet, Tub, Vector
from planlint.model.fixtures import Fixture
from planlint.model.rooms import Room, Surface, Wall
from planlint.model.services import Point
from planlint.model.ways import Stretch
from planlint.model.words import FixtureKind, HeightsFrom
from planlint.rule import Given
from planlint.sums.boxes import BOXED, lining_in_front
from planlint.sums.faces import lining_depth
from planlint.sums.plan_view import Frame, between, frames_from, outline_in
from planlint.sums.working import Lacking
from planlint.units import Length

LIMITS_OF_BATH = (
    "bath_zone_height",
    "bath_zone_two",
    "shower_outlet_reach",
    "shower_floor_zone",
    "gang_spacing",
    "plate_width",
)
_STEP = 0.02
"""Metres between the spots at which a cable is looked at: less than anyone draws to."""
_PARALLEL = 0.05
"""Sine of the angle below which two walls count as parallel: where their lines cross is then a guess."""


@dataclass(frozen=True, slots=True)
class NearBath:
    """A point beside a bath or shower."""

    fixture: Fixture
    zone: int | None
    """0, 1 or 2; None outside of them."""
    perhaps: int | None
    """The zone that it would be in if an outlet were as high as it, where the height of the highest is not recorded."""
    apart: Length
    """How far the nearer edge of its plate is from the edge of zone 1 in plan; 0 inside."""
    low: Length
    """The height of the plate's lower edge above the finished floor."""
    top: Length
    """How high the zones reach above the finished floor."""
    from_outlet: Length | None
    """How far it is from the outlet of a shower without a tray."""


@dataclass(frozen=True, slots=True)
class _Spot:
    """Where something is: its spot in plan, its height above the finished floor, and how far it reaches."""

    plan: Vector
    height: Length
    half_width: float
    half_height: float


_Seen = Callable[[Wall, dict[Wall, Frame]], _Spot | Lacking]
"""Where something is, in the plan of the wall at which a fixture stands."""


def near_bath(point: Point, fixture: Fixture, given: Given) -> NearBath | Lacking:
    """The zone of a point beside one bath or shower, or what is not recorded.

    Distances are in plan, along a string around outside corners; partitions that are no walls of the plan are not
    looked at. The outlet of a shower without a tray is taken to be at the wall, in the middle of the shower's width.
    """
    seen = partial(_spot_of, point, given)
    if fixture.kind is FixtureKind.SHOWER and fixture.has_tray is None:
        with_tray, without = (_near(seen, point.on, fixture, given, has_tray=tray) for tray in (True, False))
        if isinstance(with_tray, NearBath) and isinstance(without, NearBath):
            # What nobody has to know is not asked for: clear of both, and by the same distance or more.
            clear = all(near.zone is None and near.perhaps is None for near in (with_tray, without))
            nearer = with_tray if with_tray.apart < without.apart else without
            return nearer if clear else Lacking(f"whether {fixture.name} has a tray", (f"{fixture.place}.tray",))
        return with_tray if isinstance(with_tray, Lacking) else without
    return _near(seen, point.on, fixture, given, has_tray=_has_tray(fixture))


def zone_behind(stretch: Stretch, fixture: Fixture, given: Given) -> int | Lacking | None:
    """The innermost zone of a bath or shower behind which a stretch of cable lies on its wall; None where behind none.

    It is looked at from spot to spot, `_STEP` apart.
    """
    if fixture.kind is FixtureKind.SHOWER and fixture.has_tray is None:
        return Lacking(f"whether {fixture.name} has a tray", (f"{fixture.place}.tray",))
    zones: list[int] = []
    parts = max(math.ceil(stretch.length / _STEP), 1)
    for number in range(parts + 1):
        at, up = (a + (b - a) * number / parts for a, b in zip(stretch.start, stretch.end, strict=True))
        seen = partial(_spot_on, stretch.wall, at, up)
        found = _near(seen, stretch.wall, fixture, given, has_tray=_has_tray(fixture))
        if isinstance(found, Lacking):
            return found
        zones += [] if found.zone is None else [found.zone]
    return min(zones, default=None)


def _has_tray(fixture: Fixture) -> bool:
    return fixture.kind is FixtureKind.BATH or bool(fixture.has_tray)


def _near(seen: _Seen, on: Surface, fixture: Fixture, given: Given, *, has_tray: bool) -> NearBath | Lacking:
    wall = fixture.wall
    wanted = {"wall": wall, "at": fixture.at, "width": fixture.width} | ({"depth": fixture.depth} if has_tray else {})
    missing = tuple(f"{fixture.place}.{key}" for key, value in wanted.items() if value is None)
    if wall is None or fixture.at is None or fixture.width is None or missing:
        return Lacking(f"where {fixture.name} stands and how large it is", missing)
    frames = frames_from(wall)
    spot = seen(wall, frames)
    if isinstance(spot, Lacking):
        return spot
    out = 0.0 if on is wall else _stood(wall, fixture.at)
    if isinstance(out, Lacking):
        return out
    place = _place(fixture, out, given, has_tray=has_tray)
    distance = bath_zones.apart(place, spot.plan, outline_in(frames, wall))
    if isinstance(place, Outlet):
        distance -= spot.half_width
    elif distance > 0:
        distance = max(distance - spot.half_width, 0.0)
    lowest = given.quantity("bath_zone_height", Length)
    top = max(lowest, fixture.outlet_height or lowest)
    low = spot.height - spot.half_height
    extent = bath_zones.Extent(
        top, given.quantity("bath_zone_two", Length), given.quantity("shower_floor_zone", Length)
    )
    zone = bath_zones.zone_at(place, distance, low, extent)
    perhaps = None
    if zone is None and fixture.outlet_height is None:
        # A higher outlet, which is not recorded, would take the zones up to it.
        perhaps = bath_zones.zone_at(place, distance, min(low, lowest / 2), extent)
    like = fixture.width.like
    from_outlet = like(distance + place.reach) if isinstance(place, Outlet) else None
    return NearBath(fixture, zone, perhaps, like(max(distance, 0.0)), spot.height.like(low), top, from_outlet)


def _place(fixture: Fixture, out: float, given: Given, *, has_tray: bool) -> Tub | Outlet:
    """The bath or shower in plan, seen from its wall, of which the finished face is `out` metres off the bare one."""
    frame, at, width = Frame((0.0, 0.0), 0.0), fixture.at or 0.0, fixture.width or 0.0
    if not has_tray:
        return Outlet(frame.spot(at + width / 2, out), given.quantity("shower_outlet_reach", Length))
    far = out + (fixture.depth or 0.0)
    corners = (frame.spot(at), frame.spot(at + width), frame.spot(at + width, far), frame.spot(at, far))
    return Tub(corners, fixture.rim)


def _spot_on(own: Wall, at: float, up: float, wall: Wall, frames: dict[Wall, Frame]) -> _Spot | Lacking:
    """A spot of the bare face of a wall, `up` metres as its room measures heights."""
    height = _finished(own.room, Length(up, "m"))
    if isinstance(height, Lacking):
        return height
    return _Spot(frames[own].spot(at), height, 0.0, 0.0) if own in frames else between(own, wall)


def _spot_of(point: Point, given: Given, wall: Wall, frames: dict[Wall, Frame]) -> _Spot | Lacking:
    """Where a point is, in the plan of the wall at which the fixture stands."""
    height = _height(point, given)
    if isinstance(height, Lacking):
        return height
    half = given.quantity("plate_width", Length) / 2 if point.kind in BOXED else 0.0
    half_width = half + (point.gangs - 1) * given.quantity("gang_spacing", Length) / 2
    if point.wall is None:
        plan = _under_ceiling(point, wall, frames)
        half = 0.0
    else:
        plan = _on_wall(point, point.wall, wall, frames)
    return plan if isinstance(plan, Lacking) else _Spot(plan, height, half_width, half)


def _on_wall(point: Point, own: Wall, wall: Wall, frames: dict[Wall, Frame]) -> Vector | Lacking:
    if point.at is None:
        return Lacking(f"how far along {own.name} {point.name} is", ("at",))
    if own is wall:
        return frames[own].spot(point.at)
    if own not in frames:
        return between(own, wall)
    lining = lining_in_front(point)
    out = lining if isinstance(lining, Lacking) else lining_depth(lining) if lining else 0.0
    return out if isinstance(out, Lacking) else frames[own].spot(point.at, out)


def _under_ceiling(point: Point, wall: Wall, frames: dict[Wall, Frame]) -> Vector | Lacking:
    """Where the lines along two walls, at the distances given from each, cross."""
    placed = [(frames[other], distance) for other, distance in point.from_walls if other in frames]
    if len(placed) < len(point.from_walls):
        return next(between(other, wall) for other, _ in point.from_walls if other not in frames)
    for (first, out), (second, further) in pairwise(placed):
        turn = second.heading - first.heading
        if abs(math.sin(turn)) > _PARALLEL:
            origin = first.spot(0.0, out)
            # Going along the first line one nears the second wall by the sine of the turn between them.
            normal = math.cos(second.heading), -math.sin(second.heading)
            off = sum((a - b) * n for a, b, n in zip(origin, second.start, normal, strict=True))
            return first.spot((off - further) / math.sin(turn), out)
    return Lacking(f"how far {point.name} is from two walls that meet at an angle", ("at",))


def _height(point: Point, given: Given) -> Length | Lacking:
    """Its height above the finished floor; that of the finished ceiling where it is on one."""
    if point.wall is None:
        return _ceiling_height(point.on, point.on.room)
    centre = point.centre(given.quantity("plate_width", Length))
    if centre is None:
        return Lacking(f"how high {point.name} is", ("height",))
    return _finished(point.on.room, centre)


def _finished(room: Room, height: Length) -> Length | Lacking:
    """A height above the finished floor, where it is given as the room measures heights."""
    if room.floor.heights_from is HeightsFrom.FINISHED:
        return height
    if room.floor.build_up is None:
        return Lacking("what is still to be laid on the floor", (f"{room.place}.floor.build_up",))
    return height.like(height - room.floor.build_up)


def _ceiling_height(ceiling: Surface, room: Room) -> Length | Lacking:
    # Under a sloping ceiling the lowest side counts: nothing says where on the slope a point is.
    sides = [height for wall in room.walls for height in (wall.height_left, wall.height_right) if height is not None]
    height = room.height or min(sides, default=None)
    if height is None:
        return Lacking(f"how high {room.name} is", (f"{room.place}.height",))
    if room.floor.heights_from is HeightsFrom.RAW and room.floor.build_up is None:
        return Lacking("what is still to be laid on the floor", (f"{room.place}.floor.build_up",))
    if ceiling.undecided:
        return Lacking("whether and how the ceiling will be lined", (f"{ceiling.place}.lining",))
    down = lining_depth(ceiling.lining) if ceiling.lining else 0.0
    return down if isinstance(down, Lacking) else height.like(height - (room.floor.build_up or 0.0) - down)


def _stood(wall: Wall, at: float) -> float | Lacking:
    """How far the finished face of a wall stands off the bare one behind a fixture (m)."""
    if wall.undecided:
        return Lacking(f"whether and how {wall.name} will be lined", (f"{wall.place}.lining",))
    lining = wall.lining_at(at, 0.0)
    return lining_depth(lining) if lining else 0.0
