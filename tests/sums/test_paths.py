"""The way of a cable: as drawn, inside the zones, or along the walls. Lengths are added up by hand beside each case."""

from datetime import date
from itertools import pairwise
from math import hypot

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from planlint import limits, source
from planlint.model.build import build
from planlint.model.plan import Plan
from planlint.model.services import Run
from planlint.rule import Given
from planlint.sums.paths import CablePath, How, path_of
from planlint.sums.working import Lacking
from planlint.sums.zones import astray

steady = settings(derandomize=True, deadline=None, max_examples=40)
TAILS = 0.6  # 0.30 m at each end
ROOM = """
plan: 1
title: a room of 4 m by 3 m
circuits:
  sockets:
    section: 2.5 mm²
    runs: [{{from: {start}, to: {end}{more}}}]
rooms:
  hall:
    height: 2.50 m
    use: study
    outline: closed
    ceiling: {{lining: none, points: {{C1: {{kind: light}}}}}}
    walls:
      - {{wall: north, length: 4 m, then: right, base: {{thickness: 100 mm}}, points: {{{north}}}}}
      - {{wall: east, length: 3 m, then: right, points: {{{east}}}}}
      - wall: south
        length: 4 m
        then: right
        openings: {{door: {{kind: door, at: 1 m, width: 0.9 m, height: 2.05 m, hinges: left}}}}
        points: {{{south}}}
      - {{wall: west, length: 3 m, then: right}}
  back:
    height: 2.50 m
    walls:
      - wall: south
        length: 4 m
        back_of: {{wall: hall.north, offset: 0 m}}
        points: {{B1: {{kind: socket, at: 3 m, height: 0.3 m}}}}
"""


def socket(name: str, at: float, height: float = 0.3) -> str:
    return f"{name}: {{kind: socket, at: {at} m, height: {height} m}}"


def plan(more: str = "", *, ends: str = "S1 S2", **points: str) -> Plan:
    """The room with points on its walls, and a run between two of them with what is written of it."""
    start, end = ends.split()
    on = {"north": "", "east": "", "south": ""} | points
    return build(source.read(ROOM.format(start=start, end=end, more=more, **on).encode(), "case.plan.yaml"))


def only_run(found: Plan) -> Run:
    return found.circuits["sockets"].runs[0]


def judged_by(name: str) -> Given:
    in_force = limits.resolve(name)
    return Given(in_force, date(2026, 10, 3), tuple(in_force.by_name))


def shown(run: Run, name: str) -> CablePath:
    found = path_of(run, judged_by(name))
    assert isinstance(found, CablePath), found
    return found


def told(path: CablePath) -> list[tuple[object, ...]]:
    return [(leg.wall.name, *(round(one, 3) for one in (*leg.start, *leg.end))) for leg in path.stretches]


CORNER = {"north": socket("S1", 3.0), "east": socket("S2", 1.0, 1.1)}


def test_a_drawn_way_round_a_corner() -> None:
    drawn = ", path: [{wall: hall.north, at: 3.0 m, height: 2.2 m}, {wall: hall.east, at: 1.0 m, height: 2.2 m}]"
    run = only_run(plan(drawn, **CORNER))
    path = shown(run, "de")
    assert told(path) == [
        ("north", 3.0, 0.3, 3.0, 2.2),
        ("north", 3.0, 2.2, 4.0, 2.2),
        ("east", 0.0, 2.2, 1.0, 2.2),
        ("east", 1.0, 2.2, 1.0, 1.1),
    ]
    assert path.is_drawn
    assert path.is_whole
    assert path.spread is None
    assert "as drawn" in path.said
    # Up 1.9 m, along 1 m + 1 m, down 1.1 m.
    assert run.known_length == pytest.approx(5.0 + TAILS)
    assert run.shows_whole_way
    assert [surface.name for surface in path.walls] == ["north", "east"]
    # A recorded length comes before one that is worked out.
    assert only_run(plan(", length: 7 m" + drawn, **CORNER)).known_length == 7.0


