"""Findings as one walks past them: stop by stop, and what waits for the same missing keys as one entry."""

from collections.abc import Iterator
from dataclasses import dataclass

from planlint.records import Finding, Level, PlanRecord, Verdict

_LEVELS = {Level.ERROR: 0, Level.WARNING: 1, Level.NOTE: 2}
_REVIEW, _OPEN, _CONCEDED = 3, 4, 5


@dataclass(frozen=True, slots=True)
class Entry:
    """One thing to see to: a finding, or several open ones of one place that wait for the same keys."""

    findings: tuple[Finding, ...]

    @property
    def lead(self) -> Finding:
        """The finding that speaks for the others."""
        return self.findings[0]

    @property
    def is_open(self) -> bool:
        """Whether something is not recorded."""
        return self.lead.outcome is Verdict.OPEN and not self.lead.conceded

    @property
    def rank(self) -> int:
        """Worst first: errors are 0, what is conceded comes last."""
        if self.lead.conceded:
            return _CONCEDED
        if self.lead.outcome is Verdict.FAIL:
            return _LEVELS[self.lead.level]
        return _OPEN if self.is_open else _REVIEW


@dataclass(frozen=True, slots=True)
class Stop:
    """Where one stands on the walk: a wall, a ceiling, a circuit, or what serves the whole."""

    place: str
    entries: tuple[Entry, ...]


def stops(plan: PlanRecord) -> Iterator[Stop]:
    """The findings of a plan in the order of the walk, worst first at each stop."""
    steps = {place: index for index, place in enumerate(plan.walk)}
    met: dict[str, list[Finding]] = {}
    for finding in sorted(plan.findings, key=lambda finding: (steps.get(finding.place, len(steps)), finding.order)):
        met.setdefault(_stop_of(finding.place), []).append(finding)
    for place, findings in met.items():
        yield Stop(place, tuple(sorted(_entries(findings), key=lambda entry: entry.rank)))


def _stop_of(place: str) -> str:
    return ".".join(place.split(".")[:2])


def _entries(findings: list[Finding]) -> Iterator[Entry]:
    waiting: dict[tuple[str, frozenset[str]], list[Finding]] = {}
    for finding in findings:
        if finding.outcome is Verdict.OPEN and finding.missing and not finding.conceded:
            waiting.setdefault((finding.place, frozenset(finding.missing)), []).append(finding)
        else:
            yield Entry((finding,))
    for group in waiting.values():
        yield Entry(tuple(group))
