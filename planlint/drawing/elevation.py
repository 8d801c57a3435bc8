"""A wall as one sees it from inside the room, to scale: what is on it, where, and what is found there."""

from collections.abc import Iterator, Mapping, Sequence
from itertools import pairwise
from typing import Final

from planlint.drawing.blocks import Block, Numbers, Placer, block, flag_rows
from planlint.drawing.elevation_face import (
    at_ends,
    draw_battens,
    draw_chases,
    draw_corner,
    draw_face,
    draw_floor,
    draw_openings,
    draw_pieces,
    draw_zones,
    said_of_opening,
)
from planlint.drawing.elevation_points import draw_pipes, draw_points, draw_runs
from planlint.drawing.elevation_readings import LIMITS_OF_READINGS, draw_readings, in_force, meaning, tally
from planlint.drawing.paper import (
    FLAG_STEP,
    LETTERS,
    MARGIN,
    SMALL,
    WIDEST,
    Box,
    Paper,
    around,
    bounded,
    box_of,
    dimension,
    scale_for,
    shortened,
    spread,
    upright,
)
from planlint.drawing.scene import Frame, Scene
from planlint.limit_values import listed
from planlint.model.plan import Plan
from planlint.model.rooms import Wall
from planlint.model.services import Run
from planlint.model.thing import lies_under
from planlint.model.words import HeightsFrom
from planlint.rule import Given
from planlint.sheet_records import Anchor, Area, Line, Look, Mark, Picture, Spot, Text
from planlint.sums.holes import LIMITS_OF_HOLES_ON_PIECES
from planlint.sums.paths import LIMITS_OF_PATHS, path_of
from planlint.sums.working import Lacking
from planlint.takeoff_records import PieceCard
from planlint.units import Length

LIMITS_OF_ELEVATION: Final = tuple(dict.fromkeys((*LIMITS_OF_HOLES_ON_PIECES, *LIMITS_OF_PATHS, *LIMITS_OF_READINGS)))
_EDGE_LOOKS: Final = (Look.EDGE_TAPERED, Look.EDGE_CUT, Look.EDGE_GROOVED)
LARGEST: Final = 20
"""The largest scale of a wall: 1 to 20."""
_WALL_WIDEST: Final = 160.0
"""[mm] What a wall may take of the paper's width; the rest is for what is written beside it."""
_WALL_HIGHEST: Final = 160.0
_BESIDE: Final = 48.0
"""[mm] How far labels may go beside a narrow wall."""
_NOT_ACROSS: Final = (Look.FACE, Look.OPENING, Look.CABLE, Look.CABLE_GUESSED, Look.PIPE, *_EDGE_LOOKS)
_OVER: Final = 9.0
_LEFT: Final = 9.0
"""[mm] What the wall's height takes beside its left end."""
_LONGEST: Final = 60.0
"""[mm] What the name of a thing may take below the wall; the tables have it in full."""
_LINE: Final = 3.6
"""[mm] From one upright text to the next."""


def elevation(
    wall: Wall, plan: Plan, given: Given, pieces: Sequence[PieceCard], numbers: Mapping[str, Numbers]
) -> Picture | None:
    """The elevation of a wall with its pieces of board and the numbers of what is found at each place.

    None where so little is recorded that nothing can be placed. `given` has to have declared LIMITS_OF_ELEVATION.
    """
    frame = Frame.of(wall, _spots(wall, plan, given))
    if frame is None:
        return None
    scale = scale_for(frame.right, frame.top, width=_WALL_WIDEST, height=_WALL_HIGHEST, largest=LARGEST)
    own = {place: flags for place, flags in numbers.items() if lies_under(place, wall.place)}
    runs = {run.place: numbers[run.place] for run in _runs(wall, plan, given) if run.place in numbers}
    scene = Scene(wall, given, frame, Paper(scale), own | runs)
    draw_face(scene)
    draw_zones(scene)
    draw_battens(scene)
    draw_pieces(scene, pieces)
    draw_openings(scene)
    draw_chases(scene)
    draw_runs(scene, plan)
    draw_points(scene)
    draw_readings(scene)
    draw_pipes(scene, plan)
    draw_floor(scene)
    draw_corner(scene)
    scene.marks += _outer_dimensions(scene)
    scene.marks += _labels(scene)
    marks, width, height = bounded(scene.marks)
    return Picture(
        title=titled(wall),
        described=_described(scene),
        width=width,
        height=height,
        scale=scale,
        marks=marks,
        legend=tuple(scene.legend.values()),
        unplaced=tuple(scene.unplaced),
    )


