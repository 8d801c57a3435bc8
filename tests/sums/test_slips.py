from collections.abc import Callable

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planlint.sums.slips import mistyped, wrong_unit
from planlint.units import Length

steady = settings(derandomize=True, deadline=None, max_examples=60)


def near(usual: float) -> Callable[[float], bool]:
    return lambda height: abs(height - usual) < 0.003


@pytest.mark.parametrize(
    ("value", "usual", "meant"),
    [
        (Length(0.025, "mm"), 0.25, "25 cm"),
        (Length(2.5, "cm"), 0.25, "250 mm"),
        (Length(25.0, "m"), 0.25, "25 cm"),
        (Length(0.10, "cm"), 0.254, "10 in"),
        (Length(0.52, "mm"), 0.25, "250 mm"),
        (Length(0.215, "mm"), 0.251, "251 mm"),
        (Length(0.205, "cm"), 0.25, "25 cm"),  # 20.5 cm for 25.0 cm
        (Length(0.30, "mm"), 0.25, None),
        (Length(0.25, "mm"), 1.05, None),
    ],
)
def test_what_was_probably_meant(value: Length, usual: float, meant: str | None) -> None:
    assert mistyped(value, near(usual)) == meant


def test_a_figure_in_feet_and_inches_is_left_alone() -> None:
    assert mistyped(Length(1.1176, "ft"), near(0.25)) is None


def test_within_a_range_units_of_one_system_are_tried() -> None:
    assert wrong_unit(Length(0.025, "mm"), lambda height: 0.05 <= height <= 1.5) == "25 cm"
    # 1.6 ft would lie in the range, but nobody writes m for ft.
    assert wrong_unit(Length(1.6, "m"), lambda height: 0.05 <= height <= 1.5) is None


@steady
@given(st.integers(100, 1500), st.integers(0, 2))
def test_swapping_digits_back_is_found(height: int, first: int) -> None:
    digits = list(f"{height:04}")
    digits[first], digits[first + 1] = digits[first + 1], digits[first]
    typed = int("".join(digits))
    if typed != height and typed >= 1000:
        assert mistyped(Length(typed / 1000, "mm"), lambda meant: abs(meant - height / 1000) < 1e-9) == f"{height} mm"
