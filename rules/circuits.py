"""Circuits: what is fed together, by which section and colours, and whether every point is reached."""

from collections.abc import Iterator

from planlint.api import (
    CIRCUITS_CAUTION,
    NOT_APPLICABLE,
    PASS,
    SUPPLY,
    Area,
    Circuit,
    Fail,
    Given,
    HoldPoint,
    Lacking,
    Level,
    Open,
    Outcome,
    Point,
    PointKind,
    PointsFed,
    Remedy,
    Run,
    Serves,
    Set,
    Unforeseen,
    at_least,
    is_mixed,
    lights_fed,
    most_fed,
    rule,
    sockets_fed,
    spoken_use,
)

SUITS_ANY = (PointKind.SWITCH, PointKind.JUNCTION)
"""Points that belong on every circuit."""

SUITS = {
    Serves.SOCKETS: (PointKind.SOCKET,),
    Serves.LIGHTS: (PointKind.LIGHT, PointKind.FAN),
    Serves.COOKER: (PointKind.COOKER, PointKind.SOCKET),
    Serves.HEATING: (PointKind.HEATING, PointKind.SOCKET),
    Serves.LAUNDRY: (PointKind.LAUNDRY, PointKind.SOCKET),
    Serves.APPLIANCE: (PointKind.APPLIANCE, PointKind.SOCKET),
}
"""Which points suit what a circuit serves."""


@rule(
    "sockets-and-lights-apart",
    judges=Circuit,
    level=Level.ERROR,
    guards=HoldPoint.CLOSING_IN,
    needs=("serves",),
    reads=("sockets_and_lights_together",),
    caution=CIRCUITS_CAUTION,
)
def sockets_and_lights_apart(circuit: Circuit, given: Given) -> Outcome:
    """No circuit feeds both sockets and lights, and every point suits what its circuit serves.

    Why: a fault at a socket must not leave the room dark, and a lighting cable is too thin for what gets plugged in.
    Source: common practice; the limit set says where a country allows it.
    """
    together = given.choice("sockets_and_lights_together") == "allowed"
    if is_mixed(circuit) and not together:
        sockets = _names(circuit.points_of(PointKind.SOCKET), circuit.also_sockets)
        lights = _names(circuit.points_of(PointKind.LIGHT), circuit.also_lights)
        return Fail(
            f"the circuit feeds sockets ({sockets}) and lights ({lights})",
            measured="sockets and lights together",
            allowed="sockets and lights apart",
            remedy=Remedy("feed the lights from a lighting circuit, the sockets from one of their own"),
        )
    if circuit.serves is None:
        return Open("what the circuit serves", "serves")
    suited = (*SUITS_ANY, *SUITS[circuit.serves])
    if together and circuit.serves in (Serves.SOCKETS, Serves.LIGHTS):
        suited = (*SUITS_ANY, *SUITS[Serves.SOCKETS], *SUITS[Serves.LIGHTS])
    strange = [f"{point.name} ({point.kind})" for point in circuit.points if point.kind not in suited]
    elsewhere = ((PointKind.SOCKET, circuit.also_sockets), (PointKind.LIGHT, circuit.also_lights))
    strange += [f"{count} elsewhere ({kind})" for kind, count in elsewhere if count and kind not in suited]
    if strange:
        return Fail(
            f"the circuit serves {spoken_use(circuit.serves)}, but feeds {', '.join(strange)}",
            measured=", ".join(strange),
            allowed=" or ".join(SUITS[circuit.serves]),
            remedy=Remedy("feed it from a circuit that serves its kind, or correct what this one serves"),
        )
    return PASS


