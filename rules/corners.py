"""Corners: beads on the outside ones, elastic joints in the inside ones, and an outline that closes."""

from collections.abc import Sequence

from planlint.api import (
    NOT_APPLICABLE,
    PASS,
    Corner,
    Edge,
    Fail,
    FrameJoint,
    Given,
    HoldPoint,
    Joint,
    Length,
    Level,
    Open,
    Outcome,
    Piece,
    Remedy,
    RevealEdge,
    Room,
    Set,
    at_least,
    at_most,
    rule,
    tidy,
)


@rule(
    "bead-at-outside-corner",
    judges=Corner | RevealEdge,
    level=Level.ERROR,
    guards=HoldPoint.FILLING,
    needs=("corner.joint", "then", "reveal.edges"),
)
def bead_at_outside_corner(corner: Corner | RevealEdge, given: Given) -> Outcome:
    """An outside corner gets a metal bead.

    Why: a bare filled edge chips at the first knock, and the patch always shows.
    Source: common practice.
    """
    if isinstance(corner, Corner):
        if corner.is_outside is None:
            return Open("which way the walls turn here", "then")
        if not corner.is_outside:
            return NOT_APPLICABLE
    if corner.joint is None:
        key = "corner.joint" if isinstance(corner, Corner) else "reveal.edges"
        return Open(f"how the {_name(corner)} is finished", key)
    if corner.joint is Joint.BEAD:
        return PASS
    return Fail(
        f"the {_name(corner)} has {_finish(corner.joint)} instead of a bead",
        measured=corner.joint,
        allowed=Joint.BEAD,
        remedy=Remedy(
            "set a metal bead into filler over the full height before the corner is filled"
            + ("; if the walls turn the other way here, correct `then`" if isinstance(corner, Corner) else ""),
            edit=_finished(corner, Joint.BEAD),
        ),
    )


@rule(
    "sealant-at-inside-corner",
    judges=Corner | FrameJoint,
    level=Level.ERROR,
    guards=HoldPoint.PAINTING,
    needs=("corner.joint", "then", "reveal.frame_joint"),
    reads=("tape_at_inside_corner",),
)
def sealant_at_inside_corner(corner: Corner | FrameJoint, given: Given) -> Outcome:
    """Boards meet in an inside corner, and a reveal meets its frame, in an elastic joint without rigid filler.

    Why: two walls move against each other with the seasons; filler between them cracks in the first winter.
    Source: common practice.
    """
    if isinstance(corner, Corner):
        if corner.is_outside is None:
            return Open("which way the walls turn here", "then")
        if corner.is_outside:
            return NOT_APPLICABLE
    if corner.joint is None:
        key = "corner.joint" if isinstance(corner, Corner) else "reveal.frame_joint"
        return Open(f"how the {_name(corner)} is closed", key)
    tape_will_do = given.choice("tape_at_inside_corner") == "allowed"
    if corner.joint is Joint.SEALANT or (corner.joint is Joint.TAPE and tape_will_do):
        return PASS
    return Fail(
        f"the {_name(corner)} has {_finish(corner.joint)} instead of an elastic joint",
        measured=corner.joint,
        allowed=Joint.SEALANT,
        remedy=Remedy(
            "keep the joint free of filler and close it with paintable sealant once sanding is done"
            + ("; if the walls turn the other way here, correct `then`" if isinstance(corner, Corner) else ""),
            edit=_finished(corner, Joint.SEALANT),
        ),
    )


@rule(
    "bead-in-one-piece",
    judges=Corner,
    level=Level.WARNING,
    guards=HoldPoint.FILLING,
    needs=("corner.joint", "corner.length", "then", "height"),
    reads=("bead_shortfall",),
)
def bead_in_one_piece(corner: Corner, given: Given) -> Outcome:
    """A bead goes over the whole height of its corner in one length.

    Why: where two lengths meet the edge never lines up, and the step shows through the paint.
    Source: common practice; the shortfall that still passes is an own decision.
    """
    if corner.is_outside is None:
        return Open("which way the walls turn here", "then")
    if not corner.is_outside:
        return NOT_APPLICABLE
    if corner.joint is None:
        return Open("how this outside corner is finished", "corner.joint")
    if corner.joint is not Joint.BEAD:
        return NOT_APPLICABLE
    height = corner.height
    missing = [key for key, value in (("corner.length", corner.length), ("height", height)) if value is None]
    if corner.length is None or height is None:
        return Open("the length of the bead beside the height of the corner", *missing)
    least = corner.length.like(height - given.quantity("bead_shortfall", Length))
    if at_least(corner.length, least):
        return PASS
    return Fail(
        f"the bead is {{measured}} long and the corner {height} high: it takes at least {{allowed}} in one length",
        measured=corner.length,
        allowed=least,
        remedy=Remedy(f"take a bead of {height} or longer and cut it to fit, rather than piecing one together"),
    )


