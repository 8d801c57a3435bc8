"""What one sheet can hold by guillotine cuts: blocks of pieces side by side or end to end, built up exactly.

Sizes are in steps of the grid, each piece and each sheet longer and wider by one kerf, so that pieces may touch.
Every way of cutting through from edge to edge, however often, is some tree of such blocks.
"""

from collections.abc import Iterator, Sequence
from contextlib import suppress
from dataclasses import dataclass
from heapq import heappop, heappush
from typing import NamedTuple

from planlint.cutting.effort import Effort, Spent
from planlint.cutting.knapsack import NOTHING, Item, chosen, with_copies
from planlint.cutting.patterns import Counts

__all__ = ["Block", "Packed", "Panel", "Shape", "Spot", "Wanted", "best_block", "every_block", "joined"]

ANY, ONE, BOTH, WHOLE = range(4)
"""Which of a sheet's long factory edges a block lies at: any, one, both with spare width between, or one piece that
keeps both and so has the full width of the sheet."""


class Shape(NamedTuple):
    """A kind of piece. One that needs an edge may lie at either: turned end for end, left becomes right."""

    width: int
    length: int
    edges: int = 0
    may_turn: bool = False

    def ways(self) -> Iterator[tuple[int, int, bool]]:
        """Width across the sheet, length along it, and whether it is turned a quarter."""
        yield self.width, self.length, False
        if self.may_turn and not self.edges and self.width != self.length:
            yield self.length, self.width, True


@dataclass(frozen=True, slots=True)
class Panel:
    """A sheet or an offcut."""

    width: int
    length: int
    edges: int = 0
    """How many of its long edges are factory edges."""

    def holds(self, width: int, length: int, tie: int) -> bool:
        """Whether a block fits."""
        return (
            width <= self.width
            and length <= self.length
            and min(tie, BOTH) <= self.edges
            and (tie != WHOLE or width == self.width)
        )


class Spot(NamedTuple):
    """Where a piece of a kind lies."""

    shape: int
    x: int
    y: int
    width: int
    length: int
    turned: bool


@dataclass(frozen=True, slots=True)
class Block:
    """Pieces that two through cuts, or one piece's own edges, bring forth."""

    width: int
    length: int
    tie: int
    used: int
    """How many of each kind, packed into one number."""
    value: int
    parts: tuple["Block", "Block"] | None = None
    beside: bool = False
    shape: int = -1
    turned: bool = False

    def spots(self, left: int, right: int, y: int = 0, at_right: bool = False) -> Iterator[Spot]:  # noqa: FBT001, FBT002 - its own
        """Where its pieces lie between two lines; `at_right` where its edge is the right one."""
        if self.parts is None:
            x = right - self.width if at_right else left
            yield Spot(self.shape, x, y, self.width, self.length, self.turned)
        elif not self.beside:
            y_of_second = y + self.parts[0].length
            for part, start in zip(self.parts, (y, y_of_second), strict=True):
                yield from part.spots(left, right, start, at_right)
        else:
            # The part at the edge comes first.
            first, second = sorted(self.parts, key=lambda part: -part.tie)
            if self.tie == BOTH:
                yield from first.spots(left, left + first.width, y)
                yield from second.spots(right - second.width, right, y, at_right=True)
            elif at_right:
                yield from first.spots(right - first.width, right, y, at_right=True)
                yield from second.spots(right - self.width, right - first.width, y, at_right=True)
            else:
                yield from first.spots(left, left + first.width, y)
                yield from second.spots(left + first.width, left + self.width, y)


class Packed:
    """Counts of kinds as one number, so that adding and comparing them is one sum."""

    def __init__(self, counts: Sequence[int]) -> None:
        bits = max(counts, default=0).bit_length() + 1
        self.ones = [1 << (bits * kind) for kind in range(len(counts))]
        self.guard = sum(one << (bits - 1) for one in self.ones)
        self.limit = self.pack(counts)
        self._bits, self._mask = bits, (1 << (bits - 1)) - 1

    def pack(self, counts: Sequence[int]) -> int:
        """The number for counts."""
        return sum(one * count for one, count in zip(self.ones, counts, strict=True))

    def count(self, used: int, kind: int) -> int:
        """How many of one kind a number says."""
        return used >> (self._bits * kind) & self._mask

    def unpack(self, used: int) -> Counts:
        """The counts in a number."""
        return tuple(self.count(used, kind) for kind in range(len(self.ones)))

    def within(self, used: int, limit: int) -> bool:
        """Whether no kind is used more often than the limit says."""
        return ((limit | self.guard) - used) & self.guard == self.guard


