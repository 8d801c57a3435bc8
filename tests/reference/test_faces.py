"""Finished faces and pieces against shapely 2 (GEOS): mitred buffers, half-planes, intersections of polygons."""

import math
from itertools import pairwise

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from shapely import BufferJoinStyle, MultiPolygon, Polygon, box
from shapely.geometry.polygon import orient
from shapely.ops import unary_union

from planlint.geometry import BareWall, Panel, Rectangle, Side, face_panel, finished_faces

Corners = list[tuple[float, float]]
steady = settings(derandomize=True, deadline=None, max_examples=120)

# The outlines of the reference sheet (in metres); the areas inside 50 mm of lining are worked out by hand.
SHEET: dict[str, tuple[Corners, float]] = {
    # Perimeter 18.00, 5 inside corners and 1 outside: 17.00 - 18.00 · 0.05 + 4 · 0.05² = 16.11 m².
    "L": ([(0, 0), (0, 4), (3, 4), (3, 2.5), (5, 2.5), (5, 0)], 16.11),
    # Perimeter 15.80, 6 inside corners and 2 outside: 13.52 - 15.80 · 0.05 + 4 · 0.05² = 12.74 m².
    "breast": ([(0, 0), (4, 0), (4, 3.5), (2.6, 3.5), (2.6, 3.1), (1.4, 3.1), (1.4, 3.5), (0, 3.5)], 12.74),
    # Perimeter 10 + 2√2 + ... = 13.4142; corners 3 square and 2 of 45°: Σ tan(θ/2) = 3 + 2 tan 22.5° = 3.8284.
    "splay": ([(0, 0), (4, 0), (4, 2), (3, 3), (0, 3)], 11.50 - 13.4142136 * 0.05 + 3.8284271 * 0.05**2),
}


def clockwise(corners: Corners) -> Corners:
    return [(x, y) for x, y in orient(Polygon(corners), sign=-1.0).exterior.coords][:-1]


def around(corners: Corners) -> list[tuple[tuple[float, float], tuple[float, float]]]:
    return list(pairwise([*corners, corners[0]]))


def bare(corners: Corners, linings: list[float]) -> list[BareWall]:
    headings = [math.atan2(x2 - x1, y2 - y1) for (x1, y1), (x2, y2) in around(corners)]
    turns = [math.remainder(b - a, 2 * math.pi) for a, b in pairwise([*headings, headings[0]])]
    return [
        BareWall(length=math.dist(start, end), turn=turn, lining=lining)
        for (start, end), turn, lining in zip(around(corners), turns, linings, strict=True)
    ]


def drawn(corners: Corners, linings: list[float]) -> list[Corners]:
    """Each finished face as the line from its left to its right end, on the floor."""
    lines = []
    for (start, end), lining, face in zip(
        around(corners), linings, finished_faces(bare(corners, linings)), strict=True
    ):
        length = math.dist(start, end)
        along = ((end[0] - start[0]) / length, (end[1] - start[1]) / length)
        # Walked clockwise the room lies on the right hand.
        foot = (start[0] + lining * along[1], start[1] - lining * along[0])
        lines.append([(foot[0] + at * along[0], foot[1] + at * along[1]) for at in (face.start, face.end)])
    return lines


@st.composite
def slanted(draw: st.DrawFn) -> Corners:
    """Corners at growing bearings round a centre, so that inside and outside corners of any angle come up."""
    bearings = sorted(draw(st.sets(st.integers(0, 359), min_size=4, max_size=9)))
    gaps = [(after - before) % 360 for before, after in pairwise([*bearings, bearings[0]])]
    assume(min(gaps) > 8 and max(gaps) < 160)
    reach = draw(st.lists(st.integers(20, 60), min_size=len(bearings), max_size=len(bearings)))
    corners = [
        (r / 10 * math.sin(math.radians(b)), r / 10 * math.cos(math.radians(b)))
        for b, r in zip(bearings, reach, strict=True)
    ]
    assume(all(math.radians(6) < abs(wall.turn) < math.radians(170) for wall in bare(corners, [0.0] * len(corners))))
    return corners


