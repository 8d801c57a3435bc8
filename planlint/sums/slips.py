"""What was probably meant by a figure that is out of line: the slips of the pen that people make with tape and plan."""

import re
from collections.abc import Callable, Iterator, Sequence
from itertools import pairwise
from typing import Final

from planlint.model.rooms import Floor
from planlint.model.services import Point
from planlint.model.words import HeightsFrom
from planlint.units import Length, at_most, scale

_TAPES: Final = (("cm", "mm", "m"), ("in", "ft"))
"""The units of one tape each, those first that are mixed up most often."""

_JUST: Final = 0.001
"""A millimetre: what two figures that mean the same may differ by when they were rounded (own decision)."""


def mistyped(value: Length, fits: Callable[[float], bool]) -> str | None:
    """The figure that was probably meant: the same digits with another unit, or two neighbours of them swapped.

    `fits` says whether a height (m) would have been right, and has to be narrow: a few millimetres.

    >>> mistyped(Length(0.025, "mm"), lambda height: abs(height - 0.25) < 0.003)
    '25 cm'
    >>> mistyped(Length(0.52, "mm"), lambda height: abs(height - 0.25) < 0.003)
    '250 mm'
    """
    meant = (*_in_units(value, _own_tape(value)), *_swapped(value), *_in_units(value, _TAPES[0] + _TAPES[1]))
    return next((str(length) for length in meant if fits(length)), None)


def wrong_unit(value: Length, fits: Callable[[float], bool]) -> str | None:
    """The figure that was probably meant where only its unit may be wrong, and that within one system of units.

    `fits` may be as wide as a range of heights.
    """
    return next((str(length) for length in _in_units(value, _own_tape(value)) if fits(length)), None)


def other_edge(point: Point, usual: float, plate: float) -> str | None:
    """In words, where a height was probably measured to another edge, or from another floor, than the plan says.

    `usual` is the height of the centre (m) that the point would be expected at, `plate` the height of plates (m).
    """
    height, floor = point.height, point.on.room.floor
    if height is None:
        return None
    centre = point.centre(plate)
    if point.to_bottom:
        return f"perhaps {height} was meant to its centre" if _same(height, usual) else None
    hole = point.box.hole if point.box else None
    halves = [plate / 2, *([hole / 2] if hole else [])]
    if centre is not None and any(_same(usual - centre, half) for half in halves):
        return f"perhaps {height} was meant to its lower edge (height_to: bottom)"
    return _other_floor(height, usual, floor)


def _other_floor(height: Length, usual: float, floor: Floor) -> str | None:
    if not floor.build_up or not _same(abs(height - usual), floor.build_up):
        return None
    raw = floor.heights_from is HeightsFrom.RAW
    # A figure from the finished floor is the smaller one, by all that is still to be laid.
    if raw == (height > usual):
        return None
    other = "finished" if raw else "raw"
    return f"perhaps {height} was measured from the {other} floor: the difference is the build-up, {floor.build_up}"


def _same(value: float, other: float) -> bool:
    return at_most(abs(value - other), _JUST)


def _figure(value: Length) -> str | None:
    """The figure as the plan has it, without its unit; None where it is in feet and inches or a fraction."""
    return found[1] if (found := re.fullmatch(r"(\d+(?:\.\d+)?) (mm|cm|m|in|ft)", str(value))) else None


def _own_tape(value: Length) -> Sequence[str]:
    return next((tape for tape in _TAPES if value.unit in tape), ())


def _in_units(value: Length, units: Sequence[str]) -> Iterator[Length]:
    figure = _figure(value)
    for unit in units if figure else ():
        if unit != value.unit:
            yield Length(float(figure or 0) * scale(unit)[0], unit)


def _swapped(value: Length) -> Iterator[Length]:
    """The figure with two neighbouring digits the other way round; a nought may come first, as it does in 0.52 m."""
    figure = _figure(value) or ""
    places = [place for place, sign in enumerate(figure) if sign.isdigit()]
    for first, second in pairwise(places):
        digits = list(figure)
        digits[first], digits[second] = digits[second], digits[first]
        if digits[first] != digits[second]:
            yield Length(float("".join(digits)) * scale(value.unit)[0], value.unit)
