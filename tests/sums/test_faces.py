"""Finished faces of walls in a plan. Expected figures are the rulebook's formula, reckoned by hand."""

import math
from collections.abc import Callable

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planlint import source
from planlint.model.build import build
from planlint.model.plan import Plan
from planlint.model.rooms import Wall
from planlint.sums.faces import FinishedFace, finished_face, lining_depth
from planlint.sums.working import Lacking

steady = settings(derandomize=True, deadline=None, max_examples=40)

LININGS = """
boards: {narrow: {kind: gypsum, thickness: 12.5 mm}, strand: {kind: osb, thickness: 12 mm}}
linings:
  plain: {battens: {depth: 40 mm}, layers: [{material: air, thickness: 40 mm}, {board: strand}, {board: narrow}]}
  bonded: {adhesive: {kind: foam}, layers: [{material: foam, thickness: 25 mm}, {board: narrow}]}
  deep: {battens: {depth: 60 mm}, layers: [{material: wool, thickness: 40 mm}, {board: narrow}]}
  film: {layers: [{material: vapour-barrier, sd: 20 m}, {board: narrow}]}
  shy: {battens: {spacing: 600 mm}, layers: [{board: narrow}]}
"""
BREAST = """
- {wall: north-left, length: 1.70 m, then: right, lining: plain}
- {wall: cheek, length: {top: 0.396 m, bottom: 0.40 m}, then: left, lining: bonded}
- {wall: face, length: 1.40 m, then: left, lining: bonded}
- {wall: other-cheek, length: 0.40 m, then: right, lining: bonded}
- {wall: north-right, length: 1.70 m, then: right, lining: plain}
"""


def plan(walls: str, outline: str = "partial", more: str = "") -> Plan:
    rows = "\n".join("      " + line for line in walls.strip().splitlines())
    text = f"plan: 1\ntitle: faces\n{LININGS}\nrooms:\n  hall:\n    height: 2.60 m\n    outline: {outline}\n{more}"
    return build(source.read(f"{text}    walls:\n{rows}\n".encode(), "case.plan.yaml"))


@pytest.fixture
def wall() -> Callable[..., Wall]:
    def find(walls: str, name: str, outline: str = "partial", more: str = "") -> Wall:
        return next(one for one in plan(walls, outline, more).rooms[0].walls if one.name == name)

    return find


def face(wall: Wall, layer: int | None = None) -> FinishedFace:
    found = finished_face(wall, layer)
    assert isinstance(found, FinishedFace), found
    return found


@pytest.mark.parametrize(
    ("name", "bottom", "top"),
    [
        ("face", 1.475, 1.475),  # 1.40 m and 37.5 mm at each outside corner
        ("cheek", 0.3605, 0.3565),  # 400 - 64.5 (north-left) + 37.5 - 12.5 (the face's board): 4 mm less at the top
        ("other-cheek", 0.3605, 0.3605),
        ("north-left", 1.6625, 1.6625),  # 1700 - 37.5; before the first wall no corner is known
    ],
)
def test_a_chimney_breast(wall: Callable[..., Wall], name: str, bottom: float, top: float) -> None:
    found = face(wall(BREAST, name))
    assert found.height == 2.6
    for height, length in ((0, bottom), (2.6, top)):
        start, end = found.at(height)
        assert end - start == pytest.approx(length)


def test_the_inner_layer_meets_inner_layers(wall: Callable[..., Wall]) -> None:
    """52 mm of battens and sheet at a right turn into walls of 52 and 64.5 mm."""
    walls = """
- {wall: a, length: 3 m, then: right, lining: plain}
- {wall: b, length: 3 m, then: right, lining: plain}
- {wall: c, length: 3 m, then: right, lining: plain}
"""
    assert face(wall(walls, "b"), 1).at(0) == pytest.approx((0.052, 2.948))
    assert face(wall(walls, "b"), 2).at(0) == face(wall(walls, "b")).at(0) == pytest.approx((0.0645, 2.9355))


def test_what_is_lacking_elsewhere_does_no_harm(wall: Callable[..., Wall]) -> None:
    far = BREAST.replace("lining: plain}\n- {wall: cheek", "lining: plain}\n- {wall: cheek").replace(
        "{wall: north-left, length: 1.70 m", "{wall: north-left"
    )
    assert face(wall(far, "face")).at(0) == pytest.approx((-0.0375, 1.4375))
    lacking = finished_face(wall(far, "cheek"))
    assert lacking == Lacking("the lengths and turns of this wall and those beside it", ("hall.north-left.length",))


@steady
@given(st.integers(1, 1399), st.integers(1, 399))
def test_a_wall_in_two_stretches_has_the_same_face(in_face: int, in_cheek: int) -> None:
    split = BREAST.replace(
        "{wall: face, length: 1.40 m, then: left",
        f"{{wall: face, length: {in_face} mm, then: straight, lining: bonded}}\n"
        f"- {{wall: face-2, length: {1400 - in_face} mm, then: left",
    ).replace(
        "{wall: other-cheek, length: 0.40 m, then: right",
        f"{{wall: other-cheek, length: {in_cheek} mm, then: straight, lining: bonded}}\n"
        f"- {{wall: other-cheek-2, length: {400 - in_cheek} mm, then: right",
    )
    walls = {one.name: one for one in plan(split).rooms[0].walls}

    def length(*names: str) -> float:
        return sum(end - start for start, end in (face(walls[name]).at(0) for name in names))

    assert length("face", "face-2") == pytest.approx(1.475)
    assert length("other-cheek", "other-cheek-2") == pytest.approx(0.3605)
    assert length("cheek") == pytest.approx(0.3605)


def test_true_turns_count_where_diagonals_are_measured(wall: Callable[..., Wall]) -> None:
    """A rhombus of 3 m, a diagonal of 3 m: turns of 60° and 120°. t (1 - cos θ) / sin θ is t tan(θ/2)."""
    walls = "\n".join(f"- {{wall: {name}, length: 3 m, then: right, lining: bonded}}" for name in "abcd")
    diagonals = "    diagonals: [{from: a, to: c, length: 3 m}]\n"
    bottom = face(wall(walls, "a", "closed", diagonals)).bottom
    moved = sorted([bottom.left.moved, bottom.right.moved])
    assert moved == pytest.approx([0.0375 * math.tan(math.radians(half)) for half in (30, 60)], rel=1e-4)


@pytest.mark.parametrize(
    ("name", "boards", "depth"),
    [
        ("plain", None, 0.0645),
        ("plain", 1, 0.052),
        ("bonded", None, 0.0375),
        ("deep", None, 0.0725),
        ("film", None, 0.0125),
    ],
)
def test_depth_of_a_lining(name: str, boards: int | None, depth: float) -> None:
    assert lining_depth(plan(BREAST).linings[name], boards) == pytest.approx(depth)


def test_battens_whose_depth_nobody_knows() -> None:
    assert lining_depth(plan(BREAST).linings["shy"]) == Lacking(
        "how deep the battens of shy are", ("linings.shy.battens.depth",)
    )
