"""The finished face of a wall: how far its lining and those beside it move its ends, at the floor and at the top."""

from dataclasses import dataclass

from planlint import geometry
from planlint.model.buildups import Layer, Lining
from planlint.model.rooms import Wall
from planlint.sums.working import Lacking
from planlint.units import at_most


@dataclass(frozen=True, slots=True)
class FinishedFace:
    """The face of a wall in one layer of its lining; places are metres from the left end of the bare wall."""

    bottom: geometry.Face
    top: geometry.Face
    height: float | None
    """Where the lining ends, above the bare floor: at the ceiling, or lower; None where no height is known."""

    def at(self, height: float) -> tuple[float, float]:
        """Where its boards begin and end at a height, boards of the neighbours that lap them taken off."""
        (start, end), (top_start, top_end) = _boarded(self.bottom), _boarded(self.top)
        return self._between(start, top_start, height), self._between(end, top_end, height)

    def starts_at(self, height: float) -> float:
        """Where the face itself begins at a height: what `at` of a piece counts from."""
        return self._between(self.bottom.start, self.top.start, height)

    def _between(self, below: float, above: float, height: float) -> float:
        share = min(max(height / self.height, 0.0), 1.0) if self.height else 0.0
        return below + (above - below) * share


def _boarded(face: geometry.Face) -> tuple[float, float]:
    return face.lined_from + face.left.lapped_by, face.lined_to - face.right.lapped_by


def thickness(layer: Layer) -> float | None:
    """The thickness of one layer in metres: a film's is 0; None where it is not recorded."""
    if layer.thickness is not None:
        return layer.thickness
    return layer.board.thickness if layer.board else 0.0 if layer.is_film else None


def key_of_thickness(lining: Lining, number: int) -> str:
    """The key to add where the thickness of a lining's layer, counted from 1, is not recorded."""
    board = lining.layers[number - 1].board
    return f"{board.place}.thickness" if board else f"{lining.place}.layers.{number}.thickness"


def lining_depth(lining: Lining, boards: int | None = None) -> float | Lacking:
    """How far a lining stands out from the bare wall (m), up to and with its nth layer of boards; None: all of it.

    Battens that are deeper than what the plan lists between them and the wall keep the boards off by their depth.
    """
    if not lining.layers:
        return Lacking(f"the layers of {lining.name}", (f"{lining.place}.layers",))
    count = len(lining.boards) if boards is None else min(boards, len(lining.boards))
    hollow, stood, passed = 0.0, 0.0, 0
    for number, layer in enumerate(lining.layers, 1):
        if boards is not None and passed == count:
            break
        depth = thickness(layer)
        if depth is None:
            return Lacking(f"how thick the layers of {lining.name} are", (key_of_thickness(lining, number),))
        passed += layer.board is not None
        hollow, stood = (hollow, stood + depth) if passed else (hollow + depth, stood)
    if lining.battens and lining.battens.depth is None and not hollow:
        return Lacking(f"how deep the battens of {lining.name} are", (f"{lining.place}.battens.depth",))
    depth = lining.battens.depth if lining.battens else None
    return max(hollow, depth or 0.0) + stood


def finished_face(wall: Wall, layer: int | None = None) -> FinishedFace | Lacking:
    """The finished face of a wall, in its nth layer of boards from the wall; None: on the room's side.

    An inner layer meets the same layer of the walls beside it, or their last; the outer one meets all that they get.
    Of the other walls only those count that stand beside it, with what goes straight on from them: what is lacking
    elsewhere in the room does no harm. Where the diagonals are measured the true turns count.
    """
    room = wall.room
    if layer == wall.outer_layer:
        layer = None
    if room.is_closed is None and wall in (room.walls[0], room.walls[-1]):
        return Lacking("whether the walls go all the way round", (f"{room.place}.outline",))
    around = _around(wall)
    needed: dict[str, float | None] = {f"{one.place}.length": one.length for one in around}
    # Where the walk goes on after the last of them does not matter to this wall.
    needed |= {f"{one.place}.then": one.turn for one in around[:-1]}
    keys = tuple(key for key, value in needed.items() if value is None)
    if keys:
        return Lacking("the lengths and turns of this wall and those beside it", keys)
    height = _height(wall)
    found: list[geometry.Face] = []
    for level in (0.0, height or 0.0):
        walls = []
        for one in around:
            bare = _bare(one, level, layer)
            if isinstance(bare, Lacking):
                return bare
            walls.append(bare)
        lengths = [one.length or 0.0 for one in around]
        try:
            faces = geometry.finished_faces(walls, closed=False, lap_lengths=lengths)
        except ValueError as error:
            return Lacking(str(error), ())
        found.append(faces[around.index(wall)])
    return FinishedFace(found[0], found[1], height)


def _height(wall: Wall) -> float | None:
    """Where the lining of a wall ends: at the ceiling, or where the plan ends it."""
    ceiling = max((height for height in (wall.height_left, wall.height_right) if height is not None), default=None)
    top = wall.extent.top if wall.extent else None
    return ceiling if top is None or (ceiling is not None and at_most(ceiling, top)) else top


def _around(wall: Wall) -> list[Wall]:
    """A wall between its neighbours, and what goes straight on from any of them, in the order of the walk."""
    walls, here = wall.room.walls, wall.room.walls.index(wall)
    is_closed = wall.room.is_closed is not False
    before: list[Wall] = []
    for step in range(1, len(walls) if is_closed else here + 1):
        before.insert(0, walls[here - step])
        if walls[here - step - 1].turn != 0:
            break
    after: list[Wall] = []
    for step in range(1, len(walls) - (len(before) if is_closed else here)):
        after.append(walls[(here + step) % len(walls)])
        if after[-1].turn != 0:
            break
    return [*before, wall, *after]


def _bare(wall: Wall, level: float, layer: int | None) -> geometry.BareWall | Lacking:
    """A wall as it is before it is lined, and what stands in front of it at a height."""
    lining, extent = wall.lining, wall.extent
    if wall.undecided:
        return Lacking("whether and how the walls here will be lined", (f"{wall.place}.lining",))
    length, turn = wall.length_at(level) or 0.0, wall.true_turn or 0.0
    if lining is None or (extent and extent.top is not None and not at_most(level, extent.top)):
        return geometry.BareWall(length=length, turn=turn)
    depth = lining_depth(lining, layer)
    if isinstance(depth, Lacking):
        return depth
    number = min(layer or len(lining.boards), len(lining.boards))
    return geometry.BareWall(
        length=length,
        turn=turn,
        lining=depth,
        boards=(lining.boards[number - 1].thickness or 0.0) if number else 0.0,
        lined_from=extent.start or 0.0 if extent else 0.0,
        lined_to=extent.end if extent else None,
    )
