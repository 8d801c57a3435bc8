"""Moisture: how a wall is read before it is closed: where, on which scale, when, and again."""

from collections.abc import Iterator
from functools import partial
from itertools import pairwise
from math import inf

from planlint.api import (
    LIMITS_OF_EXPOSURE,
    NOT_APPLICABLE,
    PASS,
    Duration,
    Fail,
    Given,
    HoldPoint,
    Length,
    Level,
    Open,
    Outcome,
    Ratio,
    Reading,
    ReadOf,
    Remedy,
    Scale,
    TaskKind,
    Wall,
    at_most,
    columns,
    faces_key,
    heights_apart,
    is_unexposed,
    lacking,
    newest_of_each_spot,
    off_masonry,
    rule,
    unread,
)

MASONRY = ("lining", "base", "material")
COLUMN = ("reading_heights", "reading_low_height", "reading_spot")
OF_A_SPOT = ("value", "scale", "date", "at", "height")
READ_AGAIN = "read the same spot again, with its `at` and `height`"

closing_in = partial(rule, judges=Wall, level=Level.ERROR, guards=HoldPoint.CLOSING_IN)


@closing_in(
    "wall-read-before-closing",
    needs=(*MASONRY, "faces", "readings", "length", "at", "height"),
    reads=(*LIMITS_OF_EXPOSURE, *COLUMN, "long_wall", "reading_columns", "reading_column_gap"),
)
def wall_read_before_closing(wall: Wall, given: Given) -> Outcome:
    """Masonry that may be damp is read low, in the middle and high before it is closed; a long wall in two columns.

    Why: damp rises from the floor and comes in at one spot; a single reading at breast height finds neither.
    Source: common practice (low, middle, high); own decision (heights and distances).
    """
    off = off_masonry(wall)
    is_glued = wall.lining and wall.lining.is_glued
    if off or (not is_glued and is_unexposed(wall, given)):
        return off or NOT_APPLICABLE
    needed = {faces_key(wall): is_glued or wall.faces, "readings": wall.readings_recorded, "length": wall.length}
    missing = [key for key, known in needed.items() if not known]
    if missing or wall.length is None:
        return Open("how the wall was read, and how much of it there is to read", *missing)
    readings = [reading for reading in wall.readings_of(ReadOf.WALL) if reading.taken_by(given.today)]
    astray = next(_astray(readings, wall, wall.length, given), None)
    if astray:
        return astray
    if at_most(wall.length, given.quantity("long_wall", Length)):
        flaw, unplaced = _column_read(readings, "", given), lacking(readings, "height")
    else:
        flaw, unplaced = _columns_read(readings, wall.length, given), lacking(readings, "at", "height")
    return Open("where the wall was read", *unplaced) if flaw and unplaced else flaw or PASS


