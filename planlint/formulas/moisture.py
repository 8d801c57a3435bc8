"""Moist air, wood in air, and what the layers of a wall do to heat and vapour.

All values are in SI base units (K, Pa, m, m²·K/W, kg/m²); relative humidity and moisture of wood are fractions, the
latter of the dry mass. Each function refuses a value outside its range with a ValueError that names the argument and
the range. Where a docstring gives no other reason, a range is our own decision: wide, there to catch a wrong unit.

No standard named here was read in its purchased text: formulas are as handbooks and public extracts give them, or from
memory.
"""

import math
from itertools import pairwise
from typing import Final

from planlint.formulas.ranges import Range

CELSIUS_ZERO: Final = 273.15
METER_UNCERTAINTY: Final = 0.02
"""How far makers of pin meters disagree about the temperature of the wood [-]: one says that none is to be corrected
from 10 to 32 °C, another gives +2 points at 10 °C (public manuals)."""

TEMPERATURE: Final = Range(-40, 80, "°C", zero=CELSIUS_ZERO)
WOOD_TEMPERATURE: Final = Range(-20, 100, "°C", zero=CELSIUS_ZERO)
HUMIDITY: Final = Range(0, 100, "%", 0.01)
PRESSURE: Final = Range(0, 50_000, "Pa")
THICKNESS: Final = Range(0, 10, "m")
CONDUCTIVITY: Final = Range(0.001, 500, "W/(m·K)")
DIFFUSION_FACTOR: Final = Range(1, 10_000_000)
RESISTANCE: Final = Range(0.01, 1000, "m²·K/W")

_TRIPLE: Final = 610.5
"""Saturation pressure at 0 °C [Pa], where the branches of ISO 13788 meet."""
_WATER: Final = (17.269, 237.3)
_ICE: Final = (21.875, 265.5)
_METER_POINTS: Final = ((5.0, 0.03), (10.0, 0.02), (20.0, 0.0), (40.0, -0.03), (50.0, -0.04))
"""(°C, what is added to the reading) of a pin meter calibrated at 20 °C."""


# ---- Air ---------------------------------------------------------------------------------------------------------


def saturation_pressure(temperature: float) -> float:
    """Vapour pressure of saturated air [Pa]: psat = 610.5·exp(17.269·θ/(237.3 + θ)).

    Over ice, below 0 °C, 21.875 and 265.5 stand for 17.269 and 237.3. `temperature` θ in °C, given in K, -40 to 80 °C.
    Within 0.2 % of the steam tables from 0 to 80 °C; over ice it is lower than they are, by 0.5 % at -20 °C and 1.9 %
    at -40 °C. Source: ISO 13788, Annex E (from memory).

    >>> round(saturation_pressure(293.15))
    2337
    """
    TEMPERATURE.admit(temperature=temperature)
    celsius = temperature - CELSIUS_ZERO
    factor, offset = _WATER if celsius >= 0 else _ICE
    return _TRIPLE * math.exp(factor * celsius / (offset + celsius))


def dew_point(pressure: float) -> float:
    """Temperature at which air of a vapour pressure is saturated [K]: θ = 237.3·x/(17.269 - x), x = ln(p/610.5).

    `pressure` p [Pa], 1 Pa to saturation at 80 °C; below 610.5 Pa it is the frost point, with 265.5 and 21.875. Below
    12.6 Pa (-40 °C) off by more than 0.2 K. Source: ISO 13788, Annex E (from memory), solved for θ.

    >>> round(dew_point(1168.5) - 273.15, 2)
    9.27
    """
    warmest = TEMPERATURE.most + TEMPERATURE.zero
    Range(1, saturation_pressure(warmest), "Pa").admit(pressure=pressure)
    logarithm = math.log(pressure / _TRIPLE)
    factor, offset = _WATER if logarithm >= 0 else _ICE
    return CELSIUS_ZERO + offset * logarithm / (factor - logarithm)


def vapour_pressure(temperature: float, humidity: float) -> float:
    """Pressure of the vapour in air [Pa]: p = φ·psat(θ).

    `temperature` θ [K], -40 to 80 °C; `humidity` φ [-], 0 to 1; below 0 °C it is counted over ice, as ISO 13788 does.
    Source: definition of relative humidity.

    >>> round(vapour_pressure(293.15, 0.5))
    1168
    """
    HUMIDITY.admit(humidity=humidity)
    return humidity * saturation_pressure(temperature)


