"""Holds every name by which one part of a plan refers to a place against the places that there are."""

from collections.abc import Mapping
from itertools import chain

from planlint.model.build_work import written_tasks
from planlint.model.fields import Fields
from planlint.model.plan import ConcessionEntry, Plan
from planlint.model.rooms import Room, Wall


def check_places(root: Fields, plan: Plan) -> None:
    """Record a fault for every room, wall or other place that is referred to and not there."""
    places = {thing.place: thing for thing in plan.things() if not isinstance(thing, ConcessionEntry)}
    for entry in chain(root.items("concessions"), root.items("reviews")):
        entry.refer("at", places, "place", "rooms")
    rooms = {room.place: room for room in plan.rooms}
    walls = {wall.place: wall for room in plan.rooms for wall in room.walls}
    for task in written_tasks(root):
        _check_list(task, "rooms", rooms, "room")
        _check_list(task, "walls", walls, "wall")
    _check_list(root.part("work"), "usual", rooms, "room")
    for _, circuit in root.named("circuits"):
        for spot in chain.from_iterable(run.items("path") for run in circuit.items("runs")):
            spot.refer("wall", walls, "wall", "rooms")
    for name, room in root.named("rooms"):
        for wall in room.items("walls"):
            wall.part("back_of").refer("wall", walls, "wall", "rooms")
            for spot in chain.from_iterable(pipe.items("path") for _, pipe in wall.named("pipes")):
                spot.refer("wall", walls, "wall", "rooms")
        _check_room(room, {wall.name: wall for wall in rooms[name].walls})


def _check_room(room: Fields, walls: Mapping[str, Wall]) -> None:
    where = f"rooms: {room.path[-1]}: walls"
    for _, fixture in room.named("fixtures"):
        fixture.refer("wall", walls, "wall", where)
    for _, point in room.part("ceiling").named("points"):
        at = point.part("at")
        for name in at.data:
            if name not in walls:
                at.unknown((*at.path, name), name, walls, "wall", where)


def _check_list(fields: Fields, key: str, known: Mapping[str, Room] | Mapping[str, Wall], what: str) -> None:
    for index, name in enumerate(fields.texts(key) or ()):
        if name not in known:
            fields.unknown((*fields.path, key, index), name, known, what, "rooms")
