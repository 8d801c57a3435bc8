"""What boards hang on: battens near enough, screws that hold and reach nothing else, gaps between timber sheets."""

from functools import partial

from planlint.api import (
    LIMITS_OF_BITE,
    LIMITS_OF_SUPPORTS,
    NOT_APPLICABLE,
    PASS,
    Bite,
    Board,
    Edges,
    Fail,
    Given,
    HoldPoint,
    Lacking,
    Length,
    Level,
    Lining,
    Open,
    Outcome,
    Remedy,
    Review,
    Set,
    Wall,
    at_least,
    at_most,
    bite,
    board_on_battens,
    numbered_boards,
    outcome_of,
    reach,
    rule,
    tidy,
    widest_spacing,
)

SCREWS = ("layers", "screws", "screws.length", "screws.spacing", "screws.edge", "kind", "thickness")
SERVICES_CAUTION = (
    "A screw in a cable or a pipe is found out when it is too late: have the wall's cables dead and its water shut off "
    "while boards are screwed, and look at the photographs of what lies behind."
)
unworkable = partial(outcome_of, remedy="correct the figures of the lining")


@rule(
    "support-spacing",
    judges=Lining,
    level=Level.ERROR,
    guards=HoldPoint.CLOSING_IN,
    needs=("layers", "battens.spacing", "kind", "thickness"),
    reads=LIMITS_OF_SUPPORTS,
)
def support_spacing(lining: Lining, given: Given) -> Outcome:
    """Battens stand no further apart than the board that hangs on them allows, on walls and on ceilings.

    Why: between supports too far apart a board sags and gives way to a hand, and its joints open.
    Source: UK warranty standards 6.3.12 and 9.2.4, Table 5, which quote BS 8212; common practice (timber sheets).
    """
    if lining.battens is None:
        return NOT_APPLICABLE
    board, spacing = board_on_battens(lining), lining.battens.spacing
    if board is None:
        return NOT_APPLICABLE if lining.layers else Open("the boards that hang on the battens", "layers")
    needed = {
        "battens.spacing": spacing,
        f"{board.place}.kind": board.kind,
        f"{board.place}.thickness": board.thickness,
    }
    if spacing is None or board.kind is None or board.thickness is None:
        missing = [key for key, value in needed.items() if value is None]
        return Open("how far the battens are apart, and what hangs on them", *missing)
    uses = {not isinstance(surface, Wall) for surface in lining.surfaces} or {False}
    for is_ceiling in sorted(uses, reverse=True):
        where, allowed = "ceiling" if is_ceiling else "wall", widest_spacing(board, given, is_ceiling=is_ceiling)
        what = f"{board.thickness} {board.kind} on a {where}"
        if allowed is None:
            says = f"the limits know no spacing of battens for {what}; they stand {spacing} apart"
            return Review(says, remedy=Remedy("follow the sheet of the board's maker, and have the review recorded"))
        if not at_most(spacing, allowed):
            says = f"the battens stand {{measured}} apart; for {what} at most {{allowed}} is allowed"
            remedy = Remedy(
                f"set them {allowed} apart, or put further ones between them, before the boards are hung",
                edit=Set(lining, "battens.spacing", allowed),
            )
            return Fail(says, measured=spacing, allowed=allowed, remedy=remedy)
    return PASS


@rule(
    "screw-length-and-spacing",
    judges=Lining,
    level=Level.WARNING,
    guards=HoldPoint.CLOSING_IN,
    needs=SCREWS,
    reads=(
        *LIMITS_OF_BITE,
        "screw_bite",
        "screw_spacing_gypsum",
        "screw_spacing_gypsum_ceiling",
        "screw_spacing_timber_sheet",
        "screw_edge_bound",
        "screw_edge_cut",
        "screw_edge_timber_sheet",
    ),
)
def screw_length_and_spacing(lining: Lining, given: Given) -> Outcome:
    """The screws of each layer bite far enough, or go through a sheet, and stand close enough, clear of the edges.

    Why: too short they pull out, too far apart the board drums, too near the edge they break it.
    Source: pages of the trade (16 mm); a UK specification, clause 610 (300 mm; 10 and 13 mm); panel guides (sheets).
    """
    if lining.is_glued:
        return NOT_APPLICABLE
    if not lining.boards:
        return NOT_APPLICABLE if lining.layers else Open("the layers of the lining", "layers")
    found = [_screwed(lining, number, board, given) for number, board in numbered_boards(lining)]
    fail = next((one for one in found if isinstance(one, Fail | Review)), None)
    gaps = [one for one in found if isinstance(one, Open)]
    if fail or not gaps:
        return fail or PASS
    keys = dict.fromkeys(key for gap in gaps for key in gap.missing)
    return Open(" and ".join(dict.fromkeys(gap.what for gap in gaps)), *keys)


