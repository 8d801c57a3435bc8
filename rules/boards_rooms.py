"""Boards and where they go: what a room asks of them, what they are glued to, and leaves that open past them."""

import re

from planlint.api import (
    LIMITS_OF_DAMPNESS,
    LIMITS_OF_USES,
    NOT_APPLICABLE,
    PASS,
    Board,
    BoardKind,
    Ceiling,
    Fail,
    Given,
    HoldPoint,
    Lacking,
    Length,
    Level,
    Open,
    Opening,
    OpeningKind,
    Outcome,
    Remedy,
    Surface,
    Swing,
    Wall,
    at_least,
    at_most,
    finished_face,
    is_bathroom,
    outcome_of,
    rule,
    tidy,
    wettest,
)

EN_520 = re.compile(r"(?:[ADEFIRP]|H[123]?)+")
"""How the letters of EN 520 are put together, such as A, H2 or DFH2."""


@rule(
    "board-suits-room",
    judges=Wall | Ceiling,
    level=Level.WARNING,
    guards=HoldPoint.CLOSING_IN,
    needs=("use", "lining", "layers", "kind", "type", "base"),
    reads=(
        *LIMITS_OF_USES,
        "moisture_resistant_kinds",
        "moisture_resistant_words",
        "osb_humid_types",
        "exposed_faces",
        "timber_sheet_kinds",
    ),
)
def board_suits_room(surface: Wall | Ceiling, given: Given) -> Outcome:
    """Boards in a bathroom are made for moisture; OSB there, and on walls that may be damp, is of a humid class.

    Why: plain gypsum goes soft behind tiles, and strand board of a dry class swells and lets go of its screws.
    Source: EN 520 (type H), from memory; EN 300 (OSB/3 and OSB/4), as quoted.
    """
    if surface.stays:
        return NOT_APPLICABLE
    lining = surface.lining
    if lining is None:
        return Open("whether and how it will be lined", "lining")
    if not lining.layers:
        return Open("the boards of the lining", f"{lining.place}.layers")
    if not lining.boards:
        return NOT_APPLICABLE
    is_wet = is_bathroom(surface.room, given)
    if is_wet is None:
        return Open("what the room is for, and so what its boards must stand", f"{surface.room.place}.use")
    found = [_suits(board, surface, given, is_wet=is_wet) for board in lining.boards]
    fail = next((one for one in found if isinstance(one, Fail)), None)
    gaps = [one for one in found if isinstance(one, Open)]
    if fail or not gaps:
        return fail or (PASS if PASS in found else NOT_APPLICABLE)
    keys = dict.fromkeys(key for gap in gaps for key in gap.missing)
    return Open(" and ".join(dict.fromkeys(gap.what for gap in gaps)), *keys)


def _suits(board: Board, surface: Surface, given: Given, *, is_wet: bool) -> Outcome:
    """Whether one board of a lining stands the air of its place."""
    if board.kind is None:
        return Open("what the board is made of", f"{board.place}.kind")
    if board.kind in given.words("moisture_resistant_kinds"):
        return PASS
    if board.kind is BoardKind.OSB:
        return _osb(board, surface, given, is_wet=is_wet)
    if not is_wet or board.kind in given.words("timber_sheet_kinds"):
        return NOT_APPLICABLE
    if board.type is None:
        return Open("the type that is printed on the board", f"{board.place}.type")
    letters, words = board.type.upper().replace(" ", ""), given.words("moisture_resistant_words")
    is_lettered = EN_520.fullmatch(letters) is not None
    if any(word in letters if is_lettered else len(word) > 1 and word.upper() in letters for word in words):
        return PASS
    return Fail(
        f"the board {board.name} is of type {{measured}}, and this is a {surface.room.use or 'bathroom'}",
        measured=board.type,
        allowed="a moisture-resistant board, such as H2",
        remedy=Remedy("hang a moisture-resistant board (type H, H1 or H2) or a cement board here"),
    )


def _osb(board: Board, surface: Surface, given: Given, *, is_wet: bool) -> Outcome:
    """Whether a strand board is of a class for the climate behind or before it."""
    if isinstance(surface, Wall) and not is_wet and surface.faces is None:
        return Open("what the wall faces", surface.base.key("faces") if surface.base else "base")
    is_exposed = isinstance(surface, Wall) and surface.faces in given.words("exposed_faces")
    if not is_wet and not is_exposed:
        return NOT_APPLICABLE
    if board.type is None:
        return Open("the type that is printed on the board", f"{board.place}.type")
    humid = given.words("osb_humid_types")
    if _plain(board.type) in map(_plain, humid):
        return PASS
    where = f"this is a {surface.room.use}" if is_wet else "the wall behind it may be damp"
    return Fail(
        f"the strand board {board.name} is of type {{measured}}, and {where}: {{allowed}} is made for that",
        measured=board.type,
        allowed=" or ".join(humid),
        remedy=Remedy(f"take {humid[0]} here, or another board for humid rooms"),
    )


