"""Moisture: a wall is sound, cured, read and dry enough before anything is put in front of it."""

from itertools import pairwise
from typing import NamedTuple

from planlint.api import (
    NOT_APPLICABLE,
    PASS,
    Duration,
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
    at_least,
    at_most,
    columns,
    heights_apart,
    newest_of_each_spot,
    rule,
)

MOULD_CAUTION = "Mould and rotten timber harm lungs: wear a mask, and do not brush them off dry."
LIMITS_OF = {
    Scale.WOOD_EQUIVALENT: ("masonry_wood_equivalent_warn", "masonry_wood_equivalent_stop"),
    Scale.OVEN_DRY: ("masonry_oven_dry_warn", "masonry_oven_dry_stop"),
}
MASONRY = ("lining", "base", "base.material")
WETTEST = ("exposed_faces", "masonry_scales", "reading_spot", *(name for pair in LIMITS_OF.values() for name in pair))
METAL = ("metal", "steel", "alumin")
NOTHING = ("none", "nothing", "no")


@rule(
    "wall-sound-before-lining",
    judges=Wall,
    level=Level.ERROR,
    guards=HoldPoint.CLOSING_IN,
    needs=("lining", "base", "base.sound"),
    guards_life=True,
    caution="A loose or leaning wall can come down: have it looked at by a builder or an engineer first.",
)
def wall_sound_before_lining(wall: Wall, given: Given) -> Outcome:
    """A wall is sound before it is lined.

    Why: loose plaster, rot and cracks go on behind the boards, and nothing that is fixed to them holds.
    Source: common practice.
    """
    if wall.stays:
        return NOT_APPLICABLE
    sound = wall.base.sound if wall.base else None
    if wall.undecided or sound is None:
        return _unrecorded(wall, "sound", "whether the wall is sound", known=sound is not None)
    if sound:
        return PASS
    return Fail(
        "the wall is recorded as not sound, and it is to be lined",
        measured="not sound",
        allowed="sound",
        remedy=Remedy("take off what is loose, repair the wall, and only then record sound: true"),
    )


@rule(
    "damp-cause-cured",
    judges=Wall,
    level=Level.ERROR,
    guards=HoldPoint.CLOSING_IN,
    needs=("lining", "readings", "date"),
    caution=MOULD_CAUTION,
)
def damp_cause_cured(wall: Wall, given: Given) -> Outcome:
    """A known cause of damp is cured before the wall is lined, and the wall was read after the cure.

    Why: water that still comes in rots the lining from behind, and only a reading shows that the cure worked.
    Source: common practice.
    """
    if wall.damp is None or wall.stays:
        return NOT_APPLICABLE
    if wall.undecided:
        return _unrecorded(wall, "material", "", known=True)
    cured, source = wall.damp.cured, f" ({wall.damp.cause})" if wall.damp.cause else ""
    if cured is None or cured > given.today:
        when = "not recorded as cured" if cured is None else f"to be cured only on {cured.isoformat()}"
        return Fail(
            f"the cause of the damp{source} is {when}",
            remedy=Remedy("cure the cause, record `cured` with its date, and read the wall again afterwards"),
        )
    readings = _taken(wall, given, ReadOf.WALL, ReadOf.FRAME)
    if any(reading.date and reading.date > cured for reading in readings):
        return PASS
    undated = _lacking(readings, "date")
    if undated or not wall.readings_recorded:
        return Open("whether the wall was read after the cause of its damp was cured", *(undated or ["readings"]))
    return Fail(
        f"the cause of the damp{source} was cured on {cured.isoformat()}, and the wall has not been read since",
        measured=max((reading.date.isoformat() for reading in readings if reading.date), default="no reading"),
        allowed=f"after {cured.isoformat()}",
        remedy=Remedy("read the wall again: low, in the middle and high"),
    )


