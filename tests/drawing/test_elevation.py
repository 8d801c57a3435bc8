"""The elevation of a wall: to scale, nothing on top of anything else, and nothing left out in silence."""

from collections.abc import Iterator
from datetime import date
from pathlib import Path
from typing import Any

import pytest
import yaml
from hypothesis import given, settings
from hypothesis import strategies as st

from planlint import limits, source
from planlint.drawing.elevation import LIMITS_OF_ELEVATION, elevation
from planlint.drawing.paper import box_of
from planlint.drawing.wall_tables import tables_of_wall
from planlint.model.build import build
from planlint.model.plan import Plan
from planlint.model.rooms import Wall
from planlint.rule import Given
from planlint.sheet_records import Area, Circle, Flag, Line, Look, Picture, Text
from planlint.takeoff.layout import LIMITS_OF_LAYOUT, hang

ROOT = Path(__file__).parents[2]
PLANS = [
    *sorted((ROOT / "examples").rglob("*.plan.yaml")),
    ROOT / "tests" / "data" / "every-key.yaml",
    *sorted((ROOT / "tests" / "data" / "sheets").glob("*.plan.yaml")),
]
DECLARED = tuple(dict.fromkeys((*LIMITS_OF_LAYOUT, *LIMITS_OF_ELEVATION)))
GIVEN = Given(limits.resolve(None), date(2026, 10, 3), DECLARED)


def plan_of(text: str) -> Plan:
    return build(source.read(text.encode(), "case.plan.yaml"))


def of_one_wall(wall: dict[str, Any], boxes: object = None, floor: object = None) -> Plan:
    room = {"height": "2.60 m", **({"floor": floor} if floor else {}), "walls": [{"wall": "west", **wall}]}
    plan = {"plan": 1, "title": "one wall", **({"boxes": boxes} if boxes else {}), "rooms": {"hut": room}}
    return plan_of(yaml.safe_dump(plan, allow_unicode=True))


def drawn(plan: Plan, wall: Wall, flags: int = 0) -> Picture | None:
    looks = (Look.FOUND_ERROR, Look.FOUND_WARNING, Look.FOUND_OPEN)
    places = [thing.place for thing in plan.things()]
    numbers = {
        place: tuple((number * flags + one + 1, looks[one % 3]) for one in range(flags))
        for number, place in enumerate(dict.fromkeys(places))
        if flags
    }
    return elevation(wall, plan, GIVEN, hang(wall, GIVEN).pieces, numbers)


def wall_of(plan: Plan) -> Wall:
    return plan.rooms[0].walls[0]


def first(plan: Plan) -> Picture:
    picture = drawn(plan, wall_of(plan))
    assert picture is not None
    return picture


def written(picture: Picture) -> list[str]:
    return [mark.text for mark in picture.marks if isinstance(mark, Text)]


def covered(picture: Picture) -> Iterator[tuple[Text | Flag, Text | Flag]]:
    """Pairs of texts and flags that cover each other by more than a tenth of a millimetre."""
    marks = [mark for mark in picture.marks if isinstance(mark, Text | Flag)]
    boxes = [box_of(mark) for mark in marks]
    for here, one in enumerate(boxes):
        yield from (
            (marks[here], marks[there])
            for there in range(here + 1, len(boxes))
            if one.overlaps(boxes[there], slack=0.1)
        )


def face_of(picture: Picture) -> Area:
    [face] = [mark for mark in picture.marks if isinstance(mark, Area) and mark.look is Look.FACE]
    return face


@pytest.mark.parametrize("path", PLANS, ids=lambda path: path.name)
@pytest.mark.parametrize("flags", [0, 1, 4])
def test_nothing_covers_anything_on_any_wall(path: Path, flags: int) -> None:
    plan = build(source.load(str(path)))
    for room in plan.rooms:
        for wall in room.walls:
            if picture := drawn(plan, wall, flags):
                assert not list(covered(picture)), wall.place
                assert picture.width <= 180.1
                assert picture.height <= 250.1


