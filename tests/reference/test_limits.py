"""The limits that we ship against what is known outside, each with its source, or marked as common practice.

"As quoted" means that a public page that quotes or retells the document was read, not the document itself.
"""

from typing import NamedTuple

import pytest

from planlint import limits
from planlint.limits import Limits
from planlint.units import Area, Current, Length, Quantity, Ratio, Resistance, Temperature, Voltage


class Known(NamedTuple):
    """One value known from outside: the set and limit that should have it, and how it is known."""

    set: str
    limit: str
    value: object
    basis: str
    source: str


PRACTICE = "common practice"
MEMORY = "memory"
PUBLISHED = "published"

QUANTITIES = [
    # Moisture, in the fractions that percent stands for.
    Known("general", "timber_warn", Ratio(0.18, "%"), PUBLISHED, "AS 2589:2017, 2.6.3, as quoted"),
    Known("us", "timber_warn", Ratio(0.18, "%"), PUBLISHED, "US Department of Energy guide on high-moisture materials"),
    Known("general", "timber_stop", Ratio(0.20, "%"), MEMORY, "EN 1995-1-1, 2.3.1.3; DIN 68800-2: from memory"),
    Known(
        "general", "masonry_oven_dry_warn", Ratio(0.03, "%"), PUBLISHED, "ČSN/STN P 73 0610: low is 3 to 5 % by mass"
    ),
    Known("general", "masonry_oven_dry_stop", Ratio(0.05, "%"), PUBLISHED, "ČSN/STN P 73 0610: raised is 5 to 7.5 %"),
    Known(
        "general", "masonry_wood_equivalent_warn", Ratio(0.20, "%"), PRACTICE, "bands of damp surveyors: act above 20"
    ),
    Known("general", "masonry_wood_equivalent_stop", Ratio(0.23, "%"), PRACTICE, "up to about 23 % lined without harm"),
    # Conductors, in square metres.
    Known("general", "conductor_section_sockets", Area(2.5e-6, "mm²"), PRACTICE, "sockets on 2.5 mm²"),
    Known("general", "conductor_section_lights", Area(1.5e-6, "mm²"), PRACTICE, "lights may be on 1.5 mm²"),
    Known("general", "conductor_section_cooker", Area(6e-6, "mm²"), MEMORY, "NF C 15-100, hob on 32 A: from memory"),
    Known("general", "conductor_section_others", Area(2.5e-6, "mm²"), MEMORY, "NF C 15-100, laundry: from memory"),
    Known(
        "fr", "conductor_section_sockets", Area(1.5e-6, "mm²"), PUBLISHED, "NF C 15-100 (2015), 8 on 16 A, as quoted"
    ),
    Known("be", "conductor_section_sockets", Area(2.5e-6, "mm²"), PUBLISHED, "RGIE/AREI, as quoted"),
    Known("gb", "conductor_section_lights", Area(1e-6, "mm²"), PUBLISHED, "BS 7671, Table 52.3, as quoted"),
    # ASTM B258: 14 AWG is 2.08 mm², the usual figure of the tables to two decimals.
    Known("us", "conductor_section_lights", Area(2.08e-6, "mm²"), MEMORY, "NEC 240.4(D), 14 AWG on 15 A: from memory"),
    # Drops and factors, in the fractions that percent stands for.
    Known("general", "drop_lights", Ratio(0.03, "%"), PUBLISHED, "IEC 60364-5-52, Annex G: 6.9 V of 230 V, as quoted"),
    Known("general", "drop_others", Ratio(0.05, "%"), PUBLISHED, "IEC 60364-5-52, Annex G: 11.5 V of 230 V, as quoted"),
    Known("es", "drop_lights", Ratio(0.03, "%"), PUBLISHED, "REBT: 3 % for every circuit in a dwelling, as quoted"),
    Known("es", "drop_others", Ratio(0.03, "%"), PUBLISHED, "REBT: 3 % for every circuit in a dwelling, as quoted"),
    Known("de", "drop_lights", Ratio(0.03, "%"), MEMORY, "DIN 18015-1, meter to load: from memory"),
    Known("de", "drop_others", Ratio(0.03, "%"), MEMORY, "DIN 18015-1, meter to load: from memory"),
    Known("general", "lightly_loaded_share", Ratio(0.30, "%"), MEMORY, "IEC 60364-5-52, 523.5: from memory"),
    Known("general", "voltage_factor_min", Ratio(0.95, "%"), MEMORY, "BS 7671 since 2015, Cmin: from memory"),
    Known("gb", "voltage_factor_min", Ratio(0.95, "%"), MEMORY, "BS 7671 since 2015, Cmin: from memory"),
    Known("general", "conduit_share", Ratio(1 / 3, "%"), PRACTICE, "a third of the bore: a French conduit page"),
    Known("us", "conduit_share", Ratio(0.40, "%"), PUBLISHED, "NEC, Chapter 9, Table 1, over two wires, as quoted"),
    Known("general", "jam_ratio_low", Ratio(2.8, "%"), PUBLISHED, "NEC, note to Chapter 9, Table 1, as quoted"),
    Known("general", "jam_ratio_high", Ratio(3.2, "%"), PUBLISHED, "NEC, note to Chapter 9, Table 1, as quoted"),
    # Temperatures, in kelvins.
    Known("general", "ambient_temperature", Temperature(303.15, "°C"), MEMORY, "IEC 60364-5-52: tables for 30 °C"),
    Known("es", "ambient_temperature", Temperature(313.15, "°C"), PUBLISHED, "Spanish table for 40 °C, as quoted"),
    Known("general", "conductor_temperature", Temperature(343.15, "°C"), MEMORY, "PVC bears 70 °C: from memory"),
    # Protection.
    Known("general", "rcd_current", Current(0.03, "mA"), PUBLISHED, "BS 7671:2018, 411.3.3, as quoted"),
    Known("gb", "rcd_current", Current(0.03, "mA"), PUBLISHED, "BS 7671:2018, 411.3.3, as quoted"),
    Known("de", "rcd_current", Current(0.03, "mA"), PUBLISHED, "German insurers: sockets up to 32 A, as quoted"),
    Known("general", "touch_voltage", Voltage(50, "V"), MEMORY, "IEC 60364-4-41, 411.5.3: from memory"),
    Known("general", "earth_same_up_to", Area(16e-6, "mm²"), PUBLISHED, "IEC 60364-5-54: S up to 16 mm², as quoted"),
    # ASTM B258: 10 AWG is 5.26 mm².
    Known("us", "earth_same_up_to", Area(5.26e-6, "mm²"), MEMORY, "NEC 250.122, 10 AWG behind 30 A: from memory"),
    Known("general", "insulation_resistance", Resistance(1e6, "Mohm"), MEMORY, "IEC 60364-6: 1 MΩ, from memory"),
    Known("general", "insulation_test_voltage", Voltage(500, "V"), MEMORY, "IEC 60364-6: 500 V, from memory"),
    Known("de", "conductor_section_sockets", Area(1.5e-6, "mm²"), PUBLISHED, "German training page: 1.5 mm²"),
    # Boxes, in metres.
    Known("general", "gang_spacing", Length(0.071, "mm"), PRACTICE, "trade glossary: round boxes 71 mm apart"),
    Known("general", "height_tolerance", Length(0.003, "mm"), PRACTICE, "a step of about 3 mm shows"),
]

