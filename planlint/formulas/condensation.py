"""Condensation inside a wall by the method of Glaser: for one cold period, and month by month.

Heat and vapour pass the layers steadily, from still air to still air; water condenses where the line of vapour pressure
touches saturation (`vapour_line`). The method knows no rain, no rising or stored water, no capillary flow, no air that
leaks through and no salts: its result says nothing good of a wall that is wet.

SI base units (K, Pa, m, m²·K/W, s, kg/m²), humidity as a fraction; `slabs` are always from outside to inside. What is
out of range is refused with a ValueError. Sources: ISO 13788 and DIN 4108-3, as public extracts retell them, or from
memory.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Final, NamedTuple

from planlint.formulas.moisture import HUMIDITY, PRESSURE, TEMPERATURE, saturation_pressure, vapour_pressure
from planlint.formulas.ranges import Range
from planlint.formulas.vapour_line import AIR_PERMEABILITY, Point, VapourLine

FINEST: Final = 0.25
"""Greatest thermal resistance [m²·K/W] across which the curve of saturation is taken as straight (ISO 13788)."""
MONTHS: Final = 12

SLAB_RESISTANCE: Final = Range(0, 100, "m²·K/W")
SLAB_VAPOUR: Final = Range(0.0001, 100_000, "m")
SURFACE: Final = Range(0, 1, "m²·K/W")
DURATION: Final = Range(1, 366, "d", 86_400)

_DRY: Final = 1e-9
"""Mass below this [kg/m²] is none."""


@dataclass(frozen=True, slots=True)
class Slab:
    """A layer, or a film: it holds up heat and vapour, and stores neither."""

    resistance: float
    """Thermal [m²·K/W], 0 (a film) to 100."""
    vapour_thickness: float
    """sd [m], 0.1 mm to 100 km; an air layer's is 0.01 m (ISO 13788)."""

    def __post_init__(self) -> None:
        SLAB_RESISTANCE.admit(resistance=self.resistance)
        SLAB_VAPOUR.admit(vapour_thickness=self.vapour_thickness)


@dataclass(frozen=True, slots=True)
class Air:
    """The air on one side."""

    temperature: float
    """[K], -40 to 80 °C"""
    humidity: float
    """Relative [-], 0 to 1; below 0 °C over ice."""

    def __post_init__(self) -> None:
        TEMPERATURE.admit(temperature=self.temperature)
        HUMIDITY.admit(humidity=self.humidity)

    @property
    def vapour_pressure(self) -> float:
        """Pressure of its vapour [Pa]."""
        return vapour_pressure(self.temperature, self.humidity)


@dataclass(frozen=True, slots=True)
class Face:
    """The outer surface, or the inner face of a slab, under steady conditions."""

    index: int
    """0 is the outer surface, k the inner face of slab k - 1, the last one the surface to the room."""
    depth_sd: float
    """[m] of sd from outside"""
    temperature: float
    saturation: float
    """Saturation pressure there [Pa]"""
    pressure: float
    """Vapour pressure there [Pa], nowhere above saturation"""

    @property
    def humidity(self) -> float:
        """Relative humidity there [-]; 1 at a plane, and at a surface on which dew forms."""
        return self.pressure / self.saturation


@dataclass(frozen=True, slots=True)
class Plane:
    """Where water condenses or stands."""

    slab: int
    """The slab at whose inner face it lies, or inside which it lies; counted from 0 outside."""
    share: float
    """How far through that slab it lies: 1 at its inner face."""
    depth_sd: float
    """[m] of sd from outside"""
    temperature: float
    rate: float
    """What condenses [kg/(m²·s)]; negative where water that stands there dries."""

    @property
    def at_face(self) -> bool:
        """Whether it lies at the inner face of the slab, which is face slab + 1, rather than inside the slab."""
        return self.share == 1


@dataclass(frozen=True, slots=True)
class Profile:
    """A wall under steady conditions."""

    resistance: float
    """From air to air [m²·K/W]"""
    heat_flow: float
    """From the room outwards [W/m²]"""
    faces: tuple[Face, ...]
    planes: tuple[Plane, ...]

    @property
    def transmittance(self) -> float:
        """U [W/(m²·K)]."""
        return 1 / self.resistance


@dataclass(frozen=True, slots=True)
class Condensate:
    """Water at a plane."""

    plane: Plane
    mass: float
    """[kg/m²]"""


class Month(NamedTuple):
    """The climate of one month."""

    inside: Air
    outside: Air
    duration: float
    """[s], as the calendar has it"""


@dataclass(frozen=True, slots=True)
class MonthEnd:
    """What stands in the wall when a month is over."""

    condensate: tuple[Condensate, ...]
    """Planes as they were when the month ended: temperature and rate are of that month."""

    @property
    def mass(self) -> float:
        """At all planes together [kg/m²]."""
        return math.fsum(own.mass for own in self.condensate)


