"""How readings belong together; positions in metres, moisture as a fraction (18 % is 0.18)."""

from collections.abc import Iterator
from datetime import date, timedelta
from itertools import combinations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planlint.grammar import parse
from planlint.model.readings import (
    Judged,
    Reading,
    columns,
    heights_apart,
    lacking,
    newest_of_each_spot,
    same_spot,
    worst_of,
)
from planlint.model.words import ReadOf, Scale
from planlint.units import Length, Ratio

TODAY = date(2026, 10, 3)
SPOT = 0.10
calm = settings(derandomize=True, deadline=None)


def reading(  # noqa: PLR0913 - a reading has as many keys
    index: int = 0,
    *,
    of: ReadOf = ReadOf.WALL,
    scale: Scale | None = Scale.WOOD_EQUIVALENT,
    value: str | float | None = "18 %",
    day: int | None = 0,
    at: str | None = "1 m",
    height: str | None = "0.15 m",
    depth: str | None = None,
) -> Reading:
    """A reading; `day` counts from today."""
    return Reading(
        index=index,
        of=of,
        scale=scale,
        value=parse(value, Ratio) if isinstance(value, str) else value,
        date=None if day is None else TODAY + timedelta(day),
        at=None if at is None else parse(at, Length),
        height=None if height is None else parse(height, Length),
        depth=None if depth is None else parse(depth, Length),
    )


def newest(*readings: Reading) -> list[int]:
    return sorted(one.index for one in newest_of_each_spot(readings, SPOT, TODAY))


def spans(spot: int = 60) -> st.SearchStrategy[str]:
    return st.integers(0, spot).map(lambda steps: f"{5 * steps} cm")


placed = st.lists(
    st.builds(
        reading,
        index=st.integers(0, 1000),
        day=st.one_of(st.none(), st.integers(-20, 3)),
        at=st.one_of(st.none(), spans()),
        height=st.one_of(st.none(), spans()),
        of=st.sampled_from(ReadOf),
    ),
    max_size=12,
)


class TestOneReading:
    def test_a_key_is_counted_from_one(self) -> None:
        assert reading(0).key("date") == "readings.1.date"
        assert reading(4).key("value") == "readings.5.value"

    @pytest.mark.parametrize(
        ("at", "height", "called"),
        [
            ("40 cm", "6 in", "reading 3 (40 cm along and 6 in up)"),
            (None, "0.15 m", "reading 3 (0.15 m up)"),
            ("0 m", None, "reading 3 (0 m along)"),
            (None, None, "reading 3"),
        ],
    )
    def test_it_is_called_by_its_number_and_place(self, at: str | None, height: str | None, called: str) -> None:
        assert reading(2, at=at, height=height).called == called

    def test_it_is_taken_by_the_evening_of_its_day(self) -> None:
        assert reading(day=0).taken_by(TODAY)
        assert reading(day=None).taken_by(TODAY)
        assert not reading(day=1).taken_by(TODAY)