def titled(wall: Wall) -> str:
    """What the elevation of a wall is called."""
    name = wall.name if "wall" in wall.name.casefold() else f"{wall.name} wall"
    return f"{name[:1].upper()}{name[1:]}, seen from inside"


def _spots(wall: Wall, plan: Plan, given: Given) -> Iterator[tuple[float | None, float | None]]:
    """Where things are on a wall, along and up, as far as that is recorded."""
    yield from ((point.at, point.height) for point in wall.points)
    yield from ((reading.at, reading.height) for reading in wall.readings)
    yield from ((pipe.at, pipe.height) for pipe in wall.pipes)
    for opening in wall.openings:
        if opening.at is not None and opening.width is not None:
            yield opening.at + opening.width, None
        if opening.bottom is not None and opening.height is not None:
            yield None, opening.bottom + opening.height
    for run in _runs(wall, plan, given):
        path = path_of(run, given)
        if not isinstance(path, Lacking):
            yield from (spot for stretch in path.on(wall) for spot in (stretch.start, stretch.end))


def _runs(wall: Wall, plan: Plan, given: Given) -> Iterator[Run]:
    for run in (run for circuit in plan.circuits.values() for run in circuit.runs):
        path = path_of(run, given)
        if not isinstance(path, Lacking) and path.on(wall):
            yield run


def _outer_dimensions(scene: Scene) -> Iterator[Mark]:
    """The wall's own height and length, and below it where things are, all from its left end."""
    wall, paper, frame = scene.wall, scene.paper, scene.frame
    made: list[Mark] = []
    line = frame.top_line()
    if line:
        x = -4.0
        made += dimension((x, 0.0), (x, paper.spot(0.0, line[0][1])[1]), f"{_like(wall, line[0][1])}")
        if line[-1][1] != line[0][1]:
            x = paper.spot(max(at for at, _ in line), 0.0)[0] + 7.0
            made += dimension((x, 0.0), (x, paper.spot(0.0, line[-1][1])[1]), f"{_like(wall, line[-1][1])}")
        for at, high in line[1:-1]:
            spot = paper.spot(at, high)
            made.append(Text(Look.DIMENSION, (spot[0], spot[1] - 1.2), f"{_like(wall, high)}", anchor=Anchor.MIDDLE))
        if wall.length_at_top is not None and wall.length_at_top != wall.length:
            y = min(paper.spot(at, high)[1] for at, high in line) - 5.0
            made += dimension((0.0, y), (paper.size(line[-1][0]), y), f"{wall.length_at_top}")
    made += _positions(scene)
    bottom = max([0.0, *(box_of(mark).bottom for mark in made)])
    if wall.length:
        y = bottom + 5.5
        made += dimension((0.0, y), (paper.size(wall.length), y), f"{wall.length}")
        bottom = y + 2.0
    for number, words in enumerate(_measured_from(wall), 1):
        made.append(Text(Look.QUIET, (-4.0, bottom + number * 3.6), words, SMALL))
    scene.clear += [box_of(mark) for mark in made]
    return iter(made)


def _like(wall: Wall, height: float) -> Length:
    known = wall.height_left or wall.height_right
    return Length(round(height, 9), known.unit if known else "m")


