"""Faces as polygons, and the pieces that are cut to them.

Coordinates are metres on the face as one looks at it: x to the right from its left end, z up from the floor.
"""

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from enum import Enum
from itertools import pairwise

from planlint.geometry.outlines import Vector, level

NOTHING = 1e-9
"""Lengths (m) and areas (m²) up to this are rounding."""


class Side(Enum):
    """The side of a piece that an edge of its polygon belongs to."""

    BOTTOM = "bottom"
    RIGHT = "right"
    TOP = "top"
    LEFT = "left"


@dataclass(frozen=True, slots=True)
class Rectangle:
    """An upright rectangle by its left and bottom edge and its size, in metres."""

    left: float
    bottom: float
    width: float
    height: float

    @property
    def right(self) -> float:
        """Where it ends on the right."""
        return self.left + self.width

    @property
    def top(self) -> float:
        """Where it ends at the top."""
        return self.bottom + self.height


@dataclass(frozen=True, slots=True)
class CutPiece:
    """What openings and boxes leave of a piece."""

    cutouts: tuple[Rectangle, ...]
    """The bounds of what each opening that meets the piece takes, from the left and bottom edge of its bounds."""
    area: float
    """What is left, in square metres."""


@dataclass(frozen=True, slots=True)
class Panel:
    """A face or a piece of one: a polygon whose edges know which side of it they belong to.

    `points` run from the bottom left to the right, up and back, anticlockwise as one looks at the face; edge i
    runs from point i to the next one and belongs to `sides[i]`. Above every place of its width it is in one piece
    from bottom to top; its top may be broken (a gable, also one with a valley), its left and right edges may lean.
    """

    points: tuple[Vector, ...]
    sides: tuple[Side, ...]

    @property
    def area(self) -> float:
        """Area in square metres (shoelace formula)."""
        return sum(x1 * z2 - x2 * z1 for (x1, z1), (x2, z2) in self.edges()) / 2

    @property
    def bounds(self) -> Rectangle:
        """The upright rectangle round it, by which it counts on a sheet."""
        return _round(self.points)

    @property
    def width_bottom(self) -> float:
        """Width along the bottom; 0 where it comes to a point."""
        (left, _), (right, _) = self._ends(Side.BOTTOM)
        return right - left

    @property
    def width_top(self) -> float:
        """Width between its upper corners, measured level; 0 where it comes to a point."""
        (right, _), (left, _) = self._ends(Side.TOP)
        return right - left

    @property
    def height_left(self) -> float:
        """Height of its upper left corner over the lower one, measured upright."""
        return self._ends(Side.TOP)[1][1] - self._ends(Side.BOTTOM)[0][1]

    @property
    def height_right(self) -> float:
        """Height of its upper right corner over the lower one, measured upright."""
        return self._ends(Side.TOP)[0][1] - self._ends(Side.BOTTOM)[1][1]

    def clip(
        self, *, left: float = -math.inf, right: float = math.inf, bottom: float = -math.inf, top: float = math.inf
    ) -> tuple["Panel", ...]:
        """What lies in an upright strip and a level band, from left to right.

        None where nothing does; several where the band begins above a valley of the top.
        """
        cut: Panel | None = self
        for axis, at, keep, side in (
            (0, left, 1, Side.LEFT),
            (0, right, -1, Side.RIGHT),
            (1, top, -1, Side.TOP),
            (1, bottom, 1, Side.BOTTOM),
        ):
            cut = cut and _beyond(cut, axis, at, keep, side)
        return tuple(_parts(cut, bottom)) if cut else ()

    def without(self, openings: Iterable[Rectangle]) -> CutPiece:
        """The piece with openings cut out of it, given in the coordinates of the face; they may overlap."""
        openings, origin = tuple(openings), self.bounds
        taken = sum(part.area for opening in _apart(openings) for part in self._within(opening))
        reached = [[point for part in self._within(opening) for point in part.points] for opening in openings]
        cutouts = [_round(points) for points in reached if points]
        return CutPiece(
            tuple(replace(box, left=box.left - origin.left, bottom=box.bottom - origin.bottom) for box in cutouts),
            self.area - taken,
        )

    def _within(self, opening: Rectangle) -> tuple["Panel", ...]:
        return self.clip(left=opening.left, right=opening.right, bottom=opening.bottom, top=opening.top)

    def edges(self) -> Iterator[tuple[Vector, Vector]]:
        """Its edges in the order of its points and sides."""
        return zip(self.points, [*self.points[1:], *self.points[:1]], strict=True)

    def _ends(self, side: Side) -> tuple[Vector, Vector]:
        """Where the edges of the bottom or the top begin and end, anticlockwise."""
        if side not in self.sides:
            point = (min if side is Side.BOTTOM else max)(self.points, key=lambda point: point[1])
            return point, point
        around = list(zip(self.points, self.sides, [self.sides[-1], *self.sides[:-1]], strict=True))
        start = next(point for point, own, before in around if own is side and before is not side)
        end = next(point for point, own, before in around if own is not side and before is side)
        return start, end


