"""What a rule is: a pure function over one typed thing, and the outcomes that it may return."""

import inspect
from collections.abc import Callable, Hashable
from dataclasses import dataclass
from datetime import date
from types import UnionType
from typing import Any, TypeVar, get_args

from planlint.errors import RegistryError
from planlint.limit_values import Row
from planlint.limits import Limits
from planlint.model.thing import Thing
from planlint.records import HoldPoint, Level, RuleCard
from planlint.units import Quantity

Q = TypeVar("Q", bound=Quantity)
T = TypeVar("T")

Figure = Quantity | str | int | None
"""A value as a message shows it: a quantity in the author's unit, a word or a count."""


@dataclass(frozen=True, slots=True)
class Pass:
    """The thing is right."""


@dataclass(frozen=True, slots=True)
class NotApplicable:
    """The rule has nothing to say about this thing."""


PASS = Pass()
NOT_APPLICABLE = NotApplicable()


Value = Quantity | str | float
"""What an edit writes: a quantity (in the unit that it shows itself in), a word or a name, a number, true or false."""

PLANNED = {
    "wall": ("corner", "lining", "battens_at"),
    "opening": ("reveal.edges", "reveal.frame_joint"),
    "piece": ("left", "right", "bottom"),
    "lining": ("battens", "gap", "layers"),
    "point": ("box", "backing", "height"),
    "fixture": ("backing",),
    "circuit": ("section", "method"),
    "run": ("section", "method", "wires"),
    "task": ("after", "wait"),
}
"""The keys that edits may write, by the kind of thing, with all that lies under them: what somebody decides.

All others hold what is measured, observed, bought, tested or done, or guards life; no edit writes those.
"""


@dataclass(frozen=True, slots=True)
class Set:
    """An edit of the plan: a value under a key of a thing, in place of what stands there or as a new key.

    `key` is read from the thing down, as under `missing`, and in the long form of the format (`corner.joint`,
    `layers.2.screws.edge`). Raises ValueError for one that is not among `PLANNED`.
    """

    thing: Thing
    key: str
    value: Value | tuple[str, ...]

    def __post_init__(self) -> None:
        if not any(f"{self.key}.".startswith(f"{key}.") for key in PLANNED.get(self.thing.called, ())):
            raise ValueError(f"no edit writes {self.key} of a {self.thing.called}: that is no decision about the plan")


@dataclass(frozen=True, slots=True)
class Add(Set):
    """An edit of the plan: further texts at the end of a list, which need not be there yet."""

    value: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Remedy:
    """What to do about a finding, as one would say it to the person who does it.

    Where what to do is a decision about the plan, `edit` makes it: one edit, or several that belong together.
    """

    text: str
    edit: Set | tuple[Set, ...] = ()

    @property
    def edits(self) -> tuple[Set, ...]:
        """All that it would write."""
        return (self.edit,) if isinstance(self.edit, Set) else self.edit


@dataclass(frozen=True, slots=True)
class Fail:
    """The thing is wrong.

    `message` may hold `{measured}` and `{allowed}`: the engine fills them in the author's unit, with enough
    digits that the two differ. `at` places the finding finer than the thing that was judged; `level` may lower it.
    """

    message: str
    measured: Figure = None
    allowed: Figure = None
    remedy: Remedy | None = None
    at: Thing | None = None
    level: Level | None = None


@dataclass(frozen=True, slots=True, init=False)
class Open:
    """The thing cannot be judged: `what` is not recorded; `missing` are the paths of the keys to add.

    A path is read from the thing down (`corner.joint`); one that begins with a place or with a key of the
    plan's top level is read from there (`study.west.lining`, `tools.hole_saws`).
    """

    what: str
    missing: tuple[str, ...]
    at: Thing | None

    def __init__(self, what: str, *missing: str, at: Thing | None = None) -> None:
        object.__setattr__(self, "what", what)
        object.__setattr__(self, "missing", missing)
        object.__setattr__(self, "at", at)


@dataclass(frozen=True, slots=True)
class Review:
    """A person must look: the rule cannot decide, whatever is recorded."""

    message: str
    remedy: Remedy | None = None
    at: Thing | None = None


Outcome = Pass | Fail | Open | Review | NotApplicable


