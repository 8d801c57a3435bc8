"""Sums of a circuit: loads, voltage drop, current-carrying capacity, fault loop, earth conductor, conduit.

All values are in SI base units (m, m², A, V, ohm, ohm/m, K, s), as quantities of a plan are; the one exception is
the adiabatic k, which everybody writes in A·s½/mm². Each function refuses a value outside its range with a ValueError
that names the argument and the range. Where a docstring gives no other reason, a range is our own decision: wide,
there to catch a wrong unit. No function here knows a table: what is looked up is handed in.

No standard named here was read in its purchased text: formulas are as handbooks give them, or from memory.
"""

import math
from collections.abc import Iterable, Sequence
from typing import Final, NamedTuple

from planlint.formulas.ranges import Range
from planlint.units import at_most

CELSIUS_ZERO: Final = 273.15
COPPER_IN_SERVICE: Final = 0.0225e-6
"""rho1 [ohm·m], copper at the temperature of normal service: 1.25 times 0.018e-6 at 20 °C (IEC 60364-5-52, Annex G)."""
USUAL_REACTANCE: Final = 0.08e-3
"""λ [ohm/m] where nothing better is known (IEC 60364-5-52, Annex G)."""


LENGTH: Final = Range(0, 10_000, "m")
SECTION: Final = Range(0.1, 1000, "mm²", 1e-6)
DIAMETER: Final = Range(0.1, 1000, "mm", 1e-3)
CURRENT: Final = Range(0, 100_000, "A")
FLOWING: Final = Range(0.001, 100_000, "A")
"""A current that something is divided by."""
VOLTAGE: Final = Range(1, 1000, "V")
DROP: Final = Range(0, 1000, "V")
POWER: Final = Range(0, 1000, "kW", 1e3)
RESISTANCE: Final = Range(0, 1e6, "ohm")
PER_LENGTH: Final = Range(0.001, 10_000, "ohm/km", 1e-3)
REACTANCE: Final = Range(0, 1, "ohm/km", 1e-3)
RESISTIVITY: Final = Range(0.01, 0.1, "ohm·mm²/m", 1e-6)
POWER_FACTOR: Final = Range(0.1, 1)
SHARE: Final = Range(0.01, 1)
CONDUCTOR_TEMPERATURE: Final = Range(-20, 160, "°C", zero=CELSIUS_ZERO)
CONDUCTOR_LIMIT: Final = Range(60, 110, "°C", zero=CELSIUS_ZERO)
FACTOR: Final = Range(0.01, 1.5)
VOLTAGE_FACTOR: Final = Range(0.5, 1.1)
TRIP_MULTIPLE: Final = Range(1, 50)
FAULT_TIME: Final = Range(0.1, 5, "s")
ENERGY: Final = Range(0, 1e12, "A²s")
ADIABATIC_K: Final = Range(20, 250, "A·s½/mm²")


def load_current(power: float, voltage: float, power_factor: float = 1.0, loaded: int = 2) -> float:
    """Current in each line of a load [A]: I = P / (n·U0·cos φ), n = 1 for two loaded conductors and 3 for three.

    `power` P [W] of the whole load, 0 to 1000 kW; `voltage` U0 [V] between line and neutral, also for three-phase,
    1 to 1000 V; `power_factor` cos φ [-], 0.1 to 1 (1 where the power is in VA); `loaded` conductors, 2, or 3 balanced.
    Source: definition of power factor.
    """
    POWER.admit(power=power)
    VOLTAGE.admit(voltage=voltage)
    POWER_FACTOR.admit(power_factor=power_factor)
    return power / ((1 if _two_loaded(loaded) else 3) * voltage * power_factor)


