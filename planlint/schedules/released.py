"""How far the hold point before a task is released, at the places that the task is done to."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from planlint.digest import Facts
from planlint.holds import OF_SURFACES, Releases, covering
from planlint.inspection import limits_of
from planlint.model.plan import Plan
from planlint.model.rooms import Room, Surface
from planlint.model.thing import Thing
from planlint.model.work import Task
from planlint.records import HoldPoint, Release
from planlint.registry import Rulebook
from planlint.releases import Entry, standing
from planlint.source import Document


@dataclass(frozen=True, slots=True)
class OnRecord:
    """The releases in force beside a plan, and the rules and limits by which they were given."""

    entries: Sequence[Entry]
    rulebook: Rulebook

    def standing(self, document: Document, plan: Plan) -> Releases:
        """The releases, and which of them facts have overtaken."""
        return standing(Facts(plan, limits_of(document, plan, self.rulebook, None)), self.entries)


def released(
    task: Task, hold_point: HoldPoint, plan: Plan, releases: Releases
) -> tuple[tuple[Release, ...], tuple[str, ...]]:
    """The releases that cover the places of a task, and the places that still have to be released, or anew.

    A room is released by itself, or by all of its faces that are to be lined; the whole plan by all of its rooms.
    """
    named = {thing.place: thing for thing in (plan, *_under(plan))}
    asked = [plan] if task.is_everywhere else [named[place] for place in named if place in task.bears_on]
    found: dict[Release, None] = {}
    waiting = [place for thing in asked for place in _waiting(thing, hold_point, releases, found)]
    return tuple(found), tuple(waiting)


def _under(plan: Plan) -> Iterator[Thing]:
    for room in plan.rooms:
        yield room
        yield from _surfaces(room)


def _surfaces(room: Room) -> list[Surface]:
    return [*room.walls, *([room.ceiling] if room.ceiling else []), *room.slopes]


def _waiting(thing: Thing, hold_point: HoldPoint, releases: Releases, found: dict[Release, None]) -> list[str]:
    """The places under a thing that are not released; the thing itself where that is so of all of them."""
    release = covering(hold_point, thing.place, releases)
    if release:
        found[release] = None
        if not release.overtaken:
            return []
    parts = list(_parts(thing, hold_point))
    waiting = [place for part in parts for place in _waiting(part, hold_point, releases, found)]
    return [thing.place] if waiting == [part.place for part in parts] else waiting


def _parts(thing: Thing, hold_point: HoldPoint) -> Iterator[Thing]:
    """What is released one by one under a thing: the lined faces of a room, the rooms of the plan."""
    if isinstance(thing, Plan):
        yield from (room for room in thing.rooms if hold_point not in OF_SURFACES or any(_parts(room, hold_point)))
    elif isinstance(thing, Room) and hold_point in OF_SURFACES:
        yield from (surface for surface in _surfaces(thing) if not surface.stays)
