"""Condensation: a lined outside wall stays dry inside, its timber sound, and its surface free of mould.

A wall whose readings lie between warn and stop is judged by its build-up here: wall-dry-enough warns of the readings,
and what fails here says so too. Missing readings are open elsewhere (wall-read-before-closing), not here once more.
"""

from collections.abc import Iterator

from planlint.api import (
    LEFT_OUT,
    LIMITS_OF_CONDENSATION,
    LIMITS_OF_DAMPNESS,
    LIMITS_OF_INSULATION,
    LIMITS_OF_SURFACE,
    LIMITS_OF_VAPOUR_LAYER,
    MONTHS,
    NOT_APPLICABLE,
    PASS,
    Condensation,
    Faces,
    Fail,
    Given,
    HoldPoint,
    Judged,
    Lacking,
    Level,
    Lining,
    Open,
    Opening,
    Outcome,
    Pipe,
    Point,
    Ratio,
    Remedy,
    Review,
    Thing,
    Wall,
    at_most,
    cold_side_layer,
    condensation,
    faces_key,
    film_depth,
    has_insulation,
    least_vapour_layer,
    outcome_of,
    rule,
    surface,
    too_wet,
    unready,
    wettest,
)

EXPERT = "someone who knows the damp of old walls"
ASK = f"have {EXPERT} do this sum, or correct the figure"
LAYERS = ("base", "material", "layers", "kind", "thickness", "conductivity", "vapour_resistance", "sd")
CLIMATE = ("temperature", "humidity")
NOT_COUNTED = f"{LEFT_OUT} are not counted"


@rule(
    "no-condensation-in-lining",
    judges=Wall,
    level=Level.ERROR,
    guards=HoldPoint.CLOSING_IN,
    needs=("lining", "faces", *LAYERS, *CLIMATE),
    reads=(*LIMITS_OF_DAMPNESS, *LIMITS_OF_CONDENSATION, *LIMITS_OF_VAPOUR_LAYER),
)
def no_condensation_in_lining(wall: Wall, given: Given) -> Outcome:
    """Behind the lining of a dry outside wall no more water condenses in winter than may, and it dries in summer.

    Why: insulation keeps the old wall cold; vapour of the room that gets there turns to water and rots the lining.
    Source: DIN 4108-3:2014 and ISO 13788 (method of Glaser), as quoted; common practice for walls that read wet.
    """
    if off := _off_outside(wall):
        return off
    worst, unjudged = wettest(wall, given)
    if worst and worst.is_wet:
        spot = f" at {worst.reading.where}" if worst.reading.where else ""
        says = f"the wall reads {{measured}}{spot}, and above {{allowed}} no build-up of a lining keeps it dry"
        remedy = Remedy("find where the water comes from, cure it, let the wall dry, and read it again")
        return Fail(f"{says}; {NOT_COUNTED}", measured=worst.value, allowed=worst.stop, remedy=remedy)
    found = condensation(wall, given)
    if isinstance(found, Lacking):
        return outcome_of(found, ASK)
    if found.is_within_limits:
        # What a salty wall reads may be water after all: a person decides that before any sum counts.
        return unjudged if isinstance(unjudged, Review) else PASS
    first, *others = found.flaws
    says = "; ".join([first.says, *(other.text for other in others), *_also_damp(worst), _in_climate(found)])
    return Fail(says, measured=first.measured, allowed=first.allowed, remedy=_tighter(wall, given))


@rule(
    "no-mould-at-surface",
    judges=Wall,
    level=Level.WARNING,
    guards=HoldPoint.CLOSING_IN,
    needs=("lining", "faces", *LAYERS, *CLIMATE),
    reads=LIMITS_OF_SURFACE,
)
def no_mould_at_surface(wall: Wall, given: Given) -> Outcome:
    """The surface of an outside wall in the room is nowhere on the flat so cold that mould can grow on it.

    Why: mould needs no drop of water, only air that stays humid for some days on a cold surface.
    Source: ISO 13788 and DIN 4108-2 (80 % at the surface), as quoted.
    """
    off = _off_outside(wall, only_lined=False)
    if off:
        return off
    for lining in dict.fromkeys((wall.lining, None if wall.extent else wall.lining)):
        found = surface(wall, lining, given)
        if isinstance(found, Lacking):
            return outcome_of(found, ASK)
        if not at_most(found.humidity, found.allowed):
            where = "beside the lining" if wall.lining and not lining else "in the room"
            when = f" in {MONTHS[found.month]}" if found.month is not None else ""
            least = f", and {found.least_factor:.3f} is needed" if found.least_factor is not None else ""
            says = (
                f"the surface {where} would be at {found.temperature}{when} and the air on it {{measured}} humid; "
                f"above {{allowed}} mould can grow (fRsi is {found.factor:.3f}{least}); corners and reveals are colder"
            )
            remedy = Remedy("insulate the wall, or keep the room drier and warmer and stand no furniture against it")
            level = Level.WARNING if lining else Level.NOTE
            return Fail(says, measured=found.humidity, allowed=found.allowed, remedy=remedy, level=level)
    return PASS


