"""What lies behind a point. What rules make of it: the tables of tests/rules/boxes*.yaml."""

from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planlint import source
from planlint.model.build import build
from planlint.model.rooms import Room
from planlint.sums.boxes import Sheets, is_hollow, lining_depth, reach_at, sheets_at
from planlint.sums.edges import End, battens_along, ends_of
from planlint.sums.working import Lacking

SMALL = settings(deadline=None, derandomize=True, max_examples=40)


def room_with(wall: str, *, lining: str = "layers: [{board: narrow}]", more: str = "", ceiling: str = "") -> Room:
    text = f"""
plan: 1
title: one point
boards: {{narrow: {{thickness: 12.5 mm}}, strand: {{thickness: 12 mm}}}}
linings: {{own: {{{lining}}}}}
rooms: {{study: {{height: 2.50 m, {ceiling} walls: [{{wall: west, {wall}}}{more}]}}}}
"""
    return build(source.read(text.encode(), "case.plan.yaml")).rooms[0]


def reach(wall: str, **rest: Any) -> tuple[float, str, tuple[str, ...] | None] | tuple[str, ...]:  # noqa: ANN401
    found = reach_at(room_with(wall, **rest).walls[0].points[0])
    if isinstance(found, Lacking):
        return found.keys
    return pytest.approx(found.depth), found.made_of, found.more.keys if found.more else None


S1 = "points: {S1: {kind: socket}}"
BRICK = "base: {material: solid-brick, thickness: 100 mm}"
STUD = "base: {material: timber-stud, thickness: 100 mm}"


@pytest.mark.parametrize(
    ("wall", "expected"),
    [
        (f"{BRICK}, lining: own, {S1}", (0.0125, "the lining", None)),
        (
            f"{BRICK}, lining: own, points: {{S1: {{kind: socket, recess: 40 mm}}}}",
            (0.0525, "the lining and the hollow behind it", None),
        ),
        (f"{STUD}, lining: own, {S1}", (0.1125, "the lining and the studs behind it", None)),
        (f"{STUD}, lining: none, existing: {{board: narrow}}, {S1}", (0.1, "the stud wall", None)),
        (f"{BRICK}, lining: none, {S1}", (0.0, "what stands on this face", ("recess",))),
        (f"lining: own, {S1}", (0.0125, "the lining", ("study.west.base",))),
        (f"base: {{thickness: 1 m}}, lining: own, {S1}", (0.0125, "the lining", ("study.west.base.material",))),
        (f"base: {{material: stud}}, lining: own, {S1}", (0.0125, "the lining", ("study.west.base.thickness",))),
        (f"base: {{material: stud}}, lining: none, {S1}", ("study.west.base.thickness",)),
        (f"{BRICK}, {S1}", ("study.west.lining",)),
        (f"{BRICK}, lining: {{build_up: own, to: 1 m}}, {S1}", ("at", "height")),
    ],
)
def test_how_deep_a_box_may_reach(wall: str, expected: Any) -> None:  # noqa: ANN401 - a table
    assert reach(wall) == expected


@pytest.mark.parametrize(
    ("lining", "depth"),
    [
        # The linings of the Weigh house, summed by hand: 60 + 0 + 12 + 12.5, 40 + 12 + 12.5, 25 + 12.5 mm.
        (
            "battens: {depth: 60 mm}, layers: [{material: wool, thickness: 60 mm}, {material: film, sd: 20 m}, TWO]",
            0.0845,
        ),
        (
            "battens: {depth: 40 mm}, layers: [{material: air, thickness: 40 mm}, {board: strand}, {board: narrow}]",
            0.0645,
        ),
        ("adhesive: {kind: foam}, layers: [{material: foam, thickness: 25 mm}, {board: narrow}]", 0.0375),
        ("battens: {depth: 60 mm}, layers: [{material: wool, thickness: 40 mm}, {board: narrow}]", 0.0725),
        ("battens: {depth: 60 mm}, layers: [{board: narrow}]", 0.0725),
        ("battens: {spacing: 600 mm}, layers: [{board: narrow}]", ("linings.own.battens.depth",)),
        (
            "layers: [{material: vapour-barrier}, {material: wool}, {board: narrow}]",
            ("linings.own.layers.2.thickness",),
        ),
        ("gap: 3 mm", ("linings.own.layers",)),
    ],
)
def test_how_far_a_lining_stands_out(lining: str, depth: Any) -> None:  # noqa: ANN401 - a table
    chosen = (
        room_with(f"lining: own, {S1}", lining=lining.replace("TWO", "{board: strand}, {board: narrow}"))
        .walls[0]
        .lining
    )
    assert chosen
    found = lining_depth(chosen)
    assert found.keys == depth if isinstance(found, Lacking) else found == pytest.approx(depth)


