"""The parser's events, alike from the parser in C and the one in Python.

Both end a line at NEL, LS and PS, as YAML 1.1 had it, and so read the rest of a comment as data; the one in
Python also ends a text in brackets at a question mark. So the parser gets each such sign as a letter that the text does
not use: every offset stays, and the sign comes back in the values.
"""

import re
from collections.abc import Iterator
from typing import Any

import yaml

_LINE_SIGNS = (("\x85", re.compile("\x85")), ("\u2028", re.compile("\u2028")), ("\u2029", re.compile("\u2029")))
_QUESTION = ("?", re.compile(r"(?<=[^\s\[{,])\?"))


def parse(text: str, *, pure: bool) -> Iterator[Any]:
    """Give the events of `text`; `pure` asks for the parser in Python even where the one in C is installed.

    Their type is `Any`, since the type stubs of PyYAML leave out half of what an event carries.
    """
    in_python = pure or not yaml.__with_libyaml__
    unused = (sign for sign in map(chr, range(0xE000, 0xF8FF)) if sign not in text)
    signs: dict[int, str] = {}
    for sign, pattern in (*_LINE_SIGNS, _QUESTION) if in_python else _LINE_SIGNS:
        if sign in text:
            mask = next(unused, sign)
            text = pattern.sub(mask, text)
            signs[ord(mask)] = sign
    events = iter((yaml.SafeLoader if in_python else yaml.CSafeLoader)(text).get_event, None)
    return _unmasked(events, signs) if signs else events


def _unmasked(events: Iterator[Any], signs: dict[int, str]) -> Iterator[Any]:
    for event in events:
        if type(event) is yaml.ScalarEvent:
            event.value = event.value.translate(signs)
        yield event
