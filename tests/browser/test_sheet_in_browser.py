"""What a reader of a sheet meets: nothing is fetched, every link leads somewhere, and text of a plan stays text."""

import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
import yaml

MARKUP = Path(__file__).parents[1] / "data" / "sheets" / "markup.plan.yaml"
BIDI = re.compile("[\u202a-\u202e\u2066-\u2069\u200e\u200f\u061c]")
"""What turns the order of letters round (Unicode Standard Annex 9, explicit and implicit formatting characters)."""
LED = """links => links.map(link => [
    link.textContent.trim(),
    document.getElementById(link.getAttribute("href").slice(1)).textContent.trim(),
])"""


def test_it_reads_the_same_without_scripts(show: Callable[..., Any]) -> None:
    plain, scripted = (show("first-draft", java_script_enabled=on).page.inner_text("body") for on in (False, True))
    assert plain == scripted
    assert "Weigh house, study, first draft" in plain


@pytest.mark.parametrize("plan", ["first-draft", "ready-to-close", "ferry-cottage", "smallest", "markup", "feet"])
def test_every_link_leads_somewhere_on_the_page(show: Callable[..., Any], plan: str) -> None:
    shown = show(plan)
    assert shown.measured("lost") == []
    assert shown.page.locator("a[href^='#']").count() == shown.page.locator("a").count() > 0


def test_a_number_in_a_picture_leads_to_what_is_said_of_it(show: Callable[..., Any]) -> None:
    page = show("first-draft", 360).page
    numbers = page.locator("figure svg a")
    led = numbers.evaluate_all(LED)
    assert len(led) > 20
    assert [(number, words[:40]) for number, words in led if not re.search(rf"^\D*{number}\b", words)] == []
    for one in (numbers.first, numbers.last):
        one.click()
        target = page.locator(":target")
        assert f"#{target.get_attribute('id')}" == one.get_attribute("href")
        assert 0 <= target.bounding_box()["y"] < 900


def test_text_of_a_plan_stays_text(show: Callable[..., Any]) -> None:
    page = show("markup").page
    title = yaml.safe_load(MARKUP.read_text(encoding="utf-8"))["title"]
    assert page.title().startswith(title)
    assert page.get_by_role("heading", level=1).inner_text() == title
    read = page.locator("body").text_content()
    for text in (
        "{{ 7 * 7 }}",
        "<i>broken</i>",
        "<marquee>owner</marquee>",
        "<img src=x onerror=alert('reason')> & so on",
    ):
        assert text in read
    assert not BIDI.search(read)
    for made in ("script", "img", "iframe", "marquee", "details[ontoggle]", "i", "u", "a[href^='javascript:']"):
        assert page.locator(made).count() == 0, made
    names = page.locator("*").evaluate_all("all => all.flatMap(one => one.getAttributeNames())")
    assert [name for name in names if name.startswith("on")] == []
