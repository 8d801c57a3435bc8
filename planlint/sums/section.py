"""What a wall is made of from outside to the room, layer by layer, with what each lets through of warmth and vapour.

The base comes first, then what stands on its face (`existing`), which stays there, then the lining. Battens stand in
a layer of the lining: they are named as timber, and carry neither heat nor vapour in a sum that runs straight through
the wall between them. Figures are those of the plan, else those of the list of materials.
"""

from collections.abc import Hashable, Iterator, Sequence
from dataclasses import dataclass
from enum import StrEnum
from itertools import chain

from planlint import materials
from planlint.formulas.condensation import SLAB_VAPOUR
from planlint.formulas.moisture import thermal_resistance, vapour_thickness
from planlint.limit_values import listed
from planlint.materials import Material
from planlint.model.buildups import Base, Board, Layer, Lining, VapourResistance
from planlint.sums.working import Lacking
from planlint.units import Conductivity, Density, Length, ThermalResistance, at_least

THIN = ("film", "paint")
"""The families of what is so thin that it holds back vapour alone."""


class Part(StrEnum):
    """Which part of a wall a layer belongs to."""

    BASE = "base"
    EXISTING = "existing"
    LINING = "lining"


@dataclass(frozen=True, slots=True)
class Stratum:
    """One layer of a wall as a sum needs it."""

    words: str
    """What a person calls it."""
    part: Part
    thickness: Length | None
    """None of a film or a paint."""
    conductivity: Conductivity | None
    """None of a film, a paint, or a layer of air."""
    resistance: ThermalResistance
    sd: tuple[Length, Length]
    """The least and the greatest that it may have, by its two vapour resistance factors."""
    density: Density | None
    family: str
    """The family of its material; empty where the material is not known and the plan gives its figures."""
    absorbs: bool
    """Whether it is known to take up condensate."""

    @property
    def is_film(self) -> bool:
        """Whether it is too thin to count as a layer of some thickness."""
        return self.thickness is None

    @property
    def is_timber(self) -> bool:
        """Whether it is wood or a sheet of wood."""
        return self.family in ("timber", "timber-sheet")

    @property
    def is_timber_sheet(self) -> bool:
        """Whether it is a sheet of wood, glued of strands, chips, fibres or veneers."""
        return self.family == "timber-sheet"


@dataclass(frozen=True, slots=True)
class Timber:
    """Timber in a wall, and the faces that it touches: 0 is the outer surface, k the inner face of stratum k - 1."""

    words: str
    faces: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Section:
    """A wall from outside to the room."""

    strata: tuple[Stratum, ...]
    timber: tuple[Timber, ...]

    def face(self, index: int) -> str:
        """A face in words: where two layers meet, or a surface."""
        if index == 0:
            return "on the outer surface"
        if index == len(self.strata):
            return "on the surface in the room"
        return f"between the {self.strata[index - 1].words} and the {self.strata[index].words}"

    def where(self, stratum: int, *, at_face: bool) -> str:
        """Where water stands, in words: at the inner face of a layer, or inside it."""
        return self.face(stratum + 1) if at_face else f"inside the {self.strata[stratum].words}"


def section(base: Base | None, existing: Sequence[Layer], lining: Lining | None) -> Section | Lacking:
    """A wall with a lining, or bare where that is None; or all that is not recorded of its layers."""
    if base is None:
        return Lacking("what the wall is made of", ("base",))
    found = [_of_base(base)]
    found += _of_layers(existing, "existing", Part.EXISTING)
    before = len(found)
    found += strata_of(lining) if lining else []
    gaps = [one for one in found if isinstance(one, Lacking)]
    if gaps:
        return together(gaps)
    strata = tuple(one for one in found if isinstance(one, Stratum))
    return Section(strata, tuple(_timber(strata, before, lining)))


def alike(base: Base | None) -> Hashable:
    """What two bases have in common that make the same section, also where each is written in place."""
    if base is None:
        return None
    unit = base.thickness.unit if base.thickness is not None else ""
    return base.material, base.thickness, unit, base.conductivity, base.vapour_resistance, base.density, base.key("")


def strata_of(lining: Lining) -> list[Stratum | Lacking]:
    """The layers of a lining, wall side first; what is not recorded stands in the place of its layer."""
    if not lining.layers:
        return [Lacking(f"the layers of the lining {lining.name}", (f"{lining.place}.layers",))]
    return list(_of_layers(lining.layers, lining.place, Part.LINING))


def together(gaps: Sequence[Lacking]) -> Lacking:
    """All that is lacking, said at once."""
    words = dict.fromkeys(gap.what for gap in gaps)
    return Lacking(listed(words, "and"), tuple(dict.fromkeys(chain.from_iterable(gap.keys for gap in gaps))))


@dataclass(frozen=True, slots=True)
class _Written:
    """What a plan writes of one layer, and the paths of the keys that it may lack."""

    words: str
    part: Part
    material: str
    thickness: Length | None
    sd: Length | None
    conductivity: Conductivity | None
    vapour_resistance: VapourResistance | None
    density: Density | None
    place: str
    """What its own keys stand under."""
    thickness_key: str

    def key(self, name: str) -> str:
        return f"{self.place}.{name}"


def _of_base(base: Base) -> Stratum | Lacking:
    if base.material is None:
        return Lacking("what the wall is made of", (base.key("material"),))
    return _stratum(
        _Written(
            words=_spoken(base.material),
            part=Part.BASE,
            material=base.material,
            thickness=base.thickness,
            sd=None,
            conductivity=base.conductivity,
            vapour_resistance=base.vapour_resistance,
            density=base.density,
            place=base.key("").removesuffix("."),
            thickness_key=base.key("thickness"),
        )
    )


