"""The takeoff as people and programs read it, from records made by hand."""

import csv
import io
import json
from dataclasses import replace

import pytest
from jsonschema import Draft202012Validator

from planlint.reports import takeoff, takeoff_csv, takeoff_json
from planlint.reports.page import Page
from planlint.schema import load_schema
from planlint.takeoff_records import (
    Band,
    BarCard,
    BoardCard,
    BrokenCard,
    Cutout,
    CutSheet,
    LengthsCard,
    PieceCard,
    PlacedPiece,
    SealantCard,
    Takeoff,
    Total,
    Unknown,
    Wiring,
)

PIECE = PieceCard(
    name="piece-1",
    place="loft.west.piece-1",
    surface="loft.west",
    room="loft",
    layer=1,
    board="narrow",
    unit="mm",
    row=1,
    made=True,
    at=0.0,
    from_bare=0.0125,
    chained=True,
    bottom=0.010,
    to_end=True,
    width=0.360,
    height=2.590,
    width_top=0.356,
    width_bottom=0.360,
    height_left=2.590,
    height_right=2.590,
    left="cut",
    right="tapered",
    area=0.92,
    cutouts=(Cutout("loft.west.S1", 0.1, 0.2, 0.068, 0.068, is_box=True),),
)
TOTAL = Total(
    place="loft",
    pieces={"narrow": 1},
    areas={"narrow": 0.92},
    bead=2.6,
    batten=0.0,
    sealant_length=2.6,
    sealant=65e-6,
    screws={"35 mm": 24},
    joints=0.0,
    filler=Band(0.78, 1.3),
    tape=Band(0.0, 0.0),
    boxes={"deep": 1},
)
WHOLE = Takeoff(
    plan="loft.plan.yaml",
    title="Rope loft",
    digest="sha256:" + 64 * "0",
    limits=("general",),
    overridden=(),
    place=None,
    unit="m",
    pieces=(PIECE,),
    boards=(
        BoardCard(
            name="narrow",
            unit="mm",
            width=0.6,
            length=2.6,
            kerf=0.003,
            sheets=2,
            bound=1,
            in_stock=1,
            to_buy=1,
            mass=26.5,
            layout=(CutSheet(0.6, 2.6, False, (PlacedPiece(PIECE.place, 0.24, 0.0, 0.36, 2.59, 180),)),),  # noqa: FBT003 - a whole sheet
        ),
    ),
    lengths={"bead": LengthsCard(2.6, 2.6, 1, (BarCard((2.6,), ("loft.west.corner",)),))},
    sealant=SealantCard(2.6, 65e-6, 1, 310e-6),
    wiring=Wiring({"1.5 mm²": 6.0}, {"2.5 mm²": 33.0}, {"20 mm": 11.0}, {"deep": 1}),
    total=TOTAL,
    rooms=(TOTAL,),
    assumed=("joints are 5 mm wide",),
    broken=(BrokenCard("loft.west", 1, "joint-on-support", "0.6 m along the bare wall"),),
    unknown=(Unknown("how high the wall is", ("loft.south.height",)),),
    caution="Measure again.",
)


def said(of: Takeoff) -> str:
    return " ".join(takeoff.render(of, Page()).split())


@pytest.mark.parametrize(
    "sentence",
    [
        "narrow, 600 mm × 2600 mm: 2 sheets (at least 1 in any case); 1 at hand, 1 to buy; 26 kg in all",
        "bead: 1 length of 2.6 m (the fewest possible), for 2.6 m",
        "sealant: 1 cartridge of 310 ml for 2.6 m of joint",
        "screws, 35 mm: 24",
        "joint filler: 0.8 to 1.3 kg",
        "single wires, 2.5 mm²: 33.0 m",
        "narrow; each cut takes 3 mm",
        "loft, west, piece-1: top 356 mm bottom 360 mm × 2590 mm, left cut, right tapered; from 240 mm across",
        "across and 0 mm along, lies end for end",
        "cut out the box of S1, 68 mm × 68 mm, 100 mm from the left and 200 mm up",
        "how high the wall is (add loft.south.height)",
        "joint-on-support: loft, west, layer 1, 0.6 m along the bare wall",
        "joints are 5 mm wide",
        "Measure again.",
    ],
)
def test_text_says(sentence: str) -> None:
    assert sentence in said(WHOLE)


def test_sheets_in_inches_are_marked_in_sixteenths() -> None:
    """360 mm are 14.17 in, so 14 3/16; 2590 mm are 101.97 in, so 101 15/16 (hand: × 16 and rounded)."""
    imperial = replace(WHOLE, pieces=(replace(PIECE, unit="in"),), unit="ft")
    assert "14 3/16 in × 101 15/16 in" in said(replace(imperial, pieces=(replace(PIECE, unit="in", width_top=0.36),)))
    assert "33.0 m" not in said(imperial)


def test_json_is_as_its_schema_says() -> None:
    found = json.loads(takeoff_json.render(WHOLE, "1"))
    Draft202012Validator(load_schema("takeoff-1")).validate(found)
    (sheet,) = found["boards"]["narrow"]["layout"]
    assert sheet["pieces"] == [
        {"piece": "loft.west.piece-1", "x": 0.24, "y": 0.0, "width": 0.36, "height": 2.59, "turned": 180}
    ]
    assert found["lengths"]["bead"]["cuts"] == [[2.6]]
    assert found["filler"] == {"low": 0.78, "high": 1.3, "joints": 0.0}


def test_csv_keeps_shop_and_saw_apart() -> None:
    rows = list(csv.DictReader(io.StringIO(takeoff_csv.render(WHOLE), newline="")))
    assert {row["item"]: row["quantity"] for row in rows if row["list"] == "shop"} == {
        "sheet of narrow": "1",
        "bead, bar of 2.6 m": "1",
        "sealant, cartridge": "1",
        "screw, 35 mm": "24",
        "joint filler, at most": "1.3",
        "cable, 1.5 mm²": "6.0",
        "single wire, 2.5 mm²": "33.0",
        "conduit, 20 mm": "11.0",
        "box, deep": "1",
    }
    (saw,) = (row for row in rows if row["list"] == "saw")
    assert (saw["width_top"], saw["width_bottom"], saw["left"], saw["right"]) == ("0.356", "0.36", "cut", "tapered")
