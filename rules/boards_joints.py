"""Joints between boards: how their edges are made, where they may lie, and what is behind them."""

from functools import partial
from itertools import pairwise

from planlint.api import (
    LIMITS_OF_PIECES,
    NOT_APPLICABLE,
    PASS,
    BoardJoint,
    Edge,
    Fail,
    Given,
    HoldPoint,
    Lacking,
    Length,
    Level,
    Open,
    Outcome,
    Remedy,
    Seam,
    Set,
    Wall,
    at_least,
    at_most,
    layers_of,
    outcome_of,
    placed_pieces,
    rise,
    rule,
    seam,
    seams,
    supports,
    tidy,
)

FACE = ("lining", "layers", "thickness", "battens.depth", "length", "then", "outline", "width", "bottom")
"""What it takes to know where a joint is: the finished face of its wall, and the pieces up to it."""
CUT = (Edge.CUT, Edge.GROOVED)

unworkable = partial(outcome_of, remedy="correct the figures, or measure the finished face once the battens stand")


@rule(
    "cut-joints-grooved",
    judges=BoardJoint,
    level=Level.WARNING,
    guards=HoldPoint.FILLING,
    needs=(*FACE, "left", "right"),
    reads=LIMITS_OF_PIECES,
)
def cut_joints_grooved(joint: BoardJoint, given: Given) -> Outcome:
    """Where two cut edges meet on the room's side, both are grooved.

    Why: filler has no hold in a butt joint of two cut edges; it cracks along the line within a year.
    Source: common practice (a V-groove, filled).
    """
    left, right = joint.left, joint.right
    off = _off_the_face(joint, given)
    if off:
        return off
    edges = {f"{left.place}.right": left.right, "left": right.left}
    if any(edge is not None and edge not in CUT for edge in edges.values()):
        return NOT_APPLICABLE
    plain = [piece.name for piece, edge in ((left, left.right), (right, right.left)) if edge is Edge.CUT]
    if plain:
        return Fail(
            f"two cut edges meet between {left.name} and {right.name}, and {' and '.join(plain)} "
            f"{'has' if len(plain) == 1 else 'have'} no groove",
            measured=Edge.CUT,
            allowed=Edge.GROOVED,
            remedy=Remedy(
                "bevel both edges into a V before the boards are filled, and say `grooved`",
                edit=tuple(
                    Set(piece, side, Edge.GROOVED)
                    for piece, side, edge in ((left, "right", left.right), (right, "left", right.left))
                    if edge is Edge.CUT
                ),
            ),
        )
    missing = [key for key, edge in edges.items() if edge is None]
    return Open("how the edges are made that meet here", *missing) if missing else PASS


@rule(
    "joint-clear-of-opening",
    judges=BoardJoint,
    level=Level.WARNING,
    guards=HoldPoint.CLOSING_IN,
    needs=(*FACE, "at"),
    reads=(*LIMITS_OF_PIECES, "joint_to_opening"),
)
def joint_clear_of_opening(joint: BoardJoint, given: Given) -> Outcome:
    """No upright joint on the room's side runs near the edge of an opening; it belongs over the middle of it.

    Why: the wall works most at the corners of its openings, and a joint there opens into a crack.
    Source: a US Navy builder manual, 6 in; edition not recorded.
    """
    off = _off_the_face(joint, given)
    openings = joint.wall.openings
    if off or not openings:
        return off or NOT_APPLICABLE
    missing = [
        f"{one.place}.{key}"
        for one in openings
        for key, value in (("at", one.at), ("width", one.width))
        if value is None
    ]
    if missing:
        return Open("where the openings of the wall are", *missing)
    found = seam(joint, given)
    if isinstance(found, Lacking) or found is None:
        return NOT_APPLICABLE if found is None else unworkable(found)
    wanted = given.quantity("joint_to_opening", Length)
    for opening in openings:
        low, high = rise(opening)
        if at_most(found.top, low - wanted) or at_most(high + wanted, found.bottom):
            continue
        left = opening.at or wanted.like(0)
        edges = {"left": left, "right": left.like(left + (opening.width or 0.0))}
        off_edge, side = min((abs(at - edge), side) for side, edge in edges.items() for at in found.at)
        if not at_least(off_edge, wanted):
            return Fail(
                f"the joint between {joint.left.name} and {joint.right.name} stands {{measured}} from the {side} edge "
                f"of {opening.name}; at least {{allowed}} is wanted",
                measured=wanted.like(tidy(off_edge)),
                allowed=wanted,
                remedy=Remedy(
                    f"move it over the middle of {opening.name}, or that far from it: cut the opening out of one board"
                ),
            )
    return PASS


