"""What the tasks of a plan have to do with each other: which share a place, and which come before which."""

from collections.abc import Collection, Iterable, Iterator
from datetime import date

from planlint.formulas.schedule import find_loop
from planlint.model.rooms import Wall
from planlint.model.work import Task


def walls_of(task: Task) -> tuple[Wall, ...]:
    """The walls that a task is done on, in the order of the walk."""
    return tuple(wall for room in task.rooms for wall in room.walls if task in wall.tasks)


def beside(task: Task) -> tuple[Task, ...]:
    """The other tasks that are done on one of its walls, or in the same room as a whole."""
    return _others(task, _groups(task, walls_of(task), floors=True))


def buried_by(task: Task) -> tuple[Task, ...]:
    """The other tasks on what a task that closes a wall lines: not on faces that stay as they are."""
    walls = walls_of(task)
    return _others(task, _groups(task, [wall for wall in walls if not wall.stays], floors=not walls))


def _groups(task: Task, walls: Iterable[Wall], *, floors: bool) -> Iterator[tuple[Task, ...]]:
    for wall in walls:
        yield wall.tasks
    for room in task.rooms:
        overhead = [*([room.ceiling] if room.ceiling else []), *room.slopes]
        if task in room.floor.tasks and (floors or any(not surface.stays for surface in overhead)):
            yield room.floor.tasks


def _others(task: Task, groups: Iterable[tuple[Task, ...]]) -> tuple[Task, ...]:
    found = {other: None for group in groups for other in group}
    found.pop(task, None)
    return tuple(found)


def before(task: Task) -> frozenset[Task]:
    """All tasks that come before one by the order of the plan; those of a loop come before each other."""
    found: set[Task] = set()
    waiting = list(task.after)
    while waiting:
        one = waiting.pop()
        if one not in found:
            found.add(one)
            waiting.extend(one.after)
    return frozenset(found)


def loop_of(tasks: Collection[Task]) -> tuple[Task, ...]:
    """The tasks of one loop, each before the next and the last before the first; nothing where there is none."""
    by_name = {task.name: task for task in tasks}
    return tuple(by_name[name] for name in find_loop({task.name: [one.name for one in task.after] for task in tasks}))


def is_done(task: Task, today: date) -> bool:
    """Whether a task was finished by the end of today."""
    return task.done is not None and task.done <= today


def precedes(one: Task, task: Task, earlier: Collection[Task], today: date) -> bool:
    """Whether `one` comes before `task`, whose `earlier` tasks are known: by the order, or because it is done."""
    if one in earlier:
        return True
    return is_done(one, today) and one.done is not None and (task.done is None or one.done <= task.done)


def of_kinds(tasks: Iterable[Task], kinds: Collection[str]) -> list[Task]:
    """Those of the tasks that are of one of the kinds."""
    return [task for task in tasks if task.kind in kinds]


def spoken_task(task: Task) -> str:
    """A task as one names it: its name, and its kind where that says more.

    >>> from types import SimpleNamespace as Named
    >>> spoken_task(Named(name="wiring", kind="first-fix")), spoken_task(Named(name="beads", kind="beads"))
    ('wiring (first-fix)', 'beads')
    """
    return task.name if task.name == task.kind else f"{task.name} ({task.kind})"
