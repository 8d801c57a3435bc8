"""Points against the baths and showers of their room: where the sum finds them in plan, and what it asks for."""

from datetime import date

import pytest

from planlint import geometry, limits, source
from planlint.model.build import build
from planlint.model.rooms import Room
from planlint.model.services import Point
from planlint.rule import Given
from planlint.sums.bath import LIMITS_OF_BATH, NearBath, near_bath
from planlint.sums.plan_view import frames_from, outline_in
from planlint.sums.working import Lacking

GIVEN = Given(limits.resolve(None), date(2026, 10, 3), LIMITS_OF_BATH)

# An L walked clockwise from its south-west corner: 4 m up, 2 m east, 2 m south, 3 m east, 2 m south, 5 m back west. Its
# outside corner is between `inner` and `shelf`, 2 m east and 2 m north of where the walk begins.
ELL = """
plan: 1
title: an L
rooms:
  bath:
    height: 2.50 m
    outline: closed
    ceiling: {lining: none, points: {C1: {kind: light, at: {west: 1.5 m, south: 0.5 m}}}}
    fixtures: {tub: {kind: bath, wall: shelf, at: 0.30 m, width: 1.70 m, depth: 0.70 m}}
    walls:
      - {wall: west, length: 4 m, then: right, lining: none}
      - {wall: north, length: 2 m, then: right, lining: none}
      - {wall: inner, length: 2 m, then: left, lining: none, points: {S1: {kind: light, at: 1.60 m, height: 1 m}}}
      - {wall: shelf, length: 3 m, then: right, lining: none, points: {S2: {kind: socket, at: 2.5 m, height: 1 m}}}
      - {wall: east, length: 2 m, then: right, lining: none}
      - {wall: south, length: 5 m, then: right, lining: none, points: {S3: {kind: light, at: 3.5 m, height: 1 m}}}
"""


def room_of(*edits: tuple[str, str]) -> Room:
    text = ELL
    for old, new in edits:
        assert text.count(old) == 1, old
        text = text.replace(old, new)
    return build(source.read(text.encode(), "ell.plan.yaml")).rooms[0]


def point_of(room: Room, name: str) -> Point:
    surfaces = [*room.walls, *([room.ceiling] if room.ceiling else [])]
    return next(point for surface in surfaces for point in surface.points if point.name == name)


def near(name: str, *edits: tuple[str, str]) -> NearBath | Lacking:
    room = room_of(*edits)
    return near_bath(point_of(room, name), room.fixtures[0], GIVEN)


def apart(name: str, *edits: tuple[str, str]) -> float:
    found = near(name, *edits)
    assert isinstance(found, NearBath), found
    return found.apart


def test_walls_lie_where_the_walk_puts_them() -> None:
    room = room_of()
    frames = frames_from(room.walls[0])
    walked = geometry.walk([wall.length or 0 for wall in room.walls], [wall.turn or 0 for wall in room.walls])
    for wall, corner in zip(room.walls, walked.corners, strict=False):
        assert frames[wall].start == pytest.approx(corner)
    assert outline_in(frames, room.walls[0]) == tuple(frames[wall].start for wall in room.walls)


def test_from_whichever_wall_they_are_seen_they_lie_alike() -> None:
    room = room_of()
    spots = [(wall, at) for wall in room.walls for at in (0.3, 1.9)]
    seen = [[frames_from(wall)[other].spot(at) for other, at in spots] for wall in room.walls]
    for view in seen:
        lengths = [abs(complex(*one) - complex(*other)) for one in view for other in view]
        assert lengths == pytest.approx(
            [abs(complex(*one) - complex(*other)) for one in seen[0] for other in seen[0]], abs=1e-9
        )


def test_along_the_wall() -> None:
    # The bath ends at 2.00 m, the plate of 80 mm begins at 2.46 m.
    assert apart("S2") == pytest.approx(0.46)


def test_round_an_outside_corner_it_is_measured_along_both_walls() -> None:
    # 0.40 m to the corner and 0.30 m from it; a light has no plate.
    assert apart("S1") == pytest.approx(0.70)


def test_without_the_whole_outline_the_straight_line_is_the_careful_reading() -> None:
    assert apart("S1", ("outline: closed", "outline: partial")) == pytest.approx(0.50)  # 3 : 4 : 5


def test_across_the_room() -> None:
    # The bath reaches from 2.30 m to 4.00 m east of the west wall, down to 2.00 m less 0.70 m; S3 is 1.50 m east.
    assert apart("S3") == pytest.approx((0.8**2 + 1.3**2) ** 0.5)


def test_under_the_ceiling() -> None:
    found = near("C1")
    assert isinstance(found, NearBath)
    assert found.apart == pytest.approx((0.8**2 + 0.8**2) ** 0.5)  # 1.50 m east, 0.50 m north
    assert found.low == pytest.approx(2.5)


@pytest.mark.parametrize(
    ("name", "edit", "keys"),
    [
        ("S1", ("wall: inner, length: 2 m, then: left", "wall: inner, then: left"), ("bath.inner.length",)),
        ("S2", ("depth: 0.70 m", "rim: 0.5 m"), ("bath.tub.depth",)),
        ("S2", (", at: 2.5 m", ""), ("at",)),
        ("C1", ("at: {west: 1.5 m, south: 0.5 m}", "at: {west: 1.5 m}"), ("at",)),
        ("C1", ("ceiling: {lining: none, ", "ceiling: {"), ("bath.ceiling.lining",)),
    ],
)
def test_what_it_asks_for(name: str, edit: tuple[str, str], keys: tuple[str, ...]) -> None:
    # Without the outline, what is missing on the way round the other side is not asked for.
    found = near(name, edit, ("outline: closed", "outline: partial"))
    assert isinstance(found, Lacking)
    assert found.keys == keys


def test_a_wall_of_unknown_length_is_passed_on_the_other_side() -> None:
    assert apart("S3", ("wall: west, length: 4 m", "wall: west")) == pytest.approx((0.8**2 + 1.3**2) ** 0.5)


def test_a_room_that_misses_its_start_by_a_little_is_measured_the_shorter_way_round() -> None:
    # 10 mm too much in the south, at the other end of the walk.
    assert apart("S1", ("wall: south, length: 5 m", "wall: south, length: 5.01 m")) == pytest.approx(0.70, abs=1e-6)
