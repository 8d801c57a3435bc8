"""Releases hold points, and withdraws releases: adds an entry to the record beside a plan, whole or not at all."""

import json
import os
import re
from collections.abc import Iterable, Iterator, Mapping
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Any, Final
from unicodedata import normalize

from filelock import FileLock, Timeout

from planlint import releases, source
from planlint.digest import Facts
from planlint.errors import Fault, PlanFaults, UsageError
from planlint.inspection import Wanted, inspect, limits_of, plan_of
from planlint.records import HoldPoint, Passing, PlanRecord, Verdict
from planlint.registry import Rulebook
from planlint.releases import Entry, spoken
from planlint.source import Document

PATIENCE: Final = 10.0
"""Seconds to wait for another planlint that is writing the same record."""

Fields = Mapping[str, Any]
"""An entry as it is written, key by key."""

_WORDS: Final = ("entry", "hold_point", "date")
"""The keys whose values are words of the format."""

_PLAIN: Final = re.compile(r"[A-Za-z][A-Za-z0-9]*([-._][A-Za-z][A-Za-z0-9]*)+")
"""Texts that no program takes for anything but a text; all others stand in quotes."""


@dataclass(frozen=True, slots=True)
class Asked:
    """What is to be released or withdrawn: which hold point, where, by whom, on which day."""

    hold_point: HoldPoint
    place: str
    by: str
    day: date


def consider(document: Document, rulebook: Rulebook, asked: Asked) -> tuple[PlanRecord, Fields | None]:
    """Look at all that guards a hold point; the entry that would record its release, None where it is not clear.

    Raises PlanFaults where the plan or its release record cannot be read, UsageError where the place is not there.
    """
    record = inspect(document, rulebook, Wanted(asked.day, hold_point=asked.hold_point, place=asked.place))
    if record.faults:
        raise PlanFaults(list(record.faults))
    if record.hold is None or record.hold.state is Passing.HOLD:
        return record, None
    plan = plan_of(document)
    rules = releases.guarding(rulebook.rules, asked.hold_point)
    read = sorted({name for rule in rules for name in rule.reads})
    facts = Facts(plan, limits_of(document, plan, rulebook, None))
    counted = (Verdict.PASS, Verdict.NOT_APPLICABLE, Verdict.CONCEDED)
    conceded = [finding for finding in record.findings if finding.conceded and finding.guards is asked.hold_point]
    return record, {
        **_head("released", asked),
        "tally": {str(verdict): record.hold.tally[verdict] for verdict in counted},
        "conceded": [{"rule": finding.rule, "place": finding.place} for finding in conceded],
        "rules": sorted(rule.id for rule in rules),
        "limits": read,
        "digest": facts.digest(record.hold.place, asked.hold_point, read),
    }


def withdrawal(plan: str, asked: Asked, reason: str) -> Fields:
    """The entry that withdraws a release; UsageError where no such release is in force.

    Raises PlanFaults where the release record cannot be read.
    """
    in_force = [entry for entry in releases.load(plan).in_force if entry.hold_point is asked.hold_point]
    place = normalize("NFC", asked.place)
    if all(entry.place != place for entry in in_force):
        above = next((f"; it lies under {spoken(one.place)}, which is" for one in in_force if one.covers(place)), "")
        raise UsageError(f"{asked.hold_point} of {spoken(place)} is not released by itself{above}: nothing to withdraw")
    return {**_head("withdrawn", asked), "reason": reason}


def _head(kind: str, asked: Asked) -> Fields:
    return {
        "entry": kind,
        "hold_point": str(asked.hold_point),
        "place": normalize("NFC", asked.place),
        "date": asked.day.isoformat(),
        "by": asked.by,
    }


@contextmanager
def alone_with(plan: str) -> Iterator[None]:
    """Keep every other planlint from the release record of a plan.

    Raises PlanFaults where there is no such plan, where another planlint holds the record for too long, or where
    nothing can be written beside the plan.
    """
    if not Path(plan).is_file():
        source.load(plan)  # says what is wrong; a lock would make the folder
        message, hint = "this is no file, and a release is recorded beside one", "save the plan as a file first"
        raise PlanFaults([Fault(plan, 0, 0, message, hint)])
    target = _target(plan)
    try:
        # Whoever may write into the folder may hold the lock, whoever made its file.
        mode = target.parent.stat().st_mode & 0o666
        lock = FileLock(target.with_name(f".{target.name}.lock"), timeout=PATIENCE, mode=mode)
        lock.acquire()
    except Timeout:
        message, hint = "another planlint is writing this release record", "wait until it is done, and try again"
        raise PlanFaults([Fault(str(target), 0, 0, message, hint)]) from None
    except OSError as error:
        raise _unwritten(target, error) from None
    try:
        yield
    finally:
        lock.release()


