"""Markdown, rendered by the reference library of GitHub-flavoured markdown."""

import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field, replace
from html.parser import HTMLParser

import pytest
from cmarkgfm import github_flavored_markdown_to_html
from cmarkgfm.cmark import Options
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from planlint.records import Concession, Finding, HoldPoint, HoldState, InspectionRecord, Level, Passing, Verdict
from planlint.reports import markdown

OURS = {"h1", "h2", "h3", "p", "strong", "table", "thead", "tbody", "tr", "th", "td", "details", "summary", "ul", "li"}
HOSTILE = (
    "a | b `c` <img src=x onerror=y> </details> \\| **x** _y_ @someone #12 !3 http://example.invalid "
    "www.example.invalid me@example.invalid $a$ ~~s~~ [l](http://example.invalid) &lt; &#124; \\\n\n"
    "# head\n- one\n1. two"
)


@dataclass
class Rendered(HTMLParser):
    """The page as a reader sees it: its tables, its headings and its tags."""

    tables: list[list[list[str]]] = field(default_factory=list)
    headings: list[str] = field(default_factory=list)
    tags: list[str] = field(default_factory=list)
    folded: list[str] = field(default_factory=list)
    text: str = ""

    def __post_init__(self) -> None:
        super().__init__()
        self.within: list[str] = []

    def handle_starttag(self, tag: str, _: list[tuple[str, str | None]]) -> None:
        self.tags.append(tag)
        self.within.append(tag)
        if tag == "table":
            self.tables.append([])
        elif tag == "tr":
            self.tables[-1].append([])
        elif tag in ("td", "th"):
            self.tables[-1][-1].append("")
        elif tag in ("h1", "h2", "h3"):
            self.headings.append("")
        elif tag == "summary":
            self.folded.append("")

    def handle_endtag(self, tag: str) -> None:
        assert self.within.pop() == tag

    def handle_data(self, data: str) -> None:
        self.text += data
        if {"td", "th"} & set(self.within):
            self.tables[-1][-1][-1] += data
        elif {"h1", "h2", "h3"} & set(self.within):
            self.headings[-1] += data
        elif "summary" in self.within:
            self.folded[-1] += data

    def rows(self, head: str) -> Iterator[dict[str, str]]:
        """The rows of all tables that have a column of this name."""
        for heads, *rows in self.tables:
            if head in heads:
                yield from (dict(zip(heads, row, strict=True)) for row in rows)


def rendered(record: InspectionRecord) -> Rendered:
    text = markdown.render(record)
    assert len(text) <= markdown.LIMIT
    page = Rendered()
    page.feed(github_flavored_markdown_to_html(text, Options.CMARK_OPT_UNSAFE))
    page.close()
    assert page.within == []
    assert set(page.tags) <= OURS | {"code"}
    return page


def with_findings(record: InspectionRecord, *findings: Finding) -> InspectionRecord:
    return replace(record, plans=(replace(record.plans[0], findings=findings),))


def test_markdown(whole_run: InspectionRecord, golden: Callable[[str, str], None]) -> None:
    golden("report.md", markdown.render(whole_run))


def test_counts_come_first(whole_run: InspectionRecord) -> None:
    page = rendered(whole_run)
    assert page.headings[0] == "planlint: 2 errors, 2 warnings, 4 not recorded, 1 to look at and 2 troubles"
    assert page.tables[0][1] == ["Toll house, küche (toll-house.plan.yaml)", "2", "2", "0", "1", "4", "1", "21"]


def test_a_clean_run_says_what_was_not_looked_at(clean: InspectionRecord) -> None:
    page = rendered(clean)
    assert page.headings[0] == "planlint: nothing found in what was checked"
    assert "Local code and licensed people decide" in page.text
    assert not re.search(r"\b(safe|compliant|certified)\b", page.text, re.IGNORECASE)


def test_a_table_a_room_with_the_worst_first(whole_run: InspectionRecord) -> None:
    page = rendered(whole_run)
    assert page.headings[2:5] == ["Toll house, küche", "circuits", "kitchen"]
    found = [(row[""], row["Where"], row["Line"]) for row in page.rows("What to do") if "" in row]
    assert found == [
        ("Warning", "circuits.ring", "12"),
        ("Error", "kitchen.north.corner", "58"),
        ("Error", "kitchen.east.corner", "40"),
        ("Warning", "kitchen.north", "55"),
        ("Have a look", "kitchen.north.window", "66"),
    ]


def test_what_is_open_conceded_or_passed_is_folded_away(whole_run: InspectionRecord) -> None:
    page = rendered(whole_run)
    assert page.folded == ["Not recorded: 3 things for 4 checks", "Conceded: 1", "Rules that passed: 1"]
    assert next(page.rows("Add"))["Add"] == ""
    together = [row for row in page.rows("Add") if row["Add"] == "base, lining"]
    assert [row["Rules that wait for it"] for row in together] == ["box-depth-fits, box-has-backing"]
    assert next(page.rows("Agreed to by"))["Reason"] == "the shop had short ones only"
    assert list(page.rows("Did not apply")) == [{"Rule": "joint-on-support", "Passed": "21", "Did not apply": "30"}]


