"""Finished faces by hand and by their properties; the checks against shapely are in reference/test_faces.py."""

import math
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planlint.geometry import BareWall, end_moves, finished_faces

RIGHT, LEFT = math.pi / 2, -math.pi / 2
steady = settings(derandomize=True, deadline=None, max_examples=60)
millimetres = st.integers(500, 9000).map(lambda figure: figure / 1000)
thicknesses = st.integers(0, 120).map(lambda figure: figure / 1000)
bends = st.integers(-150, 150).filter(lambda degrees: abs(degrees) > 5).map(math.radians)
walls = st.builds(
    lambda length, turn, lining, board: BareWall(length=length, turn=turn, lining=lining, boards=min(board, lining)),
    millimetres,
    bends,
    thicknesses,
    st.sampled_from([0.0, 0.0095, 0.0125]),
)
rooms = st.lists(walls, min_size=3, max_size=8, unique_by=lambda wall: wall.length)


def wall(length: float, turn: float, lining: float = 0.0, boards: float = 0.0) -> BareWall:
    return BareWall(length=length, turn=turn, lining=lining, boards=boards)


# Linings of the Weigh house: 40 mm of air, 12 mm and 12.5 mm of board; 25 mm of adhesive and 12.5 mm of board.
PLAIN, BONDED, BOARD = 0.0645, 0.0375, 0.0125
BREAST = [
    wall(1.70, RIGHT, PLAIN, BOARD),
    wall(0.40, LEFT, BONDED, BOARD),
    wall(1.40, LEFT, BONDED, BOARD),
    wall(0.40, RIGHT, BONDED, BOARD),
    wall(1.70, RIGHT, PLAIN, BOARD),
]


def test_breast_face_grows_by_the_linings_at_its_outside_corners() -> None:
    face = finished_faces(BREAST, closed=False)[2]
    # 1.40 m and 37.5 mm at each end, as the plan's comment says.
    assert face.length == pytest.approx(1.475)
    assert (face.start, face.end) == pytest.approx((-0.0375, 1.4375))
    assert face.boarded == pytest.approx(1.475)


def test_breast_side_is_lapped_by_the_boards_of_the_longer_face() -> None:
    left, right = (finished_faces(BREAST, closed=False)[index] for index in (1, 3))
    # 400 - 64.5 (inside corner) + 37.5 (outside corner) = 373 mm of face; the board over its end takes 12.5 mm.
    assert left.length == pytest.approx(0.373)
    assert (left.left.lapped_by, left.right.lapped_by) == (0.0, BOARD)
    assert left.boarded == pytest.approx(0.3605)
    assert (right.left.lapped_by, right.right.lapped_by) == (BOARD, 0.0)
    assert right.boarded == pytest.approx(left.boarded)


def test_a_partial_outline_has_no_corner_at_its_ends() -> None:
    faces = finished_faces(BREAST, closed=False)
    assert (faces[0].start, faces[-1].right.moved) == (0.0, 0.0)
    assert finished_faces(BREAST)[0].start == pytest.approx(PLAIN)


def test_square_inside_corner_takes_the_neighbour_and_outside_one_gives_it() -> None:
    assert end_moves(0.03, 0.05, RIGHT) == pytest.approx(0.05)
    assert end_moves(0.03, 0.05, LEFT) == pytest.approx(-0.05)


def test_splay_by_hand() -> None:
    # θ = 45°: (50 - 30 · cos 45°) / sin 45° = 40.71 mm; θ = 135°: (50 + 30 · cos 45°) / sin 45° = 100.71 mm.
    assert end_moves(0.03, 0.05, math.radians(45)) == pytest.approx(0.0407107, abs=1e-7)
    assert end_moves(0.03, 0.05, math.radians(135)) == pytest.approx(0.1007107, abs=1e-7)


def test_linings_in_one_line_end_at_the_bare_wall_with_a_step() -> None:
    assert end_moves(0.03, 0.0645, 0.0) == 0.0
    # A shallow turn: each face ends on the bisector, 0.03 · tan 1° and not 34.5 mm / sin 2° (0.99 m) further on.
    assert end_moves(0.03, 0.0645, math.radians(2)) == pytest.approx(0.03 * math.tan(math.radians(1)))


@pytest.mark.parametrize("degrees", [176, 180, -180, 270])
def test_walls_that_fold_back(degrees: float) -> None:
    with pytest.raises(ValueError, match="fold back on each other"):
        end_moves(0.03, 0.03, math.radians(degrees))


def test_two_walls_close_no_room() -> None:
    with pytest.raises(ValueError, match="at least three walls"):
        finished_faces(BREAST[:2])


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"length": 0.0}, "longer than 0 m"),
        ({"length": math.nan}, "longer than 0 m"),
        ({"lining": -0.01}, "0 m thick or more"),
        ({"lined_from": 2.0, "lined_to": 1.0}, "to the right of where it begins"),
    ],
)
def test_walls_that_cannot_be(changes: dict[str, float], words: str) -> None:
    with pytest.raises(ValueError, match=words):
        replace(BREAST[0], **changes)


def test_a_narrow_recess_is_filled_by_the_linings_beside_it() -> None:
    # Walls on both sides with 37.5 mm each leave nothing of 70 mm.
    recess = [wall(1.0, RIGHT, BONDED), wall(0.07, RIGHT, BONDED), wall(1.0, RIGHT, BONDED)]
    face = finished_faces(recess, closed=False)[1]
    assert face.length == pytest.approx(-0.005)
    assert face.vanishes
    assert not finished_faces(BREAST)[1].vanishes


