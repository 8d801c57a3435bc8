"""The sum of condensation step by step, so that a person can follow it by hand."""

from collections.abc import Iterator

from planlint.formulas.vapour_line import AIR_PERMEABILITY
from planlint.sums.climate import MONTHS
from planlint.sums.condensation import Condensation
from planlint.sums.working import FIGURES, Step, Steps
from planlint.units import Length, Ratio, SurfaceMass, Temperature, ThermalResistance, show


def steps(found: Condensation) -> Steps:
    """Resistances, temperatures, pressures, what condenses and what dries; in words when asked."""
    return Steps(lambda: (*_resistances(found), *_faces(found), *_wetting(found), *_drying(found)))


def _resistances(found: Condensation) -> Iterator[Step]:
    sums = [f"{found.conditions.outer_surface}"]
    for row in found.rows[1:]:
        stratum = row.stratum
        if stratum is None or row.sd is None:
            continue
        how = f"{stratum.thickness} ÷ {stratum.conductivity}" if stratum.conductivity else "by table"
        low, high = stratum.sd
        chosen = "" if low == high else f" (of {low} to {high})"
        resistance = _of_heat(stratum.resistance)
        if stratum.is_film:
            yield Step(f"the {row.words}", "holds back vapour alone", f"sd {row.sd}")
        else:
            yield Step(f"the {row.words}", f"R = {how}", f"R {resistance}, sd {row.sd}{chosen}")
        sums.append(resistance)
    sums.append(f"{found.conditions.surface}")
    yield Step("from air to air (R)", " + ".join(sums), _of_heat(found.profile.resistance))


def _faces(found: Condensation) -> Iterator[Step]:
    climate, flow = found.conditions, found.profile.heat_flow
    yield Step(
        "heat that passes (q)",
        f"({climate.inside.temperature} - {climate.outside.temperature}) ÷ {_of_heat(found.profile.resistance)}",
        f"{flow:.{FIGURES}g} W/m²",
    )
    for face in found.profile.faces:
        humidity = Ratio(face.humidity, "%")
        yield Step(
            found.section.face(face.index),
            f"{Temperature(face.temperature, '°C')}: saturated at {face.saturation:.1f} Pa",
            f"{face.pressure:.1f} Pa, {humidity}",
        )


def _wetting(found: Condensation) -> Iterator[Step]:
    if found.year is not None:
        for number, end in enumerate(found.year.months):
            how = ", ".join(
                f"{SurfaceMass(own.mass, 'kg/m²')} {found.section.where(own.plane.slab, at_face=own.plane.at_face)}"
                for own in end.condensate
            )
            yield Step(f"at the end of {MONTHS[number]}", how or "dry", f"{SurfaceMass(end.mass, 'kg/m²')}")
        return
    for water in found.water:
        yield Step(
            f"condenses {found.where(water)}",
            f"{water.plane.rate:.4g} kg/(m²·s), the vapour that comes less the vapour that goes on "
            f"(δ0 {AIR_PERMEABILITY:g} kg/(m·s·Pa)), × {found.conditions.period}",
            f"{show(water.mass, FIGURES)}; at most {water.allowed}",
        )
    if not found.water:
        yield Step("condenses", "the line of pressure stays below saturation everywhere", "nothing")


def _drying(found: Condensation) -> Iterator[Step]:
    if found.evaporates is not None:
        warm, tightest = found.conditions.drying, sum(stratum.sd[1] for stratum in found.section.strata)
        yield Step(
            "can dry",
            f"from {warm.plane} where it is wet to {warm.air} on both sides, through sd {Length(tightest, 'm')}, "
            f"in {warm.period}",
            show(found.evaporates, FIGURES),
        )
    for gain in found.gains:
        yield Step(f"the {gain.words} takes it up", "water ÷ its own mass", f"{gain.moisture}; at most {gain.allowed}")
    for spot in found.timber:
        yield Step(
            f"moisture of the {spot.words}",
            f"{spot.humidity} and {spot.temperature} {found.section.face(spot.face)}",
            f"{spot.moisture}",
        )


def _of_heat(resistance: float) -> str:
    return show(ThermalResistance(resistance, "m²·K/W"), FIGURES)