class Wanted(NamedTuple):
    """The pieces that a filling may take: how many of each kind, and what one is worth."""

    shapes: Sequence[Shape]
    counts: Counts
    values: Sequence[int]

    def blocks(self, packed: Packed) -> Iterator[Block]:
        """One block for each kind and each way that it may lie."""
        for kind, shape in enumerate(self.shapes):
            if self.counts[kind]:
                for width, length, turned in shape.ways():
                    tie = (ANY, ONE, WHOLE)[shape.edges]
                    value = self.values[kind]
                    yield Block(width, length, tie, packed.ones[kind], value, shape=kind, turned=turned)


def joined(first: Block, second: Block, panel: Panel) -> Iterator[Block]:
    """Both side by side, and both end to end, where that fits."""
    used, value = first.used + second.used, first.value + second.value
    ties = first.tie + second.tie
    if first.width + second.width <= panel.width and max(first.tie, second.tie) < BOTH and ties <= panel.edges:
        length = max(first.length, second.length)
        yield Block(first.width + second.width, length, ties, used, value, (first, second), beside=True)
    if first.length + second.length <= panel.length:
        width, tie = max(first.width, second.width), max(first.tie, second.tie)
        yield Block(width, first.length + second.length, tie, used, value, (first, second))


class _Fronts:
    """Of blocks with the same pieces, those that no other beats in width, length and ties."""

    def __init__(self) -> None:
        self.blocks: dict[int, list[Block]] = {}

    def add(self, block: Block) -> bool:
        """Whether the block is worth keeping; it then stays, and those that it beats go."""
        front = self.blocks.setdefault(block.used, [])
        width, length, tie = block.width, block.length, block.tie
        for other in front:
            if other.width <= width and other.length <= length and other.tie <= tie:
                return False
        front[:] = [
            other for other in front if not (width <= other.width and length <= other.length and tie <= other.tie)
        ]
        front.append(block)
        return True

    def has(self, block: Block) -> bool:
        """Whether the block has not been beaten since."""
        return any(other is block for other in self.blocks[block.used])


def every_block(wanted: Wanted, panel: Panel, effort: Effort) -> tuple[Packed, dict[int, list[Block]]]:
    """Every set of pieces that the panel can hold, each with its undominated blocks; Spent where they are too many."""
    packed, fronts = Packed(wanted.counts), _Fronts()
    ones = wanted.blocks(packed)
    waiting = [block for block in ones if panel.holds(block.width, block.length, block.tie) and fronts.add(block)]
    closed: list[Block] = []
    for block in waiting:
        if not fronts.has(block):
            continue
        closed.append(block)
        for other in closed:
            effort.spend()
            if packed.within(block.used + other.used, packed.limit):
                waiting.extend(both for both in joined(block, other, panel) if fronts.add(both))
    return packed, fronts.blocks


def best_block(wanted: Wanted, panel: Panel, floor: int, effort: Effort) -> tuple[Block | None, int, Packed]:
    """The most valuable block that is worth more than `floor`, if any, and what no block is worth more than.

    Exact unless the effort is spent, and then the bound says so.
    """
    search = _BestFirst(wanted, panel, floor)
    with suppress(Spent):
        search.run(effort)
    return search.best, max(search.most, search.hope), search.packed


