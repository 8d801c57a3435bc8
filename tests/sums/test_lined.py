"""Whether a wall can be judged for damp at all. What rules make of it: the tables of tests/rules/moisture*.yaml."""

from datetime import date

import pytest

from planlint import limits, source
from planlint.model.build import build
from planlint.model.rooms import Wall
from planlint.rule import NOT_APPLICABLE, Given, Open
from planlint.sums.lined import (
    LIMITS_OF_EXPOSURE,
    faces_key,
    is_unexposed,
    needs_no_reading,
    off_masonry,
    unread,
    unready,
)

GIVEN = Given(limits.resolve(None), date(2026, 10, 3), LIMITS_OF_EXPOSURE)
BRICK = "base: {material: solid-brick, faces: outside}, lining: hung"
INSIDE = "base: {material: solid-brick, faces: inside}"


def wall_with(written: str) -> Wall:
    text = f"""
plan: 1
title: one wall
bases: {{front: {{faces: loft}}}}
linings: {{hung: {{layers: [{{material: gypsum}}]}}, glued: {{adhesive: {{}}, layers: [{{material: gypsum}}]}}}}
rooms: {{hall: {{walls: [{{wall: west, {written}}}]}}}}
"""
    return build(source.read(text.encode(), "case.plan.yaml")).rooms[0].walls[0]


@pytest.mark.parametrize(
    ("written", "missing"),
    [
        (BRICK, None),
        ("base: {material: solid-brick}", ("lining",)),
        ("base: front, lining: hung", ("bases.front.material",)),
        ("base: {sound: true}, lining: hung", ("base.material",)),
        ("lining: hung", ("base",)),
        ("base: {faces: ground}", ("lining", "base.material")),
    ],
)
def test_masonry_that_is_to_be_lined_can_be_judged(written: str, missing: tuple[str, ...] | None) -> None:
    off = off_masonry(wall_with(written))
    assert (off.missing if isinstance(off, Open) else off) == missing


@pytest.mark.parametrize("written", ["base: {material: timber-stud}", "base: front, lining: none"])
def test_studs_and_what_stays_as_it_is_are_not_asked_about(written: str) -> None:
    assert off_masonry(wall_with(written)) is NOT_APPLICABLE


def test_a_key_of_the_base_is_asked_for_with_the_lining() -> None:
    found = unready(wall_with("base: front"), "sound", "whether it is sound", known=False)
    assert isinstance(found, Open)
    assert found.what == "whether and how the wall will be lined, and whether it is sound"
    assert found.missing == ("lining", "bases.front.sound")


@pytest.mark.parametrize(
    ("written", "key", "unexposed"),
    [
        ("base: front", "bases.front.faces", True),
        (INSIDE, "base.faces", True),
        ("base: {faces: ground}", "base.faces", False),
        ("base: {faces: neighbour}", "base.faces", False),
        ("base: {sound: true}", "base.faces", False),
        ("lining: none", "base", False),
    ],
)
def test_what_a_wall_faces(written: str, key: str, unexposed: bool) -> None:  # noqa: FBT001 - a table
    wall = wall_with(written)
    assert (faces_key(wall), is_unexposed(wall, GIVEN)) == (key, unexposed)


@pytest.mark.parametrize(
    ("hint", "needs_none"),
    [("", True), (", damp: {}", False), (", readings: [{value: 9 %}]", False), (", lining: glued", False)],
)
def test_an_inside_wall_is_read_only_where_something_hints_at_damp(hint: str, needs_none: bool) -> None:  # noqa: FBT001
    assert needs_no_reading(wall_with(INSIDE + hint), GIVEN) is needs_none


def test_no_readings_are_open_and_too_few_are_not() -> None:
    assert isinstance(unread(wall_with(BRICK), GIVEN), Open)
    assert unread(wall_with(f"{BRICK}, readings: []"), GIVEN) is NOT_APPLICABLE
    assert unread(wall_with(INSIDE), GIVEN) is NOT_APPLICABLE
