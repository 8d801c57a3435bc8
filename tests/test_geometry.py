"""Outlines and ways along walls; the checks against an outside library are in reference/test_geometry.py."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planlint.geometry import Doorway, Spot, Way, level, walk, way_along_walls

RIGHT = math.pi / 2
steady = settings(derandomize=True, deadline=None, max_examples=60)
millimetres = st.integers(100, 9000).map(lambda figure: figure / 1000)
bends = st.integers(-170, 170).filter(bool).map(math.radians)


def test_rectangle() -> None:
    outline = walk([4.0, 3.0, 4.0, 3.0], [RIGHT] * 4)
    assert outline.misclosure == pytest.approx(0, abs=1e-12)
    assert outline.area == pytest.approx(12)
    assert outline.swing == pytest.approx(0, abs=1e-12)
    assert outline.crossings() == []
    # The first wall heads north; a turn to the right then leads east.
    assert outline.corners[1] == pytest.approx((0, 4))
    assert outline.corners[2] == pytest.approx((3, 4))


def test_walk_to_the_left_has_its_area_below_zero() -> None:
    outline = walk([4.0, 3.0, 4.0, 3.0], [-RIGHT] * 4)
    assert outline.area == pytest.approx(-12)
    assert str(outline.turned) == "-360°"


def test_gap_says_where_the_walk_ended() -> None:
    # 0.03 m too little on the way back south, 0.04 m too much on the way back west: 0.05 m in all (3, 4, 5).
    outline = walk([4.0, 3.0, 3.97, 3.04], [RIGHT] * 4)
    assert outline.gap == pytest.approx((-0.04, 0.03))
    assert outline.misclosure == pytest.approx(0.05)


def test_swing_is_the_arc_of_the_first_wall() -> None:
    # A turn of 91° in place of 90° swings a wall of 2 m by 2 · π/180 m.
    outline = walk([2.0, 3.0, 2.0, 3.0], [RIGHT, RIGHT, RIGHT, math.radians(91)])
    assert outline.swing == pytest.approx(2 * math.pi / 180)


def test_twice_round_does_not_close() -> None:
    assert walk([2.0] * 8, [RIGHT] * 8).swing > 2


def test_a_figure_of_eight_crosses() -> None:
    # North 2, east 2, south 1, west 3: the fourth leg runs through the first.
    assert walk([2.0, 2.0, 1.0, 3.0, 1.0], [RIGHT] * 5).crossings() == [(0, 3)]


def test_the_last_wall_may_overshoot_the_first_by_the_misclosure() -> None:
    assert walk([2.0, 2.0, 1.99, 2.01], [RIGHT] * 4).crossings() == []


def test_a_wall_that_folds_back_on_the_one_before() -> None:
    assert walk([2.0, 1.0], [math.pi, math.pi]).crossings() == [(0, 1)]


def test_walls_in_one_line_do_not_cross() -> None:
    assert walk([1.0, 1.0, 1.0, 2.0, 1.0], [0.0, RIGHT, RIGHT, RIGHT, RIGHT]).crossings() == []


def test_a_corner_that_only_touches_a_wall_counts() -> None:
    # The fourth leg ends on the first one: the room is pinched there.
    outline = walk([2.0, 2.0, 1.0, 2.0, 1.0, 2.0], [RIGHT, RIGHT, RIGHT, -RIGHT, -RIGHT, RIGHT])
    assert (0, 3) in outline.crossings()


@steady
@given(millimetres, millimetres, st.integers(-500, 500).map(lambda figure: figure / 1000), st.integers(0, 3))
def test_misclosure_is_what_one_wall_was_changed_by(first: float, second: float, change: float, which: int) -> None:
    lengths = [first, second, first, second]
    lengths[which] = max(lengths[which] + change, 0.001)
    changed = abs(lengths[which] - (first, second, first, second)[which])
    assert walk(lengths, [RIGHT] * 4).misclosure == pytest.approx(changed, abs=1e-9)


@steady
@given(st.lists(st.tuples(millimetres, bends), min_size=3, max_size=8))
def test_a_mirrored_walk_has_the_same_size_and_the_other_hand(walls: list[tuple[float, float]]) -> None:
    lengths, turns = [length for length, _ in walls], [turn for _, turn in walls]
    plain, mirrored = walk(lengths, turns), walk(lengths, [-turn for turn in turns])
    assert mirrored.misclosure == pytest.approx(plain.misclosure, abs=1e-9)
    assert mirrored.area == pytest.approx(-plain.area, abs=1e-9)
    assert mirrored.crossings() == plain.crossings()


def test_level_between_and_beyond_spots() -> None:
    gable = [(0.0, 2.4), (2.0, 3.4), (4.0, 2.4)]
    assert level(gable, 1.0) == pytest.approx(2.9)
    assert level(gable, 2.0) == pytest.approx(3.4)
    assert level(gable, -1.0) == level(gable, 0.0) == 2.4
    assert level(gable, 4.0) == level(gable, 9.0) == 2.4


def test_level_at_a_step_takes_the_height_behind_it() -> None:
    step = [(0.0, 2.4), (2.0, 2.4), (2.0, 3.0), (4.0, 3.0)]
    assert level(step, 1.999) == pytest.approx(2.4)
    assert level(step, 2.001) == pytest.approx(3.0)


# A room of 4 m by 3 m is 14 m round. Heights in metres.
AROUND = 14.0
LOW = 0.25


def test_way_between_two_low_sockets_on_one_wall() -> None:
    # 3.0 - 1.0 = 2.0 m along, no climb.
    assert way_along_walls(Spot(1.0, LOW), Spot(3.0, LOW), AROUND, []) == Way(2.0, passes_start=False)


def test_way_climbs_the_difference_in_height() -> None:
    # 2.0 m along and 1.05 - 0.25 = 0.80 m up.
    way = way_along_walls(Spot(1.0, LOW), Spot(3.0, 1.05), AROUND, [])
    assert way.length == pytest.approx(2.8)


def test_way_takes_the_shorter_way_round() -> None:
    # 12.0 m one way; 14.0 - 12.0 = 2.0 m the other, past the walk's beginning.
    assert way_along_walls(Spot(1.0, LOW), Spot(13.0, LOW), AROUND, []) == Way(2.0, passes_start=True)


def test_way_goes_over_a_door_by_its_head() -> None:
    # 2.0 m along; up 2.05 - 0.25 = 1.80 m and down again: 2.0 + 3.6 = 5.6 m (the other way round is 12 m).
    way = way_along_walls(Spot(1.0, LOW), Spot(3.0, LOW), AROUND, [Doorway(1.5, 2.3, 2.05)])
    assert way.length == pytest.approx(5.6)
    assert not way.passes_start


def test_way_goes_round_the_room_where_the_door_makes_it_longer() -> None:
    # Over the door 6.0 + 3.6 = 9.6 m; the other way 14.0 - 6.0 = 8.0 m.
    way = way_along_walls(Spot(1.0, LOW), Spot(7.0, LOW), AROUND, [Doorway(2.0, 2.8, 2.05)])
    assert way == Way(pytest.approx(8.0), passes_start=True)  # type: ignore[arg-type] # pytest's approximate figure


def test_way_passes_two_doors_by_the_higher_head() -> None:
    # 4.0 m along; up to 2.10 m and down to a switch at 1.05 m: 1.85 + 1.05 = 2.90 m.
    doors = [Doorway(1.5, 2.3, 2.05), Doorway(3.0, 3.8, 2.10)]
    way = way_along_walls(Spot(1.0, LOW), Spot(5.0, 1.05), AROUND, doors)
    assert way.length == pytest.approx(6.9)


def test_a_door_on_the_other_way_round_does_not_matter() -> None:
    way = way_along_walls(Spot(1.0, LOW), Spot(3.0, LOW), AROUND, [Doorway(8.0, 8.8, 2.05)])
    assert way.length == pytest.approx(2.0)


def test_a_light_above_the_door_only_comes_down() -> None:
    # From 2.30 m, above the head of 2.05 m, down to 0.25 m: 2.05 m, and 1.0 m along.
    way = way_along_walls(Spot(2.0, 2.30), Spot(3.0, LOW), AROUND, [Doorway(1.6, 2.4, 2.05)])
    assert way.length == pytest.approx(3.05)


spots = st.builds(Spot, st.integers(0, 1399).map(lambda cm: cm / 100), st.integers(0, 250).map(lambda cm: cm / 100))
doors = st.lists(
    st.builds(
        lambda start, head: Doorway(start / 100, start / 100 + 0.8, head / 100),
        st.integers(0, 1300),
        st.integers(190, 240),
    ),
    max_size=3,
)


@steady
@given(spots, spots, doors)
def test_way_is_the_same_in_both_directions_and_never_shorter_without_a_door(
    start: Spot, end: Spot, doors: list[Doorway]
) -> None:
    there, back = (way_along_walls(*ends, AROUND, doors) for ends in ((start, end), (end, start)))
    assert there.length == pytest.approx(back.length)
    assert there.length >= way_along_walls(start, end, AROUND, []).length - 1e-9
    assert there.length >= abs(start.height - end.height)