@pytest.mark.parametrize("path", PLANS, ids=lambda path: path.name)
def test_every_point_is_drawn_or_said_not_to_be(path: Path) -> None:
    plan = build(source.load(str(path)))
    for wall in (wall for room in plan.rooms for wall in room.walls):
        picture = drawn(plan, wall)
        if picture is None:
            continue
        said = " ".join(picture.unplaced)
        for point in wall.points:
            names = [text for text in written(picture) if text.startswith(point.name[:10])]
            assert names or f"{point.name} (" in said, point.place


def test_points_stand_where_the_plan_says() -> None:
    points = {
        "S1": {"kind": "socket", "at": "0.35 m", "height": "250 mm", "box": "deep"},
        "S2": {"kind": "socket", "at": "2.90 m", "height": "1.10 m", "box": "deep", "gangs": 2},
    }
    boxes = {"deep": {"hole": "68 mm"}}
    picture = first(of_one_wall({"length": "3.20 m", "points": points}, boxes))
    face = face_of(picture)
    left, floor = min(x for x, _ in face.spots), max(y for _, y in face.spots)
    assert picture.scale == 20  # 3.20 m are 160 mm at 1:20, and 130 mm high
    # By hand: 20 mm of wall are 1 mm of paper; the holes of a pair stand 71 mm apart (limit gang_spacing).
    expected = sorted([(350 / 20, 250 / 20), ((2900 - 35.5) / 20, 1100 / 20), ((2900 + 35.5) / 20, 1100 / 20)])
    holes = [mark for mark in picture.marks if isinstance(mark, Circle) and mark.look is Look.BOX]
    found = sorted((hole.middle[0] - left, floor - hole.middle[1]) for hole in holes)
    assert [pytest.approx(spot, abs=1e-6) for spot in expected] == found
    assert {round(hole.radius, 6) for hole in holes} == {68 / 2 / 20}


def test_heights_from_the_finished_floor_stand_on_it() -> None:
    points = {"S1": {"kind": "socket", "at": "1 m", "height": "300 mm", "box": "deep"}}
    floor = {"heights_from": "finished", "build_up": "100 mm"}
    boxes = {"deep": {"hole": "68 mm"}}
    picture = first(of_one_wall({"length": "3.20 m", "points": points}, boxes, floor))
    bottom = max(y for _, y in face_of(picture).spots)
    [hole] = [mark for mark in picture.marks if isinstance(mark, Circle) and mark.look is Look.BOX]
    assert bottom - hole.middle[1] == pytest.approx((300 + 100) / 20)
    [level] = [mark for mark in picture.marks if isinstance(mark, Line) and mark.look is Look.FLOOR]
    assert [bottom - y for _, y in level.spots] == [pytest.approx(100 / 20)] * len(level.spots)
    assert "Heights: from the finished floor." in written(picture)


def test_a_sloping_top_is_drawn_as_it_slopes() -> None:
    picture = first(of_one_wall({"length": "2 m", "height": {"left": "2.00 m", "right": "2.50 m"}}))
    spots = face_of(picture).spots
    assert (max(x for x, _ in spots) - min(x for x, _ in spots)) == pytest.approx(2000 / 20)
    bottom = max(y for _, y in spots)
    assert {round(bottom - y, 6) for _, y in spots} == {0.0, 2000 / 20, 2500 / 20}


def test_an_opening_is_as_large_as_the_plan_says() -> None:
    window = {"kind": "window", "at": "1.20 m", "width": "0.95 m", "sill": "0.88 m", "height": "1.30 m"}
    picture = first(of_one_wall({"length": "3.20 m", "openings": {"light": window}}))
    spots = next(mark.spots for mark in picture.marks if isinstance(mark, Area) and mark.look is Look.OPENING)
    face = face_of(picture)
    left, bottom = min(x for x, _ in face.spots), max(y for _, y in face.spots)
    assert {round(x - left, 6) for x, _ in spots} == {60.0, 107.5}  # 1.20 m and 2.15 m, by 20
    assert {round(bottom - y, 6) for _, y in spots} == {44.0, 109.0}  # 0.88 m and 2.18 m, by 20


