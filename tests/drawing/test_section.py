"""The section of a lining, read off the paper as a person reads it: ticks, boundaries of layers, curves.

The figures of case B are those of tests/reference/test_condensation.py, which were computed independently there.
"""

import re
from datetime import date
from itertools import combinations, pairwise

import pytest

from planlint import limits, source
from planlint.drawing.paper import box_of
from planlint.drawing.section import LIMITS_OF_SECTION, section, table_of_layers
from planlint.model.build import build
from planlint.model.plan import Plan
from planlint.model.rooms import Wall
from planlint.rule import Given
from planlint.sheet_records import Area, Circle, Flag, Line, Look, Picture, Text

BRICK = "material: solid-brick, thickness: 380 mm, faces: outside, conductivity: 0.81 W/(m·K), vapour_resistance: 10"
PLASTER = "{material: lime-plaster, thickness: 15 mm, conductivity: 1.00 W/(m·K), vapour_resistance: 15}"
WOOL = "{material: mineral-wool, thickness: 60 mm, conductivity: 0.040 W/(m·K), vapour_resistance: 1}"
STRAND = "{board: strand, conductivity: 0.13 W/(m·K), vapour_resistance: 50}"
SHEET = "{board: sheet, conductivity: 0.25 W/(m·K), vapour_resistance: 10}"
CASE_B = f"{WOOL}, {STRAND}, {SHEET}"
CASE_D = f"{STRAND}, {WOOL}, {SHEET}"
TABLE_B = [
    (-4.59, 415.6, 320.9),
    (0.27, 622.5, 612.3),
    (0.42, 629.5, 629.5),
    (15.94, 1810.5, 670.7),
    (16.90, 1924.0, 1082.7),
    (17.41, 1988.0, 1168.5),
]
"""°C, saturation and vapour pressure [Pa] at the outer surface and the inner face of each layer."""


@pytest.fixture(scope="module")
def given() -> Given:
    return Given(limits.resolve(None), date(2026, 10, 3), LIMITS_OF_SECTION)


def plan_of(text: str) -> Plan:
    return build(source.read(text.encode(), "case.plan.yaml"))


def wall_of(
    layers: str,
    base: str = BRICK,
    wall: str = "lining: chosen",
    battens: str = "battens: {depth: 60 mm},",
    more: str = "",
) -> Wall:
    return (
        plan_of(f"""
plan: 1
title: one wall
boards:
  strand: {{kind: osb, thickness: 12 mm, density: 600 kg/m³}}
  sheet: {{kind: gypsum, thickness: 12.5 mm, mass: 10 kg/m²}}
  bare: {{kind: gypsum}}
linings: {{chosen: {{{battens} layers: [{layers}]}}}}
{more}
rooms: {{study: {{walls: [{{wall: west, base: {{{base}}}, {wall}}}]}}}}
""")
        .rooms[0]
        .walls[0]
    )


def plastered(layers: str, **more: str) -> Wall:
    return wall_of(layers, wall=f"existing: {{layers: [{PLASTER}]}}, lining: chosen", **more)


def drawn(wall: Wall, given: Given) -> Picture:
    found = section(wall, given, {})
    assert found is not None
    return found


def boundaries(picture: Picture) -> list[float]:
    """Where layers end on paper, from the outer surface on; battens and the jags of a break do not count."""
    edges: list[float] = []
    for mark in picture.marks:
        if isinstance(mark, Area) and mark.look is not Look.BATTEN:
            upright = [one[0] for one, other in pairwise((*mark.spots, mark.spots[0])) if one[0] == other[0]]
            edges += upright
    return sorted({round(x, 6) for x in edges})


def scales(picture: Picture) -> list[list[tuple[float, float]]]:
    """The figures at the left of each chart with their heights on paper: the upper chart's, then the lower one's."""
    ticks = [mark for mark in picture.marks if isinstance(mark, Text) and mark.look is Look.AXIS]
    rows: list[list[tuple[float, float]]] = []
    for tick in ticks:
        row = rows[-1] if rows and rows[-1][-1][1] > tick.at[1] else []
        if not row:
            rows.append(row)
        row.append((float(tick.text), tick.at[1]))
    return rows


