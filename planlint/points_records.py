"""What a schedule of points holds, as plain frozen data: the only thing that its reports see."""

from dataclasses import dataclass
from enum import StrEnum

from planlint.sum_records import About, Figure, Source, StepCard, Unknown

__all__ = [
    "BoxCard",
    "CeilingPointCard",
    "Figure",
    "FittingCard",
    "HoleCard",
    "PieceHole",
    "PointCard",
    "PointsSchedule",
    "RunCard",
    "Source",
    "SpotCard",
    "StepCard",
    "Unknown",
    "Vapour",
    "WallCard",
    "WayCard",
]

Known = Figure | Unknown
"""A figure, or what is not recorded of it."""


class Vapour(StrEnum):
    """What becomes of the vapour layer at the hole of a point."""

    SEALED = "sealed"
    OPEN = "open"
    NOT_REACHED = "not-reached"
    """The box ends before it."""
    NONE = "none-recorded"


@dataclass(frozen=True, slots=True)
class HoleCard:
    """One hole of a point, by the distance of its centre from the ends of the bare wall."""

    number: int
    left: Known
    right: Known


@dataclass(frozen=True, slots=True)
class BoxCard:
    """The back box of a point."""

    name: str
    hole: Known
    depth: Known
    saw: Figure | Unknown | None
    """The hole saw at hand that fits; None where none does."""


@dataclass(frozen=True, slots=True)
class FittingCard:
    """What belongs to a point beside its position."""

    box: BoxCard | Unknown | None
    """None where the point has none and wants none."""
    circuit: str | Unknown
    is_circuit_known: bool
    """Whether the plan holds that circuit."""
    backing: bool
    recess: Figure | None
    ip: str | None
    vapour: Vapour | Unknown


@dataclass(frozen=True, slots=True)
class PointCard:
    """A point on a wall, and where its holes are marked."""

    place: str
    name: str
    kind: str
    gangs: int
    now: Known
    """Height of the centre above the floor as it is now."""
    finished: Known
    holes: tuple[HoleCard, ...]
    centre: HoleCard
    """The middle of the plate; its number is 0."""
    fitting: FittingCard
    steps: tuple[StepCard, ...]


@dataclass(frozen=True, slots=True)
class CeilingPointCard:
    """A point on a ceiling, by its distances from walls."""

    place: str
    name: str
    kind: str
    gangs: int
    from_walls: tuple[tuple[str, Figure], ...]
    unplaced: Unknown | None
    """What is not recorded of where it is."""
    fitting: FittingCard


@dataclass(frozen=True, slots=True)
class PieceHole:
    """A hole in a piece of board, from its left edge at the height of the hole and from its lower edge."""

    piece: str
    name: str
    layer: int
    board: str
    point: str
    hole: int
    left: Figure
    bottom: Figure
    width: Known
    crosses_edge: bool


@dataclass(frozen=True, slots=True)
class WallCard:
    """A wall with its points from left to right."""

    place: str
    length: Known
    points: tuple[PointCard, ...]
    has_pieces: bool
    pieces: tuple[PieceHole, ...]
    """The holes in its boards, where they were asked for."""
    unplaced: tuple[Unknown, ...]
    """What is not recorded of those."""


@dataclass(frozen=True, slots=True)
class SpotCard:
    """A spot that a cable passes on a wall."""

    at: Figure
    now: Known
    """Above the floor as it is now."""
    finished: Known


@dataclass(frozen=True, slots=True)
class WayCard:
    """The way of a cable on one wall, straight from spot to spot."""

    wall: str
    spots: tuple[SpotCard, ...]


@dataclass(frozen=True, slots=True)
class RunCard:
    """Where a cable lies, as far as anybody can say."""

    place: str
    circuit: str
    start: str | None
    end: str
    section: Figure | None
    how: str | None
    """`drawn`, `in-zones` or `along-walls`; None where nobody knows."""
    said: str
    """How the way is known, and how far to trust it."""
    is_whole: bool
    spread: Figure | None
    """How far to either side it may lie where it keeps to the zones."""
    ways: tuple[WayCard, ...]
    depth: Known
    """Below the bare surface of the wall."""
    protected_by: str | None
    length: Known
    missing: tuple[str, ...]
    """The keys that would say where it lies."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PointsSchedule(About):
    """The points of a plan by wall, those on ceilings, and where the cables lie."""

    place: str | None
    on_pieces: bool
    points_in_plan: int
    walls: tuple[WallCard, ...]
    ceilings: tuple[CeilingPointCard, ...]
    runs_in_plan: int
    runs: tuple[RunCard, ...]
    sources: tuple[Source, ...]
    caution: str
