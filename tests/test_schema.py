"""Plain data → faults in words. The mistakes are ours; what each should be told is common sense, not our output."""

import json
import re
import time
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from jsonschema import Draft202012Validator

from planlint import schema, source
from planlint.errors import Fault, UsageError

EVERY_KEY = Path(__file__).with_name("data") / "every-key.yaml"
ANNOTATIONS = {"description", "title", "examples"}

PLAN = """\
plan: 1
title: Bakehouse, upper room
access: {people: 2}
building: {built: 1900}
boxes:
  deep: {hole: 68 mm, clamps: [7 mm, 40 mm]}
boards:
  narrow: {kind: gypsum, width: 600 mm, stock: 4}
linings:
  plain:
    layers: [{board: narrow}]
circuits:
  sockets:
    breaker: {rating: 16 A}
    chain: [supply, S1]
rooms:
  loft:
    use: bedroom
    walls:
      - wall: west
        length: 3.60 m
        points:
          S1: {kind: socket, at: 0.35 m}
        readings:
          - {scale: wood, value: 15 %}
work:
  - {task: fill, kind: filling}
"""


def faults(text: str) -> list[Fault]:
    return schema.check(source.read(text.encode(), "a.plan.yaml"))


def things(node: Any) -> list[dict[str, Any]]:  # noqa: ANN401 - any part of a schema
    """Every part of the schema that has keys."""
    inner = node.values() if isinstance(node, dict) else node if isinstance(node, list) else []
    found = [thing for part in inner for thing in things(part)]
    return [node, *found] if isinstance(node, dict) and isinstance(node.get("properties"), dict) else found


def keyed_things() -> list[dict[str, Any]]:
    # Parts that only ask more of a thing whose keys are given elsewhere have no additionalProperties.
    return [thing for thing in things(schema.load_schema("plan-1")) if "additionalProperties" in thing]


# ---- The schema itself ----


def test_the_schema_is_valid_2020_12() -> None:
    plan = schema.load_schema("plan-1")
    assert plan["$schema"] == "https://json-schema.org/draft/2020-12/schema"
    Draft202012Validator.check_schema(plan)


def test_the_schema_is_loaded_once_and_an_unknown_one_names_those_there_are() -> None:
    assert schema.load_schema("plan-1") is schema.load_schema("plan-1")
    with pytest.raises(UsageError, match=r"no schema plan-9; there are .*plan-1"):
        schema.load_schema("plan-9")


def test_every_thing_has_a_title_and_refuses_unknown_keys() -> None:
    for thing in keyed_things():
        assert thing["title"], thing
        assert thing["additionalProperties"] is False, thing["title"]


def test_every_key_is_described_in_whole_sentences() -> None:
    plan = schema.load_schema("plan-1")
    for thing in keyed_things():
        for key, part in thing["properties"].items():
            described = part if "description" in part else plan["$defs"][part["$ref"].removeprefix("#/$defs/")]
            assert re.match(r"[A-Z].*\.$", described["description"]), f"{thing['title']}: {key}"


def test_every_word_is_named_in_its_description() -> None:
    for thing in keyed_things():
        for key, part in thing["properties"].items():
            for word in part.get("enum", []):
                assert word in part["description"], f"{thing['title']}: {key}: {word}"


def test_references_stay_in_the_file_and_what_stands_beside_one_never_weakens_it() -> None:
    plan = schema.load_schema("plan-1")

    def walk(node: Any) -> None:  # noqa: ANN401 - any part of a schema
        if isinstance(node, dict) and "$ref" in node:
            target = plan["$defs"][node["$ref"].removeprefix("#/$defs/")]
            for key in node.keys() & target.keys() - ANNOTATIONS:
                assert key == "required"
                assert set(node[key]) >= set(target[key])
        for inner in node.values() if isinstance(node, dict) else node if isinstance(node, list) else []:
            walk(inner)

    walk(plan)


def test_every_example_fits_where_it_stands() -> None:
    def walk(node: Any) -> None:  # noqa: ANN401 - any part of a schema
        if isinstance(node, dict) and isinstance(node.get("examples"), list):
            judge = schema._validator("plan-1").evolve(schema=node)  # noqa: SLF001 - our forms of texts are there
            for example in node["examples"]:
                assert judge.is_valid(example), (node, example)
        for inner in node.values() if isinstance(node, dict) else node if isinstance(node, list) else []:
            walk(inner)

    walk(schema.load_schema("plan-1"))


# ---- What a plan may hold ----


