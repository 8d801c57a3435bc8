"""Sheets of plans, made by the program as a user does, shown in a real browser, and measured there."""

import os
import re
import shutil
import subprocess
import sys
from collections import defaultdict
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from io import BytesIO
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from axe_playwright_python.sync_playwright import Axe
from PIL import Image
from playwright.sync_api import Browser, BrowserContext, Page, sync_playwright
from shapely.geometry import Polygon

ROOT = Path(__file__).parents[2]
PLANS = {
    "first-draft": ROOT / "examples" / "weigh-house" / "first-draft.plan.yaml",
    "ready-to-close": ROOT / "examples" / "weigh-house" / "ready-to-close.plan.yaml",
    "ferry-cottage": ROOT / "examples" / "ferry-cottage.plan.yaml",
    "smallest": ROOT / "examples" / "smallest.plan.yaml",
    "markup": ROOT / "tests" / "data" / "sheets" / "markup.plan.yaml",
    "feet": ROOT / "tests" / "data" / "sheets" / "feet.plan.yaml",
}
MEASURES = (Path(__file__).parent / "measures.js").read_text(encoding="utf-8")
PICTURES = os.environ.get("SHEET_PICTURES")
"""A folder for what a person may want to look at; without it, nothing is kept."""
# No account, no updates, no look at the network: the pages are files.
FLAGS = (
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
)
# "wcag22aa" holds one rule, target-size, which the library leaves out unless asked.
WCAG = {
    "runOnly": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"],
    "rules": {"target-size": {"enabled": True}},
    "resultTypes": ["violations"],
}
CONTRAST = 4.5
"""WCAG 2.2, 1.4.3."""
OVERLAP = 0.3
"""[mm²] The boxes of two texts may touch: letters have room around them."""


@dataclass(frozen=True)
class Shown:
    """A page in a window, and what can be seen of it; what is wrong comes as a list of words."""

    page: Page

    def measured(self, what: str) -> Any:  # noqa: ANN401 - JSON
        """What a function in measures.js says of the page."""
        return self.page.evaluate(f"{MEASURES}.{what}()")

    def pictures(self) -> list[dict[str, Any]]:
        """The pictures of its figures; the samples of their legends are none."""
        return [picture for picture in self.measured("pictures") if picture["figure"] >= 0]

    def keep(self, name: str) -> None:
        """A picture of the whole page for a person to look at."""
        if PICTURES:
            self.page.screenshot(path=Path(PICTURES) / f"{name}.png", full_page=True)

    def printed(self, name: str) -> bytes:
        """The page on A4, as PDF; a copy is for a person to look at."""
        content = self.page.pdf(format="A4", prefer_css_page_size=True)
        if PICTURES:
            (Path(PICTURES) / f"{name}.pdf").write_bytes(content)
        return content

    def barriers(self) -> list[str]:
        """Where it breaks a rule of WCAG 2.2 AA that a program can judge."""
        violations = Axe().run(self.page, options=WCAG).response["violations"]
        return [f"{rule['id']}: {node['html'][:120]}" for rule in violations for node in rule["nodes"]]

    def crowded(self) -> list[str]:
        """The texts and numbers in its pictures that lie on one another, or reach out of their picture."""
        found, figures = [], defaultdict[int, list[tuple[str, Polygon]]](list)
        for picture in self.pictures():
            texts = [text for text in picture["texts"] if not text["linked"]]
            marks = [(mark["text"], Polygon(mark["corners"])) for mark in texts + picture["links"]]
            frame = Polygon(picture["frame"])
            outside = [text for text, shape in marks if shape.difference(frame).area > OVERLAP]
            found += [f"{picture['name']}: {text} reaches out of it" for text in outside]
            figures[picture["figure"]] += [(f"{picture['name']}: {text}", shape) for text, shape in marks]
        for marks in figures.values():
            found += [
                f"{text} and {other}"
                for place, (text, shape) in enumerate(marks)
                for other, beside in marks[:place]
                if shape.intersection(beside).area > OVERLAP
            ]
        return found

    def faint(self) -> list[str]:
        """The words in its pictures that stand out too little from what they are written on, as it is painted."""
        pictures = self.pictures()
        self.page.add_style_tag(content="svg text { visibility: hidden }")
        painted = np.asarray(Image.open(BytesIO(self.page.screenshot(full_page=True))).convert("RGB"))
        found = []
        for picture in pictures:
            for text in picture["texts"]:
                (left, top), (right, bottom) = (
                    [round(end(axis) * 96 / 25.4) for axis in zip(*text["corners"], strict=True)] for end in (min, max)
                )
                ground = painted[top:bottom, left:right].reshape(-1, 3)
                if text["halo"] != "none":
                    ground = np.array([_figures(text["halo"])])
                # A thin line behind the words is no harm, so the worst tenth of the ground does not count.
                contrast = float(np.quantile(_contrasts(np.array(_figures(text["fill"])), ground), 0.1))
                if contrast < CONTRAST:
                    found.append(f"{picture['name']}: {text['text']} {contrast:.1f}")
        return found


