"""Heights that a hand can reach, and plates over worktops."""

from collections.abc import Iterator
from functools import partial

from planlint.api import (
    NOT_APPLICABLE,
    PASS,
    Fail,
    Fixture,
    FixtureKind,
    Given,
    HeightsFrom,
    HoldPoint,
    Length,
    Level,
    Open,
    Outcome,
    Point,
    PointKind,
    Remedy,
    Row,
    at_least,
    at_most,
    rule,
    wrong_unit,
)

BINDS = {
    "all": "",
    "new-dwellings": "; it binds new dwellings, and is a good habit in others",
    "accessible-rooms": "; it binds where a room has to be accessible, and is a good habit elsewhere",
}
"""What is said of a range that does not bind every dwelling."""


@rule(
    "height-in-reach",
    judges=Point,
    level=Level.WARNING,
    guards=HoldPoint.CLOSING_IN,
    needs=("height", "build_up"),
    reads=("height_bounds", "reach_heights", "plate_width"),
)
def height_in_reach(point: Point, given: Given) -> Outcome:
    """A point sits within the range of heights for its kind.

    Why: a socket at the floor's edge or a switch over one's head is either a slip of the pen or a daily nuisance.
    Source: own decision for the sane bounds; the ranges of countries as their limit sets say.
    """
    rows = [row for row in given.table("height_bounds") or () if row["kind"] == point.kind]
    ranges = [row for row in given.table("reach_heights") or () if row["kind"] == point.kind]
    if point.wall is None or not (rows or ranges):
        return NOT_APPLICABLE
    plate = given.quantity("plate_width", Length)
    centre = _above_finished(point, plate)
    if isinstance(centre, Open):
        return centre
    wrong = [found for row in ranges if (found := _out_of_range(point, centre, plate, row))]
    if ranges and not wrong:
        return PASS  # what a country allows is no slip, whatever general takes for sane
    slips = (_out_of_range(point, centre, plate, row) for row in rows)
    return next(filter(None, (*slips, *wrong)), PASS)


@rule(
    "point-clear-of-worktop",
    judges=Point,
    level=Level.WARNING,
    guards=HoldPoint.CLOSING_IN,
    needs=("at", "height", "width", "wall", "build_up"),
    reads=("worktop_heights", "plate_width"),
)
def point_clear_of_worktop(point: Point, given: Given) -> Outcome:
    """The plate of a socket or switch is clear of the worktop that it stands over, and as high above it as asked.

    Why: a plate that meets the worktop has to be cut, or moved when the kitchen comes and the wall is finished.
    Source: geometry; the heights above a worktop as the limit sets of countries say.
    """
    if point.wall is None or point.kind not in (PointKind.SOCKET, PointKind.SWITCH):
        return NOT_APPLICABLE
    tops = [fixture for fixture in point.on.room.fixtures if fixture.kind is FixtureKind.WORKTOP]
    tops = [top for top in tops if top.wall is point.wall or top.wall is None]
    outcomes = [outcome for top in tops if (outcome := _over(point, top, given))]
    if not outcomes:
        return NOT_APPLICABLE
    return next((one for kind in (Fail, Open) for one in outcomes if isinstance(one, kind)), PASS)


def _above_finished(point: Point, plate: float) -> Length | Open:
    """The height of its centre above the finished floor."""
    centre, floor = point.centre(plate), point.on.room.floor
    if centre is None:
        return Open(f"how high {point.name} is", "height")
    if floor.heights_from is HeightsFrom.FINISHED:
        return centre
    if floor.build_up is None:
        return Open("what is still to be laid on the floor", f"{point.on.room.place}.floor.build_up")
    return centre.like(centre - floor.build_up)


def _out_of_range(point: Point, centre: Length, plate: float, row: Row) -> Fail | None:
    """Whether the plate leaves a range, each end of which is measured to an edge of it or to its centre."""
    to_edge = {"centre": 0.0, "bottom": -plate / 2, "top": plate / 2}
    for end, holds, word in (("least", at_least, "least"), ("most", at_most, "most")):
        limit, edge = row[end], str(row.get(f"{end}_to", "centre"))
        measured = centre.like(centre + to_edge[edge])
        if not isinstance(limit, Length) or holds(measured, limit):
            continue
        binds = str(row.get("binds", "all"))
        what = "" if edge == "centre" else f" {'lower' if edge == 'bottom' else 'upper'} edge"
        name = f"the{what} of {point.name}" if what else point.name
        meant = wrong_unit(point.height, partial(_within, row)) if point.height and binds == "all" else None
        return Fail(
            f"{name} is {{measured}} above the finished floor; {{allowed}} is the {word} for a {point.kind}"
            f"{BINDS[binds]}{f'; perhaps {meant} was meant' if meant else ''}",
            measured=measured,
            allowed=limit,
            remedy=Remedy("correct the figure, or move the point into the range"),
            level=None if binds == "all" else Level.NOTE,
        )
    return None


def _within(row: Row, height: float) -> bool:
    least, most = row["least"], row["most"]
    return isinstance(least, Length) and isinstance(most, Length) and at_least(height, least) and at_most(height, most)


def _over(point: Point, top: Fixture, given: Given) -> Outcome | None:
    """What is to be said of a point and a worktop; None where the point is not over it, nor behind it."""
    plate = given.quantity("plate_width", Length)
    surface = top.height or top.rim
    missing = _unrecorded(top, surface)
    if point.at is None:
        return Open(f"where {point.name} is beside {top.name}", "at")
    if top.at is not None and not at_least(point.at, top.at):
        return None
    if top.at is not None and top.width is not None and not at_most(point.at, top.at + top.width):
        return None
    if missing:
        return Open(f"where {top.name} is and how high, beside {point.name}", *missing)
    centre = _above_finished(point, plate)
    if isinstance(centre, Open) or surface is None:
        return centre if isinstance(centre, Open) else None
    above = centre - surface
    if at_most(above, -plate / 2):
        return None
    if not at_least(above, plate / 2):
        return Fail(
            f"the plate of {point.name}, its centre at {{measured}}, meets {top.name}, whose top is at {{allowed}}",
            measured=centre,
            allowed=centre.like(surface),
            remedy=Remedy("move it up by half a plate and a little more, or wholly below the worktop"),
        )
    return next(_off(point, top, centre.like(above), given), PASS)


def _off(point: Point, top: Fixture, above: Length, given: Given) -> Iterator[Fail]:
    """Where a country says how high above a worktop a plate belongs, and it is not there."""
    for row in given.table("worktop_heights") or ():
        least, most = row["least"], row["most"]
        if row["kind"] != point.kind or not (isinstance(least, Length) and isinstance(most, Length)):
            continue
        if at_least(above, least) and at_most(above, most):
            continue
        low = not at_least(above, least)
        yield Fail(
            f"{point.name} is {{measured}} above {top.name}; {{allowed}} is the {'least' if low else 'most'}",
            measured=above,
            allowed=least if low else most,
            remedy=Remedy(f"bring it to between {least} and {most} above the worktop"),
        )


def _unrecorded(top: Fixture, surface: Length | None) -> list[str]:
    recorded = (("wall", top.wall), ("at", top.at), ("width", top.width), ("height", surface))
    return [f"{top.place}.{key}" for key, value in recorded if value is None]
