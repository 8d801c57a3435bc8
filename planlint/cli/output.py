"""Writing to the terminal and to files, and what the terminal is like."""

import os
import shutil
import sys
from pathlib import Path

import click

from planlint.errors import Fault, PlanFaults
from planlint.reports.page import Page, plain

_PIPED = 80
_WIDEST = 100


def say(text: str) -> None:
    """Write to standard output; who has stopped reading it, as `head` does, is no trouble."""
    try:
        click.echo(text, nl=False)
        sys.stdout.flush()
    except BrokenPipeError:
        discard_output()


def discard_output() -> None:
    """Send what is still to be written to nowhere, so that Python does not complain when it closes the stream."""
    os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


def complain(message: str, hint: str = "") -> None:
    """Say what is wrong, on standard error."""
    click.echo(f"planlint: {plain(message)}" + (f"\n  {plain(hint)}" if hint else ""), err=True)


def page() -> Page:
    """The page that standard output is: a terminal has its width and may have colour, all else has neither."""
    # COLUMNS says the width of a pipe too, such as one into a pager.
    width = max(40, min(shutil.get_terminal_size((_PIPED, 24)).columns, _WIDEST))
    if not sys.stdout.isatty():
        return Page(width)
    return Page(width, colour=not os.environ.get("NO_COLOR") and os.environ.get("TERM") != "dumb")


def write_whole(file: str, text: str) -> None:
    """Write a file so that a reader finds the old one or all of the new one, never a part.

    Raises PlanFaults where it cannot be written.
    """
    try:
        put_in_place(file, text.encode("utf-8", "backslashreplace"))
    except OSError as error:
        raise PlanFaults([_unwritten(file, error)]) from None


def put_in_place(file: str, raw: bytes) -> None:
    """Write bytes beside a file, and then put them in its place with its permissions; a link stays a link."""
    from tempfile import NamedTemporaryFile  # noqa: PLC0415 - it costs a start more than most commands do

    target = Path(os.path.realpath(file))
    if target.exists() and not target.is_file() and not target.is_dir():
        target.write_bytes(raw)  # a device or a pipe is written to; to replace it would take it away
        return
    with NamedTemporaryFile(dir=target.parent, prefix=f".{target.name}.", delete=False) as beside:
        try:
            beside.write(raw)
            beside.flush()
            os.fsync(beside.fileno())  # on the disk before it has the name of what it replaces
            Path(beside.name).chmod(target.stat().st_mode & 0o777 if target.exists() else 0o666 & ~_umask())
            Path(beside.name).replace(target)
        finally:
            Path(beside.name).unlink(missing_ok=True)  # gone already where it took the other's place


def write_new(file: str, text: str) -> None:
    """Write a file that is not there yet.

    Raises PlanFaults where it is there, or cannot be written.
    """
    try:
        with Path(file).open("x", encoding="utf-8", newline="\n") as stream:
            stream.write(text)
    except OSError as error:
        raise PlanFaults([_unwritten(file, error)]) from None


def _umask() -> int:
    mask = os.umask(0)
    os.umask(mask)
    return mask


def _unwritten(file: str, error: OSError) -> Fault:
    match error:
        case FileNotFoundError():
            why, hint = "the folder for this file is not there", "make it first, or name a file in another folder"
        case IsADirectoryError():
            why, hint = "this is a folder, so no file can be written by that name", "name a file, such as findings.json"
        case PermissionError():
            why, hint = "there is no permission to write this file", "name a file in a folder of yours"
        case FileExistsError():
            why, hint = (
                "this file is there already",
                "name another one, or move it away first; planlint never overwrites a plan",
            )
        case _:
            why, hint = f"the file cannot be written ({error.strerror})", "name a file somewhere else"
    return Fault(file, 0, 0, why, hint)
