"""The lifting equation against the worked examples of its manual and lifts worked out elsewhere.

The manual is NIOSH 94-110. Its tables and clamps were seen in a public transcription; the examples' inputs and printed
results are from memory. The manual itself was not read.
"""

import math
from collections.abc import Callable

import pytest

from planlint.formulas.handling import (
    Grip,
    Lift,
    asymmetry_multiplier,
    coupling_multiplier,
    distance_multiplier,
    frequency_multiplier,
    horizontal_multiplier,
    lifting_index,
    recommended_weight,
    vertical_multiplier,
)

HOUR = 3600.0
POUND = 0.453_592_37  # kg
INCH = 0.0254  # m
# The US form of the equation has round constants of its own (10/H, 0.0075·|V - 30|, 1.8/D, 51 lb). Where an inch counts
# as 25 mm, the metric form turns into it exactly.
US_INCH = 0.025
US_CONSTANT = 51 * POUND

# NIOSH 94-110, pp. 33-50: H, V, D in inches, A in degrees; FM, CM; load, and printed RWL and LI in pounds.
EXAMPLES = {
    "1 origin": ((23, 15, 48, 0), 1, 0.95, 44, 16.3, 2.7),
    "1 destination": ((23, 63, 48, 0), 1, 1, 44, 14.5, 3.0),
    "2 origin": ((20, 27, 33, 0), 1, 0.9, 35, 19.6, 1.8),
    "2 destination": ((20, 60, 33, 0), 1, 0.9, 35, 15.6, 2.2),
    "3 origin": ((18, 15, 21, 45), 1, 0.95, 40, 18.9, 2.1),
    "5 origin": ((20, 44, 37, 30), 0.80, 1, 20, 14.4, 1.4),
    "5 destination": ((20, 7, 37, 30), 0.80, 1, 20, 13.3, 1.5),
}


def lift(inches: tuple[float, float, float, float], inch: float) -> Lift:
    horizontal, vertical, distance, degrees = inches
    return Lift(horizontal * inch, vertical * inch, distance * inch, math.radians(degrees))


@pytest.mark.parametrize("example", EXAMPLES)
def test_worked_examples_of_the_manual(example: str) -> None:
    inches, frequency, coupling, load, printed, index = EXAMPLES[example]
    limit = recommended_weight(lift(inches, US_INCH), coupling, frequency, US_CONSTANT)
    # The manual multiplies table values of two places, and rounds: 2.5 % and 0.1.
    assert limit / POUND == pytest.approx(printed, rel=0.025)
    assert lifting_index(load * POUND, limit) == pytest.approx(index, abs=0.1)


# The same examples, inches of 25.4 mm in the metric form: worked out independently for the project's reference sheet.
@pytest.mark.parametrize(
    ("example", "kilograms"),
    [
        ("1 origin", 7.125),
        ("1 destination", 6.283),
        ("2 origin", 8.729),
        ("2 destination", 6.834),
        ("3 origin", 8.225),
    ],
)
def test_worked_examples_in_metric_form(example: str, kilograms: float) -> None:
    inches, frequency, coupling, *_ = EXAMPLES[example]
    assert recommended_weight(lift(inches, INCH), coupling, frequency) == pytest.approx(kilograms, abs=0.0006)


# Multipliers of the examples that the manual looks up: NIOSH 94-110, tables of couplings and frequencies. The trays of
# example 5 are lifted 5 times a minute for up to an hour, from 44 in up, and the height at the ORIGIN counts.
def test_multipliers_that_the_examples_look_up() -> None:
    assert coupling_multiplier(Grip.FAIR, 15 * INCH) == 0.95
    assert coupling_multiplier(Grip.FAIR, 63 * INCH) == 1
    assert coupling_multiplier(Grip.POOR, 27 * INCH) == coupling_multiplier(Grip.POOR, 60 * INCH) == 0.9
    assert frequency_multiplier(5, HOUR, 44 * INCH) == 0.80


# NIOSH 94-110, table of frequency multipliers: lifts a minute, hours, height in metres.
@pytest.mark.parametrize(
    ("per_minute", "hours", "vertical", "multiplier"),
    [
        (0.2, 1, 0.5, 1.00),
        (0.2, 2, 0.5, 0.95),
        (0.2, 8, 1.0, 0.85),
        (0.5, 8, 0.5, 0.81),
        (2, 2, 1.0, 0.84),
        (6, 1, 0.5, 0.75),
        (8, 8, 0.5, 0.18),
        (9, 8, 0.5, 0),
        (9, 8, 0.75, 0.15),
        (10, 2, 0.5, 0.26),
        (12, 1, 0.5, 0.37),
        (12, 2, 0.75, 0.21),
        (13, 1, 0.5, 0),
        (14, 1, 0.75, 0.31),
    ],
)
def test_frequency_table(per_minute: float, hours: float, vertical: float, multiplier: float) -> None:
    assert frequency_multiplier(per_minute, hours * HOUR, vertical) == pytest.approx(multiplier)


# Table of single multipliers, NIOSH 94-110, metric: what two places of its formulas give, worked out by hand.
@pytest.mark.parametrize(
    ("multiplier", "value", "printed"),
    [
        (horizontal_multiplier, 0.40, 0.63),
        (horizontal_multiplier, 0.50, 0.50),
        (vertical_multiplier, 0.0, 0.78),
        (vertical_multiplier, 1.50, 0.78),
        (distance_multiplier, 0.40, 0.93),
        (distance_multiplier, 1.00, 0.87),
        (asymmetry_multiplier, math.radians(45), 0.86),
        (asymmetry_multiplier, math.radians(135), 0.57),
    ],
)
def test_single_multipliers(multiplier: Callable[[float], float], value: float, printed: float) -> None:
    assert multiplier(value) == pytest.approx(printed, abs=0.00501)


# Lifts of a board at 0.2 a minute with a poor grip, in cm and degrees: worked out for the project's reference sheet.
@pytest.mark.parametrize(
    ("horizontal", "vertical", "distance", "degrees", "kilograms"),
    [(25, 75, 25, 0, 20.7), (30, 70, 30, 0, 16.5), (40, 30, 75, 30, 8.9), (45, 20, 130, 0, 8.2)],
)
def test_lifts_of_a_board(
    horizontal: float, vertical: float, distance: float, degrees: float, kilograms: float
) -> None:
    where = Lift(horizontal / 100, vertical / 100, distance / 100, math.radians(degrees))
    limit = recommended_weight(
        where, coupling_multiplier(Grip.POOR, where.vertical), frequency_multiplier(0.2, HOUR, where.vertical)
    )
    assert limit == pytest.approx(kilograms, abs=0.05)


# Masses from sizes and 8.5 kg/m² (a usual label value): 1200 x 2600 x 12.5 is 26.5 kg, 600 x 2600 is 13.3 kg.
@pytest.mark.parametrize(("mass", "is_more"), [(1.2 * 2.6 * 8.5, True), (0.6 * 2.6 * 8.5, False)])
def test_a_whole_board_is_more_than_one_person_lifts_and_half_of_it_is_not(mass: float, *, is_more: bool) -> None:
    limit = recommended_weight(Lift(0.30, 0.70, 0.30), coupling_multiplier(Grip.POOR, 0.70))
    assert (lifting_index(mass, limit) > 1) == is_more
