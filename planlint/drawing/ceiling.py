"""The points of a ceiling, as they lie in the plan of the room: seen from above, so that it fits the floor below.

Each has the distances from two walls that were given for it, as one tapes them out on the floor and plumbs them up.
"""

import math
from collections.abc import Iterator
from typing import Final

from planlint.drawing.outline import Leg, Taped, plotted
from planlint.drawing.paper import TICK, box_of
from planlint.drawing.plan_marks import along
from planlint.drawing.plan_scene import Numbers, PlanScene, caption
from planlint.drawing.plan_things import draw_ceiling_point
from planlint.drawing.plan_walls import LIMITS_OF_OUTLINE, draw_outline
from planlint.drawing.symbols import SIZE
from planlint.limit_values import listed
from planlint.model.rooms import Ceiling
from planlint.model.services import Point
from planlint.rule import Given
from planlint.sheet_records import Line, Look, Mark, Picture, Spot, Table
from planlint.units import Length

LIMITS_OF_CEILING: Final = LIMITS_OF_OUTLINE

_SHARES: Final = (0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8)
_OFF: Final = 0.4


def ceiling_view(ceiling: Ceiling, given: Given, numbers: Numbers) -> Picture | None:
    """The points of a ceiling in the plan of its room; None where not one of them can be placed."""
    room, plot = ceiling.room, plotted(ceiling.room)
    if plot is None:
        return None
    # The findings of walls and corners, and what is lacking of them, stand in the plan of the room.
    own = {place: flags for place, flags in numbers.items() if place.startswith(ceiling.place)}
    scene = PlanScene(plot, own)
    draw_outline(scene, given)
    scene.unplaced.clear()
    placed = [(point, found) for point in ceiling.points if (found := draw_ceiling_point(scene, point))]
    if not placed:
        return None
    for point, found in placed:
        for leg, distance in found.distances:
            _draw_distance(scene, found, leg, distance)
        scene.label(caption([point.name], scene.flags(point.place)), plot.spot(found.place), SIZE / 2)
    scene.label_room(["ceiling"], scene.flags(ceiling.place))
    return scene.picture(
        f"Ceiling of room {room.name}, as on the floor plan: seen from above",
        " ".join(_told(point, found) for point, found in placed),
    )


def table_of_ceiling_points(ceiling: Ceiling) -> Table | None:
    """The points of a ceiling in figures; None where it has none."""
    if not ceiling.points:
        return None
    rows = tuple(
        (
            point.name,
            str(point.kind),
            listed([f"{distance} from {wall.name}" for wall, distance in point.from_walls], "and")
            if point.from_walls
            else "not recorded",
            point.circuit_name or "not recorded",
            ", ".join(point.switched_by or ()),
        )
        for point in ceiling.points
    )
    return Table("Points on the ceiling", ("Point", "Kind", "Where", "Circuit", "Switched by"), rows)


def _draw_distance(scene: PlanScene, found: Taped, leg: Leg, distance: Length) -> None:
    """The distance of a point from a wall, square to it."""
    (x, y), (east, north) = found.place, leg.inward
    foot = scene.plot.spot((x - distance * east, y - distance * north))
    ends = foot, scene.plot.spot(found.place)
    scene.put(*_line(*ends))
    apart = math.dist(*ends)
    if not apart:
        return
    side = (ends[1][1] - ends[0][1]) / apart, -(ends[1][0] - ends[0][0]) / apart
    for share in _SHARES:
        for sign in (1, -1):
            text = along(str(distance), ends, share, (sign * side[0], sign * side[1]), _OFF)
            if scene.is_free(box_of(text)):
                scene.put(text)
                return
    middle = (ends[0][0] + ends[1][0]) / 2, (ends[0][1] + ends[1][1]) / 2
    scene.label(caption([f"{distance} from {leg.wall.name}"]), middle, _OFF)


def _line(start: Spot, end: Spot) -> Iterator[Mark]:
    """A line with oblique strokes at its ends (ISO 129-1)."""
    yield Line(Look.DIMENSION, (start, end))
    for x, y in (start, end):
        yield Line(Look.DIMENSION, ((x - TICK, y + TICK), (x + TICK, y - TICK)))


def _told(point: Point, found: Taped) -> str:
    where = listed([f"{distance} from {leg.wall.name}" for leg, distance in found.distances], "and")
    return f"{point.name}, {point.kind}: {where}."
