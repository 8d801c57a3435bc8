"""Heights and positions: points in one line, on their wall, and measured from a floor that is known."""

from collections import Counter
from dataclasses import dataclass

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
    )
    spacing, size = given.quantity("gang_spacing", Length), given.quantity("plate_width", Length)
    plate = _plate(point, spacing, size)
    missing = [key for key, value in recorded if value is None]
    if plate is None or missing:
        return Open(f"{_unknown(missing)}, and so whether {point.name} lies on its wall", *missing)
    inside = [_in_opening(plate, opening) for opening in wall.openings]
    near = (point.gangs + max(other.gangs for other in wall.points)) * spacing / 2 + size
    others = (_plate(other, spacing, size) for other in wall.points_near(plate.at, near) if other is not point)
    wrong = (
        _past_an_end(plate, wall)
        or _above_ceiling(plate, wall)
        or next((outcome for outcome in inside if isinstance(outcome, Fail)), None)
        or next(filter(None, (_overlap(other, plate, size) for other in others if other)), None)
    )
    # What is certainly wrong comes before what is only not recorded.
    unclear = [outcome for outcome in inside if outcome]
    if wall.height_left is None:
        key = f"{wall.room.place}.height"
        unclear.append(Open(f"how high the room is, and so whether {point.name} lies on its wall", key))
    return wrong or (unclear[0] if unclear else PASS)


def _unknown(missing: list[str]) -> str:
    """In words what of a point's position, and of its wall, is not known."""
    spoken = {"at": "how far along it is", "height": "how high it is"}
    return " and ".join(spoken.get(key, "how long the wall is") for key in missing)


@dataclass(frozen=True)
class _Plate:
    """Where the plate of a point sits on its wall: its centre, and how far from it the outer holes are."""

    name: str
    at: Length
    height: Length
    reach: float

    @property
    def holes(self) -> tuple[Length, Length]:
        """The centres of its leftmost and its rightmost hole."""
        return self.at.like(self.at - self.reach), self.at.like(self.at + self.reach)

    @property
    def hole(self) -> str:
        """What a message calls one of them."""
        return f"the outer hole of {self.name}" if self.reach else self.name


def _plate(point: Point, spacing: Length, size: Length) -> _Plate | None:
    height = point.centre(size)
    if point.at is None or height is None:
        return None
    return _Plate(point.name, point.at, height, (point.gangs - 1) * spacing / 2)


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
    if off:
        first, height = off[0]
        others = ", ".join(f"{point.name} at {height}" for point, height in off[1:])
        also = f" (also {others})" if others else ""
        like = next(point.name for point, height in known if height == usual)
        return Fail(
            f"{first.name if alike else f'the centre of {first.name}'} is at {{measured}}{also}, "
            f"not at {{allowed}} like {like}",
            measured=height,
            allowed=usual,
            remedy=Remedy(
                "bring them to one height; those that are meant to differ get a group, such as group: worktop"
            ),
            at=first,
        )
    if unknown:
        first, *rest = unknown
        names = ", ".join(point.name for point in unknown)
        return Open(f"the height of {names}", "height", *(f"{point.place}.height" for point in rest), at=first)
    return PASS


def _past_an_end(plate: _Plate, wall: Wall) -> Fail | None:
    length = wall.length_at(plate.height + wall.room.floor.datum)
    left, right = plate.holes
    if wall.length is None or length is None:
        return None
    remedy = Remedy("measure `at` from the wall's left end, facing it, to the centre of the plate")
    if not at_least(plate.at, plate.reach):
        return Fail(
            f"{plate.hole} would sit {{measured}} before the left end of {wall.name}",
            measured=left.like(-left),
            allowed=left.like(0.0),
            remedy=remedy,
        )
    if not at_most(right, length):
        return Fail(
            f"{plate.hole} would sit at {{measured}} on {wall.name}, which ends at {{allowed}}",
            measured=right,
            allowed=wall.length.like(length),
            remedy=remedy,
        )
    return None


def _above_ceiling(plate: _Plate, wall: Wall) -> Fail | None:
    ceiling, datum = wall.height_at(plate.at), wall.room.floor.datum
    # Wall heights are from the bare floor; a height from the finished floor begins the build-up higher.
    if ceiling is None or at_most(plate.height, ceiling - datum):
        return None
    above = " above the finished floor" if datum else ""
    return Fail(
        f"{plate.name} would sit at {{measured}}, and the ceiling is at {{allowed}}{above}",
        measured=plate.height,
        allowed=plate.height.like(ceiling - datum),
        remedy=Remedy("check the point's height and the height of the room"),
    )


def _in_opening(plate: _Plate, opening: Opening) -> Fail | Open | None:
    """Whether a hole lies in an opening; on its very edge it does not."""
    left, right = plate.holes
    at, width, bottom, height = opening.at, opening.width, opening.bottom, opening.height
    clear = (
        (at is not None and at_most(right, at))
        or (at is not None and width is not None and at_least(left, at + width))
        or (bottom is not None and at_most(plate.height, bottom))
        or (bottom is not None and height is not None and at_least(plate.height, bottom + height))
    )
    if clear:
        return None
    recorded = (("at", at), ("width", width), ("sill", bottom), ("height", height))
    missing = [f"{opening.place}.{key}" for key, value in recorded if value is None]
    if at is None or width is None or missing:
        return Open(f"where {opening.name} is and how large, beside {plate.name}", *missing)
    end = at.like(at + width)
    hole = next((hole for hole in (plate.at, left, right) if at < hole < end), plate.at)
    return Fail(
        f"{plate.name if hole is plate.at else plate.hole} at {{measured}} would sit in {opening.name}, "
        f"which goes from {at} to {end}",
        measured=hole,
        allowed=f"up to {at}, or from {end} on",
        remedy=Remedy("move the point beside the opening, or correct where the opening begins"),
    )


def _overlap(other: _Plate, plate: _Plate, size: Length) -> Fail | None:
    """Only the neighbour to the left counts, so that two plates that overlap are found once."""
    apart, needed = plate.at - other.at, plate.reach + other.reach + size
    if (other.at, other.name) > (plate.at, plate.name) or at_least(apart, needed):
        return None
    if at_least(abs(plate.height - other.height), size):
        return None
    return Fail(
        f"the plates of {other.name} and {plate.name} overlap: "
        "{measured} from centre to centre, and they need {allowed}",
        measured=plate.at.like(apart),
        allowed=plate.at.like(needed),
        remedy=Remedy("move one of them, or make them one plate with several gangs"),
    )
