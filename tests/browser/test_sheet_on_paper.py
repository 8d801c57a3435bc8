"""A sheet on A4: nothing is cut off or split over two pages, and pictures are true to the scale that they name."""

from collections.abc import Callable
from io import BytesIO
from typing import Any

import numpy as np
import pdfplumber
import pytest

POINT = 25.4 / 72
"""[mm]"""
WIDTH, HEIGHT = 210, 297
"""[mm] A4, ISO 216."""
WIDEST, HIGHEST = 180, 250
"""[mm] What a picture may take of it, so that it is whole on one page, with its title."""


@pytest.mark.parametrize("plan", ["first-draft", "ready-to-close", "ferry-cottage", "smallest", "markup", "feet"])
def test_nothing_is_wider_than_the_paper(show: Callable[..., Any], plan: str) -> None:
    shown = show(plan, int(WIDEST * 96 / 25.4))
    shown.page.emulate_media(media="print")
    # A browser would print all of a page smaller for one thing on it that is too wide, and no scale would hold.
    assert shown.measured("overflow") == []
    for picture in shown.pictures():
        (left, top), _, (right, bottom), _ = picture["frame"]
        assert right - left <= WIDEST + 0.1, picture["name"]
        assert bottom - top <= HIGHEST + 0.1, picture["name"]


@pytest.mark.parametrize("plan", ["first-draft", "feet"])
def test_pages_are_a4_and_walls_are_whole_and_to_scale(show: Callable[..., Any], plan: str) -> None:
    shown = show(plan)
    shapes = []
    with pdfplumber.open(BytesIO(shown.printed(plan))) as document:
        for leaf in document.pages:
            assert (leaf.width * POINT, leaf.height * POINT) == pytest.approx((WIDTH, HEIGHT), abs=1)
            outside = [
                sign["text"]
                for sign in leaf.chars
                if not (0 < sign["x0"] <= sign["x1"] < leaf.width and 0 < sign["top"] <= sign["bottom"] < leaf.height)
            ]
            assert outside == [], leaf.page_number
            shapes += [
                (shape["width"] * POINT, shape["height"] * POINT)
                for shape in leaf.curves + leaf.rects
                if 0 < shape["top"] < shape["bottom"] < leaf.height
            ]
    faces = shown.measured("faces")
    assert faces
    for face in faces:
        assert pytest.approx((face["width"], face["height"]), abs=0.2) in shapes, face["name"]


def test_paper_stays_white(show: Callable[..., Any]) -> None:
    with pdfplumber.open(BytesIO(show("first-draft", color_scheme="dark").printed("from-dark"))) as document:
        first = np.asarray(document.pages[0].to_image(resolution=50).original.convert("L"))
    assert np.median(first) > 250
    assert first.min() < 100
