"""Moisture: timber is dry before it is covered, and none goes on a damp wall."""

from functools import partial

from planlint.api import (
    LIMITS_OF_DAMPNESS,
    LIMITS_OF_EXPOSURE,
    METER_CALIBRATED_AT,
    NOT_APPLICABLE,
    PASS,
    Fail,
    Given,
    HoldPoint,
    Length,
    Level,
    Lining,
    Open,
    Outcome,
    Ratio,
    Reading,
    ReadOf,
    Remedy,
    Review,
    Scale,
    Wall,
    at_calibration,
    faces_key,
    is_unexposed,
    lacking,
    needs_no_reading,
    newest_of_each_spot,
    off_masonry,
    rule,
    too_damp,
    unready,
    wettest,
    worst_of,
)

MOULD_CAUTION = "Mould and rotten timber harm lungs: wear a mask, and do not brush them off dry."
MASONRY = ("lining", "base", "material")
METAL = ("metal", "steel", "alumin")
NOTHING = ("none", "nothing", "no")

closing_in = partial(rule, judges=Wall, level=Level.ERROR, guards=HoldPoint.CLOSING_IN)


@closing_in(
    "timber-dry-enough",
    needs=(*MASONRY, "readings", "value", "scale"),
    reads=("timber_scales", "timber_warn", "timber_stop", "reading_spot"),
)
def timber_dry_enough(wall: Wall, given: Given) -> Outcome:
    """Battens and frame are dry by the wood scale before they are covered.

    Why: wet timber shrinks behind the boards, opens the joints, and feeds mould. Cold timber reads drier than it is:
    where its temperature is recorded, the reading is judged as it would be at the temperature the meter is made for.
    Source: AS 2589:2017, 2.6.3, as quoted (18 %); EN 1995-1-1, from memory (20 %); a pin meter's manual (temperature).
    """
    material = (wall.base.material if wall.base else None) or ""
    gap = unready(wall, "material", "what the wall is made of", known=bool(material))
    is_metal = any(word in material.casefold() for word in METAL)
    timber = [ReadOf.BATTENS] if wall.lining and wall.lining.battens else []
    timber += [ReadOf.FRAME] if wall.base and wall.base.is_stud and not is_metal else []
    if gap or not timber:
        return gap or NOT_APPLICABLE
    limits = given.quantity("timber_warn", Ratio), given.quantity("timber_stop", Ratio)
    scales = {scale: limits for scale in Scale if scale in given.words("timber_scales")}
    readings = newest_of_each_spot(wall.readings_of(*timber), given.quantity("reading_spot", Length), given.today)
    as_read = {at_calibration(reading) or reading: reading for reading in readings}
    worst, others = worst_of(as_read, scales)
    if worst and worst.is_damp:
        remedy = Remedy("let the timber dry, stacked with air between, and read it again before it is covered")
        return too_damp(_reads(as_read[worst.reading], worst.reading), worst, remedy)
    unread = set(timber) - {reading.of for reading in readings}
    if others or unread:
        missing = lacking(others, "scale", "value")
        missing += ["readings"] if unread or not missing else []
        wanted = f"a reading with of: {min(unread, default=timber[0])}"
        return Open(f"how dry the timber is ({' and '.join(timber)}), on the wood scale, by {wanted}", *missing)
    beyond = next((reading for reading in readings if at_calibration(reading) is None), None)
    if beyond:
        says = f"{beyond.called} is {beyond.value} in wood of {beyond.temperature}; no correction is known for a meter"
        return Review(f"{says} there", remedy=Remedy("read the timber again when it is as warm as a room"))
    return PASS


