"""Installation zones and the spacing of sockets, against worked examples by the published rules."""

import json
import math
from datetime import date

import pytest

from planlint import limits, source
from planlint.formulas.zones import farthest_spots, fewest_sockets, wall_spaces
from planlint.model.build import build
from planlint.model.rooms import Room, Wall
from planlint.rule import Given
from planlint.sums.wall_sockets import far_spots
from planlint.sums.zones import zones_of


def judged_by(name: str) -> Given:
    in_force = limits.resolve(name)
    return Given(in_force, date(2026, 10, 3), tuple(in_force.by_name))


def room(walls: list[dict[str, object]], **more: object) -> Room:
    written = {"outline": "closed", "ceiling": {"lining": "none"}, "walls": walls, **more}
    plan = {"plan": 1, "title": "one room", "rooms": {"hall": written}}
    return build(source.read(json.dumps(plan).encode(), "hall.plan.yaml")).rooms[0]


def long_wall(**more: object) -> Wall:
    """A wall of 4.00 m by 2.50 m with a door from 1.00 m to 1.90 m, its latch on the right, and a window."""
    openings = {
        "door": {"kind": "door", "at": "1.00 m", "width": "0.90 m", "height": "2.05 m", "hinges": "left"},
        "window": {"kind": "window", "at": "2.60 m", "width": "1.00 m", "sill": "0.90 m", "height": "1.30 m"},
    }
    long, short = ({"length": length, "then": "right"} for length in ("4.00 m", "3.00 m"))
    walls = [
        {"wall": "north", **long, "openings": openings},
        *({"wall": name, **measured} for name, measured in (("east", short), ("south", long), ("west", short))),
    ]
    return room(walls, **{"height": "2.50 m", "use": "study"} | more).walls[0]


# DIN 18015-3:2016 as three trade pages have it: 150 to 450 mm above the finished floor and below the finished ceiling,
# 100 to 300 mm beside the raw edges of a door (latch side), of a window and of a corner. Worked out by hand.
LEVEL = [(150, 450), (2050, 2350)]
UPRIGHT = [(100, 300), (2000, 2200), (2300, 2500), (3700, 3900)]
INSIDE = [(2100, 300), (2100, 1050), (3800, 1200), (3000, 2200)]
OUTSIDE = [(2250, 1200), (900, 1100), (500, 120)]


def test_the_zones_of_a_wall_by_din_18015_3() -> None:
    placed = zones_of(long_wall(), judged_by("de")).placed
    assert not any(one.keys for one in placed)
    level = sorted((one.zone.bottom[0], one.zone.top[0]) for one in placed if one.zone.is_level)
    upright = sorted({(one.zone.left, one.zone.right) for one in placed if not one.zone.is_level})
    assert [(pytest.approx(1000 * low), pytest.approx(1000 * high)) for low, high in level] == LEVEL
    # From one side of the window to the next wall's corner both zones are the same: 3.70 m to 3.90 m.
    edges = [(round(1000 * left), round(1000 * right)) for left, right in upright]
    assert list(dict.fromkeys(edges)) == UPRIGHT


@pytest.mark.parametrize("spot", INSIDE + OUTSIDE, ids=str)
def test_spots_in_the_zones_and_out_of_them(spot: tuple[int, int]) -> None:
    zones = zones_of(long_wall(), judged_by("de")).placed
    at, height = spot
    assert any(one.zone.holds((at / 1000, height / 1000)) for one in zones) == (spot in INSIDE)


def test_the_middle_zone_is_for_rooms_with_worktops() -> None:
    # DIN 18015-3:2016: 1000 to 1300 mm above the finished floor, in kitchens, utility rooms and the like only.
    assert any(one.zone.holds((0.5, 1.3)) for one in zones_of(long_wall(use="kitchen"), judged_by("de")).placed)
    assert not any(one.zone.holds((0.5, 1.31)) for one in zones_of(long_wall(use="kitchen"), judged_by("de")).placed)
    assert not any(one.zone.holds((0.5, 1.1)) for one in zones_of(long_wall(), judged_by("de")).placed)


def test_level_zones_are_measured_from_what_is_finished_and_upright_ones_from_what_is_raw() -> None:
    # Heights from the raw floor, 80 mm still to come: the floor's zone is from 230 to 530 mm. The corner's stays.
    floor = {"heights_from": "raw", "build_up": "80 mm"}
    zones = zones_of(long_wall(floor=floor), judged_by("de")).placed
    bottoms = sorted(round(1000 * one.zone.bottom[0]) for one in zones if one.zone.is_level)
    assert bottoms == [230, 2050]
    assert {round(1000 * one.zone.left) for one in zones if not one.zone.is_level} == {100, 2000, 2300, 3700}


