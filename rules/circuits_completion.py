"""Circuits: switches, junctions, rings, tests and photographs, while the wall is still open."""

from datetime import date

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
    Tested,
    Voltage,
    Wall,
    at_least,
    boards_of,
    rule,
)

PAIR = 2
"""Two switches for one light: each wants the wires that change over."""


@rule(
    "light-has-switch",
    judges=Point,
    level=Level.WARNING,
    guards=HoldPoint.ENERGISING,
    needs=("switched_by", "runs"),
    reads=("two_way_wires",),
    caution=CIRCUITS_CAUTION,
)
def light_has_switch(point: Point, given: Given) -> Outcome:
    """Every light is switched by a switch of the plan, and the two of a pair are joined by enough wires.

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
    return _joined(point, given) if len(point.switches) == PAIR else PASS


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
    """No junction disappears behind boards: its cover can still be opened.

    Why: connections are where circuits fail and burn, and nobody finds one that is boarded over.
    Source: IEC 60364-5-52, 526.3, from memory.
    """
    if point.kind is not PointKind.JUNCTION:
        return NOT_APPLICABLE
    if point.accessible:
        return PASS
    covered = _is_covered(point)
    if isinstance(covered, Open):
        return covered
    if not covered:
        return NOT_APPLICABLE
    if point.accessible is None:
        return Open(f"whether the cover of {point.name} can be opened once the boards are up", "accessible")
    return Fail(
        f"the junction {point.name} would be boarded over",
        measured="not accessible",
        allowed="accessible",
        remedy=Remedy("bring its cover flush with the finished face, or run the cable through without a joint"),
    )


@rule(
    "ring-comes-back",
    judges=Circuit,
    level=Level.ERROR,
    guards=HoldPoint.CLOSING_IN,
    needs=("chain",),
    caution=CIRCUITS_CAUTION,
)
def ring_comes_back(circuit: Circuit, given: Given) -> Outcome:
    """A circuit that is called a ring comes back to the distribution board.

    Why: its breaker counts on two ways to every socket; a ring that is open somewhere overheats the one that is left.
    Source: common practice.
    """
    if not circuit.is_ring:
        return NOT_APPLICABLE
    if not circuit.runs_recorded:
        return Open("how the cables run", "chain")
    ends = sum((run.start_name, run.end_name).count(SUPPLY) for run in circuit.runs)
    if ends > 1:
        return PASS
    return Fail(
        "the circuit is called a ring, and {measured} of its ends is at the distribution board; it takes {allowed}",
        measured=ends,
        allowed=2,
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
    last = max((day for day in fixed if day <= given.today), default=date.min)
    unnamed = [f"tests.{index}.kind" for index, test in enumerate(circuit.tests, 1) if test.kind is None]
    if unnamed:
        return Open("what was tested", *unnamed)
    for kind in (Tested.CONTINUITY, Tested.INSULATION):
        made = [test for test in circuit.tests if test.kind is kind]
        undated = [
            f"tests.{index}.date"
            for index, test in enumerate(circuit.tests, 1)
            if test.kind is kind and test.date is None
        ]
        days = [test.date for test in made if test.date is not None and test.date <= given.today]
        if any(day >= last for day in days):
            continue
        if undated:
            return Open(f"when {kind} was tested", *undated)
        when = f"was tested last on {max(days)}, before the first fix of {last} was done" if days else "was not tested"
        return Fail(
            f"{kind} {when}",
            measured=f"{max(days)}" if days else "no test",
            allowed=f"{last} or later" if fixed else "a test",
            remedy=Remedy("test the dead circuit while the wall is open, and record kind, date and value under tests"),
        )
    return _insulation(circuit, last, given)


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
    """Whether boards stand, or will stand, in front of a point."""
    surface, lining = point.on, point.on.lining
    if surface.undecided:
        return Open("whether and how this face will be lined", f"{surface.place}.lining")
    if surface.extent:
        missing = [key for key, value in (("at", point.at), ("height", point.height)) if value is None]
        if point.at is None or point.height is None:
            return Open("where it sits beside the lining that covers a part of the wall", *missing)
        lining = surface.lining_at(point.at, point.height)
    if lining is not None:
        return bool(lining.boards) if lining.layers else Open(f"the boards of {lining.name}", f"{lining.place}.layers")
    base = surface.base if isinstance(surface, Wall) else None
    if surface.existing or (base is not None and base.is_masonry):
        return bool(boards_of(surface.existing))
    return Open("what stands on this face already", f"{surface.place}.existing")


def _joined(point: Point, given: Given) -> Outcome:
    """Whether the two switches of a light are joined by a run with enough wires."""
    switches = [switch for switch in point.switches if switch]
    names = {switch.name for switch in switches}
    runs = {run: None for switch in switches if switch.circuit for run in switch.circuit.runs}
    between = [run for run in runs if {run.start_name, run.end_name} == names]
    first, second = min(names), max(names)
    if not between:
        feeding = next((switch.circuit for switch in switches if switch.circuit), None)
        return Open(f"the run that joins {first} and {second}", f"{feeding.place}.runs" if feeding else "switched_by")
    wanted = given.count("two_way_wires") or 0
    wires = max(run.wires or run.circuit.usual_wires for run in between)
    if wires >= wanted:
        return PASS
    return Fail(
        f"{first} and {second} both switch {point.name} and are joined by {{measured}} wires; it takes {{allowed}}",
        measured=wires,
        allowed=wanted,
        remedy=Remedy("pull the wires that are missing while the wall is open, and record them as wires of that run"),
        at=between[0],
    )


def _insulation(circuit: Circuit, last: date, given: Given) -> Outcome:
    """Whether the insulation that was measured after the last first fix is good enough; the newest test counts."""
    dated = [
        (test.date, index, test)
        for index, test in enumerate(circuit.tests, 1)
        if test.kind is Tested.INSULATION and test.date is not None and last <= test.date <= given.today
    ]
    _, index, newest = max(dated, key=lambda item: item[:2])
    missing = [
        f"tests.{index}.{key}" for key, value in (("value", newest.value), ("voltage", newest.voltage)) if value is None
    ]
    if newest.value is None or newest.voltage is None:
        return Open("what the insulation test showed, and at which voltage", *missing)
    least = given.quantity("insulation_resistance", Resistance)
    if not at_least(newest.value, least):
        return Fail(
            "the insulation measures {measured}; at least {allowed} is wanted",
            measured=newest.value,
            allowed=least,
            remedy=Remedy("find the damaged cable or the damp box before the wall is closed, and test again"),
        )
    voltage = given.quantity("insulation_test_voltage", Voltage)
    if at_least(newest.voltage, voltage):
        return PASS
    return Fail(
        "the insulation was tested at {measured}; {allowed} is wanted",
        measured=newest.voltage,
        allowed=voltage,
        remedy=Remedy("test again at that voltage, with all that is connected taken off first"),
    )