@rule(
    "vapour-layer-on-warm-side",
    judges=Lining,
    level=Level.ERROR,
    guards=HoldPoint.CLOSING_IN,
    needs=("layers", "kind", "thickness", "conductivity", "vapour_resistance", "sd"),
    reads=LIMITS_OF_INSULATION,
)
def vapour_layer_on_warm_side(lining: Lining, given: Given) -> Outcome:
    """The tightest layer of an insulated lining stands on the room side of the insulation.

    Why: a tight layer on the cold side stops the vapour where it is coldest, and what gets wet there cannot dry.
    Source: common practice; DIN 4108-3, from memory (the share of insulation that may stand in front).
    """
    if lining.surfaces and all(isinstance(on, Wall) and on.faces is Faces.INSIDE for on in lining.surfaces):
        return NOT_APPLICABLE
    insulated = has_insulation(lining, given)
    if isinstance(insulated, Lacking):
        return outcome_of(insulated, ASK)
    if not insulated:
        return NOT_APPLICABLE
    found = cold_side_layer(lining, given)
    if isinstance(found, Lacking):
        return outcome_of(found, ASK)
    if found is None:
        return PASS
    says = (
        f"the {found.layer.words} (sd {{measured}}) stands on the cold side of the {found.insulation.words}, and "
        f"nothing on the room side is as tight: the {found.inside.words} has sd {{allowed}}"
    )
    remedy = Remedy(
        f"put the {found.layer.words}, or a vapour layer that is tighter, on the room side of the insulation"
    )
    return Fail(says, measured=found.layer.sd[1], allowed=found.inside.sd[1], remedy=remedy)


@rule(
    "timber-humidity-in-lining",
    judges=Wall,
    level=Level.WARNING,
    guards=HoldPoint.CLOSING_IN,
    needs=("lining", "faces", *LAYERS, *CLIMATE),
    reads=(*LIMITS_OF_CONDENSATION, *LIMITS_OF_VAPOUR_LAYER),
)
def timber_humidity_in_lining(wall: Wall, given: Given) -> Outcome:
    """Timber in the lining of an outside wall stays as dry as built-in timber must, also where it is coldest.

    Why: a sum of water says little about the batten that stands where the water is; fungi need no more than damp wood.
    Source: USDA Wood Handbook, equation 4-5 (moisture of wood in air); DIN 68800-2, from memory (20 %).
    """
    if off := _off_outside(wall):
        return off
    found = condensation(wall, given)
    if isinstance(found, Lacking):
        return outcome_of(found, ASK)
    if not found.timber:
        return NOT_APPLICABLE
    spot = too_wet(found, given)
    if spot is None:
        return PASS
    says = (
        f"the {spot.words} would come to a moisture of {{measured}}, and {{allowed}} is the most for timber built in: "
        f"the air {found.section.face(spot.face)} would be {spot.humidity} humid at {spot.temperature}"
    )
    when = [f"in {MONTHS[spot.month]}"] if spot.month is not None else []
    text = "; ".join([says, *when, _in_climate(found)])
    return Fail(
        text, measured=spot.moisture, allowed=given.quantity("timber_humidity", Ratio), remedy=_tighter(wall, given)
    )


