"""The crew's repository out of examples/, with its hook and its jobs: from red to green as a plan is put right.

The jobs of the hosted CI are held against the schemas that check-jsonschema carries, and what they run is run here.
"""

import json
import shutil
import subprocess
import sys
from collections import Counter
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
import yaml
from junitparser import JUnitXml
from sarif_kit.validate import validation_errors

CHECKOUT = Path(__file__).parents[2]
CREW = CHECKOUT / "examples" / "crew"
LANDING = "plans/mill-lane-landing.plan.yaml"
TOO_THIN = ("section: 2.5 mm²", "section: 1.5 mm²")
TOO_HIGH = ("at: 2.10 m, height: 280 mm", "at: 2.10 m, height: 300 mm")

Run = Callable[..., subprocess.CompletedProcess[str]]
Job = Callable[[str], tuple[int, str]]


@pytest.fixture
def crew(tmp_path: Path, run: Run) -> Path:
    """The crew's repository: its plans on main, the hook in place, and a branch to work on."""
    crew = tmp_path / "crew"
    shutil.copytree(CREW, crew)
    run(crew, "git", "init", "--quiet", "--initial-branch", "main")
    commit(run, crew)
    run(crew, "pre-commit", "install")
    run(crew, "git", "switch", "--quiet", "--create", "landing")
    return crew


def commit(run: Run, crew: Path, *words: str, check: bool = True) -> subprocess.CompletedProcess[str]:
    run(crew, "git", "add", "--all")
    return run(crew, "git", "commit", "--message", "work", *words, check=check)


def edit(crew: Path, old: str, new: str) -> None:
    plan = crew / LANDING
    text = plan.read_text(encoding="utf-8")
    assert text.count(old) == 1
    plan.write_text(text.replace(old, new), encoding="utf-8")


def written(name: str) -> Any:  # noqa: ANN401 - a job as its host reads it
    return yaml.load((CREW / name).read_text(encoding="utf-8"), yaml.BaseLoader)  # noqa: S506 - BaseLoader makes texts only


@pytest.fixture
def job(crew: Path, run: Run, tmp_path: Path) -> Job:
    """The job of .github/workflows/plans.yml without its installation: exit status and summary."""
    steps = [step for step in written(".github/workflows/plans.yml")["jobs"]["plans"]["steps"] if "run" in step]
    assert steps[0]["run"] == "pip install -r requirements.txt"

    def work(since: str) -> tuple[int, str]:
        summary = tmp_path / "summary.md"
        summary.write_text("", encoding="utf-8")
        status = 0
        for step in steps[1:]:
            assert set(step.get("env", {})) <= {"SINCE"}
            if status and step.get("if") != "always()":
                continue
            # The shell that the host uses for `run`.
            shell = ("bash", "--noprofile", "--norc", "-eo", "pipefail", "-c", step["run"])
            done = run(crew, *shell, check=False, SINCE=since, GITHUB_STEP_SUMMARY=str(summary))
            status = status or done.returncode
        return status, summary.read_text(encoding="utf-8")

    return work


def failed(crew: Path) -> Counter[str]:
    """The rules that failed, as SARIF and JUnit say, each read by what we did not write."""
    report = json.loads((crew / "reports/planlint.sarif").read_text(encoding="utf-8"))
    assert validation_errors(report) == []
    rules = Counter(str(found["ruleId"]) for found in report["runs"][0]["results"] if found["kind"] == "fail")
    cases = JUnitXml.fromfile(str(crew / "reports/planlint.xml"))
    assert cases.failures == rules.total()
    return rules


