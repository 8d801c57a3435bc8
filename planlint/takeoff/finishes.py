"""What goes with the boards: beads, battens, elastic joints, screws, filler and tape, each with its room."""

import math
from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from itertools import combinations
from typing import Final

from planlint.formulas import fixing, sealant
from planlint.model.buildups import Lining
from planlint.model.rooms import Corner, FrameJoint, Opening, RevealEdge, Surface, Wall
from planlint.model.thing import Thing
from planlint.model.words import Joint, OpeningKind
from planlint.rule import Given
from planlint.sums.screws import numbered_boards
from planlint.sums.supports import supports
from planlint.sums.working import Lacking
from planlint.takeoff_records import PieceCard
from planlint.units import Length, at_least, at_most

__all__ = ["LIMITS_OF_FINISHES", "Filled", "Need", "Needs", "battens", "finishes", "joints_between", "screws_in"]

LIMITS_OF_FINISHES: Final = ("sealant_joint_width", "timber_sheet_kinds")
MEET: Final = 0.006
"""[m] Pieces no further apart than this meet: the gap between sheets, and a little."""
UNKNOWN_SCREW: Final = "length not recorded"


@dataclass(frozen=True, slots=True)
class Need:
    """A length that is needed in one piece (m), and where."""

    room: str
    place: str
    length: float


@dataclass(frozen=True, slots=True)
class Filled:
    """A joint that is filled: its length (m); with sealant also what goes into it (m³)."""

    room: str
    place: str
    length: float
    volume: float = 0.0
    is_taped: bool = False


@dataclass(slots=True)
class Needs:
    """All that goes with the boards."""

    beads: list[Need] = field(default_factory=list)
    battens: dict[str, list[Need]] = field(default_factory=lambda: defaultdict(list))
    """By their size, as the plan writes it."""
    sealed: list[Filled] = field(default_factory=list)
    filled: list[Filled] = field(default_factory=list)
    screws: dict[tuple[str, str], int] = field(default_factory=lambda: defaultdict(int))
    """By room and length."""
    lacking: list[Lacking] = field(default_factory=list)
    assumed: dict[str, None] = field(default_factory=dict)


def finishes(things: Iterable[Thing], needs: Needs, given: Given) -> None:
    """Beads at outside corners and reveals, sealant in inside corners and at frames."""
    for thing in things:
        match thing:
            case Corner() if not (thing.wall.stays and thing.next_wall.stays):
                _corner(thing, needs, given)
            case RevealEdge() if not thing.opening.wall.stays:
                _reveal(thing, needs)
            case FrameJoint() if not thing.opening.wall.stays:
                _frame(thing, needs, given)


def _corner(corner: Corner, needs: Needs, given: Given) -> None:
    room, height = corner.wall.room.name, corner.height
    unknown = {f"{corner.wall.place}.then": corner.is_outside, f"{corner.place}.joint": corner.joint}
    if keys := tuple(key for key, value in unknown.items() if value is None):
        needs.lacking.append(Lacking(f"how {corner.place} is finished", keys))
    elif corner.joint in (Joint.NONE, None):
        return
    elif height is None:
        needs.lacking.append(Lacking(f"how high {corner.place} is", (f"{corner.wall.place}.height",)))
    elif corner.joint is Joint.BEAD:
        needs.beads.append(Need(room, corner.place, height))
    elif corner.joint is Joint.SEALANT:
        needs.sealed.append(_sealed(room, corner.place, height, corner.width, needs, given))
    else:
        needs.filled.append(Filled(room, corner.place, height, is_taped=corner.joint is Joint.TAPE))


def _reveal(edge: RevealEdge, needs: Needs) -> None:
    opening = edge.opening
    sides = _sides(opening, needs, f"{opening.place}.reveal.edges" if edge.joint is None else None)
    if sides and edge.joint is Joint.BEAD:
        width, height = sides
        # A window board or a threshold lies on the lower edge; a niche shows all four.
        across = [width] * (2 if opening.kind is OpeningKind.NICHE else 1)
        needs.beads += [Need(opening.wall.room.name, opening.place, side) for side in (height, height, *across)]


def _frame(joint: FrameJoint, needs: Needs, given: Given) -> None:
    opening = joint.opening
    sides = _sides(opening, needs, f"{opening.place}.reveal.frame_joint" if joint.joint is None else None)
    if sides and joint.joint is Joint.SEALANT:
        length = 2 * sides[1] + sides[0] * (1 if opening.reaches_floor else 2)
        needs.sealed.append(_sealed(opening.wall.room.name, opening.place, length, None, needs, given))