def conductor_resistance(resistance_at_20: float, temperature: float) -> float:
    """Resistance of copper at a temperature [ohm/m]: R(t) = R20·(1 + 0.004·(t - 20 °C)).

    `resistance_at_20` R20 [ohm/m], 0.001 to 10,000 ohm/km; `temperature` t of the conductor [K], -20 to 160 °C (where a
    short-circuit in PVC ends). Source: IEC 60228, as used for its correction factors kt; 1.20 at 70 °C.

    >>> round(conductor_resistance(7.41e-3, 343.15), 6)
    0.008892
    """
    PER_LENGTH.admit(resistance_at_20=resistance_at_20)
    CONDUCTOR_TEMPERATURE.admit(temperature=temperature)
    return resistance_at_20 * (1 + 0.004 * (temperature - CELSIUS_ZERO - 20))


# ---- Voltage drop ------------------------------------------------------------------------------------------------


def drop_per_metre(
    section: float,
    power_factor: float = 1.0,
    loaded: int = 2,
    resistivity: float = COPPER_IN_SERVICE,
    reactance: float = USUAL_REACTANCE,
) -> float:
    """Voltage drop for each ampere and metre [V/(A·m)]: u/(L·I) = b·(rho1/S·cos φ + λ·sin φ).

    `section` S [m²], 0.1 to 1000 mm²; `power_factor` cos φ [-], 0.1 to 1, lagging; `loaded` conductors, 2 (b = 2) or 3
    (balanced, b = 1); `resistivity` rho1 [ohm·m], 0.01 to 0.1 ohm·mm²/m; `reactance` λ [ohm/m], 0 to 1 ohm/km.
    The drop is projected on the voltage at the load, which is a little less than exact where cos φ is below 1.
    Source: IEC 60364-5-52, Annex G.

    >>> round(1000 * drop_per_metre(2.5e-6), 3)  # mV/(A·m)
    18.0
    """
    SECTION.admit(section=section)
    POWER_FACTOR.admit(power_factor=power_factor)
    RESISTIVITY.admit(resistivity=resistivity)
    REACTANCE.admit(reactance=reactance)
    b = 2 if _two_loaded(loaded) else 1
    sine = math.sqrt(max(0.0, 1 - power_factor**2))
    return b * (resistivity / section * power_factor + reactance * sine)


def voltage_drop(length: float, current: float, per_metre: float) -> float:
    """Voltage drop of one run [V]: u = b·(rho1·L/S·cos φ + λ·L·sin φ)·I, that is `per_metre`·L·I.

    `length` L [m], one way, 0 to 10 km; `current` I [A], 0 to 100 kA; `per_metre` [V/(A·m)] from `drop_per_metre`,
    0.001 to 10,000 V/(A·km). Three-phase: between line and neutral. Source: IEC 60364-5-52, Annex G.
    """
    LENGTH.admit(length=length)
    CURRENT.admit(current=current)
    PER_LENGTH.admit(per_metre=per_metre)
    return per_metre * length * current


class Stretch(NamedTuple):
    """A part of a way from the supply to a load, which carries one current."""

    length: float
    """[m], one way"""
    current: float
    """[A], of all that hangs on it: what lies beyond it together"""
    per_metre: float
    """[V/(A·m)], from `drop_per_metre`"""


def voltage_drop_along(stretches: Iterable[Stretch]) -> float:
    """Voltage drop at the end of a way with loads spread along it [V]: u = Σ ui, with `voltage_drop` for each stretch.

    Ranges are those of `voltage_drop`. Loads of different cos φ: work out each by itself, and add the drops.
    Source: IEC 60364-5-52, Annex G; Kirchhoff.
    """
    return math.fsum(voltage_drop(*stretch) for stretch in stretches)


def drop_share(drop: float, voltage: float) -> float:
    """Voltage drop as a share of the voltage [-]: Δu = u / U0.

    `drop` u [V], 0 to 1000 V; `voltage` U0 [V] between line and neutral, also for three-phase, 1 to 1000 V.
    Source: IEC 60364-5-52, Annex G.
    """
    DROP.admit(drop=drop)
    VOLTAGE.admit(voltage=voltage)
    return drop / voltage


