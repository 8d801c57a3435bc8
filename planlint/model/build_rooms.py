"""Builds rooms: their walls, what is on the walls, and the corners, reveals and height groups that follow."""

from collections import defaultdict
from collections.abc import Iterator, Mapping
from itertools import pairwise
from math import isclose

from planlint.grammar import parse
from planlint.model.buildups import Base, Board, Extent, Layer, Lining
from planlint.model.fields import Fields
from planlint.model.readings import Reading
from planlint.model.rooms import (
    HEIGHT_GROUPS,
    RIGHT_ANGLE,
    Ceiling,
    Corner,
    Damp,
    Floor,
    FrameJoint,
    HeightGroup,
    Opening,
    Piece,
    RevealEdge,
    Room,
    Surface,
    Wall,
)
from planlint.model.services import Box, Point
from planlint.model.thing import complete
from planlint.model.words import Edge, Faces, HeightsFrom, Joint, OpeningKind, PointKind, ReadOf, Scale
from planlint.units import Angle, Length, Power, Quantity, Ratio

STAYS = "none"
"""What `lining` says where a face stays as it is; `reveal` says so where the frame stands flush."""

TURNS = {"right": RIGHT_ANGLE, "left": -RIGHT_ANGLE, "straight": 0.0}


class RoomBuilder:
    """Builds rooms out of the boards, boxes, bases and linings that the plan describes."""

    def __init__(
        self,
        boards: Mapping[str, Board],
        boxes: Mapping[str, Box],
        bases: Mapping[str, Base],
        linings: Mapping[str, Lining],
    ) -> None:
        self.boards = boards
        self.boxes = boxes
        self.bases = bases
        self.linings = linings

    def build(self, name: str, fields: Fields) -> Room:
        """The room `name` with all that is in it."""
        floor, around = fields.part("floor"), frozenset({name})
        outline = fields.text("outline")
        room = Room(
            place=name,
            path=fields.path,
            name=name,
            bears_on=around,
            use=fields.text("use"),
            is_closed=None if outline is None else outline == "closed",
            floor=Floor(
                place=f"{name}.floor",
                path=floor.path,
                bears_on=around,
                heights_from=floor.word("heights_from", HeightsFrom) or HeightsFrom.FINISHED,
                build_up=_build_up(floor),
                readings=tuple(_readings(floor)),
            ),
        )
        walls = tuple(self._wall(room, wall, fields.quantity("height", Length)) for wall in fields.items("walls"))
        complete(
            room,
            walls=walls,
            ceiling=self._ceiling(room, fields.part("ceiling")) if "ceiling" in fields else None,
        )
        _join_corners(room, fields)
        complete(room, height_groups=tuple(_height_groups(room)))
        return room

    def _ceiling(self, room: Room, fields: Fields) -> Ceiling:
        lining, extent, stays = self._lining(fields)
        ceiling = Ceiling(
            place=f"{room.place}.ceiling",
            path=fields.path,
            bears_on=frozenset({room.place}),
            room=room,
            lining=lining,
            extent=extent,
            stays=stays,
            existing=self._existing(fields),
        )
        complete(ceiling, points=tuple(self._points(ceiling, fields)))
        return ceiling

    def _wall(self, room: Room, fields: Fields, room_height: Length | None) -> Wall:
        name = fields.text("wall") or ""
        place = f"{room.place}.{name}"
        lining, extent, stays = self._lining(fields)
        length, top = _lengths(fields, "length")
        left, right = _heights(fields)
        damp = fields.part("damp")
        wall = Wall(
            place=place,
            path=fields.path,
            room=room,
            lining=lining,
            extent=extent,
            stays=stays,
            existing=self._existing(fields),
            name=name,
            length=length,
            length_at_top=top,
            turn=_turn(fields),
            height_left=left or room_height,
            height_right=right or room_height,
            gable=_gable(fields),
            base=self._base(fields, place),
            damp=Damp(damp.text("cause"), damp.day("cured")) if "damp" in fields else None,
            readings=tuple(_readings(fields)),
            readings_recorded="readings" in fields,
            photos=len(fields.texts("photos") or ()) if "photos" in fields else None,
        )
        openings = tuple(_opening(wall, name, opening) for name, opening in fields.named("openings"))
        finishes = tuple(
            finish
            for opening, (_, written) in zip(openings, fields.named("openings"), strict=True)
            for finish in _finishes(opening, written)
        )
        complete(
            wall,
            openings=openings,
            finishes=finishes,
            points=tuple(self._points(wall, fields)),
            pieces=tuple(self._pieces(wall, fields)),
        )
        return wall

    def _lining(self, fields: Fields) -> tuple[Lining | None, Extent | None, bool]:
        """The lining, the part of the face that it covers, and whether the face is known to stay as it is."""
        if fields.text("lining") == STAYS:
            return None, None, True
        if fields.text("lining"):
            return fields.refer("lining", self.linings, "lining", "linings"), None, False
        part = fields.part("lining")
        if not part.data:
            return None, None, False
        extent = Extent(
            part.quantity("from", Length) if "from" in part else None,
            part.quantity("to", Length) if "to" in part else None,
            part.quantity("up_to", Length) if "up_to" in part else None,
        )
        if part.text("build_up") == STAYS:
            return None, None, True
        return part.refer("build_up", self.linings, "lining", "linings"), extent, False

    def _existing(self, fields: Fields) -> tuple[Layer, ...]:
        """The layers that stand there; a single board is one of them."""
        existing = fields.part("existing")
        board = existing.refer("board", self.boards, "board", "boards")
        return (Layer(board, None, None, None),) if board else layers(existing, self.boards)

    def _base(self, fields: Fields, place: str) -> Base | None:
        if fields.text("base"):
            return fields.refer("base", self.bases, "base", "bases")
        if "base" not in fields:
            return None
        return base(fields.part("base"), place)

    def _points(self, surface: Surface, fields: Fields) -> Iterator[Point]:
        for name, point in fields.named("points"):
            gangs = point.count("gangs", 1)
            yield Point(
                place=f"{surface.place}.{name}",
                path=point.path,
                name=name,
                on=surface,
                kind=point.must("kind", PointKind),
                at=point.quantity("at", Length),
                height=point.quantity("height", Length),
                circuit_name=point.text("circuit"),
                box=point.refer("box", self.boxes, "box", "boxes"),
                gangs=gangs,
                outlets=point.count("outlets", gangs),
                to_bottom=point.text("height_to") == "bottom",
                group=point.text("group"),
                backing=bool(point.flag("backing")),
                load=point.quantity("load", Power),
                switched_by=point.texts("switched_by"),
                accessible=point.flag("accessible"),
            )

    def _pieces(self, wall: Wall, fields: Fields) -> Iterator[Piece]:
        for index, piece in enumerate(fields.items("pieces"), 1):
            board = piece.refer("board", self.boards, "board", "boards")
            if board is not None:
                yield Piece(
                    place=f"{wall.place}.{piece.text('name') or f'piece-{index}'}",
                    path=piece.path,
                    wall=wall,
                    index=index,
                    board=board,
                    left=piece.word("left", Edge),
                    right=piece.word("right", Edge),
                    layer=piece.count("layer", 0) or None,
                    row=piece.count("row", 1),
                )


