"""Makes the edits that remedies carry, and keeps those that put right what they were made for and bring nothing else.

Every edit is tried: the whole plan with it is inspected again, by all rules. An edit is kept where its finding is gone
and no other has come, of whatever outcome, by rule, place and message.
"""

from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass, replace

from planlint.edits import Revision, revise
from planlint.errors import Fault, PlanFaults
from planlint.inspection import Wanted, inspect, plan_of, things_at
from planlint.records import Crash, Finding, LeftAlone, MendRecord, PlanRecord
from planlint.registry import Rulebook
from planlint.source import Document

MOST_TRIALS = 200
"""The most edits that one run tries, and so the most inspections beside the first one. Own decision."""

MOST_FIXES = 40
MOST_TEXT = 2_000_000
"""The most edits that are tried for a report, and the most characters that are read again for it. Own decisions: a
report of a big plan should not take many times as long as one without edits."""

_Known = tuple[str, str, str]
"""A finding as it is known again when lines have moved."""


@dataclass(frozen=True, slots=True)
class Mended:
    """A plan after mending, and what was done to it."""

    document: Document
    record: MendRecord


def mend(document: Document, rulebook: Rulebook, wanted: Wanted) -> Mended:
    """Make all edits that hold, one after the other, each tried on what those before it left.

    `wanted` says for which findings: of these rules, at this place. Edits are tried until none is left that holds, so
    that a second run finds nothing more to do, or until there were `MOST_TRIALS`. Raises PlanFaults where the plan
    cannot be read, or not every check of it can be made; UsageError where `wanted` names what is not there.
    """
    trial = _Trial(document, rulebook, wanted)
    if trial.record.faults or trial.record.crashes:
        raise PlanFaults([*trial.record.faults, *(_untried(document.file, one) for one in trial.record.crashes)])
    is_asked_for = _asked_for(document, rulebook, wanted)
    mended: list[Finding] = []
    refused: dict[_Known, LeftAlone] = {}
    waiting, tried, kept = _candidates(trial.record, is_asked_for), 0, 0
    while waiting and tried < MOST_TRIALS:
        finding = waiting.pop(0)
        tried += 1
        why = trial.keep(finding)
        if why:
            refused[_known(finding)] = LeftAlone(finding, why)
        else:
            mended.append(finding)
            kept += 1
            waiting = [one for one in _candidates(trial.record, is_asked_for) if _known(one) not in refused]
        if not waiting and kept:
            # What did not hold before may hold now.
            waiting, kept = _candidates(trial.record, is_asked_for), 0
            refused.clear()
    left = tuple(refused.values())
    record = MendRecord(document.file, trial.record.title, tuple(mended), left, trial.record.tally, bool(waiting))
    return Mended(trial.document, record)


def with_fixes(document: Document, record: PlanRecord, rulebook: Rulebook, wanted: Wanted) -> PlanRecord:
    """The record of a plan, its findings with what their edits come to in the text, where these hold by themselves.

    Of many findings, and of a big plan, the first few are tried; where not every check can be made, none is.
    """
    most = min(MOST_FIXES, MOST_TEXT // max(len(document.text), 1))
    chosen = _candidates(record, lambda _: True)[:most]
    if not chosen or record.faults or record.crashes:
        return record
    whole = record if not wanted.narrowed else None
    trial = _Trial(document, rulebook, wanted, whole)
    fixes = {id(finding): revision.replacement for finding in chosen if (revision := trial.holds(finding))}
    found = tuple(
        replace(finding, fix=fixes[id(finding)]) if id(finding) in fixes else finding for finding in record.findings
    )
    return replace(record, findings=found)


class _Trial:
    """A plan as it stands, with the edits so far, and what is found in it by all rules."""

    def __init__(
        self, document: Document, rulebook: Rulebook, wanted: Wanted, record: PlanRecord | None = None
    ) -> None:
        self.document = document
        self._rulebook = rulebook
        self._wanted = Wanted(wanted.today, wanted.limits)
        self.record = record or inspect(document, rulebook, self._wanted)

    def keep(self, finding: Finding) -> str:
        """Make the edits of a finding for good, where they hold; else why they do not."""
        tried = self._tried(finding)
        if isinstance(tried, str):
            return tried
        self.document, self.record = tried[0].document, tried[1]
        return ""

    def holds(self, finding: Finding) -> Revision | None:
        """The edits of a finding, where they hold; the plan stays as it is."""
        tried = self._tried(finding)
        return None if isinstance(tried, str) else tried[0]

    def _tried(self, finding: Finding) -> tuple[Revision, PlanRecord] | str:
        revision = revise(self.document, finding.edits)
        if revision is None:
            return "what is written there also counts elsewhere, or has a form that planlint does not write"
        try:
            after = inspect(revision.document, self._rulebook, self._wanted)
        except PlanFaults as error:
            return f"with the edit the plan could not be read: {error.faults[0].message}"
        return _why_not(finding, self.record, after) or (revision, after)


def _why_not(finding: Finding, before: PlanRecord, after: PlanRecord) -> str:
    """Why an edit does not hold, by what is found before and after it; nothing where it does."""
    were, are = Counter(map(_known, before.findings)), Counter(map(_known, after.findings))
    came = are - were
    new = next((one for one in after.findings if _known(one) in came), None)
    if new is not None:
        return f"the edit would bring another finding at {new.place}: {new.message} ({new.rule})"
    if len(after.crashes) > len(before.crashes) or after.faults != before.faults:
        return "with the edit not every check could be made"
    return "" if are[_known(finding)] < were[_known(finding)] else "the edit would not put it right"


def _untried(file: str, crash: Crash) -> Fault:
    message = f"the rule {crash.rule} broke down at {crash.place}, so no edit can be tried: {crash.error}"
    return Fault(file, 0, 0, message, f"this is a mistake in the package {crash.package}, not in the plan")


def _known(finding: Finding) -> _Known:
    return finding.rule, finding.place, finding.message


def _candidates(record: PlanRecord, is_asked_for: Callable[[Finding], bool]) -> list[Finding]:
    """The findings whose edits may be tried; what people agreed to live with is none of them."""
    return [finding for finding in record.findings if finding.edits and not finding.conceded and is_asked_for(finding)]


def _asked_for(document: Document, rulebook: Rulebook, wanted: Wanted) -> Callable[[Finding], bool]:
    """Whether a finding is one of those that edits were asked for."""
    rules = rulebook.choose(wanted.only)
    places = {thing.place for thing in things_at(plan_of(document), wanted.place)} if wanted.place else None
    return lambda finding: finding.rule in rules and (places is None or finding.place in places)
