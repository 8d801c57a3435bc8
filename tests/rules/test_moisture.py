from collections.abc import Callable
from datetime import date, timedelta
from typing import Any

import yaml
from hypothesis import given, settings
from hypothesis import strategies as st

from planlint.records import Finding, PlanRecord, Verdict

Inspect = Callable[..., PlanRecord]
TODAY = date(2026, 10, 3)
calm = settings(derandomize=True, deadline=None, max_examples=40)

# Positions 30 cm and more apart, so that two readings are at one spot only where both numbers are the same.
readings = st.fixed_dictionaries(
    {
        "date": st.integers(1, 60).map(lambda days: str(TODAY - timedelta(days))),
        "at": st.integers(0, 4).map(lambda step: f"{30 * step} cm"),
        "height": st.integers(0, 4).map(lambda step: f"{30 * step + 15} cm"),
        "value": st.integers(0, 40).map(lambda percent: f"{percent} %"),
    },
).map(lambda reading: {"scale": "wood-equivalent", **reading})
some = st.lists(readings, min_size=1, max_size=6)


def test_case(case: dict[str, Any], hold: Callable[[dict[str, Any]], None]) -> None:
    hold(case)


def plan(readings: list[dict[str, Any]], battens: dict[str, Any] | None = None, faces: str = "outside") -> str:
    wall = {
        "wall": "west",
        "length": "1.8 m",
        "base": {"material": "solid-brick", "faces": faces, "sound": True},
        "lining": "chosen",
        "readings": readings,
    }
    lining = {"battens": battens or {}, "layers": [{"material": "gypsum"}]}
    whole = {"plan": 1, "title": "t", "linings": {"chosen": lining}, "rooms": {"hall": {"walls": [wall]}}}
    # JSON-like output without anchors, so that what two readings share is written twice, as people do.
    dumper = type("Plain", (yaml.SafeDumper,), {"ignore_aliases": lambda *_: True})
    return yaml.dump(whole, Dumper=dumper, sort_keys=False, allow_unicode=True)


def verdict(findings: tuple[Finding, ...]) -> str:
    assert len(findings) <= 1
    return "pass" if not findings else findings[0].level if findings[0].outcome is Verdict.FAIL else findings[0].outcome


# From the rulebook, worked out in another way: the worst of each spot's newest, 20 % and 23 %.
def expected(readings: list[dict[str, Any]]) -> str:
    spots: dict[tuple[str, str], dict[str, list[int]]] = {}
    for reading in readings:
        days = spots.setdefault((reading["at"], reading["height"]), {})
        days.setdefault(reading["date"], []).append(int(reading["value"].split()[0]))
    worst = max(max(days[max(days)]) for days in spots.values())
    return "pass" if worst <= 20 else "warning" if worst <= 23 else "error"


@calm
@given(some, st.data())
def test_the_worst_of_each_spots_newest_decides_in_whatever_order_it_is_written(
    inspect: Inspect, readings: list[dict[str, Any]], data: st.DataObject
) -> None:
    shuffled = data.draw(st.permutations(readings))
    for order in (readings, shuffled):
        assert verdict(inspect(plan(order), "wall-dry-enough").findings) == expected(readings)


@calm
@given(some, readings)
def test_a_wet_spot_more_is_never_better(
    inspect: Inspect, readings: list[dict[str, Any]], more: dict[str, Any]
) -> None:
    soaked = more | {"at": "170 cm", "value": "50 %"}
    assert verdict(inspect(plan([*readings, soaked]), "wall-dry-enough").findings) == "error"
    found = inspect(plan([*readings, soaked], {"treated": True, "isolated_by": "cork"}), "no-timber-on-damp-wall")
    assert verdict(found.findings) == "error"


@calm
@given(some, readings, st.integers(1, 400))
def test_what_is_dated_in_the_future_changes_nothing_but_is_said(
    inspect: Inspect, readings: list[dict[str, Any]], more: dict[str, Any], days: int
) -> None:
    with_it = plan([*readings, more | {"date": str(TODAY + timedelta(days))}])
    for rule in ("wall-dry-enough", "wall-read-before-closing", "no-timber-on-damp-wall"):
        known, found = inspect(plan(readings), rule).findings, inspect(with_it, rule).findings
        assert [finding.message for finding in known] == [finding.message for finding in found]
    assert "has not come yet" in inspect(with_it, "readings-recent").findings[0].message


@calm
@given(some, st.sampled_from(["value", "scale", "date", "at", "height"]), st.data())
def test_a_key_left_out_never_lets_the_wall_pass_where_it_failed(
    inspect: Inspect, readings: list[dict[str, Any]], key: str, data: st.DataObject
) -> None:
    index = data.draw(st.integers(0, len(readings) - 1))
    poorer = [{k: v for k, v in one.items() if n != index or k != key} for n, one in enumerate(readings)]
    for rule in ("wall-dry-enough", "wall-read-before-closing", "readings-recent", "no-timber-on-damp-wall"):
        if verdict(inspect(plan(readings), rule).findings) != "pass":
            assert verdict(inspect(plan(poorer), rule).findings) != "pass"


@calm
@given(
    st.lists(st.tuples(st.integers(5, 240), st.integers(0, 60)), min_size=1, max_size=6, unique_by=lambda pair: pair[0])
)
def test_a_column_says_the_same_as_its_readings_one_by_one(inspect: Inspect, pairs: list[tuple[int, int]]) -> None:
    same = {"date": "2026-09-28", "scale": "oven-dry", "at": "1 m"}
    column = [same | {"column": {f"{height} cm": f"{value / 10} %" for height, value in pairs}}]
    single = [same | {"height": f"{height / 100} m", "value": f"{value / 10} %"} for height, value in pairs]
    for rule in ("wall-read-before-closing", "wall-dry-enough", "readings-recent", "readings-on-one-scale"):
        assert verdict(inspect(plan(column), rule).findings) == verdict(inspect(plan(single), rule).findings)


@calm
@given(
    some,
    st.sampled_from(["outside", "ground", "neighbour", "loft", "inside"]),
    st.fixed_dictionaries({}, optional={"treated": st.booleans(), "isolated_by": st.sampled_from(["cork", "none"])}),
)
def test_timber_passes_only_on_a_dry_wall_or_kept_off_one_that_is_not_too_wet(
    inspect: Inspect, readings: list[dict[str, Any]], faces: str, battens: dict[str, Any]
) -> None:
    found = verdict(inspect(plan(readings, battens, faces), "no-timber-on-damp-wall").findings)
    is_kept_off = battens == {"treated": True, "isolated_by": "cork"}
    dampness = expected(readings)
    passes = dampness != "error" and (is_kept_off or (faces in ("inside", "loft") and dampness == "pass"))
    assert (found == "pass") == passes
