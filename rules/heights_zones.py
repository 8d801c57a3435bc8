"""Zones and spacing: cables where one looks for them, sockets within reach along the walls, holes off the edges."""

from collections.abc import Sequence

from planlint.api import (
    CIRCUITS_CAUTION,
    LIMITS_OF_OUTLETS,
    LIMITS_OF_SPACING,
    LIMITS_OF_ZONES,
    NOT_APPLICABLE,
    PASS,
    Astray,
    Faces,
    Fail,
    FarSpot,
    Given,
    HoldPoint,
    Lacking,
    Length,
    Level,
    Open,
    Outcome,
    Remedy,
    Room,
    Run,
    Wall,
    astray,
    at_least,
    far_spots,
    has_zones,
    outcome_of,
    outlets_of,
    outlets_wanted,
    rule,
)


@rule(
    "run-in-zone",
    judges=Run,
    level=Level.WARNING,
    guards=HoldPoint.CLOSING_IN,
    needs=(
        "path",
        "path.height",
        "height",
        "at",
        "width",
        "sill",
        "length",
        "build_up",
        "hinges",
        "use",
        "lining",
        "base",
        "thickness",
    ),
    reads=(*LIMITS_OF_ZONES, "run_slant", "zones_spare_protected", "zones_spare_deeper"),
    caution=CIRCUITS_CAUTION,
)
def run_in_zone(run: Run, given: Given) -> Outcome:
    """Where the limit set has installation zones, the way that a cable is drawn lies in them, level and upright.

    Why: whoever hangs a shelf in ten years can only guess where a cable lies, and guesses by the zones.
    Source: DIN 18015-3:2016 and BS 7671, 522.6.202, as quoted; only a drawn way is judged: own decision.
    """
    if run.drawn is None or not has_zones(given):
        return NOT_APPLICABLE
    if run.protected_by in given.words("zones_spare_protected"):
        return PASS
    depths = [float(row["depth"]) for row in given.table("zones_spare_deeper") or ()]
    walls = dict.fromkeys(spot.wall for spot in run.path_spots)
    deep = [_is_deep(run, wall, depth) for depth in depths for wall in walls]
    if deep and all(one is True for one in deep):
        return PASS
    found = astray(run.drawn.stretches, given)
    perhaps_deep = [] if False in deep else [key for key in deep if isinstance(key, str)]
    unknown = [*found.keys, *perhaps_deep] if found else []
    # What is surely wrong comes before what is only not recorded.
    if found and not unknown:
        return _said(found, run)
    if any(spot.height is None for spot in run.path_spots):
        return Open(f"how high the way of the cable to {run.end_name} lies", "path.height")
    if found:
        what = f"whether the cable to {run.end_name} lies where it may on {found.wall.name}"
        return Open(what, *dict.fromkeys(unknown))
    if not run.drawn.is_whole:
        return Open(f"where the cable to {run.end_name} lies between the spots of its path", *_gaps(run))
    return PASS


def _is_deep(run: Run, wall: Wall, least: float) -> bool | str:
    """Whether a run lies deep enough in a wall, seen from either face; the key that would say so where it may."""
    if run.depth is None or not at_least(run.depth, least):
        return False
    if wall.base is None:
        return f"{wall.place}.base"
    if wall.faces in (Faces.OUTSIDE, Faces.GROUND):
        return True
    if wall.base.thickness is None:
        key = wall.base.key("thickness")
        return key if key.startswith("bases.") else f"{wall.place}.{key}"
    return at_least(wall.base.thickness - run.depth, least)


def _gaps(run: Run) -> Sequence[str]:
    """The keys for want of which the way between the spots of a path is not known."""
    rooms = dict.fromkeys(spot.wall.room for spot in run.path_spots)
    missing = [f"{wall.place}.length" for room in rooms for wall in room.walls if wall.length is None]
    ends = [point for point in (run.start, run.end) if point and point.wall]
    missing += [f"{point.place}.height" for point in ends if point.height is None]
    return missing or ["path"]


def _said(found: Astray, run: Run) -> Fail:
    like = run.path_spots[0].at.like
    spans = [sorted((like(found.start[axis]), like(found.end[axis]))) for axis in (0, 1)]
    along, up = (f"{low}" if f"{low}" == f"{high}" else f"{low} to {high}" for low, high in spans)
    where = f"{along} along and {up} up"
    cable = f"the cable to {run.end_name}"
    if found.opening:
        return Fail(
            f"{cable} is drawn through {found.opening.name} on {found.wall.name}, {{measured}}",
            measured=where,
            allowed="around the opening",
            remedy=Remedy(f"lead it over the head of {found.opening.name}, or draw its path as it lies"),
        )
    if found.is_askew:
        return Fail(
            f"{cable} goes askew on {found.wall.name}, {{measured}}; cables in a wall go level or upright",
            measured=where,
            allowed="level or upright",
            remedy=Remedy("lay it level and upright, and draw a spot of its path wherever it bends"),
        )
    near = "; the nearest is {allowed}" if found.zone else ""
    return Fail(
        f"{cable} lies outside of the installation zones on {found.wall.name}, {{measured}}{near}",
        measured=where,
        allowed=found.zone.said if found.zone else "in a zone",
        remedy=Remedy(
            "move it into a zone, or draw its path as it lies; where local rules let it stay, have it guarded"
        ),
    )


