"""Elastic joints in inside corners: whether paint holds on them, and whether they give as far as the walls move."""

from planlint.api import (
    LIMITS_OF_MOVEMENT,
    NOT_APPLICABLE,
    PASS,
    Corner,
    Fail,
    Given,
    HoldPoint,
    Joint,
    Lacking,
    Level,
    Open,
    Outcome,
    Remedy,
    Set,
    at_least,
    joint_movement,
    outcome_of,
    rule,
)


@rule(
    "sealant-takes-paint",
    judges=Corner,
    level=Level.WARNING,
    guards=HoldPoint.PAINTING,
    needs=("then", "corner.joint", "corner.sealant.paintable"),
    reads=("paintable_sealants", "unpaintable_sealants"),
)
def sealant_takes_paint(corner: Corner, given: Given) -> Outcome:
    """The sealant of an inside corner takes paint.

    Why: paint crawls off silicone, and the only cure is to cut the joint out again.
    Source: pages of the trade (silicone, acrylic); common practice.
    """
    if corner.is_outside is not False or corner.joint is not Joint.SEALANT:
        return _without_sealant(corner)
    sealant = corner.sealant
    if sealant and sealant.paintable is not None:
        holds = sealant.paintable
    else:
        kind = (sealant.kind if sealant else None) or ""
        known = {"paintable_sealants": True, "unpaintable_sealants": False}
        told = [takes for limit, takes in known.items() if any(word in kind.casefold() for word in given.words(limit))]
        if len(told) != 1:
            return Open("whether paint holds on the sealant of this corner", "corner.sealant.paintable")
        holds = told[0]
    if holds:
        return PASS
    kind = sealant.kind if sealant and sealant.kind else "a sealant"
    return Fail(
        f"{kind} closes this corner, and paint does not hold on it",
        measured="not paintable",
        allowed="paintable",
        remedy=Remedy(
            "close the corner with an acrylic or another sealant whose label says that it can be painted",
            edit=_painted(corner, given),
        ),
    )


@rule(
    "sealant-takes-movement",
    judges=Corner,
    level=Level.WARNING,
    guards=HoldPoint.PAINTING,
    needs=("then", "corner.joint", "corner.width", "corner.sealant.class", "length"),
    reads=LIMITS_OF_MOVEMENT,
)
def sealant_takes_movement(corner: Corner, given: Given) -> Outcome:
    """The joint of an inside corner gives as far as half the longer wall beside it moves between the seasons.

    Why: a joint too narrow for its sealant tears off one side in the first heating season.
    Source: ISO 11600, as quoted (classes); gypsum association data, from memory (strains); own decision (the swing).
    """
    if corner.is_outside is not False or corner.joint is not Joint.SEALANT:
        return _without_sealant(corner)
    found = joint_movement(corner, given)
    if isinstance(found, Lacking):
        return outcome_of(found, remedy="correct the figures of the joint")
    if at_least(found.takes, found.moves):
        return PASS
    return Fail(
        f"the joint takes {{measured}} each way, and wall {found.wall.name}, {found.wall.length} long, moves by "
        "{allowed} there",
        measured=found.takes,
        allowed=found.moves,
        remedy=Remedy(
            f"make the joint {found.wanted} wide or wider, or use a sealant of a higher class",
            edit=Set(corner.wall, "corner.width", found.wanted),
        ),
    )


def _painted(corner: Corner, given: Given) -> tuple[Set, ...]:
    """The edits that plan a sealant which takes paint."""
    kind = Set(corner.wall, "corner.sealant.kind", given.words("paintable_sealants")[0])
    is_denied = corner.sealant and corner.sealant.paintable is False
    return (kind, Set(corner.wall, "corner.sealant.paintable", value=True)) if is_denied else (kind,)


def _without_sealant(corner: Corner) -> Outcome:
    """What rules about elastic joints answer where there is none, or where that is not recorded."""
    if corner.is_outside is None:
        return Open("which way the walls turn here", "then")
    if not corner.is_outside and corner.joint is None:
        return Open("how the inside corner is closed", "corner.joint")
    return NOT_APPLICABLE
