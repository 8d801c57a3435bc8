"""`planlint release` as a whole, and what `planlint inspect` says of releases."""

import json
from collections.abc import Callable
from pathlib import Path

import pytest
from jsonschema import Draft202012Validator

from planlint.schema import load_schema

Main = Callable[..., tuple[int, str, str]]

ROOT = Path(__file__).parents[2]
READY = ROOT / "examples/weigh-house/ready-to-close.plan.yaml"
LINED = ["west", "north-left", "breast-left", "breast-face", "breast-right", "north-right"]
TODAY = "--today=2026-10-03"
CLOSING = "--hold-point=closing-in"
WEST = (CLOSING, "--place=study.west", "--by=A. Mason", TODAY)


@pytest.fixture
def study(tmp_path: Path) -> Path:
    file = tmp_path / "study.plan.yaml"
    file.write_bytes(READY.read_bytes())
    return file


@pytest.fixture
def beside(study: Path) -> Path:
    return study.with_name("study.releases.yaml")


def spoil(study: Path, old: str, new: str) -> None:
    text = study.read_text(encoding="utf-8")
    assert text.count(old) == 1, old
    study.write_text(text.replace(old, new), encoding="utf-8")


def answer(main: Main, study: Path, *options: str) -> str:
    """The first paragraph of the answer at a hold point, on one line."""
    return " ".join(main("inspect", study, CLOSING, TODAY, *options)[1].partition("\n\n")[0].split())


# Releasing


def test_released_and_recorded(main: Main, study: Path, beside: Path) -> None:
    status, out, err = main("release", study, *WEST)
    assert (status, err) == (0, "")
    assert out.startswith("Released: closing-in of study.west, on 2026-10-03 by A. Mason.\n")
    assert "checks that guard it passed" in out
    assert str(beside) in "".join(out.split())
    assert "safe" not in out
    assert answer(main, study, "--place=study.west") == "Released: closing-in of study.west, on 2026-10-03 by A. Mason."


def test_a_trial_writes_nothing(main: Main, study: Path) -> None:
    status, out, _ = main("release", study, *WEST, "--dry-run")
    assert status == 0
    assert out.startswith("Would be released: closing-in of study.west")
    assert [path.name for path in study.parent.iterdir()] == ["study.plan.yaml"]


def test_hold_says_why_and_writes_nothing(main: Main, study: Path, beside: Path) -> None:
    spoil(study, "0.15 m: 19 %", "0.15 m: 50 %")
    status, out, err = main("release", study, *WEST)
    assert (status, err) == (1, "")
    assert out.startswith("Hold: closing-in of study.west. At study.west: ")
    assert "50 %" in out.partition("\n\n")[0]
    assert "What to do next, in this order" in out
    assert not beside.exists()


def test_facts_that_changed_are_told_and_released_anew(main: Main, study: Path) -> None:
    assert main("release", study, *WEST)[0] == 0
    spoil(study, "0.15 m: 19 %", "0.15 m: 18 %")
    status, out, _ = main("inspect", study, TODAY)
    assert status == 1
    assert "release-overtaken" in out
    said = answer(main, study, "--place=study.west")
    assert said.startswith(
        "May be released: closing-in of study.west. The release on 2026-10-03 by A. Mason does not count"
    )
    assert main("release", study, *WEST)[0] == 0
    assert main("inspect", study, TODAY)[0] == 0
    assert answer(main, study, "--place=study.west").startswith("Released")


def test_withdrawn_with_a_reason(main: Main, study: Path, beside: Path) -> None:
    main("release", study, *WEST)
    before = beside.read_bytes()
    status, out, _ = main("release", study, *WEST, "--withdraw", "--reason", "a leak\nshowed\x1b[2J ", "--dry-run")
    assert (status, out.startswith("Would be withdrawn")) == (0, True)
    assert beside.read_bytes() == before
    status, out, _ = main("release", study, *WEST, "--withdraw", "--reason", "a leak\nshowed\x1b[2J ")
    assert (status, out.splitlines()[0]) == (0, "Withdrawn: closing-in of study.west, on 2026-10-03 by A. Mason.")
    assert beside.read_bytes().startswith(before)
    assert beside.read_text(encoding="utf-8").endswith('    reason: "a leak showed[2J"\n')
    assert answer(main, study, "--place=study.west") == "May be released: closing-in of study.west."
    status, _, err = main("release", study, *WEST, "--withdraw", "--reason=again")
    assert (status, "nothing to withdraw" in err) == (2, True)


def test_a_release_can_be_withdrawn_while_the_plan_cannot_be_read(main: Main, study: Path) -> None:
    main("release", study, *WEST)
    study.write_text("plan: [\n", encoding="utf-8")
    assert main("release", study, *WEST, "--withdraw", "--reason=a leak")[0] == 0


@pytest.mark.parametrize(
    ("options", "says"),
    [
        ((CLOSING,), "add --place and --by"),
        (("--place=study.west", "--by=A. Mason"), "add --hold-point"),
        ((CLOSING, "--place=study.west", "--by= "), "add --by"),
        (("--dry-run",), "add --hold-point and --place and --by"),
        ((*WEST, "--withdraw"), "add --reason TEXT"),
        ((*WEST, "--withdraw", "--reason= "), "add --reason TEXT"),
        ((*WEST, "--reason=dry"), "--reason goes with --withdraw"),
        ((*WEST, "--report=json"), "leave it out where one is released"),
        (("--hold-point=closing", "--place=study.west", "--by=x"), "closing"),
        ((CLOSING, "--place=study.wst", "--by=x"), "did you mean study.west?"),
        ((*WEST[:2], "--by=caf\udce9"), "holds bytes that are no text"),
    ],
)
def test_a_wrong_call_says_what_is_missing(
    main: Main, study: Path, beside: Path, options: tuple[str, ...], says: str
) -> None:
    status, out, err = main("release", study, *options)
    assert (status, out) == (2, "")
    assert says in " ".join(err.split())
    assert not beside.exists()