@dataclass(frozen=True, slots=True)
class Year:
    """A wall through twelve months."""

    months: tuple[MonthEnd, ...]
    """In the order in which they were given"""
    peak: float
    """The most that stands at the end of a month, at all planes together [kg/m²]; where the wall does not dry out, it
    grows from year to year"""
    peak_month: int | None
    """Which month that is, counted from 0; None where nothing condenses"""
    start: int | None
    """The month in which the account begins: water condenses in it, and none did in the month before"""
    dries_out: bool
    """Whether at the end of some month no water stands anywhere"""


def profile(slabs: Sequence[Slab], inside: Air, outside: Air, rsi: float, rse: float) -> Profile:
    """Temperatures, vapour pressures and planes of condensation of a wall under steady conditions.

    θ rises with R from air to air, q = (θi - θe)/R; the vapour pressure is the lower convex hull over sd; at a plane
    g = δ0·(slope inside - slope outside). Slabs with R above 0.25 m²·K/W are divided for the curve of saturation, so
    that planes may lie inside them. `slabs`, at least one; `inside` and `outside` air; surfaces `rsi`, 0.01 to 1, and
    `rse`, 0 to 1 m²·K/W. Where a surface is colder than the dew point of the air before it, the vapour pressure there
    is saturation: dew on a surface is seen, and is not counted here. Source: ISO 13788; ISO 6946.
    """
    line = _vapour_line(slabs, inside, outside, rsi, rse)
    resistance = _resistance(slabs, rsi, rse)
    return Profile(
        resistance,
        (inside.temperature - outside.temperature) / resistance,
        tuple(
            Face(point.slab + 1, point.depth_sd, point.temperature, point.saturation, pressure)
            for point, pressure in zip(line.points, line.pressures(), strict=True)
            if point.share == 1
        ),
        tuple(_plane(line, index, rate) for index, rate in line.rates().items()),
    )


def wetting(  # noqa: PLR0913, PLR0917 - a period of the check is named by these six, as `profile` is by its five
    slabs: Sequence[Slab], inside: Air, outside: Air, rsi: float, rse: float, duration: float
) -> tuple[Condensate, ...]:
    """Water that condenses in one period at each plane [kg/m²]: Mc = g·t.

    `slabs`, `inside`, `outside`, `rsi` and `rse` as `profile` takes them; `duration` t [s], 1 to 366 d.
    Source: DIN 4108-3.
    """
    DURATION.admit(duration=duration)
    planes = profile(slabs, inside, outside, rsi, rse).planes
    return tuple(Condensate(plane, plane.rate * duration) for plane in planes)


def drying(
    slabs: Sequence[Slab],
    condensate: Sequence[Condensate],
    pressure_at_plane: float,
    pressure_both_sides: float,
    duration: float,
) -> tuple[float, ...]:
    """Water that can leave each plane in one period [kg/m²]: Mev = δ0·(p - pa)·(1/x + 1/(S - x))·t.

    S is the sd of the `slabs`, which may be others than those that got wet (with their sd when dry); `condensate` from
    outside to inside, x the sd of the slabs outside its plane; `pressure_at_plane` p [Pa], above `pressure_both_sides`
    pa [Pa], 0 to 50,000, by 1 Pa or more; `duration` t [s], 1 to 366 d.
    Of several planes the outermost dries outwards and the innermost to the room, what lies between waits, and a plane
    that is dry no longer shields the next one. The last wet plane counts with all that could leave it, those before it
    with what they held: the wall dries where the sum is not below that of the condensate.
    Source: DIN 4108-3 (2014: 1200 Pa on both sides, 1700 Pa at the plane of a wall and 2000 Pa of a roof, 90 d; partly
    from memory); the order among several planes follows from the same law, our own decision.
    """
    PRESSURE.admit(pressure_both_sides=pressure_both_sides)
    Range(pressure_both_sides + 1, PRESSURE.most, "Pa").admit(pressure_at_plane=pressure_at_plane)
    DURATION.admit(duration=duration)
    whole = _sd(slabs)
    depths = [
        sum(slab.vapour_thickness for slab in slabs[: plane.slab])
        + plane.share * sum(slab.vapour_thickness for slab in slabs[plane.slab : plane.slab + 1])
        for plane in (own.plane for own in condensate)
    ]
    if not all(outer < inner for outer, inner in pairwise((0, *depths, whole))):
        raise ValueError("condensate has to lie inside the slabs, and from outside to inside")
    flow = AIR_PERMEABILITY * (pressure_at_plane - pressure_both_sides)
    wet = list(zip(depths, (own.mass for own in condensate), strict=True))
    gone = [0.0] * len(wet)
    first, last = 0, len(wet) - 1
    while first < last and duration > 0:
        outwards, inwards = flow / wet[first][0], flow / (whole - wet[last][0])
        first_dry = (wet[first][1] - gone[first]) / outwards
        last_dry = (wet[last][1] - gone[last]) / inwards
        step = min(duration, first_dry, last_dry)
        gone[first] = wet[first][1] if step == first_dry else gone[first] + outwards * step
        gone[last] = wet[last][1] if step == last_dry else gone[last] + inwards * step
        first, last = first + (step == first_dry), last - (step == last_dry)
        duration -= step
    if first == last:
        depth, _ = wet[first]
        gone[first] += flow * (1 / depth + 1 / (whole - depth)) * duration
    return tuple(gone)


