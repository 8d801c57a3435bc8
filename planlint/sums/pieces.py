"""Where the cut pieces of a wall stand, where two of them meet, and what of the finished face they leave bare."""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Final

from planlint.model.rooms import BoardJoint, Opening, Piece, Wall
from planlint.rule import Given
from planlint.sums.faces import FinishedFace, finished_face
from planlint.sums.working import Lacking
from planlint.units import Length, at_most

LIMITS_OF_PIECES = ("floor_gap", "piece_tolerance", "timber_sheet_kinds")
LEAST_BAND: Final = 0.050
"""[m] How far the upper or lower edges of pieces in one row may differ and still count as one line: floors and
ceilings of old rooms are not level (own decision)."""


@dataclass(frozen=True, slots=True)
class Placed:
    """A piece and where it stands, in metres: along from the left end of the bare wall, up from the bare floor."""

    piece: Piece
    bottom: float
    top: float
    """Where it ends; infinite where it goes up to a ceiling whose height is not known."""
    left: tuple[float, float]
    """Its left edge, at its bottom and at its top."""
    right: tuple[float, float]

    def edges(self, height: float) -> tuple[float, float]:
        """Its left and right edge at a height."""
        rise = self.top - self.bottom
        share = min(max((height - self.bottom) / rise, 0.0), 1.0) if 0 < rise < math.inf else 0.0
        left, right = (below + (above - below) * share for below, above in (self.left, self.right))
        return left, right


@dataclass(frozen=True, slots=True)
class Seam:
    """Where two pieces meet, in metres: along from the left end of the bare wall, up from the bare floor."""

    joint: BoardJoint
    at: tuple[float, float]
    """Where it begins below and ends above; walls that lean have joints that lean."""
    bottom: float
    top: float

    @property
    def middle(self) -> float:
        """Where it stands halfway up."""
        return sum(self.at) / 2


@dataclass(frozen=True, slots=True)
class Misfit:
    """A stretch of the finished face that has no board, or has two: `by` is above 0 where it is bare (metres)."""

    by: float
    start: float
    """Where it begins, along from the left end of the bare wall."""
    height: float
    is_end: bool
    """Whether it lies at the right end of the face, so that the pieces as a whole come out too short or too long."""
    pieces: float
    """Up to where the pieces come there, from the left end of what they have to cover."""
    face: float
    """How long that is."""


def layers_of(wall: Wall) -> tuple[int, ...]:
    """The layers of boards that pieces are given for, from the wall towards the room."""
    return tuple(sorted({piece.in_layer for piece in wall.pieces}))


def sheet_gap(wall: Wall, layer: int, given: Given) -> float:
    """The gap (m) that is left between the sheets of a layer and at their edges: only timber sheets have one."""
    hung = [one for one in wall.lining.layers if one.board] if wall.lining else []
    found = hung[layer - 1] if 0 < layer <= len(hung) else None
    is_timber = found is not None and found.board is not None and found.board.kind in given.words("timber_sheet_kinds")
    return (found.gap or 0.0) if found and is_timber else 0.0


def placed_pieces(wall: Wall, layer: int, given: Given) -> tuple[Placed, ...] | Lacking:
    """Where each piece of a layer stands, row by row.

    Absent `at`: where the piece before it ends, the first where the lined face begins. Absent `bottom`: the floor gap,
    in a higher row on top of the row below. Absent `height`: up to the end of the lining.
    """
    face = finished_face(wall, layer)
    if isinstance(face, Lacking):
        return face
    pieces = [piece for piece in wall.pieces if piece.in_layer == layer]
    if keys := tuple(f"{piece.place}.width" for piece in pieces if piece.width_bottom is None):
        return Lacking("how wide the pieces are", keys)
    gap, floor_gap = sheet_gap(wall, layer, given), given.quantity("floor_gap", Length)
    placed: list[Placed] = []
    below: float | None = floor_gap
    for row in sorted({piece.row for piece in pieces}):
        in_row: list[Placed] = []
        for piece in pieces:
            if piece.row != row:
                continue
            bottom = below if piece.bottom is None else piece.bottom
            if bottom is None:
                return Lacking("at which height the upper row begins", (f"{piece.place}.bottom",))
            in_row.append(_placed(piece, bottom, face, in_row[-1] if in_row else None, gap))
        placed += in_row
        tops = [one.top for one in in_row if one.piece.height_left is not None]
        below = max(tops) + gap if len(tops) == len(in_row) else None
    return tuple(placed)


def _placed(piece: Piece, bottom: float, face: FinishedFace, before: Placed | None, gap: float) -> Placed:
    heights = [height for height in (piece.height_left, piece.height_right) if height is not None]
    top = bottom + min(heights) if heights else face.height or math.inf
    lefts = []
    for index, level in enumerate((bottom, top if top < math.inf else 0.0)):
        if piece.at is not None:
            lefts.append(face.starts_at(level) + piece.at)
        elif before:
            lefts.append(before.right[index] + gap)
        else:
            lefts.append(face.at(level)[0] + gap)
    left, width = (lefts[0], lefts[1]), piece.width_bottom or 0.0
    return Placed(piece, bottom, top, left, (left[0] + width, left[1] + (piece.width_top or width)))


