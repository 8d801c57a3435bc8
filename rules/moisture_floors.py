"""Moisture: a screed is dry enough before a floor is laid on it."""

from dataclasses import replace

from planlint.api import (
    NOT_APPLICABLE,
    PASS,
    Fail,
    Floor,
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
    Screed,
    newest_of_each_spot,
    rule,
    without_limit,
    worst_of,
)

SCREED_LIMITS = {
    (Screed.CEMENT, False): "screed_cement",
    (Screed.CEMENT, True): "screed_cement_heated",
    (Screed.CALCIUM_SULPHATE, False): "screed_calcium_sulphate",
    (Screed.CALCIUM_SULPHATE, True): "screed_calcium_sulphate_heated",
}

SCREEDING = "screed"


@rule(
    "screed-dry-enough",
    judges=Floor,
    level=Level.ERROR,
    guards=HoldPoint.FLOORING,
    needs=("screed", "heated", "readings", "value", "scale"),
    reads=("screed_scales", *SCREED_LIMITS.values(), "screed_air_humidity", "screed_heated_points", "reading_spot"),
    caution="A carbide test makes a gas that burns: open the bottle in the open air, away from any flame or spark.",
)
def screed_dry_enough(floor: Floor, given: Given) -> Outcome:
    """The wettest test of a screed is within what its kind may hold when a floor is laid on it.

    Why: the water that is left in a screed lifts floors, dissolves their glue and swells timber, months later.
    Source: carbide limits of the German flooring trades, as quoted; BS 8203, as quoted (humidity of the air).
    """
    readings = [replace(one, of=ReadOf.SCREED) for one in floor.readings if one.of in (ReadOf.SCREED, ReadOf.WALL)]
    if not (floor.screed or readings or any(task.kind == SCREEDING for task in floor.tasks)):
        return NOT_APPLICABLE
    newest = newest_of_each_spot(readings, given.quantity("reading_spot", Length), given.today)
    if not newest:
        return Open("how dry the screed is", "readings")
    worst, others = worst_of(newest, _limits(floor, given))
    if worst and worst.is_wet:
        remedy = Remedy("let the screed dry, with the room aired, and test it again before the floor goes down")
        says = f"{worst.reading.called} of the screed is {{measured}} on the {worst.reading.scale} scale"
        says = f"{says}; {_kind(floor, worst.reading)} takes a floor at {{allowed}} or less"
        return Fail(says, measured=worst.value, allowed=worst.stop, remedy=remedy)
    if worst and worst.is_damp:
        unknown = {"screed": "what the screed is made of"} if floor.screed is None else {}
        unknown |= {"heated": "whether the screed is heated"} if floor.heated is None else {}
        return Open(f"{' and '.join(unknown.values())}, and so how dry it has to be", *unknown)
    remedy = Remedy("have someone who lays floors look at it, or test the screed with carbide")
    return without_limit(others, given.words("screed_scales"), "screed", remedy) or _tested_enough(floor, newest, given)


def _limits(floor: Floor, given: Given) -> dict[Scale, tuple[Ratio, Ratio]]:
    """From which value on a screed may be, and from which it is, too wet: they differ where its kind is not known."""
    carbide = [
        given.quantity(name, Ratio)
        for (screed, is_heated), name in SCREED_LIMITS.items()
        if floor.screed in (screed, None) and floor.heated in (is_heated, None)
    ]
    humidity = given.quantity("screed_air_humidity", Ratio)
    return {Scale.CARBIDE: (min(carbide), max(carbide)), Scale.AIR_HUMIDITY: (humidity, humidity)}


def _kind(floor: Floor, reading: Reading) -> str:
    """What is said of the screed beside the limit of a scale."""
    if reading.scale is not Scale.CARBIDE:
        return "any screed"
    heated = {True: "a heated", False: "an unheated", None: "a"}[floor.heated]
    return f"{heated} {floor.screed} screed" if floor.screed else f"{heated} screed of any kind"


def _tested_enough(floor: Floor, newest: list[Reading], given: Given) -> Outcome:
    """Whether a heated screed was tested at as many points as it takes."""
    wanted = given.count("screed_heated_points") or 0
    if not floor.heated or len(newest) >= wanted:
        return PASS
    remedy = Remedy("test it at one more of the points that were marked when the screed was laid, clear of the pipes")
    says = "the heated screed is tested at {measured} of the {allowed} points that it takes"
    return Fail(says, measured=len(newest), allowed=wanted, remedy=remedy, level=Level.WARNING)
