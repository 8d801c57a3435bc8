"""Back boxes: where on the wall they sit, and what sits on the wall's other face."""

from collections.abc import Iterator
from dataclasses import dataclass
from math import hypot

from planlint.api import (
    BOXED,
    LIMITS_OF_PLATES,
    NOT_APPLICABLE,
    PASS,
    Fail,
    Fixture,
    FixtureKind,
    Given,
    HeightsFrom,
    HoldPoint,
    Lacking,
    Length,
    Level,
    Open,
    Opening,
    Outcome,
    Plate,
    Point,
    PointKind,
    Remedy,
    Wall,
    at_least,
    at_most,
    battens_along,
    ends_of,
    lining_in_front,
    outcome_of,
    placed,
    plate_of,
    rule,
)

AWAY = Remedy("move the box, before its hole is cut")


@dataclass(frozen=True)
class _Holes:
    """The holes of a point in its wall: where their centres are, and how wide they are."""

    wall: Wall
    plate: Plate
    size: Length
    """How wide each of them is."""

    @property
    def radius(self) -> float:
        """Half of that."""
        return self.size / 2

    @property
    def left(self) -> float:
        """Where the leftmost hole begins, in metres from the wall's left end."""
        return self.plate.at - self.plate.reach - self.radius

    @property
    def right(self) -> float:
        """Where the rightmost hole ends."""
        return self.plate.at + self.plate.reach + self.radius

    @property
    def above_bare(self) -> float:
        """The height of their centres above the bare floor."""
        return self.plate.height + self.wall.room.floor.datum

    def apart(self, free: float) -> Length:
        """A small length in the unit of the holes; none where they run into what is near."""
        return self.size.like(max(free, 0.0))


@rule(
    "box-clear-of-corner",
    judges=Point,
    level=Level.WARNING,
    guards=HoldPoint.CLOSING_IN,
    needs=(
        *("box", "hole", "at", "height", "length", "width", "sill", "rim", "lining", "layers", "thickness"),
        *("then", "outline", "battens.depth", "battens.width", "battens.spacing", "floor.build_up"),
    ),
    reads=(
        *(*LIMITS_OF_PLATES, "box_to_edge", "box_to_batten", "thickest_lining", "thickest_build_up"),
        *("skirting_height", "box_to_sink", "box_to_hob", "splash_height"),
    ),
)
def box_clear_of_corner(point: Point, given: Given) -> Outcome:
    """The hole of a box is clear of corners, openings, battens and skirting, and beside a sink or hob.

    Why: there a plate does not lie flat, the board breaks out, or the saw runs into timber.
    Source: own decision (corners, openings, battens, skirting); from memory (sink, hob).
    """
    wall, box = point.wall, point.box
    if wall is None or (box is None and point.kind not in BOXED):
        return NOT_APPLICABLE
    sits, plate = placed(point, wall, given), plate_of(point, given)
    if isinstance(sits, Fail):
        return NOT_APPLICABLE  # where it should sit is not known: point-on-wall says so
    if plate is None or wall.length is None:
        return sits
    if box is None:
        return Open("which box it sits in", "box")
    if box.hole is None:
        return Open(f"how wide the hole for {box.name} is", f"{box.place}.hole")
    holes = _Holes(wall, plate, box.hole)
    found = [
        *_ends(holes, given),
        *(_opening(holes, opening, given.quantity("box_to_edge", Length)) for opening in wall.openings),
        _battens(holes, point, given),
        _skirting(holes, given),
        *(_fixture(holes, fixture, given) for fixture in wall.fixtures if not _feeds(point, fixture)),
    ]
    # What is certainly wrong comes before what is only not recorded.
    unclear = [one for one in found if one is not None]
    return next((one for one in unclear if isinstance(one, Fail)), unclear[0] if unclear else PASS)


def _ends(holes: _Holes, given: Given) -> Iterator[Outcome]:
    """Corners at the ends of the wall, where the finished faces meet."""
    clear, most = given.quantity("box_to_edge", Length), given.quantity("thickest_lining", Length)
    length = holes.wall.length_at(holes.above_bare)
    if length is None:
        return
    for end in ends_of(holes.wall):
        is_left = end[0] if isinstance(end, tuple) else end.is_left
        bare = holes.left if is_left else length - holes.right
        moved = end[1] if isinstance(end, tuple) else end.moved(holes.above_bare)
        if isinstance(moved, Lacking):
            # A lining only moves an outside corner further away, and an inside one no further than linings are thick.
            is_outside = not isinstance(end, tuple) and end.turn < 0
            if not at_least(bare, clear if is_outside else clear + most):
                yield outcome_of(moved)
        elif not at_least(bare - moved, clear):
            lined = " once both walls are lined" if moved else ""
            side = "left" if is_left else "right"
            yield _too_near(holes, f"the {side} end of {holes.wall.name}{lined}", bare - moved, clear)


