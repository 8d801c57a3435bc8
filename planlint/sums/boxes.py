"""What lies behind a point: the lining in front of its wall, how deep a box may reach, the boards that grip it."""

from collections.abc import Sequence
from dataclasses import dataclass

from planlint import materials
from planlint.model.buildups import Layer, Lining, boards_of
from planlint.model.fixtures import Fixture
from planlint.model.rooms import Surface, Wall
from planlint.model.services import Point
from planlint.model.words import PointKind
from planlint.sums.faces import lining_depth
from planlint.sums.section import THIN
from planlint.sums.working import Lacking

BOXED = (PointKind.SOCKET, PointKind.SWITCH, PointKind.JUNCTION)
"""Points that always sit in a box; the others may hang from a cable alone."""


@dataclass(frozen=True, slots=True)
class Reach:
    """How deep a box may reach behind the finished face (m)."""

    depth: float
    made_of: str
    """What that depth is made of, in words."""
    more: Lacking | None
    """What might make it deeper and is not recorded; None where this is all that there is."""


@dataclass(frozen=True, slots=True)
class Sheets:
    """The boards that the clamps of a box grip together, with what is put on them on the room's side."""

    boards: int
    thickness: float | Lacking
    behind: Lacking | None
    """A layer behind them of which it is not recorded how thick it is: it may be a film with more boards behind."""


def thickness(layer: Layer) -> float | None:
    """The thickness of one layer in metres: that of a film or paint is 0; None where it is not recorded."""
    if layer.thickness is not None:
        return layer.thickness
    return layer.board.thickness if layer.board else 0.0 if _is_thin(layer) else None


def _is_thin(layer: Layer) -> bool:
    """Whether a layer is a film or paint: by the way it is written, or by the list of materials."""
    if layer.board or layer.thickness is not None:
        return False
    known = materials.load().find(layer.material) if layer.material else None
    return layer.is_film or (known is not None and known.family in THIN)


def lining_in_front(point: Point) -> Lining | Lacking | None:
    """The lining in front of the wall at a point; None where the face stays as it is there."""
    surface = point.on
    if surface.undecided:
        return Lacking("whether and how this face will be lined", (f"{surface.place}.lining",))
    if surface.extent is None:
        return surface.lining
    if point.at is None or point.height is None:
        missing = tuple(key for key, value in (("at", point.at), ("height", point.height)) if value is None)
        return Lacking("where it sits beside the lining that covers a part of the wall", missing)
    return surface.lining_at(point.at, point.height)


def lining_behind(fixture: Fixture, wall: Wall) -> Lining | Lacking | None:
    """The lining behind a fixture: that of either of its ends, at the height of its rim, or else of its top."""
    if wall.undecided:
        return Lacking("whether and how this wall will be lined", (f"{wall.place}.lining",))
    if wall.extent is None:
        return wall.lining
    at, width, height = fixture.at, fixture.width, fixture.height if fixture.rim is None else fixture.rim
    if at is None or width is None or height is None:
        recorded = (("at", at), ("width", width), ("rim", height))
        missing = tuple(key for key, value in recorded if value is None)
        return Lacking("where it hangs beside the lining that covers a part of the wall", missing)
    return wall.lining_at(at, height) or wall.lining_at(at + width, height)


def is_hollow(wall: Wall, lining: Lining | None) -> bool | Lacking:
    """Whether fixings find boards instead of masonry: on a lining of boards, on boards as found, or on studs."""
    if lining and not lining.layers:
        return Lacking(f"the layers of {lining.name}", (f"{lining.place}.layers",))
    if (lining and (lining.boards or lining.battens)) or boards_of(wall.existing):
        return True
    if wall.base is None or wall.base.material is None:
        return Lacking("what this wall is made of", (_base_key(wall, "material"),))
    return bool(wall.base.is_stud)