@st.composite
def rectilinear(draw: st.DrawFn) -> Corners:
    steps = draw(st.lists(st.tuples(st.integers(5, 30), st.integers(5, 30)), min_size=1, max_size=6))
    x, y, corners = 0.0, sum(depth for _, depth in steps) / 10, [(0.0, 0.0)]
    for width, depth in steps:
        corners += [(x, y), (x + width / 10, y)]
        x, y = x + width / 10, y - depth / 10
    return clockwise([*corners, (x, 0.0)])


def same(ours: Polygon, theirs: Polygon) -> bool:
    return bool(ours.symmetric_difference(theirs).area < 1e-7)


@pytest.mark.parametrize("name", SHEET)
def test_outlines_of_the_sheet(name: str) -> None:
    corners, area = SHEET[name]
    ring = clockwise(corners)
    lines = drawn(ring, [0.05] * len(ring))
    finished = Polygon([line[0] for line in lines])
    assert finished.area == pytest.approx(area, abs=1e-6)
    assert same(finished, Polygon(ring).buffer(-0.05, join_style=BufferJoinStyle.mitre, mitre_limit=100))


@steady
@given(st.one_of(rectilinear(), slanted()), st.integers(1, 100).map(lambda mm: mm / 1000))
def test_equal_linings_are_a_mitred_buffer(corners: Corners, lining: float) -> None:
    lines = drawn(corners, [lining] * len(corners))
    for (_, end), (start, _) in pairwise([*lines, lines[0]]):
        assert end == pytest.approx(start)
    assume(not any(face.length < 0.01 for face in finished_faces(bare(corners, [lining] * len(corners)))))
    theirs = Polygon(corners).buffer(-lining, join_style=BufferJoinStyle.mitre, mitre_limit=1000)
    assume(isinstance(theirs, Polygon))
    assert same(Polygon([line[0] for line in lines]), theirs)


@steady
@given(st.one_of(rectilinear(), slanted()), st.data())
def test_unequal_linings_meet_where_their_planes_cross(corners: Corners, data: st.DataObject) -> None:
    """The corner solved as two equations, x · normal = distance, by Cramer's rule."""
    thickness = st.integers(0, 120).map(lambda mm: mm / 1000)
    linings = data.draw(st.lists(thickness, min_size=len(corners), max_size=len(corners)))
    planes = []
    for ((x1, y1), (x2, y2)), lining in zip(around(corners), linings, strict=True):
        length = math.hypot(x2 - x1, y2 - y1)
        normal = ((y2 - y1) / length, -(x2 - x1) / length)
        planes.append((*normal, normal[0] * x1 + normal[1] * y1 + lining))
    lines = drawn(corners, linings)
    for (a1, b1, c1), (a2, b2, c2), (_, end), (start, _) in zip(
        planes, [*planes[1:], planes[0]], lines, [*lines[1:], lines[0]], strict=True
    ):
        determinant = a1 * b2 - a2 * b1
        crossing = ((c1 * b2 - c2 * b1) / determinant, (a1 * c2 - a2 * c1) / determinant)
        assert end == pytest.approx(crossing, abs=1e-9)
        assert start == pytest.approx(crossing, abs=1e-9)


@steady
@given(slanted(), st.data())
def test_convex_rooms_are_what_lies_before_every_lining(corners: Corners, data: st.DataObject) -> None:
    ring = clockwise(list(Polygon(corners).convex_hull.exterior.coords)[:-1])
    assume(all(abs(wall.turn) > math.radians(6) for wall in bare(ring, [0.0] * len(ring))))
    thickness = st.integers(0, 120).map(lambda mm: mm / 1000)
    linings = data.draw(st.lists(thickness, min_size=len(ring), max_size=len(ring)))
    assume(not any(face.vanishes for face in finished_faces(bare(ring, linings))))
    left = Polygon(ring)
    for ((x1, y1), (x2, y2)), lining in zip(around(ring), linings, strict=True):
        left = left.difference(_slab((x1, y1), (x2, y2), lining))
    assert same(Polygon([line[0] for line in drawn(ring, linings)]), left)