def _plain(name: str) -> str:
    """A type without what people write differently: `OSB/3`, `OSB 3`, `osb3`."""
    return re.sub(r"[\W_]", "", name).casefold()


@rule(
    "bond-suits-wall",
    judges=Wall,
    level=Level.ERROR,
    guards=HoldPoint.CLOSING_IN,
    needs=("lining", "base", "sound", "unevenness", "readings", "faces", "scale", "value"),
    reads=(*LIMITS_OF_DAMPNESS, "bond_unevenness"),
)
def bond_suits_wall(wall: Wall, given: Given) -> Outcome:
    """Boards are glued only to a wall that is sound, dry and even.

    Why: glue holds no better than what it sticks to; on damp, loose or bumpy walls the board comes off with it.
    Source: common practice (15 mm; pages of the trade give 10 and 25 mm).
    """
    if wall.stays:
        return NOT_APPLICABLE
    if wall.lining is None:
        return Open("whether and how the wall will be lined", "lining")
    if not wall.lining.is_glued:
        return NOT_APPLICABLE
    if wall.base is None:
        return Open("the wall that boards are glued to", "base")
    base, most = wall.base, given.quantity("bond_unevenness", Length)
    if base.sound is False:
        return Fail(
            "boards would be glued to a wall whose surface is not sound",
            measured="not sound",
            allowed="sound",
            remedy=Remedy("take off all that is loose down to firm ground, or hang the boards on battens"),
        )
    if base.unevenness is not None and not at_most(base.unevenness, most):
        return Fail(
            "boards would be glued to a wall that is uneven by {measured}; glue takes up {allowed} at most",
            measured=base.unevenness,
            allowed=most,
            remedy=Remedy("level the worst of it first and let it dry, or hang the boards on battens"),
        )
    worst, unjudged = wettest(wall, given)
    if worst and worst.is_damp:
        return Fail(
            f"boards would be glued to a wall that reads {{measured}}{_spot(worst.reading.where)}; at most {{allowed}} "
            "is dry enough for glue",
            measured=worst.value,
            allowed=worst.warn,
            remedy=Remedy(
                "cure the damp, let the wall dry, and read the same spot again before anything is glued to it"
            ),
        )
    values = {"sound": base.sound, "unevenness": base.unevenness}
    missing = [base.key(key) for key, value in values.items() if value is None]
    if isinstance(unjudged, Open):
        missing += unjudged.missing
    if missing:
        return Open("whether the wall is sound, even and dry enough for glue", *dict.fromkeys(missing))
    return unjudged or PASS


def _spot(where: str) -> str:
    return f" at {where}" if where else ""


@rule(
    "leaf-clears-lining",
    judges=Opening,
    level=Level.NOTE,
    guards=HoldPoint.CLOSING_IN,
    needs=(
        "opens",
        "hinges",
        "at",
        "width",
        "lining",
        "length",
        "then",
        "outline",
        "layers",
        "thickness",
        "battens.depth",
    ),
    reads=("leaf_clearance",),
)
def leaf_clears_lining(opening: Opening, given: Given) -> Outcome:
    """A window or door that opens into the room still opens to a right angle beside the lining of the next wall.

    Why: a lining brings the next wall nearer by its whole depth, and the handle then stops at it.
    Source: plane geometry; the clearance is an own decision.
    """
    wall = opening.wall
    if opening.kind not in (OpeningKind.WINDOW, OpeningKind.DOOR) or opening.opens in (Swing.OUT, Swing.SLIDE):
        return NOT_APPLICABLE
    if opening.opens is None and opening.kind is OpeningKind.WINDOW:
        return NOT_APPLICABLE
    face = finished_face(wall)
    if isinstance(face, Lacking):
        return outcome_of(face, remedy="correct the figures, or try the leaf against the line of the lining")
    near = {"left": face.bottom.left.moved, "right": face.bottom.right.moved}
    if not any(move > 0 for move in near.values()):
        return NOT_APPLICABLE
    values = {"opens": opening.opens, "hinges": opening.hinges}
    values |= {key: value for key, value in (("at", opening.at), ("width", opening.width)) if value is None}
    missing = [key for key, value in values.items() if value is None]
    at, width, side = opening.at, opening.width, opening.hinges
    if at is None or width is None or side is None or missing:
        return Open("which way the leaf opens, and where its hinges are", *missing)
    clear = at - face.bottom.start if side == "left" else face.bottom.end - at - width
    wanted = given.quantity("leaf_clearance", Length)
    if at_least(clear, wanted) or near[side] <= 0:
        return PASS
    beside = wanted.like(tidy(abs(clear)))
    says = f"{beside} stay between the hinges and the lining of the next wall on the {side}"
    if clear < 0:
        says = f"the lining of the next wall on the {side} would stand {beside} in front of the leaf"
    return Fail(
        f"{says}; at least {{allowed}} lets the leaf open to a right angle",
        measured=beside if clear >= 0 else "nothing",
        allowed=wanted,
        remedy=Remedy("line the next wall thinner there, hang the leaf on the other side, or set a stop"),
    )
