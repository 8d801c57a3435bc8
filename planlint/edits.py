"""Writes edits into the text of a plan, and leaves every other character as it is.

An edit names a key; where that stands is looked up in the spans of the document. What came out is read again, and
must say what the plan said before but for that key: so an edit never changes what an alias repeats elsewhere.
"""

import json
import re
from collections.abc import Iterable
from dataclasses import dataclass
from itertools import takewhile
from typing import Any

from planlint import source
from planlint.errors import PlanFaults
from planlint.records import Edit, Replacement
from planlint.source import Document
from planlint.spans import Path, Span

_Data = Any
_Patch = tuple[int, int, str]
"""A stretch of the text, from one offset to another, and what is to stand there."""

_SHORT = {"corner": "joint", "lining": "build_up", "then": "turn"}
"""What a single word under a key stands for in the long form."""

_COLON = re.compile(r"[ \t]*:")
_LINE_BREAK = re.compile(r"\r\n?|\n")
_NOT_LOST = ("\n", "\r", "#")
"""What a list or a set of keys must not hold to be written anew: line breaks, and what may begin a comment."""
_BETWEEN_WORDS = re.compile(r"[\s,:{}\[\]]")
_INDENT = re.compile(r" *(?:- +)*")
_DASH = re.compile(r"(?P<outer> *)- +")


@dataclass(frozen=True, slots=True)
class Revision:
    """A plan with edits in it, and the one stretch of its text that they changed."""

    document: Document
    replacement: Replacement


@dataclass(frozen=True, slots=True)
class _Change:
    """An edit in the form in which it meets the text: what it is put into is there."""

    path: Path
    value: _Data
    adds: bool = False


@dataclass(frozen=True, slots=True)
class _Entry:
    """A key of a set of keys, or an item of a list, that is written where it is read."""

    key: Span
    value: Span


def revise(document: Document, edits: Iterable[Edit]) -> Revision | None:
    """The plan with all of the edits in it; None where one cannot be written without touching anything else."""
    after = document
    for edit in edits:
        made = _made(after, edit)
        if made is None:
            return None
        after = made
    return Revision(after, _replacement(document, after.text)) if after.text != document.text else None


def _made(document: Document, edit: Edit) -> Document | None:
    change = _settle(document.data, edit)
    patch = None if change is None else _patch(document, change)
    if change is None or patch is None:
        return None
    start, end, text = patch
    after = f"{document.text[:start]}{text}{document.text[end:]}"
    try:
        read = source.read(after.encode(), document.file)
    except PlanFaults:
        return None
    return read if read.data == _with(document.data, change) else None


def _settle(data: _Data, edit: Edit) -> _Change | None:
    """An edit where it meets what the plan says: in the short form if that is used, with the keys that lack."""
    node: _Data = data
    value: _Data = list(edit.value) if isinstance(edit.value, tuple) else edit.value
    for depth, step in enumerate(edit.path):
        here, rest = edit.path[:depth], edit.path[depth:]
        if isinstance(node, str) and here and str(here[-1]) in _SHORT:
            key = _SHORT[str(here[-1])]
            return _Change(here, value if rest == (key,) else {key: node, **_nested(rest, value)})
        if node is None:
            return _Change(here, _nested(rest, value))
        if isinstance(node, dict) and step not in node:
            return _Change((*here, step), _nested(rest[1:], value))
        if not isinstance(node, dict) and (not isinstance(node, list) or step not in range(len(node))):
            return None
        node = _at(node, (step,))
    if edit.adds and isinstance(node, list):
        return _Change(edit.path, value, adds=True)
    return _Change(edit.path, [node, *value] if edit.adds and isinstance(node, str) else value)


def _nested(path: Path, value: _Data) -> _Data:
    for step in reversed(path):
        value = {step: value}
    return value


def _with(data: _Data, change: _Change) -> _Data:
    """The data of a plan as they are after a change, beside those before it."""
    if not change.path:
        return [*data, *change.value] if change.adds else change.value
    step, inner = change.path[0], _Change(change.path[1:], change.value, change.adds)
    changed = data.copy()
    changed[step] = _with(None if isinstance(data, dict) and step not in data else data[step], inner)
    return changed


def _patch(document: Document, change: _Change) -> _Patch | None:
    """What to put where in the text; None where it cannot be told."""
    if change.adds:
        return _new_items(document, change.path, change.value)
    container, key = change.path[:-1], change.path[-1]
    own = _own(document, container)
    if key not in own:
        return _new_key(document, container, own, str(key), change.value)
    entry = own[key]
    old = document.text[entry.value.start : entry.value.end]
    if not old:
        colon = _COLON.match(document.text, entry.key.end)
        return (colon.end(), colon.end(), f" {_said(change.value)}") if colon else None
    is_large = isinstance(_at(document.data, change.path), dict | list) or old[0] in "|>"
    if is_large and any(sign in old for sign in _NOT_LOST):
        return None
    return entry.value.start, entry.value.end, _said(change.value, old[0] if old[0] in "'\"" else "")


