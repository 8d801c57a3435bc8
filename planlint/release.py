"""Releases hold points, and withdraws releases: adds an entry to the record beside a plan, whole or not at all."""

import os
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from tempfile import NamedTemporaryFile
from typing import Any

import yaml
from filelock import FileLock, Timeout

from planlint import releases, source
from planlint.errors import Fault, PlanFaults, UsageError
from planlint.inspection import Wanted, inspect, limits_of, plan_of
from planlint.records import HoldPoint, Passing, PlanRecord, Verdict
from planlint.registry import Rulebook
from planlint.source import Document

PATIENCE = 10.0
"""Seconds to wait for another planlint that is writing the same record."""


@dataclass(frozen=True, slots=True)
class Release:
    """What is to be released or withdrawn: which hold point, where, by whom, on which day."""

    hold_point: HoldPoint
    place: str
    by: str
    day: date


def consider(document: Document, rulebook: Rulebook, wanted: Release) -> tuple[PlanRecord, dict[str, Any] | None]:
    """Look at all that guards a hold point; the entry that would record its release, None where it is not clear.

    Raises PlanFaults where the plan or its release record cannot be read, UsageError where the place is not there.
    """
    record = inspect(document, rulebook, Wanted(wanted.day, hold_point=wanted.hold_point, place=wanted.place))
    if record.hold is None or record.hold.state is Passing.HOLD:
        return record, None
    rules = releases.guarding(rulebook.rules, wanted.hold_point)
    plan = plan_of(document)
    limits = limits_of(document, plan, rulebook, None)
    entry = releases.Entry(
        withdrawn=False,
        hold_point=wanted.hold_point,
        place=wanted.place,
        day=wanted.day,
        by=wanted.by,
        rules=tuple(sorted(rule.id for rule in rules)),
        digest="",
    )
    counted = (Verdict.PASS, Verdict.NOT_APPLICABLE, Verdict.CONCEDED)
    return record, {
        **_head("released", wanted),
        "tally": {str(verdict): record.tally[verdict] for verdict in counted},
        "conceded": [{"rule": finding.rule, "place": finding.place} for finding in record.findings if finding.conceded],
        "rules": list(entry.rules),
        "digest": releases.digest_of(plan, entry, limits, rules),
    }


def withdrawal(plan: str, wanted: Release, reason: str) -> dict[str, Any]:
    """The entry that withdraws a release; UsageError where no such release is in force."""
    if releases.load(plan).release_of(wanted.hold_point, wanted.place) is None:
        raise UsageError(f"{wanted.hold_point} of {wanted.place} is not released: there is nothing to withdraw")
    return {**_head("withdrawn", wanted), "reason": reason}


def _head(kind: str, wanted: Release) -> dict[str, Any]:
    return {
        "entry": kind,
        "hold_point": str(wanted.hold_point),
        "place": wanted.place,
        "date": wanted.day.isoformat(),
        "by": wanted.by,
    }


@contextmanager
def alone_with(plan: str) -> Iterator[None]:
    """Keep every other planlint from the release record of a plan.

    Raises PlanFaults where another one holds it for too long, or where nothing can be written beside the plan.
    """
    file = releases.record_beside(plan)
    lock = FileLock(str(Path(file).with_name(f".{Path(file).name}.lock")), timeout=PATIENCE)
    try:
        with lock:
            yield
    except Timeout:
        message, hint = "another planlint is writing this release record", "wait until it is done, and try again"
        raise PlanFaults([Fault(file, 0, 0, message, hint)]) from None


def add(plan: str, entry: dict[str, Any]) -> str:
    """Add an entry at the end of the record beside a plan, and keep every byte before it; the record's file name.

    To be called `alone_with` the plan. A reader, and whoever pulls the plug, finds the old record or all of the new
    one. Raises PlanFaults where the record is damaged or cannot be written.
    """
    file, name = releases.record_beside(plan), Path(plan).name
    entries = releases.load(plan).entries  # refuses a damaged record before anything is written
    target = Path(os.path.realpath(file))
    before = target.read_bytes() if target.exists() else f"release: 1\nplan: {_inline(name)}\nentries:\n".encode()
    if before and not before.endswith(b"\n"):
        before += b"\n"
    text = yaml.safe_dump([entry], allow_unicode=True, sort_keys=False, width=2**20)
    after = before + "".join(f"  {line}\n" for line in text.splitlines()).encode()
    if len(releases.parse(source.read(after, file), name).entries) != len(entries) + 1:
        message = "the entries of this release record are not written as a list, item under item"
        raise PlanFaults([Fault(file, 0, 0, message, "write each entry on lines of its own, beginning with a dash")])
    try:
        _replace(target, after)
    except OSError as error:
        message = f"the release record cannot be written ({error.strerror})"
        raise PlanFaults([Fault(file, 0, 0, message, "make its folder writable; nothing was recorded")]) from None
    return file


def _inline(text: str) -> str:
    return yaml.safe_dump(text, allow_unicode=True, width=2**20).removesuffix("\n").removesuffix("\n...")


def _replace(target: Path, raw: bytes) -> None:
    """Write beside the target and put it in its place, so that it is on the disk before it has its name."""
    with NamedTemporaryFile(dir=target.parent, prefix=f".{target.name}.", delete=False) as beside:
        try:
            beside.write(raw)
            beside.flush()
            os.fsync(beside.fileno())
            if target.exists():
                Path(beside.name).chmod(target.stat().st_mode & 0o777)
            Path(beside.name).replace(target)
        finally:
            Path(beside.name).unlink(missing_ok=True)  # gone already where it took the other's place