def _of_layers(layers: Sequence[Layer], place: str, part: Part) -> Iterator[Stratum | Lacking]:
    for number, layer in enumerate(layers, 1):
        board, own = layer.board, f"{place}.layers.{number}"
        if board is not None and board.kind is None:
            yield Lacking(f"what the board {board.name} is made of", (f"{board.place}.kind",))
            continue
        yield _stratum(
            _Written(
                words=f"board {board.name}" if board else _spoken(layer.material or ""),
                part=part,
                material=str(board.kind) if board else layer.material or "",
                thickness=layer.thickness or (board.thickness if board else None),
                sd=layer.sd,
                conductivity=layer.conductivity,
                vapour_resistance=layer.vapour_resistance,
                density=layer.density or (_density(board) if board else None),
                place=own,
                thickness_key=f"{board.place}.thickness" if board else f"{own}.thickness",
            )
        )


def _stratum(written: _Written) -> Stratum | Lacking:
    """A layer with its figures: the plan's own before those of the list."""
    known = materials.load().find(written.material)
    if known and written.density is not None:
        known = known.of_density(written.density)
    is_thin = known.family in THIN if known else written.thickness is None and written.sd is not None
    thickness = None if is_thin else written.thickness
    conductivity = None if is_thin else written.conductivity or (known.conductivity if known else None)
    resistance = ThermalResistance(0, "m²·K/W") if is_thin else _resistance(thickness, conductivity, known)
    sd = _sd(written, known)
    if resistance is not None and sd is not None:
        least = Length(SLAB_VAPOUR.least, "m")
        return Stratum(
            words="air gap" if known and known.family == "air" else written.words,
            part=written.part,
            thickness=thickness,
            conductivity=conductivity,
            resistance=resistance,
            sd=(max(sd[0], least), max(sd[1], least)),
            density=written.density or (known.density if known else None),
            family=known.family if known else "",
            absorbs=known.absorbs if known else False,
        )
    return _lacking(written, known, is_thin=is_thin, lacks_sd=sd is None, lacks_resistance=resistance is None)


def _resistance(
    thickness: Length | None, conductivity: Conductivity | None, known: Material | None
) -> ThermalResistance | None:
    if thickness is None:
        return None
    if conductivity is not None:
        return ThermalResistance(thermal_resistance(thickness, conductivity), "m²·K/W")
    return known.thermal_resistance(thickness) if known else None


def _sd(written: _Written, known: Material | None) -> tuple[Length, Length] | None:
    """The least and the greatest sd; an sd of the plan stands for both."""
    factors = written.vapour_resistance
    if written.sd is not None or (factors is None and known and known.sd is not None):
        sd = written.sd if written.sd is not None else known.sd if known else None
        return None if sd is None else (sd, sd)
    if factors is None and known and known.mu_dry is not None and known.mu_wet is not None:
        factors = VapourResistance(known.mu_dry, known.mu_wet)
    if factors is None or written.thickness is None:
        return None
    ends = sorted(vapour_thickness(mu, written.thickness) for mu in (factors.dry, factors.wet))
    return Length(ends[0], "m"), Length(ends[1], "m")


def _lacking(
    written: _Written, known: Material | None, *, is_thin: bool, lacks_sd: bool, lacks_resistance: bool
) -> Lacking:
    """The keys that a layer lacks, with the names of materials that may be meant."""
    if is_thin:
        return Lacking(f"how much vapour the {written.words} holds back, as sd", (written.key("sd"),))
    keys, what = [], []
    if written.thickness is None:
        keys, what = [written.thickness_key], [f"the thickness of the {written.words}"]
    has_factors = known is not None and (known.mu_dry is not None or known.sd is not None)
    wants = {
        "conductivity": lacks_resistance and not (written.conductivity or (known and known.thermal_resistance(_ONE))),
        "vapour_resistance": lacks_sd and not (written.vapour_resistance or has_factors),
    }
    figures = [key for key, wanted in wants.items() if wanted]
    if figures:
        near = materials.load().nearest(written.material) if known is None else []
        why = "the list of materials has no such figures" if known else "it is not in the list of materials"
        hint = f"; near to it: {', '.join(near)}" if near else ""
        what.append(f"what the {written.words} lets through of warmth and vapour ({why}{hint})")
        keys += [written.key(key) for key in figures]
    return Lacking(listed(what, "and"), tuple(keys))


_ONE = Length(0.01, "m")
"""A thickness for asking whether a material has a thermal resistance at all."""


def _density(board: Board) -> Density | None:
    """The density of a board, its own or by its mass."""
    if board.density is not None or board.mass is None or board.thickness is None:
        return board.density
    return Density(board.mass / board.thickness, "kg/m³")


def _timber(strata: Sequence[Stratum], before: int, lining: Lining | None) -> Iterator[Timber]:
    """The timber of a section: layers of wood, and battens between the wall and the boards."""
    for index, stratum in enumerate(strata):
        if stratum.is_timber:
            yield Timber(stratum.words, (index, index + 1))
    if lining and lining.battens:
        yield Timber("battens", tuple(_beside_battens(strata, before, lining)))


def _beside_battens(strata: Sequence[Stratum], before: int, lining: Lining) -> Iterator[int]:
    """The faces that battens touch: from the wall on as deep as they are, or up to the first board."""
    yield before
    depth, reached = lining.battens.depth if lining.battens else None, 0.0
    for index, layer in enumerate(lining.layers, before):
        if (layer.board and depth is None) or (depth is not None and at_least(reached, depth)):
            return
        reached += strata[index].thickness or 0.0
        yield index + 1


def _spoken(words: str) -> str:
    return words.replace("-", " ").replace("_", " ")
