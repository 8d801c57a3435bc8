"""A sheet for those who see little, use no pointer, or hear it read: WCAG 2.2 AA, as far as a program can judge."""

import re
from collections.abc import Callable
from typing import Any

import pytest
from playwright.sync_api import expect

LIGHT_AND_DARK = pytest.mark.parametrize("scheme", ["light", "dark"])


@LIGHT_AND_DARK
@pytest.mark.parametrize(
    ("plan", "width"), [("first-draft", 360), ("first-draft", 768), ("first-draft", 1280), ("markup", 360)]
)
def test_no_barriers(show: Callable[..., Any], plan: str, width: int, scheme: str) -> None:
    shown = show(plan, width, color_scheme=scheme)
    shown.keep(f"{plan}-{width}-{scheme}")
    assert shown.barriers() == []


@LIGHT_AND_DARK
@pytest.mark.parametrize("plan", ["first-draft", "ferry-cottage"])
def test_words_in_pictures_stand_out(show: Callable[..., Any], plan: str, scheme: str) -> None:
    assert show(plan, color_scheme=scheme).faint() == []


def test_the_first_stop_of_the_keyboard_skips_to_the_sheet(show: Callable[..., Any]) -> None:
    shown = show("first-draft")
    shown.page.keyboard.press("Tab")
    focus = shown.measured("focus")
    assert focus["href"].startswith("#")
    assert (focus["seen"], focus["marked"]) == (True, True)
    shown.page.keyboard.press("Enter")
    assert shown.page.locator(":target").evaluate("target => target.matches('main, main *')")


@pytest.mark.parametrize("width", [360, 1280])
def test_the_keyboard_gets_everywhere_and_is_seen_there(show: Callable[..., Any], width: int) -> None:
    shown = show("first-draft", width)
    stops = []
    for _ in range(1000):
        shown.page.keyboard.press("Tab")
        focus = shown.measured("focus")
        if not focus["what"]:  # past the last stop
            break
        stops.append(focus)
    assert [stop["what"] for stop in stops if not (stop["marked"] and stop["seen"])] == []
    reached = [stop["tag"] for stop in stops]
    assert reached.count("input") == shown.page.get_by_role("checkbox").count() > 0
    assert reached.count("a") == shown.page.locator("a:not([tabindex='-1'])").count()
    frames = shown.measured("scrolling")
    assert [frame["what"] for frame in frames if not (frame["reached"] and frame["says"])] == []


def test_boxes_can_be_ticked_with_the_keyboard(show: Callable[..., Any]) -> None:
    for box in show("first-draft").page.get_by_role("checkbox").all():
        expect(box).to_have_accessible_name(re.compile(r"\w{3}"))
        box.focus()
        box.press("Space")
        expect(box).to_be_checked()


def test_every_picture_is_said_in_words(show: Callable[..., Any]) -> None:
    figures = show("first-draft").page.locator("figure").all()
    assert len(figures) > 5
    for figure in figures:
        picture = figure.locator("[role=img]")
        expect(picture).to_have_accessible_name(re.compile(r"\w{3}"))
        expect(picture).to_have_accessible_description(re.compile(r"\w{3}"))