def face_panel(bottom: float, top: float, ceiling: Sequence[Vector], *, start: float = 0.0, lean: float = 0.0) -> Panel:
    """The polygon of a finished face.

    Args:
        bottom: Length of the face at the floor, metres.
        top: Its length at the ceiling.
        ceiling: Positions and heights from left to right: two for a straight ceiling, more for a gable. Beyond
            its ends it stays level.
        start: Where the left end of the face lies in the measure of those positions (`Face.start` where they are
            taken along the bare wall).
        lean: How far its upper left corner stands to the right of the lower one. Tapes alone do not tell: 0 makes
            the left edge plumb and gives the whole difference to the right, `bottom - top` the other way round.

    Raises:
        ValueError: A length is not above 0, or the ceiling nowhere above the floor or somewhere below it.
    """
    if not (bottom > 0 and top > 0):
        raise ValueError("the linings beside this face leave nothing of it")
    spots = [(at - start, height) for at, height in ceiling]
    under = [
        (lean, level(spots, lean)),
        *((x, z) for x, z in spots if lean < x < lean + top),
        (lean + top, level(spots, lean + top)),
    ]
    if min(z for _, z in under) < 0 or max(z for _, z in under) <= 0:
        raise ValueError("the ceiling lies above the floor")
    sides = [Side.RIGHT, *[Side.TOP] * (len(under) - 1), Side.LEFT]
    panel = _panel([((0.0, 0.0), Side.BOTTOM), *zip([(bottom, 0.0), *reversed(under)], sides, strict=True)])
    if panel is None:
        raise ValueError("the linings beside this face leave nothing of it")
    return panel


def _panel(edges: Sequence[tuple[Vector, Side]]) -> Panel | None:
    """The panel with these edges, less those without length; None where nothing is left."""
    following = [point for point, _ in [*edges[1:], *edges[:1]]]
    kept = [edge for edge, after in zip(edges, following, strict=True) if math.dist(edge[0], after) > NOTHING]
    panel = Panel(tuple(point for point, _ in kept), tuple(side for _, side in kept))
    return panel if panel.area > NOTHING else None


def _beyond(panel: Panel, axis: int, at: float, keep: int, side: Side) -> Panel | None:
    """The part on one side of an upright or level line (clipping edge by edge, Sutherland and Hodgman 1974).

    Points on the line count as beyond it, so that an edge that runs in the line becomes one of the cut.
    """
    kept: list[tuple[Vector, Side]] = []
    for (start, end), own in zip(panel.edges(), panel.sides, strict=True):
        here, there = (_snapped(keep * (point[axis] - at)) for point in (start, end))
        if here > 0:
            kept.append((start, own))
        if (here > 0) != (there > 0):
            share = here / (here - there)
            crossing = (start[0] + (end[0] - start[0]) * share, start[1] + (end[1] - start[1]) * share)
            kept.append((crossing, side if here > 0 else own))
    return _panel(kept)


def _parts(panel: Panel, bottom: float) -> Iterator[Panel]:
    """Itself, or its parts where the cut at `bottom` left them hanging together by a line of no height."""
    bridges = sorted(
        (end[0], start[0])
        for start, end in panel.edges()
        if end[0] < start[0] and not _snapped(start[1] - bottom) and not _snapped(end[1] - bottom)
    )
    gaps = [(-math.inf, -math.inf), *bridges, (math.inf, math.inf)]
    for (_, left), (right, _) in pairwise(gaps):
        part = _beyond(panel, 0, left, 1, Side.LEFT)
        part = part and _beyond(part, 0, right, -1, Side.RIGHT)
        if part:
            yield part


def _round(points: Iterable[Vector]) -> Rectangle:
    across, up = zip(*points, strict=True)
    return Rectangle(min(across), min(up), max(across) - min(across), max(up) - min(up))


def _snapped(distance: float) -> float:
    return 0.0 if abs(distance) <= NOTHING else distance


def _apart(openings: Sequence[Rectangle]) -> Iterator[Rectangle]:
    """Rectangles that cover what `openings` cover, none of it twice."""
    for left, right in pairwise(sorted({edge for opening in openings for edge in (opening.left, opening.right)})):
        done = -math.inf
        for opening in sorted(openings, key=lambda opening: opening.bottom):
            if opening.left <= left and opening.right >= right and opening.top > done:
                bottom = max(opening.bottom, done)
                yield Rectangle(left, bottom, right - left, opening.top - bottom)
                done = opening.top
