"""What stands in a room or hangs on its walls and ceiling, in plan: points and fixtures."""

from typing import Final

from planlint.drawing.outline import Leg, Taped, taped
from planlint.drawing.paper import around, box_of
from planlint.drawing.plan_scene import PlanScene, caption
from planlint.drawing.plan_walls import off_wall
from planlint.drawing.symbols import SIZE, sample, symbol
from planlint.model.fixtures import Fixture
from planlint.model.services import Point
from planlint.sheet_records import Line, Look
from planlint.sums.faces import lining_depth
from planlint.sums.working import Lacking

_SLIP: Final = 1e-6
"""[m]"""
_ROWS: Final = 8
"""Symbols of points at one spot, one behind the other, until some lie on each other."""


def draw_point(scene: PlanScene, leg: Leg, point: Point) -> None:
    """A point at its wall; what is above another one at the same spot is drawn in front of it."""
    if point.at is None:
        scene.lack(
            f"{point.name} ({point.kind}) is not drawn: it is not recorded where on its wall it is ({point.place}.at)."
        )
        return
    if not leg.reaches(point.at):
        scene.lack(off_wall(f"{point.kind} {point.name}", leg.wall))
        return
    if not 0 <= point.at <= leg.length + _SLIP:
        scene.lack(f"The {point.kind} {point.name} is drawn as recorded, beyond the end of {leg.wall.name}.")
    lining = leg.wall.lining
    depth = lining_depth(lining) if lining else 0.0
    out = 0.0 if isinstance(depth, Lacking) else depth
    foot = scene.plot.on(leg, point.at, out)
    for row in range(_ROWS):
        spot = scene.plot.on(leg, point.at, out, SIZE / 2 + 0.5 + row * (SIZE + 0.4))
        marks = symbol(point.kind, spot)
        if not any(around(map(box_of, marks)).overlaps(other) for other in scene.symbols):
            break
    if row:
        scene.marks.append(Line(Look.LEADER, (foot, spot)))
    scene.put_symbol(*marks)
    scene.explain(sample(point.kind))
    scene.label(caption([point.name]), spot, SIZE / 2)


def draw_ceiling_point(scene: PlanScene, point: Point) -> Taped | None:
    """A point of the ceiling where two walls fix it, and where that is; None where they do not."""
    found = taped(scene.plot, point.from_walls)
    if found is None:
        scene.lack(
            f"{point.name} ({point.kind} on the ceiling) is not drawn: it is not recorded how far it is from two walls "
            f"that meet ({point.place}.at)."
        )
        return None
    spot = scene.plot.spot(found.place)
    scene.put_symbol(*symbol(point.kind, spot))
    scene.explain(sample(point.kind))
    return found


def draw_fixture(scene: PlanScene, fixture: Fixture) -> None:
    """A fixture where it stands at its wall."""
    leg = scene.plot.leg(fixture.wall) if fixture.wall else None
    measures = {"wall": fixture.wall, "at": fixture.at, "width": fixture.width, "depth": fixture.depth}
    keys = ", ".join(f"{fixture.place}.{key}" for key, value in measures.items() if value is None)
    flags = scene.flags(fixture.place)
    name = fixture.name if fixture.name == fixture.kind else f"{fixture.name} ({fixture.kind})"
    if keys:
        scene.lack(f"The {name} is not drawn: it is not recorded where it stands and how large it is ({keys}).")
    if leg is None or fixture.at is None or fixture.width is None or fixture.depth is None:
        return
    if not (leg.reaches(fixture.at) and leg.reaches(fixture.at + fixture.width)):
        scene.lack(off_wall(name, leg.wall))
        return
    depth = lining_depth(leg.wall.lining) if leg.wall.lining else 0.0
    near = 0.0 if isinstance(depth, Lacking) else depth
    left, right, far = fixture.at, fixture.at + fixture.width, near + fixture.depth
    corners = [scene.plot.on(leg, *place) for place in ((left, near), (right, near), (right, far), (left, far))]
    scene.put(Line(Look.SYMBOL, (*corners, corners[0])))
    middle = (corners[0][0] + corners[2][0]) / 2, (corners[0][1] + corners[2][1]) / 2
    scene.label(caption([name], flags), middle, 0.0, (0.0, 0.0))
