"""What holds of condensation in every wall; figures, and other ways to them, are in reference/test_condensation.py."""

import inspect
import math
from collections.abc import Callable, Sequence
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planlint.formulas.condensation import (
    Air,
    Condensate,
    Month,
    Plane,
    Slab,
    by_month,
    drying,
    profile,
    wetting,
)

steady = settings(derandomize=True, deadline=None, max_examples=100)

DAY = 86_400.0
RSI, RSE = 0.13, 0.04

slabs = st.builds(Slab, st.one_of(st.just(0.0), st.floats(0.01, 5)), st.floats(0.005, 100))
walls = st.lists(slabs, min_size=1, max_size=6)
rooms = st.builds(Air, st.floats(288.15, 303.15), st.floats(0.2, 1))
winters = st.builds(Air, st.floats(248.15, 288.15), st.floats(0.2, 1))
weathers = st.builds(Air, st.floats(253.15, 308.15), st.floats(0.2, 1))
years = st.lists(weathers, min_size=12, max_size=12)


def total(condensate: Sequence[Condensate]) -> float:
    return sum(own.mass for own in condensate)


def wet(wall: Sequence[Slab], room: Air, weather: Air) -> tuple[Condensate, ...]:
    return wetting(wall, room, weather, RSI, RSE, 90 * DAY)


# ---- One period --------------------------------------------------------------------------------------------------


@steady
@given(walls, rooms, weathers)
def test_condensate_is_never_negative_and_pressure_never_above_saturation(
    wall: list[Slab], room: Air, weather: Air
) -> None:
    assert all(own.mass > 0 for own in wet(wall, room, weather))
    found = profile(wall, room, weather, RSI, RSE)
    assert len(found.faces) == len(wall) + 1
    assert all(0 <= face.humidity <= 1 + 1e-9 for face in found.faces)


@steady
@given(walls, rooms, winters, st.floats(0.01, 1000))
def test_vapour_resistance_on_the_warm_side_never_adds_condensate(
    wall: list[Slab], room: Air, weather: Air, sd: float
) -> None:
    # Before the room-side surface: inside of every plane, whatever the wall.
    before, after = total(wet(wall, room, weather)), total(wet([*wall, Slab(0, sd)], room, weather))
    assert after <= before * (1 + 1e-9) + 1e-9


@steady
@given(walls, rooms, winters, st.floats(0.01, 1000))
def test_a_film_between_plane_and_room_lets_less_into_the_planes_outside_it(
    wall: list[Slab], room: Air, weather: Air, sd: float
) -> None:
    before = wet(wall, room, weather)
    inmost = before[-1].plane.slab if before else 0
    for place in range(inmost + 1, len(wall) + 1):
        after = wet([*wall[:place], Slab(0, sd), *wall[place:]], room, weather)
        outside = total([own for own in after if own.plane.slab < place])
        assert outside <= total(before) * (1 + 1e-9) + 1e-9


@steady
@given(walls, rooms, st.floats(0.2, 1), st.floats(0.2, 1), winters)
def test_damper_rooms_never_mean_less_condensate(
    wall: list[Slab], room: Air, one: float, other: float, weather: Air
) -> None:
    dry, damp = sorted((one, other))
    before = total(wet(wall, Air(room.temperature, dry), weather))
    assert before <= total(wet(wall, Air(room.temperature, damp), weather)) * (1 + 1e-9) + 1e-9


@steady
@given(walls, st.floats(253.15, 303.15), st.floats(0, 1), st.floats(0, 0.99))
def test_without_a_difference_in_temperature_nothing_condenses(
    wall: list[Slab], temperature: float, inside: float, outside: float
) -> None:
    assert wet(wall, Air(temperature, inside), Air(temperature, outside)) == ()


@steady
@given(walls, rooms, weathers)
def test_a_wall_turned_round_condenses_as_much(wall: list[Slab], room: Air, weather: Air) -> None:
    turned = wetting(wall[::-1], weather, room, RSE, RSI, 90 * DAY)
    assert total(turned) == pytest.approx(total(wet(wall, room, weather)), rel=1e-6, abs=1e-6)


