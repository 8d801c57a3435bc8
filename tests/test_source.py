import contextlib
import gc
import os
import time
import unicodedata
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
import yaml
from hypothesis import example, given
from hypothesis import strategies as st

from planlint.errors import Fault, PlanFaults
from planlint.scalars import resolve
from planlint.source import MAX_BYTES, MAX_DEPTH, Document, load, read

Read = Callable[[str | bytes], Any]
Refuse = Callable[[str | bytes], tuple[Fault, ...]]


@pytest.fixture(params=[False, True], ids=["parser in C", "parser in Python"])
def pure(request: pytest.FixtureRequest) -> bool:
    return bool(request.param)


@pytest.fixture
def data_of(*, pure: bool) -> Read:
    return lambda text: read(text.encode() if isinstance(text, str) else text, "f", pure=pure).data


@pytest.fixture
def faults_of(*, pure: bool) -> Refuse:
    def faults(text: str | bytes) -> tuple[Fault, ...]:
        with pytest.raises(PlanFaults) as caught:
            read(text.encode() if isinstance(text, str) else text, "f", pure=pure)
        return caught.value.faults

    return faults


@pytest.mark.parametrize(
    ("text", "data"),
    [
        ("a: 1\nb: [2.5, x, ~, true]\n", {"a": 1, "b": [2.5, "x", None, True]}),
        ("{}", {}),
        ("[]", []),
        ("word", "word"),
        ("null", None),
        ("a:\n- 1\n- - 2\n  - 3\n-\nb:\n", {"a": [1, [2, 3], None], "b": None}),
        ("a: '12:30'\nb: \"no\"\nc: |\n  010\n", {"a": "12:30", "b": "no", "c": "010\n"}),
        ("a: 2026-03-02\n0.15 m: 14 %\n", {"a": "2026-03-02", "0.15 m": "14 %"}),
        ('"no": 1\n"1": 2\n\'~\': 3\n', {"no": 1, "1": 2, "~": 3}),
        ("section: 2,5 mm²\n", {"section": "2,5 mm²"}),  # whole here; the unit's grammar refuses it
        ("a: [7, 5]\nb: [x,5]\nc: ['7',5]\n", {"a": [7, 5], "b": ["x", 5], "c": ["7", 5]}),
        ("a: {b, c: 1}\n", {"a": {"b": None, "c": 1}}),
        ("a: [b: 1, c: 2]\n", {"a": [{"b": 1}, {"c": 2}]}),
        ("? a\n: 1\n? b\n", {"a": 1, "b": None}),
        ("a: {is it damp?: maybe?}\n", {"a": {"is it damp?": "maybe?"}}),
        ("---\na: 1\n...\n", {"a": 1}),
        ("a: &x {k: [1, 2]}\nb: *x\n", {"a": {"k": [1, 2]}, "b": {"k": [1, 2]}}),
        ("a: &x word\n*x : 1\n", {"a": "word", "word": 1}),
        ("a: &x 1\nb: &x 2\nc: *x\n", {"a": 1, "b": 2, "c": 2}),
        ("a: &m {k: 1, l: 2}\nb:\n  <<: *m\n  k: 3\n", {"a": {"k": 1, "l": 2}, "b": {"k": 3, "l": 2}}),
        ("a: &m {k: 1, l: 2}\nb: {k: 3, <<: *m}\n", {"a": {"k": 1, "l": 2}, "b": {"k": 3, "l": 2}}),
        (
            "a: &m {k: 1}\nb: &n {k: 2, l: 3}\nc: {<<: [*m, *n]}\n",
            {"a": {"k": 1}, "b": {"k": 2, "l": 3}, "c": {"k": 1, "l": 3}},
        ),
        ("a: &m {k: 1}\nb: &n {<<: *m}\nc: {<<: *n}\n", {"a": {"k": 1}, "b": {"k": 1}, "c": {"k": 1}}),
        ("<<: {a: 1}\nb: <<\n'<<': 3\n", {"a": 1, "b": "<<", "<<": 3}),
        ("\ufeffa: 1\n", {"a": 1}),
        ("a: 1\r\nb: |\r\n  x\r\n  y\r\n", {"a": 1, "b": "x\ny\n"}),
        ("a: 1\rb: 2\r", {"a": 1, "b": 2}),
        ("a: x\u2028y\x85z # c\u2029d: 1\nb: 'x\x85?'\n", {"a": "x\u2028y\x85z", "b": "x\x85?"}),
        (unicodedata.normalize("NFD", "Küche: 'Tür'\n"), {"Küche": "Tür"}),
        ('a: "\\u00e9\\n\\t\\U0001F527"\n', {"a": "é\n\t\U0001f527"}),
    ],
)
def test_accepted(data_of: Read, text: str, data: object) -> None:
    found = data_of(text)
    assert found == data
    assert repr(sorted(found)) == repr(sorted(data)) if isinstance(data, dict) else type(found) is type(data)


