import pytest

from planlint import source
from planlint.errors import PlanFaults
from planlint.model.build import build
from planlint.schema import check

HEAD = "plan: 1\ntitle: names\n"


def faults(text: str) -> list[tuple[int, str, str]]:
    document = source.read((HEAD + text).encode(), "names.plan.yaml")
    found = check(document)
    try:
        if not found:
            build(document)
    except PlanFaults as error:
        found = list(error.faults)
    return [(fault.line, fault.message, fault.hint) for fault in found]


@pytest.mark.parametrize(
    "name",
    ["supply", "circuits", "boards", "boxes", "bases", "linings", "work", "access", "building", "plan"],
)
def test_what_places_begin_with_cannot_be_a_room(name: str) -> None:
    assert [fault[0] for fault in faults(f"rooms:\n  {name}: {{}}\n")] == [4]


TAKEN_INSIDE = ["ceiling", "floor", "corner", "piece-1", "piece-12"]


@pytest.mark.parametrize("name", TAKEN_INSIDE)
@pytest.mark.parametrize(
    "key", ["openings: {%s: {kind: niche}}", "points: {%s: {kind: light}}", "pipes: {%s: {kind: water}}"]
)
def test_what_a_wall_holds_by_itself(name: str, key: str) -> None:
    (fault,) = faults(f"rooms:\n  bin:\n    walls:\n    - wall: west\n      {key.replace('%s', name)}\n")
    assert fault[0] == 7
    assert name in fault[1]


@pytest.mark.parametrize("name", TAKEN_INSIDE)
@pytest.mark.parametrize(
    "key", ["walls: [{wall: %s}]", "fixtures: {%s: {kind: basin}}", "ceiling: {points: {%s: {kind: light}}}"]
)
def test_what_a_room_holds_by_itself(name: str, key: str) -> None:
    (fault,) = faults(f"rooms:\n  bin:\n    {key.replace('%s', name)}\n")
    assert fault[0] == 5
    assert name in fault[1]


@pytest.mark.parametrize("name", TAKEN_INSIDE)
def test_a_piece_cannot_be_called_like_another_thing_of_the_wall(name: str) -> None:
    piece = f"{{board: b, name: {name}}}"
    text = f"boards: {{b: {{}}}}\nrooms:\n  bin:\n    walls:\n    - wall: west\n      pieces: [{piece}]\n"
    message = f"{name} cannot be the name of a piece: it is taken by the format"
    assert faults(text) == [(8, message, f"choose another, such as my-{name}")]


def test_a_point_cannot_be_called_like_the_distribution_board() -> None:
    (fault,) = faults("rooms:\n  bin:\n    walls: [{wall: west, points: {supply: {kind: socket}}}]\n")
    assert (fault[0], "supply" in fault[1]) == (5, True)


@pytest.mark.parametrize("name", ["piece", "piece-a", "pieces-1", "piece-1a", "corner-1", "Supply", "ceilings"])
def test_names_that_are_only_alike_are_free(name: str) -> None:
    text = "rooms: {bin: {walls: [{wall: %s, points: {%s-x: {kind: socket}}}]}}\n"
    assert faults(text.replace("%s", name)) == []


def test_a_lining_cannot_be_called_none() -> None:
    assert faults('linings:\n  "none": {}\nrooms: {}\n')[0][:2] == (
        4,
        "none cannot be the name of a lining: it is taken by the format",
    )


@pytest.mark.parametrize(
    ("text", "line", "name", "first"),
    [
        ("rooms:\n  bin:\n    walls:\n    - wall: west\n    - wall: west\n", 7, "west", 6),
        ("rooms:\n  bin:\n    walls:\n    - wall: west\n    fixtures:\n      west: {kind: basin}\n", 8, "west", 6),
        ("work:\n- {task: fill, kind: filling}\n- {task: fill, kind: filling}\nrooms: {}\n", 5, "fill", 4),
        ("work:\n  usual: []\n  tasks:\n  - {task: fill}\n  - {task: fill}\nrooms: {}\n", 7, "fill", 6),
        (
            (
                "rooms:\n  bin:\n    walls: [{wall: west, points: {A: {kind: socket}}}]\n"
                "  loft:\n    walls: [{wall: west, points: {A: {kind: switch}}}]\n"
            ),
            7,
            "A",
            5,
        ),
        (
            (
                "rooms:\n  bin:\n    walls:\n    - wall: west\n      openings:\n        A: {kind: niche}\n"
                "      pipes:\n        A: {kind: water}\n"
            ),
            10,
            "A",
            8,
        ),
        (
            (
                "boards: {b: {}}\nrooms:\n  bin:\n    walls:\n    - wall: west\n      pieces:\n"
                "      - {board: b, name: A}\n      - {board: b, name: A}\n"
            ),
            10,
            "A",
            9,
        ),
        (
            (
                "rooms:\n  bin:\n    ceiling:\n      points:\n        A: {kind: light}\n"
                "    walls:\n    - wall: west\n      points:\n        A: {kind: switch}\n"
            ),
            7,
            "A",
            11,
        ),
    ],
    ids=["walls", "wall and fixture", "tasks", "usual tasks", "points of two rooms", "on a wall", "pieces", "ceiling"],
)
def test_a_name_given_twice(text: str, line: int, name: str, first: int) -> None:
    message = f"{name} is here twice; the first is on line {first}"
    assert faults(text) == [(line, message, "give one of them another name")]


def test_the_same_name_in_different_rooms_is_no_double() -> None:
    room = "{walls: [{wall: west, openings: {door: {kind: door}}}]}"
    assert faults(f"rooms: {{bin: {room}, loft: {room}}}\n") == []


def test_two_spellings_of_one_letter_are_one_name() -> None:
    # An e with an acute accent as one character, and as an e with a combining mark (Unicode Annex 15, NFC).
    one, two = "caf\N{LATIN SMALL LETTER E WITH ACUTE}", "cafe\N{COMBINING ACUTE ACCENT}"
    assert one != two
    text = f"rooms:\n  bin:\n    walls:\n    - wall: {one}\n    - wall: {two}\n"
    assert faults(text) == [(7, f"{one} is here twice; the first is on line 6", "give one of them another name")]
