from collections.abc import Callable

import click
import pytest

from planlint.cli.main import COMMANDS, planlint, run

Main = Callable[..., tuple[int, str, str]]


@pytest.mark.parametrize(
    ("wrong", "said"),
    [
        ("inspec", "did you mean `planlint inspect`?"),
        ("study.plan.yaml", "did you mean `planlint inspect study.plan.yaml`?"),
        ("frobnicate", "there are inspect, start,"),
    ],
)
def test_a_command_that_is_not_there(main: Main, wrong: str, said: str) -> None:
    status, out, err = main(wrong)
    assert (status, out) == (2, "")
    assert said in err


def test_a_missing_argument(main: Main) -> None:
    assert main("inspect") == (
        2,
        "",
        "planlint: PLAN is not given\n  `planlint inspect --help` shows how it is used\n",
    )


@pytest.mark.parametrize("command", COMMANDS)
def test_every_command_explains_itself_with_an_example(main: Main, command: str) -> None:
    status, out, err = main(command, "--help")
    assert (status, err) == (0, "")
    assert "Example" in out
    assert f"  planlint {command}" in out


def test_an_interrupt_ends_quietly(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    def interrupted(*_: object, **__: object) -> None:
        raise click.Abort

    monkeypatch.setattr(planlint, "main", interrupted)
    # 130 is what POSIX shells report of a program that SIGINT (2) ended: 128 + 2.
    assert run(["inspect", "x"]) == 130
    assert capsys.readouterr().err == "planlint: stopped\n"
