"""The largest piece of a sheet that stays whole when all pieces are cut out."""

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from planlint.cutting.blocks import Spot

__all__ = ["Region", "largest_rest"]


class Region(NamedTuple):
    """A part of a sheet."""

    x: int
    y: int
    width: int
    length: int


def largest_rest(width: int, length: int, spots: Sequence[Spot], saw: int) -> Region | None:
    """The largest of the rests that cuts along the pieces' sides leave, without its kerf; None where all is used.

    On each part of the sheet all cuts across, or all cuts along it, are made at once; both are tried.
    """
    return max(
        (
            rest._replace(width=rest.width - saw, length=rest.length - saw)
            for rest in _rests(Region(0, 0, width, length), spots)
            if rest.width > saw and rest.length > saw
        ),
        key=lambda rest: (rest.width * rest.length, rest.width, -rest.x, -rest.y),
        default=None,
    )


def _rests(region: Region, spots: Sequence[Spot]) -> Iterator[Region]:
    if not spots:
        yield region
        return
    for axis in (0, 1):
        start, size = region[axis], region[axis + 2]
        spans = sorted((spot[axis + 1], spot[axis + 1] + spot[axis + 3]) for spot in spots)
        # The pieces fall into groups that no cut on this axis can part; between them, and at the ends, is rest.
        groups: list[list[int]] = []
        for low, high in spans:
            if groups and low < groups[-1][1]:
                groups[-1][1] = max(groups[-1][1], high)
            else:
                groups.append([low, high])
        gaps = zip([start, *(high for _, high in groups)], [*(low for low, _ in groups), start + size], strict=True)
        parts = [(low, high) for low, high in gaps if high > low]
        if len(groups) > 1 or parts:
            parts += [(low, high) for low, high in groups]
            for low, high in parts:
                own = [spot for spot in spots if low <= spot[axis + 1] < high]
                part = (
                    Region(low, region.y, high - low, region.length)
                    if axis == 0
                    else Region(region.x, low, region.width, high - low)
                )
                yield from _rests(part, own)
