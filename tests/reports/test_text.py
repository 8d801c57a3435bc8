import re
from collections.abc import Callable
from dataclasses import replace

import pytest

from planlint.records import InspectionRecord, Verdict
from planlint.reports import text
from planlint.reports.page import Page

Golden = Callable[[str, str], None]


def test_full_report(run: InspectionRecord, golden: Golden) -> None:
    golden("text.txt", text.render(run, Page()))


def test_clean_report(clean: InspectionRecord, golden: Golden) -> None:
    golden("text-clean.txt", text.render(clean, Page()))


@pytest.mark.parametrize("width", [40, 80, 100])
def test_no_line_is_wider_than_the_page(run: InspectionRecord, width: int) -> None:
    assert max(map(len, text.render(run, Page(width)).splitlines())) <= width


def test_a_figure_stays_with_its_unit() -> None:
    assert Page(17).paragraph("damp is above 23 %, at 0.3 °C").splitlines() == ["damp is above", "23 %, at 0.3 °C"]
    assert Page(17).paragraph("5 rules in 12 plans, 3").splitlines() == ["5 rules in 12", "plans, 3"]
    # What is longer than the page is not broken.
    assert Page(3).paragraph("at 2.5 kg/m²").splitlines() == ["at", "2.5 kg/m²"]


def test_stops_come_in_the_order_of_the_walk(run: InspectionRecord) -> None:
    report = text.render(run, Page())
    headings = ["\nplan\n", "\ncircuits, ring\n", "\nkitchen, north\n", "\nkitchen, east\n", "\nkitchen, ceiling\n"]
    places = [report.index(heading) for heading in headings]
    assert places == sorted(places)


def test_worst_comes_first_at_a_stop(run: InspectionRecord) -> None:
    report = text.render(run, Page())
    north = report[report.index("kitchen, north") : report.index("kitchen, east")]
    words = re.findall(r"^ *\d+\. +(Error|Warning|Have a look|Not recorded)", north, re.MULTILINE)
    assert words == ["Error", "Warning", "Have a look", "Not recorded", "Not recorded"]


def test_rules_that_wait_for_the_same_keys_make_one_entry(run: InspectionRecord) -> None:
    report = " ".join(text.render(run, Page()).split())
    assert report.count("(add lining, base)") + report.count("(add base, lining)") == 1
    assert "2 rules wait for it: box-depth-fits and box-has-backing" in report


def test_a_caution_is_said_once(run: InspectionRecord) -> None:
    assert text.render(run, Page(100)).count("wear a mask") == 1


def test_the_parts_of_the_summary_add_up(run: InspectionRecord) -> None:
    report = " ".join(text.render(run, Page()).split())
    summary = report[report.index("11 rules made") : report.index("The plan sets")]
    total, *parts = map(int, re.findall(r"(?:made |[;:] )(\d+)", summary))
    assert total == sum(parts) == sum(run.plans[0].tally.values())


def test_nothing_is_called_safe(run: InspectionRecord, clean: InspectionRecord) -> None:
    for record in (run, clean):
        assert not re.search(r"\b(safe|compliant|certified)\b", text.render(record, Page()), re.IGNORECASE)


def test_colour_changes_no_word(run: InspectionRecord) -> None:
    coloured = text.render(run, Page(colour=True))
    assert "\x1b[" in coloured
    assert re.sub(r"\x1b\[[\d;]*m", "", coloured) == text.render(run, Page())


def test_a_title_cannot_steer_the_terminal(run: InspectionRecord) -> None:
    plan = replace(run.plans[0], title="barn\x1b[2J\x07")
    assert "\x1b" not in text.render(replace(run, plans=(plan,)), Page())


def test_without_a_plan_there_is_nothing_to_say(run: InspectionRecord) -> None:
    assert text.render(replace(run, plans=()), Page()) == ""


def test_a_place_off_the_walk_is_shown_all_the_same(run: InspectionRecord) -> None:
    plan = run.plans[0]
    lost = replace(plan.findings[0], place="attic.east", message="lost on the way")
    report = text.render(replace(run, plans=(replace(plan, findings=(*plan.findings, lost)),)), Page())
    assert report.index("attic, east") > report.index("kitchen, ceiling")
    assert plan.tally[Verdict.FAIL] == 4