def reach_at(point: Point) -> Reach | Lacking:
    """How deep a box may reach at a point: through the lining, and into studs or a hollow cut for it.

    Behind a lining on studs the space between them counts too, since the hole goes on into it. Boards that stood on
    studs before are part of the thickness of that wall.
    """
    lining, surface = lining_in_front(point), point.on
    if isinstance(lining, Lacking):
        return lining
    base, front = surface.base if isinstance(surface, Wall) else None, lining_depth(lining) if lining else 0.0
    if isinstance(front, Lacking):
        return front
    if isinstance(surface, Wall) and base is not None and base.is_stud:
        if base.thickness is None:
            what = Lacking("how thick the stud wall is", (_base_key(surface, "thickness"),))
            return Reach(front, "the lining", what) if lining else what
        return Reach(front + base.thickness, "the lining and the studs behind it" if lining else "the stud wall", None)
    if lining is None:
        depths = _depths(surface.existing, f"{surface.place}.existing.layers")
        if isinstance(depths, Lacking):
            return depths
        front = sum(depths)
    words = ("the lining" if lining else "what stands on this face") + (
        " and the hollow behind it" * bool(point.recess)
    )
    more = None
    if isinstance(surface, Wall) and (base is None or base.material is None):
        more = Lacking("what this wall is made of", (_base_key(surface, "material"),))
    elif point.recess is None and not (lining and isinstance(surface, Wall)):
        # Above a ceiling there may be room between joists; in masonry without a lining every box wants a hollow.
        more = Lacking("how deep the wall or ceiling is hollowed out for the box", ("recess",))
    return Reach(front + (point.recess or 0.0), words, more)


def sheets_at(point: Point) -> Sheets | Lacking | None:
    """The boards that a box at a point is clamped into; None where there are none.

    The one nearest the room counts, and those right behind it: a film between two of them does no harm, a layer of
    some thickness parts them. A board that is hung flat on what stood there before is backed by it.
    """
    lining, surface = lining_in_front(point), point.on
    if isinstance(lining, Lacking):
        return lining
    if lining is None and not surface.existing:
        return _bare(surface)
    if lining and (not lining.layers or (lining.battens and not lining.boards)):
        return Lacking(f"the boards of {lining.name}", (f"{lining.place}.layers",))
    found = _numbered(surface.existing, f"{surface.place}.existing.layers")
    if lining:
        stands_off = lining.battens is not None or lining.is_glued
        found = ([] if stands_off else found) + _numbered(lining.layers, f"{lining.place}.layers")
    found.reverse()
    first = next((index for index, (layer, _) in enumerate(found) if layer.board), None)
    if first is None:
        return None
    last, behind = first, None
    for index, (layer, key) in enumerate(found[first:], first):
        if layer.board:
            last = index
        elif not _is_thin(layer):
            behind = Lacking(f"how thick the {layer.material} behind the board is", (key,))
            behind = behind if layer.thickness is None else None
            break
    gripped = found[: last + 1]
    unknown = [(layer, key) for layer, key in gripped if thickness(layer) is None]
    total: float | Lacking = sum(thickness(layer) or 0.0 for layer, _ in gripped)
    if unknown:
        what = "how thick the boards are that the box is clamped into"
        total = Lacking(what, tuple(dict.fromkeys(key for _, key in unknown)))
    return Sheets(sum(1 for layer, _ in gripped if layer.board), total, behind)


def _numbered(layers: Sequence[Layer], where: str) -> list[tuple[Layer, str]]:
    """Layers with the key that says how thick each is, wall side first."""
    return [
        (layer, f"{layer.board.place}.thickness" if layer.board else f"{where}.{number}.thickness")
        for number, layer in enumerate(layers, 1)
    ]


def _depths(layers: Sequence[Layer], where: str) -> list[float] | Lacking:
    depths = [thickness(layer) for layer in layers]
    keys = (key for (_, key), depth in zip(_numbered(layers, where), depths, strict=True) if depth is None)
    missing = tuple(dict.fromkeys(keys))
    known = [depth for depth in depths if depth is not None]
    return Lacking("how thick the layers in front of the wall are", missing) if missing else known


def _base_key(wall: Wall, key: str) -> str:
    """The path of a key of what a wall is made of, seen from a point on it; the base itself where there is none."""
    if wall.base is None:
        return f"{wall.place}.base"
    return f"{wall.place}.base.{key}" if wall.base.place == wall.place else f"{wall.base.place}.{key}"


def _bare(surface: Surface) -> Lacking | None:
    """A face that stays as it is and has no board noted: masonry holds a box by itself, studs do not."""
    existing = f"{surface.place}.existing"
    if not isinstance(surface, Wall):
        return Lacking("what hangs on this ceiling already", (existing,))
    base = surface.base
    if base is None or base.material is None:
        return Lacking("what this wall is made of, and what stands on it", (_base_key(surface, "material"), existing))
    return Lacking("the board that stands on these studs", (existing,)) if base.is_stud else None
