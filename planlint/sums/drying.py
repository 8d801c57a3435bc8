"""How long what a task brings takes to dry, set or cure, in the air of the rooms that it is done in."""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from typing import Final

from planlint.formulas.drying import coat_drying_time, drying_factor, layer_drying_time
from planlint.model.words import OpeningKind, TaskKind
from planlint.model.work import Task
from planlint.rule import Given
from planlint.sums.work import walls_of
from planlint.sums.working import Lacking
from planlint.units import Duration, Length, Ratio, Temperature, at_least

_DAY: Final = 86_400.0
_LONG: Final = 4 * _DAY
"""From here on people count in days."""

_BY_LIMIT: Final = {
    TaskKind.BEADS: ("beads_drying_time", "the bedding of beads"),
    TaskKind.CORNER_SEALING: ("corner_sealing_drying_time", "an elastic joint"),
    TaskKind.PRIMING: ("primer_drying_time", "primer"),
    TaskKind.PAINTING: ("paint_drying_time", "paint"),
    TaskKind.TANKING: ("tanking_drying_time", "sealing under tiles"),
    TaskKind.TILING: ("tiling_drying_time", "tile adhesive"),
}
"""The limit that says how long a coat dries, whatever the air, and what it is a coat of."""

NEEDS_WARMTH: Final = (TaskKind.BEADS, TaskKind.FILLING, TaskKind.PLASTERING)
"""What does not dry as it should in a cold room (the sheet of the trade names joint filler and the beads in it)."""

LIMITS_OF_DRYING: Final = (
    *(limit for limit, _ in _BY_LIMIT.values()),
    "bond_drying_time",
    "check_inside_humidity",
    "check_inside_temperature",
    "filler_coat",
    "filler_drying_time",
    "foam_drying_time",
    "foam_words",
    "plaster_daily",
    "plaster_drying_time",
    "screed_daily",
    "screed_daily_below",
    "screed_fast_depth",
    "setting_filler_drying_time",
    "setting_filler_words",
)


@dataclass(frozen=True, slots=True)
class RoomAir:
    """The air in which something dries; `room` is empty where the task has no room."""

    room: str
    temperature: Temperature
    humidity: Ratio

    def __str__(self) -> str:
        return f"{self.temperature}, {self.humidity}"


@dataclass(frozen=True, slots=True)
class Drying:
    """What dries, and how long a coat takes; `time` is None where the air lies beyond what can be reckoned with."""

    what: str
    time: Duration | None
    air: RoomAir | None = None
    """The air that it was reckoned for; None where the figure holds for any usual air."""


def airs_of(task: Task, given: Given) -> tuple[RoomAir, ...]:
    """The air in the rooms of a task: as the plan gives it, the rest as the limits have it."""
    usual = given.quantity("check_inside_temperature", Temperature), given.quantity("check_inside_humidity", Ratio)
    inside = [(room.name, room.climate.inside) for room in task.rooms]
    return tuple(
        RoomAir(
            name,
            usual[0] if air.temperature is None else air.temperature,
            usual[1] if air.humidity is None else air.humidity,
        )
        for name, air in inside
    ) or (RoomAir("", *usual),)


def drying_of(task: Task, given: Given) -> Drying | Lacking | None:
    """How long a coat of what a task brings takes to dry, where that is longest; None where nothing has to dry."""
    if task.kind in _BY_LIMIT:
        limit, what = _BY_LIMIT[task.kind]
        return Drying(what, given.quantity(limit, Duration))
    return _BY_KIND[task.kind](task, given) if task.kind in _BY_KIND else None


def has_dried(task: Task, drying: Drying, given: Given) -> bool:
    """Whether what was done long ago is dry whatever the plan says of its wait."""
    passed = (given.today - task.done).total_seconds() if task.done else -1
    return drying.time is not None and at_least(passed, drying.time)


def _filling(task: Task, given: Given) -> Drying:
    if _names(task.product, given.words("setting_filler_words")):
        return Drying("filler that sets", given.quantity("setting_filler_drying_time", Duration))
    usual, coat = given.quantity("filler_drying_time", Duration), given.quantity("filler_coat", Length)
    thick = max(1.0, task.thickness / coat) if task.thickness else 1.0
    return _longest("filler", task, given, lambda air: thick * coat_drying_time(air.temperature, air.humidity, usual))


def _plastering(task: Task, given: Given) -> Drying | Lacking:
    if task.thickness is None:
        return Lacking("how thick the plaster is applied", ("thickness",))
    least, daily = given.quantity("plaster_drying_time", Duration), given.quantity("plaster_daily", Length)
    usual = max(float(least), task.thickness / daily * _DAY)
    return _longest("plaster", task, given, lambda air: usual / drying_factor(air.temperature, air.humidity))


def _screed(task: Task, given: Given) -> Drying | Lacking:
    if task.thickness is None:
        return Lacking("how thick the screed is laid", ("thickness",))
    daily, below = given.quantity("screed_daily", Length), given.quantity("screed_daily_below", Length)
    depth = given.quantity("screed_fast_depth", Length)
    usual = layer_drying_time(task.thickness, daily / _DAY, depth, below / _DAY)
    return _longest("screed", task, given, lambda air: usual / drying_factor(air.temperature, air.humidity))


def _closing_in(task: Task, given: Given) -> Drying | None:
    is_glued = any(wall.lining and wall.lining.is_glued for wall in walls_of(task))
    return Drying("the bond of glued boards", given.quantity("bond_drying_time", Duration)) if is_glued else None


def _windows(task: Task, given: Given) -> Drying | Lacking | None:
    words, foam = given.words("foam_words"), Drying("foam", given.quantity("foam_drying_time", Duration))
    if task.product is not None:
        return foam if _names(task.product, words) else None
    frames = [
        opening.held_by
        for wall in walls_of(task)
        for opening in wall.openings
        if opening.kind in (OpeningKind.WINDOW, OpeningKind.DOOR)
    ]
    if any(_names(held, words) for frame in frames for held in frame or ()):
        return foam
    if (frames and None not in frames) or has_dried(task, foam, given):
        return None
    return Lacking("whether the frames are foamed in", ("product",))


_BY_KIND: Final[Mapping[TaskKind, Callable[[Task, Given], Drying | Lacking | None]]] = {
    TaskKind.FILLING: _filling,
    TaskKind.PLASTERING: _plastering,
    TaskKind.SCREED: _screed,
    TaskKind.CLOSING_IN: _closing_in,
    TaskKind.WINDOWS: _windows,
}


def _names(said: str | None, words: tuple[str, ...]) -> bool:
    return any(word.casefold() in (said or "").casefold() for word in words)


def _longest(what: str, task: Task, given: Given, time: Callable[[RoomAir], float]) -> Drying:
    """The drying time in that room of the task in which it is longest."""
    found: Drying | None = None
    for air in airs_of(task, given):
        try:
            seconds = time(air)
        except ValueError:  # colder, hotter or moister than the formula holds for
            return Drying(what, None, air)
        if found is None or found.time is None or seconds > found.time:
            found = Drying(what, _rounded(seconds), air)
    return found or Drying(what, None)


def _rounded(seconds: float) -> Duration:
    """As one says it: in whole hours, shown as days where it is more than a few."""
    return Duration(3600.0 * max(1, round(seconds / 3600)), "day" if at_least(seconds, _LONG) else "h")


def cold_rooms(task: Task, given: Given, least: Temperature) -> Iterator[RoomAir]:
    """The rooms of a task that are colder than what it brings can bear."""
    if task.kind in NEEDS_WARMTH:
        yield from (air for air in airs_of(task, given) if not at_least(air.temperature, least))
