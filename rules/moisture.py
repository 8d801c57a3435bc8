"""Moisture: a wall is sound, cured, read and dry enough before anything is put in front of it."""

from functools import partial
from itertools import pairwise

from planlint.api import (
    NOT_APPLICABLE,
    PASS,
    Duration,
    Fail,
    Given,
    HoldPoint,
    Judged,
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
    TaskKind,
    Wall,
    at_most,
    columns,
    heights_apart,
    lacking,
    newest_of_each_spot,
    rule,
    worst_of,
)

MOULD_CAUTION = "Mould and rotten timber harm lungs: wear a mask, and do not brush them off dry."
MASONRY = ("lining", "base", "material")
LIMITS_OF = {
    Scale.WOOD_EQUIVALENT: ("masonry_wood_equivalent_warn", "masonry_wood_equivalent_stop"),
    Scale.OVEN_DRY: ("masonry_oven_dry_warn", "masonry_oven_dry_stop"),
}
DRYNESS = ("exposed_faces", "masonry_scales", "reading_spot", *(name for pair in LIMITS_OF.values() for name in pair))
COLUMN = ("reading_heights", "reading_low_height", "reading_spot")
READ_AGAIN = "read the same spot again, with its `at` and `height`"
METAL = ("metal", "steel", "alumin")
NOTHING = ("none", "nothing", "no")

closing_in = partial(rule, judges=Wall, level=Level.ERROR, guards=HoldPoint.CLOSING_IN)


@closing_in(
    "wall-sound-before-lining",
    needs=("lining", "base", "sound"),
    guards_life=True,
    caution="A loose or leaning wall can come down: have it looked at by a builder or an engineer first.",
)
def wall_sound_before_lining(wall: Wall, given: Given) -> Outcome:
    """A wall is sound before it is lined.

    Why: loose plaster, rot and cracks go on behind the boards, and nothing that is fixed to them holds.
    Source: common practice.
    """
    sound = wall.base.sound if wall.base else None
    unready = _unready(wall, "sound", "whether the wall is sound", known=sound is not None)
    if unready or sound:
        return unready or PASS
    remedy = Remedy("take off what is loose, repair the wall, and only then record sound: true")
    says = "the wall is recorded as not sound, and it is to be lined"
    return Fail(says, measured="not sound", allowed="sound", remedy=remedy)


@closing_in("damp-cause-cured", needs=("lining", "readings", "date"), caution=MOULD_CAUTION)
def damp_cause_cured(wall: Wall, given: Given) -> Outcome:
    """A known cause of damp is cured before the wall is lined, and the wall was read after the cure.

    Why: water that still comes in rots the lining from behind, and only a reading shows that the cure worked.
    Source: common practice.
    """
    unready = _unready(wall) if wall.damp else NOT_APPLICABLE
    if unready or wall.damp is None:
        return unready or NOT_APPLICABLE
    cause, cured = f"the cause of the damp{f' ({wall.damp.cause})' if wall.damp.cause else ''}", wall.damp.cured
    if cured is None or cured > given.today:
        when = "not recorded as cured" if cured is None else f"to be cured only on {cured}"
        remedy = Remedy("cure the cause, record `cured` with its date, and read the wall again afterwards")
        return Fail(f"{cause} is {when}", remedy=remedy)
    readings = wall.readings_of(ReadOf.WALL, ReadOf.FRAME)
    dates = [reading.date for reading in readings if reading.date and reading.date <= given.today]
    if any(day > cured for day in dates):
        return PASS
    missing = lacking(readings, "date") if wall.readings_recorded else ["readings"]
    if missing:
        return Open("whether the wall was read after the cause of its damp was cured", *missing)
    says = f"{cause} was cured on {cured}, and the wall has not been read since"
    last, remedy = str(max(dates, default="no reading")), Remedy("read the wall again: low, in the middle and high")
    return Fail(says, measured=last, allowed=f"after {cured}", remedy=remedy)


