"""The order of work in time. Hours are counted by hand, from the beginning of the day that is today."""

from collections.abc import Callable
from datetime import date

import pytest

from planlint import source
from planlint.model.build import build
from planlint.order_records import State
from planlint.sums.order import Order, Slot, order_of

TODAY = date(2026, 5, 6)
Find = Callable[..., dict[str, Slot]]


@pytest.fixture
def order() -> Callable[..., Order]:
    """The order of tasks that are written one a line, as of 6 May 2026."""

    def make(*tasks: str) -> Order:
        listed = "".join(f"  - {{task: {task}}}\n" for task in tasks)
        text = f"plan: 1\ntitle: one\nrooms: {{study: {{walls: [{{wall: west}}]}}}}\nwork:\n{listed}"
        return order_of(build(source.read(text.encode(), "case.plan.yaml")).tasks, TODAY)

    return make


@pytest.fixture
def slots(order: Callable[..., Order]) -> Find:
    def find(*tasks: str) -> dict[str, Slot]:
        return {slot.task.name: slot for slot in order(*tasks).slots}

    return find


def start(slot: Slot) -> float:
    assert slot.times is not None
    return slot.times.earliest_start


def names(slot: Slot) -> list[str]:
    return [task.name for task in slot.meanwhile]


def test_work_follows_work_and_a_day_is_of_24_hours(slots: Find) -> None:
    found = slots(
        "lining, kind: closing-in, takes: 1 d, wait: 12 h",
        "beads, kind: beads, takes: 0.5 d, after: [lining]",
        "sanding, kind: sanding, takes: 1 h, after: [beads]",
    )
    assert [start(slot) for slot in found.values()] == [0, 36, 48]
    assert found["sanding"].free == 49


def test_a_wait_passes_after_every_coat(slots: Find) -> None:
    """Two coats in two days: 24 + 10 of waiting + 24 is the last coat, and 10 more the last wait."""
    found = slots(
        "paint, kind: painting, takes: 2 d, coats: 2, wait: 10 h", "fittings, kind: second-fix, after: [paint]"
    )
    times = found["paint"].times
    assert times
    assert (times.earliest_finish, times.free) == (58, 68)
    assert start(found["fittings"]) == 68


@pytest.mark.parametrize(
    ("done", "wait", "free"),
    [
        ("2026-05-04", "", 0),  # long over: what is not done begins today at the earliest
        ("2026-05-06", "", 0),  # done this morning, so the next may begin today
        ("2026-05-04", ", wait: 24 h", 0),  # the end of 4 May and a day is the end of 5 May
        ("2026-05-05", ", wait: 24 h", 24),
        ("2026-05-06", ", wait: 12 h", 36),
        ("2026-05-05", ", coats: 3, wait: 12 h", 12),  # the last coat was on by then
        ("2026-05-09", "", 72),  # a day that is still to come
    ],
)
def test_what_is_done_stays_on_its_day(slots: Find, done: str, wait: str, free: float) -> None:
    """Its wait counts from the end of that day, since the hour is not recorded."""
    found = slots(
        f"filling, kind: filling, takes: 9 d{wait}, done: {done}",
        "sanding, kind: sanding, takes: 1 d, after: [filling]",
    )
    assert start(found["sanding"]) == free
    assert found["filling"].state is State.DONE
    assert found["filling"].times is None


@pytest.mark.parametrize(
    ("before", "state"),
    [
        ("done: 2026-05-05", State.CAN_BEGIN),
        ("done: 2026-05-05, wait: 20 h", State.CAN_BEGIN),  # tonight at eight is today
        ("done: 2026-05-05, wait: 24 h", State.WAITS),
        ("takes: 0.5 d", State.WAITS),  # not done, though it could be by noon
        ("wait: 1 h", State.WAITS),  # not done, and nobody knows how long it takes
    ],
)
def test_what_can_be_begun_today(slots: Find, before: str, state: State) -> None:
    found = slots(f"filling, kind: filling, {before}", "sanding, kind: sanding, takes: 1 d, after: [filling]")
    assert found["sanding"].state is state


def test_what_was_left_out_earlier_holds_up_what_comes_later(slots: Find) -> None:
    """Sanding is done, filling not: priming waits until filling has dried, and cannot begin today."""
    found = slots(
        "filling, kind: filling, takes: 1 h, wait: 2 h",
        "sanding, kind: sanding, after: [filling], done: 2026-05-04",
        "priming, kind: priming, after: [sanding], takes: 1 h",
    )
    assert start(found["priming"]) == 3
    assert found["priming"].state is State.WAITS


def test_meanwhile_is_what_has_nothing_to_do_with_it(slots: Find) -> None:
    """The wait is from hour 24 to 72. Hanging the door has float enough to begin then; its lock begins at hour 80."""
    found = slots(
        "filling, kind: filling, takes: 1 d, wait: 2 d",
        "sanding, kind: sanding, takes: 4 d, after: [filling]",
        "door, kind: windows, takes: 80 h",
        "lock, kind: windows, takes: 1 h, after: [door]",
    )
    assert names(found["filling"]) == ["door"]
    assert [names(found[name]) for name in ("sanding", "door", "lock")] == [[], [], []]


def test_meanwhile_moves_no_end(slots: Find) -> None:
    """The door takes longest: it has to begin at once, and so not while the filling dries."""
    found = slots("filling, kind: filling, takes: 1 d, wait: 2 d", "door, kind: windows, takes: 200 h")
    assert names(found["filling"]) == []


