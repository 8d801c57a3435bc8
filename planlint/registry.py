"""Finds the installed rules through entry points, one module at a time, and says loudly what does not load."""

from collections.abc import Iterator
from dataclasses import dataclass
from difflib import get_close_matches
from functools import cached_property
from importlib.metadata import EntryPoint, entry_points
from importlib.resources import files
from importlib.resources.abc import Traversable
from types import ModuleType

from planlint.errors import RegistryError, UsageError
from planlint.records import RuleCard
from planlint.rule import Rule

GROUP = "planlint.rules"
"""The entry-point group that modules of rules join, ours and those of other packages."""


@dataclass(frozen=True)
class Rulebook:
    """The installed rules, and the folders with the limit sets that came with them."""

    rules: tuple[Rule, ...]
    cards: tuple[RuleCard, ...]
    limit_folders: tuple[Traversable, ...]

    @cached_property
    def ids(self) -> frozenset[str]:
        """The names of the rules."""
        return frozenset(card.id for card in self.cards)

    def choose(self, wanted: tuple[str, ...]) -> frozenset[str]:
        """Names of the rules that `wanted` names, one by one or by family; all where it is empty.

        Raises UsageError for a name that is neither.
        """
        known = {card.id: {card.id} for card in self.cards}
        for card in self.cards:
            known.setdefault(card.family, set()).add(card.id)
        for name in wanted:
            if name not in known:
                near = get_close_matches(name, known, n=1, cutoff=0.7)
                hint = (
                    f"did you mean {near[0]}?"
                    if near
                    else "`planlint rulebook` lists them, and each is asked for on its own"
                )
                raise UsageError(f"there is no rule or family of rules called {name}; {hint}")
        return frozenset(id_ for name in wanted for id_ in known[name]) if wanted else self.ids


def load(engine: tuple[RuleCard, ...] = ()) -> Rulebook:
    """Load every module of rules; `engine` are the cards of the rules that are the engine's own.

    Raises RegistryError, naming the package, where a module does not load, brings no rule, or brings a name
    that is there already; and where no rules are found at all.
    """
    rules: list[Rule] = []
    cards: dict[str, RuleCard] = {}
    folders: dict[str, Traversable] = {}
    points = entry_points(group=GROUP)
    # A package's name is read from its papers, which takes longer than its rules do: once a package is enough.
    names = {id(dist): dist.name for dist in {id(point.dist): point.dist for point in points}.values() if dist}
    package = {point: names.get(id(point.dist), "?") for point in points}
    for point in sorted(points, key=lambda point: (package[point], point.name)):
        module = _import(point)
        found = [value for value in vars(module).values() if isinstance(value, Rule)]
        if not found:
            raise RegistryError(f"{_origin(point)}: the module {point.value} holds no rule")
        for rule in found:
            if rule.id in cards or any(rule.id == card.id for card in engine):
                other = cards[rule.id].package if rule.id in cards else "planlint"
                raise RegistryError(f"{_origin(point)}: there is a rule {rule.id} already, from {other}")
            rules.append(rule)
            cards[rule.id] = rule.card(package[point])
        folders.update(_limit_folders(module))
    if not rules:
        raise RegistryError("no rules are installed: install planlint again, its entry points are not there")
    return Rulebook(tuple(rules), (*cards.values(), *engine), tuple(folders.values()))


def _import(point: EntryPoint) -> ModuleType:
    try:
        module = point.load()
    except Exception as error:
        raise RegistryError(f"{_origin(point)}: {point.value} does not load: {error!r}") from error
    if not isinstance(module, ModuleType):
        raise RegistryError(f"{_origin(point)}: the entry {point.name} should name a module, not {point.value}")
    return module


def _package(point: EntryPoint) -> str:
    return point.dist.name if point.dist else "?"


def _origin(point: EntryPoint) -> str:
    version = point.dist.version if point.dist else "?"
    return f"rules of {_package(point)} {version}"


def _limit_folders(module: ModuleType) -> Iterator[tuple[str, Traversable]]:
    """The `limits` folder beside a module of rules, where there is one."""
    if module.__package__:
        folder = files(module.__package__) / "limits"
        if folder.is_dir():
            yield module.__package__, folder