@rule(
    "socket-points-per-circuit",
    judges=Circuit,
    level=Level.WARNING,
    guards=HoldPoint.CLOSING_IN,
    needs=("section", "breaker.rating"),
    reads=("socket_points_per_circuit", "socket_counting", "sockets_and_lights_together"),
    caution=CIRCUITS_CAUTION,
)
def socket_points_per_circuit(circuit: Circuit, given: Given) -> Outcome:
    """A circuit feeds no more socket outlets than the limit, those elsewhere included.

    Why: every outlet invites a load; too many on one breaker and it trips, or the cable runs warm for years.
    Source: common practice; the limit set names a country's own figure.
    """
    return _not_too_many(circuit, sockets_fed(circuit, given), given)


@rule(
    "light-points-per-circuit",
    judges=Circuit,
    level=Level.WARNING,
    guards=HoldPoint.CLOSING_IN,
    needs=("section", "breaker.rating"),
    reads=("light_points_per_circuit",),
    caution=CIRCUITS_CAUTION,
)
def light_points_per_circuit(circuit: Circuit, given: Given) -> Outcome:
    """A circuit feeds no more light points than the limit, those elsewhere included.

    Why: when one breaker trips, only a part of the house should go dark.
    Source: NF C 15-100, as quoted by trade guides; the limit set names a country's own figure.
    """
    return _not_too_many(circuit, lights_fed(circuit), given)


@rule(
    "appliance-has-own-circuit",
    judges=Circuit,
    level=Level.WARNING,
    guards=HoldPoint.CLOSING_IN,
    reads=("own_circuit_kinds",),
    caution=CIRCUITS_CAUTION,
)
def appliance_has_own_circuit(circuit: Circuit, given: Given) -> Outcome:
    """A cooker, a washing machine and fixed heating each stand alone on their circuit.

    Why: they draw near the breaker's rating by themselves; with anything beside them it trips.
    Source: common practice; NF C 15-100 and other national rules say so for cooker and laundry.
    """
    own = given.words("own_circuit_kinds")
    demanding = sorted({str(point.kind) for point in circuit.points if point.kind in own})
    alone = next(iter(demanding), circuit.serves if circuit.serves in own else None)
    if alone is None:
        return NOT_APPLICABLE
    beside = [point for point in circuit.points if point.kind not in (*SUITS_ANY, *demanding[:1])]
    also = circuit.also_sockets + circuit.also_lights
    if not demanding:
        # What the circuit serves is plugged in: one of the sockets is its own.
        socket = next((point for point in beside if point.kind is PointKind.SOCKET), None)
        also -= 1 if circuit.also_sockets and not socket else 0
        beside = [point for point in beside if point is not socket]
    if not beside and not also:
        return PASS
    names = _names(beside, also)
    own_points = ", ".join(point.name for point in circuit.points if point.kind == alone)
    return Fail(
        f"{spoken_use(alone)}{f' ({own_points})' if own_points else ''} shares its circuit with {names}",
        measured=names,
        allowed="nothing beside it",
        remedy=Remedy("feed it by a circuit of its own, straight from the distribution board"),
    )


@rule(
    "conductor-section",
    judges=Circuit,
    level=Level.ERROR,
    guards=HoldPoint.CLOSING_IN,
    needs=("serves", "section"),
    reads=(
        "conductor_section_sockets",
        "conductor_section_lights",
        "conductor_section_cooker",
        "conductor_section_others",
        "sockets_and_lights_together",
    ),
    caution=CIRCUITS_CAUTION,
)
def conductor_section(circuit: Circuit, given: Given) -> Outcome:
    """The conductors of every run are at least as thick as what the circuit serves asks for.

    Why: a thin cable behind a lining gets warm where nobody feels it.
    Source: common practice; the limit set names a country's own figure.
    """
    thinnest = circuit.thinnest
    unknown = circuit.section is None and not (circuit.runs and all(run.section for run in circuit.runs))
    missing = [key for key, is_open in (("serves", circuit.serves is None), ("section", unknown)) if is_open]
    if circuit.serves is None or thinnest is None:
        return Open("what the circuit serves, or the section of its conductors", *missing)
    own = circuit.serves in (Serves.SOCKETS, Serves.LIGHTS, Serves.COOKER)
    least = given.quantity(f"conductor_section_{circuit.serves if own else 'others'}", Area)
    if is_mixed(circuit) and given.choice("sockets_and_lights_together") == "allowed":
        least = max(least, given.quantity("conductor_section_sockets", Area))
    if not at_least(thinnest, least):
        odd = next((run for run in circuit.runs if thinnest == run.section != circuit.section), None)
        return Fail(
            f"conductors of {{measured}} feed {spoken_use(circuit.serves)}; at least {{allowed}} is wanted",
            measured=thinnest,
            allowed=least,
            remedy=Remedy(
                f"pull {least} or more before the wall is closed; a smaller breaker alone is not the remedy",
                edit=Set(odd or circuit, "section", least),
            ),
            at=odd,
        )
    return Open("the section of every run", *missing) if missing else PASS


