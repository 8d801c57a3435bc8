import math
from datetime import date

import pytest

from planlint import source
from planlint.model.build import build
from planlint.model.plan import Plan
from planlint.model.rooms import Corner, FrameJoint, RevealEdge, SocketHeights, Wall
from planlint.model.services import Run
from planlint.model.thing import Thing, concerns
from planlint.model.words import Edge, Faces, Joint, ReadOf
from planlint.schema import check

SMITHY = """
plan: 1
title: the smithy
access: {passages: {gate: {kind: door, width: 0.9 m}}}
tools: {hole_saws: [68 mm]}
boxes: {deep: {hole: 68 mm}}
boards: {narrow: {thickness: 12.5 mm}, strand: {kind: osb, thickness: 12 mm}}
bases: {rubble: {material: rubble-stone, faces: outside}}
linings:
  warm: {battens: {spacing: 600 mm}, layers: [{board: strand}, {board: narrow}]}
  glued: {adhesive: {kind: foam}, layers: [{board: narrow}]}
circuits:
  sockets: {serves: sockets, chain: [supply, S1, S2, S3], lengths: {S1: 11 m}}
  again:
    runs: [{from: supply, to: S3, length: 9 m}, {from: S1, to: S3}]
  lights:
    runs: [{from: supply, to: W1, length: 12 m}, {from: W1, to: C1, length: 5 m}]
rooms:
  forge:
    height: 2.60 m
    reached_by: [gate]
    floor: {build_up: 22 mm}
    outline: closed
    ceiling:
      lining: glued
      points: {C1: {kind: light, circuit: lights}}
    walls:
      - wall: west
        length: {top: 3.98 m, bottom: 4 m}
        then: right
        corner: sealant
        base: rubble
        lining: warm
        readings: [{date: 2026-05-04, scale: wood-equivalent, at: 0.4 m, column: {0.15 m: 17 %, 0.60 m: 16 %}}]
        openings: {window: {kind: window, at: 1 m, width: 1 m, sill: 0.9 m, height: 1.2 m, reveal: {edges: bead}}}
        points:
          S1: {kind: socket, at: 0.5 m, height: 0.25 m, circuit: sockets, box: deep}
        pieces: [{board: narrow, left: cut, right: square}, {board: narrow}, {board: narrow, name: last}]
      - wall: north
        length: 3 m
        then: right
        corner: {joint: filler}
        base: {material: solid-brick, faces: neighbour}
        lining: {build_up: glued, from: 1 m, up_to: 1.20 m}
        points:
          S2: {kind: socket, at: 1 m, height: 0.25 m, circuit: sockets, gangs: 2}
      - wall: east
        length: 4 m
        then: right
        base: {material: timber-stud, faces: inside}
        lining: none
        existing: {board: narrow}
        points:
          S3: {kind: socket, at: 3 m, height: 0.25 m, circuit: sockets}
      - wall: south
        length: 3 m
        then: right
        openings: {door: {kind: door, at: 0.5 m, width: 0.8 m, height: 2 m}}
        points:
          W1: {kind: switch, at: 2 m, height: 1.05 m, circuit: lights}
  yard:
    outline: partial
    walls:
      - {wall: long, then: left}
      - {wall: short, then: right}
work:
  - {task: wiring, kind: first-fix, rooms: [forge]}
  - {task: gutter, kind: damp-repair, walls: [forge.west]}
  - {task: survey, kind: hazard-survey}
"""


def built(text: str) -> Plan:
    document = source.read(text.encode(), "smithy.plan.yaml")
    assert check(document) == []
    return build(document)


def edited(old: str, new: str) -> str:
    assert SMITHY.count(old) == 1, old
    return SMITHY.replace(old, new)


@pytest.fixture(scope="module")
def smithy() -> Plan:
    return built(SMITHY)


@pytest.fixture(scope="module")
def places(smithy: Plan) -> dict[str, list[Thing]]:
    found: dict[str, list[Thing]] = {}
    for thing in smithy.things():
        found.setdefault(thing.place, []).append(thing)
    return found


