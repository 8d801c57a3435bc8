"""Names of the user's own: none taken by the format, none given twice side by side."""

import re
from collections.abc import Iterable, Iterator
from typing import Any

from planlint.model.fields import Faults
from planlint.spans import Path

TAKEN_AS_LINING = re.compile("none")
TAKEN_AS_PIECE = re.compile(r"ceiling|floor|corner|piece-\d+")
"""The schema refuses the other names that are taken; these two it takes for the name of a thing elsewhere."""

Named = tuple[str, Path, bool]
"""A name, where it stands, and whether it stands there as a key."""


def check_names(data: Any, faults: Faults) -> None:  # noqa: ANN401 - plain YAML data
    """Record every name that is taken or given twice.

    What lies side by side on a wall or in a room has different names; a point's name is its own in the whole
    plan, since runs refer to points by it.
    """
    points: list[Named] = []
    rooms = list(_keys(data, ("rooms",)))
    _refuse_taken(_keys(data, ("linings",)), TAKEN_AS_LINING, "a lining", faults)
    for _, room_path, _ in rooms:
        room = _get(data, room_path) or {}
        walls = [
            (wall["wall"], (*room_path, "walls", index, "wall"), False)
            for index, wall in enumerate(room.get("walls") or ())
        ]
        beside = [*walls, *_keys(data, (*room_path, "fixtures")), *_keys(data, (*room_path, "slopes"))]
        _refuse_doubles(beside, faults)
        surfaces = [path[:-1] for _, path, _ in walls]
        surfaces += [path for _, path, _ in _keys(data, (*room_path, "slopes"))]
        for path in surfaces:
            on_wall = [named for key in ("openings", "points", "pipes") for named in _keys(data, (*path, key))]
            pieces = [
                (piece["name"], (*path, "pieces", index, "name"), False)
                for index, piece in enumerate((_get(data, path) or {}).get("pieces") or ())
                if "name" in piece
            ]
            _refuse_taken(pieces, TAKEN_AS_PIECE, "a piece", faults)
            _refuse_doubles([*on_wall, *pieces], faults)
            points += _keys(data, (*path, "points"))
        points += _keys(data, (*room_path, "ceiling", "points"))
    _refuse_doubles(points, faults)
    work: Path = ("work",) if isinstance(data.get("work"), list) else ("work", "tasks")
    tasks = enumerate(_get(data, work) or ())
    _refuse_doubles([(task["task"], (*work, index, "task"), False) for index, task in tasks], faults)


def _refuse_taken(names: Iterable[Named], taken: re.Pattern[str], what: str, faults: Faults) -> None:
    for name, path, at_key in names:
        if taken.fullmatch(name):
            faults.add(
                path,
                f"{name} cannot be the name of {what}: it is taken by the format",
                f"choose another, such as my-{name}",
                at_key=at_key,
            )


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