@steady
@given(walls, rooms, weathers)
def test_temperature_falls_evenly_over_resistance(wall: list[Slab], room: Air, weather: Air) -> None:
    found = profile(wall, room, weather, RSI, RSE)
    assert found.resistance == pytest.approx(RSI + RSE + sum(slab.resistance for slab in wall))
    assert found.transmittance * found.resistance == pytest.approx(1)
    for slab, (outer, inner) in zip(wall, pairwise(found.faces), strict=True):
        assert inner.temperature - outer.temperature == pytest.approx(found.heat_flow * slab.resistance, abs=1e-9)
        assert inner.depth_sd - outer.depth_sd == pytest.approx(slab.vapour_thickness)


@steady
@given(walls, rooms, weathers)
def test_planes_say_where_they_lie(wall: list[Slab], room: Air, weather: Air) -> None:
    found = profile(wall, room, weather, RSI, RSE)
    for plane in found.planes:
        outer, inner = found.faces[plane.slab], found.faces[plane.slab + 1]
        assert outer.depth_sd < plane.depth_sd <= inner.depth_sd * (1 + 1e-12)
        assert plane.at_face == (plane.depth_sd == pytest.approx(inner.depth_sd, rel=1e-12))
        if plane.at_face:
            assert inner.humidity == pytest.approx(1)


def test_a_thick_slab_of_one_kind_gets_wet_inside() -> None:
    # 300 mm of open wool between a frosty night and a warm damp room: the zone lies inside the slab, at no face.
    (slab,) = wall = [Slab(0.3 / 0.04, 0.3)]
    planes = profile(wall, Air(293.15, 0.9), Air(263.15, 0.9), RSI, RSE).planes
    assert len(planes) > 1
    assert all(plane.slab == 0 and not plane.at_face for plane in planes)
    assert all(0 < plane.share < 1 and plane.depth_sd == plane.share * slab.vapour_thickness for plane in planes)


def test_dew_on_a_surface_is_seen_and_not_counted() -> None:
    # A bare thin wall, damp room: the inner surface is at saturation, and the account of the inside stays its own.
    found = profile([Slab(0.05, 5)], Air(293.15, 0.9), Air(263.15, 0.8), RSI, RSE)
    assert found.faces[-1].humidity == 1
    assert found.planes == ()


def test_a_hair_of_condensate_is_none() -> None:
    # The dampest room in which nothing condenses, to the last float: one step above it there is enough to be weighed.
    wall, dry, damp = [Slab(0.47, 3.8), Slab(1.5, 0.06), Slab(0.05, 0.125)], 0.2, 0.5
    for _ in range(60):
        middle = (dry + damp) / 2
        dry, damp = (dry, middle) if wet(wall, Air(293.15, middle), Air(268.15, 0.8)) else (middle, damp)
    (own,) = wet(wall, Air(293.15, damp), Air(268.15, 0.8))
    assert 1e-14 < own.plane.rate < 1e-13


# ---- Drying ------------------------------------------------------------------------------------------------------

CARRIED = [Slab(0.1, 1.0), Slab(0.1, 2.0), Slab(0.1, 3.0), Slab(0.1, 4.0)]  # planes at sd 1, 3 and 6 of 10 m
A_DAY = 2e-10 * 500 * DAY  # kg/m² a day through 1 m of sd, at 1700 against 1200 Pa


def standing(*masses: float) -> list[Condensate]:
    return [Condensate(Plane(slab, 1.0, 0.0, 280.0, 0.0), mass) for slab, mass in enumerate(masses)]


def dried(*masses: float, days: float = 90) -> list[float]:
    return [gone / A_DAY for gone in drying(CARRIED, standing(*(m * A_DAY for m in masses)), 1700, 1200, days * DAY)]


def test_one_plane_dries_to_both_sides_whatever_it_holds() -> None:
    # By hand, in days through 1 m: 90·(1/1 + 1/9).
    assert dried(1) == pytest.approx([100])
    assert dried(1000) == pytest.approx([100])


def test_two_planes_dry_each_to_its_own_side() -> None:
    # By hand: neither is empty after 6 days, 6/1 and 6/7.
    assert dried(50, 50, days=6) == pytest.approx([6, 6 / 7])


def test_a_plane_that_is_dry_no_longer_shields_the_next() -> None:
    # By hand: the outer one (2 at 1/1 a day) is dry after 2 days; the inner one has the room for 9, both sides for 7.
    assert dried(2, 50, days=9) == pytest.approx([2, 9 / 7 + 7 / 3])
    # Likewise the inner one (1 at 1/7 a day) after 7 days.
    assert dried(50, 1, days=9) == pytest.approx([9 + 2 / 9, 1])


