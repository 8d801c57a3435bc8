from dataclasses import replace

import pytest

from planlint.records import Finding, InspectionRecord, LeftAlone, MendRecord, Verdict
from planlint.reports import mended
from planlint.reports.page import Page

TALLY = dict.fromkeys(Verdict, 0) | {Verdict.FAIL: 1, Verdict.OPEN: 2, Verdict.REVIEW: 1}


@pytest.fixture
def finding(run: InspectionRecord) -> Finding:
    return next(finding for finding in run.plans[0].findings if finding.outcome is Verdict.FAIL)


def said(record: MendRecord, *, written: bool = False) -> str:
    return " ".join(mended.render(record, Page(), written=written).split())


def test_what_is_put_right_and_what_is_left_alone(finding: Finding) -> None:
    careful = replace(finding, caution="Wear a mask.")
    left = LeftAlone(replace(finding, place="kitchen.south"), "the edit would not put it right")
    record = MendRecord("toll-house.plan.yaml", "Toll house", (careful,), (left,), TALLY, is_cut_short=False)
    text = said(record)
    assert text.startswith("Toll house toll-house.plan.yaml What these edits put right 1. ")
    assert f"{finding.place}: {finding.message} ({finding.rule})" in text
    assert (
        f"kitchen.south: {finding.message} ({finding.rule}) Not written, since the edit would not put it right." in text
    )
    assert "Take care Wear a mask." in text
    assert "Nothing is written yet; --write does it." in text
    assert "What remains after that is for people: 1 check fails, 2 are open, 1 waits for a person to look." in text
    written = said(record, written=True)
    assert "Written into the plan 1. " in written
    assert "Nothing is written" not in written
    assert "An edit changed what is planned, and nothing on the wall" in written


def test_nothing_to_mend(finding: Finding) -> None:
    record = MendRecord("-", "Toll house", (), (), dict.fromkeys(Verdict, 0), is_cut_short=True)
    text = said(record)
    assert text.startswith("Toll house from standard input There is nothing that planlint can mend here.")
    assert "run it again" in text
    assert "remains" not in text
    assert finding.rule not in text


def test_it_is_written_for_the_width_of_the_page(finding: Finding) -> None:
    record = MendRecord("x", "Toll house", (finding,), (), TALLY, is_cut_short=False)
    assert max(map(len, mended.render(record, Page(50), written=False).splitlines())) <= 50