def _figures(colour: str) -> list[float]:
    assert colour.startswith("rgb("), "not opaque"
    return [float(figure) for figure in re.findall(r"[\d.]+", colour)]


def _contrasts(colour: "np.ndarray[Any, Any]", ground: "np.ndarray[Any, Any]") -> "np.ndarray[Any, Any]":
    """Of a colour with each colour of the ground: contrast ratio and relative luminance as WCAG 2.2 defines them."""

    def luminance(colours: "np.ndarray[Any, Any]") -> "np.ndarray[Any, Any]":
        part = colours / 255
        linear = np.where(part <= 0.04045, part / 12.92, ((part + 0.055) / 1.055) ** 2.4)
        return linear @ np.array([0.2126, 0.7152, 0.0722])

    one, other = luminance(colour), luminance(ground)
    return (np.maximum(one, other) + 0.05) / (np.minimum(one, other) + 0.05)


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    """One for each process that runs tests."""
    program = os.environ.get("CHROMIUM") or shutil.which("chromium")
    if not program:
        leave_out = pytest.fail if os.environ.get("BROWSER_TESTS") == "required" else pytest.skip
        leave_out("no Chromium found")
    if PICTURES:
        Path(PICTURES).mkdir(parents=True, exist_ok=True)
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=program, args=FLAGS)
        yield browser
        browser.close()


@pytest.fixture(scope="session")
def sheet(tmp_path_factory: pytest.TempPathFactory) -> Callable[[str], Path]:
    """The page of a plan, by its name in PLANS."""
    made: dict[str, Path] = {}

    def make(plan: str) -> Path:
        if plan not in made:
            file = tmp_path_factory.mktemp("sheets") / f"{plan}.html"
            words = ("sheet", str(PLANS[plan]), "--output", str(file), "--today", "2026-10-03")
            done = subprocess.run(
                [sys.executable, "-m", "planlint", *words], capture_output=True, text=True, check=False
            )
            assert (done.stderr, done.returncode) in (("", 0), ("", 1))
            made[plan] = file
        return made[plan]

    return make


@pytest.fixture
def troubles() -> list[str]:
    """What pages that are shown complain of, and what they fetch besides themselves."""
    return []


@pytest.fixture
def show(browser: Browser, sheet: Callable[[str], Path], troubles: list[str]) -> Iterator[Callable[..., Shown]]:
    """Shows a file, or the sheet of a plan, in a window of a width; at the end, there may be no troubles."""
    contexts: list[BrowserContext] = []

    def opened(page: Path | str, width: int = 1280, **more: object) -> Shown:
        address = (sheet(page) if isinstance(page, str) else page).as_uri()
        # A page may forbid all scripts and fetching; what it would do without that is looked at here.
        context = browser.new_context(viewport={"width": width, "height": 900}, bypass_csp=True, **more)
        contexts.append(context)
        context.on("request", lambda request: request.url.split("#")[0] == address or troubles.append(request.url))
        context.on("weberror", lambda error: troubles.append(str(error.error)))
        context.on("console", lambda message: troubles.append(message.text))
        context.on("dialog", lambda dialog: (troubles.append(dialog.message), dialog.dismiss()))
        shown = Shown(context.new_page())
        shown.page.goto(address)
        return shown

    yield opened
    for context in contexts:
        context.close()
    assert troubles == []
