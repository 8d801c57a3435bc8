"""Windows and doors: what holds their frames."""

from planlint.api import (
    NOT_APPLICABLE,
    PASS,
    Fail,
    Given,
    HoldPoint,
    Level,
    Open,
    Opening,
    OpeningKind,
    Outcome,
    Remedy,
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