# A text, and of each fault its line, its column, and words of the message and of the hint.
REFUSED = [
    ("a: no\n", [(1, 4, "the word no", "write true or false")]),
    ("a: 1\nNO: 1\n", [(2, 1, "the word NO", 'write "NO" in quotes')]),
    ("a: {off: On}\n", [(1, 5, "the word off", '"off"'), (1, 10, "the word On", '"On"')]),
    ("a: 12:30\n", [(1, 4, "12:30", '"12:30" in quotes')]),
    ("12:30: a\n", [(1, 1, "12:30", '"12:30" in quotes')]),
    ("a: [010, 0x1F]\n", [(1, 5, "010", "write 10"), (1, 10, "0x1F", "decimal figures")]),
    ("a: .inf\nb: -.NaN\n", [(1, 4, ".inf", "leave the key out"), (2, 4, "-.NaN", "leave the key out")]),
    ("a: {section: 2,5 mm²}\n", [(1, 14, "a comma cuts the number 2,5 mm²", "write 2.5 mm² with a point")]),
    ("a: {section: 2, 5 mm²}\n", [(1, 14, "a comma cuts the number 2,5 mm²", "2.5 mm²")]),
    ("a: {d: 0,05, e: 1}\n", [(1, 8, "0,05", "write 0.05 with a point")]),
    ("a: {d: -2,5}\n", [(1, 8, "-2,5", "write -2.5 with a point")]),
    ("a: [7,5 mm, 40 mm]\n", [(1, 5, "7,5 mm", "write 7.5 mm with a point")]),
    ("a: [1,2]\n", [(1, 5, "1,2", "put a space after the comma")]),
    ("a: [b: 2,5 mm]\n", [(1, 8, "2,5 mm", "2.5 mm")]),
    ("a: 1\nb: 2\na: 3\n", [(3, 1, "a stands here a second time; the first is on line 1", "keep one")]),
    ("a: 1\n'a': 2\na: 3\n", [(2, 1, "on line 1", "keep"), (3, 1, "on line 1", "keep")]),
    ("b: {ö: 1, o\u0308: 2}\n", [(1, 11, "second time", "keep")]),
    ("a: &m {k: 1}\nb:\n  <<: *m\n  <<: *m\n", [(4, 3, "<< stands here a second time", "<<: [*usual, *deep]")]),
    ("a: !!str b\n", [(1, 4, '"!"', "leave that word out")]),
    ("a: &x !y [1]\nb: ! c\n", [(1, 7, '"!"', "leave"), (2, 4, '"!"', "leave")]),
    ("1: a\n", [(1, 1, "a bare number: 1", '"1" in quotes')]),
    ("column: {0.15: 14 %}\n", [(1, 10, "a bare number: 0.15", "0.15 m")]),
    ("~: a\n", [(1, 1, "~ cannot be a name", "in quotes")]),
    ("true: a\n", [(1, 1, "true cannot be a name", "in quotes")]),
    ("? \n: a\n", [(1, 2, "no name before the colon", "key: value")]),
    ("? [a]\n: b\n", [(1, 3, "a list or a set of keys", "study:")]),
    ("{a: 1}: b\n", [(1, 1, "a list or a set of keys", "study:")]),
    ("a: &x [1]\n*x : b\n", [(2, 1, "*x cannot be a name", "study:")]),
    ("a: 1\n---\nb: 2\n", [(2, 1, "a second document", "---")]),
    ("", [(1, 1, "the file is empty", "`plan: 1`")]),
    ("# only\n\n# comments\n", [(1, 1, "the file is empty", "planlint start FILE")]),
    ("---\n", [(1, 1, "the file is empty", "`plan: 1`")]),
    ("\ufeff", [(1, 1, "the file is empty", "`plan: 1`")]),
    ("a: b\n\x07c: d\n", [(2, 1, "control character (U+0007)", "delete")]),
    ("a: b\0\n", [(1, 5, "control character (U+0000)", "delete")]),
    ('a: "\\0"\n', [(1, 4, "control character (U+0000)", "delete")]),
    ('a: "\\e[31m"\n', [(1, 4, "control character (U+001B)", "delete")]),
    ("a: x\ufeff\n", [(1, 5, "byte-order mark", "delete")]),
    ("a: &x [1, *x]\n", [(1, 11, "*x stands inside &x", "take one")]),
    ("a: 1\nb: *x\n", [(2, 4, "no &x stands above", "&x")]),
    ("<<: 5\n", [(1, 5, "<< does not lead to a set of keys", "<<: *usual")]),
    ("a: &m {k: 1}\nb: {<<: [*m, 3]}\n", [(2, 9, "<< does not lead", "<<: *usual")]),
    ("\r\n\r\na: no\r\n", [(3, 4, "the word no", "write true")]),
    ("\ra: 'x\u2028y\x85z'\rb: no\r", [(3, 4, "the word no", "write true")]),
    ("\ufeffa: no\n", [(1, 4, "the word no", "write true")]),
]


