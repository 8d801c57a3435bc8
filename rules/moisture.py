"""Moisture: a wall is sound, cured, read and dry enough before anything is put in front of it."""

from collections.abc import Iterable
from datetime import date

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
    Quantity,
    Ratio,
    Reading,
    ReadOf,
    Remedy,
    Review,
    Scale,
    Wall,
    at_most,
    columns,
    heights_apart,
    newest_of_each_spot,
    rule,
)

MOULD_CAUTION = "Mould and rotten timber harm lungs: wear a mask, and do not brush them off dry."


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
    unlined = _unlined(wall)
    if unlined:
        return unlined
    if wall.base is None or wall.base.sound is None:
        return Open("whether the wall is sound", "base" if wall.base is None else "base.sound")
    if wall.base.sound:
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
    if wall.damp is None:
        return NOT_APPLICABLE
    unlined = _unlined(wall)
    if unlined:
        return unlined
    cause, cured = wall.damp.cause or "a cause that is not named", wall.damp.cured
    if cured is None or cured > given.today:
        when = "not recorded as cured" if cured is None else f"to be cured only on {cured.isoformat()}"
        return Fail(
            f"the wall is damp from {cause}, which is {when}",
            remedy=Remedy("cure the cause, record `cured` with its date, and read the wall again afterwards"),
        )
    readings = wall.readings_of(ReadOf.WALL)
    if not wall.readings_recorded:
        return Open(f"readings of the wall after {cause} was cured", "readings")
    if any(reading.date and reading.date > cured for reading in readings):
        return PASS
    undated = [reading for reading in readings if reading.date is None]
    if undated:
        return Open(f"when the wall was read after {cause} was cured", undated[0].key("date"))
    return Fail(
        f"{cause} was cured on {cured.isoformat()}, and the wall has not been read since",
        measured=max((reading.date.isoformat() for reading in readings if reading.date), default="no reading"),
        allowed=f"after {cured.isoformat()}",
        remedy=Remedy("read the wall again: low, middle and high"),
    )