def _screwed(lining: Lining, number: int, board: Board, given: Given) -> Outcome:
    """Whether the screws of one layer hold it."""
    key, screws = f"layers.{number}.screws", lining.layers[number - 1].screws
    if screws is None:
        return Open(f"the screws that hold {board.name}", key)
    needed = {
        f"{key}.length": screws.length,
        f"{key}.spacing": screws.spacing,
        f"{key}.edge": screws.edge,
        f"{board.place}.kind": board.kind,
    }
    if screws.length is None or screws.spacing is None or screws.edge is None or board.kind is None:
        missing = [key for key, value in needed.items() if value is None]
        return Open(f"the screws that hold {board.name}, and what it is", *missing)
    bites = bite(lining, number, screws.length, given)
    if isinstance(bites, Lacking):
        return unworkable(bites)
    return (
        _bitten(board, screws.length, bites, given)
        or _spaced(lining, number, board, screws.spacing, given)
        or _off_edge(lining, number, board, screws.edge, given)
        or PASS
    )


def _bitten(board: Board, length: Length, bites: Bite, given: Given) -> Fail | Review | None:
    wanted = given.quantity("screw_bite", Length)
    if bites.passes_sheet or at_least(bites.timber, wanted):
        return None
    if bites.hangs_off:
        says = f"{board.name} hangs in front of a layer that is no board, and the plan has no battens there"
        return Review(says, remedy=Remedy(f"see that its screws go {wanted} into what it hangs on"))
    longer = length.like(tidy(length + wanted - bites.timber))
    return Fail(
        f"the screws of {board.name}, {length} long, go {{measured}} into timber; at least {{allowed}} is wanted",
        measured=bites.timber,
        allowed=wanted,
        remedy=Remedy(f"take screws of {longer} or longer, unless cables or pipes lie behind within their reach"),
    )


def _spaced(lining: Lining, number: int, board: Board, spacing: Length, given: Given) -> Fail | None:
    is_timber = board.kind in given.words("timber_sheet_kinds")
    is_ceiling = any(not isinstance(surface, Wall) for surface in lining.surfaces)
    name = "screw_spacing_timber_sheet" if is_timber else "screw_spacing_gypsum"
    allowed = given.quantity(f"{name}_ceiling" if is_ceiling and not is_timber else name, Length)
    if at_most(spacing, allowed):
        return None
    where = " on a ceiling" if is_ceiling and not is_timber else ""
    return Fail(
        f"the screws of {board.name} stand {{measured}} apart{where}; at most {{allowed}} is allowed",
        measured=spacing,
        allowed=allowed,
        remedy=Remedy(
            f"set a screw every {allowed} along each batten",
            edit=Set(lining, f"layers.{number}.screws.spacing", allowed),
        ),
    )


def _off_edge(lining: Lining, number: int, board: Board, edge: Length, given: Given) -> Fail | None:
    is_timber = board.kind in given.words("timber_sheet_kinds")
    allowed = given.quantity("screw_edge_timber_sheet" if is_timber else "screw_edge_cut", Length)
    if at_least(edge, allowed):
        return None
    bound = given.quantity("screw_edge_bound", Length)
    will_do = not is_timber and at_least(edge, bound)
    only = f": that will do beside edges bound in paper ({bound}), and each board has cut ones too" if will_do else ""
    return Fail(
        f"the screws of {board.name} stand {{measured}} from its edge, and at least {{allowed}} is wanted{only}",
        measured=edge,
        allowed=allowed,
        remedy=Remedy(
            f"keep {allowed} or more off the edges, and off the edge of the batten too",
            edit=Set(lining, f"layers.{number}.screws.edge", allowed),
        ),
    )


