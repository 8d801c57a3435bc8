"""Circuits: whether breaker and conduit suit the cables as they will lie, and what is lost on the way."""

from planlint.api import (
    CIRCUITS_CAUTION,
    FIGURES,
    LIMITS_OF_BREAKERS,
    LIMITS_OF_CAPACITY,
    LIMITS_OF_CONDUIT,
    LIMITS_OF_DROP,
    LIMITS_OF_LYING,
    NOT_APPLICABLE,
    PASS,
    Cable,
    Capacity,
    Circuit,
    Current,
    Fail,
    Given,
    HoldPoint,
    Lacking,
    Level,
    Open,
    Outcome,
    Remedy,
    Run,
    Set,
    at_least,
    at_most,
    conduit_fill,
    derived_lying,
    drawn_load,
    goes_by_section,
    is_kinder,
    largest_foreseen,
    made,
    outcome_of,
    ring_of,
    rule,
    run_capacity,
    show,
    spoken,
    voltage_drop,
    wanted_capacity,
)

WHERE_IT_LIES = ("cable", "method", "lining", "base", "material", "existing", "layers")
"""Keys that say how a cable lies."""


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
    drawn = drawn_load(circuit, given)
    if isinstance(drawn, Lacking):
        return outcome_of(drawn)
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
        return outcome_of(lacking)
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
            odd = run if any(other.method is not run.method for other in circuit.runs) else None
            return Fail(
                f"the cable to {run.end_name} is recorded as {spoken(run.method, circuit.cable)}, but it lies "
                f"{how.why}: that makes it {spoken(how.worst, circuit.cable)}",
                measured=run.method,
                allowed=how.worst,
                remedy=Remedy(
                    f"record method {how.worst}, or lay the cable where there is no insulation",
                    edit=Set(odd or circuit, "method", how.worst),
                ),
                at=odd,
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
        return outcome_of(drop)
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
        return outcome_of(fill)
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