@closing_in(
    "wall-read-before-closing",
    needs=(*MASONRY, "faces", "readings", "length", "at", "height"),
    reads=("exposed_faces", *COLUMN, "long_wall", "reading_columns", "reading_column_gap"),
)
def wall_read_before_closing(wall: Wall, given: Given) -> Outcome:
    """Masonry that may be damp is read low, in the middle and high before it is closed; a long wall in two columns.

    Why: damp rises from the floor and comes in at one spot; a single reading at breast height finds neither.
    Source: common practice (low, middle, high); own decision (heights and distances).
    """
    off = _off_masonry(wall)
    is_glued = wall.lining and wall.lining.is_glued
    if off or (not is_glued and _is_unexposed(wall, given)):
        return off or NOT_APPLICABLE
    needed = {_faces(wall): is_glued or wall.faces, "readings": wall.readings_recorded, "length": wall.length}
    missing = [key for key, known in needed.items() if not known]
    if missing or wall.length is None:
        return Open("how the wall was read, and how much of it there is to read", *missing)
    readings = [reading for reading in wall.readings_of(ReadOf.WALL) if reading.taken_by(given.today)]
    if at_most(wall.length, given.quantity("long_wall", Length)):
        flaw, unplaced = _column_read(readings, "", given), lacking(readings, "height")
    else:
        flaw, unplaced = _columns_read(readings, wall.length, given), lacking(readings, "at", "height")
    return Open("where the wall was read", *unplaced) if flaw and unplaced else flaw or PASS


@closing_in(
    "readings-on-one-scale",
    needs=(*MASONRY, "readings", "scale"),
    reads=("exposed_faces", "masonry_scales", "reading_spot"),
)
def readings_on_one_scale(wall: Wall, given: Given) -> Outcome:
    """Readings of masonry are on a scale that there is a limit for; relative digits never stand for percent.

    Why: 40 on one meter is dry and on another dripping wet; figures of different scales cannot be compared.
    Source: common practice.
    """
    off, scales = _off_masonry(wall), given.words("masonry_scales")
    readings = newest_of_each_spot(wall.readings_of(ReadOf.WALL), given.quantity("reading_spot", Length), given.today)
    if off or not readings:
        return off or _unread(wall, given)
    for reading in readings:
        if reading.scale and reading.scale not in scales:
            says = f"{reading.called} is on the {reading.scale} scale, and masonry has no limit on that scale"
            remedy = Remedy(f"{READ_AGAIN}, on the {scales[0]} scale, or have a sample dried in an oven")
            if reading.scale is Scale.WOOD:
                remedy = Remedy(f"if pins were set in the wall itself, the scale is {scales[0]}: correct the word")
            return Fail(says, measured=reading.scale, allowed=" or ".join(scales), remedy=remedy)
    unknown = lacking(readings, "scale")
    return Open("on which scale the wall was read", *unknown) if unknown else PASS


