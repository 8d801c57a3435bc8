"""`planlint start`: a first plan to write on."""

from pathlib import Path
from shlex import quote

import click

from planlint.cli.output import complain, say, write_new
from planlint.cli.plans import ENDING
from planlint.errors import PlanFaults, UsageError
from planlint.schema import check
from planlint.source import read

_PLAN = """\
# A plan of one room. Change what is here to what you have and mean to do; take out what does not apply.
#
#   planlint inspect {file}
#   planlint words wall            explains the keys of a wall; `planlint words` lists all keys
#   planlint start --room NAME     prints one more room
#
# Every quantity is a number with its unit. What is left out counts as not recorded, never as right.
plan: 1
title: Lock keeper's cottage, parlour
limits: general                  # `planlint limits` lists the sets

access:
  people: 2                      # who carry and lift
  passages:                      # turns, doors and hatches between the van and the room
    front-door: {{kind: door, width: 0.90 m, width_beyond: 1.40 m, headroom: 2.05 m}}

tools:
  hole_saws: [68 mm]

boxes:                           # the back boxes in use, by a name of your own
  deep: {{hole: 68 mm, depth: 61 mm}}

boards:                          # the sheets in use
  wide: {{kind: gypsum, width: 1200 mm, length: 2600 mm, thickness: 12.5 mm, mass: 9 kg/m², edges: tapered}}
  timber: {{kind: osb, type: OSB/3, width: 1250 mm, length: 2500 mm, thickness: 12 mm, density: 640 kg/m³}}

bases:                           # the walls as found
  front: {{material: solid-brick, thickness: 330 mm, faces: outside}}      # add sound: true once you have tapped it
  inner: {{material: timber-stud, thickness: 100 mm, faces: inside, sound: true}}

linings:                         # what is put in front of them; layers run from the wall towards the room
  battened:
    battens: {{spacing: 600 mm, width: 50 mm, depth: 50 mm, treated: true, isolated_by: closed-cell foam}}
    gap: 3 mm                    # between sheets of timber, and at their edges
    layers:
      - {{material: mineral-wool, thickness: 50 mm}}
      - {{material: vapour-barrier, sd: 20 m}}
      - {{board: timber, screws: {{length: 45 mm, spacing: 150 mm, edge: 10 mm}}}}
      - {{board: wide, screws: {{length: 35 mm, spacing: 250 mm, edge: 15 mm}}}}

circuits:
  sockets:
    serves: sockets
    breaker: {{rating: 16 A, curve: B}}
    rcd: 30 mA
    section: 2.5 mm²
    conductors: {{line: brown, neutral: blue, earth: green-yellow}}
    chain: [supply, S1, S2]      # from point to point, beginning at the supply
    lengths: {{S1: 9 m}}

rooms:
  parlour:
    height: 2.50 m               # bare floor to bare ceiling
    use: living room
    reached_by: [front-door]
    floor: {{heights_from: finished}}
    outline: closed
    ceiling: {{lining: none}}      # none: it stays as it is
    walls:                       # walked clockwise as seen from above: the wall is on your left hand
      - wall: street
        length: 4.20 m           # of the bare wall
        then: right              # right: an inside corner; left: an outside corner
        # How the corner at this wall's end is finished; the short form is `corner: sealant`.
        corner: {{joint: sealant, width: 6 mm, sealant: {{kind: acrylic, class: 12.5, paintable: true}}}}
        base: front
        lining: battened
        # readings:              # of moisture, at three heights and more; without them the wall is not judged
        #   - date: 2026-09-28
        #     scale: wood-equivalent
        #     at: 0.40 m
        #     column: {{0.15 m: 17 %, 0.60 m: 16 %, 1.20 m: 15 %}}
        openings:
          window:
            kind: window
            at: 1.50 m           # its left edge, from the wall's left end, facing it
            width: 1.10 m
            sill: 0.80 m
            height: 1.40 m
            reveal: {{depth: 0.20 m, edges: bead, frame_joint: sealant}}
            frame: {{held_by: [screws, foam], spacing: 600 mm, from_corner: 150 mm}}
        points:                  # at and height: of its centre
          S1: {{kind: socket, at: 0.45 m, height: 300 mm, circuit: sockets, box: deep}}
      - wall: garden
        length: 3.40 m
        then: right
        corner: sealant
        base: inner
        lining: none
        existing: {{board: wide}}  # what already stands on this face
        points:
          S2: {{kind: socket, at: 1.70 m, height: 300 mm, circuit: sockets, box: deep, backing: true}}
      - wall: back
        length: 4.20 m
        then: right
        corner: sealant
        base: inner
        lining: none
        existing: {{board: wide}}
      - wall: hall
        length: 3.40 m
        then: right
        corner: sealant
        base: inner
        lining: none
        existing: {{board: wide}}
        openings:
          door: {{kind: door, at: 0.20 m, width: 0.83 m, height: 2.05 m, hinges: right, opens: in}}
"""

_ROOM = """\
  # Put this under `rooms:` and change its figures to yours. Every point of a plan has a name of its own.
  {name}:
    height: 2.50 m
    floor: {{heights_from: finished}}
    outline: closed
    ceiling: {{lining: none}}
    walls:
      # Add to each wall its base and its lining, each by a name of yours under bases and linings, or lining: none.
      - {{wall: north, length: 4.00 m, then: right, corner: sealant}}
      - {{wall: east, length: 3.00 m, then: right, corner: sealant}}
      - {{wall: south, length: 4.00 m, then: right, corner: sealant}}
      - wall: west
        length: 3.00 m
        then: right
        corner: sealant
        openings:
          door: {{kind: door, at: 0.20 m, width: 0.83 m, height: 2.05 m, hinges: right, opens: in}}
        # points:
        #   S9: {{kind: socket, at: 2.00 m, height: 300 mm, circuit: sockets, box: deep}}
"""


@click.command("start", short_help="Write a first plan to change, or print one more room.")
@click.argument("file", required=False)
@click.option("--room", metavar="NAME", help="Print one more room of this name, to add to a plan.")
def command(file: str | None, room: str | None) -> None:
    """Write FILE: a plan of one room with comments, to change into your own.

    A file that is there already is left alone.

    \b
    Examples:
      planlint start study.plan.yaml
      planlint start --room hall
    """  # noqa: D301 - \b is click's mark for lines that are not to be wrapped
    if (file is None) == (room is None):
        raise click.UsageError("name either a file to write, such as study.plan.yaml, or a room with --room")
    if room is not None:
        say(one_room(room))
        return
    if file is not None:
        write_new(file, _PLAN.format(file=quote(file)))
        say(f"Wrote {file}. Change it to your room, then: planlint inspect {quote(file)}\n")
        if not file.endswith(ENDING):
            complain(f"a folder is searched for names that end in {ENDING} only", f"{Path(file).stem}{ENDING} would do")


def one_room(name: str) -> str:
    """The text of a room called `name`, to add to a plan.

    Raises UsageError where a plan cannot hold a room of that name.
    """
    text = _ROOM.format(name=name)
    try:
        fits = not check(read(f"plan: 1\ntitle: one room\nrooms:\n{text}".encode(), name))
    except PlanFaults:
        fits = False
    if not fits:
        raise UsageError(f"{name} cannot be the name of a room; a name begins with a letter, such as hall or bed-2")
    return text
