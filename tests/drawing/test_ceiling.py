"""The points of a ceiling in plan, each held against the walls it was taped from (shapely measures)."""

from collections.abc import Mapping
from datetime import date
from textwrap import dedent, indent

import pytest
from shapely import LineString, Point

from planlint import limits, source
from planlint.drawing.ceiling import LIMITS_OF_CEILING, ceiling_view, table_of_ceiling_points
from planlint.drawing.paper import box_of
from planlint.model.build import build
from planlint.model.rooms import Ceiling
from planlint.rule import Given
from planlint.sheet_records import Circle, Flag, Line, Look, Picture, Text

GIVEN = Given(limits.resolve(None), date(2026, 10, 3), LIMITS_OF_CEILING)


def ceiling_of(points: str, walls: str = "", more: str = "outline: closed") -> Ceiling:
    text = f"""
plan: 1
title: one ceiling
rooms:
  hut:
    {more}
    ceiling: {{lining: none, points: {{{points}}}}}
    walls:
{indent(dedent(walls or SQUARE), "      ")}
"""
    found = build(source.read(text.encode(), "case.plan.yaml")).rooms[0].ceiling
    assert found is not None
    return found


SQUARE = """
  - {wall: west, length: 3 m, then: right}
  - {wall: north, length: 4 m, then: right}
  - {wall: east, length: 3 m, then: right}
  - {wall: south, length: 4 m, then: right}
"""
SPLAYED = """
  - {wall: west, length: 3 m, then: {turn: right, by: 60 deg}}
  - {wall: splay, length: 2 m, then: right}
"""


def drawn(ceiling: Ceiling, numbers: Mapping[str, tuple[tuple[int, Look], ...]] | None = None) -> Picture:
    found = ceiling_view(ceiling, GIVEN, numbers or {})
    assert found is not None
    return found


def walls_of(picture: Picture) -> list[LineString]:
    return [LineString(mark.spots) for mark in picture.marks if isinstance(mark, Line) and mark.look is Look.FACE]


def lights_of(picture: Picture) -> list[Point]:
    return [Point(mark.middle) for mark in picture.marks if isinstance(mark, Circle) and mark.look is Look.SYMBOL]


@pytest.mark.parametrize(
    ("walls", "names", "more"),
    [(SQUARE, ("west", "north"), "outline: closed"), (SPLAYED, ("west", "splay"), "outline: partial")],
)
def test_a_point_lies_as_far_off_its_walls_as_taped(walls: str, names: tuple[str, str], more: str) -> None:
    at = f"{{{names[0]}: 1.20 m, {names[1]}: 0.90 m}}"
    picture = drawn(ceiling_of(f"C1: {{kind: light, at: {at}}}", walls, more))
    assert picture.scale is not None
    (light,) = lights_of(picture)
    off = [light.distance(wall) * picture.scale / 1000 for wall in walls_of(picture)[:2]]
    assert off == pytest.approx([1.20, 0.90])
    # Each distance is drawn square to its wall, from the wall to the point.
    drawn_ = [m for m in picture.marks if isinstance(m, Line) and m.look is Look.DIMENSION]
    lengths = sorted((LineString(mark.spots).length * picture.scale / 1000 for mark in drawn_), reverse=True)
    assert lengths[:2] == pytest.approx([1.20, 0.90])
    assert f"C1, light: 1.2 m from {names[0]} and 0.9 m from {names[1]}." in picture.described
    assert "seen from above" in picture.title


def test_points_that_two_walls_do_not_fix_are_said() -> None:
    two = (
        "C1: {kind: light, at: {west: 1 m, north: 1 m}}, C2: {kind: fan, at: {west: 1 m, east: 1 m}}, C3: {kind: light}"
    )
    picture = drawn(ceiling_of(two))
    assert len(picture.unplaced) == 2
    assert "hut.ceiling.C2.at" in picture.unplaced[0]
    assert "hut.ceiling.C3.at" in picture.unplaced[1]
    assert ceiling_view(ceiling_of("C3: {kind: light}"), GIVEN, {}) is None
    assert ceiling_view(ceiling_of(""), GIVEN, {}) is None
    assert ceiling_view(ceiling_of("C1: {kind: light}", "  - {wall: x}"), GIVEN, {}) is None


def test_only_what_is_found_of_the_ceiling_stands_here() -> None:
    numbers = {
        place: ((number, Look.FOUND_ERROR),)
        for number, place in enumerate(("hut.ceiling", "hut.ceiling.C1", "hut.west", "hut.west.corner", "hut"), 1)
    }
    picture = drawn(ceiling_of("C1: {kind: light, at: {west: 1 m, north: 1 m}}"), numbers)
    assert sorted(mark.number for mark in picture.marks if isinstance(mark, Flag)) == [1, 2]


def test_many_points_keep_their_words_apart() -> None:
    rows = [
        f"L{row}{column}: {{kind: light, at: {{west: {0.5 + column * 0.6} m, north: {0.5 + row * 0.7} m}}}}"
        for row in range(4)
        for column in range(6)
    ]
    ceiling = ceiling_of(", ".join(rows))
    picture = drawn(ceiling)
    assert picture == drawn(ceiling)
    assert len(lights_of(picture)) == 24
    boxes = [box_of(mark) for mark in picture.marks if isinstance(mark, Text)]
    assert not any(one.overlaps(other) for index, one in enumerate(boxes) for other in boxes[:index])
    assert picture.width <= 180


def test_table_of_points() -> None:
    table = table_of_ceiling_points(
        ceiling_of(
            "C1: {kind: light, circuit: lamps, at: {west: 4 ft, north: 1 m}, switched_by: [W1, W2]}, C2: {kind: fan}"
        )
    )
    assert table is not None
    assert table.rows == (
        ("C1", "light", "4 ft from west and 1 m from north", "lamps", "W1, W2"),
        ("C2", "fan", "not recorded", "not recorded", ""),
    )
    assert table_of_ceiling_points(ceiling_of("")) is None
