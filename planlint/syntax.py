"""What is wrong with text that is not YAML, in our own words.

The two parsers of PyYAML find the same mistakes but word and place some of them differently. Here a problem
is only sorted into its kind; the place is the mark on which both agree, and the words come from the text.
"""

import re
from bisect import bisect_right
from collections.abc import Callable, Iterator
from typing import Any, NamedTuple

from yaml import CollectionEndEvent, CollectionStartEvent, MarkedYAMLError, ScalarEvent


class Trouble(NamedTuple):
    """A mistake in the text: the offset of its first character, what it is, and the right form."""

    offset: int
    message: str
    hint: str


_BAD_ESCAPE = re.compile(r"\\(?:u[dD][89a-fA-F]|U(?!000[0-9a-fA-F]|0010)|U0000[dD][89a-fA-F])")
"""An escape of half a surrogate pair, or of a number past the last character."""

_REST_OF_LINE = re.compile(r"[^\r\n]*")
_INDENT = re.compile(r" *(?:[-?] +)*")
_SPACED_COLON = re.compile(r":(?: |\Z)")
_UNSPACED_COLON = re.compile(r"[^\s:#\"'\[{][^\s:]*:[^\s:/]")
_UNSPACED_DASH = re.compile(r"-[^\s-]")
_BEGIN_OF_BLOCK = re.compile(r"[^\r\n]*+\s*+")
_COMMENT = re.compile(r"(?:^|[ \t])#")
_DEEP = 100  # past what is read at all; the parsers grow slow there


def explain(text: str, error: MarkedYAMLError) -> Trouble:
    """Say what the parser stumbled over."""
    at = error.problem_mark.index if error.problem_mark else 0
    opened = error.context_mark.index if error.context_mark else at
    said = f"{error.context} {error.problem}"
    for kind, describe in _KINDS:
        if kind in said:
            return describe(text, at, opened)
    return _out_of_place(text, at, opened)


def tab(at: int) -> Trouble:
    """A tab where only spaces may stand."""
    return Trouble(at, "a tab stands where a space belongs", "put spaces in place of the tab")


def tag(at: int) -> Trouble:
    """A word with an exclamation mark before a value."""
    hint = 'leave that word out; a text that begins with "!" goes in quotes, such as "!important"'
    return Trouble(at, 'a word that begins with "!" stands before a value or in place of it', hint)


def percent(at: int) -> Trouble:
    """A directive, or a value that begins like one."""
    hint = 'leave the line out; a text that begins with "%" goes in quotes, such as "% of the area"'
    return Trouble(at, 'a line or value begins with "%"', hint)


def question_mark(at: int) -> Trouble:
    """A question mark behind a space inside brackets, where only one of the parsers reads on."""
    return Trouble(at, "a question mark inside brackets", 'put the text in quotes, such as "how deep ?"')


def bare_colon(at: int) -> Trouble:
    """A colon in brackets with a sign right behind it, which the two parsers take in different ways."""
    return Trouble(at, "a value or a space is missing after the colon", "write {key: value}")


def block_of_text(text: str, at: int) -> Trouble:
    """Text, or a comment without a space before it, behind the sign that begins a block of text."""
    sign = text[at]
    hint = f'end the line after {sign} and write the text below it, further in; or write "{sign}" in quotes'
    return Trouble(at, f"text follows {sign} on the same line", hint)


def no_character(text: str) -> Trouble:
    """An escape for what is no character. The parser in Python cannot say where, so the text is searched."""
    wrong = _BAD_ESCAPE.search(text)
    return _escape(text, 0, wrong.start() if wrong else 0)


def _escape(_text: str, _at: int, opened: int) -> Trouble:
    hint = 'write "\\\\" for a backslash, or put the text in single quotes'
    return Trouble(opened, "a backslash in double quotes does not stand for a character", hint)


def _open_quote(text: str, _at: int, opened: int) -> Trouble:
    sign = text[opened]
    hint = f"close it with the same mark: {sign}text{sign}; a size may do without it, such as 5/8 in"
    return Trouble(opened, f"the quote {sign} opened here is not closed", hint)


