"""What holds up, burns or breathes: chases and notches, flues, downlights, and the air above a slope."""

from collections.abc import Iterator

from planlint.api import (
    NOT_APPLICABLE,
    PASS,
    Ceiling,
    Chase,
    Direction,
    Faces,
    Fail,
    Given,
    HoldPoint,
    Layer,
    Length,
    Level,
    Lining,
    Notch,
    Open,
    Outcome,
    Point,
    Ratio,
    Remedy,
    Review,
    Slope,
    Wall,
    at_least,
    at_most,
    listed,
    rule,
)

STRUCTURE_CAUTION = "This may carry load: ask an engineer before you cut, and prop first. The local code decides."
FLUE_CAUTION = (
    "A hot flue sets fire to timber years later, and a leaking one kills by gas. Have it swept and looked at by "
    "whoever may do so where you live; the distances of the local code and of the stove's maker decide."
)
DOWNLIGHT_CAUTION = "A covered downlight overheats and can set fire to the ceiling; the maker's sheet decides."
ENGINEER = Remedy("have an engineer look, and record under `reviews` who did")


@rule(
    "structure-left-alone",
    judges=Wall,
    level=Level.ERROR,
    guards=HoldPoint.CLOSING_IN,
    needs=(
        "load_bearing",
        "material",
        "base",
        "thickness",
        "direction",
        "depth",
        "length",
        "member",
        "member_depth",
        "at",
        "span",
    ),
    reads=(
        "chase_depth_vertical",
        "chase_depth_horizontal",
        "chase_length_horizontal",
        "unchased_materials",
        "stud_notch",
        "stud_notch_bearing",
        "stud_hole",
        "stud_hole_bearing",
        "joist_notch",
        "joist_notch_from",
        "joist_notch_to",
        "joist_hole",
        "joist_hole_from",
        "joist_hole_to",
    ),
    guards_life=True,
    caution=STRUCTURE_CAUTION,
)
def structure_left_alone(wall: Wall, given: Given) -> Outcome:
    """Chases, notches and holes leave enough of the wall, and an engineer looks at what carries load.

    Why: a slot along a wall, or a notch in the wrong third of a joist, takes away what holds up the floor above.
    Source: a project specification for masonry, IRC R602.6, guidance on joists, all as quoted.
    """
    if not (wall.chases or wall.notches):
        return NOT_APPLICABLE
    outcomes = [
        *(_chase(wall, chase, f"chases.{number}", given) for number, chase in enumerate(wall.chases or (), 1)),
        *(_notch(wall, notch, f"notches.{number}", given) for number, notch in enumerate(wall.notches or (), 1)),
    ]
    fails = [outcome for outcome in outcomes if isinstance(outcome, Fail)]
    if fails:
        return fails[0]
    bears = wall.base.is_load_bearing if wall.base else None
    gaps = [outcome for outcome in outcomes if isinstance(outcome, Open)]
    if bears is None:
        gaps.append(Open("whether the wall carries load", wall.base.key("load_bearing") if wall.base else "base"))
    if gaps:
        keys = dict.fromkeys(key for gap in gaps for key in gap.missing)
        return Open("; ".join(dict.fromkeys(gap.what for gap in gaps)), *keys)
    return Review("the wall carries load, and is cut into", remedy=ENGINEER) if bears else PASS


def _chase(wall: Wall, chase: Chase, key: str, given: Given) -> Outcome:
    """Whether a slot leaves enough of a masonry wall."""
    base, is_level = wall.base, chase.direction is Direction.HORIZONTAL
    material, remedy = (base.material if base else None) or "", Remedy("run it on the surface, or ask an engineer")
    if any(word in material.casefold() for word in given.words("unchased_materials")):
        return Fail(f"a slot is cut into {material}, whose webs are all that carries", remedy=ENGINEER)
    longest = given.quantity("chase_length_horizontal", Length)
    if is_level and chase.length is not None and not at_most(chase.length, longest):
        says = "a level slot is {measured} long; at most {allowed} is allowed"
        return Fail(says, measured=chase.length, allowed=longest, remedy=remedy)
    # Which way it goes may not be recorded: then only what is too deep either way is wrong.
    share = given.quantity("chase_depth_horizontal" if is_level else "chase_depth_vertical", Ratio)
    if base and base.thickness is not None and chase.depth is not None:
        deepest = base.thickness.like(share * base.thickness)
        if not at_most(chase.depth, deepest):
            slot = f"{'a level' if is_level else 'an upright'} slot"
            says = f"{slot} is {{measured}} deep in a wall of {base.thickness}; at most {{allowed}} is allowed"
            return Fail(says, measured=chase.depth, allowed=deepest, remedy=remedy)
    gaps: dict[str, object] = {f"{key}.direction": chase.direction, f"{key}.depth": chase.depth}
    gaps |= {f"{key}.length": chase.length} if is_level else {}
    gaps |= {base.key("thickness"): base.thickness, base.key("material"): base.material} if base else {"base": None}
    missing = [path for path, value in gaps.items() if value is None]
    return Open("how deep the wall is cut into", *missing) if missing else PASS


