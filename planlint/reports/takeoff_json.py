"""The takeoff for programs: version 1, whose form `schemas/takeoff-1.json` describes. Metres, kilograms, m², m³."""

from collections.abc import Mapping

from planlint.reports.sums_json import Json, unknown, written
from planlint.takeoff_records import Band, BoardCard, Cutout, LengthsCard, PieceCard, Takeoff, Total

PLACES = 6
"""Decimals of a length: tenths of a millimetre."""


def render(takeoff: Takeoff, version: str) -> str:
    """The whole takeoff as JSON; the same takeoff gives the same text."""
    total, wiring = takeoff.total, takeoff.wiring
    body: Json = {
        "place": takeoff.place,
        "boards": {board.name: _board(board) for board in takeoff.boards},
        "pieces": [_piece(piece) for piece in takeoff.pieces],
        "lengths": _all_lengths(takeoff.lengths),
        "sealant": {
            "length": _m(takeoff.sealant.length),
            "volume": _volume(takeoff.sealant.volume),
            "cartridges": takeoff.sealant.cartridges,
            "cartridge": _volume(takeoff.sealant.cartridge),
        },
        "screws": total.screws,
        "filler": {**_band(total.filler), "joints": _m(total.joints)},
        "tape": _band(total.tape),
        "cable": {section: _m(length) for section, length in wiring.cable.items()},
        "wires": {section: _m(length) for section, length in wiring.wires.items()},
        "conduit": {size: _m(length) for size, length in wiring.conduit.items()},
        "boxes": wiring.boxes,
        "rooms": [_total(room) for room in takeoff.rooms],
        "assumed": list(takeoff.assumed),
        "broken": [
            {"place": one.place, "layer": one.layer, "rule": one.rule, "at": one.what} for one in takeoff.broken
        ],
        "unknown": [unknown(one) for one in takeoff.unknown],
        "caution": takeoff.caution,
    }
    return written("takeoff", takeoff, version, body)


def _board(board: BoardCard) -> Json:
    return {
        "width": _m(board.width),
        "length": _m(board.length),
        "kerf": _m(board.kerf),
        "sheets": board.sheets,
        "bound": board.bound,
        "in_stock": board.in_stock,
        "to_buy": board.to_buy,
        "mass": None if board.mass is None else round(board.mass, 1),
        "layout": [
            {
                "width": _m(sheet.width),
                "length": _m(sheet.length),
                "offcut": sheet.is_offcut,
                "pieces": [
                    {
                        "piece": spot.piece,
                        "x": _m(spot.x),
                        "y": _m(spot.y),
                        "width": _m(spot.width),
                        "height": _m(spot.height),
                        "turned": spot.turned,
                    }
                    for spot in sheet.pieces
                ],
            }
            for sheet in board.layout
        ],
    }


def _piece(piece: PieceCard) -> Json:
    return {
        "piece": piece.place,
        "wall": piece.surface,
        "layer": piece.layer,
        "row": piece.row,
        "board": piece.board,
        "made": piece.made,
        "at": _m(piece.at),
        "bottom": _m(piece.bottom),
        "width": _m(piece.width),
        "height": _m(piece.height),
        "width_top": _m(piece.width_top),
        "width_bottom": _m(piece.width_bottom),
        "height_left": _m(piece.height_left),
        "height_right": _m(piece.height_right),
        "left": piece.left,
        "right": piece.right,
        "area": round(piece.area, PLACES),
        "cutouts": [_cutout(cutout) for cutout in piece.cutouts],
    }


def _cutout(cutout: Cutout) -> Json:
    return {
        "what": cutout.what,
        "box": cutout.is_box,
        "x": _m(cutout.x),
        "y": _m(cutout.y),
        "width": _m(cutout.width),
        "height": _m(cutout.height),
    }


def _all_lengths(cards: Mapping[str, LengthsCard]) -> Json:
    """What is cut from bars; battens of several sizes also together, for whoever asks for `batten` alone."""
    found: Json = {name: _lengths(card) for name, card in cards.items()}
    battens = [card for name, card in cards.items() if name.startswith("batten ")]
    if battens:
        found["batten"] = {
            "needed": _m(sum(card.needed for card in battens)),
            "bar": _m(max(card.bar for card in battens)),
            "bars": sum(len(card.bars) for card in battens),
            "bound": sum(card.bound for card in battens),
            "cuts": [[_m(length) for length in bar.cuts] for card in battens for bar in card.bars],
            "places": [list(bar.places) for card in battens for bar in card.bars],
        }
    return found


def _lengths(card: LengthsCard) -> Json:
    return {
        "needed": _m(card.needed),
        "bar": _m(card.bar),
        "bars": len(card.bars),
        "bound": card.bound,
        "cuts": [[_m(length) for length in bar.cuts] for bar in card.bars],
        "places": [list(bar.places) for bar in card.bars],
    }


def _total(room: Total) -> Json:
    return {
        "place": room.place,
        "pieces": room.pieces,
        "areas": {board: round(area, PLACES) for board, area in room.areas.items()},
        "bead": _m(room.bead),
        "batten": _m(room.batten),
        "sealant": {"length": _m(room.sealant_length), "volume": _volume(room.sealant)},
        "screws": room.screws,
        "filler": {**_band(room.filler), "joints": _m(room.joints)},
        "tape": _band(room.tape),
        "boxes": room.boxes,
    }


def _band(band: Band) -> Json:
    return {"low": round(band.low, 2), "high": round(band.high, 2)}


def _m(length: float) -> float:
    # Never -0.0, which some programs stumble over.
    return round(length, PLACES) + 0.0


def _volume(volume: float) -> float:
    return round(volume, 7)
