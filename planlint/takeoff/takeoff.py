"""The takeoff of a plan: what hangs where, from which sheet it is cut, and all that goes with it, as records."""

from collections import Counter, defaultdict
from collections.abc import Callable, Iterable, Sequence
from dataclasses import replace
from datetime import date
from typing import Final

from planlint import takeoff_records as records
from planlint.cutting.lengths import cut_lengths
from planlint.formulas import sealant
from planlint.inspection import limits_of, plan_of, things_at
from planlint.model.buildups import Board, Lining
from planlint.model.plan import Plan
from planlint.model.rooms import Surface, Wall
from planlint.model.thing import Thing, lies_under
from planlint.registry import Rulebook
from planlint.rule import Given
from planlint.source import Document
from planlint.sums.working import Lacking
from planlint.takeoff.cutlist import LIMITS_OF_CUTTING, Progress, cut_board, kerf_of, with_sheets
from planlint.takeoff.finishes import LIMITS_OF_FINISHES, Need, Needs, battens, finishes, joints_between, screws_in
from planlint.takeoff.flat import hang_flat
from planlint.takeoff.hung import Hung
from planlint.takeoff.layout import LIMITS_OF_LAYOUT, hang
from planlint.takeoff.wiring import Wired, wiring
from planlint.units import Length, Ratio, Volume

__all__ = ["LIMITS_OF_TAKEOFF", "take_off"]

LIMITS_OF_TAKEOFF: Final = tuple(
    dict.fromkeys(
        (
            *LIMITS_OF_LAYOUT,
            *LIMITS_OF_CUTTING,
            *LIMITS_OF_FINISHES,
            "bead_bars",
            "batten_bars",
            "cartridge",
            "sealant_waste",
            "filler_in_joints",
            "tape_waste",
        )
    )
)
CAUTION: Final = (
    "Measure again before you cut: old walls are not straight, and a list is no better than its figures. Saw and sand "
    "with dust extraction and a mask; foam and its primer want gloves and air. Have a second pair of hands for whole "
    "sheets and for ceilings. What hides cables or pipes is closed only after they were tested."
)
SECONDS: Final = 10.0
"""How long a kind of sheet, or of bar, may be worked on."""


def take_off(  # noqa: PLR0913 - what to take off, by what, how long, and who hears of it
    document: Document,
    rulebook: Rulebook,
    *,
    limits: str | None = None,
    place: str | None = None,
    seconds: float = SECONDS,
    progress: Progress = lambda _board, _best, _bound: None,
) -> records.Takeoff:
    """The takeoff of all that lies under `place` or bears on it, by the limit set `limits` or the plan's own.

    Raises PlanFaults where the document cannot be read as a plan, UsageError for a place that it does not hold,
    LimitError for a limit set that there is not.
    """
    plan = plan_of(document)
    in_force = limits_of(document, plan, rulebook, limits)
    given = Given(in_force, date.min, LIMITS_OF_TAKEOFF)  # no quantity goes by the day
    things = things_at(plan, place)
    surfaces = _surfaces(plan, things, place)
    hung = [
        (surface, hang(surface, given) if isinstance(surface, Wall) else hang_flat(surface, given))
        for surface in surfaces
    ]
    pieces = tuple(piece for _, one in hung for piece in one.pieces)
    boards, unsheeted = _boards(plan, pieces, seconds, progress, given)
    needs, wired = _needs(hung, things, given), wiring(things)
    lengths, unbarred = _lengths(plan, needs, seconds, progress, given)
    lacking = [
        *(one for _, each in hung for one in each.lacking),
        *unsheeted,
        *needs.lacking,
        *unbarred,
        *wired.lacking,
    ]
    total = _total(place or plan.place, lambda _: True, pieces, needs, wired, given)
    rooms = [_total(room.place, room.name.__eq__, pieces, needs, wired, given) for room in plan.rooms]
    return records.Takeoff(
        plan=document.file,
        title=plan.title,
        digest=document.digest,
        limits=in_force.names,
        overridden=tuple(f"{limit.name}: {limit.said} ({limit.reason})" for limit in in_force.overridden()),
        place=place,
        unit=next((wall.length.unit for room in plan.rooms for wall in room.walls if wall.length), "m"),
        pieces=pieces,
        boards=boards,
        lengths=lengths,
        sealant=_sealant(total, given),
        wiring=wired.wiring,
        total=total,
        rooms=tuple(room for room in rooms if room != replace(_EMPTY, place=room.place)),
        assumed=(*needs.assumed, *wired.assumed),
        broken=tuple(broken for _, one in hung for broken in one.broken),
        unknown=tuple(dict.fromkeys(records.Unknown(one.what, one.keys) for one in lacking)),
        caution=CAUTION,
    )


def _surfaces(plan: Plan, things: Sequence[Thing], place: str | None) -> list[Surface]:
    """The walls, ceilings and slopes to take off; where a lining or a board is asked for, those that use it."""
    used = [thing for thing in things if thing.place == place and isinstance(thing, Lining | Board)]
    bears = {touched for thing in used for touched in thing.bears_on}
    every = [surface for room in plan.rooms for surface in (*room.walls, room.ceiling, *room.slopes) if surface]
    wanted = set(things)
    return [one for one in every if one in wanted or any(lies_under(one.place, touched) for touched in bears)]


def _boards(
    plan: Plan, pieces: Sequence[records.PieceCard], seconds: float, progress: Progress, given: Given
) -> tuple[tuple[records.BoardCard, ...], list[Lacking]]:
    cards, lacking = [], []
    for board, of_board in with_sheets(plan.boards, pieces):
        found, missing = cut_board(board, of_board, kerf_of(board, plan.kerf, given), seconds, progress)
        lacking += missing
        cards += [found] if found else []
    return tuple(cards), lacking


