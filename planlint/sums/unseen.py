"""What may lie behind a spot of a wall and is nowhere in the plan, or not where one could see it."""

from collections.abc import Iterator, Sequence
from typing import Final

from planlint.model.plan import Plan
from planlint.model.rooms import Room, Surface, Wall
from planlint.model.services import Run
from planlint.model.words import Faces, FixtureKind
from planlint.rule import Given
from planlint.sums.near import named
from planlint.sums.paths import path_of
from planlint.sums.working import Lacking

_WATERED: Final = (*(FixtureKind.BATH, FixtureKind.SHOWER, FixtureKind.BASIN, FixtureKind.SINK, FixtureKind.RADIATOR),)


def unseen(surface: Surface, plan: Plan, given: Given, *, is_other: bool = False) -> Iterator[Lacking]:
    """What is not recorded of the cables, pipes and cuts behind a wall or a ceiling, or behind its other face."""
    yield from _cables(surface, plan, given)
    if isinstance(surface, Wall):
        yield from _wall(surface)
        if not is_other:
            yield from _other_face(surface)


def _cables(surface: Surface, plan: Plan, given: Given) -> Iterator[Lacking]:
    """Runs of which nobody knows where they lie, and points to which no run leads."""
    room = surface.room
    runs = [run for circuit in plan.circuits.values() for run in circuit.runs]
    around: list[Run] = []
    elsewhere: list[Run] = []
    for run in runs:
        path = path_of(run, given)
        touches = any(point and point.on.room is room for point in (run.start, run.end))
        passes = not isinstance(path, Lacking) and isinstance(surface, Wall) and bool(path.on(surface))
        if isinstance(path, Lacking) or not path.is_whole:
            if touches or passes:
                part = "which way" if isinstance(path, Lacking) else "all of the way that"
                yield Lacking(f"{part} {named(run)} takes", (run.key("path"),))
            else:
                elsewhere.append(run)
        elif touches and not passes and not path.is_drawn:
            around.append(run)
    if around:
        what = f"whether this passes here, since its way was only worked out, along other walls: {_listed(around)}"
        yield Lacking(what, tuple(dict.fromkeys(run.key("path") for run in around)))
    if elsewhere:
        what = f"whether this passes here on its way to another room: {_listed(elsewhere)}"
        yield Lacking(what, tuple(dict.fromkeys(run.key("path") for run in elsewhere)))
    yield from _unfed(room, runs)


def _listed(runs: Sequence[Run]) -> str:
    return "; ".join(named(run) for run in runs)


def _unfed(room: Room, runs: Sequence[Run]) -> Iterator[Lacking]:
    reached = {point for run in runs for point in (run.start, run.end) if point}
    surfaces: list[Surface] = [*room.walls, *([room.ceiling] if room.ceiling else [])]
    unfed = [point for surface in surfaces for point in surface.points if point not in reached]
    if unfed:
        keys = (f"{one.circuit.place}.runs" if one.circuit else f"{one.place}.circuit" for one in unfed)
        names = ", ".join(point.name for point in unfed)
        yield Lacking(f"by which cable {names} is fed, and where it lies", tuple(dict.fromkeys(keys)))


def _wall(wall: Wall) -> Iterator[Lacking]:
    if wall.undecided:
        yield Lacking(f"whether and how {wall.name} will be lined", (f"{wall.place}.lining",))
    if wall.base is None or wall.base.material is None:
        yield Lacking(f"what {wall.name} is made of", (f"{wall.place}.base",))
    if wall.chases is None and (wall.base is None or wall.base.is_masonry is not False):
        yield Lacking(f"whether {wall.name} is chased, and for what", (f"{wall.place}.chases",))
    if wall.joist_ends:
        yield Lacking("where the ends of joists rest in it", ())
    if wall.base and wall.base.flue:
        use = {True: "in use", False: "disused", None: "of which it is not said whether it is in use"}
        yield Lacking(f"where the flue runs in it, {use[wall.base.flue.is_in_use]}", ())
    watered = [fixture for fixture in wall.fixtures if fixture.kind in _WATERED]
    if watered and not wall.pipes:
        names = ", ".join(fixture.name for fixture in watered)
        yield Lacking(f"which pipes serve {names}, and where they lie", (f"{wall.place}.pipes",))


def _other_face(wall: Wall) -> Iterator[Lacking]:
    """What is on the other side of the wall, where the plan does not hold it."""
    if wall.other_face or wall.faces in (Faces.OUTSIDE, Faces.GROUND):
        return
    if wall.faces is Faces.NEIGHBOUR:
        yield Lacking("what the neighbour has on the other face of this wall", ())
    elif wall.faces is Faces.LOFT:
        yield Lacking("what lies on the side of the loft", ())
    else:
        keys = (f"{wall.place}.back_of",) if wall.faces else (f"{wall.place}.base", f"{wall.place}.back_of")
        yield Lacking("what is on the other face of this wall", keys)
