"""`planlint release`: the recorded leave to pass a hold point, and how things stand before all of them."""

from datetime import date
from typing import TYPE_CHECKING

import click

from planlint.cli.asked import Asked, Reading, read_day, refuse_clashes
from planlint.cli.output import page, say, write_whole
from planlint.errors import PlanFaults
from planlint.records import HoldPoint

if TYPE_CHECKING:
    from planlint.release import Asked as ReleaseAsked

HELD = 1
"""Exit status where the hold point is not clear."""

_FORMATS = ("text", "json")


@click.command("release", short_help="Release a hold point, where everything that guards it is clear.")
@click.argument("plan")
@click.option(
    "--hold-point",
    type=click.Choice([point.value for point in HoldPoint]),
    metavar="NAME",
    help="The step that is to be passed: " + ", ".join(HoldPoint) + ".",
)
@click.option("--place", metavar="PLACE", help="Where it is to be passed, such as study.west; plan is all of it.")
@click.option("--by", metavar="NAME", help="Who releases or withdraws.")
@click.option("--today", callback=read_day, metavar="DATE", help="The day of the entry. [default: today]")
@click.option("--dry-run", is_flag=True, help="Say what would be recorded, and write nothing.")
@click.option("--withdraw", is_flag=True, help="Withdraw a release; the entries before it stay as they are.")
@click.option("--reason", metavar="TEXT", help="Why a release is withdrawn.")
@click.option(
    "--report",
    "reports",
    multiple=True,
    callback=Reading(_FORMATS),
    metavar="FORMAT[=FILE]",
    help="How to write the state of every hold point: text or json; with =FILE into a file. [default: text]",
)
def command(  # noqa: PLR0913 - one argument an option, each passed by its name
    *,
    plan: str,
    hold_point: str | None,
    place: str | None,
    by: str | None,
    today: date,
    dry_run: bool,
    withdraw: bool,
    reason: str | None,
    reports: tuple[Asked, ...],
) -> int:
    """Release a hold point of PLAN at a place, and record it beside the plan.

    It is released only where every check that guards the hold point there passes, does not apply, or is conceded.
    A release covers what lies under its place: that of a room covers its walls. The record, such as
    study.releases.yaml, only ever grows; `planlint inspect` says when facts under a release have changed since.

    Without --hold-point, --place and --by: say how things stand before every hold point of PLAN, and record nothing.

    \b
    Examples:
      planlint release study.plan.yaml
      planlint release study.plan.yaml --hold-point closing-in --place study.west --by "A. Mason"
      planlint release study.plan.yaml --hold-point closing-in --place study.west --by "A. Mason" \\
        --withdraw --reason "a leak showed after the rain"

    Exit status: 0 it is recorded or told, 1 hold, 2 trouble (such as a damaged record).
    """  # noqa: D301 - \b is click's mark for lines that are not to be wrapped
    # Imported here so that --help does not wait for the rules.
    from planlint.cli.plans import STANDARD_INPUT  # noqa: PLC0415

    if plan == STANDARD_INPUT:
        raise click.UsageError("a release is recorded beside a plan: name its file, not standard input")
    by, reason = _one_line(by), _one_line(reason)
    if hold_point is place is by is reason is None and not (dry_run or withdraw):
        return _overview(plan, today, reports)
    if reports:
        raise click.UsageError("--report tells of every hold point; leave it out where one is released")
    named = {"--hold-point": hold_point, "--place": place, "--by": by}
    if lacking := [option for option, value in named.items() if not value]:
        raise click.UsageError(f"a release names --hold-point, --place and --by; add {' and '.join(lacking)}")
    if withdraw != bool(reason):
        message = "--withdraw wants the reason: add --reason TEXT" if withdraw else "--reason goes with --withdraw"
        raise click.UsageError(message)
    return _release(plan, (hold_point or "", place or "", by or ""), today, reason, write=not dry_run)


def _one_line(text: str | None) -> str | None:
    """What was typed, on one line and without what would steer a terminal."""
    if text is None:
        return None
    try:
        text.encode()
    except UnicodeEncodeError:
        raise click.UsageError(f"{text!a} holds bytes that are no text, and a release record is UTF-8") from None
    return "".join(sign for sign in " ".join(text.split()) if sign.isprintable())


def _overview(plan: str, today: date, reports: tuple[Asked, ...]) -> int:
    from planlint.cli.main import version  # noqa: PLC0415 - see above
    from planlint.cli.plans import load_rulebook, read  # noqa: PLC0415
    from planlint.inspection import Wanted, inspect  # noqa: PLC0415
    from planlint.records import InspectionRecord  # noqa: PLC0415
    from planlint.reports import holds, troubles  # noqa: PLC0415
    from planlint.reports.page import Page  # noqa: PLC0415

    refuse_clashes(reports, (plan,))
    found = inspect(read(plan), load_rulebook(), Wanted(today, every_hold_point=True))
    record = InspectionRecord(version(), today.isoformat(), (found,))
    for report in reports or (Asked("text", None),):
        on = Page() if report.file else page()
        text = holds.as_json(record) if report.format == "json" else holds.render(record, on)
        if report.file:
            write_whole(report.file, text)
        else:
            say(text)
    if faults := troubles.troubles(record):
        raise PlanFaults(faults)
    return 0


def _release(plan: str, named: tuple[str, str, str], today: date, reason: str | None, *, write: bool) -> int:
    from planlint import release as releasing  # noqa: PLC0415 - see above

    hold_point, place, by = named
    asked = releasing.Asked(HoldPoint(hold_point), place, by, today)
    if not write:
        return _record(plan, asked, reason, write=False)
    with releasing.alone_with(plan):
        return _record(plan, asked, reason, write=True)


def _record(plan: str, asked: "ReleaseAsked", reason: str | None, *, write: bool) -> int:
    from planlint import release as releasing  # noqa: PLC0415 - see above
    from planlint.cli.main import version  # noqa: PLC0415
    from planlint.cli.plans import load_rulebook, read  # noqa: PLC0415
    from planlint.records import InspectionRecord  # noqa: PLC0415
    from planlint.reports import hold, text  # noqa: PLC0415

    entry: releasing.Fields | None
    if reason:
        entry = releasing.withdrawal(plan, asked, reason)
    else:
        record, entry = releasing.consider(read(plan), load_rulebook(), asked)
        if entry is None:
            narrowed = {"hold point": str(asked.hold_point), "place": asked.place}
            say(text.render(InspectionRecord(version(), asked.day.isoformat(), (record,), (), narrowed), page()))
            return HELD
    file = releasing.add(plan, entry) if write else None
    say(hold.recorded(entry, file, page()))
    return 0