def longest_run_for_drop(allowed: float, current: float, per_metre: float) -> float:
    """One-way length at which one load at the end uses up the allowed drop [m]: L = u / (`per_metre`·I).

    `allowed` u [V], 0 to 1000 V; `current` I [A], 1 mA to 100 kA; `per_metre` [V/(A·m)] as in `voltage_drop`.
    Source: IEC 60364-5-52, Annex G, solved for L.
    """
    DROP.admit(allowed=allowed)
    FLOWING.admit(current=current)
    PER_LENGTH.admit(per_metre=per_metre)
    return allowed / (per_metre * current)


def ring_length(around: float, along: float) -> float:
    """Length of a single run that would do as a ring does at one of its points [m]: L = x·(R - x) / R.

    `around` R [m], the whole ring, above 0 to 10 km; `along` x [m] from one of its ends, 0 to R. Holds for the loop and
    for the drop of a load at that point, where the ring has one section; greatest half way round, with R/4.
    Source: two conductors side by side (Kirchhoff).

    >>> ring_length(60, 30)
    15.0
    """
    Range(0.001, LENGTH.most, "m").admit(around=around)
    Range(0, around, "m").admit(along=along)
    return max(0.0, along * (around - along) / around)


# ---- What the cable carries --------------------------------------------------------------------------------------


def ambient_factor(ambient: float, conductor_limit: float = 343.15, reference: float = 303.15) -> float:
    """Factor for the temperature around the cable [-]: Ca = √((θmax - t) / (θmax - θref)).

    `ambient` t [K], from 10 °C (where the table begins) to 10 K below θmax (where it ends); `conductor_limit` θmax [K],
    60 to 110 °C, 70 °C for PVC; `reference` θref [K], in the same bounds as t, 30 °C for cables in air.
    Above 1 below the reference: take 1 there, since nobody knows how warm a wall gets. The table may be rounded to
    either side of this. Source: the formula behind IEC 60364-5-52, Table B.52.14.

    >>> round(ambient_factor(313.15), 2)
    0.87
    """
    CONDUCTOR_LIMIT.admit(conductor_limit=conductor_limit)
    within = Range(10, conductor_limit - CELSIUS_ZERO - 10, "°C", zero=CELSIUS_ZERO)
    within.admit(ambient=ambient, reference=reference)
    return math.sqrt((conductor_limit - ambient) / (conductor_limit - reference))


def careful_factor(rows: Iterable[tuple[float, float]], wanted: float, *, last_holds_beyond: bool = False) -> float:
    """Factor of a table whose factors fall as its keys rise, always to the careful side: that of the next higher row.

    `rows` (key, factor), keys and `wanted` in one unit: the next warmer ambient, the next larger count of circuits, the
    next longer stretch in insulation (with nothing enclosed there is nothing to look up). There is no going between
    rows, so that a person finds the same figure in the table. Below the first row its factor holds. Beyond the last
    `wanted` is refused, or that row holds where the table says "or more". Factors 0.01 to 1.5.
    Source: own decision; IEC 60364-5-52, Annex B, gives factors every 5 K and for whole counts (from memory).

    >>> careful_factor([(30, 1.0), (35, 0.94), (40, 0.87)], 36)
    0.87
    """
    table = sorted(rows)
    if not table:
        raise ValueError("rows is empty, and has to hold at least one row")
    highest, factor = table[-1]
    if not math.isfinite(wanted) or not (last_holds_beyond or at_most(wanted, highest)):
        raise ValueError(f"wanted is {wanted:.6g}, and has to be at most {highest:g}, where the table ends")
    factor = next((factor for key, factor in table if at_most(wanted, key)), factor)
    FACTOR.admit(factor=factor)
    return factor


def capacity(tabulated: float, ambient: float = 1.0, grouping: float = 1.0, insulation: float = 1.0) -> float:
    """Current that the cable carries as it lies [A]: Iz = It·Ca·Cg·Ci.

    `tabulated` It [A] for the method, section and number of loaded conductors, 0 to 100 kA; the factors for `ambient`
    Ca, 0.01 to 1.5, `grouping` Cg and `insulation` Ci, 0.01 to 1 [-]. For similar, equally loaded cables.
    Source: IEC 60364-5-52, 523 and Annex B; Ci: BS 7671, 523.9.
    """
    CURRENT.admit(tabulated=tabulated)
    FACTOR.admit(ambient=ambient)
    SHARE.admit(grouping=grouping, insulation=insulation)
    return tabulated * ambient * grouping * insulation


