"""What all things of a plan have in common: a place, where the plan says it, and what it bears on."""

from dataclasses import dataclass
from typing import Any, ClassVar

from planlint.spans import Path


@dataclass(frozen=True, eq=False, repr=False, kw_only=True)
class Thing:
    """One thing of a plan that a rule can judge or a finding can be placed at.

    `path` leads to where the plan says it; `place` is its dotted name. `bears_on` names the places that the
    thing touches beside those that lie under it; the empty name stands for the whole plan.
    """

    called: ClassVar[str]
    """What a person calls a thing of this kind."""

    place: str
    path: Path
    bears_on: frozenset[str] = frozenset()

    def __repr__(self) -> str:
        return f"<{self.called} {self.place}>"


def complete(thing: Thing, **links: Any) -> None:  # noqa: ANN401 - whatever the thing links to
    """Give a thing the links that could not be known when it was made.

    Things refer to each other in circles, so one of two is made first. Only the builders call this; after them
    a thing never changes.
    """
    for name, link in links.items():
        object.__setattr__(thing, name, link)


def lies_under(place: str, other: str) -> bool:
    """Whether `place` is `other` or lies under it.

    >>> lies_under("study.west.S1", "study.west"), lies_under("study.west", "study.we")
    (True, False)
    """
    return place == other or place.startswith(other + ".")


def concerns(thing: Thing, place: str) -> bool:
    """Whether a thing lies under a place or bears on it.

    What bears on a wall bears on all that is on the wall, and on the room that it stands in.
    """
    return lies_under(thing.place, place) or any(
        touched == "" or lies_under(touched, place) or lies_under(place, touched) for touched in thing.bears_on
    )
