"""The line of vapour pressure through a wall, as a taut string below the curve of saturation.

Drawn over the depth as sd, the line hangs between the pressures of the two airs and nowhere rises above saturation:
it is the lower convex hull of those two ends and of saturation at every point between. Where it touches, water
condenses, and where water stands it is held there. Points are counted from outside.
Source: the graphic method of Glaser, put into one sentence; checked against all chords by brute force in the tests.
"""

from bisect import bisect
from collections.abc import Collection
from typing import Final, NamedTuple

AIR_PERMEABILITY: Final = 2.0e-10
"""δ0 of still air [kg/(m·s·Pa)] (ISO 13788, from memory)."""
NOISE: Final = 1e-14
"""A rate below this [kg/(m²·s)], 0.3 mg a square metre and year, is rounding of the floats and no condensation."""


class Point(NamedTuple):
    """A point of the curve of saturation."""

    slab: int
    """The slab inside which it lies or whose inner face it is; -1 for the outer surface."""
    share: float
    """How far through the slab it lies: 1 at its inner face."""
    depth_sd: float
    """[m] of sd from outside, greater than that of the point before"""
    temperature: float
    """[K]"""
    saturation: float
    """[Pa]"""


class VapourLine(NamedTuple):
    """What the string is drawn through."""

    points: list[Point]
    outer_pressure: float
    """Vapour pressure at the first point [Pa]"""
    inner_pressure: float
    """Vapour pressure at the last point [Pa]"""

    def rates(self, wet: Collection[int] = ()) -> dict[int, float]:
        """What condenses at each plane [kg/(m²·s)]: g = δ0·(slope inside - slope outside).

        Water stands at the points `wet`: they are planes whatever happens there, and dry where g is negative.
        """
        knots = self.knots(wet)
        rates = {
            here: AIR_PERMEABILITY * (self._slope(here, inner) - self._slope(outer, here))
            for outer, here, inner in zip(knots, knots[1:], knots[2:], strict=False)
        }
        return {index: rate for index, rate in rates.items() if index in wet or rate > NOISE}

    def knots(self, wet: Collection[int] = ()) -> list[int]:
        """The points that hold the string: its ends, where it touches saturation, and where water stands."""
        knots: list[int] = []
        held = 1  # that many knots stay, whatever follows
        for index in range(len(self.points)):
            while len(knots) > held and self._slope(knots[-2], knots[-1]) >= self._slope(knots[-1], index):
                knots.pop()
            knots.append(index)
            if index in wet:
                held = len(knots)
        return knots

    def pressures(self) -> list[float]:
        """Vapour pressure at each point [Pa], where no water stands yet."""
        knots = self.knots()

        def pressure(index: int) -> float:
            if index in knots:
                return self._held_at(index)
            after = bisect(knots, index)
            outer, inner = knots[after - 1], knots[after]
            way = self.points[index].depth_sd - self.points[outer].depth_sd
            return self._held_at(outer) + self._slope(outer, inner) * way

        return [pressure(index) for index in range(len(self.points))]

    def _held_at(self, index: int) -> float:
        if index == 0:
            return self.outer_pressure
        return self.inner_pressure if index == len(self.points) - 1 else self.points[index].saturation

    def _slope(self, outer: int, inner: int) -> float:
        rise = self._held_at(inner) - self._held_at(outer)
        return rise / (self.points[inner].depth_sd - self.points[outer].depth_sd)