class TestNewestOfEachSpot:
    def test_a_later_reading_replaces_an_earlier_one(self) -> None:
        assert newest(reading(1, day=-9), reading(2, day=-1), reading(3, day=-5)) == [2]

    def test_exactly_the_spot_is_the_same_spot_in_any_unit(self) -> None:
        assert newest(reading(1, day=-9), reading(2, at="110 cm", height="250 mm")) == [2]

    def test_a_millimetre_more_is_another_spot(self) -> None:
        assert newest(reading(1, day=-9), reading(2, at="1101 mm")) == [1, 2]
        assert newest(reading(1, day=-9), reading(2, height="251 mm")) == [1, 2]

    def test_readings_of_one_day_stand_side_by_side(self) -> None:
        assert newest(reading(1), reading(2)) == [1, 2]

    @pytest.mark.parametrize("lost", [{"at": None}, {"height": None}, {"day": None}])
    def test_without_a_position_or_a_date_it_stands_for_itself(self, lost: dict[str, None]) -> None:
        assert newest(reading(1, day=-9), reading(2, **lost)) == [1, 2]  # type: ignore[arg-type]

    def test_a_reading_of_tomorrow_neither_counts_nor_replaces(self) -> None:
        assert newest(reading(1, day=-9), reading(2, day=1)) == [1]

    def test_another_thing_at_the_same_spot_is_another_spot(self) -> None:
        assert newest(reading(1, day=-9), reading(2, of=ReadOf.BATTENS)) == [1, 2]

    def test_timber_without_a_position_is_read_by_the_lot(self) -> None:
        lot = [reading(n, of=ReadOf.BATTENS, day=n - 9, at=None, height=None) for n in range(3)]
        assert newest(*lot) == [2]
        frame = reading(7, of=ReadOf.FRAME, at=None, height=None)
        assert newest(*lot, frame) == [2, 7]
        assert newest(reading(5, of=ReadOf.BATTENS, day=-9), *lot) == [2, 5]

    def test_a_screed_is_read_by_the_lot_too_and_at_marked_points(self) -> None:
        lot = [reading(n, of=ReadOf.SCREED, day=n - 9, at=None, height=None) for n in range(2)]
        marked = [reading(2 + n, of=ReadOf.SCREED, day=n - 9, at="3 m", height=None) for n in range(2)]
        assert newest(*lot) == [1]
        assert newest(*lot, *marked) == [1, 3]
        assert newest(reading(7, of=ReadOf.SCREED, day=-9, at="3.2 m", height=None), *marked) == [3, 7]

    def test_one_coordinate_tells_no_walls_spot(self) -> None:
        assert newest(reading(1, day=-9, height=None), reading(2, height=None)) == [1, 2]

    @pytest.mark.parametrize(
        ("older", "newer", "kept"),
        [
            ("60 mm", "60 mm", [2]),
            ("60 mm", "40 mm", [2]),
            ("60 mm", "39 mm", [1, 2]),  # a dry surface says nothing of a wet core
            ("21 mm", None, [1, 2]),
            ("20 mm", None, [2]),
            (None, "3 in", [2]),
        ],
    )
    def test_a_shallower_reading_does_not_replace_a_deep_one(
        self, older: str | None, newer: str | None, kept: list[int]
    ) -> None:
        assert newest(reading(1, day=-9, depth=older), reading(2, depth=newer)) == kept

    def test_a_wall_without_a_position_is_not(self) -> None:
        assert newest(reading(1, day=-9, at=None, height=None), reading(2, at=None, height=None)) == [1, 2]

    def test_a_chain_of_near_spots_keeps_what_nothing_near_replaced(self) -> None:
        # 1.00, 1.10 and 1.20 m: the newest replaces its neighbour, and does not reach the third.
        chain = [reading(1, day=-1, at="1 m"), reading(2, day=-5, at="1.1 m"), reading(3, day=-9, at="1.2 m")]
        assert newest(*chain) == [1, 3]

    @calm
    @given(placed)
    def test_what_is_left_out_is_of_the_future_or_replaced_by_a_newer_one_nearby(self, readings: list[Reading]) -> None:
        kept = newest_of_each_spot(readings, SPOT, TODAY)
        for one in readings:
            if one in kept or (one.date and one.date > TODAY):
                continue
            assert one.date is not None
            assert any(newer.date is not None and newer.date > one.date and newer.of is one.of for newer in kept)

    @calm
    @given(placed)
    def test_once_more_changes_nothing(self, readings: list[Reading]) -> None:
        kept = newest_of_each_spot(readings, SPOT, TODAY)
        assert newest_of_each_spot(kept, SPOT, TODAY) == kept


def test_one_spot_is_of_one_thing_and_near_along_and_up() -> None:
    assert same_spot(reading(), reading(at="110 cm", height="25 cm", day=-9, scale=Scale.OVEN_DRY), SPOT)
    for other in (reading(at="1101 mm"), reading(height="251 mm"), reading(of=ReadOf.BATTENS), reading(at=None)):
        assert not same_spot(reading(), other, SPOT)


