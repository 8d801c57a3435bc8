"""How damp a wall and its timber are: the worst spot, held against the limits of the scale that it was read on."""

from collections.abc import Collection, Iterable
from dataclasses import replace

from planlint.formulas.moisture import meter_temperature_correction
from planlint.model.readings import Judged, Reading, lacking, newest_of_each_spot, same_spot, worst_of
from planlint.model.rooms import Wall
from planlint.model.words import ReadOf, Salts, Scale
from planlint.records import Level
from planlint.rule import Fail, Given, Open, Remedy, Review
from planlint.sums.lined import faces_key
from planlint.units import Length, Ratio, Temperature

LIMITS_BY_SCALE = {
    Scale.WOOD_EQUIVALENT: ("masonry_wood_equivalent_warn", "masonry_wood_equivalent_stop"),
    Scale.OVEN_DRY: ("masonry_oven_dry_warn", "masonry_oven_dry_stop"),
}
LIMITS_OF_DAMPNESS = ("masonry_scales", "reading_spot", *(name for pair in LIMITS_BY_SCALE.values() for name in pair))
ELECTRICAL = (Scale.WOOD_EQUIVALENT,)
"""The scales with limits for masonry on which salts read like water."""

METER_CALIBRATED_AT = Temperature(293.15, "°C")
"""The temperature of the wood at which a pin meter's wood scale is right."""
_WOOD_SCALE = (0.07, 0.30)
"""Where the wood scale means percent of the dry mass, and its correction is known."""


Dampness = tuple[Judged | None, Open | Review | None]
"""The reading that is worst against its own scale, and what stands in the way of judging others."""


def wettest(wall: Wall, given: Given, *, salts_excuse: bool = True) -> Dampness:
    """How damp a wall of masonry is.

    Where salts are recorded a high reading of an electrical meter is for a person to look at, unless `salts_excuse`
    is off; a sample of the same spot and day that was dried in an oven takes its place.
    """
    return given.once(("wettest", wall, salts_excuse), lambda: _wettest(wall, given, salts_excuse=salts_excuse))


def _wettest(wall: Wall, given: Given, *, salts_excuse: bool) -> Dampness:
    spot = given.quantity("reading_spot", Length)
    newest = newest_of_each_spot(wall.readings_of(ReadOf.WALL), spot, given.today)
    if not newest:
        return None, Open("how damp the wall is", *(["readings"] if wall.faces else [faces_key(wall), "readings"]))
    limits = {
        scale: (given.quantity(warn, Ratio), given.quantity(stop, Ratio))
        for scale, (warn, stop) in LIMITS_BY_SCALE.items()
    }
    lifted: list[Reading] = []
    if wall.salts:
        newest = [one for one in newest if one.scale not in ELECTRICAL or not _is_sampled(one, newest, spot)]
        high = (one for one in newest if one.scale in ELECTRICAL and _is_damp(one, limits))
        lifted = list(high) if salts_excuse else []
    worst, others = worst_of([one for one in newest if one not in lifted], limits)
    remedy = Remedy("have someone who knows damp walls look at it, or read the spot on the wood-equivalent scale")
    unjudged = without_limit(others, given.words("masonry_scales"), "masonry", remedy)
    if lifted and wall.salts and not isinstance(unjudged, Open):
        highest, _ = worst_of(lifted, limits)
        unjudged = _salty(highest, wall.salts) if highest else unjudged
    return worst, unjudged


def without_limit(
    readings: Iterable[Reading], scales: Collection[str], of: str, remedy: Remedy
) -> Open | Review | None:
    """What is said of readings that no limit judged: open, or for a person to look at on one of these `scales`."""
    others = list(readings)
    missing = lacking(others, "scale", "value")
    if not missing and any(one.scale not in scales for one in others):
        missing = ["readings"]
    if missing:
        return Open(f"how damp every spot is, on a scale that {of} has a limit for", *missing)
    if not others:
        return None
    says = f"{others[0].called} is {others[0].value} on the {others[0].scale} scale"
    return Review(f"{says}; for {of} no limit is agreed on it", remedy=remedy)


def at_calibration(reading: Reading) -> Reading | None:
    """A reading of timber as the meter would show it in wood of 20 °C; as it is where no temperature is recorded.

    Pins in masonry are left alone: the correction is known for wood. None where the wood was colder or warmer than
    the correction is known for.
    """
    if reading.temperature is None or reading.scale is not Scale.WOOD or not isinstance(reading.value, Ratio):
        return reading
    low, high = _WOOD_SCALE
    try:
        correction = meter_temperature_correction(min(max(reading.value, low), high), reading.temperature)
    except ValueError:
        return None
    return replace(reading, value=reading.value.like(max(0.0, reading.value + correction)))


def too_damp(says: str, worst: Judged, remedy: Remedy) -> Fail:
    """Fail by the value above which nothing is closed in, or with a warning by the one above which it is damp.

    `says` is what reads `{measured}`.
    """
    damp = "" if worst.is_wet else f" is damp, and more than {worst.stop}"
    allowed, level = (worst.stop, Level.ERROR) if worst.is_wet else (worst.warn, Level.WARNING)
    message = f"{says}; more than {{allowed}}{damp} must not be closed in"
    return Fail(message, measured=worst.value, allowed=allowed, remedy=remedy, level=level)


def _faces_key(wall: Wall) -> str:
    return wall.base.key("faces") if wall.base else "base"


def _is_damp(reading: Reading, limits: dict[Scale, tuple[Ratio, Ratio]]) -> bool:
    judged, _ = worst_of([reading], limits)
    return judged is not None and judged.is_damp


def _is_sampled(reading: Reading, readings: list[Reading], spot: float) -> bool:
    """Whether a sample of the same spot was taken on the same day, and weighed before and after the oven."""
    samples = (one for one in readings if one.scale is Scale.OVEN_DRY and isinstance(one.value, Ratio))
    return any(
        one.date == reading.date is not None and same_spot(one, reading, spot) and one.reaches(reading)
        for one in samples
    )


def _salty(highest: Judged, salts: Salts) -> Review:
    known = "a test found salts in the wall" if salts is Salts.TESTED else "salts are suspected in the wall"
    where = f" at {highest.reading.where}" if highest.reading.where else ""
    remedy = Remedy(
        "have a sample of that spot dried in an oven, and the water that salts draw from the air told from the rest"
    )
    return Review(
        f"the meter reads {highest.value}{where}, and more than {highest.warn} is damp; {known}, and salts alone can "
        "lift a meter so far",
        remedy=remedy,
    )
