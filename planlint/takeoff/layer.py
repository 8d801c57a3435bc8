"""A layout of one layer of boards on one wall that keeps the rules, as far as one does."""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import Final

from planlint import geometry
from planlint.geometry import Panel, Rectangle, Vector
from planlint.model.buildups import Board, Lining
from planlint.model.rooms import Wall
from planlint.model.words import Edge
from planlint.rule import Given
from planlint.sums.faces import FinishedFace, finished_face, lining_depth
from planlint.sums.pieces import LIMITS_OF_PIECES, sheet_gap
from planlint.sums.supports import supports
from planlint.sums.working import Lacking
from planlint.takeoff.hanging import LIMITS_OF_HOLES, Hole, Part, carved
from planlint.takeoff.hung import Hung, card, factory_edge
from planlint.takeoff.rows import end_joints
from planlint.takeoff.strips import (
    NEAR_BOX,
    NEAR_OPENING,
    OFF_BEHIND,
    SAME,
    UNSEEN,
    Avoid,
    Run,
    Strip,
    broken,
    divide,
)
from planlint.takeoff_records import BrokenCard
from planlint.units import Length, at_least

__all__ = ["LIMITS_OF_LAYOUT", "Layer", "layer_of"]

LIMITS_OF_LAYOUT: Final = (
    *LIMITS_OF_PIECES,
    *LIMITS_OF_HOLES,
    "joint_to_opening",
    "joint_offset",
    "layer_joint_offset",
    "least_piece",
)
LEVEL: Final = 0.050
"""[m] A ceiling that rises by less along a wall is level for the rows of its pieces (as in sums.pieces)."""
BESIDE_BOX: Final = 0.050
"""[m] What should stay of a board beside the hole of a box (own decision)."""
ABOVE_OPENING: Final = 2
"""Pieces above an opening stand so many rows higher: they meet nothing below them, so that they make no cross."""
SHUNNED: Final = 3
"""Every so many supports are left free in a variant: within so far [m], and for what it is worth in strips' costs."""
SHUN_WITHIN, SHUN_LITTLE, SHUN_MORE = 0.010, 15, 60
SPANS: Final = 2
"""A covered sheet of timber that reaches over fewer spans between battens lies across them (own decision)."""


@dataclass(frozen=True, slots=True)
class _Face:
    """The face that is to be covered, in coordinates that begin at its left lower corner."""

    start: tuple[float, float]
    """Where it begins at the floor and at the top, from the left end of the bare wall."""
    end: tuple[float, float]
    origin: float
    panels: tuple[Panel, ...]
    """From the gap at the floor up to where the lining ends."""
    holes: tuple[Hole, ...]

    @property
    def openings(self) -> list[Rectangle]:
        """The holes that boards are divided at."""
        return [hole.spot for hole in self.holes if not hole.is_box]

    @property
    def top(self) -> float:
        """Where it ends above."""
        return max(panel.bounds.top for panel in self.panels)


@dataclass(frozen=True, slots=True)
class _Column:
    """What one board covers of the face, or boards one above the other, and the edges left and right."""

    strip: Strip
    edges: tuple[str | None, str | None]
    panels: tuple[Panel, ...]
    levels: tuple[float, ...] = ()
    """Where it is parted by end joints."""
    row: int = 1
    is_top: bool = True
    """Whether it goes up to where the lining ends."""


@dataclass(frozen=True, slots=True)
class _Cut:
    part: Part
    row: int
    to_end: bool
    """Whether it goes up to where the lining ends."""


