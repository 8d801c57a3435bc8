"""A quick cut list: piece after piece into the room where it leaves least, on a new sheet where it fits none."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from itertools import product
from typing import NamedTuple

from planlint.cutting.blocks import Panel, Shape, Spot
from planlint.cutting.patterns import Counts
from planlint.cutting.programme import Column

__all__ = ["Greedy"]

Order = Callable[[Shape], tuple[int, ...]]
ORDERS: tuple[Order, ...] = (
    lambda shape: (shape.length, shape.edges, shape.width),
    lambda shape: (shape.edges, shape.length, shape.width),
    lambda shape: (shape.width, shape.edges, shape.length),
    lambda shape: (shape.width * shape.length, shape.edges),
)
ALONG, ACROSS, WIDEST = range(3)
"""Which cut parts what is left beside a piece from what is left beyond it: whichever leaves the larger, for WIDEST."""


class _Room(NamedTuple):
    """What is still whole of a stock, and whether its long sides are factory edges."""

    sheet: int
    x: int
    y: int
    width: int
    length: int
    at_left: bool
    at_right: bool

    def waste(self, width: int, length: int, edges: int) -> tuple[int, int] | None:
        """How little is left beside or beyond a piece, and edges taken without need; None where it does not fit."""
        if width > self.width or length > self.length:
            return None
        if edges > self.at_left + self.at_right or (edges > 1 and width < self.width):
            return None
        return min(self.width - width, self.length - length), 0 if edges else self.at_left + self.at_right


class _Way(NamedTuple):
    """A room for a piece, and where it would lie there."""

    waste: tuple[int, int]
    room: _Room
    spot: Spot


@dataclass(frozen=True, slots=True)
class Greedy:
    """Quick cut lists of the same kinds of piece; the last panel is the new sheet."""

    shapes: Sequence[Shape]
    panels: Sequence[Panel]

    def spreads(self, counts: Counts, on_hand: tuple[int, ...]) -> Iterator[list[Column]]:
        """A cut list for each order of the pieces and each way of parting the rest."""
        for order, split in product(ORDERS, (ALONG, ACROSS, WIDEST)):
            yield self._spread(counts, on_hand, order, split)

    def _spread(self, counts: Counts, on_hand: tuple[int, ...], order: Order, split: int) -> list[Column]:
        kinds = [kind for kind, number in enumerate(counts) if number]
        sides = [(width, length) for kind in kinds for width, length, _ in self.shapes[kind].ways()]
        least = min((width for width, _ in sides), default=0), min((length for _, length in sides), default=0)
        stocks = list(on_hand)
        rooms = [self._whole(sheet, stock) for sheet, stock in enumerate(stocks)]
        spots: list[list[Spot]] = [[] for _ in stocks]
        for kind in sorted(kinds, key=lambda kind: order(self.shapes[kind]), reverse=True):
            for _ in range(counts[kind]):
                way = min(self._ways(rooms, kind), key=lambda way: way.waste, default=None)
                if way is None:
                    stocks.append(len(self.panels) - 1)
                    spots.append([])
                    rooms.append(self._whole(len(stocks) - 1, stocks[-1]))
                    way = min(self._ways(rooms[-1:], kind), key=lambda way: way.waste)
                rooms.remove(way.room)
                spots[way.room.sheet].append(way.spot)
                rooms.extend(_rest(way.room, way.spot, split, least))
        return [self._column(stock, own) for stock, own in zip(stocks, spots, strict=True) if own]

    def _column(self, stock: int, spots: list[Spot]) -> Column:
        counts = [0] * len(self.shapes)
        for spot in spots:
            counts[spot.shape] += 1
        return Column(stock, tuple(counts), tuple(spots))

    def _whole(self, sheet: int, stock: int) -> _Room:
        panel = self.panels[stock]
        return _Room(sheet, 0, 0, panel.width, panel.length, panel.edges > 0, panel.edges > 1)

    def _ways(self, rooms: list[_Room], kind: int) -> Iterator[_Way]:
        edges = self.shapes[kind].edges
        for width, length, turned in self.shapes[kind].ways():
            for room in rooms:
                waste = room.waste(width, length, edges)
                if waste is not None:
                    # To the right where only that edge will do, or where it leaves a factory edge free.
                    at_right = room.at_right and not room.at_left if edges else room.at_left and not room.at_right
                    x = room.x + room.width - width if at_right else room.x
                    yield _Way(waste, room, Spot(kind, x, room.y, width, length, turned))


def _rest(room: _Room, spot: Spot, split: int, least: tuple[int, int]) -> Iterator[_Room]:
    """What is left beside and beyond a piece, where it is large enough for any."""
    beside, beyond = room.width - spot.width, room.length - spot.length
    at_right = spot.x > room.x
    if split == WIDEST:
        split = ALONG if beside * room.length >= beyond * room.width else ACROSS
    if beside >= least[0]:
        yield room._replace(
            x=room.x if at_right else room.x + spot.width,
            width=beside,
            length=room.length if split == ALONG else spot.length,
            at_left=room.at_left and at_right,
            at_right=room.at_right and not at_right,
        )
    if beyond >= least[1]:
        over = spot.width if split == ALONG else room.width
        x = room.x + room.width - over if at_right else room.x
        yield room._replace(
            x=x,
            y=room.y + spot.length,
            width=over,
            length=beyond,
            at_left=room.at_left and x == room.x,
            at_right=room.at_right and x + over == room.x + room.width,
        )
