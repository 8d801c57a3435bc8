"""What shells offer, asked as they ask: bash and fish themselves where they are there, and by click's protocol."""

import os
import re
import shutil
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest
from click.shell_completion import BashComplete

from planlint.cli.main import COMMANDS, planlint

ENVIRONMENT = os.environ | {"PATH": os.pathsep.join([str(Path(sys.executable).parent), os.environ["PATH"]])}

Offered = Callable[..., list[str]]
Run = Callable[..., subprocess.CompletedProcess[str]]


@pytest.fixture
def run(plan: Path) -> Run:
    """Run a program in the folder of a plan."""

    def call(*words: str, **more: str) -> subprocess.CompletedProcess[str]:
        return subprocess.run(
            words,
            cwd=plan.parent,
            env=ENVIRONMENT | more,
            stdin=subprocess.DEVNULL,
            capture_output=True,
            encoding="utf-8",
            check=False,
        )

    return call


@pytest.fixture
def offered(plan: Path, monkeypatch: pytest.MonkeyPatch) -> Offered:
    """What is offered for the last of the words typed, by the protocol of click's scripts; a file as its type."""
    monkeypatch.chdir(plan.parent)

    def ask(*typed: str) -> list[str]:
        monkeypatch.setenv("COMP_WORDS", "\n".join(("planlint", *typed)))
        monkeypatch.setenv("COMP_CWORD", str(len(typed)))
        said = BashComplete(planlint, {}, "planlint", "_PLANLINT_COMPLETE").complete()
        parts = [one.split(",", 1) for one in said.splitlines()]
        return [word if kind == "plain" else kind for kind, word in parts]

    return ask


def test_commands_and_options(offered: Offered) -> None:
    assert offered("") == list(COMMANDS)
    assert offered("in") == ["inspect"]
    assert {"--report", "--only", "--hold-point", "--place"} <= set(offered("inspect", "--"))


@pytest.mark.parametrize(
    ("typed", "word"),
    [
        (("inspect", "--only", "bead-at"), "bead-at-outside-corner"),
        (("inspect", "--only", "win"), "windows"),
        (("rulebook", "frame-held"), "frame-held-mechanically"),
        (("inspect", "--limits", "g"), "gb"),
        (("circuits", "cottage.plan.yaml", "--limits", "gen"), "general"),
        (("limits", "f"), "fr"),
        (("inspect", "--hold-point", "clo"), "closing-in"),
        (("release", "cottage.plan.yaml", "--hold-point", "til"), "tiling"),
        (("inspect", "--stop-at", "o"), "open"),
        (("inspect", "--report", "sar"), "sarif"),
        (("points", "--report", "c"), "csv"),
        (("schema", "limit"), "limit-set"),
        (("words", "hole_"), "hole_saws"),
        (("words", "solid-br"), "solid-brick"),
        (("inspect", "cottage.plan.yaml", "--place", "parlour.ga"), "parlour.garden"),
        (("takeoff", "cottage.plan.yaml", "--place", "lin"), "linings.battened"),
        (("behind", "cottage.plan.yaml", "parlour.st"), "parlour.street"),
        (("inspect", "cott"), "file"),
        (("moisture", ""), "file"),
        (("start", "hall"), "file"),
    ],
)
def test_words_that_a_command_takes(offered: Offered, typed: tuple[str, ...], word: str) -> None:
    found = offered(*typed)
    assert word in found
    assert all(one == "file" or one.startswith(typed[-1]) for one in found)


def test_nobody_is_told_off_in_the_middle_of_a_line(offered: Offered, unreadable: Path) -> None:
    assert offered("inspekt", "a") == []
    assert offered("inspect", unreadable.name, "--place", "par") == []
    assert offered("inspect", "not-there.plan.yaml", "--place", "par") == []
    assert offered("inspect", "--report", "jsn", "--only", "bead-at") == ["bead-at-outside-corner"]


BASH = """\
eval "$(_PLANLINT_COMPLETE=bash_source planlint)"
complete -p planlint
offer() {
    COMP_WORDS=(planlint "$@") COMP_CWORD=$# COMPREPLY=()
    _planlint_completion planlint
    echo "${COMPREPLY[*]}"
}
offer rel
offer inspect cottage.plan.yaml --only frame-
offer inspect cottage.plan.yaml --place parlour.str
"""
RULES = {"frame-held-mechanically", "frame-fixing-spacing"}
STREET = "parlour.street parlour.street.window parlour.street.S1 parlour.street.corner"


def test_bash_takes_the_script_that_the_readme_names(run: Run) -> None:
    done = run("bash", "--norc", "-c", BASH)
    assert done.stderr == ""
    known, *offers = done.stdout.splitlines()
    assert re.fullmatch(r"complete .*-F _planlint_completion planlint", known)
    assert offers[0] == "release"
    assert set(offers[1].split()) == RULES
    assert set(offers[2].split()) >= set(STREET.split())


FISH = """\
_PLANLINT_COMPLETE=fish_source planlint | source
complete --do-complete 'planlint inspect --only frame-'
"""


@pytest.mark.skipif(not shutil.which("fish"), reason="there is no fish")
def test_fish_takes_the_script_that_the_readme_names(run: Run) -> None:
    done = run("fish", "--no-config", "--command", FISH)
    assert done.stderr == ""
    assert {line.split("\t")[0] for line in done.stdout.splitlines()} == RULES


ZSH = """\
autoload -Uz compinit; compinit -D
eval "$(_PLANLINT_COMPLETE=zsh_source planlint)"
print $_comps[planlint]
"""


@pytest.mark.skipif(not shutil.which("zsh"), reason="there is no zsh")
def test_zsh_takes_the_script_that_the_readme_names(run: Run) -> None:
    done = run("zsh", "--no-rcs", "-c", ZSH)
    assert (done.stdout, done.stderr) == ("_planlint_completion\n", "")


README = Path(__file__).parents[2] / "README.md"


@pytest.mark.parametrize("step", [BASH.splitlines()[0], ZSH.splitlines()[1], FISH.splitlines()[0]])
def test_the_readme_names_what_the_shells_took(step: str) -> None:
    assert f"\n{step} " in README.read_text(encoding="utf-8")


@pytest.mark.parametrize("shell", ["bash", "zsh", "fish"])
def test_each_shell_is_offered_a_rule_with_what_it_can_show(run: Run, shell: str) -> None:
    where = "frame-held" if shell == "fish" else "3"  # fish says the word, the others its number
    line = {"COMP_WORDS": "planlint inspect --only frame-held", "COMP_CWORD": where}
    done = run("planlint", _PLANLINT_COMPLETE=f"{shell}_complete", **line)
    assert "frame-held-mechanically" in done.stdout
    assert ("Something more than foam" in done.stdout) == (shell != "bash")
    assert run("planlint", _PLANLINT_COMPLETE=f"{shell}_source").stdout.count("_PLANLINT_COMPLETE") == 1
