"""`planlint takeoff`: what hangs where, the cut list, and all that goes with it."""

import sys

import click

from planlint.cli.asked import Asked, Render, deliver, limits_option, refuse_clashes, report_option

_FORMATS = ("text", "json", "csv")


@click.command("takeoff", short_help="Work out boards and cut list, beads, battens, sealant, screws, cable and boxes.")
@click.argument("plan")
@report_option(_FORMATS)
@limits_option
@click.option("--place", metavar="PLACE", help="Only what lies under this place or bears on it.")
@click.option(
    "--seconds",
    type=click.FloatRange(min=0, min_open=True),
    default=10.0,
    show_default=True,
    help="How long to look for a better cut list, for each kind of sheet and bar.",
)
def command(*, plan: str, reports: tuple[Asked, ...], limits: str | None, place: str | None, seconds: float) -> None:
    """Take off PLAN: which piece of board hangs where and is cut from which sheet, how many sheets to buy, and the
    beads, battens, sealant, screws, filler, cable, conduit and boxes that go with them.

    Walls without pieces of their own get a layout that keeps the rules; where none does, it says which it breaks.
    What the plan does not record is listed, and never counted as nothing.

    \b
    Examples:
      planlint takeoff study.plan.yaml
      planlint takeoff study.plan.yaml --place study.west --report csv=west.csv

    Exit status: 0 when it is written, 2 trouble (such as a plan that cannot be read).
    """  # noqa: D205, D301 - click wraps the summary; \b is its mark for lines that are not to be wrapped
    # Imported here so that --help does not wait for the sums.
    from planlint.cli.main import version  # noqa: PLC0415
    from planlint.cli.plans import load_rulebook, read  # noqa: PLC0415
    from planlint.reports import takeoff, takeoff_csv, takeoff_json  # noqa: PLC0415
    from planlint.takeoff.takeoff import take_off  # noqa: PLC0415

    refuse_clashes(reports, (plan,))
    shown = _Shown(sys.stderr.isatty())
    found = take_off(read(plan), load_rulebook(), limits=limits, place=place, seconds=seconds, progress=shown.tell)
    shown.clear()
    renders: dict[str, Render] = {
        "text": lambda on: takeoff.render(found, on),
        "json": lambda _: takeoff_json.render(found, version()),
        "csv": lambda _: takeoff_csv.render(found),
    }
    deliver(reports, renders)


class _Shown:
    """Progress on standard error, one line that is written over, on a terminal alone."""

    def __init__(self, is_terminal: bool) -> None:  # noqa: FBT001 - it is all that it is made of
        self.is_terminal = is_terminal
        self.width = 0

    def tell(self, board: str, best: int, bound: int) -> None:
        """Show the best cut list so far."""
        if self.is_terminal:
            proved = "the fewest possible" if best <= bound else f"{bound} at least"
            line = f"cutting {board}: {best} ({proved})"
            click.echo(f"\r{line.ljust(self.width)}", err=True, nl=False)
            self.width = len(line)

    def clear(self) -> None:
        """Take the line away."""
        if self.width:
            click.echo(f"\r{' ' * self.width}\r", err=True, nl=False)
