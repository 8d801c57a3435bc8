"""From which sheet each piece is cut: offcuts and stock at hand first, then the fewest sheets to buy."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from typing import Final

from planlint.cutting.sheets import LEFT, RIGHT, Layout, Offcut, Rect, Sheet, cut_sheets, fits
from planlint.model.buildups import Board
from planlint.model.words import Edge
from planlint.rule import Given
from planlint.sums.working import Lacking
from planlint.takeoff.strips import SAME
from planlint.takeoff_records import BoardCard, CutSheet, PieceCard, PlacedPiece
from planlint.units import Length

__all__ = ["LIMITS_OF_CUTTING", "Progress", "cut_board", "kerf_of", "with_sheets"]

LIMITS_OF_CUTTING: Final = ("sawn_kerf", "scored_kinds")
FACTORY: Final = (Edge.TAPERED, Edge.SQUARE)

Progress = Callable[[str, int, int], None]
"""Hears of the board that is being cut, the sheets of the best cut list, and the fewest that are thought possible."""


def kerf_of(board: Board | None, kerf: Length | None, given: Given) -> float:
    """What a cut takes away (m): as the plan says, else nothing from boards that are scored and snapped."""
    if kerf is not None:
        return kerf
    is_scored = board is not None and board.kind in given.words("scored_kinds")
    return 0.0 if is_scored else given.quantity("sawn_kerf", Length)


def with_sheets(boards: Mapping[str, Board], pieces: Sequence[PieceCard]) -> Iterator[tuple[Board, list[PieceCard]]]:
    """Each board of which pieces are cut, with these, in the plan's order."""
    for name, board in boards.items():
        if of_board := [piece for piece in pieces if piece.board == name]:
            yield board, of_board


def cut_board(
    board: Board, pieces: Sequence[PieceCard], kerf: float, seconds: float, progress: Progress
) -> tuple[BoardCard | None, list[Lacking]]:
    """The cut list of one kind of sheet, and the pieces that no sheet yields."""
    if board.width is None or board.length is None:
        sizes = (("width", board.width), ("length", board.length))
        keys = tuple(f"{board.place}.{key}" for key, value in sizes if value is None)
        return None, [Lacking(f"how large a sheet of {board.name} is", keys)]
    sheet = Sheet(board.width, board.length, factory_edges=board.edges is not None)
    wanted, lacking = [], []
    for piece in pieces:
        rect = _rect(piece, board.width)
        if fits(rect, sheet):
            wanted.append(rect)
        else:
            what = f"the sheet that {piece.place} comes from: none of {board.name} is large enough, or has its edges"
            lacking.append(Lacking(what, ()))
    offcuts = [Offcut(offcut.size.width, offcut.size.length) for offcut in board.offcuts for _ in range(offcut.count)]
    if not wanted:
        return None, lacking
    found = cut_sheets(
        wanted,
        sheet,
        kerf,
        offcuts,
        seconds=seconds,
        on_progress=lambda best, bound: progress(board.name, best, bound),
    )
    return _card(board, sheet, kerf, offcuts, found), lacking


def _rect(piece: PieceCard, sheet_width: float) -> Rect:
    """A piece as a rectangle to be cut; it may lie across the sheet where it needs no edge of it.

    On a ceiling all pieces keep their direction: a board is stronger along its length.
    """
    needs = frozenset(side for side, edge in ((LEFT, piece.left), (RIGHT, piece.right)) if edge in FACTORY)
    width = sheet_width if abs(piece.width - sheet_width) <= SAME else piece.width
    if needs == {LEFT, RIGHT}:
        width = max(width, sheet_width)
    return Rect(piece.place, width, piece.height, may_turn=not needs and not piece.lies_flat, needs=needs)


def _card(board: Board, sheet: Sheet, kerf: float, offcuts: Sequence[Offcut], found: Layout) -> BoardCard:
    mass = board.mass_per_area
    return BoardCard(
        name=board.name,
        unit=board.width.unit if board.width else "m",
        width=sheet.width,
        length=sheet.length,
        kerf=kerf,
        sheets=found.new,
        bound=found.bound,
        in_stock=board.stock,
        to_buy=max(0, found.new - board.stock),
        mass=None if mass is None else mass * sheet.width * sheet.length * found.new,
        layout=tuple(
            CutSheet(
                *((sheet.width, sheet.length) if one.offcut is None else _size(offcuts[one.offcut])),
                one.offcut is not None,
                tuple(
                    PlacedPiece(spot.name, spot.x, spot.y, spot.width, spot.length, spot.turned) for spot in one.pieces
                ),
            )
            for one in found.sheets
        ),
    )


def _size(offcut: Offcut) -> tuple[float, float]:
    return offcut.width, offcut.length
