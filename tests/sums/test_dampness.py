"""How damp a wall and its timber are. What rules make of it stands in the tables of tests/rules/moisture*.yaml."""

from datetime import date, timedelta
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planlint import limits, source
from planlint.grammar import parse
from planlint.model.build import build
from planlint.model.readings import Judged, Reading
from planlint.model.rooms import Wall
from planlint.model.words import ReadOf, Scale
from planlint.records import Level
from planlint.rule import Given, Open, Remedy, Review
from planlint.sums.dampness import LIMITS_OF_DAMPNESS, Dampness, at_calibration, too_damp, wettest, without_limit
from planlint.units import Ratio, Temperature

TODAY = date(2026, 10, 3)
IN_FORCE = limits.resolve(None)
calm = settings(derandomize=True, deadline=None, max_examples=60)


def wall_with(readings: list[dict[str, Any]], more: str = "") -> Wall:
    """A wall of brick towards the outside, with these readings."""
    text = f"""
plan: 1
title: one wall
rooms:
  hall:
    walls: [{{wall: west, base: {{material: solid-brick, faces: outside}}, {more}readings: {readings}}}]
"""
    return build(source.read(text.encode(), "case.plan.yaml")).rooms[0].walls[0]


def damp(readings: list[dict[str, Any]], more: str = "", *, salts_excuse: bool = True) -> Dampness:
    # Only the limits that the sum declares: one more would raise.
    return wettest(wall_with(readings, more), Given(IN_FORCE, TODAY, LIMITS_OF_DAMPNESS), salts_excuse=salts_excuse)


def test_the_wettest_on_its_own_scale_and_what_no_limit_judges() -> None:
    worst, unjudged = damp(
        [
            {"scale": "wood-equivalent", "value": "19 %"},
            {"scale": "oven-dry", "value": "3.5 %"},
            {"scale": "carbide", "value": "40 %"},
        ]
    )
    assert worst is not None
    assert (worst.reading.scale, worst.is_damp, worst.is_wet) == (Scale.OVEN_DRY, True, False)
    assert isinstance(unjudged, Review)
    assert "reading 3 is 40 % on the carbide scale" in unjudged.message


@pytest.mark.parametrize("scale", ["relative", "carbide", "air-humidity", "wood"])
def test_no_figure_of_another_scale_is_held_against_the_limits_of_wood(scale: str) -> None:
    for value in ("1 %", "19 %", "50 %"):
        worst, unjudged = damp([{"scale": scale, "value": value}])
        assert worst is None
        assert isinstance(unjudged, Open if scale in ("relative", "wood") else Review)


def test_a_wall_that_was_not_read_is_open() -> None:
    worst, unjudged = damp([])
    assert worst is None
    assert isinstance(unjudged, Open)
    assert unjudged.missing == ("readings",)


def test_salts_leave_the_oven_and_what_is_low_alone() -> None:
    readings = [{"scale": "wood-equivalent", "value": "50 %"}, {"scale": "wood-equivalent", "value": "19 %"}]
    worst, unjudged = damp([*readings, {"scale": "oven-dry", "value": "4 %"}], "salts: tested, ")
    assert worst is not None
    assert str(worst.value) == "4 %"
    assert isinstance(unjudged, Review)
    worst, unjudged = damp(readings, "salts: tested, ", salts_excuse=False)
    assert worst is not None
    assert worst.is_wet
    assert unjudged is None


def test_what_is_worked_out_once_in_a_run_is_kept() -> None:
    wall, given_once = wall_with([{"scale": "oven-dry", "value": "4 %"}]), Given(IN_FORCE, TODAY, LIMITS_OF_DAMPNESS)
    assert wettest(wall, given_once) is wettest(wall, given_once)
    assert wettest(wall, given_once) is not wettest(wall, given_once, salts_excuse=False)


def rank(found: Dampness) -> int:
    """How far a wall is from being called dry: 0 dry, 1 for a person or open, 2 damp, 3 wet."""
    worst, unjudged = found
    return 3 if worst and worst.is_wet else 2 if worst and worst.is_damp else 1 if unjudged else 0


readings = st.lists(
    st.fixed_dictionaries(
        {
            "date": st.integers(0, 3).map(lambda days: str(TODAY - timedelta(days))),
            "scale": st.sampled_from(["wood-equivalent", "oven-dry", "carbide", "relative"]),
            "at": st.integers(0, 2).map(lambda step: f"{30 * step} cm"),
            "height": st.just("15 cm"),
            "value": st.integers(0, 40).map(lambda percent: f"{percent} %"),
        }
    ),
    min_size=1,
    max_size=6,
)


