"""What lies behind one spot of a wall, a ceiling or a slope, as far as the plan holds it."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from difflib import get_close_matches
from typing import Final
from unicodedata import normalize

from planlint import behind_records as records
from planlint.errors import UsageError
from planlint.inspection import limits_of, plan_of
from planlint.model.plan import Plan
from planlint.model.rooms import Ceiling, Floor, Slope, Surface, Wall
from planlint.model.words import HeightsFrom, OpeningKind
from planlint.registry import Rulebook
from planlint.rule import Given
from planlint.schedules.figures import figure, known, overridden
from planlint.source import Document
from planlint.sum_records import Figure, Unknown
from planlint.sums.ceiling_spots import lies_outside, located, near_on_ceiling
from planlint.sums.holes import above_bare
from planlint.sums.into_wall import layers_into
from planlint.sums.near import NEAR, Near, Spot, hole_of, near
from planlint.sums.paths import LIMITS_OF_PATHS
from planlint.sums.plates import LIMITS_OF_PLATES
from planlint.sums.unseen import unseen
from planlint.sums.working import Lacking, tidy
from planlint.units import Length, at_least, at_most

CAUTION: Final = (
    "A plan is no proof of what is in a wall: whoever built it, and those before them, may have put there what nobody "
    "wrote down. Before you drill, cut or nail, go over the spot with a detector for cables, pipes and metal, switch "
    "off the circuits around it, lock them off and prove them dead; shut off water, heating and gas that may be near. "
    "Drill no deeper than you must. In old buildings find out about asbestos and lead first. Where you are not "
    "certain, do not drill; the local code and a licensed person decide."
)
"""What every answer ends with."""
_LIMITS: Final = tuple(dict.fromkeys((*LIMITS_OF_PLATES, *LIMITS_OF_PATHS)))
_INCHES: Final = ("in", "ft", "ft in")
_SMALL: Final = 1e-6


@dataclass(frozen=True, slots=True)
class Asked:
    """The spot that is asked about: on a wall or slope by `at` and `height`, on a ceiling by distances from walls."""

    place: str
    at: Length | None = None
    height: Length | None = None
    from_walls: tuple[tuple[str, Length], ...] = ()
    within: Length = NEAR


def behind(document: Document, rulebook: Rulebook, asked: Asked, limits: str | None = None) -> records.BehindReport:
    """What lies behind a spot and within a distance of it, by the limit set `limits` or the plan's own.

    Raises PlanFaults where it cannot be read as a plan, UsageError for a place or a spot that it does not hold,
    LimitError for a limit set that there is not.
    """
    plan = plan_of(document)
    in_force = limits_of(document, plan, rulebook, limits)
    given = Given(in_force, date.min, _LIMITS)  # no sum goes by the day
    surface = _surface(plan, asked.place)
    floor = surface.room.floor
    own: list[_Found]
    assumed: list[str] = []
    if isinstance(surface, Ceiling):
        own = _on_ceiling(surface, asked)
        unit = asked.from_walls[0][1].unit
    else:
        at, height = _spot(surface, asked)
        own, assumed = _on_wall(surface, (at, height), plan, given)
        unit = at.unit
    found = [*own, *((one, False) for one in unseen(surface, plan, given))]
    things = sorted(
        ((one, is_other) for one, is_other in found if isinstance(one, Near)),
        key=lambda pair: (pair[0].least, pair[0].distance, pair[0].place),
    )
    close = [pair for pair in things if at_most(pair[0].least, asked.within)]
    lacking = dict.fromkeys(one for one, _ in found if isinstance(one, Lacking))
    return records.BehindReport(
        plan=document.file,
        title=plan.title,
        digest=document.digest,
        limits=in_force.names,
        overridden=overridden(in_force),
        place=surface.place,
        kind=surface.called,
        at=figure(asked.at),
        height=figure(asked.height),
        heights_from=floor.heights_from,
        now=None if asked.height is None else _known(above_bare(asked.height, floor)),
        from_walls=tuple((name, known(distance)) for name, distance in asked.from_walls),
        within=known(asked.within),
        near=tuple(_card(one, unit, surface, is_other=is_other) for one, is_other in close),
        beyond=len(things) - len(close),
        layers=tuple(_layers(surface, asked, unit)),
        photos=surface.photos if isinstance(surface, Wall) else None,
        unrecorded=tuple(Unknown(one.what, one.keys) for one in lacking),
        assumed=tuple(assumed),
        caution=CAUTION,
    )


def _surface(plan: Plan, place: str) -> Surface:
    """The wall, ceiling or slope of that name."""
    place = normalize("NFC", place)
    surfaces = {thing.place: thing for thing in plan.things() if isinstance(thing, Surface)}
    if place in surfaces:
        return surfaces[place]
    other = next((thing for thing in plan.things() if thing.place == place), None)
    if other is not None:
        raise UsageError(f"{place} is a {other.called}; a spot lies on a wall, a ceiling or a slope")
    near_by = sorted(name for name in surfaces if name.endswith(f".{place}")) or get_close_matches(place, surfaces, n=1)
    hint = f"did you mean {near_by[0]}?" if near_by else "such a place is a dotted name, such as study.west"
    raise UsageError(f"there is no wall, ceiling or slope called {place} in this plan; {hint}")


def _spot(surface: Surface, asked: Asked) -> tuple[Length, Length]:
    """The spot on a wall or slope; UsageError where it is not given, or does not lie on it."""
    at, height = asked.at, asked.height
    if at is None or height is None or asked.from_walls:
        raise UsageError(
            f"a spot on a {surface.called} is given by --at, from its left end, and by --height; --from is for ceilings"
        )
    wall = surface.above if isinstance(surface, Slope) else surface
    if not isinstance(wall, Wall):
        raise UsageError(f"{surface.place} is neither a wall nor a slope above one")
    datum = wall.room.floor.datum
    length, ceiling = wall.length_at(height + datum), wall.height_at(at)
    top = None if ceiling is None else height.like(tidy(ceiling - datum))
    if length is not None and not at_most(at, length):
        raise UsageError(f"{surface.place} ends at {at.like(tidy(length))}; {at} is beyond its right end")
    if isinstance(surface, Slope):
        if top is not None and not at_least(height, top):
            raise UsageError(f"{surface.place} begins at {top}; {height} is on {wall.place} below it")
        return at, height
    if top is not None and not at_most(height, top):
        raise UsageError(f"{surface.place} is {top} high there, {_from(wall.room.floor)}; {height} is above it")
    for opening in wall.openings:
        hole = hole_of(opening)
        is_known = None not in (opening.at, opening.width, opening.bottom, opening.height)
        is_inside = hole.left < at < hole.right and hole.bottom < height < hole.top
        if is_known and is_inside and opening.kind is not OpeningKind.NICHE:
            raise UsageError(
                f"{at} along and {height} up is in {opening.place}, not on the wall; name a spot beside it"
            )
    return at, height


def _from(floor: Floor) -> str:
    is_raw = floor.heights_from is HeightsFrom.RAW
    return "measured from the floor as it is now" if is_raw else "measured from the finished floor"


_Found = tuple[Near | Lacking, bool]
"""Something, and whether it is on the other face of the wall."""


def _on_wall(surface: Surface, spot: Spot, plan: Plan, given: Given) -> tuple[list[_Found], list[str]]:
    """What lies in a wall, with what the room on its other side has in it, and what is taken for granted of that."""
    if not isinstance(surface, Wall):
        return [(Lacking("where the rafters of this slope lie", ()), False)], []
    found: list[_Found] = [(one, False) for one in near(surface, spot, plan, given)]
    if surface.length is None:
        found.append(
            (Lacking(f"how long {surface.name} is, and so whether this is on it", (f"{surface.place}.length",)), False)
        )
    if surface.height_left is None:
        key = f"{surface.room.place}.height"
        found.append((Lacking(f"how high {surface.name} is, and so whether this is on it", (key,)), False))
    if surface.other_face is None:
        return found, []
    other, at = surface.other_face.wall, surface.other_face.opposite(spot[0])
    if at is None:
        return [*found, (Lacking("where its other face begins and ends", (f"{other.place}.length",)), True)], []
    height, floors = spot[1] + surface.room.floor.datum - other.room.floor.datum, (surface.room.floor, other.room.floor)
    missing = tuple(
        f"{floor.place}.build_up"
        for floor in floors
        if floor.heights_from is HeightsFrom.FINISHED and floor.build_up is None
    )
    if missing:
        found.append((Lacking("how the floors on both sides of the wall lie to each other", missing), True))
    found += [(_mirrored(one), True) for one in near(other, (at, height), plan, given)]
    found += [(one, True) for one in unseen(other, plan, given, is_other=True)]
    said = f"the bare floors on both sides are level; the other face is {other.place}, seen through the wall"
    return found, [said]


def _mirrored(one: Near | Lacking) -> Near | Lacking:
    """The same, with left and right as they are seen from this side."""
    if isinstance(one, Lacking):
        return one
    shift = (-one.shift[0], one.shift[1])
    return Near(one.kind, one.what, one.place, shift, one.slack, one.said, one.depth, one.keys)


def _on_ceiling(ceiling: Ceiling, asked: Asked) -> list[_Found]:
    """What hangs on a ceiling, as seen from a spot that two walls fix."""
    walls = {wall.name: wall for wall in ceiling.room.walls}
    names = [name for name, _ in asked.from_walls]
    if asked.at is not None or asked.height is not None or len(set(names)) != 2:  # noqa: PLR2004 - two lines fix a spot
        raise UsageError(
            "a spot on a ceiling is given by its distances from two walls, each as "
            f"--from {next(iter(walls), 'west')} '1.20 m'; --at and --height are for walls"
        )
    for name in names:
        if name not in walls:
            meant = get_close_matches(name, walls, n=1)
            hint = f"did you mean {meant[0]}?" if meant else f"there are {', '.join(walls)}"
            raise UsageError(f"{ceiling.room.place} has no wall called {name}; {hint}")
    spot = {walls[name]: float(distance) for name, distance in asked.from_walls}
    if lies_outside(spot):
        where = " and ".join(f"{distance} from {name}" for name, distance in asked.from_walls)
        raise UsageError(f"{where} is outside of {ceiling.room.place}")
    found: list[_Found] = [(one, False) for one in near_on_ceiling(ceiling, spot)]
    if located(spot) is None:
        found.append((Lacking(f"where this spot is: {' and '.join(names)} do not fix it", ()), False))
    return [*found, (Lacking("where the joists of this ceiling lie, and what lies between them", ()), False)]


def _card(one: Near, unit: str, surface: Surface, *, is_other: bool) -> records.NearCard:
    small = "in" if unit in _INCHES else "mm"
    return records.NearCard(
        kind=one.kind,
        what=one.what,
        place=one.place,
        other_face=is_other,
        distance=known(Length(round(one.distance, 4), small)),
        least=known(Length(round(one.least, 4), small)),
        direction="" if isinstance(surface, Ceiling) else _direction(one),
        is_certain=not one.slack,
        said=one.said,
        depth=figure(one.depth),
        missing=one.keys,
    )


def _direction(one: Near) -> str:
    """Which way it lies."""
    right, up = one.shift
    words = ["to the left" if right < -_SMALL else "to the right" if right > _SMALL else ""]
    words += ["down" if up < -_SMALL else "up" if up > _SMALL else ""]
    return " and ".join(word for word in words if word)


def _layers(surface: Surface, asked: Asked, unit: str) -> Iterator[records.LayerCard]:
    """The layers at the spot; on a ceiling and a slope a lining covers all of it."""
    lining = surface.lining
    if asked.at is not None and asked.height is not None and isinstance(surface, Wall):
        lining = surface.lining_at(asked.at, asked.height)
    begins: float | None = 0.0
    small = "in" if unit in _INCHES else "mm"
    for one in layers_into(surface, lining):
        thick = Unknown(one.thickness.what, one.thickness.keys) if isinstance(one.thickness, Lacking) else one.thickness
        where = None if begins is None else known(Length(tidy(begins), small))
        yield records.LayerCard(one.words, known(thick) if isinstance(thick, Length) else thick, where)
        if isinstance(one.thickness, Lacking):
            begins = None
        elif begins is not None:
            begins += one.thickness or 0.0


def _known(found: Length | Lacking) -> Figure | Unknown:
    return Unknown(found.what, found.keys) if isinstance(found, Lacking) else known(found)
