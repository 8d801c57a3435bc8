"""The page of a sheet that is made up by hand, read with an HTML parser of the standard library."""

import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field, replace
from html.parser import HTMLParser
from itertools import pairwise
from pathlib import Path

import pytest

from planlint.entries import stops
from planlint.errors import Fault
from planlint.records import HoldPoint, HoldState, Passing, PlanRecord, Release, Verdict
from planlint.reports import svg
from planlint.reports.sheet import render
from planlint.sheet_records import (
    Anchor,
    Area,
    Circle,
    Flag,
    Line,
    Look,
    Numbered,
    Part,
    Picture,
    RoomSheet,
    Sample,
    Sheet,
    Table,
    Text,
)

VOID = {"meta", "input", "link", "br", "img", "hr"}
HOSTILE = (
    "</p></text></style><script>alert(1)</script> ]]> <!-- \" ' & &amp; \u202e\u2066\x07 `<b>` {{ 7 * 7 }} {% raw %}"
)
SEEN = "</p></text></style><script>alert(1)</script> ]]> <!-- \" ' & &amp; \ufffd\ufffd\ufffd <b> {{ 7 * 7 }} {% raw %}"
"""What a reader sees of it: every sign, but for those that nobody sees, and what is between backticks set off."""
CSS = (Path(svg.__file__).parent / "templates" / "sheet.css").read_text(encoding="utf-8")


@dataclass
class Element:
    tag: str
    attributes: dict[str, str]
    within: "Element | None"
    inner: "list[Element | str]" = field(default_factory=list)

    @property
    def raw(self) -> str:
        return "".join(one if isinstance(one, str) else one.raw for one in self.inner)

    @property
    def text(self) -> str:
        return " ".join(self.raw.split())

    def all(self, tag: str = "", **attributes: str) -> "Iterator[Element]":
        for one in self.inner:
            if isinstance(one, Element):
                if tag in ("", one.tag) and all(
                    one.attributes.get(name) == value for name, value in attributes.items()
                ):
                    yield one
                yield from one.all(tag, **attributes)

    def one(self, tag: str = "", **attributes: str) -> "Element":
        (found,) = self.all(tag, **attributes)
        return found

    def by_id(self, name: str) -> "Element":
        return self.one(id=name)


class Reader(HTMLParser):
    """Reads a page that closes whatever it opens, and complains of any other."""

    def __init__(self) -> None:
        super().__init__()
        self.page = self.at = Element("", {}, None)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        assert len({name for name, _ in attrs}) == len(attrs), f"{tag} has an attribute twice"
        made = Element(tag, {name: value or "" for name, value in attrs}, self.at)
        self.at.inner.append(made)
        if tag not in VOID:
            self.at = made

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.handle_starttag(tag, attrs)
        self.handle_endtag(tag)

    def handle_endtag(self, tag: str) -> None:
        assert self.at.tag == tag, f"{tag} ends {self.at.tag}"
        assert self.at.within is not None
        self.at = self.at.within

    def handle_data(self, data: str) -> None:
        self.at.inner.append(data)


def read(sheet: Sheet) -> Element:
    reader = Reader()
    reader.feed(render(sheet))
    reader.close()
    assert reader.at is reader.page
    return reader.page


def picture(**more: object) -> Picture:
    fields: dict[str, object] = {
        "title": "North wall, seen from inside",
        "described": "A wall 3 m long and 2.5 m high, with S1 0.4 m from the left end",
        "width": 150.0,
        "height": 120.005,
        "scale": 25,
        "marks": (
            Area(Look.FACE, ((0.0, 0.0), (120.0, 0.0), (120.0, 100.0), (0.0, 100.0))),
            Line(Look.CABLE, ((1.0, 2.25), (3.0001, 4.0))),
            Circle(Look.READING_WET, (10.0, 90.0), 1.0),
            Text(Look.LABEL, (16.0, 84.0), "S1 < 0.4 m", 3.0, Anchor.MIDDLE, turned=-90.0),
            Flag(Look.FOUND_OPEN, (18.0, 84.0), 4),
        ),
        "legend": (Sample((Circle(Look.READING_WET, (6.0, 3.0), 1.0),), "moisture reading: wet"),),
        "unplaced": ("S2 is not drawn: add `kitchen.north.S2.at`",),
    }
    return Picture(**(fields | more))  # type: ignore[arg-type]  # made up