def _slab(start: tuple[float, float], end: tuple[float, float], lining: float) -> Polygon:
    """All that a lining of endless length would take, to the right of the wall."""
    length = math.dist(start, end)
    east, north = (end[0] - start[0]) / length, (end[1] - start[1]) / length
    far = [(start[0] - 50 * east, start[1] - 50 * north), (end[0] + 50 * east, end[1] + 50 * north)]
    return Polygon([*far, *((x + lining * north, y - lining * east) for x, y in reversed(far))]).buffer(0)


@st.composite
def panels(draw: st.DrawFn) -> Panel:
    """Faces with leaning edges under gables of any shape, also with valleys and steps."""
    bottom = draw(st.integers(800, 5000)) / 1000
    top = bottom + draw(st.integers(-60, 60)) / 1000
    spots = draw(st.lists(st.tuples(st.integers(0, 50), st.integers(5, 35)), min_size=2, max_size=6))
    ceiling = [(at / 10, height / 10) for at, height in sorted(spots, key=lambda spot: spot[0])]
    return face_panel(bottom, top, ceiling, lean=draw(st.integers(-60, 60)) / 1000)


places = st.integers(-1, 52).map(lambda figure: figure / 10)
heights = st.integers(-1, 36).map(lambda figure: figure / 10)
rectangles = st.builds(
    lambda left, bottom, width, height: Rectangle(left, bottom, width / 10, height / 10),
    places,
    heights,
    st.integers(1, 20),
    st.integers(1, 20),
)


@steady
@given(panels(), places, places, heights, heights)
def test_clipped_panels_are_intersections(panel: Panel, x1: float, x2: float, z1: float, z2: float) -> None:
    assume(x1 != x2 and z1 != z2)
    left, right, bottom, top = min(x1, x2), max(x1, x2), min(z1, z2), max(z1, z2)
    parts = panel.clip(left=left, right=right, bottom=bottom, top=top)
    theirs = Polygon(panel.points).intersection(box(left, bottom, right, top))
    assert sum(part.area for part in parts) == pytest.approx(theirs.area, abs=1e-8)
    for part in parts:
        ours = Polygon(part.points)
        assert ours.is_valid
        assert part.area == pytest.approx(ours.area)
        assert theirs.buffer(1e-6).contains(ours)
        # Each side is one run of edges, so that the corners between them are plain.
        changes = [a for a, b in pairwise([*part.sides, part.sides[0]]) if a is not b]
        assert len(changes) == len(set(part.sides))
    for first, second in pairwise(parts):
        assert first.bounds.right <= second.bounds.left + 1e-9
    if isinstance(theirs, MultiPolygon) and min(piece.area for piece in theirs.geoms) > 1e-6:
        assert len(parts) == len(theirs.geoms)


@steady
@given(panels(), st.lists(rectangles, max_size=4), st.lists(places, max_size=4))
def test_pieces_and_what_is_cut_out_of_them_make_up_the_face(
    panel: Panel, openings: list[Rectangle], joints: list[float]
) -> None:
    strips = pairwise([-math.inf, *sorted(set(joints)), math.inf])
    pieces = [piece for left, right in strips for piece in panel.clip(left=left, right=right)]
    assert sum(piece.area for piece in pieces) == pytest.approx(panel.area, abs=1e-8)
    holes = unary_union([box(hole.left, hole.bottom, hole.right, hole.top) for hole in openings])
    for piece in pieces:
        cut = piece.without(openings)
        assert cut.area == pytest.approx(Polygon(piece.points).difference(holes).area, abs=1e-8)
        boxes = [
            Polygon(piece.points).intersection(box(hole.left, hole.bottom, hole.right, hole.top)) for hole in openings
        ]
        met = [shape.bounds for shape in boxes if shape.area > 1e-6]
        assert len(cut.cutouts) >= len(met)
        origin = piece.bounds
        for left, bottom, right, top in met:
            assert any(
                (hole.left, hole.bottom, hole.right, hole.top)
                == pytest.approx(
                    (left - origin.left, bottom - origin.bottom, right - origin.left, top - origin.bottom), abs=1e-6
                )
                for hole in cut.cutouts
            )


@steady
@given(panels())
def test_a_panel_goes_round_anticlockwise_from_its_lower_left_corner(panel: Panel) -> None:
    assert Polygon(panel.points).exterior.is_ccw
    assert panel.points[0] == (0.0, 0.0)
    assert panel.sides[0] is Side.BOTTOM
