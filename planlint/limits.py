"""Limit sets: the named values that rules judge by, each with how it is known and where it comes from.

A set that builds on no other *declares* limits: it says what each is and in which range it makes sense. Every
declaring set in the folders is in force, so that a package that brings rules may bring their limits too. All
other sets, and a plan, only give declared limits another value. A mistake in a set's own files is raised as
PlanFaults, with file and line; one in what a plan asks for as LimitError, with its path.
"""

import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cache, lru_cache, partial
from importlib.resources import files
from pathlib import PurePath
from typing import TYPE_CHECKING, Any, Final, TypeVar, cast

from planlint.errors import Fault, LimitError, PlanFaults
from planlint.limit_values import Declared, Kind, Row, Value, declare, listed, nearest, read_named, say
from planlint.schema import check
from planlint.source import Document, read
from planlint.spans import Path
from planlint.units import Quantity

if TYPE_CHECKING:
    from importlib.resources.abc import Traversable

Wanted = str | Sequence[str | Mapping[str, Any]] | None
"""What a plan writes under `limits`."""
Q = TypeVar("Q", bound=Quantity)
T = TypeVar("T")

GENERAL: Final = "general"
PLAN: Final = "plan"
"""What `Limit.set` says of a value that the plan gives itself."""


@dataclass(frozen=True, slots=True)
class Limit:
    """One value that rules judge by; `set` is the set that gives it, or "plan", which adds its `reason`."""

    name: str
    value: Value
    kind: Kind
    basis: str
    source: str
    note: str
    set: str
    reason: str | None = None

    @property
    def said(self) -> str:
        """The value as one says it."""
        return say(self.value)


@dataclass(frozen=True, slots=True)
class LimitSet:
    """One set as its files have it: only the limits that it gives itself."""

    name: str
    title: str
    builds_on: tuple[str, ...]
    applies: Mapping[str, str]
    limits: Mapping[str, Limit]


@dataclass(frozen=True, slots=True)
class Limits:
    """The values that rules judge by. A wrong name or kind is a bug of the rule: KeyError or TypeError.

    `names` are the sets that were asked for and those that stand for the rest, general first.
    """

    names: tuple[str, ...]
    by_name: Mapping[str, Limit]

    def __getitem__(self, name: str) -> Limit:
        try:
            return self.by_name[name]
        except KeyError:
            raise KeyError(f"no limit is called {name}{nearest(name, self.by_name)}") from None

    def __iter__(self) -> Iterator[str]:
        return iter(self.by_name)

    def quantity(self, name: str, kind: type[Q]) -> Q:
        """Limit `name` as a quantity of the dimension `kind`."""
        value = self._of(name, Kind.QUANTITY).value
        if not isinstance(value, kind):
            raise TypeError(f"the limit {name} is no {kind.dimension}: {value}")
        return value

    def count(self, name: str) -> int | None:
        """Limit `name` as a count; None where the set leaves it unlimited."""
        value = self._of(name, Kind.COUNT).value
        return value if isinstance(value, int) else None

    def choice(self, name: str) -> str:
        """Limit `name` as the one of its words that holds."""
        return str(self._of(name, Kind.CHOICE).value)

    def words(self, name: str) -> tuple[str, ...]:
        """Limit `name` as a list of words."""
        value = self._of(name, Kind.LIST).value
        return tuple(str(word) for word in value) if isinstance(value, tuple) else ()

    def table(self, name: str) -> tuple[Row, ...] | None:
        """Limit `name` as rows; None where the set gives a single count or quantity instead."""
        value = self._of(name, Kind.TABLE, Kind.COUNT, Kind.QUANTITY).value
        # A list of words is no table, and its kind is refused above.
        return cast("tuple[Row, ...]", value) if isinstance(value, tuple) else None

    def overridden(self) -> tuple[Limit, ...]:
        """The limits that the plan sets itself."""
        return tuple(limit for limit in self.by_name.values() if limit.set == PLAN)

    def _of(self, name: str, *kinds: Kind) -> Limit:
        limit = self[name]
        if limit.kind not in kinds:
            raise TypeError(f"the limit {name} is a {limit.kind}, and was read as a {kinds[0]}")
        return limit


def available(folders: "Sequence[Traversable] | None" = None) -> "dict[str, Traversable]":
    """Every set in the folders, by name: a file NAME.yaml, or a folder NAME with a file for each family.

    Raises LimitError where two have the same name.
    """
    found: dict[str, Traversable] = {}
    for folder in folders if folders is not None else (_shipped(),):
        for item in sorted(folder.iterdir(), key=lambda item: item.name):
            name = item.name.removesuffix(".yaml")
            if not _files(item):
                continue
            if name in found:
                message = f"two limit sets are called {name}: {found[name]} and {item}"
                raise LimitError(message, "give one of them another name")
            found[name] = item
    return found


