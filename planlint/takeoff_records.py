"""What a takeoff comes to, for reports: frozen and picklable; lengths in metres, areas in m², volumes in m³."""

from dataclasses import dataclass, field

from planlint.sum_records import About, Unknown

__all__ = [
    "Band",
    "BarCard",
    "BoardCard",
    "BrokenCard",
    "CutSheet",
    "Cutout",
    "LengthsCard",
    "PieceCard",
    "PlacedPiece",
    "SealantCard",
    "Takeoff",
    "Total",
    "Unknown",
    "Wiring",
]


@dataclass(frozen=True, slots=True)
class Cutout:
    """What an opening or a box takes out of a piece, from the left and lower edge of the piece's bounds."""

    what: str
    """The place of the opening or the point."""
    x: float
    y: float
    width: float
    height: float
    is_box: bool
    """Whether it is the square round the hole of a box, or round a row of them."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PieceCard:
    """A cut piece and where it hangs. `width` and `height` are those of the upright rectangle round it."""

    name: str
    place: str
    surface: str
    """The place of the wall, ceiling or slope."""
    room: str
    layer: int
    board: str
    unit: str
    """The unit in which the plan writes the size of the sheet."""
    row: int
    made: bool
    """Whether the takeoff made it; the plan gives the others."""
    at: float
    """Its left lower corner, from where the face of its layer begins at that height."""
    from_bare: float
    """The same from the left end of the bare wall."""
    chained: bool
    """Whether it stands right beside the piece before it in its row, or begins the row at the left end."""
    bottom: float
    to_end: bool
    """Whether it goes up to where the lining ends, so that it needs no height."""
    width: float
    height: float
    width_top: float
    width_bottom: float
    height_left: float
    height_right: float
    left: str | None
    right: str | None
    area: float
    """What is left of it once the openings are cut out."""
    lies_flat: bool = False
    """Whether it hangs on a ceiling or a slope; `at` and `bottom` are then taken across and along its boards."""
    cutouts: tuple[Cutout, ...] = ()


@dataclass(frozen=True, slots=True)
class PlacedPiece:
    """Where a piece lies on its sheet: `x` across the sheet, `y` along it."""

    piece: str
    """The place of the piece."""
    x: float
    y: float
    width: float
    height: float
    turned: int = 0
    """By how many degrees it is turned on the sheet: 0, 90, or 180 (end for end)."""


@dataclass(frozen=True, slots=True)
class CutSheet:
    """A sheet, or an offcut, with the pieces that come from it."""

    width: float
    length: float
    is_offcut: bool
    pieces: tuple[PlacedPiece, ...]


@dataclass(frozen=True, slots=True)
class BoardCard:
    """All that is cut from one kind of sheet."""

    name: str
    unit: str
    """The unit in which the plan writes its size."""
    width: float
    length: float
    kerf: float
    sheets: int
    """Whole sheets that are cut."""
    bound: int
    """No plan does with fewer."""
    in_stock: int
    """Whole sheets at hand."""
    to_buy: int
    mass: float | None
    """Of all whole sheets that are cut, in kilograms; None where the mass of the board is not recorded."""
    layout: tuple[CutSheet, ...]

    @property
    def offcuts_used(self) -> int:
        """How many recorded offcuts are used up."""
        return sum(sheet.is_offcut for sheet in self.layout)

    @property
    def area(self) -> float:
        """The area of all that is cut up."""
        return sum(sheet.width * sheet.length for sheet in self.layout)


@dataclass(frozen=True, slots=True)
class BarCard:
    """One bar: the lengths cut from it, and what each is for."""

    cuts: tuple[float, ...]
    places: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class LengthsCard:
    """What is cut from bars."""

    needed: float
    bar: float
    bound: int
    bars: tuple[BarCard, ...]


@dataclass(frozen=True, slots=True)
class Band:
    """A quantity between two figures."""

    low: float
    high: float


@dataclass(frozen=True, slots=True)
class SealantCard:
    """The elastic joints."""

    length: float
    volume: float
    cartridges: int
    cartridge: float
    """What one holds."""


@dataclass(frozen=True, slots=True)
class Wiring:
    """What the circuits take; lengths by the section or the size, as the plan writes it."""

    cable: dict[str, float] = field(default_factory=dict)
    """Multicore cable by the section of its conductors."""
    wires: dict[str, float] = field(default_factory=dict)
    """Single wires by their section: the lengths of all of them together."""
    conduit: dict[str, float] = field(default_factory=dict)
    boxes: dict[str, int] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class Total:
    """The quantities of one room, or of all that was taken off."""

    place: str
    pieces: dict[str, int]
    areas: dict[str, float]
    """Area hung by board, openings cut out (m²)."""
    bead: float
    batten: float
    sealant_length: float
    sealant: float
    """Volume in the joints, nothing lost (m³)."""
    screws: dict[str, int]
    """By board, with the length of the screw where it is recorded."""
    joints: float
    """Joints between boards on the room's side, to be filled and taped."""
    filler: Band
    """In kilograms."""
    tape: Band
    boxes: dict[str, int]


@dataclass(frozen=True, slots=True)
class BrokenCard:
    """Where no layout keeps all rules: what the best one breaks."""

    place: str
    layer: int
    rule: str
    """The name of the rule, or of the limit."""
    what: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Takeoff(About):
    """The whole takeoff of one plan."""

    place: str | None
    unit: str
    """The unit in which the plan writes the lengths of its walls."""
    pieces: tuple[PieceCard, ...]
    boards: tuple[BoardCard, ...]
    lengths: dict[str, LengthsCard]
    sealant: SealantCard
    wiring: Wiring
    total: Total
    rooms: tuple[Total, ...]
    assumed: tuple[str, ...]
    """What was taken for granted where the plan says nothing."""
    broken: tuple[BrokenCard, ...]
    unknown: tuple[Unknown, ...]
    """What could not be worked out, with the keys to add."""
    caution: str
