"""Handling: whether people can lift the boards, and whether the boards go through every passage on their way in."""

from planlint.api import (
    FIGURES,
    HANDLING_CAUTION,
    LIMITS_OF_CUT,
    NOT_APPLICABLE,
    PASS,
    Board,
    Fail,
    Given,
    HoldPoint,
    Lacking,
    Level,
    Outcome,
    Remedy,
    Size,
    at_most,
    board_lift,
    narrowest_passage,
    outcome_of,
    rule,
    show,
    spoken_cut,
    spoken_size,
)

CORRECT = "correct the figure, or ask someone who handles such sheets every day"
"""What to do about a figure that is beyond every formula."""


@rule(
    "board-lift",
    judges=Board,
    level=Level.WARNING,
    guards=HoldPoint.CLOSING_IN,
    needs=("width", "length", "thickness", "mass", "access.people"),
    reads=LIMITS_OF_CUT,
    caution=HANDLING_CAUTION,
)
def board_lift_within_limit(board: Board, given: Given) -> Outcome:
    """No one who helps to lift a board lifts more than the recommended weight limit.

    Why: backs are hurt by the tenth sheet of a long day, not by the first, and a dropped sheet is a broken one.
    Source: revised NIOSH lifting equation (NIOSH 94-110, revised 2021); that people share a board evenly, own decision.
    """
    if board.stands_already:
        return NOT_APPLICABLE
    lift = board_lift(board, given)
    if isinstance(lift, Lacking):
        return outcome_of(lift, CORRECT)
    if at_most(lift.each, lift.allowed):
        return PASS
    each = "{measured}"
    if lift.people > 1:
        each = f"{show(lift.mass, FIGURES)}, {{measured}} for each of {lift.people} people"
    return Fail(
        f"{_sheet(board, lift.size)} weighs {each}, and {{allowed}} is the most that is recommended for one person "
        f"(lifting index {lift.index:.1f})",
        measured=lift.each,
        allowed=lift.allowed,
        remedy=Remedy(f"{spoken_cut(board, given)}; or have {lift.people_wanted} people lift it"),
    )


@rule(
    "board-passes",
    judges=Board,
    level=Level.ERROR,
    guards=HoldPoint.CLOSING_IN,
    needs=("width", "length", "thickness", "reached_by", "kind", "width_beyond", "headroom"),
    reads=LIMITS_OF_CUT,
    caution=HANDLING_CAUTION,
)
def board_passes(board: Board, given: Given) -> Outcome:
    """A board goes through every passage on the way to the rooms in which it is hung, as it is carried in.

    Why: that a sheet does not turn on the landing is found out with the sheet in hand and the van gone.
    Source: geometry (for the turn, College Mathematics Journal 33(3), 2002, pp. 196-200); common practice for hands.
    """
    if not board.rooms:
        return NOT_APPLICABLE
    found = narrowest_passage(board, given)
    if isinstance(found, Lacking):
        return outcome_of(found, CORRECT)
    if found is None or found.lets_through:
        return PASS
    passage = f"the {found.passage.kind} {found.passage.name} on the way to {found.rooms_named}"
    most = "one of that width may be {allowed} long at most" if found.allowed else "nothing of that width does"
    return Fail(
        f"{_sheet(board, found.size)} does not go through {passage}: with room for hands, {most}",
        measured=found.size.length,
        allowed=found.allowed or None,
        remedy=Remedy(f"{spoken_cut(board, given)}; or find a wider way in"),
    )


def _sheet(board: Board, size: Size) -> str:
    return f"{'a whole sheet of' if board.cut_to is None else 'a sheet cut to'} {spoken_size(size)}"