def _odd_anchor(text: str, _at: int, opened: int) -> Trouble:
    sign = text[opened]
    hint = f'write {sign}name with plain letters and figures; a text that begins so goes in quotes: "{sign}"'
    return Trouble(opened, f"no name, or an unusual one, follows {sign}", hint)


def _line_start(text: str, at: int) -> int:
    return max(text.rfind("\n", 0, at), text.rfind("\r", 0, at)) + 1


def _indent(line: str) -> int:
    """Give the column at which the words of a line begin, after spaces and the dashes of lists."""
    match = _INDENT.match(line)
    return match.end() if match else 0


def _words(text: str, at: int) -> str:
    match = _REST_OF_LINE.match(text, at)
    return match[0].strip() if match else ""


def _no_colon(text: str, _at: int, opened: int) -> Trouble:
    words = _words(text, opened)
    if words.startswith(("[", "{")):
        return _out_of_place(text, opened, opened)
    if _UNSPACED_DASH.match(words):
        return Trouble(opened, "a space is missing after the dash", "write - value, with a space after the dash")
    if _UNSPACED_COLON.match(words):
        return Trouble(opened, "a space is missing after the colon", "write key: value, with a space after the colon")
    return Trouble(opened, f"a colon is missing after {words[:24]}", "write key: value")


def _colon(text: str, at: int, _opened: int) -> Trouble:
    start = _line_start(text, at)
    line = text[start:at]
    if _SPACED_COLON.search(line, _indent(line)):
        hint = 'put a text that holds a colon in quotes, such as note: "door: left"'
        return Trouble(at, "a second colon on this line: it is not clear where the value begins", hint)
    above = text[:start].rstrip()
    line_above = above[_line_start(above, len(above)) :]
    begin_above = len(above) - len(line_above) + _indent(line_above)
    if _UNSPACED_COLON.match(text, begin_above) or _indent(line) <= _indent(line_above):
        return _no_colon(text, at, begin_above)
    message = "this line stands further in than the line above, which has its value already"
    return Trouble(start + _indent(line), message, "begin it in the same column as the line above")


def _brackets(text: str, at: int, opened: int) -> Trouble:
    sign, wrong = text[opened], text[at : at + 1]
    right = "}, such as {width: 50 mm, depth: 40 mm}" if sign == "{" else "], such as [68 mm, 35 mm]"
    if wrong == "?":
        return question_mark(at)
    if wrong and wrong in "]}":
        return Trouble(at, f"{wrong} cannot close what {sign} opened", f"close {sign} with {right}")
    if wrong and _line_start(text, at) <= opened:
        hint = (
            f"put commas between entries, and a text with a colon or bracket in quotes; {sign} is closed with {right}"
        )
        return Trouble(at, f"a comma is missing before this, inside {sign}", hint)
    hint = f"close it with {right}, with a comma after each entry but the last"
    return Trouble(opened, f"the bracket {sign} opened here is not closed, or a comma is missing in it", hint)


def _out_of_place(text: str, at: int, _opened: int) -> Trouble:
    sign = text[at : at + 1]
    before = text[_line_start(text, at) : at]
    before = before[_indent(before) :].rstrip()
    if sign == "%":
        return percent(at)
    if sign in _SIGNS:
        return Trouble(at, *_SIGNS[sign])
    if sign == "-" and before:
        return _dash(text, at, at)
    if before.endswith(('"', "'")):
        hint = "quote the whole text, and write a quote mark inside it twice, such as 'the owner''s box'"
        return Trouble(at, "text follows the closing quote", hint)
    if before:
        hint = "begin the next entry on a new line, or put the whole text in quotes"
        return Trouble(at, "text follows where the value has ended", hint)
    hint = "begin all entries of one block in the same column; keys and list items do not mix in one block"
    return Trouble(at, "this line does not fit the indentation of the lines above", hint)


def _dash(_text: str, at: int, _opened: int) -> Trouble:
    hint = "begin a list with dashes on the next line, or write it in brackets, such as [68 mm, 35 mm]"
    return Trouble(at, "a list with dashes cannot begin here", hint)


def _in_brackets(text: str, at: int, opened: int) -> Trouble:
    if not text[at:].strip():
        hint = "close [ with ], such as [68 mm, 35 mm], and { with }, such as {width: 50 mm, depth: 40 mm}"
        return Trouble(len(text.rstrip()) - 1, "the file ends inside a bracket that is not closed", hint)
    return (_dash if text[at] == "-" else _out_of_place)(text, at, opened)


