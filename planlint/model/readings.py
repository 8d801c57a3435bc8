"""Moisture readings, and how they belong together: in columns up a wall, and again and again at one spot."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date

from planlint.model.words import ReadOf, Scale
from planlint.units import Length, Quantity, Ratio, Temperature, at_most

DEPTH_STEP = 0.02
"""Readings whose depths differ by more, in metres, are of different layers of a wall (own decision: surveyors take
samples in steps of 20 mm)."""

Day = date
"""The type once more, for where a field of that name hides it."""


@dataclass(frozen=True, slots=True)
class Reading:
    """One moisture reading; those of a column have become one each. `index` counts its item in the plan from 0."""

    index: int
    of: ReadOf
    scale: Scale | None
    value: Quantity | float | None
    """In percent, or a plain number as a meter shows it on a scale of its own."""
    date: date | None
    at: Length | None
    height: Length | None
    temperature: Temperature | None = None
    """How warm the timber or the wall was that was read."""
    depth: Length | None = None
    """How deep below the surface it was read."""

    @property
    def called(self) -> str:
        """What a person calls it: its number in the plan, and where it was taken as far as that is known."""
        return f"reading {self.index + 1}" + (f" ({self.where})" if self.where else "")

    @property
    def where(self) -> str:
        """Where it was taken, in words; empty where that is not recorded."""
        known = ((self.at, "along"), (self.height, "up"))
        return " and ".join(f"{length} {way}" for length, way in known if length is not None)

    def taken_by(self, day: Day) -> bool:
        """Whether it was taken by the end of a day, as far as is known; a later date is a slip of the pen."""
        return self.date is None or self.date <= day

    def reaches(self, other: "Reading") -> bool:
        """Whether it was read as deep as another, or deeper; one that names no depth was read at the surface."""
        return at_most((other.depth or 0.0) - (self.depth or 0.0), DEPTH_STEP)

    def key(self, name: str) -> str:
        """Path of one of its keys, from the wall down; items are counted from 1."""
        return f"readings.{self.index + 1}.{name}"


@dataclass(frozen=True, slots=True)
class Judged:
    """A reading beside the limits of its scale: it is damp above `warn`, and wet above `stop`."""

    reading: Reading
    value: Ratio
    warn: Ratio
    stop: Ratio

    @property
    def is_damp(self) -> bool:
        """Whether somebody must look into it."""
        return not at_most(self.value, self.warn)

    @property
    def is_wet(self) -> bool:
        """Whether what was read must not be closed in."""
        return not at_most(self.value, self.stop)

    @property
    def gravity(self) -> tuple[bool, bool, float]:
        """What the worst of several readings has most of, whatever scales they are on."""
        return self.is_wet, self.is_damp, self.value / self.stop


def worst_of(
    readings: Iterable[Reading], limits: Mapping[Scale, tuple[Ratio, Ratio]]
) -> tuple[Judged | None, list[Reading]]:
    """The reading that is worst against the limits (warn, stop) of its own scale, and those that have none."""
    judged, others = [], []
    for reading in readings:
        ends = limits.get(reading.scale) if reading.scale else None
        if ends and isinstance(reading.value, Ratio):
            judged.append(Judged(reading, reading.value, *ends))
        else:
            others.append(reading)
    return max(judged, key=lambda one: one.gravity, default=None), others


def lacking(readings: Iterable[Reading], *names: str) -> list[str]:
    """The paths of the keys `names` that readings do not have, each once."""
    return list(dict.fromkeys(one.key(name) for one in readings for name in names if getattr(one, name) is None))


def newest_of_each_spot(readings: Iterable[Reading], spot: float, until: date) -> list[Reading]:
    """The newest reading of each spot of `spot` metres as of the day `until`, the newest first.

    A reading without a position or a date stands for itself, and so does one that reaches deeper than all that
    came after it: a dry surface says nothing of a wet core. Timber and screed are read by the lot: where two
    readings of the same lot leave out the same of `at` and `height`, that does not tell them apart.
    """
    kept: list[Reading] = []
    for reading in sorted(readings, key=lambda reading: reading.date or date.min, reverse=True):
        if reading.taken_by(until) and not any(_repeats(newer, reading, spot) for newer in kept):
            kept.append(reading)
    return kept


def columns(readings: Iterable[Reading], spot: float) -> list[tuple[Length, list[Reading]]]:
    """Readings that stand above each other within `spot` metres, column by column from the left.

    A column has the position of its leftmost reading; readings without a position are in none.
    """
    found: list[tuple[Length, list[Reading]]] = []
    placed = [(reading.at, reading) for reading in readings if reading.at is not None]
    for at, reading in sorted(placed, key=lambda pair: pair[0]):
        if found and at_most(at - found[-1][0], spot):
            found[-1][1].append(reading)
        else:
            found.append((at, [reading]))
    return found


def heights_apart(readings: Iterable[Reading], spot: float) -> list[Length]:
    """The heights at which was read, from the floor up; those within `spot` metres count as one."""
    kept: list[Length] = []
    for height in sorted(reading.height for reading in readings if reading.height is not None):
        if not kept or not at_most(height - kept[-1], spot):
            kept.append(height)
    return kept


def same_spot(one: Reading, other: Reading, spot: float) -> bool:
    """Whether two readings were taken of one thing, not further than `spot` metres apart along and up."""
    return one.of is other.of and _near(one.at, other.at, spot) and _near(one.height, other.height, spot)


def _repeats(newer: Reading, older: Reading, spot: float) -> bool:
    """Whether two readings of different days were taken at the same spot, or of the same lot."""
    if newer.of is not older.of or newer.date is None or older.date is None or newer.date == older.date:
        return False
    if not newer.reaches(older):
        return False
    ends = ((newer.at, older.at), (newer.height, older.height))
    is_lot = newer.of is not ReadOf.WALL
    return all((is_lot and one is None and other is None) or _near(one, other, spot) for one, other in ends)


def _near(one: Length | None, other: Length | None, spot: float) -> bool:
    return one is not None and other is not None and at_most(abs(one - other), spot)
