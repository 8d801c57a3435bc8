"""The order of work: it can be done at all, the dates agree with it, and circuits go live last."""

from itertools import pairwise

from planlint.api import (
    CIRCUITS_CAUTION,
    NOT_APPLICABLE,
    PASS,
    Add,
    Duration,
    Fail,
    Given,
    HoldPoint,
    Level,
    Outcome,
    Plan,
    Remedy,
    Task,
    TaskKind,
    at_least,
    before,
    beside,
    listed,
    loop_of,
    of_kinds,
    precedes,
    rule,
    spoken_task,
)


@rule("order-has-no-loop", judges=Plan, level=Level.ERROR, guards=None)
def order_has_no_loop(plan: Plan, given: Given) -> Outcome:
    """The order of work can be done: no task waits for itself, and each comes after tasks that are there.

    Why: in a loop nothing can ever begin, and a task that comes after a name nobody knows is held back by nothing.
    Source: common practice.
    """
    if not plan.tasks:
        return NOT_APPLICABLE
    loop = loop_of(plan.tasks)
    if loop:
        names = [task.name for task in loop]
        # Of a loop each comes before the next; people say what a task waits for, which goes the other way round.
        waits = [names[0], *reversed(names)] if len(names) > 1 else names * 2
        links = [f"{one} waits for {'itself' if one == other else other}" for one, other in pairwise(waits)]
        remedy = Remedy(f"take out the `after` that is not so, of {listed(names, 'or')}")
        says = f"{listed(links, 'and')}: none of them can begin"
        return Fail(says, remedy=remedy, at=loop[0])
    known = {task.name for task in plan.tasks}
    astray = {task: [name for name in task.after_names if name not in known] for task in plan.tasks}
    says_of = [f"{task.name} comes after {listed(gone, 'and')}" for task, gone in astray.items() if gone]
    if says_of:
        remedy = Remedy("correct the name under `after`, or add the task to the order of work")
        first = next(task for task, gone in astray.items() if gone)
        return Fail(f"{listed(says_of, 'and')}, which the order of work does not hold", remedy=remedy, at=first)
    return PASS


@rule("done-in-order", judges=Task, level=Level.ERROR, guards=None, reads=("working_day",))
def done_in_order(task: Task, given: Given) -> Outcome:
    """What is done was done in order, after what comes before it and its wait, and not in days to come.

    Why: a date that cannot be right hides work that was left out, or a coat that was covered wet.
    Source: common practice; own decision (how long a working day may be).
    """
    if task.done is None:
        return NOT_APPLICABLE
    if task.done > given.today:
        remedy = Remedy("correct the date, or record `done` on the day when it is finished")
        says = f"{task.name} is recorded as done on {{measured}}, and today is {{allowed}}"
        return Fail(says, measured=f"{task.done}", allowed=f"{given.today}", remedy=remedy)
    for one in task.after:
        if one.done is None:
            remedy = Remedy(
                f"do {one.name} first or record when it was done; if it was left out, look whether it can be"
            )
            return Fail(
                f"{task.name} was done on {task.done}, and {one.name}, which comes before it, is not", remedy=remedy
            )
        if one.done > task.done:
            says = f"{task.name} was done on {{measured}}, and {one.name}, which comes before it, only on {{allowed}}"
            remedy = Remedy("correct the dates; where they are right, look what was covered or disturbed")
            return Fail(says, measured=f"{task.done}", allowed=f"{one.done}", remedy=remedy)
        passed = (task.done - one.done).total_seconds() + given.quantity("working_day", Duration)
        if one.wait is not None and not at_least(passed, one.wait):
            says = (
                f"{task.name} was done on {task.done}, and {one.name}, done on {one.done}, waits for {{allowed}}: "
                "at most {measured} lie between"
            )
            remedy = Remedy("correct the dates; where they are right, look whether what was covered has dried")
            return Fail(says, measured=one.wait.like(passed), allowed=one.wait, remedy=remedy)
    return PASS


@rule(
    "energise-last",
    judges=Task,
    level=Level.ERROR,
    guards=HoldPoint.ENERGISING,
    reads=("burying_work",),
    caution=CIRCUITS_CAUTION,
)
def energise_last(task: Task, given: Given) -> Outcome:
    """Circuits are tested live once all is fitted, and nothing of them is buried after that.

    Why: what is fitted or covered after the test is what the test says nothing about.
    Source: IEC 60364-6, from memory (verified on completion, before it is put into service).
    """
    others = beside(task)
    if task.kind is TaskKind.SECOND_FIX:
        tests = of_kinds(others, [TaskKind.LIVE_TEST])
        if tests:
            return PASS
        remedy = Remedy(f"add a task of kind live-test that comes after {task.name}")
        return Fail(f"no live test comes after {task.name}", remedy=remedy, level=Level.WARNING)
    if task.kind is not TaskKind.LIVE_TEST:
        return NOT_APPLICABLE
    earlier = before(task)
    wanted = of_kinds(others, [TaskKind.SECOND_FIX, *given.words("burying_work")])
    late = [one for one in wanted if not precedes(one, task, earlier, given.today)]
    if late:
        names = tuple(one.name for one in late)
        remedy = Remedy(
            f"let {task.name} come after {listed(names, 'and')}, and test again what is fitted later",
            edit=Add(task, "after", names),
        )
        return Fail(f"{task.name} does not come after {listed(map(spoken_task, late), 'and')}", remedy=remedy)
    return PASS
