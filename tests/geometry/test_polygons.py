"""Faces as polygons and the pieces cut to them, by hand; the checks against shapely are in reference/test_faces.py."""

import pytest

from planlint.geometry import Panel, Rectangle, face_panel

LEVEL = [(0.0, 2.6), (4.0, 2.6)]


def measures(panel: Panel) -> tuple[float, float, float, float]:
    return panel.width_top, panel.width_bottom, panel.height_left, panel.height_right


def only(panels: tuple[Panel, ...]) -> Panel:
    (panel,) = panels
    return panel


def test_square_face() -> None:
    face = face_panel(3.0, 3.0, LEVEL)
    assert face.points == ((0, 0), (3, 0), (3, 2.6), (0, 2.6))
    assert measures(face) == (3.0, 3.0, 2.6, 2.6)
    assert face.area == pytest.approx(7.8)


def test_side_of_the_breast_is_narrower_at_the_top() -> None:
    # The Weigh house: 356.5 mm at the top, 360.5 mm at the bottom.
    face = face_panel(0.3605, 0.3565, LEVEL)
    assert measures(face) == pytest.approx((0.3565, 0.3605, 2.6, 2.6))
    assert face.points[-1] == (0.0, 2.6)
    # The plumb edge may be the right one: that with the factory's edge at an outside corner.
    other = face_panel(0.3605, 0.3565, LEVEL, lean=0.3605 - 0.3565)
    assert measures(other) == pytest.approx(measures(face))
    assert other.points[2] == pytest.approx((0.3605, 2.6))


def test_pieces_of_a_face_under_a_falling_ceiling() -> None:
    # 2.40 m on the left, 2.60 m on the right, over 4 m: 5 cm a metre.
    face = face_panel(4.0, 4.0, [(0.0, 2.4), (4.0, 2.6)])
    assert face.area == pytest.approx(10.0)
    first, last = only(face.clip(right=1.2)), only(face.clip(left=3.6))
    assert measures(first) == pytest.approx((1.2, 1.2, 2.40, 2.46))
    assert measures(last) == pytest.approx((0.4, 0.4, 2.58, 2.60))


def test_last_piece_takes_the_lean() -> None:
    face = face_panel(3.60, 3.59, [(0.0, 2.6), (3.6, 2.6)])
    assert measures(only(face.clip(left=3.0))) == pytest.approx((0.59, 0.60, 2.6, 2.6))
    assert measures(only(face.clip(left=3.0, bottom=1.3))) == pytest.approx((0.59, 0.595, 1.3, 1.3))


def test_floor_gap_and_rows() -> None:
    face = face_panel(3.0, 3.0, LEVEL)
    lower, upper = only(face.clip(bottom=0.01, top=1.2)), only(face.clip(bottom=1.2))
    assert measures(lower) == pytest.approx((3.0, 3.0, 1.19, 1.19))
    assert measures(upper) == pytest.approx((3.0, 3.0, 1.4, 1.4))
    assert upper.bounds.bottom == pytest.approx(1.2)


def test_gable_in_the_measure_of_the_bare_wall() -> None:
    # The bare wall: 1 m high at both ends, 3 m in the middle of 4 m. The face begins 50 mm inside it on both ends.
    face = face_panel(3.9, 3.9, [(0.0, 1.0), (2.0, 3.0), (4.0, 1.0)], start=0.05)
    assert measures(face) == pytest.approx((3.9, 3.9, 1.05, 1.05))
    assert face.bounds == Rectangle(0.0, 0.0, pytest.approx(3.9), 3.0)  # type: ignore[arg-type]
    # Two trapezoids: 1.95 m wide, 1.05 m and 3.00 m high.
    assert face.area == pytest.approx(2 * 1.95 * 2.025)
    over_the_ridge = only(face.clip(left=1.35, right=2.55))
    assert measures(over_the_ridge) == pytest.approx((1.2, 1.2, 2.4, 2.4))
    assert over_the_ridge.bounds.height == pytest.approx(3.0)


def test_gable_down_to_the_floor_ends_in_points() -> None:
    face = face_panel(4.0, 4.0, [(0.0, 0.0), (2.0, 2.0), (4.0, 0.0)])
    assert face.area == pytest.approx(4.0)
    # The upper row is a triangle too: 2 m wide at its bottom, nothing at its left and right edge.
    upper = only(face.clip(bottom=1.0))
    assert measures(upper) == pytest.approx((2.0, 2.0, 0.0, 0.0))
    assert upper.area == pytest.approx(1.0)


