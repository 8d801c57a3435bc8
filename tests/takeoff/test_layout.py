"""Layouts of walls: written back into their plan, the rules about boards find nothing in them."""

import math
from collections.abc import Callable
from copy import deepcopy
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest
import yaml
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import Polygon

from planlint.model.plan import Plan
from planlint.records import PlanRecord
from planlint.rule import Given
from planlint.sums.faces import FinishedFace, finished_face
from planlint.sums.pieces import rise
from planlint.takeoff.hung import Hung
from planlint.takeoff.layout import hang

Data = dict[str, Any]
Read = Callable[[Data], tuple[Plan, Given]]
Inspect = Callable[..., PlanRecord]
WriteBack = Callable[..., None]

GAP = 0.010
"""[m] What stays free at the floor, by the limits."""

HEAD: Data = {
    "plan": 1,
    "title": "a lodge of many shapes",
    "boards": {
        "narrow": {
            "kind": "gypsum",
            "type": "A",
            "width": "600 mm",
            "length": "2600 mm",
            "thickness": "12.5 mm",
            "edges": "tapered",
        },
        "wide": {
            "kind": "gypsum",
            "type": "A",
            "width": "1200 mm",
            "length": "2400 mm",
            "thickness": "12.5 mm",
            "edges": "tapered",
        },
        "strand": {"kind": "osb", "type": "OSB/3", "width": "1250 mm", "length": "2500 mm", "thickness": "12 mm"},
    },
    "boxes": {"deep": {"hole": "68 mm", "depth": "46 mm"}},
    "bases": {
        "brick": {
            "material": "solid-brick",
            "thickness": "250 mm",
            "faces": "inside",
            "sound": True,
            "unevenness": "5 mm",
        }
    },
    "linings": {
        "single": {
            "battens": {"spacing": "400 mm", "width": "50 mm", "depth": "40 mm"},
            "layers": [{"board": "wide", "screws": {"length": "35 mm", "spacing": "250 mm", "edge": "15 mm"}}],
        },
        "double": {
            "battens": {"spacing": "600 mm", "width": "50 mm", "depth": "40 mm"},
            "gap": "3 mm",
            "layers": [
                {"board": "strand", "screws": {"length": "50 mm", "spacing": "150 mm", "edge": "10 mm"}},
                {"board": "wide", "screws": {"length": "35 mm", "spacing": "250 mm", "edge": "15 mm"}},
            ],
        },
        "glued": {
            "adhesive": {"kind": "foam"},
            "layers": [{"material": "foam", "thickness": "20 mm"}, {"board": "narrow"}],
        },
    },
}


def room(walls: list[Data], height: str = "2.60 m") -> Data:
    return deepcopy(HEAD) | {"rooms": {"den": {"height": height, "use": "study", "outline": "closed", "walls": walls}}}


def wall(name: str, length: str, then: object, **more: object) -> Data:
    return {"wall": name, "length": length, "then": then, "base": "brick", "lining": "glued"} | more


def square(**of_north: object) -> Data:
    return room(
        [
            wall("west", "3.00 m", "right"),
            wall("north", "4.00 m", "right", **of_north),
            wall("east", "3.00 m", "right"),
            wall("south", "4.00 m", "right"),
        ]
    )


def laid(read: Read, data: Data) -> dict[str, Hung]:
    plan, given = read(data)
    return {wall.name: hang(wall, given) for room in plan.rooms for wall in room.walls}


def test_a_plain_wall_is_covered_by_whole_boards(read: Read) -> None:
    """4.00 m less 32.5 mm of lining at each inside corner are 3.935 m: six boards of 600 mm and 335 mm."""
    pieces = laid(read, square())["north"].pieces
    assert len(pieces) == 7
    assert sum(piece.width for piece in pieces) == pytest.approx(3.935)
    assert min(piece.width for piece in pieces) == pytest.approx(0.335)
    assert {(piece.bottom, round(piece.height, 6)) for piece in pieces} == {(0.010, 2.590)}
    assert "cut" in (pieces[0].left, pieces[-1].right)
    assert all(piece.right == after.left == "tapered" for piece, after in pairwise(pieces))


