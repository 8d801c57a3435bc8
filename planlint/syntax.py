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
_COMMENT = re.compile(r"(?:^|[ \t])#")
_DEEP = 100  # past what is read at all; the parsers grow slow there


def tab(offset: int) -> Trouble:
    """A tab where only spaces may stand."""
    return Trouble(offset, "a tab stands where a space belongs", "put spaces in place of the tab")


def tag(offset: int) -> Trouble:
    """A word with an exclamation mark before a value."""
    hint = 'leave that word out; a text that begins with "!" goes in quotes, such as "!important"'
    return Trouble(offset, 'a word that begins with "!" stands before a value or in place of it', hint)


def percent(offset: int) -> Trouble:
    """A directive, or a value that begins like one."""
    hint = 'leave the line out; a text that begins with "%" goes in quotes, such as "% of the area"'
    return Trouble(offset, 'a line or value begins with "%"', hint)


def no_character(text: str, at: int = 0) -> Trouble:
    """An escape for what is no character. The parser in Python cannot say where, so the text is searched."""
    wrong = _BAD_ESCAPE.search(text)
    return _escape(wrong.start() if wrong else at)


def explain(text: str, error: MarkedYAMLError) -> Trouble:
    """Say what the parser stumbled over."""
    problem, context = error.problem or "", error.context or ""
    at = error.problem_mark.index if error.problem_mark else 0
    opened = error.context_mark.index if error.context_mark else at
    sign = text[opened : opened + 1]
    if "quoted scalar" in context:
        if "end of stream" in problem or "document" in problem:
            hint = f"close it with the same mark: {sign}text{sign}; sizes may be written without it, such as 5/8 in"
            return Trouble(opened, f"the quote {sign} opened here is not closed", hint)
        return no_character(text, opened) if "Unicode" in problem else _escape(opened)
    if "simple key" in context:
        return _no_colon(text, opened)
    if "directive" in context:
        return percent(opened)
    if "tag" in context or "tag" in problem:
        return tag(opened)
    if "anchor" in context or "alias" in context:
        hint = f'write {sign}name with plain letters and figures; a text that begins so goes in quotes: "{sign}"'
        return Trouble(opened, f"no name, or an unusual one, follows {sign}", hint)
    if "block scalar" in context:
        hint = f'end the line after {sign} and write the text below it, further in; or write "{sign}" in quotes'
        return Trouble(opened, f"text follows {sign} on the same line", hint)
    if "parsing a flow mapping" in context or "parsing a flow sequence" in context:
        return _brackets(text, at, opened)
    if "mapping values" in problem:
        return _colon(text, at)
    return _out_of_place(text, at, in_brackets="flow node" in context)


def _escape(at: int) -> Trouble:
    hint = 'write "\\\\" for a backslash, or put the text in single quotes'
    return Trouble(at, "a backslash in this text, which is in double quotes, stands for no character", hint)


def _line_start(text: str, at: int) -> int:
    return max(text.rfind("\n", 0, at), text.rfind("\r", 0, at)) + 1


def _indent(line: str) -> int:
    """Give the column at which the words of a line begin, after spaces and the dashes of lists."""
    match = _INDENT.match(line)
    return match.end() if match else 0


def _words(text: str, at: int) -> str:
    match = _REST_OF_LINE.match(text, at)
    return match[0].strip() if match else ""


def _no_colon(text: str, at: int) -> Trouble:
    words = _words(text, at)
    if _UNSPACED_DASH.match(words):
        return Trouble(at, "a space is missing after the dash", "write - value, with a space after the dash")
    if _UNSPACED_COLON.match(words):
        return Trouble(at, "a space is missing after the colon", "write key: value, with a space after the colon")
    return Trouble(at, f"a colon is missing after {words[:24]}", "write key: value")


