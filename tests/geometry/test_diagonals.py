"""True turns from diagonals: by the law of cosines, by rooms whose corners are known, and against scipy."""

import math
from itertools import combinations, pairwise

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from scipy.optimize import least_squares

from planlint.geometry import Diagonal, true_outline, walk

RIGHT, LEFT = math.pi / 2, -math.pi / 2
SQUARE = [RIGHT] * 4
steady = settings(derandomize=True, deadline=None, max_examples=40)
Corners = list[tuple[float, float]]


def measured(corners: Corners) -> tuple[list[float], list[float]]:
    """Lengths of the walls from corner to corner, and the turns at their ends."""
    around = list(pairwise([*corners, corners[0]]))
    headings = [math.atan2(x2 - x1, y2 - y1) for (x1, y1), (x2, y2) in around]
    turns = [math.remainder(b - a, 2 * math.pi) for a, b in pairwise([*headings, headings[0]])]
    return [math.dist(*leg) for leg in around], turns


def taped(corners: Corners, start: int, end: int) -> Diagonal:
    """The diagonal between the corners at the ends of two walls (wall i ends at corner i + 1)."""
    return Diagonal(start, end, math.dist(corners[(start + 1) % len(corners)], corners[(end + 1) % len(corners)]))


def test_three_four_five_is_square() -> None:
    # The diagonal from the end of wall 1 to the end of wall 3 spans walls 2 and 3: 3² + 4² = 5².
    true = true_outline([4.0, 3.0, 4.0, 3.0], SQUARE, [Diagonal(0, 2, 5.0)])
    assert true.turns == pytest.approx(SQUARE)
    assert true.residual == pytest.approx(0.0, abs=1e-9)
    assert true.determined


def test_longer_diagonal_opens_its_corner() -> None:
    # Law of cosines: cos C = (3² + 4² - 5.05²) / (2 · 3 · 4), C = 91.20°: at the corners that it faces one turns
    # by 180° - C, at the two others by C.
    gamma = math.acos((9 + 16 - 5.05**2) / 24)
    true = true_outline([4.0, 3.0, 4.0, 3.0], SQUARE, [Diagonal(0, 2, 5.05)])
    assert true.turns == pytest.approx([gamma, math.pi - gamma, gamma, math.pi - gamma])
    assert true.residual == pytest.approx(0.0, abs=1e-9)
    assert true.outline.misclosure == pytest.approx(0.0, abs=1e-9)
    assert math.dist(true.outline.corners[1], true.outline.corners[3]) == pytest.approx(5.05)


def test_a_wall_measured_twice_takes_the_mean() -> None:
    # Both ends of wall 2 again, 20 mm longer: 10 mm misfit on either side, as all else fits any length of it.
    lengths = [4.0, 3.0, 5.0]
    corner = math.pi - math.acos(3 / 5), math.pi - math.acos(4 / 5)
    true = true_outline(lengths, [RIGHT, corner[0], corner[1]], [Diagonal(0, 1, 3.02)])
    assert true.lengths == pytest.approx([4.0, 3.01, 5.0])
    assert true.length_misfits == pytest.approx([0.0, 0.01, 0.0], abs=1e-9)
    assert true.diagonal_misfits == pytest.approx([-0.01])
    assert true.residual == pytest.approx(0.01)


def test_diagonals_that_contradict_each_other_leave_a_residual() -> None:
    # In a room of 4 by 3 both diagonals cannot be 50 mm longer: the squares of the two add up to 2 · (4² + 3²).
    true = true_outline([4.0, 3.0, 4.0, 3.0], SQUARE, [Diagonal(0, 2, 5.05), Diagonal(1, 3, 5.05)])
    assert true.turns == pytest.approx(SQUARE)
    # By symmetry still a rectangle, with walls 0.8 k and 0.6 k longer and so diagonals k longer. Two of each:
    # (0.8 k)² + (0.6 k)² + (k - 50 mm)² is least at k = 25 mm.
    assert true.residual == pytest.approx(0.025, abs=1e-4)
    assert true.length_misfits == pytest.approx([0.020, 0.015, 0.020, 0.015], abs=1e-4)
    assert true.determined


