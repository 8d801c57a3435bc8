"""How many fixings hold the frame of a window or door."""

from collections.abc import Mapping
from typing import Final

from planlint.formulas import fixing
from planlint.model.rooms import Opening
from planlint.rule import Given
from planlint.sums.working import Lacking, within_range
from planlint.units import Length

LIMITS_OF_FIXINGS = ("frame_fixing_spacing", "frame_fixing_from_corner_most", "frame_fixing_alone")
SIDES: Final = {"head": "width", "sill": "width", "left": "height", "right": "height"}


@within_range
def frame_fixings(opening: Opening, given: Given) -> Mapping[str, int] | Lacking:
    """Fixings that each side of a frame takes, at the widest spacing and distance from the corner that are allowed.

    A door stands on its threshold: its lower side takes none.
    """
    measures = {"width": opening.width, "height": opening.height}
    if keys := tuple(f"{opening.place}.{key}" for key, value in measures.items() if value is None):
        return Lacking("how wide and high the opening is", keys)
    spacing, corner, alone = (given.quantity(name, Length) for name in LIMITS_OF_FIXINGS)
    return {
        side: fixing.frame_fixings(measures[along] or 0.0, corner, spacing, alone)
        for side, along in SIDES.items()
        if side != "sill" or not opening.reaches_floor
    }
