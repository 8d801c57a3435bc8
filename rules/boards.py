"""Boards: the pieces that are cut from them, and whether they cover the wall."""

from functools import partial

from planlint.api import (
    LIMITS_OF_PIECES,
    NOT_APPLICABLE,
    PASS,
    Edge,
    Edges,
    Fail,
    Given,
    HoldPoint,
    Lacking,
    Length,
    Level,
    Misfit,
    Open,
    Outcome,
    Piece,
    Remedy,
    Set,
    Wall,
    at_least,
    at_most,
    ceiling_over,
    layers_of,
    misfits,
    outcome_of,
    placed_pieces,
    rule,
    tidy,
)

MADE_AS = {Edge.TAPERED: Edges.TAPERED, Edge.SQUARE: Edges.SQUARE}
"""The edges of a piece that only the factory makes, and the sheets that have them."""
FACE = ("lining", "layers", "thickness", "battens.depth", "length", "then", "outline")
"""What the finished face of a wall is worked out from."""

unworkable = partial(outcome_of, remedy="correct the figures, or measure the finished face once the battens stand")


@rule(
    "pieces-fill-wall",
    judges=Wall,
    level=Level.ERROR,
    guards=HoldPoint.CLOSING_IN,
    needs=(*FACE, "width", "at", "bottom"),
    reads=LIMITS_OF_PIECES,
)
def pieces_fill_wall(wall: Wall, given: Given) -> Outcome:
    """The pieces of each layer cover the finished face of their wall, at the floor and at the top.

    Why: the lining moves the corners, so pieces that add up to the bare wall come out short or do not go in.
    Source: plane geometry; the tolerance is an own decision.
    """
    if not wall.pieces or wall.stays:
        return NOT_APPLICABLE
    for layer in reversed(layers_of(wall)):
        found = misfits(wall, layer, given)
        if isinstance(found, Lacking):
            return unworkable(found)
        if found:
            of_layer = "" if layer == wall.outer_layer else f" of layer {layer}"
            return _misfit(wall, found[0], of_layer, given)
    return PASS


def _misfit(wall: Wall, misfit: Misfit, of_layer: str, given: Given) -> Fail:
    unit = wall.pieces[0].width_bottom or given.quantity("piece_tolerance", Length)
    off, reached, face = (unit.like(tidy(value)) for value in (abs(misfit.by), misfit.pieces, misfit.face))
    where = f"{unit.like(tidy(misfit.height))} above the floor"
    if misfit.is_end:
        ends = f"end {{measured}} {'short of' if misfit.by > 0 else 'past'} the end of the finished face"
        says = f"{where} the pieces{of_layer} {ends}: they come to {reached}, and it is {face} long"
        does = "longer" if misfit.by > 0 else "narrower"
        remedy = f"cut the pieces {off} {does} in all; the finished face is the bare wall as its linings move it"
    else:
        stretch = f"{where} {{measured}} of the face{of_layer}, beginning {reached} from its left end,"
        says = f"{stretch} {'has no board' if misfit.by > 0 else 'would be covered by two pieces'}"
        remedy = "check where the pieces there begin (`at`) and how wide they are"
    tolerance = given.quantity("piece_tolerance", Length)
    return Fail(f"{says}; at most {{allowed}} is allowed", measured=off, allowed=tolerance, remedy=Remedy(remedy))


