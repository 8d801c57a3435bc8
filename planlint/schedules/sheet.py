"""The sheet of a plan: its rooms wall by wall, what is found where, how the hold points stand, and what to mind."""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from datetime import date
from typing import Final
from unicodedata import normalize

from planlint.drawing.ceiling import LIMITS_OF_CEILING, ceiling_view, table_of_ceiling_points
from planlint.drawing.elevation import LIMITS_OF_ELEVATION, elevation
from planlint.drawing.room_plan import LIMITS_OF_ROOM_PLAN, room_plan, table_of_walls
from planlint.drawing.section import LIMITS_OF_SECTION, section, table_of_layers
from planlint.drawing.wall_tables import tables_of_wall
from planlint.entries import Entry, stops
from planlint.inspection import Wanted, inspect, limits_of, plan_of
from planlint.model.plan import Plan
from planlint.model.rooms import Ceiling, Room, Surface, Wall
from planlint.model.thing import Thing, lies_under
from planlint.records import Level, PlanRecord, Verdict
from planlint.registry import Rulebook
from planlint.rule import Given
from planlint.sheet_records import Look, Numbered, Part, Picture, RoomSheet, Sheet, Table
from planlint.source import Document
from planlint.takeoff.layout import LIMITS_OF_LAYOUT, hang

CAUTION: Final = (
    "The pictures show what the plan records and what was worked out from it; the walls may differ, and they may hold "
    "what nobody wrote down. Measure again before you cut. Before you drill, nail or cut into a wall, go over the spot "
    "with a detector, switch off what may lie behind it and prove it dead. In many places fixed wiring is licensed "
    "work. The local code and licensed people decide what may be done and what may be covered up."
)
"""What is said at the top of every sheet."""

_LIMITS: Final = tuple(
    dict.fromkeys(
        (*LIMITS_OF_LAYOUT, *LIMITS_OF_ROOM_PLAN, *LIMITS_OF_CEILING, *LIMITS_OF_ELEVATION, *LIMITS_OF_SECTION)
    )
)

_LOOKS: Final = {
    Level.ERROR: Look.FOUND_ERROR,
    Level.WARNING: Look.FOUND_WARNING,
    Level.NOTE: Look.FOUND_NOTE,
}

Found = Mapping[str, tuple[Numbered, ...]]
"""What is found, by where one stops."""


def sheet(  # noqa: PLR0913 - the plan, by what it is judged, and what of it is asked for
    document: Document,
    rulebook: Rulebook,
    today: date,
    version: str,
    *,
    limits: str | None = None,
    place: str | None = None,
) -> Sheet:
    """The sheet of a plan, or of what lies under `place` or bears on it, by the limit set `limits` or the plan's own.

    Raises PlanFaults where the document cannot be read as a plan, UsageError for a place that it does not hold,
    LimitError for a limit set that there is not.
    """
    record = inspect(document, rulebook, Wanted(today, limits, place=place, every_hold_point=True))
    plan = plan_of(document)
    found = _numbered(record)
    given = Given(limits_of(document, plan, rulebook, limits), today, _LIMITS)
    drawer = _Drawer(plan, given, found)
    rooms = tuple(drawer.rooms(_shown(plan, place)))
    in_rooms = {place for room in rooms for place in (room.place, *(part.place for part in room.parts))}
    return Sheet(
        version=version,
        today=today.isoformat(),
        plan=record,
        rooms=rooms,
        elsewhere=tuple(drawer.part(stop) for stop in found if stop not in in_rooms),
        holds=record.holds,
        cautions=tuple(_cautions(one for some in found.values() for one in some)),
        place=place,
    )


