"""Turns a plan into the schedule of its circuits: what their sums come to, circuit by circuit, as records."""

import math
from collections.abc import Iterable, Iterator
from dataclasses import replace
from datetime import date

from planlint import circuit_records as records
from planlint.inspection import limits_of, plan_of, things_at
from planlint.model.services import Circuit
from planlint.model.words import Earthing, Serves
from planlint.registry import Rulebook
from planlint.rule import Given
from planlint.schedules.figures import figure, known, overridden, source
from planlint.source import Document
from planlint.sum_records import Figure, StepCard, Unknown, Working
from planlint.sums.breakers import LIMITS_OF_BREAKERS, wanted_capacity
from planlint.sums.capacity import CONSUMES_NOTHING, LIMITS_OF_CAPACITY, Capacity, capacity, drawn_load, load_current
from planlint.sums.left import LIMITS_OF_ELECTRODE, Electrode, electrode, metres_left
from planlint.sums.lying import LIMITS_OF_LYING
from planlint.sums.points import (
    LIMITS_OF_LIGHTS,
    LIMITS_OF_SOCKETS,
    Most,
    PointsFed,
    Unforeseen,
    lights_fed,
    most_fed,
    sockets_fed,
    spoken_use,
)
from planlint.sums.way import LIMITS_OF_DROP, LIMITS_OF_LOOP, Drop, Loop, fault_loop, voltage_drop
from planlint.sums.working import CIRCUITS_CAUTION, Lacking, Step
from planlint.units import Length, Quantity, Ratio, at_most, contrast

CARRYING = "Iz = the table's current × the factors for warmth, for cables together and for insulation"
DROPPING = (
    "volts lost = length one way × current × what one ampere loses on one metre, which is 2 × (0.0225 ohm·mm²/m ÷ "
    "section × cos φ + 0.08 ohm/km × sin φ), with three phases half of that; the share is of the voltage to neutral"
)
LOOPING = (
    "Zs = loop at the distribution board + length × (line + earth), each its resistance at 20 °C × (1 + 0.004 × "
    "(its temperature - 20 °C)); greatest loop = Cmin × voltage ÷ the current that trips the breaker at once"
)
EARTHING = "greatest electrode = touch voltage ÷ residual current of the RCD"
_OF_NEIGHBOURS = ("grouping_factor", "lightly_loaded_share", "power_factor")
_LIMITS = tuple(
    dict.fromkeys(
        (
            *LIMITS_OF_SOCKETS,
            *LIMITS_OF_LIGHTS,
            "own_circuit_kinds",
            *LIMITS_OF_BREAKERS,
            *LIMITS_OF_CAPACITY,
            *LIMITS_OF_DROP,
            *LIMITS_OF_LOOP,
            *LIMITS_OF_ELECTRODE,
        )
    )
)


def circuits(
    document: Document, rulebook: Rulebook, limits: str | None = None, place: str | None = None
) -> records.CircuitSchedule:
    """The circuits of a plan that lie under `place` or bear on it, by the limit set `limits` or the plan's own.

    Raises PlanFaults where it cannot be read as a plan, UsageError for a place that it does not hold, LimitError for
    a limit set that there is not.
    """
    plan = plan_of(document)
    in_force = limits_of(document, plan, rulebook, limits)
    given = Given(in_force, date.min, _LIMITS)  # no sum goes by the day
    found = [_card(thing, given) for thing in things_at(plan, place) if isinstance(thing, Circuit)]
    used = {name for card in found for name in _used(card)}
    return records.CircuitSchedule(
        plan=document.file,
        title=plan.title,
        digest=document.digest,
        limits=in_force.names,
        place=place,
        circuits=tuple(found),
        in_plan=len(plan.circuits),
        sources=tuple(source(name, in_force) for name in _LIMITS if name in used),
        overridden=overridden(in_force),
        caution=CIRCUITS_CAUTION,
    )


def _used(card: records.CircuitCard) -> Iterable[str]:
    for sum_of in (card.capacity, card.drop, card.loop):
        if not isinstance(sum_of, Unknown):
            yield from sum_of.working.limits
    for left in card.outlets_left:
        if isinstance(left, records.OutletsLeft) and left.limit:
            yield left.limit