@pytest.mark.parametrize(("text", "expected"), REFUSED)
def test_refused(faults_of: Refuse, text: str, expected: list[tuple[int, int, str, str]]) -> None:
    faults = faults_of(text)
    assert [(fault.line, fault.column) for fault in faults] == [row[:2] for row in expected]
    for fault, (_, _, message, hint) in zip(faults, expected, strict=True):
        assert message in fault.message
        assert hint in fault.hint


@pytest.mark.parametrize("text", [text for text, _ in REFUSED])
def test_both_parsers_refuse_alike(text: str) -> None:
    told = []
    for pure in (False, True):
        with pytest.raises(PlanFaults) as caught:
            read(text.encode(), "f", pure=pure)
        told.append(caught.value.faults)
    assert told[0] == told[1]


@pytest.mark.parametrize(
    ("raw", "line", "column", "words"),
    [
        (b"a: 1\nb\xff: 2\n", 2, 2, "0xFF"),
        ("ä: 1\r\nö: é".encode() + b"\xe9", 2, 5, "0xE9"),
        (b"\xef\xbb\xbfa\xfe", 1, 2, "0xFE"),
        (b"a: \xed\xa0\x80", 1, 4, "0xED"),  # half of a surrogate pair, written as if it were a character
        ("a: 1".encode("utf-16"), 1, 1, "UTF-16"),
        (b"\xfe\xff\0a", 1, 1, "UTF-16"),
        ("a: 1".encode("utf-32"), 1, 1, "UTF-32"),
    ],
)
def test_text_that_is_not_utf_8(faults_of: Refuse, raw: bytes, line: int, column: int, words: str) -> None:
    (fault,) = faults_of(raw)
    assert (fault.line, fault.column) == (line, column)
    assert words in fault.message
    assert "UTF-8" in fault.message + fault.hint


