"""What a shell offers after a half-typed word: plans, places, rules, limit sets. Imported only while a shell asks."""

import os
from collections.abc import Callable, Iterable, Mapping
from copy import copy

import click
from click.shell_completion import CompletionItem, split_arg_string

from planlint.cli.asked import Reading
from planlint.cli.plans import ENDING, find, load_rulebook, read
from planlint.errors import PlanlintError

Offer = Callable[[], Mapping[str, str]]
"""The words that fit, each with its help, which some shells show."""


class _Offered(click.types.StringParamType):
    """A value that is offered, and taken as it is: the command itself says what is wrong with another one."""

    def __init__(self, offer: Offer) -> None:
        self.offer = offer

    def shell_complete(
        self,
        ctx: click.Context,  # noqa: ARG002 - click's signature
        param: click.Parameter,  # noqa: ARG002 - click's signature
        incomplete: str,
    ) -> list[CompletionItem]:
        """The words that begin with what is typed."""
        try:
            offered = self.offer()
        except (PlanlintError, OSError):
            return []  # nobody can read a complaint in the middle of the line that they type
        return [
            CompletionItem(word, help=said or None) for word, said in offered.items() if word.startswith(incomplete)
        ]


def taught(command: click.Command) -> click.Command:
    """A copy of a command whose parameters offer what they take, by their names."""
    copied = copy(command)
    copied.params = [_taught(copy(parameter), str(command.name)) for parameter in command.params]
    return copied


def _taught(parameter: click.Parameter, command: str) -> click.Parameter:
    name = str(parameter.name)
    offer = _OFFERS.get(f"{command} {name}") or _OFFERS.get(name)
    if isinstance(parameter.callback, Reading):
        parameter.type = _Offered(_words(parameter.callback.formats))
    elif name in _FILES:
        parameter.type = click.Path()
    elif offer:
        parameter.type = _Offered(offer)
    return parameter


def _words(words: Iterable[str]) -> Offer:
    return lambda: dict.fromkeys(words, "")


def _places() -> Mapping[str, str]:
    """The places of the plans that stand on the line, before the word or after it."""
    from planlint.inspection import plan_of  # noqa: PLC0415 - only a place needs the model

    # Where an option still lacks its value, click knows nothing of the rest of the line.
    words = split_arg_string(os.environ.get("COMP_WORDS", ""))
    plans = find(word for word in words if word.endswith(ENDING)).plans
    return {thing.place: thing.called for plan in plans for thing in plan_of(read(plan)).things()}


def _rules() -> Mapping[str, str]:
    cards = load_rulebook().cards
    return {card.family: "a family of rules" for card in cards} | {card.id: card.summary for card in cards}


def _limits() -> Mapping[str, str]:
    from planlint.limits import available, load_set  # noqa: PLC0415 - only the name of a set needs the sets

    folders = load_rulebook().limit_folders
    return {name: load_set(name, folders).title for name in available(folders)}


def _keys() -> Mapping[str, str]:
    from planlint.cli.vocabulary import names  # noqa: PLC0415 - only a key needs the words of the format
    from planlint.materials import load  # noqa: PLC0415 - likewise

    return dict.fromkeys([*names(), *(material.name for material in load())], "")


def _schemas() -> Mapping[str, str]:
    from planlint.cli.schema import names  # noqa: PLC0415 - only this command has them

    return dict.fromkeys(names(), "")


_FILES = {"plan", "plans", "file"}
_OFFERS: Mapping[str, Offer] = {
    "limits": _limits,
    "limits name": _limits,
    "only": _rules,
    "place": _places,
    "rulebook rule": _rules,
    "schema name": _schemas,
    "words key": _keys,
}
