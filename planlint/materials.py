"""Materials: what each lets through of warmth and vapour, with how it is known and where it comes from.

The list is `rules/materials.yaml`. People name materials in words of their own, so a material answers to its name and
to the other names of the trade, however they are spelt; what is not known is never guessed, only hinted at.
"""

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from functools import cache, cached_property
from importlib.resources import files
from itertools import pairwise
from typing import Any, Final, TypeVar

from planlint import units
from planlint.grammar import parse
from planlint.source import read
from planlint.units import Conductivity, Density, Length, Quantity, ThermalResistance

Q = TypeVar("Q", bound=Quantity)

_THIN: Final = ("film", "paint")
_TIMBER: Final = ("timber", "timber-sheet")
_MOST: Final = 3  # hints
_LONGEST: Final = 60  # characters; comparing longer words takes long and finds nothing
_COMMON: Final = frozenset({"board", "old", "wall", "layer", "sheet", "paint"})
"""Words that say too little to be a hint."""
_SPELT: Final = {"fiber": "fibre", "fiberglass": "fibreglass", "vapor": "vapour", "aluminum": "aluminium"}


@dataclass(frozen=True, slots=True)
class Grade:
    """What a material has at one density; None where it has the same at every density."""

    density: Density
    conductivity: Conductivity
    mu_dry: float | None
    mu_wet: float | None


@dataclass(frozen=True, slots=True)
class AirLayer:
    """The thermal resistance of still air between two layers, at one thickness."""

    thickness: Length
    resistance: ThermalResistance


@dataclass(frozen=True, slots=True)
class Material:
    """One material. What is None is not vouched for: the plan has to say it."""

    name: str
    family: str
    aliases: tuple[str, ...]
    conductivity: Conductivity | None
    mu_dry: float | None
    """The larger vapour resistance factor: measured dry, or the upper of two bounds."""
    mu_wet: float | None
    """The smaller vapour resistance factor: measured wet, or the lower of two bounds."""
    sd: Length | None
    """The thickness of air that lets as little vapour through, where it does not grow with the layer's thickness."""
    density: Density | None
    absorbs: bool
    """Whether it leaves condensate to be taken up; False where water runs off its face."""
    by_density: tuple[Grade, ...]
    """Lightest first."""
    air_layer: tuple[AirLayer, ...]
    """Thinnest first; only of air."""
    basis: str
    source: str
    note: str

    @property
    def is_timber(self) -> bool:
        """Whether it is wood or a sheet of wood, which rots."""
        return self.family in _TIMBER

    def of_density(self, density: Density) -> "Material":
        """The same material with the figures of a known density: those of the next grade as heavy or heavier.

        Heavier masonry conducts better, so that its inner side is colder: the careful reading. What is heavier than
        every grade has no conductivity here.
        """
        if not self.by_density:
            return replace(self, density=density)
        grade = next((grade for grade in self.by_density if units.at_most(density, grade.density)), None)
        if grade is None:
            return replace(self, density=density, conductivity=None)
        mu_dry, mu_wet = grade.mu_dry or self.mu_dry, grade.mu_wet or self.mu_wet
        return replace(self, density=density, conductivity=grade.conductivity, mu_dry=mu_dry, mu_wet=mu_wet)

    def thermal_resistance(self, thickness: Length | None) -> ThermalResistance | None:
        """R of a layer of it: R = d/λ; of air by table, between its rows linear (ISO 6946); none in a film or a paint.

        None where it cannot be told: without thickness or conductivity, or air deeper than the table goes.
        """
        if self.family in _THIN:
            return ThermalResistance(0, "m²·K/W")
        if thickness is None:
            return None
        if self.conductivity is not None:
            return ThermalResistance(thickness / self.conductivity, "m²·K/W")
        for thin, thick in pairwise(self.air_layer):
            if units.at_most(thickness, thick.thickness):
                share = (thickness - thin.thickness) / (thick.thickness - thin.thickness)
                return thin.resistance.like(thin.resistance + share * (thick.resistance - thin.resistance))
        return None


@dataclass(frozen=True)
class Materials:
    """The list of materials, family by family."""

    by_name: Mapping[str, Material]

    def __iter__(self) -> Iterator[Material]:
        return iter(self.by_name.values())

    def find(self, words: str) -> Material | None:
        """The material that goes by these words, whatever their capitals, hyphens and plurals."""
        return self._by_words.get(_folded(words))

    def nearest(self, words: str) -> list[str]:
        """The names of up to three materials that may be meant: those that these words are part of, or spelt alike.

        Where there are none, those with one word in common.
        """
        # Imported here for the sake of a cold start: only an unknown material needs it.
        from difflib import get_close_matches  # noqa: PLC0415

        wanted = _folded(words[:_LONGEST])
        parts = set(wanted.split()) - _COMMON
        whole = [name for name in self._by_words if parts and parts <= set(name.split())]
        alike = get_close_matches(wanted, self._by_words, n=_MOST, cutoff=0.7)
        shared = [name for name in self._by_words if parts & set(name.split())]
        names = [self._by_words[name].name for name in (whole + alike or shared)]
        return list(dict.fromkeys(names))[:_MOST]

    @cached_property
    def _by_words(self) -> Mapping[str, Material]:
        return {_folded(word): one for one in self for word in (one.name, *one.aliases)}


@cache
def load() -> Materials:
    """The list that we ship; a test holds it to its schema."""
    file = files("planlint.rules") / "materials.yaml"
    rows = read(file.read_bytes(), str(file)).data["materials"]
    return Materials({name: _material(name, row) for name, row in rows.items()})


def _material(name: str, row: Mapping[str, Any]) -> Material:
    return Material(
        name=name,
        family=row["family"],
        aliases=tuple(row.get("aliases", ())),
        conductivity=_quantity(row, "conductivity", Conductivity),
        mu_dry=_factor(row, "dry"),
        mu_wet=_factor(row, "wet"),
        sd=_quantity(row, "sd", Length),
        density=_quantity(row, "density", Density),
        absorbs=row.get("absorbs", True),
        by_density=tuple(
            Grade(
                parse(grade["density"], Density),
                parse(grade["conductivity"], Conductivity),
                _factor(grade, "dry"),
                _factor(grade, "wet"),
            )
            for grade in row.get("by_density", ())
        ),
        air_layer=tuple(
            AirLayer(parse(layer["thickness"], Length), parse(layer["resistance"], ThermalResistance))
            for layer in row.get("air_layer", ())
        ),
        basis=row["basis"],
        source=row["source"],
        note=row.get("note", ""),
    )


def _quantity(row: Mapping[str, Any], key: str, kind: type[Q]) -> Q | None:
    return parse(row[key], kind) if key in row else None


def _factor(row: Mapping[str, Any], state: str) -> float | None:
    return float(row["vapour_resistance"][state]) if "vapour_resistance" in row else None


def _folded(words: str) -> str:
    """Words as they are compared: small, with British spelling, apart by spaces, each in the singular.

    >>> _folded("Vapor_barriers"), _folded("glass-wool"), _folded("OSB/3")
    ('vapour barrier', 'glass wool', 'osb 3')
    """
    return " ".join(_SPELT.get(one, one) for one in map(_singular, re.findall(r"[^\W_]+", words.casefold())))


def _singular(word: str) -> str:
    # Three letters are a short name, such as EPS; two s are no plural, as in glass.
    return word[:-1] if len(word) > 3 and word.endswith("s") and not word.endswith("ss") else word  # noqa: PLR2004
