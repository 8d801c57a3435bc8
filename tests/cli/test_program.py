"""The program as a process of its own: what a shell, an editor or a CI sees of it."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

PLANLINT = [sys.executable, "-m", "planlint"]


def start(*arguments: str | Path, stdin: bytes = b"", **environment: str) -> subprocess.CompletedProcess[bytes]:
    return subprocess.run(
        [*PLANLINT, *map(str, arguments)],
        input=stdin,
        capture_output=True,
        check=False,
        env=os.environ | environment,
        timeout=60,
    )


def test_standard_input(faulty: Path) -> None:
    done = start("inspect", "-", "--report=lines", stdin=faulty.read_bytes())
    assert done.returncode == 1
    assert done.stdout.startswith(b"-:")
    assert done.stderr == b""


@pytest.mark.parametrize("stdin", [b"", b"\xff\xfe\x00", b"[" * 20_000, b"plan: 1\n", b"\x00", b"- a\n- b\n"])
def test_rubbish_on_standard_input_is_trouble_without_a_traceback(stdin: bytes) -> None:
    done = start("inspect", "-", stdin=stdin)
    assert (done.returncode, done.stdout) == (2, b"")
    assert done.stderr.startswith(b"-:")
    assert b"Traceback" not in done.stderr


@pytest.mark.parametrize("locale", ["C", "POSIX", "en_US.ISO-8859-1"])
def test_text_is_utf_8_whatever_the_locale(plan: Path, locale: str) -> None:
    text = plan.read_text(encoding="utf-8").replace("title: Lock keeper's", "title: Schleusenwärters")
    plan.write_text(text, encoding="utf-8")
    done = start("inspect", plan, LC_ALL=locale, PYTHONUTF8="0", PYTHONCOERCECLOCALE="0", PYTHONIOENCODING="")
    assert done.returncode == 0
    assert done.stdout.decode("utf-8").startswith("Schleusenwärters cottage")


def test_a_file_name_that_is_not_utf_8(plan: Path) -> None:
    odd = os.path.join(os.fsencode(plan.parent), b"st\xfcbe.plan.yaml")  # noqa: PTH118 - Path has no bytes
    try:
        with open(odd, "wb") as stream:  # noqa: PTH123 - likewise
            stream.write(plan.read_bytes())
    except OSError:
        pytest.skip("this file system has names in UTF-8 only")
    done = start("inspect", os.fsdecode(odd), "--report=json")
    assert done.returncode == 0
    assert b"st\\udcfcbe.plan.yaml" in done.stdout


def test_no_colour_where_nobody_sees_it(faulty: Path) -> None:
    assert b"\x1b[" not in start("inspect", faulty, NO_COLOR="").stdout


@pytest.mark.skipif(sys.platform == "win32", reason="wants a pseudo-terminal")
@pytest.mark.parametrize(("no_color", "coloured"), [("", True), ("1", False)])
def test_colour_on_a_terminal_unless_it_is_not_wanted(faulty: Path, no_color: str, *, coloured: bool) -> None:
    import pty  # noqa: PLC0415 - not there on every system

    ours, theirs = pty.openpty()
    environment = os.environ | {"NO_COLOR": no_color, "TERM": "xterm", "COLUMNS": "90"}
    process = subprocess.Popen([*PLANLINT, "inspect", faulty], stdout=theirs, env=environment)
    os.close(theirs)
    shown = b""
    try:
        while part := os.read(ours, 65536):
            shown += part
    except OSError:  # how Linux says that the other end has closed
        pass
    os.close(ours)
    assert process.wait() == 1
    assert (b"\x1b[" in shown) is coloured


def test_a_reader_that_leaves_changes_nothing(faulty: Path) -> None:
    process = subprocess.Popen([*PLANLINT, "inspect", faulty], stdout=subprocess.PIPE, stderr=subprocess.PIPE)
    assert process.stdout is not None
    process.stdout.close()
    assert process.stderr is not None
    assert process.stderr.read() == b""
    process.stderr.close()
    assert process.wait() == 1


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="wants a device that is always full")
def test_a_full_disk_is_trouble(faulty: Path) -> None:
    with Path("/dev/full").open("wb") as full:
        done = subprocess.run(
            [*PLANLINT, "inspect", faulty], stdout=full, stderr=subprocess.PIPE, check=False, timeout=60
        )
    assert done.returncode == 2
    assert done.stderr.startswith(b"planlint: the output cannot be written")
    assert b"Traceback" not in done.stderr


def test_version_and_help() -> None:
    version = start("--version")
    assert version.returncode == 0
    assert version.stdout.startswith(b"planlint ")
    bare = start()
    assert (bare.returncode, bare.stdout) == (2, b"")
    assert bare.stderr.rstrip() == start("--help").stdout.rstrip()
