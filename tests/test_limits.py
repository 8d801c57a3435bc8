"""Limit sets: what is in force where, and what is said about a set or an override that cannot be used."""

import pickle
import re
from collections.abc import Callable, Sequence
from importlib.resources import files
from importlib.resources.abc import Traversable
from pathlib import Path
from typing import Any

import pytest

from planlint import limits, units
from planlint.errors import LimitError, PlanFaults
from planlint.limit_values import Kind, Row
from planlint.limits import Wanted
from planlint.schema import check, load_schema
from planlint.source import read
from planlint.units import Area, Current, Length, Ratio

SHIPPED = files("planlint.rules") / "limits"
FOLDER = Path(str(SHIPPED))
FILES = sorted(FOLDER.rglob("*.yaml"))
NAMES = sorted(limits.available())

Write = Callable[[str, str], Path]
Sets = tuple[Traversable, ...]

TILES = """\
name: tiles
title: joints of tiles
limits:
  tile_joint: {value: 3 mm, dimension: length, range: [1 mm, 15 mm], basis: own decision, source: a tiler}
  tile_pattern: {value: stack, choices: [stack, offset], basis: own decision}
"""

TABLE_OF_TILES = """\
name: tiles
title: joints of tiles
limits:
  tile_joints:
    columns: {pattern: {choices: [stack, offset]}, coats: count,
      joint: {dimension: length, range: [1 mm, 15 mm]}}
    value: [{pattern: stack, joint: 2 mm, coats: 1}, {pattern: offset, joint: 3 mm, coats: 2}]
    basis: own decision
"""


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    (tmp_path / "limits").mkdir()
    return tmp_path / "limits"


@pytest.fixture
def write(folder: Path) -> Write:
    """Write a set, by name and text, into a folder of limit sets as another package would bring it."""

    def write_set(name: str, text: str) -> Path:
        path = folder / f"{name}.yaml"
        path.parent.mkdir(exist_ok=True)
        path.write_text(text, encoding="utf-8")
        return path

    return write_set


@pytest.fixture
def both(folder: Path) -> Sets:
    return SHIPPED, folder


def override(name: str, value: object, reason: str = "agreed with the supplier") -> dict[str, Any]:
    return {name: {"value": value, "reason": reason}}


def override_set(name: str, builds_on: str, **values: object) -> str:
    entries = "".join(f"  {limit}: {{value: {value}, basis: memory}}\n" for limit, value in values.items())
    return f"name: {name}\ntitle: a set of the tests\nbuilds_on: {builds_on}\nlimits:\n{entries}"


def refused(wanted: Wanted, folders: Sequence[Traversable] | None = None) -> LimitError:
    with pytest.raises(LimitError) as caught:
        limits.resolve(wanted, folders)
    return caught.value


def faulty(wanted: Wanted, folders: Sequence[Traversable]) -> PlanFaults:
    with pytest.raises(PlanFaults) as caught:
        limits.resolve(wanted, folders)
    return caught.value


# ---- What is in force ------------------------------------------------------------------------------------------


def test_general_stands_where_nothing_is_asked_for() -> None:
    given = limits.resolve(None)
    assert given.names == ("general",)
    assert given.count("socket_points_per_circuit") == 6
    assert {given[name].set for name in given} == {"general"}


def test_a_country_overrides_what_it_knows_and_general_stands_for_the_rest() -> None:
    given = limits.resolve("be")
    assert given.names == ("general", "be")
    assert (given["socket_points_per_circuit"].value, given["socket_points_per_circuit"].set) == (8, "be")
    assert given["light_points_per_circuit"].set == "general"
    assert set(given) == set(limits.resolve(None))


def test_the_later_overrides_the_earlier() -> None:
    assert limits.resolve(["be", "es"]).count("socket_points_per_circuit") == 20
    assert limits.resolve(["es", "be"]).count("socket_points_per_circuit") == 8
    assert limits.resolve(["es", override("socket_points_per_circuit", 9)]).count("socket_points_per_circuit") == 9
    assert limits.resolve([override("socket_points_per_circuit", 9), "es"]).count("socket_points_per_circuit") == 20


def test_general_named_last_does_not_undo_what_stands_before_it() -> None:
    assert limits.resolve(["es", "general"]).count("socket_points_per_circuit") == 20


