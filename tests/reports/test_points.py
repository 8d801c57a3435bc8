"""The schedule of points as text, table and JSON, from records made up by hand: reports do no sums."""

import csv
import io
import json
from dataclasses import replace

import pytest
from jsonschema import Draft202012Validator, ValidationError

from planlint.points_records import (
    BoxCard,
    CeilingPointCard,
    Figure,
    FittingCard,
    HoleCard,
    PieceHole,
    PointCard,
    PointsSchedule,
    RunCard,
    Source,
    SpotCard,
    StepCard,
    Unknown,
    Vapour,
    WallCard,
    WayCard,
)
from planlint.reports import points, points_csv, points_json
from planlint.reports.page import Page
from planlint.schema import load_schema


def figure(value: float, unit: str) -> Figure:
    return Figure(value, unit, f"{value:g} {unit}")


@pytest.fixture
def fitting() -> FittingCard:
    """Of a point whose box is not described, on a circuit that is not there."""
    box = BoxCard(
        "round",
        Unknown("the hole that the box round wants", ("boxes.round.hole",)),
        Unknown("how deep the box round is", ("boxes.round.depth",)),
        Unknown("the hole that the box wants, or the hole saws at hand", ("boxes.round.hole",)),
    )
    return FittingCard(
        box=box,
        circuit="spares",
        is_circuit_known=False,
        backing=True,
        recess=figure(15, "mm"),
        ip="IP44",
        vapour=Vapour.NOT_REACHED,
    )


@pytest.fixture
def brewery(fitting: FittingCard) -> PointsSchedule:
    """A wall with one point, a ceiling with another, and a cable of which only the way is known."""
    unknown = Unknown("how much is still to be laid on the floor", ("vat.floor.build_up",))
    middle = HoleCard(0, figure(2, "ft"), figure(9, "ft"))
    point = PointCard(
        place="vat.north.S1",
        name="S1",
        kind="socket",
        gangs=1,
        now=unknown,
        finished=figure(12, "in"),
        holes=(replace(middle, number=1),),
        centre=middle,
        fitting=fitting,
        steps=(StepCard("from the right end", "length 11 ft - 2 ft", "9 ft"),),
    )
    piece = PieceHole(
        "vat.north.P1",
        "P1",
        2,
        "narrow",
        "S1",
        1,
        figure(2, "ft"),
        figure(11.5, "in"),
        figure(68, "mm"),
        crosses_edge=True,
    )
    wall = WallCard("vat.north", figure(11, "ft"), (point,), has_pieces=True, pieces=(piece,), unplaced=())
    spots = (
        SpotCard(figure(2, "ft"), unknown, figure(1, "ft")),
        SpotCard(figure(4, "ft"), unknown, figure(1, "ft")),
    )
    run = RunCard(
        place="circuits.spares.run-to-S1",
        circuit="spares",
        start=None,
        end="S1",
        section=None,
        how="in-zones",
        said="not drawn: worked out inside the installation zones",
        is_whole=False,
        spread=figure(150, "mm"),
        ways=(WayCard("vat.north", spots),),
        depth=Unknown("how deep it lies", ("circuits.spares.run-to-S1.depth",)),
        protected_by=None,
        length=Unknown("how long it is", ("circuits.spares.run-to-S1.length",)),
        missing=("circuits.spares.run-to-S1.path",),
    )
    lamp = CeilingPointCard(
        "vat.ceiling.C1", "C1", "light", 1, (("north", figure(3, "ft")), ("east", figure(2.5, "ft"))), None, fitting
    )
    return PointsSchedule(
        plan="-",
        title="Brewery, vat room",
        digest="sha256:" + "0" * 64,
        limits=("general",),
        overridden=("gang_spacing: 72 mm (as our boxes are)",),
        place=None,
        on_pieces=True,
        points_in_plan=2,
        walls=(wall,),
        ceilings=(lamp,),
        runs_in_plan=1,
        runs=(run,),
        sources=(Source("gang_spacing", "72 mm", "plan", "own decision", "us: as our boxes are", ""),),
        caution="Switch it off first.",
    )


@pytest.fixture(scope="module")
def validator() -> Draft202012Validator:
    return Draft202012Validator(load_schema("points-1"))


def said(schedule: PointsSchedule, *, show_working: bool = False) -> str:
    return " ".join(points.render(schedule, Page(), show_working=show_working).split())


def test_what_the_text_says(brewery: PointsSchedule) -> None:
    text = said(brewery, show_working=True)
    for words in (
        "from standard input",
        "The plan sets limits of its own: gang_spacing: 72 mm (as our boxes are).",
        "S1 2 ft 9 ft ? 12 in",
        "not recorded: how much is still to be laid on the floor (add vat.floor.build_up)",
        "box round (not recorded: the hole that the box round wants (add boxes.round.hole), not recorded: how deep",
        "circuit spares, which the plan does not hold",
        "hollow of 15 mm in the wall behind; IP44; the box ends before the vapour layer",
        "from the right end: length 11 ft - 2 ft = 9 ft",
        "P1 S1, 1 2 ft 11.5 in 68 mm",
        "S1 crosses the edge of P1",
        "C1 (light): 3 ft from north and 2.5 ft from east;",
        "circuit spares, a point that is not recorded to S1: not drawn",
        "not all of its way",
        "(add circuits.spares.run-to-S1.path, circuits.spares.run-to-S1.depth)",
        "vat.north: 2 ft along, 1 ft above the finished floor; 4 ft along",
        "gang_spacing 72 mm, set by the plan; own decision: us: as our boxes are.",
    ):
        assert words in text
    assert text.endswith("Take care Switch it off first.")
    assert "gang_spacing 72 mm" not in said(brewery)


def test_colour_only_sets_off(brewery: PointsSchedule) -> None:
    coloured = points.render(brewery, Page(colour=True))
    assert "\x1b[1mvat, north: 11 ft long\x1b[0m" in coloured
    plain = coloured.replace("\x1b[1m", "").replace("\x1b[2m", "").replace("\x1b[0m", "")
    assert plain == points.render(brewery, Page())


def test_the_table_is_in_millimetres(brewery: PointsSchedule) -> None:
    """2 ft are 609.6 mm, 11.5 in 292.1 mm."""
    on_wall, on_ceiling = csv.DictReader(io.StringIO(points_csv.render(brewery), newline=""))
    assert (on_wall["from_left_mm"], on_wall["height_now_mm"], on_wall["height_finished_mm"]) == ("609.6", "", "304.8")
    assert (on_wall["piece_from_left_mm"], on_wall["piece_from_bottom_mm"]) == ("609.6", "292.1")
    assert on_wall["missing"].split() == ["vat.floor.build_up", "boxes.round.hole", "boxes.round.depth"]
    assert on_ceiling["from_walls_mm"] == "north 914.4; east 762"


def test_the_json_holds_to_its_schema(brewery: PointsSchedule, validator: Draft202012Validator) -> None:
    report = json.loads(points_json.render(brewery, "1.2.3"))
    validator.validate(report)
    assert report["walls"][0]["points"][0]["height_now"]["missing"] == ["vat.floor.build_up"]


@pytest.mark.parametrize(("key", "value"), [("points", 2), ("walls", [{}]), ("digest", "0"), ("caution", "")])
def test_the_schema_refuses_what_is_wrong(
    brewery: PointsSchedule, validator: Draft202012Validator, key: str, value: object
) -> None:
    report = json.loads(points_json.render(brewery, "1.2.3"))
    report[key] = value
    with pytest.raises(ValidationError):
        validator.validate(report)
