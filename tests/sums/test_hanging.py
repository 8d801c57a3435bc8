"""Supports, screws, frame fixings and elastic joints: sums that stand on the formulas."""

from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planlint import source
from planlint.model.build import build
from planlint.model.plan import Plan
from planlint.rule import Given
from planlint.sums.fixings import frame_fixings
from planlint.sums.screws import Bite, bite, reach
from planlint.sums.sealants import JointMovement, joint_movement
from planlint.sums.supports import supports, widest_spacing
from planlint.sums.working import Lacking
from planlint.units import Length

steady = settings(derandomize=True, deadline=None, max_examples=60)


def plan(wall: str = "lining: hung", board: str = "kind: gypsum, thickness: 12.5 mm") -> Plan:
    text = f"""
plan: 1
title: what boards hang on
boards: {{narrow: {{{board}}}, strand: {{kind: osb, thickness: 12 mm}}}}
linings:
  hung: {{battens: {{spacing: 600 mm, depth: 40 mm}}, layers: [{{board: strand}}, {{board: narrow}}]}}
rooms:
  hall:
    outline: partial
    walls: [{{wall: west, length: 3 m, then: right, {wall}}}, {{wall: north, length: 4 m}}]
"""
    return build(source.read(text.encode(), "case.plan.yaml"))


def test_battens_stand_from_the_left_end_unless_said_otherwise() -> None:
    (room,) = plan().rooms
    assert supports(room.walls[0]) == pytest.approx((0, 0.6, 1.2, 1.8, 2.4, 3.0))
    assert supports(room.walls[1]) == Lacking("where the studs stand", ("hall.north.battens_at",))
    (room,) = plan("lining: hung, battens_at: [0.1 m, 0.5 m]").rooms
    assert supports(room.walls[0]) == pytest.approx((0.1, 0.5))


@pytest.mark.parametrize(
    ("thickness", "wall", "ceiling"),
    # UK warranty standards 6.3.12 and 9.2.4, Table 5 (BS 8212): 9.5 450/400, 12.5 600/450, 15 600/600 mm.
    [("9.5 mm", 0.45, 0.4), ("12.5 mm", 0.6, 0.45), ("15 mm", 0.6, 0.6), ("3/8 in", 0.45, 0.4), ("6 mm", None, None)],
)
def test_widest_spacing(given_all: Given, thickness: str, wall: float | None, ceiling: float | None) -> None:
    board = plan(board=f"kind: gypsum, thickness: {thickness}").boards["narrow"]
    assert widest_spacing(board, given_all, is_ceiling=False) == wall
    assert widest_spacing(board, given_all, is_ceiling=True) == ceiling


@steady
@given(st.integers(1, 120))
def test_a_screw_is_in_its_board_in_the_sheet_and_in_the_batten(given_all: Given, mm: int) -> None:
    """Of a screw through 12.5 mm of gypsum all that is longer bites: 12 mm of sheet, then the batten."""
    lining = plan().linings["hung"]
    found = bite(lining, 2, Length(mm / 1000, "mm"), given_all)
    assert isinstance(found, Bite)
    assert found.timber == pytest.approx(max(mm - 12.5, 0) / 1000)
    assert found.passes_sheet == (mm >= 24.5)
    assert reach(lining, 2, Length(mm / 1000, "mm")) == pytest.approx((mm - 64.5) / 1000)


@steady
@given(st.integers(100, 6000), st.integers(100, 4000))
def test_fixings_are_as_many_as_it_takes_and_no_more(given_all: Given, width: int, height: int) -> None:
    """Set by hand: one 250 mm from each corner, none further than 700 mm from the next; one alone up to 450 mm."""

    def by_hand(side: int) -> int:
        if side <= 450:
            return 1
        stretch, set_ = side - 2 * 250, 2
        while stretch > 700 * (set_ - 1):
            set_ += 1
        return set_

    written = f"openings: {{light: {{kind: KIND, width: {width} mm, height: {height} mm}}}}"
    (sash,), (door,) = (plan(written.replace("KIND", kind)).rooms[0].walls[0].openings for kind in ("window", "door"))
    sides: dict[str, Any] = {"head": by_hand(width), "left": by_hand(height), "right": by_hand(height)}
    assert frame_fixings(door, given_all) == sides
    assert frame_fixings(sash, given_all) == {**sides, "sill": sides["head"]}


def test_fixings_of_an_opening_without_a_size(given_all: Given) -> None:
    (sash,) = plan("openings: {light: {kind: window, height: 1 m}}").rooms[0].walls[0].openings
    assert frame_fixings(sash, given_all) == Lacking("how wide and high the opening is", ("hall.west.light.width",))


def test_an_elastic_joint_moves_with_the_longer_wall(given_all: Given) -> None:
    """4 m: 2 m × (7.2e-6 × 30 + 16e-6 × 5) = 0.592 mm; 8 mm of class 12.5 take 1.0 mm; 4.736 mm would do: 4.8."""
    (room,) = plan("corner: {joint: sealant, width: 8 mm, sealant: {class: 12.5}}").rooms
    assert room.walls[0].corner
    found = joint_movement(room.walls[0].corner, given_all)
    assert isinstance(found, JointMovement)
    assert (found.moves, found.takes, found.wanted) == pytest.approx((0.592e-3, 1e-3, 4.8e-3))
    assert found.wall.name == "north"
