"""What one person may lift: the revised NIOSH lifting equation, in its metric form.

Lengths are in metres, masses in kilograms, angles in radians, times in seconds; the one exception is the frequency F,
which everybody gives in lifts a minute. Each function refuses a value outside its range with a ValueError that names
the argument and the range; the ranges are our own decision, there to catch a wrong unit.

The equation is for two-handed lifts on a firm floor, in room enough, of a load that keeps still. It is not for one
hand, for kneeling, for more than eight hours, and not for carrying further than a step or two: a board that may be
picked up by it may still be too much for the stairs.

Source of all of it: Applications Manual for the Revised NIOSH Lifting Equation, DHHS (NIOSH) Publication 94-110,
revised 2021, as a public transcription of it has the figures. The manual itself was not read.
"""

import math
from collections.abc import Sequence
from enum import StrEnum
from itertools import pairwise
from typing import Final, NamedTuple

from planlint.formulas.ranges import Range
from planlint.units import at_least, at_most

LOAD_CONSTANT: Final = 23.0
"""LC [kg]: what may be lifted where everything is at its best."""

REACH: Final = Range(0, 3, "m")
DEGREES: Final = Range(0, 180, "°", math.pi / 180)
MASS: Final = Range(0, 10_000, "kg")
LIFTED: Final = Range(0.001, 10_000, "kg")
CONSTANT: Final = Range(1, 100, "kg")
MULTIPLIER: Final = Range(0, 1)
FREQUENCY: Final = Range(0, 60, "lifts a minute")
WORKING: Final = Range(0, 8, "h", 3600)


class Grip(StrEnum):
    """How well hands hold the load (coupling); a bulky or loose thing without handles is poor."""

    GOOD = "good"
    FAIR = "fair"
    POOR = "poor"


class Lift(NamedTuple):
    """Where a load is picked up, or set down."""

    horizontal: float
    """H [m], from the middle between the ankles to the middle between the hands"""
    vertical: float
    """V [m], of the hands above the floor"""
    distance: float
    """D [m], how far it is lifted or lowered, from origin to destination"""
    asymmetry: float = 0.0
    """A [rad], how far the body is twisted"""


def horizontal_multiplier(horizontal: float) -> float:
    """HM [-] = 25 cm / H; 1 for H below 25 cm, 0 for H above 63 cm. `horizontal` H [m], 0 to 3 m.

    Source: NIOSH 94-110. Its printed table has 0.46 and 0.44 at 22 and 23 in, which its own formula does not give.
    """
    REACH.admit(horizontal=horizontal)
    return 0.25 / max(horizontal, 0.25) if at_most(horizontal, 0.63) else 0.0


def vertical_multiplier(vertical: float) -> float:
    """VM [-] = 1 - 0.003·|V - 75|, V in cm; 0 for V above 175 cm. `vertical` V [m], 0 to 3 m. Source: NIOSH 94-110."""
    REACH.admit(vertical=vertical)
    return 1 - 0.3 * abs(vertical - 0.75) if at_most(vertical, 1.75) else 0.0


def distance_multiplier(distance: float) -> float:
    """DM [-] = 0.82 + 4.5/D, D in cm; 1 for D below 25 cm, 0 for D above 175 cm. `distance` D [m], 0 to 3 m.

    Source: NIOSH 94-110. Its printed table has 0.86 at 130 cm, where its own formula gives 0.85.
    """
    REACH.admit(distance=distance)
    return 0.82 + 0.045 / max(distance, 0.25) if at_most(distance, 1.75) else 0.0


def asymmetry_multiplier(asymmetry: float) -> float:
    """AM [-] = 1 - 0.0032·A, A in degrees; 0 for A above 135°. `asymmetry` A [rad], 0 to 180°. Source: NIOSH 94-110."""
    DEGREES.admit(asymmetry=asymmetry)
    degrees = math.degrees(asymmetry)
    return 1 - 0.0032 * degrees if at_most(degrees, 135) else 0.0


def coupling_multiplier(grip: Grip, vertical: float) -> float:
    """CM [-]: good 1.00, fair 0.95, poor 0.90; fair is 1.00 from V = 75 cm up. `vertical` V [m], 0 to 3 m.

    Source: NIOSH 94-110, table of coupling multipliers.
    """
    REACH.admit(vertical=vertical)
    if grip is Grip.POOR:
        return 0.90
    return 0.95 if grip is Grip.FAIR and not _is_high(vertical) else 1.0


