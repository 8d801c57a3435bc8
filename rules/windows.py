"""Windows and doors: what holds their frames, and how closely."""

from planlint.api import (
    LIMITS_OF_FIXINGS,
    NOT_APPLICABLE,
    PASS,
    Fail,
    Given,
    HoldPoint,
    Lacking,
    Length,
    Level,
    Open,
    Opening,
    OpeningKind,
    Outcome,
    Remedy,
    at_least,
    at_most,
    frame_fixings,
    rule,
)


@rule(
    "frame-held-mechanically",
    judges=Opening,
    level=Level.ERROR,
    guards=HoldPoint.CLOSING_IN,
    needs=("frame.held_by",),
    reads=("frame_fixings",),
    guards_life=True,
    caution="A window that comes loose can fall on someone; above the ground floor have its fixing checked.",
)
def frame_held_mechanically(opening: Opening, given: Given) -> Outcome:
    """Something more than foam holds the frame of a window or door.

    Why: foam seals and insulates but creeps; a frame held by it alone works loose with every slam.
    Source: common practice.
    """
    if opening.kind not in (OpeningKind.WINDOW, OpeningKind.DOOR):
        return NOT_APPLICABLE
    if opening.held_by is None:
        return Open("what holds the frame", "frame.held_by")
    fixings = given.words("frame_fixings")
    if any(fixing in fixings for fixing in opening.held_by):
        return PASS
    held = " and ".join(opening.held_by)
    return Fail(
        f"{held} alone holds the frame" if held else "nothing holds the frame",
        measured=held or "nothing",
        allowed=" or ".join(fixings),
        remedy=Remedy("fix it with frame screws or brackets before the lining covers the joint"),
    )


@rule(
    "frame-fixing-spacing",
    judges=Opening,
    level=Level.WARNING,
    guards=HoldPoint.CLOSING_IN,
    needs=("frame.held_by", "frame.spacing", "frame.from_corner"),
    reads=("frame_fixings", "frame_fixing_from_corner_least", *LIMITS_OF_FIXINGS),
)
def frame_fixing_spacing(opening: Opening, given: Given) -> Outcome:
    """Fixings hold a frame close enough to each other, and neither too near its corners nor too far from them.

    Why: between fixings too far apart the frame bows and leaks; one in the corner splits it or bends it out of true.
    Source: an Austrian installation page (700 mm; 100 mm), UK product guides (250 mm): pages of the trade.
    """
    if opening.kind not in (OpeningKind.WINDOW, OpeningKind.DOOR):
        return NOT_APPLICABLE
    held, spacing, corner = opening.held_by, opening.fixing_spacing, opening.fixing_from_corner
    # A lining locks the frame in all along; only what is set one by one has a spacing.
    if held is not None and not any(fixing in given.words("frame_fixings") and fixing != "lining" for fixing in held):
        return NOT_APPLICABLE
    needed = {"frame.held_by": held, "frame.spacing": spacing, "frame.from_corner": corner}
    if spacing is None or corner is None or held is None:
        missing = [key for key, value in needed.items() if value is None]
        return Open("how far the fixings of the frame are from each other and from its corners", *missing)
    most = given.quantity("frame_fixing_spacing", Length)
    if not at_most(spacing, most):
        return Fail(
            "the fixings of the frame are {measured} apart; at most {allowed} is allowed",
            measured=spacing,
            allowed=most,
            remedy=Remedy(f"set further fixings before the lining covers the joint{_count(opening, given)}"),
        )
    nearest, furthest = (given.quantity(f"frame_fixing_from_corner_{end}", Length) for end in ("least", "most"))
    if at_least(corner, nearest) and at_most(corner, furthest):
        return PASS
    is_near = not at_least(corner, nearest)
    return Fail(
        "the outer fixings of the frame are {measured} from its corners; "
        f"{'at least' if is_near else 'at most'} {{allowed}} is wanted",
        measured=corner,
        allowed=nearest if is_near else furthest,
        remedy=Remedy(f"set them between {nearest} and {furthest} from each inner corner{_count(opening, given)}"),
    )


def _count(opening: Opening, given: Given) -> str:
    """How many fixings each side takes, in words; nothing where the size of the opening is not known."""
    sides = frame_fixings(opening, given)
    if isinstance(sides, Lacking):
        return ""
    return ": " + ", ".join(f"{count} at the {side}" for side, count in sides.items()) + ", at the least"
