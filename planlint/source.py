"""YAML text to plain data, with the place of every key and value.

The data is made here, from the parser's events, and not by PyYAML: its loaders keep the later of two equal keys in
silence, know no lines, and read plain words by the rules of YAML 1.1 (see `scalars`). The parser in C, the one in
Python and their versions differ in places; asked for events only, they give the same data and the same faults.
"""

import gc
import hashlib
import os
import re
from array import array
from bisect import bisect_right
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any, NamedTuple, NoReturn

import yaml

from planlint import syntax
from planlint.errors import Fault, PlanFaults
from planlint.scalars import MERGE, Trap, composed, resolve, short
from planlint.spans import Spans, line_starts

_Data = Any
_Event = Any  # the type stubs of PyYAML leave out half of what an event carries

MAX_BYTES = 32 * 1024 * 1024
MAX_DEPTH = 50
_MAX_FAULTS = 50

_CONTROL = re.compile("[^\t\n\r\x20-\x7e\x85\xa0-\ud7ff\ue000-\ufefe\uff00-\ufffd\U00010000-\U0010ffff]")
_FIRST_PERCENT = re.compile(r"(?:[ \t]*+(?:#[^\r\n]*+)?[\r\n])*+%")
_INTEGER_AND_COMMA = re.compile(r"(?<![\w.+-])[-+]?[0-9]{1,12},\Z")
_INTEGER_AND_GAP = re.compile(r"(?<![\w.+-])[-+]?[0-9]{1,12},\s*\Z")
_NO_VALUE = re.compile(r"\s*[,}]")
_PROPERTIES = re.compile(r"(?:[&!][^\s,\[\]{}]*+(?:[ \t\r\n]|(?<=\s)#[^\r\n]*)*+)*+")
_FOREIGN_MARKS = (
    (b"\xff\xfe\x00\x00", "UTF-32"),
    (b"\x00\x00\xfe\xff", "UTF-32"),
    (b"\xff\xfe", "UTF-16"),
    (b"\xfe\xff", "UTF-16"),
)


@dataclass(frozen=True)
class Document:
    """One YAML file as read: its text (without a byte-order mark), its data, and where each piece stands.

    What is written once and used twice, by an alias, is one object in `data`: never change `data`.
    """

    file: str
    text: str
    data: _Data
    spans: Spans
    digest: str


def load(path: str | os.PathLike[str]) -> Document:
    """Read the file at `path`.

    Raises:
        PlanFaults: the file cannot be opened, or its text cannot be read.
    """
    file = os.fsdecode(path)
    try:
        with open(path, "rb") as stream:  # noqa: PTH123 - Path takes no name that holds a NUL on every version
            size = os.fstat(stream.fileno()).st_size
            raw = stream.read(MAX_BYTES + 1) if size <= MAX_BYTES else None
    except (OSError, ValueError) as error:
        raise PlanFaults([_unopened(file, error)]) from None
    if raw is None:
        raise PlanFaults([_too_large(file)])
    return read(raw, file)


def read(raw: bytes, file: str, *, pure: bool = False) -> Document:
    """Read the bytes of a file; `file` is its name in messages, `pure` asks for the parser in Python.

    Raises:
        PlanFaults: the text is not YAML, or holds what programs read in different ways.
    """
    if len(raw) > MAX_BYTES:
        raise PlanFaults([_too_large(file)])
    # Reading makes millions of objects and hardly any rubbish, and the collector would look through all of them
    # again and again: measured, the time then grows faster than the file.
    collecting = gc.isenabled()
    gc.disable()
    try:
        text = _decoded(raw, file)
        data, offsets, bases = _Reader(text, file, pure=pure).read()
    finally:
        if collecting:
            gc.enable()
    digest = f"sha256:{hashlib.sha256(raw).hexdigest()}"
    return Document(file, text, data, Spans(text, data, offsets, bases), digest)


def _unopened(file: str, error: OSError | ValueError) -> Fault:
    if isinstance(error, FileNotFoundError):
        return Fault(file, 0, 0, "there is no such file", "check the name; `planlint start FILE` writes a new plan")
    if isinstance(error, IsADirectoryError):
        return Fault(file, 0, 0, "this is a folder", "name the file in it, such as study.plan.yaml")
    if isinstance(error, PermissionError):
        hint = "ask its owner for leave, or read a copy of your own"
        return Fault(file, 0, 0, "you have no permission to read this file", hint)
    return Fault(file, 0, 0, "the file cannot be opened", "check its name, and that its disk can be read")


