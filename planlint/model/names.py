"""Names of the user's own: none taken by the format, none given twice side by side."""

from collections.abc import Iterable, Iterator
from typing import Any

from planlint.model.fields import Faults
from planlint.spans import Path

TAKEN = frozenset(("supply", "circuits", "boards", "boxes", "bases", "linings", "work", "access", "building", "plan"))
"""What the places of a plan begin with; a room or a point of that name could not be told from them."""

TAKEN_IN_ROOM = frozenset(("ceiling", "floor", "corner"))
TAKEN_AS_LINING = frozenset(("none",))

Named = tuple[str, Path, bool]
"""A name, where it stands, and whether it stands there as a key."""


def check_names(data: Any, faults: Faults) -> None:  # noqa: ANN401 - plain YAML data
    """Record every name that is taken or given twice.

    What lies side by side on a wall or in a room has different names; a point's name is its own in the whole
    plan, since runs refer to points by it.
    """
    points: list[Named] = []
    rooms = list(_keys(data, ("rooms",)))
    _refuse_taken(rooms, TAKEN, "a room", faults)
    _refuse_taken(_keys(data, ("linings",)), TAKEN_AS_LINING, "a lining", faults)
    for _, room_path, _ in rooms:
        room = _get(data, room_path) or {}
        walls = [
            (wall["wall"], (*room_path, "walls", index, "wall"), False)
            for index, wall in enumerate(room.get("walls") or ())
        ]
        beside = [*walls, *_keys(data, (*room_path, "fixtures")), *_keys(data, (*room_path, "slopes"))]
        _refuse_taken(beside, TAKEN_IN_ROOM, "what is in a room", faults)
        _refuse_doubles(beside, faults)
        surfaces = [path[:-1] for _, path, _ in walls]
        surfaces += [path for _, path, _ in _keys(data, (*room_path, "slopes"))]
        for path in surfaces:
            on_wall = [named for key in ("openings", "points", "pipes") for named in _keys(data, (*path, key))]
            on_wall += [
                (piece["name"], (*path, "pieces", index, "name"), False)
                for index, piece in enumerate((_get(data, path) or {}).get("pieces") or ())
                if "name" in piece
            ]
            _refuse_taken(on_wall, TAKEN_IN_ROOM, "what is on a wall", faults)
            _refuse_doubles(on_wall, faults)
            points += _keys(data, (*path, "points"))
        points += _keys(data, (*room_path, "ceiling", "points"))
    _refuse_taken(points, TAKEN, "a point", faults)
    _refuse_doubles(points, faults)
    work: Path = ("work",) if isinstance(data.get("work"), list) else ("work", "tasks")
    tasks = enumerate(_get(data, work) or ())
    _refuse_doubles([(task["task"], (*work, index, "task"), False) for index, task in tasks], faults)


def _refuse_taken(names: Iterable[Named], taken: frozenset[str], what: str, faults: Faults) -> None:
    for name, path, at_key in names:
        if name in taken or (taken is TAKEN_IN_ROOM and _is_piece(name)):
            faults.add(
                path,
                f"{name} cannot be the name of {what}: it is taken by the format",
                f"{name}-1 would do",
                at_key=at_key,
            )


def _is_piece(name: str) -> bool:
    start, _, number = name.partition("-")
    return start == "piece" and number.isdecimal()


def _refuse_doubles(names: Iterable[Named], faults: Faults) -> None:
    first: dict[str, Path] = {}
    for name, path, at_key in names:
        if first.setdefault(name, path) != path:
            line = faults.line(first[name])
            faults.add(
                path,
                f"{name} is here twice; the first is on line {line}",
                "give one of them another name",
                at_key=at_key,
            )


def _keys(data: Any, path: Path) -> Iterator[Named]:  # noqa: ANN401 - plain YAML data
    mapping = _get(data, path)
    for name in mapping if isinstance(mapping, dict) else ():
        yield name, (*path, name), True


def _get(data: Any, path: Path) -> Any:  # noqa: ANN401 - plain YAML data
    for step in path:
        if isinstance(data, dict):
            data = data.get(str(step))
        elif isinstance(data, list) and isinstance(step, int):
            data = data[step]
        else:
            return None
    return data