def _sides(opening: Opening, needs: Needs, unsaid: str | None) -> tuple[float, float] | None:
    """Width and height of an opening; None, and said so, where one of them or the key `unsaid` is not recorded."""
    measures = {f"{opening.place}.width": opening.width, f"{opening.place}.height": opening.height}
    keys = tuple(key for key, value in measures.items() if value is None) + ((unsaid,) if unsaid else ())
    if keys or opening.width is None or opening.height is None:
        needs.lacking.append(Lacking(f"how the edges of {opening.place} are finished, and how long they are", keys))
        return None
    return opening.width, opening.height


def _sealed(  # noqa: PLR0913, PLR0917 - a joint, and where what is known of it goes
    room: str, place: str, length: float, width: Length | None, needs: Needs, given: Given
) -> Filled:
    if width is None:
        width = given.quantity("sealant_joint_width", Length)
        needs.assumed[f"elastic joints without a width of their own are {width} wide"] = None
    volume = sealant.joint_volume(length, width, sealant.usual_depth(width))
    return Filled(room, place, length, volume)


def battens(wall: Wall, needs: Needs) -> None:
    """Upright battens of a wall: where they stand by the plan, and one at its right end; each as high as the wall."""
    lining, extent = wall.lining, wall.extent
    if lining is None or lining.battens is None:
        return
    stand = supports(wall)
    if isinstance(stand, Lacking) or wall.length is None or wall.height_left is None or wall.height_right is None:
        keys = stand.keys if isinstance(stand, Lacking) else (f"{wall.place}.height",)
        needs.lacking.append(Lacking(f"how many battens {wall.place} takes, and how long", keys))
        return
    start = extent.start or 0.0 if extent else 0.0
    end = extent.end if extent and extent.end is not None else wall.length
    places = [at for at in map(float, stand) if at_least(at, start) and at_most(at, end)]
    width = lining.battens.width or 0.0
    if wall.battens_at is None and (not places or end - places[-1] > width):
        places.append(end)
    size = _size(lining)
    for at in places:
        height = min(wall.height_at(at) or 0.0, extent.top if extent and extent.top is not None else math.inf)
        needs.battens[size].append(Need(wall.room.name, wall.place, height))


def _size(lining: Lining) -> str:
    cross = [size for size in (lining.battens.width, lining.battens.depth) if size] if lining.battens else []
    return " × ".join(map(str, cross))


def screws_in(surface: Surface, pieces: Sequence[PieceCard], needs: Needs) -> None:
    """Screws in the boards of a surface: as many along each support as their spacing asks for."""
    lining = surface.lining
    if lining is None or lining.is_glued:
        return
    spacing = lining.battens.spacing if lining.battens else None
    boards = numbered_boards(lining)
    unknown: dict[str, None] = {}
    for piece in pieces:
        number = boards[piece.layer - 1][0] if piece.layer <= len(boards) else 0
        screws = lining.layers[number - 1].screws if number else None
        keys = {
            f"{lining.place}.battens.spacing": spacing,
            f"{lining.place}.layers.{number}.screws.spacing": screws and screws.spacing,
        }
        if spacing is None or screws is None or screws.spacing is None:
            unknown |= {key: None for key, value in keys.items() if value is None}
            continue
        try:
            # On a ceiling the boards lie across their supports.
            across, along = (piece.height, piece.width) if piece.lies_flat else (piece.width, piece.height)
            found = fixing.screws(fixing.supports(across, spacing), along, screws.spacing)
        except ValueError as error:
            needs.lacking.append(Lacking(f"how many screws {piece.place} takes: {error}", ()))
            continue
        needs.screws[piece.room, str(screws.length) if screws.length else UNKNOWN_SCREW] += found
        if screws.length is None:
            unknown[f"{lining.place}.layers.{number}.screws.length"] = None
    if unknown:
        needs.lacking.append(Lacking(f"how far apart the screws and supports of {lining.name} are", tuple(unknown)))


def joints_between(pieces: Sequence[PieceCard]) -> Iterator[Filled]:
    """The joints between the pieces of one layer of a surface, upright ones and end joints."""
    for one, other in combinations(pieces, 2):
        for left, right in ((one, other), (other, one)):
            beside = abs(left.from_bare + left.width - right.from_bare) <= MEET
            above = abs(left.bottom + left.height - right.bottom) <= MEET
            over = _overlap(left.bottom, left.height, right.bottom, right.height) if beside else 0.0
            over += _overlap(left.from_bare, left.width, right.from_bare, right.width) if above else 0.0
            if over > MEET:
                yield Filled(left.room, right.place, over, is_taped=True)


def _overlap(start: float, length: float, other: float, other_length: float) -> float:
    return max(0.0, min(start + length, other + other_length) - max(start, other))