def test_row_above_a_valley_is_two_pieces() -> None:
    face = face_panel(4.0, 4.0, [(0.0, 3.0), (2.0, 2.0), (4.0, 3.0)])
    left, right = face.clip(bottom=2.5)
    assert measures(left) == pytest.approx((1.0, 1.0, 0.5, 0.0))
    assert measures(right) == pytest.approx((1.0, 1.0, 0.0, 0.5))
    assert right.bounds.left == pytest.approx(3.0)
    # Up to the valley it is one.
    assert len(face.clip(bottom=1.5)) == 1


def test_joint_at_a_step_of_the_ceiling() -> None:
    face = face_panel(4.0, 4.0, [(0.0, 2.4), (2.0, 2.4), (2.0, 3.0), (4.0, 3.0)])
    assert measures(only(face.clip(right=2.0))) == pytest.approx((2.0, 2.0, 2.4, 2.4))
    assert measures(only(face.clip(left=2.0))) == pytest.approx((2.0, 2.0, 3.0, 3.0))
    assert only(face.clip(right=2.0)).bounds.height == pytest.approx(2.4)


def test_nothing_beside_the_face() -> None:
    face = face_panel(3.0, 3.0, LEVEL)
    assert face.clip(left=3.0) == face.clip(bottom=2.6) == face.clip(left=1.0, right=1.0) == ()


def test_window_over_two_pieces() -> None:
    # Window of 0.95 m by 1.30 m, 1.20 m along and 0.88 m up; the joint over its middle.
    face, window = face_panel(3.0, 3.0, LEVEL), Rectangle(1.20, 0.88, 0.95, 1.30)
    left, right = (only(face.clip(left=start, right=end)).without([window]) for start, end in ((0.6, 1.8), (1.8, 3.0)))
    (hole,) = left.cutouts
    assert (hole.left, hole.bottom, hole.width, hole.height) == pytest.approx((0.6, 0.88, 0.6, 1.3))
    assert left.area == pytest.approx(1.2 * 2.6 - 0.6 * 1.3)
    (hole,) = right.cutouts
    assert (hole.left, hole.bottom, hole.width, hole.height) == pytest.approx((0.0, 0.88, 0.35, 1.3))
    assert right.area == pytest.approx(1.2 * 2.6 - 0.35 * 1.3)


def test_cutouts_are_measured_from_the_piece_not_the_floor() -> None:
    piece = only(face_panel(3.0, 3.0, LEVEL).clip(left=1.0, bottom=0.01))
    (hole,) = piece.without([Rectangle(1.2, 0.25, 0.068, 0.068)]).cutouts
    assert (hole.left, hole.bottom) == pytest.approx((0.2, 0.24))


def test_a_box_within_a_niche_is_not_taken_off_twice() -> None:
    piece = face_panel(1.2, 1.2, [(0.0, 2.6), (1.2, 2.6)])
    cut = piece.without([Rectangle(0.2, 1.0, 0.6, 0.5), Rectangle(0.3, 1.1, 0.1, 0.1), Rectangle(0.5, 1.4, 0.6, 0.3)])
    assert len(cut.cutouts) == 3
    # 0.6 · 0.5, and 0.6 · 0.3 less their overlap of 0.3 · 0.1; the box lies inside.
    assert cut.area == pytest.approx(1.2 * 2.6 - 0.30 - 0.18 + 0.03)


def test_an_opening_that_only_touches_is_no_cutout() -> None:
    piece = only(face_panel(3.0, 3.0, LEVEL).clip(right=1.2))
    assert piece.without([Rectangle(1.2, 0.0, 0.8, 2.0)]).cutouts == ()


def test_window_cut_off_by_the_gable_counts_by_what_is_there() -> None:
    face = face_panel(4.0, 4.0, [(0.0, 0.0), (2.0, 2.0), (4.0, 0.0)])
    (hole,) = face.without([Rectangle(0.0, 0.0, 1.0, 3.0)]).cutouts
    assert (hole.left, hole.bottom, hole.width, hole.height) == pytest.approx((0.0, 0.0, 1.0, 1.0))


@pytest.mark.parametrize(
    ("bottom", "top", "ceiling", "words"),
    [
        (0.0, 1.0, LEVEL, "leave nothing"),
        (1.0, -0.005, LEVEL, "leave nothing"),
        (1.0, 1.0, [(0.0, -0.1), (1.0, 2.0)], "above the floor"),
        (1.0, 1.0, [(0.0, 0.0), (1.0, 0.0)], "above the floor"),
    ],
)
def test_faces_that_cannot_be(bottom: float, top: float, ceiling: list[tuple[float, float]], words: str) -> None:
    with pytest.raises(ValueError, match=words):
        face_panel(bottom, top, ceiling)