@rule(
    "wall-read-before-closing",
    judges=Wall,
    level=Level.ERROR,
    guards=HoldPoint.CLOSING_IN,
    needs=(*MASONRY, "base.faces", "readings", "length", "at", "height"),
    reads=(
        "exposed_faces",
        "reading_heights",
        "reading_low_height",
        "reading_spot",
        "long_wall",
        "reading_columns",
        "reading_column_gap",
    ),
)
def wall_read_before_closing(wall: Wall, given: Given) -> Outcome:
    """Masonry that may be damp is read low, in the middle and high before it is closed; a long wall in two columns.

    Why: damp rises from the floor and comes in at one spot; a single reading at breast height finds neither.
    Source: common practice (low, middle, high); own decision (heights and distances).
    """
    off = _off_masonry(wall)
    if off:
        return off
    asked_for = wall.damp or _is_glued(wall)
    if not asked_for and _is_unexposed(wall, given):
        return NOT_APPLICABLE
    missing = [] if asked_for or wall.faces else ["base.faces"]
    missing += [] if wall.readings_recorded else ["readings"]
    if missing or wall.length is None:
        length = [] if wall.length else ["length"]
        return Open("what tells whether the wall is read low, in the middle and high", *missing, *length)
    start, end = wall.length.like(0), wall.length
    if wall.extent:
        start, end = wall.extent.start or start, min(wall.extent.end or end, end)
    is_long = not at_most(end - start, given.quantity("long_wall", Length))
    readings = [
        reading
        for reading in _taken(wall, given)
        if wall.extent is None or reading.at is None or (at_least(reading.at, start) and at_most(reading.at, end))
    ]
    flaw = _columns_read(readings, start, end, given) if is_long else _column_read(readings, "", given)
    unplaced = [*(_lacking(readings, "at") if is_long or wall.extent else []), *_lacking(readings, "height")]
    return Open("where the wall was read", *unplaced) if flaw and unplaced else flaw or PASS


@rule(
    "readings-on-one-scale",
    judges=Wall,
    level=Level.ERROR,
    guards=HoldPoint.CLOSING_IN,
    needs=(*MASONRY, "scale"),
    reads=("masonry_scales", "reading_spot"),
)
def readings_on_one_scale(wall: Wall, given: Given) -> Outcome:
    """Readings of masonry are on a scale that there is a limit for; relative digits never stand for percent.

    Why: 40 on one meter is dry and on another dripping wet; figures of different scales cannot be compared.
    Source: common practice.
    """
    off = _off_masonry(wall)
    if off:
        return off
    readings = newest_of_each_spot(_taken(wall, given), given.quantity("reading_spot", Length))
    scales = given.words("masonry_scales")
    for reading in readings:
        if reading.scale is not None and reading.scale not in scales:
            return Fail(
                f"{reading.called} is on the {reading.scale} scale, and masonry has no limit on that scale",
                measured=reading.scale,
                allowed=" or ".join(scales),
                remedy=Remedy(
                    f"{_again(reading)} on the {scales[0]} scale, or have a sample dried in an oven; "
                    "what pins read in masonry on a meter's wood scale is wood-equivalent"
                ),
            )
    unknown = _lacking(readings, "scale")
    if unknown:
        return Open("on which scale the wall was read", *unknown)
    return PASS if readings else NOT_APPLICABLE


@rule(
    "readings-recent",
    judges=Wall,
    level=Level.WARNING,
    guards=HoldPoint.CLOSING_IN,
    needs=(*MASONRY, "date"),
    reads=("reading_age", "reading_spot", "wet_work"),
)
def readings_recent(wall: Wall, given: Given) -> Outcome:
    """The wall was read shortly before it is closed, and after the last wet work on it.

    Why: one month of rain, or one coat of plaster, undoes what an older reading showed.
    Source: own decision (the age); common practice (the rest).
    """
    off = _off_masonry(wall)
    readings = wall.readings_of(ReadOf.WALL)
    if off or not readings:
        return off or NOT_APPLICABLE
    undated = _lacking(readings, "date")
    if undated:
        return Open("when the wall was read", *undated)
    done = [(task.done, task) for task in wall.tasks if task.done and task.done <= given.today]
    closed = min((day for day, task in done if task.kind == HoldPoint.CLOSING_IN), default=None)
    until = closed or given.today
    dates = sorted(reading.date for reading in readings if reading.date)
    in_time = [day for day in dates if day <= until]
    if dates[-1] > given.today or not in_time:
        amiss = max(dates[-1], given.today) if dates[-1] > given.today else dates[0]
        why = "which has not come yet" if amiss > given.today else f"and the wall was closed on {until}"
        return Fail(
            f"a reading is dated {amiss}, {why}",
            measured=f"{amiss}",
            allowed=f"{until}",
            remedy=Remedy("correct the date; where the wall was closed unread, open it and read it"),
        )
    allowed = given.quantity("reading_age", Duration)
    age = allowed.like((until - in_time[-1]).total_seconds())
    if not at_most(age, allowed):
        is_old = f"was {{measured}} old when the wall was closed on {closed}" if closed else "is {measured} old"
        return Fail(
            f"the newest reading, of {in_time[-1]}, {is_old}; {{allowed}} is allowed",
            measured=age,
            allowed=allowed,
            remedy=Remedy("read the wall again before it is closed"),
        )
    wet = ((day, task.name) for day, task in done if task.kind in given.words("wet_work") and day <= until)
    last, name = max(wet, default=(in_time[0], ""))
    newest = newest_of_each_spot(_taken(wall, until), given.quantity("reading_spot", Length))
    stale = next(((reading.date, reading) for reading in newest if reading.date and reading.date < last), None)
    if stale is None:
        return PASS
    return Fail(
        f"{name} wetted the wall on {last}, after {stale[1].called} was taken on {stale[0]}",
        measured=f"{stale[0]}",
        allowed=f"{last}",
        remedy=Remedy(f"let the wall dry, and {_again(stale[1])}"),
    )


