"""The air on both sides of a wall, as a plan gives it."""

from dataclasses import dataclass

from planlint.units import Ratio, Temperature


@dataclass(frozen=True, slots=True)
class Air:
    """Air of some temperature and relative humidity, as far as they are given."""

    temperature: Temperature | None
    humidity: Ratio | None


NO_AIR = Air(None, None)


@dataclass(frozen=True, slots=True)
class Month:
    """The monthly means inside and outside."""

    inside: Air
    outside: Air


@dataclass(frozen=True, slots=True)
class Climate:
    """What a plan says of the climate; what it leaves out is taken from the limit set."""

    inside: Air
    outside: Air
    months: tuple[Month, ...]
    """January first; empty where one check period stands for the year."""
