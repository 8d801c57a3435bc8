from collections.abc import Callable

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planlint.model.plan import Whole
from planlint.model.thing import concerns, lies_under

names = st.lists(st.sampled_from(["a", "ab", "b", "a-b"]), min_size=1, max_size=4).map(".".join)
steady = settings(derandomize=True, deadline=None, max_examples=100)


@pytest.mark.parametrize(
    ("place", "other", "lies"),
    [
        ("study.west", "study.west", True),
        ("study.west.S1", "study.west", True),
        ("study.west-2", "study.west", False),
        ("study", "study.west", False),
    ],
)
def test_lies_under(place: str, other: str, lies: bool) -> None:  # noqa: FBT001 - a parameter of the table
    assert lies_under(place, other) is lies


@steady
@given(names, names, names)
def test_lying_under_leads_on(one: str, two: str, three: str) -> None:
    assert lies_under(one, one)
    assert not (lies_under(one, two) and lies_under(two, three)) or lies_under(one, three)
    assert not (lies_under(one, two) and lies_under(two, one)) or one == two


@pytest.fixture
def whole() -> Callable[..., Whole]:
    return lambda place, *bears_on: Whole(place=place, path=(), bears_on=frozenset(bears_on))


def test_what_bears_on_nothing_concerns_its_own_place_alone(whole: Callable[..., Whole]) -> None:
    assert concerns(whole("boards.strand"), "boards.strand")
    assert not concerns(whole("boards.strand"), "study")


def test_what_bears_on_a_wall_concerns_what_is_above_and_below_it(whole: Callable[..., Whole]) -> None:
    board = whole("boards.strand", "study.west")
    assert concerns(board, "study.west")
    assert concerns(board, "study.west.S1")
    assert concerns(board, "study")
    assert not concerns(board, "study.north")


def test_what_bears_on_the_whole_plan_concerns_every_place(whole: Callable[..., Whole]) -> None:
    assert concerns(whole("building", ""), "study.west.S1")