@calm
@given(readings, st.sampled_from(["suspected", "tested"]))
def test_salts_never_make_a_damp_wall_dry_but_by_a_sample_that_was(readings: list[dict[str, Any]], word: str) -> None:
    known, salty = rank(damp(readings)), rank(damp(readings, f"salts: {word}, "))
    assert salty <= known
    sampled = any(one["scale"] == "oven-dry" for one in readings)
    assert sampled or (salty == 0) == (known == 0)


@calm
@given(readings)
def test_salts_recorded_without_an_excuse_change_nothing_where_no_sample_was_taken(
    readings: list[dict[str, Any]],
) -> None:
    unsampled = [one for one in readings if one["scale"] != "oven-dry"]
    strict = rank(damp(unsampled, "salts: tested, ", salts_excuse=False))
    assert strict == rank(damp(unsampled))


def timber(value: str, temperature: str | None, scale: Scale = Scale.WOOD) -> Reading:
    warmth = None if temperature is None else parse(temperature, Temperature)
    return Reading(0, ReadOf.BATTENS, scale, parse(value, Ratio), TODAY, None, None, warmth)


@pytest.mark.parametrize(
    ("value", "temperature", "stands_for"),
    [
        # A public manual of a pin meter made for 20 °C, for a reading of 15 %: +2 at 10 °C, -3 at 40 °C, -4 at 50 °C.
        ("15 %", "10 degC", "17 %"),
        ("15 %", "50 degF", "17 %"),
        ("15 %", "20 degC", "15 %"),
        ("15 %", "40 degC", "12 %"),
        ("15 %", "50 degC", "11 %"),
        ("15 %", "5 degC", "18 %"),  # the same meters, from memory
        ("15 %", None, "15 %"),
        # Beyond 7 to 30 %, where the scale ends, as at its end.
        ("35 %", "10 degC", "37 %"),
        ("5 %", "10 degC", "7 %"),
        ("2 %", "50 degC", "0 %"),
    ],
)
def test_timber_as_the_meter_would_show_it_at_20_degrees(value: str, temperature: str | None, stands_for: str) -> None:
    corrected = at_calibration(timber(value, temperature))
    assert corrected is not None
    assert str(corrected.value) == stands_for


@pytest.mark.parametrize("temperature", ["4.9 degC", "-10 degC", "51 degC"])
def test_no_correction_is_made_up_for_timber_that_is_colder_or_warmer(temperature: str) -> None:
    assert at_calibration(timber("15 %", temperature)) is None


@pytest.mark.parametrize("scale", [scale for scale in Scale if scale is not Scale.WOOD])
def test_only_pins_in_wood_are_corrected(scale: Scale) -> None:
    reading = timber("15 %", "5 degC", scale)
    assert at_calibration(reading) is reading


def test_colder_timber_never_stands_for_less() -> None:
    stands_for = [at_calibration(timber("15 %", f"{celsius} degC")) for celsius in range(5, 51)]
    values = [one.value for one in stands_for if one and isinstance(one.value, Ratio)]
    assert len(values) == 46
    assert values == sorted(values, reverse=True)


@pytest.mark.parametrize(
    ("value", "level", "message"),
    [
        (
            "22 %",
            Level.WARNING,
            "it reads {measured}; more than {allowed} is damp, and more than 23 % must not be closed in",
        ),
        ("24 %", Level.ERROR, "it reads {measured}; more than {allowed} must not be closed in"),
    ],
)
def test_damp_is_a_warning_and_wet_an_error(value: str, level: Level, message: str) -> None:
    judged = Judged(timber(value, None), parse(value, Ratio), Ratio(0.20, "%"), Ratio(0.23, "%"))
    fail = too_damp("it reads {measured}", judged, Remedy("dry it"))
    assert (fail.level, fail.message) == (level, message)
    assert fail.allowed == (judged.warn if level is Level.WARNING else judged.stop)


def test_what_no_limit_judges_is_open_before_it_is_for_a_person() -> None:
    remedy = Remedy("look")
    carbide, relative = timber("2 %", None, Scale.CARBIDE), timber("2 %", None, Scale.RELATIVE)
    assert without_limit([], ["carbide"], "brick", remedy) is None
    assert isinstance(without_limit([carbide], ["carbide"], "brick", remedy), Review)
    assert isinstance(without_limit([carbide, relative], ["carbide"], "brick", remedy), Open)
