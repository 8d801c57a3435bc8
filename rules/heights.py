"""Heights and positions: points in one line, on their wall, and measured from a floor that is known."""

from collections import Counter

from planlint.api import (
    NOT_APPLICABLE,
    PASS,
    Fail,
    Given,
    HeightGroup,
    HeightsFrom,
    HoldPoint,
    Length,
    Level,
    Open,
    Opening,
    Outcome,
    Point,
    Remedy,
    Room,
    SocketHeights,
    SwitchHeights,
    Wall,
    at_least,
    at_most,
    rule,
)


@rule(
    "socket-heights-agree",
    judges=SocketHeights,
    level=Level.WARNING,
    guards=HoldPoint.CLOSING_IN,
    needs=("height",),
    reads=("height_tolerance", "plate_width"),
)
def socket_heights_agree(group: SocketHeights, given: Given) -> Outcome:
    """All sockets of a room stand at one height, whatever height is chosen.

    Why: one socket that is off stands out on a finished wall for as long as the wall stands.
    Source: common practice.
    """
    return _heights_agree(group, given)


@rule(
    "switch-heights-agree",
    judges=SwitchHeights,
    level=Level.WARNING,
    guards=HoldPoint.CLOSING_IN,
    needs=("height",),
    reads=("height_tolerance", "plate_width"),
)
def switch_heights_agree(group: SwitchHeights, given: Given) -> Outcome:
    """All switches of a room stand at one height, whatever height is chosen.

    Why: the hand looks for a switch where the last one was.
    Source: common practice.
    """
    return _heights_agree(group, given)


@rule(
    "height-datum-known",
    judges=Room,
    level=Level.WARNING,
    guards=HoldPoint.CLOSING_IN,
)
def height_datum_known(room: Room, given: Given) -> Outcome:
    """Heights that are measured from the raw floor come with the build-up that is still to be laid on it.

    Why: without it nobody can say how high a socket ends up, and the doors and worktops do not wait.
    Source: common practice.
    """
    measured = (
        *(point.height for wall in room.walls for point in wall.points),
        *(opening.sill for wall in room.walls for opening in wall.openings),
        *(reading.height for wall in room.walls for reading in wall.readings),
    )
    if all(height is None for height in measured):
        return NOT_APPLICABLE
    if room.floor.heights_from is HeightsFrom.FINISHED or room.floor.build_up is not None:
        return PASS
    return Fail(
        "heights are measured from the raw floor, and what is still to be laid on it is not recorded",
        remedy=Remedy("add floor.build_up: screed, glue and covering together, such as build_up: 78 mm"),
    )


@rule(
    "point-on-wall",
    judges=Point,
    level=Level.ERROR,
    guards=HoldPoint.CLOSING_IN,
    needs=("at", "height", "length", "width", "sill"),
    reads=("gang_spacing", "plate_width"),
)
def point_on_wall(point: Point, given: Given) -> Outcome:
    """Every hole of a point lies on its wall, below the ceiling, in no opening, and clear of other plates.

    Why: a hole that was marked from a wrong figure is cut once, and the board is spoiled.
    Source: geometry; the spacing of gangs is a trade custom, the width of a plate an own decision.
    """
    wall = point.wall
    if wall is None:
        return NOT_APPLICABLE
    recorded = (
        ("at", point.at),
        ("height", point.height),
        (f"{wall.place}.length", wall.length),
        (f"{wall.room.place}.height", wall.height_left),
    )
    missing = [key for key, value in recorded if value is None]
    if missing:
        return Open(f"where {point.name} sits on its wall, or how long and high the wall is", *missing)
    spacing, plate = given.quantity("gang_spacing", Length), given.quantity("plate_width", Length)
    at, reach = point.at or 0.0, (point.gangs - 1) * spacing / 2
    left, right = at - reach, at + reach
    return (
        _past_an_end(point, wall, left, right)
        or _above_ceiling(point, wall)
        or _in_an_opening(point, wall, left, right)
        or _on_another_plate(point, wall, reach + plate / 2, given)
        or PASS
    )