def test_standard_input_has_no_record(main: Main) -> None:
    for options in (WEST, ()):
        status, _, err = main("release", "-", *options)
        assert (status, "name its file, not standard input" in err) == (2, True)


@pytest.mark.parametrize("options", [WEST, (*WEST, "--dry-run"), (*WEST, "--withdraw", "--reason=x"), ()])
def test_a_plan_that_is_not_there(main: Main, tmp_path: Path, options: tuple[str, ...]) -> None:
    status, out, err = main("release", tmp_path / "none.plan.yaml", *options)
    assert (status, out) == (2, "")
    assert ("there is no such file" in err) or ("--dry-run" not in options and "nothing to withdraw" in err)
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("options", [WEST, (*WEST, "--dry-run"), (*WEST, "--withdraw", "--reason=x")])
def test_a_damaged_record_is_refused_and_never_written_to(
    main: Main, study: Path, beside: Path, options: tuple[str, ...]
) -> None:
    main("release", study, *WEST)
    damaged = beside.read_bytes()[:-9]
    beside.write_bytes(damaged)
    status, out, err = main("release", study, *options)
    assert (status, out) == (2, "")
    assert err.startswith(f"{beside}:")
    assert "this release record cannot be used" in err
    assert "planlint does not write to it as it is" in err
    assert beside.read_bytes() == damaged


def test_inspect_says_that_a_record_is_damaged_and_still_inspects(main: Main, study: Path, beside: Path) -> None:
    spoil(study, "value: 210 Mohm", "value: 0.1 Mohm")
    beside.write_text("release: 1\nplan: study.plan.yaml\nentries:\n  - entry: released\n", encoding="utf-8")
    status, out, err = main("inspect", study, TODAY)
    assert status == 2
    assert "dead-tests-recorded" in out
    assert err.startswith(f"{beside}:4:5: this release record cannot be used: ")
    report = json.loads(main("inspect", study, TODAY, "--report=json")[1])
    Draft202012Validator(load_schema("report-1")).validate(report)
    assert {fault["file"] for fault in report["faults"]} == {str(beside)}
    status, out, err = main("release", study, TODAY)
    assert (status, "Hold" in out, "cannot be used" in err) == (2, True, True)


def test_a_folder_of_plans_holds_no_records(main: Main, study: Path) -> None:
    main("release", study, *WEST)
    status, out, err = main("inspect", study.parent, TODAY)
    assert (status, err) == (0, "")
    assert out.count("Weigh house") == 1


# Every hold point at once


def test_every_hold_point_of_a_plan(main: Main, study: Path) -> None:
    main("release", study, *WEST)
    spoil(study, "photos: [photos/north-left.jpg]", "photos: []")
    status, out, err = main("release", study, TODAY)
    assert (status, err) == (0, "")
    shown = out.split("\n\n")
    by_place = {part.splitlines()[0]: part.splitlines()[1:] for part in shown if part.startswith("study")}
    assert list(by_place) == ["study", *(f"study, {wall}" for wall in LINED)]
    assert by_place["study, west"][0] == "  closing-in: Released, on 2026-10-03 by A. Mason."
    assert by_place["study, north-left"][0] == "  closing-in: Hold: 1 failed."
    assert by_place["study, breast-face"][:2] == ["  closing-in: May be released.", "  filling:    May be released."]
    assert any(line.startswith("  energising: ") for line in by_place["study"])


def test_every_hold_point_for_programs_and_into_files(main: Main, study: Path, tmp_path: Path) -> None:
    main("release", study, *WEST)
    status, out, _ = main("release", study, TODAY, "--report=json", f"--report=text={tmp_path / 'holds.txt'}")
    assert status == 0
    report = json.loads(out)
    Draft202012Validator(load_schema("hold-points-1")).validate(report)
    states = {(one["place"], one["hold_point"]): one for one in report["states"]}
    assert states["study.west", "closing-in"]["release"] == {
        "place": "study.west",
        "date": "2026-10-03",
        "by": "A. Mason",
        "overtaken": False,
    }
    assert states["study.north-left", "closing-in"]["state"] == "may-be-released"
    assert main("release", study, TODAY, "--report=json")[1] == out
    assert "study, west" in (tmp_path / "holds.txt").read_text(encoding="utf-8")
    status, _, err = main("release", study, f"--report=text={study}")
    assert (status, "is a plan" in err) == (2, True)


# The weigh house


def test_the_weigh_house_may_be_released_on_every_lined_wall(main: Main, study: Path) -> None:
    for wall in LINED:
        assert answer(main, study, f"--place=study.{wall}") == f"May be released: closing-in of study.{wall}."
        assert main("release", study, CLOSING, f"--place=study.{wall}", "--by=A. Mason", TODAY)[0] == 0
    assert main("release", study, CLOSING, "--place=plan", "--by=A. Mason", TODAY)[0] == 0
    assert main("inspect", study, TODAY)[0] == 0
