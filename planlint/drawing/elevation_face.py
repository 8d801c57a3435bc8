"""The face of a wall in its elevation: outline, floor, zones, battens, pieces of board, openings and chases."""

import math
from collections.abc import Iterator, Sequence
from typing import Final

from planlint.drawing.blocks import Block, block, flag_rows
from planlint.drawing.paper import SMALL, Paper, around, box_of, moved
from planlint.drawing.scene import Label, Scene, absent, area_sample, length, line_sample
from planlint.model.fixtures import Chase
from planlint.model.rooms import Opening, Wall
from planlint.model.words import Direction, Edge, HeightsFrom, OpeningKind
from planlint.sheet_records import Anchor, Area, Line, Look, Sample, Spot, Text
from planlint.sums.pieces import placed_pieces, rise
from planlint.sums.supports import supports
from planlint.sums.working import Lacking
from planlint.sums.zones import zones_of
from planlint.takeoff_records import PieceCard
from planlint.units import Length

_EDGES: Final = {
    Edge.TAPERED: (Look.EDGE_TAPERED, "tapered edge of a board"),
    Edge.CUT: (Look.EDGE_CUT, "cut edge of a board"),
    Edge.GROOVED: (Look.EDGE_GROOVED, "cut edge with a groove"),
    Edge.SQUARE: (Look.BOARD, "edge of a board"),
}
_INSET: Final = 0.4
"""[mm] How far the edge of a piece is drawn inside of it, so that those of two neighbours are told apart."""
_FRAME: Final = 1.1
"""[mm] How wide the frame of a window is drawn."""
_OVERHANG: Final = 14.0
"""[mm] How much wider than its opening a label may be and still stand in it."""
_HINGE: Final = 1.2
"""[mm] Half the length of a hinge."""


def draw_face(scene: Scene) -> None:
    """The outline, as far as it is known: what is not known stays open."""
    paper, frame, wall = scene.paper, scene.frame, scene.wall
    top = frame.top_line()
    if top:
        scene.marks.append(Area(Look.FACE, paper.spots((0.0, 0.0), (float(wall.length or 0.0), 0.0), *reversed(top))))
    else:
        scene.marks.append(paper.line(Look.FACE, (0.0, frame.top), (0.0, 0.0), (frame.right, 0.0)))
        if wall.length:
            end = float(wall.length)
            scene.marks.append(paper.line(Look.FACE, (end, 0.0), (end, frame.top)))
    if not wall.length:
        scene.lacks("The right end of the wall is", [f"{wall.place}.length"])
    if not frame.has_height:
        scene.lacks("The ceiling is", [f"{wall.room.place}.height"])


def draw_floor(scene: Scene) -> None:
    """The finished floor, where it is known how much is still to be laid."""
    floor = scene.wall.room.floor
    if floor.build_up is None:
        if floor.heights_from is HeightsFrom.FINISHED:
            scene.tell(
                "Heights are from the finished floor, and drawn as if nothing were still to be laid on that of today: "
                f"add {floor.place}.build_up"
            )
        return
    end = scene.wall.length_at(floor.build_up) or scene.frame.right
    scene.marks.append(scene.paper.line(Look.FLOOR, (0.0, floor.build_up), (end, floor.build_up)))
    scene.explain(line_sample(Look.FLOOR, f"finished floor, {floor.build_up} above the floor as it is now"))


def draw_zones(scene: Scene) -> None:
    """The installation zones that are surely there."""
    zones, frame = zones_of(scene.wall, scene.given), scene.frame
    for zone in (placed.zone for placed in zones.placed if not placed.keys):
        left, right = max(zone.left, 0.0), min(zone.right, frame.right)
        ends = [zone.edges(at) for at in (left, right)]
        if left >= right or not all(math.isfinite(low) for low, _ in ends):
            continue
        low, high = ([min(max(end[side] + scene.datum, 0.0), frame.top) for end in ends] for side in (0, 1))
        scene.marks.append(
            Area(
                Look.ZONE,
                scene.paper.spots((left, low[0]), (right, low[1]), (right, high[1]), (left, high[0])),
            )
        )
        scene.explain(area_sample(Look.ZONE, "installation zone, in which cables may lie unseen"))
    keys = dict.fromkeys((*zones.unplaced, *(key for placed in zones.placed for key in placed.keys)))
    if keys:
        scene.lacks("Some installation zones are", list(keys))


