"""Back boxes: the hole that is cut for them, and what they are clamped to."""

from itertools import dropwhile

from planlint.api import (
    NOT_APPLICABLE,
    PASS,
    Box,
    Fail,
    Given,
    HoldPoint,
    Layer,
    Length,
    Level,
    Open,
    Outcome,
    Point,
    PointKind,
    Remedy,
    Surface,
    Wall,
    at_most,
    rule,
)

BOXED = (PointKind.SOCKET, PointKind.SWITCH, PointKind.JUNCTION)
"""Points that always sit in a box; the others may hang from a cable alone."""


@rule(
    "hole-saw-matches-box",
    judges=Box,
    level=Level.ERROR,
    guards=HoldPoint.CLOSING_IN,
    needs=("hole", "tools.hole_saws"),
    reads=("hole_tolerance",),
)
def hole_saw_matches_box(box: Box, given: Given) -> Outcome:
    """A hole saw of the box's own hole size is at hand.

    Why: in a hole too wide the clamps find nothing to hold; too narrow, it is filed out by hand and ends up oval.
    Source: common practice; the tolerance is an own decision.
    """
    missing = [key for key, value in (("hole", box.hole), ("tools.hole_saws", box.hole_saws)) if value is None]
    if box.hole is None or box.hole_saws is None:
        return Open("the hole that the box wants, or the hole saws at hand", *missing)
    hole, tolerance = box.hole, given.quantity("hole_tolerance", Length)
    if any(at_most(abs(saw - hole), tolerance) for saw in box.hole_saws):
        return PASS
    nearest = min(box.hole_saws, key=lambda saw: abs(saw - hole), default=None)
    have = "no hole saw is at hand" if nearest is None else "the nearest hole saw at hand is {measured}"
    return Fail(
        f"the box wants a hole of {{allowed}}, and {have}",
        measured=nearest,
        allowed=hole,
        remedy=Remedy(f"get a hole saw of {hole} before a hole is cut, or use a box that fits the saw"),
    )


@rule(
    "box-has-backing",
    judges=Point,
    level=Level.WARNING,
    guards=HoldPoint.CLOSING_IN,
    needs=("box", "lining", "layers", "thickness", "existing", "base", "material", "at", "height"),
)
def box_has_backing(point: Point, given: Given) -> Outcome:
    """A box in a single board has a rigid backing, or a sheet layer right behind the board.

    Why: clamped into one board, it works loose as plugs are pulled.
    Source: common practice.
    """
    if point.box is None:
        return Open("which box it sits in", "box") if point.kind in BOXED else NOT_APPLICABLE
    if point.backing:
        return PASS
    surface = point.on
    if surface.undecided:
        return Open("whether and how this face will be lined", f"{surface.place}.lining")
    lining = surface.lining
    if surface.extent:
        if point.at is None or point.height is None:
            missing = [key for key, value in (("at", point.at), ("height", point.height)) if value is None]
            return Open("where it sits beside the lining that covers a part of the wall", *missing)
        lining = surface.lining_at(point.at, point.height)
    if lining is not None:
        if not lining.layers or (lining.battens and not lining.boards):
            return Open(f"the boards of {lining.name}", f"{lining.place}.layers")
        return _gripped(lining.layers, f"{lining.place}.layers")
    if surface.existing:
        return _gripped(surface.existing, f"{surface.place}.existing.layers")
    return _bare(surface)


def _gripped(layers: tuple[Layer, ...], where: str) -> Outcome:
    """What the box is clamped to: the board nearest the room, and a board right behind it.

    A film between the two does no harm.
    """
    numbered = dropwhile(lambda item: item[1].board is None, reversed([*enumerate(layers, 1)]))
    if not next(numbered, None):
        return NOT_APPLICABLE
    number, behind = next((item for item in numbered if not item[1].is_film), (0, None))
    if behind and behind.board:
        return PASS
    if behind and behind.thickness is None:
        return Open(f"how thick the {behind.material} behind the board is", f"{where}.{number}.thickness")
    return Fail(
        "the box is clamped into a single board with nothing rigid behind it",
        measured="single board",
        allowed="backing, or a sheet layer right behind",
        remedy=Remedy(
            "slip a piece of sheet timber behind the board and fix the box to it, before the neighbouring board is hung"
        ),
    )


def _bare(surface: Surface) -> Outcome:
    """A face that stays as it is and has no board noted: masonry holds a box by itself, studs do not."""
    existing = f"{surface.place}.existing"
    if not isinstance(surface, Wall):
        return Open("what hangs on this ceiling already", existing)
    base = surface.base
    if base is None or base.material is None:
        key = f"{surface.place}.base" if base is None else f"{base.place}.material"
        if base is not None and base.place == surface.place:
            key = f"{surface.place}.base.material"
        return Open("what this wall is made of, and what stands on it", key, existing)
    return Open("the board that stands on these studs", existing) if base.is_stud else NOT_APPLICABLE