def layers(fields: Fields, boards: Mapping[str, Board]) -> tuple[Layer, ...]:
    """The layers of a lining or of an existing face, from the wall towards the room."""
    return tuple(
        Layer(
            board=layer.refer("board", boards, "board", "boards"),
            material=layer.text("material"),
            thickness=layer.quantity("thickness", Length),
            sd=layer.quantity("sd", Length),
        )
        for layer in fields.items("layers")
    )


def base(fields: Fields, place: str) -> Base:
    """A wall as found, from the list of bases or written in place."""
    return Base(
        place=place,
        path=fields.path,
        material=fields.text("material"),
        thickness=fields.quantity("thickness", Length),
        faces=fields.word("faces", Faces),
        sound=fields.flag("sound"),
    )


def _lengths(fields: Fields, key: str) -> tuple[Length | None, Length | None]:
    """Length at the floor and at the ceiling, from the short or the long form."""
    if fields.text(key):
        length = fields.quantity(key, Length)
        return length, length
    part = fields.part(key)
    bottom, top = part.quantity("bottom", Length), part.quantity("top", Length)
    return bottom or top, top or bottom


def _heights(fields: Fields) -> tuple[Length | None, Length | None]:
    """Height at the wall's left and right end, where the wall gives its own."""
    height = fields.data.get("height")
    if isinstance(height, str):
        length = fields.quantity("height", Length)
        return length, length
    if isinstance(height, list):
        spots = _gable(fields)
        return spots[0][1], spots[-1][1]
    part = fields.part("height")
    return part.quantity("left", Length), part.quantity("right", Length)