def draw_battens(scene: Scene) -> None:
    """Battens, or the studs of the wall, where they stand."""
    wall, lining = scene.wall, scene.wall.lining
    battens = lining.battens if lining else None
    is_stud = wall.base is not None and bool(wall.base.is_stud)
    if battens is None and wall.battens_at is None:
        if is_stud and lining:
            scene.lacks("The studs are", [f"{wall.place}.battens_at"])
        return
    centres = supports(wall)
    if isinstance(centres, Lacking):
        scene.lacks("The battens are", centres.keys)
        return
    top = wall.extent.top if wall.extent and wall.extent.top is not None else None
    called = "batten" if battens else "stud"
    said = called if wall.battens_at is not None else f"{called}, by the spacing in the plan and not measured"
    extent = wall.extent if wall.battens_at is None else None
    for centre in centres:
        if centre > scene.frame.right or (extent and not extent.covers(centre, 0.0)):
            continue
        height = min(top or math.inf, wall.height_at(centre) or scene.frame.top)
        half = battens.width / 2 if battens and battens.width else 0.0
        if half:
            ends = max(centre - half, 0.0), min(centre + half, scene.frame.right)
            scene.marks.append(scene.paper.rectangle(Look.BATTEN, ends, (0.0, height)))
            scene.explain(area_sample(Look.BATTEN, said))
        else:
            scene.marks.append(scene.paper.line(Look.BATTEN, (centre, 0.0), (centre, height)))
            scene.explain(line_sample(Look.BATTEN, f"middle of a {said}"))


def draw_pieces(scene: Scene, pieces: Sequence[PieceCard]) -> None:
    """The pieces of board on the room's side, with their edges."""
    wall = scene.wall
    on_wall = [piece for piece in pieces if piece.surface == wall.place and not piece.lies_flat]
    outer = max([wall.outer_layer, *(piece.layer for piece in on_wall)], default=0)
    drawn = [piece for piece in on_wall if piece.layer == outer]
    for piece in drawn:
        _draw_piece(scene, piece)
    missing = [one for one in wall.visible_pieces if one.place not in {piece.place for piece in drawn}]
    if missing:
        placed = placed_pieces(wall, outer, scene.given)
        names = ", ".join(one.name for one in missing)
        keys = placed.keys if isinstance(placed, Lacking) else ()
        if keys:
            scene.lacks(f"{names}: where these pieces are cannot be worked out, and they are", keys)
        else:
            scene.tell(f"{names}: not drawn, since where they are cannot be worked out")


def _draw_piece(scene: Scene, piece: PieceCard) -> None:
    paper, (left, low) = scene.paper, (piece.from_bare, piece.bottom)
    right, top_right = left + piece.width_bottom, left + piece.width_top
    top = [(left, low + piece.height_left), (top_right, low + piece.height_right)]
    # A piece under a peak is higher there than at either of its edges.
    peaks = [(at, high) for at, high in scene.frame.top_line() if left < at < top_right and high > low]
    if piece.height > max(piece.height_left, piece.height_right) + 1e-6 and peaks:  # a micrometre
        top[1:1] = [(at, min(high, low + piece.height)) for at, high in peaks]
    corners = [(left, low), (right, low), *reversed(top)]
    if scene.outside(f"{piece.name} is", max(at for at, _ in corners), max(up for _, up in corners)):
        return
    outline = paper.spots(*corners, corners[0])
    scene.marks.append(Line(Look.BOARD, outline))
    for edge, start, end, inset in (
        (piece.left, corners[0], top[0], _INSET),
        (piece.right, corners[1], top[-1], -_INSET),
    ):
        if edge is not None:
            look, words = _EDGES[Edge(edge)]
            spots = paper.spots(start, end)
            scene.marks.append(Line(look, tuple((x + inset, y) for x, y in spots)))
            scene.explain(line_sample(look, words))
    flags = scene.flags(piece.place)
    label = block([piece.name, str(Length(round(piece.width, 4), piece.unit))], flags, size=SMALL, look=Look.QUIET)
    bounds = box_of(Line(Look.BOARD, outline))
    middle = (bounds.left + bounds.right - label.width) / 2
    shares = (0.06, 0.5, 0.75, 0.3, 0.9)
    first = tuple((middle, bounds.top + share * (bounds.height - label.height)) for share in shares)
    inside = first if label.width < bounds.width - 1 and label.height < bounds.height - 1 else ()
    scene.labels.append(Label(label, bounds.middle, first=inside, is_optional=not flags))


