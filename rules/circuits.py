"""Circuits: what is fed together, by which section and colours, and whether every point is reached."""

from collections.abc import Iterator

from planlint.api import (
    NOT_APPLICABLE,
    PASS,
    SUPPLY,
    Area,
    Circuit,
    Fail,
    Given,
    HoldPoint,
    Level,
    Open,
    Outcome,
    Point,
    PointKind,
    Remedy,
    Run,
    Serves,
    at_least,
    at_most,
    rule,
)

CAUTION = (
    "Work on circuits only when they are dead and proved dead; in many places fixed wiring is licensed work, "
    "and the local code decides."
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
    caution=CAUTION,
)
def sockets_and_lights_apart(circuit: Circuit, given: Given) -> Outcome:
    """No circuit feeds both sockets and lights, and every point suits what its circuit serves.

    Why: a fault at a socket must not leave the room dark, and a lighting cable is too thin for what gets plugged in.
    Source: common practice; the limit set says where a country allows it.
    """
    together = given.choice("sockets_and_lights_together") == "allowed"
    sockets, lights = circuit.points_of(PointKind.SOCKET), circuit.points_of(PointKind.LIGHT)
    if (sockets or circuit.also_sockets) and (lights or circuit.also_lights) and not together:
        fed = f"{_names(sockets, 'sockets elsewhere')} (sockets) and {_names(lights, 'lights elsewhere')} (lights)"
        return Fail(
            f"the circuit feeds {fed}",
            measured="sockets and lights together",
            allowed="sockets and lights apart",
            remedy=Remedy("feed the lights from a lighting circuit, the sockets from one of their own"),
        )
    if circuit.serves is None:
        return Open("what the circuit serves", "serves")
    suited = (*SUITS_ANY, *SUITS[circuit.serves])
    if together and circuit.serves in (Serves.SOCKETS, Serves.LIGHTS):
        suited = (*SUITS_ANY, *SUITS[Serves.SOCKETS], *SUITS[Serves.LIGHTS])
    strange = [point for point in circuit.points if point.kind not in suited]
    if strange:
        first = strange[0]
        return Fail(
            f"the circuit serves {circuit.serves}, and {first.name} on it is a {first.kind}",
            measured=first.kind,
            allowed=" or ".join(SUITS[circuit.serves]),
            remedy=Remedy(f"put {first.name} on a circuit that serves its kind, or correct what this one serves"),
        )
    return PASS


@rule(
    "socket-points-per-circuit",
    judges=Circuit,
    level=Level.WARNING,
    guards=HoldPoint.CLOSING_IN,
    needs=("section", "breaker.rating"),
    reads=("socket_points_per_circuit", "socket_counting"),
    caution=CAUTION,
)
def socket_points_per_circuit(circuit: Circuit, given: Given) -> Outcome:
    """A circuit feeds no more socket outlets than the limit, those elsewhere included.

    Why: every outlet invites a load; too many on one breaker and it trips, or the cable runs warm for years.
    Source: common practice; the limit set names a country's own figure.
    """
    sockets = circuit.points_of(PointKind.SOCKET)
    by_outlet = given.choice("socket_counting") == "outlets"
    outlets = sum(point.outlets if by_outlet else 1 for point in sockets) + circuit.also_sockets
    return _not_too_many(
        circuit,
        outlets,
        "socket outlets" if by_outlet else "socket plates",
        "socket_points_per_circuit",
        given,
    )


@rule(
    "light-points-per-circuit",
    judges=Circuit,
    level=Level.WARNING,
    guards=HoldPoint.CLOSING_IN,
    needs=("section", "breaker.rating"),
    reads=("light_points_per_circuit",),
    caution=CAUTION,
)
def light_points_per_circuit(circuit: Circuit, given: Given) -> Outcome:
    """A circuit feeds no more light points than the limit, those elsewhere included.

    Why: when one breaker trips, only a part of the house should go dark.
    Source: NF C 15-100, as quoted by trade guides; the limit set names a country's own figure.
    """
    lights = len(circuit.points_of(PointKind.LIGHT)) + circuit.also_lights
    return _not_too_many(circuit, lights, "light points", "light_points_per_circuit", given)


