"""The words of the plan format, as its JSON Schema describes them: what the words command tells people."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from functools import cache
from typing import Any

from planlint.schema import load_schema
from planlint.units import DIMENSIONS

Schema = Mapping[str, Any]

WHOLE = "plan"
_REFERENCE = "#/$defs/"
_FORMS = {
    "name": "a name",
    "inner-name": "a name",
    "room-name": "a name",
    "date": "a day, written year-month-day",
    "place": "a place, such as study.west",
}
_SPOKEN = {"area": "an area", "angle": "an angle", "ratio": "a percentage"}
_TYPES = {
    "string": "a text",
    "integer": "a plain whole number",
    "number": "a plain number",
    "boolean": "true or false",
    "object": "keys with their values",
}


@dataclass(frozen=True, slots=True)
class Key:
    """One key of one kind of thing."""

    thing: str
    name: str
    meaning: str
    takes: str
    words: tuple[str, ...]
    """The closed set of words that it takes, where it takes nothing else."""
    required: bool
    examples: tuple[str, ...]
    leads_to: tuple[str, ...]
    """The things whose keys stand below it."""


@dataclass(frozen=True, slots=True)
class Thing:
    """One kind of thing with its keys."""

    name: str
    title: str
    meaning: str
    keys: Mapping[str, Key] = field(default_factory=dict)


@cache
def things() -> Mapping[str, Thing]:
    """Every kind of thing of a plan by its name in the schema, the plan itself first."""
    schema = load_schema("plan-1")
    found = {WHOLE: schema, **{name: part for name, part in schema["$defs"].items() if "properties" in part}}
    return {name: _thing(name, part) for name, part in found.items()}


def _thing(name: str, part: Schema) -> Thing:
    required = part.get("required", ())
    keys = {key: _key(name, key, inner, required=key in required) for key, inner in part["properties"].items()}
    return Thing(name, part.get("title", name), part.get("description", ""), keys)


def find(wanted: str) -> tuple[Thing | None, list[Key]]:
    """What `wanted` names: a kind of thing, and the keys of that name; of `a.b` the keys b below a thing or key a.

    >>> [key.thing for key in find("corner.joint")[1]]
    ['corner']
    """
    *above, name = wanted.split(".")
    if not above:
        return things().get(name), [thing.keys[name] for thing in things().values() if name in thing.keys]
    thing, keys = find(above[-1])
    owners = [*([thing.name] if thing else []), *(below for key in keys for below in key.leads_to)]
    return None, [things()[owner].keys[name] for owner in dict.fromkeys(owners) if name in things()[owner].keys]


def names() -> list[str]:
    """Everything that can be looked up without a dot."""
    return sorted({*things(), *(key for thing in things().values() for key in thing.keys)})


def _key(thing: str, name: str, schema: Schema, *, required: bool) -> Key:
    target = _target(schema)
    return Key(
        thing=thing,
        name=name,
        meaning=schema.get("description") or (target or {}).get("description", ""),
        takes=_takes(schema),
        words=tuple(str(word) for word in schema.get("enum", ())),
        required=required,
        examples=tuple(_flow(example) for example in schema.get("examples", ())),
        leads_to=tuple(dict.fromkeys(_below(schema))),
    )


def _target(schema: Schema) -> Schema | None:
    reference = schema.get("$ref")
    target: Schema | None = load_schema("plan-1")["$defs"][reference.removeprefix(_REFERENCE)] if reference else None
    return target


def _below(schema: object) -> Iterator[str]:
    """The things that a key's value may be made of."""
    if not isinstance(schema, Mapping):
        return
    if "$ref" in schema:
        yield schema["$ref"].removeprefix(_REFERENCE)
    for part in ("then", "else", "items", "additionalProperties"):
        yield from _below(schema.get(part))


def _takes(schema: Schema) -> str:
    """What may stand under a key, in words."""
    if target := _target(schema):
        return f"the keys of {target['title']}"
    if "else" in schema:
        other = schema["else"]
        return str(other.get("title") or _takes(other))
    if "enum" in schema:
        return f"{'one of ' if len(schema['enum']) > 1 else ''}{', '.join(map(str, schema['enum']))}"
    if "title" in schema and "properties" not in schema:
        return str(schema["title"])
    if "properties" in schema:
        return f"the keys {', '.join(schema['properties'])}"
    if schema.get("type") == "array":
        return f"a list, each entry {_takes(schema.get('items', {}))}"
    if isinstance(schema.get("additionalProperties"), Mapping):
        return f"{_named(schema)}, each with {_takes(schema['additionalProperties'])}"
    return _simple(schema)


def _named(schema: Schema) -> str:
    form = schema.get("propertyNames", {}).get("format", "")
    return "names of your own" if form.endswith("name") else "entries"


def _simple(schema: Schema) -> str:
    form = schema.get("format", "").removeprefix("planlint-")
    dimension = form.removesuffix("-above-zero")
    if dimension in DIMENSIONS:
        return f"{_SPOKEN.get(dimension, 'a ' + dimension.replace('-', ' '))} as a number with its unit"
    if "const" in schema:
        return str(schema["const"])
    return _FORMS.get(form) or _TYPES.get(schema.get("type", ""), "a text")


def _flow(value: object) -> str:
    """A value as a plan writes it on one line."""
    if isinstance(value, Mapping):
        return "{" + ", ".join(f"{key}: {_flow(inner)}" for key, inner in value.items()) + "}"
    if isinstance(value, list):
        return "[" + ", ".join(map(_flow, value)) + "]"
    return str(value).lower() if isinstance(value, bool) else str(value)
