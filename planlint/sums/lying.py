"""How the cables of a circuit lie, worst stretch first.

Where the plan leaves open what makes a cable warmer, both are said: how it lies at worst, and how at best.
"""

from dataclasses import dataclass, replace
from typing import Final

from planlint.model.buildups import Layer
from planlint.model.rooms import Surface, Wall
from planlint.model.services import Run
from planlint.model.words import Cable, Method
from planlint.rule import Given
from planlint.sums.working import Lacking, key_of

LIMITS_OF_LYING = ("insulation_materials",)
INSULATED: Final = (Method.A1, Method.A2)
"""The methods of a cable inside an insulated wall; their capacities hold for the insulation already."""

_WORDS: Final = {
    Method.A1: "single wires in conduit inside an insulated wall",
    Method.A2: "a multicore cable in conduit inside an insulated wall",
    Method.B1: "single wires in conduit on or in a wall",
    Method.B2: "a multicore cable in conduit, or in the hollow behind a lining",
    Method.C: "a multicore cable clipped to a wall or set in masonry",
}


def spoken(method: Method, cable: Cable | None = None) -> str:
    """What the letter of a method stands for, with the letter in brackets.

    >>> spoken(Method.A1)
    'single wires in conduit inside an insulated wall (A1)'
    """
    bare = method is Method.A1 and cable is Cable.MULTICORE
    return f"{'a bare multicore cable inside an insulated wall' if bare else _WORDS[method]} ({method})"


def is_kinder(method: Method, other: Method) -> bool:
    """Whether a cable stays cooler by `method` than by `other`, so that more may flow."""
    return _coolness(method) > _coolness(other)


@dataclass(frozen=True, slots=True)
class Lying:
    """How a run lies: the warmest method that may hold, the coolest, and what makes it so."""

    worst: Method
    best: Method
    why: str
    keys: tuple[str, ...] = ()
    """What would tell the two apart, seen from the circuit; nothing where they are the same."""


def lying(run: Run, given: Given) -> Lying | Lacking:
    """How a run lies, from what is recorded of it, else from its cable and the walls behind which it runs.

    Where the plan does not show the whole way, the rest of it may lie in insulation too.
    """
    if run.method is not None:
        return Lying(run.method, run.method, "as recorded")
    how = derived_lying(run, given)
    if isinstance(how, Lacking) or run.shows_whole_way or how.worst in INSULATED:
        return how
    return replace(
        how,
        worst=_in_insulation(run),
        why=f"{how.why}; the rest of its way is not recorded",
        keys=(*how.keys, key_of(run, "method")),
    )


def derived_lying(run: Run, given: Given) -> Lying | Lacking:
    """How a run lies by its cable and the walls behind which it runs as far as the plan shows them."""
    if run.circuit.cable is None:
        return Lacking("what cable is laid, or by which method", ("cable",))
    if not run.surfaces:
        return Lacking(
            f"behind which walls the run to {run.end_name} lies, or by which method", (key_of(run, "method"),)
        )
    words = given.words("insulation_materials")
    stretches = [_behind(run, surface, words) for surface in run.surfaces]
    worst = min(stretches, key=lambda stretch: _coolness(stretch.worst))
    best = min(stretches, key=lambda stretch: _coolness(stretch.best)).best
    keys = [key for stretch in stretches if is_kinder(best, stretch.worst) for key in stretch.keys]
    return replace(worst, best=best, keys=tuple(dict.fromkeys(keys)))


def _coolness(method: Method) -> int:
    return list(Method).index(method)


def _behind(run: Run, surface: Surface, words: tuple[str, ...]) -> Lying:
    """How the stretch of a run behind one wall or ceiling lies."""
    warm, cool = _in_insulation(run), _in_the_open(run, surface)
    layers = (*surface.existing, *(surface.lining.layers if surface.lining else ()))
    insulation = next(iter(_insulation(layers, words)), None)
    if insulation is not None and (insulation in _insulation(surface.existing, words) or _is_covered(run, surface)):
        return Lying(warm, warm, f"behind {surface.place}, with {insulation}")
    key = _unrecorded(surface, layers)
    if insulation is not None:
        return Lying(warm, cool, f"behind {surface.place}, lined with {insulation} in part", (key_of(run, "method"),))
    if key is None:
        return Lying(cool, cool, f"behind {surface.place}")
    return Lying(warm, cool, f"behind {surface.place}, where insulation is not recorded", (key,))


def _in_insulation(run: Run) -> Method:
    return Method.A2 if run.circuit.cable is Cable.MULTICORE and run.conduit else Method.A1


def _in_the_open(run: Run, surface: Surface) -> Method:
    """How it lies behind a surface where nothing insulates."""
    if run.circuit.cable is Cable.SINGLES:
        return Method.B1
    is_masonry = isinstance(surface, Wall) and surface.base is not None and surface.base.is_masonry
    return Method.C if is_masonry and surface.lining is None and not run.conduit else Method.B2


def _insulation(layers: tuple[Layer, ...], words: tuple[str, ...]) -> list[str]:
    materials = [layer.material for layer in layers if layer.material]
    return [material for material in materials if any(word in material.casefold() for word in words)]


def _is_covered(run: Run, surface: Surface) -> bool:
    """Whether the run surely lies behind the lining: it covers the whole, or one of the run's points lies on it."""
    ends = [point for point in (run.start, run.end) if point and point.on is surface]
    return surface.extent is None or any(
        point.at is not None and point.height is not None and surface.extent.covers(point.at, point.height)
        for point in ends
    )


def _unrecorded(surface: Surface, layers: tuple[Layer, ...]) -> str | None:
    """The key that would say whether there is insulation; None where it is known that there is none.

    Behind boards on studs or joists there may be, unless a layer of air is recorded.
    """
    if surface.undecided:
        return f"{surface.place}.lining"
    if any("air" in (layer.material or "").casefold() for layer in layers):
        return None
    if isinstance(surface, Wall):
        if surface.base is None:
            return f"{surface.place}.base"
        if surface.base.is_masonry:
            return None
        if surface.base.material is None:
            key = surface.base.key("material")
            return key if key.startswith("bases.") else f"{surface.place}.{key}"
    return f"{surface.lining.place}.layers" if surface.lining else f"{surface.place}.existing.layers"
