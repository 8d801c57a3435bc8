"""Builds rooms: their walls, what is on the walls, and the corners, reveals and height groups that follow."""

from collections import defaultdict
from collections.abc import Iterator, Mapping
from itertools import pairwise
from math import isclose

from planlint.model.access import Passage
from planlint.model.build_fixtures import chases, fixtures, notches, pipe
from planlint.model.build_parts import (
    base,
    build_up,
    gable,
    heights,
    layers,
    lengths,
    own_climate,
    readings,
    sealant,
    turn,
)
from planlint.model.buildups import Base, Board, Extent, JoistEnds, Layer, Lining
from planlint.model.climate import Climate
from planlint.model.fields import Fields
from planlint.model.rooms import (
    HEIGHT_GROUPS,
    BoardJoint,
    Ceiling,
    Corner,
    Damp,
    Diagonal,
    Floor,
    FrameJoint,
    HeightGroup,
    Opening,
    Piece,
    RevealEdge,
    Room,
    Slope,
    Surface,
    Wall,
)
from planlint.model.services import Box, Downlight, Point
from planlint.model.thing import complete
from planlint.model.words import (
    Edge,
    HeightsFrom,
    Joint,
    OpeningKind,
    PointKind,
    Salts,
    Screed,
    Swing,
)
from planlint.units import Angle, Length, Power, Voltage

STAYS = "none"
"""What `lining` says where a face stays as it is; `reveal` says so where the frame stands flush."""


class RoomBuilder:
    """Builds rooms out of the boards, boxes, bases and linings that the plan describes."""

    def __init__(
        self,
        boards: Mapping[str, Board],
        boxes: Mapping[str, Box],
        bases: Mapping[str, Base],
        linings: Mapping[str, Lining],
        climate: Climate,
    ) -> None:
        self.boards = boards
        self.boxes = boxes
        self.bases = bases
        self.linings = linings
        self.climate = climate

    def build(self, name: str, fields: Fields, passages: tuple[Passage, ...]) -> Room:
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
                build_up=build_up(floor),
                screed=floor.word("screed", Screed),
                heated=floor.flag("heated"),
                readings=tuple(readings(floor)),
                readings_recorded="readings" in floor,
            ),
            height=fields.quantity("height", Length),
            climate=own_climate(fields.part("climate"), self.climate),
            reached_by=passages,
            reached_by_recorded="reached_by" in fields,
            diagonals=(),
        )
        walls = tuple(self._wall(room, wall, fields.quantity("height", Length)) for wall in fields.items("walls"))
        complete(room, walls=walls)
        # After the walls: points on a ceiling say how far they are from them.
        complete(room, ceiling=self._ceiling(room, fields.part("ceiling")) if "ceiling" in fields else None)
        _join_corners(room, fields)
        by_name = {wall.name: wall for wall in walls}
        complete(
            room,
            slopes=tuple(self._slopes(room, by_name, fields)),
            fixtures=tuple(fixtures(room, by_name, fields)),
            diagonals=tuple(_diagonals(by_name, fields, f"rooms: {room.name}: walls")),
        )
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
            base=self._base(fields, f"{room.place}.ceiling"),
            air_gap=fields.quantity("air_gap", Length),
        )
        complete(ceiling, points=tuple(self._points(ceiling, fields)))
        return ceiling

    def _slopes(self, room: Room, walls: Mapping[str, Wall], fields: Fields) -> Iterator[Slope]:
        for name, slope in fields.named("slopes"):
            above = slope.refer("above", walls, "wall", f"rooms: {room.name}: walls")
            if above is None:
                continue
            lining, extent, stays = self._lining(slope)
            yield Slope(
                place=f"{room.place}.{name}",
                path=slope.path,
                bears_on=frozenset({room.place}),
                room=room,
                lining=lining,
                extent=extent,
                stays=stays,
                existing=(),
                name=name,
                above=above,
                pitch=slope.quantity("pitch", Angle),
                rafters=slope.quantity("rafters", Length),
                air_gap=slope.quantity("air_gap", Length),
                underlay=slope.text("underlay"),
            )

    def _wall(self, room: Room, fields: Fields, room_height: Length | None) -> Wall:
        name = fields.text("wall") or ""
        place = f"{room.place}.{name}"
        lining, extent, stays = self._lining(fields)
        length, top = lengths(fields, "length")
        left, right = heights(fields)
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
            turn=turn(fields),
            height_left=left or room_height,
            height_right=right or room_height,
            gable=gable(fields),
            base=self._base(fields, place),
            salts=fields.word("salts", Salts),
            chases=tuple(chases(fields)) if "chases" in fields else None,
            notches=tuple(notches(fields)) if "notches" in fields else None,
            battens_at=fields.quantities("battens_at", Length),
            damp=Damp(damp.text("cause"), damp.day("cured")) if "damp" in fields else None,
            readings=tuple(readings(fields)),
            readings_recorded="readings" in fields,
            joist_ends=JoistEnds(fields.part("joist_ends").flag("vapour_sealed")) if "joist_ends" in fields else None,
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
            pipes=tuple(pipe(wall, name, written) for name, written in fields.named("pipes")),
            pieces=tuple(self._pieces(wall, fields)),
        )
        complete(wall, board_joints=tuple(_board_joints(wall)))
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
            downlight = point.part("downlight")
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
                vapour_sealed=point.flag("vapour_sealed"),
                recess=point.quantity("recess", Length),
                ip=point.text("ip"),
                voltage=point.quantity("voltage", Voltage),
                downlight=Downlight(downlight.flag("may_be_covered"), downlight.quantity("clearance", Length))
                if "downlight" in point
                else None,
                from_walls=_from_walls(surface, point.part("at")),
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
                (bottom, top), (left, right) = lengths(piece, "width"), heights(piece)
                yield Piece(
                    place=f"{wall.place}.{piece.text('name') or f'piece-{index}'}",
                    path=piece.path,
                    wall=wall,
                    index=index,
                    name=piece.text("name") or f"piece-{index}",
                    board=board,
                    left=piece.word("left", Edge),
                    right=piece.word("right", Edge),
                    layer=piece.count("layer", 0) or None,
                    row=piece.count("row", 1),
                    at=piece.quantity("at", Length),
                    bottom=piece.quantity("bottom", Length),
                    width_bottom=bottom,
                    width_top=top,
                    height_left=left,
                    height_right=right,
                )


