"""`planlint points`: where every point is marked on its wall and its boards, and where every cable lies."""

import click

from planlint.cli.asked import Asked, Render, deliver, limits_option, refuse_clashes, report_option

_FORMATS = ("text", "csv", "json")


@click.command("points", short_help="Mark every point: from both ends, up from the floor as it is; where cables lie.")
@click.argument("plan")
@report_option(_FORMATS)
@limits_option
@click.option("--place", metavar="PLACE", help="Only points and cables that lie under this place or bear on it.")
@click.option(
    "--on-pieces",
    is_flag=True,
    help="Also the holes in each piece of board that the plan records, from its left and its lower edge.",
)
@click.option("--show-working", is_flag=True, help="Print how each mark comes about; json always has it.")
def command(  # noqa: PLR0913 - one argument an option, each passed by its name
    *,
    plan: str,
    reports: tuple[Asked, ...],
    limits: str | None,
    place: str | None,
    on_pieces: bool,
    show_working: bool,
) -> None:
    """List the points of PLAN wall by wall as they are marked: the centre of every hole from both ends of the bare
    wall, above the floor as it is now and above the finished one, with box, hole saw, circuit, backing and vapour
    layer. Then where every cable lies, as drawn or as worked out.

    \b
    Examples:
      planlint points study.plan.yaml --place study.west
      planlint points study.plan.yaml --on-pieces --report csv=holes.csv

    Exit status: 0 when it is written, 2 trouble (such as a plan that cannot be read). What is wrong with a point is
    for `planlint inspect` to say.
    """  # noqa: D205, D301 - click wraps the summary; \b is its mark for lines that are not to be wrapped
    # Imported here so that --help does not wait for the sums.
    from planlint.cli.main import version  # noqa: PLC0415
    from planlint.cli.plans import load_rulebook, read  # noqa: PLC0415
    from planlint.reports import points, points_csv, points_json  # noqa: PLC0415
    from planlint.schedules.points import points as schedule_of  # noqa: PLC0415

    refuse_clashes(reports, (plan,))
    schedule = schedule_of(read(plan), load_rulebook(), limits, place, on_pieces=on_pieces)
    renders: dict[str, Render] = {
        "text": lambda on: points.render(schedule, on, show_working=show_working),
        "csv": lambda _: points_csv.render(schedule),
        "json": lambda _: points_json.render(schedule, version()),
    }
    deliver(reports, renders)
