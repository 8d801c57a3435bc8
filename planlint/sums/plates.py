"""Where the plate of a point sits: on its wall, below the ceiling, in no opening, clear of other plates."""

from dataclasses import dataclass

from planlint.model.rooms import Opening, Wall
from planlint.model.services import Point
from planlint.rule import PASS, Fail, Given, Open, Outcome, Remedy
from planlint.units import Length, at_least, at_most

LIMITS_OF_PLATES = ("gang_spacing", "plate_width")


def placed(point: Point, wall: Wall, given: Given) -> Outcome:
    """Whether every hole of a point lies on its wall, below the ceiling, in no opening, and clear of other plates."""
    return given.once((placed, point.place), lambda: _placed(point, wall, given))


def _placed(point: Point, wall: Wall, given: Given) -> Outcome:
    recorded = (
        ("at", point.at),
        ("height", point.height),
        (f"{wall.place}.length", wall.length),
    )
    spacing, size = given.quantity("gang_spacing", Length), given.quantity("plate_width", Length)
    plate = plate_of(point, given)
    missing = [key for key, value in recorded if value is None]
    if plate is None or missing:
        return Open(f"{_unknown(missing)}, and so whether {point.name} lies on its wall", *missing)
    inside = [_in_opening(plate, opening) for opening in wall.openings]
    near = (point.gangs + max(other.gangs for other in wall.points)) * spacing / 2 + size
    others = (plate_of(other, given) for other in wall.points_near(plate.at, near) if other is not point)
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


@dataclass(frozen=True, slots=True)
class Plate:
    """Where the plate of a point sits on its wall: its centre, and how far from it the outer holes are."""

    name: str
    at: Length
    height: Length
    gangs: int
    reach: float

    @property
    def holes(self) -> tuple[Length, Length]:
        """The centres of its leftmost and its rightmost hole."""
        return self.at.like(self.at - self.reach), self.at.like(self.at + self.reach)

    @property
    def centres(self) -> list[float]:
        """How far the centre of each hole is from the wall's left end, in metres."""
        apart = 2 * self.reach / (self.gangs - 1) if self.gangs > 1 else 0.0
        return [self.at - self.reach + number * apart for number in range(self.gangs)]

    @property
    def hole(self) -> str:
        """What a message calls one of them."""
        return f"the outer hole of {self.name}" if self.reach else self.name


def plate_of(point: Point, given: Given) -> Plate | None:
    """Where its plate sits; None where its position or height is not recorded."""
    height = point.centre(given.quantity("plate_width", Length))
    if point.at is None or height is None:
        return None
    spacing = given.quantity("gang_spacing", Length)
    return Plate(point.name, point.at, height, point.gangs, (point.gangs - 1) * spacing / 2)


def _past_an_end(plate: Plate, wall: Wall) -> Fail | None:
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


def _above_ceiling(plate: Plate, wall: Wall) -> Fail | None:
    # Under a ceiling that slopes the hole with the least above it counts.
    ceilings = [height for at in plate.centres if (height := wall.height_at(at)) is not None]
    ceiling, datum = min(ceilings, default=None), wall.room.floor.datum
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


def _in_opening(plate: Plate, opening: Opening) -> Fail | Open | None:
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


def _overlap(other: Plate, plate: Plate, size: Length) -> Fail | None:
    """Found once, at the later name: a room and its mirror image then have it at the same point."""
    apart, needed = abs(plate.at - other.at), plate.reach + other.reach + size
    if other.name > plate.name or at_least(apart, needed):
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
