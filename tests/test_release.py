"""Releasing: what is added to a record, that nothing of it is ever lost, and that nothing damaged is written to."""

import errno
import json
import os
import random
import re
import signal
import stat
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from datetime import date
from pathlib import Path
from typing import Any

import pytest
import yaml
from hypothesis import given, settings
from hypothesis import strategies as st
from jsonschema import Draft202012Validator

from planlint import inspection, registry, release, releases, source
from planlint.errors import PlanFaults, UsageError
from planlint.records import HoldPoint, InspectionRecord, Level
from planlint.registry import Rulebook
from planlint.reports.page import Page
from planlint.reports.text import render
from planlint.schema import load_schema

READY = Path(__file__).parents[1] / "examples/weigh-house/ready-to-close.plan.yaml"
TODAY = date(2026, 10, 3)
WEST = release.Asked(HoldPoint.CLOSING_IN, "study.west", "A. Mason", TODAY)
ENTRY = {
    "entry": "released",
    "hold_point": "closing-in",
    "place": "study.west",
    "date": "2026-10-03",
    "by": "A. Mason",
    "tally": {"pass": 3, "not-applicable": 1, "conceded": 1},
    "conceded": [{"rule": "readings-recent", "place": "study.west"}],
    "rules": ["readings-recent", "wall-dry-enough"],
    "limits": ["reading_age"],
    "digest": "sha256:" + "0" * 64,
}


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


def consider(plan: Path, book: Rulebook, asked: release.Asked = WEST) -> Any:  # noqa: ANN401 - an entry, key by key
    return release.consider(source.load(plan), book, asked)[1]


# What is recorded


def test_an_entry_says_who_when_and_by_what(plan: Path, book: Rulebook) -> None:
    entry = consider(plan, book)
    assert list(entry) == [
        *("entry", "hold_point", "place", "date", "by"),
        *("tally", "conceded", "rules", "limits", "digest"),
    ]
    assert [entry[key] for key in ("entry", "place", "date", "by")] == [
        "released",
        "study.west",
        "2026-10-03",
        "A. Mason",
    ]
    assert entry["tally"]["pass"] > 20
    assert entry["tally"]["conceded"] == 0
    guarding = [rule for rule in book.rules if rule.guards is HoldPoint.CLOSING_IN]
    assert entry["rules"] == sorted(rule.id for rule in guarding)
    assert entry["limits"] == sorted({name for rule in guarding for name in rule.reads})


def test_a_place_is_recorded_as_the_plan_composes_it(plan: Path, book: Rulebook) -> None:
    plan.write_text(
        plan.read_text(encoding="utf-8")
        .replace("wall: west ", "wall: caf\u00e9 ")
        .replace("study.west", "study.caf\u00e9"),
        encoding="utf-8",
    )
    asked = release.Asked(HoldPoint.CLOSING_IN, "study.cafe\u0301", "A. Mason", TODAY)
    entry = consider(plan, book, asked)
    assert entry["place"] == "study.caf\u00e9"
    with release.alone_with(str(plan)):
        release.add(str(plan), entry)
    record = inspection.inspect(
        source.load(plan), book, inspection.Wanted(TODAY, hold_point=HoldPoint.CLOSING_IN, place="study.cafe\u0301")
    )
    assert record.hold
    assert record.hold.state == "released"


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("value: 210 Mohm", "value: 0.2 Mohm"),  # it fails
        ("value: 210 Mohm", "date: 2026-10-02"),  # it is open
        ("photos: [photos/west.jpg]", "photos: []"),  # only a warning
    ],
)
def test_it_is_not_released_where_something_is_in_the_way(plan: Path, book: Rulebook, old: str, new: str) -> None:
    text = plan.read_text(encoding="utf-8")
    assert old in text
    plan.write_text(
        text.replace("voltage: 500 V, value: 210 Mohm", "voltage: 500 V") if "date" in new else text.replace(old, new),
        encoding="utf-8",
    )
    assert consider(plan, book) is None


