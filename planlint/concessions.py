"""Concessions and reviews: what those responsible have agreed to, held against what was found."""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date

from planlint.model.plan import ConcessionEntry, Plan
from planlint.model.thing import lies_under
from planlint.records import Concession, Finding, Level, RuleCard
from planlint.rule import PASS, Fail, Open, Outcome, Remedy

CONCESSION_IN_FORCE = RuleCard(
    id="concession-in-force",
    family="order",
    level=Level.WARNING,
    guards=None,
    judges=("concession",),
    summary="A concession names one finding at its exact place, is allowed, and has not run out.",
    why="leave to live with a finding was given for a reason and a time; a forgotten one hides the next mistake.",
    source="ISO 9000:2015, 3.12.5 (the term); own decision (the rest).",
    needs=(),
    reads=(),
    guards_life=False,
    caution="",
    package="planlint",
)


@dataclass(frozen=True, slots=True)
class Leave:
    """The concessions of a plan, with the day on which they are looked at and the rules that they may name."""

    plan: Plan
    today: date
    cards: dict[str, RuleCard]

    def apply(self, finding: Finding) -> Finding:
        """The finding, marked as conceded where a concession in force names it."""
        for entry in self.plan.concessions:
            if (entry.rule, entry.at) == (finding.rule, finding.place) and self._holds(entry):
                leave = Concession(entry.reason, entry.agreed_by, entry.until.isoformat())
                return replace(finding, conceded=leave)
        return finding

    def settles(self, rule: str, place: str) -> bool:
        """Whether a person's recorded look settles a review of this rule at this place."""
        return any((entry.rule, entry.at) == (rule, place) for entry in self.plan.reviews)

    def judge(self, entry: ConcessionEntry, findings: Iterable[Finding], *, narrowed: bool) -> Outcome:
        """Judge one concession by what its rule found. Where only a part was looked at none is called unused."""
        if entry.until < self.today:
            return Fail(
                f"the concession of {entry.rule} at {entry.at} ran out on {entry.until.isoformat()}",
                remedy=Remedy(f"put the finding right, or have {entry.agreed_by} agree to a new date"),
            )
        if entry.rule not in self.cards:
            return Open(f"whether the concession is needed: no rule called {entry.rule} is installed")
        if not self._may_be_conceded(entry.rule):
            why = "is about concessions themselves" if entry.rule == CONCESSION_IN_FORCE.id else "guards life"
            return Fail(
                f"{entry.rule} {why}: it cannot be conceded",
                remedy=Remedy("take the concession out and put right what the rule found"),
            )
        places = [finding.place for finding in findings if finding.rule == entry.rule]
        if entry.at in places:
            return PASS
        below = [place for place in places if entry.at == self.plan.place or lies_under(place, entry.at)]
        if below:
            return Fail(
                f"the concession of {entry.rule} at {entry.at} is too broad: the finding is at {below[0]}",
                remedy=Remedy("concede each finding at its exact place: " + ", ".join(below)),
            )
        if narrowed:
            return PASS
        return Fail(
            f"the concession of {entry.rule} at {entry.at} is not used: there is no such finding",
            remedy=Remedy("take it out, or correct its place"),
        )

    def _holds(self, entry: ConcessionEntry) -> bool:
        return entry.until >= self.today and self._may_be_conceded(entry.rule)

    def _may_be_conceded(self, rule: str) -> bool:
        return rule != CONCESSION_IN_FORCE.id and not self.cards[rule].guards_life
