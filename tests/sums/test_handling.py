"""Sums of boards on their way in; expected figures are worked out by hand beside them."""

import math
from collections.abc import Callable

import pytest

from planlint import source
from planlint.model.build import build
from planlint.model.buildups import Board
from planlint.rule import Given
from planlint.sums.handling import (
    BoardLift,
    Narrowest,
    board_lift,
    carried_size,
    largest_cut,
    narrowest_passage,
    spoken_cut,
    spoken_size,
    weight_limit,
)
from planlint.sums.working import Lacking

LANDING = "landing: {kind: turn, width: 1 m, width_beyond: 1 m, headroom: 2.1 m}"
SHEET = "width: 1200 mm, length: 2600 mm, thickness: 12.5 mm, mass: 8.5 kg/m²"


@pytest.fixture(scope="session")
def board_of() -> Callable[..., Board]:
    """The board `sheet` of a plan with what is written of it, hung in the loft behind some passages."""

    def make(written: str = SHEET, passages: str = LANDING, people: str = "people: 1") -> Board:
        names = ", ".join(part.strip().partition(":")[0] for part in passages.split("},") if part)
        text = f"""
plan: 1
title: one board
access: {{{people}, passages: {{{passages}}}}}
boards: {{sheet: {{{written}}}}}
linings: {{flat: {{layers: [{{board: sheet}}]}}}}
rooms: {{loft: {{reached_by: [{names}], walls: [{{wall: gable, lining: flat}}]}}}}
"""
        return build(source.read(text.encode(), "case.plan.yaml")).boards["sheet"]

    return make


def size_of(cut: object) -> str:
    return spoken_size(cut) if cut is not None else "nothing"  # type: ignore[arg-type]


def test_the_limit_of_general_is_the_one_of_the_rulebook(given_all: Given) -> None:
    # 23 x 25/30 x (1 - 0.003 x 5) x (0.82 + 4.5/30) x 0.9 (NIOSH 94-110).
    assert weight_limit(given_all) == pytest.approx(23 * 25 / 30 * 0.985 * 0.97 * 0.9)
    assert weight_limit(given_all) == pytest.approx(16.5, abs=0.05)


@pytest.mark.parametrize(("people", "each", "wanted"), [(1, 26.52, 2), (2, 13.26, 2), (3, 8.84, 2)])
def test_a_board_is_shared_evenly(
    board_of: Callable[..., Board], given_all: Given, people: int, each: float, wanted: int
) -> None:
    lift = board_lift(board_of(people=f"people: {people}"), given_all)
    assert isinstance(lift, BoardLift)
    assert lift.each == pytest.approx(each)
    assert lift.people_wanted == wanted
    assert lift.index == pytest.approx(each / 16.48, abs=0.005)


def test_the_shorter_side_is_the_width(board_of: Callable[..., Board]) -> None:
    size = carried_size(board_of("width: 2600 mm, length: 1200 mm"))
    assert size is not None
    assert (size.width, size.length) == (1.2, 2.6)


@pytest.mark.parametrize(
    ("passages", "longest", "stopping"),
    [
        (LANDING, 2 * math.sqrt(2) - 2 * 0.0625, "landing"),
        (f"{LANDING}, gate: {{kind: door, width: 2 m, width_beyond: 2 m, headroom: 2.4 m}}", 2.7034, "landing"),
        # 0.9 m both ways: 2·√2·0.9 - 2·0.0625.
        (f"{LANDING}, gate: {{kind: door, width: 0.9 m, width_beyond: 0.9 m, headroom: 2.4 m}}", 2.4206, "gate"),
    ],
)
def test_the_narrowest_passage_counts(
    board_of: Callable[..., Board], given_all: Given, passages: str, longest: float, stopping: str
) -> None:
    found = narrowest_passage(board_of(passages=passages), given_all)
    assert isinstance(found, Narrowest)
    assert found.longest == pytest.approx(longest, abs=0.00005)
    assert found.passage.name == stopping
    assert found.rooms_named == "loft"
    assert found.lets_through == (longest > 2.6)