CONCEDED = """
concessions:
- {rule: runs-photographed, at: study.west, reason: no camera, agreed_by: the owner, until: 2026-10-10}
"""


def test_what_is_conceded_is_listed_and_comes_back_when_it_runs_out(plan: Path, book: Rulebook) -> None:
    text = plan.read_text(encoding="utf-8").replace("photos: [photos/west.jpg]", "photos: []")
    plan.write_text(text, encoding="utf-8")
    assert consider(plan, book) is None
    plan.write_text(text + CONCEDED, encoding="utf-8")
    entry = consider(plan, book)
    assert entry["conceded"] == [{"rule": "runs-photographed", "place": "study.west"}]
    assert entry["tally"]["conceded"] == 1
    with release.alone_with(str(plan)):
        release.add(str(plan), entry)
    for today, state in ((date(2026, 10, 10), "released"), (date(2026, 10, 11), "hold")):
        wanted = inspection.Wanted(today, hold_point=HoldPoint.CLOSING_IN, place="study.west")
        record = inspection.inspect(source.load(plan), book, wanted)
        assert record.hold
        assert record.hold.state == state
    said = {finding.rule: finding.message for finding in record.findings}
    assert "ran out on 2026-10-10" in said["concession-in-force"]
    assert "runs-photographed" in said
    # The facts are those that it was released for; what ended is the leave.
    assert "release-overtaken" not in said


def test_there_is_nothing_to_release_where_nothing_guards_it(plan: Path, book: Rulebook) -> None:
    assert consider(plan, book, release.Asked(HoldPoint.FILLING, "boxes.deep", "A. Mason", TODAY)) is None


def test_a_place_that_is_not_there_is_refused(plan: Path, book: Rulebook) -> None:
    with pytest.raises(UsageError, match=r"there is no place called study\.wst in this plan; did you mean study\.west"):
        consider(plan, book, release.Asked(HoldPoint.CLOSING_IN, "study.wst", "A. Mason", TODAY))


def test_nothing_is_considered_beside_a_damaged_record(plan: Path, beside: Path, book: Rulebook) -> None:
    beside.write_text("release: 1\n", encoding="utf-8")
    with pytest.raises(PlanFaults, match="this release record cannot be used"):
        consider(plan, book)


# Withdrawing


def test_a_withdrawal_adds_and_takes_nothing_away(plan: Path, beside: Path) -> None:
    release.add(str(plan), ENTRY)
    before = beside.read_bytes()
    entry = release.withdrawal(str(plan), WEST, "a leak showed")
    assert entry["reason"] == "a leak showed"
    release.add(str(plan), entry)
    assert beside.read_bytes().startswith(before)
    assert releases.load(str(plan)).in_force == ()


def test_what_is_not_released_cannot_be_withdrawn(plan: Path) -> None:
    with pytest.raises(UsageError, match=r"closing-in of study\.west is not released by itself: nothing to withdraw"):
        release.withdrawal(str(plan), WEST, "a leak showed")
    release.add(str(plan), ENTRY | {"place": "study"})
    with pytest.raises(UsageError, match="it lies under study, which is"):
        release.withdrawal(str(plan), WEST, "a leak showed")


# How it is written


def test_the_record_is_as_its_schema_wants_it_and_reads_well(plan: Path, beside: Path, book: Rulebook) -> None:
    release.add(str(plan), consider(plan, book))
    release.add(str(plan), ENTRY)
    release.add(str(plan), release.withdrawal(str(plan), WEST, "a leak showed"))
    data = yaml.load(beside.read_bytes(), yaml.BaseLoader)  # noqa: S506 - plain texts, as an outside reader sees them
    assert [entry["entry"] for entry in data["entries"]] == ["released", "released", "withdrawn"]
    shown = beside.read_text(encoding="utf-8").splitlines()
    assert shown[:8] == [
        "release: 1",
        "plan: study.plan.yaml",
        "entries:",
        "  - entry: released",
        "    hold_point: closing-in",
        "    place: study.west",
        "    date: 2026-10-03",
        '    by: "A. Mason"',
    ]
    assert shown[-6:] == [
        "  - entry: withdrawn",
        "    hold_point: closing-in",
        "    place: study.west",
        "    date: 2026-10-03",
        '    by: "A. Mason"',
        '    reason: "a leak showed"',
    ]
    Draft202012Validator(load_schema("release-1")).validate(source.load(beside).data)


