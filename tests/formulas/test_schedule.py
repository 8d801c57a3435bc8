"""What holds of every network; figures of published ones are checked in reference/test_schedule.py."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planlint.formulas.schedule import Activity, LoopError, clear_of_loops, find_loop, schedule

calm = settings(derandomize=True, deadline=None, max_examples=60)


@st.composite
def networks(draw: st.DrawFn) -> list[Activity]:
    """Activities without a loop, in an order that has nothing to do with that of work."""
    number = draw(st.integers(1, 12))
    hours = st.integers(0, 60).map(lambda quarter: quarter / 4)
    activities = [
        Activity(
            name=f"task-{index}",
            duration=draw(hours),
            wait=draw(hours),
            after=tuple(f"task-{before}" for before in range(index) if draw(st.booleans())),
            earliest=draw(st.sampled_from([-30.0, 0.0, 0.0, 12.0])),
        )
        for index in range(number)
    ]
    return draw(st.permutations(activities))


@calm
@given(networks())
def test_nothing_begins_before_what_it_waits_for(activities: list[Activity]) -> None:
    times = schedule(activities)
    for activity in activities:
        mine = times[activity.name]
        assert mine.earliest_start >= activity.earliest
        assert mine.earliest_finish == mine.earliest_start + activity.duration
        assert mine.free == mine.earliest_finish + activity.wait
        for before in activity.after:
            assert times[before].free <= mine.earliest_start
            assert times[before].latest_finish + activity_of(activities, before).wait <= mine.latest_start


@calm
@given(networks())
def test_something_holds_every_start_where_it_is(activities: list[Activity]) -> None:
    """An earliest start is no later than it need be: it is its own bound, or that of something before it."""
    times = schedule(activities)
    for activity in activities:
        bounds = [activity.earliest, *(times[before].free for before in activity.after)]
        assert times[activity.name].earliest_start in bounds


@calm
@given(networks(), st.data())
def test_the_float_is_what_can_be_lost_without_moving_the_end(activities: list[Activity], data: st.DataObject) -> None:
    """Putting one activity off by its float moves nothing; by a quarter of an hour more, the end by just that."""
    times = schedule(activities)
    end = max(time.free for time in times.values())
    late = data.draw(st.sampled_from(activities))
    mine = times[late.name]

    def end_with(start: float) -> float:
        moved = [put_off(one, start) if one is late else one for one in activities]
        return max(time.free for time in schedule(moved).values())

    assert end_with(mine.earliest_start + mine.total_float) == pytest.approx(end)
    assert end_with(mine.earliest_start + mine.total_float + 0.25) == pytest.approx(end + 0.25)
    assert mine.is_critical is (mine.total_float == 0)


@calm
@given(networks())
def test_something_is_always_critical(activities: list[Activity]) -> None:
    assert any(time.is_critical for time in schedule(activities).values())


@calm
@given(networks())
def test_the_order_can_be_worked_down(activities: list[Activity]) -> None:
    """By earliest start, and what comes first stands first even where neither takes any time."""
    times = schedule(activities)
    order = list(times)
    starts = [time.earliest_start for time in times.values()]
    assert starts == sorted(starts)
    for activity in activities:
        assert all(order.index(before) < order.index(activity.name) for before in activity.after)


def test_ties_stand_as_they_are_given() -> None:
    assert list(schedule([Activity(name=name, duration=1) for name in "cab"])) == ["c", "a", "b"]


def test_noise_of_floats_makes_nothing_less_critical() -> None:
    """Ten tenths of an hour are one hour, and not a float of 1e-16."""
    chain = [
        Activity(name=f"coat-{index}", duration=0.1, after=(f"coat-{index - 1}",) if index else ())
        for index in range(10)
    ]
    times = schedule([*chain, Activity(name="beside", duration=1.0)])
    assert sum([0.1] * 10) != 1.0
    assert {time.total_float for time in times.values()} == {0.0}


def test_without_activities_there_are_no_times() -> None:
    assert schedule([]) == {}


def test_a_loop_is_told_in_the_order_of_work() -> None:
    """Lining before insulation, insulation before inspection, inspection before lining; it begins with the first."""
    order = {"strip": (), "lining": ("inspection", "strip"), "insulation": ("lining",), "inspection": ("insulation",)}
    with pytest.raises(LoopError) as caught:
        schedule([Activity(name=name, duration=1, after=after) for name, after in order.items()])
    assert caught.value.loop == ("lining", "insulation", "inspection")
    assert str(caught.value) == "these wait for each other: lining, insulation, inspection"


def test_what_waits_for_itself_is_a_loop() -> None:
    assert find_loop({"paint": ["paint"]}) == ("paint",)
    assert find_loop({"paint": ["sanding"], "sanding": []}) == ()


@calm
@given(networks(), st.data())
def test_one_arrow_back_makes_a_loop_of_real_arrows(activities: list[Activity], data: st.DataObject) -> None:
    after = {one.name: list(one.after) for one in activities}
    last = data.draw(st.sampled_from(activities)).name
    first = data.draw(st.sampled_from(sorted({last, *all_before(after, last)})))
    after[first].append(last)
    loop = find_loop(after)
    assert loop
    assert all(one in after[two] for one, two in zip(loop, (*loop[1:], loop[0]), strict=True))
    clear = clear_of_loops(after)
    assert not clear & {*loop}
    # What is clear waits for nothing that is not, and what is not clear waits for something that is not.
    assert all(clear >= {*after[name]} for name in clear)
    assert all({*before} - clear for name, before in after.items() if name not in clear)


@pytest.mark.parametrize(
    ("activities", "told"),
    [
        ([Activity(name="a", duration=-1)], "duration"),
        ([Activity(name="a", duration=float("nan"))], "duration"),
        ([Activity(name="a", duration=1, wait=2e8)], "wait"),
        ([Activity(name="a", duration=1, earliest=float("inf"))], "earliest"),
        ([Activity(name="a", duration=1, after=("b",))], "a comes after b, which is not there"),
        ([Activity(name="a", duration=1), Activity(name="a", duration=2)], "two activities have one name"),
    ],
)
def test_what_is_no_network_is_refused(activities: list[Activity], told: str) -> None:
    with pytest.raises(ValueError, match=told):
        schedule(activities)


def activity_of(activities: list[Activity], name: str) -> Activity:
    return next(one for one in activities if one.name == name)


def put_off(activity: Activity, start: float) -> Activity:
    return Activity(
        name=activity.name,
        duration=activity.duration,
        wait=activity.wait,
        after=activity.after,
        earliest=max(activity.earliest, start),
    )


def all_before(after: dict[str, list[str]], name: str) -> set[str]:
    return {*after[name], *(far for near in after[name] for far in all_before(after, near))}
