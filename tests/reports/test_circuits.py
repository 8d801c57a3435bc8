import json
from collections.abc import Callable
from dataclasses import replace

import pytest
from jsonschema import Draft202012Validator, ValidationError

from planlint.circuit_records import (
    AmperesLeft,
    Carrying,
    CircuitCard,
    CircuitSchedule,
    Drop,
    Fed,
    Loop,
    MetresLeft,
    OutletsLeft,
)
from planlint.reports import circuits, circuits_json
from planlint.reports.page import Page
from planlint.schema import load_schema
from planlint.sum_records import Figure, Source, StepCard, Unknown, Working

Golden = Callable[[str, str], None]


def figure(value: float, unit: str) -> Figure:
    return Figure(value, unit, f"{value:g} {unit}")


def working(*limits: str) -> Working:
    """A sum that is made up, as everything here: reports do no sums."""
    steps = (
        StepCard("current by the table", "4 mm², 2 loaded, clipped (C)", "36 A"),
        StepCard("after the factor for warmth", "45 °C around the cable: × 0.79", "28.4 A"),
        StepCard("may carry (Iz)", "36 A × 0.79", "28.4 A"),
    )
    return Working("Iz = the table's current × the factors", steps, limits)


@pytest.fixture
def kiln() -> CircuitCard:
    """A circuit of which everything is known, and that has passed some of its limits."""
    return CircuitCard(
        place="circuits.kiln-room",
        serves="sockets",
        feeds=(Fed("S1", "socket", 2, "mill.north.S1"), Fed("W1", "switch", 0, "mill.north.W1")),
        also_sockets=3,
        also_lights=1,
        outlets=6,
        breaker=figure(32, "A"),
        curve="C",
        rcd="none",
        section=figure(4, "mm²"),
        other_sections=(("circuits.kiln-room.run-to-S1", figure(6, "mm²")),),
        earth_section=figure(1.5, "mm²"),
        cable="multicore",
        is_ring=True,
        capacity=Carrying(
            run="circuits.kiln-room.run-to-S1",
            lying="a multicore cable clipped to a wall (C), behind mill.north, whose lining is not recorded",
            table=figure(36, "A"),
            carried=figure(28.4, "A"),
            at_best=figure(36, "A"),
            missing=("mill.north.lining",),
            working=working("cable_capacity", "ambient_factor"),
        ),
        drop=Drop(
            point="S1",
            way=figure(40, "m"),
            volts=figure(12, "V"),
            share=figure(5.2, "%"),
            allowed=figure(5, "%"),
            is_within=False,
            by_loads=False,
            working=working("drop_others"),
        ),
        loop=Loop(
            point="S1",
            way=figure(40, "m"),
            ohms=figure(0.6, "ohm"),
            allowed=figure(0.68, "ohm"),
            is_within=True,
            cleared_by="the breaker trips at once (320 A)",
            working=working("trip_multiple"),
        ),
        outlets_left=(
            OutletsLeft("socket outlets", 5, 8, "8 at most", "socket_points_per_circuit"),
            OutletsLeft("light points", 1, 0, "sockets and lights are to be kept apart", "sockets_and_lights_together"),
        ),
        metres_left=MetresLeft(figure(0, "m"), "S1", "voltage drop", ()),
        amperes_left=AmperesLeft(figure(20, "A"), figure(8.4, "A"), figure(-2.5, "A")),
    )


@pytest.fixture
def bare(kiln: CircuitCard) -> CircuitCard:
    """A circuit of which next to nothing is recorded."""
    nothing = Unknown("how the cables run", ("chain",))
    return replace(
        kiln,
        place="circuits.spare",
        serves=None,
        feeds=(),
        also_sockets=0,
        also_lights=0,
        outlets=0,
        breaker=None,
        curve=None,
        rcd=None,
        section=None,
        other_sections=(),
        earth_section=None,
        cable=None,
        is_ring=False,
        capacity=nothing,
        drop=nothing,
        loop=Unknown("length is 12,000 m, and has to be from 0 to 10,000 m", ()),
        outlets_left=(Unknown("what the circuit serves", ("serves",)),),
        metres_left=nothing,
        amperes_left=AmperesLeft(None, Unknown("the breaker", ("breaker.rating", "chain")), nothing),
    )


@pytest.fixture
def mill(kiln: CircuitCard, bare: CircuitCard) -> CircuitSchedule:
    return CircuitSchedule(
        plan="mill.plan.yaml",
        title="Mill on the dyke, küche",
        digest="sha256:" + "0" * 64,
        limits=("general", "gb"),
        place=None,
        circuits=(kiln, bare),
        in_plan=2,
        sources=(
            Source("cable_capacity", "", "general", "memory", "IEC 60364-5-52, Table B.52.2", "as quoted"),
            Source("drop_others", "5 %", "plan", "own decision", "this plan: it is a long way", ""),
        ),
        overridden=("drop_others: 5 % (it is a long way)",),
        caution="Work on circuits only when they are dead.",
    )


def test_text(mill: CircuitSchedule, golden: Golden) -> None:
    golden("circuits.txt", circuits.render(mill, Page()))


def test_text_with_working(mill: CircuitSchedule, golden: Golden) -> None:
    golden("circuits-working.txt", circuits.render(mill, Page(), show_working=True))


@pytest.mark.parametrize("width", [40, 80, 100])
def test_text_keeps_to_the_page(mill: CircuitSchedule, width: int) -> None:
    text = circuits.render(mill, Page(width), show_working=True)
    # A word that is longer than the page stands alone on its line: people copy keys and places.
    assert [line for line in text.split("\n") if len(line) > width and " " in line.strip()] == []


def test_nothing_in_a_plan_steers_the_terminal(mill: CircuitSchedule) -> None:
    text = circuits.render(replace(mill, title="Mill\x1b[2J", plan="a\x07.yaml"), Page(), show_working=True)
    assert "\x1b" not in text
    assert "\x07" not in text


def test_a_length_that_may_end_sooner(mill: CircuitSchedule, kiln: CircuitCard) -> None:
    left = MetresLeft(figure(12.5, "m"), "S1", "voltage drop", (Unknown("the loop", ("supply.loop_impedance",)),))
    text = circuits.render(replace(mill, circuits=(replace(kiln, metres_left=left),)), Page(1000))
    assert (
        "Length: 12.5 m more cable on the way to S1; then the voltage drop is at its limit; or sooner, since not "
        "worked out, since this is not recorded: the loop (add supply.loop_impedance)."
    ) in text


@pytest.fixture
def validator() -> Draft202012Validator:
    return Draft202012Validator(load_schema("circuits-1"))


def test_json(mill: CircuitSchedule, golden: Golden, validator: Draft202012Validator) -> None:
    text = circuits_json.render(mill, "1.2.3")
    golden("circuits.json", text)
    validator.validate(json.loads(text))


@pytest.mark.parametrize(("key", "value"), [("serves", 3), ("drop", None), ("rcd", "maybe"), ("outlets", -1)])
def test_the_schema_refuses_what_is_wrong(
    mill: CircuitSchedule, validator: Draft202012Validator, key: str, value: object
) -> None:
    report = json.loads(circuits_json.render(mill, "1.2.3"))
    report["schedule"][0][key] = value
    with pytest.raises(ValidationError):
        validator.validate(report)
