"""The release record beside a plan: which hold points were released, and whether their facts still stand."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Any, Final

from planlint import source
from planlint.digest import digest
from planlint.errors import Fault, PlanFaults
from planlint.limits import Limits
from planlint.model.plan import Plan
from planlint.records import HoldPoint, Level, RuleCard
from planlint.rule import PASS, Fail, Outcome, Remedy, Rule
from planlint.schema import check

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

ENDINGS: Final = (".plan.yaml", ".yaml", ".yml")


@dataclass(frozen=True, slots=True)
class Entry:
    """One entry of a release record: a release, or the withdrawal of one."""

    withdrawn: bool
    hold_point: HoldPoint
    place: str
    day: date
    by: str
    rules: tuple[str, ...]
    digest: str


@dataclass(frozen=True, slots=True)
class ReleaseRecord:
    """The entries of a record, the oldest first."""

    file: str
    entries: tuple[Entry, ...]

    @property
    def in_force(self) -> tuple[Entry, ...]:
        """The newest release of each hold point and place that was not withdrawn since."""
        newest = {(entry.hold_point, entry.place): entry for entry in self.entries}
        return tuple(entry for entry in newest.values() if not entry.withdrawn)

    def release_of(self, hold_point: HoldPoint, place: str) -> Entry | None:
        """The release in force of a hold point at exactly this place."""
        found = (one for one in self.in_force if (one.hold_point, one.place) == (hold_point, place))
        return next(found, None)


def record_beside(plan: str) -> str:
    """The file name of the release record of a plan: `study.plan.yaml` has `study.releases.yaml`."""
    path = Path(plan)
    name = next((path.name.removesuffix(end) for end in ENDINGS if path.name.endswith(end)), path.name)
    return str(path.with_name(f"{name}.releases.yaml"))


def load(plan: str) -> ReleaseRecord:
    """The release record beside a plan; without entries where there is none.

    Raises PlanFaults where it is there and cannot be read as one.
    """
    file = record_beside(plan)
    if plan == "-" or not Path(file).exists():
        return ReleaseRecord(file, ())
    return parse(source.load(file), Path(plan).name)


def parse(document: source.Document, plan: str) -> ReleaseRecord:
    """The release record that a document holds; PlanFaults where it is damaged or belongs to another plan."""
    faults = [
        Fault(one.file, one.line, one.column, f"the release record is damaged: {one.message}", _HINT)
        for one in check(document, "release-1")
    ]
    if not faults and document.data["plan"] != plan:
        span = document.spans.value(("plan",))
        message = f"this release record is that of {document.data['plan']}, not of {plan}"
        hint = "a plan that is renamed takes its record along: correct the name in it, or move the record away"
        faults = [Fault(document.file, span.line, span.column, message, hint)]
    if faults:
        raise PlanFaults(faults)
    return ReleaseRecord(document.file, tuple(map(_entry, document.data["entries"])))


_HINT: Final = "put back the last whole copy of the file; planlint does not write to it as it is"


def _entry(data: Any) -> Entry:  # noqa: ANN401 - plain YAML data that has passed the schema
    return Entry(
        data["entry"] == "withdrawn",
        HoldPoint(data["hold_point"]),
        data["place"],
        date.fromisoformat(data["date"]),
        data["by"],
        tuple(data.get("rules", ())),
        data.get("digest", ""),
    )


def guarding(rules: Iterable[Rule], hold_point: HoldPoint) -> list[Rule]:
    """The rules that guard a hold point."""
    return [rule for rule in rules if rule.guards is hold_point]


def digest_of(plan: Plan, entry: Entry, limits: Limits, rules: Sequence[Rule]) -> str:
    """The digest of the facts of a release as they are now; limits that only newer rules read do not count."""
    read = {name for rule in rules if rule.id in entry.rules for name in rule.reads}
    return digest(plan, entry.place, entry.hold_point, limits, read)


def judge(plan: Plan, entry: Entry, limits: Limits, rules: Sequence[Rule]) -> Outcome:
    """Whether the facts of a release are still those that it was given for, and no rule has come since."""
    at = next((thing for thing in plan.things() if thing.place == entry.place), None)
    given = f"{entry.hold_point} of {entry.place} was released on {entry.day} by {entry.by}"
    if at is None:
        remedy = Remedy(f"withdraw the release of {entry.place}, or give the place its old name back")
        return Fail(f"{given}, and the plan has no such place any more", remedy=remedy, at=plan)
    if digest_of(plan, entry, limits, rules) != entry.digest:
        remedy = Remedy(
            "look at what was changed, inspect the place again, and release it anew or withdraw the release"
        )
        return Fail(f"{given}, and the facts or limits that it rests on have changed since", remedy=remedy, at=at)
    newer = [rule.id for rule in guarding(rules, entry.hold_point) if rule.id not in entry.rules]
    if newer:
        says = f"{given}, before these rules came: {', '.join(newer)}"
        return Fail(says, remedy=Remedy("inspect the place again, and release it anew"), at=at, level=Level.NOTE)
    return PASS