def test_openings_and_boxes_are_cut_out(read: Read) -> None:
    """A window of 1.0 × 1.2 m and a pair of boxes, 71 mm from centre to centre (a trade glossary)."""
    window = {"kind": "window", "at": "1.5 m", "width": "1.0 m", "sill": "0.9 m", "height": "1.2 m"}
    point = {"kind": "socket", "at": "0.50 m", "height": "300 mm", "box": "deep", "gangs": 2}
    pieces = laid(read, square(openings={"window": window}, points={"S1": point}))["north"].pieces
    boxes = [cutout for piece in pieces for cutout in piece.cutouts if cutout.is_box]
    assert sum(cutout.width for cutout in boxes) == pytest.approx(0.068 + 0.071)
    assert {cutout.what for cutout in boxes} == {"den.north.S1"}
    taken = 1.0 * 1.2 + (0.068 + 0.071) * 0.068
    assert sum(piece.area for piece in pieces) == pytest.approx(3.935 * 2.59 - taken)


def test_over_a_door_wider_than_a_board_hangs_a_low_piece(read: Read) -> None:
    door = {"kind": "door", "at": "1.0 m", "width": "2.0 m", "height": "2.05 m"}
    pieces = laid(read, square(openings={"door": door}))["north"].pieces
    over = [piece for piece in pieces if piece.bottom > 1]
    assert over
    assert {(round(piece.bottom, 6), round(piece.height, 6)) for piece in over} == {(2.05, 0.55)}
    assert sum(piece.area for piece in pieces) == pytest.approx(3.935 * 2.59 - 2.0 * 2.04)


def test_a_lined_ceiling_takes_its_depth_off_the_boards(read: Read) -> None:
    """Ceilings are hung before walls: 2.60 m less 10 mm at the floor and 32.5 mm of ceiling."""
    data = square()
    data["rooms"]["den"]["ceiling"] = {"lining": "glued"}
    assert {round(piece.height, 6) for piece in laid(read, data)["north"].pieces} == {2.5575}


def test_a_gable_is_cut_to_its_slope(read: Read) -> None:
    heights = [{"at": "0 m", "height": "1.5 m"}, {"at": "2.0 m", "height": "2.5 m"}, {"at": "4.0 m", "height": "1.5 m"}]
    pieces = laid(read, square(height=heights))["north"].pieces
    whole = Polygon([(0.0325, 0.01), (3.9675, 0.01), (3.9675, 1.51625), (2.0, 2.5), (0.0325, 1.51625)])
    assert sum(piece.area for piece in pieces) == pytest.approx(whole.area)


def test_what_is_not_recorded_is_said_with_its_key(read: Read) -> None:
    data = square()
    del data["rooms"]["den"]["height"]
    (lacking,) = laid(read, data)["north"].lacking
    assert lacking.keys == ("den.north.height",)
    data = square()
    del data["rooms"]["den"]["walls"][1]["lining"]
    assert laid(read, data)["north"].lacking[0].keys == ("den.north.lining",)


def test_a_pier_narrower_than_its_boards_passes(read: Read, inspect: Inspect, write_back: WriteBack) -> None:
    data = breast(0.45, 0.40, "glued", 0.0)
    check(data, read, inspect, write_back)


def breast(wide: float, deep: float, lining: str, lean: float) -> Data:
    """A room with a chimney breast on its north wall."""
    side = (4.0 - wide) / 2
    walls = [
        wall("west", f"{3.0 + deep} m", "right"),
        wall("north-left", f"{side} m", "right"),
        wall("breast-left", f"{deep} m", "left"),
        wall("breast-face", f"{wide} m", "left"),
        wall("breast-right", f"{deep} m", "right"),
        wall("north-right", f"{side} m", "right"),
        wall("east", f"{3.0 + deep} m", "right"),
        wall("south", "4.0 m", "right"),
    ]
    for one in walls:
        one["lining"] = lining
    walls[0]["length"] = {"bottom": f"{3.0 + deep} m", "top": f"{3.0 + deep - lean} m"}
    return room(walls)


def check(data: Data, read: Read, inspect: Inspect, write_back: WriteBack) -> None:
    """Every wall is covered once, nothing is larger than its sheet, and the rules find only what was said."""
    plan, given = read(data)
    hung = {wall.place: hang(wall, given) for room in plan.rooms for wall in room.walls}
    assert not [lacking for one in hung.values() for lacking in one.lacking]
    pieces = [piece for one in hung.values() for piece in one.pieces]
    for piece in pieces:
        board = plan.boards[piece.board]
        assert piece.width <= (board.width or 0) + 1e-6
        assert piece.height <= (board.length or 0) + 1e-6
    _areas_add_up(plan, hung)
    write_back(data, pieces)
    said = {(broken.place, broken.rule) for one in hung.values() for broken in one.broken}
    record = inspect(data, "boards", "tapered-edges-to-outside-corner")
    found = {(finding.place, finding.rule) for finding in record.findings if finding.outcome == "fail"}
    for place, rule in found:
        where = next(name for name in hung if place == name or place.startswith(name + "."))
        assert (where, rule) in said, (place, rule)


