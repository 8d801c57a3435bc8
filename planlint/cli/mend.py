"""`planlint mend`: the edits that remedies carry, as a diff, or written into the plan."""

import hashlib
import os
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

import click

from planlint.cli.asked import read_day
from planlint.cli.output import page, put_in_place, say
from planlint.errors import Fault, PlanFaults

if TYPE_CHECKING:
    from planlint.source import Document

SHOWN = 1
"""Exit status where there are edits to make, and none was written."""

_MARK = "\ufeff"


@click.command("mend", short_help="Show or make the edits of plans that remedies carry.")
@click.argument("plans", nargs=-1, required=True, metavar="PLAN...")
@click.option("--write", is_flag=True, help="Write the edits into the plans instead of showing them.")
@click.option("--limits", metavar="NAME", help="Judge by this limit set instead of those that the plan names.")
@click.option("--only", multiple=True, metavar="RULE-OR-FAMILY", help="Mend only what these rules find.")
@click.option("--place", metavar="PLACE", help="Mend only what lies under this place or bears on it.")
@click.option("--today", callback=read_day, metavar="DATE", help="The day to judge dates by. [default: today]")
def command(  # noqa: PLR0913 - one argument an option, each passed by its name
    *,
    plans: tuple[str, ...],
    write: bool,
    limits: str | None,
    only: tuple[str, ...],
    place: str | None,
    today: date,
) -> int:
    """Show as a diff what could be put right in each PLAN by editing it.

    Some remedies are a decision about what is planned, such as a bead where filler was written. Each such edit is
    tried: the plan is inspected again by every rule, and the edit is offered only where its finding is gone and no
    other has come. What was measured, observed, bought or done is never edited, nor what guards life. All else in the
    file stays as it is, byte for byte. One run tries 200 edits of a plan at most.

    A PLAN is a file; a folder means every *.plan.yaml in it, and - standard input. The diff goes to standard output,
    and what it puts right and leaves alone to standard error.

    \b
    Examples:
      planlint mend study.plan.yaml
      planlint mend study.plan.yaml --only corners --write

    Exit status: 0 nothing to mend, or it is written; 1 edits are shown and not written; 2 trouble.
    """  # noqa: D301 - \b is click's mark for lines that are not to be wrapped
    # Imported here so that --help does not wait for the rules.
    from planlint import limits as limit_sets  # noqa: PLC0415
    from planlint.cli.plans import STANDARD_INPUT, find, load_rulebook, read  # noqa: PLC0415
    from planlint.errors import UsageError  # noqa: PLC0415
    from planlint.inspection import Wanted  # noqa: PLC0415
    from planlint.mend import mend  # noqa: PLC0415
    from planlint.reports import mended as report  # noqa: PLC0415
    from planlint.reports.troubles import render  # noqa: PLC0415

    if write and STANDARD_INPUT in plans:
        raise click.UsageError("standard input cannot be written to: name the file, or leave out --write")
    found = find(plans)
    rulebook = load_rulebook()
    rulebook.choose(only)
    if limits is not None:
        limit_sets.resolve(limits, rulebook.limit_folders)
    faults, shown = list(found.faults), False
    for plan in found.plans:
        try:
            before = read(plan)
            after = mend(before, rulebook, Wanted(today, limits, only, place=place))
            if after.record.mended and write:
                _write(plan, before, after.document)
        except PlanFaults as error:
            faults += error.faults
            continue
        except UsageError as error:
            faults.append(Fault(plan, 0, 0, str(error)))
            continue
        told = report.render(after.record, page(), written=write)
        if write:
            say(told)
            continue
        shown |= bool(after.record.mended)
        mark = _mark(before)
        say(report.diff(plan, mark + before.text, mark + after.document.text))
        click.echo(told, err=True, nl=False)
    click.echo(render(sorted(faults)), err=True, nl=False)
    return 2 if faults else SHOWN if shown else 0


def _write(plan: str, before: "Document", after: "Document") -> None:
    """Write a mended plan in place of the one that was read; PlanFaults where that is not to be done."""
    try:
        if _digest(Path(plan).read_bytes()) != before.digest:
            message, hint = "the plan was changed while it was looked at", "run it again; nothing was written"
            raise PlanFaults([Fault(plan, 0, 0, message, hint)])
        if not (Path(plan).stat().st_mode & 0o222 and os.access(plan, os.W_OK)):
            raise PermissionError(0, "it is read-only")
        put_in_place(plan, (_mark(before) + after.text).encode())
    except OSError as error:
        message = f"the plan cannot be written ({error.strerror or error})"
        hint = "make it and its folder writable, and try again; nothing was written"
        raise PlanFaults([Fault(plan, 0, 0, message, hint)]) from None


def _mark(document: "Document") -> str:
    """The byte-order mark that a file begins with, which is no part of its text; empty where there is none."""
    return _MARK if _digest((_MARK + document.text).encode()) == document.digest else ""


def _digest(raw: bytes) -> str:
    return f"sha256:{hashlib.sha256(raw).hexdigest()}"
