"""The plan of a room, read off the paper: shapely measures areas, distances and what lies inside of what."""

import copy
import math
from collections.abc import Mapping
from datetime import date
from itertools import combinations
from pathlib import Path
from textwrap import dedent, indent
from typing import Any

import pytest
import yaml
from hypothesis import given as examples
from hypothesis import settings
from hypothesis import strategies as st
from shapely import LineString, MultiLineString, Point, Polygon, box

from planlint import limits, source
from planlint.drawing.ceiling import LIMITS_OF_CEILING, ceiling_view
from planlint.drawing.paper import Box, box_of
from planlint.drawing.room_plan import LIMITS_OF_ROOM_PLAN, room_plan, table_of_walls
from planlint.drawing.section import LIMITS_OF_SECTION, section
from planlint.errors import PlanFaults
from planlint.inspection import plan_of as read_plan
from planlint.model.build import build
from planlint.model.plan import Plan
from planlint.model.rooms import Room
from planlint.rule import Given
from planlint.sheet_records import Area, Circle, Flag, Line, Look, Picture, Text

ROOT = Path(__file__).parents[2]
READY = ROOT / "examples/weigh-house/ready-to-close.plan.yaml"
PLANS = [READY, READY.with_name("first-draft.plan.yaml"), ROOT / "examples/ferry-cottage.plan.yaml"]
PLANS += [ROOT / "tests/data/every-key.yaml", ROOT / "examples/smallest.plan.yaml"]
SQUARE = """
  - {wall: west, length: 3 m, then: right, lining: none}
  - {wall: north, length: 4 m, then: right, lining: none}
  - {wall: east, length: 3 m, then: right, lining: none}
  - {wall: south, length: 4 m, then: right, lining: none}
"""
READS = tuple(dict.fromkeys((*LIMITS_OF_ROOM_PLAN, *LIMITS_OF_CEILING, *LIMITS_OF_SECTION)))
GIVEN = Given(limits.resolve(None), date(2026, 10, 3), READS)


def plan_of(path: Path) -> Plan:
    return build(source.read(path.read_bytes(), path.name))


def room_of(walls: str, more: str = "outline: closed") -> Room:
    text = f"""
plan: 1
title: one room
boards: {{sheet: {{kind: gypsum, thickness: 10 mm, mass: 8 kg/m²}}}}
linings: {{thin: {{layers: [{{board: sheet}}]}}}}
rooms:
  hut:
    {more}
    walls:
{indent(dedent(walls), "      ")}
"""
    return build(source.read(text.encode(), "case.plan.yaml")).rooms[0]


def drawn(room: Room, numbers: Mapping[str, tuple[tuple[int, Look], ...]] | None = None) -> Picture:
    found = room_plan(room, GIVEN, numbers or {})
    assert found is not None
    assert found.scale is not None
    return found


def metres(picture: Picture, millimetres: float) -> float:
    assert picture.scale is not None
    return millimetres * picture.scale / 1000


def lines(picture: Picture, *looks: Look) -> MultiLineString:
    return MultiLineString([m.spots for m in picture.marks if isinstance(m, Line) and m.look in looks])


def corners(picture: Picture) -> list[tuple[float, float]]:
    """The middles of the marks of corners, in the order of the walk."""
    return [box_of(mark).middle for mark in picture.marks if mark.look in (Look.CORNER_INSIDE, Look.CORNER_OUTSIDE)]


def texts(picture: Picture) -> dict[str, Text]:
    return {mark.text: mark for mark in picture.marks if isinstance(mark, Text)}


# ---- Walls and corners -------------------------------------------------------------------------------------------


def test_outline_of_the_study() -> None:
    # 4.80 by 3.60 m less the chimney breast of 1.40 by 0.40 m.
    picture = drawn(plan_of(READY).rooms[0])
    outline = Polygon(corners(picture))
    assert outline.is_valid
    assert metres(picture, metres(picture, outline.area)) == pytest.approx(4.80 * 3.60 - 1.40 * 0.40)
    walls = lines(picture, Look.FACE)
    assert walls.distance(outline.exterior) == pytest.approx(0, abs=1e-6)
    assert outline.exterior.buffer(1e-6).contains(walls)
    # All the way round, less a window of 0.95 m and a door of 0.83 m.
    assert metres(picture, walls.length) == pytest.approx(2 * (4.80 + 3.60) + 2 * 0.40 - 0.95 - 0.83)


