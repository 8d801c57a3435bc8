"""Makes plans of any size for the benchmarks: rooms of four walls, with five sockets on each, all read and lined."""

SOCKETS_ON_A_WALL = 5
WALLS = ("north", "east", "south", "west")
POINTS_IN_A_ROOM = SOCKETS_ON_A_WALL * len(WALLS)

# Dates stand in quotes, since the loader that planlint is measured against makes objects of bare ones.
HEAD = """\
plan: 1
title: a house for measuring
supply: {earthing: TN-S, voltage: 230 V, loop_impedance: 0.42 ohm}
tools: {hole_saws: [68 mm]}
boxes: {deep: {hole: 68 mm, depth: 61 mm, clamps: [7 mm, 40 mm]}}
boards:
  narrow: {kind: gypsum, width: 600 mm, length: 2600 mm, thickness: 12.5 mm, edges: tapered}
  strand: {kind: osb, width: 1250 mm, length: 2500 mm, thickness: 12 mm}
bases: {front: {material: solid-brick, thickness: 380 mm, faces: outside, sound: true}}
linings:
  plain:
    battens: {spacing: 600 mm, width: 50 mm, depth: 40 mm, treated: true, isolated_by: closed-cell foam}
    layers: [{material: air, thickness: 40 mm}, {board: strand}, {material: vapour-barrier, sd: 20 m}, {board: narrow}]
"""
CIRCUIT = """\
  {name}:
    serves: sockets
    breaker: {{rating: 16 A, curve: B}}
    rcd: 30 mA
    section: 2.5 mm²
    conductors: {{line: brown, neutral: blue, earth: green-yellow}}
    cable: singles
    conduit: {{outside: 20 mm, bore: 14.1 mm}}
    chain: [supply, {points}]
    lengths: {{{first}: 9 m}}
    tests:
      - {{date: "2026-10-02", kind: continuity, value: 0.3 ohm}}
      - {{date: "2026-10-02", kind: insulation, voltage: 500 V, value: 210 Mohm}}
"""
WALL = """\
      - wall: {name}
        length: 5.00 m
        then: right
        corner: sealant
        base: front
        lining: plain
        photos: [photos/{name}.jpg]
        readings:
          - {{date: "2026-09-28", scale: oven-dry, at: 0.40 m, column: {{0.15 m: 2 %, 0.60 m: 2 %, 1.20 m: 1 %}}}}
          - {{date: "2026-09-28", scale: oven-dry, at: 3.10 m, column: {{0.15 m: 2 %, 0.60 m: 2 %, 1.20 m: 1 %}}}}
          - {{date: "2026-09-28", scale: wood, of: battens, value: 15 %}}
        points:
"""


def make(points: int) -> str:
    """The text of a sound plan with about as many points."""
    rooms = [f"room-{number}" for number in range(1, max(1, points // POINTS_IN_A_ROOM) + 1)]
    circuits = [
        CIRCUIT.format(name=f"{wall}-{room}", points=", ".join(_points(room, wall)), first=_points(room, wall)[0])
        for room in rooms
        for wall in WALLS
    ]
    return HEAD + "circuits:\n" + "".join(circuits) + "rooms:\n" + "".join(_room(room) for room in rooms)


def _room(room: str) -> str:
    text = f"  {room}:\n    height: 2.60 m\n    outline: closed\n    walls:\n"
    for wall in WALLS:
        text += WALL.format(name=wall)
        for number, name in enumerate(_points(room, wall), 1):
            where = f"at: {number * 0.8:.2f} m, height: 250 mm, box: deep, vapour_sealed: true"
            text += f"          {name}: {{kind: socket, circuit: {wall}-{room}, {where}}}\n"
    return text


def _points(room: str, wall: str) -> list[str]:
    return [f"S-{room}-{wall}-{number}" for number in range(1, SOCKETS_ON_A_WALL + 1)]