@rule(
    "conductor-colours",
    judges=Circuit,
    level=Level.ERROR,
    guards=HoldPoint.CLOSING_IN,
    needs=("conductors", "conductors.line", "conductors.neutral", "conductors.earth"),
    reads=("line_colours", "neutral_colours", "earth_colours"),
    guards_life=True,
    caution=f"{CIRCUITS_CAUTION} In old cables black, red or blue may be live: prove every wire.",
)
def conductor_colours(circuit: Circuit, given: Given) -> Outcome:
    """Each conductor has the colour of its purpose: earth green-yellow, neutral blue, line brown, black or grey.

    Why: whoever opens the box next trusts the colours, with bare hands.
    Source: IEC 60445 and HD 308 S2, as quoted; the limit set names a country's own colours.
    """
    conductors = circuit.conductors
    if conductors is None:
        return Open("the colours of the conductors", "conductors")
    used = [
        *(("line", colour, given.words("line_colours")) for colour in conductors.line),
        ("switched", conductors.switched, given.words("line_colours")),
        ("neutral", conductors.neutral, given.words("neutral_colours")),
        ("earth", conductors.earth, given.words("earth_colours")),
    ]
    wrong = [(purpose, colour, " or ".join(fit)) for purpose, colour, fit in used if colour and colour not in fit]
    if wrong:
        return Fail(
            "; ".join(f"the {purpose} wire is {colour}, and has to be {fit}" for purpose, colour, fit in wrong),
            measured=", ".join(f"{purpose} {colour}" for purpose, colour, _ in wrong),
            allowed=", ".join(f"{purpose} {fit}" for purpose, _, fit in wrong),
            remedy=Remedy(
                "change the wires over at both ends, or pull wires of the right colour; "
                "sleeve one over only where the code allows it, and never the green-yellow one"
            ),
        )
    recorded = {purpose for purpose, colour, _ in used if colour is not None}
    missing = [f"conductors.{purpose}" for purpose in ("line", "neutral", "earth") if purpose not in recorded]
    return Open("the colour of every conductor", *missing) if missing else PASS


@rule(
    "point-is-fed",
    judges=Point,
    level=Level.ERROR,
    guards=HoldPoint.CLOSING_IN,
    needs=("circuit", "chain", "from"),
    caution=CIRCUITS_CAUTION,
)
def point_is_fed(point: Point, given: Given) -> Outcome:
    """A point's circuit exists, and its runs reach the point from the supply.

    Why: a box without a cable is found when the wall is closed and the lamp stays dark.
    Source: common practice.
    """
    if point.circuit_name is None:
        return Open(f"which circuit feeds {point.name}", "circuit")
    circuit = point.circuit
    if circuit is None:
        return Fail(
            f"{point.name} is on circuit {point.circuit_name}, which the plan does not have",
            measured=point.circuit_name,
            remedy=Remedy(f"describe {point.circuit_name} under circuits, or correct the name"),
        )
    if not circuit.runs_recorded:
        return Open(f"how the cables of {circuit.name} run", f"{circuit.place}.chain")
    if point.name in circuit.fed:
        return PASS
    if point.name in circuit.perhaps_fed:
        missing = [_beginning(run) for run in circuit.runs if run.start_name is None]
        return Open(f"where a run of {circuit.name} begins that {point.name} hangs on", *dict.fromkeys(missing))
    return Fail(
        f"no run of {circuit.name} reaches {point.name} from the supply",
        remedy=Remedy(f"lay a cable to {point.name} while the wall is open, and add it to the chain or the runs"),
    )