def test_trouble_and_cautions_are_there(whole_run: InspectionRecord) -> None:
    page = rendered(whole_run)
    where = [row["Where"] for row in page.rows("What to do") if "" not in row]
    assert where == ["barn.plan.yaml, line 3", "toll-house.plan.yaml"]
    assert page.text.count("wear a mask when you sand") == 1


def test_the_answer_before_a_hold_point_comes_first(whole_run: InspectionRecord) -> None:
    plan = whole_run.plans[0]
    hold = HoldState(HoldPoint.FILLING, "kitchen", Passing.HOLD, {Verdict.FAIL: 2}, ("bead-at-outside-corner",), None)
    text = rendered(replace(whole_run, plans=(replace(plan, hold=hold),))).text
    assert text.index("Hold: filling of kitchen") < text.index("The outside corner")


def test_text_of_a_plan_stays_text(whole_run: InspectionRecord) -> None:
    plan = whole_run.plans[0]
    leave = Concession(HOSTILE, HOSTILE, "2026-12-31")
    told = replace(plan.findings[0], message=HOSTILE, remedy=HOSTILE, caution=HOSTILE)
    conceded = replace(told, conceded=leave)
    wanted = replace(plan.findings[-1], message=HOSTILE, missing=(HOSTILE,))
    odd = replace(plan, title=HOSTILE, plan=HOSTILE, findings=(told, conceded, wanted), overridden=(HOSTILE,))
    record = replace(whole_run, plans=(odd,))
    page, said = rendered(record), " ".join(HOSTILE.split())
    told_as = f"A{said[1:]}"
    row = next(row for row in page.rows("What to do") if "" in row)
    assert (row["What"], row["What to do"]) == (told_as, told_as)
    row = next(page.rows("Agreed to by"))
    assert (row["What"], row["Agreed to by"], row["Reason"]) == (told_as, said, said)
    assert next(page.rows("Add"))["Add"] == said
    assert page.headings[2] == said
    html = github_flavored_markdown_to_html(markdown.render(record), Options.CMARK_OPT_UNSAFE)
    # Nothing that the hosting site makes a link or a call of: a mention, an issue, an address.
    assert not re.search(r"@\w|#\d|https?://|www\.", html)


def test_a_comment_has_an_end_and_says_what_it_left_out(whole_run: InspectionRecord) -> None:
    plan = whole_run.plans[0]
    error, warning = plan.findings[1], plan.findings[0]
    assert (error.level, warning.level) == (Level.ERROR, Level.WARNING)
    many = [
        replace(one, place=f"{room}.north.S{number}", line=number)
        for number in range(1, 400)
        for room, one in (("attic", warning), ("kitchen", error))
    ]
    page = rendered(with_findings(whole_run, *many))
    shown = [row[""] for row in page.rows("What to do") if "" in row]
    left_out = re.search(r"Left out here: (\d+) warnings, .* and 1 rule that passed\. ", page.text)
    assert left_out
    # Every error found room before the first warning did.
    assert shown.count("Error") == 399
    assert shown.count("Warning") + int(left_out.group(1)) == 399
    assert "Local code and licensed people decide" in page.text


def test_many_plans_and_many_troubles_have_an_end_too(whole_run: InspectionRecord) -> None:
    plans = tuple(replace(whole_run.plans[0], plan=f"{number}.plan.yaml") for number in range(2000))
    faults = tuple(replace(whole_run.faults[0], file=f"{number}-barn.plan.yaml") for number in range(2000))
    for record in (replace(whole_run, plans=plans), replace(whole_run, faults=faults)):
        page = rendered(record)
        assert re.search(r"Left out here: \d+ (rows of the summary|troubles), ", page.text)
        assert "Local code and licensed people decide" in page.text


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], max_examples=50)
@given(text=st.text(st.characters(codec="utf-8"), min_size=1) | st.text("\\|`*_[]<>&$@#!:/w. a1-~\n", min_size=1))
def test_any_text_stays_in_its_cell(run: InspectionRecord, text: str) -> None:
    finding = replace(run.plans[0].findings[0], message=f"x{text}", remedy=None)
    row = next(row for row in rendered(with_findings(run, finding)).rows("What to do") if "" in row)
    kept = "".join(sign if sign.isprintable() else "\N{REPLACEMENT CHARACTER}" for sign in " ".join(f"x{text}".split()))
    assert row["What"] == f"X{kept[1:]}"


@pytest.mark.parametrize("number", [0, 1])
def test_the_same_run_gives_the_same_bytes(whole_run: InspectionRecord, clean: InspectionRecord, number: int) -> None:
    record = (whole_run, clean)[number]
    assert markdown.render(replace(record)) == markdown.render(record)
