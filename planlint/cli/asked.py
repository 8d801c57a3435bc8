"""The reports that a command was asked for: how `--report` is read, and what cannot be asked for together."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from difflib import get_close_matches
from pathlib import Path
from typing import TypeVar

import click

from planlint.cli.output import page, say, write_whole
from planlint.reports.page import Page


@dataclass(frozen=True, slots=True)
class Asked:
    """A report that was asked for; without a file it goes to standard output."""

    format: str
    file: str | None


Decorated = TypeVar("Decorated", bound=Callable[..., object])
Render = Callable[[Page], str]


@dataclass(frozen=True, slots=True)
class Reading:
    """What reads each --report, as FORMAT or FORMAT=FILE."""

    formats: Sequence[str]

    def __call__(self, _: click.Context, __: click.Parameter, values: tuple[str, ...]) -> tuple[Asked, ...]:
        """The reports that the values ask for."""
        return tuple(_read(value, self.formats) for value in values)


def _read(value: str, formats: Sequence[str]) -> Asked:
    wanted, equals, file = value.partition("=")
    if wanted not in formats:
        near = get_close_matches(wanted, formats, n=1)
        hint = f"did you mean {near[0]}?" if near else f"there are {', '.join(formats)}"
        raise click.BadParameter(f"there is no report called {wanted}; {hint}")
    if equals and not file:
        raise click.BadParameter(f"there is no file after {value}; write {wanted}=FILE")
    return Asked(wanted, file or None)


def refuse_clashes(reports: Sequence[Asked], plans: Sequence[str], also_shown: Sequence[str] = ()) -> None:
    """Refuse what would mix two reports or write over a plan."""
    shown = [*(report.format for report in reports if not report.file), *also_shown]
    if len(shown) > 1:
        raise click.UsageError(
            f"{' and '.join(shown)} cannot both go to standard output; "
            f"give one a file, such as --report {shown[0]}=FILE"
        )
    taken = {Path(plan).resolve() for plan in plans}
    for report in reports:
        if report.file:
            target = Path(report.file).resolve()
            if target in taken:
                raise click.UsageError(f"{report.file} is a plan or has a report already; name another file")
            if target.is_file() or not target.exists():
                taken.add(target)


def read_day(_: click.Context, __: click.Parameter, value: str | None) -> date:
    """The day to judge by; without one, the day on the calendar of whoever stands in the room."""
    try:
        return date.fromisoformat(value) if value else date.today()  # noqa: DTZ011 - their day, not that of UTC
    except ValueError:
        raise click.BadParameter(f"{value} is not a day; write year-month-day, such as 2026-10-03") from None


limits_option = click.option(
    "--limits", metavar="NAME", help="Reckon with this limit set instead of those that the plan names."
)


def report_option(formats: Sequence[str], said: str = "") -> Callable[[Decorated], Decorated]:
    """--report of a command that writes these formats, the first where none is asked for; `said` as its help has it."""
    listed = said or f"{', '.join(formats[:-1])} or {formats[-1]}"
    return click.option(
        "--report",
        "reports",
        multiple=True,
        callback=Reading(formats),
        metavar="FORMAT[=FILE]",
        help=f"What to write: {listed}; with =FILE into a file. May be given several times. [default: {formats[0]}]",
    )


def deliver(reports: Sequence[Asked], renders: Mapping[str, Render]) -> None:
    """Write every report that was asked for, the first that there is where none was."""
    for report in reports or (Asked(next(iter(renders)), None),):
        text = renders[report.format](Page() if report.file else page())
        if report.file:
            write_whole(report.file, text)
        else:
            say(text)
