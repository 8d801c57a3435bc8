"""A package of another author brings a rule and a limit of its own, really installed into a fresh environment."""

import json
import subprocess
import sys
import sysconfig
from pathlib import Path

import pytest

RULE = '''"""Rules of a stair builder."""

from planlint.api import PASS, Fail, Given, HoldPoint, Length, Level, Open, Outcome, Remedy, Wall, at_least, rule


@rule(
    "wall-wide-enough-for-stair",
    judges=Wall,
    level=Level.WARNING,
    guards=HoldPoint.CLOSING_IN,
    needs=("length",),
    reads=("stair_wall_length",),
)
def wall_wide_enough_for_stair(wall: Wall, given: Given) -> Outcome:
    """A wall is long enough for a stair.

    Why: this is an example.
    Source: own decision.
    """
    if wall.length is None:
        return Open("how long the wall is", "length")
    least = given.quantity("stair_wall_length", Length)
    if at_least(wall.length, least):
        return PASS
    return Fail("the wall is {measured} long, {allowed} is needed", wall.length, least, Remedy("turn the stair"))
'''
BROKEN = "raise ValueError('no stair today')\n"
LIMITS = """\
name: stairs
title: Limits of a stair builder
limits:
  stair_wall_length: {value: 2.40 m, dimension: length, range: [1 m, 10 m], basis: own decision, source: a builder}
"""
PROJECT = """\
[build-system]
requires = ["setuptools"]
build-backend = "setuptools.build_meta"

[project]
name = "stair-rules"
version = "1.2"

[project.entry-points."planlint.rules"]
stairs = "stair_rules.stairs"

[tool.setuptools]
packages = ["stair_rules"]

[tool.setuptools.package-data]
stair_rules = ["limits/*.yaml"]
"""
PLAN = """\
plan: 1
title: a stair
rooms:
  hall:
    walls:
      - wall: north
        length: 2.30 m
"""


@pytest.fixture
def package(tmp_path: Path) -> Path:
    folder = tmp_path / "package" / "stair_rules"
    (folder / "limits").mkdir(parents=True)
    (folder / "__init__.py").touch()
    (folder / "stairs.py").write_text(RULE)
    (folder / "limits" / "stairs.yaml").write_text(LIMITS)
    (folder.parent / "pyproject.toml").write_text(PROJECT)
    return folder.parent


def install(package: Path, place: Path) -> Path:
    """Install a package, built as a wheel, into an environment of its own beside planlint; returns its Python."""
    build = [sys.executable, "-m", "build", "--wheel", "--no-isolation", "--outdir", str(place), str(package)]
    subprocess.run(build, check=True, capture_output=True)
    subprocess.run([sys.executable, "-m", "venv", str(place / "env")], check=True)
    python = place / "env" / "bin" / "python"
    wheels = [str(wheel) for wheel in place.glob("*.whl")]
    pip = [str(python), "-m", "pip", "install", "--quiet", "--no-index", "--no-deps", *wheels]
    subprocess.run(pip, check=True, capture_output=True)
    # planlint and what it needs come from the environment of this test, so that no download is needed.
    ours = sysconfig.get_path("purelib")
    theirs = Path(sysconfig.get_path("purelib", vars={"base": str(place / "env")}))
    (theirs / "ours.pth").write_text(f"import site; site.addsitedir({ours!r})\n")
    return python


def planlint(python: Path, *words: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [str(python), "-m", "planlint", *words], input=PLAN, capture_output=True, text=True, check=False
    )


def test_a_foreign_rule_judges_by_a_limit_that_came_with_it(package: Path, tmp_path: Path) -> None:
    python = install(package, tmp_path)
    done = planlint(python, "inspect", "-", "--only", "wall-wide-enough-for-stair", "--report", "json")
    assert done.returncode == 1, done.stderr
    (finding,) = json.loads(done.stdout)["plans"][0]["findings"]
    assert finding["rule"] == "wall-wide-enough-for-stair"
    assert finding["family"] == "stairs"
    assert finding["message"] == "the wall is 2.3 m long, 2.4 m is needed"
    assert (finding["place"], finding["line"]) == ("hall.north", 6)
    assert "stair-rules" in planlint(python, "rulebook", "wall-wide-enough-for-stair").stdout
    assert "stair_wall_length" in planlint(python, "limits", "stairs").stdout


def test_a_foreign_module_that_does_not_load_is_trouble_that_names_its_package(package: Path, tmp_path: Path) -> None:
    (package / "stair_rules" / "stairs.py").write_text(BROKEN)
    done = planlint(install(package, tmp_path), "inspect", "-")
    assert done.returncode == 2
    assert "stair-rules 1.2" in done.stderr
    assert "no stair today" in done.stderr
    assert "Traceback" not in done.stderr


def test_a_foreign_rule_cannot_take_the_name_of_one_that_is_there(package: Path, tmp_path: Path) -> None:
    (package / "stair_rules" / "stairs.py").write_text(RULE.replace("wall-wide-enough-for-stair", "point-on-wall"))
    done = planlint(install(package, tmp_path), "inspect", "-")
    assert done.returncode == 2
    assert "point-on-wall" in done.stderr
    assert "stair-rules 1.2" in done.stderr