def test_every_key_is_accepted() -> None:
    assert faults(EVERY_KEY.read_text(encoding="utf-8")) == []


def test_the_plan_of_every_key_has_every_key() -> None:
    plan = schema.load_schema("plan-1")
    seen: set[tuple[str, str]] = set()

    def walk(part: Any, value: Any) -> None:  # noqa: ANN401 - a part of a schema and what it judges
        if not isinstance(part, dict):
            return
        if "$ref" in part:
            walk(plan["$defs"][part["$ref"].removeprefix("#/$defs/")], value)
        for keyword in ("then", "else"):
            walk(part.get(keyword), value)
        if isinstance(value, dict):
            for key, inner in value.items():
                if key in part.get("properties", {}):
                    seen.add((part.get("title", ""), key))
                    walk(part["properties"][key], inner)
                else:
                    walk(part.get("additionalProperties"), inner)
        for inner in value if isinstance(value, list) else []:
            walk(part.get("items"), inner)

    walk(plan, source.read(EVERY_KEY.read_bytes(), "every-key.yaml").data)
    assert {(thing["title"], key) for thing in keyed_things() for key in thing["properties"]} - seen == set()


@pytest.mark.parametrize(
    ("old", "new"),
    [
        pytest.param("  loft:", "  grenier_où-dormir2:", id="a name in French"),
        pytest.param("  loft:", "  व्यक्ति:", id="a name with vowel signs"),
        pytest.param("  loft:", "  e\u0301te\u0301:", id="a name with accents typed apart"),
        pytest.param("length: 3.60 m", "length: 11' 9 3/4\"", id="feet and inches"),
        pytest.param("3.60 m", "3.60 m\n        lining: none", id="left as it is"),
        pytest.param("{scale: wood, value: 15 %}", "{scale: relative, value: 62}", id="digits of a meter"),
        pytest.param("{scale: wood, value: 15 %}", "{value: 62}", id="scale not recorded yet"),
        pytest.param("access: {people: 2}", "limits: gb", id="one limit set"),
        pytest.param("work:", "reviews: []\nwork:", id="an empty list"),
        pytest.param("  - {task: fill, kind: filling}", "  usual: [loft]", id="the usual work"),
        pytest.param("chain: [supply, S1]", "runs: [{to: S1}]", id="runs"),
        pytest.param("breaker: {rating: 16 A}", "rcd: none", id="no RCD"),
    ],
)
def test_accepted(old: str, new: str) -> None:
    assert old in PLAN
    assert faults(PLAN.replace(old, new)) == []


def test_the_least_plan() -> None:
    assert faults("plan: 1\ntitle: Shed\nrooms: {}\n") == []


# ---- What it is told ----