@closing_in(
    "readings-recent",
    level=Level.WARNING,
    needs=(*MASONRY, "readings", "date"),
    reads=("exposed_faces", "reading_age", "reading_spot", "wet_work"),
)
def readings_recent(wall: Wall, given: Given) -> Outcome:
    """The wall was read shortly before it is closed, and after the last wet work on it.

    Why: one month of rain, or one coat of plaster, undoes what an older reading showed.
    Source: own decision (the age); common practice (the rest).
    """
    off, readings = _off_masonry(wall), wall.readings_of(ReadOf.WALL)
    if off or not readings:
        return off or _unread(wall, given)
    undated = lacking(readings, "date")
    if undated:
        return Open("when the wall was read", *undated)
    done = [(task.done, task) for task in wall.tasks if task.done and task.done <= given.today]
    closed = min((day for day, task in done if task.kind is TaskKind.CLOSING_IN), default=None)
    until, dates = closed or given.today, sorted(reading.date for reading in readings if reading.date)
    in_time = [day for day in dates if day <= until]
    if dates[-1] > given.today or not in_time:
        day, why = dates[0], f"and the wall was closed on {until}"
        if dates[-1] > given.today:
            day, why = dates[-1], "which has not come yet"
        remedy = Remedy("correct the date; a wall that was closed unread is opened and read")
        return Fail(f"a reading is dated {day}, {why}", measured=f"{day}", allowed=f"{until}", remedy=remedy)
    allowed = given.quantity("reading_age", Duration)
    age = allowed.like((until - in_time[-1]).total_seconds())
    if not at_most(age, allowed):
        is_old = f"was {{measured}} old when the wall was closed on {closed}" if closed else "is {measured} old"
        says = f"the newest reading, of {in_time[-1]}, {is_old}; at most {{allowed}} is allowed"
        return Fail(says, measured=age, allowed=allowed, remedy=Remedy("read the wall again before it is closed"))
    wet = ((day, task.name) for day, task in done if task.kind in given.words("wet_work") and day <= until)
    last, name = max(wet, default=(in_time[0], ""))
    for reading in newest_of_each_spot(readings, given.quantity("reading_spot", Length), until):
        if reading.date and reading.date < last:
            says = f"{name} wetted the wall on {last}, after {reading.called} was taken on {reading.date}"
            remedy = Remedy(f"let the wall dry, and {READ_AGAIN}")
            return Fail(says, measured=f"{reading.date}", allowed=f"{last}", remedy=remedy)
    return PASS


@closing_in(
    "wall-dry-enough",
    needs=(*MASONRY, "faces", "readings", "value", "scale"),
    reads=DRYNESS,
    caution=MOULD_CAUTION,
)
def wall_dry_enough(wall: Wall, given: Given) -> Outcome:
    """The worst spot of a masonry wall is dry enough to be lined; the mean of all spots says nothing.

    Why: damp that is shut in rots timber and board from behind, and shows when it is too late.
    Source: common practice (wood-equivalent); ČSN P 73 0610 moisture classes, as quoted (oven-dry).
    """
    off = _off_masonry(wall)
    if off or _needs_no_reading(wall, given):
        return off or NOT_APPLICABLE
    worst, unjudged = _wettest(wall, given)
    if worst is None or not worst.is_damp:
        return unjudged or PASS
    spot = f"the wettest spot ({worst.reading.where})" if worst.reading.where else "the wettest spot"
    remedy = Remedy(f"find where the water comes from, cure it, let the wall dry, and {READ_AGAIN}")
    return _too_damp(f"{spot} reads", worst, remedy)


@closing_in(
    "timber-dry-enough",
    needs=(*MASONRY, "readings", "value", "scale"),
    reads=("timber_scales", "timber_warn", "timber_stop", "reading_spot"),
)
def timber_dry_enough(wall: Wall, given: Given) -> Outcome:
    """Battens and frame are dry by the wood scale before they are covered.

    Why: wet timber shrinks behind the boards, opens the joints, and feeds mould.
    Source: AS 2589:2017, 2.6.3, as quoted (18 %); EN 1995-1-1, from memory (20 %).
    """
    material = (wall.base.material if wall.base else None) or ""
    unready = _unready(wall, "material", "what the wall is made of", known=bool(material))
    is_metal = any(word in material.casefold() for word in METAL)
    timber = [ReadOf.BATTENS] if wall.lining and wall.lining.battens else []
    timber += [ReadOf.FRAME] if wall.base and wall.base.is_stud and not is_metal else []
    if unready or not timber:
        return unready or NOT_APPLICABLE
    limits = given.quantity("timber_warn", Ratio), given.quantity("timber_stop", Ratio)
    scales = {scale: limits for scale in Scale if scale in given.words("timber_scales")}
    readings = newest_of_each_spot(wall.readings_of(*timber), given.quantity("reading_spot", Length), given.today)
    worst, others = worst_of(readings, scales)
    if worst and worst.is_damp:
        remedy = Remedy("let the timber dry, stacked with air between, and read it again before it is covered")
        return _too_damp(
            f"the {worst.reading.of} {'reads' if worst.reading.of is ReadOf.FRAME else 'read'}", worst, remedy
        )
    unread = set(timber) - {reading.of for reading in readings}
    if others or unread:
        missing = lacking(others, "scale", "value")
        missing += ["readings"] if unread or not missing else []
        wanted = f"a reading with of: {min(unread, default=timber[0])}"
        return Open(f"how dry the timber is ({' and '.join(timber)}), on the wood scale, by {wanted}", *missing)
    return PASS


