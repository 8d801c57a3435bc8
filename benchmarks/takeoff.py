"""Prints how long `planlint takeoff` needs for a plan of many rooms, beside reading the same plan.

Rooms of two sizes with windows, doors and chimney breasts, lined in two layers. Give the number of rooms, or none: 30.
"""

import sys
import time

from plans import HEAD

from planlint import inspection, registry, source
from planlint.takeoff.takeoff import take_off

ROOM = """\
  room-{number}:
    height: {height} mm
    outline: closed
    walls:
      - {{wall: west, length: {deep} mm, then: right, corner: sealant, lining: plain, openings: {{window: {window}}}}}
      - {{wall: north-left, length: {side} mm, then: right, corner: sealant, lining: plain}}
      - {{wall: breast-left, length: 400 mm, then: left, corner: bead, lining: plain}}
      - {{wall: breast-face, length: {breast} mm, then: left, corner: bead, lining: plain}}
      - {{wall: breast-right, length: 400 mm, then: right, corner: sealant, lining: plain}}
      - {{wall: north-right, length: {side} mm, then: right, corner: sealant, lining: plain}}
      - {{wall: east, length: {deep} mm, then: right, corner: sealant, lining: plain}}
      - {{wall: south, length: {wide} mm, then: right, corner: sealant, lining: plain, openings: {{door: {door}}}}}
"""
WINDOW = (
    "{kind: window, at: 1200 mm, width: 950 mm, sill: 880 mm, height: 1300 mm, "
    "reveal: {edges: bead, frame_joint: sealant}}"
)
DOOR = "{kind: door, at: 300 mm, width: 830 mm, height: 2050 mm}"


def make(rooms: int) -> str:
    """The text of a plan with so many rooms, no two of which have the same measures."""
    text = HEAD + "rooms:\n"
    for number in range(1, rooms + 1):
        side, breast = 1300 + 17 * number, 1200 + 23 * number % 500
        text += ROOM.format(
            number=number,
            height=2450 + 13 * number % 140,
            deep=3300 + 31 * number % 900,
            side=side,
            breast=breast,
            wide=2 * side + breast,
            window=WINDOW,
            door=DOOR,
        )
    return text


def main() -> None:
    """Print the seconds of each part."""
    rooms = int(sys.argv[1]) if len(sys.argv) > 1 else 30
    raw = make(rooms).encode()
    rulebook = registry.load(inspection.ENGINE_CARDS)
    began = time.perf_counter()
    document = source.read(raw, "house.plan.yaml")
    inspection.plan_of(document)
    read = time.perf_counter()
    found = take_off(document, rulebook)
    ended = time.perf_counter()
    print(f"{rooms} rooms, {len(found.pieces)} pieces")
    print(f"read: {read - began:.1f} s; taken off: {ended - read:.1f} s")
    for board in found.boards:
        print(f"{board.name}: {board.sheets} sheets, {board.bound} at least")


if __name__ == "__main__":
    main()