COUNTS = [
    Known("general", "socket_points_per_circuit", 6, PRACTICE, "about six socket outlets on a circuit"),
    Known("general", "light_points_per_circuit", 8, PUBLISHED, "NF C 15-100 (2015), lighting, as quoted"),
    Known("fr", "light_points_per_circuit", 8, PUBLISHED, "NF C 15-100 (2015), lighting, as quoted"),
    Known("be", "socket_points_per_circuit", 8, PUBLISHED, "RGIE/AREI, sockets, as quoted"),
    Known("es", "socket_points_per_circuit", 20, PUBLISHED, "REBT, ITC-BT-25, circuit C2, as quoted"),
    Known("es", "light_points_per_circuit", 30, PUBLISHED, "REBT, ITC-BT-25, circuit C1, as quoted"),
    Known(
        "gb", "socket_points_per_circuit", None, PUBLISHED, "guidance to BS 7671: by floor area, uncounted, as quoted"
    ),
    Known("us", "socket_points_per_circuit", None, MEMORY, "NEC: no cap on receptacles: from memory"),
    Known("de", "socket_points_per_circuit", None, MEMORY, "DIN 18015-2: circuits by floor area: from memory"),
    # k of PVC on copper: a textbook, and the heat that warms copper from 70 to 160 °C gives 114.8.
    Known("general", "adiabatic_k", 115, PUBLISHED, "IEC 60364-4-43, 434.5.2, as quoted by a textbook"),
]