def is_coordinated(load: float, rated: float, carried: float) -> bool:
    """Whether the breaker lets the load through and protects the cable: Ib ≤ In ≤ Iz (exactly equal holds).

    `load` Ib, `rated` In, `carried` Iz [A], each 0 to 100 kA. The second condition, I2 ≤ 1.45·Iz, then holds too for
    breakers to IEC 60898-1, which trip by 1.45·In; not for fuses that blow later. Source: IEC 60364-4-43, 433.1.
    """
    CURRENT.admit(load=load, rated=rated, carried=carried)
    return at_most(load, rated) and at_most(rated, carried)


# ---- Fault to earth ----------------------------------------------------------------------------------------------


def trip_current(rated: float, multiple: float) -> float:
    """Current at which a breaker trips at once [A]: Ia = m·In.

    `rated` In [A], 1 mA to 100 kA; `multiple` m [-], 1 to 50: the upper end of the curve's band to be sure
    that it trips, the lower end to be sure that it does not. Source: IEC 60898-1 (B, C, D).
    """
    FLOWING.admit(rated=rated)
    TRIP_MULTIPLE.admit(multiple=multiple)
    return multiple * rated


def fault_loop(external: float, length: float, line: float, earth: float) -> float:
    """Impedance of the earth fault loop at the end of a run [ohm]: Zs = Ze + L·(r1 + r2).

    `external` Ze [ohm], 0 to 1 Mohm: at the board, or Zs at the end of the run before; `length` L [m], one way, 0 to
    10 km; `line` r1 and `earth` r2 [ohm/m] hot (`conductor_resistance`), 0.001 to 10,000 ohm/km. Figures are added
    as if all were resistance, which is never too little. Source: IEC 60364-4-41, 411.4; BS 7671 practice.
    """
    RESISTANCE.admit(external=external)
    LENGTH.admit(length=length)
    PER_LENGTH.admit(line=line, earth=earth)
    return external + length * (line + earth)


def greatest_loop(trips_at: float, voltage: float, voltage_factor: float = 1.0) -> float:
    """Greatest loop impedance that still trips the breaker at once [ohm]: Zs = Cmin·U0 / Ia.

    `trips_at` Ia [A], 1 mA to 100 kA; `voltage` U0 [V] between line and earth, 1 to 1000 V; `voltage_factor` Cmin [-],
    0.5 to 1.1: 1 in IEC 60364-4-41, 411.4.4; 0.95 in BS 7671 since 2015. Source: those.
    """
    FLOWING.admit(trips_at=trips_at)
    VOLTAGE.admit(voltage=voltage)
    VOLTAGE_FACTOR.admit(voltage_factor=voltage_factor)
    return voltage_factor * voltage / trips_at


def longest_run_for_loop(greatest: float, external: float, line: float, earth: float) -> float:
    """One-way length at which the loop impedance reaches its greatest value [m]: L = (Zs - Ze) / (r1 + r2).

    `greatest` Zs and `external` Ze [ohm], 0 to 1 Mohm; `line` r1 and `earth` r2 [ohm/m] as in `fault_loop`. 0 where the
    supply alone uses it up. Where Ze is not known, handbooks count with Ze = 0 and Cmin = 0.8 instead (the
    conventional method, from memory). Source: IEC 60364-4-41, 411.4, solved for L.
    """
    RESISTANCE.admit(greatest=greatest, external=external)
    PER_LENGTH.admit(line=line, earth=earth)
    return max(0.0, greatest - external) / (line + earth)