def _opening(holes: _Holes, opening: Opening, clear: Length) -> Outcome | None:
    """The edges of an opening in the same wall."""
    at, width, bottom, height = opening.at, opening.width, opening.bottom, opening.height
    level, reach = holes.plate.height, holes.radius + clear
    is_clear = (
        (at is not None and at_most(holes.right + clear, at))
        or (at is not None and width is not None and at_least(holes.left - clear, at + width))
        or (bottom is not None and at_most(level + reach, bottom))
        or (bottom is not None and height is not None and at_least(level - reach, bottom + height))
    )
    if is_clear:
        return None
    recorded = (("at", at), ("width", width), ("sill", bottom), ("height", height))
    if at is None or width is None or bottom is None or height is None:
        missing = [f"{opening.place}.{key}" for key, value in recorded if value is None]
        return Open(f"where {opening.name} is and how large, beside {holes.plate.name}", *missing)
    up = max(bottom - level, level - bottom - height, 0.0)
    along = (max(at - centre, centre - at - width, 0.0) for centre in holes.plate.centres)
    free = min(hypot(one, up) for one in along) - holes.radius
    return None if at_least(free, clear) else _too_near(holes, f"the edge of {opening.name}", free, clear)


def _battens(holes: _Holes, point: Point, given: Given) -> Outcome | None:
    """The battens of the lining in front of the wall here."""
    lining = lining_in_front(point)
    if isinstance(lining, Lacking):
        return outcome_of(lining)
    if lining is None or lining.battens is None:
        return None
    battens, width, clear = (
        battens_along(holes.wall, lining),
        lining.battens.width,
        given.quantity("box_to_batten", Length),
    )
    if isinstance(battens, Lacking):
        return outcome_of(battens)
    if width is None:
        return Open(f"how wide the battens of {lining.name} are", f"{lining.place}.battens.width")
    gaps = ((abs(centre - batten), batten) for centre in holes.plate.centres for batten in battens)
    nearest, batten = min(gaps, default=(float("inf"), 0.0))
    free = nearest - holes.radius - width / 2
    if at_least(free, clear):
        return None
    return _too_near(holes, f"the batten at {holes.plate.at.like(batten)}", free, clear)


def _skirting(holes: _Holes, given: Given) -> Outcome | None:
    """The skirting, which stands on the finished floor."""
    skirting, most = given.quantity("skirting_height", Length), given.quantity("thickest_build_up", Length)
    level = _above_finished(holes)
    if level is None:
        # No floor is built up so far that it would reach a switch.
        return None if at_least(holes.plate.height - holes.radius - most, skirting) else _floor_unknown(holes)
    lowest = level - holes.radius
    if at_least(lowest, skirting):
        return None
    return Fail(
        f"the hole of {holes.plate.name} begins {{measured}} above the finished floor, "
        "behind a skirting of {allowed}",
        measured=holes.apart(lowest),
        allowed=skirting,
        remedy=Remedy("move the box up, or check the floor that its height is measured from"),
    )


def _fixture(holes: _Holes, fixture: Fixture, given: Given) -> Outcome | None:
    """A sink or hob on the same wall: what is above its rim, within reach of water, fat and heat."""
    limits = {FixtureKind.SINK: "box_to_sink", FixtureKind.HOB: "box_to_hob"}
    if fixture.kind not in limits:
        return None
    clear, top = given.quantity(limits[fixture.kind], Length), given.quantity("splash_height", Length)
    at, width, rim = fixture.at, fixture.width, fixture.height if fixture.rim is None else fixture.rim
    level = _above_finished(holes)
    if (
        (at is not None and at_most(holes.right + clear, at))
        or (at is not None and width is not None and at_least(holes.left - clear, at + width))
        or (rim is not None and level is not None and (at_most(level, rim) or at_least(level, rim + top)))
    ):
        return None
    if level is None:
        return _floor_unknown(holes)
    if at is None or width is None or rim is None:
        recorded = (("at", at), ("width", width), ("rim", rim))
        missing = [f"{fixture.place}.{key}" for key, value in recorded if value is None]
        return Open(f"where the {fixture.kind} is, beside {holes.plate.name}", *missing)
    return _too_near(holes, f"the {fixture.kind}", max(at - holes.right, holes.left - at - width), clear)


def _feeds(point: Point, fixture: Fixture) -> bool:
    """Whether a point is the outlet of the hob itself."""
    return point.kind is PointKind.COOKER and fixture.kind is FixtureKind.HOB


