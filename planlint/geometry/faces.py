"""Finished faces: how far linings move the ends of a wall's face, and whose boards lap at an outside corner."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from planlint.units import at_least

SHALLOW = math.radians(5)
"""Below this turn two linings of different thickness end in a step: their faces would meet too far off (own
decision; at 5° a difference of 25 mm would make a wedge of 290 mm). A corner that is sharper than this cannot
be lined at all."""

STRAIGHT = 1e-9
"""Turns up to this are none (radians)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class BareWall:
    """A wall at one height before it is lined, and the lining that it gets there; all in metres and radians."""

    length: float
    turn: float
    """How far one turns at its right end."""
    lining: float = 0.0
    """Thickness of the whole lining; 0 where it stays as it is, or the lining does not reach this height."""
    boards: float = 0.0
    """Thickness of the boards that may lap at a corner: of the layer that is looked at."""
    lined_from: float = 0.0
    lined_to: float | None = None
    """Where along the wall the lining begins and ends; None: at the wall's end."""

    def __post_init__(self) -> None:
        if not self.length > 0:
            raise ValueError(f"a wall is longer than 0 m, not {self.length:g} m")
        if not (self.lining >= 0 and self.boards >= 0):
            raise ValueError("a lining and its boards are 0 m thick or more")
        if not self.lined_from < self._lined_to:
            raise ValueError("a lining ends to the right of where it begins")

    @property
    def _lined_to(self) -> float:
        return self.length if self.lined_to is None else self.lined_to

    def reaches(self, *, left: bool) -> bool:
        """Whether its lining goes up to its left or right end."""
        return self.lined_from <= 0 if left else at_least(self._lined_to, self.length)

    def thickness(self, *, left: bool) -> float:
        """What stands in front of the bare wall at its left or right end."""
        return self.lining if self.reaches(left=left) else 0.0


@dataclass(frozen=True, slots=True)
class FaceEnd:
    """An end of a finished face, in metres."""

    moved: float = 0.0
    """How far it lies inside the end of the bare wall: above 0 the face is shorter (an inside corner between
    linings), below 0 it reaches past the bare wall (an outside corner)."""
    lapped_by: float = 0.0
    """What the boards here lose to the neighbour's boards, which run past their ends."""


@dataclass(frozen=True, slots=True)
class Face:
    """The finished face of a wall; places are metres from the left end of the bare wall."""

    left: FaceEnd
    right: FaceEnd
    start: float
    end: float
    lined_from: float
    """Where the lined part begins: `start`, or further right where the lining covers a part of the wall."""
    lined_to: float

    @property
    def length(self) -> float:
        """Length of the whole face; 0 or less where the linings beside it leave nothing of it (`vanishes`)."""
        return self.end - self.start

    @property
    def vanishes(self) -> bool:
        """Whether the linings of its neighbours fill the place: nothing of this face is left to be lined."""
        return self.length <= 0

    @property
    def boarded(self) -> float:
        """What the widths of its boards add up to: the lined part less what the neighbours' boards take."""
        return self.lined_to - self.lined_from - self.left.lapped_by - self.right.lapped_by


def end_moves(own: float, neighbour: float, turn: float) -> float:
    """How far the end of a face moves inwards where linings `own` and `neighbour` (m) meet at a turn (rad).

    (t_neighbour - t_own · cos θ) / sin θ, written as t_own · tan(θ/2) + (t_neighbour - t_own) / sin θ. The turn
    is to the right positive, whichever end is meant. Where θ is below SHALLOW the second term is left out: a
    step stays between linings of different thickness, at `straight` just at the end of the bare wall.

    Raises:
        ValueError: The walls fold back on each other: the turn is within SHALLOW of 180°, or past it.

    >>> round(end_moves(0.0375, 0.0645, math.pi / 2), 4), round(end_moves(0.0375, 0.0375, -math.pi / 2), 4)
    (0.0645, -0.0375)
    """
    if not abs(turn) <= math.pi - SHALLOW:
        raise ValueError(
            f"walls that turn by {math.degrees(abs(turn)):.4g}° fold back on each other: give the end of the wall "
            "between them as a wall of its own"
        )
    step = 0.0 if abs(turn) < SHALLOW else (neighbour - own) / math.sin(turn)
    return own * math.tan(turn / 2) + step


def finished_faces(
    walls: Sequence[BareWall], *, closed: bool = True, lap_lengths: Sequence[float] | None = None
) -> tuple[Face, ...]:
    """The finished face of each wall, walked with the wall on the left hand, at one height.

    At an outside corner the boards of the longer wall lap those of the shorter; walls in one line count as one
    wall there, and of two equal ones the one before the corner laps. `lap_lengths` (m, one each wall) decide it
    in place of the walls' own lengths: give those at the floor for faces higher up, so that a corner does not
    change hands on its way up. For the inner layer of a lining, give its thickness up to and with that layer.
    The first wall's left end and the last one's right end have no corner where the outline is not closed.

    Raises:
        ValueError: Walls fold back on each other, or fewer than three are to close.
    """
    if closed and len(walls) < 3:  # noqa: PLR2004 - the corners of a triangle
        raise ValueError("a closed room has at least three walls")
    runs = _runs(walls, lap_lengths or [wall.length for wall in walls], closed=closed)
    lefts, rights = [FaceEnd()] * len(walls), [FaceEnd()] * len(walls)
    for index, wall in enumerate(walls if closed else walls[:-1]):
        after = (index + 1) % len(walls)
        own, next_ = wall.thickness(left=False), walls[after].thickness(left=True)
        own_lapped = next_lapped = 0.0
        # Boards lap where there are some on both sides of the corner.
        if wall.turn < -STRAIGHT and own and next_ and wall.boards and walls[after].boards:
            if at_least(runs[index], runs[after]):
                next_lapped = wall.boards
            else:
                own_lapped = walls[after].boards
        rights[index] = FaceEnd(end_moves(own, next_, wall.turn), own_lapped)
        lefts[after] = FaceEnd(end_moves(next_, own, wall.turn), next_lapped)
    return tuple(_face(wall, left, right) for wall, left, right in zip(walls, lefts, rights, strict=True))


def _face(wall: BareWall, left: FaceEnd, right: FaceEnd) -> Face:
    start, end = left.moved, wall.length - right.moved
    return Face(
        left=left,
        right=right,
        start=start,
        end=end,
        lined_from=start if wall.reaches(left=True) else max(start, wall.lined_from),
        lined_to=end if wall.lined_to is None or wall.reaches(left=False) else min(end, wall.lined_to),
    )


def _runs(walls: Sequence[BareWall], lengths: Sequence[float], *, closed: bool) -> list[float]:
    """For each wall the length of the straight run that it is part of."""
    runs: list[list[int]] = []
    for index in range(len(walls)):
        if index and abs(walls[index - 1].turn) <= STRAIGHT:
            runs[-1].append(index)
        else:
            runs.append([index])
    if closed and len(runs) > 1 and abs(walls[-1].turn) <= STRAIGHT:
        runs[0] += runs.pop()
    by_wall = {index: sum(lengths[part] for part in run) for run in runs for index in run}
    return [by_wall[index] for index in range(len(walls))]
