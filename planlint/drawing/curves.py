"""Temperature and vapour pressure across a build-up: the lines of the sum of condensation, and charts to draw them in.

The lines are those that the sum leaves behind: straight between the faces of the layers, over their thickness.
Saturation alone is curved there: it is that of the temperature at each spot.
"""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Final

from planlint.drawing.layers import Shown
from planlint.drawing.paper import SMALL
from planlint.formulas.condensation import Plane
from planlint.formulas.moisture import saturation_pressure
from planlint.sheet_records import Anchor, Line, Look, Mark, Spot, Text
from planlint.sums.condensation import Condensation

AIR: Final = 9.0
"""[mm] What is drawn of the air on each side."""
_BOUNDARY: Final = 3.0
"""[mm] of it in which the air takes on the temperature of the surface."""
_PARTS: Final = 8
"""Straight parts in which the curve of saturation is drawn from one spot of the line of temperature to the next."""
_TICKS: Final = 6
_STEPS: Final = (1.0, 2.0, 5.0, 10.0)

Course = list[tuple[float, float]]
"""A line: mm across the paper, and a value (K or Pa)."""


def temperatures(found: Condensation, layers: Sequence[Shown]) -> Course:
    """The temperature [K] from the air outside to the air in the room."""
    faces, outer, inner = found.profile.faces, layers[0].left, layers[-1].right
    inside, outside = found.conditions.inside.temperature, found.conditions.outside.temperature
    course: Course = [(outer - AIR, outside), (outer - _BOUNDARY, outside), (outer, faces[0].temperature)]
    course += [(layer.right, faces[_passed(layers, number)].temperature) for number, layer in enumerate(layers)]
    return [*course, (inner + _BOUNDARY, inside), (inner + AIR, inside)]


def pressures(found: Condensation, layers: Sequence[Shown]) -> Course:
    """The vapour pressure [Pa] from the air outside to the air in the room; it bends where water condenses."""
    faces, outer, inner = found.profile.faces, layers[0].left, layers[-1].right
    inside, outside = found.conditions.inside.air, found.conditions.outside.air
    course: Course = [(outer - AIR, outside.vapour_pressure), (outer - _BOUNDARY, outside.vapour_pressure)]
    course.append((outer, faces[0].pressure))
    for number, layer in enumerate(layers):
        within = (one for one in found.profile.planes if one.slab == layer.stratum and not one.at_face)
        course += [(layer.at(one.share), saturation_pressure(one.temperature)) for one in within]
        course.append((layer.right, faces[_passed(layers, number)].pressure))
    return [*course, (inner + _BOUNDARY, inside.vapour_pressure), (inner + AIR, inside.vapour_pressure)]


def saturations(found: Condensation, layers: Sequence[Shown]) -> Course:
    """The pressure [Pa] at which vapour is saturated, from the air outside to the air in the room."""
    course = temperatures(found, layers)
    fine = [course[0]]
    for (left, cold), (right, warm) in pairwise(course):
        shares = [part / _PARTS for part in range(1, _PARTS + 1)]
        fine += [(left + share * (right - left), cold + share * (warm - cold)) for share in shares]
    return [(x, saturation_pressure(kelvin)) for x, kelvin in fine]


def place_of(plane: Plane, layers: Sequence[Shown]) -> float:
    """How far across the paper water condenses or stands."""
    return next(layer.at(plane.share) for layer in layers if layer.stratum == plane.slab)


def _passed(layers: Sequence[Shown], number: int) -> int:
    """The face that is reached after a layer: a space that the sums do not reckon with changes nothing."""
    return sum(layer.stratum is not None for layer in layers[: number + 1])


@dataclass(frozen=True, slots=True)
class Chart:
    """A frame in which courses are drawn; values grow upwards."""

    left: float
    right: float
    top: float
    bottom: float
    ticks: tuple[float, ...]
    """The values that are written beside it; the least and the greatest are its lower and its upper edge."""

    def up(self, value: float) -> float:
        """Where a value lies on paper."""
        least, most = self.ticks[0], self.ticks[-1]
        return self.bottom - (value - least) / (most - least) * (self.bottom - self.top)

    def line(self, look: Look, course: Course) -> Line:
        """A course as it lies in the chart, its values in the unit of the ticks."""
        return Line(look, tuple((x, self.up(value)) for x, value in course))

    def axes(self, title: str) -> Iterator[Mark]:
        """The frame with its ticks, their figures, and what they are figures of."""
        yield Line(Look.AXIS, ((self.left, self.top), (self.left, self.bottom), (self.right, self.bottom)))
        for tick in self.ticks:
            at: Spot = (self.left, self.up(tick))
            yield Line(Look.AXIS, ((at[0] - 1.2, at[1]), at))
            yield Text(Look.AXIS, (at[0] - 1.8, at[1] + SMALL / 3), f"{tick:g}", SMALL, Anchor.END)
        yield Text(Look.LABEL, (self.left, self.top - 2.4), title)


def ticks(least: float, most: float) -> tuple[float, ...]:
    """Round values, evenly apart, from at or below the least to at or above the greatest.

    >>> ticks(-5, 20), ticks(0, 2337)
    ((-5.0, 0.0, 5.0, 10.0, 15.0, 20.0), (0.0, 500.0, 1000.0, 1500.0, 2000.0, 2500.0))
    """
    span = max(most - least, 1e-6)
    power = 10.0 ** math.floor(math.log10(span / _TICKS))
    step = next(power * one for one in (*_STEPS, 20.0) if span / (power * one) <= _TICKS)
    first, last = math.floor(least / step + 1e-9), math.ceil(most / step - 1e-9)
    return tuple(step * number for number in range(first, max(last, first + 1) + 1))