def test_of_two_equal_walls_the_one_before_the_corner_laps() -> None:
    pair = [wall(1.0, LEFT, BONDED, BOARD), wall(1.0, RIGHT, BONDED, BOARD)]
    before, after = finished_faces(pair, closed=False)
    assert (before.right.lapped_by, after.left.lapped_by) == (0.0, BOARD)


def test_lengths_at_the_floor_decide_at_the_ceiling_too() -> None:
    # At the ceiling the second wall is the longer one; at the floor the first was.
    top = [wall(0.99, LEFT, BONDED, BOARD), wall(1.01, RIGHT, BONDED, BOARD)]
    assert finished_faces(top, closed=False)[0].right.lapped_by == BOARD
    faces = finished_faces(top, closed=False, lap_lengths=[1.02, 1.01])
    assert (faces[0].right.lapped_by, faces[1].left.lapped_by) == (0.0, BOARD)


def test_nothing_laps_where_one_side_has_no_boards() -> None:
    pair = [wall(2.0, LEFT, BONDED, BOARD), wall(1.0, RIGHT)]
    assert all(end.lapped_by == 0 for face in finished_faces(pair, closed=False) for end in (face.left, face.right))


def test_a_wall_cut_by_straight_counts_whole_where_boards_lap() -> None:
    # 0.8 m next to the corner, but 2.0 m of wall in one line: longer than the neighbour's 1.0 m.
    parts = [wall(1.2, 0.0, BONDED, BOARD), wall(0.8, LEFT, BONDED, BOARD), wall(1.0, RIGHT, BONDED, BOARD)]
    assert finished_faces(parts, closed=False)[2].left.lapped_by == BOARD
    # The same where the walk begins in the middle of that wall.
    around = [parts[1], parts[2], wall(2.0, LEFT, BONDED, BOARD), parts[0]]
    assert finished_faces(around)[1].left.lapped_by == BOARD


def test_partial_lining_moves_the_corner_that_it_reaches() -> None:
    part = replace(wall(3.60, RIGHT, BONDED, BOARD), lined_to=2.20)
    faces = finished_faces([wall(2.0, RIGHT, PLAIN), part, wall(2.0, RIGHT, PLAIN)], closed=False)
    assert faces[0].right.moved == pytest.approx(BONDED)
    assert faces[2].left.moved == pytest.approx(0.0, abs=1e-12)
    # From the neighbour's lining to 2.20 m; the rest of the bare wall ends at the lining of the next.
    assert (faces[1].lined_from, faces[1].lined_to, faces[1].end) == pytest.approx((PLAIN, 2.20, 3.60 - PLAIN))


def test_lining_that_begins_behind_the_neighbours_begins_in_front_of_it() -> None:
    part = replace(wall(3.60, RIGHT, BONDED, BOARD), lined_from=0.02)
    faces = finished_faces([wall(2.0, RIGHT, PLAIN), part, wall(2.0, RIGHT, PLAIN)], closed=False)
    assert faces[1].lined_from == pytest.approx(PLAIN)


@steady
@given(rooms)
def test_a_mirrored_room_has_mirrored_faces(room: list[BareWall]) -> None:
    turns_before = [room[-1].turn, *(wall.turn for wall in room[:-1])]
    mirrored = [replace(wall, turn=turn) for wall, turn in zip(room, turns_before, strict=True)][::-1]
    for face, image in zip(finished_faces(room), reversed(finished_faces(mirrored)), strict=True):
        assert image.left.moved == pytest.approx(face.right.moved)
        assert image.right.moved == pytest.approx(face.left.moved)
        assert (image.left.lapped_by, image.right.lapped_by) == (face.right.lapped_by, face.left.lapped_by)


@steady
@given(rooms)
def test_twice_the_room_has_faces_twice_as_long(room: list[BareWall]) -> None:
    twice = [replace(wall, length=2 * wall.length, lining=2 * wall.lining, boards=2 * wall.boards) for wall in room]
    for face, large in zip(finished_faces(room), finished_faces(twice), strict=True):
        assert large.length == pytest.approx(2 * face.length)
        assert large.boarded == pytest.approx(2 * face.boarded)


@steady
@given(rooms, st.integers(0, 7), st.floats(0.1, 0.9))
def test_a_wall_in_two_parts_has_the_same_face(room: list[BareWall], which: int, share: float) -> None:
    index = which % len(room)
    whole = room[index]
    parts = [replace(whole, length=whole.length * share, turn=0.0), replace(whole, length=whole.length * (1 - share))]
    faces, split = finished_faces(room), finished_faces([*room[:index], *parts, *room[index + 1 :]])
    assert split[index].length + split[index + 1].length == pytest.approx(faces[index].length)
    assert split[index].boarded + split[index + 1].boarded == pytest.approx(faces[index].boarded)
    rest = [*split[:index], *split[index + 2 :]]
    assert rest == [*faces[:index], *faces[index + 1 :]]


@steady
@given(rooms, st.integers(1, 7))
def test_it_does_not_matter_where_the_walk_begins(room: list[BareWall], start: int) -> None:
    shift = start % len(room)
    turned, plain = finished_faces([*room[shift:], *room[:shift]]), finished_faces(room)
    assert turned == (*plain[shift:], *plain[:shift])
