"""The order of work from the bare board to the paint: one thing after the other, each when the last is dry."""

from planlint.api import (
    LIMITS_OF_DRYING,
    LIMITS_OF_USES,
    NOT_APPLICABLE,
    PASS,
    Add,
    Fail,
    Given,
    HoldPoint,
    Joint,
    Lacking,
    Level,
    Open,
    Outcome,
    Remedy,
    Set,
    Task,
    TaskKind,
    Temperature,
    Wall,
    at_least,
    before,
    beside,
    cold_rooms,
    drying_of,
    has_dried,
    is_bathroom,
    listed,
    of_kinds,
    precedes,
    rule,
    spoken_task,
    walls_of,
)


@rule("finish-in-order", judges=Task, level=Level.WARNING, guards=HoldPoint.PAINTING, reads=("finish_order",))
def finish_in_order(task: Task, given: Given) -> Outcome:
    """Beads come before filling, then sanding, then the elastic joints, then primer, then paint.

    Why: filler over a bead that is still loose, or paint over a joint that is still soft, cracks along the edge.
    Source: common practice.
    """
    order = given.words("finish_order")
    if task.kind not in order:
        return NOT_APPLICABLE
    earlier, others = before(task), beside(task)
    kinds = order[: order.index(task.kind)]
    late = [one for one in of_kinds(others, kinds) if not _is_in_turn(one, task, others, earlier, given)]
    if late:
        names = tuple(one.name for one in late)
        remedy = Remedy(f"let {task.name} come after {listed(names, 'and')}", edit=Add(task, "after", names))
        return Fail(f"{task.name} does not come after {listed(map(spoken_task, late), 'and')}", remedy=remedy)
    done_before = {one.kind for one in of_kinds(others, kinds)}
    for kind, (follows, joint, what) in LEFT_OUT.items():
        places = _joints(walls_of(task), joint) if task.kind is follows and kind in kinds else []
        if places and kind not in done_before:
            remedy = Remedy(f"add a task of kind {kind} before {task.name}")
            return Fail(f"{what} at {listed(places, 'and')}, and no task before {task.name} does it", remedy=remedy)
    return PASS


LEFT_OUT = {
    TaskKind.BEADS: (TaskKind.FILLING, Joint.BEAD, "beads are planned"),
    TaskKind.CORNER_SEALING: (TaskKind.PAINTING, Joint.SEALANT, "elastic joints are planned"),
}
"""What the corners of a room ask for, and the task that is wrong without it."""


def _is_in_turn(one: Task, task: Task, others: tuple[Task, ...], earlier: frozenset[Task], given: Given) -> bool:
    """Whether what should come before a task does, or repeats on purpose what came before it: sand, fill, sand."""
    if precedes(one, task, earlier, given.today):
        return True
    again = beside(one) if task in before(one) else ()
    return any(
        other.kind is one.kind and other in again and precedes(other, task, earlier, given.today) for other in others
    )


def _joints(walls: tuple[Wall, ...], joint: Joint) -> list[str]:
    """The corners and openings of walls that are finished in one way."""
    corners = [wall.corner.place for wall in walls if wall.corner and wall.corner.joint is joint]
    openings = [finish.place for wall in walls for finish in wall.finishes if finish.joint is joint]
    return list(dict.fromkeys([*corners, *openings]))


@rule(
    "wet-work-dries",
    judges=Task,
    level=Level.WARNING,
    guards=HoldPoint.PAINTING,
    needs=("wait", "thickness", "product"),
    reads=(*LIMITS_OF_DRYING, "least_drying_temperature"),
)
def wet_work_dries(task: Task, given: Given) -> Outcome:
    """After every coat the work waits until it is dry, in the air of the room that it is done in.

    Why: what is covered wet stays soft, shrinks, stains and peels; filler that is sanded wet clogs and tears.
    Source: Drywall Finishing Council, Joint Compound Drying Time, as quoted, with a handbook's chart from memory
    (filler); common practice and labels (the rest).
    """
    drying = drying_of(task, given)
    if drying is None or isinstance(drying, Lacking):
        return Open(drying.what, *drying.keys) if drying else NOT_APPLICABLE
    least = given.quantity("least_drying_temperature", Temperature)
    cold = next(cold_rooms(task, given, least), None)
    if has_dried(task, drying, given):
        return PASS
    if cold:
        where = f"the air of {cold.room}" if cold.room else "the air"
        remedy = Remedy("heat the room from two days before until it is dry")
        says = f"{where} has {{measured}}; below {{allowed}} {drying.what} does not dry as it should"
        return Fail(says, measured=cold.temperature, allowed=least, remedy=remedy)
    air = f" in the air of {drying.air.room or 'the room'} ({drying.air})" if drying.air else ""
    if drying.time is None:
        remedy = Remedy("heat and air the room, and record its climate; until then, look and feel")
        return Fail(f"nobody can say when {drying.what} dries{air}", remedy=remedy)
    if task.wait is None:
        return Open(f"how long it dries after every coat; {drying.what} wants {drying.time}{air}", "wait")
    if at_least(task.wait, drying.time):
        return PASS
    coats = f"every one of the {task.coats} coats" if task.coats > 1 else task.name
    says = f"after {coats} the work waits {{measured}}; {drying.what} wants {{allowed}}{air}"
    remedy = Remedy(
        "wait longer, or warm and air the room; look and feel whether it is dry before you go on",
        edit=Set(task, "wait", drying.time),
    )
    return Fail(says, measured=task.wait, allowed=drying.time, remedy=remedy)


@rule(
    "wet-area-tanked-before-tiling",
    judges=Wall,
    level=Level.WARNING,
    guards=HoldPoint.TILING,
    needs=("use",),
    reads=LIMITS_OF_USES,
)
def wet_area_tanked_before_tiling(wall: Wall, given: Given) -> Outcome:
    """A wall of a bathroom is sealed before it is tiled.

    Why: tiles and their joints let water through; without sealing it stands in the board behind them.
    Source: common practice.
    """
    tiling = of_kinds(wall.tasks, [TaskKind.TILING])
    if not tiling:
        return NOT_APPLICABLE
    is_wet = is_bathroom(wall.room, given)
    if is_wet is None:
        return Open(
            "what the room is used for, and so whether its walls are sealed before they are tiled",
            f"{wall.room.place}.use",
        )
    if not is_wet:
        return NOT_APPLICABLE
    sealing = of_kinds(wall.tasks, [TaskKind.TANKING])
    for task in tiling:
        earlier = before(task)
        if not sealing:
            remedy = Remedy(f"add a task of kind tanking before {task.name}, with its wait")
            return Fail(
                f"{task.name} covers a wall of a {wall.room.use or 'bathroom'}, and nothing seals it before",
                remedy=remedy,
            )
        late = [one for one in sealing if not precedes(one, task, earlier, given.today)]
        if late:
            names = tuple(one.name for one in late)
            says = f"{task.name} does not come after {listed(map(spoken_task, late), 'and')}"
            remedy = Remedy(f"let {task.name} come after {listed(names, 'and')}", edit=Add(task, "after", names))
            return Fail(says, remedy=remedy)
    return PASS