MISTAKES = {
    # what: (old, new, what the message says, what the hint says, line)
    "misspelt key": ("length: 3.60", "lenght: 3.60", '"lenght" is not a key of a wall', 'did you mean "length"?', 21),
    "misspelt key at the top": ("boxes:", "boxs:", '"boxs" is not a key of the plan', 'did you mean "boxes"?', 5),
    "misspelt needed key": ("{kind: socket", "{kid: socket", '"kid" is not a key of a point', '"kind"', 23),
    "hyphen for underscore": (
        "people: 2",
        "hole-saws: 2",
        '"hole-saws" is not a key of the access',
        '"hole_saws" is a key of the tools',
        3,
    ),
    "capitals and a space": ("use: bed", "Reached By: bed", '"Reached By" is not a key of a room', "reached_by", 18),
    "key of another thing": ("use: bed", "breaker: bed", "not a key of a room", '"breaker" is a key of a circuit', 18),
    "key of nothing": ("people: 2", "zzz: 2", "not a key of the access", "takes people and passages", 3),
    "key of a thing with many": ("use: bedroom", "zzz: 1", "not a key of a room", "height, use, reached_by", 18),
    "missing name of a wall": ("- wall: west", "- then: left", 'a wall needs "wall"', "such as wall: west", 20),
    "missing kind": ("{kind: socket, at", "{at", 'a point needs "kind"', "such as kind: socket", 23),
    "missing title": ("title: Bakehouse, upper room\n", "", 'the plan needs "title"', "such as title: ", 1),
    "no rooms": ("rooms:", "zzz:", 'the plan needs "rooms"', "such as rooms: {study:", 1),
    "layer of nothing": ("{board: narrow}", "{sd: 2 m}", 'a layer needs "material"', "or its board", 11),
    "layer of two things": (
        "{board: narrow}",
        "{board: narrow, material: air}",
        '"board" and "material" are both given',
        "a layer is a board, or another material",
        11,
    ),
    "no unit": ("length: 3.60 m", "length: 3.6", '"length": 3.6 has no unit', "3.6 m", 21),
    "no unit, a whole number": ("hole: 68 mm", "hole: 68", '"hole": 68 has no unit', "68 mm", 6),
    "no unit, a current": ("breaker: {rating: 16 A}", "rcd: 30", '"rcd": 30 has no unit', "30 mA", 14),
    "no unit, in a list": ("[7 mm, 40 mm]", "[7 mm, 40]", 'entry 2 of "clamps": 40 has no unit', "40 mm", 6),
    "no unit, a percentage": ("value: 15 %", "value: 15", '"value": 15 has no unit', "15 %", 25),
    "decimal comma": ("length: 3.60 m", 'length: "3,60 m"', '"length": 3,60 m', "3.60 m", 21),
    "wrong dimension": ("rating: 16 A", "rating: 16 mm", "16 mm is a length", "a current, such as 16 A", 14),
    "unit that is none": ("length: 3.60 m", "length: 3.60 furlong", '"length": ', "m", 21),
    "zero": ("length: 3.60 m", "length: 0 m", "0 m is not above zero", "3.60 m", 21),
    "negative": ("length: 3.60 m", "length: -3.60 m", '"length": -3.60 m', "3.60 m", 21),
    "text for a count": ("stock: 4", "stock: many", '"stock": many', "a whole number, such as", 8),
    "half a count": ("stock: 4", "stock: 4.5", '"stock": 4.5', "a whole number", 8),
    "count with a unit": ("stock: 4", "stock: 4 m", '"stock": 4 m', "a whole number", 8),
    "count below the least": ("people: 2", "people: 0", '"people": 0 is too small', "1 or more", 3),
    "year far off": ("built: 1900", "built: 19000", '"built": 19000 is too large', "2200 or less", 4),
    "word close to one": ("kind: socket", "kind: sokcet", '"kind": sokcet', "did you mean socket?", 23),
    "word in capitals": ("kind: gypsum", "kind: Gypsum", '"kind": Gypsum', "did you mean gypsum?", 8),
    "word unlike any": ("kind: gypsum", "kind: zzz", '"kind": zzz', "it takes gypsum, gypsum-fibre", 8),
    "number for a word": ("kind: gypsum", "kind: 5", '"kind": 5', "gypsum", 8),
    "nothing written": ("length: 3.60 m", "length:", '"length" has no value', "such as length: 3.60 m", 21),
    "nothing in a list": ("[supply, S1]", "[supply, null]", 'entry 2 of "chain"', "such as S1", 15),
    "list of one too few": ("[7 mm, 40 mm]", "[7 mm]", "1 of the 2 entries", "[7 mm, 40 mm]", 6),
    "list of one too many": ("7 mm, 40 mm", "1 mm, 7 mm, 9 mm", "more than 2", "[7 mm, 40 mm]", 6),
    "word for a list": ("[supply, S1]", "supply", '"chain": supply', "a list, such as [supply, S1", 15),
    "word for keys": ("breaker: {rating: 16 A}", "breaker: B16", '"breaker": B16', "{rating: 16 A", 14),
    "keys for a quantity": ("at: 0.35 m", "at: {left: 1 m}", '"at": a group of keys', "a number with its unit", 23),
    "keys for a list": ("[{board: narrow}]", "{board: narrow}", '"layers": a group of keys', "a list", 11),
    "list for a name": ("{board: narrow}", "{board: [narrow]}", '"board": a list', "such as narrow", 11),
    "number for a text": ("use: bedroom", "use: 12", '"use": 12', '12 in quotes: "12"', 18),
    "empty text": ("Bakehouse, upper room", '""', '"title": nothing stands here', "a text, such as", 2),
    "text for true": ("at: 0.35 m", 'backing: "aye"', '"backing": aye', "true or false", 23),
    "not a name": ("  loft:", "  2nd:", "2nd is not a name", "begins with a letter", 17),
    "name with a space": ("wall: west", "wall: west side", "west side is not a name", "such as west-side", 20),
    "name with a dot": ("  deep:", "  deep.er:", "deep.er is not a name", "such as deep-er", 6),
    "taken room name": ("  loft:", "  supply:", "supply is a name with a meaning", "choose another", 17),
    "taken wall name": ("wall: west", "wall: ceiling", "ceiling is a name with a meaning", "my-ceiling", 20),
    "a wall called as the top level": (
        "wall: west",
        "wall: boards",
        "boards is a name with a meaning",
        "my-boards",
        20,
    ),
    "more wires than any conduit holds": (
        "chain: [supply, S1]",
        "runs: [{from: supply, to: S1, wires: 1000}]",
        "1000 is too large",
        "write 100 or less",
        15,
    ),
    "taken point name": ("S1: {kind", "piece-3: {kind", "piece-3 is a name with a meaning", "choose another", 23),
    "date in another order": ("kind: filling", "kind: filling, done: 2.10.2026", "not a date", "2026-10-02", 27),
    "no such day": ("kind: filling", "kind: filling, done: 2026-02-30", "2026-02-30 is not a day", "2026-", 27),
    "no name of a base": ("length: 3.60 m", "base: old wall", "old wall is not a name", "such as old-wall", 21),
    "word for a current": ("breaker: {rating: 16 A}", "rcd: nope", '"rcd": nope', "30 mA, or none", 14),
    "country in words": ("built: 1900", "country: Belgium", "Belgium", "two capital letters", 4),
    "protection in words": ("at: 0.35 m", "ip: splash", "splash is not a degree", "IPX4", 23),
    "not a place": ("kind: filling", "kind: filling, walls: [loft west]", "not a place", "study.west", 27),
    "task without kind": (", kind: filling", "", 'a task needs "kind"', "such as kind: ", 27),
    "chain and runs": ("chain: [", "runs: []\n    chain: [", '"runs" and "chain" are both given', "point to point", 16),
    "value and column": ("value: 15 %", "value: 15 %, column: {0.1 m: 14 %}", "both given", "or a column", 25),
    "height without unit": ("value: 15 %", "column: {low: 14 %}", '"low"', "m", 25),
    "corner": ("length: 3.60 m", "corner: bed", '"corner": bed', "did you mean bead?", 21),
    "corner, unlike any": ("length: 3.60 m", "corner: zzz", '"corner": zzz', "a word such as sealant, or keys", 21),
    "turn without angle": ("length: 3.60 m", "then: {turn: left}", 'a turn needs "by"', "by: 45 deg", 21),
    "only the top": ("length: 3.60 m", "length: {top: 3.6 m}", 'needs "bottom"', "bottom: 3.60 m", 21),
    "list of lengths": ("length: 3.60 m", "length: [3 m]", '"length": a list', "{top: 3.60 m, bottom: 3.60 m}", 21),
    "limit without reason": ("access:", "limits: [{lift: {value: 9 kg}}]\naccess:", 'needs "reason"', "reason: ", 3),
    "concession too short": (
        "work:",
        "concessions: [{rule: x-y}]\nwork:",
        'a concession needs "until"',
        "2026-12-31",
        26,
    ),
}