TABLE = Table("Points", ("Point", "From left", "Height"), (("S1", "0.4 m", "25 cm"), ("S2", "", "30 cm")))


def hold(place: str, state: Passing, **more: int) -> HoldState:
    tally = {verdict: more.get(verdict.name.lower(), 0) for verdict in Verdict}
    release = Release(place, "2026-09-30", "A. Mason", overtaken=False) if state is Passing.RELEASED else None
    return HoldState(HoldPoint.FILLING, place, state, tally, ("some-rule",), release)


def sheet_of(plan: PlanRecord, **more: object) -> Sheet:
    entries = {stop.place: stop.entries for stop in stops(plan)}
    in_turn = sorted((one for some in entries.values() for one in some), key=lambda one: one.lead.conceded is not None)
    numbers = {id(one): number for number, one in enumerate(in_turn, 1)}
    found = {place: tuple(Numbered(numbers[id(one)], one) for one in some) for place, some in entries.items()}
    north = Part(
        place="kitchen.north", title="Wall north", pictures=(picture(), picture(scale=None)), tables=(TABLE,),
        found=found.pop("kitchen.north", ()),
    )  # fmt: skip
    others = [place for place in found if place.startswith("kitchen.")]
    parts = (north, *(Part(place=place, title=place, found=found.pop(place)) for place in others))
    fields: dict[str, object] = {
        "version": "1.2.3",
        "today": "2026-10-03",
        "plan": plan,
        "rooms": (RoomSheet(place="kitchen", title="Room kitchen", picture=picture(), found=(), parts=parts),),
        "elsewhere": tuple(Part(place=place, title=place, found=some) for place, some in found.items()),
        "holds": plan.holds,
        "cautions": (("Measure again before you cut.", ()), ("Work on circuits only when they are dead.", (2,))),
    }
    return Sheet(**(fields | more))  # type: ignore[arg-type]  # made up


@pytest.fixture
def plan(toll_house: PlanRecord) -> PlanRecord:
    holds = (
        hold("kitchen", Passing.HOLD, fail=2, open=1),
        hold("kitchen.north", Passing.MAY_BE_RELEASED),
        hold("kitchen.east", Passing.RELEASED),
    )
    return replace(toll_house, holds=holds)


@pytest.fixture
def page(plan: PlanRecord) -> Element:
    return read(sheet_of(plan))


def test_looks_as_it_did(plan: PlanRecord, golden: Callable[[str, str], None]) -> None:
    text = render(sheet_of(plan))
    style = text.index("<style>"), text.index("</style>")
    golden("sheet.html", text[: style[0]] + text[style[1] :])


def test_same_sheet_gives_same_text(plan: PlanRecord) -> None:
    assert render(sheet_of(plan)) == render(sheet_of(plan))


def test_needs_nothing_else(page: Element) -> None:
    tags = {one.tag for one in page.all()}
    assert not tags & {"script", "link", "img", "iframe", "object", "embed", "base", "form", "use", "image"}
    assert page.one("html").attributes["lang"] == "en"
    policy = page.one("meta", **{"http-equiv": "Content-Security-Policy"}).attributes["content"]
    assert policy.startswith("default-src 'none'; style-src 'unsafe-inline'")
    for one in page.all():
        assert not [name for name in one.attributes if name.startswith("on") or name in ("src", "srcset", "action")]
        assert one.attributes.get("href", "#").startswith("#")
    assert "url(" not in re.sub(r"url\(#[a-z-]+\)", "", CSS)
    assert "@import" not in CSS