@closing_in(
    "readings-on-one-scale",
    needs=(*MASONRY, "readings", "scale"),
    reads=(*LIMITS_OF_EXPOSURE, "masonry_scales", "reading_spot"),
)
def readings_on_one_scale(wall: Wall, given: Given) -> Outcome:
    """Readings of masonry are on a scale that there is a limit for; relative digits never stand for percent.

    Why: 40 on one meter is dry and on another dripping wet; figures of different scales cannot be compared.
    Source: common practice.
    """
    off, scales = off_masonry(wall), given.words("masonry_scales")
    readings = newest_of_each_spot(wall.readings_of(ReadOf.WALL), given.quantity("reading_spot", Length), given.today)
    if off or not readings:
        return off or unread(wall, given)
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
    reads=(*LIMITS_OF_EXPOSURE, "reading_age", "reading_spot", "wet_work"),
)
def readings_recent(wall: Wall, given: Given) -> Outcome:
    """The wall was read shortly before it is closed, and after the last wet work on it.

    Why: one month of rain, or one coat of plaster, undoes what an older reading showed.
    Source: own decision (the age); common practice (the rest).
    """
    off, readings = off_masonry(wall), wall.readings_of(ReadOf.WALL)
    if off or not readings:
        return off or unread(wall, given)
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
    "readings-not-rising",
    level=Level.WARNING,
    needs=(*MASONRY, "value", "scale", "date", "at", "height"),
    reads=("reading_rise", "reading_spot"),
)
def readings_not_rising(wall: Wall, given: Given) -> Outcome:
    """Where one spot was read twice on one scale, the later reading is not much higher than the earlier.

    Why: a wall that gets wetter still takes in water, however dry it reads on the day.
    Source: own decision (how much).
    """
    # Digits of a meter's own are left out: nobody says how much more is too much.
    read = [one for one in wall.readings_of(ReadOf.WALL) if one.taken_by(given.today)]
    twice = _twice([one for one in read if one.scale is not Scale.RELATIVE], given)
    off = off_masonry(wall)
    if off or not twice:
        return off if twice and off else NOT_APPLICABLE
    rise = given.quantity("reading_rise", Ratio)
    higher = [pair for pair in twice if not at_most(_rise(*pair), rise)]
    for late, early in sorted(higher, key=lambda pair: _rise(*pair), reverse=True):
        if isinstance(late.value, Ratio) and not lacking((late, early), *OF_A_SPOT):
            says = f"at {late.where} the wall read {early.value} on {early.date}, and {{measured}} on {late.date}; "
            says += f"above {{allowed}}, {100 * rise:g} points more than before, it is getting wetter"
            allowed = late.value.like(late.value - _rise(late, early) + rise)
            remedy = Remedy("find where the water comes from, and read the spot again when that is cured")
            return Fail(says, measured=late.value, allowed=allowed, remedy=remedy)
    doubtful = [one for one in read if any(one in pair for pair in higher)]
    missing = lacking(doubtful, *OF_A_SPOT)
    return Open("whether the wall gets wetter from one reading to the next", *missing) if missing else PASS


def _twice(readings: list[Reading], given: Given) -> list[tuple[Reading, Reading]]:
    """The newest reading of each spot on each scale with every earlier one that may be of the same spot."""
    days = {reading.date for reading in readings}
    if None not in days and len(days) <= 1:
        return []
    spot = given.quantity("reading_spot", Length)
    newest = [
        one
        for scale in dict.fromkeys(one.scale for one in readings)
        for one in newest_of_each_spot([one for one in readings if one.scale is scale], spot, given.today)
    ]

    def may_be_later(late: Reading, early: Reading) -> bool:
        is_later = late.date is None or early.date is None or late.date > early.date
        is_alike = late.scale is early.scale or late.scale is None or early.scale is None
        places = ((late.at, early.at), (late.height, early.height))
        is_near = all(a is None or b is None or at_most(abs(a - b), spot) for a, b in places)
        is_one_layer = late.reaches(early) and early.reaches(late)
        return late is not early and is_later and is_alike and is_near and is_one_layer

    return [(late, early) for late in newest for early in readings if may_be_later(late, early)]


def _rise(late: Reading, early: Reading) -> float:
    """By how much the later reading is higher, 1 % being 0.01; endless where that is not known."""
    if isinstance(late.value, Ratio) and isinstance(early.value, Ratio):
        return late.value - early.value
    return inf


def _astray(readings: list[Reading], wall: Wall, length: Length, given: Given) -> Iterator[Fail]:
    """Readings that lie past the end of the wall or above it, so that a slip of the pen is no column of readings."""
    spot, datum = given.quantity("reading_spot", Length), wall.room.floor.datum
    end = max(length, wall.length_at_top or length)
    for reading in readings:
        if reading.at is not None and not at_most(reading.at - end, spot):
            remedy = Remedy("correct its `at`: positions are measured from the wall's left end, facing it")
            says = f"reading {reading.index + 1} is {{measured}} along, and the wall is {{allowed}} long"
            yield Fail(says, measured=reading.at, allowed=end, remedy=remedy)
        top = _tallest(wall) if reading.at is None else wall.height_at(reading.at)
        if reading.height is not None and top is not None and not at_most(reading.height + datum - top, spot):
            remedy = Remedy("correct its `height`, which is measured from the floor that `heights_from` names")
            says = f"reading {reading.index + 1} is {{measured}} up, and the wall ends at {{allowed}} there"
            yield Fail(says, measured=reading.height, allowed=reading.height.like(top - datum), remedy=remedy)


def _tallest(wall: Wall) -> Length | None:
    """The height of a wall where it is highest."""
    heights = (wall.height_left, wall.height_right, *(height for _, height in wall.gable))
    return max((height for height in heights if height is not None), default=None)


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
