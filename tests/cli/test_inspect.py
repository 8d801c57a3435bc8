import io
import json
from collections import Counter
from collections.abc import Callable
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest
from jsonschema import Draft202012Validator
from junitparser import JUnitXml

from planlint import registry
from planlint.cli import inspect, plans
from planlint.errors import Fault, RegistryError
from planlint.inspection import Wanted
from planlint.records import Concession, Finding, HoldPoint, Level, PlanRecord, Verdict
from planlint.registry import Rulebook
from planlint.rule import Given, Outcome
from planlint.schema import load_schema

Main = Callable[..., tuple[int, str, str]]


def test_nothing_wrong_is_0(main: Main, plan: Path) -> None:
    status, out, err = main("inspect", plan)
    assert (status, err) == (0, "")
    assert "Not recorded" in out


def test_a_finding_is_1_and_goes_to_standard_output(main: Main, faulty: Path) -> None:
    status, out, err = main("inspect", faulty, "--report=lines", "--only=windows")
    line = faulty.read_text(encoding="utf-8").splitlines().index("          window:") + 1
    assert (status, err) == (1, "")
    assert f"{faulty}:{line}:11: error: " in out
    assert "[frame-held-mechanically]" in out


@pytest.mark.parametrize(("stop_at", "status"), [("error", 0), ("warning", 0), ("open", 1)])
def test_what_is_not_recorded_stops_only_where_asked(main: Main, plan: Path, stop_at: str, status: int) -> None:
    assert main("inspect", plan, "--stop-at", stop_at)[0] == status


def finding(outcome: Verdict, level: Level, *, conceded: bool = False) -> Finding:
    leave = Concession("r", "a", "2026-12-31") if conceded else None
    return Finding(
        "r", "f", outcome, level, None, "plan", "p", 1, 1, "m", None, None, (), None, None, (), conceded=leave
    )


@pytest.mark.parametrize(
    ("outcome", "level", "error", "warning", "open_"),
    [
        (Verdict.FAIL, Level.ERROR, True, True, True),
        (Verdict.FAIL, Level.WARNING, False, True, True),
        (Verdict.FAIL, Level.NOTE, False, False, False),
        (Verdict.OPEN, Level.NOTE, False, False, True),
        (Verdict.REVIEW, Level.NOTE, False, False, True),
    ],
)
def test_what_stops_a_run(outcome: Verdict, level: Level, *, error: bool, warning: bool, open_: bool) -> None:
    found = finding(outcome, level)
    assert [inspect.stops(found, at) for at in ("error", "warning", "open")] == [error, warning, open_]
    assert not any(inspect.stops(finding(outcome, level, conceded=True), at) for at in ("error", "warning", "open"))


def test_the_others_are_inspected_when_one_cannot_be_read(main: Main, faulty: Path, unreadable: Path) -> None:
    missing = faulty.with_name("nowhere.plan.yaml")
    status, out, err = main("inspect", unreadable, missing, faulty, "--report=lines")
    assert status == 2
    assert "frame-held-mechanically" in out
    assert f"{unreadable}:" in err
    assert "outline" in err
    assert f"{missing}: there is no such file\n  " in err


def test_json_carries_the_faults_and_fits_its_schema(main: Main, faulty: Path, unreadable: Path) -> None:
    arguments = ("inspect", faulty, unreadable, "--report=json", "--today=2026-10-03")
    status, out, _ = main(*arguments)
    report = json.loads(out)
    Draft202012Validator(load_schema("report-1")).validate(report)
    assert status == 2
    assert [fault["file"] for fault in report["faults"]] == [str(unreadable)]
    assert report["limits"] == ["general"]
    assert main(*arguments)[1] == out


