"""Whether a sheet can be worked from: nothing is cut off or overprinted, and every hole is where the plan has it."""

import re
from collections.abc import Callable
from typing import Any

import pytest

EVERY = pytest.mark.parametrize(
    "plan", ["first-draft", "ready-to-close", "ferry-cottage", "smallest", "markup", "feet"]
)
LEAST = 2.5
"""[mm] The smallest height of letters of ISO 3098 that is in common use on drawings."""


@EVERY
# A phone, a small tablet, a desk; and 320 px, which is 1280 px enlarged four times (WCAG 2.2, 1.4.10).
@pytest.mark.parametrize("width", [320, 360, 768, 1280])
def test_nothing_is_wider_than_the_page(show: Callable[..., Any], plan: str, width: int) -> None:
    shown = show(plan, width)
    shown.keep(f"{plan}-{width}")
    assert shown.measured("overflow") == []


def test_nothing_is_wider_than_the_page_enlarged_twice(show: Callable[..., Any]) -> None:
    assert show("first-draft", 640, device_scale_factor=2).measured("overflow") == []


def test_text_may_be_spaced_out(show: Callable[..., Any]) -> None:
    shown = show("first-draft", 360)
    # WCAG 2.2, 1.4.12.
    shown.page.add_style_tag(
        content="* { line-height: 1.5 !important; letter-spacing: 0.12em !important; word-spacing: 0.16em !important }"
        "p { margin-block-end: 2em !important }"
    )
    assert shown.measured("overflow") == []


@EVERY
def test_nothing_in_a_picture_is_overprinted_or_cut_off(show: Callable[..., Any], plan: str) -> None:
    assert show(plan).crowded() == []


@EVERY
@pytest.mark.parametrize("width", [360, 1280])
def test_pictures_are_as_large_as_on_paper(show: Callable[..., Any], plan: str, width: int) -> None:
    pictures = show(plan, width).pictures()
    assert pictures
    for picture in pictures:
        assert picture["unit"] == pytest.approx(1, rel=0.005), picture["name"]
        assert [text["text"] for text in picture["texts"] if text["size"] < LEAST - 0.01] == [], picture["name"]


@pytest.mark.parametrize(
    ("wall", "width", "holes"),
    [
        # [mm] As the plans have them: from the left end, and up from the floor as it is now.
        (("first-draft", "west"), 3600, [(350, 250), (1950, 1100)]),
        (("first-draft", "south"), 4800, [(1130, 1050)]),
        # Heights are from the finished floor, 22 mm up; two holes are 71 mm apart (common practice; DIN 49073).
        (("ready-to-close", "north-right"), 1700, [(764.5, 272), (835.5, 272)]),
        # 10 ft 8 in and 4 ft, above 3/4 in of floor; an inch is 25.4 mm.
        (("feet", "gable"), 144 * 25.4, [(128 * 25.4, 48.75 * 25.4)]),
    ],
)
def test_holes_are_where_the_plan_has_them(
    show: Callable[..., Any], wall: tuple[str, str], width: float, holes: list[tuple[float, float]]
) -> None:
    plan, name = wall
    (face,) = (one for one in show(plan).measured("faces") if one["name"].lower().startswith(f"{name} "))
    scale = int(re.findall(r"1:(\d+)", face["name"])[0])
    # [mm] On paper a position is written to a hundredth, and a browser lays out in steps of 1/64 px.
    near = 0.1 * scale
    assert face["width"] * scale == pytest.approx(width, abs=near)
    drawn = sorted(tuple(length * scale for length in hole) for hole in face["holes"])
    assert drawn == [pytest.approx(hole, abs=near) for hole in holes]