def draw_openings(scene: Scene) -> None:
    """Windows, doors, niches and passages, as far as their place and size are known."""
    for opening in scene.wall.openings:
        recorded = {
            "at": opening.at,
            "width": opening.width,
            "sill": opening.bottom,
            "height": opening.height,
        }
        keys = absent(opening.place, recorded)
        if opening.at is None or opening.width is None or keys:
            scene.lacks(f"{opening.name} ({opening.kind}) is", keys)
            continue
        end, (low, high) = opening.at.like(opening.at + opening.width), rise(opening)
        if scene.outside(f"{opening.name} is", end, high):
            continue
        scene.marks += _opening(scene.paper, opening, (float(opening.at), float(end)), (low, high))
        scene.measured(opening.at, opening.name)
        scene.measured(length(end, opening.at), opening.name)
        if opening.hinges:
            scene.explain(Sample(tuple(_hinge(6.0, 3.0)), "hinge of a door or window"))
        _label_opening(scene, opening, (float(opening.at), float(end)), (low, high))


def _opening(
    paper: Paper, opening: Opening, along: tuple[float, float], up: tuple[float, float]
) -> Iterator[Area | Line]:
    (left, right), (low, high) = along, up
    yield paper.rectangle(Look.OPENING, along, up)
    if opening.kind is OpeningKind.WINDOW:
        (x, y), _, (end, top), _ = paper.rectangle(Look.OPENING, along, up).spots
        if end - x > 4 * _FRAME and y - top > 4 * _FRAME:
            frame = ((x, y), (end, y), (end, top), (x, top), (x, y))
            shift = ((1, -1), (-1, -1), (-1, 1), (1, 1), (1, -1))
            yield Line(
                Look.OPENING,
                tuple(
                    (a + _FRAME * right_, b + _FRAME * down)
                    for (a, b), (right_, down) in zip(frame, shift, strict=True)
                ),
            )
        yield Line(Look.OPENING, ((x - 1.0, y + 0.6), (end + 1.0, y + 0.6)))
    elif opening.kind is OpeningKind.NICHE:
        yield paper.line(Look.OPENING, (left, low), (right, high))
    if opening.hinges in ("left", "right"):
        x = paper.spot(left if opening.hinges == "left" else right, 0.0)[0]
        for share in (0.15, 0.85):
            yield from _hinge(x, paper.spot(0.0, low + share * (high - low))[1])


def _hinge(x: float, y: float) -> Iterator[Area]:
    yield Area(
        Look.SYMBOL_FILLED,
        ((x - 0.5, y - _HINGE), (x + 0.5, y - _HINGE), (x + 0.5, y + _HINGE), (x - 0.5, y + _HINGE)),
    )


def said_of_opening(opening: Opening) -> list[str]:
    """Its size, its sill and how it opens, in words."""
    swing = {"in": "opens in", "out": "opens out", "slide": "slides"}
    said = [f"{opening.width} wide"] if opening.width is not None else []
    said += [f"{opening.height} high"] if opening.height is not None else []
    said += [f"sill {opening.sill}"] if opening.sill is not None else []
    said += [f"hinges {opening.hinges}"] if opening.hinges else []
    return [*said, swing[opening.opens]] if opening.opens else said


def _label_opening(scene: Scene, opening: Opening, along: tuple[float, float], up: tuple[float, float]) -> None:
    named = [opening.name] if opening.name == opening.kind else [opening.name, f"({opening.kind})"]
    label = block([*named, *said_of_opening(opening)], scene.flags(opening.place))
    hole = box_of(scene.paper.rectangle(Look.OPENING, along, up))
    (x, y) = hole.middle
    first: tuple[Spot, ...] = tuple(
        (x - label.width / 2, y - label.height / 2 + shift) for shift in (0.0, -hole.height / 4, hole.height / 4)
    )
    scene.labels.append(Label(label, hole.middle, first=first if label.width < hole.width + _OVERHANG else ()))