def _needs(hung: Sequence[tuple[Surface, Hung]], things: Sequence[Thing], given: Given) -> Needs:
    needs = Needs()
    finishes(things, needs, given)
    for surface, one in hung:
        if isinstance(surface, Wall):
            battens(surface, needs)
        screws_in(surface, one.pieces, needs)
        boards = surface.lining.boards if surface.lining else ()
        if boards and boards[-1].kind not in given.words("timber_sheet_kinds"):
            needs.filled += joints_between([piece for piece in one.pieces if piece.layer == len(boards)])
    return needs


def _lengths(
    plan: Plan, needs: Needs, seconds: float, progress: Progress, given: Given
) -> tuple[dict[str, records.LengthsCard], list[Lacking]]:
    """Beads and battens as they are cut from bars."""
    found: dict[str, records.LengthsCard] = {}
    lacking: list[Lacking] = []
    bars = _bars("bead_bars", given)
    for need in (need for need in needs.beads if need.length > bars[-1]):
        longer = f"it takes {Length(need.length, 'm')}, and the longest of the limit bead_bars has {bars[-1]:g} m"
        lacking.append(Lacking(f"the bead at {need.place} in one length: {longer}", ()))
    beads = [need for need in needs.beads if need.length <= bars[-1]]
    if beads:
        found["bead"] = _cut("bead", beads, bars, 0.0, seconds, progress)
    bars = _bars("batten_bars", given)
    for size, wanted in needs.battens.items():
        name = f"batten {size}" if len(needs.battens) > 1 else "batten"
        # A batten longer than a bar is made of two, one on top of the other.
        cut = [part for need in wanted for part in _parted(need, bars[-1])]
        found[name] = _cut(name, cut, bars, kerf_of(None, plan.kerf, given), seconds, progress)
    return found, lacking


def _bars(name: str, given: Given) -> list[float]:
    return sorted(float(row["length"]) for row in given.table(name) or ())


def _parted(need: Need, longest: float) -> list[Need]:
    whole = int(need.length / longest - 1e-9)
    return [*[replace(need, length=longest)] * whole, replace(need, length=need.length - whole * longest)]


def _cut(  # noqa: PLR0913, PLR0917 - what is wanted, from what, how long, and who hears of it
    name: str, wanted: Sequence[Need], bars: Sequence[float], kerf: float, seconds: float, progress: Progress
) -> records.LengthsCard:
    """All from bars of one length: of those on sale the one of which least is bought."""
    longest = max(need.length for need in wanted)
    tried = []
    for bar in bars:
        if bar >= longest - 1e-9:
            plan = cut_lengths([need.length for need in wanted], bar, kerf, seconds=seconds / len(bars))
            tried.append((plan.new * bar, plan.new, bar, plan))
            progress(name, plan.new, plan.bound)
    _, _, bar, best = min(tried, key=lambda one: one[:3])
    return records.LengthsCard(
        needed=sum(need.length for need in wanted),
        bar=bar,
        bound=best.bound,
        bars=tuple(
            records.BarCard(
                tuple(wanted[number].length for number in cut.pieces),
                tuple(wanted[number].place for number in cut.pieces),
            )
            for cut in best.bars
        ),
    )


def _sealant(total: records.Total, given: Given) -> records.SealantCard:
    cartridge = given.quantity("cartridge", Volume)
    number = sealant.cartridges(total.sealant, given.quantity("sealant_waste", Ratio), cartridge)
    return records.SealantCard(total.sealant_length, total.sealant, number, cartridge)


def _total(  # noqa: PLR0913, PLR0917 - a room, and all that is counted in it
    place: str,
    is_in: Callable[[str], bool],
    pieces: Iterable[records.PieceCard],
    needs: Needs,
    wired: Wired,
    given: Given,
) -> records.Total:
    """The quantities of the rooms whose names are in."""
    own = [piece for piece in pieces if is_in(piece.room)]
    areas: defaultdict[str, float] = defaultdict(float)
    for piece in own:
        areas[piece.board] += piece.area
    sealed = [one for one in needs.sealed if is_in(one.room)]
    filled = [one for one in needs.filled if is_in(one.room)]
    bead = sum(need.length for need in needs.beads if is_in(need.room))
    joints, taped = (sum(one.length for one in filled if one.is_taped or every) for every in (True, False))
    screws: Counter[str] = Counter()
    for (room, length), number in needs.screws.items():
        screws[length] += number if is_in(room) else 0
    row = (given.table("filler_in_joints") or ())[0]
    joint = float(row["joint"])
    return records.Total(
        place=place,
        pieces=dict(Counter(piece.board for piece in own)),
        areas=dict(areas),
        bead=bead,
        batten=sum(need.length for wanted in needs.battens.values() for need in wanted if is_in(need.room)),
        sealant_length=sum(one.length for one in sealed),
        sealant=sum(one.volume for one in sealed),
        screws={length: number for length, number in sorted(screws.items()) if number},
        joints=joints,
        filler=records.Band(*((joints + bead) / joint * float(row[name]) for name in ("least", "most"))),
        tape=records.Band(taped, taped * (1 + given.quantity("tape_waste", Ratio))),
        boxes=dict(sum((boxes for room, boxes in wired.boxes.items() if is_in(room)), Counter())),
    )


_EMPTY: Final = records.Total(
    place="",
    pieces={},
    areas={},
    bead=0,
    batten=0,
    sealant_length=0,
    sealant=0,
    screws={},
    joints=0,
    filler=records.Band(0, 0),
    tape=records.Band(0, 0),
    boxes={},
)
