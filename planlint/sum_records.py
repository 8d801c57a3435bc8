"""What the schedules of all subjects have in common, as plain frozen data: figures, steps, sources, what is unknown."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class About:
    """The plan that a schedule is of, and the limits that it goes by."""

    plan: str
    title: str
    digest: str
    limits: tuple[str, ...]
    overridden: tuple[str, ...]
    """The limits that the plan sets for itself, in words."""


@dataclass(frozen=True, slots=True)
class Figure:
    """A quantity: its value in the unit that the plan uses for such, and as one says it."""

    value: float
    unit: str
    said: str


@dataclass(frozen=True, slots=True)
class Unknown:
    """What could not be worked out, and the keys to add; without keys nothing that could be recorded would help."""

    what: str
    missing: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class StepCard:
    """One line of a sum: what is worked out, how, and what comes of it."""

    what: str
    how: str
    result: str


@dataclass(frozen=True, slots=True)
class Working:
    """A sum to be followed by hand: its formula in words, its steps, and the limits that it takes its figures from."""

    formula: str
    steps: tuple[StepCard, ...]
    limits: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Source:
    """Where the figures of one limit come from; `said` is empty where it is a table."""

    name: str
    said: str
    set: str
    basis: str
    source: str
    note: str
