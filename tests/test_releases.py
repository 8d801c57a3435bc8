"""The release record beside a plan: what is read from it, what is refused, and which releases facts have overtaken."""

import os
from collections.abc import Callable
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

from planlint import inspection, registry, releases, source
from planlint.digest import Facts
from planlint.errors import PlanFaults
from planlint.records import Finding, HoldPoint, Level, Passing, PlanRecord, Verdict
from planlint.registry import Rulebook
from planlint.releases import Entry

TODAY = date(2026, 10, 3)
READY = Path(__file__).parents[1] / "examples/weigh-house/ready-to-close.plan.yaml"

RECORD = """\
release: 1
plan: study.plan.yaml
entries:
  - entry: released
    hold_point: closing-in
    place: study.west
    date: 2026-10-03
    by: "A. Mason"
    tally: {pass: 3, not-applicable: 1, conceded: 0}
    conceded: []
    rules: [some-rule]
    limits: [reading_age]
    digest: sha256:0000000000000000000000000000000000000000000000000000000000000000
  - entry: withdrawn
    hold_point: closing-in
    place: study.west
    date: 2026-10-04
    by: "B. Plasterer"
    reason: "a leak showed"
"""


@pytest.fixture(scope="module")
def book() -> Rulebook:
    return registry.load(inspection.ENGINE_CARDS)


@pytest.fixture
def plan(tmp_path: Path) -> Path:
    file = tmp_path / "study.plan.yaml"
    file.write_bytes(READY.read_bytes())
    return file


@pytest.fixture
def beside(plan: Path) -> Path:
    return plan.with_name("study.releases.yaml")


def refused(plan: Path) -> list[str]:
    with pytest.raises(PlanFaults) as caught:
        releases.load(str(plan))
    return [f"{Path(fault.file).name}:{fault.line}: {fault.message}; {fault.hint}" for fault in caught.value.faults]


# Where it is


@pytest.mark.parametrize(
    ("plan", "record"),
    [
        ("study.plan.yaml", "study.releases.yaml"),
        ("study.yaml", "study.releases.yaml"),
        ("study.yml", "study.releases.yaml"),
        ("a b/the study.plan.yaml", "a b/the study.releases.yaml"),
        ("study", "study.releases.yaml"),
        ("../x/küche.plan.yaml", "../x/küche.releases.yaml"),
        ("plan.yaml.plan.yaml", "plan.yaml.releases.yaml"),
    ],
)
def test_the_record_has_the_name_of_its_plan(plan: str, record: str) -> None:
    assert releases.record_beside(plan) == record


def test_a_plan_that_was_named_by_a_link_has_the_record_of_the_file_itself(plan: Path, beside: Path) -> None:
    (plan.parent / "links").mkdir()
    link = plan.parent / "links/newest.plan.yaml"
    link.symlink_to(plan)
    beside.write_text(RECORD, encoding="utf-8")
    assert os.path.realpath(releases.record_beside(str(link))) == os.path.realpath(beside)
    assert len(releases.load(str(link)).entries) == 2


def test_without_a_record_nothing_is_released(plan: Path) -> None:
    assert releases.load(str(plan)).in_force == ()
    assert releases.load("-").in_force == ()


# What it says


def test_a_withdrawal_ends_a_release_and_a_later_one_begins_anew(plan: Path, beside: Path) -> None:
    beside.write_text(RECORD, encoding="utf-8")
    record = releases.load(str(plan))
    released, withdrawn = record.entries
    assert (released.by, released.day, released.limits) == ("A. Mason", TODAY, ("reading_age",))
    assert record.in_force == ()
    again = replace(released, day=date(2026, 10, 9))
    assert replace(record, entries=(*record.entries, again)).in_force == (again,)
    elsewhere = replace(withdrawn, place="study.north-left")
    assert replace(record, entries=(released, elsewhere)).in_force == (released,)
    other_step = replace(withdrawn, hold_point=HoldPoint.FILLING)
    assert replace(record, entries=(released, other_step)).in_force == (released,)


