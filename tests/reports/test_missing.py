from collections.abc import Callable

from planlint.records import InspectionRecord
from planlint.reports import missing
from planlint.reports.missing import Format
from planlint.reports.page import Page

FORM = Format(frozenset({"tools", "rooms"}), lambda key: "[68 mm]" if key == "tools.hole_saws" else "")


def test_list_of_missing_keys(run: InspectionRecord, golden: Callable[[str, str], None]) -> None:
    golden("missing.txt", missing.render(run, Page(), FORM))


def test_each_key_is_listed_once_a_place(run: InspectionRecord) -> None:
    lines = missing.render(run, Page(), FORM).splitlines()
    assert lines.count("  base") == lines.count("  lining") == 1


def test_a_complete_plan_says_so(clean: InspectionRecord) -> None:
    assert "No check waits" in missing.render(clean, Page(), FORM)
