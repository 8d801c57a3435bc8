"""Circuits: whether breaker, RCD, earth and conduit suit the cables as they will lie, and what is lost on the way."""

from collections.abc import Iterator

from planlint.api import (
    CIRCUITS_CAUTION,
    FIGURES,
    LIMITS_OF_BREAKERS,
    LIMITS_OF_CAPACITY,
    LIMITS_OF_CONDUIT,
    LIMITS_OF_DROP,
    LIMITS_OF_EARTH,
    LIMITS_OF_ELECTRODE,
    LIMITS_OF_LOOP,
    LIMITS_OF_LYING,
    NOT_APPLICABLE,
    PASS,
    Cable,
    Capacity,
    Circuit,
    Current,
    Earthing,
    Fail,
    Given,
    HoldPoint,
    Lacking,
    Level,
    Open,
    Outcome,
    PointKind,
    Remedy,
    Review,
    Run,
    Serves,
    Voltage,
    at_least,
    at_most,
    conduit_fill,
    derived_lying,
    earth_fault,
    electrode,
    fault_loop,
    goes_by_section,
    is_kinder,
    largest_foreseen,
    made,
    recorded_load,
    ring_of,
    rule,
    run_capacity,
    show,
    spoken,
    usual_earth,
    voltage_drop,
    wanted_capacity,
)

WET_USES = ("bathroom", "shower")
"""A room whose `use` holds one of these is a bathroom."""

WHERE_IT_LIES = ("cable", "method", "lining", "base", "material", "existing", "layers")
"""Keys that say how a cable lies."""


@rule(
    "earth-conductor-section",
    judges=Circuit,
    level=Level.ERROR,
    guards=HoldPoint.CLOSING_IN,
    needs=(
        "section",
        "supply.earthing",
        "supply.voltage",
        "supply.loop_impedance",
        "supply.earth_resistance",
        "breaker.rating",
        "breaker.curve",
    ),
    reads=LIMITS_OF_EARTH,
    guards_life=True,
    caution=CIRCUITS_CAUTION,
)
def earth_conductor_section(circuit: Circuit, given: Given) -> Outcome:
    """The earth conductor is as thick as the lines, or thick enough for every fault that may flow through it.

    Why: it carries the whole fault until the breaker trips; one that burns through leaves the metal parts live.
    Source: IEC 60364-5-54, 543.1.2 and its table, as quoted by a textbook; IEC 60364-5-52 for its k.
    """
    sections = [circuit.section, *(run.section for run in circuit.runs)]
    lines = [section for section in sections if section is not None]
    if not lines or None in sections[1:]:
        return Open("the section of the conductors, which that of the earth goes by", "section")
    thickest, earth = max(lines), circuit.earth_section
    usual = usual_earth(thickest, given)
    if earth is None or at_least(earth, usual):
        return PASS
    fault = earth_fault(circuit, given)
    if isinstance(fault, Lacking):
        return _lacking(fault)
    if not at_least(earth, fault.least):
        smallest = show(fault.smallest, FIGURES)
        return Fail(
            f"an earth conductor of {{measured}} beside lines of {thickest}, where {{allowed}} is usual: even "
            f"{smallest}, the least that may trip the breaker at once, overheats it in {fault.time}",
            measured=earth,
            allowed=usual,
            remedy=Remedy(f"pull an earth conductor of {usual} before the wall is closed"),
        )
    if fault.enough is not None and at_least(earth, fault.enough):
        return PASS
    return Review(
        f"an earth conductor of {earth} beside lines of {thickest}, where {usual} is usual; up to "
        f"{show(fault.greatest, FIGURES)} may flow at the distribution board, and only the maker's curve shows what "
        "the breaker lets through",
        remedy=Remedy(f"have an electrician look at that curve (I²t), or pull {usual}"),
    )