@rule(
    "appliance-has-own-circuit",
    judges=Circuit,
    level=Level.WARNING,
    guards=HoldPoint.CLOSING_IN,
    reads=("own_circuit_kinds",),
    caution=CAUTION,
)
def appliance_has_own_circuit(circuit: Circuit, given: Given) -> Outcome:
    """A cooker, a washing machine and fixed heating each stand alone on their circuit.

    Why: they draw near the breaker's rating by themselves; with anything beside them it trips.
    Source: common practice; NF C 15-100 and other national rules say so for cooker and laundry.
    """
    own = given.words("own_circuit_kinds")
    kinds = {point.kind for point in circuit.points if point.kind not in SUITS_ANY}
    demanding = sorted(kind for kind in kinds if kind in own)
    if not demanding and circuit.serves not in own:
        return NOT_APPLICABLE
    alone = demanding[0] if demanding else PointKind.SOCKET
    beside = [point for point in circuit.points if point.kind not in (*SUITS_ANY, alone)]
    also = circuit.also_sockets + circuit.also_lights
    if not beside and not also:
        return PASS
    names = _names(beside, "points elsewhere")
    return Fail(
        f"the {demanding[0] if demanding else circuit.serves} shares its circuit with {names}",
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
    ),
    caution=CAUTION,
)
def conductor_section(circuit: Circuit, given: Given) -> Outcome:
    """The conductors are at least as thick as what the circuit serves asks for.

    Why: a thin cable behind a lining gets warm where nobody feels it.
    Source: common practice; the limit set names a country's own figure.
    """
    missing = [key for key, value in (("serves", circuit.serves), ("section", circuit.section)) if value is None]
    if circuit.serves is None or circuit.section is None:
        return Open("what the circuit serves, or the section of its conductors", *missing)
    own = circuit.serves in (Serves.SOCKETS, Serves.LIGHTS, Serves.COOKER)
    least = given.quantity(f"conductor_section_{circuit.serves if own else 'others'}", Area)
    if at_least(circuit.section, least):
        return PASS
    return Fail(
        f"conductors of {{measured}} feed {circuit.serves}, which take at least {{allowed}}",
        measured=circuit.section,
        allowed=least,
        remedy=Remedy(f"pull {least} or more before the wall is closed; a smaller breaker alone is not the remedy"),
    )


@rule(
    "conductor-colours",
    judges=Circuit,
    level=Level.ERROR,
    guards=HoldPoint.CLOSING_IN,
    needs=("conductors", "conductors.line", "conductors.neutral", "conductors.earth"),
    reads=("line_colours", "neutral_colours", "earth_colours"),
    guards_life=True,
    caution=CAUTION,
)
def conductor_colours(circuit: Circuit, given: Given) -> Outcome:
    """Each conductor has the colour of its purpose: earth green-yellow and only earth, neutral blue, line brown, black or grey.

    Why: whoever opens the box next trusts the colours, with bare hands.
    Source: IEC 60445 and HD 308 S2, as quoted; the limit set names a country's own colours.
    """
    conductors = circuit.conductors
    if conductors is None:
        return Open("the colours of the conductors", "conductors")
    used = [
        *(("line", colour, given.words("line_colours")) for colour in conductors.line),
        ("neutral", conductors.neutral, given.words("neutral_colours")),
        ("earth", conductors.earth, given.words("earth_colours")),
    ]
    for purpose, colour, allowed in used:
        if colour is not None and colour not in allowed:
            return Fail(
                f"{colour} is used as {purpose}, which is {' or '.join(allowed)}",
                measured=colour,
                allowed=" or ".join(allowed),
                remedy=Remedy(
                    "change the conductors over at both ends; sleeve a wire over only where the code allows it"
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
    needs=("circuit", "chain"),
    caution=CAUTION,
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
    return Fail(
        f"no run of {circuit.name} reaches {point.name} from the supply",
        remedy=Remedy(f"lay a cable to {point.name} while the wall is open, and add it to the chain or the runs"),
    )


@rule(
    "run-leads-somewhere",
    judges=Run,
    level=Level.ERROR,
    guards=HoldPoint.CLOSING_IN,
    needs=("from", "chain"),
    caution=CAUTION,
)
def run_leads_somewhere(run: Run, given: Given) -> Outcome:
    """Both ends of a run are there and on its circuit, and it closes no loop unless the circuit is a ring.

    Why: a cable that ends behind a board, or comes back by another way, is live where nobody expects it.
    Source: common practice.
    """
    circuit = run.circuit
    for name, point in _ends(run):
        if point is None:
            return Fail(
                f"the run leads to {name}, and the plan has no point of that name",
                measured=name,
                remedy=Remedy(f"add {name} to its wall, or correct the run"),
            )
        if point.circuit is not circuit:
            return Fail(
                f"the run of {circuit.name} leads to {name}, which is on {point.circuit_name or 'no circuit'}",
                measured=point.circuit_name,
                allowed=circuit.name,
                remedy=Remedy(f"put {name} on {circuit.name}, or lead the run elsewhere"),
            )
    if run.start_name is None:
        return Open("where this run begins", "from" if "runs" in run.path else f"{circuit.place}.chain")
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


def _names(points: list[Point], elsewhere: str) -> str:
    return ", ".join(point.name for point in points) or elsewhere


def _not_too_many(circuit: Circuit, fed: int, what: str, limit: str, given: Given) -> Outcome:
    """Whether what a circuit feeds stays within a limit that is one count, or goes by section and breaker."""
    if not fed:
        return NOT_APPLICABLE
    rows = given.table(limit)
    allowed = given.count(limit) if rows is None else None
    if rows is not None:
        section, rating = circuit.section, circuit.breaker_rating
        missing = [key for key, value in (("section", section), ("breaker.rating", rating)) if value is None]
        if section is None or rating is None:
            return Open(f"the section and the breaker, by which the number of {what} goes", *missing)
        allowed = max(
            (
                int(row["points"])
                for row in rows
                if at_least(section, float(row["section"])) and at_most(rating, float(row["breaker"]))
            ),
            default=0,
        )
    if allowed is None or fed <= allowed:
        return PASS
    return Fail(
        f"the circuit feeds {{measured}} {what}; {{allowed}} is the most",
        measured=fed,
        allowed=allowed,
        remedy=Remedy("put some of them on a second circuit while the cables can still be laid"),
    )