def test_a_room_that_nothing_leads_to(board_of: Callable[..., Board], given_all: Given) -> None:
    assert narrowest_passage(board_of(passages=""), given_all) is None


# The limit for one person is 16.48 kg, 1.939 m² at 8.5 kg/m²; the landing lets 2.703 m through.
@pytest.mark.parametrize(
    ("written", "people", "cut"),
    [
        (SHEET, 1, "600 × 2600 mm"),  # 1.56 m²
        (SHEET, 2, "1200 × 2600 mm"),
        ("width: 1200 mm, length: 3 m, thickness: 12.5 mm, mass: 8.5 kg/m²", 2, "1200 mm × 2.7 m"),
        ("width: 1200 mm, length: 3 m, thickness: 12.5 mm", 1, "1200 mm × 2.7 m"),  # no mass known
        ("width: 1250 mm, length: 2500 mm, thickness: 12 mm, density: 650 kg/m³", 1, "625 × 2500 mm"),  # 12.2 kg
        (
            "width: 1250 mm, length: 2500 mm, thickness: 18 mm, density: 650 kg/m³",
            1,
            "416 × 2500 mm",
        ),  # 12.2 kg of 36.6
        # 40 kg/m²: even 300 mm by 2.6 m is 31.2 kg; 16.48 / (40 x 0.3) = 1.373 m.
        ("width: 600 mm, length: 2600 mm, thickness: 25 mm, mass: 40 kg/m²", 1, "300 × 1370 mm"),
        ("width: 600 mm, length: 2600 mm, thickness: 25 mm, mass: 400 kg/m²", 1, "nothing"),
        # In feet: 2 x 8 ft is 12.6 kg; 2.703 m is 8 ft 10.4 in, and half an inch is the mark.
        ("width: 4 ft, length: 8 ft, thickness: 12.5 mm, mass: 8.5 kg/m²", 1, "2 × 8 ft"),
        ("width: 4 ft, length: 10 ft, thickness: 12.5 mm, mass: 8.5 kg/m²", 2, "4 ft × 8 ft 10 in"),
        ("length: 2600 mm, thickness: 12.5 mm, mass: 8.5 kg/m²", 1, "nothing"),
    ],
)
def test_the_largest_cut(board_of: Callable[..., Board], given_all: Given, written: str, people: int, cut: str) -> None:
    assert size_of(largest_cut(board_of(written, people=f"people: {people}"), given_all)) == cut


def test_a_narrower_strip_may_stand_upright_where_a_whole_sheet_does_not_turn(
    board_of: Callable[..., Board], given_all: Given
) -> None:
    # 0.5 m both ways: on edge 1.289 m at most. Upright there is room for 2.65 m, for a sheet no wider than 1.289 m.
    steep = "landing: {kind: turn, width: 0.5 m, width_beyond: 0.5 m, headroom: 2.7 m}"
    wide = "width: 2500 mm, length: 2600 mm, thickness: 12.5 mm, mass: 2 kg/m²"
    assert size_of(largest_cut(board_of(wide, steep), given_all)) == "1250 × 2600 mm"


@pytest.mark.parametrize(
    ("written", "passages", "said"),
    [
        (SHEET, LANDING, "the largest that one person lifts and that goes through every passage on its way"),
        (SHEET, "", "the largest that one person lifts"),
        ("width: 1200 mm, length: 3 m, thickness: 12.5 mm", LANDING, "the largest that goes through every passage"),
        ("width: 600 mm, length: 2600 mm, thickness: 25 mm, mass: 400 kg/m²", LANDING, "bring in smaller sheets"),
    ],
)
def test_the_cut_is_said_with_its_reasons(
    board_of: Callable[..., Board], given_all: Given, written: str, passages: str, said: str
) -> None:
    assert said in spoken_cut(board_of(written, passages), given_all)


def test_what_no_formula_holds_for_is_said(board_of: Callable[..., Board], given_all: Given) -> None:
    found = board_lift(board_of("width: 1200 mm, length: 2600 mm, mass: 9000 kg/m²"), given_all)
    assert isinstance(found, Lacking)
    assert not found.keys
    assert "has to be from" in found.what