def test_what_lies_between_waits() -> None:
    # By hand: the first (2) is dry after 2 days; the second then has 4 days at 1/3 outwards, the third has the room.
    assert dried(2, 50, 50, days=6) == pytest.approx([2, 4 / 3, 6 / 4])
    assert dried(50, 50, 50, days=6) == pytest.approx([6, 0, 6 / 4])


def test_two_planes_dry_at_one_moment_leave_the_third() -> None:
    # By hand: 4/1 and 1/(1/4) both take 4 days; what lies between then has 6 days to both sides.
    assert dried(4, 50, 1, days=10) == pytest.approx([4, 6 / 3 + 6 / 7, 1])


@steady
@given(st.lists(st.floats(0, 100), min_size=1, max_size=3), st.floats(1, 366), st.floats(1, 366))
def test_more_time_never_dries_less(masses: list[float], one: float, other: float) -> None:
    short, long = sorted((one, other))
    before, after = dried(*masses, days=short), dried(*masses, days=long)
    assert sum(before) <= sum(after) * (1 + 1e-9)
    # All but the last wet plane give no more than they hold.
    assert sum(gone > mass * (1 + 1e-9) + 1e-9 for gone, mass in zip(after, masses, strict=True)) <= 1


def test_the_slabs_may_be_others_than_those_that_got_wet() -> None:
    # The plane keeps its place in the build-up, not its depth: twice the resistance, half of the drying.
    double = [Slab(slab.resistance, 2 * slab.vapour_thickness) for slab in CARRIED]
    for share in (1.0, 0.25):
        own = [Condensate(Plane(1, share, 0.0, 280.0, 0.0), 1.0)]
        (once,), (twice,) = (drying(wall, own, 1700, 1200, 90 * DAY) for wall in (CARRIED, double))
        assert once == pytest.approx(2 * twice)
        depth = 1 + 2 * share
        assert once / A_DAY == pytest.approx(90 * (1 / depth + 1 / (10 - depth)))


# ---- A year ------------------------------------------------------------------------------------------------------


def months(room: Air, weather: Sequence[Air]) -> list[Month]:
    return [Month(room, outside, 30 * DAY) for outside in weather]


@steady
@given(walls, rooms, years)
def test_a_year_keeps_its_account(wall: list[Slab], room: Air, weather: list[Air]) -> None:
    found = by_month(wall, months(room, weather), RSI, RSE)
    masses = [end.mass for end in found.months]
    assert all(own.mass > 0 for end in found.months for own in end.condensate)
    assert found.peak == max(masses)
    assert found.dries_out == (min(masses) == 0)
    if found.start is None:
        assert found.peak_month is None
        assert not any(masses)
        assert not any(profile(wall, room, outside, RSI, RSE).planes for outside in weather)
    else:
        assert masses[found.peak_month or 0] == found.peak > 0
        # The first month is a period of its own.
        first = wetting(wall, room, weather[found.start], RSI, RSE, 30 * DAY)
        assert masses[found.start] == pytest.approx(total(first), abs=1e-8)


@steady
@given(walls, rooms, years, st.integers(1, 11))
def test_a_year_is_the_same_from_whichever_month_it_is_told(
    wall: list[Slab], room: Air, weather: list[Air], shift: int
) -> None:
    told = by_month(wall, months(room, weather), RSI, RSE)
    later = by_month(wall, months(room, weather[shift:] + weather[:shift]), RSI, RSE)
    always = all(profile(wall, room, outside, RSI, RSE).planes for outside in weather)
    if not always:  # water in all twelve: the account begins with the first, whichever that is
        assert later.peak == pytest.approx(told.peak)
        assert later.dries_out == told.dries_out


def test_two_wet_seasons_begin_with_the_worse() -> None:
    wall, room = [Slab(0.47, 3.8), Slab(1.5, 0.06), Slab(0.05, 0.125)], Air(293.15, 0.5)
    mild, hard, warm = Air(277.15, 0.86), Air(263.15, 0.86), Air(291.15, 0.6)
    weather = [mild, warm, warm, warm, warm, hard, hard, warm, warm, warm, warm, warm]
    found = by_month(wall, months(room, weather), RSI, RSE)
    assert (found.start, found.peak_month, found.dries_out) == (5, 6, True)
    assert found.peak == pytest.approx(2 * total(wetting(wall, room, hard, RSI, RSE, 30 * DAY)))


