"""Elastic joints: how far a wall moves, how wide its joint has to be, and what fills it.

All values are in SI base units (m, m³, K; a change of relative humidity as a share, 30 points are 0.30), except the
class of a sealant, which is a plain number of percent. Each function refuses a value outside its range with a
ValueError that names the argument and the range; the ranges are our own decision, there to catch a wrong unit.
"""

from typing import Final

from planlint.formulas.counting import whole_above
from planlint.formulas.ranges import Range

PER_HUMIDITY: Final = 7.2e-6 * 100
"""Strain of gypsum board from 0 to 100 % relative humidity [-]; gypsum association data, from memory."""
PER_KELVIN: Final = 16e-6
"""Strain of gypsum board for each kelvin [1/K]; gypsum association data, from memory."""
CARTRIDGE: Final = 310e-6
"""What a usual cartridge holds [m³]."""

LENGTH: Final = Range(0, 1000, "m")
FILLED: Final = Range(0, 10_000, "m")
HUMIDITY: Final = Range(0, 100, "%", 0.01)
KELVINS: Final = Range(0, 100, "K")
MOVEMENT: Final = Range(0, 1000, "mm", 1e-3)
WIDTH: Final = Range(0.1, 200, "mm", 1e-3)
CLASS: Final = Range(1, 100, "%")
VOLUME: Final = Range(0, 10_000, "l", 1e-3)
CARTRIDGES: Final = Range(1, 10_000, "ml", 1e-6)
WASTE: Final = Range(0, 100, "%", 0.01)


def movement(length: float, humidity_change: float, temperature_change: float) -> float:
    """How much longer or shorter a lined wall gets [m]: ΔL = L·(7.2e-6·ΔRH + 16e-6·ΔT), ΔRH in percent.

    `length` L [m], 0 to 1000 m; `humidity_change` ΔRH [-], 0 to 1 (0.30 where it swings by 30 % RH);
    `temperature_change` ΔT [K], 0 to 100 K. Source: gypsum association data, from memory.

    >>> round(1000 * movement(10, 0.30, 0), 2), round(1000 * movement(10, 0, 20), 2)
    (2.16, 3.2)
    """
    LENGTH.admit(length=length)
    HUMIDITY.admit(humidity_change=humidity_change)
    KELVINS.admit(temperature_change=temperature_change)
    return length * (PER_HUMIDITY * humidity_change + PER_KELVIN * temperature_change)


def movement_taken(width: float, movement_class: float) -> float:
    """Movement each way that a joint can take [m]: w·class/100.

    `width` w [m], 0.1 to 200 mm; `movement_class` [%], 1 to 100, such as 12.5. Source: ISO 11600, where the number of
    the class is the movement in percent of the joint's width, as a handbook quotes it.
    """
    WIDTH.admit(width=width)
    CLASS.admit(movement_class=movement_class)
    return width * movement_class / 100


def joint_width(moves: float, movement_class: float) -> float:
    """Width that a joint needs [m]: w = 100·movement/class.

    `moves` [m], the movement each way, 0 to 1000 mm; `movement_class` [%], 1 to 100. Source: ISO 11600, as in
    `movement_taken`.
    """
    MOVEMENT.admit(moves=moves)
    CLASS.admit(movement_class=movement_class)
    return 100 * moves / movement_class


def usual_depth(width: float) -> float:
    """Depth of sealant that suits a joint of a width [m]: d = w up to 12 mm, else half of it, and 12 mm at least.

    Thin against its width, sealant stretches instead of tearing. `width` w [m], 0.1 to 200 mm.
    Source: US forest products handbook (no deeper than wide up to 1/2 in); a trade page (then 2 to 1). That a wider
    joint is not filled less deep than a narrower one is our own decision.
    """
    WIDTH.admit(width=width)
    return max(min(width, 0.012), width / 2)


def joint_volume(length: float, width: float, depth: float, *, is_fillet: bool = False) -> float:
    """Sealant in a joint [m³]: V = L·w·d; half of it for a triangular fillet.

    `length` L [m], 0 to 10 km; `width` w and `depth` d [m], 0.1 to 200 mm. Source: geometry.
    """
    FILLED.admit(length=length)
    WIDTH.admit(width=width, depth=depth)
    return length * width * depth / (2 if is_fillet else 1)


def cartridges(volume: float, waste: float = 0.10, cartridge: float = CARTRIDGE) -> int:
    """How many cartridges to buy: n = ⌈V·(1 + waste)/content⌉.

    `volume` V [m³], 0 to 10,000 l; `waste` [-], 0 to 1; `cartridge`, its content [m³], 1 to 10,000 ml.
    Source: common practice (10 to 15 % are lost in nozzle and tooling; 310 ml is a usual content).

    >>> cartridges(joint_volume(12, 5e-3, 5e-3))
    2
    """
    VOLUME.admit(volume=volume)
    WASTE.admit(waste=waste)
    CARTRIDGES.admit(cartridge=cartridge)
    return whole_above(volume * (1 + waste) / cartridge)