class Given:
    """What a rule may know beside the thing that it judges: the limits that it declared, and the day."""

    __slots__ = ("_kept", "_limits", "_reads", "today")

    def __init__(
        self, limits: Limits, today: date, reads: tuple[str, ...], kept: dict[Hashable, Any] | None = None
    ) -> None:
        self._kept = {} if kept is None else kept
        self._limits = limits
        self._reads = frozenset(reads)
        self.today = today

    def quantity(self, name: str, kind: type[Q]) -> Q:
        """Limit `name` as a quantity of the wanted kind."""
        return self._limits.quantity(self._declared(name), kind)

    def count(self, name: str) -> int | None:
        """Limit `name` as a count; None where the limit set sets no limit."""
        return self._limits.count(self._declared(name))

    def choice(self, name: str) -> str:
        """Limit `name` as one of its words."""
        return self._limits.choice(self._declared(name))

    def words(self, name: str) -> tuple[str, ...]:
        """Limit `name` as a list of words."""
        return self._limits.words(self._declared(name))

    def table(self, name: str) -> tuple[Row, ...] | None:
        """Limit `name` as rows, or None where the set gives a single value instead."""
        return self._limits.table(self._declared(name))

    def once(self, key: Hashable, make: Callable[[], T]) -> T:
        """What `make` makes, made once in a run for each `key`: for sums that many things or rules share.

        The key holds all that the sum depends on beside the limits, which are the same throughout a run.
        """
        if key not in self._kept:
            self._kept[key] = make()
        made: T = self._kept[key]
        return made

    def _declared(self, name: str) -> str:
        if name not in self._reads:
            raise KeyError(f"the rule reads the limit {name} without declaring it under reads=")
        return name


Judge = Callable[[Any, Given], Outcome]


@dataclass(frozen=True, slots=True)
class Rule:
    """A rule with all that is known about it; made by `@rule`, registered nowhere."""

    id: str
    judges: tuple[type[Thing], ...]
    level: Level
    guards: HoldPoint | None
    needs: tuple[str, ...]
    reads: tuple[str, ...]
    guards_life: bool
    caution: str
    judge: Judge
    summary: str
    why: str
    source: str

    @property
    def family(self) -> str:
        """The family is the module that holds the rule; `circuits_protection` holds more of `circuits`."""
        return self.judge.__module__.rpartition(".")[2].partition("_")[0]

    def card(self, package: str) -> RuleCard:
        """The rule as people and reports read about it."""
        return RuleCard(
            id=self.id,
            family=self.family,
            level=self.level,
            guards=self.guards,
            judges=tuple(kind.called for kind in self.judges),
            summary=self.summary,
            why=self.why,
            source=self.source,
            needs=self.needs,
            reads=self.reads,
            guards_life=self.guards_life,
            caution=self.caution,
            package=package,
        )


def rule(  # noqa: PLR0913 - the keywords of a declaration, each named where it is used
    name: str,
    *,
    judges: type[Thing] | UnionType,
    level: Level,
    guards: HoldPoint | None,
    needs: tuple[str, ...] = (),
    reads: tuple[str, ...] = (),
    guards_life: bool = False,
    caution: str = "",
) -> Callable[[Judge], Rule]:
    """Turn a function over one thing into a `Rule`.

    `needs` are the keys whose absence makes the rule open, `reads` the limits that it judges by; what
    `guards_life` cannot be conceded. The docstring has one sentence that says what is right, `Why:` and
    `Source:`; it raises RegistryError where one of them is not there.
    """

    def declare(judge: Judge) -> Rule:
        summary, why, source = _read_docstring(name, inspect.getdoc(judge) or "")
        kinds = get_args(judges) if isinstance(judges, UnionType) else (judges,)
        return Rule(name, kinds, level, guards, needs, reads, guards_life, caution, judge, summary, why, source)

    return declare


def _read_docstring(name: str, text: str) -> tuple[str, str, str]:
    summary, _, rest = text.partition("\n\n")
    why, _, source = rest.partition("\nSource:")
    if not (summary and why.startswith("Why:") and source.strip()):
        raise RegistryError(f'rule {name}: its docstring wants one sentence, then "Why:", then "Source:"')
    return " ".join(summary.split()), " ".join(why.removeprefix("Why:").split()), " ".join(source.split())
