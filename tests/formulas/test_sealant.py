"""What holds of elastic joints for every input; their figures are checked in reference/test_joints.py."""

from collections.abc import Callable

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planlint.formulas.sealant import (
    CARTRIDGE,
    cartridges,
    joint_volume,
    joint_width,
    movement,
    movement_taken,
    usual_depth,
)

steady = settings(derandomize=True, deadline=None, max_examples=60)
walls = st.floats(0, 20)
swings = st.floats(0, 1)
kelvins = st.floats(0, 60)
classes = st.sampled_from([7.5, 12.5, 20, 25])
widths = st.floats(1e-3, 30e-3)
litres = st.floats(0, 0.1)


@steady
@given(walls, walls, swings, kelvins)
def test_two_walls_in_line_move_as_much_as_both(one: float, other: float, swing: float, warmer: float) -> None:
    together = movement(one + other, swing, warmer)
    assert together == pytest.approx(movement(one, swing, warmer) + movement(other, swing, warmer))


@steady
@given(widths, classes)
def test_a_joint_takes_what_its_width_was_chosen_for(width: float, movement_class: float) -> None:
    assert joint_width(movement_taken(width, movement_class), movement_class) == pytest.approx(width)


@steady
@given(widths, widths)
def test_a_wider_joint_is_never_filled_less_deep(one: float, other: float) -> None:
    narrow, wide = sorted((one, other))
    assert usual_depth(narrow) <= usual_depth(wide) <= wide


@steady
@given(litres, litres, st.floats(0, 0.5))
def test_cartridges_hold_what_is_needed_and_one_less_does_not(one: float, other: float, waste: float) -> None:
    needed = cartridges(one, waste)
    assert needed * CARTRIDGE >= one * (1 + waste) * (1 - 1e-9)
    assert (needed - 1) * CARTRIDGE < one * (1 + waste)
    assert cartridges(min(one, other)) <= cartridges(max(one, other))


def test_a_full_cartridge_is_one_cartridge() -> None:
    assert cartridges(3 * 0.310e-3, waste=0) == 3
    assert cartridges(0) == 0


@pytest.mark.parametrize(
    ("wrong", "said"),
    [
        (lambda: movement(10, 30, 0), "humidity_change is 3,000 %, and has to be from 0 to 100 %"),
        (lambda: movement(10_000, 0, 0), "length is 10,000 m"),
        (lambda: movement(10, 0, -1), "temperature_change is -1 K"),
        (lambda: movement_taken(5, 12.5), "width is 5,000 mm"),
        (lambda: joint_width(0.001, 0.125), "movement_class is 0.125 %, and has to be from 1 to 100 %"),
        (lambda: joint_volume(10, 5e-3, 0), "depth is 0 mm"),
        (lambda: cartridges(-1), "volume is -1,000 l"),
        (lambda: cartridges(0.001, waste=10), "waste is 1,000 %"),
        (lambda: cartridges(0.001, cartridge=310), "cartridge is 310,000,000 ml"),
    ],
)
def test_what_lies_outside_of_the_ranges_is_refused_by_name(wrong: Callable[[], float], said: str) -> None:
    with pytest.raises(ValueError, match=said):
        wrong()