def test_a_folder_means_the_plans_in_it(main: Main, plan: Path, faulty: Path) -> None:
    inner = plan.parent / "upstairs" / "bed.plan.yaml"
    inner.parent.mkdir()
    inner.write_bytes(plan.read_bytes())
    (plan.parent / "notes.yaml").write_text("a: b", encoding="utf-8")
    (plan.parent / ".hidden").mkdir()
    (plan.parent / ".hidden" / "old.plan.yaml").write_text("a: b", encoding="utf-8")
    report = json.loads(main("inspect", plan.parent, plan, "--report=json")[1])
    assert [found["plan"] for found in report["plans"]] == [str(plan), str(faulty), str(inner)]


def test_a_folder_without_plans_is_trouble(main: Main, tmp_path: Path) -> None:
    status, out, err = main("inspect", tmp_path)
    assert (status, out) == (2, "")
    assert "there is no plan in this folder" in err
    assert ".plan.yaml" in err


def test_an_empty_file_is_trouble(main: Main, tmp_path: Path) -> None:
    file = tmp_path / "empty.plan.yaml"
    file.write_bytes(b"")
    status, out, err = main("inspect", file)
    assert (status, out) == (2, "")
    assert err.startswith(f"{file}:")


def test_many_plans_give_what_one_by_one_gives(main: Main, faulty: Path) -> None:
    copies = [faulty.with_name(f"room-{number}.plan.yaml") for number in range(10)]
    for copy in copies:
        copy.write_bytes(faulty.read_bytes())
    broken = faulty.with_name("broken.plan.yaml")
    broken.write_text("plan: 1\n", encoding="utf-8")
    status, out, err = main("inspect", *copies, broken, "--report=lines")
    alone = [main("inspect", copy, "--report=lines")[1] for copy in copies]
    assert status == 2
    assert out == "".join(alone)
    assert str(broken) in err


def test_reports_into_files(main: Main, faulty: Path, tmp_path: Path) -> None:
    target = tmp_path / "findings.json"
    target.write_text("old", encoding="utf-8")
    target.chmod(0o640)
    status, out, err = main("inspect", faulty, f"--report=json={target}", f"--report=lines={tmp_path / 'l.txt'}")
    assert (status, out, err) == (1, "", "")
    assert json.loads(target.read_text(encoding="utf-8"))["report"] == 1
    assert target.stat().st_mode & 0o777 == 0o640
    assert "frame-held-mechanically" in (tmp_path / "l.txt").read_text(encoding="utf-8")
    assert {file.name for file in tmp_path.iterdir()} == {"cottage.plan.yaml", faulty.name, "findings.json", "l.txt"}


def test_a_report_that_cannot_be_written_is_trouble(main: Main, faulty: Path, tmp_path: Path) -> None:
    status, out, err = main("inspect", faulty, f"--report=json={tmp_path / 'no' / 'f.json'}", "--report=lines")
    assert status == 2
    assert "frame-held-mechanically" in out
    assert "the folder for this file is not there" in err
    assert main("inspect", faulty, f"--report=json={tmp_path}")[0] == 2


def test_a_report_never_overwrites_a_plan(main: Main, plan: Path) -> None:
    before = plan.read_bytes()
    status, _, err = main("inspect", plan, f"--report=json={plan}")
    assert status == 2
    assert "name another file" in err
    assert plan.read_bytes() == before


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (["--report=jsn"], "did you mean json?"),
        (["--report=json="], "write json=FILE"),
        (["--report=json", "--report=text"], "cannot both go to standard output"),
        (["--report=text", "--list-missing"], "cannot both go to standard output"),
        (["--hold-point=closing"], "closing-in"),
        (["--only=circuit"], "did you mean circuits?"),
        (["--place=parlour.stret"], "did you mean parlour.street?"),
        (["--limits=generel"], "did you mean general?"),
        (["--today=3.10.2026"], "such as 2026-10-03"),
        (["--stop-at=never"], "'open'"),
        (["--reprot=json"], "Did you mean '--report'?"),
    ],
)
def test_a_wrong_request_is_trouble_with_a_hint(main: Main, plan: Path, arguments: list[str], said: str) -> None:
    status, out, err = main("inspect", plan, *arguments)
    assert (status, out) == (2, "")
    assert said in err
    assert "nvalid" not in err


