"""`planlint sheet`: one page of a plan to print and to work from."""

from datetime import date

import click

from planlint.cli.asked import Asked, read_day, refuse_clashes
from planlint.cli.output import say, write_whole
from planlint.errors import PlanFaults, PlanlintError


@click.command("sheet", short_help="Write one page to work from: pictures wall by wall, what is wrong, hold points.")
@click.argument("plan")
@click.option(
    "--output", required=True, metavar="FILE", help="The page to write, such as study.html; - is standard output."
)
@click.option("--limits", metavar="NAME", help="Judge by this limit set instead of those that the plan names.")
@click.option("--place", metavar="PLACE", help="Only what lies under this place or bears on it, such as study.west.")
@click.option("--today", callback=read_day, metavar="DATE", help="The day to judge by. [default: today]")
def command(*, plan: str, output: str, limits: str | None, place: str | None, today: date) -> None:
    """Write one page of PLAN for the desk, the phone and the wall: every room from above, every wall to scale as one
    faces it, with heights and distances, and beside each the list of what is wrong and what is not recorded; first of
    all what to take care of, and the hold points with boxes to tick.

    The page is one HTML file that needs nothing else, no network and no script. It prints on A4, true to scale.

    \b
    Examples:
      planlint sheet study.plan.yaml --output study.html
      planlint sheet study.plan.yaml --output west.html --place study.west

    Exit status: 0 when it is written, 2 trouble (such as a plan or a release record that cannot be read).
    """  # noqa: D205, D301 - click wraps the summary; \b is its mark for lines that are not to be wrapped
    # Imported here so that --help does not wait for the rules.
    from planlint.cli.main import version  # noqa: PLC0415
    from planlint.cli.plans import load_rulebook, read  # noqa: PLC0415
    from planlint.records import InspectionRecord  # noqa: PLC0415
    from planlint.reports import troubles  # noqa: PLC0415
    from planlint.reports.sheet import render  # noqa: PLC0415
    from planlint.schedules.sheet import sheet as sheet_of  # noqa: PLC0415

    file = None if output == "-" else output
    refuse_clashes((Asked("sheet", file),), (plan,))
    found = sheet_of(read(plan), load_rulebook(), today, version(), limits=limits, place=place)
    try:
        text = render(found)
    except ModuleNotFoundError as error:
        raise PlanlintError(
            f"a sheet cannot be written, since the package {error.name} is not installed; "
            f"`python -m pip install jinja2` installs what it needs"
        ) from None
    if file:
        write_whole(file, text)
    else:
        say(text)
    record = InspectionRecord(found.version, found.today, (found.plan,))
    if faults := troubles.troubles(record):
        raise PlanFaults(faults)