def seam(joint: BoardJoint, given: Given) -> Seam | Lacking | None:
    """Where two neighbouring pieces meet; None where they do not, with an opening or a bare stretch between them."""
    placed = placed_pieces(joint.wall, joint.left.in_layer, given)
    if isinstance(placed, Lacking):
        return placed
    left, right = (next(one for one in placed if one.piece is piece) for piece in (joint.left, joint.right))
    bottom, top = max(left.bottom, right.bottom), min(left.top, right.top)
    apart = sheet_gap(joint.wall, joint.left.in_layer, given) + given.quantity("piece_tolerance", Length)
    between = [(left.edges(height)[1], right.edges(height)[0]) for height in (bottom, top)]
    if bottom >= top or not all(at_most(end - start, apart) for start, end in between):
        return None
    below, above = (sum(pair) / 2 for pair in between)
    return Seam(joint, (below, above), bottom, top)


def seams(wall: Wall, layer: int, given: Given) -> tuple[Seam, ...] | Lacking:
    """All the places where two neighbouring pieces of a layer meet."""
    found = [seam(joint, given) for joint in wall.board_joints if joint.left.in_layer == layer]
    lacking = next((one for one in found if isinstance(one, Lacking)), None)
    return lacking or tuple(one for one in found if isinstance(one, Seam))


def misfits(wall: Wall, layer: int, given: Given) -> tuple[Misfit, ...] | Lacking:
    """What the pieces of a layer leave bare, or cover twice, by more than the tolerance, from the floor up.

    The face is looked at just where rows begin and end: between, all edges run straight. What lies in an opening is
    wanted by nobody.
    """
    face, placed = finished_face(wall, layer), placed_pieces(wall, layer, given)
    if isinstance(face, Lacking) or isinstance(placed, Lacking):
        return face if isinstance(face, Lacking) else placed if isinstance(placed, Lacking) else ()
    holes = _holes(wall)
    if isinstance(holes, Lacking):
        return holes
    gap, tolerance = sheet_gap(wall, layer, given), given.quantity("piece_tolerance", Length)
    edges = {edge for one in placed for edge in (one.bottom, one.top)}
    edges |= {edge for hole in holes for edge in hole[2:] if min(edges) < edge < max(edges)}
    found: list[Misfit] = []
    for low, high in pairwise(sorted(edges)):
        if high - low < LEAST_BAND:
            continue
        hung = sorted((one for one in placed if one.bottom <= low and one.top >= high), key=lambda one: one.left)
        open_ = [hole[:2] for hole in holes if hole[2] <= low and hole[3] >= high]
        for height in (low, high if high < math.inf else low):
            spans = [one.edges(height) for one in hung]
            found += _misfits(face.at(height), height, spans, open_, gap, tolerance)
    return tuple(found)


def _misfits(  # noqa: PLR0913, PLR0917 - a line across the face, and all that lies on it
    within: tuple[float, float],
    height: float,
    spans: Sequence[tuple[float, float]],
    openings: Sequence[tuple[float, float]],
    gap: float,
    tolerance: float,
) -> Iterator[Misfit]:
    start, end = within
    reached = start
    for left, right in [*spans, (end, end)]:
        by, is_end = left - gap - reached, (left, right) == (end, end)
        is_open = any(at_most(hole - tolerance, reached) and at_most(left, stop + tolerance) for hole, stop in openings)
        if not at_most(abs(by), tolerance) and not (by > 0 and is_open):
            yield Misfit(by, reached, height, is_end, reached - start, end - start)
        reached = max(reached, right)


def _holes(wall: Wall) -> list[tuple[float, float, float, float]] | Lacking:
    """The openings of a wall: from and to along it, from and to in height."""
    unknown = [
        f"{one.place}.{key}"
        for one in wall.openings
        for key, value in (("at", one.at), ("width", one.width))
        if value is None
    ]
    if unknown:
        return Lacking("where the openings of the wall are", tuple(unknown))
    return [(one.at or 0.0, (one.at or 0.0) + (one.width or 0.0), *rise(one)) for one in wall.openings]


def rise(opening: Opening) -> tuple[float, float]:
    """From where to where an opening goes above the bare floor; where a height is not known, as far as it may."""
    datum = opening.wall.room.floor.datum
    bottom = 0.0 if opening.reaches_floor and opening.sill is None else (opening.sill or 0.0) + datum
    if opening.sill is None and not opening.reaches_floor:
        return 0.0, math.inf
    return bottom, (opening.sill or 0.0) + datum + opening.height if opening.height is not None else math.inf


def ceiling_over(piece: Piece, given: Given) -> tuple[Length, Length] | Lacking:
    """The lowest and the highest place at which the lining over a piece ends, above the bare floor."""
    wall = piece.wall
    if wall.height_left is None or wall.height_right is None:
        return Lacking("how high the wall is", (f"{wall.place}.height",))
    heights = [wall.height_left, wall.height_right, *(height for _, height in wall.gable)]
    if min(heights) < max(heights):
        placed = placed_pieces(wall, piece.in_layer, given)
        if isinstance(placed, Lacking):
            return placed
        start, end = next(one.edges(one.bottom) for one in placed if one.piece is piece)
        over = [wall.height_at(start), wall.height_at(end), *(high for at, high in wall.gable if start < at < end)]
        heights = [wall.height_left.like(height) for height in over if height is not None]
    if wall.extent and wall.extent.top is not None:
        heights = [min(height, wall.extent.top) for height in heights]
    return min(heights), max(heights)