def test_how_far_a_spot_is_from_a_way() -> None:
    drawn = ", path: [{wall: hall.north, at: 3.0 m, height: 2.2 m}, {wall: hall.east, at: 1.0 m, height: 2.2 m}]"
    found = plan(drawn, **CORNER)
    path = shown(only_run(found), "de")
    north, east, south, _ = found.rooms[0].walls
    assert path.distance(north, 2.9, 1.0) == pytest.approx(0.1)
    assert path.distance(east, 2.0, 1.0) == pytest.approx(hypot(1.0, 0.1))
    assert path.distance(south, 1.0, 1.0) is None


def test_a_way_goes_the_shorter_way_round() -> None:
    # From 1 m of the south wall to 1 m of the north: past the west wall 3 m + 3 m + 1 m, past the east 3 m + 3 m + 3 m.
    drawn = ", path: [{wall: hall.south, at: 1 m, height: 2.2 m}, {wall: hall.north, at: 1 m, height: 2.2 m}]"
    run = only_run(plan(drawn, south=socket("S1", 1.0, 2.2), north=socket("S2", 1.0, 2.2)))
    assert told(shown(run, "general")) == [
        ("south", 1.0, 2.2, 4.0, 2.2),
        ("west", 0.0, 2.2, 3.0, 2.2),
        ("north", 0.0, 2.2, 1.0, 2.2),
    ]
    assert run.known_length == pytest.approx(7.0 + TAILS)
    back = only_run(plan(drawn, ends="S2 S1", south=socket("S1", 1.0, 2.2), north=socket("S2", 1.0, 2.2)))
    assert back.known_length == pytest.approx(7.0 + 7.0 + 7.0 + TAILS)  # there, as drawn, and back


def test_a_way_through_a_wall_to_its_other_face() -> None:
    # 1 m along one face is 3 m along the other; the wall is 100 mm thick. 2 m up, through, 1.7 m down.
    drawn = ", path: [{wall: hall.north, at: 1 m, height: 2 m}, {wall: back.south, at: 3 m, height: 2 m}]"
    run = only_run(plan(drawn, ends="S1 B1", north=socket("S1", 1.0, 0.3)))
    assert run.known_length == pytest.approx(1.7 + 0.1 + 1.7 + TAILS)
    assert shown(run, "general").is_whole


@pytest.mark.parametrize(
    "path",
    [
        "[{wall: hall.north, at: 3 m}, {wall: hall.east, at: 1 m, height: 2.2 m}]",
        "[{wall: hall.north, at: 3 m, height: 2.2 m}, {wall: back.south, at: 2 m, height: 2.2 m}]",
    ],
    ids=["a height is not given", "into another room, while its end is in this one"],
)
def test_a_way_with_a_gap_is_not_whole(path: str) -> None:
    text = plan(f", path: {path}", **CORNER)
    assert not shown(only_run(text), "de").is_whole


def test_a_way_from_the_supply_is_never_whole() -> None:
    drawn = ", path: [{wall: hall.north, at: 3 m, height: 2.2 m}]"
    run = only_run(plan(drawn, ends="supply S1", north=socket("S1", 3.0)))
    path = shown(run, "de")
    assert told(path) == [("north", 3.0, 2.2, 3.0, 0.3)]
    assert not path.is_whole
    assert run.known_length is None
    assert not run.shows_whole_way
    assert "does not show all" in path.said


@pytest.mark.parametrize("ends", ["supply S1", "S1 C1", "S1 nowhere"])
def test_nobody_knows_a_way_that_is_neither_drawn_nor_between_two_walls(ends: str) -> None:
    found = path_of(only_run(plan(ends=ends, north=socket("S1", 3.0))), judged_by("de"))
    assert isinstance(found, Lacking)
    assert found.keys == (f"circuits.sockets.run-to-{ends.split()[1]}.path",)