@pytest.mark.parametrize(("old", "new", "message", "hint", "line"), MISTAKES.values(), ids=MISTAKES.keys())
def test_a_mistake_is_told_in_words(old: str, new: str, message: str, hint: str, line: int) -> None:
    assert PLAN.count(old) == 1
    told = faults(PLAN.replace(old, new))
    assert any(message in fault.message and hint in fault.hint and fault.line == line for fault in told), told
    assert all(fault.hint for fault in told)
    words = " ".join(f"{fault.message} {fault.hint}" for fault in told)
    assert not re.search(r"invalid|malformed|schema|regex|null|dict\b|None|\{'|planlint-", words)


SEVERAL_FAULTS = {"no rooms", "concession too short"}


@pytest.mark.parametrize("what", sorted(MISTAKES.keys() - SEVERAL_FAULTS))
def test_one_mistake_gives_one_fault(what: str) -> None:
    old, new, *_ = MISTAKES[what]
    assert len(faults(PLAN.replace(old, new))) == 1


def test_a_fault_stands_at_the_key_or_at_the_value() -> None:
    def column(old: str, new: str) -> tuple[int, int]:
        (fault,) = faults(PLAN.replace(old, new))
        return fault.line, fault.column

    assert column("people: 2", "zzz: 2") == (3, 10)
    assert column("people: 2", "people: two") == (3, 18)
    assert column("S1: {kind: socket, at", "S1: {at") == (23, 11)
    assert column("- wall: west\n        length", "- length") == (20, 9)


def test_all_faults_at_once_by_line() -> None:
    text = PLAN.replace("people: 2", "people: two").replace("3.60 m", "3.60").replace("filling", "filing")
    assert [fault.line for fault in faults(text)] == [3, 21, 27]