def _board_joints(wall: Wall) -> Iterator[BoardJoint]:
    """A joint between each two pieces that stand next to each other in one row of one layer."""
    rows: defaultdict[tuple[int, int], list[Piece]] = defaultdict(list)
    for piece in wall.pieces:
        rows[piece.in_layer, piece.row].append(piece)
    for pieces in rows.values():
        for left, right in pairwise(pieces):
            yield BoardJoint(
                place=right.place,
                path=right.path,
                bears_on=frozenset({left.place}),
                wall=wall,
                left=left,
                right=right,
            )


def _opening(wall: Wall, name: str, fields: Fields) -> Opening:
    frame, reveal = fields.part("frame"), fields.part("reveal")
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
        reveal_depth=reveal.quantity("depth", Length),
        reveal_sealed=reveal.flag("vapour_sealed"),
        has_reveal=False if fields.text("reveal") == STAYS else "reveal" in fields or None,
        held_by=frame.texts("held_by"),
        fixing_spacing=frame.quantity("spacing", Length),
        fixing_from_corner=frame.quantity("from_corner", Length),
        hinges=fields.text("hinges"),
        opens=fields.word("opens", Swing),
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


def _from_walls(surface: Surface, fields: Fields) -> tuple[tuple[Wall, Length], ...]:
    by_name = {wall.name: wall for wall in surface.room.walls} if fields.data else {}
    distances = ((by_name.get(name), fields.quantity(name, Length)) for name in fields.data)
    return tuple((wall, distance) for wall, distance in distances if wall and distance is not None)


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
                width=corner.quantity("width", Length),
                sealant=sealant(corner.part("sealant")) if "sealant" in corner else None,
            ),
        )


def _diagonals(walls: Mapping[str, Wall], fields: Fields, where: str) -> Iterator[Diagonal]:
    for diagonal in fields.items("diagonals"):
        start = diagonal.refer("from", walls, "wall", where)
        end = diagonal.refer("to", walls, "wall", where)
        length = diagonal.quantity("length", Length)
        if start and end and length:
            yield Diagonal(start, end, length)


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
