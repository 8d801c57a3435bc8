"""Edits written into the text of a plan: what changes, and that nothing else does."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planlint.edits import Revision, revise
from planlint.records import Edit, Written
from planlint.source import Document, read
from planlint.spans import Path

steady = settings(max_examples=60)


def document(text: str) -> Document:
    return read(text.encode(), "case.plan.yaml")


def revised(text: str, path: Path, value: Written, *, adds: bool = False) -> str | None:
    revision = revise(document(text), [Edit(path, value, adds)])
    return revision.document.text if revision else None


CORNER = ("corner", "joint")

WRITTEN: list[tuple[str, str, Path, Written, str]] = [
    ("a word", "corner: {joint: filler}\n", CORNER, "bead", "corner: {joint: bead}\n"),
    ("the short form stays short", "corner: filler  # so far\n", CORNER, "bead", "corner: bead  # so far\n"),
    ("a short form grows", "corner: bead", ("corner", "length"), "2.6 m", "corner: {joint: bead, length: 2.6 m}"),
    ("single quotes stay", "corner: 'filler' # c\n", CORNER, "bead", "corner: 'bead' # c\n"),
    ("double quotes stay", 'corner: {"joint":"filler"}\n', CORNER, "bead", 'corner: {"joint":"bead"}\n'),
    ("what needs quotes gets them", "box: deep\n", ("box",), "no", 'box: "no"\n'),
    ("so does a comma", "box: deep\n", ("box",), "a, b", 'box: "a, b"\n'),
    ("feet and inches need none", "at: 3 m\n", ("at",), "8' 6\"", "at: 8' 6\"\n"),
    ("an apostrophe in single quotes", "box: 'deep'\n", ("box",), "Tom's", "box: 'Tom''s'\n"),
    ("truth", "{kind: switch, backing: false}", ("backing",), True, "{kind: switch, backing: true}"),
    ("a number", "class: 20\n", ("class",), 12.5, "class: 12.5\n"),
    ("a whole number", "class: 20\n", ("class",), 25.0, "class: 25\n"),
    ("nothing stood there", "corner:\nbase: b\n", CORNER, "bead", "corner: {joint: bead}\nbase: b\n"),
    ("nor there", "corner:   # decide\n", ("corner",), "bead", "corner: bead   # decide\n"),
    ("nor in brackets", "a: {corner: , b: 1}", ("a", "corner"), "bead", "a: {corner: bead , b: 1}"),
    ("an item", "line: [brown,  red]\n", ("line", 1), "black", "line: [brown,  black]\n"),
    ("an item below", "line:\n  - brown\n  - red # old\n", ("line", 1), "black", "line:\n  - brown\n  - black # old\n"),
    ("a key in brackets", "S1: {at: 1 m}\n", ("S1", "backing"), True, "S1: {at: 1 m, backing: true}\n"),
    ("a key in quotes", '{"S1": {"at": "1 m"}}', ("S1", "box"), "b", '{"S1": {"at": "1 m", "box": "b"}}'),
    (
        "a key over lines",
        "S1: {at: 1 m, # c\n  z: 2 # d\n}",
        ("S1", "b"),
        "x",
        "S1: {at: 1 m, # c\n  z: 2, b: x # d\n}",
    ),
    ("behind a last comma", "S1: {at: 1 m,}\n", ("S1", "box"), "b", "S1: {at: 1 m, box: b,}\n"),
    ("into empty brackets", "S1: {}\n", ("S1", "box"), "b", "S1: {box: b}\n"),
    ("a key of its own line", "S1:\n  at: 1 m # c\n\n# d\n", ("S1", "b"), "x", "S1:\n  at: 1 m # c\n  b: x\n\n# d\n"),
    ("without a last line end", "S1:\n  at: 1 m", ("S1", "box"), "b", "S1:\n  at: 1 m\n  box: b"),
    ("lines end in CRLF", "S1:\r\n  at: 1 m\r\n", ("S1", "box"), "b", "S1:\r\n  at: 1 m\r\n  box: b\r\n"),
    ("lines end in CR", "S1:\r  at: 1 m\r", ("S1", "box"), "b", "S1:\r  at: 1 m\r  box: b\r"),
    (
        "in an item, before what is long",
        "walls:\n- wall: west\n  then: left\n  points:\n    S1: {at: 1 m}\n- wall: north\n",
        ("walls", 0, "corner", "joint"),
        "bead",
        "walls:\n- wall: west\n  then: left\n  corner: {joint: bead}\n  points:\n    S1: {at: 1 m}\n- wall: north\n",
    ),
    (
        "keys that lack",
        "light: {kind: window}\n",
        ("light", "reveal", "edges"),
        "bead",
        "light: {kind: window, reveal: {edges: bead}}\n",
    ),
    (
        "over what is merged in",
        "a: &a {x: 1 m, y: 2}\nb: {<<: *a, z: 3}\n",
        ("b", "x"),
        "9 m",
        "a: &a {x: 1 m, y: 2}\nb: {<<: *a, z: 3, x: 9 m}\n",
    ),
    (
        "over nothing but that",
        "a: &a {x: 1 m}\nb: {<<: *a}\n",
        ("b", "x"),
        "9 m",
        "a: &a {x: 1 m}\nb: {x: 9 m, <<: *a}\n",
    ),
    (
        "in place of an alias",
        "a: &j filler\ncorner: {joint: *j}\n",
        CORNER,
        "bead",
        "a: &j filler\ncorner: {joint: bead}\n",
    ),
    ("an anchor that nobody repeats", "corner: &c {joint: filler}\n", CORNER, "bead", "corner: &c {joint: bead}\n"),
    ("beyond the basic plane", "t: 🔧\nc: {joint: a} # 🔧\n", ("c", "joint"), "b", "t: 🔧\nc: {joint: b} # 🔧\n"),
]


@pytest.mark.parametrize(
    ("text", "path", "value", "wanted"), [row[1:] for row in WRITTEN], ids=[row[0] for row in WRITTEN]
)
def test_an_edit_changes_one_value(text: str, path: Path, value: Written, wanted: str) -> None:
    assert revised(text, path, value) == wanted


ADDED: list[tuple[str, str, tuple[str, ...], str]] = [
    ("in brackets", "after: [a, b]  # c\n", ("c", "d"), "after: [a, b, c, d]  # c\n"),
    ("in empty ones", "after: [ ]\n", ("c", "d"), "after: [c, d ]\n"),
    ("to a word alone", "after: a  # c\n", ("b",), "after: [a, b]  # c\n"),
    ("below", "after:\n  - a # c\n  - b\nz: 1\n", ("c", "d"), "after:\n  - a # c\n  - b\n  - c\n  - d\nz: 1\n"),
    ("below, as far left as the key", "after:\n- a\n# c\nz: 1\n", ("b",), "after:\n- a\n- b\n# c\nz: 1\n"),
    ("to nothing", "z: 1\n", ("a",), "z: 1\nafter: [a]\n"),
    ("to an empty key", "after:\nz: 1\n", ("a",), "after: [a]\nz: 1\n"),
]


@pytest.mark.parametrize(("text", "items", "wanted"), [row[1:] for row in ADDED], ids=[row[0] for row in ADDED])
def test_items_are_added_to_a_list(text: str, items: tuple[str, ...], wanted: str) -> None:
    assert revised(text, ("after",), items, adds=True) == wanted


LEFT_ALONE = [
    ("what is repeated elsewhere", "a: &c {joint: filler}\nb: *c\n", ("a", "joint")),
    ("what repeats something", "a: &c {joint: filler}\nb: *c\n", ("b", "joint")),
    ("a word that is repeated", "a: {joint: &j filler}\nb: {joint: *j}\n", ("a", "joint")),
    ("what others merge in", "a: &c {joint: filler}\nb: {<<: *c, z: 1}\n", ("a", "joint")),
    ("keys over several lines", "a:\n  joint:\n    b: 1 # c\n    d: 2\n", ("a", "joint")),
    ("a list with a comment", "a: {joint: [b, # c\n d]}\n", ("a", "joint")),
    ("what is not there", "a: 1\n", ("b", 3, "joint")),
    ("an item that is not there", "a: [1]\n", ("a", 1)),
    ("a word without a long form", "a: b\n", ("a", "joint")),
    ("what stands there already", "a: {joint: bead}\n", ("a", "joint")),
]


@pytest.mark.parametrize(("text", "path"), [row[1:] for row in LEFT_ALONE], ids=[row[0] for row in LEFT_ALONE])
def test_what_cannot_be_written_alone_is_not_written(text: str, path: Path) -> None:
    assert revised(text, path, "bead") is None


def test_edits_that_belong_together_are_one_revision() -> None:
    text = "walls:\n- corner: filler   # c\n  pieces: [{left: cut, right: tapered}]\n"
    wall = ("walls", 0)
    edits = [
        Edit((*wall, "corner", "joint"), "sealant"),
        Edit((*wall, "corner", "width"), "5 mm"),
        Edit((*wall, "corner", "sealant", "kind"), "acrylic"),
        Edit((*wall, "corner", "sealant", "class"), 12.5),
    ]
    revision = revise(document(text), edits)
    assert revision
    made = "walls:\n- corner: {joint: sealant, width: 5 mm, sealant: {kind: acrylic, class: 12.5}}   # c\n"
    assert revision.document.text == made + "  pieces: [{left: cut, right: tapered}]\n"


def test_a_revision_says_which_words_change() -> None:
    text = "a: 1\nlining: {battens: {spacing: 650 mm}}\n"
    revision = revise(document(text), [Edit(("lining", "battens", "spacing"), "600 mm")])
    assert revision
    found = revision.replacement
    assert (found.line, found.column, found.end_line, found.end_column) == (2, 29, 2, 32)
    assert found.text == "600"
    assert replaced(text, revision) == revision.document.text


def replaced(text: str, revision: Revision) -> str:
    """What a tool makes of the text that knows nothing but lines and columns (lines ending in LF)."""
    found, lines = revision.replacement, text.split("\n")
    before = "\n".join([*lines[: found.line - 1], lines[found.line - 1][: found.column - 1]])
    after = "\n".join([lines[found.end_line - 1][found.end_column - 1 :], *lines[found.end_line :]])
    return before + found.text + after


# What surrounds an edit: names, comments, blank lines and trailing spaces of any kind.
words = st.text("abcdefghijklmnäöß🔧'", min_size=1, max_size=6).map(lambda word: f"w{word}")
comments = st.one_of(st.just(""), st.just("  "), words.map(lambda word: f"  # {word}: [{{ "))
fillers = st.lists(
    st.one_of(st.just(""), words.map(lambda word: f"# {word}"), words.map(lambda word: f"    # {word}")), max_size=2
)
line_ends = st.sampled_from(["\n", "\r\n", "\r"])
quotes = st.sampled_from(["", "'", '"'])


@st.composite
def surrounded(draw: st.DrawFn) -> tuple[str, int, int, Path]:
    """A plan with one word in it that is to be replaced, between all sorts of things; where it stands, by path too."""
    end, quote = draw(line_ends), draw(quotes)
    form = draw(st.sampled_from(["short", "flow", "block"]))
    word = f"{quote}filler{quote}"
    value = {"short": f"corner: {word}", "flow": f"corner: {{width: 5 mm , joint:  {word} }}"}
    lines = [*draw(fillers), f"title: {draw(words)}{draw(comments)}", "walls:", *draw(fillers)]
    lines += [f"  - wall: {draw(words)}{draw(comments)}", *draw(fillers)]
    if form == "block":
        lines += [f"    corner:{draw(comments)}", f"      joint: {word}{draw(comments)}", *draw(fillers)]
    else:
        lines += [f"    {value[form]}{draw(comments)}", *draw(fillers)]
    lines += [f"    use: {draw(words)}{draw(comments)}", *draw(fillers)]
    text = end.join(lines) + draw(st.sampled_from(["", end, end + end, "  "]))
    start = text.index(word)
    return text, start, start + len(word), ("walls", 0, "corner", "joint")


@given(surrounded())
@steady
def test_characters_outside_of_a_replaced_word_never_change(case: tuple[str, int, int, Path]) -> None:
    text, start, end, path = case
    after = revised(text, path, "bead")
    assert after is not None
    assert after.startswith(text[:start])
    assert after.endswith(text[end:])
    assert after[start : len(after) - len(text[end:])].strip("'\"") == "bead"


@given(surrounded(), st.sampled_from(["length", "photos"]))
@steady
def test_a_new_key_is_one_insertion(case: tuple[str, int, int, Path], key: str) -> None:
    text, _, _, path = case
    after = revised(text, (*path[:2], key), "x")
    assert after is not None
    longer = len(after) - len(text)
    cuts = [at for at in range(len(text) + 1) if after[:at] + after[at + longer :] == text]
    assert cuts
    assert any(f"{key}: x" in after[at : at + longer] for at in cuts)
    assert revised(after, (*path[:2], key), "x") is None