@pytest.mark.parametrize(
    "text",
    [RECORD.replace("\n", "\r\n"), "\ufeff" + RECORD, RECORD + "# a note\n", RECORD.replace("entries:", "entries:\n")],
    ids=["CRLF", "a byte-order mark", "a comment", "an empty line"],
)
def test_what_editors_do_to_a_text_is_no_damage(plan: Path, beside: Path, text: str) -> None:
    beside.write_bytes(text.encode())
    assert len(releases.load(str(plan)).entries) == 2


DAMAGED = {
    "nothing": ("", 1, "the file is empty; put back the last whole copy"),
    "zeros, as a lost disk leaves": ("\0" * 64, 1, ""),
    "no YAML": ("release: [1\n", 1, ""),
    "a list": ("- release: 1\n", 1, "release record is written as keys"),
    "of no version": (RECORD.replace("release: 1\n", ""), 1, "version of the format"),
    "of a later version": (RECORD.replace("release: 1", "release: 2"), 1, "not a version known here"),
    "a plan": ("plan: 1\nrooms: {}\n", 1, "version of the format"),
    "without its plan": (RECORD.replace("plan: study.plan.yaml\n", ""), 1, 'needs "plan"'),
    "without entries": ("release: 1\nplan: study.plan.yaml\n", 1, 'needs "entries"'),
    "entries without items": ("release: 1\nplan: study.plan.yaml\nentries:\n", 3, ""),
    "an unknown key": (RECORD.replace('by: "B', 'bye: "B'), 18, '"bye" is not a key of an entry'),
    "an unknown word": (RECORD.replace("entry: withdrawn", "entry: taken-back"), 14, "taken-back"),
    "an unknown hold point": (
        RECORD.replace(
            "closing-in\n    place: study.west\n    date: 2026-10-03",
            "closing\n    place: study.west\n    date: 2026-10-03",
        ),
        5,
        "closing",
    ),
    "no day": (RECORD.replace("2026-10-04", "2026-10-34"), 17, "2026-10-34"),
    "a digest cut short": (RECORD.replace("sha256:0000", "sha256:"), 13, ""),
    "a release without its digest": (
        RECORD.replace("    digest: sha256:" + "0" * 64 + "\n", ""),
        4,
        'a release needs "digest"',
    ),
    "a withdrawal without a reason": (
        RECORD.replace('    reason: "a leak showed"\n', ""),
        14,
        'the withdrawal of a release needs "reason"',
    ),
    "cut off in its last line": (RECORD.replace('reason: "a leak showed"\n', "reason: a le"), 19, "may be cut off"),
    "cut off in quotes": (RECORD.removesuffix('showed"\n'), 19, ""),
    "without its last line break": (RECORD.removesuffix("\n"), 19, "the last line does not end"),
    "two texts in one": (RECORD + RECORD, 20, ""),
    "that of another plan": (
        RECORD.replace("study.plan.yaml", "hall.plan.yaml"),
        2,
        "the record of hall.plan.yaml, not of study.plan.yaml",
    ),
    "of two merged by hand": (RECORD + "<<<<<<< HEAD\n", 20, ""),
}


@pytest.mark.parametrize(("text", "line", "says"), DAMAGED.values(), ids=DAMAGED)
def test_a_damaged_record_is_refused_with_its_line(plan: Path, beside: Path, text: str, line: int, says: str) -> None:
    beside.write_bytes(text.encode())
    first, *_ = refused(plan)
    assert first.startswith(f"study.releases.yaml:{line}: this release record cannot be used: ")
    assert says in first
    assert not first.endswith("; ")


def test_a_record_that_was_cut_off_anywhere_is_refused_or_lacks_whole_entries(plan: Path, beside: Path) -> None:
    raw, whole = RECORD.encode(), 0
    for end in range(1, len(raw)):
        beside.write_bytes(raw[:end])
        try:
            entries = releases.load(str(plan)).entries
        except PlanFaults:
            continue
        # Cut exactly after an entry, what is left is a record: no file can tell what it once held.
        assert raw[end:].startswith(b"  - entry: withdrawn")
        assert len(entries) == 1
        whole += 1
    assert whole == 1