def test_an_override_of_the_plan_keeps_its_reason_and_is_listed() -> None:
    given = limits.resolve(["general", override("height_tolerance", "5 mm", "old plaster")])
    [own] = given.overridden()
    assert (own.name, own.set, own.reason, own.kind) == ("height_tolerance", "plan", "old plaster", Kind.QUANTITY)
    assert units.at_most(given.quantity("height_tolerance", Length), 0.005)
    assert limits.resolve("general").overridden() == ()


def test_a_plan_may_give_a_named_size_a_table_and_unlimited() -> None:
    rows = [{"section": "12 AWG", "breaker": "20 A", "points": 10}]
    given = limits.resolve(
        [
            override("conductor_section_sockets", "12 AWG"),
            override("socket_points_per_circuit", rows),
            override("light_points_per_circuit", "unlimited"),
        ]
    )
    # 12 AWG is 3.31 mm² (ASTM B258)
    assert given.quantity("conductor_section_sockets", Area) * 1e6 == pytest.approx(3.31, abs=0.005)
    assert given.table("socket_points_per_circuit") == (
        {"section": given.quantity("conductor_section_sockets", Area), "breaker": Current(20, "A"), "points": 10},
    )
    assert given.count("light_points_per_circuit") is None
    assert given["light_points_per_circuit"].kind is Kind.COUNT


def test_a_table_may_hold_words_beside_quantities_and_counts() -> None:
    first, *_ = limits.resolve(None).table("trip_multiple") or ()
    assert first == {"curve": "B", "least": 3, "most": 5}
    [row] = limits.resolve([override("trip_multiple", [{"curve": "C", "least": 4, "most": 8}])]).overridden()
    assert row.kind is Kind.TABLE
    assert row.said == "curve C, least 4, most 8"


def test_a_table_without_rows_says_that_there_is_none() -> None:
    given = limits.resolve(["fr", override("largest_breaker", [])])
    assert given.table("largest_breaker") == ()
    assert given["largest_breaker"].said == "none"


def test_a_package_may_bring_a_table_of_its_own(write: Write, both: Sets) -> None:
    write("tiles", TABLE_OF_TILES)
    given = limits.resolve(None, both)
    assert given.table("tile_joints") == (
        {"pattern": "stack", "joint": Length(0.002, "mm"), "coats": 1},
        {"pattern": "offset", "joint": Length(0.003, "mm"), "coats": 2},
    )
    error = refused([override("tile_joints", [{"pattern": "stack", "joint": "20 mm", "coats": 1}])], both)
    assert error.path == ("limits", 0, "tile_joints", "value", 0, "joint")
    assert "20 mm is above all that makes sense here" in error.message


@pytest.mark.parametrize(
    ("right", "wrong", "says"),
    [
        ("dimension: length", "dimension: lenght", "did you mean length"),
        ("coats: count", "coats: cont", "did you mean count"),
        ("choices: [stack, offset]", "choices: []", "write it as"),
        ("choices: [stack, offset]", "words: [stack, offset]", '"words" is not a key of a column'),
        ("range: [1 mm, 15 mm]", "range: [1 kg, 15 mm]", "1 kg is a mass"),
    ],
)
def test_a_column_of_a_set_is_checked(right: str, wrong: str, says: str, write: Write, both: Sets) -> None:
    write("tiles", TABLE_OF_TILES.replace(right, wrong))
    [fault] = faulty(None, both).faults
    assert fault.line in {5, 6}
    assert says in f"{fault.message}; {fault.hint}"


def test_sets_build_on_sets_and_the_nearest_wins(write: Write, both: Sets) -> None:
    write("region", override_set("region", "be", socket_points_per_circuit=5))
    write("town", override_set("town", "[region]", light_points_per_circuit=4))
    given = limits.resolve("town", both)
    assert given.names == ("general", "be", "region", "town")
    assert given.count("socket_points_per_circuit") == 5
    assert given.count("light_points_per_circuit") == 4
    assert given.choice("socket_counting") == "plates"  # from be


def test_a_package_may_bring_limits_of_its_own(write: Write, both: Sets) -> None:
    write("tiles", TILES)
    for folders in (both, both[::-1]):
        given = limits.resolve(["fr", override("tile_joint", "2 mm")], folders)
        assert given.names == ("general", "tiles", "fr")
        assert given.choice("tile_pattern") == "stack"
        assert units.show(given.quantity("tile_joint", Length)) == "2 mm"