def wall(plan: Plan, name: str, room: int = 0) -> Wall:
    return next(wall for wall in plan.rooms[room].walls if wall.name == name)


def run(plan: Plan, place: str) -> Run:
    return next(run for circuit in plan.circuits.values() for run in circuit.runs if run.place == place)


def test_places_of_every_kind(places: dict[str, list[Thing]]) -> None:
    kinds = {place: {thing.called for thing in things} for place, things in places.items()}
    # design.md, section 4: one notion of place.
    assert kinds["plan"] == {"plan"}
    assert kinds["building"] == {"building"}
    assert kinds["supply"] == {"supply"}
    assert kinds["forge"] == {"room", "heights of sockets", "heights of switches"}
    assert kinds["forge.floor"] == {"floor"}
    assert kinds["forge.ceiling"] == {"ceiling"}
    assert kinds["forge.ceiling.C1"] == {"point"}
    assert kinds["forge.west"] == {"wall"}
    assert kinds["forge.west.corner"] == {"corner"}
    assert kinds["forge.west.window"] == {"opening", "reveal edge", "frame joint"}
    assert kinds["forge.west.S1"] == {"point"}
    assert kinds["forge.west.piece-1"] == {"piece"}
    assert kinds["forge.west.piece-2"] == {"piece", "board joint"}
    assert kinds["forge.west.last"] == {"piece", "board joint"}
    assert kinds["circuits.sockets"] == {"circuit"}
    assert kinds["circuits.sockets.run-to-S3"] == {"run"}
    assert kinds["circuits.again.run-to-S3-2"] == {"run"}
    assert kinds["boards.strand"] == {"board"}
    assert kinds["boxes.deep"] == {"box"}
    assert kinds["bases.rubble"] == {"base"}
    assert kinds["linings.warm"] == {"lining"}
    assert kinds["access.gate"] == {"passage"}
    assert kinds["work.wiring"] == {"task"}


@pytest.mark.parametrize(
    ("place", "on"),
    [
        ("circuits.sockets", {"forge.west", "forge.north", "forge.east"}),
        ("circuits.lights", {"forge.south", "forge.ceiling"}),
        ("circuits.sockets.run-to-S2", {"forge.west", "forge.north"}),
        ("linings.warm", {"forge.west"}),
        ("linings.glued", {"forge.north", "forge.ceiling"}),
        ("bases.rubble", {"forge.west"}),
        ("boxes.deep", {"forge.west"}),
        ("boards.strand", {"forge.west"}),
        ("boards.narrow", {"forge.west", "forge.north", "forge.east", "forge.ceiling"}),
        ("work.gutter", {"forge.west"}),
        ("work.wiring", {"forge.west", "forge.north", "forge.east", "forge.south", "forge.ceiling"}),
        ("forge.floor", {"forge.west", "forge.north", "forge.east", "forge.south", "forge.ceiling"}),
    ],
)
def test_what_bears_on_which_wall(places: dict[str, list[Thing]], place: str, on: set[str]) -> None:
    faces = ["forge.west", "forge.north", "forge.east", "forge.south", "forge.ceiling", "yard.long", "yard.short"]
    assert {face for face in faces if concerns(places[place][0], face)} == on


@pytest.mark.parametrize("place", ["building", "supply", "access", "access.gate", "work.survey"])
def test_what_bears_on_everything(places: dict[str, list[Thing]], place: str) -> None:
    assert all(concerns(places[place][0], other) for other in ("forge", "yard.long", "forge.west.S1", "boards.strand"))


def test_what_bears_on_a_wall_bears_on_its_points_and_its_room(places: dict[str, list[Thing]]) -> None:
    circuit, lining = places["circuits.lights"][0], places["linings.warm"][0]
    assert concerns(circuit, "forge.south.W1")
    assert concerns(circuit, "forge")
    assert concerns(lining, "forge.west.window")
    assert not concerns(lining, "forge.north.S2")
    assert not concerns(lining, "yard")


