"""Plain data → faults in words: `schemas/plan-1.json` says what a plan may hold, this module how to complain.

The schema is checked by the jsonschema library, whose texts are for programmers; each of its errors becomes
one sentence that says what is wrong and one hint that shows the right form. Both draw on the schema itself:
`title` says what a thing is called in a sentence, `examples` show it, `format` names one of the forms below.
"""

import difflib
import json
import re
import unicodedata
from collections.abc import Callable, Iterable, Iterator, Mapping
from datetime import date
from functools import cache
from importlib import resources
from itertools import islice
from typing import TYPE_CHECKING, Any, Final, NamedTuple

from planlint import grammar, units
from planlint.errors import Fault, QuantityError, UsageError

if TYPE_CHECKING:
    from jsonschema import Draft202012Validator, ValidationError

    from planlint.source import Document
    from planlint.spans import Path

MOST_TOLD: Final = 100  # faults: whoever has more made one mistake many times, or named the wrong file
MOST_SOUGHT: Final = 2000  # more are not even counted, so that a huge wrong file ends soon
LONGEST_SHOWN: Final = 60  # characters of a key or a value
MOST_KEYS: Final = 25  # that a hint lists

_Thing = dict[str, Any]


@cache
def load_schema(name: str) -> _Thing:
    """The schema of that name, such as `plan-1`, as it is written.

    Raises:
        UsageError: there is none of that name.
    """
    files = {file.name: file for file in resources.files("planlint.schemas").iterdir()}
    if f"{name}.json" not in files:
        known = sorted(file.removesuffix(".json") for file in files if file.endswith(".json"))
        raise UsageError(f"there is no schema {name}; there are {', '.join(known)}")
    schema: _Thing = json.loads(files[f"{name}.json"].read_text(encoding="utf-8"))
    return schema


def check(document: "Document", name: str = "plan-1") -> list[Fault]:
    """Every fault of the document against the schema of that name, sorted by line; empty where it fits."""
    faults: set[Fault] = set()
    for path, message, hint, at_key in _no_such_document(document.data, _flat(name)) or islice(
        _flaws(name, document.data), MOST_SOUGHT
    ):
        span = document.spans.key(path) if at_key else document.spans.value(path)
        faults.add(Fault(document.file, span.line, span.column, message, hint))
    told = sorted(faults)
    if len(told) <= MOST_TOLD:
        return told
    more = f"{len(told) - MOST_TOLD} more mistakes from here on"
    return [
        *told[:MOST_TOLD],
        Fault(document.file, told[-1].line, told[-1].column + 1, more, "mend those above first"),
    ]


class _Flaw(NamedTuple):
    """What is wrong at a path, before it has a line."""

    path: "Path"
    message: str
    hint: str
    at_key: bool = True


class _Miss(NamedTuple):
    """An error of the validator: the part of the schema that the value does not meet."""

    path: "Path"
    keyword: str
    wanted: Any
    value: Any
    schema: _Thing
    cause: Exception | None


def _no_such_document(data: object, schema: _Thing) -> list[_Flaw]:
    """The one reason why this is no document of the kind at all, if so: the rest would be noise."""
    parts = schema["properties"]
    begin = "begin it with " + ", ".join(f"{key}: {_example(parts[key])}" for key in schema["required"])
    if not isinstance(data, dict):
        return [_Flaw((), f"{schema['title']} is written as keys with their values", begin)]
    for key, wanted in ((key, part["const"]) for key, part in parts.items() if "const" in part):
        hint = f"write {key}: {wanted}"
        if key not in data:
            return [_Flaw((), f'"{key}" is missing, the version of the format', f"{hint} at the beginning")]
        if data[key] != wanted or type(data[key]) is not type(wanted):
            shown = _shown(data[key])
            if data[key] == str(wanted):
                hint = f"take the quotes away: {hint.removeprefix('write ')}"
            return [_Flaw((key,), f'"{key}": {shown} is not a version known here', hint, at_key=False)]
    return []


def _flaws(name: str, data: object) -> Iterator[_Flaw]:
    told: set[Path] = set()
    for error in _validator(name).iter_errors(data):
        miss = _miss(error)
        if miss.keyword == "additionalProperties":
            yield from _unknown_keys(miss, _owners(name))
        elif miss.keyword == "required":
            yield from _missing_keys(miss)
        elif miss.keyword == "not":
            pair = [key for key in miss.value if key in miss.wanted["required"]]
            message = f'"{pair[0]}" and "{pair[1]}" are both given'
            yield _Flaw((*miss.path, pair[1]), message, miss.wanted["description"])
        elif "propertyNames" in list(error.absolute_schema_path)[-2:-1]:
            yield _wrong_value(miss._replace(path=(*miss.path, miss.value)))._replace(at_key=True)
        elif miss.path not in told:  # one mistake, one fault: what is found first is the plainest
            told.add(miss.path)
            yield _wrong_value(miss)