def test_every_link_leads_somewhere_and_no_id_is_there_twice(page: Element) -> None:
    ids = [one.attributes["id"] for one in page.all() if "id" in one.attributes]
    assert len(ids) == len(set(ids))
    used = [one.attributes["href"].removeprefix("#") for one in page.all("a")]
    used += [one.attributes["for"] for one in page.all("label")]
    used += [
        name
        for one in page.all()
        for attribute in ("aria-labelledby", "aria-describedby")
        for name in one.attributes.get(attribute, "").split()
    ]
    assert set(used) <= set(ids)
    patterns = set(re.findall(r"url\(#([a-z-]+)\)", CSS))
    assert patterns == {one.attributes["id"] for one in page.all("pattern")}


def test_everything_found_is_there_once_at_its_place(plan: PlanRecord, page: Element) -> None:
    entries = [(stop.place, entry) for stop in stops(plan) for entry in stop.entries]
    items = list(page.all("li", **{"class": "item"}))
    assert sorted(one.attributes["id"] for one in items) == sorted(f"item-{n}" for n in range(1, len(entries) + 1))
    for place, entry in entries:
        section = page.by_id(f"place:{place}")
        told = [one for one in section.all("li", **{"class": "item"}) if f"Line {entry.lead.line};" in one.text]
        assert any(all(finding.rule in one.text for finding in entry.findings) for one in told), entry


def test_how_grave_it_is_stands_in_words_and_in_a_shape(page: Element) -> None:
    said = {one.attributes["id"]: one.one("strong").text for one in page.all("li", **{"class": "item"})}
    assert said == {
        "item-1": "Not recorded:",
        "item-2": "Warning:",
        "item-3": "Error at corner:",
        "item-4": "Warning:",
        "item-5": "Have a look at window:",
        "item-6": "Not recorded at S1:",
        "item-7": "Not recorded at S1:",
        "item-8": "Error at corner:",
        "item-9": "Conceded:",
    }
    assert page.one("ul", **{"class": "counts"}).text == (
        "2 errors 2 warnings 1 for a person to look at 3 not recorded 1 conceded"
    )
    shapes = {}
    for look in (one for one in Look if one.startswith("found")):
        drawn = svg.mark(look, 7)
        fill = re.search(rf"\.is-{look} {{.*--inside: var\(--(\w+)\)", CSS)
        dashed = f".flag.is-{look} > :first-child {{ stroke-dasharray" in CSS
        assert fill
        shapes[look] = ("<rect" in drawn, fill[1] == "sheet", dashed)
    # Note and warning are both round, the first hollow; what is open is a hollow square, and errors a filled one.
    assert len(set(shapes.values())) == len(shapes)


def test_an_item_says_what_to_do_and_leads_to_its_caution(page: Element) -> None:
    item = page.by_id("item-2")
    assert item.text == (
        "2 Item 2. Warning: the circuit feeds 9 outlets; the limit is 6. To do: feed some of them from a circuit of "
        "their own. Line 12; socket-points-per-circuit. Take care: caution 2."
    )
    assert item.one("a").attributes["href"] == "#care-2"
    assert page.by_id("care-2").text == "Work on circuits only when they are dead. (item 2)"
    assert page.by_id("care-1").text == "Measure again before you cut."
    assert page.by_id("item-9").text == (
        "9 Item 9. Conceded: the bead is pieced together. Agreed to by the owner until 2026-12-31: the shop had short "
        "ones only. Line 80; bead-in-one-piece."
    )


def test_each_hold_point_has_a_box_to_tick_and_its_state_in_words(page: Element) -> None:
    holds = page.by_id("holds")
    assert [one.attributes["type"] for one in holds.all("input")] == ["checkbox"] * 3
    assert [one.text for one in holds.all("label")] == [
        "filling: Hold: 2 failed and 1 not recorded.",
        "filling: May be released.",
        "filling: Released, on 2026-09-30 by A. Mason.",
    ]
    assert [one.text for one in holds.all("legend")] == ["kitchen", "kitchen, north", "kitchen, east"]
    assert not [one for one in holds.all("input") if "checked" in one.attributes]