def read_at(picture: Picture, look: Look, scale: list[tuple[float, float]], x: float) -> float:
    """The value of a curve where it passes x, by the scale beside it."""
    (curve,) = [mark for mark in picture.marks if isinstance(mark, Line) and mark.look is look]
    (first, low), (last, high) = scale[0], scale[-1]
    # The base line of a figure lies as far below its tick as every other's does.
    tick = next(
        mark
        for mark in picture.marks
        if isinstance(mark, Line)
        and mark.look is Look.AXIS
        and len(mark.spots) == 2
        and abs(mark.spots[0][1] - low) < 1.5
    )
    sunk = low - tick.spots[0][1]
    (left, y1), (right, y2) = next(
        pair for pair in pairwise(curve.spots) if pair[0][0] <= x + 1e-6 <= pair[1][0] + 2e-6
    )
    y = y1 + (y2 - y1) * (x - left) / (right - left) if right > left else y1
    return first + (last - first) * (y + sunk - low) / (high - low)


def words_of(picture: Picture) -> list[str]:
    return [mark.text for mark in picture.marks if isinstance(mark, Text)]


def test_curves_of_case_b_at_the_faces_of_its_layers(given: Given) -> None:
    picture = drawn(plastered(CASE_B), given)
    warmth, pressure = scales(picture)
    edges = boundaries(picture)
    assert len(edges) == len(TABLE_B)
    for x, (celsius, saturated, vapour) in zip(edges, TABLE_B, strict=True):
        assert read_at(picture, Look.CURVE_TEMPERATURE, warmth, x) == pytest.approx(celsius, abs=0.01)
        assert read_at(picture, Look.CURVE_SATURATION, pressure, x) == pytest.approx(saturated, abs=0.2)
        assert read_at(picture, Look.CURVE_VAPOUR, pressure, x) == pytest.approx(vapour, abs=0.2)


def test_vapour_is_nowhere_drawn_above_saturation(given: Given) -> None:
    picture = drawn(plastered(CASE_B), given)
    _, pressure = scales(picture)
    edges = boundaries(picture)
    for step in range(101):
        x = edges[0] + (edges[-1] - edges[0]) * step / 100
        most = read_at(picture, Look.CURVE_SATURATION, pressure, x)
        # Saturation is drawn in short straight parts, which pass a little above the curve.
        assert read_at(picture, Look.CURVE_VAPOUR, pressure, x) <= most + 1


def test_layers_are_to_scale_across(given: Given) -> None:
    picture = drawn(plastered(CASE_B), given)
    assert picture.scale == 2
    widths = [right - left for left, right in pairwise(boundaries(picture))]
    assert widths[1:] == pytest.approx([15 / 2, 60 / 2, 12 / 2, 12.5 / 2])
    # 380 mm of brick would take 190 mm: it is broken, and the picture says so.
    assert widths[0] < 190
    assert any("solid brick shortened" in words for words in words_of(picture))


def test_a_bare_wall_is_not_shortened(given: Given) -> None:
    picture = drawn(wall_of(WOOL, wall="lining: none"), given)
    assert picture.scale == 5
    assert boundaries(picture)[1] - boundaries(picture)[0] == pytest.approx(380 / 5)
    assert picture.title.endswith("as it stands")


def test_water_is_marked_where_and_how_much(given: Given) -> None:
    # 0.9485 kg/m² between plaster and wool, of which 1.1838 could dry (tests/reference/test_condensation.py, case B).
    picture = drawn(plastered(CASE_B), given)
    edges = boundaries(picture)
    (drop,) = [mark for mark in picture.marks if isinstance(mark, Circle) and mark.look is Look.CONDENSING]
    assert drop.middle[0] == pytest.approx(edges[2])
    said = next(words for words in words_of(picture) if words.startswith("water: "))
    assert float(re.findall(r"[\d.]+", said)[0]) == pytest.approx(0.949, abs=0.005)
    assert "between the lime plaster and the mineral wool" in picture.described
    assert "1.18 kg/m² can dry out, so it dries out again" in picture.described


