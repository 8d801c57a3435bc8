"""Baths and showers: what stands clear of the zones around them."""

from planlint.api import (
    LIMITS_OF_BATH,
    LIMITS_OF_USES,
    NOT_APPLICABLE,
    PASS,
    Fail,
    Fixture,
    Given,
    HoldPoint,
    Lacking,
    Length,
    Level,
    NearBath,
    Open,
    Outcome,
    Point,
    Remedy,
    Review,
    Run,
    Stretch,
    Voltage,
    at_least,
    at_most,
    is_bathroom,
    near_bath,
    outcome_of,
    rule,
    wet_fixtures,
    zone_behind,
)

BATH_CAUTION = (
    "Water and bare skin make any fault far more dangerous. The circuits here also want an RCD, which rcd-protects "
    "looks at, and bonding. In many places a bathroom's wiring is for licensed people and has to be notified: the "
    "local code decides. Partitions, the space under a bath and what lies behind its wall are not looked at here."
)
"""What is said beside every finding about wiring near a bath or shower."""


@rule(
    "point-clear-of-bath",
    judges=Point,
    level=Level.ERROR,
    guards=HoldPoint.CLOSING_IN,
    needs=(
        "at",
        "height",
        "ip",
        "wall",
        "width",
        "depth",
        "tray",
        "outlet_height",
        "length",
        "then",
        "lining",
        "layers",
        "build_up",
        "use",
        "fixtures",
    ),
    reads=(*LIMITS_OF_BATH, *LIMITS_OF_USES, "bath_zone_points", "bath_extra_low_voltage", "bath_distance"),
    guards_life=True,
    caution=BATH_CAUTION,
)
def point_clear_of_bath(point: Point, given: Given) -> Outcome:
    """A point stands outside zones 0, 1 and 2 of every bath and shower, and as far away as the country asks.

    Why: a wet body conducts well, and whoever stands in a bath can reach 0.60 m without thinking.
    Source: IEC 60364-7-701 as quoted; the distances of countries as their limit sets say.
    """
    room = point.on.room
    fixtures = wet_fixtures(room)
    if fixtures:
        outcomes = [_beside(point, fixture, given) for fixture in fixtures]
        worst = (kind for kind in (Fail, Open, Review) for outcome in outcomes if isinstance(outcome, kind))
        wanted = next(worst, None)
        return next((outcome for outcome in outcomes if wanted and isinstance(outcome, wanted)), PASS)
    bathing = is_bathroom(room, given)
    if bathing is None:
        return Open("what the room is for, and so whether a bath or shower is near", f"{room.place}.use")
    if not bathing:
        return NOT_APPLICABLE
    return Open("where the bath or shower stands", f"{room.place}.fixtures")


@rule(
    "run-clear-of-bath",
    judges=Run,
    level=Level.WARNING,
    guards=HoldPoint.CLOSING_IN,
    needs=("depth", "wall", "at", "width", "tray", "length", "then", "lining", "build_up"),
    reads=(*LIMITS_OF_BATH, "bath_cable_depth"),
    caution=BATH_CAUTION,
)
def run_clear_of_bath(run: Run, given: Given) -> Outcome:
    """A cable whose way is drawn lies deep enough behind the zones of a bath or shower, or feeds what stands in them.

    Why: a grab rail or a soap dish is screwed to just that wall, by somebody with wet feet later on.
    Source: IEC 60364-7-701, edition of 2019, the 6 cm as quoted and the rule from memory; only a drawn way is judged.
    """
    stretches = run.drawn.stretches if run.drawn else ()
    beside = [(stretch, fixture) for stretch in stretches for fixture in wet_fixtures(stretch.wall.room)]
    if not beside:
        return NOT_APPLICABLE
    outcomes = [_behind(run, stretch, fixture, given) for stretch, fixture in beside]
    return next((one for kind in (Fail, Open, Review) for one in outcomes if isinstance(one, kind)), PASS)


def _behind(run: Run, stretch: Stretch, fixture: Fixture, given: Given) -> Outcome:
    zone = zone_behind(stretch, fixture, given)
    if isinstance(zone, Lacking):
        return outcome_of(zone)
    if zone is None or any(point and _stands_in(point, fixture, given) for point in (run.start, run.end)):
        return PASS
    what, least = (
        f"the cable to {run.end_name}, behind zone {zone} of {fixture.name}",
        given.quantity("bath_cable_depth", Length),
    )
    if run.depth is None:
        return Open(f"how deep {what}, lies in {stretch.wall.name}", f"{run.place}.depth")
    if at_least(run.depth, least):
        return PASS
    return Fail(
        f"{what}, lies {{measured}} deep in {stretch.wall.name}; one that feeds nothing there lies {{allowed}} or more",
        measured=run.depth,
        allowed=least,
        remedy=Remedy("lay it outside of the zones or deeper, or have a licensed electrician say what guards it there"),
    )