@rule(
    "piece-comes-from-board",
    judges=Piece,
    level=Level.ERROR,
    guards=HoldPoint.CLOSING_IN,
    needs=(*FACE, "width", "length", "edges", "height", "bottom"),
    reads=LIMITS_OF_PIECES,
)
def piece_comes_from_board(piece: Piece, given: Given) -> Outcome:
    """A piece is no larger than its sheet, has no more factory edges than the sheet gives it, and clears the floor.

    Why: a piece that no sheet yields is found out at the saw, one that stands on the floor drinks from it.
    Source: plane geometry; common practice (the gap at the floor).
    """
    board = piece.board
    sheet = board.cut_to or board
    needed = {
        "width": piece.width_bottom,
        f"{board.place}.width": sheet.width and board.width,
        f"{board.place}.length": sheet.length,
    }
    missing = [key for key, value in needed.items() if value is None]
    if piece.width_bottom is None or sheet.width is None or sheet.length is None or missing:
        return Open("the size of the piece and of its sheet", *missing)
    upright = _upright(piece, given)
    if not isinstance(upright, tuple):
        return upright
    height, too_high = upright
    width = max(piece.width_bottom, piece.width_top or piece.width_bottom)
    is_across = not (at_most(width, sheet.width) and at_most(height, sheet.length))
    if is_across and not (at_most(width, sheet.length) and at_most(height, sheet.width)):
        is_wide = not at_most(width, sheet.width)
        measured, allowed = (width, sheet.width) if is_wide else (height, sheet.length)
        side, remedy = ("wide", "two pieces side by side") if is_wide else ("high", "two rows, or from a longer sheet")
        says = f"the piece is {{measured}} {side}, and its sheet {board.name} gives {{allowed}}"
        return Fail(says, measured=measured, allowed=allowed, remedy=Remedy(f"make it of {remedy}"))
    return _edges(piece, given, is_across=is_across) or too_high or PASS


def _upright(piece: Piece, given: Given) -> tuple[Length, Fail | None] | Outcome:
    """The height of a piece, and what is wrong with where it stands; an outcome where it cannot be told."""
    gap = given.quantity("floor_gap", Length)
    if piece.bottom is not None and not at_least(piece.bottom, gap) and piece.row <= 1:
        remedy = Remedy(
            "stand the boards on packers until they are screwed, and cut them that much shorter",
            edit=Set(piece, "bottom", gap),
        )
        says = "the piece stands {measured} above the bare floor; at least {allowed} stays free below it"
        return Fail(says, measured=piece.bottom, allowed=gap, remedy=remedy)
    ceiling = ceiling_over(piece, given)
    if isinstance(ceiling, Lacking):
        return unworkable(ceiling)
    bottom = piece.bottom or gap
    if piece.bottom is None and piece.row > 1:
        placed = placed_pieces(piece.wall, piece.in_layer, given)
        if isinstance(placed, Lacking):
            return unworkable(placed)
        bottom = gap.like(next(one.bottom for one in placed if one.piece is piece))
    heights = [height for height in (piece.height_left, piece.height_right) if height is not None]
    if not heights:
        return ceiling[1].like(tidy(ceiling[1] - bottom)), None
    top = heights[0].like(tidy(bottom + max(heights)))
    if at_most(top, ceiling[1]):
        return max(heights), None
    says = "the piece would reach up to {measured} above the bare floor, and the lining ends at {allowed}"
    remedy = Remedy(f"cut it lower: room height less the gap of {bottom} at the floor, the smallest that was measured")
    return max(heights), Fail(says, measured=top, allowed=ceiling[1], remedy=remedy)


def _edges(piece: Piece, given: Given, *, is_across: bool) -> Fail | Open | None:
    """What is wrong with the factory edges that a piece is said to have; None where its sheet has them."""
    board = piece.board
    factory = [edge for edge in (piece.left, piece.right) if edge in MADE_AS]
    if not factory:
        return None
    if board.edges is None:
        return Open("the long edges of the sheet", f"{board.place}.edges")
    remedy = Remedy("write `cut` or `grooved` for the edge that is cut, or take the piece from another sheet")
    wrong = next((edge for edge in factory if is_across or MADE_AS[edge] != board.edges), None)
    if wrong:
        edges = "cut" if is_across else str(board.edges)
        says = f"the piece has a {{measured}} edge, and the edges of its sheet {board.name} are {{allowed}}"
        if is_across:
            says = "the piece lies across its sheet, whose ends are {allowed}: it has no {measured} edge there"
        return Fail(says, measured=str(wrong), allowed=edges, remedy=remedy)
    narrowest = min(piece.width_bottom or 0.0, piece.width_top or piece.width_bottom or 0.0)
    tolerance = given.quantity("piece_tolerance", Length)
    if len(factory) == 1 or board.width is None or at_least(narrowest, board.width - tolerance):
        return None
    says = "a piece of {measured} cannot have a factory edge on both sides: the sheet is {allowed} wide"
    unit = piece.width_bottom or board.width
    return Fail(says, measured=unit.like(narrowest), allowed=board.width, remedy=remedy)