def test_two_planes_of_case_d(given: Given) -> None:
    picture = drawn(plastered(CASE_D, more="limits: general"), given)
    drops = {round(mark.middle[0], 6) for mark in picture.marks if isinstance(mark, Circle)}
    assert drops <= set(boundaries(picture))
    assert sum(words.startswith("water: ") for words in words_of(picture)) == len(drops)


def test_the_air_that_is_reckoned_with_is_said(given: Given) -> None:
    own = "climate: {inside: {temperature: 68 degF, humidity: 45 %}, outside: {temperature: 14 degF, humidity: 85 %}}"
    picture = drawn(plastered(CASE_B, more=own), given)
    assert "Outside (left): 14 °F and 85 %" in words_of(picture)
    assert "Temperature, °F" in words_of(picture)
    edges, (warmth, _) = boundaries(picture), scales(picture)
    # Between the airs of 14 and 68 °F.
    assert 14 < read_at(picture, Look.CURVE_TEMPERATURE, warmth, edges[0]) < 20
    assert any(words.endswith("assumed") for words in words_of(drawn(plastered(CASE_B), given)))


@pytest.mark.parametrize(
    ("layers", "base", "keys"),
    [
        (CASE_B, "material: solid-brick, thickness: 380 mm", ("base.faces",)),
        ("{material: moondust, thickness: 5 mm}", BRICK, ("linings.chosen.layers.1.conductivity",)),
        ("{material: mineral-wool}", BRICK, ("linings.chosen.layers.1.thickness",)),
        ("{board: bare}", BRICK, ("boards.bare.thickness",)),
        (CASE_B, "material: solid-brick, faces: outside", ("base.thickness",)),
        (CASE_B, "faces: outside", ("base.material", "base.thickness")),
    ],
)
def test_what_is_not_recorded_leaves_the_layers_alone(
    given: Given, layers: str, base: str, keys: tuple[str, ...]
) -> None:
    picture = drawn(wall_of(layers, base=base), given)
    assert not [mark for mark in picture.marks if mark.look is Look.CURVE_TEMPERATURE]
    assert len(boundaries(picture)) > 1
    for key in keys:
        assert any(key in sentence for sentence in picture.unplaced)


def test_a_wall_inside_has_layers_alone(given: Given) -> None:
    base = "material: solid-brick, thickness: 110 mm, faces: inside"
    picture = drawn(wall_of(CASE_B, base=base), given)
    assert not picture.unplaced
    assert not [mark for mark in picture.marks if mark.look is Look.AXIS]
    assert section(wall_of(CASE_B, base=base, wall="lining: none"), given, {}) is None


def test_battens_deeper_than_what_is_between_them(given: Given) -> None:
    # 60 mm of wool behind battens of 80 mm leaves 20 mm, at 1:2 10 mm; the sums do not know of it.
    picture = drawn(
        wall_of(f"{WOOL}, {SHEET}", battens="battens: {depth: 80 mm, width: 50 mm, spacing: 600 mm},"), given
    )
    edges = boundaries(picture)
    assert edges[3] - edges[2] == pytest.approx(10)
    (batten,) = [mark for mark in picture.marks if isinstance(mark, Area) and mark.look is Look.BATTEN]
    assert box_of(batten).width == pytest.approx(40)
    assert any("sums leave out" in sentence for sentence in picture.unplaced)
    warmth, _ = scales(picture)
    assert read_at(picture, Look.CURVE_TEMPERATURE, warmth, edges[2]) == pytest.approx(
        read_at(picture, Look.CURVE_TEMPERATURE, warmth, edges[3])
    )


