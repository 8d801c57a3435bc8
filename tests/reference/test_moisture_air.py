"""Moist air and warm surfaces against libraries of steam and moist air, published tables and worked sums.

No standard was read in its purchased text. "As quoted" means that a public page that quotes or retells a document was
read; "from memory" was seen nowhere. The libraries are CoolProp (IAPWS-95, and its own humid air), iapws (IAPWS-IF97
and the sublimation line of IAPWS R14-08) and PsychroLib (ASHRAE Handbook of Fundamentals, 2017): equations that owe
nothing to ISO 13788, whose shorter formula the sums of a wall are done with.
"""

import psychrolib
import pytest
from CoolProp.CoolProp import HAPropsSI, PropsSI
from iapws._iapws import _Sublimation_Pressure
from iapws.iapws97 import _PSat_T

from planlint.formulas.moisture import (
    dew_point,
    moisture_gain,
    saturation_pressure,
    surface_factor,
    surface_temperature,
    temperature_at_humidity,
    thermal_resistance,
    transmittance,
    vapour_pressure,
    vapour_thickness,
)

psychrolib.SetUnitSystem(psychrolib.SI)


def kelvin(celsius: float) -> float:
    return celsius + 273.15


def celsius(temperature: float) -> float:
    return temperature - 273.15


# ---- Saturation --------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("degrees", [0.01, *range(1, 81)])
def test_saturation_over_water_against_three_libraries(degrees: float) -> None:
    ours = saturation_pressure(kelvin(degrees))
    # The formula of ISO 13788 is at most 0.195 % below CoolProp (at 45 °C) and 0.165 % above (at 80 °C).
    assert ours == pytest.approx(PropsSI("P", "T", kelvin(degrees), "Q", 0, "Water"), rel=2e-3)
    assert ours == pytest.approx(1e6 * _PSat_T(kelvin(degrees)), rel=2e-3)
    assert ours == pytest.approx(psychrolib.GetSatVapPres(degrees), rel=2e-3)


@pytest.mark.parametrize(
    ("degrees", "tolerance"),
    # The farther from 0 °C, the lower the formula: down to -10 °C it is good to 0.22 %.
    [*((-d, 0.0022) for d in range(11)), (-15, 0.0034), (-20, 0.0051), (-30, 0.0103), (-40, 0.0188)],
)
def test_saturation_over_ice_against_two_libraries(degrees: float, tolerance: float) -> None:
    # CoolProp knows no saturation of pure water below its triple point.
    ours = saturation_pressure(kelvin(degrees))
    assert ours == pytest.approx(1e6 * _Sublimation_Pressure(kelvin(degrees)), rel=tolerance)
    assert ours == pytest.approx(psychrolib.GetSatVapPres(degrees), rel=tolerance)


@pytest.mark.parametrize(
    ("degrees", "humidity", "pascal", "tolerance"),
    [
        (20, 0.50, 1168, 1),  # DIN 4108-3:2014, air in the room while it condenses; as quoted in a German building wiki
        (-5, 0.80, 321, 0.5),  # likewise, air outside
        (-10, 0.80, 208, 1),  # the climate before 2014, from memory
        (12, 1.00, 1403, 1.5),  # likewise, at the plane while it dries, from memory
        (31, 1.00, 4492, 2.5),  # Danish guideline on moisture no. 224, Annex A, table of saturation
        (-20, 1.00, 103.5, 0.8),  # likewise; of the older, other formula: 0.8 % above ISO 13788
    ],
)
def test_vapour_pressures_that_standards_print(
    degrees: float, humidity: float, pascal: float, tolerance: float
) -> None:
    assert vapour_pressure(kelvin(degrees), humidity) == pytest.approx(pascal, abs=tolerance)


def test_frost_is_counted_over_ice() -> None:
    # Over water, which stays liquid in no wall, the Magnus formula of the WMO would give 422 Pa at -5 °C: 5 % too much.
    assert saturation_pressure(kelvin(-5)) == pytest.approx(401.7, abs=0.6)  # over ice: WMO 401.7, IAPWS 401.7


# ---- Dew point ---------------------------------------------------------------------------------------------------

AIRS = [(20, 0.50), (20, 0.60), (20, 0.65), (20, 0.40), (22, 0.55), (18, 0.70), (10, 0.90)]


@pytest.mark.parametrize(("degrees", "humidity"), AIRS)
def test_dew_point_of_rooms_against_two_libraries(degrees: float, humidity: float) -> None:
    ours = celsius(dew_point(vapour_pressure(kelvin(degrees), humidity)))
    assert ours == pytest.approx(psychrolib.GetTDewPointFromRelHum(degrees, humidity), abs=0.01)
    humid_air = HAPropsSI("D", "T", kelvin(degrees), "P", 101_325, "R", humidity)
    assert ours == pytest.approx(celsius(humid_air), abs=0.01)


