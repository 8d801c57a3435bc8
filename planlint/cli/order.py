"""`planlint order`: the tasks of a plan in order, with days, waits, hold points, and what is late."""

from datetime import date
from functools import partial
from typing import TYPE_CHECKING

import click

from planlint.cli.asked import Asked, deliver, read_day, refuse_clashes, report_option
from planlint.errors import PlanFaults, PlanlintError

if TYPE_CHECKING:
    from planlint.order_records import OrderOfWork
    from planlint.reports.page import Page

_FORMATS = ("text", "json", "icalendar")


@click.command("order", short_help="Put the tasks of a plan in order, with days, waits and hold points.")
@click.argument("plan")
@report_option(_FORMATS, "text, json, or icalendar for the calendar of a phone")
@click.option("--next", "only_next", is_flag=True, help="Only what can be begun today, and what is still drying.")
@click.option("--place", metavar="PLACE", help="Only tasks that bear on this place, such as study.west.")
@click.option("--today", callback=read_day, metavar="DATE", help="The day from which to count. [default: today]")
def command(*, plan: str, reports: tuple[Asked, ...], only_next: bool, place: str | None, today: date) -> None:
    """Put the tasks of PLAN in order: when each can begin at the earliest, what it waits for, what can be done
    meanwhile, the hold points between them, and what is late.

    Days are those of the calendar, and each counts 24 hours: waits pass day and night, and `takes: 1 d` is one day.
    What is released, the record beside the plan says. A task is late where one that comes after it is done, or where
    it could have been done a day ago and more and the end of the work hangs on it.

    \b
    Examples:
      planlint order study.plan.yaml
      planlint order study.plan.yaml --next
      planlint order study.plan.yaml --report icalendar=study.ics

    Exit status: 0 when it is written, 2 trouble (such as a plan or a release record that cannot be read). What is
    wrong with the order is for `planlint inspect` to say.
    """  # noqa: D205, D301 - click wraps the summary; \b is its mark for lines that are not to be wrapped
    # Imported here so that --help does not wait for the sums.
    from planlint import releases  # noqa: PLC0415
    from planlint.cli.plans import load_rulebook, read  # noqa: PLC0415
    from planlint.schedules.order import order as order_of  # noqa: PLC0415
    from planlint.schedules.released import OnRecord  # noqa: PLC0415

    refuse_clashes(reports, (plan,))
    document, damage = read(plan), None
    try:
        entries = releases.load(plan).in_force
    except PlanFaults as error:
        entries, damage = (), error  # a record that cannot be used keeps nobody from the order of work
    on_record = OnRecord(entries, load_rulebook()) if entries else None
    order = order_of(document, today, place, only_next=only_next, on_record=on_record)
    deliver(reports, {form: partial(_render, form, order) for form in _FORMATS})
    if damage:
        raise damage


def _render(form: str, order: "OrderOfWork", on: "Page") -> str:
    # Each report is imported where it is asked for: the calendar alone wants a package more.
    from planlint.cli.main import version  # noqa: PLC0415

    if form == "text":
        from planlint.reports.order import render as as_text  # noqa: PLC0415

        return as_text(order, on)
    if form == "json":
        from planlint.reports.order_json import render as as_json  # noqa: PLC0415

        return as_json(order, version())
    try:
        from planlint.reports.order_calendar import render as as_calendar  # noqa: PLC0415
    except ModuleNotFoundError as error:
        raise PlanlintError(
            f"a calendar cannot be written, since the package {error.name} is not installed; "
            f"`python -m pip install icalendar` installs what it needs"
        ) from None
    return as_calendar(order, version())
