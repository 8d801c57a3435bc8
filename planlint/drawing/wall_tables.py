"""What a wall's elevation shows, in figures: for whoever marks it out with a tape, or does not see the picture."""

from collections.abc import Iterator
from typing import Final

from planlint.drawing.elevation_readings import in_force, meaning
from planlint.model.rooms import Wall
from planlint.model.services import Point
from planlint.model.words import HeightsFrom
from planlint.rule import Given
from planlint.sheet_records import Table
from planlint.sums.holes import from_right, holes_of
from planlint.sums.working import Lacking

_UNRECORDED: Final = "not recorded"
_LEFT: Final = "From the left end"
_RIGHT: Final = "From the right end"
_READ: Final = ("Scale", "Value", "Taken on", "Which is")
_FITTED: Final = ("Holes", "Box", "Circuit", "Backing")


def tables_of_wall(wall: Wall, given: Given) -> Iterator[Table]:
    """Its points, openings and readings, each where it has some, in the plan's own units."""
    up = "Above the floor as it is" if wall.room.floor.heights_from is HeightsFrom.RAW else "Above the finished floor"
    if wall.points:
        head = ("Point", "Kind", "From the left end", "From the right end", up, "Holes", "Box", "Circuit", "Backing")
        yield Table(
            "Points, to the middle of the plate", head, tuple(_point(point, wall, given) for point in wall.points)
        )
    if wall.openings:
        rows = tuple(
            (one.name, str(one.kind), *map(_said, (one.at, one.width, one.bottom, one.height))) for one in wall.openings
        )
        yield Table("Openings", ("Opening", "Kind", _LEFT, "Width", "Sill", "Height"), rows)
    if readings := in_force(wall, given):
        taken = tuple(
            (
                f"{one.index + 1}",
                str(one.of),
                _said(one.at),
                _said(one.height),
                _said(one.scale),
                _said(one.value),
                _said(one.date),
                str(meaning(one, wall, given)),
            )
            for one in readings
        )
        yield Table("Moisture, the newest reading of each spot", ("Reading", "Of", _LEFT, up, *_READ), taken)


def _point(point: Point, wall: Wall, given: Given) -> tuple[str, ...]:
    edge = " (lower edge)" if point.to_bottom and point.height is not None else ""
    return (
        point.name,
        str(point.kind),
        _said(point.at),
        _from_right(point, wall, given),
        f"{_said(point.height)}{edge}",
        str(point.gangs),
        point.box.name if point.box else _UNRECORDED,
        _said(point.circuit_name),
        "yes" if point.backing else "no",
    )


def _from_right(point: Point, wall: Wall, given: Given) -> str:
    if point.at is None:
        return _UNRECORDED
    found = from_right(point.at, holes_of(point, wall, given)[0].now, wall)
    return _UNRECORDED if isinstance(found, Lacking) else f"{found}"


def _said(value: object) -> str:
    return _UNRECORDED if value is None else f"{value}"