def _colon(text: str, at: int) -> Trouble:
    start = _line_start(text, at)
    line = text[start:at]
    if _SPACED_COLON.search(line, _indent(line)):
        hint = 'put a text that holds a colon in quotes, such as note: "door: left"'
        return Trouble(at, "a second colon on this line: it is not clear where the value begins", hint)
    above = text[:start].rstrip()
    line_above = above[_line_start(above, len(above)) :]
    begin_above = len(above) - len(line_above) + _indent(line_above)
    if _UNSPACED_COLON.match(text, begin_above) or _indent(line) <= _indent(line_above):
        return _no_colon(text, begin_above)
    message = "this line stands further in than the line above, which has its value already"
    return Trouble(start + _indent(line), message, "begin it in the same column as the line above")


def _brackets(text: str, at: int, opened: int) -> Trouble:
    sign, wrong = text[opened], text[at : at + 1]
    right = "}, such as {width: 50 mm, depth: 40 mm}" if sign == "{" else "], such as [68 mm, 35 mm]"
    if wrong and wrong in "]}":
        return Trouble(at, f"{wrong} cannot close what {sign} opened", f"close {sign} with {right}")
    if wrong and _line_start(text, at) <= opened:
        hint = (
            f"put commas between entries, and a text with a colon or bracket in quotes; {sign} is closed with {right}"
        )
        return Trouble(at, f"a comma is missing before this, inside {sign}", hint)
    hint = f"close it with {right}, with a comma after each entry but the last"
    return Trouble(opened, f"the bracket {sign} opened here is not closed, or a comma is missing in it", hint)


def _out_of_place(text: str, at: int, *, in_brackets: bool) -> Trouble:
    sign = text[at : at + 1]
    before = text[_line_start(text, at) : at]
    before = before[_indent(before) :].rstrip()
    if sign == "\t":
        return tab(at)
    if sign == "%":
        return percent(at)
    if sign and sign in "@`":
        hint = f'put the text in quotes, such as "{sign}home"'
        return Trouble(at, f"a value cannot begin with {sign}", hint)
    if sign and sign in "]}":
        return Trouble(at, f"{sign} closes a bracket that was not opened", "take it out, or put the text in quotes")
    if sign == ",":
        return Trouble(at, "a comma stands where a value belongs", "take it out, or put the text in quotes")
    if sign == "-" and (in_brackets or before):
        hint = "begin a list with dashes on the next line, or write it in brackets, such as [68 mm, 35 mm]"
        return Trouble(at, "a list with dashes cannot begin here", hint)
    if before.endswith(('"', "'")):
        hint = "quote the whole text, and write a quote mark inside it twice, such as 'the owner''s box'"
        return Trouble(at, "text follows the closing quote", hint)
    if before:
        hint = "begin the next entry on a new line, or put the whole text in quotes"
        return Trouble(at, "text follows where the value has ended", hint)
    hint = "begin all entries of one block in the same column; keys and list items do not mix in one block"
    return Trouble(at, "this line does not fit the indentation of the lines above", hint)


def misplaced_tab(text: str, lines: list[int], events: Callable[[str], Iterator[Any]]) -> Trouble | None:
    """Find a tab outside of quotes, blocks of text and comments; the two parsers refuse different ones.

    What is quoted a parser knows. It reads the text with a letter in place of each tab: before the first
    misplaced tab that changes nothing, and what comes after it does not matter.
    """
    starts, ends, known, stop = _quoted(text.replace("\t", "t"), events)
    stop = next(iter(lines[bisect_right(lines, stop) :]), len(text))
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
    return None


def _quoted(text: str, events: Callable[[str], Iterator[Any]]) -> tuple[list[int], list[int], int, int]:
    """Give where quotes and blocks of text begin and end, how far that is known, and where to stop looking."""
    starts: list[int] = []
    ends: list[int] = []
    known = depth = 0
    try:
        for event in events(text):
            known = event.end_mark.index
            if type(event) is ScalarEvent:
                if event.style:
                    starts.append(event.start_mark.index)
                    ends.append(known)
            elif isinstance(event, CollectionStartEvent):
                depth += 1
                if depth > _DEEP:
                    return starts, ends, known, known
            elif isinstance(event, CollectionEndEvent):
                depth -= 1
    except MarkedYAMLError as error:
        return starts, ends, known, explain(text, error).offset
    except (ValueError, OverflowError):
        return starts, ends, known, no_character(text).offset
    return starts, ends, known, len(text)