@pytest.mark.parametrize(
    ("value", "look"),
    # The limits 20 % and 23 % of masonry on the wood-equivalent scale (`planlint limits general`).
    [("20 %", Look.READING_DRY), ("21 %", Look.READING_DAMP), ("24 %", Look.READING_WET)],
)
def test_a_reading_has_the_look_of_its_limits(value: str, look: Look) -> None:
    reading = {"date": "2026-09-28", "scale": "wood-equivalent", "at": "1 m", "height": "0.60 m", "value": value}
    picture = first(of_one_wall({"length": "3.20 m", "readings": [reading]}))
    [dot] = [mark for mark in picture.marks if isinstance(mark, Circle) and mark.look.startswith("reading")]
    assert dot.look is look
    assert any(text.startswith(value) for text in written(picture))


def test_what_is_not_recorded_is_said_with_its_key() -> None:
    picture = first(of_one_wall({"length": "3.20 m", "points": {"S1": {"kind": "socket", "height": "250 mm"}}}))
    assert "S1 (socket) is not drawn: add hut.west.S1.at" in picture.unplaced
    assert any("add hut.floor.build_up" in said for said in picture.unplaced)


def test_a_wall_of_which_nothing_is_known_is_not_drawn() -> None:
    bare = plan_of("plan: 1\ntitle: bare\nrooms: {hut: {walls: [{wall: west}]}}\n")
    assert drawn(bare, wall_of(bare)) is None


def test_the_tables_say_the_plans_own_figures() -> None:
    points = {"S1": {"kind": "socket", "at": "350 mm", "height": "25 cm", "circuit": "ring"}}
    reading = {"date": "2026-09-28", "scale": "wood-equivalent", "at": "1 m", "height": "0.60 m", "value": "24 %"}
    plan = of_one_wall({"length": "3.20 m", "points": points, "readings": [reading]})
    marked, read = tables_of_wall(wall_of(plan), GIVEN)
    assert marked.rows == (("S1", "socket", "350 mm", "2850 mm", "25 cm", "1", "not recorded", "ring", "no"),)
    assert read.rows[0][:7] == ("1", "wall", "1 m", "0.6 m", "wood-equivalent", "24 %", "2026-09-28")
    assert read.rows[0][7].startswith("wet")
    assert all(len(row) == len(table.head) for table in (marked, read) for row in table.rows)


lengths = st.integers(1, 500).map(lambda number: f"{number} cm")
POINTS = st.dictionaries(
    st.integers(1, 30).map(lambda number: f"P{number}"),
    st.fixed_dictionaries(
        {"kind": st.sampled_from(["socket", "switch", "light", "heating"])},
        optional={"at": lengths, "height": lengths, "gangs": st.integers(1, 3), "backing": st.booleans()},
    ),
    max_size=12,
)
WALLS = st.fixed_dictionaries(
    {},
    optional={
        "length": lengths,
        "points": POINTS,
        "openings": st.dictionaries(
            st.sampled_from(["window", "door", "niche"]),
            st.fixed_dictionaries(
                {"kind": st.just("window")},
                optional={"at": lengths, "width": lengths, "sill": lengths, "height": lengths},
            ),
            max_size=2,
        ),
        "readings": st.lists(
            st.fixed_dictionaries(
                {"scale": st.just("wood-equivalent"), "value": st.integers(5, 60).map(lambda value: f"{value} %")},
                optional={"at": lengths, "height": lengths},
            ),
            max_size=5,
        ),
    },
)


@settings(max_examples=40)
@given(WALLS, st.integers(0, 2))
def test_no_wall_breaks_it_and_nothing_covers_anything(wall: dict[str, Any], flags: int) -> None:
    plan = of_one_wall(wall)
    picture = drawn(plan, wall_of(plan), flags)
    if picture is not None:
        assert not list(covered(picture))
        assert all(len(row) == len(table.head) for table in tables_of_wall(wall_of(plan), GIVEN) for row in table.rows)
