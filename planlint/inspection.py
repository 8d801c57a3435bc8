"""Puts every rule to every thing that it judges, and turns the outcomes into records."""

from collections import Counter, defaultdict
from collections.abc import Hashable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date
from difflib import get_close_matches
from typing import Any
from unicodedata import normalize

from planlint import limits as limit_sets
from planlint import releases
from planlint.concessions import CONCESSION_IN_FORCE, Leave
from planlint.digest import Facts
from planlint.errors import Fault, LimitError, PlanFaults, UsageError
from planlint.holds import Holds
from planlint.limits import Limits
from planlint.model.build import build
from planlint.model.places import Places
from planlint.model.plan import Plan
from planlint.model.thing import Thing, concerns, lies_under
from planlint.offers import offered
from planlint.records import (
    Check,
    Crash,
    Finding,
    HoldPoint,
    HoldState,
    Level,
    PlanRecord,
    Release,
    RuleCard,
    Verdict,
)
from planlint.registry import Rulebook
from planlint.releases import RELEASE_OVERTAKEN, Entry
from planlint.rule import Fail, Figure, Given, NotApplicable, Open, Outcome, Pass, Review, Rule
from planlint.schema import check
from planlint.source import Document, collector_paused
from planlint.units import Quantity, contrast

ENGINE_CARDS = (CONCESSION_IN_FORCE, RELEASE_OVERTAKEN)
"""The rules about results; they are the engine's own."""


@dataclass(frozen=True, slots=True)
class Wanted:
    """What to look at, by which limits, as of which day."""

    today: date
    limits: str | None = None
    only: tuple[str, ...] = ()
    hold_point: HoldPoint | None = None
    place: str | None = None
    every_hold_point: bool = False
    """Whether to say of every lined surface and room how things stand before each hold point."""
    tried_edits: bool = False
    """Whether to try the edits that findings carry; each costs an inspection of its own."""
    every_check: bool = False
    """Whether to keep each check, also those that found nothing; a big plan makes hundreds of thousands."""
    contain: bool = True
    """Whether a rule that breaks down is reported as crashed; tests let it raise."""

    @property
    def narrowed(self) -> dict[str, str]:
        """What was asked to be looked at alone."""
        asked = {"only": ", ".join(self.only), "hold point": self.hold_point or "", "place": self.place or ""}
        return {name: value for name, value in asked.items() if value}


def inspect(document: Document, rulebook: Rulebook, wanted: Wanted) -> PlanRecord:
    """Inspect one plan.

    A release record that cannot be read keeps nothing else from it: what is wrong is told under `faults`. Raises
    PlanFaults where it cannot be read as a plan, UsageError where `wanted` names a rule or a place that is not there.
    """
    with collector_paused():
        plan = plan_of(document)
        limits = limits_of(document, plan, rulebook, wanted.limits)
        try:
            entries = releases.load(document.file).in_force
        except PlanFaults as error:
            return replace(_Inspection(document, plan, limits, rulebook, wanted).run(()), faults=error.faults)
        return _Inspection(document, plan, limits, rulebook, wanted).run(entries)


def plan_of(document: Document) -> Plan:
    """The plan that a document holds; raises PlanFaults where it cannot be read as one."""
    faults = check(document)
    if faults:
        raise PlanFaults(faults)
    return build(document)


def limits_of(document: Document, plan: Plan, rulebook: Rulebook, wanted: str | None) -> Limits:
    """The limits to judge a plan by: those of the set `wanted`, else those that the plan names.

    Raises PlanFaults with the plan's own line where it names what is not there, LimitError where `wanted` is not.
    """
    if wanted is not None:
        return limit_sets.resolve(wanted, rulebook.limit_folders)
    try:
        return limit_sets.resolve(plan.limits, rulebook.limit_folders)
    except LimitError as error:
        span = document.spans.value(error.path)
        raise PlanFaults([Fault(document.file, span.line, span.column, error.message, error.hint)]) from error


def things_at(plan: Plan, place: str | None) -> list[Thing]:
    """The things that lie under a place or bear on it, all where none is named; UsageError where it is not there."""
    things = list(plan.things())
    # Names of a plan are composed when they are read; one from the command line may not be.
    place = place and normalize("NFC", place)
    if place is None or place == plan.place:
        return things
    places = {thing.place for thing in things}
    if place not in places:
        whole = sorted(name for name in places if name.endswith(f".{place}"))
        near = whole or get_close_matches(place, sorted(places), n=1)
        hint = f"did you mean {near[0]}?" if near else "a place is a dotted name such as study.west"
        raise UsageError(f"there is no place called {place} in this plan; {hint}")
    return [thing for thing in things if concerns(thing, place)]