def test_outside_corners_look_different() -> None:
    picture = drawn(plan_of(READY).rooms[0])
    inside = [mark for mark in picture.marks if isinstance(mark, Circle) and mark.look is Look.CORNER_INSIDE]
    outside = [mark for mark in picture.marks if isinstance(mark, Area) and mark.look is Look.CORNER_OUTSIDE]
    assert (len(inside), len(outside)) == (6, 2)
    # Where the room takes more than half of the surroundings of a corner, the corner stands out into it.
    outline = Polygon(corners(picture))
    both: list[Circle | Area] = [*inside, *outside]
    for mark in both:
        around = Point(box_of(mark).middle).buffer(0.5)
        share = outline.intersection(around).area / around.area
        assert (share > 0.5) == (mark in outside)
    assert {sample.words.split(":")[0] for sample in picture.legend} >= {"inside corner", "outside corner"}


def test_finished_faces_stand_off_the_walls_by_their_linings() -> None:
    # West: 60 mm of wool, 12 and 12.5 mm of board; its window is left free.
    picture = drawn(plan_of(READY).rooms[0])
    outline = Polygon(corners(picture))
    west = LineString([corners(picture)[-1], corners(picture)[0]])
    faces = lines(picture, Look.LINING)
    assert outline.buffer(1e-6).contains(faces)
    upright = [face for face in faces.geoms if face.length > 10 and face.distance(west) < 4]
    off = {round(metres(picture, west.distance(Point(face.interpolate(0.5, normalized=True)))), 4) for face in upright}
    assert 0.0845 in off


def test_finished_face_of_a_square_by_shrinking_it() -> None:
    lined = SQUARE.replace("none", "thin")
    picture = drawn(room_of(lined))
    outline = Polygon(corners(picture))
    assert picture.scale is not None
    shrunk = outline.buffer(-10 / picture.scale, join_style="mitre")
    assert lines(picture, Look.LINING).hausdorff_distance(shrunk.exterior) == pytest.approx(0, abs=1e-6)


def test_diagonals_make_the_turns_true() -> None:
    # 3 by 4 m with a diagonal of 5.2 m: by the law of cosines the angle at the north-west is 95.1°.
    more = "outline: closed\n    diagonals: [{from: south, to: north, length: 5.2 m}]"
    picture = drawn(room_of(SQUARE, more))
    spots = corners(picture)
    south_west, north_east = spots[3], spots[1]
    assert metres(picture, math.dist(south_west, north_east)) == pytest.approx(5.2, abs=1e-6)
    assert [metres(picture, math.dist(spots[n - 1], spots[n])) for n in range(4)] == pytest.approx([3, 4, 3, 4])
    assert "diagonals" in picture.described


@pytest.mark.parametrize(
    ("name", "side"), [("west", "left"), ("north-left", "top"), ("east", "right"), ("south_2", "bottom")]
)
def test_a_wall_named_after_a_side_lies_there(name: str, side: str) -> None:
    rest = "\n".join(f"  - {{wall: w{n}, length: {3 + n % 2} m, then: right, lining: none}}" for n in range(3))
    picture = drawn(room_of(f"  - {{wall: {name}, length: 4 m, then: right, lining: none}}\n{rest}"))
    whole = lines(picture, Look.FACE).bounds
    first = next(mark for mark in picture.marks if isinstance(mark, Line) and mark.look is Look.FACE)
    middle = [sum(spot[axis] for spot in first.spots) / 2 for axis in (0, 1)]
    wanted = {"left": (0, whole[0]), "top": (1, whole[1]), "right": (0, whole[2]), "bottom": (1, whole[3])}
    axis, edge = wanted[side]
    assert middle[axis] == pytest.approx(edge)


