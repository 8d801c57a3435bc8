"""Finds what lies under a place or bears on it, for whoever asks about many places of one plan."""

from collections import defaultdict
from collections.abc import Iterable, Iterator

from planlint.model.thing import Thing


class Places:
    """The things of a plan by their places. `at` finds the things that `concerns` names, without looking at all."""

    def __init__(self, things: Iterable[Thing]) -> None:
        self._things = tuple(things)
        self._everywhere: list[int] = []
        self._at_or_below: defaultdict[str, list[int]] = defaultdict(list)
        """By place: what lies under it, or touches something that does."""
        self._touching: defaultdict[str, list[int]] = defaultdict(list)
        """By place: what touches it, and so bears on all that lies under it."""
        self.named: dict[str, Thing] = {}
        for number, thing in enumerate(self._things):
            self.named.setdefault(thing.place, thing)
            self._add(number, thing)

    def _add(self, number: int, thing: Thing) -> None:
        for place in _upwards(thing.place):
            self._at_or_below[place].append(number)
        for touched in thing.bears_on:
            if touched == "":
                self._everywhere.append(number)
                continue
            self._touching[touched].append(number)
            for place in _upwards(touched):
                self._at_or_below[place].append(number)

    def at(self, place: str) -> list[Thing]:
        """What lies under a place or bears on it, in the order of the walk."""
        found = {*self._everywhere, *self._at_or_below.get(place, ())}
        for above in _upwards(place):
            found.update(self._touching.get(above, ()))
        return [self._things[number] for number in sorted(found)]


def _upwards(place: str) -> Iterator[str]:
    """A place and all that it lies under, from below."""
    while place:
        yield place
        place = place.rpartition(".")[0]