def test_between_two_coats_other_work_can_begin(slots: Find) -> None:
    """Coats at 0 and at 24 + 48, so that there are two waits; the lock may begin in the first from hour 30 to 40."""
    found = slots(
        "paint, kind: painting, takes: 2 d, coats: 2, wait: 2 d",
        "door, kind: windows, takes: 30 h",
        "lock, kind: windows, takes: 104 h, after: [door]",
    )
    # The end is at 144 h: the door may begin until 10, before the first wait, and the lock until 40.
    assert names(found["paint"]) == ["lock"]


def test_while_what_is_done_dries_other_work_can_begin(slots: Find) -> None:
    found = slots(
        "screed, kind: screed, takes: 1 d, wait: 20 d, done: 2026-05-01",
        "flooring, kind: flooring, takes: 1 d, after: [screed]",
        "wiring, kind: first-fix, takes: 2 d",
    )
    assert found["screed"].free == 24 * (16)
    assert names(found["screed"]) == ["wiring"]


def test_what_was_overtaken_is_late(slots: Find) -> None:
    found = slots(
        "photos, kind: photographs, takes: 1 h",
        "lining, kind: closing-in, after: [photos], done: 2026-05-03",
        "beads, kind: beads, after: [lining], done: 2026-05-01",
    )
    late = found["photos"].late
    assert late
    assert late.since == date(2026, 5, 1)
    assert {task.name for task in late.overtaken_by} == {"lining", "beads"}
    assert found["lining"].late is None


@pytest.mark.parametrize(
    ("done", "takes", "since"),
    [
        # From the end of the day before on: 30 April and three days is 3 May; 4 May is there to write it down.
        ("2026-04-30", "takes: 3 d", date(2026, 5, 3)),
        ("2026-04-30", "takes: 5 d", None),  # by the end of 5 May, so that nobody is a whole day late
        ("2026-04-30", "takes: 4 d", date(2026, 5, 4)),
        ("2026-05-01", "takes: 4 d", None),
        ("2026-04-30", "takes: 2.5 d", date(2026, 5, 3)),  # at noon
        ("2026-01-01", "", None),  # how long it takes, nobody has said
    ],
)
def test_what_could_long_be_done_is_late(slots: Find, done: str, takes: str, since: date | None) -> None:
    found = slots(f"photos, kind: photographs, done: {done}", f"lining, kind: closing-in, after: [photos], {takes}")
    late = found["lining"].late
    assert (late and late.since) == since
    assert not (late and late.overtaken_by)


def test_what_has_float_is_not_late(slots: Find) -> None:
    found = slots(
        "photos, kind: photographs, done: 2026-01-02",
        "lining, kind: closing-in, after: [photos], takes: 1 d",
        "door, kind: windows, takes: 9 d",
    )
    assert found["lining"].late is None


def test_what_nothing_comes_before_is_not_late(slots: Find) -> None:
    """Nobody has said when it was to begin."""
    assert slots("wiring, kind: first-fix, takes: 1 d")["wiring"].late is None


def test_a_loop_holds_up_what_is_in_it_and_after_it(order: Callable[..., Order]) -> None:
    found = order(
        "insulation, kind: insulation, takes: 1 d, after: [lining]",
        "lining, kind: closing-in, takes: 1 d, after: [insulation]",
        "beads, kind: beads, takes: 1 d, after: [lining]",
        "wiring, kind: first-fix, takes: 1 d",
        "strip, kind: stripping, done: 2026-05-01",
    )
    assert [task.name for task in found.loop] == ["insulation", "lining"]
    held = [slot.task.name for slot in found.slots if slot.state is State.HELD_UP]
    assert held == ["insulation", "lining", "beads"]
    assert [slot.task.name for slot in found.slots][:2] == ["strip", "wiring"]


def test_in_a_loop_nothing_is_called_late_for_an_end_that_nobody_knows(slots: Find) -> None:
    loop = ["beads, kind: beads, after: [beads]"]
    late = ["photos, kind: photographs, done: 2026-01-02", "lining, kind: closing-in, after: [photos], takes: 1 d"]
    assert slots(*late)["lining"].late
    assert slots(*late, *loop)["lining"].late is None


@pytest.mark.parametrize(
    ("task", "missing"),
    [
        ("kind: filling", ("takes", "wait")),
        ("kind: filling, takes: 1 d, wait: 0 h", ()),
        ("kind: sanding", ("takes",)),
        ("kind: filling, done: 2026-05-01", ()),
    ],
)
def test_what_is_not_recorded_is_said(slots: Find, task: str, missing: tuple[str, ...]) -> None:
    assert slots(f"work, {task}")["work"].missing == missing


def test_done_first_by_day_then_what_is_to_come(order: Callable[..., Order]) -> None:
    found = order(
        "paint, kind: painting, takes: 1 d, after: [filling]",
        "filling, kind: filling, takes: 1 d",
        "wiring, kind: first-fix, done: 2026-05-02",
        "strip, kind: stripping, done: 2026-05-01",
    )
    assert [slot.task.name for slot in found.slots] == ["strip", "wiring", "filling", "paint"]


def test_an_after_that_names_no_task_is_no_bound(slots: Find) -> None:
    assert slots("paint, kind: painting, takes: 1 d, after: [priming]")["paint"].state is State.CAN_BEGIN