def _areas_add_up(plan: Plan, hung: dict[str, Hung]) -> None:
    """The boards on the room's side have the area of their face, from 10 mm up, less its openings."""
    for wall_ in (one for room_ in plan.rooms for one in room_.walls):
        face = finished_face(wall_)
        assert isinstance(face, FinishedFace)
        assert face.height
        (start, end), (top_start, top_end) = face.at(GAP), face.at(face.height)
        expected = (end - start + top_end - top_start) / 2 * (face.height - GAP)
        for opening in wall_.openings:
            low, high = rise(opening)
            expected -= (opening.width or 0) * (min(high, face.height) - max(low, GAP))
        area = sum(piece.area for piece in hung[wall_.place].pieces if piece.layer == wall_.outer_layer)
        assert area == pytest.approx(expected, abs=2e-3)


@st.composite
def rooms(draw: st.DrawFn) -> Data:
    """Rooms with a chimney breast, or with a splay, windows and doors where there is room for them."""
    lining = draw(st.sampled_from(["glued", "single", "double"]))
    mm = st.integers
    if draw(st.booleans()):
        lean = draw(st.sampled_from([0.0, 0.004, 0.010]))
        data = breast(draw(mm(300, 2000)) / 1000, draw(mm(250, 700)) / 1000, lining, lean)
    else:
        cut = draw(mm(400, 1200)) / 1000
        walls = [
            wall("west", f"{4.0 - cut} m", {"turn": "right", "by": "45 deg"}),
            wall("splay", f"{cut * math.sqrt(2):.6f} m", {"turn": "right", "by": "45 deg"}),
            wall("north", f"{5.0 - cut} m", "right"),
            wall("east", "4.0 m", "right"),
            wall("south", "5.0 m", "right"),
        ]
        for one in walls:
            one["lining"] = lining
        data = room(walls)
    body = data["rooms"]["den"]
    body["height"] = f"{draw(mm(2300, 3000))} mm"
    last = body["walls"][-1]
    at, width = draw(mm(100, 1500)), draw(mm(500, 2000))
    kind = draw(st.sampled_from(["window", "door", "none"]))
    if kind != "none":
        opening = {"kind": kind, "at": f"{at} mm", "width": f"{width} mm", "height": f"{draw(mm(700, 1300))} mm"}
        opening |= {"sill": "900 mm", "reveal": "none"} if kind == "window" else {"height": "2050 mm"}
        last["openings"] = {"gap": opening}
    return data


@settings(max_examples=40, deadline=None, derandomize=True)
@given(data=rooms())
def test_layouts_of_random_rooms_pass(data: Data, read: Read, inspect: Inspect, write_back: WriteBack) -> None:
    check(data, read, inspect, write_back)


@pytest.mark.parametrize("plan", ["ferry-cottage.plan.yaml", "weigh-house/ready-to-close.plan.yaml"])
def test_layouts_of_whole_houses_pass(plan: str, read: Read, inspect: Inspect, write_back: WriteBack) -> None:
    """The small house and the Weigh house, the rows of boards that they get and those that they have."""
    data = yaml.safe_load((Path(__file__).parents[2] / "examples" / plan).read_text(encoding="utf-8"))
    model, given = read(data)
    hung = [hang(wall, given) for room in model.rooms for wall in room.walls]
    assert not [broken for one in hung for broken in one.broken]
    write_back(data, [piece for one in hung for piece in one.pieces])
    record = inspect(data, "boards", "tapered-edges-to-outside-corner")
    assert [finding.message for finding in record.findings if finding.outcome == "fail"] == []


def test_narrow_covered_sheets_lie_across_their_battens(read: Read) -> None:
    """Upright, 625 mm sheets on battens 600 mm apart have a joint on every batten, and none is left for the boards."""
    data = square(lining="double")
    data["boards"]["strand"] = data["boards"]["strand"] | {"width": "625 mm"}
    sheets = [piece for piece in laid(read, data)["north"].pieces if piece.layer == 1]
    assert max(piece.width for piece in sheets) > 1.2
    assert max(piece.height for piece in sheets) <= 0.625 + 1e-9