@rule(
    "joint-on-support",
    judges=BoardJoint,
    level=Level.WARNING,
    guards=HoldPoint.CLOSING_IN,
    needs=(*FACE, "battens_at", "battens.spacing", "battens.width"),
    reads=(*LIMITS_OF_PIECES, "bearing_at_joint"),
)
def joint_on_support(joint: BoardJoint, given: Given) -> Outcome:
    """An upright joint lies on a batten, with enough of it under both boards, or on a sheet layer.

    Why: two edges that hang in the air move against each other, and no tape bridges that.
    Source: US building codes and handbooks (edges that run along the frame lie on it); common practice (20 mm each).
    """
    wall, lining = joint.wall, joint.wall.lining
    if wall.undecided:
        return Open("whether and how the wall will be lined", f"{wall.place}.lining")
    if lining is None or lining.is_glued:
        return NOT_APPLICABLE
    if joint.left.in_layer > 1:
        return PASS
    stand = supports(wall)
    if isinstance(stand, Lacking):
        return unworkable(stand)
    found = seam(joint, given)
    if isinstance(found, Lacking) or found is None:
        return NOT_APPLICABLE if found is None else unworkable(found)
    width = lining.battens.width if lining.battens else None
    if width is None:
        return Open("how wide the battens are that the joint lies on", f"{lining.place}.battens.width")
    bearing = given.quantity("bearing_at_joint", Length)
    along = width.like(tidy(found.at[0]))
    where = f"the joint between {joint.left.name} and {joint.right.name}, {along} along the bare wall,"
    off = max((min(abs(place - batten) for batten in stand) for place in found.at if stand), default=None)
    bears = width.like(0 if off is None else tidy(width / 2 - off))
    if at_least(bears, bearing):
        return PASS
    lies = "has no batten" if off is None else f"is {width.like(tidy(off))} off the middle of the nearest batten"
    return Fail(
        f"{where} {lies}; each board should bear on it by {{allowed}}",
        measured=bears if bears > 0 else "nothing",
        allowed=bearing,
        remedy=Remedy("set a batten behind the joint (`battens_at`), or cut the board so that it ends on one"),
    )


@rule(
    "joints-staggered",
    judges=Wall,
    level=Level.NOTE,
    guards=HoldPoint.CLOSING_IN,
    needs=(*FACE, "height"),
    reads=(*LIMITS_OF_PIECES, "joint_offset", "layer_joint_offset"),
)
def joints_staggered(wall: Wall, given: Given) -> Outcome:
    """Joints of one layer stand off those of the layer behind it, and no four boards meet in a cross.

    Why: a joint that goes through both layers, or a cross, is where the wall cracks first.
    Source: GA-216-2024, 4.6.7, as quoted (end joints); DIN 18181, from memory (400 mm); common practice (layers).
    """
    rows = {piece.row for piece in wall.pieces}
    layers = layers_of(wall)
    if wall.undecided and wall.pieces:
        return Open("whether and how the wall will be lined", f"{wall.place}.lining")
    if wall.stays or max(len(rows), len(layers)) <= 1:
        return NOT_APPLICABLE
    found: dict[int, tuple[Seam, ...]] = {}
    for layer in layers:
        of_layer = seams(wall, layer, given)
        if isinstance(of_layer, Lacking):
            return unworkable(of_layer)
        found[layer] = of_layer
    for inner, outer in pairwise(layers):
        close = _too_close(found[inner], found[outer], given.quantity("layer_joint_offset", Length))
        if close:
            return close
    for layer in layers:
        crossed = _crossed(wall, layer, found[layer], given)
        if crossed:
            return crossed
    return PASS


def _off_the_face(joint: BoardJoint, given: Given) -> Outcome | None:
    """What rules about joints that are filled answer where nobody sees one, or where the pieces do not meet."""
    wall = joint.wall
    if wall.undecided:
        return Open("whether and how the wall will be lined", f"{wall.place}.lining")
    board = joint.left.board
    if wall.stays or joint.left.in_layer != wall.outer_layer or board.kind in given.words("timber_sheet_kinds"):
        return NOT_APPLICABLE
    if joint.right.at is None:
        return None
    found = seam(joint, given)
    if isinstance(found, Lacking):
        return unworkable(found)
    return NOT_APPLICABLE if found is None else None


def _too_close(inner: tuple[Seam, ...], outer: tuple[Seam, ...], wanted: Length) -> Fail | None:
    """What is wrong with joints of two layers, one behind the other."""
    pairs = [
        (abs(front.middle - back.middle), front)
        for front in outer
        for back in inner
        if max(front.bottom, back.bottom) < min(front.top, back.top)
    ]
    off, front = min(pairs, key=lambda pair: pair[0], default=(wanted, None))
    if front is None or at_least(off, wanted):
        return None
    return Fail(
        f"the joint between {front.joint.left.name} and {front.joint.right.name} stands {{measured}} from one in the "
        "layer behind it; at least {allowed} is wanted",
        measured=wanted.like(tidy(off)),
        allowed=wanted,
        remedy=Remedy("begin one of the layers with a narrower board, so that its joints move along"),
        at=front.joint.right,
    )


def _crossed(wall: Wall, layer: int, found: tuple[Seam, ...], given: Given) -> Outcome | None:
    """What is wrong with joints of two rows of a layer: boards side by side may end at different heights instead."""
    wanted = given.quantity("joint_offset", Length)
    placed = placed_pieces(wall, layer, given)
    if isinstance(placed, Lacking):
        return unworkable(placed)
    tops = {one.piece: one.top for one in placed}
    for low in found:
        for high in found:
            off = abs(low.middle - high.middle)
            # An opening may lie between two joints of one line: they do not meet then.
            is_apart = at_least(off, wanted) or at_least(high.bottom - low.top, wanted)
            if high.joint.left.row != low.joint.left.row + 1 or is_apart:
                continue
            ends = (low.joint.left, low.joint.right)
            missing = [f"{piece.place}.height" for piece in ends if piece.height_left is None]
            if missing:
                return Open("how high the pieces of the lower row are", *missing)
            if at_least(abs(tops[ends[0]] - tops[ends[1]]), wanted):
                continue
            return Fail(
                f"the joints above and below the one between {high.joint.left.name} and {high.joint.right.name} make a "
                "cross: they stand {measured} apart, and at least {allowed} is wanted",
                measured=wanted.like(tidy(off)),
                allowed=wanted,
                remedy=Remedy("begin the upper row with a board of another width, or end boards at different heights"),
                at=high.joint.right,
            )
    return None