def test_from_red_to_green_as_the_plan_is_put_right(crew: Path, run: Run, job: Job) -> None:
    edit(crew, *TOO_THIN)
    edit(crew, *TOO_HIGH)
    stopped = commit(run, crew, check=False)
    assert stopped.returncode == 1
    assert "conductors of 1.5 mm² feed sockets" in stopped.stdout + stopped.stderr
    assert "P2 is at 300 mm, not at 280 mm like P1" in stopped.stdout + stopped.stderr

    commit(run, crew, "--no-verify")
    status, summary = job("main")
    assert (status, failed(crew)) == (1, Counter(["conductor-section", "socket-heights-agree"]))
    assert summary.startswith("# planlint: 1 error, 1 warning")

    edit(crew, *reversed(TOO_THIN))
    assert commit(run, crew, check=False).returncode == 1
    assert job("main")[0] == 1
    assert failed(crew) == Counter(["socket-heights-agree"])

    edit(crew, *reversed(TOO_HIGH))
    commit(run, crew, "--allow-empty")
    status, summary = job("main")
    assert status == 0
    assert "error" not in summary.splitlines()[0]
    run(crew, "git", "switch", "--quiet", "main")
    run(crew, "git", "merge", "--quiet", "landing")
    assert job("")[0] == 0  # a push to main: all plans
    assert failed(crew) == Counter()


def test_a_plan_that_cannot_be_read_is_trouble_and_the_others_are_still_checked(crew: Path, run: Run, job: Job) -> None:
    edit(crew, "landing:\n    height: 2.50 m", "landing:\n    height: 2.50")
    stopped = commit(run, crew, check=False)
    assert stopped.returncode == 1  # whatever the status of a hook, that of git is 1
    assert "exit code: 2" in stopped.stdout + stopped.stderr
    status, summary = job("")
    assert status == 2
    report = json.loads((crew / "reports/planlint.sarif").read_text(encoding="utf-8"))
    assert not report["runs"][0]["invocations"][0]["executionSuccessful"]
    assert "mill-lane-landing" in summary
    assert "mill-lane-porch" in summary


def test_the_job_of_the_other_host_checks_what_a_merge_request_changes(crew: Path, run: Run) -> None:
    (line,) = written(".gitlab-ci.yml")["plans"]["script"]
    base = run(crew, "git", "rev-parse", "main").stdout.strip()
    edit(crew, *TOO_THIN)
    commit(run, crew, "--no-verify")
    done = run(crew, "bash", "-c", line, check=False, CI_MERGE_REQUEST_DIFF_BASE_SHA=base)
    assert (done.returncode, "Mill lane 3, porch" in done.stdout) == (1, False)
    done = run(crew, "bash", "-c", line, check=False)
    assert (done.returncode, "Mill lane 3, porch" in done.stdout) == (1, True)
    kept = written(".gitlab-ci.yml")["plans"]["artifacts"]
    assert JUnitXml.fromfile(str(crew / kept["reports"]["junit"])).failures == 1


def test_where_no_plan_has_changed_there_is_nothing_to_stop_for(crew: Path, run: Run, job: Job) -> None:
    edit(crew, *TOO_THIN)
    assert job("main")[0] == 1
    edit(crew, *reversed(TOO_THIN))
    (crew / "notes.txt").write_text("bring the long ladder\n", encoding="utf-8")
    commit(run, crew)
    assert job("main") == (0, "No plan has changed since main.\n")
    assert [file.name for file in (crew / "reports").iterdir()] == ["summary.md"]  # nothing is left of the run before


def test_a_branch_that_git_does_not_know_is_trouble(crew: Path, run: Run) -> None:
    for words in (("--since", "trunk"), ("--since",)):
        done = run(crew, crew / "check-plans.sh", *words, check=False)
        assert (done.returncode, done.stdout) == (2, "")
        assert done.stderr


def test_options_of_inspect_go_on_to_it(crew: Path, run: Run) -> None:
    edit(crew, *TOO_HIGH)
    assert run(crew, crew / "check-plans.sh", "--since", "main", check=False).returncode == 1
    run(crew, crew / "check-plans.sh", "--since", "main", "--stop-at", "error")
    run(crew, crew / "check-plans.sh", "--stop-at", "error")


