"""How long coats dry; the figures themselves stand in tests/reference/test_drying.py."""

from datetime import date
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planlint import limits, source
from planlint.model.build import build
from planlint.model.work import Task
from planlint.rule import Given
from planlint.sums.drying import LIMITS_OF_DRYING, Drying, airs_of, drying_of
from planlint.sums.working import Lacking

GIVEN = Given(limits.resolve(None), date(2026, 10, 3), LIMITS_OF_DRYING)


def task(written: str, inside: str = "{}", rooms: str = "hall: {}") -> Task:
    text = f"""
plan: 1
title: drying
climate: {{inside: {inside}}}
rooms: {{{rooms}}}
work: [{{task: job, {written}}}]
"""
    return build(source.read(text.encode(), "case.plan.yaml")).tasks[0]


def hours(written: str, **plan: str) -> float:
    drying = drying_of(task(written, **plan), GIVEN)
    assert isinstance(drying, Drying)
    assert drying.time is not None
    return drying.time / 3600


@settings(deadline=None, derandomize=True, max_examples=25)
@given(warm=st.integers(0, 40), cold=st.integers(0, 40), dry=st.integers(0, 90), moist=st.integers(0, 90))
def test_cold_and_moist_air_never_dries_faster(warm: int, cold: int, dry: int, moist: int) -> None:
    (cold, warm), (dry, moist) = sorted((cold, warm)), sorted((dry, moist))

    def filled(temperature: int, humidity: int) -> float:
        return hours("kind: filling", inside=f"{{temperature: {temperature} degC, humidity: {humidity} %}}")

    assert filled(cold, moist) >= filled(warm, dry)


@settings(deadline=None, derandomize=True, max_examples=15)
@given(kind=st.sampled_from(["filling", "plastering", "screed"]), thin=st.integers(1, 80), more=st.integers(1, 80))
def test_a_thicker_coat_never_dries_faster(kind: str, thin: int, more: int) -> None:
    first, second = (hours(f"kind: {kind}, thickness: {size} mm") for size in (thin, thin + more))
    assert second >= first


def test_units_change_nothing() -> None:
    assert hours("kind: filling", inside="{temperature: 59 degF, humidity: 65 %}") == pytest.approx(
        hours("kind: filling", inside="{temperature: 15 degC, humidity: 65 %}")
    )
    assert hours("kind: screed, thickness: 2 in") == pytest.approx(hours("kind: screed, thickness: 50.8 mm"))


def test_the_worst_room_counts_and_the_rest_is_taken_from_the_limits() -> None:
    rooms = "hall: {climate: {inside: {humidity: 80 %}}}, attic: {climate: {inside: {temperature: 5 degC}}}"
    airs = airs_of(task("kind: filling", rooms=rooms), GIVEN)
    assert [str(air) for air in airs] == ["20 °C, 80 %", "5 °C, 50 %"]
    drying = drying_of(task("kind: filling", rooms=rooms), GIVEN)
    assert isinstance(drying, Drying)
    # Deficits of vapour pressure by the tables of saturation (2339 Pa at 20 °C, 872 Pa at 5 °C): 468 and 436 Pa.
    assert drying.air is not None
    assert drying.air.room == "attic"


@pytest.mark.parametrize("kind", ["stripping", "sanding", "photographs", "second-fix", "closing-in"])
def test_what_does_not_dry(kind: str) -> None:
    assert drying_of(task(f"kind: {kind}"), GIVEN) is None


@pytest.mark.parametrize(
    ("written", "keys"),
    [
        ("kind: plastering", ("thickness",)),
        ("kind: screed", ("thickness",)),
        ("kind: windows", ("product",)),
    ],
)
def test_what_is_lacking(written: str, keys: tuple[str, ...]) -> None:
    found: Any = drying_of(task(written), GIVEN)
    assert isinstance(found, Lacking)
    assert found.keys == keys


@pytest.mark.parametrize("inside", ["{humidity: 96 %}", "{temperature: -2 degC}", "{temperature: 45 degC}"])
def test_air_beyond_the_formula_has_no_time(inside: str) -> None:
    drying = drying_of(task("kind: filling", inside=inside), GIVEN)
    assert isinstance(drying, Drying)
    assert drying.time is None
