"""The takeoff for people: a list to take to the shop, a cutting list to take to the saw, and what hangs where."""

from collections.abc import Iterable, Iterator
from itertools import groupby
from operator import attrgetter

from planlint.reports.page import Page, Tone, count, listing, to_add
from planlint.reports.sums_text import head
from planlint.takeoff_records import Band, BoardCard, Cutout, LengthsCard, PieceCard, Takeoff, Total
from planlint.units import Length

_IMPERIAL = ("in", "ft", "ft in")
_SIXTEENTH = 0.0254 / 16


def render(takeoff: Takeoff, page: Page) -> str:
    """The whole takeoff as text."""
    return "\n\n".join(_Text(takeoff, page).parts()) + "\n"


class _Text:
    """The text of one takeoff on one page."""

    def __init__(self, takeoff: Takeoff, page: Page) -> None:
        self.takeoff = takeoff
        self.page = page

    def parts(self) -> Iterator[str]:
        """Heading, shop, saw, walls, rooms, and what else has to be said."""
        takeoff = self.takeoff
        of = "all of the plan" if takeoff.place is None else f"what lies under {takeoff.place} or bears on it"
        said = f"Takeoff of {of}, by the limits {listing(takeoff.limits)}."
        yield "\n".join(head(takeoff, self.page, said))
        yield from self._part("To take to the shop", self._shop() or ["Nothing."])
        yield from self._part("To take to the saw", self._saw())
        yield from self._part("What hangs where", self._hung())
        if len(takeoff.rooms) > 1:
            yield from self._part("Room by room", [f"{room.place}: {self._room(room)}" for room in takeoff.rooms])
        yield from self._part("Not worked out, since this is not recorded", self._unknown())
        yield from self._part("Where no layout keeps all rules", self._broken())
        yield from self._part("Taken for granted", takeoff.assumed)
        if takeoff.pieces:
            yield "\n".join((self.page.tone("Take care", Tone.HEADING), self.page.paragraph(takeoff.caution, 2, "  ")))

    def _part(self, name: str, lines: Iterable[str]) -> Iterator[str]:
        """A heading with its lines; each line's own indent is kept. Nothing where there are none."""
        shown = []
        for line in lines:
            indent = 2 + len(line) - len(line.lstrip())
            shown.append(self.page.paragraph(line, indent + 2, " " * indent))
        if shown:
            yield "\n".join((self.page.tone(name, Tone.HEADING), *shown))

    def _shop(self) -> list[str]:
        takeoff, total, wiring = self.takeoff, self.takeoff.total, self.takeoff.wiring
        lines = [self._sheets(board) for board in takeoff.boards]
        lines += [self._bars(name, card) for name, card in takeoff.lengths.items()]
        sealant = takeoff.sealant
        if sealant.cartridges:
            each = f"{1e6 * sealant.cartridge:.0f} ml"
            lines.append(
                f"sealant: {count(sealant.cartridges, 'cartridge')} of {each} for {self._long(sealant.length)} of joint"
            )
        lines += [f"screws, {length}: {number}" for length, number in total.screws.items()]
        if total.filler.high:
            lengths = ((total.joints, "joint"), (total.bead, "bead"))
            filled = listing(f"{self._long(length)} of {what}" for length, what in lengths if length)
            lines.append(f"joint filler: {_band(total.filler, 'kg')} for {filled}")
        if total.tape.high:
            lines.append(f"joint tape: {self._long(total.tape.low)} to {self._long(total.tape.high)}")
        for what, found in (("cable", wiring.cable), ("single wires", wiring.wires), ("conduit", wiring.conduit)):
            lines += [f"{what}, {size}: {self._long(length)}" for size, length in found.items()]
        lines += [f"boxes, {name}: {number}" for name, number in wiring.boxes.items()]
        return lines

    def _sheets(self, board: BoardCard) -> str:
        least = "the fewest possible" if board.sheets <= board.bound else f"at least {board.bound} in any case"
        used = f" and {count(board.offcuts_used, 'offcut')}" if board.offcuts_used else ""
        stock = (
            f"{board.in_stock} at hand, {board.to_buy or 'none'} to buy" if board.in_stock else f"{board.to_buy} to buy"
        )
        mass = "" if board.mass is None else f"; {board.mass:.0f} kg in all"
        size = f"{_size(board.width, board.unit)} × {_size(board.length, board.unit)}"
        return f"{board.name}, {size}: {count(board.sheets, 'sheet')}{used} ({least}); {stock}{mass}"

    def _bars(self, name: str, card: LengthsCard) -> str:
        least = "the fewest possible" if len(card.bars) <= card.bound else f"at least {card.bound} in any case"
        of = f"{count(len(card.bars), 'length')} of {self._long(card.bar)}"
        return f"{name}: {of} ({least}), for {self._long(card.needed)}"

    def _saw(self) -> Iterator[str]:
        pieces = {piece.place: piece for piece in self.takeoff.pieces}
        for board in self.takeoff.boards:
            kerf = f"; each cut takes {_size(board.kerf, board.unit)}" if board.kerf else ""
            yield f"{board.name}{kerf}"
            for number, sheet in enumerate(board.layout, 1):
                what = "offcut" if sheet.is_offcut else "sheet"
                yield f"  {what} {number}, {_size(sheet.width, board.unit)} × {_size(sheet.length, board.unit)}"
                for spot in sheet.pieces:
                    piece = pieces[spot.piece]
                    lies = {90: ", lies across", 180: ", lies end for end"}.get(spot.turned, "")
                    across, along = _size(spot.x, board.unit), _size(spot.y, board.unit)
                    where = f"from {across} across and {along} along{lies}"
                    yield f"    {_named(piece.place)}: {_cut(piece)}; {where}"
        for name, card in self.takeoff.lengths.items():
            yield f"{name}, from {self._long(card.bar)}"
            for number, bar in enumerate(card.bars, 1):
                cuts = zip(bar.cuts, bar.places, strict=True)
                said = ", ".join(f"{_size(length, self.takeoff.unit)} ({_named(place)})" for length, place in cuts)
                yield f"  {number}: {said}"

    def _hung(self) -> Iterator[str]:
        for place, of_surface in groupby(self.takeoff.pieces, attrgetter("surface")):
            for layer, of_layer in groupby(of_surface, attrgetter("layer")):
                pieces = list(of_layer)
                given = "" if pieces[0].made else ", as the plan gives it"
                yield f"{_named(place)}, layer {layer} from the wall{given}"
                for piece in pieces:
                    stands = f"{_size(piece.at, piece.unit)} from the left, {_size(piece.bottom, piece.unit)} up"
                    holes = "".join(f"; cut out {_hole(hole, piece.unit)}" for hole in piece.cutouts)
                    yield f"  {piece.name} of {piece.board}: {_cut(piece)}; {stands}{holes}"

    def _room(self, room: Total) -> str:
        parts = [f"{number} of {board}, {room.areas[board]:.2f} m²" for board, number in room.pieces.items()]
        for name, length in (("bead", room.bead), ("batten", room.batten), ("sealant", room.sealant_length)):
            parts += [f"{self._long(length)} of {name}"] if length else []
        parts += [f"{number} screws ({length})" for length, number in room.screws.items()]
        parts += [f"filler {_band(room.filler, 'kg')}"] if room.filler.high else []
        parts += [f"boxes: {listing(f'{number} {name}' for name, number in room.boxes.items())}"] if room.boxes else []
        return "; ".join(parts) or "nothing"

    def _unknown(self) -> Iterator[str]:
        for unknown in self.takeoff.unknown:
            add = to_add(unknown.missing)
            yield f"{unknown.what}{add}"

    def _broken(self) -> Iterator[str]:
        for rule, of_rule in groupby(sorted(self.takeoff.broken, key=attrgetter("rule")), attrgetter("rule")):
            found = [f"{_named(one.place)}, layer {one.layer}, {one.what}" for one in of_rule]
            yield f"{rule}: {'; '.join(found)}"

    def _long(self, metres: float) -> str:
        """A length to buy."""
        return f"{metres / 0.3048:.1f} ft" if self.takeoff.unit in _IMPERIAL else f"{metres:.1f} m"


