"""Whether a protective earth that is thinner than the lines bears the fault currents that may flow through it."""

from dataclasses import dataclass

from planlint.formulas import electrical as formulas
from planlint.model.services import Circuit
from planlint.model.words import Earthing
from planlint.rule import Given
from planlint.sums.way import trip_multiple
from planlint.sums.working import Lacking, unrecorded, within_range
from planlint.units import Area, Current, Duration, at_most

LIMITS_OF_EARTH = (
    "earth_same_up_to",
    "earth_half_above",
    "adiabatic_k",
    "trip_multiple",
    "trip_time",
    "disconnection_time_tn",
    "disconnection_time_tt",
)


def usual_earth(line: Area, given: Given) -> Area:
    """The section of an earth conductor that needs no further sum, by that of its lines (IEC 60364-5-54, 543.1.2)."""
    same, half_above = (given.quantity(name, Area) for name in ("earth_same_up_to", "earth_half_above"))
    return min(line, same) if at_most(line, half_above) else line.like(line / 2)


@dataclass(frozen=True, slots=True)
class EarthFault:
    """What an earth conductor has to bear: S = √(I²t) / k (IEC 60364-5-54, 543.1.2)."""

    least: Area
    """Thinner than this, even the smallest fault that may trip the breaker at once overheats it."""
    smallest: Current
    time: Duration
    """How long that fault may last."""
    enough: Area | None
    """From this on no fault overheats it; None where the breaker's maker alone can say so."""
    greatest: Current
    """The fault that may flow at the distribution board."""


@within_range
def earth_fault(circuit: Circuit, given: Given) -> EarthFault | Lacking:
    """The least section of a circuit's earth for the smallest fault and for the greatest."""
    supply, rating = circuit.supply, circuit.breaker_rating
    is_tt = supply.earthing is Earthing.TT
    meets, key = (supply.earth_resistance, "earth_resistance") if is_tt else (supply.loop_impedance, "loop_impedance")
    needed = {
        "supply.earthing": supply.earthing,
        "supply.voltage": supply.voltage,
        f"supply.{key}": meets,
        "breaker.rating": rating,
        "breaker.curve": circuit.curve,
    }
    if supply.voltage is None or meets is None or rating is None or None in needed.values():
        return unrecorded(needed)
    multiples = [trip_multiple(circuit, given, end) for end in ("least", "most")]
    if multiples[0] is None or multiples[1] is None or not meets:
        return Lacking(f"how curve {circuit.curve} trips behind {meets}", ())
    k, trips_within = float(given.count("adiabatic_k") or 0), given.quantity("trip_time", Duration)
    time = given.quantity("disconnection_time_tt" if is_tt else "disconnection_time_tn", Duration)
    greatest = max(supply.voltage / meets, 0.0 if is_tt else float(supply.fault_current or 0.0))
    smallest = min(formulas.trip_current(rating, multiples[0]), greatest)
    trips_at_once = at_most(formulas.trip_current(rating, multiples[1]), greatest)
    lasts = time if is_tt and circuit.has_rcd else trips_within if trips_at_once else None
    return EarthFault(
        least=_section(smallest, time, k),
        smallest=Current(smallest, "A"),
        time=time,
        enough=None if lasts is None else _section(greatest, lasts, k),
        greatest=Current(greatest, "A"),
    )


def _section(current: float, time: float, k: float) -> Area:
    return Area(formulas.adiabatic_section(formulas.joule_integral(current, time), k), "mm²")