def test_a_mistake_in_what_is_written_once_and_used_twice_is_told_once() -> None:
    twice = "- &low {scale: wod, value: 15 %}\n          - *low"
    (fault,) = faults(PLAN.replace("- {scale: wood, value: 15 %}", twice))
    assert "did you mean wood?" in fault.hint
    assert fault.line == 25


def test_no_more_than_a_hundred_are_told() -> None:
    text = "plan: 1\ntitle: Barracks\nrooms:\n" + "".join(f"  r{number}: {{width: 1}}\n" for number in range(150))
    told = faults(text)
    assert len(told) == schema.MOST_TOLD + 1
    assert told[-1].message == "50 more mistakes from here on"
    assert told == sorted(told)


@pytest.mark.parametrize(
    ("text", "message", "hint"),
    [
        ("{}", '"plan" is missing', "write plan: 1"),
        ("null", "written as keys with their values", "plan: 1"),
        ("- plan: 1\n", "written as keys with their values", "plan: 1"),
        ("plan\n", "written as keys with their values", "plan: 1"),
        ("title: A\nroms: 3\n", '"plan" is missing', "write plan: 1"),
        ("plan: 2\nroms: 3\n", '"plan": 2 is not a version known here', "write plan: 1"),
        ('plan: "1"\nroms: 3\n', '"plan": 1 is not a version known here', "take the quotes away: plan: 1"),
        ("plan: true\nroms: 3\n", '"plan": true is not a version known here', "write plan: 1"),
        ("plan: 1.0\nroms: 3\n", '"plan": 1.0 is not a version known here', "write plan: 1"),
        ("plan: [1]\nroms: 3\n", '"plan": a list is not a version known here', "write plan: 1"),
    ],
)
def test_what_is_no_plan_at_all_gives_one_fault(text: str, message: str, hint: str) -> None:
    (fault,) = faults(text)
    assert message in fault.message
    assert hint in fault.hint
    assert fault.line == 1


# ---- Any data at all ----

KEYS = sorted({key for thing in keyed_things() for key in thing["properties"]})
WORDS = sorted(
    {word for thing in keyed_things() for part in thing["properties"].values() for word in part.get("enum", [])}
)
TEXT = st.text(st.characters(categories=("L", "M", "N", "P", "S", "Zs")), max_size=8)  # what `source` lets through
SCALARS = (
    st.none()
    | st.booleans()
    | st.integers(-(10**9), 10**9)
    | st.floats(-1e4, 1e4).map(lambda number: round(number, 3))
    | TEXT
    | st.sampled_from([*WORDS, "2.60 m", "0 mm", "19 %", "16 A", "2026-10-02", "none", "study.west"])
)
DATA = st.recursive(
    SCALARS,
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(st.sampled_from(KEYS) | TEXT, inner, max_size=5),
    max_leaves=30,
)


@given(st.dictionaries(st.sampled_from(KEYS), DATA, max_size=8))
@settings(deadline=None)
def test_any_data_gives_faults_and_never_raises(data: dict[str, Any]) -> None:
    text = json.dumps({"plan": 1, **{key: value for key, value in data.items() if key != "plan"}}, ensure_ascii=False)
    told = faults(text)
    assert told == sorted(told)
    assert all(fault.message and fault.hint and fault.line > 0 for fault in told)


@given(st.data())
@settings(deadline=None)
def test_a_plan_with_any_one_value_put_in_another_place_never_raises(data: st.DataObject) -> None:
    plan = source.read(EVERY_KEY.read_bytes(), "every-key.yaml").data
    plan = json.loads(json.dumps(plan))
    node: Any = plan
    while True:
        step = data.draw(st.sampled_from(sorted(node) if isinstance(node, dict) else range(len(node))))
        if not isinstance(node[step], dict | list) or not node[step] or data.draw(st.booleans()):
            break
        node = node[step]
    node[step] = data.draw(DATA)
    assert all(fault.hint for fault in faults(json.dumps(plan, ensure_ascii=False)))


def test_long_keys_and_values_and_many_of_them_end_soon() -> None:
    long = "x" * 1_000_000
    many = ", ".join(f"k{number}: [1]" for number in range(20_000))
    text = f"plan: 1\ntitle: Mill\n{long[:1000]}: 3\nbuilding: {{country: {long}}}\nrooms: {{{many}}}\n"
    began = time.perf_counter()
    told = faults(text)
    assert time.perf_counter() - began < 20  # seconds; about one on a slow machine
    assert all(len(fault.message) < 200 and len(fault.hint) < 400 for fault in told)