@rule(
    "tapered-edges-to-outside-corner",
    judges=Corner,
    level=Level.WARNING,
    guards=HoldPoint.FILLING,
    needs=("then", "left", "right"),
    reads=("edge_to_outside_corner",),
)
def tapered_edges_to_outside_corner(corner: Corner, given: Given) -> Outcome:
    """Both boards turn a tapered edge to an outside corner.

    Why: the taper takes up the bead and its filler, so that the corner ends up flush; a cut edge leaves a bump.
    Source: common practice.
    """
    if corner.is_outside is None:
        return Open("which way the walls turn here", "then")
    if not corner.is_outside:
        return NOT_APPLICABLE
    wanted = Edge(given.choice("edge_to_outside_corner"))
    turned = [
        *((piece, "right", piece.right) for piece in corner.wall.end_pieces(left=False)),
        *((piece, "left", piece.left) for piece in corner.next_wall.end_pieces(left=True)),
    ]
    if not turned:
        return NOT_APPLICABLE
    wrong = [(piece, edge) for piece, _, edge in turned if edge not in (None, wanted)]
    if wrong:
        pieces = " and ".join(f"{piece.place} turns its {edge} edge" for piece, edge in wrong)
        return Fail(
            f"{pieces} to the outside corner, where a {wanted} one belongs",
            measured=wrong[0][1],
            allowed=wanted,
            remedy=Remedy(
                f"turn the piece round, or cut it again so that its {wanted} edge faces the corner",
                edit=_turned_round([piece for piece, _ in wrong], wanted),
            ),
        )
    unknown = [(piece, key) for piece, key, edge in turned if edge is None]
    if unknown:
        piece, key = unknown[0]
        return Open(f"which edge {piece.place} turns to the outside corner", key, at=piece)
    return PASS


@rule(
    "outline-closes",
    judges=Room,
    level=Level.ERROR,
    guards=HoldPoint.CLOSING_IN,
    needs=("outline", "walls", "length", "then"),
    reads=("outline_misclosure",),
)
def outline_closes(room: Room, given: Given) -> Outcome:
    """The walls of a closed room lead back to where they began, at the floor and at the top, without crossing.

    Why: a wall that was measured wrong, or turned the wrong way, spoils every board that is cut for it.
    Source: own decision (the misclosure that still passes); plane geometry (the rest).
    """
    if room.is_closed is None:
        return Open("whether the walls go all the way round", "outline")
    if not room.is_closed:
        return NOT_APPLICABLE
    if not room.walls:
        return Open("the walls of the room", "walls")
    missing = [
        f"{wall.place}.{key}"
        for wall in room.walls
        for key, value in (("length", wall.length), ("then", wall.turn))
        if value is None
    ]
    if missing:
        return Open("a length or a turn of the outline", *missing)
    limit = given.quantity("outline_misclosure", Length)
    return _taped(room, limit) if room.diagonals else _walked(room, limit)


def _walked(room: Room, limit: Length) -> Outcome:
    """What comes of walls and turns alone."""
    for where, outline in (("at the floor", room.outline()), ("at the top", room.outline(top=True))):
        if outline is None:
            continue
        if not at_most(outline.swing, limit):
            return Fail(
                "the turns of the walls add up to {measured} to the right, where once round is {allowed}",
                measured=outline.turned,
                allowed=outline.once_round,
                remedy=Remedy(
                    "walk the room clockwise, the wall on your left hand, and check each turn (round a chimney breast: "
                    "right, left, left, right); where walls are missing say outline: partial"
                ),
            )
        crossing = outline.crossings()
        if crossing:
            first, second = (room.walls[index].name for index in crossing[0])
            return Fail(
                f"walls {first} and {second} run through each other {where}",
                remedy=Remedy("check the lengths and the turns between them"),
            )
        if not at_most(outline.misclosure, limit):
            unit, (east, north) = room.walls[0].length or limit, outline.gap
            first = room.walls[0].name
            gaps = ((abs(north), f"along {first}"), (abs(east), f"across {first}"))
            ways = " and ".join(f"{unit.like(gap)} {way}" for gap, way in gaps if not at_most(gap, limit / 100))
            return Fail(
                f"{where} the last wall ends {{measured}} from where the first began ({ways}); "
                "at most {allowed} is allowed",
                measured=unit.like(outline.misclosure),
                allowed=limit,
                remedy=Remedy(
                    "measure the walls that lie that way again; where they are right the corners are not square: "
                    "measure the diagonals and give the angle, such as then: {turn: right, by: 89 deg}"
                ),
            )
    return PASS


