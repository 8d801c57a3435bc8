"""Spots of a ceiling, each given by how far it is from walls of its room, and how far apart two of them lie."""

import math
from collections.abc import Mapping, Sequence
from itertools import combinations, pairwise
from typing import Final

from planlint.model.rooms import Ceiling, Wall
from planlint.sums.near import Kind, Near
from planlint.sums.plan_view import Frame, Vector, frames_from, outline_in
from planlint.sums.working import Lacking

FromWalls = Mapping[Wall, float]
"""How far (m) a spot is from walls, square to each."""

SHALLOW: Final = math.sin(math.radians(5))
"""Walls that lie to each other at less than 5° do not fix a spot between them (own decision)."""


def near_on_ceiling(ceiling: Ceiling, spot: FromWalls) -> list[Near | Lacking]:
    """The points of a ceiling and how far each is from a spot, as exactly as their distances from walls say.

    Where one of the two is not fixed by its walls, they lie at least as far apart as their distances from one wall
    differ; where they have no wall in common, nobody knows.
    """
    found: list[Near | Lacking] = []
    where = located(spot)
    for point in ceiling.points:
        distances = dict(point.from_walls)
        there = located(distances, start=next(iter(spot)))
        what, key = f"{point.name} ({point.kind}), with its cable", f"{point.place}.at"
        if where and there:
            apart = (math.dist(where, there), 0.0)
            found.append(Near(Kind.OUTLET, what, point.place, apart, said="to its middle, across the ceiling"))
            continue
        gaps = [abs(distances[wall] - distance) for wall, distance in spot.items() if wall in distances]
        if gaps:
            said = "to its middle at least: its distances from walls do not say more"
            found.append(Near(Kind.OUTLET, what, point.place, (max(gaps), 0.0), said=said, keys=(key,)))
        else:
            found.append(Lacking(f"where {point.name} is on the ceiling, as seen from the same walls", (key,)))
    return found


def located(spot: FromWalls, start: Wall | None = None) -> Vector | None:
    """Where a spot lies in plan, seen from the wall `start`; None where its walls do not fix it."""
    frames = frames_from(start or next(iter(spot))) if spot else {}
    placed = [(frames[wall], distance) for wall, distance in spot.items() if wall in frames]
    for (one, near), (other, far) in combinations(placed, 2):
        meeting = _meet(one, near, other, far)
        if meeting:
            return meeting
    return None


def _meet(one: Frame, near: float, other: Frame, far: float) -> Vector | None:
    """Where two lines meet, each as far off its wall as said: n₁ · p = n₁ · s₁ + d₁ and n₂ · p = n₂ · s₂ + d₂."""
    normals = [_inward(frame) for frame in (one, other)]
    sums = [
        normal[0] * frame.start[0] + normal[1] * frame.start[1] + distance
        for normal, frame, distance in zip(normals, (one, other), (near, far), strict=True)
    ]
    cross = normals[0][0] * normals[1][1] - normals[0][1] * normals[1][0]
    if abs(cross) < SHALLOW:
        return None
    return (
        (sums[0] * normals[1][1] - sums[1] * normals[0][1]) / cross,
        (sums[1] * normals[0][0] - sums[0] * normals[1][0]) / cross,
    )


def _inward(frame: Frame) -> Vector:
    """What leads from a wall straight into its room."""
    foot, out = frame.spot(0.0), frame.spot(0.0, 1.0)
    return out[0] - foot[0], out[1] - foot[1]


def lies_outside(spot: FromWalls) -> bool:
    """Whether a spot surely lies beyond the walls of its room."""
    where, start = located(spot), next(iter(spot))
    outline = outline_in(frames_from(start), start)
    return bool(where and outline) and not _holds(outline, where or (0.0, 0.0))


def _holds(outline: Sequence[Vector], spot: Vector) -> bool:
    """Whether an outline holds a spot: a level line from it crosses the outline an odd number of times."""
    crossings = 0
    for (left, low), (right, high) in pairwise((*outline, outline[0])):
        if (low > spot[1]) != (high > spot[1]):
            crossings += spot[0] < left + (spot[1] - low) / (high - low) * (right - left)
    return crossings % 2 == 1
