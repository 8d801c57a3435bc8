"""How far the spots along a room's walls are from the nearest socket, and how many outlets a room should have."""

import math
from bisect import bisect_right
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from planlint.formulas.zones import farthest_spots, fewest_sockets, wall_spaces
from planlint.limit_values import Row
from planlint.model.fixtures import Fixture
from planlint.model.rooms import Opening, Room, Wall
from planlint.model.services import Point
from planlint.model.words import FixtureKind, PointKind
from planlint.rule import Given
from planlint.sums.working import Lacking
from planlint.units import Area, Length, at_least, at_most

LIMITS_OF_SPACING = ("socket_spacing", "socket_spacing_exempt")
LIMITS_OF_OUTLETS = ("outlets_in_room", "outlets_by_area")

_SLACK = 1e-9
"""What floats leave of a quotient that is a whole number."""


@dataclass(frozen=True, slots=True)
class FarSpot:
    """A spot of a wall that is too far from the nearest socket, measured along the walls."""

    wall: Wall
    at: Length
    distance: Length | None
    """None where its wall space has no socket at all."""
    space: Length
    """How long the wall space is in which it lies."""
    fewest: int
    """The fewest sockets with which a space of that length can do."""


def far_spots(room: Room, row: Row) -> list[FarSpot] | Lacking:
    """The spots that are farther from a socket than `row` of the set allows, one in each gap, in the order of the walk.

    Doors, passages and stoves cut the line along the walls; corners and windows do not (NEC 210.52(A)).
    """
    if room.is_closed is None:
        return Lacking("whether the walls go all the way round", ("outline",))
    if not room.is_closed:
        return Lacking("the other walls of the room, and so how far apart its sockets are", ("walls",))
    doors = [opening for wall in room.walls for opening in wall.openings if opening.reaches_floor]
    missing = [f"{wall.place}.length" for wall in room.walls if wall.length is None]
    missing += [key for door in doors for key in _absent(door, "at", "width")]
    if missing:
        return Lacking("how long the walls between the doors are", tuple(missing))
    sockets = [point for wall in room.walls for point in wall.points if point.kind is PointKind.SOCKET]
    sure = [point for point in sockets if _counts(point, row)]
    perhaps = [point for point in sockets if _counts(point, row) is None]
    found = list(_far(room, row, sure))
    if not found:
        return found
    unplaced = [key for point in perhaps for key in _absent(point, "at")]
    unplaced += [key for stove in _stoves(room) for key in _absent(stove, "wall", "at", "width")]
    certain = list(_far(room, row, [*sure, *perhaps]))
    if unplaced or not certain:
        unknown = (*unplaced, *(key for point in perhaps for key in _absent(point, "height")))
        return Lacking("where its sockets and stoves are, and so how far apart the sockets stand", unknown)
    return certain


def _absent(thing: Opening | Point | Fixture, *keys: str) -> list[str]:
    return [f"{thing.place}.{key}" for key in keys if getattr(thing, key) is None]


def _stoves(room: Room) -> list[Fixture]:
    return [fixture for fixture in room.fixtures if fixture.kind is FixtureKind.STOVE]


def _counts(point: Point, row: Row) -> bool | None:
    """Whether a socket is low enough to count; None where nobody knows, or where it is."""
    floor = point.on.room.floor
    if point.at is None or point.height is None:
        return None
    return at_most(point.height + floor.datum - (floor.build_up or 0.0), float(row["highest"]))


def _far(room: Room, row: Row, sockets: Sequence[Point]) -> Iterator[FarSpot]:
    around = sum(wall.length or 0.0 for wall in room.walls)
    starts = list(room.starts.values())
    doors: list[Opening | Fixture] = [door for wall in room.walls for door in wall.openings if door.reaches_floor]
    cuts = [
        (room.starts[one.wall.name] + one.at, room.starts[one.wall.name] + one.at + one.width)
        for one in (*doors, *_stoves(room))
        if one.wall and one.at is not None and one.width is not None
    ]
    placed = [room.starts[point.wall.name] + point.at for point in sockets if point.wall and point.at is not None]
    reach, least = float(row["reach"]), float(row["wall_space"])
    for space in wall_spaces(around, cuts):
        if not at_least(space.length, least):
            continue
        for spot in farthest_spots(space, around, placed):
            if not at_most(spot.distance, reach):
                wall = room.walls[bisect_right(starts, spot.at) - 1]
                at = Length(spot.at - room.starts[wall.name], wall.length.unit if wall.length else "m")
                yield FarSpot(
                    wall,
                    at,
                    at.like(spot.distance) if math.isfinite(spot.distance) else None,
                    at.like(space.length),
                    fewest_sockets(space.length, reach),
                )


@dataclass(frozen=True, slots=True)
class Wanted:
    """How many socket outlets a room should have, and by what."""

    number: int
    by: str


def outlets_of(room: Room) -> int:
    """The socket outlets of a room, on its walls and on its ceiling."""
    surfaces = (*room.walls, *((room.ceiling,) if room.ceiling else ()))
    return sum(point.outlets for on in surfaces for point in on.points if point.kind is PointKind.SOCKET)


def outlets_wanted(room: Room, given: Given) -> Wanted | Lacking | None:
    """The fewest socket outlets that the set has for a room of this use; None where it has no figure for it."""
    use = (room.use or "").casefold()
    least = max((int(row["least"]) for row in _of_use(given.table("outlets_in_room"), use)), default=0)
    areas = [row["area"] for row in _of_use(given.table("outlets_by_area"), use)]
    per = min((area for area in areas if isinstance(area, Area)), default=None)
    by_use = Wanted(least, f"for a {room.use}")
    if per is None or outlets_of(room) < least:
        return by_use if least else None
    outline = room.outline() if room.is_closed else None
    if outline is None:
        unknown = [f"{wall.place}.length" for wall in room.walls if wall.length is None]
        unknown += [f"{wall.place}.then" for wall in room.walls if wall.turn is None]
        return Lacking("the walls all the way round, and so how large the room is", tuple(unknown) or ("outline",))
    area = per.like(abs(outline.area))
    by_area = Wanted(math.ceil(area / per - _SLACK), f"for a {room.use} of {area}: one for every {per}")
    return by_area if by_area.number > least else by_use


def _of_use(rows: tuple[Row, ...] | None, use: str) -> list[Row]:
    return [row for row in rows or () if str(row["use"]) in use]
