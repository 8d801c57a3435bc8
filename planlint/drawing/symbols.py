"""Symbols of points in drawings, in the manner of IEC 60617 for installations; plain shapes where it has none.

Each is drawn round a spot, within a square of `SIZE` millimetres.
"""

import math
from collections.abc import Callable, Iterator
from typing import Final

from planlint.model.words import PointKind
from planlint.sheet_records import Anchor, Area, Circle, Line, Look, Mark, Sample, Spot, Text

SIZE: Final = 4.4
"""[mm] How high and wide a symbol is."""
_HALF: Final = SIZE / 2
_ARC_STEPS: Final = 12
_MIDDLE_OF_SAMPLE: Final = (6.0, 3.0)


def symbol(kind: PointKind, at: Spot = (0.0, 0.0)) -> tuple[Mark, ...]:
    """The symbol of a kind of point, its middle at a spot."""
    return tuple(_DRAWN[kind](*at))


def sample(kind: PointKind) -> Sample:
    """A line of the legend for a kind of point."""
    return Sample(symbol(kind, _MIDDLE_OF_SAMPLE), str(kind))


def _line(*spots: Spot) -> Line:
    return Line(Look.SYMBOL, spots)


def _arc(x: float, y: float, radius: float, start: float, end: float) -> Line:
    """Part of a circle, in degrees to the left from the right."""
    angles = (math.radians(start + (end - start) * step / _ARC_STEPS) for step in range(_ARC_STEPS + 1))
    return Line(Look.SYMBOL, tuple((x + radius * math.cos(angle), y - radius * math.sin(angle)) for angle in angles))


def _square(x: float, y: float) -> tuple[Spot, ...]:
    return ((x - _HALF, y - _HALF), (x + _HALF, y - _HALF), (x + _HALF, y + _HALF), (x - _HALF, y + _HALF))


def _boxed(x: float, y: float) -> Line:
    corners = _square(x, y)
    return _line(*corners, corners[0])


def _socket(x: float, y: float) -> Iterator[Mark]:
    # A half circle that is open towards the wall's feed, on a stem, with the bar of the protective contact.
    yield _arc(x, y + 0.6, 1.6, 0, 180)
    yield _line((x, y - 1.0), (x, y - _HALF))
    yield _line((x - 1.6, y - 1.0), (x + 1.6, y - 1.0))


def _switch(x: float, y: float) -> Iterator[Mark]:
    yield Circle(Look.SYMBOL, (x - 0.8, y + 1.2), 0.9)
    yield _line((x - 0.2, y + 0.5), (x + 1.6, y - _HALF), (x + _HALF, y - 1.5))


def _light(x: float, y: float) -> Iterator[Mark]:
    reach = _HALF * math.sqrt(0.5)
    yield Circle(Look.SYMBOL, (x, y), _HALF)
    yield _line((x - reach, y - reach), (x + reach, y + reach))
    yield _line((x - reach, y + reach), (x + reach, y - reach))


def _fan(x: float, y: float) -> Iterator[Mark]:
    # Two blades on a hub, in a circle.
    yield Circle(Look.SYMBOL, (x, y), _HALF)
    yield Area(Look.SYMBOL_FILLED, ((x, y), (x - 1.6, y - 0.8), (x - 1.6, y + 0.8)))
    yield Area(Look.SYMBOL_FILLED, ((x, y), (x + 1.6, y - 0.8), (x + 1.6, y + 0.8)))


def _cooker(x: float, y: float) -> Iterator[Mark]:
    # A hob with its plates.
    yield _boxed(x, y)
    for right in (-1.0, 1.0):
        for down in (-1.0, 1.0):
            yield Circle(Look.SYMBOL_FILLED, (x + right, y + down), 0.5)


def _heating(x: float, y: float) -> Iterator[Mark]:
    # A heater: a box with upright elements (IEC 60617 draws an electric heater so).
    yield _boxed(x, y)
    for right in (-1.1, 0.0, 1.1):
        yield _line((x + right, y - 1.3), (x + right, y + 1.3))


def _laundry(x: float, y: float) -> Iterator[Mark]:
    yield _boxed(x, y)
    yield Circle(Look.SYMBOL, (x, y), 1.4)


def _appliance(x: float, y: float) -> Iterator[Mark]:
    yield _boxed(x, y)
    yield Text(Look.SYMBOL, (x, y + 1.0), "A", 2.6, Anchor.MIDDLE)


def _junction(x: float, y: float) -> Iterator[Mark]:
    yield Circle(Look.SYMBOL, (x, y), _HALF)
    yield Circle(Look.SYMBOL_FILLED, (x, y), 0.6)


_DRAWN: Final[dict[PointKind, Callable[[float, float], Iterator[Mark]]]] = {
    PointKind.SOCKET: _socket,
    PointKind.SWITCH: _switch,
    PointKind.LIGHT: _light,
    PointKind.FAN: _fan,
    PointKind.COOKER: _cooker,
    PointKind.HEATING: _heating,
    PointKind.LAUNDRY: _laundry,
    PointKind.APPLIANCE: _appliance,
    PointKind.JUNCTION: _junction,
}
