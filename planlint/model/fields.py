"""Typed reading of plain data that has passed the schema, and the references that it makes."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from difflib import get_close_matches
from enum import StrEnum
from functools import cache
from typing import Any, TypeVar

from planlint.errors import Fault
from planlint.grammar import parse
from planlint.source import Document
from planlint.spans import Path
from planlint.units import Quantity

Q = TypeVar("Q", bound=Quantity)
E = TypeVar("E", bound=StrEnum)
T = TypeVar("T")


class Faults:
    """Collects what a plan refers to and does not hold, and what it names twice."""

    def __init__(self, document: Document) -> None:
        self._document = document
        self.found: list[Fault] = []

    def add(self, path: Path, message: str, hint: str, *, at_key: bool = False) -> None:
        """Record a fault at the value (or the key) that `path` leads to."""
        spans = self._document.spans
        span = spans.key(path) if at_key else spans.value(path)
        self.found.append(Fault(self._document.file, span.line, span.column, message, hint))

    def line(self, path: Path) -> int:
        """The line on which what `path` leads to begins."""
        return self._document.spans.key(path).line


@dataclass(frozen=True, slots=True)
class Fields:
    """One mapping of the plan and where it stands."""

    data: Mapping[str, Any]
    path: Path
    faults: Faults

    def __contains__(self, key: str) -> bool:
        return self.data.get(key) is not None

    def quantity(self, key: str, kind: type[Q]) -> Q | None:
        """A quantity; None where the key is missing."""
        text = self.data.get(key)
        return parse(text, kind) if isinstance(text, str) else None

    def quantities(self, key: str, kind: type[Q]) -> tuple[Q, ...] | None:
        """A list of quantities; None where the key is missing."""
        texts = self.data.get(key)
        return None if texts is None else tuple(parse(text, kind) for text in texts)

    def text(self, key: str) -> str | None:
        """A free text or a name; None where the key is missing."""
        value = self.data.get(key)
        return value if isinstance(value, str) else None

    def texts(self, key: str) -> tuple[str, ...] | None:
        """A list of texts, or one text alone; None where the key is missing."""
        value = self.data.get(key)
        return None if value is None else (value,) if isinstance(value, str) else tuple(value)

    def word(self, key: str, words: type[E]) -> E | None:
        """A word of a closed set; None where the key is missing."""
        value = self.data.get(key)
        return words(value) if isinstance(value, str) else None

    def must(self, key: str, words: type[E]) -> E:
        """A word of a closed set under a key that the schema demands."""
        return words(self.data[key])

    def flag(self, key: str) -> bool | None:
        """True or false; None where the key is missing."""
        value = self.data.get(key)
        return value if isinstance(value, bool) else None

    def count(self, key: str, absent: int) -> int:
        """A plain number; `absent` where the key is missing."""
        value = self.data.get(key)
        return value if isinstance(value, int) else absent

    def day(self, key: str) -> date | None:
        """A date; None where the key is missing."""
        value = self.data.get(key)
        return _day(value) if isinstance(value, str) else None

    def part(self, key: str) -> "Fields":
        """The mapping under a key; an empty one where the key is missing or holds a short form."""
        value = self.data.get(key)
        return Fields(value if isinstance(value, dict) else {}, (*self.path, key), self.faults)

    def items(self, key: str) -> "Iterator[Fields]":
        """The mappings of a list."""
        for index, value in enumerate(self.data.get(key) or ()):
            yield Fields(value, (*self.path, key, index), self.faults)

    def named(self, key: str) -> "Iterator[tuple[str, Fields]]":
        """The mappings that stand under names of the user's own."""
        for name, value in (self.data.get(key) or {}).items():
            yield name, Fields(value or {}, (*self.path, key, name), self.faults)

    def refer(self, key: str, known: Mapping[str, T], what: str, where: str) -> T | None:
        """What a name under `key` refers to; a fault where nothing of the plan has that name."""
        name = self.text(key)
        if name is None:
            return None
        if name not in known:
            self.unknown((*self.path, key), name, known, what, where)
        return known.get(name)

    def unknown(self, path: Path, name: str, known: Mapping[str, Any], what: str, where: str) -> None:
        """Record that a name refers to nothing, with the nearest name that there is."""
        near = get_close_matches(name, known, n=1)
        hint = f"did you mean {near[0]}?" if near else f"describe it under {where}, or use one of: {_few(known)}"
        if not known:
            hint = f"describe it under {where}"
        self.faults.add(path, f"there is no {what} called {name}", hint)


@cache
def _day(text: str) -> date:
    return date.fromisoformat(text)


def _few(names: Mapping[str, Any]) -> str:
    shown = list(names)[:6]
    return ", ".join(shown) + (", …" if len(names) > len(shown) else "")