@rule(
    "vapour-layer-unbroken",
    judges=Wall,
    level=Level.WARNING,
    guards=HoldPoint.CLOSING_IN,
    needs=("lining", "layers", "sd", "vapour_sealed"),
    reads=("vapour_layer_sd",),
)
def vapour_layer_unbroken(wall: Wall, given: Given) -> Outcome:
    """Whatever comes through the vapour layer of a lining is sealed to it: boxes, pipes, joist ends, reveals.

    Why: through an open slit the air of the room carries far more water behind the film than ever passes the film.
    Source: common practice.
    """
    if wall.lining is None:
        return unready(wall) or NOT_APPLICABLE
    depth = film_depth(wall.lining, given)
    holes = {} if depth is None else dict(_holes(wall, float("-inf") if isinstance(depth, Lacking) else depth))
    if depth is None or not holes:
        return NOT_APPLICABLE
    if isinstance(depth, Lacking):
        return outcome_of(depth, ASK)
    broken = [thing for thing, sealed in holes.items() if sealed is False]
    if broken:
        names = " and ".join(_called(thing) for thing in broken)
        remedy = Remedy(
            "seal the film to it with a collar, an airtight box or tape made for it, then record it as sealed"
        )
        says = f"the vapour layer is open at {names}"
        return Fail(says, measured="open", allowed="sealed", remedy=remedy, at=broken[0])
    unknown = [thing for thing, sealed in holes.items() if sealed is None]
    if unknown:
        names = " and ".join(_called(thing) for thing in unknown)
        keys = [f"{thing.place}.{'joist_ends.' if thing is wall else ''}vapour_sealed" for thing in unknown]
        return Open(
            f"whether the vapour layer is sealed at {names}", *keys, at=unknown[0] if len(unknown) == 1 else None
        )
    return PASS


def _off_outside(wall: Wall, *, only_lined: bool = True) -> Outcome | None:
    """What rules about outside walls answer where a wall is none, or where that or its lining is not recorded."""
    if wall.faces not in (None, Faces.OUTSIDE):
        return NOT_APPLICABLE
    if only_lined or not wall.stays:
        return unready(wall, "faces", "what the wall faces", known=wall.faces is not None)
    return None if wall.faces else Open("what the wall faces", faces_key(wall))


def _also_damp(worst: Judged | None) -> list[str]:
    """That the wall is damp by its readings too, where it is."""
    return [f"the wall also reads {worst.value}, and above {worst.warn} it is damp"] if worst and worst.is_damp else []


def _in_climate(found: Condensation) -> str:
    """What a sum was made with, and what it leaves out."""
    return f"reckoned with {found.conditions.words}; {NOT_COUNTED}"


def _tighter(wall: Wall, given: Given) -> Remedy:
    """The least vapour layer that would do, or that none would."""
    sd = least_vapour_layer(wall, given)
    if sd is None:
        return Remedy(
            "no vapour layer alone mends this: change the build-up, tight towards the room and open towards the wall, "
            f"and have {EXPERT} look at it"
        )
    is_insulated = wall.lining and has_insulation(wall.lining, given) is True
    where = "on the room side of the insulation" if is_insulated else "right behind the innermost board"
    return Remedy(f"lay a vapour layer of sd {sd} or more {where}, sealed all round, and write it into the lining")


def _holes(wall: Wall, depth: float) -> Iterator[tuple[Thing, bool | None]]:
    """What comes through the vapour layer of a wall, `depth` metres behind the surface, and whether it is sealed."""
    for point in wall.points:
        is_shallow = point.box and point.box.depth is not None and at_most(point.box.depth, depth)
        if not is_shallow and _is_behind_lining(wall, point):
            yield point, point.vapour_sealed
    for pipe in wall.pipes:
        if pipe.comes_out and _is_behind_lining(wall, pipe):
            yield pipe, pipe.vapour_sealed
    for opening in wall.openings:
        if opening.reveal_sealed is not None:
            yield opening, opening.reveal_sealed
    if wall.joist_ends:
        yield wall, wall.joist_ends.vapour_sealed


def _is_behind_lining(wall: Wall, spot: Point | Pipe) -> bool:
    """Whether the lining reaches a spot, as far as is known."""
    return spot.at is None or spot.height is None or wall.lining_at(spot.at, spot.height) is not None


def _called(thing: Thing) -> str:
    """A hole as a person calls it."""
    name = thing.place.rpartition(".")[2]
    return (
        "the joist ends" if isinstance(thing, Wall) else f"the reveal of {name}" if isinstance(thing, Opening) else name
    )