@SMALL
@given(
    st.lists(
        st.sampled_from(
            ["board: narrow", "board: strand", "material: film, sd: 20 m", "material: wool, thickness: 40 mm"]
        ),
        min_size=1,
        max_size=6,
    )
)
def test_the_sheets_that_a_box_is_clamped_into_are_the_last_ones_that_nothing_parts(layers: list[str]) -> None:
    built = ", ".join(f"{{{layer}}}" for layer in layers)
    point = room_with(f"lining: own, {S1}", lining=f"layers: [{built}]").walls[0].points[0]
    found = sheets_at(point)
    # The same in another way: split the layers at the wool, and look at the last part that holds a board.
    parts = [part for part in "|".join(layers).split("material: wool, thickness: 40 mm") if "board" in part]
    if not parts:
        assert found is None
        return
    assert isinstance(found, Sheets)
    assert found.boards == parts[-1].count("board")
    wool = (
        "|".join(layers).rpartition("board")[2].count("wool") * 0.04
    )  # what is put on the boards is gripped with them
    total = parts[-1].count("narrow") * 0.0125 + parts[-1].count("strand") * 0.012 + wool
    assert found.thickness == pytest.approx(total)


@pytest.mark.parametrize(
    ("wall", "hollow"),
    [
        (f"{BRICK}, lining: own", True),
        (f"{BRICK}, lining: none", False),
        (f"{BRICK}, lining: none, existing: {{board: narrow}}", True),
        (f"{STUD}, lining: none", True),
        ("lining: none", ("study.west.base",)),
    ],
)
def test_where_fixings_find_boards(wall: str, hollow: Any) -> None:  # noqa: ANN401 - a table
    room = room_with(wall)
    found = is_hollow(room.walls[0], room.walls[0].lining)
    assert (found.keys if isinstance(found, Lacking) else found) == hollow


@pytest.mark.parametrize(
    ("wall", "battens", "expected"),
    [
        ("length: 1.70 m", "spacing: 600 mm", (0.0, 0.6, 1.2)),
        ("length: 1.80 m", "spacing: 600 mm", (0.0, 0.6, 1.2, 1.8)),  # one that falls on the wall's end counts
        ("length: 1.70 m, battens_at: [0.10 m, 1.60 m]", "width: 50 mm", (0.1, 1.6)),
        ("photos: []", "width: 50 mm", ("linings.own.battens.spacing", "study.west.length")),
    ],
)
def test_where_battens_stand(wall: str, battens: str, expected: tuple[Any, ...]) -> None:
    room = room_with(f"lining: own, {wall}", lining=f"battens: {{{battens}}}, layers: [{{board: narrow}}]").walls[0]
    assert room.lining
    found = battens_along(room, room.lining)
    assert found.keys == expected if isinstance(found, Lacking) else found == pytest.approx(expected)


def test_ends_are_corners_and_only_where_walls_turn() -> None:
    more = ", {wall: north, length: 2 m, then: straight}, {wall: far, length: 2 m, then: left}"
    room = room_with("length: 3 m, then: right", more=more, ceiling="outline: closed,")
    ends = {
        wall.name: [(end.is_left, end.neighbour.name) for end in ends_of(wall) if isinstance(end, End)]
        for wall in room.walls
    }
    assert ends == {"west": [(True, "far"), (False, "north")], "north": [(True, "west")], "far": [(False, "west")]}
    room = room_with("length: 3 m, then: right", more=more, ceiling="outline: partial,")
    ends = {
        wall.name: [(end.is_left, end.neighbour.name) for end in ends_of(wall) if isinstance(end, End)]
        for wall in room.walls
    }
    assert ends == {"west": [(False, "north")], "north": [(True, "west")], "far": []}
