"""From the parser's events to plain data, with four offsets for each entry of a mapping or list.

The data is made here and not by PyYAML: its loaders keep the later of two equal keys in silence, know no
lines, and read plain words by the rules of YAML 1.1 (see `scalars`). The parser in C and the one in Python differ
in places; asked for events only, they give the same data and the same faults.
"""

import re
from array import array
from bisect import bisect_right
from dataclasses import dataclass, field
from typing import Any, NamedTuple, NoReturn

import yaml

from planlint import syntax
from planlint.errors import Fault, PlanFaults
from planlint.events import parse
from planlint.scalars import MERGE, Trap, composed, resolve, short
from planlint.spans import line_starts

MAX_DEPTH = 50
_MAX_FAULTS = 50

_Data = Any
_Event = Any  # see `events.parse`

_CONTROL = re.compile("[^\t\n\r\x20-\x7e\x85\xa0-\ud7ff\ue000-\ufefe\uff00-\ufffd\U00010000-\U0010ffff]")
_LINE_WITH_PERCENT = re.compile(r"(?:\A|(?<=[\r\n]))%")
_BLOCK_AND_COMMENT = re.compile(r"[|>][-+0-9]*#")
_QUESTION_AFTER_SPACE = re.compile(r"\s\?")
_COLON = re.compile(r"\s*:")
_INTEGER_AND_COMMA = re.compile(r"(?<![\w.+-])[-+]?[0-9]{1,12},\Z")
_INTEGER_AND_GAP = re.compile(r"(?<![\w.+-])[-+]?[0-9]{1,12},\s*\Z")
_COLON_AND_SIGN = tuple(f":{sign}" for sign in ",?[]{}")
_NO_VALUE = re.compile(r"\s*[,}]")
_PROPERTIES = re.compile(r"(?:[&!][^\s,\[\]{}]*+(?:[ \t\r\n]|(?<=\s)#[^\r\n]*)*+)*+")


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


@dataclass(slots=True)
class _Open:
    """A container that is being filled, with four offsets for each of its entries.

    Those inside it close before it does, so its entries are kept here until they can stand together.
    """

    data: _Data
    mapping: bool
    flow: bool = False
    start: int = 0
    anchor: str | None = None
    begun: int = 0
    levels: int = 0
    entries: list[int] = field(default_factory=list)
    key: _Data = None
    key_start: int = 0
    key_end: int = 0


