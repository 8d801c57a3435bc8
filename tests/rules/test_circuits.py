from collections.abc import Callable
from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from planlint.records import PlanRecord

Inspect = Callable[..., PlanRecord]
SMALL = settings(deadline=None, derandomize=True, max_examples=30)
OUTLETS, SOCKET_SECTION = (
    6,
    250,
)  # common practice: about six outlets on a circuit, sockets on 2.5 mm² (here in 0.01 mm²)


def test_case(case: dict[str, Any], hold: Callable[[dict[str, Any]], None]) -> None:
    hold(case)


def plan(circuit: str, points: list[str]) -> str:
    on_wall = "".join(f"\n          {name}: {{kind: socket, circuit: first, gangs: 1}}" for name in points) or " {}"
    return f"""
plan: 1
title: one circuit
circuits:
  first: {{serves: sockets, {circuit}}}
rooms:
  study:
    walls:
      - wall: west
        points:{on_wall}
"""


def found(record: PlanRecord) -> set[str]:
    return {finding.place for finding in record.findings}


@st.composite
def trees(draw: st.DrawFn) -> list[tuple[str, str]]:
    """Runs that reach every point once: each point hangs on the supply or on a point before it."""
    count = draw(st.integers(1, 7))
    reached = ["supply", *(f"S{number}" for number in range(1, count + 1))]
    return [(reached[draw(st.integers(0, number - 1))], reached[number]) for number in range(1, count + 1)]


def respelt(runs: list[tuple[str, str]], data: st.DataObject) -> str:
    """The runs in any order, each from either end: the cables on the wall stay the same."""
    turned = [run[::-1] if data.draw(st.booleans()) else run for run in data.draw(st.permutations(runs))]
    return f"runs: [{', '.join(f'{{from: {start}, to: {end}}}' for start, end in turned)}]"


@SMALL
@given(runs=trees(), data=st.data())
def test_a_tree_of_runs_feeds_all_and_closes_no_loop(
    inspect: Inspect, runs: list[tuple[str, str]], data: st.DataObject
) -> None:
    text = plan(respelt(runs, data), [end for _, end in runs])
    assert inspect(text, "point-is-fed", "run-leads-somewhere").findings == ()


@SMALL
@given(runs=trees(), data=st.data())
def test_a_run_left_out_cuts_off_what_hangs_on_it_and_no_more(
    inspect: Inspect, runs: list[tuple[str, str]], data: st.DataObject
) -> None:
    gone = data.draw(st.integers(0, len(runs) - 1))
    cut = {runs[gone][1]}
    for start, end in runs:
        if start in cut:
            cut.add(end)
    text = plan(respelt(runs[:gone] + runs[gone + 1 :], data), [end for _, end in runs])
    assert found(inspect(text, "point-is-fed")) == {f"study.west.{name}" for name in cut}


@SMALL
@given(runs=trees(), data=st.data())
def test_one_run_more_closes_exactly_one_loop_unless_it_is_a_ring(
    inspect: Inspect, runs: list[tuple[str, str]], data: st.DataObject
) -> None:
    names = ["supply", *(end for _, end in runs)]
    extra = tuple(data.draw(st.permutations(names))[:2])
    circuit = respelt([*runs, (extra[0], extra[1])], data)
    assert len(inspect(plan(circuit, names[1:]), "run-leads-somewhere").findings) == 1
    assert inspect(plan(f"ring: true, {circuit}", names[1:]), "run-leads-somewhere").findings == ()


@SMALL
@given(sockets=st.integers(0, 9), elsewhere=st.integers(0, 9))
def test_outlets_are_counted_here_and_elsewhere(inspect: Inspect, *, sockets: int, elsewhere: int) -> None:
    names = [f"S{number}" for number in range(1, sockets + 1)]
    record = inspect(plan(f"also_feeds: {{sockets: {elsewhere}}}", names), "socket-points-per-circuit")
    assert bool(record.findings) == (sockets + elsewhere > OUTLETS)


@SMALL
@given(hundredths=st.integers(1, 1000))
def test_a_section_is_too_thin_in_every_unit_or_in_none(inspect: Inspect, hundredths: int) -> None:
    for spelling in (f"{hundredths / 100:.2f} mm²", f"{hundredths / 10_000:.4f} cm2"):
        record = inspect(plan(f"section: {spelling}", []), "conductor-section")
        assert bool(record.findings) == (hundredths < SOCKET_SECTION)
