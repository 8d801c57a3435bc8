"""How cold and how humid the surface of a wall gets in the room, and whether mould may grow on it (ISO 13788)."""

from dataclasses import dataclass
from typing import Final

from planlint.formulas.condensation import Air
from planlint.formulas.moisture import (
    saturation_pressure,
    surface_factor,
    surface_temperature,
    temperature_at_humidity,
)
from planlint.model.buildups import Lining
from planlint.model.rooms import Wall
from planlint.rule import Given
from planlint.sums.climate import LIMITS_OF_CLIMATE, conditions
from planlint.sums.section import alike, section
from planlint.sums.working import Lacking
from planlint.units import Ratio, Temperature

LIMITS_OF_SURFACE: Final = (*LIMITS_OF_CLIMATE, "surface_humidity")
_LEAST_DRIVE: Final = 0.1
"""K between inside and outside, below which nothing is cold."""


@dataclass(frozen=True, slots=True)
class Surface:
    """The surface of a wall in the room, in the cold period or in the month in which it is most humid."""

    temperature: Temperature
    humidity: Ratio
    """Of the air on it; not above 100 %, where water runs down."""
    allowed: Ratio
    least_temperature: Temperature
    """Colder than this, the air on it is more humid than that."""
    factor: float
    """fRsi: how much of the warmth of the room the surface keeps."""
    least_factor: float | None
    """The fRsi that it takes; None where it is as warm outside."""
    month: int | None
    """0 for January; None where one cold period stands for the year."""


def surface(wall: Wall, lining: Lining | None, given: Given) -> Surface | Lacking:
    """The surface of a wall that is lined so, or bare where that is None."""
    key = ("surface", alike(wall.base), wall.existing, lining, wall.room.climate)
    return given.once(key, lambda: _surface(wall, lining, given))


def _surface(wall: Wall, lining: Lining | None, given: Given) -> Surface | Lacking:
    try:
        found, climate = section(wall.base, wall.existing, lining), conditions(wall.room, given)
        if isinstance(found, Lacking):
            return found
        if isinstance(climate, Lacking):
            return climate
        resistance = climate.outer_surface + sum(one.resistance for one in found.strata) + climate.surface_for_mould
        factor = surface_factor(resistance, climate.surface_for_mould)
        airs: list[tuple[int | None, Air, Air]] = [(None, climate.inside.air, climate.outside.air)]
        if climate.months:
            airs = [(number, month.inside, month.outside) for number, month in enumerate(climate.months)]
        allowed = given.quantity("surface_humidity", Ratio)
        return max((_at(factor, allowed, *air) for air in airs), key=lambda one: one.humidity)
    except ValueError as error:
        return Lacking(str(error), ())


def _at(factor: float, allowed: Ratio, month: int | None, inside: Air, outside: Air) -> Surface:
    temperature = surface_temperature(inside.temperature, outside.temperature, factor)
    least = temperature_at_humidity(inside.vapour_pressure, allowed)
    drive = inside.temperature - outside.temperature
    return Surface(
        temperature=Temperature(temperature, "°C"),
        humidity=Ratio(min(1.0, inside.vapour_pressure / saturation_pressure(temperature)), "%"),
        allowed=allowed,
        least_temperature=Temperature(least, "°C"),
        factor=factor,
        least_factor=(least - outside.temperature) / drive if drive > _LEAST_DRIVE else None,
        month=month,
    )