def _gable(fields: Fields) -> tuple[tuple[Length, Length], ...]:
    """Positions and heights along a wall whose height is given at several spots, from left to right."""
    if not isinstance(fields.data.get("height"), list):
        return ()
    return tuple(sorted((parse(spot["at"], Length), parse(spot["height"], Length)) for spot in fields.data["height"]))


def _build_up(floor: Fields) -> Length | None:
    """What is still to come on the floor, given at once or layer by layer."""
    if not isinstance(floor.data.get("build_up"), list):
        return floor.quantity("build_up", Length)
    layers = [parse(layer["thickness"], Length) for layer in floor.data["build_up"]]
    return Length(sum(layers), layers[0].unit if layers else "mm")


def _turn(fields: Fields) -> float | None:
    """Turn to the right at the wall's end in radians; to the left it is negative."""
    word = fields.text("then")
    if word:
        return TURNS[word]
    part = fields.part("then")
    if not part.data:
        return None
    sense, by = TURNS[part.text("turn") or "straight"], part.quantity("by", Angle)
    return sense if by is None else (1 if sense > 0 else -1) * by


def _readings(fields: Fields) -> Iterator[Reading]:
    """The readings of a wall or a floor; each value of a column becomes a reading of its own."""
    for index, reading in enumerate(fields.items("readings")):
        column = reading.data.get("column") or {reading.text("height"): reading.data.get("value")}
        for height, value in column.items():
            yield Reading(
                index=index,
                of=reading.word("of", ReadOf) or ReadOf.WALL,
                scale=reading.word("scale", Scale),
                value=_reading_value(value),
                date=reading.day("date"),
                at=reading.quantity("at", Length),
                height=parse(height, Length) if height else None,
            )


def _reading_value(value: str | float | None) -> Quantity | float | None:
    """A reading in percent, or a plain number where the scale has no unit."""
    return parse(value, Ratio) if isinstance(value, str) else value


def _opening(wall: Wall, name: str, fields: Fields) -> Opening:
    return Opening(
        place=f"{wall.place}.{name}",
        path=fields.path,
        wall=wall,
        name=name,
        kind=fields.must("kind", OpeningKind),
        at=fields.quantity("at", Length),
        width=fields.quantity("width", Length),
        sill=fields.quantity("sill", Length),
        height=fields.quantity("height", Length),
        held_by=fields.part("frame").texts("held_by"),
    )


def _finishes(opening: Opening, fields: Fields) -> Iterator[RevealEdge | FrameJoint]:
    """The edges of an opening's reveal, and the joint to its frame.

    A door without a recorded reveal has none to finish; a frame flush with the wall (`reveal: none`) neither.
    """
    if fields.text("reveal") == STAYS or ("reveal" not in fields and opening.kind is OpeningKind.DOOR):
        return
    reveal = fields.part("reveal")
    path = reveal.path if "reveal" in fields else fields.path
    yield RevealEdge(place=opening.place, path=path, opening=opening, joint=reveal.word("edges", Joint))
    if opening.kind in (OpeningKind.WINDOW, OpeningKind.DOOR):
        yield FrameJoint(place=opening.place, path=path, opening=opening, joint=reveal.word("frame_joint", Joint))


def _join_corners(room: Room, fields: Fields) -> None:
    """A corner after every wall that turns; the last wall of a partial outline ends in none."""
    followers = [*pairwise(room.walls)]
    if room.is_closed is not False and room.walls:
        followers.append((room.walls[-1], room.walls[0]))
    written = {wall.text("wall"): wall for wall in fields.items("walls")}
    for wall, next_wall in followers:
        if wall.turn is not None and isclose(wall.turn, 0.0, abs_tol=1e-9):
            continue
        own = written[wall.name]
        corner = own.part("corner")
        complete(
            wall,
            corner=Corner(
                place=f"{wall.place}.corner",
                path=corner.path if "corner" in own else wall.path,
                wall=wall,
                next_wall=next_wall,
                joint=own.word("corner", Joint) or corner.word("joint", Joint),
                length=corner.quantity("length", Length),
            ),
        )


def _height_groups(room: Room) -> Iterator[HeightGroup]:
    groups: defaultdict[tuple[PointKind, str], list[Point]] = defaultdict(list)
    for wall in room.walls:
        for point in sorted(wall.points, key=lambda point: point.at or 0.0):
            if point.kind in HEIGHT_GROUPS:
                groups[point.kind, point.group or ""].append(point)
    for (kind, _), points in groups.items():
        yield HEIGHT_GROUPS[kind](
            place=room.place,
            path=room.path,
            bears_on=frozenset(point.on.place for point in points),
            room=room,
            points=tuple(points),
        )