def by_month(slabs: Sequence[Slab], months: Sequence[Month], rsi: float, rse: float) -> Year:
    """Water in a wall through a year, month by month: m is the sum of g·t.

    In each month the line of vapour pressure is held at saturation wherever water stands, and drawn as in `profile`
    elsewhere. A plane that dries within the month is let go at that moment. The account begins dry, in a month in which
    water condenses and none did in the month before; where there are several such months, with the one that leads to
    the greatest peak; where water condenses in all twelve, with the first. `slabs`, `rsi`, `rse` as in `profile`;
    `months` twelve, in order, each with the air on both sides and its duration [s], 1 to 366 d.
    Source: ISO 13788 (from memory); letting go of planes one by one within a month is our own decision.
    """
    if len(months) != MONTHS:
        raise ValueError(f"months is {len(months)} of them, and has to be {MONTHS}")
    DURATION.admit(**{f"duration of month {number}": month.duration for number, month in enumerate(months, 1)})
    lines = [_vapour_line(slabs, month.inside, month.outside, rsi, rse) for month in months]
    condenses = [bool(line.rates()) for line in lines]
    if not any(condenses):
        return Year((MonthEnd(()),) * MONTHS, 0.0, None, None, dries_out=True)
    starts = [number for number in range(MONTHS) if condenses[number] and not condenses[number - 1]]
    years = [_year(lines, months, start) for start in starts or [0]]
    # Of seasons that each dry out the one that leads straight to the peak.
    return max(years, key=lambda year: (year.peak, -(((year.peak_month or 0) - (year.start or 0)) % MONTHS)))


def _year(lines: Sequence[VapourLine], months: Sequence[Month], start: int) -> Year:
    ends: dict[int, MonthEnd] = {}
    masses: dict[int, float] = {}
    for number in (*range(start, MONTHS), *range(start)):
        line = lines[number]
        masses, rates = _through_month(line, masses, months[number].duration)
        ends[number] = MonthEnd(
            tuple(Condensate(_plane(line, index, rates[index]), mass) for index, mass in masses.items())
        )
    peak_month = max(ends, key=lambda number: ends[number].mass)
    return Year(
        tuple(ends[number] for number in range(MONTHS)),
        ends[peak_month].mass,
        peak_month,
        start,
        dries_out=not all(end.condensate for end in ends.values()),
    )


def _through_month(
    line: VapourLine, masses: dict[int, float], left: float
) -> tuple[dict[int, float], dict[int, float]]:
    """Water at each point after a month of `left` seconds that began with `masses`, and the rates when it ended."""
    rates: dict[int, float] = {}
    while left > 0 and (rates := line.rates(masses)):
        step = min(left, *(masses[index] / -rate for index, rate in rates.items() if rate < 0), left)
        reached = {index: masses.get(index, 0.0) + rate * step for index, rate in rates.items()}
        masses = {index: mass for index, mass in reached.items() if mass > _DRY}
        left -= step
    return masses, rates


def _vapour_line(slabs: Sequence[Slab], inside: Air, outside: Air, rsi: float, rse: float) -> VapourLine:
    _sd(slabs)
    flow = (inside.temperature - outside.temperature) / _resistance(slabs, rsi, rse)

    def point(slab: int, share: float, resistance: float, depth_sd: float) -> Point:
        temperature = outside.temperature + flow * resistance
        return Point(slab, share, depth_sd, temperature, saturation_pressure(temperature))

    resistance, depth = rse, 0.0
    points = [point(-1, 1.0, resistance, depth)]
    for number, slab in enumerate(slabs):
        parts = max(1, math.ceil(slab.resistance / FINEST))
        for share in (part / parts for part in range(1, parts + 1)):
            through = resistance + slab.resistance * share
            points.append(point(number, share, through, depth + slab.vapour_thickness * share))
        resistance += slab.resistance
        depth += slab.vapour_thickness
    return VapourLine(
        points,
        min(outside.vapour_pressure, points[0].saturation),
        min(inside.vapour_pressure, points[-1].saturation),
    )


def _plane(line: VapourLine, index: int, rate: float) -> Plane:
    point = line.points[index]
    return Plane(point.slab, point.share, point.depth_sd, point.temperature, rate)


def _resistance(slabs: Sequence[Slab], rsi: float, rse: float) -> float:
    Range(0.01, SURFACE.most, SURFACE.unit).admit(rsi=rsi)
    SURFACE.admit(rse=rse)
    return rse + sum(slab.resistance for slab in slabs) + rsi


def _sd(slabs: Sequence[Slab]) -> float:
    if not slabs:
        raise ValueError("slabs is empty, and has to hold at least one slab")
    return sum(slab.vapour_thickness for slab in slabs)
