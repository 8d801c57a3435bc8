"""The layers of a build-up as they are drawn in its section: what each looks like, and how wide it is on paper.

They run from the wall to the room. Battens stand between layers; where they are deeper than what the plan lists between
them, the rest is drawn as a space of its own, as the finished face reckons with it.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Final

from planlint import materials
from planlint.model.buildups import Base, Layer, Lining
from planlint.model.rooms import Slope, Surface, Wall
from planlint.sheet_records import Look
from planlint.sums.faces import battened
from planlint.units import Length, at_most

SCALES: Final = (2, 5, 10, 20)
"""Of these (ISO 5455) the largest at which a section fits its width."""
WIDEST: Final = 84.0
"""[mm] What a section takes across on paper at most."""
SHORTENED: Final = 28.0
"""[mm] How wide a base is drawn that would dwarf its lining."""
FILM: Final = 1.0
"""[mm] What a film takes, so that it can be seen; also the least of any layer."""
UNKNOWN: Final = 9.0
"""[mm] What a layer takes whose thickness is not recorded."""

_LOOKS: Final = {
    "air": Look.AIR,
    "film": Look.FILM,
    "paint": Look.FILM,
    "foam": Look.INSULATION,
    "insulation": Look.INSULATION,
    "gypsum": Look.SHEET,
    "timber": Look.TIMBER,
    "timber-sheet": Look.SHEET,
}
"""By the family of a material; all others are mineral and look like masonry."""


@dataclass(frozen=True, slots=True)
class Shown:
    """One layer of a section, in words and as it is drawn."""

    words: str
    look: Look
    thickness: Length | None
    """None of a film, and where it is not recorded."""
    stratum: int | None = None
    """Its number among the layers that the sums reckon with; None of the space that is left between battens."""
    places: tuple[str, ...] = ()
    """The places whose findings belong beside it."""
    missing: str = ""
    """The key to add where its thickness is not recorded."""
    is_base: bool = False
    """Whether it is what the other layers stand in front of."""
    is_shortened: bool = False
    left: float = 0.0
    width: float = 0.0
    """[mm] on paper"""

    @property
    def right(self) -> float:
        """Where it ends on paper."""
        return self.left + self.width

    def at(self, share: float) -> float:
        """Where a share of it is passed, on paper."""
        return self.left + share * self.width


@dataclass(frozen=True, slots=True)
class Standing:
    """The battens of a lining in its section, in mm on paper."""

    left: float
    right: float
    words: str


def layers_of(surface: Surface) -> list[Shown]:
    """The layers of a surface from what it stands on to the room, not yet laid out."""
    base = None if isinstance(surface, Slope) else getattr(surface, "base", None)
    found = [_base(surface, base)] if base or isinstance(surface, Wall) else []
    found += [_layer(layer, "existing", number) for number, layer in enumerate(surface.existing, 1)]
    if surface.lining:
        found += [_layer(layer, surface.lining.place, number) for number, layer in enumerate(surface.lining.layers, 1)]
    return [replace(one, stratum=number) for number, one in enumerate(found)]


def laid_out(surface: Surface) -> tuple[list[Shown], Standing | None, int]:
    """The layers of a surface with their places on paper, its battens, and the scale (1 to what) across them."""
    shown, lining = layers_of(surface), surface.lining
    first = len(shown) - len(lining.layers) if lining else len(shown)
    shown = _with_hollow(shown, first, lining)
    scale = _scale(shown, is_lined=lining is not None)
    shortens = bool(shown) and shown[0].is_base and _takes(shown, scale) > WIDEST
    placed: list[Shown] = []
    left = 0.0
    for one in shown:
        is_shortened = shortens and one is shown[0]
        width = SHORTENED if is_shortened else _width(one, scale)
        placed.append(replace(one, left=left, width=width, is_shortened=is_shortened))
        left += width
    return placed, _standing(placed, first, lining, scale), scale


def _base(surface: Surface, base: Base | None) -> Shown:
    if base is None:
        return Shown(f"{surface.called} of unknown make", Look.MASONRY, None, missing="base", is_base=True)
    look = Look.TIMBER if base.is_stud else _look(base.material or "")
    words = _spoken(base.material or "") or f"{surface.called} of unknown make"
    place = (base.place,) if base.place.startswith("bases.") else ()
    missing = "" if base.thickness else base.key("thickness")
    return Shown(words, look, base.thickness, places=place, missing=missing, is_base=True)


def _layer(layer: Layer, place: str, number: int) -> Shown:
    board, key = layer.board, f"{place}.layers.{number}.thickness"
    if board:
        words = f"board {board.name}" + (f" ({board.kind})" if board.kind else "")
        depth = layer.thickness or board.thickness
        missing = "" if depth else f"{board.place}.thickness"
        return Shown(words, Look.SHEET, depth, places=(board.place,), missing=missing)
    material = layer.material or ""
    known = materials.load().find(material)
    words = "air gap" if known and known.family == "air" else _spoken(material)
    if layer.is_film or (known and known.is_thin):
        return Shown(f"{words}, sd {layer.sd}" if layer.sd is not None else words, Look.FILM, None)
    return Shown(words, _look(material), layer.thickness, missing="" if layer.thickness else key)


def _look(material: str) -> Look:
    known = materials.load().find(material)
    return _LOOKS.get(known.family, Look.MASONRY) if known else Look.MASONRY


def _with_hollow(shown: list[Shown], first: int, lining: Lining | None) -> list[Shown]:
    """The layers with what battens keep free beyond the layers between them."""
    depth = lining.battens.depth if lining and lining.battens else None
    if lining is None or depth is None:
        return shown
    between = battened(lining)
    filled = [shown[first + number - 1].thickness for number in between]
    if None in filled:
        return shown
    rest = depth - sum(one or 0.0 for one in filled)
    if at_most(rest, 0):
        return shown
    place = first + (between[-1] if between else 0)
    hollow = Shown("free space between the battens", Look.AIR, depth.like(rest))
    return [*shown[:place], hollow, *shown[place:]]


def _scale(shown: Sequence[Shown], *, is_lined: bool) -> int:
    for scale in SCALES:
        beside = _takes(shown[1:], scale)
        if _takes(shown, scale) <= WIDEST or (is_lined and shown and shown[0].is_base and beside <= WIDEST - SHORTENED):
            return scale
    return SCALES[-1]


def _takes(shown: Sequence[Shown], scale: int) -> float:
    return sum(_width(one, scale) for one in shown)


def _width(one: Shown, scale: int) -> float:
    if one.missing:
        return UNKNOWN
    return max(FILM, 1000 * (one.thickness or 0.0) / scale)


def _standing(placed: Sequence[Shown], first: int, lining: Lining | None, scale: int) -> Standing | None:
    battens = lining.battens if lining else None
    if lining is None or battens is None or not lining.layers:
        return None
    between = battened(lining)
    start = placed[first + (between[0] - 1 if between else 0)]
    hollow = next((one for one in placed if one.stratum is None), None)
    inside = [placed[first + number - 1] for number in between] + ([hollow] if hollow else [])
    if not inside:
        return None
    end = start.left + 1000 * battens.depth / scale if battens.depth else max(one.right for one in inside)
    return Standing(start.left, min(end, max(one.right for one in inside)), " ".join(_said(lining)))


def _said(lining: Lining) -> Iterator[str]:
    battens = lining.battens
    yield "battens"
    if battens and battens.width and battens.depth:
        yield f"{battens.width} × {battens.depth}"
    if battens and battens.spacing:
        yield f"every {battens.spacing}"


def _spoken(words: str) -> str:
    return words.replace("-", " ").replace("_", " ")