@closing_in(
    "no-timber-on-damp-wall",
    needs=(*MASONRY, "faces", "readings", "value", "scale", "treated", "isolated_by", "layers", "kind"),
    reads=(*DRYNESS, "timber_sheet_kinds"),
    guards_life=True,
    caution=MOULD_CAUTION,
)
def no_timber_on_damp_wall(wall: Wall, given: Given) -> Outcome:
    """No timber goes on a damp wall; on masonry that may become damp only on treated battens kept off the wall.

    Why: timber in touch with damp masonry takes up its water and rots where nobody sees it.
    Source: common practice.
    """
    off = _off_masonry(wall)
    timber = _timber(wall.lining, given) if wall.lining else ""
    if off or not timber or _needs_no_reading(wall, given) or wall.lining is None:
        return off or NOT_APPLICABLE
    if isinstance(timber, Open):
        return timber
    worst, unjudged = _wettest(wall, given)
    if worst and worst.is_wet:
        spot = f" at {worst.reading.where}" if worst.reading.where else ""
        says = f"{timber} would go on a wall that reads {{measured}}{spot}; above {{allowed}} no timber goes on it"
        remedy = Remedy("cure the damp and let the wall dry first, or choose a lining without timber")
        return Fail(says, measured=worst.value, allowed=worst.stop, remedy=remedy)
    kept_off, is_damp = _kept_off(wall.lining, timber), worst is not None and worst.is_damp
    if kept_off is PASS or (_is_unexposed(wall, given) and not is_damp):
        return unjudged or PASS
    if wall.faces is None and not is_damp:
        kept_off = Open("what the wall faces, and so whether timber must be kept off it", _faces(wall))
    if isinstance(kept_off, Open) and isinstance(unjudged, Open):
        return Open(f"{kept_off.what}; {unjudged.what}", *dict.fromkeys((*kept_off.missing, *unjudged.missing)))
    return kept_off


def _unready(wall: Wall, key: str = "", what: str = "", *, known: bool = True) -> Outcome | None:
    """What rules answer where a wall stays as it is, where its lining is undecided, or a key of its base unknown."""
    gaps = {"lining": "whether and how the wall will be lined"} if wall.undecided else {}
    gaps |= {} if known else {wall.base.key(key) if wall.base else "base": what}
    return NOT_APPLICABLE if wall.stays else Open(", and ".join(gaps.values()), *gaps) if gaps else None


def _off_masonry(wall: Wall) -> Outcome | None:
    """What rules about lined masonry answer where a wall is none, or where that is not recorded."""
    is_stud = wall.base.is_stud if wall.base else None
    return NOT_APPLICABLE if is_stud else _unready(wall, "material", "what it is made of", known=is_stud is not None)


def _faces(wall: Wall) -> str:
    """The key that says what a wall faces."""
    return wall.base.key("faces") if wall.base else "base"


def _is_unexposed(wall: Wall, given: Given) -> bool:
    """Whether the wall is known to face neither weather nor ground nor a neighbour."""
    return wall.faces is not None and wall.faces not in given.words("exposed_faces")


def _needs_no_reading(wall: Wall, given: Given) -> bool:
    """Whether nothing hints at damp: an inside wall that nobody read, knows to be damp or glues boards to."""
    hints = wall.damp or wall.readings_of(ReadOf.WALL) or (wall.lining and wall.lining.is_glued)
    return not hints and _is_unexposed(wall, given)


def _unread(wall: Wall, given: Given) -> Outcome:
    """What rules about readings answer where there are none: open where some are needed and none is recorded."""
    if wall.readings_recorded or _needs_no_reading(wall, given):
        return NOT_APPLICABLE
    return Open("moisture readings of the wall", "readings")


