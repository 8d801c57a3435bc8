from collections.abc import Callable
from typing import Any

from planlint.records import PlanRecord


def test_case(case: dict[str, Any], hold: Callable[[dict[str, Any]], None]) -> None:
    hold(case)


def test_a_run_behind_a_wall_without_points_wants_a_photograph_too(inspect: Callable[..., PlanRecord]) -> None:
    # From the west wall to the east wall by the north one, which is the shorter way: nothing else is on it.
    plan = """
plan: 1
title: three walls
linings: {plain: {layers: [{material: air}]}}
circuits: {first: {serves: sockets, chain: [supply, S1, S2]}}
rooms:
  study:
    height: 2.5 m
    outline: closed
    walls:
      - {<<: &bare {length: 3 m, then: right, lining: none},
         wall: west, points: {S1: {kind: socket, circuit: first, at: 2 m, height: 30 cm}}}
      - {wall: north, length: 2 m, then: right, lining: plain, photos: []}
      - {<<: *bare, wall: east, points: {S2: {kind: socket, circuit: first, at: 1 m, height: 30 cm}}}
      - {wall: south, length: 2 m, then: right, lining: plain, photos: []}
"""
    found = inspect(plan, "runs-photographed").findings
    assert [finding.place for finding in found] == ["study.north"]