_TAKE_OUT = "take it out, or put the text in quotes"
_SIGNS = {
    "@": ("a value cannot begin with @", 'put the text in quotes, such as "@home"'),
    "`": ("a value cannot begin with `", 'put the text in quotes, such as "`home`"'),
    "]": ("] closes a bracket that was not opened", _TAKE_OUT),
    "}": ("} closes a bracket that was not opened", _TAKE_OUT),
    ",": ("a comma stands where a value belongs", _TAKE_OUT),
    ":": ("there is no name before the colon", "write key: value"),
    "\t": tab(0)[1:],
}
_KINDS: tuple[tuple[str, Callable[[str, int, int], Trouble]], ...] = (
    ("found unexpected end of stream", _open_quote),
    ("found unexpected document", _open_quote),
    ("escape code", lambda text, _at, _opened: no_character(text)),
    ("quoted scalar", _escape),
    ("scanning a simple key", _no_colon),
    ("scanning a directive", lambda _text, _at, opened: percent(opened)),
    ("scanning a tag", lambda _text, _at, opened: tag(opened)),
    ("parsing a tag", lambda _text, _at, opened: tag(opened)),
    ("undefined tag handle", lambda _text, _at, opened: tag(opened)),
    ("scanning an a", _odd_anchor),
    ("scanning a block scalar", lambda text, _at, opened: block_of_text(text, opened)),
    ("scanning a plain scalar", lambda _text, at, _opened: bare_colon(at)),
    ("parsing a flow mapping", _brackets),
    ("parsing a flow sequence", _brackets),
    ("parsing a flow node", _in_brackets),
    ("mapping values", _colon),
    ("sequence entries", _dash),
)
"""What both parsers say of one kind of mistake, in the order in which to look for it."""


def misplaced_tab(text: str, lines: list[int], events: Callable[[str], Iterator[Any]]) -> Trouble | None:
    """Find a tab outside of quotes, blocks of text and comments; the two parsers refuse different ones.

    What is quoted a parser knows. It reads the text with a letter in place of each tab: before the first
    misplaced tab that changes nothing, and what comes after it does not matter. Where that reading fails before
    any misplaced tab, the reason is given.
    """
    starts, ends, known, trouble = _quoted(text.replace("\t", "t"), events)
    stop = next(iter(lines[bisect_right(lines, trouble.offset) :]), len(text)) if trouble else len(text)
    at = text.find("\t")
    while 0 <= at < stop:
        last = bisect_right(starts, at) - 1
        if last >= 0 and at < ends[last]:
            at = text.find("\t", ends[last])
            continue
        line = bisect_right(lines, at)
        before = text[max(lines[line - 1], ends[last] if last >= 0 else 0) : at]
        unsure = at > known and ("'" in before or '"' in before)
        if not unsure and not _COMMENT.search(before):
            return tab(at)
        at = text.find("\t", lines[line]) if line < len(lines) else -1
    return tab(trouble.offset) if trouble and text.startswith("\t", trouble.offset) else trouble


def _quoted(text: str, events: Callable[[str], Iterator[Any]]) -> tuple[list[int], list[int], int, Trouble | None]:
    """Give where quotes and blocks of text begin and end, how far that is known, and why no further."""
    starts: list[int] = []
    ends: list[int] = []
    known = depth = 0
    try:
        for event in events(text):
            kind, known = type(event), event.end_mark.index
            if kind is ScalarEvent and event.style:
                start = event.start_mark.index
                # The first letter of a block of text shows how far the block is indented: it must not be a tab.
                first = _BEGIN_OF_BLOCK.match(text, start) if event.style in "|>" else None
                starts.append(first.end() + 1 if first else start)
                ends.append(known)
            depth += issubclass(kind, CollectionStartEvent) - issubclass(kind, CollectionEndEvent)
            if depth > _DEEP:
                break
    except MarkedYAMLError as error:
        return starts, ends, known, explain(text, error)
    except (ValueError, OverflowError):
        return starts, ends, known, no_character(text)
    return starts, ends, known, None
