"""Boards round corners against published figures, a search by scipy, and a walk through every position by shapely."""

import math
from random import Random

import pytest
from scipy.optimize import minimize_scalar
from shapely import MultiPoint, Polygon, box
from shapely.affinity import rotate

from planlint.formulas.passage import (
    Sheet,
    Turn,
    headroom_to_stand,
    longest_board,
    longest_through,
    longest_through_hatch,
    touching_length,
)

SOME = Random(6)  # noqa: S311 - to be the same each time, not secret
CORNERS = [(SOME.uniform(0.5, 2), SOME.uniform(0.5, 2), SOME.uniform(0, 0.4)) for _ in range(6)]


def test_published_lengths() -> None:
    # College Mathematics Journal 33(3), 2002, pp. 196-200: a rectangle 1 wide, a = 8, b = 3, at 31°.
    assert touching_length(8, 3, 1, math.radians(31)) == pytest.approx(12.8927, abs=0.00005)
    # The ladder round a corner between two corridors 1 wide: 2·√2, in textbooks and an encyclopaedia of mathematics.
    assert longest_board(1, 1) == pytest.approx(2.8284, abs=0.00005)


# Worked out for the project's reference sheet with another program; (a, b, w) in metres.
@pytest.mark.parametrize(
    ("corner", "length"),
    [
        ((3, 4, 0), 9.8657),
        ((8, 3, 1), 12.8563),
        ((0.9, 0.9, 0.0125), 2.5206),
        ((0.9, 1.2, 0.05), 2.8592),
    ],
)
def test_longest_boards(corner: tuple[float, float, float], length: float) -> None:
    assert longest_board(*corner) == pytest.approx(length, abs=0.00005)


# Likewise: the width that two equal corridors need for a board on edge, with its thickness (and hands).
@pytest.mark.parametrize(
    ("length", "w", "width"),
    [
        (2.0, 0.10, 0.778),
        (2.5, 0.10, 0.955),
        (2.6, 0.10, 0.990),
        (3.0, 0.10, 1.131),
        (2.6, 0.0125, 0.928),
        (2.5, 0.0125, 0.893),
    ],
)
def test_widths_that_boards_on_edge_need(length: float, w: float, width: float) -> None:
    assert longest_board(width + 0.0005, width + 0.0005, w) > length
    assert longest_board(width - 0.0006, width - 0.0006, w) < length


# Likewise: headroom for standing a board up in its own plane.
@pytest.mark.parametrize(
    ("width", "length", "headroom"),
    [(1.2, 2.6, 2.864), (1.25, 2.5, 2.795), (1.2, 2.4, 2.683), (1.25, 2.0, 2.358), (0.6, 2.0, 2.088)],
)
def test_headroom_to_stand_a_board_up(width: float, length: float, headroom: float) -> None:
    assert headroom_to_stand(length, width) == pytest.approx(headroom, abs=0.0006)


@pytest.mark.parametrize(("a", "b", "w"), CORNERS)
def test_the_least_over_all_angles_is_the_one_that_scipy_finds(a: float, b: float, w: float) -> None:
    found = minimize_scalar(
        lambda t: (a * math.sin(t) + b * math.cos(t) - w) / (math.sin(t) * math.cos(t)),
        bounds=(1e-6, math.pi / 2 - 1e-6),
        method="bounded",
        options={"xatol": 1e-10},
    )
    assert longest_board(a, b, w) == pytest.approx(found.fun, rel=1e-9)


# ---- Computed independently: every position and every angle --------------------------------------------------------

FAR = 8.0
ANGLES = [half / 2 for half in range(181)]  # degrees; coarser steps would jump over narrow places


def places(a: float, b: float, board: Polygon, degrees: float) -> list[Polygon]:
    """Where the middle of a board may be in an L of two corridors: no formula, only what is free of walls."""
    turned = rotate(board, -degrees, origin=(0, 0))
    left, low, right, high = turned.bounds
    within = box(-left, -low, FAR - right, FAR - high)
    block = [(a, b), (FAR, b), (FAR, FAR), (a, FAR)]
    # All middles at which the board would lie on the inner block: its Minkowski sum with the mirrored board.
    blocked = MultiPoint([(x - u, y - v) for x, y in block for u, v in turned.exterior.coords]).convex_hull
    free = within.difference(blocked)
    return [part for part in getattr(free, "geoms", [free]) if part.area > 0]


def goes_round(a: float, b: float, length: float, w: float) -> bool:
    """Whether some way leads from one corridor into the other, step by step through the angles."""
    board = box(-length / 2, -w / 2, length / 2, w / 2)
    layers = [places(a, b, board, degrees) for degrees in ANGLES]
    reached = {(0, number) for number, part in enumerate(layers[0]) if part.bounds[2] > FAR - length}
    while True:
        beyond = {
            (other, number)
            for layer, at in reached
            for other in (layer - 1, layer + 1)
            if 0 <= other < len(layers)
            for number, part in enumerate(layers[other])
            if part.intersects(layers[layer][at])
        }
        if beyond <= reached:
            break
        reached |= beyond
    last = len(layers) - 1
    return any(layers[last][number].bounds[3] > FAR - length for layer, number in reached if layer == last)


@pytest.mark.parametrize(("a", "b", "w"), [(0.95, 1.05, 0.0625), (0.83, 1.60, 0.0625), *CORNERS[:3]])
def test_a_walk_through_every_position_comes_to_the_same(a: float, b: float, w: float) -> None:
    w = max(w, 0.02)
    longest = longest_board(a, b, w)
    assert goes_round(a, b, 0.98 * longest, w)
    assert not goes_round(a, b, 1.005 * longest, w)


# ---- Ways of carrying ------------------------------------------------------------------------------------------------

# A board 12.5 mm thick and 50 mm for hands; sums by hand from the closed forms.
HANDS = 0.05
EDGE = 2 * math.sqrt(2) * 1.0 - 2 * 0.0625  # round two corridors 1 m wide, on its long edge


@pytest.mark.parametrize(
    ("width", "headroom", "longest"),
    [
        (1.2, 1.25, EDGE),  # the edge and the hands just fit under the headroom
        (1.2, 1.24, 1.19),  # they do not; flat it does not go round, so it stands upright: 1.24 - 0.05
        (0.3, 0.34, 2 * math.sqrt(2) - 2 * 0.35),  # under a low beam, flat: its width is then its thickness
        (0.3, 2.95, 2.90),  # upright, under a high ceiling: 2.95 - 0.05
        (1.2, 0.05, 0),  # hands alone take all of it
        (
            0.9,
            0.9,
            0.95,
        ),  # too low for its edge; flat it goes sideways: 1.0 - 0.05
    ],
)
def test_the_best_way_of_carrying_counts(width: float, headroom: float, longest: float) -> None:
    through = longest_through(Sheet(width, 9.9, 0.0125), Turn(1.0, 1.0, headroom), HANDS)
    assert through == pytest.approx(longest, abs=1e-9)


def test_a_hatch_is_a_turn_seen_from_the_side() -> None:
    # An opening 0.7 by 1.3 m under 2.4 m: a board 1.2 m wide has to swing over the short side.
    narrow = longest_board(0.7, 2.4, 0.0625)
    assert longest_through_hatch(Sheet(1.2, 9.9, 0.0125), (0.7, 1.3), 2.4, HANDS) == pytest.approx(narrow)
    # One 0.6 m wide fits over either side, and goes over the long one.
    wide = longest_board(1.3, 2.4, 0.0625)
    assert longest_through_hatch(Sheet(0.6, 9.9, 0.0125), (0.7, 1.3), 2.4, HANDS) == pytest.approx(wide)