@rule(
    "screw-clear-of-services",
    judges=Wall,
    level=Level.WARNING,
    guards=HoldPoint.CLOSING_IN,
    needs=("lining", "layers", "screws.length", "thickness", "battens.depth"),
    caution=SERVICES_CAUTION,
)
def screw_clear_of_services(wall: Wall, given: Given) -> Outcome:
    """No screw of the lining is long enough to reach a cable or a pipe whose depth in the wall is recorded.

    Why: a screw finds the cable or the pipe that nobody sees any more.
    Source: plane geometry.
    """
    behind = [(f"the run to {run.end_name}", run.depth) for run in wall.runs]
    behind += [(f"the pipe {pipe.name}", pipe.depth) for pipe in wall.pipes]
    known = [(depth, name) for name, depth in behind if depth is not None]
    if wall.stays or not known:
        return NOT_APPLICABLE
    lining = wall.lining
    if lining is None:
        return Open("whether and how the wall will be lined", "lining")
    if lining.is_glued:
        return NOT_APPLICABLE
    if not lining.layers:
        return Open("the layers of the lining", f"{lining.place}.layers")
    depth, name = min(known)
    lacking: list[str] = []
    for number, board in numbered_boards(lining):
        screws = lining.layers[number - 1].screws
        if screws is None or screws.length is None:
            lacking.append(f"{lining.place}.layers.{number}.screws.length")
            continue
        reaches = reach(lining, number, screws.length)
        if isinstance(reaches, Lacking):
            return unworkable(reaches)
        if not at_most(reaches, depth):
            return Fail(
                f"the screws of {board.name}, {screws.length} long, reach {{measured}} into the wall, and {name} lies "
                "{allowed} deep in it",
                measured=reaches,
                allowed=depth,
                remedy=Remedy("take shorter screws there, lay it deeper, or guard it with a steel plate and mark it"),
            )
    return Open("how long the screws are that may reach it", *lacking) if lacking else PASS


@rule(
    "sheet-timber-gap",
    judges=Lining,
    level=Level.NOTE,
    guards=None,
    needs=("gap", "kind"),
    reads=("timber_sheet_kinds", "sheet_gap"),
)
def sheet_timber_gap(lining: Lining, given: Given) -> Outcome:
    """Sheets of timber keep a gap to each other and at their edges.

    Why: they swell with the seasons; butted tight they push each other up, and the boards on them crack.
    Source: an EU panel guide (3 mm) and a US panel association (1/8 in), both as pages of the trade.
    """
    unknown = [f"{board.place}.kind" for board in lining.boards if board.kind is None]
    kinds, wanted = given.words("timber_sheet_kinds"), given.quantity("sheet_gap", Length)
    sheets = [
        (number, layer.board, layer.gap)
        for number, layer in enumerate(lining.layers, 1)
        if layer.board and layer.board.kind in kinds and layer.board.edges is not Edges.TONGUED
    ]
    for number, board, gap in sheets:
        if gap is not None and not at_least(gap, wanted):
            return Fail(
                f"the sheets of {board.name} keep {{measured}} apart; at least {{allowed}} is wanted",
                measured=gap,
                allowed=wanted,
                remedy=Remedy(
                    f"hang them with spacers of {wanted} between them, and as much to the walls",
                    edit=Set(lining, f"layers.{number}.gap", wanted),
                ),
            )
    if any(gap is None for *_, gap in sheets) or unknown:
        what = (
            "the gap between sheets of timber" if not unknown else "whether there are sheets of timber, and their gap"
        )
        return Open(what, *(["gap"] if any(gap is None for *_, gap in sheets) else []), *unknown)
    return PASS if sheets else NOT_APPLICABLE
