"""Where the walls of a room lie in plan, as seen from one of them."""

import math
from collections.abc import Iterator
from dataclasses import dataclass

from planlint.model.rooms import Wall
from planlint.sums.working import Lacking

Vector = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Frame:
    """Where a wall begins in plan (m), and which way it heads (rad, to the right positive)."""

    start: Vector
    heading: float

    def spot(self, at: float, out: float = 0.0) -> Vector:
        """The spot `at` metres from the wall's left end, `out` metres off it into the room."""
        east, north = math.sin(self.heading), math.cos(self.heading)
        return self.start[0] + at * east + out * north, self.start[1] + at * north - out * east


def frames_from(wall: Wall) -> dict[Wall, Frame]:
    """The walls that can be placed from `wall`, which begins at the origin; each by the fewest corners between."""
    found = {wall: (0, Frame((0.0, 0.0), 0.0))}
    for way in (_onwards(wall), _backwards(wall)):
        for corners, (other, frame) in enumerate(way, 1):
            if other not in found or corners < found[other][0]:
                found[other] = corners, frame
    return {other: frame for other, (_, frame) in found.items()}


def between(wall: Wall, other: Wall) -> Lacking:
    """What is not recorded between two walls of a room, so that they cannot be placed in one plan."""
    walls = wall.room.walls
    first, last = sorted((walls.index(wall), walls.index(other)))
    keys = [
        f"{one.place}.{key}"
        for one in walls[first:last]
        for key, value in (("length", one.length), ("then", one.turn))
        if value is None
    ]
    return Lacking(f"how {wall.name} and {other.name} lie to each other", tuple(keys))


def outline_in(frames: dict[Wall, Frame], wall: Wall) -> tuple[Vector, ...]:
    """The outline of a closed room of which all walls are placed; empty where they are not."""
    room = wall.room
    if not room.is_closed or any(one not in frames for one in room.walls):
        return ()
    return tuple(frames[one].start for one in room.walls)


def _onwards(wall: Wall) -> Iterator[tuple[Wall, Frame]]:
    frame = Frame((0.0, 0.0), 0.0)
    for other in _after(wall):
        if wall.length is None or wall.turn is None:
            return
        frame = Frame(frame.spot(wall.length), frame.heading + wall.turn)
        yield other, frame
        wall = other


def _backwards(wall: Wall) -> Iterator[tuple[Wall, Frame]]:
    frame = Frame((0.0, 0.0), 0.0)
    for other in _before(wall):
        if other.length is None or other.turn is None:
            return
        turned = Frame(frame.start, frame.heading - other.turn)
        frame = Frame(turned.spot(-other.length), turned.heading)
        yield other, frame


def _after(wall: Wall) -> tuple[Wall, ...]:
    walls, here = wall.room.walls, wall.room.walls.index(wall)
    return walls[here + 1 :] + (walls[:here] if wall.room.is_closed else ())


def _before(wall: Wall) -> tuple[Wall, ...]:
    walls, here = wall.room.walls, wall.room.walls.index(wall)
    return walls[:here][::-1] + (walls[here + 1 :][::-1] if wall.room.is_closed else ())
