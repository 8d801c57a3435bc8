"""`planlint behind`: what lies behind a spot, and how near, for whoever wants to drill there."""

from typing import TYPE_CHECKING

import click

from planlint.cli.asked import Asked, Render, deliver, limits_option, refuse_clashes, report_option
from planlint.errors import QuantityError

if TYPE_CHECKING:
    from planlint.units import Length

_FORMATS = ("text", "json")


def _checked(context: click.Context, parameter: click.Parameter, value: str | None) -> "Length | None":
    """A length as a plan writes one."""
    return None if value is None else _length(value, context, parameter)


def _length(value: str, context: click.Context, parameter: click.Parameter) -> "Length":
    # Imported here so that --help does not wait for the units.
    from planlint.grammar import parse  # noqa: PLC0415
    from planlint.units import Length  # noqa: PLC0415

    try:
        return parse(value, Length)
    except QuantityError as error:
        raise click.BadParameter(f"{error.message}; {error.hint}", context, parameter) from None


def _from(
    context: click.Context, parameter: click.Parameter, value: tuple[tuple[str, str], ...]
) -> "tuple[tuple[str, Length], ...]":
    return tuple((wall, _length(distance, context, parameter)) for wall, distance in value)


@click.command("behind", short_help="Say what lies behind a spot of a wall, and how near, before you drill.")
@click.argument("plan")
@click.argument("place")
@click.option(
    "--at", callback=_checked, metavar="X", help="From the left end of the wall, facing it, such as '1.20 m'."
)
@click.option("--height", callback=_checked, metavar="Z", help="Above the floor that the room's heights are from.")
@click.option(
    "--from",
    "from_walls",
    nargs=2,
    multiple=True,
    callback=_from,
    metavar="WALL X",
    help="On a ceiling, in place of these: how far the spot is from a wall; given for two walls.",
)
@click.option("--within", callback=_checked, metavar="R", help="How far around the spot to look. [default: 0.3 m]")
@report_option(_FORMATS)
@limits_option
def command(  # noqa: PLR0913 - one argument an option, each passed by its name
    *,
    plan: str,
    place: str,
    at: "Length | None",
    height: "Length | None",
    from_walls: "tuple[tuple[str, Length], ...]",
    within: "Length | None",
    reports: tuple[Asked, ...],
    limits: str | None,
) -> None:
    """Say what PLAN records behind a spot of PLACE, a wall, ceiling or slope, and how near: cables, boxes, battens,
    pipes, chases and openings, the layers into the wall, and what the plan does not say. Cables whose way is not drawn
    are shown where they would probably lie, and how far that may be out.

    It never says that nothing is there: go over the spot with a detector, and switch off what may be near.

    \b
    Examples:
      planlint behind study.plan.yaml study.west --at '0.40 m' --height '1.10 m'
      planlint behind study.plan.yaml study.ceiling --from west '1.20 m' --from north '0.90 m'

    Exit status: 0 when it is written, 2 trouble (such as a spot that is not on the wall).
    """  # noqa: D205, D301 - click wraps the summary; \b is its mark for lines that are not to be wrapped
    # Imported here so that --help does not wait for the sums.
    from planlint.cli.main import version  # noqa: PLC0415
    from planlint.cli.plans import load_rulebook, read  # noqa: PLC0415
    from planlint.reports import behind, behind_json  # noqa: PLC0415
    from planlint.schedules.behind import Asked as AskedSpot  # noqa: PLC0415
    from planlint.schedules.behind import behind as answer  # noqa: PLC0415
    from planlint.sums.near import NEAR  # noqa: PLC0415

    refuse_clashes(reports, (plan,))
    spot = AskedSpot(place, at, height, from_walls, within or NEAR)
    found = answer(read(plan), load_rulebook(), spot, limits)
    renders: dict[str, Render] = {
        "text": lambda on: behind.render(found, on),
        "json": lambda _: behind_json.render(found, version()),
    }
    deliver(reports, renders)
