"""Circuits: switches, junctions, rings, tests and photographs, while the wall is still open."""

from planlint.api import (
    CIRCUITS_CAUTION,
    NOT_APPLICABLE,
    PASS,
    SUPPLY,
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
    Resistance,
    Run,
    Set,
    Tested,
    Voltage,
    Wall,
    at_least,
    boards_of,
    ring_of,
    rule,
)

BACK = 2
"""A ring has two ends at the distribution board."""

PAIR = 2
"""From two switches on, each wants the wires that change over."""


@rule(
    "light-has-switch",
    judges=Point,
    level=Level.WARNING,
    guards=HoldPoint.ENERGISING,
    needs=("switched_by", "circuit", "runs", "from"),
    reads=("two_way_wires",),
    caution=CIRCUITS_CAUTION,
)
def light_has_switch(point: Point, given: Given) -> Outcome:
    """Every light is switched by a switch of the plan, and where there are several, they are joined by enough wires.

    Why: the wire that a second switch lacks is found missing when the boards are up.
    Source: common practice.
    """
    if point.kind is not PointKind.LIGHT:
        return NOT_APPLICABLE
    if point.switched_by is None:
        return Open(f"what switches {point.name}", "switched_by")
    if not point.switched_by:
        return Fail(
            f"nothing switches {point.name}",
            measured="no switch",
            allowed="a switch",
            remedy=Remedy("lay a cable from a switch to the light, and name the switch under switched_by"),
        )
    for name, switch in zip(point.switched_by, point.switches, strict=True):
        if switch is None or switch.kind is not PointKind.SWITCH:
            what = "the plan has no point of that name" if switch is None else f"that is a {switch.kind}"
            return Fail(
                f"{point.name} is switched by {name}, and {what}",
                measured=name,
                allowed="a switch",
                remedy=Remedy(f"add the switch {name} to its wall, or correct switched_by"),
            )
    return _joined(point, given)


@rule(
    "connection-stays-accessible",
    judges=Point,
    level=Level.ERROR,
    guards=HoldPoint.CLOSING_IN,
    needs=("accessible", "lining", "existing", "layers", "at", "height"),
    guards_life=True,
    caution=CIRCUITS_CAUTION,
)
def connection_stays_accessible(point: Point, given: Given) -> Outcome:
    """No junction disappears behind boards or plaster: its cover can still be opened.

    Why: connections are where circuits fail and burn, and nobody finds one that is covered over.
    Source: IEC 60364-5-52, 526.3, from memory.
    """
    if point.kind is not PointKind.JUNCTION:
        return NOT_APPLICABLE
    if point.accessible:
        return PASS
    covered = _is_covered(point)
    if isinstance(covered, Open):
        return covered
    if not (covered or (point.accessible is False and point.on.existing)):
        return NOT_APPLICABLE
    if point.accessible is None:
        return Open(f"whether the cover of {point.name} can be opened once the wall is closed", "accessible")
    return Fail(
        f"the junction {point.name} would be covered over",
        measured="not accessible",
        allowed="accessible",
        remedy=Remedy("bring its cover flush with the finished face, or run the cable through without a joint"),
    )


@rule(
    "ring-comes-back",
    judges=Circuit,
    level=Level.ERROR,
    guards=HoldPoint.CLOSING_IN,
    needs=("chain", "from"),
    caution=CIRCUITS_CAUTION,
)
def ring_comes_back(circuit: Circuit, given: Given) -> Outcome:
    """A circuit that is called a ring goes round without a gap and comes back to the distribution board.

    Why: its breaker counts on two ways to every socket; a ring that is open somewhere overheats the one that is left.
    Source: common practice.
    """
    if not circuit.is_ring:
        return NOT_APPLICABLE
    if not circuit.runs_recorded:
        return Open("how the cables run", "chain")
    if ring_of(circuit):
        return PASS
    adrift = [f"{run.place}.from" if "runs" in run.path else "chain" for run in circuit.runs if run.start_name is None]
    if adrift:
        return Open("where every run of the ring begins", *dict.fromkeys(adrift))
    ends = sum((run.start_name, run.end_name).count(SUPPLY) for run in circuit.runs)
    if ends >= BACK:
        return Fail(
            "the circuit is called a ring, and its runs do not make one ring through the distribution board",
            measured="no ring, or several",
            allowed="one ring",
            remedy=Remedy("lay the run that is missing between two points, or take out ring: true"),
        )
    return Fail(
        "the circuit is called a ring, and {measured} of its ends is at the distribution board; it takes {allowed}",
        measured=ends,
        allowed=BACK,
        remedy=Remedy("end its chain with supply and lay the cable back, or take out ring: true"),
    )