def _card(circuit: Circuit, given: Given) -> records.CircuitCard:
    unit = next((run.length.unit for run in circuit.runs if run.length), "m")
    carries, dropped = capacity(circuit, given), voltage_drop(circuit, given)
    loop = electrode(circuit, given) if circuit.supply.earthing is Earthing.TT else _loop_of(circuit, given)
    consumers = [point for point in circuit.points if point.kind not in CONSUMES_NOTHING]
    return records.CircuitCard(
        place=circuit.place,
        serves=circuit.serves,
        feeds=tuple(
            records.Fed(point.name, point.kind, point.outlets if point in consumers else 0, point.place)
            for point in circuit.points
        ),
        also_sockets=circuit.also_sockets,
        also_lights=circuit.also_lights,
        outlets=sum(point.outlets for point in consumers) + circuit.also_sockets + circuit.also_lights,
        breaker=figure(circuit.breaker_rating),
        curve=circuit.curve,
        rcd="none" if circuit.has_rcd is False else figure(circuit.rcd),
        section=figure(circuit.section),
        other_sections=tuple(
            (run.place, section)
            for run in circuit.runs
            if run.section != circuit.section and (section := figure(run.section))
        ),
        earth_section=figure(circuit.earth_section),
        cable=circuit.cable,
        is_ring=circuit.is_ring,
        capacity=_carrying(carries),
        drop=_drop(dropped, unit, given),
        loop=_loop(loop, unit),
        outlets_left=tuple(_outlets_left(circuit, given)),
        metres_left=_metres_left(circuit, dropped, loop, unit),
        amperes_left=_amperes_left(circuit, carries, given),
    )


def _loop_of(circuit: Circuit, given: Given) -> Loop | Lacking:
    """The loop on a TN supply; how the supply is earthed has to be known first."""
    loop = fault_loop(circuit, given)
    if circuit.supply.earthing is not None:
        return loop
    more = loop.keys if isinstance(loop, Lacking) else ()
    return Lacking("how the supply is earthed, which decides what clears a fault", ("supply.earthing", *more))


def _carrying(found: Capacity | Lacking) -> records.Carrying | Unknown:
    if isinstance(found, Lacking):
        return _unknown(found)
    circuit = found.run.circuit
    unused = {
        *(LIMITS_OF_LYING if found.run.method else ()),
        *(() if circuit.grouped_with or circuit.neighbours else _OF_NEIGHBOURS),
        *(() if found.run.in_insulation else ("insulation_factor",)),
    }
    return records.Carrying(
        run=found.run.place,
        lying=found.product.lies,
        table=known(found.product.table),
        carried=known(found.carried),
        at_best=None if at_most(found.best_carried, found.carried) else known(found.best_carried),
        missing=found.lying.keys,
        working=_working(CARRYING, found.product.steps, [name for name in LIMITS_OF_CAPACITY if name not in unused]),
    )


def _drop(found: Drop | Lacking, unit: str, given: Given) -> records.Drop | Unknown:
    if isinstance(found, Lacking):
        return _unknown(found)
    share, allowed = _contrasted(found.share, found.allowed)
    limits = [name for name in LIMITS_OF_DROP if given.quantity(name, Ratio) == found.allowed or "drop" not in name]
    return records.Drop(
        point=found.point,
        way=known(Length(found.length, unit)),
        volts=known(found.volts),
        share=share,
        allowed=allowed,
        is_within=at_most(found.share, found.allowed),
        by_loads=found.by_loads,
        working=_working(DROPPING, found.steps, limits),
    )


def _loop(found: Loop | Electrode | Lacking, unit: str) -> records.Loop | Unknown:
    if isinstance(found, Lacking):
        return _unknown(found)
    if isinstance(found, Electrode):
        ohms, allowed = _contrasted(found.resistance, found.allowed)
        return records.Loop(
            point=None,
            way=None,
            ohms=ohms,
            allowed=allowed,
            is_within=at_most(found.resistance, found.allowed),
            cleared_by=f"the RCD trips ({found.rcd})",
            working=_working(EARTHING, found.steps, LIMITS_OF_ELECTRODE),
        )
    ohms, allowed = _contrasted(found.impedance, found.allowed)
    return records.Loop(
        point=found.point,
        way=known(Length(found.length, unit)),
        ohms=ohms,
        allowed=allowed,
        is_within=at_most(found.impedance, found.allowed),
        cleared_by=f"the breaker trips at once ({found.trips_at})",
        working=_working(LOOPING, found.steps, LIMITS_OF_LOOP),
    )


def _outlets_left(circuit: Circuit, given: Given) -> Iterator[records.OutletsLeft | Unknown]:
    """By the limit on sockets and that on lights, as far as it feeds or serves such; else by what it serves."""
    sockets, lights = sockets_fed(circuit, given), lights_fed(circuit)
    counted = [
        *([sockets] if sockets.number or circuit.serves is Serves.SOCKETS else []),
        *([lights] if lights.number or circuit.serves is Serves.LIGHTS else []),
    ]
    alone = circuit.serves if circuit.serves in given.words("own_circuit_kinds") else None
    number = sum(point.kind not in CONSUMES_NOTHING for point in circuit.points)
    number += circuit.also_sockets + circuit.also_lights
    if alone:
        yield records.OutletsLeft(
            "outlets", number, 1, f"{spoken_use(alone)} has a circuit of its own", "own_circuit_kinds"
        )
    elif not counted and circuit.serves is None:
        yield Unknown("what the circuit serves, by which its outlets are limited", ("serves",))
    elif not counted:
        yield records.OutletsLeft(
            "outlets", number, None, f"the limits set none for {spoken_use(str(circuit.serves))}", ""
        )
    apart = len(counted) > 1 and given.choice("sockets_and_lights_together") == "forbidden"
    for fed in () if alone else counted:
        if apart and fed is (lights if circuit.serves is Serves.SOCKETS else sockets):
            limit = "sockets_and_lights_together"
            yield records.OutletsLeft(fed.what, fed.number, 0, "sockets and lights are to be kept apart", limit)
        else:
            yield _room_for(fed, most_fed(circuit, fed, given))


