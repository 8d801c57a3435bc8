"""Boxes against figures and methods of others: volumes and holes as published, and places in a wall against shapely.

None of the norms was read in itself: each figure says in which kind of text it was.
"""

import math
from datetime import date

import pytest
import shapely
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from planlint import grammar, inspection, limits, registry
from planlint.model.build import build
from planlint.source import read
from planlint.sums.edges import End, ends_of
from planlint.units import Volume

BOOK = registry.load(inspection.ENGINE_CARDS)
SMALL = settings(deadline=None, derandomize=True, max_examples=60)


def outcomes(text: str, rule: str) -> list[str]:
    wanted = inspection.Wanted(today=date(2026, 10, 3), only=(rule,), contain=False)
    record = inspection.inspect(read(f"plan: 1\ntitle: a box\n{text}".encode(), "x"), BOOK, wanted)
    return [str(finding.outcome) for finding in record.findings]


# ---- NEC 314.16(B) -----------------------------------------------------------------------------------------------
# Source: pages that quote the table: 2.00, 2.25 and 2.50 in³ for each conductor of 14, 12 and 10 AWG, given there also
# as 32.8, 36.9 and 41.0 cm³.
QUOTED = {"14 AWG": ("2.00 in³", 32.8), "12 AWG": ("2.25 in³", 36.9), "10 AWG": ("2.50 in³", 41.0)}


@pytest.mark.parametrize(("size", "inches", "metric"), [(size, *row) for size, row in QUOTED.items()])
def test_the_volume_for_each_wire_in_both_units(size: str, inches: str, metric: float) -> None:
    (row,) = [row for row in limits.resolve("us").table("wire_volume") or () if str(row["section"]) == size]
    assert row["volume"] == grammar.parse(inches, Volume)
    assert round(float(str(float(row["volume"]) * 1e6)), 1) == metric


# Source: worked examples by hand, from the same table; a device as 2 wires and clamps as 1 from memory.
# Two 12/2 cables, clamps, a receptacle: (4 + 1 + 1 + 2) × 2.25 = 18.0 in³.
# Two 14/2 cables and a 14/3, clamps, a switch: 7 × 2 + 2 + 2 + 4 = 22.0 in³ (361 cm³): a box of 18 in³ fails.
# A single 14/2, clamps, a receptacle: (2 + 1 + 1 + 2) × 2.00 = 12.0 in³.
EXAMPLES = [
    ("socket", "12 AWG", "[{from: A, to: P}, {from: P, to: B}]", 18.0),
    ("switch", "14 AWG", "[{from: A, to: P}, {from: P, to: B}, {from: P, to: C, wires: 4}]", 22.0),
    ("socket", "14 AWG", "[{from: A, to: P}]", 12.0),
]


@pytest.mark.parametrize(("kind", "section", "runs", "wanted"), EXAMPLES)
def test_worked_examples_of_box_fill(kind: str, section: str, runs: str, wanted: float) -> None:
    def fits(volume: float) -> bool:
        return not outcomes(
            f"""limits: us
boxes: {{gang: {{volume: {volume} in³}}}}
circuits: {{first: {{serves: sockets, section: {section}, runs: {runs}}}}}
rooms: {{study: {{walls: [{{wall: west, points: {{P: {{kind: {kind}, circuit: first, box: gang}}}}}}]}}}}
""",
            "box-holds-wires",
        )

    assert fits(wanted)
    assert fits(wanted + 0.25)
    assert not fits(wanted - 0.01)
    assert fits(18.0) == (wanted <= 18.0)


def test_the_second_example_in_metric() -> None:
    # Source: the same; 22.0 in³ are 361 cm³, and a round box of 60 × 47 mm holds about 133 cm³ = 8.1 in³.
    assert round(float(grammar.parse("22 in³", Volume)) * 1e6) == 361
    assert math.pi / 4 * 6.0**2 * 4.7 == pytest.approx(133, abs=0.5)
    assert float(grammar.parse("133 cm³", Volume)) == pytest.approx(float(grammar.parse("8.1 in³", Volume)), rel=0.01)


def test_no_volume_for_each_wire_is_said_of_the_round_boxes_of_europe() -> None:
    # Source: none was found; American counts cannot be applied to boxes of 68 mm.
    for name in ("general", "fr", "be", "de", "es", "gb"):
        assert limits.resolve(name).table("wire_volume") is None


# ---- Holes -------------------------------------------------------------------------------------------------------
# Source: French trade pages and makers' pages of the continent, as quoted: 68 mm for a hollow-wall box on most of it,
# 35 mm for a lamp outlet, 74 mm for a junction; in France 67 mm, 85 mm for an outlet of 32 A.
HOLES = (35, 67, 68, 74, 85)


