"""`planlint release`: the recorded leave to pass a hold point."""

from datetime import date
from typing import TYPE_CHECKING

import click

from planlint.cli.asked import read_day
from planlint.cli.output import page, say
from planlint.records import HoldPoint

if TYPE_CHECKING:
    from planlint.release import Release

HELD = 1
"""Exit status where the hold point is not clear."""


@click.command("release", short_help="Release a hold point, where everything that guards it is clear.")
@click.argument("plan")
@click.option(
    "--hold-point",
    required=True,
    type=click.Choice([point.value for point in HoldPoint]),
    metavar="NAME",
    help="The step that is to be passed: " + ", ".join(HoldPoint) + ".",
)
@click.option("--place", required=True, metavar="PLACE", help="Where it is to be passed, such as study.west.")
@click.option("--by", required=True, metavar="NAME", help="Who releases or withdraws.")
@click.option("--today", callback=read_day, metavar="DATE", help="The day of the entry. [default: today]")
@click.option("--dry-run", is_flag=True, help="Say what would be recorded, and write nothing.")
@click.option("--withdraw", is_flag=True, help="Withdraw a release; the entries before it stay as they are.")
@click.option("--reason", metavar="TEXT", help="Why a release is withdrawn.")
def command(  # noqa: PLR0913 - one argument an option, each passed by its name
    *,
    plan: str,
    hold_point: str,
    place: str,
    by: str,
    today: date,
    dry_run: bool,
    withdraw: bool,
    reason: str | None,
) -> int:
    """Release a hold point of PLAN at a place, and record it beside the plan.

    It is released only where every check that guards the hold point there passes, does not apply, or is conceded.
    The record, such as study.releases.yaml, only ever grows; `planlint inspect` says when facts under a release
    have changed since.

    \b
    Examples:
      planlint release study.plan.yaml --hold-point closing-in --place study.west --by "A. Mason"
      planlint release study.plan.yaml --hold-point closing-in --place study.west --by "A. Mason" \\
        --withdraw --reason "a leak showed after the rain"

    Exit status: 0 it is recorded, 1 hold, 2 trouble (such as a damaged record).
    """  # noqa: D301 - \b is click's mark for lines that are not to be wrapped
    # Imported here so that --help does not wait for the rules.
    from planlint import release as releasing  # noqa: PLC0415
    from planlint.cli.plans import STANDARD_INPUT  # noqa: PLC0415

    if plan == STANDARD_INPUT:
        raise click.UsageError("a release is recorded beside a plan: name its file, not standard input")
    if withdraw != bool(reason and reason.strip()):
        message = "--withdraw wants the reason: add --reason TEXT" if withdraw else "--reason goes with --withdraw"
        raise click.UsageError(message)
    if not by.strip():
        raise click.UsageError("--by wants the name of whoever releases")
    wanted = releasing.Release(HoldPoint(hold_point), place, by.strip(), today)
    if dry_run:
        return _record(plan, wanted, reason, write=False)
    with releasing.alone_with(plan):
        return _record(plan, wanted, reason, write=True)


def _record(plan: str, wanted: "Release", reason: str | None, *, write: bool) -> int:
    from planlint import release as releasing  # noqa: PLC0415 - see above
    from planlint.cli.main import version  # noqa: PLC0415
    from planlint.cli.plans import load_rulebook, read  # noqa: PLC0415
    from planlint.records import InspectionRecord  # noqa: PLC0415
    from planlint.reports import hold, text  # noqa: PLC0415

    if reason:
        entry = releasing.withdrawal(plan, wanted, reason.strip())
    else:
        record, found = releasing.consider(read(plan), load_rulebook(), wanted)
        if found is None:
            asked = {"hold point": str(wanted.hold_point), "place": wanted.place}
            say(text.render(InspectionRecord(version(), wanted.day.isoformat(), (record,), (), asked), page()))
            return HELD
        entry = found
    file = releasing.add(plan, entry) if write else None
    say(hold.recorded(entry, file, page()))
    return 0
