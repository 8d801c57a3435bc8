"""Sloping ceilings by hand, and their finished faces by the section drawn in coordinates."""

import math

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from planlint.geometry import Slope

steady = settings(derandomize=True, deadline=None, max_examples=60)
thicknesses = st.integers(0, 150).map(lambda mm: mm / 1000)


def test_slope_of_three_to_four_is_five_long() -> None:
    slope = Slope(knee=1.0, top=2.5, pitch=math.atan(3 / 4), width=4.0)
    assert slope.length == pytest.approx(2.5)
    assert slope.run == pytest.approx(2.0)
    assert slope.area == pytest.approx(10.0)


def test_bare_slope_is_finished_as_it_is() -> None:
    slope = Slope(knee=1.0, top=2.4, pitch=math.radians(45), width=3.0)
    assert slope.length == pytest.approx(1.4 * math.sqrt(2))
    assert slope.finished(lining=0.0) == slope


def test_linings_of_a_slope_at_45_degrees() -> None:
    # 45° above the knee wall and 45° below the ceiling: with 50 mm everywhere each end moves 50 · tan 22.5° = 20.71 mm.
    slope = Slope(knee=1.0, top=2.4, pitch=math.radians(45), width=3.0)
    lined = slope.finished(lining=0.05, knee=0.05, beyond=0.05)
    assert lined.length == pytest.approx(slope.length - 2 * 0.0207107, abs=1e-6)
    assert lined.knee == pytest.approx(1.0 - 0.0207107, abs=1e-6)
    assert lined.top == pytest.approx(2.35)


@steady
@given(st.integers(10, 80), thicknesses, thicknesses, thicknesses)
def test_finished_slope_lies_between_the_finished_faces(degrees: int, own: float, knee: float, ceiling: float) -> None:
    pitch = math.radians(degrees)
    slope = Slope(knee=0.9, top=2.6, pitch=pitch, width=3.0)
    # Seen in section, x from the bare knee wall: z = 0.9 + x · tan p - own / cos p, from x = knee to z = 2.6 - ceiling.
    foot = 0.9 + knee * math.tan(pitch) - own / math.cos(pitch)
    assume(0 <= foot < 2.6 - ceiling)
    lined = slope.finished(lining=own, knee=knee, beyond=ceiling)
    assert lined.knee == pytest.approx(foot)
    assert lined.top == pytest.approx(2.6 - ceiling)


@steady
@given(st.integers(10, 70), st.integers(10, 70), thicknesses, thicknesses)
def test_slopes_meet_under_the_ridge(here: int, there: int, own: float, other: float) -> None:
    p, q = math.radians(here), math.radians(there)
    lined = Slope(knee=0.5, top=3.0, pitch=p, width=3.0).finished(lining=own, beyond=other, ridge=q)
    # x from the ridge into this side: z = 3 - x · tan p - own / cos p here, 3 + x · tan q - other / cos q there.
    x = (other / math.cos(q) - own / math.cos(p)) / (math.tan(p) + math.tan(q))
    assert lined.top == pytest.approx(3.0 - x * math.tan(p) - own / math.cos(p))


@pytest.mark.parametrize(
    ("knee", "top", "degrees", "width", "words"),
    [
        (1.0, 2.4, 0, 3.0, "between level and upright"),
        (1.0, 2.4, 90, 3.0, "between level and upright"),
        (2.4, 2.4, 45, 3.0, "a slope rises"),
        (-0.1, 2.4, 45, 3.0, "a slope rises"),
        (1.0, 2.4, 45, 0.0, "wider than 0 m"),
    ],
)
def test_slopes_that_cannot_be(knee: float, top: float, degrees: float, width: float, words: str) -> None:
    with pytest.raises(ValueError, match=words):
        Slope(knee=knee, top=top, pitch=math.radians(degrees), width=width)