class _BestFirst:
    """Joins blocks, the most hopeful first.

    A block goes on as long as the rest of the panel, filled at the best values per area that the pieces still left
    have, may bring it above the best so far.
    """

    def __init__(self, wanted: Wanted, panel: Panel, floor: int) -> None:
        useful = tuple(number if value > 0 else 0 for number, value in zip(wanted.counts, wanted.values, strict=True))
        wanted = wanted._replace(counts=useful)
        self.panel, self.packed = panel, Packed(wanted.counts)
        self.best: Block | None = None
        self.most = floor
        self._fronts = _Fronts()
        self._heap: list[tuple[int, int, Block]] = []
        self._put = 0
        sized = [
            (kind, number, value, shape.width * shape.length)
            for kind, (shape, number, value) in enumerate(zip(*wanted, strict=True))
            if number
        ]
        self._by_worth = sorted(sized, key=lambda one: (-one[2] / one[3], one[0]))
        if (start := strips(wanted, panel, self.packed)) is not None and start.value > floor:
            self.best, self.most = start, start.value
        for block in wanted.blocks(self.packed):
            self.put(block)

    @property
    def hope(self) -> int:
        """What no block that is still to be made is worth more than."""
        return -self._heap[0][0] if self._heap else 0

    def run(self, effort: Effort) -> None:
        """Until no block has hope left."""
        closed: list[Block] = []
        while self.hope > self.most:
            block = self._heap[0][2]
            if self._fronts.has(block):
                closed.append(block)
                for other in closed:
                    effort.spend()
                    if self.packed.within(block.used + other.used, self.packed.limit):
                        for both in joined(block, other, self.panel):
                            self.put(both)
            heappop(self._heap)

    def put(self, block: Block) -> None:
        """Keeps a block that fits and has hope."""
        if not self.panel.holds(block.width, block.length, block.tie):
            return
        if block.value > self.most:
            self.best, self.most = block, block.value
        reach = self._reach(block)
        if reach > self.most and self._fronts.add(block):
            self._put += 1
            heappush(self._heap, (-reach, self._put, block))

    def _reach(self, block: Block) -> int:
        left = self.panel.width * self.panel.length - block.width * block.length
        total = block.value
        for kind, number, value, size in self._by_worth:
            there = number - self.packed.count(block.used, kind)
            if there * size > left:
                return total - -left * value // size
            total += there * value
            left -= there * size
        return total


def strips(wanted: Wanted, panel: Panel, packed: Packed) -> Block | None:
    """A good filling by strips along the sheet: the best strip of each width, and the best set of these beside another.

    No piece is promised to more strips than there are pieces; a set that would is passed over, so this is no optimum.
    """
    pieces = [
        block
        for block in wanted.blocks(packed)
        if block.value > 0 and panel.holds(block.width, block.length, block.tie)
    ]
    pieces.sort(key=lambda block: (block.width, block.length, block.shape))
    found: list[Block] = []
    for tie in (ANY, ONE, WHOLE):
        states = [[NOTHING]]
        for number, piece in enumerate(pieces):
            if piece.tie <= tie:
                item = Item(number, piece.length, piece.value, wanted.counts[piece.shape])
                states = with_copies(states, item, panel.length)
                numbers = list(chosen(states[0][-1][2]))
                if number in numbers and (tie == ANY or any(pieces[other].tie == tie for other in numbers)):
                    found.extend(_stacked([pieces[other] for other in numbers], packed))
    sets: list[Block] = []
    for strip in sorted(found, key=lambda strip: (-strip.value / strip.width, strip.width)):
        grown = [strip]
        for other in sets:
            if packed.within(other.used + strip.used, packed.limit):
                grown.extend(both for both in joined(other, strip, panel) if both.beside)
        sets = _undominated(sets + grown)
    return max(sets, key=lambda block: block.value, default=None)


def _stacked(pieces: list[Block], packed: Packed) -> Iterator[Block]:
    """The pieces end to end, unless one is promised more often than it is there (as it lies, and turned)."""
    block = pieces[0]
    for piece in pieces[1:]:
        if not packed.within(block.used + piece.used, packed.limit):
            return
        width, tie = max(block.width, piece.width), max(block.tie, piece.tie)
        length, value = block.length + piece.length, block.value + piece.value
        block = Block(width, length, tie, block.used + piece.used, value, (block, piece))
    yield block


def _undominated(blocks: list[Block]) -> list[Block]:
    """Those that no narrower one with as few ties beats in value."""
    kept: list[Block] = []
    for block in sorted(blocks, key=lambda block: (block.width, block.tie, -block.value)):
        if not any(other.value >= block.value and other.tie <= block.tie for other in kept):
            kept.append(block)
    return kept
