"""What an inspection found, as plain frozen data: the only thing that reports see.

Everything here can be pickled (plans are inspected by several processes) and holds no functions.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum

from planlint.errors import Fault
from planlint.spans import Path


class Level(StrEnum):
    """How grave a fail is."""

    ERROR = "error"
    WARNING = "warning"
    NOTE = "note"


class HoldPoint(StrEnum):
    """A step that buries what is under it."""

    CLOSING_IN = "closing-in"
    FILLING = "filling"
    TILING = "tiling"
    FLOORING = "flooring"
    PAINTING = "painting"
    ENERGISING = "energising"


class Verdict(StrEnum):
    """The kind of a check's outcome; `CONCEDED` and `CRASHED` are what the engine makes of one."""

    PASS = "pass"  # noqa: S105 - not a password
    FAIL = "fail"
    OPEN = "open"
    REVIEW = "review"
    NOT_APPLICABLE = "not-applicable"
    CONCEDED = "conceded"
    CRASHED = "crashed"


@dataclass(frozen=True, slots=True)
class RuleCard:
    """A rule as people read about it."""

    id: str
    family: str
    level: Level
    guards: HoldPoint | None
    judges: tuple[str, ...]
    summary: str
    why: str
    source: str
    needs: tuple[str, ...]
    reads: tuple[str, ...]
    guards_life: bool
    caution: str
    package: str


@dataclass(frozen=True, slots=True)
class Concession:
    """The recorded leave to live with one finding (ISO 9000:2015, 3.12.5). Dates are ISO 8601."""

    reason: str
    agreed_by: str
    until: str


Written = str | float | tuple[str, ...]
"""A value as a plan writes it: a word, a quantity or a name, a number or a truth value, a list of texts."""


@dataclass(frozen=True, slots=True)
class Edit:
    """A change of the plan that a remedy carries: what to write where. It names things, never lines."""

    path: Path
    """The way to the key from the root of the plan, in the long form of the format, whatever form the plan uses."""
    value: Written
    adds: bool = False
    """Whether the value is further items of the list that stands there, rather than what takes its place."""


@dataclass(frozen=True, slots=True)
class Replacement:
    """A stretch of a plan's text, lines and columns counted from 1, and what would stand there instead."""

    line: int
    column: int
    end_line: int
    end_column: int
    """The column behind its last character."""
    text: str


@dataclass(frozen=True, slots=True)
class Finding:
    """A check that failed, is open or asks for a person, with all that a reader needs."""

    rule: str
    family: str
    outcome: Verdict
    level: Level
    guards: HoldPoint | None
    place: str
    file: str
    line: int
    column: int
    message: str
    measured: str | None
    allowed: str | None
    missing: tuple[str, ...]
    remedy: str | None
    caution: str | None
    sources: tuple[str, ...]
    conceded: Concession | None = None
    edits: tuple[Edit, ...] = ()
    """What `mend` would write to put it right, all together; nobody has tried them yet."""
    fix: Replacement | None = None
    """What they come to in the text, where they were tried and put it right without bringing anything else."""

    @property
    def order(self) -> tuple[str, int, int, str, str]:
        """Findings are listed by file, line, column and rule; the place settles what is left."""
        return (self.file, self.line, self.column, self.rule, self.place)


@dataclass(frozen=True, slots=True)
class Crash:
    """A rule that broke down on one thing: a bug of the rule, not of the plan."""

    rule: str
    place: str
    package: str
    error: str


@dataclass(frozen=True, slots=True)
class Check:
    """One rule on one thing, and how it came out; a finding may lie at a finer place than the thing."""

    rule: str
    place: str
    verdict: Verdict
    found: Finding | Crash | None = None


class Passing(StrEnum):
    """Whether a hold point may be passed."""

    HOLD = "hold"
    MAY_BE_RELEASED = "may-be-released"
    RELEASED = "released"


@dataclass(frozen=True, slots=True)
class Release:
    """A release that covers a place: that of the place itself, or of one that it lies under."""

    place: str
    date: str
    by: str
    overtaken: bool
    """Whether facts or limits that it rests on have changed since."""


@dataclass(frozen=True, slots=True)
class HoldState:
    """How things stand before a hold point at a place, by all checks that guard it and concern the place."""

    hold_point: HoldPoint
    place: str
    state: Passing
    tally: Mapping[Verdict, int]
    """How many of these checks came out how."""
    rules: tuple[str, ...]
    """The rules that made them."""
    release: Release | None
    """The release in force that covers the place, whether it still stands or not; None where there is none."""

    @property
    def in_the_way(self) -> int:
        """How many checks stand in the way of a release."""
        return sum(self.tally.get(verdict, 0) for verdict in IN_THE_WAY)


IN_THE_WAY = (Verdict.FAIL, Verdict.OPEN, Verdict.REVIEW, Verdict.CRASHED)
"""What a check must not come out as where a hold point is to be released."""


@dataclass(frozen=True, slots=True)
class PlanRecord:
    """The outcome of every check on one plan."""

    plan: str
    title: str
    digest: str
    limits: tuple[str, ...]
    tally: Mapping[Verdict, int]
    findings: tuple[Finding, ...]
    crashes: tuple[Crash, ...] = ()
    walk: tuple[str, ...] = ()
    """Every place of the plan in the order in which one walks it; reports sort by it."""
    rules: int = 0
    """How many rules looked at the plan."""
    things: int = 0
    """How many things the plan holds that some rule could judge."""
    nothing_to_judge: tuple[str, ...] = ()
    """Rules that found no thing of their kind or none that they apply to."""
    overridden: tuple[str, ...] = ()
    """Limits that the plan sets for itself, in words, with the reason."""
    hold: HoldState | None = None
    """Where one hold point was asked for: whether it may be passed."""
    holds: tuple[HoldState, ...] = ()
    """Where all were asked for: those of every lined surface and room that something guards."""
    faults: tuple[Fault, ...] = ()
    """What is wrong with the plan's release record, where it cannot be read."""
    checks: tuple[Check, ...] = ()
    """Where every check was asked for: all that the tally counts, in the order in which they were made."""


@dataclass(frozen=True, slots=True)
class InspectionRecord:
    """One run: the plans that could be read, and the faults of those that could not."""

    version: str
    today: str
    plans: tuple[PlanRecord, ...]
    faults: tuple[Fault, ...] = ()
    narrowed: Mapping[str, str] = field(default_factory=dict)
    """What was asked to be looked at alone, by option, where not everything was."""
    cards: tuple[RuleCard, ...] = ()
    """The rules that were put to the plans."""


@dataclass(frozen=True, slots=True)
class LeftAlone:
    """A finding whose edits were not made, and why not."""

    finding: Finding
    why: str


@dataclass(frozen=True, slots=True)
class MendRecord:
    """What was mended in one plan, and what was not."""

    plan: str
    title: str
    mended: tuple[Finding, ...]
    """What the edits put right, in the order in which they were made."""
    left: tuple[LeftAlone, ...]
    tally: Mapping[Verdict, int]
    """How the checks come out after them."""
    is_cut_short: bool
    """Whether there were more edits to try than one run tries."""
