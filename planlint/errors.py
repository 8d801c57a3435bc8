"""What can go wrong outside a plan's own facts. Nothing here imports, prints or exits.

A mistake of the renovator is a finding, never one of these. These are for what cannot be read at all
(a plan, a limit set), and for what was asked for wrongly.
"""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, order=True)
class Fault:
    """One thing that cannot be read: where, what, and how to put it right.

    `line` and `column` count from 1; both are 0 where the fault is of the whole file.
    """

    file: str
    line: int
    column: int
    message: str
    hint: str = ""


class PlanlintError(Exception):
    """The base of all trouble that ends with a message instead of a traceback."""

    exit_status = 2


class PlanFaults(PlanlintError):  # noqa: N818 - it carries faults; "PlanFaultsError" would say it twice
    """A plan (or another YAML file of ours) that cannot be read; carries every fault, sorted by line."""

    def __init__(self, faults: list[Fault]) -> None:
        self.faults = tuple(sorted(faults))
        super().__init__("; ".join(f"{fault.file}:{fault.line}: {fault.message}" for fault in self.faults))


class QuantityError(PlanlintError, ValueError):
    """A text that is not a quantity of the wanted dimension; `hint` shows the right form."""

    def __init__(self, message: str, hint: str) -> None:
        self.message = message
        self.hint = hint
        super().__init__(f"{message}; {hint}")


class LimitError(PlanlintError):
    """A limit set, or a plan's choice of limits, that cannot be used.

    `path` leads to the culprit inside the plan's or the set's data, so that a line can be found for it.
    """

    def __init__(self, message: str, hint: str = "", path: tuple[str | int, ...] = ()) -> None:
        self.message = message
        self.hint = hint
        self.path = path
        super().__init__(f"{message}; {hint}" if hint else message)


class RegistryError(PlanlintError):
    """A module of rules that does not load, two rules of one name, or no rules at all."""


class UsageError(PlanlintError):
    """A request that makes no sense, such as an unknown rule, place or hold point."""