class Composer:
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
        self.open = _Open([], mapping=False)  # the root has a list to itself
        self.outer: list[_Open] = []
        self.documents = self.own = self.added = self.last_alias = 0

    def compose(self) -> tuple[_Data, "array[int]", dict[int, int]]:
        """Give the data, and the offsets and bases from which `Spans` finds the places.

        Raises:
            PlanFaults: the text is not YAML, or holds what programs read in different ways.
        """
        if control := _CONTROL.search(self.text):
            self._refuse(control.start(), *_control(control[0]))
        if percent := _LINE_WITH_PERCENT.search(self.text):
            self._refuse(*syntax.percent(percent.start()))
        if "\t" in self.text and (tab := self._misplaced_tab()):
            self._refuse(*tab)
        try:
            data = self._build()
        except yaml.MarkedYAMLError as error:
            if "nesting" in str(error.problem) and not self.pure:
                # The parser in C looks ahead over brackets and gives up by a bound of its own; the one in
                # Python comes to ours.
                return Composer(self.text, self.file, pure=True).compose()
            self._give_up(syntax.explain(self.text, error))
        except (ValueError, OverflowError):  # an escape past the last character, in the parser in Python
            self._give_up(syntax.no_character(self.text))
        if self.faults:
            raise PlanFaults(self.faults)
        return data, self.offsets, self.bases

    def _misplaced_tab(self) -> syntax.Trouble | None:
        self._line(0)
        return syntax.misplaced_tab(self.text, self.lines, lambda text: parse(text, pure=self.pure))

    def _line(self, offset: int) -> int:
        if not self.lines:
            self.lines = line_starts(self.text)
        return bisect_right(self.lines, offset)

    def _add(self, offset: int, message: str, hint: str) -> None:
        line = self._line(offset)
        self.faults.append(Fault(self.file, line, offset - self.lines[line - 1] + 1, message, hint))
        if len(self.faults) == _MAX_FAULTS:
            raise PlanFaults(self.faults)

    def _refuse(self, offset: int, message: str, hint: str) -> NoReturn:
        self._add(offset, message, hint)
        raise PlanFaults(self.faults)

    def _give_up(self, trouble: syntax.Trouble) -> NoReturn:
        """Report what is not YAML, alone: what was found before depends on how far the parser looks ahead."""
        self.faults.clear()
        self._refuse(*trouble)

    def _build(self) -> _Data:
        handlers = {
            yaml.ScalarEvent: self._scalar,
            yaml.AliasEvent: self._alias,
            yaml.MappingStartEvent: lambda event: self._begin(event, {}),
            yaml.SequenceStartEvent: lambda event: self._begin(event, []),
            yaml.MappingEndEvent: self._finish,
            yaml.SequenceEndEvent: self._finish,
            yaml.DocumentStartEvent: self._document,
        }
        root = self.open
        for event in parse(self.text, pure=self.pure):
            handle = handlers.get(type(event))
            if handle:
                handle(event)
        if self.added > _may_add(self.own):
            self._refuse(self.last_alias, *_TOO_MANY)
        if root.data in ([], [None]) and root.entries[2:3] == root.entries[3:4]:
            self._refuse(0, *_EMPTY)
        return root.data[0]

    def _document(self, event: _Event) -> None:
        self.documents += 1
        if self.documents > 1:
            self._refuse(event.start_mark.index, *_TWO_DOCUMENTS)

    def _scalar(self, event: _Event) -> None:
        self.own += 1
        source = event.value
        start, end = event.start_mark.index, event.end_mark.index
        if event.anchor is not None or event.tag is not None:
            start = min(self._skip_properties(event), end)
        if not event.style:
            if self.open.flow:
                self._check_flow(source, start, end)
            value = self.plain.get(source, self)
            if value is self:
                value = self.plain[source] = resolve(source)
        else:
            value = composed(source)
            if event.style == '"':
                self._check_escapes(value, start)
            elif event.style in "|>":
                if _BLOCK_AND_COMMENT.match(self.text, start):
                    self._give_up(syntax.block_of_text(self.text, start))
                end = start + len(self.text[start:end].rstrip())
        if event.anchor is not None:
            self.anchors[event.anchor] = _Anchored(source if type(value) is Trap else value, 1, 0)
        self._place(value, start, end)

    def _check_flow(self, source: str, start: int, end: int) -> None:
        """Refuse the plain texts in brackets that end elsewhere with the other parser."""
        if "?" in source:
            if lone := _QUESTION_AFTER_SPACE.search(self.text, start, end):
                self._give_up(syntax.question_mark(lone.end() - 1))
            if ":?" in source:
                self._give_up(syntax.bare_colon(self.text.index(":?", start)))
        if source and self.text.startswith(_COLON_AND_SIGN, end):
            self._give_up(syntax.bare_colon(end))

    def _begin(self, event: _Event, data: _Data) -> None:
        start = self._skip_properties(event)
        outer = self.open
        if outer.mapping and outer.key is None:
            self._refuse(start, "a list or a set of keys stands where a name belongs", _NAME_HINT)
        self.outer.append(outer)
        if len(self.outer) > MAX_DEPTH:
            self._refuse(start, *_TOO_DEEP)
        flow = outer.flow or self.text.startswith(("[", "{"), start)
        self.open = _Open(data, type(data) is dict, flow, start, event.anchor, self.own + self.added)
        self.own += 1
        if event.anchor is not None:
            self.anchors[event.anchor] = None

    def _finish(self, event: _Event) -> None:
        done = self.open
        end = event.end_mark.index
        # Only a bracket has a length; without one the mark stands behind all comments that follow.
        if done.entries and event.start_mark.index == end:
            end = done.entries[-1]
        if done.mapping and MERGE in done.data:
            self._merge(done)
        self.bases[id(done.data)] = len(self.offsets)
        self.offsets.fromlist(done.entries)
        levels = done.levels + 1
        if done.anchor is not None:
            self.anchors[done.anchor] = _Anchored(done.data, self.own + self.added - done.begun, levels)
        self.open = self.outer.pop()
        self.open.levels = max(self.open.levels, levels)
        self._place(done.data, done.start, end)

    def _alias(self, event: _Event) -> None:
        self.own += 1
        start, name = event.start_mark.index, event.anchor
        anchored = self.anchors.get(name)
        if anchored is None:
            if name in self.anchors:
                self._refuse(start, f"*{name} stands inside &{name}, which it repeats", "take one of the two out")
            hint = f"write &{name} further up, before what is to be repeated"
            self._refuse(start, f"*{name} has nothing to repeat: no &{name} stands above it", hint)
        self.last_alias = start
        self.added += anchored.nodes
        self.open.levels = max(self.open.levels, anchored.levels)
        if len(self.outer) + anchored.levels > MAX_DEPTH:
            self._refuse(start, *_TOO_DEEP)
        # Before merges copy too much, but with room for nodes of the file's own that are still to come.
        if self.added > 10 * _may_add(self.own):
            self._refuse(start, *_TOO_MANY)
        self._place(anchored.value, start, event.end_mark.index)

    def _place(self, value: _Data, start: int, end: int) -> None:
        """Put a finished value, or a key, where it belongs."""
        into = self.open
        if into.mapping and into.key is None:
            if type(value) is not str or value in into.data or (into.flow and value[:1].isdigit()):
                value = self._odd_name(value, start, end)
            into.key, into.key_start, into.key_end = value, start, end
            return
        if type(value) is Trap:
            if value is not MERGE:
                self._add(start, value.why, value.as_value)
            value = value.text
        if into.mapping:
            if start == end and into.flow and (colon := _COLON.match(self.text, into.key_end)):
                start = end = colon.end()  # one parser puts what is not there further on
            into.data[into.key] = value
            into.entries += (into.key_start, into.key_end, start, end)
            into.key = None
        else:
            if into.flow and self.text[start - 1] == "," and self.text[start : start + 1].isdigit():
                self._cut_number(start, end)
            into.data.append(value)
            into.entries += (start, end, start, end)

    def _merge(self, into: _Open) -> None:
        """Put what `<<` leads to behind the keys that are written here, which win; each keeps its place."""
        first = 4 * list(into.data).index(MERGE)
        start = into.entries[first + 2]
        source = into.data.pop(MERGE)
        del into.entries[first : first + 4]
        for other in source if type(source) is list else [source]:
            if type(other) is not dict:
                hint = "give it a set of keys, such as <<: *usual, or a list of them: <<: [*usual, *deep]"
                self._add(start, "<< does not lead to a set of keys", hint)
                return
            base = self.bases[id(other)]
            for index, (key, value) in enumerate(other.items()):
                if key not in into.data:
                    into.data[key] = value
                    into.entries += self.offsets[base + 4 * index : base + 4 * index + 4]

    def _odd_name(self, value: _Data, start: int, end: int) -> _Data:
        """Report what is no good name, and give one to go on with: new, so that entries stay in step."""
        into, source = self.open, self.text[start:end]
        cited = short(source)
        new = f"{source}\0{start}"
        if into.flow and source[:1].isdigit() and _NO_VALUE.match(self.text, end) and self._cut_number(start, end):
            return new
        if value is MERGE or type(value) is str:
            if value not in into.data:
                return value
            line = self._line(into.entries[4 * list(into.data).index(value)])
            hint = "keep one of the two, or give one another name"
            if value is MERGE:
                hint = "merge both at once: <<: [*usual, *deep]"
            self._add(start, f"{cited} stands here a second time; the first is on line {line}", hint)
        elif type(value) is Trap:
            self._add(start, value.why, value.as_name)
        elif not source:
            self._add(start, "there is no name before the colon", "write key: value")
        elif type(value) is int or type(value) is float:
            hint = f'write "{cited}" in quotes, or a quantity with its unit, such as 0.15 m'
            self._add(start, f"a name cannot be a bare number: {cited}", hint)
        else:
            self._add(start, f"{cited} cannot be a name", _NAME_HINT)
        return new

    def _cut_number(self, start: int, end: int) -> bool:
        """Report a decimal comma, which inside brackets cuts a number in two."""
        pattern = _INTEGER_AND_GAP if self.open.mapping else _INTEGER_AND_COMMA
        match = pattern.search(self.text, max(0, start - 40), start)
        if match is None:
            return False
        whole, part = match[0].partition(",")[0], short(self.text[start:end])
        hint = f"write {whole}.{part} with a point; or, if these are two entries, put a space after the comma"
        self._add(match.start(), f"a comma cuts the number {whole},{part} in two", hint)
        return True

    def _skip_properties(self, event: _Event) -> int:
        """Give where the node itself begins, behind its anchor."""
        start: int = event.start_mark.index
        if event.anchor is None and event.tag is None:
            return start
        if event.tag is not None:
            self._add(*syntax.tag(self.text.find("!", start)))
        match = _PROPERTIES.match(self.text, start)
        return match.end() if match else start

    def _check_escapes(self, value: str, start: int) -> None:
        if control := _CONTROL.search(value):
            if "\ud800" <= control[0] <= "\udfff":  # which the parser in C refuses by itself
                self._give_up(syntax.no_character(self.text))
            what = f"an escape in this text stands for a control character (U+{ord(control[0]):04X})"
            self._add(start, what, "delete it; a new line is \\n")