def test_narrowed_runs_say_so(main: Main, plan: Path) -> None:
    said = " ".join(main("inspect", plan, "--place=parlour.garden", "--only=boxes")[1].split())
    assert "outside of what was asked for: only boxes and place parlour.garden" in said


def test_missing_keys_are_listed_once(main: Main, plan: Path) -> None:
    status, out, _ = main("inspect", plan, "--list-missing")
    assert status == 0
    assert out.splitlines().count("  bases.front.sound, such as true") == 1


@pytest.fixture
def crashing(monkeypatch: pytest.MonkeyPatch) -> None:
    """One rule of the rulebook breaks down on everything."""
    load = plans.load_rulebook

    def judge(_: object, __: Given) -> Outcome:
        raise ZeroDivisionError

    def broken() -> Rulebook:
        book = load()
        rules = [replace(rule, judge=judge) if rule.id == "frame-held-mechanically" else rule for rule in book.rules]
        return replace(book, rules=tuple(rules))

    monkeypatch.setattr(plans, "load_rulebook", broken)


@pytest.mark.usefixtures("crashing")
def test_a_rule_that_breaks_down_is_trouble_and_the_rest_still_runs(main: Main, plan: Path) -> None:
    status, out, err = main("inspect", plan)
    assert status == 2
    assert "What was checked" in out
    assert "frame-held-mechanically broke down at parlour.street.window" in err
    assert "mistake in the package planlint" in err


