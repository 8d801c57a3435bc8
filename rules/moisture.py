"""Moisture: a wall is sound, cured and dry enough before anything is put in front of it."""

from functools import partial

from planlint.api import (
    LIMITS_OF_DAMPNESS,
    LIMITS_OF_EXPOSURE,
    NOT_APPLICABLE,
    PASS,
    Fail,
    Given,
    HoldPoint,
    Level,
    Open,
    Outcome,
    ReadOf,
    Remedy,
    Wall,
    lacking,
    needs_no_reading,
    off_masonry,
    rule,
    too_damp,
    unready,
    wettest,
)

MOULD_CAUTION = "Mould and rotten timber harm lungs: wear a mask, and do not brush them off dry."
MASONRY = ("lining", "base", "material")
READ_AGAIN = "read the same spot again, with its `at` and `height`"

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
    gap = unready(wall, "sound", "whether the wall is sound", known=sound is not None)
    if gap or sound:
        return gap or PASS
    remedy = Remedy("take off what is loose, repair the wall, and only then record sound: true")
    says = "the wall is recorded as not sound, and it is to be lined"
    return Fail(says, measured="not sound", allowed="sound", remedy=remedy)


@closing_in("damp-cause-cured", needs=("lining", "readings", "date"), caution=MOULD_CAUTION)
def damp_cause_cured(wall: Wall, given: Given) -> Outcome:
    """A known cause of damp is cured before the wall is lined, and the wall was read after the cure.

    Why: water that still comes in rots the lining from behind, and only a reading shows that the cure worked.
    Source: common practice.
    """
    gap = unready(wall) if wall.damp else NOT_APPLICABLE
    if gap or wall.damp is None:
        return gap or NOT_APPLICABLE
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
    "wall-dry-enough",
    needs=(*MASONRY, "faces", "readings", "value", "scale"),
    reads=(*LIMITS_OF_EXPOSURE, *LIMITS_OF_DAMPNESS),
    caution=MOULD_CAUTION,
)
def wall_dry_enough(wall: Wall, given: Given) -> Outcome:
    """The worst spot of a masonry wall is dry enough to be lined; the mean of all spots says nothing.

    Why: damp that is shut in rots timber and board from behind, and shows when it is too late. Salts lift what a
    meter shows: where they are recorded a person looks at a high reading, and it never passes.
    Source: common practice (wood-equivalent); ČSN P 73 0610 moisture classes, as quoted (oven-dry).
    """
    off = off_masonry(wall)
    if off or needs_no_reading(wall, given):
        return off or NOT_APPLICABLE
    worst, unjudged = wettest(wall, given)
    if worst is None or not worst.is_damp:
        return unjudged or PASS
    spot = f"the wettest spot ({worst.reading.where})" if worst.reading.where else "the wettest spot"
    remedy = Remedy(f"find where the water comes from, cure it, let the wall dry, and {READ_AGAIN}")
    return too_damp(f"{spot} reads {{measured}}", worst, remedy)
