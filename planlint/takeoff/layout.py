"""The pieces of a wall: those that the plan gives, and where it gives none, a layout that keeps the rules."""

import math
from collections.abc import Sequence
from dataclasses import replace
from itertools import count
from typing import Final

from planlint import geometry
from planlint.model.rooms import Wall
from planlint.rule import Given
from planlint.sums.faces import finished_face
from planlint.sums.pieces import placed_pieces
from planlint.sums.working import Lacking
from planlint.takeoff.hanging import Hole, holes_of
from planlint.takeoff.hung import Hung, card
from planlint.takeoff.layer import LIMITS_OF_LAYOUT, layer_of

__all__ = ["LIMITS_OF_LAYOUT", "hang"]


VARIANTS: Final = 7
"""Ways to divide covered layers that are tried until the one on top of them keeps all rules."""


def hang(wall: Wall, given: Given) -> Hung:
    """The pieces of every layer of boards of a lined wall, wall side first; of several layouts the best."""
    best = _hang(wall, given, 0)
    is_layered = wall.lining is not None and len(wall.lining.boards) > 1
    for variant in range(1, VARIANTS if is_layered else 1):
        if not best.broken:
            break
        other = _hang(wall, given, variant)
        best = min(best, other, key=lambda hung: (len(hung.broken), len(hung.pieces)))
    return best


def _hang(wall: Wall, given: Given, variant: int) -> Hung:
    hung, lining = Hung(), wall.lining
    if lining is None:
        if wall.undecided:
            hung.lacking.append(Lacking("whether and how this wall will be lined", (f"{wall.place}.lining",)))
        return hung
    if not lining.layers:
        hung.lacking.append(Lacking(f"the layers of {lining.name}", (f"{lining.place}.layers",)))
    holes, lacking = holes_of(wall, given)
    hung.lacking += lacking
    numbers, recorded = count(len(wall.pieces) + 1), {piece.in_layer for piece in wall.pieces}
    for number in range(1, len(lining.boards) + 1):
        if number in recorded:
            _take_over(wall, number, holes, hung, given)
            continue
        layer = layer_of(wall, lining, number, variant, given)
        if isinstance(layer, Lacking):
            hung.lacking.append(layer)
            continue
        try:
            layer.lay(holes, hung, numbers)
        except ValueError as error:
            hung.lacking.append(Lacking(f"how {wall.place} is covered in layer {number}: {error}", ()))
    return hung


def _take_over(wall: Wall, layer: int, holes: Sequence[Hole], hung: Hung, given: Given) -> None:
    """The pieces that the plan gives for a layer, where they stand."""
    placed, face = placed_pieces(wall, layer, given), finished_face(wall, layer)
    if isinstance(placed, Lacking) or isinstance(face, Lacking):
        hung.lacking.append(placed if isinstance(placed, Lacking) else face)  # type: ignore[arg-type]  # one of both is
        return
    ends: dict[int, float] = {}
    hung.seams[layer] = []
    for one in placed:
        piece = one.piece
        heights = [piece.height_left, piece.height_right]
        if heights == [None, None] and (wall.height_left is None or wall.height_right is None):
            hung.lacking.append(Lacking("how high the wall is", (f"{wall.place}.height",)))
            continue
        ends_at = ((0.0, wall.height_left or 0.0), (wall.length or 0.0, wall.height_right or 0.0))
        top = wall.extent.top if wall.extent and wall.extent.top is not None else math.inf
        over = [(float(at), min(high, top) - one.bottom) for at, high in wall.gable or ends_at]
        if heights != [None, None]:
            high = [height if height is not None else next(filter(None, heights)) for height in heights]
            over = [(one.left[1], float(high[0] or 0.0)), (one.right[1], float(high[1] or 0.0))]
        panel = geometry.face_panel(
            one.right[0] - one.left[0],
            one.right[1] - one.left[1],
            over,
            start=one.left[0],
            lean=one.left[1] - one.left[0],
        )
        panel = replace(panel, points=tuple((x, z + one.bottom) for x, z in panel.points))
        moved = [replace(hole, spot=replace(hole.spot, left=hole.spot.left - one.left[0])) for hole in holes]
        at = one.left[0] + panel.bounds.left
        if piece.row in ends:
            hung.seams[layer].append((ends[piece.row] + at) / 2)
        ends[piece.row] = at + panel.bounds.width
        hung.pieces.append(
            card(
                panel,
                moved,
                place=piece.place,
                name=piece.name,
                surface=wall.place,
                room=wall.room.name,
                layer=layer,
                board=piece.board,
                row=piece.row,
                made=False,
                from_bare=at,
                at=at - face.starts_at(one.bottom),
                chained=piece.at is None,
                to_end=heights == [None, None],
                edges=(piece.left, piece.right),
            )
        )
