"""Makes plans of any size for the benchmarks: rooms of four walls, with five sockets on each, all read and lined."""

SOCKETS_ON_A_WALL = 5
WALLS = ("north", "east", "south", "west")
POINTS_IN_A_ROOM = SOCKETS_ON_A_WALL * len(WALLS)

# Dates stand in quotes, since the loader that planlint is measured against makes objects of bare ones.
HEAD = """\
plan: 1
title: a house for measuring
building: {built: 1911, country: BE, surveys: {asbestos: {date: "2026-03-02", reference: A-07, covers: [ROOMS]}}}
supply: {earthing: TN-S, voltage: 230 V, loop_impedance: 0.42 ohm}
access: {people: 3, passages: {door: {kind: door, width: 0.83 m, width_beyond: 2.60 m, headroom: 2.05 m}}}
tools: {hole_saws: [68 mm]}
boxes: {flat: {hole: 68 mm, depth: 46 mm, clamps: [7 mm, 40 mm]}}
boards:
  narrow: {kind: gypsum, type: A, width: 600 mm, length: 2600 mm, thickness: 12.5 mm, mass: 8.5 kg/m², edges: tapered}
  strand: {kind: osb, type: OSB/3, width: 1250 mm, length: 2500 mm, thickness: 12 mm, density: 650 kg/m³}
bases: {front: {material: solid-brick, thickness: 380 mm, faces: outside, sound: true}}
linings:
  plain:
    battens: {spacing: 600 mm, width: 50 mm, depth: 40 mm, treated: true, isolated_by: closed-cell foam}
    gap: 3 mm
    layers:
      - {material: air, thickness: 40 mm}
      - {board: strand, screws: {length: 50 mm, spacing: 150 mm, edge: 10 mm}}
      - {material: vapour-barrier, sd: 20 m}
      - {board: narrow, screws: {length: 45 mm, spacing: 250 mm, edge: 15 mm}}
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
        corner: {{joint: sealant, width: 5 mm, sealant: {{kind: acrylic, class: 25, paintable: true}}}}
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
    head = HEAD.replace("ROOMS", ", ".join(rooms))
    return head + "circuits:\n" + "".join(circuits) + "rooms:\n" + "".join(_room(room) for room in rooms)


def _room(room: str) -> str:
    text = f"  {room}:\n    height: 2.60 m\n    use: study\n    reached_by: [door]\n    outline: closed\n    walls:\n"
    for wall in WALLS:
        text += WALL.format(name=wall)
        for number, name in enumerate(_points(room, wall), 1):
            where = f"at: {number * 0.8 + 0.1:.2f} m, height: 250 mm, box: flat, vapour_sealed: true"
            text += f"          {name}: {{kind: socket, circuit: {wall}-{room}, {where}}}\n"
    return text


def _points(room: str, wall: str) -> list[str]:
    return [f"S-{room}-{wall}-{number}" for number in range(1, SOCKETS_ON_A_WALL + 1)]
