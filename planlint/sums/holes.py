"""Where the holes of points are marked: from the ends of the bare wall, from the floor as it is now, and on boards."""

from collections.abc import Iterator
from dataclasses import dataclass

from planlint.model.rooms import Floor, Piece, Wall
from planlint.model.services import Box, Point
from planlint.model.words import HeightsFrom
from planlint.rule import Given
from planlint.sums.pieces import LIMITS_OF_PIECES, Placed, layers_of, placed_pieces
from planlint.sums.plates import LIMITS_OF_PLATES
from planlint.sums.working import Lacking, tidy
from planlint.units import Length, at_most

LIMITS_OF_HOLES = (*LIMITS_OF_PLATES, "hole_tolerance")
LIMITS_OF_HOLES_ON_PIECES = (*LIMITS_OF_HOLES, *LIMITS_OF_PIECES)
_SLACK = 1e-6
"""A micrometre: what floats leave of a figure, and nobody can measure."""


@dataclass(frozen=True, slots=True)
class Hole:
    """One hole of a point on a wall, by its centre."""

    point: Point
    gang: int
    """Its number on the plate, counted from the left."""
    left: Length | Lacking
    """From the left end of the bare wall, facing it."""
    right: Length | Lacking
    """From the right end of the bare wall at that height."""
    now: Length | Lacking
    """Above the bare floor."""
    finished: Length | Lacking

    @property
    def width(self) -> Length | None:
        """Its diameter, where that is recorded."""
        return self.point.box.hole if self.point.box else None


@dataclass(frozen=True, slots=True)
class HoleInPiece:
    """Where a hole goes through a board: from its left edge at the height of the hole, and from its lower edge."""

    hole: Hole
    piece: Piece
    left: Length
    bottom: Length
    crosses_edge: bool
    """Whether the hole goes over an edge of the piece, so that a part of it is in the next one, or in the air."""


def above_bare(height: Length, floor: Floor) -> Length | Lacking:
    """A height as its room measures it, from the floor as it is now."""
    if floor.heights_from is HeightsFrom.RAW:
        return height
    return _no_build_up(floor) if floor.build_up is None else height.like(tidy(height + floor.build_up))


def above_finished(height: Length, floor: Floor) -> Length | Lacking:
    """A height as its room measures it, from the floor as it will be."""
    if floor.heights_from is HeightsFrom.FINISHED:
        return height
    return _no_build_up(floor) if floor.build_up is None else height.like(tidy(height - floor.build_up))


def _no_build_up(floor: Floor) -> Lacking:
    return Lacking("how much is still to be laid on the floor", (f"{floor.place}.build_up",))


def centre_of(point: Point, given: Given) -> Length | Lacking:
    """The height of a point's centre, as its room measures heights."""
    height = point.centre(given.quantity("plate_width", Length))
    return Lacking(f"how high {point.name} is", (f"{point.place}.height",)) if height is None else height


def holes_of(point: Point, wall: Wall, given: Given) -> tuple[Hole, ...]:
    """The holes of a point on a wall, from left to right: (i - (n - 1) / 2) · spacing from the middle of its plate."""
    height, spacing = centre_of(point, given), given.quantity("gang_spacing", Length)
    now = height if isinstance(height, Lacking) else above_bare(height, wall.room.floor)
    finished = height if isinstance(height, Lacking) else above_finished(height, wall.room.floor)
    found = []
    for gang in range(point.gangs):
        left: Length | Lacking = Lacking(f"how far along {point.name} is", (f"{point.place}.at",))
        if point.at is not None:
            left = point.at.like(tidy(point.at + (gang - (point.gangs - 1) / 2) * spacing))
        found.append(Hole(point, gang + 1, left, from_right(left, now, wall), now, finished))
    return tuple(found)


def from_right(left: Length | Lacking, now: Length | Lacking, wall: Wall) -> Length | Lacking:
    """What is left of the bare wall to the right of a spot, at the height of that spot."""
    if isinstance(left, Lacking):
        return left
    if wall.length is None:
        return Lacking(f"how long {wall.name} is", (f"{wall.place}.length",))
    leans = wall.length_at_top is not None and wall.length_at_top != wall.length
    if leans and isinstance(now, Lacking):
        return now
    length = wall.length if isinstance(now, Lacking) else wall.length_at(now)
    return left.like(tidy((length or wall.length) - left))


def saw_for(box: Box, given: Given) -> Length | Lacking | None:
    """The hole saw at hand that fits a box best; None where none does."""
    if box.hole is None or box.hole_saws is None:
        recorded = ((f"{box.place}.hole", box.hole), ("tools.hole_saws", box.hole_saws))
        keys = tuple(key for key, value in recorded if value is None)
        return Lacking("the hole that the box wants, or the hole saws at hand", keys)
    hole, tolerance = box.hole, given.quantity("hole_tolerance", Length)
    fitting = [saw for saw in box.hole_saws if at_most(abs(saw - hole), tolerance)]
    return min(fitting, key=lambda saw: abs(saw - hole), default=None)


def holes_on_pieces(wall: Wall, given: Given) -> Iterator[HoleInPiece | Lacking]:
    """The holes in each piece that the plan gives for a wall, layer by layer, and what of that is not known."""
    holes = [hole for point in wall.points for hole in holes_of(point, wall, given)]
    for layer in layers_of(wall):
        placed = placed_pieces(wall, layer, given)
        if isinstance(placed, Lacking):
            yield placed
            continue
        for hole in holes:
            if isinstance(hole.left, Lacking):
                yield hole.left
            elif isinstance(hole.now, Lacking):
                yield hole.now
            else:
                yield from (one for piece in placed if (one := _through(hole, hole.left, hole.now, piece)))


def _through(hole: Hole, at: Length, height: Length, placed: Placed) -> HoleInPiece | None:
    """The hole in a piece; None where it passes it by. Without a width the centre alone counts."""
    left, right = placed.edges(height)
    radius = hole.width / 2 if hole.width else 0.0
    inside = min(at - left, right - at, height - placed.bottom, placed.top - height)
    if inside < (_SLACK - radius if radius else -_SLACK):
        return None
    return HoleInPiece(
        hole,
        placed.piece,
        left=at.like(tidy(at - left)),
        bottom=height.like(tidy(height - placed.bottom)),
        crosses_edge=inside < radius - _SLACK,
    )
