"""The release record beside a plan: which hold points were released, and whether their facts still stand."""

import os
from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path
from typing import Any, Final
from unicodedata import normalize

from planlint import source
from planlint.digest import Facts
from planlint.errors import Fault, PlanFaults
from planlint.model.thing import lies_under
from planlint.records import HoldPoint, Level, Release, RuleCard
from planlint.rule import PASS, Fail, Outcome, Remedy, Rule
from planlint.schema import check
from planlint.spans import line_starts

RELEASE_OVERTAKEN = RuleCard(
    id="release-overtaken",
    family="order",
    level=Level.WARNING,
    guards=None,
    judges=("plan",),
    summary="The facts under a release are those that it was given for.",
    why="a wall that was released and then changed on paper may be closed over something that nobody has looked at.",
    source="ISO 9000:2015, 3.12.7 (the term); own decision (the rest).",
    needs=(),
    reads=(),
    guards_life=False,
    caution="",
    package="planlint",
)

WHOLE: Final = "plan"
"""The place that is all of the plan."""

_ENDINGS: Final = (".plan.yaml", ".yaml", ".yml")
_HINT: Final = "put back the last whole copy of the file; planlint does not write to it as it is"


@dataclass(frozen=True, slots=True)
class Entry:
    """One entry of a release record: a release, or the withdrawal of one."""

    withdrawn: bool
    hold_point: HoldPoint
    place: str
    day: date
    by: str
    rules: tuple[str, ...] = ()
    limits: tuple[str, ...] = ()
    """The names of the limits that the rules read."""
    digest: str = ""

    def covers(self, place: str) -> bool:
        """Whether a place is the one that was released, or lies under it."""
        return self.place == WHOLE or lies_under(place, self.place)

    def release(self, *, overtaken: bool) -> Release:
        """The release as reports see it."""
        return Release(self.place, self.day.isoformat(), self.by, overtaken)


@dataclass(frozen=True, slots=True)
class ReleaseRecord:
    """The entries of a record, the oldest first."""

    file: str
    entries: tuple[Entry, ...]

    @property
    def in_force(self) -> tuple[Entry, ...]:
        """The newest release of each hold point and place that was not withdrawn since, the oldest first."""
        newest: dict[tuple[HoldPoint, str], Entry] = {}
        for entry in self.entries:
            newest.pop((entry.hold_point, entry.place), None)
            newest[entry.hold_point, entry.place] = entry
        return tuple(entry for entry in newest.values() if not entry.withdrawn)


def plan_file(plan: str) -> Path:
    """The file of a plan itself, where it was named by a link to it: one plan has one record."""
    return Path(os.path.realpath(plan)) if Path(plan).is_symlink() else Path(plan)


def record_beside(plan: str) -> str:
    """The file name of the release record of a plan: `study.plan.yaml` has `study.releases.yaml`."""
    path = plan_file(plan)
    name = next((path.name.removesuffix(end) for end in _ENDINGS if path.name.endswith(end)), path.name)
    return str(path.with_name(f"{name}.releases.yaml"))


def load(plan: str) -> ReleaseRecord:
    """The release record beside a plan; without entries where there is none, as for standard input.

    Raises PlanFaults where it is there and cannot be read as one.
    """
    file = record_beside(plan)
    if plan == "-" or not Path(file).exists():
        return ReleaseRecord(file, ())
    try:
        document = source.load(file)
    except PlanFaults as error:
        raise PlanFaults([_damage(replace(fault, hint="")) for fault in error.faults]) from None
    try:
        return parse(document, plan_file(plan).name)
    except PlanFaults as error:
        raise PlanFaults([_damage(fault) for fault in error.faults]) from None


def parse(document: source.Document, plan: str) -> ReleaseRecord:
    """The release record that a document holds; PlanFaults where it is damaged, or that of another plan."""
    faults = [replace(fault, hint="") for fault in check(document, "release-1")]  # no one writes a record by hand
    if not faults and not document.text.endswith(("\n", "\r")):
        starts = line_starts(document.text)
        message = "the last line does not end: the rest of it may be cut off"
        faults = [Fault(document.file, len(starts), len(document.text) - starts[-1] + 1, message)]
    if not faults and normalize("NFC", document.data["plan"]) != normalize("NFC", plan):
        span = document.spans.value(("plan",))
        message = f"it is the record of {document.data['plan']}, not of {plan}"
        hint = "where the plan was renamed, correct the name in its record; else move the record away"
        faults = [Fault(document.file, span.line, span.column, message, hint)]
    if faults:
        raise PlanFaults(faults)
    return ReleaseRecord(document.file, tuple(map(_entry, document.data["entries"])))


def _damage(fault: Fault) -> Fault:
    return replace(fault, message=f"this release record cannot be used: {fault.message}", hint=fault.hint or _HINT)


def _entry(data: Any) -> Entry:  # noqa: ANN401 - plain YAML data that has passed the schema
    return Entry(
        withdrawn=data["entry"] == "withdrawn",
        hold_point=HoldPoint(data["hold_point"]),
        place=data["place"],
        day=date.fromisoformat(data["date"]),
        by=data["by"],
        rules=tuple(data.get("rules", ())),
        limits=tuple(data.get("limits", ())),
        digest=data.get("digest", ""),
    )


def guarding(rules: Iterable[Rule], hold_point: HoldPoint) -> list[Rule]:
    """The rules that guard a hold point."""
    return [rule for rule in rules if rule.guards is hold_point]


def judge(facts: Facts, entry: Entry, rules: Iterable[Rule]) -> Outcome:
    """Whether the facts of a release are still those that it was given for, and no rule has come since."""
    at = facts.places.named.get(entry.place)
    given = f"{entry.hold_point} of {spoken(entry.place)} was released on {entry.day} by {entry.by}"
    if at is None:
        remedy = Remedy(f"withdraw the release of {entry.place}, or give the place its old name back")
        return Fail(f"{given}, and the plan has no such place any more", remedy=remedy, at=facts.plan)
    if facts.digest(entry.place, entry.hold_point, entry.limits) != entry.digest:
        says = f"{given}, and the facts or limits that it rests on have changed since"
        remedy = Remedy(
            "look at what was changed and inspect the place again; then release it anew, or withdraw the release"
        )
        return Fail(says, remedy=remedy, at=at)
    newer = sorted(rule.id for rule in guarding(rules, entry.hold_point) if rule.id not in entry.rules)
    if newer:
        says = f"{given}, before these rules came: {', '.join(newer)}"
        return Fail(says, remedy=Remedy("inspect the place again, and release it anew"), at=at, level=Level.NOTE)
    return PASS


def standing(facts: Facts, entries: Iterable[Entry]) -> list[tuple[HoldPoint, Release]]:
    """The releases of a record, and which of them facts have overtaken."""
    found = ((entry, judge(facts, entry, ())) for entry in entries)
    return [(entry.hold_point, entry.release(overtaken=isinstance(outcome, Fail))) for entry, outcome in found]


def spoken(place: str) -> str:
    """A place as one says it."""
    return "all of the plan" if place == WHOLE else place
