"""What a sum leaves behind: its steps, so that a person can follow them by hand, or what it lacks."""

from collections.abc import Callable
from dataclasses import dataclass
from functools import wraps
from typing import TypeVar

from planlint.model.services import Circuit
from planlint.rule import Given

T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class Step:
    """One line of a sum: what is worked out, how, and what comes of it."""

    what: str
    how: str
    result: str


@dataclass(frozen=True, slots=True)
class Lacking:
    """Why a sum cannot be done: what is not recorded, and the keys to add (see `Open`)."""

    what: str
    keys: tuple[str, ...]


def within_range(sum_of: Callable[[Circuit, Given], T]) -> Callable[[Circuit, Given], T | Lacking]:
    """Say which figure lies outside of what a formula holds for, in place of a result."""

    @wraps(sum_of)
    def guarded(circuit: Circuit, given: Given) -> T | Lacking:
        try:
            return sum_of(circuit, given)
        except ValueError as error:
            return Lacking(str(error), ())

    return guarded
