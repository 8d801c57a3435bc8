from collections.abc import Callable
from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from planlint.records import PlanRecord

WORDS = ["screws", "brackets", "straps", "anchors", "lining", "foam"]


def test_case(case: dict[str, Any], hold: Callable[[dict[str, Any]], None]) -> None:
    hold(case)


@settings(deadline=None, derandomize=True, max_examples=30)
@given(held_by=st.lists(st.sampled_from(WORDS), max_size=4), kind=st.sampled_from(["window", "door"]))
def test_whatever_else_holds_it_foam_adds_nothing(
    inspect: Callable[..., PlanRecord], held_by: list[str], kind: str
) -> None:
    text = f"""
plan: 1
title: one opening
rooms: {{loft: {{walls: [{{wall: gable, openings: {{hatch: {{kind: {kind}, frame: {{held_by: {held_by}}}}}}}}}]}}}}
"""
    loose = set(held_by) <= {"foam"}
    assert bool(inspect(text, "frame-held-mechanically").findings) == loose
