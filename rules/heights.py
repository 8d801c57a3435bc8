"""Heights and positions: points in one line, on their wall, and measured from a floor that is known."""

from collections import Counter
from collections.abc import Sequence
from functools import partial

from planlint.api import (
    LIMITS_OF_PLATES,
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
    Outcome,
    Point,
    Remedy,
    Room,
    Set,
    SocketHeights,
    SwitchHeights,
    at_most,
    mistyped,
    other_edge,
    placed,
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
    "heights-measured-alike",
    judges=SocketHeights | SwitchHeights,
    level=Level.WARNING,
    guards=HoldPoint.CLOSING_IN,
)
def heights_measured_alike(group: HeightGroup, given: Given) -> Outcome:
    """The heights of a group are all measured to the centre, or all to the lower edge.

    Why: whoever marks the wall reads the figures one after another, and cuts the odd one half a plate off.
    Source: common practice.
    """
    measured = [point for point in group.points if point.height is not None]
    if len(measured) <= 1:
        return NOT_APPLICABLE
    to_bottom = [point for point in measured if point.to_bottom]
    if len(to_bottom) in (0, len(measured)):
        return PASS
    usual = Counter(point.to_bottom for point in measured).most_common(1)[0][0]
    odd = [point for point in measured if point.to_bottom is not usual]
    words = {True: "its lower edge", False: "its centre"}
    also = f" (also {', '.join(point.name for point in odd[1:])})" if odd[1:] else ""
    like = next(point.name for point in measured if point.to_bottom is usual)
    return Fail(
        f"the height of {odd[0].name} is measured to {words[not usual]}{also}, that of {like} to {words[usual]}",
        measured="bottom" if odd[0].to_bottom else "centre",
        allowed="bottom" if usual else "centre",
        remedy=Remedy("measure all of them to one spot, and say which with height_to: centre or bottom"),
        at=odd[0],
    )


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
    reads=LIMITS_OF_PLATES,
)
def point_on_wall(point: Point, given: Given) -> Outcome:
    """Every hole of a point lies on its wall, below the ceiling, in no opening, and clear of other plates.

    Why: a hole that was marked from a wrong figure is cut once, and the board is spoiled.
    Source: geometry; the spacing of gangs is a trade custom, the width of a plate an own decision.
    """
    return NOT_APPLICABLE if point.wall is None else placed(point, point.wall, given)


def _heights_agree(group: HeightGroup, given: Given) -> Outcome:
    """The group's most common height counts; where two are as common, that of the first in the walk."""
    if len(group.points) == 1:
        return NOT_APPLICABLE
    # Heights that were all measured to the lower edge compare as they are, without a guess at the plates.
    alike = len({point.to_bottom for point in group.points}) == 1
    plate = given.quantity("plate_width", Length)
    heights = [(point, point.height if alike else point.centre(plate)) for point in group.points]
    known = [(point, height) for point, height in heights if height is not None]
    unknown = [point for point, height in heights if height is None]
    usual = next((height for height, _ in Counter(height for _, height in known).most_common(1)), None)
    tolerance = given.quantity("height_tolerance", Length)
    off = [
        (point, height) for point, height in known if usual is not None and not at_most(abs(height - usual), tolerance)
    ]
    if off and usual is not None:
        first, height = off[0]
        others = ", ".join(f"{point.name} at {height}" for point, height in off[1:])
        also = f" (also {others})" if others else ""
        like = next(point.name for point, height in known if height == usual)
        return Fail(
            f"{first.name if alike else f'the centre of {first.name}'} is at {{measured}}{also}, "
            f"not at {{allowed}} like {like}{_meant(first, usual, given)}",
            measured=height,
            allowed=usual,
            remedy=Remedy(
                "bring them to one height; those that are meant to differ get a group, such as group: worktop",
                edit=_brought_to(usual, off) if alike else (),
            ),
            at=first,
        )
    if unknown:
        first, *rest = unknown
        names = ", ".join(point.name for point in unknown)
        return Open(f"the height of {names}", "height", *(f"{point.place}.height" for point in rest), at=first)
    return PASS


def _brought_to(usual: Length, off: Sequence[tuple[Point, Length]]) -> tuple[Set, ...]:
    """The edits that plan the usual height, where all holes are still to be cut: on faces that will be lined."""
    if not all(point.on.lining for point, _ in off):
        return ()
    return tuple(Set(point, "height", height.like(usual)) for point, height in off)


def _meant(point: Point, usual: Length, given: Given) -> str:
    """What the figure of a point that is off was probably meant to be, ready to follow a message."""
    if point.height is None:
        return ""
    near = partial(_near, usual, given.quantity("height_tolerance", Length))
    if meant := mistyped(point.height, near):
        return f"; perhaps {meant} was meant"
    edge = other_edge(point, usual, given.quantity("plate_width", Length))
    return f"; {edge}" if edge else ""


def _near(usual: float, tolerance: float, height: float) -> bool:
    return at_most(abs(height - usual), tolerance)
