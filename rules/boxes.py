"""Back boxes: the hole that is cut for them, and what they are clamped to."""

from planlint.api import (
    BOXED,
    NOT_APPLICABLE,
    PASS,
    Box,
    Fail,
    Fixture,
    FixtureKind,
    Given,
    HoldPoint,
    Lacking,
    Length,
    Level,
    Open,
    Outcome,
    Point,
    PointKind,
    Remedy,
    Set,
    at_most,
    is_hollow,
    lining_behind,
    lining_in_front,
    outcome_of,
    rule,
    sheets_at,
)

HUNG = (FixtureKind.BASIN, FixtureKind.RADIATOR, FixtureKind.RAIL, PointKind.HEATING)
"""What hangs on the wall with its whole weight, or is pulled at; sinks, hobs and worktops stand on something."""


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
    sheets = sheets_at(point)
    if isinstance(sheets, Lacking):
        return outcome_of(sheets)
    if sheets is None:
        return NOT_APPLICABLE
    if sheets.boards > 1:
        return PASS
    if sheets.behind:
        return outcome_of(sheets.behind)
    return Fail(
        "the box is clamped into a single board with nothing rigid behind it",
        measured="single board",
        allowed="backing, or a sheet layer right behind",
        remedy=Remedy(
            "slip a piece of sheet timber behind the board and fix the box to it, before the neighbouring board is "
            "hung",
            edit=Set(point, "backing", value=True) if point.on.lining else (),
        ),
    )


@rule(
    "hung-load-has-backing",
    judges=Point | Fixture,
    level=Level.WARNING,
    guards=HoldPoint.CLOSING_IN,
    needs=("wall", "lining", "layers", "base", "material", "at", "width", "rim", "height"),
)
def hung_load_has_backing(thing: Point | Fixture, given: Given) -> Outcome:
    """A basin, radiator, rail or heater that hangs on boards has a backing behind them.

    Why: fixings in a board alone pull out under a load, and nobody gets behind the board again.
    Source: common practice.
    """
    if thing.kind not in HUNG or (isinstance(thing, Point) and thing.wall is None):
        return NOT_APPLICABLE
    if thing.backing:
        return PASS
    if thing.wall is None:
        return Open(f"the wall on which the {thing.kind} hangs", "wall")
    lining = lining_in_front(thing) if isinstance(thing, Point) else lining_behind(thing, thing.wall)
    if isinstance(lining, Lacking):
        return outcome_of(lining)
    hollow = is_hollow(thing.wall, lining)
    if isinstance(hollow, Lacking):
        return outcome_of(hollow)
    if not hollow:
        return NOT_APPLICABLE
    what = "a heater" if isinstance(thing, Point) else f"the {thing.kind}"
    return Fail(
        f"{what} hangs on {thing.wall.name}, and no backing is noted behind the boards",
        measured="no backing",
        allowed="backing",
        remedy=Remedy(
            "fix timber between the battens or studs where it hangs, and note it as backing: true",
            edit=Set(thing, "backing", value=True) if thing.wall.lining else (),
        ),
    )