def _miss(error: "ValidationError") -> _Miss:
    schema, cause = error.schema, error.cause
    return _Miss(
        path=tuple(error.absolute_path),
        keyword=str(error.validator),
        wanted=error.validator_value,
        value=error.instance,
        schema=schema if isinstance(schema, dict) else {},
        cause=cause if isinstance(cause, Exception) else None,
    )


def _unknown_keys(miss: _Miss, owners: Mapping[str, list[str]]) -> Iterator[_Flaw]:
    thing, known = miss.schema["title"], miss.schema["properties"]
    for key in miss.value:
        if key in known:
            continue
        few = [*known] if len(known) <= MOST_KEYS else [*[*known][:MOST_KEYS], f"{len(known) - MOST_KEYS} more"]
        hint = f"{thing} takes {_listed(few)}"
        if near := _nearest(key, known):
            hint = f'did you mean "{near}"?'
        elif meant := next((spelling for spelling in _spellings(key) if spelling in owners), None):
            hint = f'"{meant}" is a key of {_listed(owners[meant][:3])}; {hint}'
        yield _Flaw((*miss.path, key), f'"{_cut(key)}" is not a key of {thing}', hint)


def _missing_keys(miss: _Miss) -> Iterator[_Flaw]:
    known = miss.schema.get("properties", {})
    # A misspelt key is told of as such; that the right one is missing goes without saying.
    meant = {_nearest(key, known) for key in miss.value if key not in known}
    for key in miss.wanted:
        if key not in miss.value and key not in meant:
            hint = f"add it, such as {key}: {_example(known[key])}" if key in known else miss.schema["description"]
            yield _Flaw(miss.path, f'{miss.schema["title"]} needs "{key}"', hint)


# keyword: what is wrong, and what would be right
_SAYINGS: Final = {
    "minimum": ("{value} is too small", "write {wanted} or more"),
    "exclusiveMinimum": ("{value} is too small", "write a number above {wanted}"),
    "maximum": ("{value} is too large", "write {wanted} or less"),
    "minLength": ("nothing stands here", "here belongs {expected}"),
    "minItems": ("{count} of the {wanted} entries that it needs", "{listed}"),
    "maxItems": ("{count} entries, which is more than {wanted}", "{listed}"),
    "enum": ("{value} is not a word that it takes", "{words}"),
    "type": ("{value} does not fit", "here belongs {expected}"),
}


# format, or else type: what that is called
_CALLED: Final = {
    "planlint-date": "a date",
    "planlint-name": "a name",
    "planlint-inner-name": "a name",
    "planlint-place": "a place",
    "array": "a list",
    "integer": "a whole number",
    "number": "a plain number",
    "object": "keys with their values",
}


def _wrong_value(miss: _Miss) -> _Flaw:
    schema, value, (*above, last) = miss.schema, miss.value, miss.path
    subject = f'"{_cut(last)}"' if isinstance(last, str) else f'entry {last + 1} of "{above[-1]}"'
    if isinstance(miss.cause, QuantityError | _FormError):
        hint = miss.cause.hint or f"write a figure such as {_example(schema)}"
        if "title" in schema and _dimension(schema) and not re.search(r"\d", value):  # meant as a word
            hint = f"here belongs {schema['title']}"
        return _Flaw(miss.path, f"{subject}: {miss.cause.message}", hint, at_key=False)
    if value is None:
        written = f"{last}: {_example(schema)}" if isinstance(last, str) else _example(schema)
        return _Flaw(miss.path, f"{subject} has no value", f"write one, such as {written}, or take it out")
    if _dimension(schema) and isinstance(value, int | float) and not isinstance(value, bool):
        unit = re.sub(r"^[\d./ ]+", "", _example(schema))
        # A bare length is most likely in millimetres where it is large, whatever the example says.
        if unit == "%" and 0 < value < 1:
            value = round(100 * value, 9)
        hint = f"{value:g} %" if unit == "%" else f"{value} mm" if unit == "m" and value >= 100 else f"{value} {unit}"  # noqa: PLR2004 - no wall is that long
        return _Flaw(miss.path, f"{subject}: {value} has no unit", f"write the unit too: {hint}", at_key=False)
    message, hint = (
        saying.format(
            value=_shown(value),
            wanted=miss.wanted,
            count=len(value) if isinstance(value, list) else "",
            expected=f'{value} in quotes: "{value}"' if _wants_quotes(miss) else _expected(schema),
            listed=f"write it as {_example(schema)}" if "examples" in schema else schema.get("description"),
            words=_words(miss) if miss.keyword == "enum" else "",
        )
        for saying in _SAYINGS.get(miss.keyword, _SAYINGS["type"])
    )
    if isinstance(value, str) and (value in ("true", "false") or value.isdecimal()) and miss.keyword == "type":
        hint = f"take the quotes away: {last}: {value}"
    return _Flaw(miss.path, f"{subject}: {message}", hint, at_key=False)


