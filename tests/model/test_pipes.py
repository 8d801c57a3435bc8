"""Pipes of a wall, joist ends and reveals: what a vapour layer has to be sealed to."""

from planlint import source
from planlint.model.build import build
from planlint.model.plan import Plan
from planlint.model.services import Pipe
from planlint.model.thing import concerns
from planlint.model.words import PipeKind

PLAN = """
plan: 1
title: pipes
rooms:
  bath:
    walls:
      - wall: west
        joist_ends: {vapour_sealed: true}
        openings:
          window: {kind: window, reveal: {depth: 0.2 m, vapour_sealed: false}}
          door: {kind: door}
        pipes:
          P1: {kind: water, at: 0.9 m, height: 0.55 m, outside: 15 mm, depth: 30 mm, tested: 2026-05-03,
               pressure: 6 bar}
          P2: {kind: waste, path: [{wall: bath.east, at: 0.2 m, height: 0.1 m}], vapour_sealed: false}
      - {wall: east}
"""


def plan() -> Plan:
    return build(source.read(PLAN.encode(), "case.plan.yaml"))


def test_a_pipe_is_a_thing_on_its_wall() -> None:
    first, second = plan().rooms[0].walls[0].pipes
    assert (first.place, first.kind, first.wall.place) == ("bath.west.P1", PipeKind.WATER, "bath.west")
    assert (str(first.at), str(first.height), str(first.outside)) == ("0.9 m", "0.55 m", "15 mm")
    assert (str(first.depth), str(first.tested), str(first.pressure)) == ("30 mm", "2026-05-03", "6 bar")
    assert (first.vapour_sealed, second.vapour_sealed) == (None, False)
    assert [thing.place for thing in plan().things() if isinstance(thing, Pipe)] == ["bath.west.P1", "bath.west.P2"]


def test_a_pipe_with_a_way_alone_stays_inside_the_wall() -> None:
    first, second = plan().rooms[0].walls[0].pipes
    assert (first.comes_out, second.comes_out) == (True, False)
    assert [(spot.wall, str(spot.at), str(spot.height)) for spot in second.way] == [("bath.east", "0.2 m", "0.1 m")]


def test_a_pipe_bears_on_the_walls_that_it_passes() -> None:
    first, second = plan().rooms[0].walls[0].pipes
    assert [concerns(pipe, "bath.east") for pipe in (first, second)] == [False, True]
    assert concerns(second, "bath.west")


def test_joist_ends_and_reveals_say_whether_they_are_sealed() -> None:
    west, east = plan().rooms[0].walls
    assert west.joist_ends
    assert west.joist_ends.vapour_sealed is True
    assert east.joist_ends is None
    assert [opening.reveal_sealed for opening in west.openings] == [False, None]