@dataclass(frozen=True, slots=True)
class Layer:
    """One layer of boards of one wall, ready to be laid out; metres."""

    wall: Wall
    lining: Lining
    number: int
    board: Board
    width: float
    length: float
    face: FinishedFace
    ceiling: tuple[Vector, ...]
    """Where boards end above: places from the left end of the bare wall, heights from the bare floor."""
    is_lowered: bool
    """Whether the lining of the ceiling, which is hung first, takes something off a level wall."""
    gap: float
    variant: int
    """Which of several ways to divide it, where another layer covers it; 0 is the plain one."""
    given: Given

    def lay(self, holes: Sequence[Hole], hung: Hung, numbers: Iterator[int]) -> None:
        """Adds its pieces to what hangs already."""
        face = self._face(holes)
        if face is None:
            return  # the linings beside it leave nothing of it
        stand = self._supports(hung)
        columns = self._rows(face, hung, stand) if self._lies_across(stand) else self._columns(face, hung, stand)
        ends: dict[int, float] = {}
        for column in columns:
            for piece in self._cut(column, face.openings):
                bounds = piece.part.panel.bounds
                at, number = face.origin + bounds.left, next(numbers)
                begins = column.strip.left is None and piece.part.is_left and piece.row not in ends
                chained = begins or abs(ends.get(piece.row, -math.inf) + self.gap - at) < SAME
                ends[piece.row] = at + bounds.width
                hung.pieces.append(
                    card(
                        piece.part.panel,
                        face.holes,
                        place=f"{self.wall.place}.piece-{number}",
                        name=f"piece-{number}",
                        surface=self.wall.place,
                        room=self.wall.room.name,
                        layer=self.number,
                        board=self.board,
                        row=piece.row,
                        made=True,
                        from_bare=at,
                        at=at - self.face.starts_at((bounds.bottom + bounds.top) / 2),
                        chained=chained,
                        to_end=piece.to_end and not self.is_lowered,
                        edges=(
                            column.edges[0] if piece.part.is_left else Edge.CUT,
                            column.edges[1] if piece.part.is_right else Edge.CUT,
                        ),
                    )
                )

    def _face(self, holes: Sequence[Hole]) -> _Face | None:
        high = self.face.height or max(z for _, z in self.ceiling)
        start, end = zip(self.face.at(0.0), self.face.at(high), strict=True)
        if max(end[0] - start[0], end[1] - start[1]) <= 2 * self.gap + SAME:
            return None
        origin, extent = start[0] + self.gap, self.wall.extent
        bottom, over = (right - left - 2 * self.gap for left, right in zip(start, end, strict=True))
        whole = geometry.face_panel(bottom, over, self.ceiling, start=origin, lean=start[1] - start[0])
        top = math.inf if extent is None or extent.top is None else extent.top
        panels = whole.clip(bottom=self._limit("floor_gap"), top=top)
        moved = (replace(hole, spot=replace(hole.spot, left=hole.spot.left - origin)) for hole in holes)
        return _Face(start, end, origin, panels, tuple(moved)) if panels else None

    def _columns(self, face: _Face, hung: Hung, stand: tuple[float, ...] | None) -> Iterator[_Column]:
        """Upright boards side by side; on a wall higher than a sheet, with end joints that are staggered."""
        is_seen = self.number == len(self.lining.boards)
        run = Run(
            start=face.start,
            end=face.end,
            width=self.width,
            gap=self.gap,
            has_factory_edges=self.board.edges is not None,
            keeps_both=self.width >= (self.board.width or 0.0) - SAME,
            corner_left=is_seen and _stands_out(self.wall, left=True),
            corner_right=is_seen and _stands_out(self.wall, left=False),
            supports=stand,
            avoid=(*self._avoided(face, hung, is_seen=is_seen), *(() if is_seen else self._shunned(stand))),
            least=self._limit("least_piece"),
        )
        strips = self._divided(run, hung)
        low = self._limit("floor_gap")
        joints = end_joints(face.top - low, self.length, self._limit("joint_offset"), self._limit("least_piece"))
        for nth, (strip, edges) in enumerate(zip(strips, self._edges(strips), strict=True)):
            panels = self._within(face, strip)
            is_whole = all(panel.bounds.height <= self.length + SAME / 10 for panel in panels)
            levels = () if is_whole else tuple(low + joint for joint in joints[nth % 2])
            yield _Column(strip, edges, panels, levels)

    def _rows(self, face: _Face, hung: Hung, stand: tuple[float, ...] | None) -> Iterator[_Column]:
        """Sheets that lie across their supports, row upon row; the joints of each row off those of the row below."""
        low, top, least = self._limit("floor_gap"), face.top, self._limit("least_piece")
        upright = Run(
            start=(low - self.gap,) * 2, end=(top + self.gap,) * 2, width=self.width, gap=self.gap, least=least
        )
        lines: list[tuple[Strip, ...]] = []
        for row, level in enumerate(divide(upright)):
            if row < 2:  # noqa: PLR2004 - every second row has its joints where the first has them
                below = [strip.right for strip in (lines[-1] if lines else ()) if strip.right is not None]
                run = Run(
                    start=face.start,
                    end=face.end,
                    width=self.length,
                    gap=self.gap,
                    has_factory_edges=False,
                    supports=stand,
                    avoid=(
                        *self._avoided(face, hung, is_seen=False),
                        *self._shunned(stand),
                        *(Avoid(at, self._limit("joint_offset"), OFF_BEHIND, "joints-staggered") for at in below),
                    ),
                    least=least,
                )
                lines.append(self._divided(run, hung))
            bottom = -math.inf if level.left is None else level.left + self.gap / 2
            above = math.inf if level.right is None else level.right - self.gap / 2
            for strip in lines[row % 2]:
                panels = [part for panel in self._within(face, strip) for part in panel.clip(bottom=bottom, top=above)]
                yield _Column(strip, (Edge.CUT, Edge.CUT), tuple(panels), row=row + 1, is_top=level.right is None)

    def _lies_across(self, stand: tuple[float, ...] | None) -> bool:
        """Whether the sheets are timber that another layer covers, and too narrow to stand upright on their battens."""
        is_covered = self.number < len(self.lining.boards)
        is_timber = self.board.kind in self.given.words("timber_sheet_kinds")
        if not (is_covered and is_timber and stand):
            return False
        spans = [there - here for here, there in pairwise(stand)]
        return bool(spans) and self.width + self.gap < SPANS * max(spans) and self.length > self.width

    def _divided(self, run: Run, hung: Hung) -> tuple[Strip, ...]:
        """The division of a run; its joints are kept for the next layer, and what it breaks is said."""
        strips, unit = divide(run), self.wall.length.unit if self.wall.length else "m"
        hung.broken += [
            BrokenCard(self.wall.place, self.number, rule, f"{Length(round(at, 3), unit)} along the bare wall")
            for rule, at in broken(run, strips)
        ]
        hung.seams.setdefault(self.number, []).extend(strip.right for strip in strips if strip.right is not None)
        return strips

    def _within(self, face: _Face, strip: Strip) -> tuple[Panel, ...]:
        """What a strip covers of the face."""
        left = -math.inf if strip.left is None else strip.left + self.gap / 2 - face.origin
        right = math.inf if strip.right is None else strip.right - self.gap / 2 - face.origin
        return tuple(part for panel in face.panels for part in panel.clip(left=left, right=right))

    def _cut(self, column: _Column, openings: Sequence[Rectangle]) -> Iterator[_Cut]:
        """The pieces of a column of boards, from the floor up."""
        for band, (low, high) in enumerate(pairwise([-math.inf, *column.levels, math.inf])):
            for whole in column.panels:
                for panel in whole.clip(bottom=low + self.gap / 2, top=high - self.gap / 2):
                    row, reached = column.row + band, math.inf
                    for part in carved(Part(panel), openings):
                        if part.panel.bounds.bottom > reached - SAME:
                            row += ABOVE_OPENING
                        reached = part.panel.bounds.top
                        is_top = part.panel.bounds.top > whole.bounds.top - SAME
                        yield _Cut(part, row, to_end=is_top and column.is_top)

    def _edges(self, strips: Sequence[Strip]) -> Iterator[tuple[str | None, str | None]]:
        """The left and right edge of each strip; where two cut edges meet on the room's side, both are grooved."""
        factory, last = factory_edge(self.board), len(strips) - 1
        is_filled = self.board.kind not in self.given.words("timber_sheet_kinds")

        def edge(index: int, *, is_factory: bool, to: int) -> str | None:
            if is_factory:
                return factory
            beside = strips[index + to] if 0 <= index + to <= last else None
            meets_cut = beside and not (beside.factory_left if to > 0 else beside.factory_right)
            return Edge.GROOVED if meets_cut and is_filled else Edge.CUT

        for index, strip in enumerate(strips):
            yield (
                edge(index, is_factory=strip.factory_left, to=-1),
                edge(index, is_factory=strip.factory_right, to=1),
            )

    def _avoided(self, face: _Face, hung: Hung, *, is_seen: bool) -> Iterator[Avoid]:
        """What upright joints keep away from."""
        for at in hung.seams.get(self.number - 1, ()):
            yield Avoid(at, self._limit("layer_joint_offset"), OFF_BEHIND, "joints-staggered")
        for hole in face.holes:
            if hole.is_box:
                yield Avoid(
                    face.origin + hole.spot.left + hole.spot.width / 2, hole.spot.width / 2 + BESIDE_BOX, NEAR_BOX
                )
            else:
                cost, rule = (NEAR_OPENING, "joint-clear-of-opening") if is_seen else (UNSEEN, "")
                for edge in (hole.spot.left, hole.spot.right):
                    yield Avoid(face.origin + edge, self._limit("joint_to_opening"), cost, rule)

    def _shunned(self, stand: tuple[float, ...] | None) -> Iterator[Avoid]:
        """Every third support, which a variant of the layout would rather leave free: first a little, then more."""
        for index, at in enumerate(stand or ()):
            if self.variant and index % SHUNNED == self.variant % SHUNNED:
                yield Avoid(at, SHUN_WITHIN, SHUN_LITTLE if self.variant <= SHUNNED else SHUN_MORE)

    def _supports(self, hung: Hung) -> tuple[float, ...] | None:
        """Where upright joints find a batten; None where they may be anywhere: glued, or on a sheet of timber."""
        behind = self.lining.boards[self.number - 2] if self.number > 1 else None
        if self.lining.is_glued or (behind and behind.kind in self.given.words("timber_sheet_kinds")):
            return None
        found = supports(self.wall)
        if isinstance(found, Lacking):
            hung.lacking.append(replace(found, what=f"{found.what}, so that joints may miss them"))
            return None
        return found

    def _limit(self, name: str) -> float:
        return self.given.quantity(name, Length)