# BS 7671, 522.6.202 as quoted: 150 mm from the top of a wall and from the angle of two walls; level and upright to an
# accessory. The bottom of a wall is no zone. An accessory at 1.50 m along and 450 mm up, on a wall of 4.00 m by 2.50 m.
@pytest.mark.parametrize(
    ("spot", "inside"),
    [
        ((2000, 2400), True),
        ((2000, 2340), False),
        ((100, 1200), True),
        ((3870, 1200), True),
        ((200, 1200), False),
        ((1500, 1800), True),
        ((3200, 450), True),
        ((3200, 700), False),
        ((2500, 100), False),
    ],
)
def test_zones_by_bs_7671(spot: tuple[int, int], inside: bool) -> None:  # noqa: FBT001 - a table of cases
    walls = [
        {"wall": name, "length": length, "then": "right"}
        for name, length in (("north", "4.00 m"), ("east", "3.00 m"), ("south", "4.00 m"), ("west", "3.00 m"))
    ]
    north = {**walls[0], "points": {"S1": {"kind": "socket", "at": "1.50 m", "height": "450 mm"}}}
    wall = room([north, *walls[1:]], height="2.50 m").walls[0]
    at, height = spot
    zones = zones_of(wall, judged_by("gb")).placed
    assert any(one.zone.holds((at / 1000, height / 1000)) for one in zones) == inside


# NEC 210.52(A)(1) and (2) as quoted: no spot of the wall line more than 6 ft from a receptacle. A room of 16 by 12 ft
# with one door of 3 ft leaves 53 ft of wall, which needs 5 at the fewest. Worked out by hand.
AROUND, DOOR, REACH = 56, 3, 6


@pytest.mark.parametrize(
    ("sockets", "worst", "at"),
    [((5, 16, 28, 41, 49), 6.5, 34.5), ((5, 16, 28, 40, 48), 6.0, None)],
)
def test_the_farthest_spot_of_a_wall_space(sockets: tuple[int, ...], worst: float, at: float | None) -> None:
    [space] = wall_spaces(AROUND, [(0, DOOR)])
    assert space.length == AROUND - DOOR == 53
    assert fewest_sockets(space.length, REACH) == math.ceil(53 / 12) == 5
    spots = farthest_spots(space, AROUND, [DOOR + socket for socket in sockets])
    far = max(spots, key=lambda spot: spot.distance)
    assert far.distance == worst
    assert at is None or far.at - DOOR == at


@pytest.mark.parametrize("fails", [True, False])
def test_receptacles_round_a_room_of_16_by_12_ft(fails: bool) -> None:  # noqa: FBT001 - a table of cases
    # The door is the first 3 ft of a wall of 16 ft, so s = 0 is at 3 ft of the first wall and s = 34.5 at 9.5 ft of
    # the third, which begins 28 ft round: 3 + 34.5 - 28.
    stands = (5, 16, 28, 41, 49) if fails else (5, 16, 28, 40, 48)
    walls: list[dict[str, object]] = []
    begin = 0
    for name, length in (("north", 16), ("east", 12), ("south", 16), ("west", 12)):
        own = [DOOR + stand - begin for stand in stands if begin <= DOOR + stand < begin + length]
        points = {f"{name}{at}": {"kind": "socket", "at": f"{at} ft", "height": "16 in"} for at in own}
        walls.append({"wall": name, "length": f"{length} ft", "then": "right", "points": points})
        begin += length
    walls[0]["openings"] = {"door": {"kind": "door", "at": "0 ft", "width": f"{DOOR} ft", "height": "7 ft"}}
    # A window does not cut the line.
    walls[2]["openings"] = {
        "window": {"kind": "window", "at": "8 ft", "width": "4 ft", "sill": "3 ft", "height": "4 ft"}
    }
    [row] = judged_by("us").table("socket_spacing") or ()
    found = far_spots(room(walls, height="8 ft"), row)
    assert isinstance(found, list)
    said = [(spot.wall.name, str(spot.at), str(spot.distance), spot.fewest) for spot in found]
    assert said == ([("south", "9.5 ft", "6.5 ft", 5)] if fails else [])