def _at(data: _Data, path: Path) -> _Data:
    for step in path:
        data = data[step]
    return data


def _own(document: Document, path: Path) -> dict[str | int, _Entry]:
    """What is written inside a container itself, in the order of the text; not what `<<` or an alias brings in."""
    node = _at(document.data, path)
    whole, spans = document.spans.value(path), document.spans
    steps: Iterable[str | int] = node if isinstance(node, dict) else range(len(node))
    entries = {step: _Entry(spans.key((*path, step)), spans.value((*path, step))) for step in steps}
    inside = {step: entry for step, entry in entries.items() if whole.start <= entry.key.start < whole.end}
    return dict(sorted(inside.items(), key=lambda pair: pair[1].key.start))


def _new_key(
    document: Document, container: Path, own: dict[str | int, _Entry], key: str, value: _Data
) -> _Patch | None:
    whole, text = document.spans.value(container), document.text
    entries = list(own.values())
    quote = '"' if entries and text.startswith('"', entries[0].key.start) else ""
    written = f"{quote}{key}{quote}: {_said(value, quote)}"
    if text.startswith("{", whole.start):
        if entries:
            end = max(entry.value.end for entry in entries)
            return end, end, f", {written}"
        rest = "" if text.startswith("}", whole.start + 1) else ", "
        return whole.start + 1, whole.start + 1, f"{written}{rest}"
    if not entries:
        return None
    indent = _INDENT.fullmatch(_before(text, entries[0].key.start))
    if indent is None:
        return None
    # Behind the first keys that have a line each, rather than below what the last of all may hold.
    behind = (list(takewhile(lambda entry: _is_on_one_line(text, entry), entries)) or entries)[-1]
    return _new_line(text, behind.value.end, f"{' ' * len(indent[0])}{written}")


def _new_items(document: Document, path: Path, items: list[_Data]) -> _Patch | None:
    whole, text = document.spans.value(path), document.text
    entries = list(_own(document, path).values())
    written = [_said(item) for item in items]
    if text.startswith("[", whole.start):
        end = entries[-1].value.end if entries else whole.start + 1
        return end, end, ", ".join(["", *written] if entries else written)
    dash = _DASH.fullmatch(_before(text, entries[-1].key.start)) if entries else None
    if dash is None:
        return None
    indent = dash["outer"]
    # The first item's line break is that of `_new_line`; further ones are like it.
    start, end, first = _new_line(text, entries[-1].value.end, f"{indent}- {written[0]}")
    lead = first[: first.index("-") + 2]
    return start, end, first + "".join(f"{lead}{item}" for item in written[1:])


def _new_line(text: str, offset: int, line: str) -> _Patch:
    """A line below the one that `offset` is on, ended as that is."""
    ends = _LINE_BREAK.search(text, offset) or _LINE_BREAK.search(text)
    end = ends.start() if ends and ends.start() >= offset else len(text)
    return end, end, f"{ends[0] if ends else chr(10)}{line}"


def _before(text: str, offset: int) -> str:
    """What stands before a spot on its line."""
    return text[max(text.rfind("\n", 0, offset), text.rfind("\r", 0, offset)) + 1 : offset]


def _is_on_one_line(text: str, entry: _Entry) -> bool:
    return _LINE_BREAK.search(text, entry.key.start, entry.value.end) is None


def _said(value: _Data, quote: str = "") -> str:
    """A value as YAML on one line; a text in quotes of that kind, or in none where it needs none."""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, list):
        return f"[{', '.join(_said(item, quote) for item in value)}]"
    if isinstance(value, dict):
        return f"{{{', '.join(f'{quote}{key}{quote}: {_said(item, quote)}' for key, item in value.items())}}}"
    if isinstance(value, float | int):
        return f"{value:.15g}"
    text = str(value)
    if quote == "'":
        return "'" + text.replace("'", "''") + "'"
    return text if not quote and _is_plain(text) else json.dumps(text, ensure_ascii=False)


def _is_plain(text: str) -> bool:
    """Whether a text may stand without quotes, inside brackets too."""
    try:
        return bool(source.read(f"[{text}]".encode(), "").data == [text])
    except PlanFaults:
        return False


def _replacement(before: Document, after: str) -> Replacement:
    """The one stretch in which two texts differ, widened to whole words, since people read it."""
    text = before.text
    start, most = 0, min(len(text), len(after))
    while start < most and text[start] == after[start]:
        start += 1
    end, back = len(text), 0
    while back < most - start and text[end - 1] == after[len(after) - back - 1]:
        end, back = end - 1, back + 1
    while start and not _BETWEEN_WORDS.match(text, start - 1):
        start -= 1
    while back and not _BETWEEN_WORDS.match(text, end):
        end, back = end + 1, back - 1
    first, last = before.spans.at(start, start), before.spans.at(end, end)
    return Replacement(first.line, first.column, last.line, last.column, after[start : len(after) - back])
