"""The most valuable filling of a bar, exactly: sizes, values, counts, and the few of them that need an edge."""

from collections.abc import Iterable, Iterator
from typing import NamedTuple

__all__ = ["Item", "State", "chosen", "fullest", "most_valuable", "with_copies"]

Chain = tuple[int, "Chain"] | tuple[()]
State = tuple[int, int, Chain]
"""A filling: its size, its value below zero (so that states sort by size, then by worth), and the pieces in it."""
NOTHING: State = (0, 0, ())


class Item(NamedTuple):
    """One kind of piece: `number` is handed back, `edges` is how many of the bar's edges one takes."""

    number: int
    size: int
    value: int
    there: int
    edges: int = 0


def chosen(chain: Chain) -> Iterator[int]:
    """The numbers of the pieces in a filling."""
    while chain:
        yield chain[0]
        chain = chain[1]


def with_copies(
    states: list[list[State]], item: Item, capacity: int, floor: int = -1, density: float = 0.0
) -> list[list[State]]:
    """The undominated fillings, by the number of edges taken, when copies of one more item may be added.

    A filling is dropped where a shorter one is worth as much, or where filling up its room at a value per size of
    `density` does not bring it above `floor`.
    """
    number, size, value, there, needs = item
    fresh = states
    for _ in range(min(there, capacity // size)):
        # Only what got a copy in the last turn may get another one in this.
        room = capacity - size
        grown: list[list[State]] = [
            [(own + size, worth - value, (number, chain)) for own, worth, chain in fresh[taken - needs] if own <= room]
            if taken >= needs
            else []
            for taken in range(len(states))
        ]
        if not any(grown):
            break
        fresh, merged = grown, []
        for old, new in zip(states, grown, strict=True):
            kept, best = [], 1
            for state in sorted(old + new):
                if state[1] < best and (capacity - state[0]) * density - state[1] > floor:
                    kept.append(state)
                    best = state[1]
            merged.append(kept)
        states = merged
    return states


def most_valuable(items: Iterable[Item], capacity: int, edges: int = 0, floor: int = -1) -> State:
    """The most valuable filling, and of those the shortest; NOTHING where none is worth more than `floor`."""
    useful = [item for item in items if item.value > 0 and item.there and item.size <= capacity and item.edges <= edges]
    useful.sort(key=lambda item: (-item.value / item.size, -item.size, item.number))
    states: list[list[State]] = [[NOTHING], *([] for _ in range(edges))]
    best = NOTHING
    for item in useful:
        # A little is added to the density, lest rounding drop the best.
        states = with_copies(states, item, capacity, max(floor, -best[1]), item.value / item.size * (1 + 1e-12) + 1e-12)
        for row in states:
            if row and (row[-1][1], row[-1][0]) < (best[1], best[0]):
                best = row[-1]
    return best if -best[1] > floor else NOTHING


def fullest(sizes: Iterable[tuple[int, int]], capacity: int) -> dict[int, int]:
    """How many of each size (given with its count) fill a capacity best. The sums reached are the bits of a number."""
    mask = (1 << (capacity + 1)) - 1
    steps: list[tuple[int, int]] = []
    reached = 1
    for size, count in sizes:
        for _ in range(min(count, capacity // size)):
            steps.append((size, reached))
            reached |= reached << size & mask
    held: dict[int, int] = {}
    left = reached.bit_length() - 1
    for size, before in reversed(steps):
        if not before >> left & 1:
            held[size] = held.get(size, 0) + 1
            left -= size
    return held