def _positions(scene: Scene) -> Iterator[Mark]:
    """Running dimensions: each position with what is there, from the left end, on a line of its own."""
    ordered = sorted(scene.positions)
    xs = [scene.paper.size(at) for at in ordered]
    for at, x, shown in zip(ordered, xs, spread(xs, _LINE), strict=True):
        text = f"{at}  {', '.join(scene.positions[at])}"
        yield Line(Look.DIMENSION, ((x, 0.6), (x, 2.2), (shown, 5.6), (shown, 6.6)))
        yield upright(shortened(text, _LONGEST, LETTERS), shown, 7.2)


def _measured_from(wall: Wall) -> Iterator[str]:
    is_raw = wall.room.floor.heights_from is HeightsFrom.RAW
    yield "Distances: from the left end of the bare wall."
    yield f"Heights: from the {'floor as it is now' if is_raw else 'finished floor'}."


def _labels(scene: Scene) -> Iterator[Mark]:
    """All that is written in and around the wall, set so that nothing covers anything else."""
    width, height = scene.paper.size(scene.frame.right), scene.paper.size(scene.frame.top)
    spare = WIDEST - 2 * MARGIN - width
    left = min(max(spare / 2, _LEFT), spare, _BESIDE)
    right = min(max(spare - left, 0.0), _BESIDE)
    bounds = Box(-left, -height - _OVER, width + right, -0.3)
    placer = Placer(bounds, list(scene.clear), soft=_crossed(scene.marks))
    for label in scene.labels:
        if not label.is_optional:
            yield from placer.place(label.block, label.spot, label.clear, label.first)
    yield from placer.over()
    for label in scene.labels:
        free = [spot for spot in label.first if label.is_optional and placer.is_free(label.block.box(*spot))]
        if free:
            yield from placer.place(label.block, label.spot, label.clear, free[:1])
    rest = tuple(flag for flags in scene.numbers.values() for flag in flags)
    if rest:
        yield from _own_flags(placer, rest, width, height)


def _crossed(marks: Sequence[Mark]) -> list[tuple[Spot, Spot]]:
    """The lines that are better not written across."""
    lines = (mark for mark in marks if isinstance(mark, Line | Area) and mark.look in _NOT_ACROSS)
    closed = ((*line.spots, line.spots[0]) if isinstance(line, Area) else line.spots for line in lines)
    return [pair for spots in closed for pair in pairwise(spots)]


def _own_flags(placer: Placer, flags: Numbers, width: float, height: float) -> Iterator[Mark]:
    """What is found at the wall itself, above it."""
    in_row = max(int(max(width, 40.0) // FLAG_STEP), 1)
    words = block(["of this wall:"], size=SMALL, look=Look.QUIET)
    rows = tuple(flag_rows(flags, words.width + 1.0, 0.0, in_row))
    whole = around(map(box_of, [*words.marks, *rows]))
    label = Block((*words.marks, *rows), whole.right, whole.bottom)
    left, top = max(placer.bounds.left, 0.0), -height - label.height - 1.5
    if not placer.is_free(label.box(left, top)):
        top = min([-height, *(box.top for box in placer.taken)]) - label.height - 2.0
    yield from label.at(left, top)


def _described(scene: Scene) -> str:
    wall, given = scene.wall, scene.given
    points = [
        f"{point.name} ({point.kind}) {point.at} from the left end and {point.height} high"
        for point in sorted(wall.points, key=lambda one: one.at or 0.0)
        if point.at is not None and point.height is not None
    ]
    openings = [
        f"{opening.name} from {opening.at} on ({', '.join(said_of_opening(opening))})"
        for opening in wall.openings
        if opening.at is not None
    ]
    readings = tally(meaning(reading, wall, given) for reading in in_force(wall, given))
    told = [*openings, *points, *([readings] if readings else [])]
    return f"A wall {at_ends(wall)}" + (f", with {listed(told, 'and')}." if told else ".")
