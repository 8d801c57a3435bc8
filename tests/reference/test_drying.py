"""Drying times of the limits and of `wet-work-dries` beside the tables of the trade.

The table of joint compound, one coat of 1/16 in, is from memory (an industry handbook); that a good room has more than
70 °F and less than 40 %, and that a poor one means 48 h and more, is published (Drywall Finishing Council, Joint
Compound Drying Time, as quoted).
"""

from datetime import date

import pytest

from planlint import limits, source
from planlint.model.build import build
from planlint.rule import Given
from planlint.sums.drying import LIMITS_OF_DRYING, Drying, drying_of

HOUR, DAY = 3600, 86_400

HANDBOOK = {  # (°F, %): hours
    (50, 40): 29,
    (50, 50): 36,
    (50, 60): 42,
    (50, 70): 54,
    (60, 40): 20,
    (60, 50): 24,
    (60, 60): 29,
    (60, 70): 38,
    (70, 20): 11,
    (70, 40): 14,
    (70, 50): 17,
    (70, 60): 20,
    (70, 70): 26,
    (80, 50): 12,
    (80, 60): 14,
    (100, 50): 6,
    (100, 60): 8,
}
MOIST = {(60, 80): 54, (70, 80): 38, (70, 90): 72, (80, 80): 27}
"""Where the table is up to 24 % shorter than the vapour that the air can take up says (the sheet's own cross-check)."""


def time(task: str, fahrenheit: float = 68, humidity: float = 50) -> float:
    """How long it takes in seconds; 68 °F are 20 °C."""
    text = f"""
plan: 1
title: one room
climate: {{inside: {{temperature: {fahrenheit} degF, humidity: {humidity} %}}}}
rooms: {{hall: {{}}}}
work: [{{task: job, {task}}}]
"""
    plan = build(source.read(text.encode(), "case.plan.yaml"))
    drying = drying_of(plan.tasks[0], Given(limits.resolve(None), date(2026, 10, 3), LIMITS_OF_DRYING))
    assert isinstance(drying, Drying)
    assert drying.time is not None
    return float(drying.time)


@pytest.mark.parametrize(("air", "hours"), HANDBOOK.items())
def test_a_coat_of_filler_dries_as_the_handbook_says_within_a_tenth(air: tuple[int, int], hours: int) -> None:
    assert time("kind: filling", *air) / HOUR == pytest.approx(hours, rel=0.115, abs=1)  # both in whole hours


@pytest.mark.parametrize(("air", "hours"), MOIST.items())
def test_in_moist_air_we_wait_no_shorter_than_the_handbook(air: tuple[int, int], hours: int) -> None:
    assert hours <= time("kind: filling", *air) / HOUR <= 1.36 * hours


def test_a_good_room_takes_less_than_a_day_and_a_poor_one_two_and_more() -> None:
    # Published: good is above 70 °F and below 40 %.
    assert time("kind: filling", 72, 39) < DAY
    assert time("kind: filling", 50, 70) > 2 * DAY


@pytest.mark.parametrize(
    ("task", "hours"),
    [
        ("kind: beads", 24),  # common practice
        ("kind: corner-sealing", 24),  # common practice; trade pages 4 to 24 h
        ("kind: priming", 12),  # common practice; 4 to 12 h
        ("kind: windows, product: foam", 24),  # common practice
        ("kind: filling, product: setting filler", 3),  # common practice: hard in 1 to 3 h
        ("kind: plastering, thickness: 3 mm", 7 * 24),  # trade pages on a skim: at least 7 days
        ("kind: plastering, thickness: 15 mm", 15 * 24),  # common practice: 1 mm a day
        ("kind: screed, thickness: 50 mm", 50 * 24),  # BS 8203 and BS 8204, from memory: 1 mm a day down to 50 mm
        ("kind: screed, thickness: 65 mm", 80 * 24),  # and half of that below: 50 + 15 / 0.5 days
    ],
)
def test_the_other_waits_are_those_of_the_trade(task: str, hours: float) -> None:
    assert time(task) / HOUR == pytest.approx(hours)
