"""The value of one limit: what it may be, and how it is read from what a set or a plan writes."""

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass, replace
from enum import StrEnum
from typing import Any, Final

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
class Single:
    """What one value may be, alone or in a column of a table: a quantity, one of some words, or else a count."""

    dimension: type[Quantity] | None
    words: tuple[str, ...]
    range: tuple[Quantity | int, ...]

    @property
    def example(self) -> str:
        """Such a value, as one would write it."""
        return self.dimension.example if self.dimension else next(iter(self.words), "8")

    def read(self, given: object, path: Path) -> Quantity | int | str:
        """The value that `given` writes; LimitError leads to what is wrong with it."""
        if self.words:
            return self.word(given, path)
        figure = read_figure(given, self.dimension, path)
        for end, is_inside in zip(self.range, (units.at_least, units.at_most), strict=False):
            if not is_inside(figure, end):
                side = "above" if figure > end else "below"
                hint = f"write a value from {self.range[0]} to {self.range[1]}"
                raise LimitError(f"{figure} is {side} all that makes sense here", hint, path)
        return figure

    def word(self, given: object, path: Path) -> str:
        """The word that `given` is; any word where none are named."""
        if isinstance(given, str) and (given in self.words or not self.words):
            return given
        near = nearest(given, self.words) if isinstance(given, str) else ""
        hint = f"write {listed(self.words, 'or')}" if self.words else "write a word"
        raise LimitError(f"{_shown(given)} is not one of its words{near}", hint, path)


@dataclass(frozen=True, slots=True)
class Declared:
    """What a declaring set says that a limit is: its single value, and the table that may stand for it."""

    by: str
    kind: Kind
    single: Single
    columns: Mapping[str, Single]
    may_be_unlimited: bool

    def read(self, given: object, path: Path) -> tuple[Kind, Value]:
        """The value that `given` writes; LimitError leads to what is wrong with it."""
        if self.columns and isinstance(given, list):
            return Kind.TABLE, tuple(self._row(row, (*path, index)) for index, row in enumerate(given))
        if self.kind is Kind.TABLE:
            raise LimitError(f"{_shown(given)} is not a table", f"write its rows: [{self._example_row}]", path)
        if self.kind is Kind.LIST:
            if not isinstance(given, list):
                raise LimitError(f"{_shown(given)} is not a list", "write it in brackets: [one, two]", path)
            return Kind.LIST, tuple(self.single.word(word, (*path, index)) for index, word in enumerate(given))
        if given == UNLIMITED and self.may_be_unlimited:
            return Kind.COUNT, None
        return self.kind, self.single.read(given, path)

    @property
    def _example_row(self) -> str:
        return "{" + ", ".join(f"{name}: {column.example}" for name, column in self.columns.items()) + "}"

    def _row(self, given: object, path: Path) -> Row:
        if not isinstance(given, dict) or given.keys() != self.columns.keys():
            raise LimitError("a row of this table has each column once", f"write {self._example_row}", path)
        return {name: column.read(given[name], (*path, name)) for name, column in self.columns.items()}


def declare(by: str, entry: Mapping[str, Any], path: Path) -> Declared:
    """What the set `by` says in `entry`, at `path`, that a limit is."""
    single, columns = _single(entry, path), entry.get("columns", {})
    unlimited = UNLIMITED in single.words
    if unlimited:
        single = replace(single, words=())
    kind = Kind.QUANTITY if single.dimension else Kind.CHOICE if single.words else Kind.COUNT
    if isinstance(entry["value"], list) and not columns:
        kind = Kind.LIST
    elif isinstance(entry["value"], list) and kind is Kind.COUNT and not unlimited:
        kind = Kind.TABLE
    table = {name: _column(of, single, (*path, "columns", name)) for name, of in columns.items()}
    return Declared(by, kind, single, table, unlimited)


def _single(entry: Mapping[str, Any], path: Path) -> Single:
    dimension = units.DIMENSIONS.get(entry.get("dimension", ""))
    ends = enumerate(entry.get("range", ()))
    within = tuple(read_figure(end, dimension, (*path, "range", index)) for index, end in ends)
    return Single(dimension, tuple(entry.get("choices", ())), within)


def _column(of: str | Mapping[str, Any], single: Single, path: Path) -> Single:
    if not isinstance(of, str):
        return _single(of, path)
    dimension = units.DIMENSIONS.get(of)
    # The column that holds what could stand alone has its range too.
    return Single(dimension, (), single.range if dimension is single.dimension else ())


def say(value: Value) -> str:
    """A limit's value as one says it."""
    if value is None:
        return "no limit"
    if not isinstance(value, tuple):
        return str(value)
    if not value:
        return "none"
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
