"""How damp a wall is by the reading that is worst against its own scale."""

from typing import Final

from planlint.model.readings import Judged, lacking, newest_of_each_spot, worst_of
from planlint.model.rooms import Wall
from planlint.model.words import ReadOf, Scale
from planlint.rule import Given, Open, Remedy, Review
from planlint.units import Length, Ratio

SCALES: Final = {
    Scale.WOOD_EQUIVALENT: ("masonry_wood_equivalent_warn", "masonry_wood_equivalent_stop"),
    Scale.OVEN_DRY: ("masonry_oven_dry_warn", "masonry_oven_dry_stop"),
}
LIMITS_OF_DAMPNESS = ("masonry_scales", "reading_spot", *(name for pair in SCALES.values() for name in pair))


def wettest(wall: Wall, given: Given) -> tuple[Judged | None, Open | Review | None]:
    """The reading of a wall that is worst against its own scale, and what stands in the way of judging others."""
    newest = newest_of_each_spot(wall.readings_of(ReadOf.WALL), given.quantity("reading_spot", Length), given.today)
    if not newest:
        faces = wall.base.key("faces") if wall.base else "base"
        return None, Open("how damp the wall is", *(["readings"] if wall.faces else [faces, "readings"]))
    limits = {
        scale: (given.quantity(warn, Ratio), given.quantity(stop, Ratio)) for scale, (warn, stop) in SCALES.items()
    }
    worst, others = worst_of(newest, limits)
    missing = lacking(others, "scale", "value")
    if any(one.scale not in given.words("masonry_scales") for one in others) and not missing:
        missing = ["readings"]
    if missing:
        return worst, Open("how damp every spot is, on a scale that masonry has a limit for", *missing)
    if not others:
        return worst, None
    says = f"{others[0].called} is {others[0].value} on the {others[0].scale} scale"
    remedy = Remedy("have someone who knows damp walls look at it, or read the spot on the wood-equivalent scale")
    return worst, Review(f"{says}; for masonry no limit is agreed on it", remedy=remedy)
