import json
from collections.abc import Callable
from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from planlint.records import PlanRecord

steady = settings(derandomize=True, deadline=None, max_examples=40)
MIRRORED = {"left": "right", "right": "left"}
LENGTHS = {"north": 4000, "east": 3000, "south": 4000, "west": 3000}

Spot = tuple[str, int, int]
"""A wall of the room, and millimetres along it and up."""
spots = st.tuples(
    st.sampled_from(["north", "east"]),
    st.sampled_from([150, 200, 500, 1000, 1400, 2100, 2500, 2800]),
    st.sampled_from([100, 300, 450, 451, 1100, 2200, 2400]),
)


def test_case(case: dict[str, Any], hold: Callable[[dict[str, Any]], None]) -> None:
    hold(case)


def room(points: dict[str, tuple[str, Spot]], path: list[Spot], limits: str, *, mirrored: bool) -> str:
    """A room of 4 m by 3 m with a door and a window, and a cable from its first point to its second."""

    def at(wall: str, along: int, width: int = 0) -> str:
        return f"{LENGTHS[wall] - along - width if mirrored else along} mm"

    hinges = MIRRORED["left"] if mirrored else "left"
    door = {"kind": "door", "at": at("north", 1000, 900), "width": "900 mm", "height": "2.05 m", "hinges": hinges}
    window = {"kind": "window", "at": at("east", 1800, 600), "width": "600 mm", "sill": "0.9 m", "height": "1.2 m"}
    openings = {"north": {"door": door}, "east": {"window": window}}
    walls = [
        {
            "wall": wall,
            "length": f"{length} mm",
            "then": "right",
            "openings": openings.get(wall, {}),
            "points": {
                name: {"kind": kind, "at": at(wall, along), "height": f"{up} mm"}
                for name, (kind, (on, along, up)) in points.items()
                if on == wall
            },
        }
        for wall, length in LENGTHS.items()
    ]
    # In a mirror the walk goes the other way round.
    hall = {
        "height": "2.50 m",
        "use": "study",
        "outline": "closed",
        "ceiling": {"lining": "none"},
        "walls": walls[::-1] if mirrored else walls,
    }
    drawn = [{"wall": f"hall.{wall}", "at": at(wall, along), "height": f"{up} mm"} for wall, along, up in path]
    start, end = list(points)[:2]
    circuits = {"sockets": {"runs": [{"from": start, "to": end, "path": drawn}]}}
    plan = {"plan": 1, "title": "a room", "limits": limits, "circuits": circuits, "rooms": {"hall": hall}}
    return json.dumps(plan)


def found(record: PlanRecord) -> list[tuple[str, str, str, str | None]]:
    """What does not change in a mirror: where, how, and how far it is from what is allowed."""
    return [(finding.rule, finding.place, finding.outcome, finding.allowed) for finding in record.findings]


@steady
@given(spots, spots, st.lists(spots, min_size=1, max_size=3), st.sampled_from(["de", "gb", "general"]))
def test_a_mirrored_way_gives_mirrored_findings(
    inspect: Callable[..., PlanRecord], start: Spot, end: Spot, path: list[Spot], limits: str
) -> None:
    points = {"S1": ("socket", start), "S2": ("socket", end)}
    plain, other = (inspect(room(points, path, limits, mirrored=mirrored), "run-in-zone") for mirrored in (False, True))
    assert found(plain) == found(other)
    assert plain.tally == other.tally
    assert limits != "general" or not plain.findings


@steady
@given(st.lists(spots, min_size=2, max_size=6))
def test_mirrored_sockets_are_as_far_apart(inspect: Callable[..., PlanRecord], stands: list[Spot]) -> None:
    points = {f"S{number}": ("socket", stand) for number, stand in enumerate(stands)}
    plain, other = (
        inspect(room(points, stands[:1], "us", mirrored=mirrored), "sockets-along-walls") for mirrored in (False, True)
    )
    said = [[(one.place, one.outcome, one.measured) for one in record.findings] for record in (plain, other)]
    assert said[0] == said[1]


@steady
@given(spots, spots, st.lists(spots, min_size=1, max_size=3))
def test_a_spot_more_on_a_straight_stretch_changes_nothing(
    inspect: Callable[..., PlanRecord], start: Spot, end: Spot, path: list[Spot]
) -> None:
    points = {"S1": ("socket", start), "S2": ("socket", end)}
    doubled = [spot for spot in path for _ in range(2)]
    plain, other = (inspect(room(points, way, "de", mirrored=False), "run-in-zone") for way in (path, doubled))
    assert found(plain) == found(other)