def test_text_that_is_not_utf8_is_refused(plan: Path, beside: Path) -> None:
    beside.write_bytes(RECORD.encode("utf-16"))
    assert "UTF-8" in refused(plan)[0]


def test_a_folder_of_that_name_is_refused(plan: Path, beside: Path) -> None:
    beside.mkdir()
    assert refused(plan)[0].startswith("study.releases.yaml:0: this release record cannot be used: this is a folder")


def test_a_plan_with_another_ending_beside_it_does_not_share_its_record(plan: Path, beside: Path) -> None:
    beside.write_text(RECORD, encoding="utf-8")
    other = plan.with_name("study.yaml")
    other.write_bytes(plan.read_bytes())
    assert "the record of study.plan.yaml, not of study.yaml" in refused(other)[0]


# Whether it still stands


def entry_for(text: str, book: Rulebook, place: str = "study.west", **more: object) -> Entry:
    plan = inspection.plan_of(source.read(text.encode(), "study.plan.yaml"))
    limits = inspection.limits_of(source.read(text.encode(), "x"), plan, book, None)
    guarding = releases.guarding(book.rules, HoldPoint.CLOSING_IN)
    read = tuple(sorted({name for rule in guarding for name in rule.reads}))
    rules = tuple(rule.id for rule in guarding)
    entry = Entry(
        withdrawn=False,
        hold_point=HoldPoint.CLOSING_IN,
        place=place,
        day=TODAY,
        by="A. Mason",
        rules=rules,
        limits=read,
    )
    return replace(entry, digest=Facts(plan, limits).digest(place, HoldPoint.CLOSING_IN, read), **more)  # type: ignore[arg-type]  # as the test says


def written(*entries: Entry) -> str:
    """A record by hand, as its schema wants it."""
    text = "release: 1\nplan: study.plan.yaml\nentries:\n"
    for one in entries:
        text += (
            f"  - {{entry: released, hold_point: {one.hold_point}, place: {one.place}, date: {one.day}, by: {one.by},\n"
            f"     tally: {{pass: 1, not-applicable: 0, conceded: 0}}, conceded: [],\n"
            f"     rules: [{', '.join(one.rules)}], limits: [{', '.join(one.limits)}], digest: '{one.digest}'}}\n"
        )
    return text


Inspect = Callable[..., PlanRecord]


@pytest.fixture
def inspect(plan: Path, beside: Path, book: Rulebook) -> Inspect:
    def run(*entries: Entry, edit: tuple[str, str] = ("", ""), **wanted: object) -> PlanRecord:
        text = READY.read_text(encoding="utf-8")
        assert edit == ("", "") or text.count(edit[0]) == 1, edit
        plan.write_text(text.replace(*edit) if edit[0] else text, encoding="utf-8")
        beside.write_text(written(*entries), encoding="utf-8")
        return inspection.inspect(source.load(plan), book, inspection.Wanted(**{"today": TODAY} | wanted))  # type: ignore[arg-type]  # as the test says

    return run


def overtaken(record: PlanRecord) -> list[Finding]:
    return [finding for finding in record.findings if finding.rule == "release-overtaken"]


WEST = ("0.15 m: 19 %", "0.15 m: 18.5 %")
BREAST = ("at: 0.70 m, column: {0.15 m: 14 %", "at: 0.70 m, column: {0.15 m: 13 %")


def test_a_changed_fact_marks_exactly_the_releases_that_rest_on_it(inspect: Inspect, book: Rulebook) -> None:
    text = READY.read_text(encoding="utf-8")
    places = ["study.west", "study.north-left", "study.breast-face", "study", "plan"]
    entries = [entry_for(text, book, place) for place in places]

    def marked(old: str, new: str) -> list[str]:
        return sorted(finding.place for finding in overtaken(inspect(*entries, edit=(old, new))))

    assert overtaken(inspect(*entries)) == []
    assert marked(*WEST) == ["plan", "study", "study.west"]
    assert marked(*BREAST) == ["plan", "study", "study.breast-face"]
    assert marked("tack_time: 8 min", "tack_time: 9 min") == []  # no fact of the model yet
    assert marked("depth: 40 mm, treated", "depth: 45 mm, treated") == ["plan", "study", "study.north-left"]
    assert marked("loop_impedance: 0.42 ohm", "loop_impedance: 0.43 ohm") == sorted(places)
    assert marked("title: Weigh house", "title: The weigh house") == []


