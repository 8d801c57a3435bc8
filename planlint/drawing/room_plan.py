"""A room from above: its walls with names and lengths, corners, openings, points, fixtures, and what is found there.

Walls are drawn as measured; where diagonals were measured, with the true turns.
"""

import math
from collections.abc import Iterator
from typing import Final

from planlint.drawing.outline import Plotted, plotted
from planlint.drawing.plan_scene import Numbers, PlanScene, caption
from planlint.drawing.plan_things import draw_ceiling_point, draw_fixture, draw_point
from planlint.drawing.plan_walls import LIMITS_OF_OUTLINE, draw_outline, missed
from planlint.drawing.symbols import SIZE
from planlint.limit_values import listed
from planlint.model.rooms import Room, Wall
from planlint.rule import Given
from planlint.sheet_records import Picture, Table
from planlint.units import Angle, Length, at_most

LIMITS_OF_ROOM_PLAN: Final = LIMITS_OF_OUTLINE

_COUNTS: Final = (
    "no",
    "one",
    "two",
    "three",
    "four",
    "five",
    "six",
    "seven",
    "eight",
    "nine",
    "ten",
    "eleven",
    "twelve",
)


def room_plan(room: Room, given: Given, numbers: Numbers) -> Picture | None:
    """The room from above; None where not one of its walls has a length."""
    plot = plotted(room)
    if plot is None:
        return None
    scene = PlanScene(plot, numbers)
    draw_outline(scene, given)
    for leg in plot.legs:
        for point in leg.wall.points:
            draw_point(scene, leg, point)
    ceiling = room.ceiling
    placed = [(point, draw_ceiling_point(scene, point)) for point in (ceiling.points if ceiling else ())]
    for point, found in placed:
        if found:
            scene.label(caption([point.name]), plot.spot(found.place), SIZE / 2)
    for fixture in room.fixtures:
        draw_fixture(scene, fixture)
    places = [room.place, room.floor.place]
    if ceiling and not any(found for _, found in placed):
        # It has no drawing of its own.
        places += [ceiling.place, *(point.place for point in ceiling.points)]
    scene.label_room([room.name], scene.flags(*places))
    allowed = given.quantity("outline_misclosure", Length)
    return scene.picture(f"Room {room.name}, seen from above", " ".join(told(plot, allowed)))


def table_of_walls(room: Room) -> Table | None:
    """The walls in the order of the walk, with what is measured of them; None where there is none."""
    if not room.walls:
        return None
    rows = tuple(
        (
            wall.name,
            f"{wall.length}" if wall.length else "not recorded",
            f"{wall.length_at_top}" if wall.length_at_top else "",
            _turned(wall) or "",
            str(wall.corner.joint) if wall.corner and wall.corner.joint else "",
        )
        for wall in room.walls
    )
    return Table("Walls in the order of the walk", ("Wall", "Length", "At the top", "Then", "Corner"), rows)


def told(plot: Plotted, allowed: Length) -> Iterator[str]:
    """The walls in words, as one walks along them."""
    room, count = plot.room, len(plot.legs)
    number = _COUNTS[count].capitalize() if count < len(_COUNTS) else str(count)
    parts: list[str] = []
    for leg in plot.legs:
        parts.append(f"{leg.wall.name} {leg.wall.length}")
        turned = _turned(leg.wall)
        if turned and (leg is not plot.legs[-1] or plot.is_whole):
            parts.append(turned)
    walls = "wall" if count == 1 else "walls"
    end = ""
    if plot.is_whole:
        closes = at_most(plot.gap, allowed)
        end = ", back to where the walk began" if closes else f", which misses the beginning by {missed(plot)}"
    yield f"{number} {walls}, walked clockwise: {', '.join(parts)}{end}."
    if plot.is_whole and room.fitted:
        yield "The turns are drawn as the measured diagonals give them."
    if count < len(room.walls):
        yield f"{len(room.walls) - count} more cannot be placed."
    elif not plot.is_whole:
        yield "The walls do not go all the way round, as far as is recorded."
    outside = [leg.wall.name for leg in plot.legs if leg.wall.corner and leg.wall.corner.is_outside]
    if outside:
        yield f"Outside corners at the end of {listed(outside, 'and')}."


def _turned(wall: Wall) -> str | None:
    """The turn at the end of a wall in words."""
    turn = wall.turn
    if turn is None:
        return None
    if math.isclose(turn, 0.0, abs_tol=1e-9):
        return "straight on"
    side = "right turn" if turn > 0 else "left turn"
    return side if math.isclose(abs(turn), math.pi / 2) else f"{side} by {Angle(abs(turn), '°')}"