def _notch(wall: Wall, notch: Notch, key: str, given: Given) -> Outcome:
    """Whether a notch or hole leaves enough of a stud or joist."""
    cut, bears = "hole" if notch.is_hole else "notch", wall.base.is_load_bearing if wall.base else None
    gaps: dict[str, object] = {f"{key}.member": notch.member, f"{key}.depth": notch.depth}
    gaps[f"{key}.member_depth"] = notch.member_depth
    gaps |= {f"{key}.at": notch.at, f"{key}.span": notch.span} if notch.member == "joist" else {}
    missing = [path for path, value in gaps.items() if value is None]
    if notch.member and notch.depth is not None and notch.member_depth is not None:
        # Whether the wall carries load may not be recorded: then only what is too deep in any wall is wrong.
        share = given.quantity(f"{notch.member}_{cut}{'_bearing' if bears and notch.member == 'stud' else ''}", Ratio)
        deepest = notch.depth.like(share * notch.member_depth)
        if not at_most(notch.depth, deepest):
            size = "across" if notch.is_hole else "deep"
            says = f"a {cut} is {{measured}} {size} in a {notch.member} of {notch.member_depth}; at most {{allowed}} is"
            return Fail(f"{says} allowed", measured=notch.depth, allowed=deepest, remedy=ENGINEER)
    if notch.member == "joist" and notch.at is not None and notch.span is not None:
        share = Ratio(min(notch.at, notch.span - notch.at) / notch.span, "%")
        first, last = (given.quantity(f"joist_{cut}_{end}", Ratio) for end in ("from", "to"))
        if not (at_least(share, first) and at_most(share, last)):
            says = f"a {cut} stands at {{measured}} of the joist's span from its nearer end; it belongs at {{allowed}}"
            return Fail(says, measured=str(share), allowed=f"{first} to {last}", remedy=ENGINEER)
    return Open(f"what the {cut} leaves", *missing) if missing else PASS


@rule(
    "flue-clear-of-timber",
    judges=Wall,
    level=Level.ERROR,
    guards=HoldPoint.CLOSING_IN,
    needs=("lining", "flue.use", "flue.ventilated", "layers", "kind"),
    reads=("combustible_materials", "timber_sheet_kinds"),
    guards_life=True,
    caution=FLUE_CAUTION,
)
def flue_clear_of_timber(wall: Wall, given: Given) -> Outcome:
    """No timber, timber sheet or foam lies on a flue in use, and a flue that is not used any more stays ventilated.

    Why: timber beside a hot flue chars and catches fire; a closed flue gathers water and soots through the new boards.
    Source: common practice; how far timber keeps off, national codes say.
    """
    flue = wall.base.flue if wall.base else None
    if wall.base is None or flue is None or wall.stays:
        return NOT_APPLICABLE
    if flue.is_in_use is False and flue.is_ventilated is None:
        return Open("whether the disused flue is ventilated", wall.base.key("flue.ventilated"))
    if flue.is_in_use is False and flue.is_ventilated is False:
        remedy = Remedy("open it to the air at top and bottom with a grille before the wall is lined")
        return Fail("the flue is not used any more, and it is not ventilated", remedy=remedy)
    if flue.is_in_use is False:
        return PASS
    gaps = {"lining": wall.lining, wall.base.key("flue.use"): flue.is_in_use}
    missing = [key for key, known in gaps.items() if known is None]
    if missing or wall.lining is None:
        return Open("what the flue is used for, and what comes on it", *missing)
    burns = list(_burning(wall.lining, given))
    touching = [name for name, is_first in burns if is_first]
    if touching:
        says = f"{listed(touching, 'and')} would lie on a flue in use"
        remedy = Remedy("line it with boards and a frame that do not burn, or end the lining beside the flue")
        return Fail(says, remedy=remedy)
    if burns:
        names = listed([name for name, _ in burns], "and")
        remedy = Remedy("have it looked at by whoever may pass flues, and record under `reviews` who did")
        return Review(f"{names} would stand before a flue in use; the local code says how far off", remedy=remedy)
    unknown = [f"{board.place}.kind" for board in wall.lining.boards if board.kind is None]
    unknown += [] if wall.lining.layers else [f"{wall.lining.place}.layers"]
    return Open("whether what comes on the flue burns", *unknown) if unknown else PASS