def test_a_room_that_does_not_close_is_drawn_as_measured() -> None:
    # The first draft: 1.70 + 1.40 + 1.07 m face 4.80 m, so that 0.63 m are missing.
    picture = drawn(plan_of(PLANS[1]).rooms[0])
    (gap,) = [mark for mark in picture.marks if isinstance(mark, Line) and mark.look is Look.CONDENSING]
    assert metres(picture, math.dist(*gap.spots)) == pytest.approx(0.63)
    assert "misses the beginning by 0.63 m" in picture.described
    assert any("S2" in sentence and "beyond the end of north-left" in sentence for sentence in picture.unplaced)
    assert any("0.63 m" in sentence and "10 mm" in sentence for sentence in picture.unplaced)


def test_a_slip_of_the_tape_is_no_gap() -> None:
    picture = drawn(room_of(SQUARE.replace("south, length: 4 m", "south, length: 4.008 m")))
    assert not [mark for mark in picture.marks if mark.look is Look.CONDENSING]
    assert "back to where the walk began" in picture.described


def test_what_cannot_be_placed_is_said_with_its_keys() -> None:
    picture = drawn(
        room_of("""
  - {wall: a, length: 3 m, then: right, lining: none}
  - {wall: b, length: 4 m, lining: none}
  - {wall: c, length: 3 m, then: right, lining: none}
  - {wall: d, then: right, lining: none}
  - {wall: e, length: 2 m, then: {turn: right, by: 30 deg}, lining: none}
  - {wall: f, length: 2 m, then: right, lining: none}
""")
    )
    # e, f, a and b hang together: more than c alone.
    assert metres(picture, lines(picture, Look.FACE).length) == pytest.approx(2 + 2 + 3 + 4)
    assert picture.described.startswith(
        "Four walls, walked clockwise: e 2 m, right turn by 30°, f 2 m, right turn, a 3 m"
    )
    assert any("wall d is not drawn" in one and "hut.d.length" in one for one in picture.unplaced)
    assert any("wall c is not drawn" in one for one in picture.unplaced)


def test_one_wall_of_an_unknown_room() -> None:
    picture = drawn(room_of("  - {wall: x, length: 3 m}", "use: study"))
    assert picture.described.startswith("One wall, walked clockwise: x 3 m.")
    assert any("hut.outline" in sentence for sentence in picture.unplaced)
    assert any("hut.x.lining" in sentence for sentence in picture.unplaced)
    assert room_plan(room_of("  - {wall: x}", "use: study"), GIVEN, {}) is None


def test_names_stand_outside_along_their_walls() -> None:
    picture = drawn(room_of(SQUARE))
    outline, found = Polygon(corners(picture)), texts(picture)
    for words, turned in (("west, 3 m", -90), ("north, 4 m", 0), ("east, 3 m", -90), ("south, 4 m", 0)):
        place = box_of(found[words])
        shape = box(place.left, place.top, place.right, place.bottom)
        assert shape.disjoint(outline), words
        assert shape.distance(outline) < 4
        assert found[words].turned == turned


def test_table_of_walls() -> None:
    table = table_of_walls(plan_of(READY).rooms[0])
    assert table is not None
    assert table.rows[0][:4] == ("west", "3.6 m", "3.59 m", "right turn")
    assert table.rows[2][3:] == ("left turn", "bead")
    assert table_of_walls(room_of("  - {wall: x}")) is not None


