"""`planlint moisture`: what condenses in the outside walls, whether it dries, and how they come out of it."""

from datetime import date

import click

from planlint.cli.asked import Asked, Render, deliver, limits_option, read_day, refuse_clashes, report_option

_FORMATS = ("text", "json")


@click.command("moisture", short_help="Work out the outside walls: layers, condensation, drying, mould.")
@click.argument("plan")
@report_option(_FORMATS)
@limits_option
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
    from planlint.schedules.moisture import moisture as schedule_of  # noqa: PLC0415

    refuse_clashes(reports, (plan,))
    schedule = schedule_of(read(plan), load_rulebook(), today, limits, place)
    renders: dict[str, Render] = {
        "text": lambda on: moisture.render(schedule, on, show_working=show_working),
        "json": lambda _: moisture_json.render(schedule, version()),
    }
    deliver(reports, renders)
