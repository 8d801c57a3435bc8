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

SPOKEN: dict[str, str] = {
    Serves.COOKER: "a cooker",
    Serves.HEATING: "fixed heating",
    Serves.LAUNDRY: "a washing machine or dryer",
    Serves.APPLIANCE: "an appliance",
}
"""How one speaks of what a circuit serves, where the word alone would not do."""


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
    if _is_mixed(circuit) and not together:
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
            f"the circuit serves {_spoken(circuit.serves)}, but feeds {', '.join(strange)}",
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
    caution=CAUTION,
)
def socket_points_per_circuit(circuit: Circuit, given: Given) -> Outcome:
    """A circuit feeds no more socket outlets than the limit, those elsewhere included.

    Why: every outlet invites a load; too many on one breaker and it trips, or the cable runs warm for years.
    Source: common practice; the limit set names a country's own figure.
    """
    by_outlet = given.choice("socket_counting") == "outlets"
    sockets = circuit.points_of(PointKind.SOCKET)
    fed = sum(point.outlets if by_outlet else 1 for point in sockets) + circuit.also_sockets
    what = "socket outlets" if by_outlet else "socket plates"
    # Where lights may share the circuit they take the place of sockets. Where they may not, that is found already.
    if fed and _is_mixed(circuit) and given.choice("sockets_and_lights_together") == "allowed":
        fed, what = fed + _lights(circuit), f"{what} and lights"
    return _not_too_many(circuit, fed, what, "socket_points_per_circuit", given)


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
    return _not_too_many(circuit, _lights(circuit), "light points", "light_points_per_circuit", given)


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
        f"{_spoken(alone)}{f' ({own_points})' if own_points else ''} shares its circuit with {names}",
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
    caution=CAUTION,
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
    if _is_mixed(circuit) and given.choice("sockets_and_lights_together") == "allowed":
        least = max(least, given.quantity("conductor_section_sockets", Area))
    if not at_least(thinnest, least):
        return Fail(
            f"conductors of {{measured}} feed {_spoken(circuit.serves)}; at least {{allowed}} is wanted",
            measured=thinnest,
            allowed=least,
            remedy=Remedy(f"pull {least} or more before the wall is closed; a smaller breaker alone is not the remedy"),
            at=next((run for run in circuit.runs if thinnest == run.section != circuit.section), None),
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
    caution=CAUTION,
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
    caution=CAUTION,
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
    return f"{run.place}.from" if "runs" in run.path else f"{run.circuit.place}.chain"


def _names(points: list[Point], elsewhere: int) -> str:
    names = [point.name for point in points]
    return ", ".join([*names, f"{elsewhere} elsewhere"] if elsewhere else names)


def _spoken(served: str) -> str:
    return SPOKEN.get(served, served)


def _is_mixed(circuit: Circuit) -> bool:
    """Whether it feeds both sockets and lights."""
    sockets = circuit.also_sockets or circuit.points_of(PointKind.SOCKET)
    return bool(sockets and (circuit.also_lights or circuit.points_of(PointKind.LIGHT)))


def _lights(circuit: Circuit) -> int:
    """How many light points it feeds, those elsewhere included."""
    return sum(point.outlets for point in circuit.points_of(PointKind.LIGHT)) + circuit.also_lights


def _not_too_many(circuit: Circuit, fed: int, what: str, limit: str, given: Given) -> Outcome:
    """Whether what a circuit feeds stays within a limit that is one count, or goes by section and breaker."""
    if not fed:
        return NOT_APPLICABLE
    rows = given.table(limit)
    allowed = given.count(limit) if rows is None else None
    if rows is not None:
        section, rating = circuit.thinnest, circuit.breaker_rating
        missing = [key for key, value in (("section", section), ("breaker.rating", rating)) if value is None]
        if section is None or rating is None:
            return Open(f"the section and the breaker, by which the number of {what} goes", *missing)
        fitting = [
            int(row["points"])
            for row in rows
            if at_least(section, float(row["section"])) and at_most(rating, float(row["breaker"]))
        ]
        if not fitting:
            return Fail(
                f"no {what} are foreseen on {{measured}}; it takes {{allowed}}",
                measured=f"{section} behind {rating}",
                allowed=" or ".join(f"{row['section']} behind {row['breaker']}" for row in rows),
                remedy=Remedy("fit a smaller breaker, or pull thicker conductors before the wall is closed"),
            )
        allowed = max(fitting)
    if allowed is None or fed <= allowed:
        return PASS
    return Fail(
        f"the circuit feeds {{measured}} {what}; {{allowed}} is the most",
        measured=fed,
        allowed=allowed,
        remedy=Remedy("put some of them on a second circuit while the cables can still be laid"),
    )
