"""Whether a stiff board goes round a corner: its section in the plane of the turn against the two widths.

All values are lengths in metres and angles in radians. Each function refuses a value outside its range with a
ValueError that names the argument and the range; the ranges are our own decision, there to catch a wrong unit.
"""

import math
from typing import Final, NamedTuple

from planlint.formulas.ranges import Range
from planlint.units import at_least, at_most

SIDE: Final = Range(0.0001, 100, "m")
WIDTH: Final = Range(0.01, 1000, "m")
THICKNESS: Final = Range(0, 1000, "m")
HAND_ROOM: Final = Range(0, 1, "m")
BETWEEN: Final = Range(0.001, 89.999, "°", math.pi / 180)

_HALVINGS: Final = 60
"""Enough to halve a right angle down to the last digit of a float."""


def touching_length(a: float, b: float, w: float, angle: float) -> float:
    """Length of a board that touches both outer walls and the inner corner at one angle [m].

    L(t) = (a·sin t + b·cos t - w) / (sin t·cos t), with widths `a` and `b` [m], 0.01 to 1000 m, thickness `w` [m], 0 to
    1000 m, and `angle` t [rad] between the board and the outer wall of the stretch that is `b` wide, above 0 and below
    90°.
    Source: College Mathematics Journal 33(3), 2002, pp. 196-200.

    >>> round(touching_length(8, 3, 1, math.radians(31)), 4)
    12.8927
    """
    WIDTH.admit(a=a, b=b)
    THICKNESS.admit(w=w)
    BETWEEN.admit(angle=angle)
    return _touching(a, b, w, math.sin(angle), math.cos(angle))


def longest_board(a: float, b: float, w: float = 0.0) -> float:
    """Longest board that turns round a right-angled corner from a stretch `a` wide into one `b` wide [m].

    L_max = min of `touching_length` over 0 < t < 90°; 0 where it is as thick as one of the stretches is wide.
    `a`, `b` [m], 0.01 to 1000 m; thickness in the plane of the turn `w` [m], with what hands need, 0 to 1000 m.
    Special cases: w = 0: (a^(2/3) + b^(2/3))^(3/2); a = b: 2·√2·a - 2·w.
    Source: College Mathematics Journal 33(3), 2002, pp. 196-200; the ladder round a corner of every calculus textbook.

    >>> round(longest_board(1, 1), 4), round(longest_board(8, 3, 1), 4)
    (2.8284, 12.8563)
    """
    WIDTH.admit(a=a, b=b)
    THICKNESS.admit(w=w)
    if at_least(w, min(a, b)):
        return 0.0
    # L'(t) has the sign of g = a·sin³t - b·cos³t + w·cos 2t. It is w - b < 0 at 0 and a - w > 0 at 90°, and g' = sin
    # t·cos t·(3a·sin t + 3b·cos t - 4w) is below 0 near the ends alone: g crosses zero once, and L has one least.
    low, high = 0.0, math.pi / 2
    for _ in range(_HALVINGS):
        t = (low + high) / 2
        falls = a * math.sin(t) ** 3 - b * math.cos(t) ** 3 + w * math.cos(2 * t) < 0
        low, high = (t, high) if falls else (low, t)
    t = (low + high) / 2
    return _touching(a, b, w, math.sin(t), math.cos(t))


def longest_sideways(a: float, b: float, w: float) -> float:
    """Longest board that goes round without being turned, lengthways in one stretch and sideways in the other [m].

    L = a where w ≤ b, and L = b where w ≤ a; the longer counts, and 0 where neither holds. Thick boards gain by it.
    `a`, `b` [m], 0.01 to 1000 m; thickness in the plane of the turn `w` [m], 0 to 1000 m. Source: geometry.

    >>> longest_sideways(1.0, 0.5, 0.8)
    0.5
    """
    WIDTH.admit(a=a, b=b)
    THICKNESS.admit(w=w)
    return max(a if at_most(w, b) else 0.0, b if at_most(w, a) else 0.0)


def headroom_to_stand(length: float, width: float) -> float:
    """Headroom that it takes to stand a board up in its own plane, over one corner [m]: √(L² + W²).

    `length` L and `width` W [m], 0.1 mm to 100 m. Raised over its short edge, like a ladder, it takes little more than
    L, and a free floor as long as the board. Source: geometry.

    >>> round(headroom_to_stand(2.6, 1.2), 3)
    2.864
    """
    SIDE.admit(length=length, width=width)
    return math.hypot(length, width)


class Sheet(NamedTuple):
    """The sides of a board that is carried [m]."""

    width: float
    length: float
    thickness: float


class Turn(NamedTuple):
    """A turn [m]: the widths before and behind it, in its plane, and what is clear across that plane."""

    width: float
    width_beyond: float
    clear: float


def longest_through(sheet: Sheet, turn: Turn, hand_room: float) -> float:
    """Longest board of this width and thickness that goes round a turn, in whichever way it is carried [m].

    Three ways are tried, each with `hand_room` [m], 0 to 1 m in total, beside the board. On a level turn they are:

    - on its long edge: W + hand room ≤ clear height, and L goes round with d in the plane;
    - flat under the arm: d + hand room ≤ clear height, and L goes round with W in the plane;
    - upright: L + hand room ≤ clear height, and W goes round with d in the plane.

    What goes round is no longer than `longest_board` or, with room for hands at its ends, `longest_sideways`. The
    result is 0 where no board of this width goes through. The sheet's own length is not looked at.
    `sheet` with width W and thickness d, 0.1 mm to 100 m; `turn` with widths a, b and the clear height, 0.01 to 1000 m.
    Source: geometry; that these three ways are tried is our own decision.
    """
    SIDE.admit(width=sheet.width, thickness=sheet.thickness)
    WIDTH.admit(width=turn.width, width_beyond=turn.width_beyond, clear=turn.clear)
    HAND_ROOM.admit(hand_room=hand_room)
    on_edge, flat = (_round(turn, side + hand_room, hand_room) for side in (sheet.thickness, sheet.width))
    ways = (
        on_edge if at_most(sheet.width + hand_room, turn.clear) else 0.0,
        flat if at_most(sheet.thickness + hand_room, turn.clear) else 0.0,
        turn.clear - hand_room if at_most(sheet.width, on_edge) else 0.0,
    )
    return max(0.0, *ways)


def longest_through_hatch(sheet: Sheet, sides: tuple[float, float], headroom: float, hand_room: float) -> float:
    """Longest board of this width and thickness that goes through a hatch in a floor or ceiling [m].

    In the section through the hatch it goes round a turn: from the opening, one side of which is its width, into the
    clear height; the other side of the opening is what is clear across. Either side of the opening may be either.
    `sides` of the opening and `headroom` of the lower of the two storeys [m], 0.01 to 1000 m; the rest as in
    `longest_through`. Source: geometry; own decision.
    """
    return max(
        longest_through(sheet, Turn(swing, headroom, across), hand_room) for swing, across in (sides, sides[::-1])
    )


def _round(turn: Turn, w: float, hand_room: float) -> float:
    a, b = turn.width, turn.width_beyond
    return max(longest_board(a, b, w), longest_sideways(a, b, w) - hand_room)


def _touching(a: float, b: float, w: float, sine: float, cosine: float) -> float:
    return (a * sine + b * cosine - w) / (sine * cosine)