def test_it_begins_with_what_was_checked_and_what_was_not(page: Element, plan: PlanRecord) -> None:
    text = page.by_id("summary").text
    assert "On 2026-10-03, by the limits general and gb. 11 rules made" in text
    assert "What was not checked" in text
    assert "the rule outline-closes broke down at kitchen" in text
    assert "Local code and licensed people decide" in page.one("footer").text
    alone = read(sheet_of(plan, place="kitchen.north"))
    assert "What lies outside of what was asked for: place kitchen.north." in alone.by_id("summary").text
    assert "of kitchen, north alone" in alone.one("header").text


def test_a_damaged_release_record_is_told(plan: PlanRecord) -> None:
    damaged = replace(plan, crashes=(), faults=(Fault("toll-house.releases.yaml", 3, 1, "it is torn", "mend it"),))
    assert "toll-house.releases.yaml:3:1: it is torn mend it" in read(sheet_of(damaged)).by_id("summary").text


def test_nothing_found_is_said(toll_house: PlanRecord) -> None:
    page = read(sheet_of(replace(toll_house, findings=(), crashes=()), cautions=(("Measure again.", ()),)))
    assert "There is nothing to put right or to add in what was checked." in page.by_id("summary").text
    assert "Nothing to put right or to add here, in what was checked." in page.by_id("place:kitchen.north").text
    assert "No rule guards a hold point here" in page.by_id("holds").text


def test_a_picture_is_named_described_and_to_scale(page: Element) -> None:
    drawing = page.by_id("place:kitchen.north").all("figure")
    first, second = drawing
    drawn = first.one("svg", **{"class": "drawing"})
    assert (drawn.attributes["width"], drawn.attributes["height"]) == ("150.0mm", "120.0mm")
    assert drawn.attributes["viewbox"] == "0 0 150.0 120.0"
    image = drawn.one("g", role="img")
    assert page.by_id(image.attributes["aria-labelledby"]).text == "North wall, seen from inside"
    assert page.by_id(image.attributes["aria-describedby"]).text == (
        "A wall 3 m long and 2.5 m high, with S1 0.4 m from the left end."
    )
    assert not [one for one in image.all() if one.tag == "a" or "tabindex" in one.attributes]
    assert "1:25 when printed at 100 %" in first.one("figcaption").text
    assert "not to scale" in second.one("figcaption").text
    assert "S2 is not drawn: add kitchen.north.S2.at." in first.one("figcaption").text
    assert first.one("ul").text == "moisture reading: wet"


def test_flags_lead_to_the_words_for_pointers_alone(page: Element) -> None:
    figure = next(page.by_id("place:kitchen.north").all("figure"))
    flag = figure.one("a")
    assert flag.attributes == {"href": "#item-4", "tabindex": "-1"}
    assert flag.within is not None
    assert flag.within.attributes == {"aria-hidden": "true"}
    assert flag.text == "4"


def test_what_scrolls_can_be_reached_with_the_keyboard_and_has_a_name(page: Element) -> None:
    frames = list(page.all("div", **{"class": "scroll"}))
    assert len(frames) == 4
    for frame in frames:
        assert (frame.attributes["tabindex"], frame.attributes["role"]) == ("0", "group")
        assert page.by_id(frame.attributes["aria-labelledby"]).text


def test_tables_name_their_rows_and_columns(page: Element) -> None:
    table = page.one("table")
    assert table.one("caption").text == "Points"
    assert [one.text for one in table.all("th", scope="col")] == ["Point", "From left", "Height"]
    assert [one.text for one in table.all("th", scope="row")] == ["S1", "S2"]
    assert [one.text for one in table.all("td")] == ["0.4 m", "25 cm", "", "30 cm"]


def test_headings_go_down_step_by_step(page: Element) -> None:
    steps = [int(one.tag[1]) for one in page.all() if re.fullmatch(r"h[1-6]", one.tag)]
    assert steps.count(1) == 1
    assert all(after - before <= 1 for before, after in pairwise(steps))


