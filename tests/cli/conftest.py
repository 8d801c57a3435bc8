from collections.abc import Callable
from pathlib import Path

import pytest

from planlint.cli.main import run


@pytest.fixture
def main(capsysbinary: pytest.CaptureFixture[bytes]) -> Callable[..., tuple[int, str, str]]:
    """Calls the whole program in this process; exit status, standard output, standard error."""

    def call(*arguments: str | Path) -> tuple[int, str, str]:
        status = run([str(argument) for argument in arguments])
        out, err = capsysbinary.readouterr()
        return status, out.decode(), err.decode()

    return call


@pytest.fixture
def plan(main: Callable[..., tuple[int, str, str]], tmp_path: Path) -> Path:
    """The plan that `planlint start` writes: nothing wrong, some things not recorded."""
    file = tmp_path / "cottage.plan.yaml"
    assert main("start", file)[0] == 0
    return file


@pytest.fixture
def faulty(plan: Path) -> Path:
    """The same with one mistake: foam alone holds the window."""
    file = plan.with_name("faulty.plan.yaml")
    text = plan.read_text(encoding="utf-8")
    assert "held_by: [screws, foam]" in text
    file.write_text(text.replace("held_by: [screws, foam]", "held_by: [foam]"), encoding="utf-8")
    return file


@pytest.fixture
def unreadable(plan: Path) -> Path:
    """The same with a key misspelt."""
    file = plan.with_name("unreadable.plan.yaml")
    file.write_text(plan.read_text(encoding="utf-8").replace("outline:", "outlien:"), encoding="utf-8")
    return file