@pytest.mark.parametrize("below", [".", "sites/mill lane"])
def test_changed_plans_are_named_whatever_they_are_called(tmp_path: Path, run: Run, below: str) -> None:
    """New, changed, renamed and released plans, in a repository of the crew's own or in a folder of another one."""
    root = tmp_path / "repository"
    crew = root / below
    crew.mkdir(parents=True)
    shutil.copy(CREW / "changed-plans.sh", crew)
    for name in ("same", "changed", "gone", "old name", "released"):
        (crew / f"{name}.plan.yaml").write_text(f"plan: 1\ntitle: {name}\n" + "# a line\n" * 9, encoding="utf-8")
    (root / "elsewhere.txt").write_text("a", encoding="utf-8")
    run(root, "git", "init", "--quiet", "--initial-branch", "main")
    commit(run, root)

    def changed() -> list[str]:
        return run(crew, crew / "changed-plans.sh", "main").stdout.split("\0")[:-1]

    assert changed() == []
    run(root, "git", "switch", "--quiet", "--create", "work")
    (crew / "changed.plan.yaml").write_text("plan: 1\ntitle: another\n", encoding="utf-8")
    (crew / "gone.plan.yaml").unlink()
    (crew / "old name.plan.yaml").rename(crew / "new name.plan.yaml")
    (crew / "released.releases.yaml").write_text("releases: 1\n", encoding="utf-8")
    (crew / "of no plan.releases.yaml").write_text("releases: 1\n", encoding="utf-8")
    (crew / "-k, 'ä' \"2\"\n*.plan.yaml").write_text("plan: 1\n", encoding="utf-8")
    (crew / "notes.yaml").write_text("a: 1\n", encoding="utf-8")
    commit(run, root)
    expected = ["changed", "new name", "released", "-k, 'ä' \"2\"\n*"]
    assert sorted(changed()) == sorted(f"{name}.plan.yaml" for name in expected)
    # What main did meanwhile is not the work of this branch.
    run(root, "git", "switch", "--quiet", "main")
    (crew / "same.plan.yaml").write_text("plan: 1\ntitle: of main\n", encoding="utf-8")
    commit(run, root)
    run(root, "git", "switch", "--quiet", "work")
    assert sorted(changed()) == sorted(f"{name}.plan.yaml" for name in expected)


def test_all_plans_of_a_commit_go_to_one_run(crew: Path, run: Run) -> None:
    """Without require_serial pre-commit deals the files out to as many runs as there are cores, each with a report."""
    config = crew / ".pre-commit-config.yaml"
    text = config.read_text(encoding="utf-8")
    config.write_text(
        text.replace("entry: planlint inspect", "entry: planlint inspect --report json=all.json"), "utf-8"
    )
    for number in range(12):
        shutil.copy(crew / "plans/mill-lane-porch.plan.yaml", crew / f"plans/porch-{number}.plan.yaml")
    commit(run, crew)
    assert len(json.loads((crew / "all.json").read_text(encoding="utf-8"))["plans"]) == 12


def test_the_hook_of_the_crew_is_the_one_that_planlint_ships(run: Run) -> None:
    (shipped,) = yaml.safe_load((CHECKOUT / ".pre-commit-hooks.yaml").read_text(encoding="utf-8"))
    (repository,) = written(".pre-commit-config.yaml")["repos"]
    (local,) = repository["hooks"]
    for key in ("id", "entry", "files"):
        assert local[key] == shipped[key]
    assert shipped["require_serial"] is True
    run(CHECKOUT, "pre-commit", "validate-manifest", ".pre-commit-hooks.yaml")
    run(CREW, "pre-commit", "validate-config", ".pre-commit-config.yaml")


@pytest.mark.parametrize(
    ("schema", "file", "broken"),
    [
        ("vendor.github-workflows", ".github/workflows/plans.yml", ("runs-on:", "runs-in:")),
        ("vendor.gitlab-ci", ".gitlab-ci.yml", ("when: always", "when: ever")),
        ("vendor.woodpecker-ci", ".woodpecker.yaml", ("steps:", "stages:")),
    ],
)
def test_each_job_is_what_its_host_reads(
    run: Run, tmp_path: Path, schema: str, file: str, broken: tuple[str, str]
) -> None:
    check = (sys.executable, "-m", "check_jsonschema", "--builtin-schema", schema)
    run(CREW, *check, file)
    other = tmp_path / "broken.yaml"
    other.write_text((CREW / file).read_text(encoding="utf-8").replace(*broken), encoding="utf-8")
    assert run(CREW, *check, other, check=False).returncode == 1