# F in lifts a minute, then FM for work of up to 1 h, 2 h and 8 h, each with V below 75 cm and from there up.
_FREQUENCIES: Final[Sequence[tuple[float, tuple[float, float, float, float, float, float]]]] = (
    (0.2, (1.00, 1.00, 0.95, 0.95, 0.85, 0.85)),
    (0.5, (0.97, 0.97, 0.92, 0.92, 0.81, 0.81)),
    (1, (0.94, 0.94, 0.88, 0.88, 0.75, 0.75)),
    (2, (0.91, 0.91, 0.84, 0.84, 0.65, 0.65)),
    (3, (0.88, 0.88, 0.79, 0.79, 0.55, 0.55)),
    (4, (0.84, 0.84, 0.72, 0.72, 0.45, 0.45)),
    (5, (0.80, 0.80, 0.60, 0.60, 0.35, 0.35)),
    (6, (0.75, 0.75, 0.50, 0.50, 0.27, 0.27)),
    (7, (0.70, 0.70, 0.42, 0.42, 0.22, 0.22)),
    (8, (0.60, 0.60, 0.35, 0.35, 0.18, 0.18)),
    (9, (0.52, 0.52, 0.30, 0.30, 0.00, 0.15)),
    (10, (0.45, 0.45, 0.26, 0.26, 0.00, 0.13)),
    (11, (0.41, 0.41, 0.00, 0.23, 0.00, 0.00)),
    (12, (0.37, 0.37, 0.00, 0.21, 0.00, 0.00)),
    (13, (0.00, 0.34, 0.00, 0.00, 0.00, 0.00)),
    (14, (0.00, 0.31, 0.00, 0.00, 0.00, 0.00)),
    (15, (0.00, 0.28, 0.00, 0.00, 0.00, 0.00)),
)


def frequency_multiplier(per_minute: float, working: float, vertical: float) -> float:
    """FM [-] by table, linear between its rows; F below 0.2 counts as 0.2, and F above 15 gives 0.

    `per_minute` F [1/min], 0 to 60; `working` [s], how long one lifts without a long rest, 0 to 8 h; `vertical` V [m],
    0 to 3 m, of the hands at the ORIGIN of the lift, also for the weight limit at its destination.
    Source: NIOSH 94-110, table of frequency multipliers.
    """
    FREQUENCY.admit(per_minute=per_minute)
    WORKING.admit(working=working)
    REACH.admit(vertical=vertical)
    hours = working / 3600
    column = (0 if at_most(hours, 1) else 2 if at_most(hours, 2) else 4) + _is_high(vertical)
    rows = [(frequency, row[column]) for frequency, row in _FREQUENCIES]
    if at_most(per_minute, rows[0][0]):
        return rows[0][1]
    for (lower, first), (upper, second) in pairwise(rows):
        if at_most(per_minute, upper):
            return first + (second - first) * min(1.0, (per_minute - lower) / (upper - lower))
    return 0.0


def recommended_weight(
    lift: Lift, coupling: float = 1.0, frequency: float = 1.0, load_constant: float = LOAD_CONSTANT
) -> float:
    """Recommended weight limit at one end of a lift [kg]: RWL = LC·HM·VM·DM·AM·FM·CM.

    `lift` with the ranges of its multipliers; `coupling` CM and `frequency` FM [-], 0 to 1, from the functions of
    their names; `load_constant` LC [kg], 1 to 100 kg. Where the load has to be set down with care, work out the
    destination too: the lower of the two limits counts. Source: NIOSH 94-110.

    >>> round(recommended_weight(Lift(0.30, 0.70, 0.30), coupling_multiplier(Grip.POOR, 0.70)), 1)
    16.5
    """
    MULTIPLIER.admit(coupling=coupling, frequency=frequency)
    CONSTANT.admit(load_constant=load_constant)
    return math.prod(
        (
            load_constant,
            horizontal_multiplier(lift.horizontal),
            vertical_multiplier(lift.vertical),
            distance_multiplier(lift.distance),
            asymmetry_multiplier(lift.asymmetry),
            frequency,
            coupling,
        )
    )


def lifting_index(load: float, limit: float) -> float:
    """Lifting index [-]: LI = L / RWL; infinite where no weight at all is recommended.

    `load` L [kg], 1 g to 10 t; `limit` RWL [kg], 0 to 10 t. Source: NIOSH 94-110.
    """
    LIFTED.admit(load=load)
    MASS.admit(limit=limit)
    return load / limit if limit else math.inf


def _is_high(vertical: float) -> bool:
    return at_least(vertical, 0.75)
