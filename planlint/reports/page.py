"""Paragraphs for a reader at a terminal: wrapped, indented, and with a few words set off."""

import re
import textwrap
from collections.abc import Iterable
from dataclasses import dataclass
from enum import Enum

from planlint.units import KINDS

_PLAIN = "\x1b[0m"
_GAP = re.compile(rf"(?<=\d) (?=(?:{'|'.join(map(re.escape, sorted(KINDS, key=len, reverse=True)))})(?![\w/]))")
"""The space between a figure and its unit."""
_HARD = "\N{NO-BREAK SPACE}"


class Tone(Enum):
    """How a word is set off, by what it means to the reader; each holds its terminal code (ECMA-48)."""

    HEADING = "\x1b[1m"
    GRAVE = "\x1b[1;31m"
    """What must not stay as it is."""
    QUIET = "\x1b[2m"
    """What only serves to find or to look something up."""


@dataclass(frozen=True, slots=True)
class Page:
    """What a text is written for: how wide it may be, and whether it may set words off in colour."""

    width: int = 80
    colour: bool = False

    def paragraph(self, text: str, indent: int = 0, first: str | None = None) -> str:
        """`text` wrapped to the page, figures together with their units.

        `first` stands before its first line in place of the indent.
        """
        wrapped = textwrap.fill(
            _GAP.sub(_HARD, plain(text)),
            self.width,
            initial_indent=" " * indent if first is None else first,
            subsequent_indent=" " * indent,
            break_long_words=False,
            break_on_hyphens=False,
        )
        return wrapped.replace(_HARD, " ")

    def tone(self, text: str, tone: Tone, part: str = "") -> str:
        """`text` with `part` of it, or all of it, set off line by line where the page has colour."""
        if not self.colour:
            return text
        if part:
            return text.replace(part, f"{tone.value}{part}{_PLAIN}", 1)
        return "\n".join(f"{tone.value}{line}{_PLAIN}" for line in text.split("\n"))


def plain(text: str) -> str:
    r"""`text` on one line, without characters that would steer a terminal.

    >>> plain("west\n wall\x1b[2J")
    'west wall\ufffd[2J'
    """
    return "".join(sign if sign.isprintable() else "\N{REPLACEMENT CHARACTER}" for sign in " ".join(text.split()))


def listing(words: Iterable[str], joint: str = "and") -> str:
    """The words as one says them.

    >>> listing(["bead", "sealant", "tape"])
    'bead, sealant and tape'
    """
    *most, last = words
    return f"{', '.join(most)} {joint} {last}" if most else last


def count(number: int, one: str, many: str = "") -> str:
    """A number with its noun.

    >>> count(1, "rule"), count(3, "rule"), count(2, "waits", "wait")
    ('1 rule', '3 rules', '2 wait')
    """
    return f"{number} {one if number == 1 else many or one + 's'}"


def sentence(text: str) -> str:
    """The text with a full stop, where nothing ends it."""
    return text if text.endswith((".", "!", "?", "…")) else f"{text}."


def to_add(keys: Iterable[str]) -> str:
    """The keys to add, in brackets, behind what is said; nothing where there are none.

    >>> to_add(["study.west.length"]), to_add([])
    (' (add study.west.length)', '')
    """
    listed = ", ".join(keys)
    return f" (add {listed})" if listed else ""


def named_file(plan: str) -> str:
    """The file of a plan as one says it."""
    return plan if plan != "-" else "from standard input"
