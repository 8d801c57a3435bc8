"""How long plaster, screed and coats of filler take to dry.

SI base units (K, m, s); relative humidity is a fraction. The one exception is the coefficient of the square rule, which
is written in d/cm². Each function refuses a value outside its range with a ValueError that names the argument and the
range. No function knows a material: its figures are handed in. A sum says when it is worth looking, not that it is dry.
"""

from typing import Final

from planlint.formulas.moisture import CELSIUS_ZERO, saturation_pressure
from planlint.formulas.ranges import Range

DAY: Final = 86_400.0

ROOM: Final = Range(0, 40, "°C", zero=CELSIUS_ZERO)
DRYING_HUMIDITY: Final = Range(0, 90, "%", 0.01)
"""Where the deficit of vapour pressure still says something: at 90 % it is half of what it is at 80 %."""
TIME: Final = Range(0, 3650, "d", DAY)
THICKNESS: Final = Range(0, 10_000, "mm", 1e-3)
RATE: Final = Range(0.001, 100, "mm/d", 1e-3 / DAY)
COEFFICIENT: Final = Range(0.001, 100, "d/cm²")


def drying_factor(temperature: float, humidity: float) -> float:
    """How fast things dry in a room, 1 at 20 °C and 50 % [-]: f = psat(θ)·(1 - φ) / (psat(20 °C)·0.5).

    `temperature` θ of the room [K], 0 to 40 °C; `humidity` φ [-], 0 to 0.9. Moving air dries faster, still air slower.
    Source: own decision, after the deficit of vapour pressure that drives evaporation (Dalton).

    >>> round(drying_factor(283.15, 0.7), 2)
    0.32
    """
    ROOM.admit(temperature=temperature)
    DRYING_HUMIDITY.admit(humidity=humidity)
    return saturation_pressure(temperature) * (1 - humidity) / (saturation_pressure(CELSIUS_ZERO + 20) * 0.5)


def coat_drying_time(
    temperature: float,
    humidity: float,
    reference_time: float,
    reference_temperature: float = CELSIUS_ZERO + 190 / 9,
    reference_humidity: float = 0.5,
) -> float:
    """How long a coat of filler takes to dry in the air of the room [s]: t = t0·f0/f, f and f0 by `drying_factor`.

    `temperature` [K], 0 to 40 °C, and `humidity` [-], 0 to 0.9, of the room; `reference_time` t0 [s], 0 to 3650 d, that
    the coat takes at `reference_temperature` [K] and `reference_humidity` [-] in the same bounds, 70 °F (21.1 °C) and
    0.5 unless the maker says otherwise. A table of the trade, from memory, is met within 10 % up to 70 % of humidity;
    at 80 and 90 % this is up to 25 % longer. Not for filler that sets.
    Source: own decision, after the deficit of vapour pressure.

    >>> coat_drying_time(283.15, 0.7, 17 * 3600) / 3600 > 48
    True
    """
    TIME.admit(reference_time=reference_time)
    ROOM.admit(reference_temperature=reference_temperature)
    DRYING_HUMIDITY.admit(reference_humidity=reference_humidity)
    return (
        reference_time * drying_factor(reference_temperature, reference_humidity) / drying_factor(temperature, humidity)
    )


def layer_drying_time(thickness: float, rate: float, depth: float, later_rate: float) -> float:
    """How long a screed or a plaster takes that dries to one side [s]: t = min(d, d1)/v1 + max(0, d - d1)/v2.

    `thickness` d [m], 0 to 10 m; down to `depth` d1 [m], 0 to 10 m, it dries at `rate` v1 [m/s], and what lies deeper
    at `later_rate` v2 [m/s], each 0.001 to 100 mm a day. At about 20 °C, aired; divide by `drying_factor` for another
    room.
    Source: BS 8203 and BS 8204 for screeds (from memory); common practice for plaster.

    >>> mm, day = 1e-3, 86400
    >>> round(layer_drying_time(65 * mm, 1 * mm / day, 50 * mm, 0.5 * mm / day) / day)
    80
    """
    THICKNESS.admit(thickness=thickness, depth=depth)
    RATE.admit(rate=rate, later_rate=later_rate)
    return min(thickness, depth) / rate + max(0.0, thickness - depth) / later_rate


def square_drying_time(thickness: float, coefficient: float) -> float:
    """How long a wall takes to dry that was wet all through [s]: t = s·d², d in cm, t in days.

    `thickness` d [m], 0 to 10 m; `coefficient` s [d/cm²] of the material, 0.001 to 100. Source: textbook rule,
    from memory; for 380 mm of brick it agrees with the rule of an inch a month.

    >>> round(square_drying_time(0.38, 0.28) / 86400)
    404
    """
    THICKNESS.admit(thickness=thickness)
    COEFFICIENT.admit(coefficient=coefficient)
    return coefficient * (100 * thickness) ** 2 * DAY