def test_it_is_said_at_the_place_with_who_when_and_what_to_do(inspect: Inspect, book: Rulebook) -> None:
    (finding,) = overtaken(inspect(entry_for(READY.read_text(encoding="utf-8"), book), edit=WEST))
    assert (finding.place, finding.level, finding.outcome, finding.guards) == (
        "study.west",
        Level.WARNING,
        Verdict.FAIL,
        None,
    )
    assert finding.message.startswith("closing-in of study.west was released on 2026-10-03 by A. Mason, and the facts")
    assert finding.remedy


def test_a_place_that_is_gone_is_said_at_the_plan(inspect: Inspect, book: Rulebook) -> None:
    (finding,) = overtaken(inspect(replace(entry_for(READY.read_text(encoding="utf-8"), book), place="study.bay")))
    assert finding.place == "plan"
    assert "no such place any more" in finding.message


def test_a_rule_that_is_newer_is_a_note_and_overtakes_nothing(inspect: Inspect, book: Rulebook) -> None:
    entry = entry_for(READY.read_text(encoding="utf-8"), book)
    older = replace(entry, rules=tuple(name for name in entry.rules if name != "voltage-drop"))
    record = inspect(older, hold_point=HoldPoint.CLOSING_IN, place="study.west")
    (finding,) = overtaken(record)
    assert finding.level is Level.NOTE
    assert finding.message.endswith("before these rules came: voltage-drop")
    assert record.hold
    assert record.hold.state is Passing.RELEASED


def test_a_rule_that_is_gone_changes_nothing(inspect: Inspect, book: Rulebook) -> None:
    entry = entry_for(READY.read_text(encoding="utf-8"), book)
    assert overtaken(inspect(replace(entry, rules=(*entry.rules, "thatch-is-dry")))) == []


def test_a_limit_that_is_gone_overtakes(book: Rulebook) -> None:
    entry = entry_for(READY.read_text(encoding="utf-8"), book)
    plan = inspection.plan_of(source.load(READY))
    limits = inspection.limits_of(source.load(READY), plan, book, None)
    without = replace(limits, by_name={name: limit for name, limit in limits.by_name.items() if name != "reading_age"})
    assert releases.judge(Facts(plan, without), entry, book.rules) != releases.judge(
        Facts(plan, limits), entry, book.rules
    )


def test_the_plans_own_limits_count_whatever_set_a_run_judges_by(inspect: Inspect, book: Rulebook) -> None:
    entry = entry_for(READY.read_text(encoding="utf-8"), book)
    assert overtaken(inspect(entry, limits="fr")) == []
    other = ("limits: general\n", "limits: [general, {reading_age: {value: 29 d, reason: a wet summer}}]\n")
    assert len(overtaken(inspect(entry, edit=other))) == 1


@pytest.mark.parametrize(
    ("place", "hold_point", "told"),
    [
        (None, None, True),
        ("study.west", HoldPoint.CLOSING_IN, True),
        ("study", HoldPoint.CLOSING_IN, True),
        ("study.west.S1", None, True),
        ("plan", None, True),
        ("study.west", HoldPoint.FILLING, False),
        ("study.east", None, False),
    ],
)
def test_it_is_told_where_it_concerns_what_was_asked_for(
    inspect: Inspect, book: Rulebook, place: str | None, hold_point: HoldPoint | None, *, told: bool
) -> None:
    entry = entry_for(READY.read_text(encoding="utf-8"), book)
    assert bool(overtaken(inspect(entry, edit=WEST, place=place, hold_point=hold_point))) is told