def test_inside_the_zones_from_a_point_to_the_level_zone_and_along_it() -> None:
    # DIN 18015-3: the level zone above the floor holds S1 at 0.3 m; S2 at 1.1 m hangs on it by an upright branch.
    path = shown(only_run(plan(**CORNER)), "de")
    assert path.how is How.IN_ZONES
    assert told(path) == [("north", 3.0, 0.3, 4.0, 0.3), ("east", 0.0, 0.3, 1.0, 0.3), ("east", 1.0, 0.3, 1.0, 1.1)]
    assert str(path.spread) == "150 mm"
    assert "may lie elsewhere" in path.said


def test_over_a_door_by_the_zone_above_its_head() -> None:
    # Zones: level at 0.3 m and 2.2 m; upright 0.2 m beside the latch (1.9 m + 0.2 m) and beside the corner (0.2 m).
    ends = {"south": f"{socket('S1', 0.5)}, {socket('S2', 3.0)}"}
    path = shown(only_run(plan(**ends)), "de")
    assert told(path) == [
        ("south", 0.5, 0.3, 0.2, 0.3),
        ("south", 0.2, 0.3, 0.2, 2.2),
        ("south", 0.2, 2.2, 2.1, 2.2),
        ("south", 2.1, 2.2, 2.1, 0.3),
        ("south", 2.1, 0.3, 3.0, 0.3),
    ]
    # Without zones: straight up to the head at 2.05 m, over it, down again.
    path = shown(only_run(plan(**ends)), "general")
    assert path.how is How.ALONG_WALLS
    assert told(path) == [
        ("south", 0.5, 0.3, 0.5, 2.05),
        ("south", 0.5, 2.05, 3.0, 2.05),
        ("south", 3.0, 2.05, 3.0, 0.3),
    ]


def test_between_accessories_by_bs_7671() -> None:
    # Level with both of them where they are level with each other, and straight from one to the other.
    path = shown(only_run(plan(north=f"{socket('S1', 1.0, 0.45)}, {socket('S2', 3.0, 0.45)}")), "gb")
    assert told(path) == [("north", 1.0, 0.45, 3.0, 0.45)]


WALLS = ("north", "east", "south")
HEIGHTS = (0.25, 0.3, 0.5, 1.05, 1.4, 2.2)
Placed = tuple[str, int, float]
placed = st.tuples(st.sampled_from(WALLS), st.integers(1, 29), st.sampled_from(HEIGHTS)).filter(
    lambda one: not (one[0] == "south" and 10 <= one[1] <= 19)  # where the door is
)


@steady
@given(placed, placed, st.sampled_from(["general", "de", "gb"]))
def test_what_is_worked_out_leads_from_end_to_end_inside_the_zones(one: Placed, other: Placed, name: str) -> None:
    assume(one[:2] != other[:2])
    written = [(one[0], socket("S1", one[1] / 10, one[2])), (other[0], socket("S2", other[1] / 10, other[2]))]
    run = only_run(plan(**{wall: ", ".join(told for on, told in written if on == wall) for wall in WALLS}))
    path = shown(run, name)
    first, last = path.stretches[0], path.stretches[-1]
    ends = [(point.on, pytest.approx((point.at, point.height))) for point in (run.start, run.end) if point]
    assert [(first.wall, first.start), (last.wall, last.end)] == ends
    for before, after in pairwise(path.stretches):
        assert before.end[1] == pytest.approx(after.start[1])
        assert before.wall is not after.wall or before.end[0] == pytest.approx(after.start[0])
    length = sum(leg.length for leg in path.stretches)
    shortest = (run.known_length or 0.0) - TAILS
    if path.how is How.ALONG_WALLS:
        assert length == pytest.approx(shortest)  # which the model works out in another way
    else:
        assert length >= shortest - 1e-9
        assert astray(path.stretches, judged_by(name)) is None