@closing_in(
    "no-timber-on-damp-wall",
    needs=(*MASONRY, "faces", "readings", "value", "scale", "treated", "isolated_by", "layers", "kind"),
    reads=(*LIMITS_OF_EXPOSURE, *LIMITS_OF_DAMPNESS, "timber_sheet_kinds"),
    guards_life=True,
    caution=MOULD_CAUTION,
)
def no_timber_on_damp_wall(wall: Wall, given: Given) -> Outcome:
    """No timber goes on a damp wall; on masonry that may become damp only on treated battens kept off the wall.

    Why: timber in touch with damp masonry takes up its water and rots where nobody sees it. Salts are no excuse for a
    high reading here.
    Source: common practice.
    """
    off = off_masonry(wall)
    timber = _timber(wall.lining, given) if wall.lining else ""
    if off or not timber or needs_no_reading(wall, given) or wall.lining is None:
        return off or NOT_APPLICABLE
    if isinstance(timber, Open):
        return timber
    worst, unjudged = wettest(wall, given, salts_excuse=False)
    if worst and worst.is_wet:
        spot = f" at {worst.reading.where}" if worst.reading.where else ""
        says = f"{timber} would go on a wall that reads {{measured}}{spot}; above {{allowed}} no timber goes on it"
        cure = "cure the damp and let the wall dry first, or choose a lining without timber"
        sample = "; salts may lift a meter, and only a sample of that spot, dried in an oven, shows that they do"
        remedy = Remedy(cure + (sample if wall.salts else ""))
        return Fail(says, measured=worst.value, allowed=worst.stop, remedy=remedy)
    kept_off, is_damp = _kept_off(wall.lining, timber), worst is not None and worst.is_damp
    if kept_off is PASS or (is_unexposed(wall, given) and not is_damp):
        return unjudged or PASS
    if wall.faces is None and not is_damp:
        kept_off = Open("what the wall faces, and so whether timber must be kept off it", faces_key(wall))
    if isinstance(kept_off, Open) and isinstance(unjudged, Open):
        return Open(f"{kept_off.what}; {unjudged.what}", *dict.fromkeys((*kept_off.missing, *unjudged.missing)))
    return kept_off


def _reads(shown: Reading, judged: Reading) -> str:
    """What the timber reads, and what that stands for where its temperature was allowed for."""
    timber = f"the {shown.of} {'reads' if shown.of is ReadOf.FRAME else 'read'}"
    if shown.temperature is None or shown.value == judged.value:
        return f"{timber} {{measured}}"
    calibrated = shown.temperature.like(METER_CALIBRATED_AT)
    return f"{timber} {shown.value} at {shown.temperature}, which stands for {{measured}} at {calibrated}"


def _timber(lining: Lining, given: Given) -> str | Open:
    """The timber of a lining in words, empty where there is none; open where that is not known."""
    kinds, materials = given.words("timber_sheet_kinds"), [layer.material or "" for layer in lining.layers]
    sheets = [board.name for board in lining.boards if board.kind in kinds]
    sheets += [material for material in materials if any(kind in material.casefold() for kind in kinds)]
    parts = [*(["battens"] if lining.battens else []), *(f"the sheet {name}" for name in sheets[:1])]
    missing = [f"{board.place}.kind" for board in lining.boards if board.kind is None]
    missing += [] if lining.layers else [f"{lining.place}.layers"]
    return " and ".join(parts) if parts or not missing else Open("whether there is timber in the lining", *missing)


def _kept_off(lining: Lining, timber: str) -> Outcome:
    """Whether the timber of a lining hangs on treated battens that do not touch the wall."""
    battens, allowed = lining.battens, "treated and kept off the wall"
    remedy = Remedy("use pressure-treated battens, and set them off the wall with closed-cell foam or plastic packers")
    if battens is None:
        return Fail(f"{timber} would go on masonry that may become damp, without battens", remedy=remedy)
    touches = (battens.isolated_by or "").casefold() in NOTHING
    flaws = [*(["not treated"] if battens.treated is False else []), *(["not kept off the wall"] if touches else [])]
    if flaws:
        found = " and ".join(flaws)
        says = f"the battens of the lining {lining.name} are {found}, on masonry that may become damp"
        return Fail(says, measured=found, allowed=allowed, remedy=remedy)
    values = {"treated": battens.treated, "isolated_by": battens.isolated_by}
    missing = [f"{lining.place}.battens.{key}" for key, value in values.items() if value is None]
    return Open(f"whether the battens are {allowed}", *missing) if missing else PASS
