"""Ceilings and slopes: boards across their supports, from wall to wall.

`v` runs across the boards and `u` along them, in metres. A ceiling is hung before its walls are lined, so that it goes
up to the bare walls. The plan does not say which way its supports run: they are taken to span the shorter way.
"""

import math
from collections.abc import Iterator, Sequence
from itertools import count, pairwise
from typing import Final

from planlint import geometry
from planlint.geometry import Vector
from planlint.model.buildups import Board, Lining
from planlint.model.rooms import Room, Slope, Surface
from planlint.model.words import Edge
from planlint.rule import Given
from planlint.sums.faces import finished_face, lining_depth
from planlint.sums.working import Lacking
from planlint.takeoff.hung import Hung, factory_edge
from planlint.takeoff.strips import OFF_BEHIND, SAME, Avoid, Run, broken, divide
from planlint.takeoff_records import BrokenCard, PieceCard
from planlint.units import Length

__all__ = ["hang_flat", "outline_of"]

Polygon = list[Vector]
HAIR: Final = 1e-6
"""[m] How far beside a corner a section is taken."""


def hang_flat(surface: Surface, given: Given) -> Hung:
    """The pieces of every layer of boards of a lined ceiling or slope."""
    hung, lining = Hung(), surface.lining
    if lining is None:
        if surface.undecided:
            hung.lacking.append(Lacking(f"whether and how {surface.place} will be lined", (f"{surface.place}.lining",)))
        return hung
    shape = outline_of(surface)
    if isinstance(shape, Lacking):
        hung.lacking.append(shape)
        return hung
    numbers, before = count(1), list[float]()
    for number, board in enumerate(lining.boards, 1):
        sheet = board.cut_to or board
        if sheet.width is None or sheet.length is None:
            keys = (f"{board.place}.width", f"{board.place}.length")
            hung.lacking.append(Lacking(f"how large a sheet of {board.name} is", keys))
            continue
        try:
            _lay(surface, lining, number, board, (sheet.width, sheet.length), shape, before, hung, numbers, given)
        except ValueError as error:
            hung.lacking.append(Lacking(f"how {surface.place} is covered in layer {number}: {error}", ()))
    return hung


def outline_of(surface: Surface) -> Polygon | Lacking:
    """The shape of a ceiling or a slope as boards see it: (v, u), the longer side of a ceiling along u."""
    if isinstance(surface, Slope):
        return _slope(surface)
    room = surface.room
    if surface.extent:
        return Lacking(f"which part of {surface.place} is lined: on a ceiling only the whole is taken off", ())
    outline = room.outline(top=True)
    if outline is None or not room.is_closed:
        keys = [f"{wall.place}.{key}" for wall in room.walls for key in ("length", "then") if _lacks(wall, key)]
        return Lacking(f"the outline of {room.name}", tuple(keys) or (f"{room.place}.outline",))
    points: Polygon = [*(room.fitted.outline if room.fitted else outline).corners[:-1]]
    for slope in room.slopes:
        taken = _taken(slope)
        if isinstance(taken, Lacking):
            return taken
        points = _behind(points, outline.corners[room.walls.index(slope.above)], _heading(room, slope), taken)
    east, north = (max(axis) - min(axis) for axis in zip(*points, strict=True))
    return [(x, y) if north >= east else (y, x) for x, y in points]


def _lacks(wall: object, key: str) -> bool:
    return getattr(wall, {"then": "turn"}.get(key, key)) is None


def _rise(slope: Slope) -> tuple[float, float] | Lacking:
    """From where to where a slope goes in height."""
    knee = max((height for height in (slope.above.height_left, slope.above.height_right) if height), default=None)
    needed = {
        f"{slope.place}.pitch": slope.pitch,
        f"{slope.above.place}.height": knee,
        f"{slope.room.place}.height": slope.room.height,
    }
    keys = tuple(key for key, value in needed.items() if value is None)
    if keys or knee is None or slope.room.height is None:
        return Lacking(f"how long {slope.place} is", keys)
    if not knee < slope.room.height:
        return Lacking(f"{slope.place} rises from its low wall to the height of the room, which is no higher", ())
    return knee, slope.room.height


