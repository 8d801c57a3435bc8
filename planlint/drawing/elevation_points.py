"""Points, cables and pipes in the elevation of a wall."""

import math
from collections.abc import Iterator
from typing import Final

from planlint.drawing.blocks import Numbers, block
from planlint.drawing.paper import SMALL, Box
from planlint.drawing.scene import Label, Scene, absent, area_sample, line_sample
from planlint.drawing.symbols import sample, symbol
from planlint.limit_values import listed
from planlint.model.plan import Plan
from planlint.model.rooms import Wall
from planlint.model.services import SUPPLY, Pipe, Point, Run
from planlint.model.ways import Stretch, WaySpot, follow
from planlint.sheet_records import Circle, Line, Look, Mark, Sample, Spot
from planlint.sums.holes import centre_of, holes_of
from planlint.sums.paths import CablePath, path_of
from planlint.sums.working import Lacking

_CROSS: Final = 1.2
"""[mm] Half the size of the cross where a point is that has no hole of known size."""
_BACKED: Final = 0.045
"""[m] How far backing is drawn beyond the middle of a hole: how large it is, a plan does not say."""
_PIPE: Final = 0.6
"""[mm] The least radius of a pipe that comes out."""
_LEAST_RADIUS: Final = 0.4


def draw_points(scene: Scene) -> None:
    """The points of the wall: their holes to scale, and beside them symbol, name and height."""
    for point in scene.wall.points:
        height = centre_of(point, scene.given)
        if point.at is None or isinstance(height, Lacking):
            keys = [] if point.at is not None else [f"{point.place}.at"]
            scene.lacks(
                f"{point.name} ({point.kind}) is", [*keys, *(height.keys if isinstance(height, Lacking) else ())]
            )
            continue
        up = height + scene.datum
        if scene.outside(f"{point.name} ({point.kind}) is", point.at, up):
            continue
        if point.backing:
            reach = (point.gangs - 1) / 2 * _spacing(scene, point) + _BACKED
            along = (point.at - reach, point.at + reach)
            scene.marks.append(scene.paper.rectangle(Look.BACKING, along, (up - _BACKED, up + _BACKED)))
            scene.explain(area_sample(Look.BACKING, "backing behind a box; how large is not recorded"))
        _draw_point(scene, point, up)


def _spacing(scene: Scene, point: Point) -> float:
    centres = [hole.left for hole in holes_of(point, scene.wall, scene.given) if not isinstance(hole.left, Lacking)]
    return centres[1] - centres[0] if len(centres) > 1 else 0.0


def _draw_point(scene: Scene, point: Point, up: float) -> None:
    paper, hole = scene.paper, point.box.hole if point.box else None
    radius = max(paper.size(hole) / 2, _LEAST_RADIUS) if hole else 0.0
    centres: list[Spot] = []
    for one in holes_of(point, scene.wall, scene.given):
        if isinstance(one.left, Lacking):
            continue
        spot = paper.spot(one.left, up)
        centres.append(spot)
        if hole:
            scene.marks.append(Circle(Look.BOX, spot, radius))
        scene.marks += _cross(spot, radius or _CROSS)
    if hole:
        scene.explain(Sample((Circle(Look.BOX, (6.0, 3.0), 1.7), *_cross((6.0, 3.0), 1.7)), "hole of a box, to scale"))
    else:
        scene.explain(Sample(tuple(_cross((6.0, 3.0), _CROSS)), "middle of a point without a hole of known size"))
    scene.explain(sample(point.kind))
    scene.clear += [round_box(spot, max(radius, _CROSS)) for spot in centres]
    if point.at is not None:
        scene.measured(point.at, point.name)
    label = block(said_of_point(point), scene.flags(point.place), symbol=symbol(point.kind))
    middle = paper.spot(point.at or 0.0, up)
    scene.labels.append(Label(label, middle, clear=max(radius, _CROSS) + (centres[-1][0] - centres[0][0]) / 2))


def said_of_point(point: Point) -> list[str]:
    """Its name and height, as its label has them."""
    gangs = f" ({point.gangs} gangs)" if point.gangs > 1 else ""
    return [f"{point.name}{gangs}", f"{point.height} (lower edge)" if point.to_bottom else f"{point.height}"]


def round_box(spot: Spot, radius: float) -> Box:
    """The box round something round."""
    return Box(spot[0] - radius, spot[1] - radius, spot[0] + radius, spot[1] + radius)


def _cross(spot: Spot, reach: float) -> Iterator[Mark]:
    x, y = spot
    yield Line(Look.SYMBOL, ((x - reach, y), (x + reach, y)))
    yield Line(Look.SYMBOL, ((x, y - reach), (x, y + reach)))


def draw_runs(scene: Scene, plan: Plan) -> None:
    """The cables behind the wall: as drawn in the plan, or as worked out."""
    for circuit in plan.circuits.values():
        lacking: dict[str, tuple[str, ...]] = {}
        for run in circuit.runs:
            path = path_of(run, scene.given)
            touches = scene.wall in run.surfaces
            if isinstance(path, CablePath):
                _draw_path(scene, path)
                if not path.is_whole and touches:
                    scene.tell(
                        f"The cable to {run.end_name} ({circuit.name}) is drawn only as far as the plan shows it"
                    )
            elif touches:
                lacking[run.end_name] = path.keys
        if lacking:
            cables, are = ("cables", "are") if len(lacking) > 1 else ("cable", "is")
            keys = dict.fromkeys(key for keys in lacking.values() for key in keys)
            scene.lacks(f"The {cables} to {listed(list(lacking), 'and')} ({circuit.name}) {are}", list(keys))