@rule(
    "dead-tests-recorded",
    judges=Circuit,
    level=Level.ERROR,
    guards=HoldPoint.CLOSING_IN,
    needs=("tests", "kind", "date", "value", "voltage"),
    reads=("insulation_resistance", "insulation_test_voltage"),
    caution=CIRCUITS_CAUTION,
)
def dead_tests_recorded(circuit: Circuit, given: Given) -> Outcome:
    """Continuity and insulation were tested after the last first fix, and the insulation is good.

    Why: a nicked or broken wire costs minutes while the wall is open, and the wall when it is closed.
    Source: IEC 60364-6, Table 6.1, from memory (1 Mohm at 500 V); common practice (the rest).
    """
    if not circuit.tests_recorded:
        return Open("the tests of the dead circuit", "tests")
    fixed = [task.done for task in circuit.tasks if task.kind == "first-fix" and task.done]
    last = max((day for day in fixed if day <= given.today), default=None)
    for kind in (Tested.CONTINUITY, Tested.INSULATION):
        days = [test.date for test in circuit.tests if test.kind is kind and test.date is not None]
        past = [day for day in days if day <= given.today]
        if any(last is None or day >= last for day in past):
            continue
        missing = _unrecorded(circuit, kind)
        if missing:
            return Open(f"what was tested when, so far as it may be {kind}", *missing)
        when = "was not tested"
        if past:
            when = f"was tested last on {max(past)}, before the first fix of {last} was done"
        elif days:
            when = f"is recorded for {min(days)}, which is still to come"
        return Fail(
            f"{kind} {when}",
            measured=f"{max(past, default=min(days, default='no test'))}",
            allowed=f"{last} or later" if last else "a test",
            remedy=Remedy("test the dead circuit while the wall is open, and record kind, date and value under tests"),
        )
    return _insulation(circuit, given)


@rule(
    "runs-photographed",
    judges=Wall,
    level=Level.WARNING,
    guards=HoldPoint.CLOSING_IN,
    needs=("lining", "photos"),
)
def runs_photographed(wall: Wall, given: Given) -> Outcome:
    """A wall with points or cables behind its lining is photographed before it is closed.

    Why: in ten years a photograph is all that says where not to drill.
    Source: common practice.
    """
    if wall.stays or not (wall.points or wall.runs):
        return NOT_APPLICABLE
    if wall.undecided:
        return Open("whether and how the wall will be lined", "lining")
    if wall.photos is None:
        return Open("photographs of what lies behind the lining", "photos")
    if wall.photos:
        return PASS
    return Fail(
        "no photograph shows what lies behind the lining",
        measured=0,
        allowed=1,
        remedy=Remedy("photograph the open wall with a rule held to it, and name the file under photos"),
    )


def _is_covered(point: Point) -> bool | Open:
    """Whether a layer stands, or will stand, in front of a point; plaster on bare masonry leaves a box visible."""
    surface, lining = point.on, point.on.lining
    if surface.undecided:
        return Open("whether and how this face will be lined", f"{surface.place}.lining")
    if surface.extent:
        missing = [key for key, value in (("at", point.at), ("height", point.height)) if value is None]
        if point.at is None or point.height is None:
            return Open("where it sits beside the lining that covers a part of the wall", *missing)
        lining = surface.lining_at(point.at, point.height)
    if lining is not None:
        known = lining.layers or surface.existing
        return True if known else Open(f"the layers of {lining.name}", f"{lining.place}.layers")
    base = surface.base if isinstance(surface, Wall) else None
    if base is not None and base.is_masonry:
        return bool(boards_of(surface.existing))
    if surface.existing:  # boards are often named as a material only, and a hollow wall hides the box
        return True
    return Open("what stands on this face already", f"{surface.place}.existing")