def _room_for(fed: PointsFed, most: Most | Unforeseen | Lacking) -> records.OutletsLeft | Unknown:
    if isinstance(most, Lacking):
        return _unknown(most)
    if isinstance(most, Unforeseen):
        return records.OutletsLeft(fed.what, fed.number, 0, f"none are foreseen on {most.laid}", fed.limit)
    why = "the limits set none" if most.number is None else f"{most.number} at most"
    return records.OutletsLeft(fed.what, fed.number, most.number, why, fed.limit)


def _metres_left(
    circuit: Circuit, drop: Drop | Lacking, loop: Loop | Electrode | Lacking, unit: str
) -> records.MetresLeft | Unknown:
    unknown = [found for found in (drop, loop) if isinstance(found, Lacking)]
    ends: list[tuple[float, str, str]] = []
    for found, name in ((drop, "voltage drop"), (loop, "fault loop")):
        # An earth electrode outweighs any length of cable: on a TT supply the loop limits no length.
        if isinstance(found, Drop | Loop) and circuit.supply.voltage is not None:
            left = metres_left(found, circuit.supply.voltage)
            ends += [] if left is None else [(left, found.point, name)]
    if not ends:
        keys = tuple(dict.fromkeys(key for found in unknown for key in found.keys))
        what = "; ".join(dict.fromkeys(found.what for found in unknown))
        return Unknown(what or "nothing is drawn that would lose voltage", keys)
    left, point, name = min(ends)
    length = Length(math.floor(left * 100 + 1e-6) / 100, unit)  # in whole centimetres, and never more than there are
    return records.MetresLeft(
        replace(known(length), said=str(length)), point, name, tuple(_unknown(found) for found in unknown)
    )


def _amperes_left(circuit: Circuit, carries: Capacity | Lacking, given: Given) -> records.AmperesLeft:
    # A load that no formula holds for is as good as none.
    can_load = not isinstance(drawn_load(circuit, given), Lacking)
    rating, load = circuit.breaker_rating, load_current(circuit, given) if can_load else None
    wanted = None if rating is None else wanted_capacity(circuit, rating, given)
    unrated = [] if rating else ["breaker.rating"]
    cable: Figure | Unknown
    breaker: Figure | Unknown
    if wanted is None or isinstance(carries, Lacking):
        keys = carries.keys if isinstance(carries, Lacking) else ()
        what = carries.what if isinstance(carries, Lacking) else "the breaker's rating"
        cable = Unknown(what, (*keys, *unrated))
    else:
        cable = known(wanted.like(carries.carried - wanted))
    if rating is None or load is None:
        keys = tuple(
            f"{point.place}.load"
            for point in circuit.points
            if point.load is None and point.kind not in CONSUMES_NOTHING
        )
        unrated += ["supply.voltage"] if circuit.supply.voltage is None else []
        if circuit.also_sockets or circuit.also_lights:
            breaker = Unknown("this plan does not hold the loads of what the circuit also feeds", ())
        elif not any(point.kind not in CONSUMES_NOTHING for point in circuit.points):
            breaker = Unknown("nothing in this plan draws on it", ())
        else:
            breaker = Unknown("the load of all that it feeds", (*unrated, *keys))
    else:
        breaker = known(rating.like(rating - load))
    return records.AmperesLeft(figure(wanted), cable, breaker)


def _working(formula: str, steps: Iterable[Step], limits: Iterable[str]) -> Working:
    cards = tuple(StepCard(step.what, step.how, step.result) for step in steps)
    return Working(formula, cards, tuple(dict.fromkeys(limits)))


def _unknown(lacking: Lacking) -> Unknown:
    return Unknown(lacking.what, lacking.keys)


def _contrasted(figure: Quantity, limit: Quantity) -> tuple[Figure, Figure]:
    """Both, said with enough digits to see which is larger."""
    ours, allowed = known(figure), known(limit)
    if ours.said != allowed.said or at_most(figure, limit):
        return ours, allowed
    said = contrast(figure, limit)
    return replace(ours, said=said[0]), replace(allowed, said=said[1])