def test_heights_bear_on_the_walls_of_their_points(places: dict[str, list[Thing]]) -> None:
    group = next(thing for thing in places["forge"] if isinstance(thing, SocketHeights))
    assert [point.name for point in group.points] == ["S1", "S2", "S3"]
    assert concerns(group, "forge.west")
    assert not concerns(group, "forge.south")


def test_chain_is_as_good_as_runs(smithy: Plan) -> None:
    long = built(
        edited(
            "chain: [supply, S1, S2, S3], lengths: {S1: 11 m}",
            "runs: [{from: supply, to: S1, length: 11 m}, {from: S1, to: S2}, {from: S2, to: S3}]",
        )
    )

    def told(plan: Plan) -> list[tuple[object, ...]]:
        runs = plan.circuits["sockets"].runs
        return [(run.place, run.start_name, run.end_name, run.length, run.length_from_walls) for run in runs]

    assert told(smithy) == told(long)
    assert smithy.circuits["sockets"].fed == {"supply", "S1", "S2", "S3"}


def test_branches_feed_what_they_reach() -> None:
    plan = built(
        edited("{from: W1, to: C1, length: 5 m}", "{from: W1, to: C1}, {from: W1, to: S1}, {from: S2, to: S3}")
    )
    assert plan.circuits["lights"].fed == {"supply", "W1", "C1", "S1"}
    assert not any(run.closes_loop for run in plan.circuits["lights"].runs)


def test_a_ring_closes_with_its_last_run() -> None:
    plan = built(edited("chain: [supply, S1, S2, S3]", "ring: true, chain: [supply, S1, S2, S3, supply]"))
    ring = plan.circuits["sockets"]
    assert ring.is_ring
    assert [run.closes_loop for run in ring.runs] == [False, False, False, True]
    assert ring.runs[-1].place == "circuits.sockets.run-to-supply"


def test_dangling_runs_and_lengths_are_kept() -> None:
    # What a renovator gets wrong is a finding: a run to a point that is not there must reach the rules.
    plan = built(edited("lengths: {S1: 11 m}", "lengths: {S1: 11 m, S9: 2 m}"))
    dangling = run(plan, "circuits.sockets.run-to-S9")
    assert (dangling.start_name, dangling.start, dangling.end, dangling.length) == (None, None, None, 2.0)
    assert "S9" not in plan.circuits["sockets"].fed
    plan = built(edited("chain: [supply, S1, S2, S3]", "chain: [supply, S1, X, S3]"))
    assert run(plan, "circuits.sockets.run-to-X").end is None
    assert run(plan, "circuits.sockets.run-to-S3").start is None


def test_a_point_on_a_circuit_that_is_not_there_is_kept() -> None:
    plan = built(edited("circuit: lights}}\n    walls", "circuit: lamps}}\n    walls"))
    assert plan.rooms[0].ceiling
    (point,) = plan.rooms[0].ceiling.points
    assert (point.circuit_name, point.circuit) == ("lamps", None)


def test_a_second_run_to_a_point_steps_aside_for_a_point_of_its_name() -> None:
    text = edited(
        "runs: [{from: supply, to: S3, length: 9 m}, {from: S1, to: S3}]", "chain: [S1, S3, S3-2, S3, S2, S3]"
    )
    assert [run.place.rpartition(".")[2] for run in built(text).circuits["again"].runs] == [
        "run-to-S3",
        "run-to-S3-2",
        "run-to-S3-3",
        "run-to-S2",
        "run-to-S3-4",
    ]


def test_length_of_a_run_round_one_corner(smithy: Plan) -> None:
    # S1 at 0.5 m of the west wall (4 m), S2 at 1 m of the north wall: 3.5 m + 1 m along, no climb, 0.30 m at each end.
    assert run(smithy, "circuits.sockets.run-to-S2").length_from_walls == pytest.approx(5.1)