@rule(
    "wall-read-before-closing",
    judges=Wall,
    level=Level.ERROR,
    guards=HoldPoint.CLOSING_IN,
    needs=("lining", "base", "base.material", "base.faces", "readings", "length", "at", "height"),
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
    unlined = _unlined(wall) or _not_masonry(wall)
    if unlined:
        return unlined
    if not _is_glued(wall):
        if wall.faces is None:
            return Open("what the wall faces", "base.faces")
        if _is_unexposed(wall, given):
            return NOT_APPLICABLE
    if not wall.readings_recorded:
        return Open("moisture readings of the wall", "readings")
    readings = wall.readings_of(ReadOf.WALL)
    nowhere = [reading for reading in readings if reading.height is None]
    if nowhere:
        return Open("how high the wall was read", nowhere[0].key("height"))
    if wall.length is None:
        return Open("how long the wall is, and so how many columns of readings it wants", "length")
    if at_most(wall.length, given.quantity("long_wall", Length)):
        return _column_read(readings, "", given) or PASS
    astray = [reading for reading in readings if reading.at is None]
    if astray:
        return Open("where along this long wall it was read", astray[0].key("at"))
    return _columns_read(wall, readings, given)


@rule(
    "readings-on-one-scale",
    judges=Wall,
    level=Level.ERROR,
    guards=HoldPoint.CLOSING_IN,
    needs=("lining", "base", "base.material", "readings", "scale"),
    reads=("masonry_scales",),
)
def readings_on_one_scale(wall: Wall, given: Given) -> Outcome:
    """Readings of masonry are on a scale that there is a limit for; relative digits never stand for percent.

    Why: 40 on one meter is dry and on another dripping wet; figures of different scales cannot be compared.
    Source: common practice.
    """
    unlined = _unlined(wall) or _not_masonry(wall)
    if unlined:
        return unlined
    readings = wall.readings_of(ReadOf.WALL)
    if not readings:
        return NOT_APPLICABLE
    scales = given.words("masonry_scales")
    for reading in readings:
        if reading.scale is not None and reading.scale not in scales:
            return Fail(
                f"reading {reading.index + 1} is on the {reading.scale} scale, which says nothing certain about masonry",
                measured=reading.scale,
                allowed=" or ".join(scales),
                remedy=Remedy(f"read the spot again on the {scales[0]} scale, or have a sample dried in an oven"),
            )
        if isinstance(reading.value, float | int) and not isinstance(reading.value, Quantity):
            return Fail(
                f"reading {reading.index + 1} is a bare number on a scale of percent",
                measured=f"{reading.value:g}",
                allowed=f"{reading.value:g} %, if the meter showed percent",
                remedy=Remedy(
                    "write the percent sign if it was percent; if the meter shows digits, the scale is relative"
                ),
            )
    unknown = [reading for reading in readings if reading.scale is None]
    if unknown:
        return Open("on which scale the wall was read", unknown[0].key("scale"))
    return PASS


@rule(
    "readings-recent",
    judges=Wall,
    level=Level.WARNING,
    guards=HoldPoint.CLOSING_IN,
    needs=("lining", "base", "base.material", "date"),
    reads=("reading_age", "reading_spot", "wet_work"),
)
def readings_recent(wall: Wall, given: Given) -> Outcome:
    """The wall was read shortly before it is closed, and after the last wet work on it.

    Why: one month of rain, or one coat of plaster, undoes what an older reading showed.
    Source: own decision (the age); common practice (the rest).
    """
    unlined = _unlined(wall) or _not_masonry(wall)
    if unlined:
        return unlined
    readings = wall.readings_of(ReadOf.WALL)
    if not readings:
        return NOT_APPLICABLE
    undated = [reading for reading in readings if reading.date is None]
    if undated:
        return Open("when the wall was read", undated[0].key("date"))
    newest = max(_dates(readings))
    if newest > given.today:
        return Fail(
            f"a reading is dated {newest.isoformat()}, which has not come yet",
            measured=newest.isoformat(),
            allowed=given.today.isoformat(),
            remedy=Remedy("correct the date of the reading"),
        )
    closed = [task.done for task in wall.tasks if task.kind == HoldPoint.CLOSING_IN and task.done]
    at_closing = min(closed, default=given.today)
    allowed = given.quantity("reading_age", Duration)
    age = allowed.like((at_closing - newest).total_seconds())
    if not at_most(age, allowed):
        return Fail(
            f"the youngest reading is {{measured}} old, from {newest.isoformat()}; {{allowed}} is allowed",
            measured=age,
            allowed=allowed,
            remedy=Remedy("read the wall again before it is closed"),
        )
    wet = [task for task in wall.tasks if task.kind in given.words("wet_work") and task.done]
    last = max(wet, key=lambda task: task.done or date.min, default=None)
    stale = [
        reading
        for reading in newest_of_each_spot(readings, given.quantity("reading_spot", Length))
        if last and last.done and (reading.date or date.min) < last.done
    ]
    if last and last.done and stale:
        return Fail(
            f"{last.name} wetted the wall on {last.done.isoformat()}, after reading {stale[0].index + 1} was taken",
            measured=min(_dates(stale)).isoformat(),
            allowed=last.done.isoformat(),
            remedy=Remedy("let the wall dry and read the same spots again"),
        )
    return PASS


@rule(
    "wall-dry-enough",
    judges=Wall,
    level=Level.ERROR,
    guards=HoldPoint.CLOSING_IN,
    needs=("lining", "base", "base.material", "base.faces", "readings", "value", "scale"),
    reads=(
        "exposed_faces",
        "masonry_scales",
        "masonry_wood_equivalent_warn",
        "masonry_wood_equivalent_stop",
        "masonry_oven_dry_warn",
        "masonry_oven_dry_stop",
        "reading_spot",
    ),
    caution=MOULD_CAUTION,
)
def wall_dry_enough(wall: Wall, given: Given) -> Outcome:
    """The worst spot of a masonry wall is dry enough to be lined; the mean of all spots says nothing.

    Why: damp that is shut in rots timber and board from behind, and shows when it is too late.
    Source: common practice (wood-equivalent); CSN P 73 0610 moisture classes, as quoted (oven-dry).
    """
    unlined = _unlined(wall) or _not_masonry(wall)
    if unlined:
        return unlined
    if not wall.readings_of(ReadOf.WALL) and not wall.damp and not _is_glued(wall) and _is_unexposed(wall, given):
        return NOT_APPLICABLE
    wettest = _wettest(wall, given)
    if isinstance(wettest, Open | Review):
        return wettest
    reading, warn, stop = wettest
    if at_most(reading, warn):
        return PASS
    remedy = Remedy("find where the water comes from, cure it, let the wall dry, and read the same spot again")
    if not at_most(reading, stop):
        return Fail(
            "the wettest spot reads {measured}, and a wall above {allowed} is not closed",
            measured=reading,
            allowed=stop,
            remedy=remedy,
        )
    return Fail(
        f"the wettest spot reads {{measured}}: above {{allowed}} it is damp, above {stop} it must not be closed",
        measured=reading,
        allowed=warn,
        remedy=remedy,
        level=Level.WARNING,
    )


@rule(
    "timber-dry-enough",
    judges=Wall,
    level=Level.ERROR,
    guards=HoldPoint.CLOSING_IN,
    needs=(
        "lining",
        "base",
        "base.material",
        "readings",
        "readings of battens",
        "readings of frame",
        "value",
        "scale",
    ),
    reads=("timber_scales", "timber_warn", "timber_stop"),
)
def timber_dry_enough(wall: Wall, given: Given) -> Outcome:
    """Battens and frame are dry by the wood scale before they are covered.

    Why: wet timber shrinks behind the boards, opens the joints, and feeds mould.
    Source: AS 2589:2017, 2.6.3, as quoted (18 %); EN 1995-1-1, from memory (20 %).
    """
    unlined = _unlined(wall)
    if unlined or wall.lining is None:
        return unlined or NOT_APPLICABLE
    if wall.base is None or wall.base.material is None:
        return Open("what the wall is made of", "base" if wall.base is None else "base.material")
    timber = [
        subject
        for subject, is_there in (
            (ReadOf.BATTENS, wall.lining.battens is not None),
            (ReadOf.FRAME, bool(wall.base.is_stud)),
        )
        if is_there
    ]
    if not timber:
        return NOT_APPLICABLE
    scales = given.words("timber_scales")
    judged = [
        (reading, reading.value)
        for reading in wall.readings_of(*timber)
        if reading.scale in scales and isinstance(reading.value, Ratio)
    ]
    warn, stop = given.quantity("timber_warn", Ratio), given.quantity("timber_stop", Ratio)
    reading, value = max(judged, key=lambda pair: pair[1], default=(None, warn))
    if reading is not None and not at_most(value, warn):
        too_wet = not at_most(value, stop)
        return Fail(
            f"the {reading.of} read {{measured}} on the wood scale; {{allowed}} is {'the most' if too_wet else 'dry'}",
            measured=value,
            allowed=stop if too_wet else warn,
            remedy=Remedy("let the timber dry, stacked with air between, and read it again before it is covered"),
            level=None if too_wet else Level.WARNING,
        )
    unread = [subject for subject in timber if not any(reading.of is subject for reading, _ in judged)]
    if unread:
        return Open(
            f"how dry the {unread[0]} is, on the wood scale",
            *(f"readings of {subject}" for subject in unread),
        )
    return PASS


@rule(
    "no-timber-on-damp-wall",
    judges=Wall,
    level=Level.ERROR,
    guards=HoldPoint.CLOSING_IN,
    needs=(
        "lining",
        "base",
        "base.material",
        "base.faces",
        "readings",
        "value",
        "scale",
        "battens.treated",
        "battens.isolated_by",
    ),
    reads=(
        "exposed_faces",
        "masonry_scales",
        "masonry_wood_equivalent_warn",
        "masonry_wood_equivalent_stop",
        "masonry_oven_dry_warn",
        "masonry_oven_dry_stop",
        "reading_spot",
        "timber_sheet_kinds",
    ),
    guards_life=True,
    caution=MOULD_CAUTION,
)
def no_timber_on_damp_wall(wall: Wall, given: Given) -> Outcome:
    """No timber goes on a damp wall; on masonry that may become damp only on treated battens kept off the wall.

    Why: timber in touch with damp masonry takes up its water and rots where nobody sees it.
    Source: common practice.
    """
    unlined = _unlined(wall) or _not_masonry(wall)
    if unlined or wall.lining is None:
        return unlined or NOT_APPLICABLE
    timber = _timber(wall.lining, given)
    if timber is None:
        return NOT_APPLICABLE
    unexposed = _is_unexposed(wall, given)
    if unexposed and not wall.damp and not wall.readings_of(ReadOf.WALL):
        return NOT_APPLICABLE
    wettest = _wettest(wall, given)
    if isinstance(wettest, Open | Review):
        return wettest
    reading, warn, stop = wettest
    if not at_most(reading, stop):
        return Fail(
            f"{timber} would go over a wall that reads {{measured}}; above {{allowed}} no timber goes on it",
            measured=reading,
            allowed=stop,
            remedy=Remedy("cure the damp and let the wall dry first, or choose a lining without timber"),
        )
    if unexposed and at_most(reading, warn):
        return PASS
    return _kept_off(wall.lining, timber)


def _unlined(wall: Wall) -> Outcome | None:
    """What closing-in rules answer where a wall stays as it is, or where that is not decided."""
    if wall.stays:
        return NOT_APPLICABLE
    return Open("whether and how the wall will be lined", "lining") if wall.undecided else None


def _not_masonry(wall: Wall) -> Outcome | None:
    """What rules about masonry answer where a wall is none, or where that is not recorded."""
    if wall.base is None or wall.base.is_stud is None:
        return Open("what the wall is made of", "base" if wall.base is None else "base.material")
    return NOT_APPLICABLE if wall.base.is_stud else None


def _is_glued(wall: Wall) -> bool:
    return wall.lining is not None and wall.lining.is_glued


def _is_unexposed(wall: Wall, given: Given) -> bool:
    """Whether the wall is known to face neither weather nor ground nor a neighbour."""
    return wall.faces is not None and wall.faces not in given.words("exposed_faces")


def _column_read(readings: list[Reading], where: str, given: Given) -> Outcome | None:
    """What is wrong with readings that should be low, middle and high; None where they are."""
    low, wanted = given.quantity("reading_low_height", Length), given.count("reading_heights") or 0
    heights = heights_apart(readings, given.quantity("reading_spot", Length))
    remedy = Remedy("read low, in the middle and high: near the floor, at knee height and at breast height")
    if len(heights) < wanted:
        return Fail(
            f"the wall is read at {{measured}} of {{allowed}} heights{where}",
            measured=len(heights),
            allowed=wanted,
            remedy=remedy,
        )
    if not at_most(heights[0], low):
        return Fail(
            f"no reading is low{where}: the lowest is at {{measured}}, and it takes one at {{allowed}} or below",
            measured=heights[0],
            allowed=low,
            remedy=remedy,
        )
    return None


def _columns_read(wall: Wall, readings: list[Reading], given: Given) -> Outcome:
    wanted, gap = given.count("reading_columns") or 0, given.quantity("reading_column_gap", Length)
    found = [
        (at, _column_read(column, f" {at} along", given))
        for at, column in columns(readings, given.quantity("reading_spot", Length))
    ]
    complete = [at for at, lacking in found if lacking is None]
    if len(complete) < wanted:
        lacking = next((lacking for _, lacking in found if lacking is not None), None)
        if lacking is not None and len(found) >= wanted:
            return lacking
        return Fail(
            f"the wall is {wall.length} long and is read in {{measured}} of {{allowed}} columns",
            measured=len(complete),
            allowed=wanted,
            remedy=Remedy("read the wall low, in the middle and high in a second column, near its other end"),
        )
    widest = max(zip(complete, complete[1:], strict=False), key=lambda pair: pair[1] - pair[0])
    apart = widest[1].like(widest[1] - widest[0])
    if at_most(apart, gap):
        return PASS
    return Fail(
        f"the columns of readings at {widest[0]} and {widest[1]} are {{measured}} apart; {{allowed}} is allowed",
        measured=apart,
        allowed=gap,
        remedy=Remedy("read one more column between them"),
    )


def _wettest(wall: Wall, given: Given) -> tuple[Ratio, Ratio, Ratio] | Open | Review:
    """The reading that is worst against its own scale, with the limits of that scale.

    A spot whose newest reading cannot be judged leaves the wall open, unless another spot is too wet already.
    """
    readings = wall.readings_of(ReadOf.WALL)
    if not readings:
        return Open("moisture readings of the wall", "readings")
    limits = {
        Scale.WOOD_EQUIVALENT: (
            given.quantity("masonry_wood_equivalent_warn", Ratio),
            given.quantity("masonry_wood_equivalent_stop", Ratio),
        ),
        Scale.OVEN_DRY: (
            given.quantity("masonry_oven_dry_warn", Ratio),
            given.quantity("masonry_oven_dry_stop", Ratio),
        ),
    }
    newest = newest_of_each_spot(readings, given.quantity("reading_spot", Length))
    judged = [
        (reading.value, *limits[reading.scale])
        for reading in newest
        if reading.scale in limits and isinstance(reading.value, Ratio)
    ]
    worst = max(judged, key=lambda row: row[0] / row[-1], default=None)
    if worst and not at_most(worst[0], worst[1]):
        return worst
    unjudged = [reading for reading in newest if reading.scale not in limits or not isinstance(reading.value, Ratio)]
    if not unjudged and worst:
        return worst
    first = unjudged[0]
    if first.scale in given.words("masonry_scales") and isinstance(first.value, Ratio):
        return Review(
            f"reading {first.index + 1} is {first.value} on the {first.scale} scale, for which masonry has no agreed limit",
            remedy=Remedy(
                "have someone who knows damp walls look at it, or read the spot on the wood-equivalent scale"
            ),
        )
    key = "value" if first.value is None else "scale"
    return Open(f"reading {first.index + 1} in percent on a scale that there is a limit for", first.key(key))


def _timber(lining: Lining, given: Given) -> str | None:
    """The timber of a lining in words; None where there is none."""
    kinds = given.words("timber_sheet_kinds")
    sheets = [board.name for board in lining.boards if board.kind in kinds]
    parts = [*(["battens"] if lining.battens else []), *(f"the sheet {name}" for name in sheets[:1])]
    return " and ".join(parts) or None


def _kept_off(lining: Lining, timber: str) -> Outcome:
    """Whether the timber of a lining hangs on treated battens that do not touch the wall."""
    battens = lining.battens
    remedy = Remedy("use pressure-treated battens, and set them off the wall with closed-cell foam or plastic packers")
    if battens is None:
        return Fail(f"{timber} would go on masonry that may become damp, without battens", remedy=remedy)
    isolated = battens.isolated_by is not None and battens.isolated_by.casefold() not in (
        "none",
        "nothing",
        "no",
    )
    if battens.treated is False or (battens.isolated_by is not None and not isolated):
        lacking = "not treated" if battens.treated is False else "not kept off the wall"
        return Fail(
            f"the battens of {lining.name} are {lacking}, on masonry that may become damp",
            measured=lacking,
            allowed="treated and kept off the wall",
            remedy=remedy,
        )
    missing = [
        f"{lining.place}.battens.{key}"
        for key, value in (("treated", battens.treated), ("isolated_by", battens.isolated_by))
        if value is None
    ]
    return Open("whether the battens are treated and kept off the wall", *missing) if missing else PASS


def _dates(readings: Iterable[Reading]) -> list[date]:
    return [reading.date for reading in readings if reading.date is not None]
