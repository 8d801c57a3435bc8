"""Pieces cut out of a face: strips of boards, their rows, and what openings and boxes take out of them."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Final

from planlint.geometry import Panel, Rectangle
from planlint.model.rooms import Wall
from planlint.rule import Given
from planlint.sums.pieces import rise
from planlint.sums.working import Lacking
from planlint.takeoff_records import Cutout
from planlint.units import Length

__all__ = ["LIMITS_OF_HOLES", "Hole", "Part", "carved", "cutouts", "holes_of"]

LIMITS_OF_HOLES: Final = ("gang_spacing",)
SAME: Final = 0.0005
"""[m] What is closer than this lies at one place."""


@dataclass(frozen=True, slots=True)
class Hole:
    """What is cut out of the boards; places are metres from the left end of the bare wall, and from the bare floor."""

    what: str
    spot: Rectangle
    is_box: bool = False


@dataclass(frozen=True, slots=True)
class Part:
    """A part of a strip, and whether its left and right edge are still those of the strip."""

    panel: Panel
    is_left: bool = True
    is_right: bool = True


def carved(part: Part, openings: Sequence[Rectangle]) -> Iterator[Part]:
    """The parts that openings leave of a strip where they reach from one side of it to the other, lowest first.

    An opening that does not is left to be cut out of the piece.
    """
    bounds = part.panel.bounds
    for hole in openings:
        meets = (
            hole.left < bounds.right - SAME
            and hole.right > bounds.left + SAME
            and hole.bottom < bounds.top - SAME
            and hole.top > bounds.bottom + SAME
        )
        if not meets:
            continue
        if hole.left <= bounds.left + SAME and hole.right >= bounds.right - SAME:
            for panel in (*part.panel.clip(top=hole.bottom), *part.panel.clip(bottom=hole.top)):
                yield from carved(replace(part, panel=panel), openings)
            return
        if hole.bottom <= bounds.bottom + SAME and hole.top >= bounds.top - SAME:
            for panel in part.panel.clip(right=hole.left):
                yield from carved(Part(panel, part.is_left, is_right=False), openings)
            for panel in part.panel.clip(left=hole.right):
                yield from carved(Part(panel, is_left=False, is_right=part.is_right), openings)
            return
    if min(bounds.width, bounds.height) > SAME:
        yield part


def cutouts(panel: Panel, holes: Sequence[Hole]) -> tuple[tuple[Cutout, ...], float]:
    """What the holes take out of a piece, and the area that is left of it."""
    found = tuple(
        Cutout(hole.what, box.left, box.bottom, box.width, box.height, hole.is_box)
        for hole in holes
        for box in panel.without([hole.spot]).cutouts
        if min(box.width, box.height) > SAME
    )
    return found, panel.without([hole.spot for hole in holes]).area


def holes_of(wall: Wall, given: Given) -> tuple[tuple[Hole, ...], tuple[Lacking, ...]]:
    """The openings and the holes for boxes in a wall, and those of which something is not recorded."""
    holes: list[Hole] = []
    lacking: list[Lacking] = []
    for opening in wall.openings:
        needed = {"at": opening.at, "width": opening.width, "height": opening.height}
        needed |= {} if opening.reaches_floor else {"sill": opening.sill}
        keys = tuple(f"{opening.place}.{key}" for key, value in needed.items() if value is None)
        if keys or opening.at is None or opening.width is None:
            lacking.append(Lacking("where the opening is and how large, so that no board is cut for it", keys))
            continue
        low, high = rise(opening)
        holes.append(Hole(opening.place, Rectangle(opening.at, low, opening.width, high - low)))
    spacing = given.quantity("gang_spacing", Length)
    for point in wall.points:
        if point.box is None:
            continue
        hole = point.box.hole
        needed = {f"{point.place}.at": point.at, f"{point.place}.height": point.height, f"{point.box.place}.hole": hole}
        keys = tuple(key for key, value in needed.items() if value is None)
        if point.at is None or point.height is None or hole is None:
            lacking.append(Lacking("where the hole for the box is and how large", keys))
            continue
        width = hole + (point.gangs - 1) * spacing
        middle = point.height + wall.room.floor.datum
        spot = Rectangle(point.at - width / 2, middle - hole / 2, width, hole)
        holes.append(Hole(point.place, spot, is_box=True))
    return tuple(holes), tuple(lacking)