def temperature_at_humidity(pressure: float, humidity: float) -> float:
    """Temperature at which air of a vapour pressure reaches a relative humidity [K]: θ with psat(θ) = p/φ.

    `pressure` p [Pa] and `humidity` φ [-], 0.1 to 1; p/φ as `dew_point` takes it. A surface colder than this at φ = 0.8
    may grow mould. Source: ISO 13788, 5.3 (from memory).

    >>> round(temperature_at_humidity(vapour_pressure(293.15, 0.5), 0.8) - 273.15, 1)
    12.6
    """
    Range(10, 100, "%", 0.01).admit(humidity=humidity)
    return dew_point(pressure / humidity)


# ---- Wood --------------------------------------------------------------------------------------------------------


def wood_moisture(temperature: float, humidity: float) -> float:
    """Moisture that wood comes to in air [-]: M = 18/W·[k/(1 - k) + (K1·k + 2·K1·K2·k²)/(1 + K1·k + K1·K2·k²)].

    k = K·h. W, K, K1 and K2 are polynomials of the temperature in °C.
    `temperature` [K], -20 to 100 °C, held against the printed table from -1 to 54 °C; `humidity` h [-], 0 to 1, held
    against it from 0.05 to 0.90. Any species; sheets of wood and glue, such as OSB, take up 1 to 3 points less.
    Source: USDA Forest Products Laboratory, Wood Handbook (FPL-GTR-190, 2010), equation 4-5; FPL-RN-0268 for °C.

    >>> round(wood_moisture(293.15, 0.65), 3)
    0.12
    """
    WOOD_TEMPERATURE.admit(temperature=temperature)
    HUMIDITY.admit(humidity=humidity)
    t = temperature - CELSIUS_ZERO
    w = 349 + 1.29 * t + 0.0135 * t**2
    kh = (0.805 + 0.000736 * t - 0.00000273 * t**2) * humidity
    k1 = 6.27 - 0.00938 * t - 0.000303 * t**2
    k2 = 1.91 + 0.0407 * t - 0.000293 * t**2
    bound = (k1 * kh + 2 * k1 * k2 * kh**2) / (1 + k1 * kh + k1 * k2 * kh**2)
    return 18 / w * (kh / (1 - kh) + bound)


def humidity_over_wood(temperature: float, moisture: float) -> float:
    """Relative humidity of air that wood neither wets nor dries [-]: h with `wood_moisture(temperature, h)` = moisture.

    `temperature` [K], -20 to 100 °C; `moisture` [-], 0 to what saturated air brings about, 0.29 at 10 °C: no air
    explains a higher reading, only water, salts or a wrong scale. By bisection.
    Source: as `wood_moisture`, solved for h.

    >>> round(humidity_over_wood(293.15, 0.20), 2)
    0.89
    """
    Range(0, 100 * wood_moisture(temperature, 1), "%", 0.01).admit(moisture=moisture)
    least, most = 0.0, 1.0
    for _ in range(60):
        middle = (least + most) / 2
        if wood_moisture(temperature, middle) < moisture:
            least = middle
        else:
            most = middle
    return most


def meter_temperature_correction(reading: float, temperature: float) -> float:
    """What is added to the reading of a pin meter calibrated at 20 °C, for the temperature of the wood [-].

    +0.02 at 10 °C, -0.03 at 40 °C, -0.04 at 50 °C, in straight lines between them, and on to +0.03 at 5 °C: cold wood
    reads low. `reading` [-], 0.07 to 0.30, where the wood scale means anything; `temperature` of the wood [K], 5 to
    50 °C. The points are known for a reading of 15 % only; the same for every reading is our own decision. It is good
    to `METER_UNCERTAINTY`, by which makers disagree.
    Source: a public manual of a pin meter; +0.03 at 5 °C from memory (2 to 3 points are said: the careful end).

    >>> round(meter_temperature_correction(0.15, 283.15), 3)
    0.02
    """
    Range(7, 30, "%", 0.01).admit(reading=reading)
    Range(_METER_POINTS[0][0], _METER_POINTS[-1][0], "°C", zero=CELSIUS_ZERO).admit(temperature=temperature)
    celsius = temperature - CELSIUS_ZERO
    (cold, low), (warm, high) = next(
        (pair for pair in pairwise(_METER_POINTS) if celsius <= pair[1][0]), _METER_POINTS[-2:]
    )
    return low + (high - low) * (celsius - cold) / (warm - cold)