def test_depth_at_and_past_the_bound(data_of: Read, faults_of: Refuse) -> None:
    assert data_of("[" * MAX_DEPTH + "]" * MAX_DEPTH)
    assert faults_of("[" * (MAX_DEPTH + 1) + "]" * (MAX_DEPTH + 1))[0].column == MAX_DEPTH + 1
    inner = f"a: &x {'[' * 30}{']' * 30}\n"
    assert data_of(f"{inner}b: {'[' * 19}*x{']' * 19}\n")
    assert "more than 50 levels" in faults_of(f"{inner}b: {'[' * 20}*x{']' * 20}\n")[0].message


def test_aliases_at_and_past_the_bound(data_of: Read, faults_of: Refuse) -> None:
    # 2 keys, their lists and the root are 5 nodes; with the items and aliases the file has 1,005 + n of its own.
    # Each alias adds 1,001: 10 · (1,005 + n) + 10,000 ≥ 1,001 n holds up to n = 20.
    text = f"a: &x [{'k, ' * 1000}]\nb: [{{}}]\n"
    assert len(data_of(text.format("*x, " * 20))["b"]) == 20
    assert "aliases repeat so much" in faults_of(text.format("*x, " * 21))[0].message


@pytest.mark.parametrize(
    "text",
    [
        "[" * 10_000,
        "{a: " * 10_000,
        "- " * 10_000,
        "? " * 10_000,
        "".join(" " * depth + "a:\n" for depth in range(5_000)),
        "".join(" " * depth + "-\n" for depth in range(5_000)),
        "[\t" * 10_000,
        "'\t': " + "[" * 10_000,
        "a0: &a0 [1, 1, 1, 1, 1, 1, 1, 1, 1]\n"
        + "".join(f"a{n}: &a{n} [{', '.join([f'*a{n - 1}'] * 9)}]\n" for n in range(1, 8)),
        "a0: &a0 {k: 1}\n" + "".join(f"a{n}: &a{n} {{<<: [*a{n - 1}, *a{n - 1}], k{n}: 1}}\n" for n in range(1, 60)),
    ],
)
def test_nothing_takes_long(faults_of: Refuse, text: str) -> None:
    begun = time.process_time()
    assert len(faults_of(text)) == 1
    assert time.process_time() - begun < 2


def test_many_faults_end_early(faults_of: Refuse) -> None:
    assert len(faults_of("a: [" + "no, " * 1000 + "]")) == 50


def test_digest_is_of_the_bytes_as_they_are() -> None:
    # printf 'plan: 1\n' | sha256sum
    assert read(b"plan: 1\n", "f").digest == "sha256:4c633060e96f1dcb3ff1499edcc7b1213e0659c436f0e4e3dae38023206541b0"
    assert read(b"\xef\xbb\xbfplan: 1\n", "f").digest != read(b"plan: 1\n", "f").digest


@pytest.mark.parametrize("enabled", [True, False])
@pytest.mark.parametrize("raw", [b"a: 1", b"a: [", b"\xff"])
def test_the_collector_is_left_as_it_was(raw: bytes, *, enabled: bool) -> None:
    before = gc.isenabled()
    try:
        (gc.enable if enabled else gc.disable)()
        with contextlib.suppress(PlanFaults):
            read(raw, "f")
        assert gc.isenabled() is enabled
    finally:
        (gc.enable if before else gc.disable)()


def test_load(tmp_path: Path) -> None:
    path = tmp_path / "study.plan.yaml"
    path.write_bytes(b"plan: 1\r\n")
    document = load(path)
    assert (document.file, document.text, document.data) == (str(path), "plan: 1\r\n", {"plan": 1})
    assert load(str(path)).data == document.data


def test_load_what_cannot_be_opened(tmp_path: Path) -> None:
    large = tmp_path / "large.plan.yaml"
    with large.open("wb") as stream:
        stream.truncate(50 * 1024 * 1024)
    cases: list[tuple[str | Path, str]] = [
        (tmp_path / "none.yaml", "no such file"),
        (tmp_path, "folder"),
        ("a\0b", "cannot be opened"),
        ("a" * 5000, "cannot be opened"),
        (large, "larger than 32 MiB"),
    ]
    begun = time.process_time()
    for path, words in cases:
        with pytest.raises(PlanFaults) as caught:
            load(path)
        (fault,) = caught.value.faults
        assert words in fault.message
        assert fault.hint
        assert (fault.file, fault.line, fault.column) == (str(path), 0, 0)
    assert time.process_time() - begun < 2