@pytest.mark.parametrize(
    "before",
    [
        lambda text: text.replace("\n", "\r\n"),
        lambda text: "\ufeff" + text,
        lambda text: text + "# the plasterer has a copy\n",
        lambda text: text.replace("\n  ", "\n"),
        lambda text: text.replace("\n  ", "\n      "),
        lambda text: "# of the study\n" + text,
    ],
    ids=["CRLF", "a byte-order mark", "a comment below", "without indent", "with more indent", "a comment above"],
)
def test_what_stands_in_a_record_stays_byte_for_byte(plan: Path, beside: Path, before: Callable[[str], str]) -> None:
    release.add(str(plan), ENTRY)
    raw = before(beside.read_text(encoding="utf-8")).encode()
    beside.write_bytes(raw)
    release.add(str(plan), ENTRY | {"by": "B. Plasterer"})
    assert beside.read_bytes().startswith(raw)
    assert [entry.by for entry in releases.load(str(plan)).entries] == ["A. Mason", "B. Plasterer"]
    added = beside.read_bytes()[len(raw) :]
    assert (b"\r\n" in added) == (b"\r\n" in raw)


REFUSED = {
    "entries in brackets": "release: 1\nplan: study.plan.yaml\nentries: []\n",
    "an entry in braces": "release: 1\nplan: study.plan.yaml\nentries: [" + json.dumps(ENTRY) + "]\n",
    "entries before the plan": "release: 1\nentries:\n  - " + json.dumps(ENTRY) + "\nplan: study.plan.yaml\n",
    "the end of the text said": "release: 1\nplan: study.plan.yaml\nentries:\n  - " + json.dumps(ENTRY) + "\n...\n",
    "all in JSON": json.dumps({"release": 1, "plan": "study.plan.yaml", "entries": [ENTRY]}) + "\n",
    "cut off": "release: 1\nplan: study.plan.yaml\nentries:\n  - entry: released\n",
    "empty": "",
    "of another plan": "release: 1\nplan: hall.plan.yaml\nentries:\n  - " + json.dumps(ENTRY) + "\n",
    "without its last line break": "release: 1\nplan: study.plan.yaml\nentries:\n  - " + json.dumps(ENTRY),
    "a conflict": "<<<<<<< HEAD\nrelease: 1\n",
}


@pytest.mark.parametrize("text", REFUSED.values(), ids=REFUSED)
def test_a_record_that_cannot_be_added_to_is_refused_and_left_alone(plan: Path, beside: Path, text: str) -> None:
    beside.write_text(text, encoding="utf-8")
    with pytest.raises(PlanFaults) as caught:
        release.add(str(plan), ENTRY)
    assert beside.read_text(encoding="utf-8") == text
    assert all(fault.file == str(beside) and fault.hint for fault in caught.value.faults)
    assert sorted(path.name for path in plan.parent.iterdir()) == ["study.plan.yaml", "study.releases.yaml"]


