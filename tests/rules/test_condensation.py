from collections.abc import Callable
from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from planlint.records import PlanRecord, Verdict

Inspect = Callable[..., PlanRecord]
calm = settings(derandomize=True, deadline=None, max_examples=25)
BUILD_UP = ("no-condensation-in-lining", "timber-humidity-in-lining", "vapour-layer-on-warm-side")
LAYERS = [
    "{material: mineral-wool, thickness: 60 mm}",
    "{material: vapour-barrier, sd: 20 m}",
    "{board: strand}",
    "{board: sheet}",
]


def test_case(case: dict[str, Any], hold: Callable[[dict[str, Any]], None]) -> None:
    hold(case)


def plan(layers: list[str], reading: int | None = None, base: str = "thickness: 380 mm, faces: outside") -> str:
    readings = f", readings: [{{date: 2026-09-28, scale: wood-equivalent, value: {reading} %}}]" if reading else ""
    return f"""
plan: 1
title: any lining
boards: {{strand: {{kind: osb, thickness: 12 mm}}, sheet: {{kind: gypsum, thickness: 12.5 mm}}}}
linings: {{chosen: {{battens: {{depth: 60 mm}}, layers: [{", ".join(layers)}]}}}}
rooms: {{study: {{walls: [{{wall: west, base: {{material: brick, {base}}}, lining: chosen{readings}}}]}}}}
"""


def fails(record: PlanRecord) -> set[str]:
    return {finding.rule for finding in record.findings if finding.outcome is Verdict.FAIL}


@calm
@given(layers=st.permutations(LAYERS), reading=st.integers(1, 60))
def test_a_wet_wall_fails_whatever_its_lining_and_a_dry_one_by_its_lining(
    inspect: Inspect, layers: list[str], reading: int
) -> None:
    unread, read = (fails(inspect(plan(layers, value), BUILD_UP[0])) for value in (None, reading))
    assert read == ({BUILD_UP[0]} if reading > 23 else unread)  # 23 %: common practice


@calm
@given(layers=st.permutations(LAYERS))
def test_only_a_film_on_the_room_side_of_the_wool_is_right(inspect: Inspect, layers: list[str]) -> None:
    """In whatever order the boards stand, a film of 20 m decides; outside of the wool it fails by two rules."""
    wool, film = (layers.index(LAYERS[index]) for index in (0, 1))
    found = fails(inspect(plan(layers), *BUILD_UP))
    assert ("vapour-layer-on-warm-side" in found) == (film < wool)
    if film < wool:
        assert len(found) > 1


@calm
@given(
    layers=st.permutations(LAYERS),
    base=st.sampled_from(["faces: outside", "thickness: 380 mm", "thickness: 380 mm, faces: ground"]),
)
def test_what_is_not_recorded_or_not_outside_never_fails_here(inspect: Inspect, layers: list[str], base: str) -> None:
    record = inspect(plan(layers, base=base), BUILD_UP[0], BUILD_UP[1], "no-mould-at-surface")
    expected = Verdict.NOT_APPLICABLE if "ground" in base else Verdict.OPEN
    assert record.tally[expected] == 3
