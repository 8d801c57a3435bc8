"""What the README shows is what the program does. `python tests/test_readme.py` writes the shown output anew."""

import os
import re
import shlex
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
README = ROOT / "README.md"
SHOWN = re.compile(r"```console\n\$ (planlint .*)\n((?:.*\n)*?)```\n")
COMMAND = re.compile(r"```\n(python3 -m venv .*)\n```")


def run(command: str) -> str:
    words = shlex.split(command)[1:]
    environment = os.environ | {"COLUMNS": "80"}
    done = subprocess.run(
        [sys.executable, "-m", "planlint", *words],
        cwd=ROOT,
        env=environment,
        capture_output=True,
        text=True,
        check=False,
    )
    # What mend tells beside its diff goes there, so that the diff can be piped.
    assert done.stderr == "" or words[0] == "mend"
    return done.stdout


@pytest.mark.parametrize(("command", "output"), SHOWN.findall(README.read_text(encoding="utf-8")))
def test_shown_output_is_real(command: str, output: str) -> None:
    assert output == run(command)


def test_something_is_shown() -> None:
    assert SHOWN.search(README.read_text(encoding="utf-8"))


def test_the_plan_shown_is_the_smallest_example() -> None:
    shown = re.search(r"```yaml\n(plan: 1\n.*?)```", README.read_text(encoding="utf-8"), re.DOTALL)
    example = (ROOT / "examples" / "smallest.plan.yaml").read_text(encoding="utf-8")
    assert shown
    assert shown[1] == example[example.index("plan: 1") :]


def test_there_are_two_commands_and_the_gates_run_the_second_word_for_word() -> None:
    first, second = COMMAND.findall(README.read_text(encoding="utf-8"))
    assert "planlint inspect examples/" in first
    assert second.endswith("pytest")
    gates = ROOT / ".ci" / "run"
    if gates.exists():  # not where the tests are run on the built wheel
        assert second in gates.read_text(encoding="utf-8").splitlines()


def rewrite() -> None:
    text = README.read_text(encoding="utf-8")
    text = SHOWN.sub(lambda shown: f"```console\n$ {shown[1]}\n{run(shown[1])}```\n", text)
    README.write_text(text, encoding="utf-8")


if __name__ == "__main__":
    rewrite()
