"""Boards on their way in: what one of them weighs in a person's hands, and whether it goes round every corner."""

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from planlint.formulas import handling, passage
from planlint.formulas.counting import whole_above
from planlint.limit_values import listed
from planlint.model.access import Passage
from planlint.model.buildups import Board, Size
from planlint.model.rooms import Room
from planlint.model.words import PassageKind
from planlint.rule import Given
from planlint.sums.working import Lacking, within_range
from planlint.units import TOLERANCE, Angle, Duration, Length, Mass, at_least, at_most

LIMITS_OF_LIFT = (
    "lift_load_constant",
    "lift_horizontal",
    "lift_vertical",
    "lift_distance",
    "lift_asymmetry",
    "lift_interval",
    "lift_working",
    "lift_grip",
)
LIMITS_OF_PASSAGE = ("hand_room",)
LIMITS_OF_CUT = (*LIMITS_OF_LIFT, *LIMITS_OF_PASSAGE, "narrowest_cut")
HANDLING_CAUTION: Final = (
    "Settle who lifts, which way and what size before anything is picked up; keep it close, and do not twist, least of "
    "all on stairs. The figure is for picking a board up: carrying it far or up a stair asks for less, and the rules "
    "for work in your country may too."
)
"""What is said beside every figure of a lift."""

_FINE, _COARSE = 0, 1
_MARKS: Final = {"in": (0.0254 / 16, 0.0254 / 2), "ft": (0.0254 / 16, 0.0254 / 2)}
_METRIC_MARKS: Final = (0.001, 0.010)
"""[m] What was worked out is rounded down: a strip of a sheet to the first mark, a shortened length to the other."""


@dataclass(frozen=True, slots=True)
class BoardLift:
    """What a board weighs as it is carried in, and what of it each person lifts."""

    size: Size
    mass: Mass
    people: int
    each: Mass
    allowed: Mass
    """The recommended weight limit for one person."""
    index: float
    """The lifting index of each person's part: above 1 it is more than the limit."""
    people_wanted: int
    """How many people would each lift no more than the limit."""


@within_range
def board_lift(board: Board, given: Given) -> BoardLift | Lacking:
    """Mass ÷ people of a board as it is carried in, beside the limit of the revised NIOSH lifting equation."""
    size, per_area = carried_size(board), board.mass_per_area
    unweighed = "mass" if board.density is None else "thickness"
    needed: dict[str, tuple[str, object]] = {
        "width": ("how wide the board is", size or board.width),
        "length": ("how long it is", size or board.length),
        unweighed: ("what it weighs", per_area),
        "access.people": ("how many people lift it", board.people),
    }
    if size is None or per_area is None or board.people is None:
        return _lacking(needed)
    mass = size.width * size.length * per_area
    each, allowed = mass / board.people, weight_limit(given)
    index = handling.lifting_index(each, allowed)
    return BoardLift(
        size, Mass(mass, "kg"), board.people, Mass(each, "kg"), allowed, index, whole_above(mass / allowed)
    )


def weight_limit(given: Given) -> Mass:
    """What one person may lift by the revised NIOSH lifting equation, for the lift that the limits describe."""
    horizontal, vertical, distance = (
        given.quantity(name, Length) for name in ("lift_horizontal", "lift_vertical", "lift_distance")
    )
    per_minute = 60 / given.quantity("lift_interval", Duration)
    lift = handling.Lift(horizontal, vertical, distance, given.quantity("lift_asymmetry", Angle))
    grip = handling.Grip(given.choice("lift_grip"))
    limit = handling.recommended_weight(
        lift,
        handling.coupling_multiplier(grip, vertical),
        handling.frequency_multiplier(per_minute, given.quantity("lift_working", Duration), vertical),
        given.quantity("lift_load_constant", Mass),
    )
    return Mass(limit, "kg")


def carried_size(board: Board) -> Size | None:
    """The size in which a board is carried in, its shorter side as the width; None where it is not known."""
    return _size(*((board.cut_to.width, board.cut_to.length) if board.cut_to else (board.width, board.length)))


def _size(one: Length | None, other: Length | None) -> Size | None:
    return None if one is None or other is None else Size(min(one, other), max(one, other))


@dataclass(frozen=True, slots=True)
class Narrowest:
    """The passage that lets the shortest boards through, of those on the way of one board."""

    size: Size
    """Of the board, as it is carried in."""
    passage: Passage
    rooms: tuple[Room, ...]
    """The rooms to which it leads, and in which the board is hung."""
    longest: Length
    """The longest board of its width and thickness that goes through; 0 where none does."""

    @property
    def lets_through(self) -> bool:
        """Whether the board goes through."""
        return at_most(self.size.length, self.longest)

    @property
    def allowed(self) -> Length:
        """The longest board, rounded down to what a person measures."""
        return _rounded(self.longest, self.longest, _FINE)

    @property
    def rooms_named(self) -> str:
        """The rooms as a sentence has them."""
        return listed([room.name for room in self.rooms], "and")


