"""Sloping ceilings above a low wall, seen in the section across them."""

import math
from dataclasses import dataclass, replace

from planlint.geometry.faces import end_moves


@dataclass(frozen=True, slots=True, kw_only=True)
class Slope:
    """A sloping ceiling from the head of its knee wall up to the ceiling or the ridge; metres and radians.

    Raises:
        ValueError: The pitch is not between level and upright, or the slope ends no higher than it begins.
    """

    knee: float
    """Height of the knee wall, from the floor."""
    top: float
    """Height at which the slope ends, from the floor."""
    pitch: float
    """How steep it is, from the level."""
    width: float
    """Its width along the knee wall."""

    def __post_init__(self) -> None:
        if not 0 < self.pitch < math.pi / 2:
            raise ValueError(f"a slope lies between level and upright, not at {math.degrees(self.pitch):.4g}°")
        if not 0 <= self.knee < self.top:
            raise ValueError(f"a slope rises: it cannot go from {self.knee:g} m up to {self.top:g} m")
        if not self.width > 0:
            raise ValueError(f"a slope is wider than 0 m, not {self.width:g} m")

    @property
    def length(self) -> float:
        """Length up the slope: rise / sin pitch."""
        return (self.top - self.knee) / math.sin(self.pitch)

    @property
    def run(self) -> float:
        """What it takes off the level ceiling: rise / tan pitch."""
        return (self.top - self.knee) / math.tan(self.pitch)

    @property
    def area(self) -> float:
        """Area of the slope in square metres."""
        return self.width * self.length

    def finished(self, *, lining: float, knee: float = 0.0, beyond: float = 0.0, ridge: float | None = None) -> "Slope":
        """The face of the slope once it is lined, between the finished faces beside it.

        Args:
            lining: Thickness of the slope's own lining (m).
            knee: That of the knee wall's lining.
            beyond: That of the lining of the ceiling, or of the other slope, where it ends.
            ridge: Pitch of the other slope where it ends at a ridge (rad); None where it ends at a level ceiling.

        Raises:
            ValueError: The linings leave nothing of the slope, or of the knee wall.
        """
        at_knee, at_top = math.pi / 2 - self.pitch, self.pitch + (ridge or 0.0)
        length = self.length - end_moves(lining, knee, at_knee) - end_moves(lining, beyond, at_top)
        foot = self.knee - end_moves(knee, lining, at_knee)
        return replace(self, knee=foot, top=foot + length * math.sin(self.pitch))
