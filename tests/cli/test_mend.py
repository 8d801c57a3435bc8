"""`planlint mend` as a whole: what it shows, what it writes, and what it leaves alone."""

import io
import json
import shutil
import stat
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

import planlint.mend
from planlint.reports.mended import diff

Main = Callable[..., tuple[int, str, str]]

DRAFT = Path(__file__).parents[2] / "examples/weigh-house/first-draft.plan.yaml"
TODAY = "--today=2026-10-03"
SHED = """\
# a shed
plan: 1
title: a shed
rooms:
  shed:
    height: 2.40 m
    outline: partial
    walls:
      - {wall: a, then: left, corner: filler, lining: none}   # the bench
      - {wall: b, lining: none}
"""
IN_BRACKETS = (
    "{plan: 1, title: a shed, rooms: {shed: {height: 2.40 m, outline: partial,\n"
    "walls: [{wall: a, then: left, corner: filler, lining: none}, {wall: b, lining: none}]}}}\n"
)
MENDED = SHED.replace("filler", "{joint: bead, length: 2.4 m}")


@pytest.fixture
def shed(tmp_path: Path) -> Path:
    file = tmp_path / "shed.plan.yaml"
    file.write_bytes(SHED.encode())
    return file


def test_shows_a_diff_and_writes_nothing(main: Main, shed: Path) -> None:
    status, out, err = main("mend", shed, TODAY)
    assert status == 1
    lines = out.splitlines()
    assert lines[:2] == [f"--- {shed}", f"+++ {shed}"]
    assert [line for line in lines[2:] if line[0] in "+-"] == [
        "-      - {wall: a, then: left, corner: filler, lining: none}   # the bench",
        "+      - {wall: a, then: left, corner: {joint: bead, length: 2.4 m}, lining: none}   # the bench",
    ]
    told = " ".join(err.split())
    assert "What these edits put right 1. shed.a.corner: the outside corner has filler instead of a bead" in told
    assert "(bead-at-outside-corner)" in told
    assert "Nothing is written yet; --write does it." in told
    assert shed.read_text(encoding="utf-8") == SHED


@pytest.mark.skipif(not shutil.which("patch"), reason="there is no program called patch")
@pytest.mark.parametrize(
    "text",
    [SHED, SHED.replace("\n", "\r\n"), "\ufeff" + SHED, SHED.rstrip("\n"), "\ufeff" + IN_BRACKETS],
)
def test_the_diff_is_one_that_other_programs_read(main: Main, shed: Path, text: str) -> None:
    shed.write_bytes(text.encode())
    _, out, _ = main("mend", shed, TODAY)
    subprocess.run(["patch", "--binary", "--quiet", str(shed)], input=out.encode(), check=True)  # noqa: S607 - whichever patch there is
    assert shed.read_bytes() == text.replace("filler", "{joint: bead, length: 2.4 m}").encode()


def test_writes_and_has_nothing_to_do_again(main: Main, shed: Path) -> None:
    status, out, err = main("mend", shed, TODAY, "--write")
    assert (status, err) == (0, "")
    assert shed.read_text(encoding="utf-8") == MENDED
    told = " ".join(out.split())
    assert "Written into the plan 1. shed.a.corner" in told
    assert "What remains is for people" in told
    again = main("mend", shed, TODAY, "--write")
    assert again[0] == 0
    assert "There is nothing that planlint can mend here." in again[1]
    assert shed.read_text(encoding="utf-8") == MENDED
    assert main("mend", shed, TODAY)[:2] == (0, "")
    assert [file.name for file in shed.parent.iterdir()] == [shed.name]


@pytest.mark.parametrize(
    "raw",
    [
        b"\xef\xbb\xbf" + SHED.encode(),
        SHED.replace("\n", "\r\n").encode(),
        SHED.replace("\n", "\r").encode(),
        SHED.rstrip().encode(),
        SHED.replace("a shed", "'K\u00fcche'   # \u00e9 \U0001f527").encode(),
    ],
    ids=["byte-order mark", "CRLF", "CR", "no last line end", "signs of any kind"],
)
def test_other_bytes_stay(main: Main, shed: Path, raw: bytes) -> None:
    shed.write_bytes(raw)
    assert main("mend", shed, TODAY, "--write")[0] == 0
    assert shed.read_bytes() == raw.replace(b"corner: filler", b"corner: {joint: bead, length: 2.4 m}")


def test_the_first_draft_is_mended_once(main: Main, tmp_path: Path) -> None:
    file = tmp_path / "study.plan.yaml"
    file.write_bytes(DRAFT.read_bytes())
    status, out, _ = main("mend", file, TODAY, "--write")
    assert status == 0
    assert "Take care" in out  # an edit of a circuit comes with the caution of its rule
    assert "safe" not in out
    written = file.read_bytes()
    assert written != DRAFT.read_bytes()
    found = main("inspect", file, TODAY, "--report", "lines")[1].splitlines()
    failed = "\n".join(line for line in found if ": note: " not in line)
    claimed = " ".join(out.partition("Left alone")[0].split())
    for rule in ("conductor-section", "support-spacing", "sealant-takes-paint", "tapered-edges-to-outside-corner"):
        assert f"({rule})" in claimed
        assert f"[{rule}]" not in failed
    assert main("mend", file, TODAY, "--write")[0] == 0
    assert file.read_bytes() == written


