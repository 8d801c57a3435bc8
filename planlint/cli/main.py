"""The entry point: finds the command, imports it only then, and ends every run without a traceback."""

import importlib
import os
import sys
from collections.abc import Sequence
from difflib import get_close_matches
from typing import NoReturn

import click

from planlint.cli.output import complain, discard_output
from planlint.errors import LimitError, PlanFaults, PlanlintError

TROUBLE = 2
_INTERRUPTED = 130
"""What a shell reports of a program that Ctrl-C ended: 128 and the number of the signal."""

COMMANDS = (
    *("inspect", "start", "mend", "sheet", "circuits", "moisture", "takeoff", "points", "behind", "order", "release"),
    *("words", "rulebook", "limits", "schema"),
)
"""In the order in which a newcomer meets them; each is a module beside this one."""


class Commands(click.Group):
    """The commands, each imported when it is called."""

    def list_commands(self, ctx: click.Context) -> list[str]:  # noqa: ARG002 - click's signature
        """All commands."""
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        """The command of that name."""
        if cmd_name not in COMMANDS:
            return None
        command = importlib.import_module(f"planlint.cli.{cmd_name}").command
        if not isinstance(command, click.Command):
            return None
        if ctx.resilient_parsing:  # a shell asks what may come next, and nothing will be run
            from planlint.cli.completion import taught  # noqa: PLC0415 - only then

            return taught(command)
        return command

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        """As click does, but with a word about what was probably meant."""
        name = args[0]
        if name not in COMMANDS and not name.startswith("-") and not ctx.resilient_parsing:
            ctx.fail(f"there is no command called {name}; {_meant(name)}")
        return super().resolve_command(ctx, args)


def _meant(name: str) -> str:
    if near := get_close_matches(name, COMMANDS, n=1):
        return f"did you mean `planlint {near[0]}`?"
    if name.endswith((".yaml", ".yml")) or os.sep in name:
        return f"did you mean `planlint inspect {name}`?"
    return f"there are {', '.join(COMMANDS)}"


def version() -> str:
    """The installed version of planlint."""
    from importlib.metadata import version as installed  # noqa: PLC0415 - most commands need not know it

    return installed("planlint")


def _print_version(ctx: click.Context, _: click.Parameter, value: bool) -> None:  # noqa: FBT001 - click's signature
    if value and not ctx.resilient_parsing:
        click.echo(f"planlint {version()}")
        ctx.exit()


@click.command(
    cls=Commands,
    invoke_without_command=True,
    context_settings={"max_content_width": 100, "help_option_names": ["-h", "--help"]},
)
@click.option(
    "--version", is_flag=True, is_eager=True, expose_value=False, callback=_print_version, help="Print the version."
)
@click.pass_context
def planlint(ctx: click.Context) -> int:
    """Check the plan of a renovation before its walls are closed.

    planlint reads a plan file: what is planned, measured and built in each room. It says what is
    wrong, by how much and what to do about it, what is not recorded, and what it did not look at.
    Local code and licensed people decide; planlint does not replace them.

    \b
    A first plan, and a first look at it:
      planlint start study.plan.yaml
      planlint inspect study.plan.yaml

    Every command has a --help of its own.
    """  # noqa: D301 - \b is click's mark for lines that are not to be wrapped
    if ctx.invoked_subcommand is None:
        click.echo(ctx.get_help(), err=True)
        return TROUBLE
    return 0


def main(arguments: Sequence[str] | None = None) -> NoReturn:
    """Run planlint and exit: 0 nothing to stop for, 1 findings, 2 trouble."""
    for stream in (sys.stdout, sys.stderr):
        # Plans are UTF-8, and so is what is said about them, whatever the locale; a file's name may be neither.
        stream.reconfigure(encoding="utf-8", errors="backslashreplace")  # type: ignore[union-attr]  # files, never replaced here
    sys.exit(run(arguments))


def run(arguments: Sequence[str] | None = None) -> int:
    """Run one command; whatever goes wrong is said on standard error. The exit status."""
    try:
        status = planlint.main(args=arguments, prog_name="planlint", standalone_mode=False)
        sys.stdout.flush()
    except (KeyboardInterrupt, click.Abort):
        complain("stopped")
        return _INTERRUPTED
    except click.UsageError as error:
        path = error.ctx.command_path if error.ctx else "planlint"
        complain(_said(error), f"`{path} --help` shows how it is used")
    except PlanFaults as error:
        from planlint.reports.troubles import render  # noqa: PLC0415 - only trouble needs it

        click.echo(render(list(error.faults)), err=True, nl=False)
    except LimitError as error:
        complain(error.message, error.hint)
    except PlanlintError as error:
        complain(str(error))
    except OSError as error:
        complain(f"the output cannot be written: {error.strerror}")
        discard_output()
    else:
        return status if isinstance(status, int) else 0
    return TROUBLE


def _said(error: click.UsageError) -> str:
    """What click says of a wrong call, in our own tone."""
    message = error.format_message().rstrip(".")
    if isinstance(error, click.MissingParameter) and error.param:
        return f"{error.param.human_readable_name.rstrip('.')} is not given"
    if isinstance(error, click.BadParameter) and error.param:
        return f"{error.param.opts[0]}: {error.message.rstrip('.')}"
    return message[:1].lower() + message[1:]
