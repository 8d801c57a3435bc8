"""The walls of a room in plan: bare and finished, with their names, openings and corners."""

import math
from collections.abc import Sequence
from typing import Final

from planlint.drawing.outline import Leg, Plotted
from planlint.drawing.paper import LETTERS, SMALL, box_of, text_width
from planlint.drawing.plan_marks import (
    CORNER,
    OFF,
    along,
    corner_mark,
    door_marks,
    parts_between,
    sample_of_corner,
    sample_of_line,
    window_marks,
)
from planlint.drawing.plan_scene import PlanScene, caption
from planlint.limit_values import listed
from planlint.model.rooms import Opening, Wall
from planlint.model.words import OpeningKind, Swing
from planlint.rule import Given
from planlint.sheet_records import Line, Look, Sample, Spot
from planlint.sums.faces import finished_face, lining_depth
from planlint.sums.plan_view import between
from planlint.sums.working import Lacking
from planlint.units import Length, at_most

LIMITS_OF_OUTLINE: Final = ("outline_misclosure",)

_SHARES: Final = (0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8)
"""Where along a wall its name may stand, the best first."""


def draw_outline(scene: PlanScene, given: Given) -> None:
    """All walls as far as they can be placed, and what keeps the others out."""
    plot = scene.plot
    for leg in plot.legs:
        draw_wall(scene, leg)
    for leg in plot.legs:
        draw_corner(scene, leg)
    draw_gap(scene, given.quantity("outline_misclosure", Length))
    for leg in plot.legs:
        name_wall(scene, leg)
    for wall in plot.room.walls:
        if plot.leg(wall) is None:
            keys = between(plot.legs[0].wall, wall).keys if wall.length else (f"{wall.place}.length",)
            scene.lack(f"The wall {wall.name} is not drawn: not recorded is {', '.join(keys)}.")
    undecided = [leg.wall for leg in plot.legs if leg.wall.undecided]
    if undecided:
        names, where = listed([wall.name for wall in undecided], "and"), [f"{wall.place}.lining" for wall in undecided]
        scene.lack(f"It is not recorded whether and how these will be lined: {names} ({', '.join(where)}).")
    if plot.room.is_closed is None:
        scene.lack(f"It is not recorded whether the walls go all the way round ({plot.room.place}.outline).")


def draw_wall(scene: PlanScene, leg: Leg) -> None:
    """A wall with its openings and its finished face."""
    gaps = [gap for opening in leg.wall.openings if (gap := _draw_opening(scene, leg, opening))]
    for start, end in parts_between(0.0, leg.length, gaps):
        scene.put(Line(Look.FACE, (scene.plot.on(leg, start), scene.plot.on(leg, end))))
    scene.explain(sample_of_line(Look.FACE, "bare wall"))
    _draw_finished(scene, leg, gaps)


def name_wall(scene: PlanScene, leg: Leg) -> None:
    """The name and length of a wall: along it outside of the room, or beside it where that is too short."""
    wall, flags = leg.wall, scene.flags(leg.wall.place)
    words = f"{wall.name}, {wall.length}"
    ends = scene.plot.on(leg, 0.0), scene.plot.on(leg, leg.length)
    middle, outward = _middle(*ends), (-leg.inward[0], leg.inward[1])
    spare = 1 - text_width(words, LETTERS) / math.dist(*ends)
    texts = (along(words, ends, share, outward) for share in _SHARES if abs(share - 0.5) <= spare / 2)
    text = next((text for text in texts if scene.is_free(box_of(text))), None)
    if text is None:
        scene.label(caption([wall.name, str(wall.length)], flags), middle, OFF, outward)
        return
    scene.put(text)
    if flags:
        scene.label(caption([], flags), middle, OFF + LETTERS * 1.3, outward)


def draw_corner(scene: PlanScene, leg: Leg) -> None:
    """The corner at the end of a wall; a short stroke where the wall goes straight on."""
    wall, at, turn = leg.wall, scene.plot.on(leg, leg.length), leg.wall.true_turn
    if wall.corner is None or turn is None:
        if wall.turn == 0:
            scene.put(
                Line(Look.FACE, (scene.plot.on(leg, leg.length, off=1.5), scene.plot.on(leg, leg.length, off=-1.5)))
            )
        return
    scene.put(corner_mark(at, is_outside=turn < 0))
    scene.explain(sample_of_corner(is_outside=turn < 0))
    flags = scene.flags(wall.corner.place)
    if flags:
        scene.label(caption([], flags), at, CORNER + 0.3)


def draw_gap(scene: PlanScene, allowed: Length) -> None:
    """The gap between where the walk ends and where it began, where it is too wide for a slip of the tape."""
    gap, legs = scene.plot.gap, scene.plot.legs
    if at_most(gap, allowed):
        return
    ends = scene.plot.spot(legs[-1].end), scene.plot.spot(legs[0].start)
    scene.put(Line(Look.CONDENSING, ends))
    scene.explain(sample_of_line(Look.CONDENSING, "where the walls as measured do not meet"))
    scene.label(caption([f"misses by {missed(scene.plot)}"]), _middle(*ends), 1.0)
    scene.lack(
        f"The walls are drawn as measured: they miss the beginning of the walk by {missed(scene.plot)}, and {allowed} "
        "is the most that counts as a slip of the tape."
    )


