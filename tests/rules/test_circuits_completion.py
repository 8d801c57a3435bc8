from collections.abc import Callable
from datetime import date, timedelta
from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from planlint.records import PlanRecord

Inspect = Callable[..., PlanRecord]
SMALL = settings(deadline=None, derandomize=True, max_examples=30)
FIRST_FIX = date(2026, 9, 1)
TWO_WAY = 4  # common practice: two that change over, one that leads on, and the earth
LEAST = 100  # IEC 60364-6, Table 6.1, from memory: 1 Mohm, here in 0.01 Mohm


def test_case(case: dict[str, Any], hold: Callable[[dict[str, Any]], None]) -> None:
    hold(case)


def test_a_run_behind_a_wall_without_points_wants_a_photograph_too(inspect: Callable[..., PlanRecord]) -> None:
    # From the west wall to the east wall by the north one, which is the shorter way: nothing else is on it.
    plan = """
plan: 1
title: three walls
linings: {plain: {layers: [{material: air}]}}
circuits: {first: {serves: sockets, chain: [supply, S1, S2]}}
rooms:
  study:
    height: 2.5 m
    outline: closed
    walls:
      - {<<: &bare {length: 3 m, then: right, lining: none},
         wall: west, points: {S1: {kind: socket, circuit: first, at: 2 m, height: 30 cm}}}
      - {wall: north, length: 2 m, then: right, lining: plain, photos: []}
      - {<<: *bare, wall: east, points: {S2: {kind: socket, circuit: first, at: 1 m, height: 30 cm}}}
      - {wall: south, length: 2 m, then: right, lining: plain, photos: []}
"""
    found = inspect(plan, "runs-photographed").findings
    assert [finding.place for finding in found] == ["study.north"]


def plan(kind: str, names: list[str], circuit: str, more: str = "") -> str:
    points = "".join(f"\n          {name}: {{kind: {kind}, circuit: first}}" for name in names)
    return f"""
plan: 1
title: one circuit
circuits:
  first: {{{circuit}}}
rooms:
  study:
    walls:
      - wall: west
        points:{points}{more}
work: [{{task: wiring, kind: first-fix, done: {FIRST_FIX}}}]
"""


def respelt(runs: list[tuple[str, str, str]], data: st.DataObject) -> str:
    """The runs in any order, each from either end: the cables stay the same."""
    mixed = [(*run[:2][:: data.draw(st.sampled_from([1, -1]))], run[2]) for run in data.draw(st.permutations(runs))]
    return f"runs: [{', '.join(f'{{from: {start}, to: {end}{own}}}' for start, end, own in mixed)}]"


@SMALL
@given(count=st.integers(2, 6), data=st.data())
def test_a_ring_comes_back_however_it_is_written_and_not_with_any_run_left_out(
    inspect: Inspect, count: int, data: st.DataObject
) -> None:
    names = [f"S{number}" for number in range(1, count + 1)]
    runs = [(start, end, "") for start, end in zip(["supply", *names], [*names, "supply"], strict=True)]
    whole = inspect(plan("socket", names, f"ring: true, {respelt(runs, data)}"), "ring-comes-back")
    assert whole.findings == ()
    gone = data.draw(st.integers(0, count))
    cut = plan("socket", names, f"ring: true, {respelt(runs[:gone] + runs[gone + 1 :], data)}")
    assert [finding.outcome for finding in inspect(cut, "ring-comes-back").findings] == ["fail"]


@SMALL
@given(wires=st.lists(st.integers(1, 7), min_size=1, max_size=5), data=st.data())
def test_a_pair_is_joined_by_as_many_wires_as_its_thinnest_run_has(
    inspect: Inspect, wires: list[int], data: st.DataObject
) -> None:
    names = [f"W{number}" for number in range(len(wires) + 1)]
    runs = [(start, end, f", wires: {count}") for start, end, count in zip(names[:-1], names[1:], wires, strict=True)]
    pair = data.draw(st.permutations([names[0], names[-1]]))
    light = f"\n          L1: {{kind: light, circuit: first, switched_by: [{', '.join(pair)}]}}"
    findings = inspect(plan("switch", names, respelt(runs, data), light), "light-has-switch").findings
    assert [finding.measured for finding in findings] == ([str(min(wires))] if min(wires) < TWO_WAY else [])


@SMALL
@given(
    tests=st.lists(st.tuples(st.integers(-3, 3), st.integers(0, 300)), min_size=1, max_size=5),
)
def test_the_worst_insulation_of_the_newest_day_counts_in_any_order(
    inspect: Inspect, tests: list[tuple[int, int]]
) -> None:
    written = ", ".join(
        f"{{kind: insulation, date: {FIRST_FIX + timedelta(day)}, voltage: 500 V, value: {value / 100} Mohm}}"
        for day, value in tests
    )
    continuity = f"{{kind: continuity, date: {FIRST_FIX}}}"
    record = inspect(plan("socket", ["S1"], f"tests: [{continuity}, {written}]"), "dead-tests-recorded")
    newest = max(day for day, _ in tests)
    good = newest >= 0 and min(value for day, value in tests if day == newest) >= LEAST
    assert bool(record.findings) != good
