"""`planlint schema`: the JSON Schemas, for editors."""

import re
from difflib import get_close_matches
from importlib.resources import files

import click

from planlint.cli.output import say
from planlint.errors import UsageError

_NAME = re.compile(r"(?P<name>.+)-(?P<version>\d+)\.json")


@click.command("schema", short_help="Print a JSON Schema, for editors.")
@click.argument("name", default="plan")
def command(name: str) -> None:
    """Print the JSON Schema NAME: of a plan where none is given, or of report, limit-set and others.

    \b
    Example, for an editor that completes the keys of a plan:
      planlint schema > plan-schema.json
    """  # noqa: D301 - \b is click's mark for lines that are not to be wrapped
    say(read(name))


def read(name: str) -> str:
    """The text of a schema, by its name with or without a version; the newest where there is none.

    Raises UsageError for a name that is not there.
    """
    found: dict[str, str] = {}
    folder = files("planlint.schemas")
    for item in sorted(folder.iterdir(), key=lambda item: (len(item.name), item.name)):
        if match := _NAME.fullmatch(item.name):
            found[match["name"]] = found[item.name.removesuffix(".json")] = item.name
    if name not in found:
        near = get_close_matches(name, found, n=1)
        names = ", ".join(sorted(name for name in found if f"{name}.json" != found[name]))
        raise UsageError(
            f"there is no schema called {name}; " + (f"did you mean {near[0]}?" if near else f"there are {names}")
        )
    return (folder / found[name]).read_text(encoding="utf-8")
