"""What condenses inside a wall, whether it dries, and what that does to the timber in it (method of Glaser).

Where a material has two vapour resistance factors, each place between two layers is tried as the one where water may
stand, with the larger factor outside of it and the smaller one towards the room; the trial that comes out worst
counts. Drying in the warm period is reckoned with the larger ones throughout; a check month by month keeps those of
its trial.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Final

from planlint.formulas.condensation import Condensate, Plane, Profile, Slab, Year, by_month, drying, profile
from planlint.formulas.moisture import WOOD_TEMPERATURE, moisture_gain, wood_moisture
from planlint.model.rooms import Wall
from planlint.rule import Given
from planlint.sums.climate import LIMITS_OF_CLIMATE, Conditions, conditions
from planlint.sums.section import Section, Stratum, alike, section
from planlint.sums.working import Lacking
from planlint.units import (
    Length,
    Ratio,
    SurfaceMass,
    Temperature,
    at_least,
    at_most,
    contrast,
    show,
)

LIMITS_OF_CONDENSATION: Final = (
    *LIMITS_OF_CLIMATE,
    "condensate",
    "condensate_on_tight_face",
    "condensate_timber_sheet",
    "condensate_solid_timber",
)
LEFT_OUT: Final = "rain, rising damp, air leaks and salts"
"""What the method does not see."""


@dataclass(frozen=True, slots=True)
class Water:
    """What condenses at one plane: in the cold period, or at its most at the end of a month."""

    plane: Plane
    mass: SurfaceMass
    on_tight_face: bool
    """Whether a layer there takes up no water, or is not known to."""
    allowed: SurfaceMass


@dataclass(frozen=True, slots=True)
class Gain:
    """By how much a layer of wood gets moister that takes up all the water on its faces."""

    words: str
    moisture: Ratio
    allowed: Ratio


@dataclass(frozen=True, slots=True)
class Spot:
    """Timber at one face of the wall, and the moisture that it comes to there."""

    words: str
    face: int
    temperature: Temperature
    humidity: Ratio
    moisture: Ratio
    month: int | None
    """The month in which it is wettest, 0 for January; None where one cold period stands for the year."""


@dataclass(frozen=True, slots=True)
class Flaw:
    """One thing that is wrong; `says` holds `{measured}` and `{allowed}` as a message of a rule does."""

    says: str
    measured: SurfaceMass | Ratio
    allowed: SurfaceMass | Ratio | None

    @property
    def text(self) -> str:
        """The flaw with its figures."""
        shown = (show(self.measured), "") if self.allowed is None else contrast(self.measured, self.allowed)
        return self.says.replace("{measured}", shown[0]).replace("{allowed}", shown[1])

    @property
    def gravity(self) -> float:
        """How many times over what is allowed."""
        return self.measured / self.allowed if self.allowed else float("inf")


@dataclass(frozen=True, slots=True)
class Row:
    """A layer in a table, with what holds at its inner face; the first row of a table is the outer surface."""

    words: str
    stratum: Stratum | None
    sd: Length | None
    """What it is reckoned with."""
    temperature: Temperature
    saturation: float
    """[Pa]"""
    pressure: float
    """[Pa]"""
    humidity: Ratio


@dataclass(frozen=True)
class Condensation:
    """A wall in the climate of its check."""

    section: Section
    conditions: Conditions
    slabs: tuple[Slab, ...]
    """Its layers as they are reckoned with, in the trial that came out worst."""
    profile: Profile
    """In the cold period, or in the coldest month."""
    year: Year | None
    """None where one cold period stands for the year."""
    water: tuple[Water, ...]
    """From outside to inside; empty where nothing condenses."""
    total: SurfaceMass
    """The most that stands in the wall, at all planes together."""
    allowed: SurfaceMass
    evaporates: SurfaceMass | None
    """What can dry in the warm period; None month by month, or where nothing condenses."""
    dries: bool
    gains: tuple[Gain, ...]
    """Of each layer of wood on whose faces water stands."""
    timber: tuple[Spot, ...]
    """Every piece of timber at its wettest face, the wettest first; over all trials."""

    @property
    def transmittance(self) -> float:
        """U of the wall [W/(m²·K)], with the surface resistances of ISO 6946."""
        layers = sum(stratum.resistance for stratum in self.section.strata)
        return 1 / (layers + self.conditions.surface_for_heat + self.conditions.outer_surface)

    def where(self, water: Water) -> str:
        """Where water stands, in words."""
        return self.section.where(water.plane.slab, at_face=water.plane.at_face)

    @property
    def rows(self) -> tuple[Row, ...]:
        """The table of layers: the outer surface, then each layer with its inner face."""
        faces = self.profile.faces
        strata = (None, *self.section.strata)
        sds = (None, *(Length(slab.vapour_thickness, "m") for slab in self.slabs))
        return tuple(
            Row(
                words=stratum.words if stratum else "outer surface",
                stratum=stratum,
                sd=sd,
                temperature=Temperature(face.temperature, "°C"),
                saturation=face.saturation,
                pressure=face.pressure,
                humidity=Ratio(face.humidity, "%"),
            )
            for stratum, sd, face in zip(strata, sds, faces, strict=True)
        )

    @cached_property
    def flaws(self) -> tuple[Flaw, ...]:
        """What is wrong, the gravest first; empty where the wall keeps to the limits."""
        return tuple(sorted(self._flaws(), key=lambda flaw: -flaw.gravity))

    @property
    def is_within_limits(self) -> bool:
        """Whether no more condenses than may, all of it dries, and no wood gets too moist by it."""
        return self.dries and at_most(self.excess, 1)

    @property
    def excess(self) -> float:
        """The greatest of what condenses, or is taken up, as a share of what is allowed; 0 where nothing condenses."""
        figures: list[tuple[float, float]] = [(self.total, self.allowed)]
        figures += [(water.mass, water.allowed) for water in self.water]
        figures += [(gain.moisture, gain.allowed) for gain in self.gains]
        return max((_share(measured, allowed) for measured, allowed in figures), default=0.0)

    def _flaws(self) -> Iterator[Flaw]:
        if not self.water:
            return
        wettest = max(self.water, key=lambda water: water.mass)
        when = f"in {self.conditions.period}" if self.year is None else "at the worst end of a month"
        if not at_most(self.total, self.allowed):
            says = f"{{measured}} of water would condense {self.where(wettest)} {when}, and at most {{allowed}} may"
            yield Flaw(says, self.total, self.allowed)
        tight = max((one for one in self.water if one.on_tight_face), key=lambda one: one.mass, default=None)
        if tight and not at_most(tight.mass, tight.allowed):
            says = (
                f"{{measured}} of water would condense {self.where(tight)} {when}, on a face that takes up none, and "
                "at most {allowed} may"
            )
            yield Flaw(says, tight.mass, tight.allowed)
        for gain in self.gains:
            if not at_most(gain.moisture, gain.allowed):
                says = (
                    f"the {gain.words} would take up the water that condenses on it: its moisture would rise by "
                    "{measured} of its dry mass, and it may rise by {allowed}"
                )
                yield Flaw(says, gain.moisture, gain.allowed)
        if not self.dries and self.evaporates is not None:
            says = (
                f"{{measured}} of water would condense {self.where(wettest)}, and no more than {{allowed}} can dry out"
            )
            yield Flaw(says, self.total, self.evaporates)
        elif not self.dries:
            yield Flaw(f"water would stand {self.where(wettest)} all year, {{measured}} at its peak", self.total, None)


def condensation(wall: Wall, given: Given) -> Condensation | Lacking:
    """What condenses in a wall with its lining, or as it stands where it has none."""
    key = ("condensation", alike(wall.base), wall.existing, wall.lining, wall.room.climate)
    return given.once(key, lambda: _condensation(wall, given))


def _condensation(wall: Wall, given: Given) -> Condensation | Lacking:
    try:
        found, climate = section(wall.base, wall.existing, wall.lining), conditions(wall.room, given)
        if isinstance(found, Lacking):
            return found
        return climate if isinstance(climate, Lacking) else reckoned(found, climate, given)
    except ValueError as error:
        return Lacking(str(error), ())


def reckoned(found: Section, climate: Conditions, given: Given) -> Condensation:
    """What condenses in a wall whose layers and climate are known; ValueError where a figure is out of range."""
    trials = [_trial(found, slabs, climate, given) for slabs in _arrangements(found.strata)]
    worst = max(trials, key=lambda trial: (not trial.is_within_limits, not trial.dries, trial.excess))
    return replace(worst, timber=_wettest([spot for trial in trials for spot in trial.timber]))


def _arrangements(strata: tuple[Stratum, ...]) -> list[tuple[Slab, ...]]:
    """The layers as slabs, once for each place where water may stand: high sd outside of it, low sd inside."""
    places = range(1, max(len(strata), 2))
    return list(
        dict.fromkeys(
            tuple(Slab(one.resistance, one.sd[index < place]) for index, one in enumerate(strata)) for place in places
        )
    )


def _trial(found: Section, slabs: tuple[Slab, ...], climate: Conditions, given: Given) -> Condensation:
    surfaces = climate.surface, climate.outer_surface
    cold = profile(slabs, climate.inside.air, climate.outside.air, *surfaces)
    year, evaporates = None, None
    if climate.months:
        year = by_month(slabs, climate.months, *surfaces)
        condensate, total, dries = _at_most_wet(year), year.peak, year.dries_out
    else:
        condensate = [Condensate(plane, plane.rate * climate.period) for plane in cold.planes]
        total, dries = sum(own.mass for own in condensate), True
        if condensate:
            dry = [Slab(one.resistance, one.sd[1]) for one in found.strata]
            warm = climate.drying
            evaporates = SurfaceMass(sum(drying(dry, condensate, warm.plane, warm.air, warm.period)), "kg/m²")
            dries = at_least(evaporates, total)
    water = tuple(_water(own, found.strata, given) for own in condensate)
    return Condensation(
        section=found,
        conditions=climate,
        slabs=slabs,
        profile=cold,
        year=year,
        water=water,
        total=SurfaceMass(total, "kg/m²"),
        allowed=given.quantity("condensate", SurfaceMass),
        evaporates=evaporates,
        dries=dries,
        gains=tuple(_gains(found.strata, water, given)),
        timber=tuple(_spots(found, slabs, cold, climate)),
    )


def _at_most_wet(year: Year) -> list[Condensate]:
    """What stands at each plane at the end of the month in which it is most, from outside to inside."""
    most: dict[tuple[int, float], Condensate] = {}
    for own in (own for end in year.months for own in end.condensate):
        place = own.plane.slab, own.plane.share
        if place not in most or own.mass > most[place].mass:
            most[place] = own
    return [most[place] for place in sorted(most)]


def _water(own: Condensate, strata: tuple[Stratum, ...], given: Given) -> Water:
    plane = own.plane
    meet = strata[plane.slab : plane.slab + 2] if plane.at_face else strata[plane.slab : plane.slab + 1]
    is_tight = not all(stratum.absorbs for stratum in meet)
    allowed = given.quantity("condensate_on_tight_face" if is_tight else "condensate", SurfaceMass)
    return Water(plane, SurfaceMass(own.mass, "kg/m²"), is_tight, allowed)


def _gains(strata: tuple[Stratum, ...], water: Iterable[Water], given: Given) -> Iterator[Gain]:
    limits = {
        is_sheet: given.quantity(f"condensate_{'timber_sheet' if is_sheet else 'solid_timber'}", Ratio)
        for is_sheet in (True, False)
    }
    water = list(water)
    for index, stratum in enumerate(strata):
        # A frame has no density of its own: what fills it counts too.
        if stratum.is_timber and stratum.density is not None and stratum.thickness is not None:
            taken = sum(one.mass for one in water if index in _touching(one.plane))
            if taken:
                gain = moisture_gain(taken, stratum.density, stratum.thickness)
                yield Gain(stratum.words, Ratio(gain, "%"), limits[stratum.is_timber_sheet])


def _touching(plane: Plane) -> tuple[int, ...]:
    """The layers that water at a plane touches."""
    return (plane.slab, plane.slab + 1) if plane.at_face else (plane.slab,)


def _spots(found: Section, slabs: tuple[Slab, ...], cold: Profile, climate: Conditions) -> Iterator[Spot]:
    profiles: list[tuple[int | None, Profile]] = [(None, cold)]
    if climate.months and found.timber:
        surfaces = climate.surface, climate.outer_surface
        profiles = [
            (number, profile(slabs, month.inside, month.outside, *surfaces))
            for number, month in enumerate(climate.months)
        ]
    coldest = WOOD_TEMPERATURE.least + WOOD_TEMPERATURE.zero
    for timber in found.timber:
        for month, steady in profiles:
            for index in timber.faces:
                face = steady.faces[index]
                moisture = wood_moisture(max(face.temperature, coldest), min(face.humidity, 1.0))
                yield Spot(
                    words=timber.words,
                    face=index,
                    temperature=Temperature(face.temperature, "°C"),
                    humidity=Ratio(face.humidity, "%"),
                    moisture=Ratio(moisture, "%"),
                    month=month,
                )


def _wettest(spots: Iterable[Spot]) -> tuple[Spot, ...]:
    """The wettest spot of each piece of timber, the wettest first."""
    wettest: dict[str, Spot] = {}
    for spot in sorted(spots, key=lambda spot: -spot.moisture):
        wettest.setdefault(spot.words, spot)
    return tuple(wettest.values())


def _share(measured: float, allowed: float) -> float:
    if allowed:
        return measured / allowed
    return float("inf") if measured > 0 else 0.0