def test_length_of_a_run_the_shorter_way_past_a_door() -> None:
    # S3 at 3 m of the east wall (4 m), W1 at 2 m of the south wall, the door from 0.5 m to 1.3 m between them.
    # Along: 1 m + 2 m. Up from 0.25 m to the head at 2 m, down to 1.05 m: 1.75 m + 0.95 m. Ends: 0.6 m. In all 6.3 m.
    # The other way round would be 14 m - 3 m along and 0.8 m up.
    plan = built(edited("{from: W1, to: C1, length: 5 m}", "{from: S3, to: W1}"))
    passing = run(plan, "circuits.lights.run-to-W1-2")
    assert passing.length_from_walls == pytest.approx(6.3)
    assert [surface.place for surface in passing.surfaces] == ["forge.east", "forge.south"]


def test_length_over_a_door_on_a_threshold() -> None:
    # As above, with the door's head 0.1 m higher: 0.2 m more of cable.
    text = edited("{from: W1, to: C1, length: 5 m}", "{from: S3, to: W1}").replace(
        "width: 0.8 m,", "width: 0.8 m, sill: 0.1 m,"
    )
    assert run(built(text), "circuits.lights.run-to-W1-2").length_from_walls == pytest.approx(6.5)


def test_length_past_the_beginning_of_the_walk() -> None:
    # W1 at 2 m of the south wall (3 m), S1 at 0.5 m of the west wall: 1 m + 0.5 m along, 0.8 m down, 0.6 m at the ends.
    plan = built(edited("{from: W1, to: C1, length: 5 m}", "{from: W1, to: S1}"))
    round_the_corner = run(plan, "circuits.lights.run-to-S1")
    assert round_the_corner.length_from_walls == pytest.approx(2.9)
    assert {surface.place for surface in round_the_corner.surfaces} == {"forge.south", "forge.west"}


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("    outline: closed\n", "    outline: partial\n"),
        ("    outline: closed\n", ""),
        ("      - wall: east\n        length: 4 m\n", "      - wall: east\n"),
        ("S2: {kind: socket, at: 1 m, height: 0.25 m,", "S2: {kind: socket, at: 1 m,"),
        ("S2: {kind: socket, at: 1 m, height: 0.25 m,", "S2: {kind: socket, height: 0.25 m,"),
        # A door of which nobody knows where it is may lie on the way.
        ("door: {kind: door, at: 0.5 m, width: 0.8 m, height: 2 m}", "door: {kind: door}"),
    ],
)
def test_no_length_is_made_up(old: str, new: str) -> None:
    assert run(built(edited(old, new)), "circuits.sockets.run-to-S2").length_from_walls is None


def test_no_length_from_the_supply_or_to_a_ceiling(smithy: Plan) -> None:
    assert run(smithy, "circuits.again.run-to-S3").length_from_walls is None
    assert run(smithy, "circuits.lights.run-to-C1").length_from_walls is None


def test_corners_of_closed_and_partial_outlines(smithy: Plan) -> None:
    forge, yard = smithy.rooms
    assert [wall.corner.next_wall.name for wall in forge.walls if wall.corner] == ["north", "east", "south", "west"]
    # The last wall of a partial outline ends in no corner, and none leads to its first.
    assert [wall.corner is not None for wall in yard.walls] == [True, False]


def test_corners_in_their_short_and_long_form(smithy: Plan) -> None:
    west, north, east = (wall(smithy, name).corner for name in ("west", "north", "east"))
    assert isinstance(west, Corner)
    assert isinstance(north, Corner)
    assert isinstance(east, Corner)
    assert (west.joint, north.joint, east.joint) == (Joint.SEALANT, Joint.FILLER, None)
    assert west.path == ("rooms", "forge", "walls", 0, "corner")
    assert east.path == ("rooms", "forge", "walls", 2)


@pytest.mark.parametrize(
    ("then", "turn", "outside"),
    [
        ("right", math.pi / 2, False),
        ("left", -math.pi / 2, True),
        ("{turn: right, by: 45 deg}", math.pi / 4, False),
        ("{turn: left, by: 30 deg}", -math.pi / 6, True),
    ],
)
def test_turns(then: str, turn: float, outside: bool) -> None:  # noqa: FBT001 - a parameter of the table
    turned = wall(built(edited("{wall: long, then: left}", f"{{wall: long, then: {then}}}")), "long", 1)
    assert turned.turn == pytest.approx(turn)
    assert turned.corner
    assert turned.corner.is_outside is outside