@settings(max_examples=25)
@given(
    by=st.text(st.characters(exclude_categories=("C", "Z")), min_size=1, max_size=12),
    reason=st.sampled_from(
        ["no", "12:30", "1e3", "010", "~", "- x", "a: b", "# x", "'", '"', "{", "2026-10-03", "\\", "%"]
    ),
)
def test_any_name_and_any_reason_come_back_as_they_are(
    tmp_path_factory: pytest.TempPathFactory, by: str, reason: str
) -> None:
    plan = tmp_path_factory.mktemp("any") / "study.plan.yaml"
    for text in (by, reason):
        release.add(str(plan), ENTRY | {"by": text})
    assert [entry.by for entry in releases.load(str(plan)).entries] == [by, reason]


@pytest.mark.parametrize(
    "name", ["study.yaml", "the study.plan.yaml", "no.plan.yaml", "küche: 'x' \"y\" #1.plan.yaml", "1e3.yml"]
)
def test_a_plan_of_any_name_has_its_record(tmp_path: Path, name: str) -> None:
    plan = tmp_path / name
    release.add(str(plan), ENTRY)
    assert len(releases.load(str(plan)).entries) == 1


def test_a_name_that_is_no_text_is_refused(tmp_path: Path) -> None:
    plan = tmp_path / os.fsdecode(b"caf\xe9.plan.yaml")
    with pytest.raises(PlanFaults, match="holds bytes that are no text"):
        release.add(str(plan), ENTRY)
    assert list(tmp_path.iterdir()) == []


# Where it is written


def test_a_new_record_can_be_read_by_those_who_may_read_new_files(plan: Path, beside: Path) -> None:
    plan.with_name("other").touch()
    release.add(str(plan), ENTRY)
    assert stat.S_IMODE(beside.stat().st_mode) == stat.S_IMODE(plan.with_name("other").stat().st_mode)


def test_the_permissions_of_a_record_stay(plan: Path, beside: Path) -> None:
    release.add(str(plan), ENTRY)
    beside.chmod(0o640)
    release.add(str(plan), ENTRY)
    assert stat.S_IMODE(beside.stat().st_mode) == 0o640


def test_a_record_that_is_read_only_is_left_alone(plan: Path, beside: Path) -> None:
    release.add(str(plan), ENTRY)
    beside.chmod(0o444)
    before = beside.read_bytes()
    with pytest.raises(PlanFaults, match="cannot be written \\(it is read-only\\)"):
        release.add(str(plan), ENTRY)
    assert beside.read_bytes() == before


def test_a_record_that_is_a_link_stays_one(plan: Path, beside: Path, tmp_path: Path) -> None:
    (tmp_path / "kept").mkdir()
    beside.symlink_to(tmp_path / "kept/all.yaml")
    release.add(str(plan), ENTRY)
    release.add(str(plan), ENTRY)
    assert beside.is_symlink()
    assert len(releases.load(str(plan)).entries) == 2


def test_a_link_to_a_plan_and_the_plan_share_one_record(plan: Path, tmp_path: Path) -> None:
    (tmp_path / "links").mkdir()
    link = tmp_path / "links/newest.plan.yaml"
    link.symlink_to(plan)
    for name in (link, plan):
        with release.alone_with(str(name)):
            release.add(str(name), ENTRY)
    assert len(releases.load(str(plan)).entries) == 2
    assert [path.name for path in link.parent.iterdir()] == ["newest.plan.yaml"]


@pytest.mark.parametrize("code", [errno.EACCES, errno.ENOSPC, errno.EROFS])
def test_a_folder_that_cannot_be_written_to_is_said_and_the_record_stays(
    plan: Path, beside: Path, monkeypatch: pytest.MonkeyPatch, code: int
) -> None:
    release.add(str(plan), ENTRY)
    before = beside.read_bytes()

    def refuse(*_: object) -> None:
        raise OSError(code, os.strerror(code))

    monkeypatch.setattr(os, "fsync", refuse)
    with pytest.raises(PlanFaults, match=re.escape(f"cannot be written ({os.strerror(code)})")):
        release.add(str(plan), ENTRY)
    assert beside.read_bytes() == before
    assert sorted(path.name for path in plan.parent.iterdir()) == ["study.plan.yaml", "study.releases.yaml"]