def cards_put(rulebook: Rulebook, wanted: Wanted) -> tuple[RuleCard, ...]:
    """The rules that are put to every plan, with the engine's own, which are about results."""
    chosen = rulebook.choose(wanted.only)
    return tuple(
        card
        for card in rulebook.cards
        if card.id in chosen and (wanted.hold_point in (None, card.guards) or card in ENGINE_CARDS)
    )


class _Inspection:
    """One plan under inspection."""

    def __init__(self, document: Document, plan: Plan, limits: Limits, rulebook: Rulebook, wanted: Wanted) -> None:
        self.document = document
        self.plan = plan
        self.limits = limits
        self.wanted = wanted
        self.rules = [rule for rule in rulebook.rules if self._is_wanted(rule.id, rule.guards, rulebook)]
        self.cards = {card.id: card for card in rulebook.cards}
        self.leave = Leave(plan, wanted.today, self.cards)
        self.tally: Counter[Verdict] = Counter()
        self.findings: list[Finding] = []
        self.crashes: list[Crash] = []
        self.checks: list[Check] = []
        self.rulebook = rulebook
        self.things = things_at(plan, wanted.place)
        self.place = normalize("NFC", wanted.place) if wanted.place else plan.place
        self.above = tuple(self._above()) if wanted.place else ()
        self.holds = Holds()
        self.notes = wanted.hold_point is not None or wanted.every_hold_point
        self.releases: list[tuple[HoldPoint, Release]] = []
        self.kept: dict[Hashable, Any] = {}

    def _above(self) -> Iterator[Thing]:
        """What the place lies on or in: of its checks those count that find something at the place itself."""
        asked = set(self.things)
        yield from (thing for thing in self.plan.things() if lies_under(self.place, thing.place) and thing not in asked)

    def _concerns(self, thing: Thing, outcome: Outcome) -> bool:
        if thing not in self.above:
            return True
        at = None if isinstance(outcome, Pass | NotApplicable) else outcome.at
        return at is not None and lies_under(at.place, self.place)

    def _is_wanted(self, name: str, guards: HoldPoint | None, rulebook: Rulebook) -> bool:
        return name in rulebook.choose(self.wanted.only) and self.wanted.hold_point in (None, guards)

    def run(self, entries: Sequence[Entry]) -> PlanRecord:
        by_kind: defaultdict[type[Thing], list[Thing]] = defaultdict(list)
        for thing in (*self.things, *self.above):
            by_kind[type(thing)].append(thing)
        idle = [rule.id for rule in self.rules if not self._put(rule, by_kind)]
        self._judge_concessions()
        self._judge_releases(entries)
        self.findings.sort(key=lambda finding: finding.order)
        found_at = {finding.place for finding in self.findings}
        return PlanRecord(
            plan=self.document.file,
            title=self.plan.title,
            digest=self.document.digest,
            limits=self.limits.names,
            tally={verdict: self.tally[verdict] for verdict in Verdict},
            findings=tuple(self.findings),
            crashes=tuple(self.crashes),
            checks=tuple(self.checks),
            walk=tuple(dict.fromkeys(thing.place for thing in self.things if thing.place in found_at)),
            rules=len(self.rules),
            things=len({id(thing) for rule in self.rules for kind in rule.judges for thing in by_kind[kind]}),
            nothing_to_judge=tuple(idle),
            hold=self._hold(),
            holds=self._every_hold(),
            overridden=tuple(f"{limit.name}: {limit.said} ({limit.reason})" for limit in self.limits.overridden()),
        )

    def _put(self, rule: Rule, by_kind: dict[type[Thing], list[Thing]]) -> bool:
        """Put one rule to all things of its kinds; whether it applied to any."""
        given = Given(self.limits, self.wanted.today, rule.reads, self.kept)
        card, applied = self.cards[rule.id], False
        for kind in rule.judges:
            for thing in by_kind[kind]:
                try:
                    outcome = rule.judge(thing, given)
                except Exception as error:
                    if not self.wanted.contain:
                        raise
                    crash = Crash(rule.id, thing.place, card.package, repr(error))
                    self.crashes.append(crash)
                    verdict = self._count(card, thing, Verdict.CRASHED, crash)
                else:
                    if not self._concerns(thing, outcome):
                        continue
                    verdict = self._record(card, thing, outcome)
                applied |= verdict not in (Verdict.NOT_APPLICABLE, Verdict.CRASHED)
                if rule.guards and self.notes:
                    self.holds.note(rule.guards, thing, rule.id, verdict)
        return applied

    def _judge_concessions(self) -> None:
        """Judge those concessions whose rule was looked at, now that all that they could concede is known."""
        narrowed = bool(self.wanted.narrowed)
        looked_at = {rule.id for rule in self.rules}
        asked_for = CONCESSION_IN_FORCE.id in self.rulebook.choose(self.wanted.only)
        found = tuple(self.findings)
        for entry in self.plan.concessions:
            concerned = self.wanted.place is None or entry in self.things
            if concerned and (entry.rule in looked_at or (asked_for and self.wanted.hold_point is None)):
                outcome = self.leave.judge(entry, found, narrowed=narrowed)
                self._record(CONCESSION_IN_FORCE, entry, outcome)

    def _judge_releases(self, entries: Sequence[Entry]) -> None:
        """Hold every release in force that concerns what was looked at against the facts as they are now."""
        places = {thing.place for thing in self.things}
        concerned = [
            entry
            for entry in entries
            if self.wanted.hold_point in (None, entry.hold_point)
            and (self.wanted.place is None or entry.place in places or entry.covers(self.place))
        ]
        if not concerned or RELEASE_OVERTAKEN.id not in self.rulebook.choose(self.wanted.only):
            return
        # A release was given by the plan's own limits, whatever set this run judges by.
        facts = Facts(self.plan, limits_of(self.document, self.plan, self.rulebook, None))
        for entry in concerned:
            outcome = releases.judge(facts, entry, self.rulebook.rules)
            overtaken = isinstance(outcome, Fail) and outcome.level is not Level.NOTE
            self.releases.append((entry.hold_point, entry.release(overtaken=overtaken)))
            self._record(RELEASE_OVERTAKEN, self.plan, outcome)

    def _hold(self) -> HoldState | None:
        """The answer before the hold point that was asked for; only some of its rules are no answer."""
        if self.wanted.hold_point is None or self.wanted.only:
            return None
        return self.holds.state(self.wanted.hold_point, self.place, (*self.things, *self.above), self.releases)

    def _every_hold(self) -> tuple[HoldState, ...]:
        if not self.wanted.every_hold_point:
            return ()
        return tuple(self.holds.states(self.plan, Places(self.things), self.releases))

    def _record(self, card: RuleCard, thing: Thing, outcome: Outcome) -> Verdict:
        """Count one outcome, and keep what it found; how it counts."""
        if isinstance(outcome, Pass):
            return self._count(card, thing, Verdict.PASS)
        if isinstance(outcome, NotApplicable):
            return self._count(card, thing, Verdict.NOT_APPLICABLE)
        finding = self.leave.apply(self._finding(card, outcome.at or thing, outcome))
        verdict = Verdict.CONCEDED if finding.conceded else finding.outcome
        if verdict is Verdict.REVIEW and self.leave.settles(card.id, finding.place):
            return self._count(card, thing, Verdict.PASS)
        self.findings.append(finding)
        return self._count(card, thing, verdict, finding)

    def _count(self, card: RuleCard, thing: Thing, verdict: Verdict, found: Finding | Crash | None = None) -> Verdict:
        self.tally[verdict] += 1
        if self.wanted.every_check:
            self.checks.append(Check(card.id, thing.place, verdict, found))
        return verdict

    def _finding(self, card: RuleCard, thing: Thing, outcome: Fail | Open | Review) -> Finding:
        span = self.document.spans.key(thing.path)
        finding = Finding(
            rule=card.id,
            family=card.family,
            outcome=Verdict.REVIEW,
            level=Level.NOTE,
            guards=card.guards,
            place=thing.place,
            file=self.document.file,
            line=span.line,
            column=span.column,
            message="",
            measured=None,
            allowed=None,
            missing=(),
            remedy=None,
            caution=card.caution or None,
            sources=(card.source,),
        )
        remedy = None if isinstance(outcome, Open) else outcome.remedy
        edits = offered(card, remedy, self.plan.tasks, self.wanted.today)
        return replace(finding, **dict(_said(card, outcome)), edits=edits)


def _said(card: RuleCard, outcome: Fail | Open | Review) -> Iterator[tuple[str, Any]]:
    """What an outcome says, as fields of a finding."""
    if isinstance(outcome, Open):
        yield "outcome", Verdict.OPEN
        add = f" (add {', '.join(outcome.missing)})" if outcome.missing else ""
        yield "message", f"not recorded: {outcome.what}{add}"
        yield "missing", outcome.missing
        return
    yield "remedy", outcome.remedy.text if outcome.remedy else None
    if isinstance(outcome, Review):
        yield "message", outcome.message
        return
    measured, allowed = _figures(outcome.measured, outcome.allowed)
    yield "outcome", Verdict.FAIL
    yield "level", outcome.level or card.level
    yield "measured", measured
    yield "allowed", allowed
    yield "message", outcome.message.replace("{measured}", measured or "").replace("{allowed}", allowed or "")


def _figures(measured: Figure, allowed: Figure) -> tuple[str | None, str | None]:
    """Measured and allowed as texts, both in the unit of the measured one where both are quantities."""
    if isinstance(measured, Quantity) and isinstance(allowed, Quantity):
        return contrast(measured, allowed)
    return None if measured is None else str(measured), None if allowed is None else str(allowed)
