"""Where the tight layer of a lining stands, and how tight one would have to be."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final

from planlint.model.buildups import Lining
from planlint.model.rooms import Wall
from planlint.rule import Given
from planlint.sums.condensation import LIMITS_OF_CONDENSATION, Condensation, Spot, condensation, reckoned
from planlint.sums.section import Part, Section, Stratum, Timber, alike, strata_of, together
from planlint.sums.working import Lacking
from planlint.units import Conductivity, Length, Ratio, ThermalResistance, at_most

LIMITS_OF_INSULATION: Final = ("insulation_conductivity", "insulation_inside_vapour_layer")
LIMITS_OF_VAPOUR_LAYER: Final = (
    *LIMITS_OF_CONDENSATION,
    "insulation_conductivity",
    "timber_humidity",
    "vapour_layer_steps",
)


def insulates(stratum: Stratum, given: Given) -> bool:
    """Whether a layer counts as insulation."""
    most = given.quantity("insulation_conductivity", Conductivity)
    return stratum.conductivity is not None and at_most(stratum.conductivity, most)


def too_wet(found: Condensation, given: Given) -> Spot | None:
    """The timber in a wall that gets wettest, where that is too wet."""
    most = given.quantity("timber_humidity", Ratio)
    return next((spot for spot in found.timber if not at_most(spot.moisture, most)), None)


def least_vapour_layer(wall: Wall, given: Given) -> Length | None:
    """The least sd of a vapour layer that would keep a lined wall and its timber dry enough; None where none would.

    It is laid on the room side of the insulation, or behind the innermost layer where there is no insulation; a film
    that is there already makes way for it.
    """
    key = ("vapour layer", alike(wall.base), wall.existing, wall.lining, wall.room.climate)
    return given.once(key, lambda: _least_vapour_layer(wall, given))


def _least_vapour_layer(wall: Wall, given: Given) -> Length | None:
    found = condensation(wall, given)
    if isinstance(found, Lacking):
        return None
    for sd in (row["sd"] for row in given.table("vapour_layer_steps") or ()):
        if isinstance(sd, Length):
            tried = reckoned(_with_vapour_layer(found.section, sd, given), found.conditions, given)
            if tried.is_within_limits and not too_wet(tried, given):
                return sd
    return None


def _with_vapour_layer(found: Section, sd: Length, given: Given) -> Section:
    strata = found.strata
    insulation = [index for index, stratum in enumerate(strata) if insulates(stratum, given)]
    before = insulation[-1] + 1 if insulation else len(strata) - 1
    films = [index for index in range(before, len(strata)) if strata[index].family == "film"]
    if films:
        old = replace(strata[films[0]], sd=(sd, sd))
        return Section((*strata[: films[0]], old, *strata[films[0] + 1 :]), found.timber)
    film = Stratum(
        words="vapour layer",
        part=Part.LINING,
        thickness=None,
        conductivity=None,
        resistance=ThermalResistance(0, "m²·K/W"),
        sd=(sd, sd),
        density=None,
        family="film",
        absorbs=False,
    )
    timber = tuple(Timber(one.words, tuple(face + (face > before) for face in one.faces)) for one in found.timber)
    return Section((*strata[:before], film, *strata[before:]), timber)


@dataclass(frozen=True, slots=True)
class ColdSide:
    """A tight layer on the cold side of insulation, and the tightest that stands on the room side."""

    layer: Stratum
    insulation: Stratum
    inside: Stratum


def cold_side_layer(lining: Lining, given: Given) -> ColdSide | Lacking | None:
    """The tightest layer of a lining, where it wrongly stands outside of insulation; None where it does not.

    Insulation that is itself the tightest layer is right. So is a tight layer with a small share of the insulation on
    its room side, as of an insulated service void. Layers are compared by the greater of their two sd.
    """
    return given.once(("cold side", lining), lambda: _cold_side_layer(lining, given))


def has_insulation(lining: Lining, given: Given) -> bool | Lacking:
    """Whether some layer of a lining insulates; lacking where no known one does and another is not known."""
    strata = strata_of(lining)
    if any(isinstance(one, Stratum) and insulates(one, given) for one in strata):
        return True
    gaps = [one for one in strata if isinstance(one, Lacking)]
    return together(gaps) if gaps else False


def film_depth(lining: Lining, given: Given) -> float | Lacking | None:
    """How deep behind the surface in the room the vapour layer of a lining lies [m]; None where there is none.

    A vapour layer is a film that retards vapour; of several, the one nearest to the room counts. Where the layers in
    front of it are not wholly known it is taken to lie at the surface.
    """
    return given.once(("film depth", lining), lambda: _film_depth(lining, given))


def _film_depth(lining: Lining, given: Given) -> float | Lacking | None:
    most = given.quantity("vapour_layer_sd", Length)
    depth = 0.0
    for one in reversed(strata_of(lining)):
        if isinstance(one, Stratum):
            if one.is_film and not at_most(one.sd[1], most):
                return depth
            depth += one.thickness or 0.0
        elif any(key.endswith((".sd", ".layers")) for key in one.keys):
            return one
        else:
            depth = float("-inf")
    return None


def _cold_side_layer(lining: Lining, given: Given) -> ColdSide | Lacking | None:
    strata = strata_of(lining)
    gaps = [one for one in strata if isinstance(one, Lacking)]
    if gaps:
        return together(gaps)
    layers = [one for one in strata if isinstance(one, Stratum)]
    # Of layers that are equally tight the one nearest to the room counts.
    place = max(range(len(layers)), key=lambda index: (layers[index].sd[1], index))
    tightest = layers[place]
    inside = [one for one in layers[place + 1 :] if insulates(one, given)]
    if insulates(tightest, given) or not inside:
        return None
    share = _resistance(inside) / _resistance([one for one in layers if insulates(one, given)])
    if at_most(share, given.quantity("insulation_inside_vapour_layer", Ratio)):
        return None
    return ColdSide(tightest, inside[0], max(layers[place + 1 :], key=lambda one: one.sd[1]))


def _resistance(layers: Sequence[Stratum]) -> float:
    return sum(layer.resistance for layer in layers)