def test_where_no_lock_can_be_made_nothing_is_done(plan: Path) -> None:
    plan.with_name(".study.releases.yaml.lock").mkdir()
    with pytest.raises(PlanFaults, match="cannot be written"), release.alone_with(str(plan)):
        raise AssertionError


@pytest.mark.parametrize("name", ["nowhere/study.plan.yaml", "none.plan.yaml", "."])
def test_no_plan_no_lock(tmp_path: Path, name: str) -> None:
    with pytest.raises(PlanFaults), release.alone_with(str(tmp_path / name)):
        raise AssertionError
    assert list(tmp_path.iterdir()) == []


def test_who_waits_too_long_is_told(plan: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(release, "PATIENCE", 0.05)
    code = f"from planlint import release\nwith release.alone_with({str(plan)!r}): print(flush=True); input()"
    with subprocess.Popen([sys.executable, "-c", code], stdin=subprocess.PIPE, stdout=subprocess.PIPE) as other:
        assert other.stdout
        other.stdout.readline()
        with pytest.raises(PlanFaults, match="another planlint is writing"), release.alone_with(str(plan)):
            raise AssertionError
        other.communicate(b"\n")
    with release.alone_with(str(plan)):  # and then it is free
        pass


# Two at once, and the plug that is pulled. A process of its own forks, so that the tests' own process need not.

CROWD = """
import os, sys
from planlint import release
plan, people, entries, entry = sys.argv[1], int(sys.argv[2]), int(sys.argv[3]), eval(sys.argv[4])
children = []
for person in range(people):
    child = os.fork()
    if not child:
        for number in range(entries):
            with release.alone_with(plan):
                release.add(plan, entry | {"by": f"{person}-{number}"})
        os._exit(0)
    children.append(child)
assert not any(os.waitpid(child, 0)[1] for child in children)
"""

forks = pytest.mark.skipif(not hasattr(os, "fork"), reason="this system starts processes in another way")


@forks
def test_several_at_once_lose_nothing(plan: Path) -> None:
    subprocess.run([sys.executable, "-c", CROWD, plan, "4", "12", repr(ENTRY)], check=True, timeout=60)
    entries = releases.load(str(plan)).entries
    assert sorted(entry.by for entry in entries) == sorted(
        f"{who}-{number}" for who in range(4) for number in range(12)
    )
    for who in range(4):  # each in its own order
        assert [entry.by for entry in entries if entry.by.startswith(f"{who}-")] == [f"{who}-{n}" for n in range(12)]


KILLED = """
import os, random, signal, sys, time
from pathlib import Path
from planlint import release, releases
plan, times, entry = sys.argv[1], int(sys.argv[2]), eval(sys.argv[3])
beside, seconds = Path(releases.record_beside(plan)), random.Random(8)
with release.alone_with(plan):
    release.add(plan, entry)  # once, so that each child need not learn the schema anew
before, cut, between = 1, 0, 0
for number in range(times):
    if number % 10 == 0:
        beside.unlink(missing_ok=True)  # a long record takes long to read, and the moments of interest would be rare
        before = 0
    out, into = os.pipe()
    child = os.fork()
    if not child:
        try:
            while True:
                with release.alone_with(plan):
                    release.add(plan, entry)
                os.write(into, b".")
        finally:
            os._exit(1)
    os.close(into)
    time.sleep(seconds.uniform(0, 0.02))
    os.kill(child, signal.SIGKILL)
    os.waitpid(child, 0)
    said = 0
    while more := os.read(out, 4096):
        said += len(more)
    os.close(out)
    left = beside.with_name(f".{beside.name}.new").exists()
    entries = len(releases.load(plan).entries)  # raises where it is not whole
    # All that was said to be recorded is there, and at most the one that was being written more.
    assert before + said <= entries <= before + said + 1, (before, said, entries)
    cut += left
    between += entries - before - said
    before = entries
print(cut, between)
"""


@forks
def test_killed_at_random_moments_the_record_is_whole_each_time(plan: Path) -> None:
    done = subprocess.run(
        [sys.executable, "-c", KILLED, plan, "250", repr(ENTRY)],
        capture_output=True,
        text=True,
        check=False,
        timeout=120,
    )
    assert done.returncode == 0, done.stderr
    cut, _ = map(int, done.stdout.split())
    assert cut, "no process was killed while it wrote: the moments were badly chosen"
    with release.alone_with(str(plan)):  # what was left behind keeps nobody from going on
        release.add(str(plan), ENTRY)
    left = {path.name for path in plan.parent.iterdir()}
    assert left == {"study.plan.yaml", "study.releases.yaml", ".study.releases.yaml.lock"}


def test_the_command_killed_leaves_the_old_record_or_the_new_one(plan: Path, beside: Path) -> None:
    command = [Path(sys.executable).parent / "planlint", "release", plan, "--today", "2026-10-03"]
    command += ["--hold-point", "closing-in", "--place", "study.west", "--by", "A. Mason"]
    begun = time.perf_counter()
    subprocess.run(command, check=True, capture_output=True)
    takes = time.perf_counter() - begun
    seconds = random.Random(8)  # noqa: S311 - no secret
    for _ in range(3):
        before = beside.read_bytes()
        with subprocess.Popen(command, stdout=subprocess.DEVNULL) as process:
            time.sleep(seconds.uniform(0.7, 1.05) * takes)
            process.send_signal(signal.SIGKILL)
        assert beside.read_bytes().startswith(before)
        assert releases.load(str(plan)).in_force


# The weigh house: each change of one fact that tests/data/weigh-house.yaml holds, with what no longer passes then.

CHANGES: dict[str, Any] = yaml.safe_load(
    Path(__file__).with_name("data").joinpath("weigh-house.yaml").read_text(encoding="utf-8")
)


def changes() -> Iterator[Any]:
    for kind in ("worse", "left out"):
        for name, change in CHANGES[kind].items():
            rows = [row.split("|") for part in ("fails", "opens") for row in change.get(part, "").splitlines()]
            cells = [[cell.strip() for cell in row if cell.strip() not in list(Level)] for row in rows]
            if cells:
                yield pytest.param(change["edits"], {(rule, place) for rule, place, *_ in cells}, id=name)


@pytest.mark.parametrize(("edits", "found"), list(changes()))
def test_the_weigh_house_with_one_guarding_fact_spoilt_or_left_out_is_held_and_the_first_line_says_why(
    book: Rulebook, edits: list[tuple[str, str]], found: set[tuple[str, str]]
) -> None:
    text = READY.read_text(encoding="utf-8")
    for old, new in edits:
        assert text.count(old) == 1, old
        text = text.replace(old, new)
    guards = {rule.id: rule.guards for rule in book.rules}
    held = {(rule, place) for rule, place in found if guards.get(rule) is HoldPoint.CLOSING_IN}

    def answer(place: str) -> str:
        wanted = inspection.Wanted(TODAY, hold_point=HoldPoint.CLOSING_IN, place=place)
        record = inspection.inspect(source.read(text.encode(), "-"), book, wanted)
        reasons = [f"At {one.place}: {one.message}" for one in record.findings if (one.rule, one.place) in held]
        said = render(InspectionRecord("1", "2026-10-03", (record,)), Page(5000)).partition("\n")[0]
        assert any(reason in said for reason in reasons) or not said.startswith("Hold"), said
        return said

    if not held:  # what it breaks guards another hold point, or none
        assert answer("plan") == "May be released: closing-in of all of the plan."
        return
    assert answer("plan").startswith("Hold: closing-in of all of the plan. At ")
    for _, place in sorted(held)[:1]:
        assert answer(place).startswith(f"Hold: closing-in of {place}. At ")
