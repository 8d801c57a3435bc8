"""Elastic joints in inside corners: how far the walls move there, and how far the joint gives."""

from dataclasses import dataclass
from typing import Final

from planlint.formulas import sealant as formulas
from planlint.formulas.counting import whole_above
from planlint.model.rooms import Corner, Wall
from planlint.rule import Given
from planlint.sums.working import Lacking, within_range
from planlint.units import Length, Ratio, Temperature

TENTH: Final = 1e-4
"""[m] The least that anybody sets a joint by."""
LIMITS_OF_MOVEMENT = ("movement_humidity", "movement_temperature")


@dataclass(frozen=True, slots=True)
class JointMovement:
    """What an elastic joint must take and takes."""

    moves: Length
    """Half of what the longer wall moves: it has a joint at each of its ends."""
    takes: Length
    wanted: Length
    """The width at which a sealant of its class would take it, in whole tenths of a millimetre."""
    wall: Wall
    """The longer of the two walls."""


@within_range
def joint_movement(corner: Corner, given: Given) -> JointMovement | Lacking:
    """What the walls of an inside corner move between the seasons, beside what its joint takes.

    Half the longer wall × (7.2e-6·ΔRH + 16e-6·ΔT), against width × class.
    """
    walls = (corner.wall, corner.next_wall)
    gives = corner.sealant.movement_class if corner.sealant else None
    needed = {
        "corner.width": ("the width of the joint", corner.width),
        "corner.sealant.class": ("how far its sealant gives", gives),
        **{f"{wall.place}.length": ("how long the walls are", wall.length) for wall in walls},
    }
    missing = {key: what for key, (what, value) in needed.items() if value is None}
    width = corner.width
    if missing or width is None or gives is None:
        return Lacking(" and ".join(dict.fromkeys(missing.values())), tuple(missing))
    longer = max(walls, key=lambda wall: wall.length or 0.0)
    swing = given.quantity("movement_humidity", Ratio), given.quantity("movement_temperature", Temperature)
    moves = formulas.movement((longer.length or 0.0) / 2, *swing)
    return JointMovement(
        Length(moves, "mm"),
        Length(formulas.movement_taken(width, gives), "mm"),
        width.like(whole_above(formulas.joint_width(moves, gives) / TENTH) * TENTH),
        longer,
    )