def _draw_path(scene: Scene, path: CablePath) -> None:
    stretches = path.on(scene.wall)
    look = Look.CABLE if path.is_drawn else Look.CABLE_GUESSED
    for stretch in stretches:
        _draw_stretch(scene, look, path.run, stretch)
    if stretches:
        words = "cable, as drawn in the plan" if path.is_drawn else "cable, worked out and not drawn in the plan"
        scene.explain(line_sample(look, words))
    if flags := scene.numbers.get(path.run.place, ()):
        _flag_run(scene, path.run, stretches, flags)


def _draw_stretch(scene: Scene, look: Look, run: Run, stretch: Stretch) -> None:
    places = [(at, height + scene.datum) for at, height in (stretch.start, stretch.end)]
    if not any(scene.outside(f"A part of the cable to {run.end_name} is", at, up) for at, up in places):
        scene.marks.append(scene.paper.line(look, *places))


def _flag_run(scene: Scene, run: Run, stretches: tuple[Stretch, ...], flags: Numbers) -> None:
    inside = [
        one for one in stretches if all(scene.frame.holds(at, up + scene.datum) for at, up in (one.start, one.end))
    ]
    if not inside:
        return
    scene.flags(run.place)
    longest = max(inside, key=lambda one: one.length)
    (start, low), (end, high) = longest.start, longest.end
    middle = scene.paper.spot((start + end) / 2, (low + high) / 2 + scene.datum)
    start_name = "the board" if run.start_name == SUPPLY else run.start_name or "a point"
    label = block([f"{start_name} to {run.end_name}"], flags, size=SMALL, look=Look.QUIET)
    scene.labels.append(Label(label, middle))


def draw_pipes(scene: Scene, plan: Plan) -> None:
    """Pipes that come out of the wall or lie in it."""
    walls = {wall.place: wall for room in plan.rooms for wall in room.walls}
    for pipe in (pipe for wall in walls.values() for pipe in wall.pipes):
        way = _way(pipe, walls)
        stretches = [one for one in follow(way).stretches if one.wall is scene.wall]
        is_here = pipe.wall is scene.wall
        if not is_here and not stretches:
            continue
        named = f"{pipe.name} ({pipe.kind})"
        if is_here and pipe.comes_out and (pipe.at is None or pipe.height is None):
            scene.lacks(f"{named} is", absent(pipe.place, {"at": pipe.at, "height": pipe.height}))
        elif is_here and not pipe.comes_out and not stretches:
            scene.lacks(f"{named} is", [f"{pipe.place}.path"])
        spots = [spot for one in stretches for spot in (one.start, one.end)]
        outlet = (float(pipe.at), float(pipe.height)) if is_here and pipe.at and pipe.height is not None else None
        spots = [outlet, *spots] if outlet else spots
        if not spots or any(scene.outside(f"{named} is", at, up + scene.datum) for at, up in spots):
            continue
        for one in stretches:
            scene.marks.append(scene.paper.line(Look.PIPE, *_up(scene, one.start, one.end)))
            scene.explain(line_sample(Look.PIPE, "pipe in the wall"))
        spot = scene.paper.spot(*_up(scene, spots[0])[0])
        if outlet:
            radius = max(scene.paper.size(pipe.outside or 0.0) / 2, _PIPE)
            scene.marks.append(Circle(Look.PIPE, spot, radius))
            scene.clear.append(round_box(spot, radius))
            scene.explain(Sample((Circle(Look.PIPE, (6.0, 3.0), _PIPE),), "pipe that comes out of the wall"))
            if pipe.at is not None:
                scene.measured(pipe.at, pipe.name)
        label = block([named, f"{pipe.height}"] if outlet else [named], scene.flags(pipe.place), size=SMALL)
        scene.labels.append(Label(label, spot, clear=_PIPE))


def _way(pipe: Pipe, walls: dict[str, Wall]) -> list[WaySpot]:
    """Its way in the walls, led on to where it comes out: beyond the end that is nearer."""
    way: list[WaySpot] = [
        (walls[spot.wall], spot.at, spot.height) for spot in pipe.way if spot.wall in walls and spot.at is not None
    ]
    if not way or pipe.at is None or pipe.height is None:
        return way
    outlet: WaySpot = (pipe.wall, pipe.at, pipe.height)

    def apart(spot: WaySpot) -> float:
        return math.dist((spot[1], spot[2] or 0.0), (outlet[1], outlet[2] or 0.0)) if spot[0] is pipe.wall else math.inf

    return [outlet, *way] if apart(way[0]) <= apart(way[-1]) else [*way, outlet]


def _up(scene: Scene, *spots: tuple[float, float]) -> list[tuple[float, float]]:
    """Spots as the room measures them, from the bare floor."""
    return [(at, up + scene.datum) for at, up in spots]