def _column_read(readings: list[Reading], where: str, given: Given) -> Fail | None:
    """What is wrong with readings that should be low, in the middle and high; None where they are."""
    low, wanted = given.quantity("reading_low_height", Length), given.count("reading_heights") or 0
    heights = heights_apart(readings, given.quantity("reading_spot", Length))
    remedy = Remedy("read low, in the middle and high: near the floor, at knee height and at breast height")
    if len(heights) < wanted:
        says = f"the wall is read at {{measured}} of the {{allowed}} heights that it takes{where}"
        return Fail(says, measured=len(heights), allowed=wanted, remedy=remedy)
    if at_most(heights[0], low):
        return None
    says = f"no reading is low{where}: the lowest is at {{measured}}, and one at {{allowed}} or lower is wanted"
    return Fail(says, measured=heights[0], allowed=low, remedy=remedy)


def _columns_read(readings: list[Reading], length: Length, given: Given) -> Fail | None:
    """What is wrong with readings that should be in columns all along the wall; None where they are."""
    wanted, gap = given.count("reading_columns") or 0, given.quantity("reading_column_gap", Length)
    found = columns(readings, given.quantity("reading_spot", Length))
    flaws = {at: _column_read(column, f", {at} along", given) for at, column in found}
    complete = [at for at, flaw in flaws.items() if flaw is None]
    remedy = Remedy("read the wall low, in the middle and high in one more column")
    if len(complete) < wanted:
        says = f"{length} of wall is read in {{measured}} of the {{allowed}} columns that it takes"
        fewer = Fail(says, measured=len(complete), allowed=wanted, remedy=remedy)
        return next((flaw for flaw in flaws.values() if flaw and len(flaws) >= wanted), fewer)
    left, right = max(pairwise(complete), key=lambda pair: pair[1] - pair[0])
    apart = right.like(right - left)
    says = (
        f"{{measured}} of wall, from {left} to {right} along, has no column of readings; at most {{allowed}} is allowed"
    )
    return None if at_most(apart, gap) else Fail(says, measured=apart, allowed=gap, remedy=remedy)


def _wettest(wall: Wall, given: Given) -> tuple[Judged | None, Open | Review | None]:
    """The reading that is worst against its own scale, and what stands in the way of judging others."""
    newest = newest_of_each_spot(wall.readings_of(ReadOf.WALL), given.quantity("reading_spot", Length), given.today)
    if not newest:
        return None, Open("how damp the wall is", *(["readings"] if wall.faces else [_faces(wall), "readings"]))
    limits = {
        scale: (given.quantity(warn, Ratio), given.quantity(stop, Ratio)) for scale, (warn, stop) in LIMITS_OF.items()
    }
    worst, others = worst_of(newest, limits)
    missing = lacking(others, "scale", "value")
    if any(one.scale not in given.words("masonry_scales") for one in others) and not missing:
        missing = ["readings"]
    if missing:
        return worst, Open("how damp every spot is, on a scale that masonry has a limit for", *missing)
    if not others:
        return worst, None
    says = f"{others[0].called} is {others[0].value} on the {others[0].scale} scale"
    remedy = Remedy("have someone who knows damp walls look at it, or read the spot on the wood-equivalent scale")
    return worst, Review(f"{says}; for masonry no limit is agreed on it", remedy=remedy)


def _too_damp(what: str, worst: Judged, remedy: Remedy) -> Fail:
    """Fail by the value above which nothing is closed in, or with a warning by the one above which it is damp."""
    damp = "" if worst.is_wet else f" is damp, and more than {worst.stop}"
    says = f"{what} {{measured}}; more than {{allowed}}{damp} must not be closed in"
    allowed, level = (worst.stop, Level.ERROR) if worst.is_wet else (worst.warn, Level.WARNING)
    return Fail(says, measured=worst.value, allowed=allowed, remedy=remedy, level=level)


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