def touch_voltage(electrode: float, residual: float) -> float:
    """Voltage on metal parts when the RCD is about to trip [V]: U = RA·IΔn.

    `electrode` RA [ohm] with the earth conductors, 0 to 1 Mohm; `residual` IΔn [A], 1 mA to 100 kA.
    Source: IEC 60364-4-41, 411.5.3 (TT).
    """
    RESISTANCE.admit(electrode=electrode)
    FLOWING.admit(residual=residual)
    return electrode * residual


def greatest_electrode(touch: float, residual: float) -> float:
    """Greatest earth electrode resistance for a touch voltage [ohm]: RA = U / IΔn.

    `touch` U [V], 1 to 1000 V; `residual` IΔn [A], 1 mA to 100 kA. Source: IEC 60364-4-41, 411.5.3 (TT).
    """
    VOLTAGE.admit(touch=touch)
    FLOWING.admit(residual=residual)
    return touch / residual


def joule_integral(current: float, time: float) -> float:
    """What a fault current heats with until it is cut off [A²s]: I²·t.

    `current` I [A], 0 to 100 kA; `time` t [s], 0.1 to 5 s. Beyond 5 s heat gets away. Below 0.1 s a breaker limits
    the current, and only its maker's I²t says what it lets through. Source: IEC 60364-4-43, 434.5.2.
    """
    CURRENT.admit(current=current)
    FAULT_TIME.admit(time=time)
    return current**2 * time


def adiabatic_section(energy: float, k: float) -> float:
    """Least section that a fault does not overheat [m²]: S = √(I²t) / k.

    `energy` I²t [A²s], 0 to 1e12 A²s, from `joule_integral` or the breaker's maker; `k` [A·s½/mm²], 20 to 250, for the
    conductor and its insulation. Source: IEC 60364-5-54, 543.1.2; IEC 60364-4-43, 434.5.2.
    """
    ENERGY.admit(energy=energy)
    ADIABATIC_K.admit(k=k)
    return math.sqrt(energy) / k * 1e-6


def withstood_energy(section: float, k: float) -> float:
    """Greatest I²t that a conductor bears [A²s]: k²·S².

    `section` S [m²], 0.1 to 1000 mm²; `k` [A·s½/mm²], 20 to 250. Source: IEC 60364-4-43, 434.5.2.
    """
    SECTION.admit(section=section)
    ADIABATIC_K.admit(k=k)
    return (k * section * 1e6) ** 2


# ---- Conduit -----------------------------------------------------------------------------------------------------


def area_share(diameters: Sequence[float], bore: float) -> float:
    """Share of a conduit's bore that its wires take up [-]: Σd² / D².

    `diameters` d [m] of each wire over its insulation, and `bore` D [m] inside, each 0.1 to 1000 mm. Above 1 there is
    more wire than bore. Source: geometry.
    """
    DIAMETER.admit(bore=bore)
    return _squares(diameters) / bore**2


def least_bore(diameters: Sequence[float], share: float) -> float:
    """Bore of which the wires take up no more than a share [m]: D = √(Σd² / share).

    `diameters` d [m] of each wire over its insulation, each 0.1 to 1000 mm; `share` [-], 0.01 to 1. Source: geometry.
    """
    SHARE.admit(share=share)
    return math.sqrt(_squares(diameters) / share)


def jam_ratio(bore: float, diameter: float) -> float:
    """How many wires fit across a bore [-]: D / d. About 3, three like wires lie down side by side in a bend and jam.

    `bore` D inside and `diameter` d of one of three like wires over its insulation [m], each 0.1 to 1000 mm.
    Source: NEC, chapter 9, note to Table 1.
    """
    DIAMETER.admit(bore=bore, diameter=diameter)
    return bore / diameter


def _squares(diameters: Sequence[float]) -> float:
    for diameter in diameters:
        DIAMETER.admit(diameters=diameter)
    return math.fsum(diameter**2 for diameter in diameters)


def _two_loaded(loaded: int) -> bool:
    if loaded not in (2, 3):
        raise ValueError(f"loaded is {loaded}, and has to be 2 or 3")
    return loaded == 2  # noqa: PLR2004 - line and neutral
