"""What a schedule of walls and their moisture holds, as plain frozen data: the only thing that its reports see."""

from dataclasses import dataclass
from enum import StrEnum

from planlint.sum_records import About, Figure, Source, Unknown, Working


class Standing(StrEnum):
    """How a wall comes out of its readings and its sums together."""

    KEEPS = "keeps to the limits"
    EXCEEDS = "does not keep to the limits"
    UNKNOWN = "not known"


@dataclass(frozen=True, slots=True)
class LayerRow:
    """A layer and what holds at its inner face; the first row of a table is the outer surface, which is no layer."""

    words: str
    thickness: Figure | None
    conductivity: Figure | None
    resistance: Figure | None
    sd: Figure | None
    temperature: Figure
    saturation: Figure
    pressure: Figure
    humidity: Figure


@dataclass(frozen=True, slots=True)
class WaterCard:
    """Water that condenses: where, how much in the cold period or at its most, and how much may."""

    where: str
    mass: Figure
    allowed: Figure


@dataclass(frozen=True, slots=True)
class TimberCard:
    """A piece of timber at its wettest face."""

    words: str
    where: str
    humidity: Figure
    moisture: Figure
    allowed: Figure
    is_within: bool


@dataclass(frozen=True, slots=True)
class MonthCard:
    """What stands in the wall at the end of a month."""

    month: str
    mass: Figure


@dataclass(frozen=True, slots=True)
class SurfaceCard:
    """The surface of the wall in the room."""

    temperature: Figure
    humidity: Figure
    allowed: Figure
    is_within: bool
    factor: float
    least_factor: float | None


@dataclass(frozen=True, slots=True)
class Inside:
    """What the sum of condensation comes to."""

    climate: str
    rows: tuple[LayerRow, ...]
    water: tuple[WaterCard, ...]
    total: Figure
    allowed: Figure
    evaporates: Figure | None
    """What can dry in the warm period; None month by month, or where nothing condenses."""
    dries: bool
    months: tuple[MonthCard, ...]
    timber: tuple[TimberCard, ...]
    transmittance: Figure
    working: Working


@dataclass(frozen=True, slots=True)
class ReadCard:
    """What the readings of the wall say; the wettest spot, where one could be judged."""

    says: str
    value: Figure | None
    warn: Figure | None
    stop: Figure | None
    is_wet: bool
    missing: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class WallCard:
    """A wall that faces outside, lined as planned or as it stands."""

    place: str
    lining: str | None
    undecided: bool
    readings: ReadCard
    inside: Inside | Unknown
    surface: SurfaceCard | Unknown
    standing: Standing
    reasons: tuple[str, ...]
    """Why it does not keep to the limits, or why that is not known; the gravest first."""
    vapour_layer: Figure | None
    """The least vapour resistance of a layer on the room side that would do, where one is wanted and would."""


@dataclass(frozen=True, slots=True, kw_only=True)
class MoistureSchedule(About):
    """The outside walls of a plan with what their sums come to."""

    place: str | None
    today: str
    walls_in_plan: int
    outside_in_plan: int
    walls: tuple[WallCard, ...]
    not_outside: tuple[tuple[str, str], ...]
    """Walls that were asked for by name and face something else: their place, and what they face."""
    sources: tuple[Source, ...]
    left_out: str
    """What the method does not see."""