@pytest.mark.parametrize("degrees", [-20, -15, -10, -5, 0.01, 5, 10, 15, 20, 25, 30, 40, 50, 60])
def test_dew_point_of_a_pressure_against_a_library(degrees: float) -> None:
    pressure = psychrolib.GetSatVapPres(degrees)
    assert celsius(dew_point(pressure)) == pytest.approx(degrees, abs=0.037 if degrees >= -15 else 0.053)


def test_frost_point_of_winter_air_against_a_library() -> None:
    ours = celsius(dew_point(vapour_pressure(kelvin(-5), 0.8)))
    assert ours == pytest.approx(psychrolib.GetTDewPointFromRelHum(-5, 0.8), abs=0.011)


# ---- Surfaces ----------------------------------------------------------------------------------------------------


def test_surface_that_grows_mould_as_published() -> None:
    # DIN 4108-2 and -3, as quoted on German training pages: air of 20 °C and 50 % is at 80 % on a surface of 12.6 °C;
    # with -5 °C outside and Rsi 0.25 this asks for fRsi of 0.70.
    warm_enough = temperature_at_humidity(vapour_pressure(kelvin(20), 0.5), 0.8)
    assert celsius(warm_enough) == pytest.approx(12.6, abs=0.05)
    assert (warm_enough - kelvin(-5)) / 25 == pytest.approx(0.70, abs=0.0055)
    assert surface_temperature(kelvin(20), kelvin(-5), 0.704) == pytest.approx(kelvin(12.6))


@pytest.mark.parametrize(("degrees", "humidity"), [*AIRS, (-5, 0.80)])
def test_temperature_at_80_percent_against_a_library(degrees: float, humidity: float) -> None:
    pressure = psychrolib.GetVapPresFromRelHum(degrees, humidity)
    reached = celsius(temperature_at_humidity(pressure, 0.8))
    assert psychrolib.GetVapPresFromRelHum(reached, 0.8) == pytest.approx(pressure, rel=2e-3)


@pytest.mark.parametrize(
    ("conductivity", "thickness", "factor"),
    [
        # Solid brick with 15 mm of lime plaster, Rsi 0.25, Rse 0.04; computed independently, by hand:
        # 1 - 0.25/(0.04 + d/λ + 0.015/1.00 + 0.25). λ 0.81 and 0.56: DIN 4108-4 and UK inner leaf, from memory.
        (0.81, 0.250, 0.593),
        (0.81, 0.380, 0.677),
        (0.81, 0.510, 0.733),
        (0.56, 0.250, 0.667),
        (0.56, 0.380, 0.746),
        (0.56, 0.510, 0.794),
    ],
)
def test_surface_factor_of_a_plain_brick_wall(conductivity: float, thickness: float, factor: float) -> None:
    wall = thermal_resistance(thickness, conductivity) + thermal_resistance(0.015, 1.00)
    assert surface_factor(0.04 + wall + 0.25, 0.25) == pytest.approx(factor, abs=0.0005)


# ---- Layers ------------------------------------------------------------------------------------------------------


def test_layers_by_hand() -> None:
    # 380 mm of brick, λ 0.81, mu 10; computed independently, by hand: 0.38/0.81, 0.38·10.
    assert thermal_resistance(0.380, 0.81) == pytest.approx(0.4691, abs=5e-5)
    assert vapour_thickness(10, 0.380) == pytest.approx(3.8)
    # With Rsi 0.13 and Rse 0.04 (ISO 6946): 1/(0.04 + 0.4691 + 0.13).
    assert transmittance(0.04 + 0.4691 + 0.13) == pytest.approx(1.5647, abs=5e-5)


def test_vapour_thickness_of_spray_foam_as_published() -> None:
    # CAN/ULC S705.1, as quoted on data pages of foams: 50 mm let through at most 60 ng/(Pa·s·m²), an sd of 3.3 m with
    # 2e-10 kg/(m·s·Pa) for air, mu 67.
    assert vapour_thickness(67, 0.050) == pytest.approx(2e-10 / 60e-12, rel=0.006)


def test_sheet_that_takes_up_all_condensate() -> None:
    # DIN 4108-3, as quoted: wood-based sheet may gain 3 points. By hand for OSB, 12 mm, 600 kg/m³: 0.03·600·0.012.
    assert moisture_gain(0.216, 600, 0.012) == pytest.approx(0.03)
