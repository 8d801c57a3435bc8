"""What boards are hung on: where the battens stand, and the spacing that a board allows."""

from itertools import count, takewhile

from planlint.model.buildups import Board
from planlint.model.rooms import Wall
from planlint.rule import Given
from planlint.sums.working import Lacking
from planlint.units import Length, at_least, at_most

LIMITS_OF_SUPPORTS = ("support_spacing",)


def supports(wall: Wall) -> tuple[Length, ...] | Lacking:
    """Centres of the battens or studs behind a wall's lining, from its left end: as given, else at 0, s, 2s….

    The last one, at the wall's right end, is not among those worked out.
    """
    if wall.battens_at is not None:
        return wall.battens_at
    battens = wall.lining.battens if wall.lining else None
    if wall.lining is None or battens is None:
        return Lacking("where the studs stand", (f"{wall.place}.battens_at",))
    spacing, length = battens.spacing, wall.length
    needed = {f"{wall.lining.place}.battens.spacing": spacing, f"{wall.place}.length": length}
    if spacing is None or length is None:
        return Lacking("where the battens stand", tuple(key for key, value in needed.items() if value is None))
    places = (spacing.like(spacing * number) for number in count())
    return tuple(takewhile(lambda at: at_most(at, length), places))


def widest_spacing(board: Board, given: Given, *, is_ceiling: bool) -> Length | None:
    """The widest spacing of supports that a board may hang on; None where the limits have none for it.

    A row of the table holds from its thickness up to the next; boards thinner than the thinnest have none.
    """
    place = "ceiling" if is_ceiling else "wall"
    rows = [row for row in given.table("support_spacing") or () if (row["kind"], row["surface"]) == (board.kind, place)]
    pairs = [(row["thickness"], row["spacing"]) for row in rows]
    held = [
        (thickness, spacing)
        for thickness, spacing in pairs
        if isinstance(thickness, Length) and isinstance(spacing, Length) and at_least(board.thickness or 0.0, thickness)
    ]
    return max(held)[1] if held else None
