"""Circuits: whether a fault to earth is cleared: the earth conductor, the loop, and the RCD."""

from collections.abc import Iterator

from planlint.api import (
    CIRCUITS_CAUTION,
    FIGURES,
    LIMITS_OF_EARTH,
    LIMITS_OF_ELECTRODE,
    LIMITS_OF_LOOP,
    LIMITS_OF_USES,
    NOT_APPLICABLE,
    PASS,
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
    Serves,
    Voltage,
    at_least,
    at_most,
    earth_fault,
    electrode,
    fault_loop,
    is_bathroom,
    outcome_of,
    rule,
    show,
    usual_earth,
)


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
        return outcome_of(fault)
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
        return outcome_of(loop)
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
        return outcome_of(found)
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
    reads=("rcd_current", *LIMITS_OF_USES),
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
    fed = list(_wanting_rcd(circuit, given))
    if not fed:
        rooms = (point.on.room for point in circuit.points)
        unknown = [f"{room.place}.use" for room in rooms if is_bathroom(room, given) is None]
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


def _wanting_rcd(circuit: Circuit, given: Given) -> Iterator[str]:
    """What a circuit feeds that wants an RCD."""
    if circuit.serves is Serves.SOCKETS or circuit.also_sockets or circuit.points_of(PointKind.SOCKET):
        yield "sockets"
    if circuit.serves is Serves.LIGHTS or circuit.also_lights or circuit.points_of(PointKind.LIGHT):
        yield "lights"
    rooms = {point.on.room for point in circuit.points}
    for room in sorted(rooms, key=lambda room: room.place):
        if is_bathroom(room, given):
            yield f"a bathroom ({room.place})"