def _wants_quotes(miss: _Miss) -> bool:
    free_text = miss.schema.get("type") == "string" and "format" not in miss.schema
    return free_text and isinstance(miss.value, int | float) and not isinstance(miss.value, bool)


def _words(miss: _Miss) -> str:
    near = _nearest(miss.value, miss.wanted) if isinstance(miss.value, str) else None
    if not near and "title" in miss.schema:
        return f"here belongs {miss.schema['title']}"
    return (f"did you mean {near}? " if near else "") + f"it takes {_listed(miss.wanted, 'or')}"


def _expected(schema: _Thing) -> str:
    """What belongs where this schema stands, in words with an example."""
    if "properties" in schema:
        return f"{schema['title']}, written as keys such as {_example(schema)}"
    if "title" in schema or schema.get("type") == "boolean":
        return str(schema.get("title", "true or false"))
    called = (
        "a number with its unit" if _dimension(schema) else _CALLED.get(str(schema.get("format", schema.get("type"))))
    )
    return f"{called or 'a text'}, such as {_example(schema)}"


def _example(schema: _Thing) -> str:
    """An example of what fits this schema, as one would write it on one line."""
    shown = "west"
    if "examples" in schema or "enum" in schema:
        shown = _flow((schema.get("examples") or schema["enum"])[0])
    elif "properties" in schema:
        keys = schema.get("required") or list(schema["properties"])[:2]
        shown = "{" + ", ".join(f"{key}: {_example(schema['properties'][key])}" for key in keys) + "}"
    elif "else" in schema:
        shown = _example(schema["else"])
    elif "items" in schema:
        shown = f"[{_example(schema['items'])}]"
    elif "additionalProperties" in schema:
        shown = "{my-name: " + _example(schema["additionalProperties"]) + "}"
    elif dimension := _dimension(schema):
        shown = units.EXAMPLES[dimension]
    return shown


def _flow(value: object) -> str:
    if isinstance(value, dict):
        return "{" + ", ".join(f"{key}: {_flow(inner)}" for key, inner in value.items()) + "}"
    if isinstance(value, list):
        return "[" + ", ".join(map(_flow, value)) + "]"
    return json.dumps(value) if isinstance(value, bool) else str(value)


def _shown(value: object) -> str:
    if isinstance(value, dict | list):
        return "a group of keys" if isinstance(value, dict) else "a list"
    return _cut(_flow(value)) or "an empty text"


def _cut(text: str) -> str:
    shown = "".join(sign if sign.isprintable() else " " for sign in text[:LONGEST_SHOWN])
    return shown if len(text) <= LONGEST_SHOWN else f"{shown}…"


def _listed(words: list[str], last: str = "and") -> str:
    *head, tail = words
    return f"{', '.join(head)} {last} {tail}" if head else tail


def _spellings(word: str) -> list[str]:
    """The word, and as a key is spelt; none of a long text, in which looking for likeness takes long."""
    return [word, re.sub(r"[\s-]+", "_", word.strip()).lower()] if len(word) <= LONGEST_SHOWN else []


def _nearest(word: str, known: Iterable[str]) -> str | None:
    near = [key for spelling in _spellings(word) for key in difflib.get_close_matches(spelling, known, 1, cutoff=0.7)]
    return near[0] if near else None


def _dimension(schema: _Thing) -> str | None:
    dimension: str = schema.get("format", "").removeprefix("planlint-").removesuffix("-above-zero")
    return dimension if dimension in units.DIMENSIONS else None


@cache
def _flat(name: str) -> _Thing:
    """The schema with what it refers to put in place: following a reference for every point costs time."""
    schema = load_schema(name)
    things: dict[str, _Thing] = {}
    begun: set[str] = set()

    def flat(node: Any) -> Any:  # noqa: ANN401 - any part of a JSON document
        if isinstance(node, list):
            return [flat(inner) for inner in node]
        if not isinstance(node, dict):
            return node
        thing = node.get("$ref", "").removeprefix("#/$defs/")
        if not thing:
            return {key: flat(inner) for key, inner in node.items()}
        if thing not in things:
            if thing in begun:  # a thing that holds its like: the validator follows this reference by itself
                return node
            begun.add(thing)
            things[thing] = flat(schema["$defs"][thing])
        # What stands beside a reference describes this use of the thing, or asks for more of it.
        return things[thing] | {key: flat(inner) for key, inner in node.items() if key != "$ref"}

    return {key: part if key == "$defs" else flat(part) for key, part in schema.items()}


