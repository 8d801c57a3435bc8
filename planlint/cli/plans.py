"""Finds the plans that were named and inspects them, on all cores where that pays."""

import os
import signal
import sys
from collections.abc import Callable, Iterable, Iterator
from contextlib import AbstractContextManager, nullcontext
from dataclasses import dataclass
from pathlib import Path

import click

from planlint import registry, source
from planlint.errors import Fault, PlanFaults, PlanlintError, UsageError
from planlint.inspection import ENGINE_CARDS, Wanted, inspect
from planlint.records import PlanRecord
from planlint.registry import Rulebook

STANDARD_INPUT = "-"
ENDING = ".plan.yaml"

_HANDFUL = 8
_BIG = 1_000_000
"""From this many bytes on, the plans are worth the start of other processes even where they are few."""

Result = PlanRecord | tuple[Fault, ...]


@dataclass(frozen=True, slots=True)
class Found:
    """The plans that were named, in order, and what was named in vain."""

    plans: tuple[str, ...]
    faults: tuple[Fault, ...]


def find(named: Iterable[str]) -> Found:
    """The plan files that were named; a folder stands for every plan in it. Each file counts once."""
    plans: dict[str, str] = {}
    faults: list[Fault] = []
    for name in named:
        inside = [name]
        if name != STANDARD_INPUT and Path(name).is_dir():
            inside = sorted(_in_folder(name, faults))
            if not inside:
                hint = f"the name of a plan ends in {ENDING}; `planlint start study{ENDING}` writes one"
                faults.append(Fault(name, 0, 0, "there is no plan in this folder", hint))
        for plan in inside:
            plans.setdefault(plan if plan == STANDARD_INPUT else os.path.realpath(plan), plan)
    return Found(tuple(plans.values()), tuple(faults))


def _in_folder(folder: str, faults: list[Fault]) -> Iterator[str]:
    def unread(error: OSError) -> None:
        hint = "ask its owner, or name the plans one by one"
        faults.append(Fault(str(error.filename), 0, 0, "there is no permission to read this folder", hint))

    for inner, folders, files in os.walk(folder, onerror=unread):
        folders[:] = [name for name in folders if not name.startswith(".")]  # what is hidden belongs to other programs
        yield from (str(Path(inner, name)) for name in files if name.endswith(ENDING))


def inspect_all(plans: tuple[str, ...], wanted: Wanted, rulebook: Rulebook) -> tuple[list[PlanRecord], list[Fault]]:
    """Inspect every plan, in the order given; a plan that cannot be read does not keep the others from it.

    The caller has tried the rules and the limits that are `wanted`: a worker has no way to say what is wrong there. It
    has rules of its own besides, since functions do not travel.
    """
    many = len(plans) > _HANDFUL
    spread = len(plans) > 1 and (many or sum(map(_size, plans)) > _BIG) and STANDARD_INPUT not in plans
    results = _on_all_cores(plans, wanted) if spread else (_inspect(plan, wanted, rulebook) for plan in plans)
    records: list[PlanRecord] = []
    faults: list[Fault] = []
    with _progress(results, len(plans), shown=many and sys.stderr.isatty()) as coming:
        for result in coming:
            if isinstance(result, PlanRecord):
                records.append(result)
            else:
                faults += result
    return records, faults


def _progress(results: Iterator[Result], length: int, *, shown: bool) -> AbstractContextManager[Iterable[Result]]:
    if not shown:
        return nullcontext(results)
    return click.progressbar(results, length=length, label="Inspecting", file=sys.stderr)


def _size(plan: str) -> int:
    try:
        return Path(plan).stat().st_size
    except (OSError, ValueError):
        return 0


def load_rulebook() -> Rulebook:
    """The installed rules together with the engine's own."""
    return registry.load(ENGINE_CARDS)


def _inspect(plan: str, wanted: Wanted, rulebook: Rulebook) -> Result:
    try:
        return _record(read(plan), rulebook, wanted)
    except PlanFaults as error:
        return error.faults
    except UsageError as error:
        return (Fault(plan, 0, 0, str(error)),)


def _record(document: source.Document, rulebook: Rulebook, wanted: Wanted) -> PlanRecord:
    record = inspect(document, rulebook, wanted)
    if not wanted.tried_edits:
        return record
    from planlint.mend import with_fixes  # noqa: PLC0415 - most runs try none

    return with_fixes(document, record, rulebook, wanted)


def read(plan: str) -> source.Document:
    """The document of a plan that was named; PlanFaults where it cannot be read."""
    if plan == STANDARD_INPUT:
        raw = sys.stdin.buffer.read(source.MAX_BYTES + 1)
        return source.read(raw, STANDARD_INPUT)
    return source.load(plan)


_worker: Callable[[str], Result] | None = None
"""What a worker process does with a plan; a worker has rules of its own, since functions do not travel."""


def _begin_worker(wanted: Wanted) -> None:
    global _worker  # noqa: PLW0603 - how a pool gives its workers what they keep
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # Ctrl-C reaches all of them; the parent alone answers
    rulebook = load_rulebook()

    def work(plan: str) -> Result:
        return _inspect(plan, wanted, rulebook)

    _worker = work


def _work(plan: str) -> Result:
    if _worker is None:
        raise RuntimeError("the worker has not begun")
    return _worker(plan)


def _on_all_cores(plans: tuple[str, ...], wanted: Wanted) -> Iterator[Result]:
    # Imported here for the sake of a cold start: most runs inspect one plan.
    from concurrent.futures.process import BrokenProcessPool, ProcessPoolExecutor  # noqa: PLC0415

    cores = min(len(plans), os.cpu_count() or 1)
    try:
        with ProcessPoolExecutor(cores, initializer=_begin_worker, initargs=(wanted,)) as pool:
            yield from pool.map(_work, plans, chunksize=1)
    except BrokenProcessPool:
        raise PlanlintError("a part of planlint was ended from outside before it was done; run it again") from None