# ---- What is on the walls ----------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("hinges", "opens", "hinge", "is_inside"),
    # Facing the north wall from inside one looks up the page, with left on the left.
    [("left", "in", 1.0, True), ("right", "in", 1.8, True), ("left", "out", 1.0, False), ("right", "out", 1.8, False)],
)
def test_the_leaf_of_a_door(hinges: str, opens: str, hinge: float, is_inside: bool) -> None:  # noqa: FBT001 - a case
    door = f"openings: {{d: {{kind: door, at: 1 m, width: 0.8 m, hinges: {hinges}, opens: {opens}}}}}"
    picture = drawn(room_of(SQUARE.replace("north, length: 4 m,", f"north, length: 4 m, {door},")))
    outline = Polygon(corners(picture))
    north_west = corners(picture)[0]
    leaf, swing = [mark for mark in picture.marks if isinstance(mark, Line) and mark.look is Look.OPENING]
    start, tip = leaf.spots
    assert metres(picture, start[0] - north_west[0]) == pytest.approx(hinge)
    assert metres(picture, math.dist(start, tip)) == pytest.approx(0.8)
    assert outline.contains(Point(tip)) == is_inside
    # The edge of the leaf goes from the other side of the door to where it stands open.
    assert all(metres(picture, math.dist(start, spot)) == pytest.approx(0.8) for spot in swing.spots)
    assert metres(picture, swing.spots[0][0] - north_west[0]) == pytest.approx(2.8 - hinge)


def test_what_is_not_recorded_of_openings_points_and_fixtures() -> None:
    things = (
        "openings: {w: {kind: window}, d: {kind: door, at: 1 m, width: 0.8 m}, "
        "far: {kind: window, at: 9 m, width: 1 m}}, "
        "points: {S1: {kind: socket}, S2: {kind: socket, at: 30 m}}"
    )
    picture = drawn(
        room_of(
            SQUARE.replace("north, length: 4 m,", f"north, length: 4 m, {things},"),
            "outline: closed\n    fixtures: {tub: {kind: bath, wall: west, at: 1 m}}\n"
            "    ceiling: {points: {C1: {kind: light, at: {west: 1 m}}}}",
        )
    )
    said = "\n".join(picture.unplaced)
    for key in (
        *("hut.north.w.at", "hut.north.w.width", "hut.north.d.hinges", "hut.north.d.opens", "hut.north.S1.at"),
        *("hut.tub.width", "hut.tub.depth", "hut.ceiling.C1.at", "window far", "socket S2"),
    ):
        assert key in said
    assert not {"S1", "S2", "C1"} & set(texts(picture))


def test_points_stand_at_their_walls() -> None:
    points = "points: {S1: {kind: socket, at: 1 m}, W1: {kind: switch, at: 1 m}, S2: {kind: socket, at: 2 m}}"
    picture = drawn(room_of(SQUARE.replace("north, length: 4 m,", f"north, length: 4 m, {points},")))
    outline, west = Polygon(corners(picture)), corners(picture)[0][0]
    symbols = MultiLineString([m.spots for m in picture.marks if isinstance(m, Line) and m.look is Look.SYMBOL])
    assert outline.contains(symbols)
    stems = [line for line in symbols.geoms if line.bounds[0] == pytest.approx(line.bounds[2])]
    assert sorted(round(metres(picture, line.bounds[0] - west), 3) for line in stems) == [1.0, 2.0]
    # What is at the same spot stands in front of the other, with a line to the wall.
    rings = [mark for mark in picture.marks if isinstance(mark, Circle) and mark.look is Look.SYMBOL]
    assert rings[0].middle[1] > max(line.bounds[3] for line in stems)
    assert any(mark.look is Look.LEADER for mark in picture.marks)
    assert {"S1", "W1", "S2"} <= set(texts(picture))


def test_a_fixture_takes_its_place() -> None:
    more = "outline: closed\n    fixtures: {tub: {kind: bath, wall: north, at: 0.5 m, width: 1.7 m, depth: 0.75 m}}"
    picture = drawn(room_of(SQUARE, more), {"hut.tub": ((5, Look.FOUND_ERROR),)})
    (edge,) = [mark for mark in picture.marks if isinstance(mark, Line) and mark.look is Look.SYMBOL]
    tub, outline = Polygon(edge.spots), Polygon(corners(picture))
    assert metres(picture, metres(picture, tub.area)) == pytest.approx(1.7 * 0.75)
    assert outline.buffer(1e-6).contains(tub)
    assert metres(picture, tub.bounds[0] - outline.bounds[0]) == pytest.approx(0.5)
    (flag,) = [mark for mark in picture.marks if isinstance(mark, Flag)]
    assert tub.contains(Point(flag.at))


