import pytest
from hypothesis import given
from hypothesis import strategies as st

from planlint.sums.left import metres_left
from planlint.sums.way import Drop, Loop
from planlint.units import Current, Length, Ratio, Resistance, Voltage

MAINS = Voltage(230, "V")


def drop(volts: float, more: float) -> Drop:
    share = Ratio(volts / MAINS, "%")
    allowed, length = Ratio(0.05, "%"), Length(20, "m")
    return Drop(
        "S1", Voltage(volts, "V"), share, allowed, by_loads=True, length=length, made_of="", more=more, steps=()
    )


def loop(ohms: float, more: float) -> Loop:
    allowed = Resistance(2.73, "ohm")
    return Loop("S1", Resistance(ohms, "ohm"), allowed, Current(80, "A"), Length(20, "m"), "", more, ())


def test_metres_are_what_is_left_over_what_each_costs() -> None:
    """5 % of 230 V are 11.5 V; 16 A lose 0.288 V on each metre of 2.5 mm² (IEC 60364-5-52, Annex G)."""
    assert metres_left(drop(7.2, 0.288), MAINS) == pytest.approx(4.3 / 0.288)
    assert metres_left(loop(0.73, 0.02), MAINS) == pytest.approx(100)


def test_nothing_is_left_past_the_limit() -> None:
    assert metres_left(drop(12, 0.288), MAINS) == 0
    assert metres_left(loop(3, 0.02), MAINS) == 0


def test_where_nothing_is_drawn_no_length_loses_voltage() -> None:
    assert metres_left(drop(0, 0), MAINS) is None


@given(st.floats(0, 11.5), st.floats(0.001, 10))
def test_that_many_more_metres_reach_the_limit(volts: float, more: float) -> None:
    left = metres_left(drop(volts, more), MAINS)
    assert left is not None
    assert volts + left * more == pytest.approx(11.5)