def _stands_in(point: Point, fixture: Fixture, given: Given) -> bool:
    near = near_bath(point, fixture, given) if point.on.room is fixture.room else None
    return isinstance(near, NearBath) and near.zone is not None


def _beside(point: Point, fixture: Fixture, given: Given) -> Outcome:
    near = near_bath(point, fixture, given)
    if isinstance(near, Lacking):
        return outcome_of(near)
    if point.voltage is not None and at_most(point.voltage, given.quantity("bath_extra_low_voltage", Voltage)):
        return PASS if near.zone is None else _low_voltage(point, near)
    if near.zone is not None:
        return _in_zone(point, near, near.zone, given)
    if near.perhaps is not None and _in_zone(point, near, near.perhaps, given) is not PASS:
        return Open(f"how high the highest water outlet of {fixture.name} is", f"{fixture.place}.outlet_height")
    wanted = next((row["distance"] for row in given.table("bath_distance") or () if row["kind"] == point.kind), None)
    if not isinstance(wanted, Length) or at_least(near.apart, wanted):
        return PASS
    return Fail(
        f"{point.name} would be {{measured}} from zone 1 of {fixture.name}; a {point.kind} keeps {{allowed}} away",
        measured=near.apart,
        allowed=wanted,
        remedy=Remedy(f"move it to {wanted} or more from the edge of zone 1, or out of the room"),
    )


def _low_voltage(point: Point, near: NearBath) -> Outcome:
    return Review(
        f"{point.name}, for {point.voltage}, stands in zone {near.zone} of {near.fixture.name}: a person has to see "
        "that it is extra-low voltage from a safety source (SELV) which stands outside the zones",
        remedy=Remedy("have a licensed electrician look, and record it under reviews"),
    )


def _in_zone(point: Point, near: NearBath, zone: int, given: Given) -> Outcome:
    where = f"zone {zone} of {near.fixture.name}"
    rows = given.table("bath_zone_points") or ()
    row = next((row for row in rows if (row["zone"], row["kind"]) == (zone, point.kind)), None)
    if row is None:
        return _misplaced(point, near, where, given)
    water = _water_figure(point.ip)
    if water is None:
        return Open(f"how {point.name}, in {where}, withstands water", "ip")
    wanted = f"IPX{row['water']}"
    if not at_least(water, int(row["water"])):
        return Fail(
            f"{point.name} stands in {where} and is {{measured}}; {{allowed}} is the least there",
            measured=point.ip,
            allowed=wanted,
            remedy=Remedy(
                f"take a fitting of {wanted} or more that its maker allows there, or move it out of the zone"
            ),
        )
    if row["suits"] == "by-itself":
        return PASS
    return Review(
        f"{point.name} ({point.ip}) stands in {where}, where only fixed equipment that is made for it may be",
        remedy=Remedy("see what its maker says of that zone, have a licensed electrician look, and record it"),
    )


def _misplaced(point: Point, near: NearBath, where: str, given: Given) -> Fail:
    """What is said of a point that may not be in the zone in which it is: how far it is from getting out of it."""
    away = Remedy("move it out of zones 0 to 2, or have a licensed electrician plan another way")
    would = f"{point.name} would sit in {where}"
    if near.from_outlet is not None:
        reach = near.from_outlet.like(given.quantity("shower_outlet_reach", Length))
        message = f"{would}, {{measured}} from its water outlet; {{allowed}} is the least"
        return Fail(message, measured=near.from_outlet, allowed=reach, remedy=away)
    if near.apart:
        beyond = near.apart.like(given.quantity("bath_zone_two", Length))
        message = f"{would}, {{measured}} from its edge; {{allowed}} is the least"
        return Fail(message, measured=near.apart, allowed=beyond, remedy=away)
    return Fail(
        f"{would}: its lower edge is {{measured}} above the finished floor, and the zone reaches up to {{allowed}}",
        measured=near.low,
        allowed=near.top,
        remedy=away,
    )


def _water_figure(code: str | None) -> int | None:
    """The second figure of a degree of protection, which is the one for water: 4 of IPX4 and of IP44."""
    second = (code or "").upper().removeprefix("IP")[1:2]
    return int(second) if second.isdigit() else None
