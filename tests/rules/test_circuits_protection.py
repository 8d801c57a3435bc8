from collections.abc import Callable
from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from planlint.records import PlanRecord, Verdict

Inspect = Callable[..., PlanRecord]
SMALL = settings(deadline=None, derandomize=True, max_examples=30)
# IEC 60364-5-52, Table B.52.2, two loaded conductors, 1.5 and 2.5 mm² (A).
TABLE = {("A1", "1.5"): 14.5, ("A2", "1.5"): 14, ("B1", "1.5"): 17.5, ("B2", "1.5"): 16.5, ("C", "1.5"): 19.5}
TABLE |= {("A1", "2.5"): 19.5, ("A2", "2.5"): 18.5, ("B1", "2.5"): 24, ("B2", "2.5"): 23, ("C", "2.5"): 27}
RULES = (
    "earth-conductor-section",
    "breaker-protects-cable",
    "method-matches-wall",
    "breaker-rating-usual",
    "voltage-drop",
    "earth-fault-disconnection",
    "rcd-protects",
    "conduit-not-overfull",
)


def test_case(case: dict[str, Any], hold: Callable[[dict[str, Any]], None]) -> None:
    hold(case)


def plan(circuit: str, supply: str = "earthing: TN-S, voltage: 230 V, loop_impedance: 0.35 ohm") -> str:
    return f"""
plan: 1
title: one circuit
supply: {{{supply}}}
circuits:
  first: {{{circuit}}}
rooms:
  study:
    walls:
      - wall: west
        points: {{S1: {{kind: socket, circuit: first}}}}
"""


def failed(record: PlanRecord) -> set[str]:
    return {finding.rule for finding in record.findings if finding.outcome is Verdict.FAIL}


@SMALL
@given(laid=st.sampled_from(sorted(TABLE)), tenths=st.integers(10, 400))
def test_a_breaker_is_too_large_exactly_above_the_table(
    inspect: Inspect, *, laid: tuple[str, str], tenths: int
) -> None:
    method, section = laid
    text = plan(f"breaker: {{rating: {tenths / 10} A}}, section: {section} mm², method: {method}, chain: [supply, S1]")
    assert bool(failed(inspect(text, "breaker-protects-cable"))) == (tenths / 10 > TABLE[laid])


@SMALL
@given(ohms=st.integers(0, 4000))
def test_a_tt_electrode_is_too_poor_exactly_above_50_volts(inspect: Inspect, ohms: int) -> None:
    """30 mA through the electrode: IEC 60364-4-41, 411.5.3."""
    text = plan("rcd: 30 mA", f"earthing: TT, earth_resistance: {ohms} ohm")
    assert bool(failed(inspect(text, "earth-fault-disconnection"))) == (ohms * 0.030 > 50)


@SMALL
@given(left_out=st.sets(st.sampled_from(range(11))))
def test_what_is_not_recorded_never_passes_nor_fails_by_itself(inspect: Inspect, left_out: set[int]) -> None:
    """A sound circuit with facts left out: nothing fails, and what lacks a fact is open."""
    facts = [
        "serves: sockets",
        "breaker: {rating: 16 A, curve: B}",
        "rcd: 30 mA",
        "section: 2.5 mm²",
        "cable: singles",
        "conduit: {bore: 14.1 mm}",
        "chain: [supply, S1], lengths: {S1: 10 m}",
    ]
    supply = ["earthing: TN-S", "voltage: 230 V", "loop_impedance: 0.35 ohm", "fault_current: 0.6 kA"]
    kept = [fact for number, fact in enumerate(facts + supply) if number not in left_out]
    circuit = ", ".join(fact for fact in kept if fact in facts)
    record = inspect(plan(circuit, ", ".join(fact for fact in kept if fact in supply)), *RULES)
    assert failed(record) == set()
    needed = left_out - {10}  # nothing needs the fault current
    without_runs = 6 in left_out
    silent = {4, 5} if without_runs else set()  # what lies in a run is asked for where there is one
    assert bool(record.findings) == bool(needed - silent)