def _taken(slope: Slope) -> float | Lacking:
    """What a slope takes off the level ceiling."""
    rise = _rise(slope)
    return rise if isinstance(rise, Lacking) else (rise[1] - rise[0]) / math.tan(slope.pitch or math.pi / 4)


def _slope(slope: Slope) -> Polygon | Lacking:
    """Its finished face: v up the slope, u along the low wall."""
    rise, face = _rise(slope), finished_face(slope.above)
    own = lining_depth(slope.lining) if slope.lining else 0.0
    knee = lining_depth(slope.above.lining) if slope.above.lining else 0.0
    over = slope.room.ceiling.lining if slope.room.ceiling else None
    beyond = lining_depth(over) if over else 0.0
    for found in (rise, face, own, knee, beyond):
        if isinstance(found, Lacking):
            return found
    start, end = face.at(rise[0])  # type: ignore[union-attr,index]  # none of them is lacking
    try:
        bare = geometry.Slope(knee=rise[0], top=rise[1], pitch=slope.pitch or 0.0, width=end - start)  # type: ignore[index]
        length = bare.finished(lining=own, knee=knee, beyond=beyond).length  # type: ignore[arg-type]
    except ValueError as error:
        return Lacking(f"{slope.place}: {error}", ())
    return [(0.0, start), (0.0, end), (length, end), (length, start)]


def _heading(room: Room, slope: Slope) -> float:
    """Which way one walks along the wall below a slope, from north to the right."""
    index = room.walls.index(slope.above)
    turns = room.fitted.turns if room.fitted else [wall.turn or 0.0 for wall in room.walls]
    return sum(turns[:index])


def _behind(points: Polygon, corner: Vector, heading: float, off: float) -> Polygon:
    """What of a ceiling lies further than `off` from a wall, which is on the left of whoever walks along it."""

    def depth(point: Vector) -> float:
        return (point[0] - corner[0]) * math.cos(heading) - (point[1] - corner[1]) * math.sin(heading) - off

    return _kept(points, [depth(point) for point in points])


def _kept(points: Polygon, depths: Sequence[float]) -> Polygon:
    """The part of a polygon where depths are above 0 (Sutherland and Hodgman 1974)."""
    kept: Polygon = []
    for (one, here), (other, there) in pairwise([*zip(points, depths, strict=True), (points[0], depths[0])]):
        if here >= 0:
            kept.append(one)
        if (here >= 0) != (there >= 0):
            share = here / (here - there)
            kept.append((one[0] + (other[0] - one[0]) * share, one[1] + (other[1] - one[1]) * share))
    return kept


def _within(points: Polygon, axis: int, low: float, high: float) -> Polygon:
    for bound, sign in ((low, 1), (high, -1)):
        points = _kept(points, [sign * (point[axis] - bound) for point in points]) if points else points
    return points


def _area(points: Polygon) -> float:
    return abs(sum(a * d - b * c for (a, b), (c, d) in pairwise([*points, *points[:1]]))) / 2


def _sections(points: Polygon, axis: int, at: float) -> list[tuple[float, float]]:
    """The stretches of a line across a polygon that lie inside it."""
    met = sorted(
        one[1 - axis] + (other[1 - axis] - one[1 - axis]) * (at - one[axis]) / (other[axis] - one[axis])
        for one, other in pairwise([*points, points[0]])
        if (one[axis] > at) != (other[axis] > at)
    )
    return list(zip(met[::2], met[1::2], strict=True))


def _stretches(points: Polygon, low: float, high: float) -> list[tuple[float, float]]:
    """From where to where along the boards a strip of them meets the ceiling."""
    corners = sorted({low, high, *(v for v, _ in points if low < v < high)})
    found = sorted(
        (min(below[0], above[0]), max(below[1], above[1]))
        for start, end in pairwise(corners)
        for below, above in zip(_sections(points, 0, start + HAIR), _sections(points, 0, end - HAIR), strict=False)
    )
    merged: list[tuple[float, float]] = []
    for start, end in found:
        if merged and start <= merged[-1][1] + SAME:
            merged[-1] = (merged[-1][0], max(end, merged[-1][1]))
        else:
            merged.append((start, end))
    return merged