class TestColumns:
    def test_from_the_left_named_by_the_leftmost(self) -> None:
        found = columns([reading(1, at="3 m"), reading(2, at="1.1 m"), reading(3, at="1 m"), reading(4, at=None)], SPOT)
        assert [(str(at), [one.index for one in column]) for at, column in found] == [("1 m", [3, 2]), ("3 m", [1])]

    def test_a_column_does_not_creep_along_the_wall(self) -> None:
        found = columns([reading(at=f"{step} cm") for step in (0, 10, 20)], SPOT)
        assert [len(column) for _, column in found] == [2, 1]

    @calm
    @given(placed)
    def test_every_placed_reading_is_in_one_column_no_wider_than_a_spot(self, readings: list[Reading]) -> None:
        found = columns(readings, SPOT)
        inside = [id(one) for _, column in found for one in column]
        assert sorted(inside) == sorted(id(one) for one in readings if one.at is not None)
        for at, column in found:
            assert all(one.at is not None and at <= one.at <= at + SPOT + 1e-9 for one in column)


class TestHeightsApart:
    def test_heights_within_a_spot_count_as_one(self) -> None:
        found = heights_apart([reading(height=height) for height in ("1.2 m", "25 cm", "0.15 m", "26 cm")], SPOT)
        assert [str(height) for height in found] == ["0.15 m", "26 cm", "1.2 m"]

    @calm
    @given(st.lists(st.integers(0, 40), max_size=7))
    def test_no_choice_of_heights_that_far_apart_is_larger(self, steps: list[int]) -> None:
        found = heights_apart([reading(height=f"{5 * step} cm") for step in steps], SPOT)

        # By trying every choice, in steps of 5 cm: apart is more than two of them.
        def apart() -> Iterator[int]:
            for size in range(len(steps) + 1):
                for choice in combinations(steps, size):
                    if all(abs(one - other) > 2 for one, other in combinations(choice, 2)):
                        yield size

        assert len(found) == max(apart())


class TestWorst:
    LIMITS = {  # noqa: RUF012 - a table that nobody changes
        Scale.WOOD_EQUIVALENT: (Ratio(0.20, "%"), Ratio(0.23, "%")),
        Scale.OVEN_DRY: (Ratio(0.03, "%"), Ratio(0.05, "%")),
    }

    @pytest.mark.parametrize(
        ("value", "is_damp", "is_wet"),
        [("20 %", False, False), ("20.1 %", True, False), ("23 %", True, False), ("23.1 %", True, True)],
    )
    def test_exactly_the_limit_holds(self, value: str, is_damp: bool, is_wet: bool) -> None:  # noqa: FBT001 - a table
        judged = Judged(reading(), parse(value, Ratio), *self.LIMITS[Scale.WOOD_EQUIVALENT])
        assert (judged.is_damp, judged.is_wet) == (is_damp, is_wet)

    @pytest.mark.parametrize(
        ("wood_equivalent", "oven_dry", "worst"),
        [
            ("19 %", "3.5 %", 1),  # only the second is over its warning, though 19/23 > 3.5/5
            ("23 %", "5.1 %", 1),  # only the second is over its stop value
            ("24 %", "5.1 %", 0),  # both over their stop values: 24/23 > 5.1/5
            ("10 %", "1 %", 0),
        ],
    )
    def test_each_on_its_own_scale(self, wood_equivalent: str, oven_dry: str, worst: int) -> None:
        readings = [reading(0, value=wood_equivalent), reading(1, scale=Scale.OVEN_DRY, value=oven_dry)]
        for order in (readings, readings[::-1]):
            found, others = worst_of(order, self.LIMITS)
            assert found is not None
            assert found.reading.index == worst
            assert others == []

    def test_what_has_no_limit_is_handed_back(self) -> None:
        strange = [
            reading(1, scale=Scale.RELATIVE, value=40.0),
            reading(2, scale=Scale.OVEN_DRY, value=None),
            reading(3, scale=None),
            reading(4, scale=Scale.OVEN_DRY, value=4.0),
        ]
        assert worst_of(strange, self.LIMITS) == (None, strange)
        assert worst_of([], self.LIMITS) == (None, [])


def test_lacking_names_each_key_once() -> None:
    column = [reading(0, at=None, height=height) for height in ("0.1 m", "0.6 m")]
    assert lacking([*column, reading(1, scale=None, at=None)], "at", "scale") == [
        "readings.1.at",
        "readings.2.at",
        "readings.2.scale",
    ]
    assert lacking([reading(at="0 m")], "at") == []
