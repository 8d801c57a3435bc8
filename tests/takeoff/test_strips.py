"""How a run is divided, beside what trying every division finds."""

from itertools import combinations, pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planlint.takeoff import strips
from planlint.takeoff.strips import Avoid, Run, Strip, broken, divide


def widths(run: Run, division: tuple[Strip, ...]) -> list[float]:
    """Of the boards, their gaps taken off; the ends of the run upright."""
    joints = [run.first - run.gap / 2, *(strip.right for strip in division[:-1] if strip.right), run.last + run.gap / 2]
    return [there - here - run.gap for here, there in pairwise(joints)]


def test_a_breast_between_two_outside_corners_gets_a_factory_edge_at_both() -> None:
    """The Weigh house, whose own pieces are 600, 275 and 600 mm: 1.475 m take three boards, wherever the cut one is."""
    run = Run(start=(0, 0), end=(1.475, 1.475), width=0.6, corner_left=True, corner_right=True, least=0.15)
    division = divide(run)
    assert sorted(round(width, 6) for width in widths(run, division)) == [0.275, 0.6, 0.6]
    assert division[0].factory_left
    assert division[-1].factory_right


def test_a_pier_narrower_than_a_board_is_made_of_two() -> None:
    """A board cut narrower has one factory edge left: both corners want one."""
    run = Run(start=(0, 0), end=(0.5, 0.5), width=0.6, corner_left=True, corner_right=True, least=0.15)
    first, last = divide(run)
    assert (first.factory_left, first.factory_right, last.factory_left, last.factory_right) == (
        True,
        False,
        False,
        True,
    )
    assert not list(broken(run, (first, last)))


def test_a_leaning_end_takes_no_whole_board() -> None:
    run = Run(start=(0, 0), end=(0.6, 0.59), width=0.6, least=0.15)
    (only,) = divide(run)
    assert [only.factory_left, only.factory_right].count(True) == 1


def test_a_sheet_cut_to_size_has_one_factory_edge_at_most() -> None:
    run = Run(start=(0, 0), end=(1.2, 1.2), width=0.6, least=0.15, keeps_both=False)
    assert all(strip.factory_left != strip.factory_right for strip in divide(run))


def test_supports_too_far_apart_for_the_board_are_said() -> None:
    """Boards of 600 mm on battens 625 mm apart: no joint can lie on one, save by chance."""
    run = Run(start=(0, 0), end=(2.5, 2.5), width=0.6, supports=(0, 0.625, 1.25, 1.875, 2.5), least=0.15)
    division = divide(run)
    assert max(widths(run, division)) <= 0.6 + 1e-6
    assert "joint-on-support" in {rule for rule, _ in broken(run, division)}


def test_nothing_covers_what_is_wider_than_its_boards() -> None:
    with pytest.raises(ValueError, match="cannot cover"):
        divide(Run(start=(0, 2), end=(2.5, 2.5), width=0.6))


def test_a_long_wall_with_many_openings_is_divided() -> None:
    avoid = tuple(
        Avoid(0.7 + 1.37 * number, 0.15, strips.NEAR_OPENING, "joint-clear-of-opening") for number in range(28)
    )
    run = Run(start=(0, 0), end=(40, 40), width=0.6, avoid=avoid, least=0.15)
    division = divide(run)
    assert max(widths(run, division)) <= 0.6 + 1e-6
    assert sum(widths(run, division)) == pytest.approx(40)


lengths = st.integers(400, 4800).map(lambda mm: mm / 1000)


@st.composite
def runs(draw: st.DrawFn) -> Run:
    """Runs on battens, with openings and joints behind."""
    end = draw(lengths)
    spacing = draw(st.sampled_from([0.3, 0.4, 0.6]))
    avoid = draw(st.lists(st.tuples(st.integers(0, 4800), st.sampled_from([100, 150, 200])), max_size=3))
    return Run(
        start=(0.0, 0.0),
        end=(end, end),
        width=draw(st.sampled_from([0.6, 0.625, 0.9, 1.2, 1.25])),
        gap=draw(st.sampled_from([0.0, 0.003])),
        corner_left=draw(st.booleans()),
        corner_right=draw(st.booleans()),
        supports=tuple(spacing * number for number in range(int(4.8 / spacing) + 1)),
        avoid=tuple(
            Avoid(at / 1000, within / 1000, strips.NEAR_OPENING, "joint-clear-of-opening") for at, within in avoid
        ),
        least=0.15,
    )


@settings(max_examples=60, deadline=None, derandomize=True)
@given(runs())
def test_no_division_costs_less(run: Run) -> None:
    """Every choice of supports as joints is tried, and the best way to turn the factory edges in it."""
    division = divide(run)
    assert all(width <= run.width + 1e-6 for width in widths(run, division))
    inside = [at for at in run.supports or () if run.gap < at < run.last - run.gap]
    if len(inside) > 9 or any(
        there - here - run.gap > run.width for here, there in zip([0, *inside], [*inside, run.last], strict=True)
    ):
        return
    own = faults(run, tuple(strip.right for strip in division[:-1] if strip.right is not None))
    for number in range(len(inside) + 1):
        for joints in combinations(inside, number):
            assert faults(run, joints) >= own - 1e-9


def faults(run: Run, joints: tuple[float, ...]) -> float:
    """What breaks rules in a division, and how many boards it takes: by hand, edges left out."""
    spots = [run.first - run.gap / 2, *joints, run.last + run.gap / 2]
    cost = 0.0
    for here, there in pairwise(spots):
        width = there - here - run.gap
        if width > run.width + 1e-6 or width <= 0:
            return float("inf")
        # What the edges may cost at most is allowed for by counting boards only in tens of them.
        cost += strips.NARROW if width < run.least - 1e-6 and run.last > run.first else 0
    for joint in joints:
        for one in run.avoid:
            off = abs(joint - one.at)
            cost += one.cost * (1 - off / one.within / 2) if off < one.within - strips.SAME else 0
    both = (
        len(joints) == 0
        and run.corner_left
        and run.corner_right
        and abs(run.last - run.first - run.width) > strips.SAME
    )
    return (cost + (strips.BARE_CORNER if both else 0)) // 100