@rule(
    "wall-dry-enough",
    judges=Wall,
    level=Level.ERROR,
    guards=HoldPoint.CLOSING_IN,
    needs=(*MASONRY, "base.faces", "readings", "value", "scale"),
    reads=WETTEST,
    caution=MOULD_CAUTION,
)
def wall_dry_enough(wall: Wall, given: Given) -> Outcome:
    """The worst spot of a masonry wall is dry enough to be lined; the mean of all spots says nothing.

    Why: damp that is shut in rots timber and board from behind, and shows when it is too late.
    Source: common practice (wood-equivalent); CSN P 73 0610 moisture classes, as quoted (oven-dry).
    """
    off = _off_masonry(wall)
    if off or _needs_no_reading(wall, given):
        return off or NOT_APPLICABLE
    worst, unjudged = _wettest(wall, given)
    if worst is None or not worst.is_damp:
        return unjudged or PASS
    place = f" ({worst.reading.where})" if worst.reading.where else ""
    return Fail(
        f"the wettest spot{place} reads {{measured}}: a wall above {{allowed}} is too wet to be closed"
        if worst.is_wet
        else f"the wettest spot{place} reads {{measured}}: above {{allowed}} a wall is damp, "
        f"above {worst.stop} it must not be closed",
        measured=worst.value,
        allowed=worst.stop if worst.is_wet else worst.warn,
        remedy=Remedy(f"find where the water comes from, cure it, let the wall dry, and {_again(worst.reading)}"),
        level=None if worst.is_wet else Level.WARNING,
    )


@rule(
    "timber-dry-enough",
    judges=Wall,
    level=Level.ERROR,
    guards=HoldPoint.CLOSING_IN,
    needs=(*MASONRY, "readings", "value", "scale"),
    reads=("timber_scales", "timber_warn", "timber_stop", "reading_spot"),
)
def timber_dry_enough(wall: Wall, given: Given) -> Outcome:
    """Battens and frame are dry by the wood scale before they are covered.

    Why: wet timber shrinks behind the boards, opens the joints, and feeds mould.
    Source: AS 2589:2017, 2.6.3, as quoted (18 %); EN 1995-1-1, from memory (20 %).
    """
    if wall.stays:
        return NOT_APPLICABLE
    material = wall.base.material if wall.base else None
    if wall.lining is None or wall.base is None or material is None:
        return _unrecorded(wall, "material", "what the wall is made of", known=material is not None)
    is_metal = any(word in material.casefold() for word in METAL)
    timber = [ReadOf.BATTENS] if wall.lining.battens else []
    timber += [ReadOf.FRAME] if wall.base.is_stud and not is_metal else []
    if not timber:
        return NOT_APPLICABLE
    scales, warn, stop = given.words("timber_scales"), *(given.quantity(f"timber_{end}", Ratio) for end in ENDS)
    newest = newest_of_each_spot(_taken(wall, given.today, *timber), given.quantity("reading_spot", Length))
    judged = [
        Spot(reading, reading.percent, warn, stop)
        for reading in newest
        if reading.scale in scales and reading.percent is not None
    ]
    worst = max(judged, key=Spot.rank, default=None)
    if worst and worst.is_damp:
        return Fail(
            f"the {worst.reading.of} read {{measured}} on the wood scale: timber above {{allowed}} "
            + ("is too wet to be covered" if worst.is_wet else f"is not dry yet, above {stop} it must not be covered"),
            measured=worst.value,
            allowed=stop if worst.is_wet else warn,
            remedy=Remedy("let the timber dry, stacked with air between, and read it again before it is covered"),
            level=None if worst.is_wet else Level.WARNING,
        )
    unread = [subject for subject in timber if not any(spot.reading.of is subject for spot in judged)]
    ...