@cache
def _owners(name: str) -> Mapping[str, list[str]]:
    """Of which things each key is."""
    owners: dict[str, list[str]] = {}
    schema = load_schema(name)
    for thing in (schema, *schema.get("$defs", {}).values()):
        for key in thing.get("properties", {}):
            owners.setdefault(key, []).append(thing["title"])
    return owners


@cache
def _validator(name: str) -> "Draft202012Validator":
    # Imported here for the sake of a cold start: most commands read no plan.
    from jsonschema import Draft202012Validator, FormatChecker  # noqa: PLC0415

    checker = FormatChecker(())
    readers = dict(_FORMS)
    for dimension, kind in units.DIMENSIONS.items():
        readers[dimension] = _quantity(kind)
        readers[f"{dimension}-above-zero"] = _quantity(kind, above_zero=True)
    for form, read in readers.items():
        # What is not a text is the business of `type`.
        fits = lambda value, read=read: not isinstance(value, str) or read(value) is None  # noqa: E731
        checker.checks(f"planlint-{form}", raises=(QuantityError, _FormError))(fits)
    return Draft202012Validator(_flat(name), format_checker=checker)


class _FormError(ValueError):
    """A text that does not have the form of a name, a date, and so on; each function below raises it."""

    def __init__(self, message: str, hint: str) -> None:
        self.message = message
        self.hint = hint
        super().__init__(message)


def _quantity(kind: type[units.Quantity], *, above_zero: bool = False) -> Callable[[str], None]:
    def read(text: str) -> None:
        if grammar.parse(text, kind) <= 0 and above_zero:
            raise _FormError(f"{text} is not above zero", "")

    return read


def _is_name(text: str) -> bool:
    if text.isascii():
        return re.fullmatch(r"[A-Za-z][A-Za-z0-9_-]*", text) is not None
    # Marks belong to the letters of many scripts.
    signs = [(sign, unicodedata.category(sign)) for sign in unicodedata.normalize("NFC", text)]
    return signs[0][1][0] == "L" and all(kind[0] in "LM" or kind == "Nd" or sign in "-_" for sign, kind in signs)


def _name(text: str) -> None:
    if not _is_name(text):
        mended = re.sub(r"[^\w-]+", "-", text[:LONGEST_SHOWN]).strip("-_0123456789")
        such_as = f", such as {mended}" if _is_name(mended) else ""
        spaces = "; no spaces" if " " in text else ""
        form = f"a name begins with a letter and goes on with letters, digits, - and _{spaces}{such_as}"
        raise _FormError(f"{_shown(text)} is not a name", form)


def _free_name(taken: str) -> Callable[[str], None]:
    def read(text: str) -> None:
        _name(text)
        if re.fullmatch(taken, text):
            raise _FormError(f"{text} is a name with a meaning of its own", f"choose another, such as my-{text}")

    return read


def _place(text: str) -> None:
    if not all(map(_is_name, text.split("."))):
        raise _FormError(f"{_shown(text)} is not a place", "a place is names joined by dots, such as study.west")


def _date(text: str) -> None:
    form = "write year, month and day, such as 2026-10-02"
    if not re.fullmatch(r"\d{4}-\d{2}-\d{2}", text, re.ASCII):
        raise _FormError(f"{_shown(text)} is not a date", form)
    try:
        date.fromisoformat(text)
    except ValueError:
        raise _FormError(f"{text} is not a day of the calendar", form) from None


def _pattern(pattern: str, meaning: str, hint: str) -> Callable[[str], None]:
    def read(text: str) -> None:
        if not re.fullmatch(pattern, text):
            raise _FormError(f"{_shown(text)} is not {meaning}", hint)

    return read


_TAKEN: Final = "supply|circuits|boards|boxes|bases|linings|work|access|building|plan"
_FORMS: Final[Mapping[str, Callable[[str], None]]] = {
    "name": _name,
    "room-name": _free_name(_TAKEN),
    "inner-name": _free_name(rf"{_TAKEN}|ceiling|floor|corner|piece-\d+"),
    "place": _place,
    "date": _date,
    "country": _pattern("[A-Z]{2}", "a country's two letters", "write two capital letters, such as BE"),
    "ip": _pattern(
        "IP[0-6X][0-9X][A-Z]{0,2}", "a degree of protection", "write what stands on the fitting, such as IPX4"
    ),
}