def test_a_set_may_be_a_folder_with_a_file_for_each_family(write: Write, folder: Path, both: Sets) -> None:
    write("town/circuits", override_set("town", "general", socket_points_per_circuit=5))
    write("town/corners", "name: town\nlimits:\n  bead_shortfall: {value: 5 mm, basis: memory}\n")
    assert set(limits.available([folder])) == {"town"}
    found = limits.load_set("town", both)
    assert (found.title, found.builds_on) == ("a set of the tests", ("general",))
    assert set(found.limits) == {"socket_points_per_circuit", "bead_shortfall"}
    assert limits.resolve("town", both).names == ("general", "town")


def test_builds_on_is_seen_however_it_is_written(write: Write, both: Sets) -> None:
    text = '{"name": town, title: a town, "builds_on": general, limits: {long_wall: {value: 1 m, basis: memory}}}\n'
    write("town", text)
    assert limits.resolve(None, both).names == ("general",)
    assert limits.resolve("town", both).names == ("general", "town")


def test_a_set_that_has_changed_is_read_again(write: Write, both: Sets) -> None:
    for points in (4, 5):
        write("town", override_set("town", "general", socket_points_per_circuit=points))
        assert limits.resolve("town", both).count("socket_points_per_circuit") == points


def test_limits_travel_to_other_processes() -> None:
    given = limits.resolve(["fr", override("long_wall", "1.5 m")])
    assert pickle.loads(pickle.dumps(given)) == given  # noqa: S301 - our own bytes


# ---- What is refused in a plan ---------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("wanted", "path", "says"),
    [
        (
            "bel",
            ("limits",),
            "no limit set is called bel; did you mean be?; there are be, de, es, fr, gb, general and us",
        ),
        (["be", "frr"], ("limits", 1), "did you mean fr?"),
        ([override("socket_points", 8)], ("limits", 0, "socket_points"), "did you mean socket_points_per_circuit?"),
        ([override("zzz", 8)], ("limits", 0, "zzz"), "no limit is called zzz; `planlint limits general` lists them"),
        (["gb", override("long_wall", "1 kg")], ("limits", 1, "long_wall", "value"), "long_wall: 1 kg is a mass"),
        ([override("long_wall", "1 m", " ")], ("limits", 0, "long_wall"), "long_wall needs the value and the reason"),
        ([{"long_wall": {"value": "1 m"}}], ("limits", 0, "long_wall"), "reason: why it differs here"),
        ([{"long_wall": {"reason": "because"}}], ("limits", 0, "long_wall"), "long_wall needs the value"),
        ([{"long_wall": "1 m"}], ("limits", 0, "long_wall"), "write long_wall: {value: …, reason"),
    ],
)
def test_what_a_plan_cannot_ask_for(wanted: Wanted, path: tuple[str | int, ...], says: str) -> None:
    error = refused(wanted)
    assert error.path == path
    assert says in str(error)


def row(**columns: object) -> list[object]:
    return [{"section": "2.5 mm²", "breaker": "16 A", "points": 8} | columns]


@pytest.mark.parametrize(
    ("limit", "value", "deeper", "says"),
    [
        ("height_tolerance", "3 mm²", (), "height_tolerance: 3 mm² is an area; here belongs a length"),
        ("height_tolerance", 3, (), "3 has no unit"),
        ("height_tolerance", ["3 mm"], (), "a list stands where one value belongs"),
        ("height_tolerance", "51 mm", (), "51 mm is above all that makes sense here; write a value from 0 mm to 50 mm"),
        ("masonry_wood_equivalent_stop", "230 %", (), "230 % is above all that makes sense here"),
        ("reading_heights", 0, (), "0 is below all that makes sense here; write a value from 1 to 20"),
        ("reading_heights", "three", (), "three is not a count; write a whole number such as 8"),
        ("reading_heights", "unlimited", (), "unlimited is not a count"),  # of a least, that would mean nothing
        ("reading_heights", 2.5, (), "2.5 is not a count"),
        ("reading_heights", None, (), "nothing is not a count"),
        ("reading_heights", True, (), "true is not a count"),
        ("reading_heights", [2], (), "a list is not a count"),
        ("socket_counting", "plate", (), "did you mean plates?; write outlets or plates"),
        ("wet_work", "screed", (), "screed is not a list"),
        ("line_colours", ["brown", "bluw"], (1,), "bluw is not one of its words; did you mean blue?"),
        ("frame_fixings", ["foam"], (0,), "foam is not one of its words"),
        ("socket_points_per_circuit", [{"points": 8}], (0,), "write {section: 2.5 mm², breaker: 16 A, points: 8}"),
        ("socket_points_per_circuit", row(section="16 A"), (0, "section"), "16 A is a current"),
        ("socket_points_per_circuit", row(points=800), (0, "points"), "800 is above"),
        ("socket_points_per_circuit", row(points="unlimited"), (0, "points"), "unlimited is not a count"),
        ("trip_multiple", 5, (), "5 is not a table; write its rows: [{curve: B, least: 8, most: 8}]"),
        ("trip_multiple", "unlimited", (), "unlimited is not a table"),
        ("trip_multiple", [5], (0,), "a row of this table has each column once"),
        ("trip_multiple", [{"curve": "E", "least": 3, "most": 5}], (0, "curve"), "write B, C or D"),
        ("trip_multiple", [{"curve": 2, "least": 3, "most": 5}], (0, "curve"), "2 is not one of its words"),
        ("trip_multiple", [{"curve": "B", "least": 3, "most": 500}], (0, "most"), "500 is above"),
        ("ambient_factor", [{"ambient": "30 °C", "factor": "1 A"}], (0, "factor"), "1 A is a current"),
        ("conductor_resistance", [{"section": "1 mm²", "resistance": "1 ohm"}], (0, "resistance"), "1 ohm is a"),
    ],
)
def test_what_a_limit_cannot_be(limit: str, value: object, deeper: tuple[str | int, ...], says: str) -> None:
    error = refused(["gb", override(limit, value)])
    assert error.path == ("limits", 1, limit, "value", *deeper)
    assert says in str(error)