def add(plan: str, entry: Fields) -> str:
    """Add an entry at the end of the record beside a plan, and keep every byte before it; the record's file name.

    To be called `alone_with` the plan. A reader, and whoever pulls the plug, finds the old record or all of the new
    one. Raises PlanFaults where the record is damaged or cannot be written.
    """
    file, target = releases.record_beside(plan), _target(plan)
    name = releases.plan_file(plan).name
    known = releases.load(plan).entries  # refuses a damaged record before anything is written
    try:
        before = target.read_bytes() if target.exists() else f"release: 1\nplan: {_scalar(name)}\nentries:\n".encode()
        after = before + "".join(_lines(entry, before)).encode()
    except UnicodeEncodeError as error:
        message = f"{error.object!a} holds bytes that are no text, and a release record is UTF-8"
        raise PlanFaults([Fault(file, 0, 0, message, "give it another name")]) from None
    if not _holds_one_more(after, file, name, known):
        message = "a new entry cannot be added below the entries of this release record, as they are written"
        hint = "let entries be its last key, and begin each of them with a dash on a line of its own"
        raise PlanFaults([Fault(file, 0, 0, message, hint)])
    try:
        _replace(target, after)
    except OSError as error:
        raise _unwritten(target, error) from None
    return file


def _target(plan: str) -> Path:
    """The file that the record of a plan is, also where its name is a link."""
    return Path(os.path.realpath(releases.record_beside(plan)))


def _holds_one_more(after: bytes, file: str, plan: str, known: tuple[Entry, ...]) -> bool:
    try:
        entries = releases.parse(source.read(after, file), plan).entries
    except PlanFaults:
        return False
    return entries[:-1] == known


def _lines(entry: Fields, before: bytes) -> Iterator[str]:
    """The lines of an entry, indented and ended as those before it are."""
    first = re.search(rb"^( *)- ", before, re.MULTILINE)
    indent = first[1].decode() if first else "  "
    end = "\r\n" if before.endswith(b"\r\n") else "\n"
    for number, (key, value) in enumerate(entry.items()):
        lead = f"{indent}{'  ' if number else '- '}"
        if key == "conceded" and value:
            yield f"{lead}{key}:{end}"
            yield from (f"{lead}  - {_flow(one)}{end}" for one in value)
        else:
            yield f"{lead}{key}: {value if key in _WORDS else _flow(value)}{end}"


def _flow(value: Any) -> str:  # noqa: ANN401 - what stands in an entry
    match value:
        case Mapping():
            return _wrapped("{", (f"{key}: {_flow(item)}" for key, item in value.items()), "}")
        case list():
            return _wrapped("[", map(_flow, value), "]")
        case str():
            return _scalar(value)
    return str(value)


def _wrapped(start: str, items: Iterable[str], end: str) -> str:
    return f"{start}{', '.join(items)}{end}"


def _scalar(text: str) -> str:
    return text if _PLAIN.fullmatch(text) or text.startswith("sha256:") else json.dumps(text, ensure_ascii=False)


def _replace(target: Path, raw: bytes) -> None:
    """Write beside the target and put it in its place, so that it is on the disk before it has its name."""
    if target.exists() and not (target.stat().st_mode & 0o222 and os.access(target, os.W_OK)):
        raise PermissionError(0, "it is read-only")
    beside = target.with_name(f".{target.name}.new")  # one name: who writes is alone
    beside.unlink(missing_ok=True)  # left by one that was ended before it was done
    try:
        with beside.open("xb") as stream:
            stream.write(raw)
            stream.flush()
            os.fsync(stream.fileno())
        if target.exists():
            beside.chmod(target.stat().st_mode & 0o7777)
        beside.replace(target)
    finally:
        beside.unlink(missing_ok=True)  # gone already where it took the other's place
    with suppress(OSError):  # not every system can bring to the disk which file has which name
        folder = os.open(target.parent, os.O_RDONLY)
        try:
            os.fsync(folder)
        finally:
            os.close(folder)


def _unwritten(target: Path, error: OSError) -> PlanFaults:
    message = f"the release record cannot be written ({error.strerror or error})"
    hint = "make it and its folder writable, and try again; nothing was recorded"
    return PlanFaults([Fault(str(target), 0, 0, message, hint)])
