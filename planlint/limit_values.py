"""The value of one limit: what it may be, and how it is read from what a set or a plan writes."""

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass
from enum import StrEnum
from typing import Final

from planlint import grammar, units
from planlint.errors import LimitError, QuantityError
from planlint.spans import Path
from planlint.units import Quantity

Row = Mapping[str, Quantity | int | str]
"""One row of a table, by column."""
Value = Quantity | int | str | tuple[str, ...] | tuple[Row, ...] | None
"""The value of a limit; None is a count that the set leaves unlimited."""

UNLIMITED: Final = "unlimited"
"""How a set says that a country counts something without limiting it; a high figure would be a lie."""


class Kind(StrEnum):
    """What the value of a limit is."""

    QUANTITY = "quantity"
    COUNT = "count"
    CHOICE = "choice"
    LIST = "list"
    TABLE = "table"


@dataclass(frozen=True, slots=True)
class Declared:
    """What a declaring set says that a limit is: its single value, and the table that may stand for it."""

    by: str
    kind: Kind
    dimension: type[Quantity] | None
    choices: tuple[str, ...]
    columns: Mapping[str, type[Quantity] | None]
    """The dimension of each column; a count has none."""
    range: tuple[Quantity | int, ...]

    def read(self, given: object, path: Path) -> tuple[Kind, Value]:
        """The value that `given` writes; LimitError leads to what is wrong with it."""
        if self.columns and isinstance(given, list):
            return Kind.TABLE, tuple(self._row(row, (*path, index)) for index, row in enumerate(given))
        if self.kind is Kind.LIST:
            if not isinstance(given, list):
                raise LimitError(f"{_shown(given)} is not a list", "write it in brackets: [one, two]", path)
            return Kind.LIST, tuple(self._word(word, (*path, index)) for index, word in enumerate(given))
        if self.kind is Kind.CHOICE:
            return Kind.CHOICE, self._word(given, path)
        if self.kind is Kind.COUNT and given == UNLIMITED and UNLIMITED in self.choices:
            return Kind.COUNT, None
        return self.kind, self._in_range(read_figure(given, self.dimension, path), path)

    def _word(self, given: object, path: Path) -> str:
        if isinstance(given, str) and (given in self.choices or not self.choices):
            return given
        near = nearest(given, self.choices) if isinstance(given, str) else ""
        hint = f"write {listed(self.choices, 'or')}" if self.choices else "write a word"
        raise LimitError(f"{_shown(given)} is not one of its words{near}", hint, path)

    def _row(self, given: object, path: Path) -> Row:
        if not isinstance(given, dict) or given.keys() != self.columns.keys():
            row = ", ".join(f"{name}: {kind.example if kind else 8}" for name, kind in self.columns.items())
            raise LimitError("a row of this table has each column once", f"write {{{row}}}", path)
        figures = {name: read_figure(given[name], kind, (*path, name)) for name, kind in self.columns.items()}
        for name, kind in self.columns.items():
            if kind is self.dimension:
                self._in_range(figures[name], (*path, name))
        return figures

    def _in_range(self, figure: Quantity | int, path: Path) -> Quantity | int:
        for end, is_inside in zip(self.range, (units.at_least, units.at_most), strict=False):
            if not is_inside(figure, end):
                side = "above" if figure > end else "below"
                hint = f"write a value from {self.range[0]} to {self.range[1]}"
                raise LimitError(f"{figure} is {side} all that makes sense here", hint, path)
        return figure


def say(value: Value) -> str:
    """A limit's value as one says it."""
    if value is None:
        return "no limit"
    if not isinstance(value, tuple):
        return str(value)
    return (", " if all(isinstance(entry, str) for entry in value) else "; ").join(map(_entry, value))


def _entry(entry: Row | str) -> str:
    return entry if isinstance(entry, str) else ", ".join(f"{column} {value}" for column, value in entry.items())


def read_named(name: str, declared: Declared, given: object, path: Path) -> tuple[Kind, Value]:
    """The value that stands under `path`; the message begins with the limit's name."""
    try:
        return declared.read(given, (*path, "value"))
    except LimitError as error:
        raise LimitError(f"{name}: {error.message}", error.hint, error.path) from None


def read_figure(given: object, dimension: type[Quantity] | None, path: Path) -> Quantity | int:
    """A quantity, or a count where there is no dimension."""
    if dimension is None:
        if isinstance(given, int) and not isinstance(given, bool):
            return given
        raise LimitError(f"{_shown(given)} is not a count", "write a whole number such as 8", path)
    if not isinstance(given, str | int | float):
        message = f"{_shown(given)} stands where one value belongs"
        raise LimitError(message, f"write it as {dimension.example}", path)
    try:
        return grammar.parse(str(given), dimension)
    except QuantityError as error:
        raise LimitError(error.message, error.hint, path) from None


def _shown(given: object) -> str:
    shown = {list: "a list", dict: "a group of keys", type(None): "nothing", bool: str(given).lower()}
    return shown.get(type(given), str(given))


def listed(words: Iterable[str], joint: str) -> str:
    """Words as a sentence has them: `one, two or three`."""
    *most, last = list(words) or ["none"]
    return f"{', '.join(most)} {joint} {last}" if most else last


def nearest(name: str, known: Collection[str]) -> str:
    """The end of a message that says which known name was probably meant; empty where none is near."""
    # Imported here for the sake of a cold start: only a mistake needs it.
    from difflib import get_close_matches  # noqa: PLC0415

    begins = [word for word in known if word.startswith(name)]
    near = begins or get_close_matches(name, known, n=1, cutoff=0.6)
    return f"; did you mean {near[0]}?" if near else ""
