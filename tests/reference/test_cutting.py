"""Cut lists against published optima, and against optima worked out by other means (said beside each).

"Computed" was worked out for the project with general solvers (a mixed-integer programme over maximal patterns, and a
constraint solver, which agreed), not with the code under test.
"""

import pytest

from planlint.cutting import cut_lengths
from planlint.cutting.bars import LIMITS, BarStock, singles
from planlint.cutting.blocks import Panel, Shape, Wanted, best_block
from planlint.cutting.effort import Effort
from planlint.cutting.patterns import Problem, priced

# ---- Bars ----------------------------------------------------------------------------------------------------------

# A: rolls of paper, a textbook case. Data: text of a model library, seen in a public repository; optimum computed,
# as is the bound of the linear programme, 452.25.
ROLLS = {45: 97, 36: 610, 31: 395, 14: 211}
# B: rolls of 5600 mm, the worked example of a public encyclopaedia. Stock width seen there; items and the published
# 73 from memory; 73 computed too (bound of the linear programme 72.917).
REELS = {
    1380: 22,
    1520: 25,
    1560: 12,
    1710: 14,
    1820: 18,
    1880: 18,
    1930: 20,
    2000: 10,
    2050: 12,
    2100: 14,
    2140: 16,
    2150: 18,
    2200: 20,
}
# C: lumber of 17 ft, a textbook of operations research. Data from memory; optimum computed (bound 18.333).
LUMBER = {3: 25, 5: 20, 9: 15}


def of(wanted: dict[int, int], scale: float) -> list[float]:
    return [length * scale for length, number in wanted.items() for _ in range(number)]


@pytest.mark.parametrize(
    ("wanted", "bar", "scale", "optimum"),
    [
        pytest.param(ROLLS, 100, 1.0, 453, id="rolls of paper"),
        pytest.param(REELS, 5600, 1e-3, 73, id="reels"),
        pytest.param(LUMBER, 17, 0.3048, 19, id="lumber in feet"),
    ],
)
def test_published_bars(wanted: dict[int, int], bar: int, scale: float, optimum: int) -> None:
    bars = cut_lengths(of(wanted, scale), bar * scale)
    assert bars.new == optimum
    assert bars.bound == optimum


@pytest.mark.parametrize(
    ("wanted", "bar", "optimum"),
    [
        pytest.param(ROLLS, 100, 452.25, id="rolls of paper"),
        pytest.param(REELS, 5600, 72.917, id="reels"),
        pytest.param(LUMBER, 17, 18.333, id="lumber in feet"),
    ],
)
def test_bound_of_the_linear_programme(wanted: dict[int, int], bar: int, optimum: float) -> None:
    stock = BarStock(bar, tuple(wanted))
    problem = Problem(tuple(wanted.values()), (stock,), (), lambda _counts, _on_hand: [], singles(len(wanted), 0))
    use, weighting = priced(problem, problem.counts, LIMITS, Effort.of_seconds(60, LIMITS.prices))
    assert weighting is not None
    assert weighting.worth(problem.counts, ()) == pytest.approx(optimum, abs=5e-4)
    assert sum(amount for _, amount in use) == pytest.approx(optimum, abs=5e-4)


@pytest.mark.parametrize(
    ("wanted", "kerf", "optimum"),
    [
        # D, E, and four halves: own cases. Computed.
        pytest.param({1000: 6, 1500: 2}, 0, 3, id="thirds and halves, snapped"),
        pytest.param({1000: 6, 1500: 2}, 3, 4, id="thirds and halves, sawn"),
        pytest.param({2590: 2, 1400: 2, 1100: 2, 900: 3, 400: 1, 380: 1}, 3, 5, id="mixed, sawn"),
        pytest.param({1500: 4}, 0, 2, id="halves, snapped"),
        pytest.param({1500: 4}, 3, 4, id="halves, sawn"),
    ],
)
def test_kerf(wanted: dict[int, int], kerf: int, optimum: int) -> None:
    bars = cut_lengths(of(wanted, 1e-3), 3.0, kerf * 1e-3)
    assert bars.new == optimum
    assert bars.bound == optimum


# ---- One sheet, guillotine cuts ------------------------------------------------------------------------------------

# F: OR-Library, cgcut1, sheet 15 × 10: (length, width, at most, value). The optimum 244, the sheet and the number of
# kinds seen in a public repository, the rows from memory; 244 computed too, as is 260 with turning allowed.
CGCUT1 = [(8, 4, 2, 66), (3, 7, 1, 35), (8, 2, 3, 24), (3, 4, 5, 17), (3, 3, 2, 11), (3, 2, 2, 8), (2, 1, 1, 2)]
# G: the perfect squared rectangle of order 9 (1925), 33 × 32. Data from memory. All nine squares fill it, 1056; through
# cuts reach 956, all but the square of 10: computed.
SQUARES = [18, 15, 14, 10, 9, 8, 7, 4, 1]


def best(shapes: list[Shape], counts: list[int], values: list[int], panel: Panel) -> int:
    """The best value, found and proved."""
    effort = Effort.of_seconds(120, 10_000_000)
    block, most, packed = best_block(Wanted(shapes, tuple(counts), values), panel, 0, effort)
    assert block is not None
    assert block.value == most
    assert sum(map(int.__mul__, packed.unpack(block.used), values)) == most
    return most


@pytest.mark.parametrize(("may_turn", "optimum"), [(False, 244), (True, 260)])
@pytest.mark.parametrize("is_upright", [False, True])
def test_published_guillotine(may_turn: bool, optimum: int, is_upright: bool) -> None:  # noqa: FBT001 - pytest's
    shapes = [Shape(*((width, length) if is_upright else (length, width)), 0, may_turn) for length, width, *_ in CGCUT1]
    panel = Panel(10, 15) if is_upright else Panel(15, 10)
    assert best(shapes, [number for *_, number, _ in CGCUT1], [value for *_, value in CGCUT1], panel) == optimum


def test_through_cuts_are_stricter_than_a_drawing_that_fits() -> None:
    shapes = [Shape(side, side) for side in SQUARES]
    areas = [side * side for side in SQUARES]
    assert sum(areas) == 33 * 32 == 1056
    assert best(shapes, [1] * 9, areas, Panel(33, 32)) == 956
    without_ten = [int(side != 10) for side in SQUARES]
    assert best(shapes, without_ten, areas, Panel(33, 32)) == 956
