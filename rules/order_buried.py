"""The order of work: what the boards bury comes before them, pressure tests of pipes among it."""

from planlint.api import (
    NOT_APPLICABLE,
    PASS,
    Add,
    Fail,
    Given,
    HoldPoint,
    Level,
    Open,
    Outcome,
    Pipe,
    Remedy,
    Task,
    TaskKind,
    Wall,
    before,
    buried_by,
    listed,
    of_kinds,
    precedes,
    rule,
    spoken_task,
    walls_of,
)


@rule("buried-work-first", judges=Task, level=Level.ERROR, guards=HoldPoint.CLOSING_IN, reads=("buried_work",))
def buried_work_first(task: Task, given: Given) -> Outcome:
    """Boards go on after all that they bury is laid, tested, photographed and dry.

    Why: nothing behind a board is looked at again; a cable that was forgotten means opening the wall.
    Source: common practice.
    """
    if task.kind is not TaskKind.CLOSING_IN:
        return NOT_APPLICABLE
    earlier, others = before(task), buried_by(task)
    buried = of_kinds(others, given.words("buried_work"))
    late = [one for one in buried if not precedes(one, task, earlier, given.today)]
    if late:
        names = tuple(one.name for one in late)
        remedy = Remedy(
            f"let {task.name} come after {listed(names, 'and')}, or record when they were done",
            edit=Add(task, "after", names),
        )
        return Fail(
            f"{task.name} does not come after {listed(map(spoken_task, late), 'and')}, and buries it", remedy=remedy
        )
    kinds = {one.kind for one in buried}
    lined = [wall for wall in walls_of(task) if not wall.stays]
    untested = [] if TaskKind.DEAD_TEST in kinds else _untested(lined)
    unseen = [] if TaskKind.PHOTOGRAPHS in kinds else _unseen(lined)
    if untested:
        says = f"{task.name} buries cables of {listed(untested, 'and')}, and no dead test comes before it"
        also = ", nor any photographs" if unseen else ""
        remedy = Remedy(f"add a task of kind dead-test before {task.name}, or record the circuit's `tests`")
        return Fail(f"{says}{also}", remedy=remedy)
    if unseen:
        says = f"{task.name} closes {listed(unseen, 'and')}, and no photographs of what lies there come before it"
        remedy = Remedy(f"add a task of kind photographs before {task.name}, or record the wall's `photos`")
        return Fail(says, remedy=remedy, level=Level.WARNING)
    return PASS


def _untested(walls: list[Wall]) -> list[str]:
    """The circuits behind walls of which no test is recorded."""
    circuits = [run.circuit for wall in walls for run in wall.runs]
    circuits += [point.circuit for wall in walls for point in wall.points if point.circuit]
    return list(dict.fromkeys(circuit.name for circuit in circuits if not circuit.tests))


def _unseen(walls: list[Wall]) -> list[str]:
    """The walls with cables behind them of which no photograph is recorded."""
    return [wall.place for wall in walls if (wall.points or wall.runs) and not wall.photos]


@rule(
    "pipes-tested-before-closing",
    judges=Pipe,
    level=Level.ERROR,
    guards=HoldPoint.CLOSING_IN,
    needs=("tested", "lining"),
    reads=("pressure_tested_pipes",),
    caution="Gas pipes are laid, tested and signed for by licensed people alone. Never test a gas pipe with a flame.",
)
def pipes_tested_before_closing(pipe: Pipe, given: Given) -> Outcome:
    """A pipe behind a lining passed its pressure test before the wall was closed.

    Why: a joint that weeps shows months later, when the boards in front of it are rotten.
    Source: common practice.
    """
    wall = pipe.wall
    if pipe.kind not in given.words("pressure_tested_pipes") or wall.stays:
        return NOT_APPLICABLE
    gaps = {"tested": pipe.tested, f"{wall.place}.lining": None if wall.undecided else wall}
    missing = [key for key, known in gaps.items() if known is None]
    if pipe.tested is None or missing:
        return Open("whether the pipe was pressure-tested before its wall is closed", *missing)
    if pipe.tested > given.today:
        remedy = Remedy("test the pipe before the wall is closed, and record the day of the test")
        says = "the pressure test is dated {measured}, and today is {allowed}"
        return Fail(says, measured=f"{pipe.tested}", allowed=f"{given.today}", remedy=remedy)
    closed = [task.done for task in wall.tasks if task.kind is TaskKind.CLOSING_IN and task.done]
    first = min((day for day in closed if day <= given.today), default=None)
    if first is not None and pipe.tested > first:
        remedy = Remedy("correct the date, or open the wall where the joints are and look at them under pressure")
        says = "the pipe was tested on {measured}, and the wall was closed before that, on {allowed}"
        return Fail(says, measured=f"{pipe.tested}", allowed=f"{first}", remedy=remedy)
    return PASS