def _size(metres: float, unit: str) -> str:
    """A size as one marks it: whole millimetres, or sixteenths of an inch where the plan writes the sheet so."""
    if unit in _IMPERIAL:
        return str(Length(round(metres / _SIXTEENTH) * _SIXTEENTH, "in"))
    return f"{round(1000 * metres) + 0} mm"


def _cut(piece: PieceCard) -> str:
    """A piece as one marks it on the sheet: widths, heights, edges."""
    top, bottom, left, right, high = (
        _size(side, piece.unit)
        for side in (piece.width_top, piece.width_bottom, piece.height_left, piece.height_right, piece.height)
    )
    width, height = _pair("top", top, "bottom", bottom), _pair("left", left, "right", right)
    over = f", peak {high}" if piece.height > max(piece.height_left, piece.height_right) + _SIXTEENTH else ""
    return f"{width} × {height}{over}, left {piece.left or 'not known'}, right {piece.right or 'not known'}"


def _hole(hole: Cutout, unit: str) -> str:
    name = hole.what.rpartition(".")[2]
    width, height, x, y = (_size(side, unit) for side in (hole.width, hole.height, hole.x, hole.y))
    return f"{f'the box of {name}' if hole.is_box else name}, {width} × {height}, {x} from the left and {y} up"


def _pair(first: str, one: str, second: str, other: str) -> str:
    return one if one == other else f"{one} ({first}) to {other} ({second})"


def _named(place: str) -> str:
    return place.replace(".", ", ")


def _band(band: Band, unit: str) -> str:
    return f"{band.low:.1f} to {band.high:.1f} {unit}"