def _heights_agree(group: HeightGroup, tolerance: Length) -> Outcome:
    """The group's most common height counts; where two are as common, that of the first in the walk."""
    known = [(point, point.height) for point in group.points if point.height is not None]
    unknown = [point for point in group.points if point.height is None]
    common = Counter(height for _, height in known).most_common(1)
    off = [(point, height) for point, height in known if not at_most(abs(height - common[0][0]), tolerance)]
    if off:
        first, height = off[0]
        others = ", ".join(f"{point.name} at {height}" for point, height in off[1:])
        also = f" (also {others})" if others else ""
        return Fail(
            f"{first.name} is at {{measured}}{also} where the others of the room are at {{allowed}}",
            measured=height,
            allowed=common[0][0],
            remedy=Remedy("bring them to one height, or give those that belong apart a group of their own"),
            at=first,
        )
    if unknown:
        return Open(f"the height of {unknown[0].name}", "height", at=unknown[0])
    return PASS if len(known) > 1 else NOT_APPLICABLE


def _past_an_end(point: Point, wall: Wall, left: float, right: float) -> Outcome | None:
    length = wall.length_at(point.height or 0.0)
    if point.at is None or wall.length is None or length is None:
        return None
    which = "its outer hole" if point.gangs > 1 else point.name
    if not at_least(left, 0.0):
        return Fail(
            f"{which} would sit {{measured}} before the left end of {wall.name}",
            measured=point.at.like(-left),
            allowed=point.at.like(0.0),
            remedy=Remedy("measure `at` from the wall's left end, facing it, to the centre of the plate"),
        )
    if not at_most(right, length):
        return Fail(
            f"{which} would sit at {{measured}} on {wall.name}, which ends at {{allowed}}",
            measured=point.at.like(right),
            allowed=wall.length.like(length),
            remedy=Remedy("measure `at` from the wall's left end, facing it, to the centre of the plate"),
        )
    return None


def _above_ceiling(point: Point, wall: Wall) -> Outcome | None:
    ceiling = wall.height_at(point.at or 0.0)
    floor = wall.room.floor
    if ceiling is None or point.height is None or wall.height_left is None:
        return None
    # Wall heights are from the bare floor; a height from the finished floor begins the build-up higher.
    raised = floor.build_up or 0.0 if floor.heights_from is HeightsFrom.FINISHED else 0.0
    if at_most(point.height, ceiling - raised):
        return None
    return Fail(
        f"{point.name} would sit at {{measured}}, and the ceiling is at {{allowed}}",
        measured=point.height,
        allowed=wall.height_left.like(ceiling - raised),
        remedy=Remedy("check the point's height and the height of the room"),
    )


def _in_an_opening(point: Point, wall: Wall, left: float, right: float) -> Outcome | None:
    """Whether a hole lies in an opening; on its very edge it does not."""
    height = point.height or 0.0
    for opening in wall.openings:
        if opening.at is None or opening.width is None:
            missing = [key for key, value in (("at", opening.at), ("width", opening.width)) if value is None]
            return Open(f"where {opening.name} sits on this wall", *(f"{opening.place}.{key}" for key in missing))
        if at_most(right, opening.at) or at_least(left, opening.at + opening.width):
            continue
        bottom = opening.bottom
        if bottom is not None and at_most(height, bottom):
            continue
        if bottom is None or opening.height is None:
            missing = [key for key, value in (("sill", bottom), ("height", opening.height)) if value is None]
            return Open(f"how high {opening.name} reaches", *(f"{opening.place}.{key}" for key in missing))
        if not at_least(height, bottom + opening.height):
            return Fail(
                f"{point.name} at {{measured}} would sit in {opening.name}, "
                f"which takes {opening.at} to {_end(opening)}",
                measured=point.at,
                allowed=f"before {opening.at} or after {_end(opening)}",
                remedy=Remedy("move the point beside the opening, or correct where the opening begins"),
            )
    return None


def _end(opening: Opening) -> Length | None:
    return opening.at.like(opening.at + opening.width) if opening.at is not None and opening.width is not None else None


def _on_another_plate(point: Point, wall: Wall, half: float, given: Given) -> Outcome | None:
    """The neighbour to the left counts, so that two plates that overlap are found once."""
    spacing, plate = given.quantity("gang_spacing", Length), given.quantity("plate_width", Length)
    for other in wall.points:
        if other is point or other.at is None or other.height is None or point.at is None or point.height is None:
            continue
        if (other.at, other.name) > (point.at, point.name):
            continue
        needed = half + (other.gangs - 1) * spacing / 2 + plate / 2
        apart = point.at - other.at
        if not at_least(apart, needed) and not at_least(abs(point.height - other.height), plate):
            return Fail(
                f"the plates of {other.name} and {point.name} overlap: "
                "{measured} from centre to centre, they need {allowed}",
                measured=point.at.like(apart),
                allowed=point.at.like(needed),
                remedy=Remedy("move one of them, or make them one plate with several gangs"),
            )
    return None