def missed(plot: Plotted) -> Length:
    """By how much the walk misses its beginning, in the unit of the walls."""
    length = plot.legs[0].wall.length
    return Length(plot.gap, length.unit if length else "m")


def _draw_opening(scene: PlanScene, leg: Leg, opening: Opening) -> tuple[float, float] | None:
    """An opening, and from where to where it takes the wall away; None where that is not known."""
    keys = [key for key, value in (("at", opening.at), ("width", opening.width)) if value is None]
    if opening.at is None or opening.width is None:
        where = ", ".join(f"{opening.place}.{key}" for key in keys)
        scene.lack(f"The {_called(opening)} is not drawn: it is not recorded where it is and how wide ({where}).")
        return None
    start, end = opening.at, opening.at + opening.width
    if not (leg.reaches(start) and leg.reaches(end)):
        scene.lack(off_wall(_called(opening), leg.wall))
        return None
    left, right = scene.plot.on(leg, start), scene.plot.on(leg, end)
    if opening.kind is OpeningKind.DOOR:
        _draw_door(scene, leg, opening, left, right)
    elif opening.kind is OpeningKind.WINDOW:
        scene.put(*window_marks(left, right, _on_paper(leg)))
        scene.explain(Sample(window_marks((1.0, 3.0), (11.0, 3.0), (0.0, 1.0)), "window"))
    else:
        scene.put(Line(Look.OPENING, (left, right)))
        scene.explain(sample_of_line(Look.OPENING, "niche or passage"))
    depth = lining_depth(leg.wall.lining) if leg.wall.lining else 0.0
    off = 1.5 if isinstance(depth, Lacking) else 1.5 + scene.plot.paper.size(depth)
    scene.label(caption([_called(opening)], size=SMALL), _middle(left, right), off, _on_paper(leg))
    return start, end


def _draw_door(scene: PlanScene, leg: Leg, opening: Opening, left: Spot, right: Spot) -> None:
    keys = [key for key, value in (("hinges", opening.hinges), ("opens", opening.opens)) if value is None]
    if keys and opening.opens is not Swing.SLIDE:
        where = ", ".join(f"{opening.place}.{key}" for key in keys)
        scene.lack(f"It is not recorded which way the {_called(opening)} swings ({where}).")
        scene.put(Line(Look.OPENING, (left, right)))
        scene.explain(sample_of_line(Look.OPENING, "door"))
        return
    hinge, other = (left, right) if opening.hinges == "left" else (right, left)
    scene.put(*door_marks(hinge, other, _on_paper(leg), opening.opens))
    shown = Swing.SLIDE if opening.opens is Swing.SLIDE else Swing.IN
    words = "sliding door" if opening.opens is Swing.SLIDE else "door with its swing"
    scene.explain(Sample(door_marks((3.5, 5.5), (8.5, 5.5), (0.0, -1.0), shown), words))


def _draw_finished(scene: PlanScene, leg: Leg, gaps: Sequence[tuple[float, float]]) -> None:
    """The face of the lining, where it is known."""
    wall = leg.wall
    if wall.lining is None:
        return
    depth, face = lining_depth(wall.lining), finished_face(wall)
    for found in (depth, face):
        if isinstance(found, Lacking):
            keys = f" ({', '.join(found.keys)})" if found.keys else ""
            scene.lack(f"The finished face of {wall.name} is not drawn, for want of: {found.what}{keys}.")
            return
    if isinstance(depth, Lacking) or isinstance(face, Lacking) or face.bottom.vanishes:
        return
    start, end = face.bottom.lined_from, face.bottom.lined_to
    for left, right in parts_between(start, end, gaps):
        spots = [scene.plot.on(leg, left, depth), scene.plot.on(leg, right, depth)]
        # Where it stops before an opening, or no lining meets it, its end is seen.
        if left > start or not _goes_on(wall, left=True):
            spots.insert(0, scene.plot.on(leg, left))
        if right < end or not _goes_on(wall, left=False):
            spots.append(scene.plot.on(leg, right))
        scene.put(Line(Look.LINING, tuple(spots)))
    scene.explain(sample_of_line(Look.LINING, "finished face of the lining"))


def _goes_on(wall: Wall, *, left: bool) -> bool:
    """Whether a lining goes on round the corner at the left or right end of a wall."""
    walls = wall.room.walls
    other = walls[walls.index(wall) - 1] if left else walls[(walls.index(wall) + 1) % len(walls)]
    extent, length = wall.extent, wall.length or 0.0
    reaches = extent is None or not (extent.start if left else extent.end is not None and extent.end < length)
    return reaches and other is not wall and other.lining is not None


def off_wall(what: str, wall: Wall) -> str:
    """What is said of something that is recorded far beyond the end of its wall."""
    return f"The {what} is not drawn: where it is recorded lies beyond the end of {wall.name}, {wall.length} long."


def _called(opening: Opening) -> str:
    return opening.name if opening.name.startswith(opening.kind) else f"{opening.kind} {opening.name}"


def _on_paper(leg: Leg) -> Spot:
    """The direction into the room on paper, where down is positive."""
    return leg.inward[0], -leg.inward[1]


def _middle(start: Spot, end: Spot) -> Spot:
    return (start[0] + end[0]) / 2, (start[1] + end[1]) / 2
