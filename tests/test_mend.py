"""Mending: each edit is tried on the whole plan, kept where it holds, and nothing is left to do for a second run."""

import re
from collections import Counter
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planlint import mend as mending
from planlint import release, source
from planlint.errors import PlanFaults, UsageError
from planlint.inspection import ENGINE_CARDS, Wanted, inspect
from planlint.mend import Mended, mend, with_fixes
from planlint.records import Crash, Finding, HoldPoint, PlanRecord, Verdict
from planlint.registry import Rulebook, load

EXAMPLES = Path(__file__).parents[1] / "examples"
DRAFT = source.load(EXAMPLES / "weigh-house/first-draft.plan.yaml")
TODAY = date(2026, 10, 3)
WANTED = Wanted(TODAY)

SHED = """\
plan: 1
title: a shed
rooms:
  shed:
    height: 2.40 m
    outline: partial
    walls:
      - {wall: a, then: left, corner: filler, lining: none}
      - {wall: b, then: right, corner: filler, lining: none}
      - {wall: c, then: right, corner: {joint: sealant, width: 5 mm, sealant: {kind: silicone, class: 25}}, length: 2 m}
      - {wall: d, length: 2 m, lining: none}
"""


@pytest.fixture(scope="module")
def rulebook() -> Rulebook:
    return load(ENGINE_CARDS)


def document(text: str) -> source.Document:
    return source.read(text.encode(), "shed.plan.yaml")


def mended(rulebook: Rulebook, text: str, **wanted: object) -> Mended:
    return mend(document(text), rulebook, Wanted(TODAY, **wanted))  # type: ignore[arg-type]


def known(record: PlanRecord) -> Counter[tuple[str, str, str]]:
    return Counter((finding.rule, finding.place, finding.message) for finding in record.findings)


def test_an_edit_puts_right_what_it_says_and_brings_nothing(rulebook: Rulebook) -> None:
    result = mended(rulebook, SHED)
    assert "{wall: a, then: left, corner: {joint: bead, length: 2.4 m}, lining: none}" in result.document.text
    before = inspect(document(SHED), rulebook, WANTED)
    after = inspect(result.document, rulebook, WANTED)
    gone = known(before) - known(after)
    assert known(after) - known(before) == Counter()
    assert gone == Counter((one.rule, one.place, one.message) for one in result.record.mended)
    assert result.record.tally == after.tally


def test_what_did_not_hold_at_first_may_hold_later(rulebook: Rulebook) -> None:
    # The joint of b is like that of c, which takes no paint until it is mended itself.
    result = mended(rulebook, SHED.replace("wall: b, ", "wall: b, length: 2 m, "))
    rules = [finding.rule for finding in result.record.mended]
    assert rules.index("sealant-takes-paint") < rules.index("sealant-at-inside-corner")
    assert result.record.left == ()
    assert "corner: {joint: sealant, width: 5 mm, sealant: {kind: acrylic, class: 25}}" in result.document.text


def test_an_edit_that_would_bring_another_finding_is_not_made(rulebook: Rulebook) -> None:
    # Without the length of its wall nobody knows how far the joint of b moves.
    alone = mended(rulebook, SHED.replace("length: 2 m, ", ""))
    (left,) = [one for one in alone.record.left if one.finding.place == "shed.b.corner"]
    assert left.finding.rule == "sealant-at-inside-corner"
    assert left.why.startswith("the edit would bring another finding at shed.b.corner: not recorded")
    assert "{wall: b, then: right, corner: filler, lining: none}" in alone.document.text


def test_only_what_was_asked_for(rulebook: Rulebook) -> None:
    assert [one.rule for one in mended(rulebook, SHED, only=("sealant-takes-paint",)).record.mended] == [
        "sealant-takes-paint"
    ]
    assert [one.place for one in mended(rulebook, SHED, place="shed.a").record.mended] == ["shed.a.corner"]
    assert mended(rulebook, SHED, only=("hazards",)).record.mended == ()
    with pytest.raises(UsageError, match="no place called"):
        mended(rulebook, SHED, place="barn")
    with pytest.raises(UsageError, match="no rule or family"):
        mended(rulebook, SHED, only=("beads",))


def test_an_edit_is_judged_by_all_rules_whatever_was_asked_for(rulebook: Rulebook) -> None:
    without = SHED.replace("length: 2 m, ", "")
    assert mended(rulebook, without, only=("sealant-at-inside-corner",)).record.mended == ()