def test_straight_on_is_no_corner_and_an_unknown_turn_is_an_unknown_corner() -> None:
    straight = wall(built(edited("{wall: long, then: left}", "{wall: long, then: straight}")), "long", 1)
    assert straight.corner is None
    unknown = wall(built(edited("{wall: long, then: left}", "{wall: long}")), "long", 1)
    assert unknown.corner
    assert unknown.corner.is_outside is None


def test_reveals_and_frame_joints(smithy: Plan) -> None:
    edge, joint = wall(smithy, "west").finishes
    assert isinstance(edge, RevealEdge)
    assert isinstance(joint, FrameJoint)
    assert (edge.joint, joint.joint) == (Joint.BEAD, None)
    assert edge.path[-1] == "reveal"
    # A door without a recorded reveal has none to finish.
    assert wall(smithy, "south").finishes == ()


@pytest.mark.parametrize(
    ("opening", "kinds"),
    [
        ("{kind: window}", [RevealEdge, FrameJoint]),
        ("{kind: window, reveal: none}", []),
        ("{kind: niche}", [RevealEdge]),
        ("{kind: passage, reveal: {edges: bead}}", [RevealEdge]),
        ("{kind: door, reveal: {edges: bead}}", [RevealEdge, FrameJoint]),
    ],
)
def test_what_an_opening_has_to_finish(opening: str, kinds: list[type[Thing]]) -> None:
    text = edited("door: {kind: door, at: 0.5 m, width: 0.8 m, height: 2 m}", f"gap: {opening}")
    assert [type(finish) for finish in wall(built(text), "south").finishes] == kinds


def test_named_and_inline_bases(smithy: Plan) -> None:
    named, inline, stud, none = (wall(smithy, name).base for name in ("west", "north", "east", "south"))
    assert named is smithy.bases["rubble"]
    assert inline
    assert stud
    assert (inline.place, inline.faces, inline.is_masonry) == ("forge.north", Faces.NEIGHBOUR, True)
    assert (stud.is_stud, stud.is_masonry) == (True, False)
    assert none is None


def test_a_column_becomes_one_reading_for_each_height(smithy: Plan) -> None:
    low, high = wall(smithy, "west").readings
    assert (low.height, low.value, high.height, high.value) == (0.15, 0.17, 0.6, 0.16)
    assert low.at == high.at == 0.4
    assert low.date == high.date == date(2026, 5, 4)
    assert low.of is ReadOf.WALL
    assert wall(smithy, "west").readings_recorded
    assert not wall(smithy, "north").readings_recorded


def test_a_partial_lining_covers_its_part_alone(smithy: Plan) -> None:
    north = wall(smithy, "north")
    glued = smithy.linings["glued"]
    assert north.lining_at(1.5, 0.5) is glued
    assert north.lining_at(1.0, 1.2) is glued
    assert north.lining_at(0.99, 0.5) is None
    assert north.lining_at(1.5, 1.21) is None
    assert not north.undecided


def test_a_lining_that_is_decided_and_one_that_is_not(smithy: Plan) -> None:
    west, east, south = (wall(smithy, name) for name in ("west", "east", "south"))
    assert west.lining is smithy.linings["warm"]
    assert west.lining_at(9, 9) is west.lining
    assert east.stays
    assert not east.undecided
    assert south.undecided
    part = edited("{build_up: glued, from: 1 m, up_to: 1.20 m}", "{build_up: none, to: 1 m}")
    assert wall(built(part), "north").stays


def test_ceiling_with_lining_and_points(smithy: Plan) -> None:
    ceiling = smithy.rooms[0].ceiling
    assert ceiling
    (light,) = ceiling.points
    assert ceiling.lining is smithy.linings["glued"]
    assert (light.wall, light.on, light.circuit) == (None, ceiling, smithy.circuits["lights"])


