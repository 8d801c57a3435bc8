"""What hangs on a surface: its pieces as records, and what could not be laid out."""

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any, Final

from planlint.geometry import Panel
from planlint.model.buildups import Board
from planlint.model.words import Edge, Edges
from planlint.sums.working import Lacking
from planlint.takeoff.hanging import Hole, cutouts
from planlint.takeoff_records import BrokenCard, PieceCard

__all__ = ["Hung", "card", "factory_edge"]

NOISE: Final = 9
"""Decimals of a metre that are kept: what lies beyond them comes from floats."""


@dataclass(slots=True)
class Hung:
    """The pieces of a surface, and what could not be laid out."""

    pieces: list[PieceCard] = field(default_factory=list)
    lacking: list[Lacking] = field(default_factory=list)
    broken: list[BrokenCard] = field(default_factory=list)
    seams: dict[int, list[float]] = field(default_factory=dict)
    """By layer, where its upright joints are, from the left end of the bare wall."""


def factory_edge(board: Board) -> str | None:
    """What the long edges of a sheet are called on a piece; None where the plan does not say how they are made."""
    if board.edges is None:
        return None
    return Edge.TAPERED if board.edges is Edges.TAPERED else Edge.SQUARE


def card(
    panel: Panel,
    holes: Sequence[Hole],
    *,
    board: Board,
    edges: tuple[str | None, str | None],
    **where: Any,  # noqa: ANN401 - the other fields of the record
) -> PieceCard:
    """The record of a piece with the shape of `panel`, in whose coordinates the holes are given."""
    taken, area = cutouts(panel, holes)
    bounds = panel.bounds
    return PieceCard(
        board=board.name,
        unit=board.width.unit if board.width else "m",
        bottom=round(bounds.bottom, NOISE),
        width=round(bounds.width, NOISE),
        height=round(bounds.height, NOISE),
        width_top=round(panel.width_top, NOISE),
        width_bottom=round(panel.width_bottom, NOISE),
        height_left=round(panel.height_left, NOISE),
        height_right=round(panel.height_right, NOISE),
        cutouts=taken,
        area=area,
        left=edges[0] and str(edges[0]),
        right=edges[1] and str(edges[1]),
        **where,
    )