def _taped(room: Room, limit: Length) -> Outcome:
    """What comes of walls and measured diagonals together: they say themselves how square the corners are."""
    folded = next((one for one in room.diagonals if one.start is one.end), None)
    if folded:
        says = f"a diagonal runs from the corner after {folded.start.name} back to the same corner"
        return Fail(says, remedy=Remedy("name the two walls between whose ends the tape was held (`from` and `to`)"))
    fitted = room.fitted
    if fitted is None:
        says = "the walls and diagonals of this room draw no outline"
        return Fail(says, remedy=Remedy("check the lengths, the turns and the diagonals"))
    crossing = fitted.outline.crossings()
    if crossing:
        first, second = (room.walls[index].name for index in crossing[0])
        says = f"by the diagonals, walls {first} and {second} run through each other"
        return Fail(says, remedy=Remedy("check the lengths, the turns and the diagonals between them"))
    unit = room.walls[0].length or limit
    top = room.outline(top=True)
    found = [(fitted.residual, "walls and diagonals contradict each other by {measured} at the floor")]
    if top:
        says = "with the corners that the diagonals give, the walls miss their start by {measured} at the top"
        found.append((top.misclosure, says))
    for off, says in found:
        if not at_most(off, limit):
            remedy = (
                "measure the diagonals again, corner to corner, then the walls; say outline: partial where some lack"
            )
            return Fail(
                f"{says}; at most {{allowed}} is allowed",
                measured=unit.like(tidy(off)),
                allowed=limit,
                remedy=Remedy(remedy),
            )
    return PASS


def _finished(corner: Corner | RevealEdge | FrameJoint, joint: Joint) -> tuple[Set, ...]:
    """The edits that plan another finish: a bead over the full height, a joint like others of the room."""
    if not isinstance(corner, Corner):
        return (Set(corner.opening, "reveal.edges" if isinstance(corner, RevealEdge) else "reveal.frame_joint", joint),)
    more = {"length": corner.length or corner.height} if joint is Joint.BEAD else _as_in_room(corner)
    values = {"joint": joint, **more}
    return tuple(Set(corner.wall, f"corner.{key}", value) for key, value in values.items() if value is not None)


def _as_in_room(corner: Corner) -> dict[str, Length | str | float | None]:
    """What the plan says of the elastic joint of another corner, where it says nothing of this one's."""
    others = [wall.corner for wall in corner.wall.room.walls if wall.corner and wall.corner.joint is Joint.SEALANT]
    like = next((one for one in others if one.width and one.sealant and one.sealant.movement_class), None)
    if like is None or like.sealant is None or corner.width or corner.sealant:
        return {}
    sealant = like.sealant
    return {
        "width": like.width,
        "sealant.kind": sealant.kind,
        "sealant.class": sealant.movement_class,
        "sealant.paintable": sealant.paintable,
    }


def _turned_round(pieces: Sequence[Piece], wanted: Edge) -> tuple[Set, ...]:
    """The edits that turn pieces round, where that brings the right edge to the corner and turns no slope with it."""
    if any(wanted not in (one.left, one.right) or one.height_left != one.height_right for one in pieces):
        return ()
    swapped = [(one, {"left": one.right, "right": one.left}) for one in pieces]
    return tuple(Set(one, side, edge) for one, edges in swapped for side, edge in edges.items() if edge)


def _name(corner: Corner | RevealEdge | FrameJoint) -> str:
    if isinstance(corner, Corner):
        return "outside corner" if corner.is_outside else "inside corner"
    if isinstance(corner, RevealEdge):
        return "edge of the reveal"
    return "joint between the reveal and the frame"


def _finish(joint: Joint) -> str:
    return "nothing" if joint is Joint.NONE else joint