CONCEDED = (
    SHED
    + """\
concessions:
  - {rule: bead-at-outside-corner, at: shed.a.corner, reason: a shelf stands there, agreed_by: owner, until: 2027-01-01}
"""
)


def test_what_people_agreed_to_live_with_stays(rulebook: Rulebook) -> None:
    assert "corner: filler" in mended(rulebook, CONCEDED, place="shed.a").document.text


def test_what_an_alias_repeats_is_left_alone_and_why(rulebook: Rulebook) -> None:
    text = SHED.replace("corner: filler", "corner: &f filler", 1).replace("corner: filler", "corner: *f", 1)
    (left,) = mended(rulebook, text, place="shed.a").record.left
    assert left.why.startswith("what is written there also counts elsewhere")


def test_an_edit_that_would_overtake_a_release_is_not_made(rulebook: Rulebook, tmp_path: Path) -> None:
    file = tmp_path / "study.plan.yaml"
    ready = (EXAMPLES / "weigh-house/ready-to-close.plan.yaml").read_text(encoding="utf-8")
    file.write_text(re.sub(r"corner: {joint: sealant.*", "corner: filler", ready, count=1), encoding="utf-8")
    (only,) = mend(source.load(file), rulebook, WANTED).record.mended
    assert (only.rule, only.place) == ("sealant-at-inside-corner", "study.west.corner")
    asked = release.Asked(HoldPoint.CLOSING_IN, "study.west", "A. Mason", TODAY)
    _, entry = release.consider(source.load(file), rulebook, asked)
    assert entry
    release.add(str(file), entry)
    (left,) = mend(source.load(file), rulebook, WANTED).record.left
    assert left.why.endswith("(release-overtaken)")


def test_the_first_draft_is_rid_of_what_is_claimed_and_a_second_run_changes_nothing(rulebook: Rulebook) -> None:
    before = inspect(DRAFT, rulebook, WANTED)
    result = mend(DRAFT, rulebook, WANTED)
    after = inspect(result.document, rulebook, WANTED)
    claimed = Counter((one.rule, one.place, one.message) for one in result.record.mended)
    assert {"conductor-section", "support-spacing", "sealant-takes-paint", "box-depth-fits"} <= {
        rule for rule, _, _ in claimed
    }
    assert not claimed & known(after)
    assert known(after) - known(before) == Counter()
    assert after.tally[Verdict.FAIL] <= before.tally[Verdict.FAIL] - len(claimed)
    assert not result.record.is_cut_short
    again = mend(result.document, rulebook, WANTED)
    assert again.record.mended == ()
    assert again.document.text == result.document.text


def test_lines_of_the_first_draft_stay_but_for_those_with_an_edit(rulebook: Rulebook) -> None:
    result = mend(DRAFT, rulebook, WANTED)
    pairs = zip(DRAFT.text.split("\n"), result.document.text.split("\n"), strict=True)
    assert sum(old != new for old, new in pairs) == len(result.record.mended)


def test_a_plan_with_nothing_to_mend_comes_back_as_it_is(rulebook: Rulebook) -> None:
    ready = source.load(EXAMPLES / "weigh-house/ready-to-close.plan.yaml")
    result = mend(ready, rulebook, WANTED)
    assert result.document is ready
    assert (result.record.mended, result.record.left) == ((), ())