def test_marks_are_drawn_in_millimetres() -> None:
    assert svg.drawn(picture().marks) == (
        '<polygon class="is-face" points="0,0 120,0 120,100 0,100"/>'
        '<polyline class="is-cable line" points="1,2.25 3,4"/>'
        '<circle class="is-reading-wet" cx="10" cy="90" r="1"/>'
        '<text class="is-label text" x="16" y="84" font-size="3" text-anchor="middle" '
        'transform="rotate(-90 16 84)">S1 &lt; 0.4 m</text>'
    )
    assert (
        svg.drawn([Circle(Look.BOX, (-0.001, 179.996), 1 / 3)]) == '<circle class="is-box" cx="0" cy="180" r="0.33"/>'
    )


def test_text_of_a_plan_stays_text(plan: PlanRecord) -> None:
    findings = tuple(
        replace(one, message=HOSTILE, remedy=HOSTILE, conceded=one.conceded and replace(one.conceded, reason=HOSTILE))
        for one in plan.findings
    )
    broken = replace(plan, plan=HOSTILE, title=HOSTILE, findings=findings, overridden=(HOSTILE,))
    hostile = picture(
        title=HOSTILE,
        described=HOSTILE,
        marks=(Text(Look.LABEL, (1.0, 2.0), HOSTILE),),
        legend=(Sample((Text(Look.LABEL, (1.0, 2.0), HOSTILE),), HOSTILE),),
        unplaced=(HOSTILE,),
    )
    whole = sheet_of(broken, cautions=((HOSTILE, (1,)),))
    (room,) = whole.rooms
    table = Table(HOSTILE, (HOSTILE,), ((HOSTILE,),))
    part = replace(room.parts[0], title=HOSTILE, pictures=(hostile,), tables=(table,))
    room = replace(room, title=HOSTILE, picture=hostile, parts=(part, *room.parts[1:]))
    text = render(replace(whole, rooms=(room,)))
    page = read(replace(whole, rooms=(room,)))
    assert "<script" not in text
    assert "\u202e" not in text
    assert "\x07" not in text
    assert page.one("h1").text.replace("`", "") == SEEN
    assert {one.tag for one in page.all()} <= {"code"} | {one.tag for one in read(sheet_of(plan)).all()}
    for where in ("h2", "h3", "caption", "text", "figcaption", "strong"):
        assert any(SEEN in one.text.replace("`", "") for one in page.all(where)), where
    assert SEEN in page.by_id("item-2").text


def test_every_look_has_a_style() -> None:
    for look in Look:
        assert look is Look.LABEL or f"\n.is-{look} {{" in CSS, look


def colours(block: str) -> dict[str, tuple[float, ...]]:
    return {
        name: tuple(int(digits[at : at + 2], 16) / 255 for at in (0, 2, 4))
        for name, digits in re.findall(r"--(\w+): #([0-9a-f]{6});", block)
    }


def contrast(one: tuple[float, ...], other: tuple[float, ...]) -> float:
    """Contrast ratio by WCAG 2.2, from its definition of relative luminance."""
    bright, dark = sorted(
        (
            sum(
                share * (part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4)
                for share, part in zip((0.2126, 0.7152, 0.0722), colour, strict=True)
            )
            for colour in (one, other)
        ),
        reverse=True,
    )
    return (bright + 0.05) / (dark + 0.05)


@pytest.mark.parametrize("number", [0, 1], ids=["light", "dark"])
def test_colours_can_be_told_apart(number: int) -> None:
    # The contrasts that WCAG 2.2 level AA wants: 4.5 for text (1.4.3), 3 for what is drawn (1.4.11).
    named = colours(re.findall(r":root {(.*?)}", CSS, re.DOTALL)[number])
    for ground in ("sheet", "panel"):
        for text in ("ink", "quiet", "link", "error", "warning", "note", "open", "green", "water", "timber"):
            assert contrast(named[text], named[ground]) >= 4.5, (text, ground)
        assert contrast(named["stone"], named[ground]) >= 3
    for filled in ("error", "warning"):
        assert contrast(named["on"], named[filled]) >= 4.5
    for drawn in ("ink", "error", "green", "timber"):
        assert contrast(named[drawn], named["board"]) >= 3