def _burning(lining: Lining, given: Given) -> Iterator[tuple[str, bool]]:
    """What burns in a lining, and whether it touches the wall: battens, glue, and the first layer do."""
    words = given.words("combustible_materials")
    if lining.battens:
        yield "battens", True
    if lining.adhesive and any(word in lining.adhesive.casefold() for word in words):
        yield f"the adhesive ({lining.adhesive})", True
    for number, layer in enumerate(lining.layers):
        if _burns(layer, words, given):
            yield layer.board.name if layer.board else layer.material or "", number == 0


def _burns(layer: Layer, words: tuple[str, ...], given: Given) -> bool:
    if layer.board:
        return layer.board.kind in given.words("timber_sheet_kinds")
    return any(word in (layer.material or "").casefold() for word in words)


@rule(
    "downlight-clear-of-insulation",
    judges=Point,
    level=Level.ERROR,
    guards=HoldPoint.CLOSING_IN,
    needs=("downlight.may_be_covered", "downlight.clearance"),
    reads=("downlight_clearance",),
    guards_life=True,
    caution=DOWNLIGHT_CAUTION,
)
def downlight_clear_of_insulation(point: Point, given: Given) -> Outcome:
    """A light that is sunk in may be covered by insulation, or has free space around and above it.

    Why: its heat stays under the insulation, until the fitting fails or what lies on it chars.
    Source: NEC 410.116 (B), from memory (the distance); makers' sheets.
    """
    light = point.downlight
    if light is None:
        return NOT_APPLICABLE
    least = given.quantity("downlight_clearance", Length)
    if light.may_be_covered or (light.clearance is not None and at_least(light.clearance, least)):
        return PASS
    gaps = {"downlight.may_be_covered": light.may_be_covered, "downlight.clearance": light.clearance}
    missing = [key for key, value in gaps.items() if value is None]
    if missing or light.clearance is None:
        return Open("whether insulation may cover the downlight, and how clear it stands", *missing)
    remedy = Remedy("put a hood of the maker's over it, keep the insulation off, or take a fitting that may be covered")
    says = "the downlight stands {measured} clear and may not be covered; at least {allowed} is wanted"
    return Fail(says, measured=light.clearance, allowed=least, remedy=remedy)


@rule(
    "roof-gap-kept",
    judges=Ceiling | Slope,
    level=Level.WARNING,
    guards=HoldPoint.CLOSING_IN,
    needs=("lining", "layers", "underlay", "air_gap", "base", "faces"),
    reads=("insulation_materials", "roof_air_gap"),
)
def roof_gap_kept(surface: Ceiling | Slope, given: Given) -> Outcome:
    """Above the insulation of a slope an air gap stays open where its underlay holds vapour back.

    Why: vapour that gets through the insulation condenses under the roofing, and rots rafters and battens.
    Source: BS 5250, from memory.
    """
    if surface.stays:
        return NOT_APPLICABLE
    if surface.lining is None:
        is_roof = isinstance(surface, Slope) or surface.air_gap is not None or _is_roof(surface)
        return Open("whether and how it is lined", "lining") if is_roof else NOT_APPLICABLE
    if not surface.lining.layers:
        return Open("whether there is insulation in its lining", f"{surface.lining.place}.layers")
    words, materials = given.words("insulation_materials"), [layer.material or "" for layer in surface.lining.layers]
    if not any(word in material.casefold() for word in words for material in materials):
        return NOT_APPLICABLE
    if isinstance(surface, Slope) and surface.underlay not in {"vapour-tight", "none"}:
        return PASS if surface.underlay else Open("what lies under the roofing", "underlay")
    if surface.air_gap is None:
        return _unmeasured(surface)
    least = given.quantity("roof_air_gap", Length)
    if at_least(surface.air_gap, least):
        return PASS
    remedy = Remedy("use thinner insulation between the rafters, or add to their depth from inside")
    says = "the air gap above the insulation is {measured}; at least {allowed} is wanted"
    return Fail(says, measured=surface.air_gap, allowed=least, remedy=remedy)


def _is_roof(ceiling: Ceiling) -> bool | None:
    """Whether the open air is above a ceiling; None where that is not recorded."""
    faces = ceiling.base.faces if ceiling.base else None
    return None if faces is None else faces is Faces.OUTSIDE


def _unmeasured(surface: Ceiling | Slope) -> Outcome:
    """What is answered where no air gap is recorded: a ceiling may have a room or a loft above it."""
    if isinstance(surface, Ceiling) and not _is_roof(surface):
        key = surface.base.key("faces") if surface.base else "base"
        return Open("what lies above the ceiling", key) if _is_roof(surface) is None else NOT_APPLICABLE
    return Open("how much air stays free between insulation and roofing", "air_gap")