class _Drawer:
    """Draws the rooms of a plan and what is on them, with the numbers of what is found there."""

    def __init__(self, plan: Plan, given: Given, found: Found) -> None:
        self.plan = plan
        self.given = given
        self.found = found
        self.things: dict[str, Thing] = {}
        for thing in plan.things():
            self.things.setdefault(thing.place, thing)
        self.flags = _flags(found)

    def rooms(self, shown: frozenset[Surface]) -> Iterator[RoomSheet]:
        """The rooms that something is shown of, or found in."""
        for room in self.plan.rooms:
            drawn = [surface.place for surface in _surfaces(room) if surface in shown]
            others = [stop for stop in self.found if lies_under(stop, room.place) and stop not in (room.place, *drawn)]
            if drawn or others or room.place in self.found:
                yield RoomSheet(
                    place=room.place,
                    title=_called(room),
                    picture=room_plan(room, self.given, self.flags),
                    tables=tuple(filter(None, [table_of_walls(room)])),
                    found=self.found.get(room.place, ()),
                    parts=tuple(map(self.part, (*drawn, *others))),
                )

    def part(self, place: str) -> Part:
        """What one stops at."""
        thing = self.things.get(place)
        return Part(
            place=place,
            title=_called(thing) if thing else place,
            pictures=tuple(filter(None, self._pictures(thing))),
            tables=tuple(filter(None, self._tables(thing))),
            found=self.found.get(place, ()),
        )

    def _pictures(self, thing: Thing | None) -> Iterator[Picture | None]:
        if isinstance(thing, Wall):
            yield elevation(thing, self.plan, self.given, hang(thing, self.given).pieces, self.flags)
        if isinstance(thing, Ceiling):
            yield ceiling_view(thing, self.given, self.flags)
        if isinstance(thing, Surface):
            yield section(thing, self.given, self.flags)

    def _tables(self, thing: Thing | None) -> Iterator[Table | None]:
        if isinstance(thing, Wall):
            yield from tables_of_wall(thing, self.given)
        if isinstance(thing, Ceiling):
            yield table_of_ceiling_points(thing)
        if isinstance(thing, Surface):
            yield table_of_layers(thing, self.given)


def _numbered(record: PlanRecord) -> dict[str, tuple[Numbered, ...]]:
    """What is found, stop by stop, with its numbers: those of `planlint inspect`, and then what is conceded."""
    walk = list(stops(record))
    entries = [entry for stop in walk for entry in stop.entries]
    in_turn = sorted(entries, key=lambda entry: entry.lead.conceded is not None)
    numbers = {id(entry): number for number, entry in enumerate(in_turn, 1)}
    return {stop.place: tuple(Numbered(numbers[id(entry)], entry) for entry in stop.entries) for stop in walk}


def _called(thing: Thing) -> str:
    """What a thing is, with its name: `Wall west`, `Circuit sockets`."""
    name = thing.place.rpartition(".")[2]
    words = "the whole plan" if isinstance(thing, Plan) else thing.called
    called = words if name in (words, "plan") else f"{words} {name}"
    return f"{called[:1].upper()}{called[1:]}"


def _shown(plan: Plan, place: str | None) -> frozenset[Surface]:
    """The walls, ceilings and slopes to draw: those of the place, or else those that it bears on."""
    every = [surface for room in plan.rooms for surface in _surfaces(room)]
    if place in (None, plan.place):
        return frozenset(every)
    asked = normalize("NFC", place or "")  # as things_at does
    own = [one for one in every if lies_under(one.place, asked) or lies_under(asked, one.place)]
    touched = {bears for thing in plan.things() if thing.place == asked for bears in thing.bears_on}
    return frozenset(own or (one for one in every if any(to == "" or lies_under(one.place, to) for to in touched)))


def _surfaces(room: Room) -> Iterator[Surface]:
    yield from room.walls
    if room.ceiling:
        yield room.ceiling
    yield from room.slopes


def _look(entry: Entry) -> Look:
    if entry.lead.conceded:
        return Look.FOUND_CONCEDED
    if entry.lead.outcome is Verdict.FAIL:
        return _LOOKS[entry.lead.level]
    return Look.FOUND_OPEN if entry.is_open else Look.FOUND_NOTE


def _flags(found: Found) -> dict[str, tuple[tuple[int, Look], ...]]:
    """For every place the numbers of what was found there, and how their flags look."""
    flags: defaultdict[str, list[tuple[int, Look]]] = defaultdict(list)
    for one in (one for some in found.values() for one in some):
        flags[one.entry.lead.place].append((one.number, _look(one.entry)))
    return {place: tuple(sorted(some)) for place, some in flags.items()}


def _cautions(found: Iterable[Numbered]) -> Iterator[tuple[str, tuple[int, ...]]]:
    """That of the page, and then those of the findings that are to be put right or looked at."""
    yield CAUTION, ()
    belongs: defaultdict[str, list[int]] = defaultdict(list)
    for one in sorted(found, key=lambda one: one.number):
        caution = one.entry.lead.caution
        if caution and not one.entry.is_open and not one.entry.lead.conceded:
            belongs[caution].append(one.number)
    yield from ((caution, tuple(numbers)) for caution, numbers in belongs.items())
