"""Where end joints lie on walls higher than a sheet is long: two lines of joints, for every second board the other."""

from itertools import count
from typing import Final

__all__ = ["Joints", "end_joints"]

Joints = tuple[tuple[float, ...], tuple[float, ...]]
SAME: Final = 1e-6
ENOUGH: Final = 6
"""So many pieces more than are needed are tried, no more."""


def end_joints(height: float, length: float, offset: float, least: float) -> Joints:
    """Heights of the end joints of even and of odd boards, metres above their lower ends; empty where a sheet will do.

    The even boards begin below with a piece as long as may be, the odd ones end above with it; their joints are then
    as far apart as n·l - H. Where no number of pieces brings all joints `offset` apart, the fewest pieces do, in line.
    """
    if height <= length + SAME:
        return ((), ())
    fewest = 0
    for pieces in count(2):
        if pieces * length < height - SAME:
            continue
        fewest = fewest or pieces
        if pieces > fewest + ENOUGH:
            break
        # The odd boards' lowest piece must not be shorter than `least`, and with more joints than one the next
        # joint of the even boards must not come near.
        shortest = least if pieces == 2 else max(least, offset)  # noqa: PLR2004 - one joint
        shift = min(pieces * length - height, (height - pieces * shortest) / (pieces - 1))
        if shift < offset - SAME:
            continue
        piece = (height + shift) / pieces
        even = tuple(piece * number for number in range(1, pieces))
        return even, tuple(joint - shift for joint in even)
    same = tuple(height / fewest * number for number in range(1, fewest))
    return same, same