@rule(
    "breaker-protects-cable",
    judges=Circuit,
    level=Level.ERROR,
    guards=HoldPoint.CLOSING_IN,
    needs=("breaker.rating", "section", "chain", "supply.voltage", *WHERE_IT_LIES),
    reads=(*LIMITS_OF_CAPACITY, *LIMITS_OF_BREAKERS),
    guards_life=True,
    caution=CIRCUITS_CAUTION,
)
def breaker_protects_cable(circuit: Circuit, given: Given) -> Outcome:
    """The breaker is no larger than what the cable carries where it lies warmest, and no smaller than its loads.

    Why: the wire that stays cool in masonry gets too warm in insulation, long before its breaker trips.
    Source: IEC 60364-4-43, 433.1 (Ib ≤ In ≤ Iz), and IEC 60364-5-52, Annex B, from memory and as quoted.
    """
    rating = circuit.breaker_rating
    if rating is None:
        return Open("the rating of the breaker", "breaker.rating")
    outcome = _carried(circuit, rating, given)
    if isinstance(outcome, Fail):
        return outcome
    drawn = recorded_load(circuit, given)
    if drawn is not None and not at_most(drawn, rating):
        return Fail(
            "what it feeds draws {measured}, and the breaker is for {allowed}",
            measured=drawn,
            allowed=rating,
            remedy=Remedy("share the loads out over two circuits; a larger breaker needs a cable that carries it"),
        )
    if drawn is None and any(point.load is not None for point in circuit.points):
        return Open("the voltage of the supply, by which the current of the loads goes", "supply.voltage")
    return outcome


def _carried(circuit: Circuit, rating: Current, given: Given) -> Outcome:
    """Whether the cable carries what the breaker lets through, run by run."""
    if not circuit.runs:
        return Open("how the cables run", "chain")
    sums = [run_capacity(run, given) for run in circuit.runs]
    known = [one for one in sums if isinstance(one, Capacity)]
    wanted = wanted_capacity(circuit, rating, given)
    too_little = [one for one in known if not at_least(one.best_carried, wanted)]
    if too_little:
        return _too_little(min(too_little, key=lambda one: one.best_carried), rating, wanted, given)
    lacking = next((one for one in sums if isinstance(one, Lacking)), None)
    if lacking:
        return _lacking(lacking)
    doubtful = [one for one in known if not at_least(one.carried, wanted)]
    if doubtful:
        worst = min(doubtful, key=lambda one: one.carried)
        return Open(
            f"whether the cable to {worst.run.end_name} lies in insulation: if so it carries "
            f"{show(worst.carried, FIGURES)} ({worst.product.made_of}), else {show(worst.best_carried, FIGURES)}; "
            f"the breaker of {rating} asks for {wanted}",
            *dict.fromkeys(key for one in doubtful for key in one.lying.keys),
        )
    return PASS


def _too_little(found: Capacity, rating: Current, wanted: Current, given: Given) -> Fail:
    smaller = [size for size in made(given) if at_most(size, found.carried)]
    is_ring = wanted < rating
    breaker = f"fit a breaker of {max(smaller)} at most, or " if smaller and not is_ring else ""
    is_doubtful = not at_least(found.carried, found.best_carried)
    best = f"; at best {show(found.best_carried, FIGURES)}" if is_doubtful else ""
    # Cables that lie together warm each other only where the others carry much, and of these no load is recorded.
    perhaps = at_least(found.if_others_rest, wanted)
    doubt = ", if the circuits beside it are loaded too, which is not recorded" if perhaps else ""
    apart = ", lay it apart from the others, or record the load of each point on them" if perhaps else ""
    ring = f"a ring behind {rating} has to carry {wanted}" if is_ring else f"the breaker is for {rating}"
    return Fail(
        f"{ring}, and the cable to {found.run.end_name} carries {{allowed}}{doubt} ({found.product.made_of}{best})",
        measured=wanted,
        allowed=found.carried,
        remedy=Remedy(f"{breaker}lay a thicker cable before the wall is closed{apart}"),
        level=Level.WARNING if perhaps else None,
    )