@rule(
    "run-leads-somewhere",
    judges=Run,
    level=Level.ERROR,
    guards=HoldPoint.CLOSING_IN,
    needs=("from", "chain", "circuit"),
    caution=CIRCUITS_CAUTION,
)
def run_leads_somewhere(run: Run, given: Given) -> Outcome:
    """The two ends of a run are there and on its circuit, and it closes no loop unless the circuit is a ring.

    Why: a cable that ends behind a board, or comes back by another way, is live where nobody expects it.
    Source: common practice.
    """
    circuit = run.circuit
    for name, point in _ends(run):
        if point is None:
            where = f"from {run.start_name} " if run.start_name and name == run.end_name else ""
            unfed = [point.name for point in circuit.points if point.name not in circuit.perhaps_fed]
            meant = f"; {' and '.join(unfed[:2])} of this circuit still wants a cable" if unfed else ""
            return Fail(
                f"the run {where}leads to {name}, and the plan has no point of that name",
                measured=name,
                remedy=Remedy(f"add {name} to its wall, or correct the run{meant}"),
            )
        if point.circuit_name is None:
            return Open(f"which circuit feeds {name}", f"{point.place}.circuit")
        if point.circuit is not circuit:
            return Fail(
                f"the run of {circuit.name} leads to {name}, which is on {point.circuit_name}",
                measured=point.circuit_name,
                allowed=circuit.name,
                remedy=Remedy(f"put {name} on {circuit.name}, or lead the run elsewhere"),
            )
    if run.start_name is None:
        return Open("where this run begins", _beginning(run).removeprefix(f"{run.place}."))
    if run.start_name == run.end_name:
        return Fail(
            f"the run begins and ends at {run.end_name}",
            remedy=Remedy("correct one of its ends, or take the run out"),
        )
    if run.closes_loop and not circuit.is_ring:
        return Fail(
            f"the run from {run.start_name} to {run.end_name} closes a loop",
            remedy=Remedy("take out one of the runs, or say ring: true where the circuit is meant as a ring"),
        )
    return PASS


def _ends(run: Run) -> Iterator[tuple[str, Point | None]]:
    """The ends of a run that should be points."""
    for name, point in ((run.start_name, run.start), (run.end_name, run.end)):
        if name is not None and name != SUPPLY:
            yield name, point


def _beginning(run: Run) -> str:
    """The key that would say where a run begins."""
    return f"{run.place}.from" if run.stands_alone else f"{run.circuit.place}.chain"


def _names(points: list[Point], elsewhere: int) -> str:
    names = [point.name for point in points]
    return ", ".join([*names, f"{elsewhere} elsewhere"] if elsewhere else names)


def _not_too_many(circuit: Circuit, fed: PointsFed, given: Given) -> Outcome:
    """Whether what a circuit feeds stays within the limit on it."""
    if not fed.number:
        return NOT_APPLICABLE
    most = most_fed(circuit, fed, given)
    if isinstance(most, Lacking):
        return Open(most.what, *most.keys)
    if isinstance(most, Unforeseen):
        return Fail(
            f"no {fed.what} are foreseen on {{measured}}; it takes {{allowed}}",
            measured=most.laid,
            allowed=most.foreseen,
            remedy=Remedy("fit a smaller breaker, or pull thicker conductors before the wall is closed"),
        )
    if most.number is None or fed.number <= most.number:
        return PASS
    return Fail(
        f"the circuit feeds {{measured}} {fed.what}; {{allowed}} is the most",
        measured=fed.number,
        allowed=most.number,
        remedy=Remedy("put some of them on a second circuit while the cables can still be laid"),
    )