def test_chimney_breast_with_one_diagonal_stays_square_where_the_tape_does_not_tell() -> None:
    lengths = [3.6, 1.7, 0.4, 1.4, 0.4, 1.7, 3.6, 4.8]
    turns = [RIGHT, RIGHT, LEFT, LEFT, RIGHT, RIGHT, RIGHT, RIGHT]
    # From the far end of the west wall to that of the east wall: √(4.8² + 3.6²) = 6 m.
    square = true_outline(lengths, turns, [Diagonal(0, 6, 6.0)])
    assert square.turns == pytest.approx(turns)
    assert not square.determined
    out = true_outline(lengths, turns, [Diagonal(0, 6, 6.02)])
    assert not out.determined
    assert out.residual == pytest.approx(0.0, abs=1e-6)
    assert out.outline.misclosure == pytest.approx(0.0, abs=1e-9)
    assert sum(out.turns) == pytest.approx(2 * math.pi)
    # No turn is bent more than a room of 4.8 m needs: 20 mm are a quarter of a degree or so.
    assert max(abs(true - turn) for true, turn in zip(out.turns, turns, strict=True)) < math.radians(0.6)


def test_walls_in_one_line_stay_in_one_line() -> None:
    # 4 m in two parts, also where the walk begins between them.
    for shift in range(5):
        lengths, turns = [1.5, 2.5, 3.0, 4.0, 3.0], [0.0, RIGHT, RIGHT, RIGHT, RIGHT]
        rolled = [*lengths[shift:], *lengths[:shift]], [*turns[shift:], *turns[:shift]]
        ends = [(wall - shift) % 5 for wall in (1, 3)]
        true = true_outline(*rolled, [Diagonal(ends[0], ends[1], 5.05)])
        back = true.turns[-shift:] + true.turns[:-shift] if shift else true.turns
        gamma = math.acos((9 + 16 - 5.05**2) / 24)
        assert back == pytest.approx([0.0, gamma, math.pi - gamma, gamma, math.pi - gamma])


def test_diagonal_to_the_middle_of_a_wall() -> None:
    # From the joint in the long wall, 1.5 m along, to the corner opposite: √(2.5² + 3²) where square.
    lengths, turns = [1.5, 2.5, 3.0, 4.0, 3.0], [0.0, RIGHT, RIGHT, RIGHT, RIGHT]
    true = true_outline(lengths, turns, [Diagonal(0, 2, math.hypot(2.5, 3.0))])
    assert true.turns == pytest.approx(turns)
    assert true.determined


def test_a_triangle_needs_no_diagonal() -> None:
    # Whatever turns are noted, 3, 4 and 5 make a right angle.
    true = true_outline([4.0, 3.0, 5.0], [math.radians(120)] * 3, [])
    assert true.turns == pytest.approx([RIGHT, math.pi - math.asin(4 / 5), math.pi - math.asin(3 / 5)])
    assert true.determined


def test_misclosure_is_shared_out_where_there_is_no_diagonal() -> None:
    true = true_outline([4.0, 3.0, 3.98, 3.0], SQUARE, [])
    assert true.outline.misclosure == pytest.approx(0.0, abs=1e-9)
    assert not true.determined
    assert true.residual < 0.005


@pytest.mark.parametrize(
    ("lengths", "turns", "diagonal", "words"),
    [
        ([4.0, 3.0], [math.pi, math.pi], Diagonal(0, 1, 1.0), "at least three corners"),
        ([2.0, 2.0, 3.0], [0.0, RIGHT, RIGHT], Diagonal(0, 1, 1.0), "at least three corners"),
        ([4.0, 3.0, 4.0, 0.0], SQUARE, Diagonal(0, 2, 5.0), "longer than 0 m"),
        ([4.0, 3.0, 4.0, 3.0], SQUARE, Diagonal(2, 2, 5.0), "two different corners"),
        ([4.0, 3.0, 4.0, 3.0], SQUARE, Diagonal(0, 4, 5.0), "two different corners"),
        ([4.0, 3.0, 4.0, 3.0], SQUARE, Diagonal(0, 2, 0.0), "a diagonal is longer"),
    ],
)
def test_what_cannot_be_worked_out(lengths: list[float], turns: list[float], diagonal: Diagonal, words: str) -> None:
    with pytest.raises(ValueError, match=words):
        true_outline(lengths, turns, [diagonal])


