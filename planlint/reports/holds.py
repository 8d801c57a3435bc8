"""How things stand before every hold point of a plan: for people, and for programs by `schemas/hold-points-1.json`."""

import json
from collections.abc import Callable, Iterator
from dataclasses import asdict
from itertools import groupby

from planlint.records import HoldState, InspectionRecord, Passing, PlanRecord
from planlint.reports.hold import spoken
from planlint.reports.page import Page, Tone
from planlint.reports.summary import standing
from planlint.reports.troubles import troubles
from planlint.reports.wording import standing_before

_LEFT = 14
"""Where what is said of a hold point begins."""


def render(record: InspectionRecord, page: Page) -> str:
    """Place by place in the order of the walk, a line for each hold point that something guards there."""
    parts = [part for plan in record.plans for part in _plan(plan, page)]
    return "\n\n".join((*parts, standing(record, page))) + "\n"


def _plan(plan: PlanRecord, page: Page) -> Iterator[str]:
    yield page.tone(page.paragraph(plan.title), Tone.HEADING) + "\n" + page.paragraph(plan.plan)
    for place, states in groupby(sorted(plan.holds, key=_walk_of(plan)), key=lambda hold: hold.place):
        heading = page.tone(page.paragraph(spoken(place).replace(".", ", ")), Tone.HEADING)
        yield "\n".join((heading, *(_line(hold, page) for hold in states)))
    if not plan.holds:
        yield page.paragraph("No rule guards a hold point in this plan: no room is described, or no wall to be lined.")
        return
    yield page.paragraph(
        "What stands in the way of one, and what to do first: "
        "`planlint inspect PLAN --hold-point closing-in --place study.west`, with the names of yours."
    )


def _walk_of(plan: PlanRecord) -> Callable[[HoldState], int]:
    walk = {place: number for number, place in enumerate(dict.fromkeys(hold.place for hold in plan.holds))}
    return lambda hold: walk[hold.place]


def _line(hold: HoldState, page: Page) -> str:
    first = f"  {hold.hold_point}: ".ljust(_LEFT)
    line = page.paragraph(f"{standing_before(hold)}.", _LEFT, first)
    return page.tone(line, Tone.GRAVE, "Hold") if hold.state is Passing.HOLD else line


def as_json(record: InspectionRecord) -> str:
    """The same as JSON; the same plan, record and day give the same text."""
    (plan,) = record.plans
    report = {
        "hold_points": 1,
        "tool": {"name": "planlint", "version": record.version},
        "plan": plan.plan,
        "title": plan.title,
        "digest": plan.digest,
        "limits": list(plan.limits),
        "today": record.today,
        "states": [state(hold) for hold in plan.holds],
        "faults": [asdict(fault) for fault in troubles(record)],
    }
    return json.dumps(report, ensure_ascii=False, indent=2) + "\n"


def state(hold: HoldState) -> dict[str, object]:
    """How things stand before one hold point, as programs read it."""
    return {
        "hold_point": hold.hold_point,
        "place": hold.place,
        "state": hold.state,
        "tally": dict(hold.tally),
        "rules": list(hold.rules),
        "release": asdict(hold.release) if hold.release else None,
    }