def _too_large(file: str) -> Fault:
    return Fault(file, 0, 0, "the file is larger than 32 MiB", "split it, such as into one plan for each floor")


def _decoded(raw: bytes, file: str) -> str:
    for mark, name in _FOREIGN_MARKS:
        if raw.startswith(mark):
            raise PlanFaults([Fault(file, 1, 1, f"the text is {name}, not UTF-8", "save the file as UTF-8")])
    raw = raw.removeprefix(b"\xef\xbb\xbf")
    try:
        return raw.decode()
    except UnicodeDecodeError as error:
        before = raw[: error.start].decode()
        starts = line_starts(before)
        message = f"the byte 0x{raw[error.start]:02X} is not UTF-8 text"
        hint = "save the file as UTF-8"
        raise PlanFaults([Fault(file, len(starts), len(before) - starts[-1] + 1, message, hint)]) from None


def _control(character: str) -> tuple[str, str]:
    if character == "\ufeff":
        return (
            "a byte-order mark stands in the middle of the text",
            "delete this character; it cannot be seen",
        )
    return (
        f"a control character (U+{ord(character):04X})",
        "delete it; programs show it as a box or not at all",
    )


_NAME_HINT = 'write a name that begins with a letter, such as study:, or put it in quotes: "study":'
_TOO_DEEP = (
    f"more than {MAX_DEPTH} levels stand inside each other",
    "a plan needs fewer than 20; look for a bracket or dash too many",
)
_TOO_MANY = (
    "aliases repeat so much that they make this file many times larger",
    "repeat less with *name, and write out what differs",
)
_TWO_DOCUMENTS = ("a second document begins here", "take the line --- out, or write one file for each")
_EMPTY = ("the file is empty", "a plan begins with `plan: 1`; `planlint start FILE` writes one")


def _may_add(nodes: int) -> int:
    """Give how many nodes aliases may add to the nodes that a file holds itself."""
    return 10 * nodes + 10_000


class _Anchored(NamedTuple):
    """What an anchor stands for, and how many nodes and levels an alias to it adds."""

    value: _Data
    nodes: int
    levels: int


class _Open:
    """A container that is being filled, with four offsets for each of its entries.

    Those inside it close before it does, so its entries are kept here until they can stand together.
    """

    __slots__ = (
        "anchor",
        "begun",
        "data",
        "entries",
        "flow",
        "key",
        "key_end",
        "key_start",
        "levels",
        "mapping",
        "start",
    )

    def __init__(self, data: _Data, start: int, anchor: str | None, begun: int, *, flow: bool) -> None:
        self.data = data
        self.mapping = type(data) is dict
        self.flow = flow
        self.start = start
        self.anchor = anchor
        self.begun = begun
        self.levels = 0
        self.entries: list[int] = []
        self.key: Any = None
        self.key_start = self.key_end = 0