def layer_of(wall: Wall, lining: Lining, number: int, variant: int, given: Given) -> Layer | Lacking:
    """The nth layer of boards from the wall, or what is not recorded of it."""
    board = lining.boards[number - 1]
    face = finished_face(wall, number)
    if isinstance(face, Lacking):
        return face
    sheet = board.cut_to or board
    needed = {
        f"{board.place}.width": sheet.width,
        f"{board.place}.length": sheet.length,
        f"{wall.place}.length": wall.length,
        f"{wall.place}.height": None if wall.height_left is None else wall.height_right,
    }
    keys = tuple(key for key, value in needed.items() if value is None)
    if keys or sheet.width is None or sheet.length is None:
        return Lacking("how large the sheets and the wall are", keys)
    overhead = wall.room.ceiling.lining if wall.room.ceiling else None
    lowered = lining_depth(overhead) if overhead else 0.0
    if isinstance(lowered, Lacking):
        return lowered
    ends = ((0.0, wall.height_left or 0.0), (wall.length or 0.0, wall.height_right or 0.0))
    ceiling = tuple((float(at), high - lowered) for at, high in wall.gable or ends)
    heights = [high for _, high in ceiling]
    is_lowered = lowered > 0 and max(heights) - min(heights) < LEVEL
    return Layer(
        wall,
        lining,
        number,
        board,
        sheet.width,
        sheet.length,
        face,
        ceiling,
        is_lowered,
        sheet_gap(wall, number, given),
        variant,
        given,
    )


def _stands_out(wall: Wall, *, left: bool) -> bool:
    """Whether a wall ends in an outside corner up to which its lining goes."""
    walls = wall.room.walls
    index = walls.index(wall)
    corner = (walls[index - 1] if left else wall).corner
    if left and index == 0 and wall.room.is_closed is False:
        return False
    extent = wall.extent
    if extent and left:
        return bool(corner and corner.is_outside and not extent.start)
    goes_on = extent is None or extent.end is None or at_least(extent.end, wall.length or 0.0)
    return bool(corner and corner.is_outside and goes_on)
