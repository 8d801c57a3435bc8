import json
from collections.abc import Callable
from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from planlint.records import PlanRecord

steady = settings(derandomize=True, deadline=None, max_examples=40)
RULE = "point-clear-of-bath"


def test_case(case: dict[str, Any], hold: Callable[[dict[str, Any]], None]) -> None:
    hold(case)


LENGTHS = (2600, 3200, 2600, 3200)
"""West, north, east and south of a room walked clockwise, in millimetres."""


def room(wet: dict[str, Any], wall: int, at: int, height: int, *, mirror: bool) -> str:
    """A bathroom with one bath or shower and one socket, or the same seen in a mirror.

    In a mirror west and east change places, and every distance is measured from the other end of its wall.
    """
    walls: list[dict[str, Any]] = [
        {"wall": name, "length": f"{length} mm", "then": "right", "lining": "none"}
        for name, length in zip(("west", "north", "east", "south"), LENGTHS, strict=True)
    ]
    place = {0: 2, 2: 0}
    own, its = (place.get(wall, wall), place.get(wet["wall"], wet["wall"])) if mirror else (wall, wet["wall"])
    start = LENGTHS[wet["wall"]] - wet["at"] - wet["width"] if mirror else wet["at"]
    walls[own]["points"] = {
        "S1": {
            "kind": "socket",
            "at": f"{LENGTHS[wall] - at if mirror else at} mm",
            "height": f"{height} mm",
        }
    }
    fixture = {key: f"{value} mm" for key, value in wet.items() if key in ("width", "depth", "outlet_height")}
    fixture |= {"kind": wet["kind"], "wall": str(walls[its]["wall"]), "at": f"{start} mm"}
    body = {
        "use": "bathroom",
        "outline": "closed",
        "fixtures": {"wet": fixture | ({"tray": wet["tray"]} if "tray" in wet else {})},
        "walls": walls,
    }
    return json.dumps({"plan": 1, "title": "a bathroom", "rooms": {"bath": body}})


tubs = st.fixed_dictionaries(
    {
        "kind": st.just("bath"),
        "wall": st.integers(0, 3),
        "at": st.integers(0, 900),
        "width": st.just(1700),
        "depth": st.just(750),
        "outlet_height": st.just(2100),
    }
)
showers = st.fixed_dictionaries(
    {
        "kind": st.just("shower"),
        "wall": st.integers(0, 3),
        "at": st.integers(0, 1600),
        "width": st.just(1000),
        "depth": st.just(900),
        "tray": st.booleans(),
        "outlet_height": st.just(2100),
    }
)


@steady
@given(tubs | showers, st.integers(0, 3), st.integers(0, 2600), st.integers(50, 2500))
def test_a_mirrored_bathroom_gives_mirrored_findings(
    inspect: Callable[..., PlanRecord], wet: dict[str, Any], wall: int, at: int, height: int
) -> None:
    records = [inspect(room(wet, wall, at, height, mirror=mirror), RULE) for mirror in (False, True)]
    plain, mirrored = ([(one.message, one.level) for one in record.findings] for record in records)
    assert plain == mirrored


@steady
@given(tubs, st.integers(0, 3), st.integers(0, 2600))
def test_no_socket_passes_that_is_nearer_to_a_bath_than_zone_2_is_wide(
    inspect: Callable[..., PlanRecord], tub: dict[str, Any], wall: int, at: int
) -> None:
    """Worked out in another way: the room's corners as complex numbers, the bath sampled every 10 mm on its outside."""
    corners, headings = [0j, 2600j, 3200 + 2600j, 3200 + 0j], [1j, 1, -1j, -1]
    spot = corners[wall] + at * headings[wall]
    start, ahead = corners[tub["wall"]] + tub["at"] * headings[tub["wall"]], headings[tub["wall"]]
    sides = [start + ahead * (along - 1j * out) for along in range(0, 1701, 10) for out in (0, 750)]
    sides += [start + ahead * (along - 1j * out) for along in (0, 1700) for out in range(0, 751, 10)]
    nearest = min(abs(spot - side) for side in sides)
    if nearest < 600:
        assert inspect(room(tub, wall, at, 1100, mirror=False), RULE).findings
    elif nearest > 660:
        assert not inspect(room(tub, wall, at, 1100, mirror=False), RULE).findings
