"""Screws that hold boards: what they bite into, and how far their points reach."""

from dataclasses import dataclass

from planlint.model.buildups import Board, Lining
from planlint.rule import Given
from planlint.sums.faces import key_of_thickness, lining_depth, thickness
from planlint.sums.working import Lacking, tidy
from planlint.units import Length, at_least

LIMITS_OF_BITE = ("timber_sheet_kinds",)


@dataclass(frozen=True, slots=True)
class Bite:
    """What the screws of one layer hold on to behind it."""

    timber: Length
    """How far they go into timber: sheets of it and the battens or studs together."""
    passes_sheet: bool
    """Whether they come out behind a sheet of timber."""


def numbered_boards(lining: Lining) -> tuple[tuple[int, Board], ...]:
    """The boards of a lining with the number of their layer among all its layers, wall side first."""
    return tuple((number, layer.board) for number, layer in enumerate(lining.layers, 1) if layer.board)


def bite(lining: Lining, number: int, length: Length, given: Given) -> Bite | Lacking:
    """What screws of a length through the nth layer hold on to; what fills the gaps between battens does not count."""
    boards = numbered_boards(lining)
    first = boards[0][0]
    behind, timber, passes = float(length), 0.0, False
    for layer in range(number, first - 1, -1):
        depth, board = thickness(lining.layers[layer - 1]), lining.layers[layer - 1].board
        if depth is None:
            return Lacking("how thick the layers are", (key_of_thickness(lining, layer),))
        if layer < number and board and board.kind is None:
            return Lacking("what the sheet behind is made of", (f"{board.place}.kind",))
        if layer < number and board and board.kind in given.words("timber_sheet_kinds"):
            timber += min(max(behind, 0.0), depth)
            passes = passes or at_least(behind, depth)
        behind -= depth
    return Bite(length.like(tidy(timber + max(behind, 0.0))), passes)


def reach(lining: Lining, number: int, length: Length) -> Length | Lacking:
    """How far the points of screws through the nth layer reach past the bare surface of the wall, if above 0."""
    nth = 1 + [one for one, _ in numbered_boards(lining)].index(number)
    depth = lining_depth(lining, nth)
    return depth if isinstance(depth, Lacking) else length.like(tidy(length - depth))
