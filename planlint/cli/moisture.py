"""`planlint moisture`: what condenses in the outside walls, whether it dries, and how they come out of it."""

from datetime import date

import click

from planlint.cli.asked import Asked, read_day, reading, refuse_clashes
from planlint.cli.output import page, say, write_whole

_FORMATS = ("text", "json")


@click.command("moisture", short_help="Work out the outside walls: layers, condensation, drying, mould.")
@click.argument("plan")
@click.option(
    "--report",
    "reports",
    multiple=True,
    callback=reading(_FORMATS),
    metavar="FORMAT[=FILE]",
    help="What to write: text or json; with =FILE into a file. May be given several times. [default: text]",
)
@click.option("--limits", metavar="NAME", help="Reckon with this limit set instead of those that the plan names.")
@click.option("--place", metavar="PLACE", help="Only walls that lie under this place or bear on it.")
@click.option("--today", callback=read_day, metavar="DATE", help="The day to judge readings by. [default: today]")
@click.option(
    "--show-working",
    is_flag=True,
    help="Print each sum step by step, and where its figures come from; json always has both.",
)
def command(  # noqa: PLR0913 - one argument an option, each passed by its name
    *,
    plan: str,
    reports: tuple[Asked, ...],
    limits: str | None,
    place: str | None,
    today: date,
    show_working: bool,
) -> None:
    """Work out every wall of PLAN that faces outside, lined as planned or as it stands: its layers, what condenses
    between them in winter and dries in summer, its timber, and the surface in the room.

    The sum (method of Glaser) does not count rain, rising damp, air leaks and salts; a wall that reads wet never
    comes out well.

    \b
    Examples:
      planlint moisture study.plan.yaml
      planlint moisture study.plan.yaml --place study.west --show-working

    Exit status: 0 when it is written, 2 trouble (such as a plan that cannot be read). What is wrong with a wall is
    for `planlint inspect` to say.
    """  # noqa: D205, D301 - click wraps the summary; \b is its mark for lines that are not to be wrapped
    # Imported here so that --help does not wait for the sums.
    from planlint.cli.main import version  # noqa: PLC0415
    from planlint.cli.plans import load_rulebook, read  # noqa: PLC0415
    from planlint.reports import moisture, moisture_json  # noqa: PLC0415
    from planlint.reports.page import Page  # noqa: PLC0415
    from planlint.schedules.moisture import moisture as schedule_of  # noqa: PLC0415

    refuse_clashes(reports, (plan,))
    schedule = schedule_of(read(plan), load_rulebook(), today, limits, place)
    for report in reports or (Asked("text", None),):
        on = Page() if report.file else page()
        if report.format == "text":
            text = moisture.render(schedule, on, show_working=show_working)
        else:
            text = moisture_json.render(schedule, version())
        if report.file:
            write_whole(report.file, text)
        else:
            say(text)
