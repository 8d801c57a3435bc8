"""Back boxes: whether they fit what lies behind the finished face, and hold what is pulled into them."""

from collections.abc import Callable

from planlint.api import (
    BOXED,
    LIMITS_OF_BOX_WIRES,
    NOT_APPLICABLE,
    PASS,
    Box,
    Fail,
    Given,
    HoldPoint,
    Lacking,
    Length,
    Level,
    Open,
    Outcome,
    Point,
    Remedy,
    Set,
    Volume,
    at_least,
    at_most,
    outcome_of,
    reach_at,
    rule,
    sheets_at,
    volume_wanted,
)


@rule(
    "box-depth-fits",
    judges=Point,
    level=Level.ERROR,
    guards=HoldPoint.CLOSING_IN,
    needs=("box", "depth", "lining", "layers", "thickness", "at", "height", "base", "material", "recess"),
    reads=("box_clearance",),
)
def box_depth_fits(point: Point, given: Given) -> Outcome:
    """A box, with room for the cables behind it, is no deeper than what lies between the finished face and the wall.

    Why: a box that touches the wall stands proud of the board, and its cables are crushed.
    Source: common practice; the room for the cables is an own decision.
    """
    box = point.box
    if box is None:
        return _without_box(point)
    if box.depth is None:
        return Open(f"how deep the box {box.name} is", f"{box.place}.depth")
    reach = reach_at(point)
    if isinstance(reach, Lacking):
        return outcome_of(reach)
    clearance = given.quantity("box_clearance", Length)
    wanted = box.depth.like(box.depth + clearance)
    if at_most(wanted, reach.depth):
        return PASS
    if reach.more:
        return outcome_of(reach.more)
    return Fail(
        f"the box {box.name} and {clearance} for its cables take {{measured}}, and there is room for {{allowed}} in "
        f"{reach.made_of}",
        measured=wanted,
        allowed=box.depth.like(reach.depth),
        remedy=Remedy(
            "take a flatter box or deeper battens; where a hollow may be cut behind it without harm to the wall, "
            "cut it and record its depth as recess",
            edit=_other_box(
                point, box, lambda one: one.depth is not None and at_most(one.depth + clearance, reach.depth)
            ),
        ),
    )


@rule(
    "clamps-reach-boards",
    judges=Point,
    level=Level.ERROR,
    guards=HoldPoint.CLOSING_IN,
    needs=("box", "clamps", "lining", "layers", "thickness", "existing", "base", "material", "at", "height"),
)
def clamps_reach_boards(point: Point, given: Given) -> Outcome:
    """The boards that a box is clamped into, all sheets together, are of a thickness that its clamps grip.

    Why: clamps that do not close on the board leave the box loose, and those that do not open over it break it out.
    Source: common practice; the range is that of the box's maker.
    """
    box = point.box
    if box is None:
        return _without_box(point)
    sheets = sheets_at(point)
    if isinstance(sheets, Lacking):
        return outcome_of(sheets)
    if sheets is None:
        return NOT_APPLICABLE
    if box.clamps is None:
        return Open(f"from what to what thickness the clamps of {box.name} grip", f"{box.place}.clamps")
    least, most = box.clamps
    if isinstance(sheets.thickness, Lacking):
        return outcome_of(sheets.thickness)
    if sheets.behind:
        return outcome_of(sheets.behind)
    thickness = most.like(sheets.thickness)
    if at_least(thickness, least) and at_most(thickness, most):
        return PASS
    too_thin = thickness < least
    what = "the board is" if sheets.boards == 1 else f"the {sheets.boards} boards together are"
    side = "least" if too_thin else "most"
    return Fail(
        f"{what} {{measured}} thick, and the clamps of {box.name} grip {{allowed}} at {side}",
        measured=thickness,
        allowed=least if too_thin else most,
        remedy=Remedy(
            "take a box whose clamps grip a board as thin as this, or back the board with a sheet"
            if too_thin
            else "take a box with longer clamps, or cut the sheet behind away round the box",
            edit=_other_box(
                point,
                box,
                lambda one: (
                    one.clamps is not None and at_least(thickness, one.clamps[0]) and at_most(thickness, one.clamps[1])
                ),
            ),
        ),
    )


@rule(
    "box-holds-wires",
    judges=Point,
    level=Level.WARNING,
    guards=HoldPoint.CLOSING_IN,
    needs=("box", "volume", "circuit", "chain", "section"),
    reads=LIMITS_OF_BOX_WIRES,
    caution=(
        "Work on circuits only when they are dead and proved dead; what a box may hold is for the local code "
        "to say, and for a licensed electrician to judge."
    ),
)
def box_holds_wires(point: Point, given: Given) -> Outcome:
    """Where the limits give each wire a volume, the box has room for its wires, device, clamps and earths.

    Why: wires that are forced into a box are nicked and pull out of their terminals.
    Source: NEC 314.16(B), as quoted; how device and clamps count is from memory.
    """
    if given.table("wire_volume") is None:
        return NOT_APPLICABLE
    box, circuit = point.box, point.circuit
    if box is None:
        return _without_box(point)
    if circuit is None:
        return Open(f"which circuit feeds {point.name}", "circuit")
    runs = [run for run in circuit.runs if point.name in (run.start_name, run.end_name)]
    if not runs:
        return Open(f"the cables that come to {point.name}", f"{circuit.place}.chain")
    if box.volume is None:
        return Open(f"how much room there is in the box {box.name}", f"{box.place}.volume")
    wanted = volume_wanted(point, runs, given)
    if isinstance(wanted, Lacking):
        return outcome_of(wanted)
    volume = box.volume.like(box.volume * point.gangs)
    if at_least(volume, wanted.volume):
        return PASS
    return Fail(
        f"{_boxes(box, point.gangs)} {{measured}} of room, and what is in it wants {{allowed}} ({wanted.made_of})",
        measured=volume,
        allowed=Volume(wanted.volume, volume.unit),
        remedy=Remedy("take a box with more room, or bring fewer cables to this point"),
    )


def _other_box(point: Point, box: Box, fits: Callable[[Box], bool]) -> tuple[Set, ...]:
    """The edit that plans another box of the plan, where exactly one of them fits."""
    fitting = [one for one in box.others if fits(one)]
    return (Set(point, "box", fitting[0].name),) if len(fitting) == 1 else ()


def _without_box(point: Point) -> Outcome:
    return Open("which box it sits in", "box") if point.kind in BOXED else NOT_APPLICABLE


def _boxes(box: Box, gangs: int) -> str:
    return f"the box {box.name} has" if gangs == 1 else f"the {gangs} boxes {box.name} have together"