@rule(
    "method-matches-wall",
    judges=Circuit,
    level=Level.WARNING,
    guards=HoldPoint.CLOSING_IN,
    needs=WHERE_IT_LIES,
    reads=LIMITS_OF_LYING,
    caution=CIRCUITS_CAUTION,
)
def method_matches_wall(circuit: Circuit, given: Given) -> Outcome:
    """The method that is recorded is no kinder than the walls and linings behind which the cable runs.

    Why: a method copied from the last job promises a capacity that an insulated lining takes away again.
    Source: IEC 60364-5-52, Tables A.52.3 and B.52.1, from memory.
    """
    recorded = [run for run in circuit.runs if run.method is not None and run.surfaces]
    if not recorded:
        return NOT_APPLICABLE
    if circuit.cable is None:
        return Open("what cable is laid", "cable")
    unsettled: dict[str, str] = {}
    for run in recorded:
        how = derived_lying(run, given)
        # A length in insulation that is recorded has a factor of its own.
        if run.method is None or isinstance(how, Lacking) or run.in_insulation:
            continue
        if is_kinder(run.method, how.best):
            return Fail(
                f"the cable to {run.end_name} is recorded as {spoken(run.method, circuit.cable)}, but it lies "
                f"{how.why}: that makes it {spoken(how.worst, circuit.cable)}",
                measured=run.method,
                allowed=how.worst,
                remedy=Remedy(f"record method {how.worst}, or lay the cable where there is no insulation"),
                at=run if any(other.method is not run.method for other in circuit.runs) else None,
            )
        if is_kinder(run.method, how.worst):
            unsettled |= dict.fromkeys(how.keys, how.why)
    if unsettled:
        reasons = "; ".join(dict.fromkeys(unsettled.values()))
        return Open(f"what the recorded method goes by: the cable lies {reasons}", *unsettled)
    return PASS


@rule(
    "breaker-rating-usual",
    judges=Circuit,
    level=Level.NOTE,
    guards=HoldPoint.ENERGISING,
    needs=("breaker.rating", "section"),
    reads=LIMITS_OF_BREAKERS,
    caution=CIRCUITS_CAUTION,
)
def breaker_rating_usual(circuit: Circuit, given: Given) -> Outcome:
    """The breaker's rating is one that is made, and no larger than the limit set foresees for the section.

    Why: a rating that nobody makes is a slip of the pen, and the sum that it stands in goes wrong.
    Source: IEC 60898-1, preferred ratings, as quoted; the limit set names a country's largest for each section.
    """
    rating, section = circuit.breaker_rating, circuit.thinnest
    if rating is None:
        return Open("the rating of the breaker", "breaker.rating")
    sizes = made(given)
    if not any(at_least(rating, size) and at_most(rating, size) for size in sizes):
        near = [*[size for size in sizes if size < rating][-1:], *[size for size in sizes if size > rating][:1]]
        return Fail(
            "no breaker is made for {measured}; the next are {allowed}",
            measured=str(rating),
            allowed=" and ".join(map(str, near)),
            remedy=Remedy("read the rating off the breaker, and correct the plan"),
        )
    if not goes_by_section(given) or ring_of(circuit):
        return PASS
    if section is None:
        return Open("the section of the conductors, by which the largest breaker goes", "section")
    largest = largest_foreseen(section, given)
    if largest is None or at_most(rating, largest):
        return PASS
    return Fail(
        f"a breaker of {{measured}} on {section}, where {{allowed}} is the largest that is foreseen",
        measured=rating,
        allowed=largest,
        remedy=Remedy("fit the smaller breaker, or lay thicker conductors"),
    )


@rule(
    "voltage-drop",
    judges=Circuit,
    level=Level.WARNING,
    guards=HoldPoint.CLOSING_IN,
    needs=("supply.voltage", "breaker.rating", "serves", "section", "chain", "from", "lengths", "length"),
    reads=LIMITS_OF_DROP,
    caution=CIRCUITS_CAUTION,
)
def voltage_drop_within_limit(circuit: Circuit, given: Given) -> Outcome:
    """No more of the voltage is lost on the way to the worst point than the limit.

    Why: lamps flicker, motors run warm, and the lost part heats the cable; on a long run only a thicker one helps.
    Source: IEC 60364-5-52, Annex G, as quoted by a textbook and a handbook.
    """
    drop = voltage_drop(circuit, given)
    if isinstance(drop, Lacking):
        return _lacking(drop)
    if at_most(drop.share, drop.allowed):
        return PASS
    drawn = (
        "what its points draw"
        if drop.by_loads
        else f"the breaker's {circuit.breaker_rating} drawn at the far end, as not every load is recorded"
    )
    return Fail(
        f"{{measured}} of the voltage is lost on the way to {drop.point}, and {{allowed}} is the most: "
        f"{show(drop.volts, FIGURES)} over {drop.made_of}, with {drawn}",
        measured=drop.share,
        allowed=drop.allowed,
        remedy=Remedy("lay thicker conductors, take a shorter way, or share the points out over two circuits"),
    )


