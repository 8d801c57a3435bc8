"""A quick cut list: piece after piece into the room where it leaves least, on a new sheet where it fits none."""

from collections.abc import Callable, Iterator, Sequence
from itertools import product
from typing import NamedTuple

from planlint.cutting.blocks import Panel, Shape, Spot
from planlint.cutting.patterns import Counts
from planlint.cutting.programme import Column

__all__ = ["spreads"]

Key = Callable[[Shape], tuple[int, ...]]
ORDERS: tuple[Key, ...] = (
    lambda shape: (shape.length, shape.edges, shape.width),
    lambda shape: (shape.edges, shape.length, shape.width),
    lambda shape: (shape.width, shape.edges, shape.length),
    lambda shape: (shape.width * shape.length, shape.edges),
)
ALONG, ACROSS, WIDEST = range(3)
"""Which cut parts what is left beside a piece from what is left beyond it: whichever leaves the larger, for WIDEST."""


class _Room(NamedTuple):
    stock: int
    x: int
    y: int
    width: int
    length: int
    at_left: bool
    at_right: bool

    def waste(self, width: int, length: int, edges: int) -> tuple[int, int] | None:
        """How little is left beside or beyond a piece, and an edge taken without need; None where it does not fit."""
        if width > self.width or length > self.length:
            return None
        if edges > self.at_left + self.at_right or (edges > 1 and width < self.width):
            return None
        return min(self.width - width, self.length - length), 0 if edges else self.at_left + self.at_right


def spreads(
    shapes: Sequence[Shape], panels: Sequence[Panel], counts: Counts, on_hand: tuple[int, ...]
) -> Iterator[list[Column]]:
    """A cut list for each order of the pieces and each way of parting the rest; the last panel is the new sheet."""
    for order, split in product(ORDERS, (ALONG, ACROSS, WIDEST)):
        yield _spread(shapes, panels, counts, on_hand, order, split)


def _spread(
    shapes: Sequence[Shape],
    panels: Sequence[Panel],
    counts: Counts,
    on_hand: tuple[int, ...],
    order: Key,
    split: int,
) -> list[Column]:
    kinds = sorted((kind for kind, number in enumerate(counts) if number), key=lambda kind: order(shapes[kind]))
    kinds.reverse()
    sides = [(width, length) for kind in kinds for width, length, _ in shapes[kind].ways()]
    least = min((width for width, _ in sides), default=0), min((length for _, length in sides), default=0)
    stocks = list(on_hand)
    rooms = [_whole(number, panels[stock]) for number, stock in enumerate(stocks)]
    spots: list[list[Spot]] = [[] for _ in stocks]
    held = [[0] * len(counts) for _ in stocks]
    for kind in kinds:
        shape = shapes[kind]
        for _ in range(counts[kind]):
            best = _best(rooms, shape)
            if best is None:
                stocks.append(len(panels) - 1)
                spots.append([])
                held.append([0] * len(counts))
                rooms.append(_whole(len(stocks) - 1, panels[-1]))
                best = _best(rooms[-1:], shape)
                assert best is not None, "every piece fits a new sheet"
            room, width, length, turned = best
            rooms.remove(room)
            # To the right where only that edge will do, or where it leaves a factory edge free.
            at_right = room.at_right and not room.at_left if shape.edges else room.at_left and not room.at_right
            x = room.x + room.width - width if at_right else room.x
            spots[room.stock].append(Spot(kind, x, room.y, width, length, turned))
            held[room.stock][kind] += 1
            rooms.extend(_rest(room, width, length, split, least, at_right=at_right))
    return [
        Column(stock, tuple(number), tuple(own)) for stock, own, number in zip(stocks, spots, held, strict=True) if own
    ]


def _whole(number: int, panel: Panel) -> _Room:
    return _Room(number, 0, 0, panel.width, panel.length, panel.edges > 0, panel.edges > 1)


def _best(rooms: list[_Room], shape: Shape) -> tuple[_Room, int, int, bool] | None:
    best, least = None, None
    for width, length, turned in shape.ways():
        for room in rooms:
            waste = room.waste(width, length, shape.edges)
            if waste is not None and (least is None or waste < least):
                best, least = (room, width, length, turned), waste
    return best


def _rest(
    room: _Room, width: int, length: int, split: int, least: tuple[int, int], *, at_right: bool
) -> Iterator[_Room]:
    """What is left beside and beyond a piece, where it is large enough for any."""
    beside, beyond = room.width - width, room.length - length
    if split == WIDEST:
        split = ALONG if beside * room.length >= beyond * room.width else ACROSS
    if beside >= least[0]:
        x = room.x if at_right else room.x + width
        own = room.length if split == ALONG else length
        yield room._replace(
            x=x,
            width=beside,
            length=own,
            at_left=room.at_left and at_right,
            at_right=room.at_right and not at_right,
        )
    if beyond >= least[1]:
        over = width if split == ALONG else room.width
        x = room.x + room.width - over if at_right else room.x
        yield room._replace(
            x=x,
            y=room.y + length,
            width=over,
            length=beyond,
            at_left=room.at_left and x == room.x,
            at_right=room.at_right and x + over == room.x + room.width,
        )