@pytest.mark.parametrize("hole", HOLES)
@pytest.mark.parametrize("saw", HOLES)
def test_every_box_wants_its_own_saw(hole: int, saw: int) -> None:
    text = f"tools: {{hole_saws: [{saw} mm]}}\nboxes: {{one: {{hole: {hole} mm}}}}\nrooms: {{}}\n"
    assert outcomes(text, "hole-saw-matches-box") == ([] if hole == saw else ["fail"])


# Source: depths and clamps from memory and product data, in the same section: flat about 40 to 49 mm, deep about 60 to
# 66 mm; clamps from 7 to 35 or 40 mm.
@pytest.mark.parametrize(("depth", "fits"), [(40, True), (46, True), (49, True), (60, False), (66, False)])
def test_flat_boxes_fit_a_lining_on_battens_of_40_mm_and_deep_ones_do_not(depth: int, *, fits: bool) -> None:
    text = f"""
boxes: {{one: {{depth: {depth} mm}}}}
boards: {{narrow: {{thickness: 12.5 mm}}, strand: {{thickness: 12 mm}}}}
bases: {{brick: {{material: solid-brick}}}}
linings:
  plain:
    battens: {{depth: 40 mm}}
    layers: [{{material: air, thickness: 40 mm}}, {{board: strand}}, {{board: narrow}}]
rooms: {{study: {{walls: [{{wall: west, base: brick, lining: plain, points: {{S1: {{kind: socket, box: one}}}}}}]}}}}
"""
    assert outcomes(text, "box-depth-fits") == ([] if fits else ["fail"])


# ---- Geometry, by another method ---------------------------------------------------------------------------------


@SMALL
@given(own=st.integers(1, 150), beside=st.integers(1, 150), degrees=st.integers(20, 160), side=st.sampled_from([1, -1]))
def test_the_end_of_a_finished_face_against_shapely(own: int, beside: int, degrees: int, side: int) -> None:
    """Both faces drawn as lines, each moved into the room by its lining: where they cross, the finished corner is."""
    text = f"""plan: 1
title: a corner
linings:
  own: {{layers: [{{material: air, thickness: {own} mm}}]}}
  beside: {{layers: [{{material: air, thickness: {beside} mm}}]}}
rooms:
  study:
    outline: partial
    walls:
      - {{wall: first, length: 5 m, then: {{turn: {"right" if side > 0 else "left"}, by: {degrees} deg}}, lining: own}}
      - {{wall: second, length: 5 m, lining: beside}}
"""
    first, second = build(read(text.encode(), "x")).rooms[0].walls
    (right,), (left,) = ([end for end in ends_of(wall) if isinstance(end, End)] for wall in (first, second))
    # The first wall goes north to the origin; the room is on its right. The second goes on at its turn.
    turn = math.radians(degrees) * side
    along = (math.sin(turn), math.cos(turn))
    inward = (along[1], -along[0])
    far = 50.0
    one = shapely.LineString([(own / 1000, -far), (own / 1000, far)])
    other = shapely.LineString(
        [
            (side_ * far * along[0] + beside / 1000 * inward[0], side_ * far * along[1] + beside / 1000 * inward[1])
            for side_ in (-1, 1)
        ]
    )
    corner = one.intersection(other)
    assert right.moved(1.0) == pytest.approx(-corner.y, abs=1e-9)
    assert left.moved(1.0) == pytest.approx(corner.x * along[0] + corner.y * along[1], abs=1e-9)


@SMALL
@given(
    at=st.integers(200, 2800),
    height=st.integers(200, 2200),
    gangs=st.integers(1, 3),
    window=st.tuples(st.integers(300, 1800), st.integers(300, 900), st.integers(300, 1200), st.integers(300, 900)),
)
def test_the_distance_of_holes_from_a_window_against_shapely(
    at: int, height: int, gangs: int, window: tuple[int, int, int, int]
) -> None:
    left, width, sill, tall = window
    opening = shapely.box(left, sill, left + width, sill + tall)
    centres = [shapely.Point(at + (number - (gangs - 1) / 2) * 71, height) for number in range(gangs)]
    free = min(opening.distance(shapely.union_all([centre.buffer(34, quad_segs=256) for centre in centres])), math.inf)
    inside = any(opening.distance(centre) == 0 for centre in centres)
    across = left < at < left + width and sill < height < sill + tall
    assume(abs(free - 50) > 0.1)
    assume(not (inside or across))  # point-on-wall speaks there
    text = f"""
boxes: {{one: {{hole: 68 mm}}}}
rooms:
  study:
    height: 2.50 m
    outline: partial
    walls:
      - wall: west
        length: 3 m
        lining: none
        openings: {{window: {{kind: window, at: {left} mm, width: {width} mm, sill: {sill} mm, height: {tall} mm}}}}
        points: {{S1: {{kind: socket, at: {at} mm, height: {height} mm, box: one, gangs: {gangs}}}}}
"""
    assert outcomes(text, "box-clear-of-corner") == (["fail"] if free < 50 else [])