@rule(
    "earth-fault-disconnection",
    judges=Circuit,
    level=Level.ERROR,
    guards=HoldPoint.ENERGISING,
    needs=(
        "supply.earthing",
        "supply.voltage",
        "supply.loop_impedance",
        "supply.earth_resistance",
        "breaker.rating",
        "breaker.curve",
        "rcd",
        "section",
        "chain",
        "from",
        "lengths",
        "length",
    ),
    reads=(*LIMITS_OF_LOOP, *LIMITS_OF_ELECTRODE),
    guards_life=True,
    caution=CIRCUITS_CAUTION,
)
def earth_fault_disconnection(circuit: Circuit, given: Given) -> Outcome:
    """A fault to earth at the farthest point draws enough current to be switched off at once.

    Why: until then every metal part that the fault touches is live.
    Source: IEC 60364-4-41, 411.4.4 (TN, Zs ≤ Cmin·U0/Ia) and 411.5.3 (TT, RA·IΔn ≤ 50 V), from memory and as quoted.
    """
    earthing = circuit.supply.earthing
    if earthing is None:
        return Open("how the supply is earthed", "supply.earthing")
    if earthing is Earthing.TT:
        return _cleared_by_rcd(circuit, given)
    loop = fault_loop(circuit, given)
    if isinstance(loop, Lacking):
        return _lacking(loop)
    if at_most(loop.impedance, loop.allowed):
        return PASS
    breaker = f"a breaker of {circuit.breaker_rating}, curve {circuit.curve},"
    if circuit.has_rcd is None:
        return Open(
            f"whether an RCD stands before the circuit: a fault to earth at {loop.point} meets "
            f"{show(loop.impedance, FIGURES)}, and {breaker} trips at once up to {show(loop.allowed, FIGURES)} only",
            "rcd",
        )
    only = f"; only its RCD of {circuit.rcd} clears such a fault" if circuit.has_rcd else ", and there is no RCD"
    return Fail(
        f"a fault to earth at {loop.point} meets {{measured}}, and {breaker} trips at once up to {{allowed}} "
        f"only{only} ({circuit.supply.loop_impedance} at the distribution board, then warm wires: {loop.made_of}; it "
        f"trips for certain from {loop.trips_at})",
        measured=loop.impedance,
        allowed=loop.allowed,
        remedy=Remedy("lay thicker conductors or take a shorter way, or have an electrician choose another breaker"),
        level=Level.WARNING if circuit.has_rcd else None,
    )


def _cleared_by_rcd(circuit: Circuit, given: Given) -> Outcome:
    """Whether an RCD switches a fault off on a TT supply before metal parts reach the touch voltage."""
    if circuit.has_rcd is False:
        return Fail(
            "there is no RCD, and on a TT supply a fault to earth does not draw enough to trip the breaker",
            measured="none",
            allowed="an RCD",
            remedy=Remedy("have an RCD put before the circuit, and record the current at which it trips"),
        )
    found = electrode(circuit, given)
    if isinstance(found, Lacking):
        return _lacking(found)
    if at_most(found.resistance, found.allowed):
        return PASS
    touch = given.quantity("touch_voltage", Voltage)
    return Fail(
        f"the earth electrode has {{measured}}, and with an RCD of {found.rcd} it may have {{allowed}} at most: "
        f"above that, metal parts may stand at more than {touch}",
        measured=found.resistance,
        allowed=found.allowed,
        remedy=Remedy("have the earth electrode improved, or an RCD fitted that trips at less"),
    )


