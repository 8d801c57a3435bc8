"""A YAML file to plain data, with the place of every key and value."""

import gc
import hashlib
import os
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from typing import Any

from planlint.composer import MAX_DEPTH, Composer
from planlint.errors import Fault, PlanFaults
from planlint.spans import Spans, line_starts

__all__ = ["MAX_BYTES", "MAX_DEPTH", "Document", "collector_paused", "load", "read"]

MAX_BYTES = 32 * 1024 * 1024
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
    data: Any
    spans: Spans
    digest: str


def load(path: str | os.PathLike[str]) -> Document:
    """Read the file at `path`.

    Raises:
        PlanFaults: the file cannot be opened, or its text cannot be read.
    """
    file = os.fsdecode(path)
    try:
        with open(path, "rb") as stream:  # noqa: PTH123 - it is given as a str or a Path, and shown as it was given
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
    with collector_paused():
        text = _decoded(raw, file)
        data, offsets, bases = Composer(text, file, pure=pure).compose()
    digest = f"sha256:{hashlib.sha256(raw).hexdigest()}"
    return Document(file, text, data, Spans(text, data, offsets, bases), digest)


@contextmanager
def collector_paused() -> Iterator[None]:
    """Keep the garbage collector from running.

    Reading a plan and building its model makes millions of objects and hardly any rubbish, and the collector would
    look through all of them again and again: measured, the time then grows faster than the file.
    """
    collecting = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if collecting:
            gc.enable()


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
