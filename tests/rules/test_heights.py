import json
from collections.abc import Callable
from random import Random
from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from planlint.records import PlanRecord

steady = settings(derandomize=True, deadline=None, max_examples=40)
heights = st.lists(st.integers(240, 260) | st.integers(100, 1400), min_size=2, max_size=6)
AGREE = "socket-heights-agree"


def test_case(case: dict[str, Any], hold: Callable[[dict[str, Any]], None]) -> None:
    hold(case)


def plan(points: dict[str, Any], **wall: Any) -> str:  # noqa: ANN401 - whatever a wall may hold
    west = {"wall": "west", "length": "6 m", "points": points, **wall}
    return json.dumps({"plan": 1, "title": "a wall", "rooms": {"hall": {"height": "2.60 m", "walls": [west]}}})


def sockets(figures: list[int]) -> dict[str, Any]:
    """Sockets half a metre apart, at heights in millimetres."""
    return {
        f"S{number}": {"kind": "socket", "at": f"{number * 500} mm", "height": f"{figure} mm"}
        for number, figure in enumerate(figures, 1)
    }


def places(record: PlanRecord) -> list[str]:
    return [finding.place for finding in record.findings]


@steady
@given(heights)
def test_heights_agree_where_all_are_near_the_most_common(
    inspect: Callable[..., PlanRecord], figures: list[int]
) -> None:
    # Worked out the long way: the most common figure, the first of them where several are.
    usual = max(figures, key=figures.count)
    assert bool(inspect(plan(sockets(figures)), AGREE).findings) == any(abs(figure - usual) > 3 for figure in figures)


@steady
@given(heights, st.randoms(use_true_random=False), st.integers(0, 500))
def test_only_differences_count_and_not_the_order_of_writing(
    inspect: Callable[..., PlanRecord], figures: list[int], order: Random, lift: int
) -> None:
    written = list(sockets(figures).items())
    order.shuffle(written)
    plain = places(inspect(plan(sockets(figures)), AGREE))
    assert places(inspect(plan(dict(written)), AGREE)) == plain
    assert places(inspect(plan(sockets([figure + lift for figure in figures])), AGREE)) == plain


@steady
@given(st.integers(0, 6100), st.integers(0, 2700), st.integers(1, 4))
def test_a_mirrored_wall_keeps_its_findings(
    inspect: Callable[..., PlanRecord], at: int, height: int, gangs: int
) -> None:
    def record(position: int, left: int) -> PlanRecord:
        point = {"kind": "socket", "at": f"{position} mm", "height": f"{height} mm", "gangs": gangs}
        window = {"kind": "window", "at": f"{left} mm", "width": "900 mm", "sill": "0.88 m", "height": "1.30 m"}
        return inspect(plan({"S1": point}, openings={"window": window}), "point-on-wall")

    if at <= 6000:
        # 6.00 m of wall, and a window of 0.90 m that begins at 1.50 m from either end.
        assert bool(record(at, 1500).findings) == bool(record(6000 - at, 3600).findings)
    else:
        assert record(at, 1500).findings


@steady
@given(heights, st.data())
def test_a_point_without_its_place_never_passes(
    inspect: Callable[..., PlanRecord], figures: list[int], data: st.DataObject
) -> None:
    points = sockets(figures)
    name = data.draw(st.sampled_from(sorted(points)))
    key = data.draw(st.sampled_from(["at", "height"]))
    del points[name][key]
    record = inspect(plan(points), "point-on-wall")
    assert [(finding.place, finding.missing) for finding in record.findings] == [(f"hall.west.{name}", (key,))]
