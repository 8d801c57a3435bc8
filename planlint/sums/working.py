"""What a sum leaves behind: its steps, so that a person can follow them by hand, or what it lacks."""

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import wraps
from typing import Final, TypeVar

from planlint.limit_values import listed
from planlint.model.services import Run
from planlint.rule import Given, Open, Remedy, Review

CIRCUITS_CAUTION: Final = (
    "Work on circuits only when they are dead and proved dead; in many places fixed wiring is licensed work, and the "
    "local code decides. The figures are there to find mistakes before a wall is closed; they do not stand in for the "
    "tests and the papers of an installation."
)
"""What is said beside every figure of a circuit, in findings and in tables."""

FIGURES: Final = 4
"""Significant digits of what is worked out."""

Of = TypeVar("Of")
T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class Step:
    """One line of a sum: what is worked out, how, and what comes of it."""

    what: str
    how: str
    result: str


@dataclass(frozen=True, slots=True)
class Steps:
    """The steps of a sum, put into words when they are asked for: most sums are only held against a limit."""

    tell: Callable[[], Iterable[Step]]

    def __iter__(self) -> Iterator[Step]:
        return iter(self.tell())


@dataclass(frozen=True, slots=True)
class Lacking:
    """Why a sum cannot be done: what is not recorded, and the keys to add (see `Open`).

    Without keys nothing that could be recorded would help: a figure lies outside of what a sum or a table holds for.
    """

    what: str
    keys: tuple[str, ...]


_WORDS: Final = {
    "supply.earthing": "how the supply is earthed",
    "supply.voltage": "the voltage of the supply",
    "supply.loop_impedance": "the loop impedance at the distribution board",
    "supply.earth_resistance": "the resistance of the earth electrode",
    "breaker.rating": "the rating of the breaker",
    "breaker.curve": "the curve of the breaker",
    "rcd": "the current at which its RCD trips",
    "serves": "what the circuit serves",
}


def tidy(figure: float) -> float:
    """A figure of a sum without the noise of floats, for a message: to a billionth of its SI unit."""
    return round(figure, 9)


def unrecorded(values: Mapping[str, object]) -> Lacking:
    """What is lacking among the values of these keys, in words."""
    keys = tuple(key for key, value in values.items() if value is None)
    return Lacking(listed([_WORDS[key] for key in keys], "and"), keys)


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
    return f"{run.place}.{key}" if run.stands_alone else key


def outcome_of(found: Lacking, remedy: str = "have an electrician do this sum, or correct the figure") -> Open | Review:
    """What a sum lacks is open where a key would help; else a person has to look, and does what `remedy` says."""
    if found.keys:
        return Open(found.what, *found.keys)
    return Review(
        f"this cannot be worked out here: {found.what}",
        remedy=Remedy(remedy),
    )
