"""Many plans at once: on all cores, and with a bar for whoever watches, who else sees nothing of it."""

import os
import re
import shutil
import subprocess
import sys
from collections.abc import Callable
from concurrent.futures import process
from datetime import date
from pathlib import Path

import pytest

from planlint.cli import plans
from planlint.inspection import Wanted

pty = pytest.importorskip("pty", reason="wants a pseudo-terminal")
COLOUR = re.compile(r"\x1b\[[0-9;]*m")
"""Select graphic rendition, ECMA-48, 8.3.117."""

Watched = Callable[..., tuple[str, str]]


@pytest.fixture
def many(plan: Path) -> list[Path]:
    """More than a handful of plans."""
    copies = [plan.with_name(f"cottage-{number}.plan.yaml") for number in range(10)]
    for copy in copies:
        shutil.copy(plan, copy)
    return copies


@pytest.fixture
def watched() -> Watched:
    """Inspect plans with standard error on a terminal; what stands on standard output, and on the terminal."""

    def run(*words: Path | str, **environment: str) -> tuple[str, str]:
        ours, theirs = pty.openpty()
        try:
            command = [sys.executable, "-m", "planlint", "inspect", "--report=lines", *words]
            done = subprocess.run(
                command,
                env=os.environ | environment,
                stdout=subprocess.PIPE,
                stderr=theirs,
                encoding="utf-8",
                check=True,
            )
            os.write(theirs, b"END")  # so that there is something to read where nothing was shown
            shown = b""
            while not shown.endswith(b"END"):
                shown += os.read(ours, 65536)
        finally:
            os.close(ours)
            os.close(theirs)
        return done.stdout, shown.decode().removesuffix("END")

    return run


def test_a_bar_is_shown_on_a_terminal(many: list[Path], watched: Watched) -> None:
    out, shown = watched(*many, TERM="xterm")
    assert "Inspecting" in shown
    assert "100%" in shown
    assert "Inspecting" not in out
    assert out.count("\n") > len(many)


def test_a_bar_has_no_colour_where_none_is_wanted(many: list[Path], watched: Watched) -> None:
    _, shown = watched(*many, TERM="xterm", NO_COLOR="1")
    assert "100%" in shown
    assert not COLOUR.search(shown)


def test_no_bar_for_a_handful(many: list[Path], watched: Watched) -> None:
    assert watched(*many[:3], TERM="xterm")[1] == ""


def test_no_bar_where_nobody_watches(many: list[Path]) -> None:
    command = [sys.executable, "-m", "planlint", "inspect", "--report=lines", *many]
    assert subprocess.run(command, capture_output=True, check=True).stderr == b""


@pytest.mark.parametrize(("number", "cores", "workers"), [(10, 4, 4), (10, 32, 10), (10, None, 1)])
def test_many_plans_take_all_cores(
    many: list[Path], monkeypatch: pytest.MonkeyPatch, number: int, cores: int | None, workers: int
) -> None:
    asked: list[object] = []

    class Pool(process.ProcessPoolExecutor):
        def __init__(self, size: int, **more: object) -> None:
            asked.append(size)
            super().__init__(1, **more)  # type: ignore[arg-type]  # what was asked for is enough to know

    monkeypatch.setattr(process, "ProcessPoolExecutor", Pool)
    monkeypatch.setattr(os, "cpu_count", lambda: cores)
    wanted = Wanted(date(2026, 10, 3))
    records, faults = plans.inspect_all(tuple(map(str, many[:number])), wanted, plans.load_rulebook())
    assert asked == [workers]
    assert ([record.plan for record in records], faults) == ([str(plan) for plan in many[:number]], [])


def test_a_handful_of_small_plans_is_not_worth_another_process(
    many: list[Path], monkeypatch: pytest.MonkeyPatch
) -> None:
    def never(*_: object, **__: object) -> None:
        raise AssertionError

    monkeypatch.setattr(process, "ProcessPoolExecutor", never)
    wanted = Wanted(date(2026, 10, 3))
    assert len(plans.inspect_all(tuple(map(str, many[:3])), wanted, plans.load_rulebook())[0]) == 3
    monkeypatch.setattr(plans, "_BIG", 1000)
    with pytest.raises(AssertionError):
        plans.inspect_all(tuple(map(str, many[:3])), wanted, plans.load_rulebook())