def test_a_run_tries_so_many_edits_and_says_when_there_are_more(
    rulebook: Rulebook, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(mending, "MOST_TRIALS", 1)
    first = mended(rulebook, SHED)
    assert first.record.is_cut_short
    assert len(first.record.mended) == 1
    monkeypatch.undo()
    assert mended(rulebook, first.document.text).document.text == mended(rulebook, SHED).document.text


def test_a_plan_that_cannot_be_read_is_a_fault(rulebook: Rulebook) -> None:
    with pytest.raises(PlanFaults):
        mended(rulebook, "plan: 1\ntitle: x\nroms: {}\n")


BROKEN = Crash("bead-at-outside-corner", "shed.a.corner", "extra", "KeyError('x')")


def test_where_a_rule_breaks_down_nothing_is_mended(rulebook: Rulebook, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(mending, "inspect", lambda *found: replace(inspect(*found), crashes=(BROKEN,)))
    with pytest.raises(PlanFaults, match="so no edit can be tried"):
        mended(rulebook, SHED)
    monkeypatch.undo()
    record = replace(inspect(document(SHED), rulebook, WANTED), crashes=(BROKEN,))
    assert with_fixes(document(SHED), record, rulebook, WANTED) is record


def test_where_a_release_record_is_damaged_nothing_is_mended(rulebook: Rulebook, tmp_path: Path) -> None:
    file = tmp_path / "shed.plan.yaml"
    file.write_text(SHED, encoding="utf-8")
    file.with_name("shed.releases.yaml").write_text("release: 1\n", encoding="utf-8")
    with pytest.raises(PlanFaults):
        mend(source.load(file), rulebook, WANTED)


def fixes(rulebook: Rulebook, text: str, wanted: Wanted = WANTED) -> dict[str, Finding]:
    read = document(text)
    record = with_fixes(read, inspect(read, rulebook, wanted), rulebook, wanted)
    return {finding.place: finding for finding in record.findings if finding.fix}


def test_a_finding_has_a_fix_where_its_edits_hold_by_themselves(rulebook: Rulebook) -> None:
    found = fixes(rulebook, SHED)
    assert found.keys() == {"shed.a.corner", "shed.c.corner"}  # that of b holds once c is mended
    fix = found["shed.c.corner"].fix
    assert fix
    assert (fix.line, fix.end_line, fix.text) == (10, 10, "acrylic")
    line = SHED.split("\n")[9]
    assert line[fix.column - 1 : fix.end_column - 1] == "silicone"


def test_fixes_are_tried_by_all_rules_and_in_a_narrow_run_too(rulebook: Rulebook) -> None:
    only = Wanted(TODAY, only=("corners",), place="shed.a")
    assert fixes(rulebook, SHED, only).keys() == {"shed.a.corner"}
    assert fixes(rulebook, SHED.replace("corner: filler", "corner: bead"), only) == {}


def test_of_many_edits_the_first_are_tried_for_a_report(rulebook: Rulebook, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(mending, "MOST_FIXES", 1)
    assert fixes(rulebook, SHED).keys() == {"shed.a.corner"}
    monkeypatch.undo()
    monkeypatch.setattr(mending, "MOST_TEXT", len(SHED) - 1)
    assert fixes(rulebook, SHED) == {}


joints = st.sampled_from(
    ["filler", "sealant", "bead", "{joint: tape}", "'filler' ", '"none"', "{joint: filler}  # so far"]
)
turns = st.sampled_from(["left", "right"])


@st.composite
def rooms(draw: st.DrawFn) -> bytes:
    """A plan with corners finished in any way, battens and screws of any spacing, and line ends of any kind."""
    end, mark = draw(st.sampled_from(["\n", "\r\n"])), draw(st.sampled_from([b"", b"\xef\xbb\xbf"]))
    far = draw(st.sampled_from(["400 mm", "650 mm", "24 in", "31.5 in"]))
    lines = [
        "# a plan",
        "plan: 1",
        "title: 'a room'   ",
        "boards:",
        "  b: {kind: gypsum, thickness: 12.5 mm} # b",
        "linings:",
        "  thin:",
    ]
    lines += [f"    battens: {{spacing: {far}, width: 50 mm, depth: 50 mm}}", "    layers:", "    # boards"]
    lines += [f"    - {{board: b, screws: {{length: 35 mm, spacing: {far}, edge: 5 mm}}}}", "rooms:", "  hall:"]
    lines += ["    height: 2.50 m", "    outline: partial", "    walls:"]
    for number in range(draw(st.integers(1, 4))):
        lines += [
            f"    - wall: w{number}   # the wall",
            f"      then: {draw(turns)}",
            f"      corner: {draw(joints)}",
            "      lining: thin",
            "",
        ]
    return mark + end.join(lines).encode()


@given(room=rooms())
@settings(max_examples=15)
def test_a_second_run_changes_nothing_and_a_line_without_an_edit_neither(room: bytes, rulebook: Rulebook) -> None:
    read = source.read(room, "hall.plan.yaml")
    result = mend(read, rulebook, WANTED)
    assert known(inspect(result.document, rulebook, WANTED)) - known(inspect(read, rulebook, WANTED)) == Counter()
    assert mend(result.document, rulebook, WANTED).record.mended == ()
    pairs = list(zip(read.text.split("\n"), result.document.text.split("\n"), strict=True))
    changed = [old for old, new in pairs if old != new]
    assert all("corner:" in old or "spacing:" in old for old in changed)
    assert len(changed) <= len(result.record.mended)