def load_set(name: str, folders: "Sequence[Traversable] | None" = None) -> LimitSet:
    """The set `name` as its files have it, without what it builds on."""
    return _Library(available(folders)).load(name)


def resolve(wanted: Wanted, folders: "Sequence[Traversable] | None" = None) -> Limits:
    """The limits in force where a plan writes `wanted`: later ones override earlier ones.

    A set counts once, where it is first named or built on: `[fr, gb]` does not return to general in between.
    """
    library = _Library(available(folders))
    asked = [wanted or GENERAL] if wanted is None or isinstance(wanted, str) else wanted
    applied = {name: library.load(name) for name in library.declaring}
    values = {name: limit for found in applied.values() for name, limit in found.limits.items()}
    for index, item in enumerate(asked):
        path: Path = ("limits",) if asked is not wanted else ("limits", index)
        if isinstance(item, str):
            for name in library.chain(item, path):
                if name not in applied:
                    applied[name] = library.load(name)
                    values |= applied[name].limits
        else:
            values |= {name: library.own(name, given, (*path, name)) for name, given in item.items()}
    in_force = {limit.set for limit in values.values()}.union(item for item in asked if isinstance(item, str))
    return Limits(tuple(name for name in applied if name in in_force), values)


@dataclass(frozen=True, eq=False, slots=True)
class _Text:
    """A set as its files have it, before its values are read."""

    documents: tuple[Document, ...]
    head: Mapping[str, Any]
    entries: Mapping[str, Mapping[str, Any]]

    @property
    def builds_on(self) -> tuple[str, ...]:
        bases = self.head.get("builds_on", ())
        return (bases,) if isinstance(bases, str) else tuple(bases)

    def each(self, make: Callable[[str, Mapping[str, Any]], T]) -> dict[str, T]:
        """What `make` makes of each limit; PlanFaults with all mistakes at once, if there are any."""
        made: dict[str, T] = {}
        faults: list[Fault] = []
        for name, entry in self.entries.items():
            try:
                made[name] = make(name, entry)
            except LimitError as error:
                if not error.path:  # between two sets, in neither of them
                    raise
                faults.append(self.fault(error))
        if faults:
            raise PlanFaults(faults)
        return made

    def fault(self, error: LimitError) -> Fault:
        """The mistake with the line of its path, in whichever file that is."""
        in_limits, key = error.path[0] == "limits", error.path[:2][-1]
        holds = (one for one in self.documents if key in (one.data["limits"] if in_limits else one.data))
        document = next(holds)
        span = document.spans.value(error.path)
        return Fault(document.file, span.line, span.column, error.message, error.hint)


