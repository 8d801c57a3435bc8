"""The paper of a drawing: the scale that fits, and where metres lie."""

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st
from PIL import ImageFont

from planlint.drawing.paper import SCALES, Box, Paper, scale_for, shortened, spread, text_width


@pytest.mark.parametrize(
    ("along", "up", "scale"),
    [
        # By hand: 3.20 m at 1:20 are 160 mm, and a millimetre more does not fit.
        (3.200, 2.60, 20),
        (3.201, 2.60, 25),
        (1.000, 3.20, 20),
        (1.000, 3.21, 25),
        (15.90, 3.00, 100),
    ],
)
def test_the_largest_scale_that_fits(along: float, up: float, scale: int) -> None:
    assert scale_for(along, up, width=160, height=160, largest=20) == scale


@given(st.floats(0.1, 60), st.floats(0.1, 10))
def test_no_larger_scale_would_fit(along: float, up: float) -> None:
    scale = scale_for(along, up, width=160, height=160, largest=20)
    larger = [one for one in SCALES if 20 <= one < scale]
    assert all(along * 1000 / one > 160 or up * 1000 / one > 160 for one in larger)


def test_up_is_up_and_along_is_to_the_right() -> None:
    paper = Paper(25, left=10.0, base=200.0)
    # By hand: 1 m at 1:25 are 40 mm.
    assert paper.spot(0.0, 0.0) == (10.0, 200.0)
    assert paper.spot(1.0, 0.5) == pytest.approx((50.0, 180.0))


@given(st.lists(st.floats(0, 150), min_size=1, max_size=20))
def test_what_is_spread_keeps_its_order_and_distance(wanted: list[float]) -> None:
    found = spread(sorted(wanted), 3.6)
    assert all(after - before >= 3.6 - 1e-9 for before, after in pairwise(found))


def test_texts_are_taken_for_wider_than_a_usual_font_draws_them() -> None:
    # Measured by Pillow in the font that it carries (Aileron, a usual sans), at 100 units a letter's height.
    font = ImageFont.load_default(size=100)
    for text in ("inside corner: sealant", "S1 250 mm", "12.5 mm × 3.59 m", "WWW MMM", "19 % dry"):
        assert text_width(text, 100) >= font.getlength(text)


def test_a_text_that_is_too_long_is_cut_and_says_so() -> None:
    assert shortened("S1", 30, 3) == "S1"
    cut = shortened("a-socket-with-a-name-so-long-that-nobody-would-ever-call-it-across-a-room", 30, 3)
    assert cut.endswith("…")
    assert text_width(cut, 3) <= 30 < text_width(f"{cut[:-1]}-w…", 3) + text_width("W", 3)


def test_boxes_that_touch_do_not_overlap() -> None:
    assert not Box(0, 0, 10, 5).overlaps(Box(10, 0, 20, 5))
    assert Box(0, 0, 10, 5).overlaps(Box(9, 4, 20, 9))