@pytest.mark.skipif(not hasattr(os, "geteuid") or os.geteuid() == 0, reason="the superuser may read everything")
def test_load_without_permission(tmp_path: Path) -> None:
    path = tmp_path / "study.plan.yaml"
    path.write_bytes(b"plan: 1\n")
    path.chmod(0)
    with pytest.raises(PlanFaults, match="permission"):
        load(path)


def test_bytes_at_and_past_the_bound() -> None:
    text = b"a: 1 #"
    assert read(text + b" " * (MAX_BYTES - len(text)), "f").data == {"a": 1}
    with pytest.raises(PlanFaults, match="larger than 32 MiB"):
        read(text + b" " * (MAX_BYTES + 1 - len(text)), "f")


PIECES = st.sampled_from(
    [
        *"abc01 \t\n\r:-,[]{}'\"#&*!|>%@`?\\~é\u2028\x85\ufeff\0",
        *(
            ": ",
            "- ",
            "\n  ",
            "\r\n",
            "&a ",
            "*a",
            "<<: ",
            "!!x ",
            "---\n",
            "...\n",
            "|\n ",
            ">-\n ",
            "a: ",
            "no",
            "010",
        ),
        *("12:30", "2,5 mm", '"\\u', '"\\ud800"', "\\U00110000", ".inf", "? ", "[1, ", "{a: ", "9" * 40),
    ]
)


def _read_or_refuse(raw: bytes, *, pure: bool) -> Document | None:
    try:
        return read(raw, "f", pure=pure)
    except PlanFaults as caught:
        faults = caught.faults
    assert all(fault.message and fault.hint and fault.line and fault.column for fault in faults)
    return None


@given(st.binary(max_size=200))
def test_any_bytes_are_read_or_refused(raw: bytes) -> None:
    for pure in (False, True):
        _read_or_refuse(raw, pure=pure)


@given(st.lists(PIECES, max_size=30).map("".join))
@example("{?a: 1}")
@example("a: { ? b}")
def test_any_text_is_read_or_refused(text: str) -> None:
    fast, slow = (_read_or_refuse(text.encode(), pure=pure) for pure in (False, True))
    if fast and slow:
        assert fast.data == slow.data


PRINTABLE = st.characters(
    codec="utf-8", exclude_categories=("Cc", "Cs", "Cn", "Co"), exclude_characters="\ufeff\u2028\u2029"
)


def _is_plain_sailing(text: str) -> bool:
    """Whether no rule of ours reads this text in its own way: PyYAML quotes only what YAML 1.1 would misread."""
    return resolve(text) == text and unicodedata.is_normalized("NFC", text) and "?" not in text and "," not in text


STRINGS = st.text(PRINTABLE, max_size=20).filter(_is_plain_sailing)
FLOATS = st.floats(allow_nan=False, allow_infinity=False)
LEAVES = st.none() | st.booleans() | st.integers(-(10**18) + 1, 10**18 - 1) | FLOATS | STRINGS
PLAIN_DATA = st.dictionaries(
    STRINGS,
    st.recursive(LEAVES, lambda inner: st.lists(inner, max_size=4) | st.dictionaries(STRINGS, inner, max_size=4)),
    min_size=1,
    max_size=4,
)


@given(PLAIN_DATA, st.sampled_from([None, True, False]), st.booleans())
def test_what_is_dumped_is_read_back(data: dict[str, Any], flow: bool | None, pure: bool) -> None:  # noqa: FBT001 - drawn
    text = yaml.safe_dump(data, allow_unicode=True, default_flow_style=flow, sort_keys=False)
    assert read(text.encode(), "f", pure=pure).data == data