def moisture_gain(condensate: float, density: float, thickness: float) -> float:
    """Rise in moisture of a sheet that takes up all condensate beside it [-], of its dry mass: Δu = m/(rho·d).

    `condensate` m [kg/m²], 0 to 1000; `density` rho [kg/m³], 1 to 10,000; `thickness` d [m], 0.1 mm to 10 m.
    Source: definition of moisture content.

    >>> round(moisture_gain(0.216, 600, 0.012), 3)
    0.03
    """
    Range(0, 1000, "kg/m²").admit(condensate=condensate)
    Range(1, 10_000, "kg/m³").admit(density=density)
    Range(0.1, 10_000, "mm", 1e-3).admit(thickness=thickness)
    return condensate / (density * thickness)


# ---- Layers ------------------------------------------------------------------------------------------------------


def vapour_thickness(mu: float, thickness: float) -> float:
    """Thickness of still air that holds up vapour as the layer does [m]: sd = μ·d.

    `mu` μ [-], 1 (still air) to 10 million; `thickness` d [m], 0 to 10 m. Source: EN ISO 12572.

    >>> round(vapour_thickness(10, 0.38), 2)
    3.8
    """
    DIFFUSION_FACTOR.admit(mu=mu)
    THICKNESS.admit(thickness=thickness)
    return mu * thickness


def thermal_resistance(thickness: float, conductivity: float) -> float:
    """Thermal resistance of a layer [m²·K/W]: R = d/λ.

    `thickness` d [m], 0 to 10 m; `conductivity` λ [W/(m·K)], 0.001 to 500. A wall's is the sum over its layers and its
    two surfaces. Source: ISO 6946.

    >>> round(thermal_resistance(0.06, 0.04), 2)
    1.5
    """
    THICKNESS.admit(thickness=thickness)
    CONDUCTIVITY.admit(conductivity=conductivity)
    return thickness / conductivity


def transmittance(resistance: float) -> float:
    """Heat that passes a square metre and a kelvin [W/(m²·K)]: U = 1/R.

    `resistance` R [m²·K/W] from air to air, both surfaces counted, 0.01 to 1000. Source: ISO 6946.

    >>> round(transmittance(2.416), 3)
    0.414
    """
    RESISTANCE.admit(resistance=resistance)
    return 1 / resistance


def surface_factor(resistance: float, rsi: float) -> float:
    """How much of the warmth of the room its surface keeps [-]: fRsi = (θsi - θe)/(θi - θe) = 1 - Rsi/R.

    `resistance` R [m²·K/W] from air to air with that Rsi in it, 0.01 to 1000; `rsi` Rsi [m²·K/W] of the surface, 0 to
    R. On the flat of the wall: corners and reveals are colder. Source: ISO 13788, 3.1 and 5.3 (from memory).

    >>> round(surface_factor(0.774, 0.25), 3)  # 380 mm of brick, plastered
    0.677
    """
    RESISTANCE.admit(resistance=resistance)
    Range(0, resistance, "m²·K/W").admit(rsi=rsi)
    return 1 - rsi / resistance


def surface_temperature(inside: float, outside: float, factor: float) -> float:
    """Temperature of the surface on the room side [K]: θsi = θe + fRsi·(θi - θe).

    `inside` θi and `outside` θe [K], -40 to 80 °C; `factor` fRsi [-], 0 to 1, from `surface_factor`.
    Source: ISO 13788, 3.1 (from memory).

    >>> round(surface_temperature(293.15, 268.15, 0.70) - 273.15, 1)
    12.5
    """
    TEMPERATURE.admit(inside=inside, outside=outside)
    Range(0, 1).admit(factor=factor)
    return outside + factor * (inside - outside)