def test_slopes_and_ceilings_have_layers_alone(given: Given) -> None:
    plan = plan_of("""
plan: 1
title: loft
linings: {warm: {layers: [{material: mineral-wool, thickness: 100 mm}, {material: vapour-barrier, sd: 10 m}]}}
rooms:
  loft:
    walls: [{wall: south}]
    ceiling: {base: {material: timber-joists, thickness: 180 mm}, lining: warm}
    slopes: {north: {above: south, air_gap: 50 mm, lining: warm}}
""")
    (room,) = plan.rooms
    assert room.ceiling is not None
    for surface in (room.ceiling, *room.slopes):
        picture = section(surface, given, {surface.place: ((7, Look.FOUND_ERROR),)})
        assert picture is not None
        assert [mark.number for mark in picture.marks if isinstance(mark, Flag)] == [7]
        assert "mineral wool" in picture.described
    assert section(room.walls[0], given, {}) is None


def test_flags_stand_beside_what_they_speak_of(given: Given) -> None:
    numbers = {
        "boards.strand": ((3, Look.FOUND_ERROR), (4, Look.FOUND_NOTE)),
        "linings.chosen": ((5, Look.FOUND_WARNING),),
        "study.west": ((6, Look.FOUND_ERROR),),
    }
    picture = section(plastered(CASE_B), given, numbers)
    assert picture is not None
    flags = {mark.number: mark.at for mark in picture.marks if isinstance(mark, Flag)}
    # What is found of the wall stands in its elevation.
    assert sorted(flags) == [3, 4, 5]
    strand = next(mark for mark in picture.marks if isinstance(mark, Text) and mark.text.startswith("board strand"))
    assert abs(flags[3][1] - strand.at[1]) < 8
    # Each is something to press on: 24 px are 6.4 mm (WCAG 2.2, 2.5.8).
    assert flags[4][0] - flags[3][0] >= 6.4


def test_the_table_says_what_the_curves_show(given: Given) -> None:
    table = table_of_layers(plastered(CASE_B), given)
    assert table is not None
    assert all(len(row) == len(table.head) for row in table.rows)
    assert [row[0] for row in table.rows][:3] == ["outer surface", "solid brick", "lime plaster"]
    assert table.rows[3][3:5] == ("15.9 °C", "671 Pa")
    assert table_of_layers(wall_of(CASE_B, base="material: solid-brick, thickness: 380 mm"), given) is None


ODD = [
    wall_of(CASE_B, battens=""),
    wall_of(f"{WOOL}, {WOOL}, {STRAND}, {SHEET}, {SHEET}, {SHEET}, {SHEET}"),
    wall_of("{material: vapour-barrier, sd: 5 m}, {material: vapour-barrier, sd: 5 m}, {board: bare}"),
    wall_of("{material: " + "very-" * 50 + "long, thickness: 3 mm}, {board: sheet}"),
    wall_of("{material: mineral-wool, thickness: 900 mm}, {board: sheet}"),
    wall_of("{material: mineral-wool, thickness: 0.1 mm}"),
    wall_of(""),
    wall_of("", base="faces: outside"),
    wall_of(CASE_B, base="material: rubble-stone, thickness: 4 m, faces: outside"),
]


@pytest.mark.parametrize("wall", [plastered(CASE_B), plastered(CASE_D), *ODD], ids=range(len(ODD) + 2))
def test_words_and_flags_do_not_overlap_and_fit_the_page(given: Given, wall: Wall) -> None:
    numbers = {
        place: tuple((number, Look.FOUND_ERROR) for number in range(start, start + 12))
        for start, place in ((1, "boards.strand"), (20, "boards.sheet"), (40, "linings.chosen"))
    }
    picture = section(wall, given, numbers)
    assert picture is not None
    assert picture == section(wall, given, numbers)
    assert picture.width <= 180
    assert all(mark.size >= 2.5 for mark in picture.marks if isinstance(mark, Text))
    found = [(mark, box_of(mark)) for mark in picture.marks if isinstance(mark, (Text, Flag))]
    for (one, here), (other, there) in combinations(found, 2):
        assert not here.overlaps(there), (one, other)
    for _, box in found:
        assert box.left >= 0
        assert box.top >= 0
        assert box.right <= picture.width
        assert box.bottom <= picture.height
    for sample in picture.legend:
        for mark in sample.marks:
            box = box_of(mark)
            assert min(box.left, box.top, 12 - box.right, 6 - box.bottom) >= 0