@pytest.mark.parametrize("value", ["0 mm", "50 mm", "5 cm"])
def test_the_ends_of_a_range_are_inside_it(value: str) -> None:
    assert limits.resolve([override("height_tolerance", value)]).overridden()


# ---- What is refused in a set ----------------------------------------------------------------------------------


def test_a_circle_of_sets_is_named(write: Write, both: Sets) -> None:
    write("one", override_set("one", "two", long_wall="1 m"))
    write("two", override_set("two", "one", long_wall="1 m"))
    error = refused(["be", "one"], both)
    assert "one builds on two builds on one" in error.message
    assert error.path == ("limits", 1)
    write("one", override_set("one", "one", long_wall="1 m"))
    assert "one builds on one" in refused("one", both).message


def test_two_packages_cannot_bring_the_same_limit(write: Write, both: Sets) -> None:
    path = write("tiles", TILES.replace("tile_joint", "gang_spacing"))
    error = refused(None, both)
    assert "two limit sets bring the limit gang_spacing: general" in error.message
    assert str(path) in error.message
    assert "builds_on: general" in error.hint


def test_two_packages_cannot_bring_a_set_of_the_same_name(write: Write, both: Sets) -> None:
    path = write("fr", override_set("fr", "general", long_wall="1 m"))
    error = refused(None, both)
    assert error.message.startswith("two limit sets are called fr: ")
    assert str(path) in error.message


@pytest.mark.parametrize(
    ("text", "line", "says"),
    [
        (override_set("town", "general", long_wal="1 m"), 5, "no limit is called long_wal; did you mean long_wall"),
        (override_set("town", "general", long_wall="1 kg"), 5, "long_wall: 1 kg is a mass"),
        (override_set("town", "general", long_wall="100 m"), 5, "100 m is above"),
        (override_set("town", "genera", long_wall="1 m"), 3, "no limit set is called genera; did you mean general"),
        (override_set("city", "general", long_wall="1 m"), 1, "this set is called city, but lies under the name town"),
        ("name: town\nbuilds_on: general\nlimits: {}\n", 1, "the set town has no title"),
        (
            override_set("town", "general", long_wall="1 m, range: [0 m, 1 m]"),
            5,
            "only the set general, which brings this limit, says its range",
        ),
        ("name: town\ntitle: x\nbuilds_on: general\nlimits:\n  long_wall: {value: 1 m, basis: guess}\n", 5, "guess"),
        (
            "name: town\ntitle: x\nbuilds_on: general\nlimits:\n  long_wall: {value: 1 m, basis: published}\n",
            5,
            "source",
        ),
        ("name: town\ntitle: x\nbuilds_on: general\nlimits:\n  long_wall: {valu: 1 m, basis: memory}\n", 5, "valu"),
        ("name: town\ntitle: x\nbuilds_on: general\nlimits:\n  long_wall: [\n", 5, ""),
    ],
)
def test_a_broken_set_has_a_file_and_a_line(text: str, line: int, says: str, write: Write, both: Sets) -> None:
    path = write("town", text)
    fault = faulty("town", both).faults[0]
    assert (fault.file, fault.line) == (str(path), line)
    assert says in f"{fault.message}; {fault.hint}"
    assert limits.resolve("be", both).names == ("general", "be")  # a set that nobody asks for disturbs nobody


