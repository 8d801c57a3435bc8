"""What a sum leaves behind: its steps, so that a person can follow them by hand, or what it lacks."""

from collections.abc import Callable
from dataclasses import dataclass
from functools import wraps
from typing import TypeVar

from planlint.model.services import Run
from planlint.rule import Given

Of = TypeVar("Of")
T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class Step:
    """One line of a sum: what is worked out, how, and what comes of it."""

    what: str
    how: str
    result: str


@dataclass(frozen=True, slots=True)
class Lacking:
    """Why a sum cannot be done: what is not recorded, and the keys to add (see `Open`).

    Without keys nothing that could be recorded would help: a figure lies outside of what a formula or a table holds for.
    """

    what: str
    keys: tuple[str, ...]


def within_range(sum_of: Callable[[Of, Given], T]) -> Callable[[Of, Given], T | Lacking]:
    """Say which figure lies outside of what a formula holds for, in place of a result."""

    @wraps(sum_of)
    def guarded(thing: Of, given: Given) -> T | Lacking:
        try:
            return sum_of(thing, given)
        except ValueError as error:
            return Lacking(str(error), ())

    return guarded


def key_of(run: Run, key: str) -> str:
    """The path of a key that a run may have of its own, seen from its circuit; in a chain it is the circuit's."""
    return f"{run.place}.{key}" if "runs" in run.path else key
