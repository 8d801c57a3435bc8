"""Which air a wall is checked with: the plan's, the room's own, or the limit set's; for one cold period or by month."""

from calendar import monthrange
from dataclasses import dataclass
from typing import Final

from planlint.formulas.condensation import Air, Month
from planlint.model import climate as written
from planlint.model.rooms import Room
from planlint.rule import Given
from planlint.sums.working import Lacking
from planlint.units import Duration, Pressure, Ratio, Temperature, ThermalResistance

LIMITS_OF_CLIMATE: Final = (
    "check_inside_temperature",
    "check_inside_humidity",
    "check_outside_temperature",
    "check_outside_humidity",
    "check_period",
    "drying_period",
    "drying_air_pressure",
    "drying_plane_pressure",
    "check_surface_resistance",
    "inside_surface_resistance",
    "outside_surface_resistance",
)
COMMON_YEAR: Final = 2001
"""Any year without a 29 February."""
DAY: Final = 86_400.0
MONTHS: Final = (
    *("January", "February", "March", "April", "May", "June"),
    *("July", "August", "September", "October", "November", "December"),
)


@dataclass(frozen=True, slots=True)
class Drying:
    """The warm period in which a wall may dry, where one cold period stands for the year."""

    period: Duration
    air: Pressure
    """The vapour pressure on both sides."""
    plane: Pressure
    """The vapour pressure where the wall is wet."""


@dataclass(frozen=True, slots=True)
class Conditions:
    """The air on both sides of a wall, and what its surfaces hold back."""

    inside: "Side"
    outside: "Side"
    """Of the cold period; where there are months, of the coldest of them."""
    period: Duration
    """How long the cold period is; where there are months, the coldest of them."""
    months: tuple[Month, ...]
    """January first; empty where one cold period stands for the year."""
    drying: Drying
    surface: ThermalResistance
    """What the surface in the room holds back in this check (Rsi)."""
    surface_for_mould: ThermalResistance
    surface_for_heat: ThermalResistance
    outer_surface: ThermalResistance

    @property
    def words(self) -> str:
        """The climate in words."""
        when = f"for {self.period}" if not self.months else "in the coldest of the twelve months"
        return f"{self.inside.words} inside and {self.outside.words} outside, {when}"


@dataclass(frozen=True, slots=True)
class Side:
    """The air on one side, in the plan's units."""

    temperature: Temperature
    humidity: Ratio
    from_limits: bool
    """Whether the limit set gives some of it, since the plan does not."""

    @property
    def air(self) -> Air:
        """The same for a formula; raises ValueError where it is out of range."""
        return Air(self.temperature, self.humidity)

    @property
    def words(self) -> str:
        """The air in words."""
        return f"{self.temperature} and {self.humidity}"


def conditions(room: Room, given: Given) -> Conditions | Lacking:
    """The air that the walls of a room meet; lacking where a month is given without its air outside."""
    climate = room.climate
    inside, outside = _side(climate.inside, "inside", given), _side(climate.outside, "outside", given)
    period = given.quantity("check_period", Duration)
    months: tuple[Month, ...] = ()
    if climate.months:
        missing = [
            f"climate.months.{number}.outside.{key}"
            for number, month in enumerate(climate.months, 1)
            for key in ("temperature", "humidity")
            if getattr(month.outside, key) is None
        ]
        if missing:
            return Lacking("the air outside in each of the twelve months", tuple(missing))
        sides = [(_over(month.inside, inside), _over(month.outside, outside)) for month in climate.months]
        lasts = [Duration(monthrange(COMMON_YEAR, number)[1] * DAY, "day") for number in range(1, len(sides) + 1)]
        months = tuple(Month(own[0].air, own[1].air, last) for own, last in zip(sides, lasts, strict=True))
        coldest = min(range(len(sides)), key=lambda number: sides[number][1].temperature)
        (inside, outside), period = sides[coldest], lasts[coldest]
    return Conditions(
        inside=inside,
        outside=outside,
        period=period,
        months=months,
        drying=Drying(
            given.quantity("drying_period", Duration),
            given.quantity("drying_air_pressure", Pressure),
            given.quantity("drying_plane_pressure", Pressure),
        ),
        surface=given.quantity(
            "inside_surface_resistance" if months else "check_surface_resistance", ThermalResistance
        ),
        surface_for_mould=given.quantity("check_surface_resistance", ThermalResistance),
        surface_for_heat=given.quantity("inside_surface_resistance", ThermalResistance),
        outer_surface=given.quantity("outside_surface_resistance", ThermalResistance),
    )


def _side(air: written.Air, side: str, given: Given) -> Side:
    temperature, humidity = air.temperature, air.humidity
    return Side(
        given.quantity(f"check_{side}_temperature", Temperature) if temperature is None else temperature,
        given.quantity(f"check_{side}_humidity", Ratio) if humidity is None else humidity,
        from_limits=temperature is None or humidity is None,
    )


def _over(air: written.Air, side: Side) -> Side:
    """A month's air, with what it leaves out taken from the air of the whole year."""
    if air.temperature is not None and air.humidity is not None:
        return Side(air.temperature, air.humidity, from_limits=False)
    return Side(
        side.temperature if air.temperature is None else air.temperature,
        side.humidity if air.humidity is None else air.humidity,
        from_limits=side.from_limits,
    )