def draw_chases(scene: Scene) -> None:
    """Slots that are cut into the wall, where they are known; of notches only the place along the wall may be."""
    wall = scene.wall
    for number, chase in enumerate(wall.chases or (), 1):
        place, recorded = f"{wall.place}.chases.{number}", {"direction": chase.direction, "at": chase.at}
        recorded |= {"height": chase.height, "length": chase.length}
        keys = absent(place, recorded)
        if keys:
            scene.lacks(f"Chase {number} is", keys)
            continue
        along, up = _slot(chase, scene.datum)
        if not scene.outside(f"Chase {number} is", along[1], up[1]):
            scene.marks.append(scene.paper.rectangle(Look.MASONRY, along, up))
            scene.explain(area_sample(Look.MASONRY, "chase in the wall"))
    for number, notch in enumerate(wall.notches or (), 1):
        what = "hole" if notch.is_hole else "notch"
        if notch.at is None:
            scene.lacks(f"A {what} in a {notch.member or 'stud'} is", [f"{wall.place}.notches.{number}.at"])
        else:
            scene.tell(
                f"A {what} in the {notch.member or 'stud'} at {notch.at} is not drawn: a plan has no height for it"
            )


def _slot(chase: Chase, datum: float) -> tuple[tuple[float, float], tuple[float, float]]:
    """From where to where a chase goes along and up, its `at` and `height` taken for where its middle line begins."""
    at, low, long, half = chase.at or 0.0, (chase.height or 0.0) + datum, chase.length or 0.0, (chase.width or 0.0) / 2
    half = max(half, 0.005)  # a slit of a centimetre is what one sees of it where no width is recorded
    if chase.direction is Direction.VERTICAL:
        return (at - half, at + half), (low, low + long)
    return (at, at + long), (low - half, low + half)


def draw_corner(scene: Scene) -> None:
    """What kind of corner the wall ends at, with what is found there, beside its right end."""
    wall, corner = scene.wall, scene.wall.corner
    if corner is None or not wall.length:
        return
    kind = {True: "outside corner", False: "inside corner", None: "corner"}[corner.is_outside]
    flags = scene.flags(corner.place)
    words = f"{kind}: {corner.joint}" if corner.joint else kind
    text = Text(Look.QUIET, (0.82 * SMALL, 0.0), words, SMALL, Anchor.END, turned=-90.0)
    rows = tuple(flag_rows(flags, 0.0, 0.0, in_row=1))
    bottom = max((box_of(flag).bottom for flag in rows), default=0.0) + 0.5
    marks = (*rows, moved(text, 0.8 if rows else 0.0, bottom))
    whole = around(map(box_of, marks))
    label = Block(tuple(moved(mark, -whole.left, -whole.top) for mark in marks), whole.width, whole.height)
    spot = scene.paper.spot(float(wall.length), (wall.height_right or scene.frame.top) / 2)
    heights = [scene.frame.top * share for share in (0.98, 0.8, 0.6, 0.4)]
    first = tuple((spot[0] + 1.5, scene.paper.spot(0.0, height)[1]) for height in heights)
    scene.labels.append(Label(label, spot, first=first, is_optional=not flags))


def at_ends(wall: Wall) -> str:
    """The wall's size in words."""
    said = f"{wall.length} long" if wall.length else "of a length that is not recorded"
    if wall.length_at_top is not None and wall.length_at_top != wall.length:
        said += f" at the floor and {wall.length_at_top} at the top"
    if wall.gable:
        return f"{said}, under a gable up to {max(height for _, height in wall.gable)} high"
    if wall.height_left is None or wall.height_right is None:
        return f"{said}, of a height that is not recorded"
    if wall.height_left == wall.height_right:
        return f"{said} and {wall.height_left} high"
    return f"{said}, {wall.height_left} high at its left end and {wall.height_right} at its right"