@rule(
    "sockets-along-walls",
    judges=Room,
    level=Level.WARNING,
    guards=HoldPoint.CLOSING_IN,
    needs=("use", "outline", "walls", "length", "at", "width", "height", "wall"),
    reads=LIMITS_OF_SPACING,
)
def sockets_along_walls(room: Room, given: Given) -> Outcome:
    """Where the limit set says so, no spot along the walls of a room is too far from a socket.

    Why: a lamp whose lead does not reach ends on an extension lead under the carpet, for years.
    Source: NEC 210.52(A), as quoted; in which rooms nobody lives, and that a stove cuts the line: own decision.
    """
    rows = given.table("socket_spacing")
    if not rows or not room.walls:
        return NOT_APPLICABLE
    if room.use is None:
        return Open("what the room is used for, and so whether sockets have to stand along its walls", "use")
    if any(word in room.use.casefold() for word in given.words("socket_spacing_exempt")):
        return NOT_APPLICABLE
    found = far_spots(room, rows[0])
    if isinstance(found, Lacking):
        return outcome_of(found)
    if not found:
        return PASS
    worst = max(found, key=_distance)
    reach = rows[0]["reach"]
    others = ", ".join(_spoken(spot) for spot in found if spot is not worst)
    also = f"; also {others}" if others else ""
    what = (
        f"a wall space of {worst.space} on {worst.wall.name} has no socket; the nearest may be {{allowed}} away"
        if worst.distance is None
        else f"{_spoken(worst)} is {{measured}} along the walls from the nearest socket, and {{allowed}} is the most"
    )
    return Fail(
        what + also,
        measured="none" if worst.distance is None else worst.distance,
        allowed=reach,
        remedy=Remedy(
            f"put a socket within {reach} of it, measured along the walls; a wall space of {worst.space} needs "
            f"{worst.fewest} at the fewest"
        ),
    )


def _distance(spot: FarSpot) -> float:
    return float("inf") if spot.distance is None else spot.distance


def _spoken(spot: FarSpot) -> str:
    return f"the spot {spot.at} along {spot.wall.name}"


@rule(
    "outlets-in-room",
    judges=Room,
    level=Level.NOTE,
    guards=HoldPoint.CLOSING_IN,
    needs=("use", "outline", "length", "then"),
    reads=LIMITS_OF_OUTLETS,
)
def outlets_in_room(room: Room, given: Given) -> Outcome:
    """A room has as many socket outlets as the limit set asks for in a room of its use and size.

    Why: sockets that are missing are wanted as soon as the room is lived in, and then the walls are closed.
    Source: NF C 15-100 (amendment of 2015 and later), as French trade guides quote it.
    """
    if not given.table("outlets_in_room") or not room.walls:
        return NOT_APPLICABLE
    if room.use is None:
        return Open("what the room is used for, and so how many socket outlets it should have", "use")
    wanted = outlets_wanted(room, given)
    if wanted is None:
        return NOT_APPLICABLE
    if isinstance(wanted, Lacking):
        return outcome_of(wanted)
    if at_least(outlets_of(room), wanted.number):
        return PASS
    if not room.is_closed:
        return Open("the walls all the way round, on which more sockets may be", "outline")
    return Fail(
        f"{room.name} has {{measured}} socket outlets, and {{allowed}} is the fewest {wanted.by}",
        measured=outlets_of(room),
        allowed=wanted.number,
        remedy=Remedy("plan more sockets before the walls are closed, or note why the room does without"),
    )


@rule(
    "bored-holes-clear-of-edge",
    judges=Wall,
    level=Level.WARNING,
    guards=HoldPoint.CLOSING_IN,
    needs=("notches.member", "notches.depth", "notches.member_depth"),
    reads=("hole_to_edge",),
    caution=CIRCUITS_CAUTION,
)
def bored_holes_clear_of_edge(wall: Wall, given: Given) -> Outcome:
    """A hole bored for a cable keeps clear of the edges of its stud or joist, or the cable is guarded there.

    Why: a screw for the boards, or for a picture, finds a cable that lies close behind the edge.
    Source: NEC 300.4(A)(1) and BS 7671, 522.6.201, as quoted; that a hole counts as bored in the middle, own decision.
    """
    least = {str(row["member"]): row["edge"] for row in given.table("hole_to_edge") or ()}
    holes = [notch for notch in wall.notches or () if notch.is_hole]
    if not least or not holes:
        return NOT_APPLICABLE
    if wall.runs and all(run.protected_by for run in wall.runs):
        return PASS
    unclear: list[str] = []
    for hole in holes:
        edge = least.get(hole.member or "")
        recorded = {"member": hole.member, "depth": hole.depth, "member_depth": hole.member_depth}
        unknown = [f"notches.{key}" for key, value in recorded.items() if value is None]
        if hole.depth is None or hole.member_depth is None or hole.member is None:
            unclear += unknown
        elif isinstance(edge, Length) and not at_least((hole.member_depth - hole.depth) / 2, edge):
            left = hole.depth.like(max((hole.member_depth - hole.depth) / 2, 0.0))
            return Fail(
                f"a hole of {hole.depth} in a {hole.member} {hole.member_depth} deep leaves {{measured}} to its edges "
                "even where it is bored in the middle, and {allowed} is the least",
                measured=left,
                allowed=edge,
                remedy=Remedy(
                    "have a steel plate put over the edge before the boards go on, and add protected_by: steel-plate "
                    "to the runs there; so large a hole may weaken the timber: ask whoever answers for the structure"
                ),
            )
    return Open("the holes bored in its frame", *dict.fromkeys(unclear)) if unclear else PASS
