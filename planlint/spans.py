"""Where a key or a value stands in its file.

A table of every node's line as Python objects would cost more memory than the plan itself, so positions are
kept as plain offsets, four for each entry of a mapping or list, and become lines only for what is asked.
"""

import re
from bisect import bisect_right
from collections.abc import Mapping
from typing import TYPE_CHECKING, Any, NamedTuple

if TYPE_CHECKING:
    from array import array

Path = tuple[str | int, ...]
"""The way from the root of a plan to one of its nodes: mapping keys and list indices."""


_LINE_END = re.compile(r"\r\n?|\n")


class Span(NamedTuple):
    """A stretch of text: line and column of its beginning, counted from 1, and its character offsets."""

    line: int
    column: int
    start: int
    end: int


class Spans:
    """Looks up where the key and the value of a path stand."""

    def __init__(self, text: str, data: Any, offsets: "array[int]", bases: Mapping[int, int]) -> None:  # noqa: ANN401 - plain YAML data
        """Keep what `source.read` collected.

        `offsets` holds key start, key end, value start and value end of each entry; `bases` says, by the
        identity of a container, where its first entry stands in there. The containers are alive as long as
        `data` is, which is why it is held here.
        """
        self._text = text
        self._data = data
        self._offsets = offsets
        self._bases = bases
        self._line_starts: list[int] | None = None
        self._orders: dict[int, dict[str, int]] = {}

    def key(self, path: Path) -> Span:
        """Span of the key (or of the list item) that `path` ends in; of the nearest one above if it is not there."""
        return self._entry(path, 0)

    def value(self, path: Path) -> Span:
        """Span of the value that `path` leads to; of the nearest one above if it is not there."""
        return self._entry(path, 2)

    def _entry(self, path: Path, which: int) -> Span:
        start, end = 0, len(self._text)
        node = self._data
        for step in path:
            if isinstance(node, dict) and step in node:
                index = self._order(node)[str(step)]
            elif isinstance(node, list) and isinstance(step, int) and 0 <= step < len(node):
                index = step
            else:
                break
            entry = self._bases[id(node)] + 4 * index
            start, end = self._offsets[entry + which], self._offsets[entry + which + 1]
            node = node[step]
        return self.at(start, end)

    def _order(self, mapping: dict[str, Any]) -> dict[str, int]:
        order = self._orders.get(id(mapping))
        if order is None:
            order = self._orders[id(mapping)] = {key: index for index, key in enumerate(mapping)}
        return order

    def at(self, start: int, end: int) -> Span:
        """Span of a stretch of text given by its character offsets."""
        if self._line_starts is None:
            self._line_starts = line_starts(self._text)
        line = bisect_right(self._line_starts, start)
        return Span(line, start - self._line_starts[line - 1] + 1, start, end)


def line_starts(text: str) -> list[int]:
    r"""Offsets at which lines begin; only CR, LF and CRLF end a line.

    >>> line_starts("a\r\nb\u2028c\rd")
    [0, 3, 7]
    """
    return [0, *(match.end() for match in _LINE_END.finditer(text))]
