"""`planlint inspect`: the main job."""

from datetime import date
from importlib import import_module

import click

from planlint.cli.asked import Asked, Reading, read_day, refuse_clashes
from planlint.cli.output import page, say, write_whole
from planlint.errors import Fault, PlanFaults
from planlint.records import Finding, HoldPoint, InspectionRecord, Level, Verdict
from planlint.reports.page import Page

_FORMATS = ("text", "lines", "json", "sarif", "junit", "markdown")
_OF_EVERY_CHECK = {"junit", "markdown"}
"""The reports that also tell of checks that found nothing."""


@click.command("inspect", short_help="Say what is wrong with plans, and what is not recorded.")
@click.argument("plans", nargs=-1, required=True, metavar="PLAN...")
@click.option(
    "--report",
    "reports",
    multiple=True,
    callback=Reading(_FORMATS),
    metavar="FORMAT[=FILE]",
    help="What to write: text, lines (file:line:column: level: message), json, sarif (for review tools), junit (for "
    "what reads test results) or markdown (for a comment); with =FILE into a file. May be given several times. "
    "[default: text]",
)
@click.option("--limits", metavar="NAME", help="Judge by this limit set instead of those that the plan names.")
@click.option("--only", multiple=True, metavar="RULE-OR-FAMILY", help="Put only these rules to the plan.")
@click.option(
    "--hold-point",
    type=click.Choice([point.value for point in HoldPoint]),
    metavar="NAME",
    help="Only what must be right before this step buries it: " + ", ".join(HoldPoint) + ".",
)
@click.option("--place", metavar="PLACE", help="Only what lies under this place or bears on it, such as study.west.")
@click.option(
    "--stop-at",
    type=click.Choice(["error", "warning", "open"]),
    default="warning",
    show_default=True,
    help="The least that gives exit status 1; open adds what is not recorded or waits for a person.",
)
@click.option("--today", callback=read_day, metavar="DATE", help="The day to judge dates by. [default: today]")
@click.option("--list-missing", is_flag=True, help="List the keys to add instead of the findings.")
@click.option("--list-passed", is_flag=True, help="Carry the checks that passed as well (sarif).")
def command(  # noqa: PLR0913 - one argument an option, each passed by its name
    *,
    plans: tuple[str, ...],
    reports: tuple[Asked, ...],
    limits: str | None,
    only: tuple[str, ...],
    hold_point: str | None,
    place: str | None,
    stop_at: str,
    today: date,
    list_missing: bool,
    list_passed: bool,
) -> int:
    """Say what is wrong with each PLAN, by how much and what to do, and what is not recorded.

    A PLAN is a file; a folder means every *.plan.yaml in it, and - standard input.

    \b
    Examples:
      planlint inspect study.plan.yaml
      planlint inspect plans/ --hold-point closing-in --report json=findings.json
      planlint inspect plans/ --report text --report sarif=planlint.sarif

    Exit status: 0 nothing to stop for, 1 findings, 2 trouble (such as a plan that cannot be read).
    """  # noqa: D301 - \b is click's mark for lines that are not to be wrapped
    # Imported here so that --help does not wait for the rules.
    from planlint import limits as limit_sets  # noqa: PLC0415
    from planlint.cli.main import version  # noqa: PLC0415
    from planlint.cli.plans import find, inspect_all, load_rulebook  # noqa: PLC0415
    from planlint.inspection import Wanted, cards_put  # noqa: PLC0415
    from planlint.reports.troubles import render, troubles  # noqa: PLC0415

    if not reports and not list_missing:
        reports = (Asked("text", None),)
    formats = {report.format for report in reports}
    if list_passed and "sarif" not in formats:
        raise click.UsageError("--list-passed is for the report sarif; add --report sarif, or sarif=FILE")
    found = find(plans)
    refuse_clashes(reports, found.plans, ["--list-missing"] * list_missing)
    rulebook = load_rulebook()
    rulebook.choose(only)
    if limits is not None:
        limit_sets.resolve(limits, rulebook.limit_folders)
    every_check = list_passed or bool(formats & _OF_EVERY_CHECK)
    step = HoldPoint(hold_point) if hold_point else None
    tried_edits = "sarif" in formats  # the one report that can hold an edit for whoever reads it to make
    wanted = Wanted(today, limits, only, step, place, tried_edits=tried_edits, every_check=every_check)
    plan_records, faults = inspect_all(found.plans, wanted, rulebook)
    faults = sorted((*found.faults, *faults))
    cards = cards_put(rulebook, wanted)
    record = InspectionRecord(version(), today.isoformat(), tuple(plan_records), tuple(faults), wanted.narrowed, cards)
    unwritten = _write(reports, record, list_missing=list_missing, list_passed=list_passed)
    trouble = [*troubles(record), *unwritten]
    click.echo(render(trouble), err=True, nl=False)
    return 2 if trouble else int(any(stops(finding, stop_at) for plan in record.plans for finding in plan.findings))


def stops(finding: Finding, stop_at: str) -> bool:
    """Whether a finding stops the run at this threshold."""
    if finding.conceded:
        return False
    if finding.outcome is not Verdict.FAIL:
        return stop_at == "open"
    return finding.level is Level.ERROR or (finding.level is Level.WARNING and stop_at != "error")


def _write(
    reports: tuple[Asked, ...], record: InspectionRecord, *, list_missing: bool, list_passed: bool
) -> list[Fault]:
    """Write every report; what could not be written."""
    unwritten: list[Fault] = []
    for report in reports:
        shown = report.file is None
        text = _render(report.format, record, page() if shown else Page(), passed=list_passed)
        if report.file is None:
            say(text)
            continue
        try:
            write_whole(report.file, text)
        except PlanFaults as error:
            unwritten += error.faults
    if list_missing:
        from planlint.cli.words import plan_format  # noqa: PLC0415 - only this report needs the words of the format
        from planlint.reports.missing import render  # noqa: PLC0415

        say(render(record, page(), plan_format()))
    return unwritten


def _render(wanted: str, record: InspectionRecord, page: Page, *, passed: bool) -> str:
    if wanted == "text":
        from planlint.reports.text import render  # noqa: PLC0415 - each report is imported where it is asked for

        return render(record, page)
    if wanted == "sarif":
        from planlint.reports.sarif import render as as_sarif  # noqa: PLC0415

        return as_sarif(record, passed=passed)
    name = "json_report" if wanted == "json" else wanted
    said: str = import_module(f"planlint.reports.{name}").render(record)
    return said