def test_every_finding_of_room_walls_and_corners_has_its_flag() -> None:
    room = plan_of(READY).rooms[0]
    places = [room.place, room.floor.place, "study.ceiling", "study.ceiling.C1"]
    places += [place for wall in room.walls for place in (wall.place, wall.corner.place if wall.corner else "")]
    numbers = {place: ((number, Look.FOUND_WARNING),) for number, place in enumerate(places, 1)}
    picture = drawn(room, numbers)
    assert sorted(m.number for m in picture.marks if isinstance(m, Flag)) == list(range(1, len(places) + 1))


# ---- Any plan ----------------------------------------------------------------------------------------------------


def pictures(plan: Plan, flags: int = 0) -> list[Picture]:
    """All pictures of ours of a plan, each place with so many findings."""
    numbers: dict[str, tuple[tuple[int, Look], ...]] = {}
    for thing in plan.things():
        start = len(numbers) * flags
        numbers[thing.place] = tuple((start + number, Look.FOUND_OPEN) for number in range(flags))
    found: list[Picture | None] = []
    for room in plan.rooms:
        found.append(room_plan(room, GIVEN, numbers))
        found += [section(surface, GIVEN, numbers) for surface in (*room.walls, *room.slopes)]
        if room.ceiling:
            found += [ceiling_view(room.ceiling, GIVEN, numbers), section(room.ceiling, GIVEN, numbers)]
    return [one for one in found if one]


@pytest.mark.parametrize("flags", [0, 1, 5])
@pytest.mark.parametrize("path", PLANS, ids=lambda path: path.stem)
def test_words_and_flags_do_not_overlap_and_fit_the_page(path: Path, flags: int) -> None:
    some = pictures(plan_of(path), flags)
    assert some == pictures(plan_of(path), flags)
    for picture in some:
        assert picture.width <= 180
        assert picture.described
        marks = [mark for mark in picture.marks if isinstance(mark, (Text, Flag))]
        shapes = [outline_of(mark) for mark in marks]
        for (one, here), (other, there) in combinations(zip(marks, shapes, strict=True), 2):
            assert here.intersection(there).area < 1e-6, (picture.title, one, other)
        page = box(0, 0, picture.width, picture.height).buffer(1e-6)
        assert all(page.contains(shape) for shape in shapes)
        for sample in picture.legend:
            assert all(box(-1e-6, -1e-6, 12, 6).contains(box(*bounds(box_of(mark)))) for mark in sample.marks)


def bounds(one: Box) -> tuple[float, float, float, float]:
    return one.left, one.top, one.right, one.bottom


def outline_of(mark: Text | Flag) -> Polygon:
    return box(*bounds(box_of(mark)))


DRAFT = yaml.safe_load(PLANS[1].read_text(encoding="utf-8"))
EVERY = yaml.safe_load(PLANS[3].read_text(encoding="utf-8"))


def paths_of(data: object, path: tuple[Any, ...] = ()) -> list[tuple[Any, ...]]:
    children: Any = data.items() if isinstance(data, dict) else enumerate(data) if isinstance(data, list) else ()
    return [one for key, value in children for one in [(*path, key), *paths_of(value, (*path, key))]]


@settings(max_examples=40, deadline=None)
@examples(st.sampled_from([DRAFT, EVERY]), st.data())
def test_nothing_breaks_for_want_of_a_key(whole: dict[str, Any], chance: st.DataObject) -> None:
    data = copy.deepcopy(whole)
    for _ in range(chance.draw(st.integers(1, 12))):
        path = chance.draw(st.sampled_from([path for path in paths_of(data) if path[0] not in ("plan", "title")]))
        holder = data
        for key in path[:-1]:
            holder = holder[key]
        del holder[path[-1]]
    text = yaml.safe_dump(data, allow_unicode=True, sort_keys=False)
    try:
        plan = read_plan(source.read(text.encode(), "case.plan.yaml"))
    except PlanFaults:
        return
    for picture in pictures(plan, 1):
        assert picture.width <= 180
        assert all(math.isfinite(side) for mark in picture.marks for side in bounds(box_of(mark)))