def test_rules_that_do_not_load_are_trouble(main: Main, plan: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def load(_: object) -> Rulebook:
        raise RegistryError("rules of planlint-extra 1: they do not load")

    monkeypatch.setattr(registry, "load", load)
    status, out, err = main("inspect", plan)
    assert (status, out) == (2, "")
    assert err == "planlint: rules of planlint-extra 1: they do not load\n"


def test_each_plan_counts_once(plan: Path) -> None:
    found = plans.find([str(plan), str(plan.parent / "." / plan.name), "-", "-"])
    assert found == plans.Found((str(plan), "-"), ())


def test_a_worker_sends_back_a_record_or_its_faults(plan: Path, unreadable: Path) -> None:
    wanted = Wanted(date(2026, 10, 3))
    records, faults = plans.inspect_all((str(plan), str(unreadable)), wanted, plans.load_rulebook())
    assert [type(record) for record in records] == [PlanRecord]
    assert {type(fault) for fault in faults} == {Fault}


def test_reports_for_review_tools_into_files(main: Main, faulty: Path, unreadable: Path, tmp_path: Path) -> None:
    files = {name: tmp_path / f"report.{name}" for name in ("sarif", "junit", "markdown")}
    arguments = ("inspect", faulty, unreadable, "--today=2026-10-03", "--report=text")
    arguments += tuple(f"--report={name}={file}" for name, file in files.items())
    status, out, err = main(*arguments)
    assert (status, "What was checked" in out) == (2, True)
    assert f"{unreadable}:" in err
    written = {name: file.read_text(encoding="utf-8") for name, file in files.items()}
    (run,) = json.loads(written["sarif"])["runs"]
    assert not run["invocations"][0]["executionSuccessful"]
    assert "frame-held-mechanically" in {result["ruleId"] for result in run["results"]}
    (found,) = json.loads(main("inspect", faulty, "--report=json")[1])["plans"]
    # All that fails, and the plan that could not be read.
    assert JUnitXml.fromstring(written["junit"].encode()).failures == found["tally"]["fail"] + 1
    assert written["markdown"].startswith("# planlint: 1 error, ")
    main(*arguments)
    assert {name: file.read_text(encoding="utf-8") for name, file in files.items()} == written


@pytest.mark.parametrize("name", ["sarif", "junit", "markdown"])
def test_a_report_changes_no_exit_status(main: Main, plan: Path, faulty: Path, name: str) -> None:
    for file in (plan, faulty):
        assert main("inspect", file, f"--report={name}")[0] == main("inspect", file)[0]


def test_every_rule_that_was_put_is_described(main: Main, faulty: Path) -> None:
    def described(*words: str) -> list[str]:
        (run,) = json.loads(main("inspect", faulty, "--report=sarif", *words)[1])["runs"]
        rules = [rule["id"] for rule in run["tool"]["driver"]["rules"]]
        assert all(rules[result["ruleIndex"]] == result["ruleId"] for result in run["results"])
        return rules

    book = plans.load_rulebook()
    assert sorted(described()) == sorted(book.ids)
    assert sorted(described("--only=windows")) == sorted(book.choose(("windows",)))
    guarding = {card.id for card in book.cards if card.guards is HoldPoint.CLOSING_IN}
    # The engine's own rules are put at every hold point.
    assert set(described("--hold-point=closing-in")) == guarding | {"concession-in-force", "release-overtaken"}


def test_fingerprints_stay_when_the_plan_grows_above(main: Main, faulty: Path) -> None:
    def found() -> tuple[list[object], list[object]]:
        (run,) = json.loads(main("inspect", faulty, "--report=sarif")[1])["runs"]
        regions = [one["locations"][0]["physicalLocation"]["region"]["startLine"] for one in run["results"]]
        return [one["partialFingerprints"] for one in run["results"]], regions

    prints, lines = found()
    faulty.write_text("# measured again\n" + faulty.read_text(encoding="utf-8"), encoding="utf-8")
    again, moved = found()
    assert again == prints
    assert moved != lines


def test_what_passed_is_carried_on_request(main: Main, plan: Path) -> None:
    def kinds(*words: str) -> list[str]:
        (run,) = json.loads(main("inspect", plan, "--report=sarif", *words)[1])["runs"]
        return [result["kind"] for result in run["results"]]

    (found,) = json.loads(main("inspect", plan, "--report=json")[1])["plans"]
    assert kinds("--list-passed").count("pass") == found["tally"]["pass"] > 0
    assert "pass" not in kinds()
    status, out, err = main("inspect", plan, "--report=text", "--list-passed")
    assert (status, out) == (2, "")
    assert "add --report sarif" in err


def test_checks_are_kept_where_they_are_asked_for_and_add_up(plan: Path, faulty: Path) -> None:
    wanted = Wanted(date(2026, 10, 3))
    [bare, _], _ = plans.inspect_all((str(plan), str(faulty)), wanted, plans.load_rulebook())
    assert bare.checks == ()
    whole, _ = plans.inspect_all((str(plan), str(faulty)), replace(wanted, every_check=True), plans.load_rulebook())
    for record in whole:
        assert Counter(check.verdict for check in record.checks) == Counter(dict(record.tally))
        assert sorted(record.findings, key=id) == sorted(
            (check.found for check in record.checks if check.found), key=id
        )
    assert replace(whole[0], checks=()) == bare


@pytest.mark.usefixtures("crashing")
def test_a_rule_that_breaks_down_is_in_every_report(main: Main, plan: Path) -> None:
    for name in ("sarif", "junit", "markdown"):
        status, out, _ = main("inspect", plan, f"--report={name}")
        assert status == 2
        assert "broke down" in out


def test_standard_input_has_no_file_of_its_own(main: Main, faulty: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    raw = faulty.read_bytes()
    for name, said in (
        ("sarif", "Standard input."),
        ("junit", 'testsuite name="-"'),
        ("markdown", "from standard input"),
    ):
        monkeypatch.setattr("sys.stdin", io.TextIOWrapper(io.BytesIO(raw)))
        status, out, _ = main("inspect", "-", f"--report={name}")
        assert status == 1
        assert said in out
