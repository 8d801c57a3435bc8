import pytest

from planlint.errors import PlanFaults
from planlint.source import read

# A text, where it goes wrong, and words of the message: told the same by both parsers.
BROKEN = [
    ('a: "foo\nb: 1\n', 1, 4, 'the quote " opened here is not closed'),
    ("plan: 1\na: 'foo\nb: 1\n", 2, 4, "the quote ' opened here is not closed"),
    ('size: "5/8\nb: 1\n---\n', 1, 7, "not closed"),
    ("a: [1, 2\nb: 3\n", 1, 4, "the bracket [ opened here is not closed"),
    ("a: {x: 1\nb: 3\n", 1, 4, "the bracket { opened here is not closed"),
    ("x: [a", 1, 4, "the bracket [ opened here is not closed"),
    ("b: 1\na: [\n\n", 2, 4, "the file ends inside a bracket"),
    ("a: {b: 1,", 1, 9, "the file ends inside a bracket"),
    ("a: [1,", 1, 6, "the file ends inside a bracket"),
    ("a: {x: 1, y: [1}\n", 1, 16, "} cannot close what [ opened"),
    ("a: {b: c d: e}\n", 1, 11, "a comma is missing before this, inside {"),
    ("a: [b: c: d]\n", 1, 9, "a comma is missing before this, inside ["),
    ("a: [1]]\n", 1, 7, "] closes a bracket that was not opened"),
    ("a: 1\n}\n", 2, 1, "} closes a bracket that was not opened"),
    ("a: [,]\n", 1, 5, "a comma stands where a value belongs"),
    ("a: ,\n", 1, 4, "a comma stands where a value belongs"),
    ("note: door: left\n", 1, 11, "a second colon on this line"),
    ("- note: door: left\n", 1, 13, "a second colon on this line"),
    ("a: &b 1\nc: *b: d\n", 2, 6, "a second colon on this line"),
    ("a: 1\n  b: 2\n", 2, 3, "further in than the line above"),
    ("a:\n  b: 1\n c: 2\n", 3, 2, "does not fit the indentation"),
    ("a:\n  - 1\n - 2\n", 3, 2, "does not fit the indentation"),
    ("  a: 1\nb: 2\n", 2, 1, "does not fit the indentation"),
    ("a: 1\n- b\n", 2, 1, "does not fit the indentation"),
    ("- a\nb: 1\n", 2, 1, "does not fit the indentation"),
    ("c: 1\n[", 2, 1, "does not fit the indentation"),
    ("a: 1\r\n  b: 2\r\n", 2, 3, "further in than the line above"),
    ("a: 1\r  b: 2\r", 2, 3, "further in than the line above"),
    ("a: 'ä\u2028ö'\n b: 1\n", 2, 2, "does not fit the indentation"),
    ("plan: 1\ntitle:Study\nx: 1\n", 2, 1, "a space is missing after the colon"),
    ("title:Study\nx: 1\n", 1, 1, "a space is missing after the colon"),
    ("a:\n  - title:Study\n    x: 1\n", 2, 5, "a space is missing after the colon"),
    ("- a\n-b\n", 2, 1, "a space is missing after the dash"),
    ("plan: 1\nfoo\n", 2, 1, "a colon is missing after foo"),
    ("foo\nb: 1\n", 1, 1, "a colon is missing after foo"),
    (": x\n", 1, 1, "there is no name before the colon"),
    ("a: {b:}\n", 1, 6, "missing after the colon"),
    ("a: {b:, c: 1}\n", 1, 6, "missing after the colon"),
    ("a: {b:? c}\n", 1, 6, "missing after the colon"),
    ("a: [why ? so]\n", 1, 9, "a question mark inside brackets"),
    ("a: [why ?so]\n", 1, 9, "a question mark inside brackets"),
    ("a: @home\n", 1, 4, "a value cannot begin with @"),
    ("a: `home`\n", 1, 4, "a value cannot begin with `"),
    ("a: %x\n", 1, 4, 'begins with "%"'),
    ("%YAML 1.2\n---\na: 1\n", 1, 1, 'begins with "%"'),
    ("# c\n%TAG ! x\n---\na: 1\n", 2, 1, 'begins with "%"'),
    ("%YAML " + "9" * 5000 + ".1\n---\na: 1\n", 1, 1, 'begins with "%"'),
    ("a: [1,\n%x\n]\n", 2, 1, 'begins with "%"'),
    ('a: "x" y\n', 1, 8, "text follows the closing quote"),
    ("a: 'it's here'\n", 1, 8, "text follows the closing quote"),
    ("a: &b 1\nc: *b d\n", 2, 7, "text follows where the value has ended"),
    ("a: ? b\n", 1, 4, "text follows where the value has ended"),
    ('a: "x\\qy"\n', 1, 4, "a backslash in double quotes"),
    ('a: "x\\u12"\n', 1, 4, "a backslash in double quotes"),
    ('a: "\\ud800"\n', 1, 5, "a backslash in double quotes"),
    ('a: "\\ud83d\\ude00"\n', 1, 5, "a backslash in double quotes"),
    ('a: "\\UFFFFFFFF"\n', 1, 5, "a backslash in double quotes"),
    ('a: "\\U00110000"\n', 1, 5, "a backslash in double quotes"),
    ("a: &\n", 1, 4, "no name, or an unusual one, follows &"),
    ("a: *\n", 1, 4, "no name, or an unusual one, follows *"),
    ("a: !e!x y\n", 1, 4, 'begins with "!"'),
    ("a: !<x y\n", 1, 4, 'begins with "!"'),
    ("a: |x\n  b\n", 1, 4, "text follows | on the same line"),
    ("a: >#x\n  b\n", 1, 4, "text follows > on the same line"),
    ("a: - b\n", 1, 4, "a list with dashes cannot begin here"),
    ("a: [\n- b\n]\n", 2, 1, "a list with dashes cannot begin here"),
    # Tabs where only spaces may stand, of which each parser alone lets some through.
    ("\ta: 1\n", 1, 1, "a tab"),
    ("a:\t1\n", 1, 3, "a tab"),
    ("a: 1\n\tb: 2\n", 2, 1, "a tab"),
    ("a: b\tc\n", 1, 5, "a tab"),
    ("a: b\t\n", 1, 5, "a tab"),
    ("a: 1\t# why\n", 1, 5, "a tab"),
    ("a: 1\n\t\nb: 2\n", 2, 1, "a tab"),
    ("a: [1,\t2]\n", 1, 7, "a tab"),
    ("- a\n-\tb\n", 2, 2, "a tab"),
    ("a: |\t# c\n  x\n", 1, 5, "a tab"),
    ("a: |\n\tx\n", 2, 1, "a tab"),
    ("a: |\n  \tx\n  y\n", 2, 3, "a tab"),
    ("a: it's\tx\n", 1, 8, "a tab"),
    ('a: "x\ty"\nb: "z"\t# c\n', 2, 7, "a tab"),
    ("a: 'x\ty' # c\td\n\tb: 1\n", 2, 1, "a tab"),
    ("'a'\t: 1\n", 1, 4, "a tab"),
]