def _joined(point: Point, given: Given) -> Outcome:
    """Whether the switches of a light are joined by cables with enough wires, straight or through other boxes."""
    switches = {switch.name: switch for switch in point.switches if switch}
    if len(switches) < PAIR:
        return PASS
    circuits = dict.fromkeys(switch.circuit for switch in switches.values() if switch.circuit)
    runs = [run for circuit in circuits for run in circuit.runs if run.start_name and SUPPLY not in _ends(run)]
    weakest = _weakest(runs, set(switches))
    *names, last = switches
    told = f"{', '.join(names)} and {last}"
    if weakest is None:
        missing = [f"{switch.place}.circuit" for switch in switches.values() if switch.circuit_name is None]
        missing += [f"{circuit.place}.runs" for circuit in circuits if not circuit.runs_recorded]
        missing += [
            f"{run.place}.from"
            for circuit in circuits
            for run in circuit.runs
            if not run.start_name and "runs" in run.path
        ]
        if missing:
            return Open(f"the cables that join {told}", *missing)
        return Fail(
            f"{told} switch {point.name}, and no cable joins them",
            measured="no cable",
            allowed="a cable between them",
            remedy=Remedy("lay the cable while the wall is open, and record it under runs with its wires"),
        )
    wanted, wires = given.count("two_way_wires") or 0, _wires(weakest)
    if wires >= wanted:
        return PASS
    return Fail(
        f"{told} switch {point.name} and are joined by {{measured}} wires; it takes {{allowed}}",
        measured=wires,
        allowed=wanted,
        remedy=Remedy(
            "pull the wires that are missing while the wall is open, and record them as wires under runs",
            edit=Set(weakest, "wires", wanted) if weakest.stands_alone else (),
        ),
        at=weakest,
    )


def _weakest(runs: list[Run], names: set[str]) -> Run | None:
    """The run with the fewest wires on the best way that joins all of `names`; None where there is no way."""
    groups: list[set[str]] = []
    for run in sorted(runs, key=_wires, reverse=True):
        touched = [group for group in groups if group & _ends(run)]
        joined = _ends(run).union(*touched)
        groups = [*(group for group in groups if group not in touched), joined]
        if names <= joined:
            return run
    return None


def _ends(run: Run) -> set[str]:
    return {name for name in (run.start_name, run.end_name) if name}


def _wires(run: Run) -> int:
    return run.wires or run.circuit.usual_wires


def _unrecorded(circuit: Circuit, kind: Tested) -> list[str]:
    """The keys that would say whether more of the tests are of a kind, and when they were made."""
    numbered = list(enumerate(circuit.tests, 1))
    unnamed = [f"tests.{index}.kind" for index, test in numbered if test.kind is None]
    return unnamed + [f"tests.{index}.date" for index, test in numbered if test.kind is kind and test.date is None]


def _insulation(circuit: Circuit, given: Given) -> Outcome:
    """Whether the insulation is good enough on the newest day; of several readings that day the worst counts."""
    insulation = [(index, test) for index, test in enumerate(circuit.tests, 1) if test.kind is Tested.INSULATION]
    newest = max(test.date for _, test in insulation if test.date is not None and test.date <= given.today)
    made = [(index, test) for index, test in insulation if test.date == newest]
    least = given.quantity("insulation_resistance", Resistance)
    worst = min((test.value for _, test in made if test.value is not None), default=least)
    if not at_least(worst, least):
        return Fail(
            "the insulation measures {measured}; at least {allowed} is wanted",
            measured=worst,
            allowed=least,
            remedy=Remedy("find the damaged cable or the damp box before the wall is closed, and test again"),
        )
    voltage = given.quantity("insulation_test_voltage", Voltage)
    lowest = min((test.voltage for _, test in made if test.voltage is not None), default=voltage)
    if not at_least(lowest, voltage):
        return Fail(
            "the insulation was tested at {measured}; {allowed} is wanted",
            measured=lowest,
            allowed=voltage,
            remedy=Remedy("test again at that voltage, with all that is connected taken off first"),
        )
    missing = [
        f"tests.{index}.{key}"
        for index, test in made
        for key, value in (("value", test.value), ("voltage", test.voltage))
        if value is None
    ]
    missing += _unrecorded(circuit, Tested.INSULATION)
    return Open("every insulation test, with its value, voltage and date", *missing) if missing else PASS