def test_what_absence_means(smithy: Plan) -> None:
    (s1,), (s2,) = wall(smithy, "west").points, wall(smithy, "north").points
    assert (s1.gangs, s1.outlets, s1.backing, s1.group) == (1, 1, False, None)
    assert (s2.gangs, s2.outlets) == (2, 2)
    assert not smithy.circuits["sockets"].is_ring


def test_lengths_heights_and_edges(smithy: Plan) -> None:
    west, north = wall(smithy, "west"), wall(smithy, "north")
    assert (west.length, west.length_at_top) == (4.0, 3.98)
    # Halfway up 2.60 m, halfway between 4.00 m and 3.98 m.
    assert west.length_at(1.3) == pytest.approx(3.99)
    assert (north.length, north.length_at_top) == (3.0, 3.0)
    assert (west.height_left, west.height_right) == (2.6, 2.6)
    assert west.pieces[0].right is Edge.SQUARE
    assert smithy.rooms[0].starts == {"west": 0, "north": 4, "east": 7, "south": 11}


def test_a_gable_is_as_high_as_its_spots_say() -> None:
    spots = "[{at: 4 m, height: 2.20 m}, {at: 0 m, height: 2 m}, {at: 2 m, height: 3 m}]"
    gable = wall(built(edited("        base: rubble\n", f"        base: rubble\n        height: {spots}\n")), "west")
    assert (gable.height_left, gable.height_right) == (2.0, 2.2)
    # Halfway between 2 m and 3 m; a quarter of the way down from 3 m to 2.20 m.
    assert gable.height_at(1.0) == pytest.approx(2.5)
    assert gable.height_at(2.5) == pytest.approx(2.8)


def test_the_datum_of_heights(smithy: Plan) -> None:
    assert smithy.rooms[0].floor.datum == pytest.approx(0.022)
    layers = "heights_from: finished, build_up: [{thickness: 65 mm}, {material: tiles, thickness: 9 mm}]"
    assert built(edited("build_up: 22 mm", layers)).rooms[0].floor.build_up == pytest.approx(0.074)
    assert built(edited("build_up: 22 mm", "heights_from: raw, build_up: 22 mm")).rooms[0].floor.datum == 0.0


def test_centre_of_a_plate_that_was_measured_to_its_edge() -> None:
    plan = built(edited("height: 0.25 m, circuit: sockets, box: deep", "height: 0.21 m, height_to: bottom"))
    (point,) = wall(plan, "west").points
    assert point.centre(0.08) == 0.25
    (plain,) = wall(plan, "north").points
    assert plain.centre(0.08) == 0.25


def test_pieces_at_the_ends(smithy: Plan) -> None:
    west = wall(smithy, "west")
    assert [piece.place for piece in west.end_pieces(left=True)] == ["forge.west.piece-1"]
    assert [piece.place for piece in west.end_pieces(left=False)] == ["forge.west.last"]


def test_tasks_find_their_walls(smithy: Plan) -> None:
    assert {task.name for task in wall(smithy, "west").tasks} == {"survey", "wiring", "gutter"}
    assert {task.name for task in wall(smithy, "north").tasks} == {"survey", "wiring"}
    assert {task.name for task in wall(smithy, "long", 1).tasks} == {"survey"}


def test_a_key_that_a_chain_cannot_hold_wants_the_long_form() -> None:
    text = """\
plan: 1
title: two ways to write a run
circuits:
  short: {serves: sockets, chain: [supply, S1]}
  long: {serves: sockets, runs: [{from: supply, to: S2}]}
rooms:
  hut: {walls: [{wall: west, points: {S1: {kind: socket}, S2: {kind: socket}}}]}
"""
    plan = built(text)
    short, long = (run(plan, f"circuits.{name}") for name in ("short.run-to-S1", "long.run-to-S2"))
    assert [short.key(key) for key in ("length", "path")] == ["circuits.short.lengths.S1", "circuits.short.runs"]
    assert [long.key(key) for key in ("length", "path")] == [
        "circuits.long.run-to-S2.length",
        "circuits.long.run-to-S2.path",
    ]