class _Reader:
    """Makes the data of one text and collects what is wrong with it."""

    def __init__(self, text: str, file: str, *, pure: bool) -> None:
        self.text = text
        self.file = file
        self.pure = pure
        self.faults: list[Fault] = []
        self.lines: list[int] = []
        self.offsets = array("I")
        self.bases: dict[int, int] = {}
        self.anchors: dict[str, _Anchored | None] = {}
        self.plain: dict[str, _Data] = {}
        self.open = _Open([], 0, None, 0, flow=False)  # the root has a list to itself
        self.outer: list[_Open] = []
        self.own = self.added = self.last_alias = 0

    def read(self) -> tuple[_Data, "array[int]", dict[int, int]]:
        if control := _CONTROL.search(self.text):
            self.refuse(control.start(), *_control(control[0]))
        if percent := _FIRST_PERCENT.match(self.text):
            self.refuse(*syntax.percent(percent.end() - 1))
        if "\t" in self.text and (tab := self.misplaced_tab()):
            self.refuse(*tab)
        try:
            data = self.build()
        except yaml.MarkedYAMLError as error:
            # Alone: what else was found before it depends on how far the parser in use looks ahead.
            self.faults.clear()
            self.refuse(*syntax.explain(self.text, error))
        except (ValueError, OverflowError):  # an escape past the last character, in the parser in Python
            self.faults.clear()
            self.refuse(*syntax.no_character(self.text))
        if self.faults:
            raise PlanFaults(self.faults)
        return data, self.offsets, self.bases

    def misplaced_tab(self) -> syntax.Trouble | None:
        self.line(0)
        return syntax.misplaced_tab(self.text, self.lines, self.events)

    def line(self, offset: int) -> int:
        if not self.lines:
            self.lines = line_starts(self.text)
        return bisect_right(self.lines, offset)

    def add(self, offset: int, message: str, hint: str) -> None:
        line = self.line(offset)
        self.faults.append(Fault(self.file, line, offset - self.lines[line - 1] + 1, message, hint))
        if len(self.faults) == _MAX_FAULTS:
            raise PlanFaults(self.faults)

    def refuse(self, offset: int, message: str, hint: str) -> NoReturn:
        self.add(offset, message, hint)
        raise PlanFaults(self.faults)

    def events(self, text: str) -> Iterator[_Event]:
        loader = yaml.CSafeLoader if yaml.__with_libyaml__ and not self.pure else yaml.SafeLoader
        return iter(loader(text).get_event, None)

    def build(self) -> _Data:
        root = self.open
        documents = 0
        for event in self.events(self.text):
            kind = type(event)
            if kind is yaml.ScalarEvent:
                self.scalar(event)
            elif kind is yaml.MappingStartEvent:
                self.begin(event, {})
            elif kind is yaml.SequenceStartEvent:
                self.begin(event, [])
            elif kind is yaml.MappingEndEvent or kind is yaml.SequenceEndEvent:
                self.finish(event)
            elif kind is yaml.AliasEvent:
                self.alias(event)
            elif kind is yaml.DocumentStartEvent:
                documents += 1
                if documents > 1:
                    self.refuse(event.start_mark.index, *_TWO_DOCUMENTS)
        if self.added > _may_add(self.own):
            self.refuse(self.last_alias, *_TOO_MANY)
        if root.data in ([], [None]) and root.entries[2:3] == root.entries[3:4]:
            self.refuse(0, *_EMPTY)
        return root.data[0]

    def scalar(self, event: _Event) -> None:
        self.own += 1
        source = event.value
        start, end = event.start_mark.index, event.end_mark.index
        if event.anchor is not None or event.tag is not None:
            start = min(self.skip_properties(event), end)
        if not event.style:
            value = self.plain.get(source, self)
            if value is self:
                value = self.plain[source] = resolve(source)
        else:
            value = composed(source)
            if event.style == '"':
                self.check_escapes(value, start)
            elif event.style in "|>":
                end = start + len(self.text[start:end].rstrip())
        if event.anchor is not None:
            self.anchors[event.anchor] = _Anchored(source if type(value) is Trap else value, 1, 0)
        self.place(value, start, end)

    def begin(self, event: _Event, data: _Data) -> None:
        start = self.skip_properties(event)
        outer = self.open
        if outer.mapping and outer.key is None:
            self.refuse(start, "a list or a set of keys stands where a name belongs", _NAME_HINT)
        self.outer.append(outer)
        if len(self.outer) > MAX_DEPTH:
            self.refuse(start, *_TOO_DEEP)
        flow = outer.flow or self.text[start] in "[{"
        self.open = _Open(data, start, event.anchor, self.own + self.added, flow=flow)
        self.own += 1
        if event.anchor is not None:
            self.anchors[event.anchor] = None

    def finish(self, event: _Event) -> None:
        done = self.open
        end = event.end_mark.index
        # Only a bracket has a length; without one the mark stands behind all comments that follow.
        if done.entries and event.start_mark.index == end:
            end = done.entries[-1]
        if done.mapping and MERGE in done.data:
            self.merge(done)
        self.bases[id(done.data)] = len(self.offsets)
        self.offsets.fromlist(done.entries)
        levels = done.levels + 1
        if done.anchor is not None:
            self.anchors[done.anchor] = _Anchored(done.data, self.own + self.added - done.begun, levels)
        self.open = self.outer.pop()
        self.open.levels = max(self.open.levels, levels)
        self.place(done.data, done.start, end)

    def alias(self, event: _Event) -> None:
        self.own += 1
        start, name = event.start_mark.index, event.anchor
        anchored = self.anchors.get(name)
        if anchored is None:
            if name in self.anchors:
                self.add(start, f"*{name} stands inside &{name}, which it repeats", "take one of the two out")
            else:
                hint = f"write &{name} further up, before what is to be repeated"
                self.add(start, f"*{name} has nothing to repeat: no &{name} stands above it", hint)
            anchored = _Anchored(None, 1, 0)
        self.last_alias = start
        self.added += anchored.nodes
        self.open.levels = max(self.open.levels, anchored.levels)
        if len(self.outer) + anchored.levels > MAX_DEPTH:
            self.refuse(start, *_TOO_DEEP)
        # Before merges copy too much, but with room for nodes of the file's own that are still to come.
        if self.added > 10 * _may_add(self.own):
            self.refuse(start, *_TOO_MANY)
        self.place(anchored.value, start, event.end_mark.index)

    def place(self, value: _Data, start: int, end: int) -> None:
        """Put a finished value, or a key, where it belongs."""
        into = self.open
        if into.mapping and into.key is None:
            if type(value) is not str or value in into.data or (into.flow and value[:1].isdigit()):
                value = self.odd_name(value, start, end)
            into.key, into.key_start, into.key_end = value, start, end
            return
        if type(value) is Trap:
            if value is not MERGE:
                self.add(start, value.why, value.as_value)
            value = value.text
        if into.mapping:
            into.data[into.key] = value
            into.entries += (into.key_start, into.key_end, start, end)
            into.key = None
        else:
            if into.flow and self.text[start - 1] == "," and self.text[start].isdigit():
                self.cut_number(start, end)
            into.data.append(value)
            into.entries += (start, end, start, end)

    def merge(self, into: _Open) -> None:
        """Put what `<<` leads to behind the keys that are written here, which win; each keeps its place."""
        first = 4 * list(into.data).index(MERGE)
        start = into.entries[first + 2]
        source = into.data.pop(MERGE)
        del into.entries[first : first + 4]
        for other in source if type(source) is list else [source]:
            if type(other) is not dict:
                hint = "give it a set of keys, such as <<: *usual, or a list of them: <<: [*usual, *deep]"
                self.add(start, "<< does not lead to a set of keys", hint)
                return
            base = self.bases[id(other)]
            for index, (key, value) in enumerate(other.items()):
                if key not in into.data:
                    into.data[key] = value
                    into.entries += self.offsets[base + 4 * index : base + 4 * index + 4]

    def odd_name(self, value: _Data, start: int, end: int) -> _Data:
        """Report what is no good name, and give one to go on with: a new one, so that entries stay in step."""
        into, source = self.open, self.text[start:end]
        cited = short(source)
        new = f"{source}\0{start}"
        if into.flow and source[:1].isdigit() and _NO_VALUE.match(self.text, end) and self.cut_number(start, end):
            return new
        if value is MERGE or type(value) is str:
            if value not in into.data:
                return value
            line = self.line(into.entries[4 * list(into.data).index(value)])
            hint = "keep one of the two, or give one another name"
            if value is MERGE:
                hint = "merge both at once: <<: [*usual, *deep]"
            self.add(start, f"{cited} stands here a second time; the first is on line {line}", hint)
        elif type(value) is Trap:
            self.add(start, value.why, value.as_name)
        elif not source:
            self.add(start, "there is no name before the colon", "write key: value")
        elif type(value) is int or type(value) is float:
            hint = f'write "{cited}" in quotes, or a quantity with its unit, such as 0.15 m'
            self.add(start, f"a name cannot be a bare number: {cited}", hint)
        else:
            self.add(start, f"{cited} cannot be a name", _NAME_HINT)
        return new

    def cut_number(self, start: int, end: int) -> bool:
        """Report a decimal comma, which inside brackets cuts a number in two."""
        pattern = _INTEGER_AND_GAP if self.open.mapping else _INTEGER_AND_COMMA
        match = pattern.search(self.text, max(0, start - 40), start)
        if match is None:
            return False
        whole, part = match[0].partition(",")[0], short(self.text[start:end])
        hint = f"write {whole}.{part} with a point; or, if these are two entries, put a space after the comma"
        self.add(match.start(), f"a comma cuts the number {whole},{part} in two", hint)
        return True

    def skip_properties(self, event: _Event) -> int:
        """Give where the node itself begins, behind its anchor."""
        start: int = event.start_mark.index
        if event.anchor is None and event.tag is None:
            return start
        if event.tag is not None:
            self.add(*syntax.tag(self.text.find("!", start)))
        match = _PROPERTIES.match(self.text, start)
        return match.end() if match else start

    def check_escapes(self, value: str, start: int) -> None:
        if control := _CONTROL.search(value):
            if "\ud800" <= control[0] <= "\udfff":  # which the parser in C refuses by itself
                self.faults.clear()
                self.refuse(*syntax.no_character(self.text, start))
            what = f"an escape in this text stands for a control character (U+{ord(control[0]):04X})"
            self.add(start, what, "delete it; a new line is \\n")
