"""What the other tests here look for, they find: on a page made up by hand, sound at first, then with one fault."""

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

SOUND = """<!doctype html>
<html lang="en"><meta charset="utf-8"><meta name="viewport" content="width=device-width"><title>Toll house</title>
<style>body { margin: 4mm } .frame { overflow: auto } a:focus, .frame:focus { outline: 2px solid }</style>
<a href="#main">To the list</a>
<main id="main"><h1>Toll house</h1>
<figure><div class="frame" tabindex="0" role="region" aria-label="West wall">
<svg width="150mm" height="40mm" viewBox="0 0 150 40">
<polygon class="is-face" points="50,10 140,10 140,30 50,30" fill="none"/><circle class="is-box" cx="80" cy="25" r="2"/>
<text x="10" y="10" font-size="3">S1</text><text x="10" y="14" font-size="3">S2</text>
<text x="60" y="30" font-size="3" transform="rotate(45 60 30)">1.20 m</text>
<a href="#n1"><circle cx="30" cy="10" r="3"/><text x="29" y="11" font-size="3" fill="white">1</text></a></svg></div>
<figcaption><p>west</p></figcaption></figure>
<ol><li id="n1">S1 hangs too low.</li></ol></main></html>
"""


@pytest.fixture
def made_up(show: Callable[..., Any], tmp_path: Path) -> Callable[..., Any]:
    """The page above with something in place of what is right in it."""

    def make(right: str = "", wrong: str = "") -> Any:  # noqa: ANN401 - the class stands in conftest
        assert right in SOUND
        file = tmp_path / "page.html"
        file.write_text(SOUND.replace(right, wrong, 1), encoding="utf-8")
        return show(file, 360)

    return make


def about(*lengths: float) -> list[object]:
    """A browser lays out in steps of 1/64 px."""
    return [pytest.approx(length, abs=0.01) for length in lengths]


def test_a_sound_page(made_up: Callable[..., Any]) -> None:
    shown = made_up()
    assert shown.measured("overflow") == shown.measured("lost") == shown.crowded() == shown.barriers() == []
    assert [(frame["says"], frame["reached"]) for frame in shown.measured("scrolling")] == [("West wall", True)]
    assert shown.faint() == []


def test_lengths_are_millimetres(made_up: Callable[..., Any]) -> None:
    shown = made_up()
    (picture,) = shown.pictures()
    (left, top), _, (right, bottom), _ = picture["frame"]
    assert [right - left, bottom - top, picture["unit"]] == about(150, 40, 1)
    assert [text["text"] for text in picture["texts"]] == ["S1", "S2", "1.20 m", "1"]
    assert [text["size"] for text in picture["texts"]] == about(3, 3, 3, 3)
    # Turned by 45° about its spot, a text goes as far down as to the right.
    (start, high), (end, low), *_ = picture["texts"][2]["corners"]
    assert end - start == pytest.approx(low - high, rel=0.01)
    (link,) = picture["links"]
    assert link["corners"][0] == about(left + 27, top + 7)
    (face,) = shown.measured("faces")
    assert [face["width"], face["height"], *face["holes"][0]] == about(90, 20, 30, 5)


@pytest.mark.parametrize(
    ("right", "wrong", "found"),
    [
        ('y="14"', 'y="11"', "west: S2 and west: S1"),
        ('x="60" y="30"', 'x="145" y="30"', "west: 1.20 m reaches out of it"),
        ('cx="30" cy="10"', 'cx="14" cy="10"', "west: 1 and west: S1"),
    ],
)
def test_crowded(made_up: Callable[..., Any], right: str, wrong: str, found: str) -> None:
    assert found in made_up(right, wrong).crowded()


@pytest.mark.parametrize(
    ("right", "wrong", "found"),
    [
        (".frame { overflow: auto }", "", "the page is"),
        (".frame { overflow: auto }", ".frame { overflow: hidden }", "is cut off"),
        ("body {", "html { overflow-x: hidden } body { width: 400px;", "<body>"),
    ],
)
def test_overflow(made_up: Callable[..., Any], right: str, wrong: str, found: str) -> None:
    assert any(found in words for words in made_up(right, wrong).measured("overflow"))


@pytest.mark.parametrize(
    ("right", "wrong", "lost"),
    [
        ('href="#n1"', 'href="#n2"', ["#n2"]),
        ('href="#n1"', 'href="#"', ["#"]),
        ('id="n1"', 'id="main"', ["#n1", "main"]),
    ],
)
def test_lost(made_up: Callable[..., Any], right: str, wrong: str, lost: list[str]) -> None:
    assert made_up(right, wrong).measured("lost") == lost


@pytest.mark.parametrize(
    ("right", "wrong", "found"),
    [
        ("<h1>", '<h1 style="color: silver">', "color-contrast"),
        ('lang="en"', "", "html-has-lang"),
        (
            "<h1>",
            '<p style="width: 2em; height: 1em; overflow: auto">a long wall</p><h1>',
            "scrollable-region-focusable",
        ),
        (
            "<h1>",
            '<p><button style="width: 9px">a</button><button style="width: 9px">b</button></p><h1>',
            "target-size",
        ),
    ],
)
def test_barriers(made_up: Callable[..., Any], right: str, wrong: str, found: str) -> None:
    assert any(words.startswith(found) for words in made_up(right, wrong).barriers())


@pytest.mark.parametrize(
    ("right", "wrong", "found"),
    [
        # A fill of black behind black words; silver on white is 1.8 (relative luminance 0.527).
        (
            'r="3"/><text x="29" y="11" font-size="3" fill="white"',
            'r="3"/><text x="29" y="11" font-size="3"',
            "west: 1 1.0",
        ),
        ('<text x="10" y="10" font-size="3">', '<text x="10" y="10" font-size="3" fill="silver">', "west: S1 1.8"),
    ],
)
def test_faint(made_up: Callable[..., Any], right: str, wrong: str, found: str) -> None:
    assert made_up(right, wrong).faint() == [found]


@pytest.mark.parametrize(("outline", "marked"), [("2px solid", True), ("none", False)])
def test_focus(made_up: Callable[..., Any], outline: str, *, marked: bool) -> None:
    shown = made_up("outline: 2px solid", f"outline: {outline}")
    shown.page.keyboard.press("Tab")
    focus = shown.measured("focus")
    assert (focus["href"], focus["seen"], focus["marked"]) == ("#main", True, marked)


@pytest.mark.parametrize(
    "wrong",
    [
        "<script>console.warn('look')</script>",
        "<script>lost()</script>",
        "<script>alert('look')</script>",
        "<img src='picture.png' alt='picture'>",
    ],
)
def test_what_a_page_says_and_fetches_is_noticed(troubles: list[str], made_up: Callable[..., Any], wrong: str) -> None:
    made_up("<h1>", f"{wrong}<h1>").page.wait_for_load_state("networkidle")
    assert troubles
    troubles.clear()
