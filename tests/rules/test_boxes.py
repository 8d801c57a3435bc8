from collections.abc import Callable
from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from planlint.records import PlanRecord

SMALL = settings(deadline=None, derandomize=True, max_examples=20)
TOLERANCE = 5  # tenths of a millimetre: our own decision, which tells 67 mm from 68 mm


def test_case(case: dict[str, Any], hold: Callable[[dict[str, Any]], None]) -> None:
    hold(case)


@SMALL
@given(hole=st.integers(600, 750), saws=st.lists(st.integers(600, 750), max_size=4), unit=st.sampled_from(["mm", "cm"]))
def test_one_saw_near_the_hole_is_enough_in_any_order_and_unit(
    inspect: Callable[..., PlanRecord], *, hole: int, saws: list[int], unit: str
) -> None:
    listed = ", ".join(f"{saw / {'mm': 10, 'cm': 100}[unit]:.2f} {unit}" for saw in saws)
    text = f"""
plan: 1
title: a box
tools: {{hole_saws: [{listed}]}}
boxes: {{deep: {{hole: {hole / 10} mm}}}}
rooms: {{}}
"""
    fits = any(abs(saw - hole) <= TOLERANCE for saw in saws)
    assert bool(inspect(text, "hole-saw-matches-box").findings) != fits


@SMALL
@given(layers=st.lists(st.sampled_from(["board: narrow", "material: mineral-wool, thickness: 60 mm"]), max_size=5))
def test_backing_settles_it_and_more_layers_towards_the_wall_never_harm(
    inspect: Callable[..., PlanRecord], layers: list[str]
) -> None:
    def findings(layers: list[str], point: str) -> int:
        built = ", ".join(f"{{{layer}}}" for layer in layers)
        text = f"""
plan: 1
title: a box
boxes: {{deep: {{hole: 68 mm}}}}
boards: {{narrow: {{thickness: 12.5 mm}}}}
linings: {{own: {{layers: [{built}]}}}}
rooms: {{study: {{walls: [{{wall: west, lining: own, points: {{S1: {{kind: socket, box: deep{point}}}}}}}]}}}}
"""
        return len(inspect(text, "box-has-backing").findings)

    single = [*layers, "board: narrow"]
    assert findings(single, ", backing: true") == 0
    assert findings(["board: narrow", *single], "") <= findings(single, "")
    assert findings([*layers, "board: narrow", "board: narrow"], "") == 0
