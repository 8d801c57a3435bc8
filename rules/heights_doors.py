"""Switches and doors: what an open leaf hides."""

import math
from collections.abc import Iterator

from planlint.api import (
    NOT_APPLICABLE,
    PASS,
    Fail,
    Given,
    HoldPoint,
    Length,
    Level,
    Open,
    Opening,
    OpeningKind,
    Outcome,
    Point,
    PointKind,
    Remedy,
    Swing,
    Wall,
    at_least,
    rule,
)


@rule(
    "switch-on-latch-side",
    judges=Point,
    level=Level.WARNING,
    guards=HoldPoint.CLOSING_IN,
    needs=("at", "width", "hinges", "opens", "length", "then"),
)
def switch_on_latch_side(point: Point, given: Given) -> Outcome:
    """A switch is not hidden behind the open leaf of a door.

    Why: whoever comes in has to walk round the door in the dark to find it.
    Source: common practice.
    """
    wall = point.wall
    if wall is None or point.kind is not PointKind.SWITCH:
        return NOT_APPLICABLE
    beside = [*_towards(wall, "left"), *_towards(wall, "right"), *_neighbours(wall)]
    if not beside:
        return NOT_APPLICABLE
    if point.at is None:
        return Open(f"how far along {wall.name} {point.name} is", "at")
    outcomes = [outcome for door, side in beside if (outcome := _behind(point, point.at, wall, door, side))]
    return next((one for kind in (Fail, Open) for one in outcomes if isinstance(one, kind)), PASS)


def _leaves(wall: Wall) -> Iterator[Opening]:
    """The doors whose leaf may swing into the room."""
    return (
        opening for opening in wall.openings if opening.kind is OpeningKind.DOOR and opening.opens in (None, Swing.IN)
    )


def _neighbours(wall: Wall) -> Iterator[tuple[Opening, str]]:
    """The doors of the walls before and after this one, with no outside corner between, and the side of the corner."""
    walls, here = wall.room.walls, wall.room.walls.index(wall)
    goes_on = wall.room.is_closed and len(walls) > 1
    if here > 0 or goes_on:
        before = walls[here - 1]
        yield from _towards(before, "right") if _is_inside(before) else ()
    if here < len(walls) - 1 or goes_on:
        yield from _towards(walls[(here + 1) % len(walls)], "left") if _is_inside(wall) else ()


def _towards(wall: Wall, side: str) -> Iterator[tuple[Opening, str]]:
    return ((door, side) for door in _leaves(wall) if door.hinges in (None, side))


def _is_inside(wall: Wall) -> bool:
    """Whether no outside corner comes after a wall, as far as is recorded."""
    return wall.turn is None or wall.turn >= 0


def _behind(point: Point, at: Length, own: Wall, door: Opening, side: str) -> Fail | Open | None:
    """Whether a leaf hinged on that side hides the switch when it stands open; None where it does not."""
    if door.at is None or door.width is None:
        missing = [f"{door.place}.{key}" for key, value in (("at", door.at), ("width", door.width)) if value is None]
        return Open(f"where {door.name} is, and so whether it hides {point.name}", *missing)
    jamb = door.at if side == "left" else door.at + door.width
    if own is door.wall:
        apart = jamb - at if side == "left" else at - jamb
        if apart < 0:
            return None
    else:
        found = _round_the_corner(at, own, jamb, door, side)
        if isinstance(found, Open):
            return found
        apart = found
    if at_least(apart, door.width):
        return None
    missing = [
        f"{door.place}.{key}" for key, value in (("hinges", door.hinges), ("opens", door.opens)) if value is None
    ]
    if missing:
        return Open(f"how {door.name} opens, and so whether its leaf hides {point.name}", *missing)
    return Fail(
        f"the open leaf of {door.name} hides {point.name}, {{measured}} from its hinges; the leaf is {{allowed}} wide",
        measured=at.like(apart),
        allowed=door.width,
        remedy=Remedy("move the switch to the latch side, or hang the door the other way round"),
    )


def _round_the_corner(at: Length, own: Wall, jamb: float, door: Opening, side: str) -> float | Open:
    """How far the switch is from the hinges in plan, where it is on the neighbouring wall (law of cosines)."""
    before = own if side == "left" else door.wall
    if before.length is None or before.turn is None:
        recorded = (("length", before.length), ("then", before.turn))
        missing = [f"{before.place}.{key}" for key, value in recorded if value is None]
        return Open(f"how far {door.name} is from the corner, and so whether its leaf hides a switch", *missing)
    to_jamb = jamb if side == "left" else before.length - jamb
    to_switch = before.length - at if side == "left" else at
    return math.sqrt(max(to_jamb**2 + to_switch**2 + 2 * to_jamb * to_switch * math.cos(before.turn), 0.0))