class _Library:
    """The sets at hand, and what their limits are."""

    def __init__(self, places: "Mapping[str, Traversable]") -> None:
        self.places = places
        self.declared: dict[str, Declared] = {}
        self.declaring: list[str] = []
        for name in sorted(places, key=lambda name: name != GENERAL):
            # Most sets build on another. Seeing that in the bytes saves a cold start the parsing of every
            # country's set. What the pattern overlooks is parsed, and the data decides.
            if any(_BUILDS_ON.search(raw) for raw, _ in _raw(places[name])) or self._text(name).builds_on:
                continue
            self.declaring.append(name)
            self.declared |= self._text(name).each(partial(self._declare, name))

    def load(self, name: str) -> LimitSet:
        """The set `name`, with its values read."""
        text = self._text(name)
        limits = text.each(partial(self._limit, name))
        applies = {key: str(value) for key, value in text.head.get("applies", {}).items()}
        return LimitSet(name, text.head["title"], text.builds_on, applies, limits)

    def chain(self, name: str, path: Path, above: tuple[str, ...] = ()) -> Iterator[str]:
        """What `name` builds on, deepest first, then `name` itself; `path` is where the plan asks for it."""
        if name in above:
            loop = " builds on ".join((*above[above.index(name) :], name))
            raise LimitError(f"these limit sets go round in a circle: {loop}", "take out one builds_on", path)
        text = self._text(name, path)
        for base in text.builds_on:
            if base not in self.places:
                raise PlanFaults([text.fault(self._no_set(base, ("builds_on",)))])
            yield from self.chain(base, path, (*above, name))
        yield name

    def own(self, name: str, given: object, path: Path) -> Limit:
        """Limit `name` as the plan sets it, at `path`."""
        declared = self._known(name, path)
        reason = str(given.get("reason") or "").strip() if isinstance(given, Mapping) else ""
        if not isinstance(given, Mapping) or "value" not in given or not reason:
            hint = f"write {name}: {{value: …, reason: why it differs here}}"
            raise LimitError(f"{name} needs the value and the reason why this plan sets its own", hint, path)
        kind, value = read_named(name, declared, given["value"], path)
        return Limit(name, value, kind, "own decision", "this plan", "", PLAN, reason)

    def _limit(self, by: str, name: str, entry: Mapping[str, Any]) -> Limit:
        path: Path = ("limits", name)
        declared = self._known(name, path)
        if declared.by != by and (said := [key for key in _DECLARING if key in entry]):
            message = f"{name}: only the set {declared.by}, which brings this limit, says its {said[0]}"
            raise LimitError(message, "take this line out", (*path, said[0]))
        kind, value = read_named(name, declared, entry["value"], path)
        return Limit(name, value, kind, entry["basis"], entry.get("source", ""), entry.get("note", ""), by)

    def _known(self, name: str, path: Path) -> Declared:
        if name not in self.declared:
            hint = nearest(name, self.declared).removeprefix("; ") or "`planlint limits general` lists them"
            raise LimitError(f"no limit is called {name}", hint, path)
        return self.declared[name]

    def _text(self, name: str, path: Path = ()) -> _Text:
        if name not in self.places:
            raise self._no_set(name, path)
        return _gather(name, _raw(self.places[name]))

    def _no_set(self, name: str, path: Path) -> LimitError:
        message = f"no limit set is called {name}{nearest(name, self.places)}"
        return LimitError(message, f"there are {listed(self.places, 'and')}", path)

    def _declare(self, by: str, name: str, entry: Mapping[str, Any]) -> Declared:
        if name in self.declared:
            other = self.declared[name].by
            where = f"{other} ({self.places[other]}) and {by} ({self.places[by]})"
            hint = f"rename one, or let one set build on the other (builds_on: {other})"
            raise LimitError(f"two limit sets bring the limit {name}: {where}", hint)
        return declare(by, entry, ("limits", name))


_BUILDS_ON: Final = re.compile(rb"^builds_on\s*:", re.MULTILINE)
_DECLARING: Final = ("dimension", "choices", "columns", "range")


@cache
def _shipped() -> "Traversable":
    return files("planlint.rules") / "limits"


def _files(item: "Traversable") -> "list[Traversable]":
    inside = sorted(item.iterdir(), key=lambda inner: inner.name) if item.is_dir() else [item]
    return [file for file in inside if file.name.endswith(".yaml")]


def _raw(item: "Traversable") -> tuple[tuple[bytes, str], ...]:
    return tuple((file.read_bytes(), str(file)) for file in _files(item))


# Kept by content and not by name: a set that changes while a process runs on is read again.
@lru_cache(maxsize=64)
def _gather(name: str, raw: tuple[tuple[bytes, str], ...]) -> _Text:
    documents = tuple(read(content, file) for content, file in raw)
    # A test holds our own sets to the schema. Doing so here would cost every start more than reading does.
    foreign = [one for one in documents if not PurePath(one.file).is_relative_to(str(_shipped()))]
    if faults := [fault for document in foreign for fault in check(document, "limit-set-1")]:
        raise PlanFaults(faults)
    head: dict[str, Any] = {}
    entries: dict[str, Any] = {}
    for document in documents:
        data = document.data
        twice: list[Path] = [("limits", key) for key in data["limits"] if key in entries]
        twice += [(key,) for key in data if key in head and key != "name"]
        for path in twice:
            span = document.spans.key(path)
            message = f"{path[-1]} is also in another file of the set {name}"
            faults.append(Fault(document.file, span.line, span.column, message, "keep one of the two"))
        if data["name"] != name:
            span = document.spans.value(("name",))
            message = f"this set is called {data['name']}, but lies under the name {name}"
            faults.append(Fault(document.file, span.line, span.column, message, f"write name: {name}"))
        head |= {key: value for key, value in data.items() if key != "limits"}
        entries |= data["limits"]
    if "title" not in head:
        hint = "add title: what it is, in a few words"
        faults.append(Fault(documents[0].file, 1, 1, f"the set {name} has no title", hint))
    if faults:
        raise PlanFaults(faults)
    return _Text(documents, head, entries)