WORDS = [
    Known("general", "line_colours", {"brown", "black", "grey"}, PUBLISHED, "HD 308 S2, lines of 3- to 5-core cables"),
    Known("general", "neutral_colours", {"blue"}, PUBLISHED, "IEC 60445, HD 308 S2"),
    Known("general", "earth_colours", {"green-yellow"}, PUBLISHED, "IEC 60445, HD 308 S2: and nothing else has it"),
    Known("us", "neutral_colours", {"white", "grey"}, MEMORY, "NEC: from memory"),
    Known("general", "frame_fixings", {"screws", "brackets", "lining"}, PRACTICE, "more than foam holds a frame"),
]

CHOICES = [
    Known("general", "sockets_and_lights_together", "forbidden", PRACTICE, "never on the same circuit"),
    Known("fr", "sockets_and_lights_together", "forbidden", PUBLISHED, "NF C 15-100 (2015), as quoted"),
    Known("be", "sockets_and_lights_together", "allowed", PUBLISHED, "RGIE/AREI, mixed circuits, as quoted"),
    Known("de", "sockets_and_lights_together", "allowed", MEMORY, "DIN 18015-2: mixing is allowed: from memory"),
    Known("de", "socket_counting", "outlets", PUBLISHED, "DIN 18015-2:2021: a double socket is two, as quoted"),
    Known("be", "socket_counting", "plates", PUBLISHED, "RGIE/AREI: outlets in one housing count as one, as quoted"),
    Known("general", "tape_at_inside_corner", "refused", PRACTICE, "filler cracks in the corner; an elastic joint"),
    Known("us", "tape_at_inside_corner", "allowed", PUBLISHED, "GA-214: paper tape from level 1 up, as quoted"),
    Known("gb", "tape_at_inside_corner", "allowed", PUBLISHED, "British specification, clause 670, as quoted"),
    Known("general", "edge_to_outside_corner", "tapered", PRACTICE, "the tapered edges face the outside corner"),
]


def named(known: Known) -> str:
    return f"{known.set}: {known.limit} ({known.source})"


def in_force(known: Known) -> Limits:
    """The limits of the set, once it is certain that the set itself gives this one and says honestly how it knows."""
    given = limits.resolve(known.set)
    assert (given[known.limit].set, given[known.limit].basis) == (known.set, known.basis)
    return given


@pytest.mark.parametrize("known", QUANTITIES, ids=named)
def test_quantities(known: Known) -> None:
    assert isinstance(known.value, Quantity)
    # As exact as the source prints its figure; 14 AWG is printed to two decimals.
    assert in_force(known).quantity(known.limit, type(known.value)) == pytest.approx(known.value, rel=2e-3)


@pytest.mark.parametrize("known", COUNTS, ids=named)
def test_counts(known: Known) -> None:
    assert in_force(known).count(known.limit) == known.value


@pytest.mark.parametrize("known", WORDS, ids=named)
def test_words(known: Known) -> None:
    assert isinstance(known.value, set)
    words = set(in_force(known).words(known.limit))
    assert known.value <= words
    assert words == known.value or known.limit == "frame_fixings"  # straps and anchors are our own addition


@pytest.mark.parametrize("known", CHOICES, ids=named)
def test_choices(known: Known) -> None:
    assert in_force(known).choice(known.limit) == known.value


def test_foam_never_holds_a_frame() -> None:
    # Common practice, and a UK installation guide as quoted: foam is never the only fixing.
    assert "foam" not in limits.resolve("general").words("frame_fixings")


def test_french_sockets_by_section_and_breaker() -> None:
    # NF C 15-100 (2015 and later), as quoted in trade guides: 8 on 1.5 mm² and 16 A, 12 on 2.5 mm² and 20 A.
    rows = limits.resolve("fr").table("socket_points_per_circuit")
    assert rows is not None
    written = [(str(row["section"]), str(row["breaker"]), row["points"]) for row in rows]
    assert written == [("1.5 mm²", "16 A", 8), ("2.5 mm²", "20 A", 12)]


def test_what_is_not_published_does_not_claim_to_be() -> None:
    # What we found on trade pages alone, or decided ourselves, must not look like a standard.
    given = limits.resolve("general")
    ours = ["hole_tolerance", "long_wall", "reading_age", "reading_spot", "bead_shortfall", "outline_misclosure"]
    assert {given[name].basis for name in ours} == {"own decision"}
    assert all("weak" in given[name].note for name in ("gang_spacing", "masonry_wood_equivalent_warn"))