@st.composite
def bent(draw: st.DrawFn) -> tuple[Corners, list[float]]:
    """The corners of a room of 4 to 6 walls, up to 150 mm off a plain one, and the turns of the plain one."""
    plain = draw(
        st.sampled_from(
            [
                [(0.0, 0.0), (0.0, 3.6), (4.8, 3.6), (4.8, 0.0)],
                [(0.0, 0.0), (0.0, 4.0), (3.0, 4.0), (3.0, 2.5), (5.0, 2.5), (5.0, 0.0)],
                [(0.0, 0.0), (0.0, 3.0), (3.0, 3.0), (4.0, 2.0), (4.0, 0.0)],
            ]
        )
    )
    offs = draw(st.lists(st.integers(-150, 150), min_size=2 * len(plain), max_size=2 * len(plain)))
    corners = [
        (x + east / 1000, y + north / 1000) for (x, y), east, north in zip(plain, offs[::2], offs[1::2], strict=True)
    ]
    return corners, measured(plain)[1]


@steady
@given(bent())
def test_exact_measures_give_the_room_back(room: tuple[Corners, list[float]]) -> None:
    corners, nominal = room
    lengths, turns = measured(corners)
    apart = [pair for pair in combinations(range(len(corners)), 2) if (pair[1] - pair[0]) not in (1, len(corners) - 1)]
    true = true_outline(lengths, nominal, [taped(corners, *pair) for pair in apart])
    assert true.turns == pytest.approx(turns, abs=1e-7)
    assert true.lengths == pytest.approx(lengths, abs=1e-7)
    assert true.residual < 1e-7
    assert true.determined
    assert true.outline.area == pytest.approx(walk(lengths, turns).area)


@steady
@given(bent(), st.lists(st.integers(-10, 10), min_size=20, max_size=20))
def test_measures_with_errors_against_scipy(room: tuple[Corners, list[float]], errors: list[int]) -> None:
    """The same misfits by scipy's least squares, which moves every corner freely and knows nothing of turns."""
    corners, nominal = room
    count = len(corners)
    apart = [pair for pair in combinations(range(count), 2) if (pair[1] - pair[0]) not in (1, count - 1)]
    noise = [error / 1000 for error in errors]
    lengths = [length + off for length, off in zip(measured(corners)[0], noise, strict=False)]
    diagonals = [
        Diagonal(start, end, taped(corners, start, end).length + off)
        for (start, end), off in zip(apart, noise[count:], strict=False)
    ]
    assume(all(diagonal.length > 0.3 for diagonal in diagonals))
    true = true_outline(lengths, nominal, diagonals)

    ends = [(i, (i + 1) % count) for i in range(count)]
    ends += [((d.start + 1) % count, (d.end + 1) % count) for d in diagonals]
    tape = np.array([*lengths, *(diagonal.length for diagonal in diagonals)])

    def misfits(flat: np.ndarray) -> np.ndarray:
        places = flat.reshape(-1, 2)
        return np.array([np.linalg.norm(places[a] - places[b]) for a, b in ends]) - tape

    theirs = least_squares(misfits, np.array(corners).ravel(), xtol=1e-14, ftol=1e-14, gtol=1e-14)
    ours = [*true.length_misfits, *true.diagonal_misfits]
    assert ours == pytest.approx(list(misfits(theirs.x)), abs=1e-6)
    places = [(float(x), float(y)) for x, y in theirs.x.reshape(-1, 2)]
    assert true.turns == pytest.approx(measured(places)[1], abs=1e-6)


@steady
@given(bent(), st.integers(-15, 15))
def test_twice_the_room_has_the_same_turns_and_twice_the_residual(
    room: tuple[Corners, list[float]], error: int
) -> None:
    corners, nominal = room
    lengths, _ = measured(corners)
    tape = taped(corners, 0, 2).length + error / 1000
    once = true_outline(lengths, nominal, [Diagonal(0, 2, tape)])
    twice = true_outline([2 * length for length in lengths], nominal, [Diagonal(0, 2, 2 * tape)])
    assert twice.turns == pytest.approx(once.turns, abs=1e-7)
    assert twice.residual == pytest.approx(2 * once.residual, abs=1e-7)


@steady
@given(bent())
def test_a_mirrored_room_has_mirrored_turns(room: tuple[Corners, list[float]]) -> None:
    corners, nominal = room
    lengths, _ = measured(corners)
    tape = taped(corners, 0, 2)
    plain = true_outline(lengths, nominal, [tape])
    mirrored = true_outline(lengths, [-turn for turn in nominal], [tape])
    assert mirrored.turns == pytest.approx([-turn for turn in plain.turns], abs=1e-7)