def _lay(  # noqa: PLR0913, PLR0917 - one layer of a surface, and what hangs there already
    surface: Surface,
    lining: Lining,
    number: int,
    board: Board,
    sheet: tuple[float, float],
    shape: Polygon,
    before: list[float],
    hung: Hung,
    numbers: Iterator[int],
    given: Given,
) -> None:
    """Adds the pieces of one layer; `before` holds the long joints of the layer that hangs already, and is renewed."""
    (low, high), (first, last) = ((min(axis), max(axis)) for axis in zip(*shape, strict=True))
    least = given.quantity("least_piece", Length)
    shift, offset = (given.quantity(name, Length) for name in ("layer_joint_offset", "joint_offset"))
    across = Run(
        start=(low, low),
        end=(high, high),
        width=sheet[0],
        has_factory_edges=board.edges is not None,
        keeps_both=sheet[0] >= (board.width or 0.0) - SAME,
        least=least,
        avoid=tuple(Avoid(at, shift, OFF_BEHIND, "joints-staggered") for at in before),
    )
    strips = divide(across)
    before[:] = [strip.right for strip in strips if strip.right is not None]
    spacing = lining.battens.spacing if lining.battens else None
    supports = None
    if number == 1 and not lining.is_glued and spacing:
        supports = tuple(first + spacing * step for step in range(1, math.ceil((last - first) / spacing)))
    elif number == 1 and not lining.is_glued:
        key = f"{lining.place}.battens.spacing"
        hung.lacking.append(Lacking(f"how far the supports of {surface.place} are apart, for its end joints", (key,)))
    factory, ends, faults = factory_edge(board), list[float](), list(broken(across, strips))
    for strip in strips:
        left, right = (low if strip.left is None else strip.left), (high if strip.right is None else strip.right)
        avoid = tuple(Avoid(at, offset, OFF_BEHIND, "joints-staggered") for at in ends)
        ends = []
        for start, end in _stretches(shape, left, right):
            along = Run(
                start=(start, start),
                end=(end, end),
                width=sheet[1],
                least=least,
                supports=supports,
                avoid=avoid,
                has_factory_edges=False,
            )
            parts = divide(along)
            faults += broken(along, parts)
            ends += [part.right for part in parts if part.right is not None]
            for part in parts:
                inside = _within(
                    _within(shape, 0, left, right),
                    1,
                    start if part.left is None else part.left,
                    end if part.right is None else part.right,
                )
                if _area(inside) <= HAIR:
                    continue
                name = f"piece-{next(numbers)}"
                hung.pieces.append(
                    _card(
                        inside,
                        name=name,
                        place=f"{surface.place}.{name}",
                        surface=surface.place,
                        room=surface.room.name,
                        layer=number,
                        board=board.name,
                        unit=board.width.unit if board.width else "m",
                        left=factory if strip.factory_left else str(Edge.CUT),
                        right=factory if strip.factory_right else str(Edge.CUT),
                    )
                )
    unit = board.width.unit if board.width else "m"
    hung.broken += [
        BrokenCard(surface.place, number, rule, f"{Length(round(at, 3), unit)} along it") for rule, at in faults
    ]


def _card(points: Polygon, **where: object) -> PieceCard:
    across, along = ([point[axis] for point in points] for axis in (0, 1))
    (left, right), (low, high) = (min(across), max(across)), (min(along), max(along))

    def length(axis: int, at: float) -> float:
        return sum(end - start for start, end in _sections(points, axis, at))

    return PieceCard(
        row=1,
        made=True,
        at=left,
        from_bare=left,
        chained=False,
        bottom=low,
        to_end=False,
        width=right - left,
        height=high - low,
        width_bottom=length(1, low + HAIR),
        width_top=length(1, high - HAIR),
        height_left=length(0, left + HAIR),
        height_right=length(0, right - HAIR),
        area=_area(points),
        lies_flat=True,
        **where,  # type: ignore[arg-type]  # the fields that tell whose piece it is
    )