def test_every_mistake_of_a_set_is_told_at_once(write: Write, both: Sets) -> None:
    write("town", override_set("town", "general", long_wall="1 kg", gang_spacing="71", reading_heights="two"))
    assert [fault.line for fault in faulty("town", both).faults] == [5, 6, 7]


def test_a_set_that_brings_limits_is_checked_whether_asked_for_or_not(write: Write, both: Sets) -> None:
    path = write("tiles", TILES.replace("dimension: length, range: [1 mm", "dimension: length, range: [1 kg"))
    [fault] = faulty(None, both).faults
    assert (fault.file, fault.line) == (str(path), 4)
    assert "1 kg is a mass" in fault.message
    write("tiles", TILES.replace("dimension: length", "dimension: lenght"))
    assert "did you mean length" in faulty(None, both).faults[0].hint


def test_a_limit_stands_in_one_family_only(write: Write, folder: Path, both: Sets) -> None:
    write("town/circuits", override_set("town", "general", long_wall="1 m"))
    write("town/moisture", "name: town\nlimits:\n  long_wall: {value: 2 m, basis: memory}\n")
    [fault] = faulty("town", both).faults
    assert (fault.file, fault.line) == (str(folder / "town" / "moisture.yaml"), 3)
    assert "long_wall is also in another file of the set town" in fault.message


def test_without_any_set_it_says_so(folder: Path) -> None:
    assert str(refused(None, [folder])) == "no limit set is called general; there are none"


# ---- A rule that asks wrongly ----------------------------------------------------------------------------------


def test_a_rule_that_reads_a_limit_wrongly_is_told() -> None:
    given = limits.resolve("fr")
    with pytest.raises(KeyError, match=r"no limit is called long_wal; did you mean long_wall\?"):
        given.quantity("long_wal", Length)
    with pytest.raises(TypeError, match="long_wall is no ratio: 2 m"):
        given.quantity("long_wall", Ratio)
    with pytest.raises(TypeError, match="reading_heights is a count, and was read as a quantity"):
        given.quantity("reading_heights", Length)
    with pytest.raises(TypeError, match="socket_points_per_circuit is a table, and was read as a count"):
        given.count("socket_points_per_circuit")
    with pytest.raises(TypeError, match="trip_multiple is a table, and was read as a count"):
        given.count("trip_multiple")
    with pytest.raises(TypeError, match="wet_work is a list, and was read as a choice"):
        given.choice("wet_work")
    with pytest.raises(TypeError, match="socket_counting is a choice, and was read as a list"):
        given.words("socket_counting")
    with pytest.raises(TypeError, match="wet_work is a list, and was read as a table"):
        given.table("wet_work")
    assert given.table("light_points_per_circuit") is None  # a single count where a table may stand


# ---- The sets that we bring ------------------------------------------------------------------------------------


@pytest.mark.parametrize("file", FILES, ids=lambda file: str(file.relative_to(FOLDER)))
def test_a_shipped_set_fits_its_schema(file: Path) -> None:
    # The program itself leaves this out for our own sets, for the sake of a quick start.
    assert check(read(file.read_bytes(), str(file)), "limit-set-1") == []


def test_no_shipped_file_is_overlooked() -> None:
    assert {file.relative_to(FOLDER).parts[0].removesuffix(".yaml") for file in FILES} == set(NAMES)


def test_the_schema_knows_every_dimension() -> None:
    parts = load_schema("limit-set-1")["$defs"]
    assert set(parts["dimension"]["enum"]) == set(units.DIMENSIONS)
    assert set(parts["column"]["else"]["enum"]) == {*units.DIMENSIONS, "count"}


@pytest.mark.parametrize("name", NAMES)
def test_every_shipped_limit_says_how_it_is_known(name: str) -> None:
    for limit in limits.load_set(name).limits.values():
        assert re.fullmatch(r"[a-z]+(_[a-z]+)*", limit.name)
        assert limit.basis in {"published", "common practice", "memory", "own decision"}
        assert limit.source