def test_says_what_it_left_alone_and_why(main: Main) -> None:
    _, _, err = main("mend", DRAFT, TODAY, "--place", "study.breast-left")
    told = " ".join(err.split())
    assert "Left alone" in told
    assert "Not written, since the edit would bring another finding at plan: the concession of" in told


def test_only_what_is_asked_for(main: Main) -> None:
    _, out, _ = main("mend", DRAFT, TODAY, "--only", "heights")
    assert out.count("\n+ ") == 1
    assert "height: 250 mm" in out
    assert main("mend", DRAFT, TODAY, "--only", "windows")[:2] == (0, "")


def test_standard_input_is_shown_as_a_diff(main: Main, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(SHED.encode())))
    status, out, err = main("mend", "-", TODAY)
    assert status == 1
    assert out.startswith("--- -\n+++ -\n@@ ")
    assert "from standard input" in err


def test_standard_input_cannot_be_written(main: Main) -> None:
    status, _, err = main("mend", "-", "--write")
    assert status == 2
    assert "standard input cannot be written to: name the file" in err


def test_permissions_stay_and_a_link_stays_a_link(main: Main, shed: Path) -> None:
    shed.chmod(0o640)
    link = shed.with_name("link.plan.yaml")
    link.symlink_to(shed)
    assert main("mend", link, TODAY, "--write")[0] == 0
    assert link.is_symlink()
    assert shed.read_text(encoding="utf-8") == MENDED
    assert stat.S_IMODE(shed.stat().st_mode) == 0o640


def test_a_read_only_plan_stays_as_it_is(main: Main, shed: Path) -> None:
    shed.chmod(0o444)
    status, out, err = main("mend", shed, TODAY, "--write")
    assert (status, out) == (2, "")
    assert "the plan cannot be written (it is read-only)" in err
    assert "nothing was written" in err
    assert shed.read_text(encoding="utf-8") == SHED


def test_a_plan_that_changed_meanwhile_stays_as_it_is(main: Main, shed: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    mend = planlint.mend.mend

    def slowly(*arguments: Any) -> planlint.mend.Mended:  # noqa: ANN401 - whatever mend takes
        shed.write_text(SHED + "# one more line\n", encoding="utf-8")
        return mend(*arguments)

    monkeypatch.setattr(planlint.mend, "mend", slowly)
    status, _, err = main("mend", shed, TODAY, "--write")
    assert status == 2
    assert "the plan was changed while it was looked at" in err
    assert shed.read_text(encoding="utf-8").endswith("# one more line\n")


def test_a_plan_that_cannot_be_read_does_not_keep_the_others_from_it(main: Main, shed: Path, unreadable: Path) -> None:
    status, _, err = main("mend", shed.parent, TODAY, "--write")
    assert status == 2
    assert f"{unreadable}:" in err
    assert shed.read_text(encoding="utf-8") == MENDED


def test_trouble_is_said_in_words(main: Main, shed: Path) -> None:
    for options, said in (
        (("--place", "barn"), "there is no place called barn"),
        (("--only", "beads"), "there is no rule or family of rules called beads"),
        (("--limits", "nowhere"), "no limit set is called nowhere"),
        (("--today", "soon"), "soon is not a day"),
    ):
        status, out, err = main("mend", shed, *options)
        assert (status, out) == (2, "")
        assert said in err
    assert main("mend", shed.with_name("none.plan.yaml"))[0] == 2


def test_inspect_says_what_mend_tries(main: Main, shed: Path) -> None:
    assert "bead-at-outside-corner; `planlint mend` tries an edit" in " ".join(main("inspect", shed, TODAY)[1].split())


def test_the_report_for_review_tools_carries_the_edits_that_hold(main: Main, shed: Path) -> None:
    (run,) = json.loads(main("inspect", shed, TODAY, "--report", "sarif")[1])["runs"]
    fixes = {result["ruleId"]: result["fixes"] for result in run["results"] if "fixes" in result}
    (change,) = fixes["bead-at-outside-corner"][0]["artifactChanges"]
    (replacement,) = change["replacements"]
    region, lines = replacement["deletedRegion"], SHED.split("\n")
    assert (region["startLine"], region["endLine"]) == (9, 9)
    line = lines[8]
    made = line[: region["startColumn"] - 1] + replacement["insertedContent"]["text"] + line[region["endColumn"] - 1 :]
    assert "\n".join([*lines[:8], made, *lines[9:]]) == MENDED


def test_a_diff_of_a_text_without_a_last_line_end() -> None:
    shown = diff("x", "a\nb", "a\nc")
    assert (
        shown
        == "--- x\n+++ x\n@@ -1,2 +1,2 @@\n a\n-b\n\\ No newline at end of file\n+c\n\\ No newline at end of file\n"
    )
    assert diff("x", "a\n", "a\n") == ""