def test_a_wall_that_never_dries_is_said_to() -> None:
    wall, room = [Slab(0.47, 100), Slab(1.5, 0.06), Slab(0.05, 0.125)], Air(293.15, 0.9)
    found = by_month(wall, months(room, [Air(268.15, 0.9)] * 12), RSI, RSE)
    assert not found.dries_out
    assert (found.start, found.peak_month) == (0, 11)
    assert found.peak == pytest.approx(12 * found.months[0].mass)


def test_the_account_begins_after_a_dry_month_and_ends_wet_behind_tiles() -> None:
    # What comes in winter stays over summer.
    wall, room = [Slab(0.47, 100), Slab(1.5, 0.06), Slab(0.05, 0.125)], Air(293.15, 0.5)
    frost, cold, mild = Air(263.15, 0.8), Air(270.15, 0.8), Air(286.15, 0.7)
    found = by_month(wall, months(room, [frost, frost, cold, *[mild] * 6, cold, cold, frost]), RSI, RSE)
    assert (found.start, found.peak_month, found.dries_out) == (9, 2, False)


# ---- Out of range ------------------------------------------------------------------------------------------------

WALL, ROOM, WINTER = [Slab(0.47, 3.8)], Air(293.15, 0.5), Air(268.15, 0.8)
REFUSED: list[tuple[str, Callable[[float], object], float, float]] = [
    ("resistance", lambda wrong: Slab(wrong, 1), 0, 100),
    ("vapour_thickness", lambda wrong: Slab(1, wrong), 1e-4, 1e5),
    ("temperature", lambda wrong: Air(wrong, 0.5), 233.15, 353.15),
    ("humidity", lambda wrong: Air(293.15, wrong), 0, 1),
    ("rsi", lambda wrong: profile(WALL, ROOM, WINTER, wrong, RSE), 0.01, 1),
    ("rse", lambda wrong: profile(WALL, ROOM, WINTER, RSI, wrong), 0, 1),
    ("duration", lambda wrong: wetting(WALL, ROOM, WINTER, RSI, RSE, wrong), DAY, 366 * DAY),
    ("duration", lambda wrong: drying(WALL, [], 1700, 1200, wrong), DAY, 366 * DAY),
    ("pressure_both_sides", lambda wrong: drying(WALL, [], 50_000, wrong, DAY), 0, 49_999),
    ("pressure_at_plane", lambda wrong: drying(WALL, [], wrong, 1200, DAY), 1201, 50_000),
    (
        "duration of month 3",
        lambda wrong: by_month(WALL, [Month(ROOM, WINTER, wrong if n == 3 else DAY) for n in range(1, 13)], RSI, RSE),
        DAY,
        366 * DAY,
    ),
]


@pytest.mark.parametrize(("name", "attempt", "least", "most"), REFUSED, ids=[name for name, *_ in REFUSED])
def test_out_of_range_is_refused(name: str, attempt: Callable[[float], object], least: float, most: float) -> None:
    for end in (least, most):
        attempt(end)
    for wrong in (least - 1e-6 * max(1, least), most * 1.001, math.nan, math.inf):
        with pytest.raises(ValueError, match=rf"^{name} is .*, and has to be from "):
            attempt(wrong)


def test_there_has_to_be_a_wall_and_a_whole_year() -> None:
    with pytest.raises(ValueError, match="slabs is empty"):
        profile([], ROOM, WINTER, RSI, RSE)
    with pytest.raises(ValueError, match="slabs is empty"):
        drying([], [], 1700, 1200, DAY)
    with pytest.raises(ValueError, match="months is 11 of them, and has to be 12"):
        by_month(WALL, months(ROOM, [WINTER] * 11), RSI, RSE)


@pytest.mark.parametrize("slabs_of_planes", [[3], [4], [1, 0], [1, 1]])
def test_water_lies_inside_the_slabs_and_in_their_order(slabs_of_planes: list[int]) -> None:
    water = [Condensate(Plane(slab, 1.0, 0.0, 280.0, 0.0), 1.0) for slab in slabs_of_planes]
    with pytest.raises(ValueError, match="condensate has to lie inside the slabs, and from outside to inside"):
        drying(CARRIED, water, 1700, 1200, DAY)


@pytest.mark.parametrize("function", [profile, wetting, drying, by_month], ids=lambda function: function.__name__)
def test_a_formula_says_what_it_takes_and_where_it_comes_from(function: Callable[..., object]) -> None:
    said = inspect.getdoc(function) or ""
    assert "Source:" in said
    assert all(f"`{name}`" in said for name in inspect.signature(function).parameters)