@pytest.mark.parametrize("name", sorted(set(NAMES) - {"general"}))
def test_a_country_builds_on_general_and_says_where_it_applies(name: str) -> None:
    country = limits.load_set(name)
    assert country.builds_on == ("general",)
    assert country.applies["country"] == name.upper()
    assert country.applies["edition"]
    assert "general stands for the rest" in country.title
    assert limits.resolve(name).names == ("general", name)


def test_warning_comes_before_stopping() -> None:
    for name in NAMES:
        given = limits.resolve(name)
        for pair in ("masonry_wood_equivalent", "masonry_oven_dry", "timber"):
            assert given.quantity(f"{pair}_warn", Ratio) < given.quantity(f"{pair}_stop", Ratio)


@pytest.mark.parametrize("name", NAMES)
def test_no_conductor_has_the_colour_of_another(name: str) -> None:
    given = limits.resolve(name)
    colours = [*given.words("line_colours"), *given.words("neutral_colours"), *given.words("earth_colours")]
    assert len(colours) == len(set(colours))


# What a row is looked up by; the rest is what one finds there.
KEYS = {
    "cable_capacity": ("method", "loaded", "section"),
    "trip_multiple": ("curve",),
    "ambient_factor": ("ambient",),
    "grouping_factor": ("circuits",),
    "insulation_factor": ("enclosed",),
    "breaker_ratings": ("rating",),
    "vapour_layer_steps": ("sd",),
    "bead_bars": ("length",),
    "batten_bars": ("length",),
    "filler_in_joints": ("joint",),
    "support_spacing": ("kind", "thickness", "surface"),
    "socket_points_per_circuit": ("section", "breaker"),
    "ring_circuits": ("section", "breaker"),
    "asbestos_ban_years": ("country",),
    "lead_paint_years": ("country",),
    "installation_zones": ("beside", "from", "rooms"),
    "zones_spare_deeper": ("depth",),
    "socket_spacing": ("reach",),
    "outlets_in_room": ("use",),
    "outlets_by_area": ("use",),
    "hole_to_edge": ("member",),
    "height_bounds": ("kind",),
    "reach_heights": ("kind", "binds"),
    "worktop_heights": ("kind",),
    "bath_zone_points": ("zone", "kind"),
    "bath_distance": ("kind",),
} | dict.fromkeys(("conductor_resistance", "largest_breaker", "wire_diameter", "wire_volume"), ("section",))


@pytest.mark.parametrize("name", NAMES)
def test_no_two_rows_of_a_table_answer_to_the_same_keys(name: str) -> None:
    for limit in limits.load_set(name).limits.values():
        if limit.kind is Kind.TABLE:
            found = [tuple(row[key] for key in KEYS[limit.name]) for row in rows_of(name, limit.name)]
            assert len(found) == len(set(found)), limit.name


@pytest.mark.parametrize("name", NAMES)
def test_worse_laid_or_thinner_never_carries_more(name: str) -> None:
    table = rows_of(name, "cable_capacity")
    carried = {(row["method"], row["loaded"], float(row["section"])): float(row["capacity"]) for row in table}
    sections = sorted({section for _, _, section in carried})
    assert len(carried) == 5 * 2 * len(sections)
    for loaded in (2, 3):
        for section in sections:
            worst_first = [carried[method, loaded, section] for method in ("A2", "A1", "B2", "B1", "C")]
            assert worst_first == sorted(worst_first)
        for method in ("A2", "A1", "B2", "B1", "C"):
            thinnest_first = [carried[method, loaded, section] for section in sections]
            assert thinnest_first == sorted(set(thinnest_first))
            assert all(carried[method, 3, section] <= carried[method, 2, section] for section in sections)


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("table", ["ambient_factor", "grouping_factor", "insulation_factor"])
def test_no_factor_rises_as_things_get_worse(name: str, table: str) -> None:
    factors = [float(row["factor"]) for row in rows_of(name, table)]
    assert factors == sorted(factors, reverse=True)


@pytest.mark.parametrize("name", NAMES)
def test_the_largest_breaker_rises_with_the_section_and_is_made(name: str) -> None:
    breakers = [float(row["breaker"]) for row in rows_of(name, "largest_breaker")]
    assert breakers == sorted(set(breakers))
    assert set(breakers) <= {row["rating"] for row in rows_of(name, "breaker_ratings")}


def rows_of(name: str, table: str) -> tuple[Row, ...]:
    rows = limits.resolve(name).table(table)
    assert rows is not None
    return rows