def _above_finished(holes: _Holes) -> float | None:
    floor = holes.wall.room.floor
    if floor.heights_from is HeightsFrom.FINISHED:
        return holes.plate.height
    return None if floor.build_up is None else holes.plate.height - floor.build_up


def _floor_unknown(holes: _Holes) -> Open:
    return Open("how high the finished floor will be", f"{holes.wall.room.place}.floor.build_up")


def _too_near(holes: _Holes, what: str, free: float, clear: Length) -> Fail:
    if free < 0:
        message = f"the hole of {holes.plate.name} runs into {what}; it wants {{allowed}} between them"
    else:
        message = f"the hole of {holes.plate.name} is {{measured}} from {what}; it wants {{allowed}}"
    return Fail(message, measured=holes.apart(free), allowed=clear, remedy=AWAY)


@rule(
    "boxes-not-back-to-back",
    judges=Point,
    level=Level.WARNING,
    guards=HoldPoint.CLOSING_IN,
    needs=("box", "hole", "at", "height", "length"),
    reads=(*LIMITS_OF_PLATES, "back_to_back"),
    caution=(
        "A wall that stands for fire or sound between homes asks for more than this, and for boxes made for it: ask "
        "the local building control before the holes are cut."
    ),
)
def boxes_not_back_to_back(point: Point, given: Given) -> Outcome:
    """A box is offset from the boxes on the other face of its wall.

    Why: two boxes back to back make a hole through the wall for sound and fire, and may touch inside it.
    Source: Approved Document E (England), framed separating walls, from memory.
    """
    wall = point.wall
    if wall is None or wall.other_face is None or (point.box is None and point.kind not in BOXED):
        return NOT_APPLICABLE
    other = wall.other_face.wall
    others = [one for one in other.points if (one.box or one.kind in BOXED) and not _apart_in_masonry(point, one)]
    if not others:
        return NOT_APPLICABLE
    outcomes = [_behind(point, one, given) for one in others]
    fails = [outcome for outcome in outcomes if isinstance(outcome, Fail)]
    unclear = [outcome for outcome in outcomes if outcome is not None]
    return min(fails, key=_figure) if fails else unclear[0] if unclear else PASS


def _figure(fail: Fail) -> float:
    return fail.measured if isinstance(fail.measured, Length) else 0.0


def _apart_in_masonry(point: Point, other: Point) -> bool:
    """Whether solid masonry stays between two boxes: neither, or only one of them, is let into it."""
    bases = [one.wall.base for one in (point, other) if one.wall and one.wall.base]
    return any(base.is_masonry for base in bases) and not (point.recess and other.recess)


def _behind(point: Point, other: Point, given: Given) -> Outcome | None:
    """How near the holes of two points on the two faces of a wall come to each other."""
    wall, there = point.wall, other.wall
    plate, beyond = plate_of(point, given), plate_of(other, given)
    if wall is None or there is None or wall.other_face is None:
        return None
    missing = [f"{key}" for key, value in (("at", point.at), ("height", point.height)) if value is None]
    missing += [f"{other.place}.{key}" for key, value in (("at", other.at), ("height", other.height)) if value is None]
    facing = wall.other_face.opposite(plate.at) if plate else None
    if facing is None and not missing:
        missing = [f"{one.place}.length" for one in (wall, there) if one.length is None]
    if plate is None or beyond is None or facing is None:
        return Open(f"where {point.name} and {other.name} are, on the two faces of the wall", *missing)
    up = abs(plate.height + wall.room.floor.datum - beyond.height - there.room.floor.datum)
    # The holes of a plate lie as far to both sides of its centre, so that their mirror image is their shift.
    along = min(abs(one - plate.at + facing - two) for one in plate.centres for two in beyond.centres)
    limit, size = given.quantity("back_to_back", Length), given.quantity("plate_width", Length)
    holes = [one.box.hole if one.box else None for one in (point, other)]
    # No hole is wider than twice the plate that covers it: so far apart the box does not matter.
    if at_least(hypot(along, up), limit + sum(2 * size if hole is None else hole for hole in holes) / 2):
        return None
    unknown = [
        "box" if one is point and one.box is None else f"{one.box.place}.hole" if one.box else f"{one.place}.box"
        for one, hole in zip((point, other), holes, strict=True)
        if hole is None
    ]
    if unknown:
        return Open(f"the boxes of {point.name} and {other.name} on the other face", *dict.fromkeys(unknown))
    free = hypot(along, up) - sum(hole for hole in holes if hole is not None) / 2
    if at_least(free, limit):
        return None
    return Fail(
        f"{point.name} has {other.name} behind it on the other face, {{measured}} from edge to edge; "
        "it wants {allowed}",
        measured=limit.like(max(free, 0.0)),
        allowed=limit,
        remedy=Remedy("move one of the two along the wall, past the next stud where there is one"),
    )