@within_range
def narrowest_passage(board: Board, given: Given) -> Narrowest | Lacking | None:
    """The passage that a board goes through least well on its way to the rooms that use it; None where there is none.

    What is known may be enough to stop it; else what is not recorded of the way is lacking.
    """
    size, ways = carried_size(board), _ways(board)
    needed: dict[str, tuple[str, object]] = {
        "width": ("how wide the board is", size or board.width),
        "length": ("how long it is", size or board.length),
        "thickness": ("how thick it is", board.thickness),
    }
    if size is None or board.thickness is None:
        return _lacking(needed)
    found: Narrowest | None = None
    for one, rooms in ways.items():
        if _unrecorded(one):
            continue
        longest = size.length.like(_longest_through(size.width, board.thickness, one, given))
        if found is None or longest < found.longest:
            found = Narrowest(size, one, rooms, longest)
    if found is not None and not found.lets_through:
        return found
    unrecorded = {
        **{f"{room.place}.reached_by": "the way in" for room in board.rooms if not room.reached_by_recorded},
        **{key: f"the passage {one.name}" for one in ways for key in _unrecorded(one)},
    }
    if unrecorded:
        return Lacking(listed(list(dict.fromkeys(unrecorded.values())), "and"), tuple(unrecorded))
    return found


@within_range
def largest_cut(board: Board, given: Given) -> Size | Lacking | None:
    """The largest cut that its people can lift and that goes through every passage known; None if there is none.

    The sheet is ripped into equal strips, and shortened where a passage asks for it; only one that is too heavy for
    that is shortened as far as its people can lift.
    """
    whole = _size(board.width, board.length)
    if whole is None or board.thickness is None:
        return None
    liftable = weight_limit(given) * (board.people or 1) / board.mass_per_area if board.mass_per_area else math.inf
    strips = list(_strips(whole, board.thickness, _ways(board), given))
    lifted = [strip for strip in strips if at_most(strip.width * strip.length, liftable)]
    if lifted:
        return max(lifted, key=lambda strip: (strip.width * strip.length, strip.length))
    shortened = [
        Size(strip.width, _rounded(strip.length, min(strip.length, liftable / strip.width), _COARSE))
        for strip in strips
    ]
    least = given.quantity("narrowest_cut", Length)
    return max(
        (strip for strip in shortened if at_least(strip.length, least)), key=lambda one: one.length, default=None
    )


def spoken_size(size: Size) -> str:
    """A size as one says it: 600 × 2600 mm."""
    width, length = str(size.width), str(size.length)
    unit = f" {size.length.unit}"
    if size.width.unit == size.length.unit and width.endswith(unit) and length.endswith(unit):
        width = width.removesuffix(unit)
    return f"{width} × {length}"


def spoken_cut(board: Board, given: Given) -> str:
    """What to do with sheets that are too heavy or too large for their way: the largest cut, and why that one."""
    cut = largest_cut(board, given)
    if not isinstance(cut, Size):
        return "bring in smaller sheets"
    people = board.people or 1
    lift = "one person lifts" if people == 1 else f"{people} people lift"
    lifted = lift if board.mass_per_area else ""
    through = "goes through every passage on its way" if _ways(board) else ""
    why = " and ".join(f"that {said}" for said in (lifted, through) if said)
    return f"cut it to {spoken_size(cut)} before it is carried in, the largest {why}"


def _strips(whole: Size, thickness: Length, ways: dict[Passage, tuple[Room, ...]], given: Given) -> Iterator[Size]:
    """Equal strips of a sheet, one, two, three …, as long as all passages let them be."""
    least = given.quantity("narrowest_cut", Length)
    known = [one for one in ways if not _unrecorded(one)]
    for count in range(1, max(1, int(whole.width / least)) + 1):
        strip = whole.width if count == 1 else _rounded(whole.width, whole.width / count, _FINE)
        through = [_longest_through(strip, thickness, one, given) for one in known]
        long = min(through, default=math.inf)
        shortened = whole.length if at_most(whole.length, long) else _rounded(whole.length, long, _COARSE)
        if at_least(shortened, least):
            yield Size(strip, shortened)


def _longest_through(width: float, thickness: float, one: Passage, given: Given) -> float:
    """The longest board of a width that goes through a passage of which everything is recorded."""
    sheet = passage.Sheet(width, width, thickness)
    hands = given.quantity("hand_room", Length)
    before, behind, headroom = one.width or 0.0, one.width_beyond or 0.0, one.headroom or 0.0
    if one.kind is PassageKind.HATCH:
        return passage.longest_through_hatch(sheet, (before, behind), headroom, hands)
    return passage.longest_through(sheet, passage.Turn(before, behind, headroom), hands)


def _ways(board: Board) -> dict[Passage, tuple[Room, ...]]:
    """The passages on the way to the rooms that use a board, each with the rooms behind it."""
    passages = dict.fromkeys(one for room in board.rooms for one in room.reached_by)
    return {one: tuple(room for room in board.rooms if one in room.reached_by) for one in passages}


def _unrecorded(one: Passage) -> tuple[str, ...]:
    """The keys that are not recorded of a passage."""
    needed = {"kind": one.kind, "width": one.width, "width_beyond": one.width_beyond, "headroom": one.headroom}
    return tuple(f"{one.place}.{key}" for key, value in needed.items() if value is None)


def _rounded(like: Length, length: float, mark: int) -> Length:
    """A length rounded down to a mark on the rule that `like` was read from; what is on the mark already stays."""
    step = _MARKS.get(like.unit, _METRIC_MARKS)[mark]
    return like.like(math.floor(length / step * (1 + TOLERANCE)) * step)


def _lacking(needed: dict[str, tuple[str, object]]) -> Lacking:
    missing = {key: what for key, (what, value) in needed.items() if value is None}
    return Lacking(listed(list(missing.values()), "and"), tuple(missing))
