"""The hook in a scratch repository, run by the real pre-commit: a faulty plan stops the commit, a sound one passes."""

import shutil
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

CHECKOUT = Path(__file__).parents[2]
SHIPPED = (".pre-commit-hooks.yaml", "pyproject.toml", "README.md", "LICENSE", "planlint", "rules", "schemas")
SOUND = """\
plan: 1
title: one window
rooms:
  loft:
    walls:
      - wall: gable
        openings:
          hatch: {kind: window, reveal: none, frame: {held_by: [screws, foam]}}
"""
FAULTY = SOUND.replace("screws, foam", "foam")


Run = Callable[..., subprocess.CompletedProcess[str]]


@pytest.fixture
def crew(tmp_path: Path, run: Run) -> Path:
    """A crew's repository whose commits run the hook out of a copy of this one."""
    tool, crew = tmp_path / "tool", tmp_path / "crew"
    for folder in (tool, crew):
        folder.mkdir()
        run(folder, "git", "init", "--quiet")
    ignore = shutil.ignore_patterns("__pycache__", "*.egg-info")
    for name in SHIPPED:
        source = CHECKOUT / name
        (shutil.copytree(source, tool / name, ignore=ignore) if source.is_dir() else shutil.copy(source, tool))
    run(tool, "git", "add", "--all")
    run(tool, "git", "commit", "--quiet", "--message", "tool")
    revision = run(tool, "git", "rev-parse", "HEAD").stdout.strip()
    (crew / ".pre-commit-config.yaml").write_text(
        f"repos:\n- repo: {tool}\n  rev: {revision}\n  hooks:\n  - id: planlint\n"
    )
    run(crew, "git", "add", "--all")
    run(crew, "git", "commit", "--quiet", "--message", "hooks")
    run(crew, sys.executable, "-m", "pre_commit", "install")
    return crew


def test_a_faulty_plan_stops_the_commit_and_a_sound_one_passes(crew: Path, run: Run) -> None:
    plan = crew / "loft.plan.yaml"
    plan.write_text(FAULTY)
    run(crew, "git", "add", "--all")
    stopped = run(crew, "git", "commit", "--message", "the loft", check=False)
    assert stopped.returncode == 1
    assert "foam alone holds the frame" in stopped.stdout + stopped.stderr
    assert run(crew, "git", "log", "--oneline").stdout.count("\n") == 1
    plan.write_text(SOUND)
    run(crew, "git", "add", "--all")
    run(crew, "git", "commit", "--message", "the loft")
    assert run(crew, "git", "log", "--oneline").stdout.count("\n") == 2
