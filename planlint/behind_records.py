"""What is said of a spot that somebody wants to drill, as plain frozen data: the only thing that its reports see."""

from dataclasses import dataclass

from planlint.sum_records import About, Figure, Unknown

__all__ = ["BehindReport", "Figure", "LayerCard", "NearCard", "Unknown"]


@dataclass(frozen=True, slots=True)
class NearCard:
    """Something near the spot."""

    kind: str
    what: str
    place: str
    other_face: bool
    """Whether it lies in the other face of the wall, of which another room's plan speaks."""
    distance: Figure
    """To its nearest part in the plane of the wall, as recorded or worked out; 0 behind the spot itself."""
    least: Figure
    """How near it may be."""
    direction: str
    """Which way it lies, such as `to the left and up`; empty behind the spot itself."""
    is_certain: bool
    """Whether the plan records where it lies; else it was worked out."""
    said: str
    depth: Figure | None
    """Below the bare surface of the wall."""
    missing: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class LayerCard:
    """One layer from the surface in the room into the wall."""

    words: str
    thickness: Figure | Unknown | None
    """None of a film or a paint."""
    begins: Figure | None
    """How deep behind the surface it begins; None where a layer before it has no known thickness."""


@dataclass(frozen=True, slots=True, kw_only=True)
class BehindReport(About):
    """What lies behind one spot, nearest first, as far as the plan holds it; never that nothing does."""

    place: str
    kind: str
    """`wall`, `ceiling` or `slope`."""
    at: Figure | None
    height: Figure | None
    """As the room measures heights."""
    heights_from: str
    now: Figure | Unknown | None
    """The same height above the floor as it is now."""
    from_walls: tuple[tuple[str, Figure], ...]
    """Of a spot on a ceiling."""
    within: Figure
    near: tuple[NearCard, ...]
    beyond: int
    """How many more things are recorded in this surface, further away."""
    layers: tuple[LayerCard, ...]
    photos: int | None
    """How many photographs of it the plan records; None where it does not say."""
    unrecorded: tuple[Unknown, ...]
    assumed: tuple[str, ...]
    caution: str
