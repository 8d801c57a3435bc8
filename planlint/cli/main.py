"""The entry point: finds the command, imports it only then, and ends every run without a traceback."""

import importlib
import os
import sys
from collections.abc import Sequence
from difflib import get_close_matches
from typing import NoReturn

import click

from planlint.errors import PlanFaults, PlanlintError
from planlint.reports.page import plain

TROUBLE = 2
_INTERRUPTED = 130
"""What a shell reports of a program that Ctrl-C ended (128 and the number of the signal)."""

COMMANDS = ("inspect", "rulebook", "limits", "words", "start", "schema")


class Commands(click.Group):
    """The commands, each a module of its own that is imported when it is called."""

    def list_commands(self, ctx: click.Context) -> list[str]:  # noqa: ARG002 - click's signature
        """The commands in the order in which a newcomer meets them."""
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:  # noqa: ARG002 - click's signature
        """The command of that name."""
        if cmd_name not in COMMANDS:
            return None
        command = importlib.import_module(f"planlint.cli.{cmd_name}").command
        return command if isinstance(command, click.Command) else None

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        """As click does, but with a word about what was probably meant."""
        name = args[0]
        if name not in COMMANDS and not name.startswith("-"):
            if near := get_close_matches(name, COMMANDS, n=1):
                hint = f"did you mean {near[0]}?"
            elif name.endswith((".yaml", ".yml")) or os.path.exists(name):  # noqa: PTH110 - a question, not a path
                hint = f"did you mean `planlint inspect {name}`?"
            else:
                hint = "`planlint --help` lists the commands"
            ctx.fail(f"there is no command called {name}; {hint}")
        return super().resolve_command(ctx, args)


def _version(ctx: click.Context, _: click.Parameter, value: bool) -> None:  # noqa: FBT001 - click's signature
    if value and not ctx.resilient_parsing:
        click.echo(f"planlint {version()}")
        ctx.exit()


def version() -> str:
    """The installed version of planlint."""
    from importlib.metadata import version as installed  # noqa: PLC0415 - reading it costs a start more than click

    return installed("planlint")


@click.command(cls=Commands, context_settings={"help_option_names": ["--help"], "max_content_width": 100})
@click.option(
    "--version", is_flag=True, is_eager=True, expose_value=False, callback=_version, help="Print the version."
)
def planlint() -> None:
    """Check the plan of a renovation before the walls are closed.

    planlint reads a plan file: what is planned, measured and built in each room. It says what is
    wrong, by how much and what to do, what is not recorded, and what it did not look at. Structure,
    gas, fire, local code and licensed work stay with the people who answer for them.

    \b
    A first plan and a first look at it:
      planlint start study.plan.yaml
      planlint inspect study.plan.yaml

    `planlint words` explains what a plan may say, `planlint rulebook` what is checked.
    Each command has a --help with an example.
    """  # noqa: D301 - \b is click's mark for text that is not to be wrapped


def main(arguments: Sequence[str] | None = None) -> NoReturn:
    """Run planlint and exit: 0 nothing to stop for, 1 findings, 2 trouble."""
    for stream in (sys.stdout, sys.stderr):
        # Plans are UTF-8 and so is what is said about them, whatever the locale. A file name may hold bytes that are not.
        stream.reconfigure(encoding="utf-8", errors="backslashreplace")  # type: ignore[union-attr]  # a terminal or file
    try:
        status = run(arguments)
        sys.stdout.flush()
    except KeyboardInterrupt:
        _complain("stopped")
        status = _INTERRUPTED
    except BrokenPipeError:
        # Whoever read the output has left. Python would complain once more when it closes the stream itself.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        status = TROUBLE
    sys.exit(status)


def run(arguments: Sequence[str] | None = None) -> int:
    """Run the command and say what went wrong, if anything; the exit status."""
    try:
        status = planlint.main(args=arguments, prog_name="planlint", standalone_mode=False)
    except click.exceptions.NoArgsIsHelpError as error:
        click.echo(error.format_message(), err=True)
        return TROUBLE
    except click.ClickException as error:
        _complain(f"{_lower(error.format_message())}")
        if isinstance(error, click.UsageError) and error.ctx:
            click.echo(f"  `{error.ctx.command_path} --help` shows how it is used", err=True)
        return TROUBLE
    except click.Abort:
        raise KeyboardInterrupt from None
    except PlanFaults as error:
        from planlint.reports.troubles import render  # noqa: PLC0415 - only trouble needs it

        click.echo(render(list(error.faults)), err=True, nl=False)
        return error.exit_status
    except PlanlintError as error:
        _complain(str(error))
        return error.exit_status
    return status if isinstance(status, int) else 0


def _complain(message: str) -> None:
    click.echo(f"planlint: {plain(message)}", err=True)


def _lower(message: str) -> str:
    return message[:1].lower() + message[1:]
