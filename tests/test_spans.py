from typing import Any

import pytest

from planlint.source import Document, read
from planlint.spans import Path, line_starts

TEXT = """\
# a comment before
plan: 1
'title': "Küche, Süd"   # a comment behind
rooms:
  study:   # of the block

    height: 2.60 m
    walls:
    - wall: west
      points: {S1: {at: 1.2 m}, 'S2': [68 mm,  35 mm ] }
    # between
    -  # before the item
      wall: north 🔧 side
      note: |  # header
        two
        lines

    # after the walls

  # after the study
  bath: &bath
    empty:
    height: &h 2.40 m   # anchored
  hall: *bath
  attic:
    <<: *bath
    height: *h
# at the end
last: [a: 1, {}]
"""

PLACES: list[tuple[Path, str, str]] = [
    (("plan",), "plan", "1"),
    (("title",), "'title'", '"Küche, Süd"'),
    (("rooms", "study", "height"), "height", "2.60 m"),
    (("rooms", "study", "walls", 0, "wall"), "wall", "west"),
    (("rooms", "study", "walls", 0, "points", "S1"), "S1", "{at: 1.2 m}"),
    (("rooms", "study", "walls", 0, "points", "S1", "at"), "at", "1.2 m"),
    (("rooms", "study", "walls", 0, "points", "S2"), "'S2'", "[68 mm,  35 mm ]"),
    (("rooms", "study", "walls", 0, "points", "S2", 1), "35 mm", "35 mm"),
    (("rooms", "study", "walls", 0, "points"), "points", "{S1: {at: 1.2 m}, 'S2': [68 mm,  35 mm ] }"),
    (("rooms", "study", "walls", 1, "wall"), "wall", "north 🔧 side"),
    (("rooms", "study", "walls", 1, "note"), "note", "|  # header\n        two\n        lines"),
    (("rooms", "bath", "empty"), "empty", ""),
    (("rooms", "bath", "height"), "height", "2.40 m"),
    (("rooms", "bath"), "bath", "empty:\n    height: &h 2.40 m"),
    (("rooms", "hall"), "hall", "*bath"),
    (("rooms", "hall", "height"), "height", "2.40 m"),
    (("rooms", "attic", "empty"), "empty", ""),
    (("rooms", "attic", "height"), "height", "*h"),
    (("last",), "last", "[a: 1, {}]"),
    (("last", 0), "a: 1", "a: 1"),
    (("last", 0, "a"), "a", "1"),
    (("last", 1), "{}", "{}"),
]


@pytest.fixture(params=[False, True], ids=["parser in C", "parser in Python"])
def pure(request: pytest.FixtureRequest) -> bool:
    return bool(request.param)


@pytest.mark.parametrize("line_end", ["\n", "\r\n", "\r"])
@pytest.mark.parametrize("mark", ["", "\ufeff"])
def test_spans_hold_what_they_name(line_end: str, mark: str, *, pure: bool) -> None:
    document = read((mark + TEXT.replace("\n", line_end)).encode(), "f", pure=pure)
    for path, key, value in PLACES:
        for span, words in ((document.spans.key(path), key), (document.spans.value(path), value)):
            assert document.text[span.start : span.end].replace(line_end, "\n") == words, path


def test_both_parsers_place_alike() -> None:
    fast, slow = (read(TEXT.encode(), "f", pure=pure).spans for pure in (False, True))
    for path, _, _ in PLACES:
        for length in range(len(path) + 1):
            assert fast.key(path[:length]) == slow.key(path[:length])
            assert fast.value(path[:length]) == slow.value(path[:length])


def test_a_block_ends_with_its_last_value(pure: bool) -> None:  # noqa: FBT001 - a fixture
    document = read(TEXT.encode(), "f", pure=pure)
    study = document.spans.value(("rooms", "study"))
    assert document.text[study.start : study.end].startswith("height: 2.60 m")
    assert document.text[study.start : study.end].endswith("        two\n        lines")
    walls = document.spans.value(("rooms", "study", "walls"))
    assert document.text[walls.start : walls.start + 6] == "- wall"


def test_lines_and_columns_count_from_one(pure: bool) -> None:  # noqa: FBT001 - a fixture
    document = read(TEXT.replace("\n", "\r\n").encode(), "f", pure=pure)
    assert document.spans.key(("plan",))[:2] == (2, 1)
    assert document.spans.value(("title",))[:2] == (3, 10)
    assert document.spans.key(("rooms", "study", "walls", 1, "wall"))[:2] == (13, 7)
    assert document.spans.key(("rooms", "attic", "empty"))[:2] == (22, 5)
    assert document.spans.key(())[:2] == (1, 1)


def test_only_line_ends_of_yaml_count(pure: bool) -> None:  # noqa: FBT001 - a fixture
    document = read("a: 'x\u2028y\x85z'\nb: 1\n".encode(), "f", pure=pure)
    assert document.spans.value(("b",))[:2] == (2, 4)


@pytest.mark.parametrize(
    ("path", "nearest"),
    [
        (("rooms", "study", "width"), ("rooms", "study")),
        (("rooms", "study", "walls", 7), ("rooms", "study", "walls")),
        (("rooms", "study", "walls", -1), ("rooms", "study", "walls")),
        (("rooms", "study", "walls", "west", "wall"), ("rooms", "study", "walls")),
        (("plan", "x"), ("plan",)),
        (("title", 0), ("title",)),
        (("rooms", 0), ("rooms",)),
        (("nothing", "at", "all"), ()),
    ],
)
def test_what_is_not_there_is_placed_by_the_nearest_above(path: Path, nearest: Path) -> None:
    spans = read(TEXT.encode(), "f").spans
    assert spans.key(path) == spans.key(nearest)
    assert spans.value(path) == spans.value(nearest)


def _paths(node: Any, path: Path = ()) -> list[Path]:  # noqa: ANN401 - YAML data
    steps = node.items() if isinstance(node, dict) else enumerate(node) if isinstance(node, list) else ()
    return [path, *(deeper for step, inner in steps for deeper in _paths(inner, (*path, step)))]


def test_every_scalar_is_read_from_its_own_span(pure: bool) -> None:  # noqa: FBT001 - a fixture
    document: Document = read(TEXT.encode(), "f", pure=pure)
    paths = _paths(document.data)
    assert len(paths) > 30
    for path in paths:
        span = document.spans.value(path)
        source = document.text[span.start : span.end]
        if path and source and not source.startswith(("*", "|")) and path[-1] != "hall" and "\n" not in source:
            node = document.data
            for step in path:
                node = node[step]
            assert read(source.encode(), "f").data == node


def test_line_starts() -> None:
    assert line_starts("") == [0]
    assert line_starts("a\r\nb\rc\nd\x85e\u2028f\u2029g\vh\fi") == [0, 3, 5, 7]
    assert line_starts("\n\r") == [0, 1, 2]
