"""The layers that a drill meets at a spot, from the surface in the room into the wall."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from planlint.model.buildups import Layer, Lining
from planlint.model.rooms import Slope, Surface, Wall
from planlint.sums.boxes import thickness
from planlint.sums.working import Lacking, tidy
from planlint.units import Length


@dataclass(frozen=True, slots=True)
class Stuff:
    """One layer: what it is called, and how thick it is; None of a film or a paint."""

    words: str
    thickness: Length | Lacking | None


def layers_into(surface: Surface, lining: Lining | None) -> Iterator[Stuff]:
    """What lies behind the surface at a spot: the lining there, what stood there before, and the wall itself."""
    if lining:
        yield from _of(lining.layers, f"{lining.place}.layers")
        hollow = _hollow(lining)
        if hollow:
            yield Stuff("hollow between the battens", hollow)
        if lining.is_glued and not any(layer.board is None for layer in lining.layers):
            yield Stuff("adhesive", Lacking(f"how thick the adhesive of {lining.name} is", (f"{lining.place}.layers",)))
    yield from _of(surface.existing, f"{surface.place}.existing.layers")
    if isinstance(surface, Slope):
        if surface.air_gap is not None:
            yield Stuff("air gap", surface.air_gap)
        if surface.rafters is not None:
            yield Stuff("rafters, with what lies between them", surface.rafters)
    if isinstance(surface, Wall):
        yield _wall(surface)


def _of(layers: Sequence[Layer], where: str) -> Iterator[Stuff]:
    for number, layer in reversed(list(enumerate(layers, 1))):
        key = f"{layer.board.place}.thickness" if layer.board else f"{where}.{number}.thickness"
        words = f"board {layer.board.name}" if layer.board else (layer.material or "layer").replace("-", " ")
        if layer.board and layer.board.kind:
            words = f"{words} ({layer.board.kind})"
        known = layer.board.thickness if layer.board and layer.thickness is None else layer.thickness
        thick: Length | Lacking | None = known
        if known is None and thickness(layer) is None:
            thick = Lacking(f"how thick {words} is", (key,))
        yield Stuff(words, thick)


def _hollow(lining: Lining) -> Length | None:
    """What battens keep free behind the layers that stand between them."""
    depth = lining.battens.depth if lining.battens else None
    first = next((number for number, layer in enumerate(lining.layers) if layer.board), len(lining.layers))
    between = sum(thickness(layer) or 0.0 for layer in lining.layers[:first])
    return depth.like(tidy(depth - between)) if depth is not None and tidy(depth - between) > 0 else None


def _wall(wall: Wall) -> Stuff:
    base = wall.base
    words = "the wall" + (f" of {base.material.replace('-', ' ')}" if base and base.material else "")
    if base is None or base.thickness is None:
        key = base.place + ".thickness" if base and base.place != wall.place else f"{wall.place}.base.thickness"
        return Stuff(words, Lacking(f"how thick {wall.name} is", (key,)))
    return Stuff(words, base.thickness)
