"""Moisture readings in the elevation of a wall: where they were taken, and what they mean by the limits in force."""

from collections.abc import Iterable
from enum import StrEnum
from typing import Final

from planlint.drawing.blocks import block
from planlint.drawing.elevation_points import round_box
from planlint.drawing.paper import SMALL
from planlint.drawing.scene import Label, Scene
from planlint.model.readings import Reading, newest_of_each_spot, worst_of
from planlint.model.rooms import Wall
from planlint.model.words import ReadOf
from planlint.rule import Given
from planlint.sheet_records import Circle, Look, Sample
from planlint.sums.dampness import ELECTRICAL, LIMITS_BY_SCALE, LIMITS_OF_DAMPNESS
from planlint.units import Length, Ratio

LIMITS_OF_READINGS: Final = (*LIMITS_OF_DAMPNESS, "timber_scales", "timber_warn", "timber_stop")
_DOT: Final = 1.1
"""[mm] Radius of a reading's dot."""


class Means(StrEnum):
    """What a reading says by the limits of its scale."""

    DRY = "dry"
    DAMP = "damp"
    WET = "wet"
    SALTS = "not judged: salts lift it"
    UNJUDGED = "not judged: no limit for its scale"
    UNRECORDED = "not judged: its scale or value is not recorded"


_WORST_FIRST: Final = (Means.WET, Means.DAMP, Means.SALTS, Means.UNRECORDED, Means.UNJUDGED, Means.DRY)
_LOOKS: Final = {Means.DRY: Look.READING_DRY, Means.DAMP: Look.READING_DAMP, Means.WET: Look.READING_WET}


def meaning(reading: Reading, wall: Wall, given: Given) -> Means:
    """What a reading says; of masonry with salts an electrical meter shows too much, and a high one says nothing."""
    if reading.scale is None or reading.value is None:
        return Means.UNRECORDED
    pairs = LIMITS_BY_SCALE if reading.of is ReadOf.WALL else {}
    limits = {
        scale: (given.quantity(warn, Ratio), given.quantity(stop, Ratio)) for scale, (warn, stop) in pairs.items()
    }
    if reading.of in (ReadOf.BATTENS, ReadOf.FRAME) and reading.scale in given.words("timber_scales"):
        limits = {reading.scale: (given.quantity("timber_warn", Ratio), given.quantity("timber_stop", Ratio))}
    judged, _ = worst_of([reading], limits)
    if judged is None:
        return Means.UNJUDGED
    if judged.is_damp and wall.salts and reading.of is ReadOf.WALL and reading.scale in ELECTRICAL:
        return Means.SALTS
    return Means.WET if judged.is_wet else Means.DAMP if judged.is_damp else Means.DRY


def in_force(wall: Wall, given: Given) -> list[Reading]:
    """The newest reading of each spot, in the order of the plan."""
    newest = newest_of_each_spot(wall.readings, given.quantity("reading_spot", Length), given.today)
    return [reading for reading in wall.readings if reading in newest]


def draw_readings(scene: Scene) -> None:
    """A dot where each was taken, with its value and what that means; what was read at one spot shares a dot."""
    placed: dict[tuple[float, float], list[tuple[Means, str]]] = {}
    for reading in in_force(scene.wall, scene.given):
        means = meaning(reading, scene.wall, scene.given)
        said = said_of_reading(reading, means)
        if reading.at is None or reading.height is None:
            place = f"{scene.wall.place}.{reading.key('')}"
            keys = [f"{place}{key}" for key in ("at", "height") if getattr(reading, key) is None]
            scene.lacks(f"Reading {reading.index + 1}, {said}, is", keys)
            continue
        up = reading.height + scene.datum
        if not scene.outside(f"Reading {reading.index + 1}, {said}, is", reading.at, up):
            placed.setdefault((round(reading.at, 4), round(up, 4)), []).append((means, said))
    for (at, up), some in placed.items():
        worst = min((means for means, _ in some), key=_WORST_FIRST.index)
        look, spot = _LOOKS.get(worst, Look.READING_UNJUDGED), scene.paper.spot(at, up)
        scene.marks.append(Circle(look, spot, _DOT))
        scene.clear.append(round_box(spot, _DOT))
        scene.explain(Sample((Circle(look, (6.0, 3.0), _DOT),), f"moisture reading: {worst}"))
        label = block([said for _, said in some], size=SMALL)
        scene.labels.append(Label(label, spot, clear=_DOT))


def said_of_reading(reading: Reading, means: Means) -> str:
    """Its value, what that means, and what it was taken of where that is not the wall."""
    value = "no value" if reading.value is None else f"{reading.value}"
    of = f" in the {reading.of}" if reading.of is not ReadOf.WALL else ""
    return f"{value} {means.partition(':')[0]}{of}"


def tally(readings: Iterable[Means]) -> str:
    """How many readings say what, in words; empty without any."""
    some = list(readings)
    counts = {
        word: sum(means.partition(":")[0] == word for means in some) for word in ("wet", "damp", "dry", "not judged")
    }
    told = [f"{count} {word}" for word, count in counts.items() if count]
    return f"{len(some)} moisture reading{'s' if len(some) > 1 else ''} ({', '.join(told)})" if some else ""