def test_only_another_rule_leaves_it_out(inspect: Inspect, book: Rulebook) -> None:
    entry = entry_for(READY.read_text(encoding="utf-8"), book)
    assert overtaken(inspect(entry, edit=WEST, only=("box-has-backing",))) == []
    assert len(overtaken(inspect(entry, edit=WEST, only=("release-overtaken",)))) == 1


def test_a_damaged_record_keeps_nothing_of_the_plan_from_being_inspected(
    plan: Path, beside: Path, book: Rulebook
) -> None:
    wanted = inspection.Wanted(TODAY, hold_point=HoldPoint.CLOSING_IN)
    text = READY.read_text(encoding="utf-8").replace("value: 210 Mohm", "value: 0.1 Mohm")
    plan.write_text(text, encoding="utf-8")
    whole = inspection.inspect(source.load(plan), book, wanted)
    beside.write_text("release: [\n", encoding="utf-8")
    damaged = inspection.inspect(source.load(plan), book, wanted)
    assert [finding.rule for finding in damaged.findings] == ["dead-tests-recorded"]
    assert replace(damaged, faults=()) == whole
    (fault,) = damaged.faults
    assert (Path(fault.file).name, fault.line) == ("study.releases.yaml", 1)


# How things stand


def test_a_release_covers_what_lies_under_its_place(inspect: Inspect, book: Rulebook) -> None:
    text = READY.read_text(encoding="utf-8")

    def state(place: str, *released: str, edit: tuple[str, str] = ("", "")) -> tuple[str, str | None]:
        entries = [
            replace(entry_for(text, book, at), day=date(2026, 10, 3 + number)) for number, at in enumerate(released)
        ]
        hold = inspect(*entries, edit=edit, hold_point=HoldPoint.CLOSING_IN, place=place).hold
        assert hold
        return hold.state, hold.release.place if hold.release else None

    assert state("study.west") == ("may-be-released", None)
    assert state("study.west", "study.west") == ("released", "study.west")
    assert state("study.west", "study") == ("released", "study")
    assert state("study.west.S1", "study") == ("released", "study")
    assert state("study.west", "plan") == ("released", "plan")
    assert state("study", "study.west") == ("may-be-released", None)
    assert state("study.north-left", "study.west") == ("may-be-released", None)
    # The newest that still stands counts: what changed elsewhere in the room overtakes that of the room alone.
    assert state("study.west", "study.west", "study", edit=BREAST) == ("released", "study.west")
    assert state("study.west", "study.west", "study", edit=WEST) == ("may-be-released", "study")
    assert state("study.west", "study.west", edit=("sound: true}\n  party", "sound: false}\n  party")) == (
        "hold",
        "study.west",
    )


def test_part_of_the_rules_or_none_give_no_leave(inspect: Inspect) -> None:
    assert inspect(hold_point=HoldPoint.CLOSING_IN, only=("boxes",)).hold is None
    nothing = inspect(hold_point=HoldPoint.FILLING, place="boxes.deep").hold
    assert nothing
    assert nothing.state is Passing.HOLD
    assert nothing.rules == ()


def test_every_hold_point_at_once_says_what_each_alone_says(inspect: Inspect, book: Rulebook) -> None:
    text = READY.read_text(encoding="utf-8")
    entries = [entry_for(text, book, "study.west"), entry_for(text, book, "circuits.sockets")]
    edit = ("        photos: [photos/north-left.jpg]\n", "")
    states = inspect(*entries, edit=edit, every_hold_point=True).holds
    assert len(states) > 15
    assert {state.place for state in states} >= {"study", "study.west", "study.breast-face", "circuits.sockets"}
    assert "study.east" not in {state.place for state in states}  # it stays as it is
    for state in states:
        assert inspect(*entries, edit=edit, hold_point=state.hold_point, place=state.place).hold == state
    held = {(state.hold_point, state.place) for state in states if state.state is Passing.HOLD}
    assert held == {("closing-in", "study"), ("closing-in", "study.north-left")}
