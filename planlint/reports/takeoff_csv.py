"""The takeoff as a table: rows to take to the shop, then a row for each piece to take to the saw. Metres."""

import csv
import io
from collections.abc import Iterator

from planlint.takeoff_records import Takeoff

COLUMNS = (
    "list",
    "item",
    "quantity",
    "unit",
    "place",
    "layer",
    "sheet",
    "x",
    "y",
    "turned",
    "width_top",
    "width_bottom",
    "height_left",
    "height_right",
    "left",
    "right",
    "cutouts",
)
Row = dict[str, object]


def render(takeoff: Takeoff) -> str:
    """Comma-separated (RFC 4180), a heading first; `list` says which rows are for the shop and which for the saw."""
    text = io.StringIO()
    writer = csv.DictWriter(text, COLUMNS, restval="", lineterminator="\r\n")
    writer.writeheader()
    writer.writerows(_shop(takeoff))
    writer.writerows(_saw(takeoff))
    return text.getvalue()


def _shop(takeoff: Takeoff) -> Iterator[Row]:
    total, wiring = takeoff.total, takeoff.wiring
    for board in takeoff.boards:
        yield _bought(f"sheet of {board.name}", board.to_buy, "")
    for name, card in takeoff.lengths.items():
        yield _bought(f"{name}, bar of {card.bar:g} m", len(card.bars), "")
    if takeoff.sealant.cartridges:
        yield _bought("sealant, cartridge", takeoff.sealant.cartridges, "")
    for length, number in total.screws.items():
        yield _bought(f"screw, {length}", number, "")
    if total.filler.high:
        yield _bought("joint filler, at most", round(total.filler.high, 1), "kg")
    if total.tape.high:
        yield _bought("joint tape, at most", round(total.tape.high, 1), "m")
    for what, found in (("cable", wiring.cable), ("single wire", wiring.wires), ("conduit", wiring.conduit)):
        for size, metres in found.items():
            yield _bought(f"{what}, {size}", round(metres, 2), "m")
    for name, number in wiring.boxes.items():
        yield _bought(f"box, {name}", number, "")


def _bought(item: str, quantity: float, unit: str) -> Row:
    return {"list": "shop", "item": item, "quantity": quantity, "unit": unit}


def _saw(takeoff: Takeoff) -> Iterator[Row]:
    pieces = {piece.place: piece for piece in takeoff.pieces}
    for board in takeoff.boards:
        for number, sheet in enumerate(board.layout, 1):
            for spot in sheet.pieces:
                piece = pieces[spot.piece]
                yield {
                    "list": "saw",
                    "item": board.name,
                    "quantity": 1,
                    "place": piece.place,
                    "layer": piece.layer,
                    "sheet": f"offcut {number}" if sheet.is_offcut else number,
                    "x": round(spot.x, 4),
                    "y": round(spot.y, 4),
                    "turned": spot.turned,
                    "width_top": round(piece.width_top, 4),
                    "width_bottom": round(piece.width_bottom, 4),
                    "height_left": round(piece.height_left, 4),
                    "height_right": round(piece.height_right, 4),
                    "left": piece.left or "",
                    "right": piece.right or "",
                    "cutouts": "; ".join(
                        f"{one.what} {one.width:.4g} x {one.height:.4g} at {one.x:.4g}, {one.y:.4g}"
                        for one in piece.cutouts
                    ),
                }