@pytest.mark.parametrize(("text", "line", "column", "words"), BROKEN)
def test_both_parsers_say_the_same(text: str, line: int, column: int, words: str) -> None:
    told = []
    for pure in (False, True):
        with pytest.raises(PlanFaults) as caught:
            read(text.encode(), "study.plan.yaml", pure=pure)
        told.append(caught.value.faults)
    assert told[0] == told[1]
    (fault,) = told[0]
    assert (fault.file, fault.line, fault.column) == ("study.plan.yaml", line, column)
    assert words in fault.message
    assert fault.hint


@pytest.mark.parametrize("pure", [False, True])
@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("'x\ty'", "x\ty"),
        ('"x\ty"', "x\ty"),
        ('"\\\t"', "\t"),
        ('"x\n  \ty"', "x y"),
        ("|\n  x\ty\n  \tz\n", "x\ty\n\tz\n"),
        ("x # y\tz", "x"),
        ("it's # y\tz", "it's"),
    ],
)
def test_tabs_are_welcome_in_quotes_blocks_and_comments(text: str, value: str, *, pure: bool) -> None:
    assert read(f"a: {text}\n".encode(), "f", pure=pure).data == {"a": value}


def test_a_syntax_fault_stands_alone() -> None:
    with pytest.raises(PlanFaults) as caught:
        read(b"a: no\nb: yes\nc: [1\n", "f")
    assert [fault.line for fault in caught.value.faults] == [3]
