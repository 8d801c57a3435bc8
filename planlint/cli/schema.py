"""`planlint schema`: the JSON Schemas, for editors."""

import re
from difflib import get_close_matches
from importlib.resources import files
from importlib.resources.abc import Traversable

import click

from planlint.cli.output import say
from planlint.errors import UsageError

_NAME = re.compile(r"(?P<name>.+)-(?P<version>\d+)\.json")


@click.command("schema", short_help="Print a JSON Schema, for editors.")
@click.argument("name", default="plan")
def command(name: str) -> None:
    """Print the JSON Schema NAME: of a plan where none is given, or of report, limit-set and others.

    An editor with a YAML language server completes and explains the keys of a plan, and marks those that
    a plan does not know, once the plan names the schema in its first line.

    \b
    Example, for a plan and its schema in one folder:
      planlint schema > plan.schema.json
      # yaml-language-server: $schema=plan.schema.json
    """  # noqa: D301 - \b is click's mark for lines that are not to be wrapped
    say(read(name))


def read(name: str) -> str:
    """The text of a schema, by its name with or without a version; the newest where there is none.

    Raises UsageError for a name that is not there.
    """
    found = _found()
    if name not in found:
        near = get_close_matches(name, found, n=1)
        raise UsageError(
            f"there is no schema called {name}; "
            + (f"did you mean {near[0]}?" if near else f"there are {', '.join(names())}")
        )
    return found[name].read_text(encoding="utf-8")


def names() -> list[str]:
    """What can be asked for, each by its name without a version."""
    return sorted(name for name, file in _found().items() if f"{name}.json" != file.name)


def _found() -> dict[str, Traversable]:
    found: dict[str, Traversable] = {}
    for item in sorted(files("planlint.schemas").iterdir(), key=lambda item: (len(item.name), item.name)):
        if match := _NAME.fullmatch(item.name):
            found[match["name"]] = found[item.name.removesuffix(".json")] = item
    return found