@rule(
    "rcd-protects",
    judges=Circuit,
    level=Level.ERROR,
    guards=HoldPoint.ENERGISING,
    needs=("rcd", "serves", "use"),
    reads=("rcd_current",),
    guards_life=True,
    caution=CIRCUITS_CAUTION,
)
def rcd_protects(circuit: Circuit, given: Given) -> Outcome:
    """An RCD that trips at no more than the limit stands before sockets, lights and all that is in a bathroom.

    Why: it switches off when the current goes through a person, which no breaker notices.
    Source: IEC 60364-4-41, 411.3.3 and 411.3.4, and IEC 60364-7-701, as quoted; the IEC text of 2005 from memory.
    """
    most, rcd = given.quantity("rcd_current", Current), circuit.rcd
    suits = rcd is not None and at_most(rcd, most)
    fed = list(_wanting_rcd(circuit))
    if not fed:
        unknown = [f"{point.on.room.place}.use" for point in circuit.points if point.on.room.use is None]
        missing = [*(["serves"] if circuit.serves is None else []), *dict.fromkeys(unknown)]
        if missing and not suits:
            return Open("whether the circuit feeds sockets, lights or a bathroom", *missing)
        return NOT_APPLICABLE
    if suits:
        return PASS
    what = " and ".join(fed)
    if circuit.has_rcd is None:
        return Open(f"the RCD before a circuit that feeds {what}", "rcd")
    return Fail(
        f"the circuit feeds {what}, and its RCD trips at {{measured}}; {{allowed}} is the most"
        if rcd is not None
        else f"the circuit feeds {what}, and no RCD stands before it; one of {{allowed}} or less is wanted",
        measured=rcd or "none",
        allowed=most,
        remedy=Remedy(f"have an RCD of {most} put before it, and test it with its button"),
    )


def _wanting_rcd(circuit: Circuit) -> Iterator[str]:
    """What a circuit feeds that wants an RCD."""
    if circuit.serves is Serves.SOCKETS or circuit.also_sockets or circuit.points_of(PointKind.SOCKET):
        yield "sockets"
    if circuit.serves is Serves.LIGHTS or circuit.also_lights or circuit.points_of(PointKind.LIGHT):
        yield "lights"
    rooms = {point.on.room for point in circuit.points}
    for room in sorted(rooms, key=lambda room: room.place):
        if room.use and any(word in room.use.casefold() for word in WET_USES):
            yield f"a bathroom ({room.place})"


@rule(
    "conduit-not-overfull",
    judges=Run,
    level=Level.WARNING,
    guards=HoldPoint.CLOSING_IN,
    needs=("cable", "conduit.bore", "section"),
    reads=LIMITS_OF_CONDUIT,
    caution=CIRCUITS_CAUTION,
)
def conduit_not_overfull(run: Run, given: Given) -> Outcome:
    """The wires of a run take up no more of their conduit than the limit, and three of them cannot jam in it.

    Why: wires that are forced through a full conduit lose their insulation at the bends, where nobody sees it.
    Source: common practice (a third of the bore); NEC, Chapter 9, note to Table 1, as quoted, for three wires.
    """
    if run.circuit.cable is Cable.MULTICORE:
        return NOT_APPLICABLE
    if run.circuit.cable is None:
        return Open("whether single wires lie in a conduit", f"{run.circuit.place}.cable")
    fill = conduit_fill(run, given)
    if isinstance(fill, Lacking):
        return _lacking(fill)
    larger = Remedy(f"lay a conduit with a bore of {show(fill.least_bore, FIGURES)} or more before the wall is closed")
    if not at_most(fill.share, fill.allowed):
        return Fail(
            f"{fill.made_of} take up {{measured}} of it; {{allowed}} is the most",
            measured=fill.share,
            allowed=fill.allowed,
            remedy=larger,
        )
    if fill.jams:
        return Fail(
            f"{fill.made_of}: the bore is {{measured}} of a wire's diameter, and between {{allowed}} three wires lie "
            "down side by side in a bend and jam",
            measured=str(fill.jam_ratio),
            allowed=fill.jam_band,
            remedy=larger,
        )
    return PASS


def _lacking(found: Lacking) -> Open | Review:
    """What a sum lacks is open where a key would help; else a person has to look."""
    if found.keys:
        return Open(found.what, *found.keys)
    return Review(
        f"this cannot be worked out here: {found.what}",
        remedy=Remedy("have an electrician do this sum, or correct the figure"),
    )
