"""Whatever stands on standard input ends in status 0, 1 or 2, without a traceback, and soon."""

import io
import subprocess
import sys
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from planlint.cli.main import run

EXAMPLES = sorted((Path(__file__).parents[1] / "examples").rglob("*.plan.yaml"))
PLANS = [path.read_text(encoding="utf-8") for path in EXAMPLES]
SHREDS = st.sampled_from(
    (
        *("", ":", "- ", "{", "}", "[", "]", "&a ", "*a", "<<: ", "!!int ", "'", '"', "\t", "\n", "#", "rooms:", "  "),
        *("-1 m", "1e9 m", "0 m", "nan mm", "2,5 mm", "8 ft 13 in", "50 %", "12:30", "0x10", "99999999999999999999"),
        *("none", "no", "null", "true", "2026-02-30", "study.west", "supply", "sockets", "left", "wood"),
        *("\ufeff", "\u2028", "\x00", "é", "💧"),
    )
)
PATIENCE = 120  # seconds
# The fixtures only stand in for standard input and output; that they are shared by all examples does no harm.
FUZZED = settings(
    max_examples=150, deadline=None, derandomize=True, suppress_health_check=[HealthCheck.function_scoped_fixture]
)


def inspect(raw: bytes, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], *words: str) -> str:
    """What `planlint inspect -` prints; a rule that broke down on the plan is a fault of ours."""
    stream = io.TextIOWrapper(io.BytesIO(raw))
    monkeypatch.setattr(sys, "stdin", stream)
    status = run(["inspect", "-", "--today", "2026-10-03", *words])
    printed = capsys.readouterr()
    assert status in (0, 1, 2)
    assert "Traceback" not in printed.err
    assert "broke down" not in printed.err
    assert (status == 2) == bool(printed.err.strip())
    return printed.out


@FUZZED
@given(raw=st.binary(max_size=200))
def test_random_bytes(raw: bytes, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    inspect(raw, monkeypatch, capsys)


@FUZZED
@given(data=st.data())
def test_mutated_plans(
    data: st.DataObject, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    text = data.draw(st.sampled_from(PLANS))
    for _ in range(data.draw(st.integers(1, 4))):
        start = data.draw(st.integers(0, len(text)))
        end = min(len(text), start + data.draw(st.integers(0, 30)))
        text = text[:start] + data.draw(SHREDS) + text[end:]
    inspect(text.encode("utf-8", "surrogatepass"), monkeypatch, capsys, "--report", "json")


@FUZZED
@given(data=st.data())
def test_plans_with_lines_left_out_or_changed_over(
    data: st.DataObject, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    lines = data.draw(st.sampled_from(PLANS)).splitlines()
    for _ in range(data.draw(st.integers(1, 3))):
        first, second = (data.draw(st.integers(0, len(lines) - 1)) for _ in range(2))
        if data.draw(st.booleans()):
            lines[first], lines[second] = lines[second], lines[first]
        else:
            del lines[first]
    inspect("\n".join(lines).encode(), monkeypatch, capsys)


BOMB = "a: &a [x,x,x,x,x,x,x,x,x]\n" + "".join(
    f"{new}: &{new} [{','.join([f'*{old}'] * 9)}]\n" for old, new in zip("abcdefgh", "bcdefghi", strict=True)
)


@pytest.mark.parametrize(
    ("raw", "says"),
    [
        pytest.param(BOMB.encode(), "", id="alias bomb"),
        pytest.param(b"[" * 10_000, "levels", id="brackets in brackets"),
        pytest.param(b"{a: " * 10_000, "levels", id="mappings in mappings"),
        pytest.param("".join(" " * depth + "a:\n" for depth in range(3_000)).encode(), "levels", id="indentation"),
        pytest.param(b"plan: 1\n# " + b"x" * 50_000_000, "MiB", id="50 MB"),
    ],
)
def test_what_is_too_much_is_one_clear_fault_at_once(raw: bytes, says: str, tmp_path: Path) -> None:
    plan = tmp_path / "much.plan.yaml"
    plan.write_bytes(raw)
    # It hangs where it does not end long before this; how fast it is is for the benchmarks.
    done = subprocess.run(
        [sys.executable, "-m", "planlint", "inspect", str(plan)],
        capture_output=True,
        text=True,
        check=False,
        timeout=PATIENCE,
    )
    assert done.returncode == 2
    assert "Traceback" not in done.stderr
    assert done.stderr.count("much.plan.yaml:") == 1
    assert says in done.stderr
