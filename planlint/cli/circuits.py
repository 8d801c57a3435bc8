"""`planlint circuits`: the sums of every circuit, and what is left on it."""

import click

from planlint.cli.asked import Asked, Render, deliver, limits_option, refuse_clashes, report_option

_FORMATS = ("text", "json")


@click.command("circuits", short_help="Work out every circuit: what it may carry and lose, and what is left on it.")
@click.argument("plan")
@report_option(_FORMATS)
@limits_option
@click.option("--place", metavar="PLACE", help="Only circuits that lie under this place or bear on it.")
@click.option(
    "--show-working",
    is_flag=True,
    help="Print each sum step by step, and where its figures come from; json always has both.",
)
def command(
    *, plan: str, reports: tuple[Asked, ...], limits: str | None, place: str | None, show_working: bool
) -> None:
    """Work out every circuit of PLAN: what its cable may carry as it lies, the voltage lost at the worst point, the
    loop that a fault meets, and what is left on it: outlets, metres of cable, amperes.

    \b
    Examples:
      planlint circuits study.plan.yaml
      planlint circuits study.plan.yaml --place study.west --show-working

    Exit status: 0 when it is written, 2 trouble (such as a plan that cannot be read). What is wrong with a circuit
    is for `planlint inspect` to say.
    """  # noqa: D205, D301 - click wraps the summary; \b is its mark for lines that are not to be wrapped
    # Imported here so that --help does not wait for the sums.
    from planlint.cli.main import version  # noqa: PLC0415
    from planlint.cli.plans import load_rulebook, read  # noqa: PLC0415
    from planlint.reports import circuits, circuits_json  # noqa: PLC0415
    from planlint.schedules.circuits import circuits as schedule_of  # noqa: PLC0415

    refuse_clashes(reports, (plan,))
    schedule = schedule_of(read(plan), load_rulebook(), limits, place)
    renders: dict[str, Render] = {
        "text": lambda on: circuits.render(schedule, on, show_working=show_working),
        "json": lambda _: circuits_json.render(schedule, version()),
    }
    deliver(reports, renders)
