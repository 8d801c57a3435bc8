"""The installation zones of a wall by the limit set in force, and where a drawn way leaves them."""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from typing import Final

from planlint.formulas.zones import Spot, Zone, slant, strays, strip_along, strip_up
from planlint.limit_values import Row
from planlint.model.rooms import Opening, Wall
from planlint.model.services import Point
from planlint.model.ways import Stretch
from planlint.model.words import FixtureKind, HeightsFrom, OpeningKind, Swing
from planlint.rule import Given
from planlint.units import Length, at_least, at_most

LIMITS_OF_ZONES = ("installation_zones", "worktop_rooms", "gang_spacing", "plate_width")
_WORDS: Final = {
    "floor": "above the finished floor",
    "ceiling": "below the finished ceiling",
    "corner": "beside a corner",
    "door": "beside the latch of",
    "window": "beside",
    "point-level": "level with",
    "point-upright": "straight above or below",
    "point-branch": "straight between the nearest level zone and",
}
_WITH_WORKTOP: Final = {FixtureKind.WORKTOP, FixtureKind.SINK, FixtureKind.HOB}


@dataclass(frozen=True, slots=True)
class PlacedZone:
    """A zone of a wall, in words and in metres: heights as the wall's room measures them."""

    zone: Zone
    said: str
    keys: tuple[str, ...] = ()
    """What is not recorded and decides whether the zone is there at all; nothing where it surely is."""


@dataclass(slots=True)
class WallZones:
    """The zones of a wall, and the keys for want of which others cannot be placed."""

    placed: list[PlacedZone] = field(default_factory=list)
    unplaced: list[str] = field(default_factory=list)
    ceiling: tuple[Spot, ...] = ()
    """The line of the finished ceiling; empty where it is not known."""

    def level(self) -> list[PlacedZone]:
        """Those that go along the wall."""
        return [placed for placed in self.placed if placed.zone.is_level]


@dataclass(frozen=True, slots=True)
class Astray:
    """Where a way leaves what the zones allow: from where to where, and why."""

    wall: Wall
    start: Spot
    end: Spot
    is_askew: bool = False
    """Whether it is neither level nor upright."""
    opening: Opening | None = None
    """The opening that it goes through."""
    zone: PlacedZone | None = None
    """The zone that is nearest, where it lies outside of all."""
    keys: tuple[str, ...] = ()
    """What is not recorded and might show that it lies in a zone; nothing where it surely does not."""


def has_zones(given: Given) -> bool:
    """Whether the limit set in force knows installation zones."""
    return bool(given.table("installation_zones"))


def zones_of(wall: Wall, given: Given) -> WallZones:
    """The zones of a wall; made once in a run for each wall."""
    return given.once(("zones", wall), lambda: _zones_of(wall, given))


def _zones_of(wall: Wall, given: Given) -> WallZones:
    rows = given.table("installation_zones") or ()
    found = WallZones()
    outline = _Outline.of(wall, found)
    # Where the branches of points go is known when all level zones are.
    for row in sorted(rows, key=lambda row: row["beside"] == "point-branch"):
        keys = _room_keys(wall, row, given)
        if keys is not None:
            for zones, said in outline.zones(row, given):
                found.placed += [PlacedZone(zone, said, (*keys, *also)) for zone, also in zones]
    found.unplaced = list(dict.fromkeys(found.unplaced))
    return found


def _room_keys(wall: Wall, row: Row, given: Given) -> tuple[str, ...] | None:
    """None where the room surely has no such zone; else the keys that would say whether it has."""
    if row["rooms"] == "all" or any(fixture.kind in _WITH_WORKTOP for fixture in wall.room.fixtures):
        return ()
    if wall.room.use is None:
        return (f"{wall.room.place}.use",)
    words = given.words("worktop_rooms")
    return () if any(word in wall.room.use.casefold() for word in words) else None


_Keyed = tuple[Zone, tuple[str, ...]]


@dataclass(frozen=True, slots=True)
class _Outline:
    """A wall's own lines, in the heights of its room; None or infinite where they are not known."""

    wall: Wall
    found: WallZones
    right: float
    bare_floor: float
    floor: float | None
    ceiling: tuple[Spot, ...]
    ceiling_keys: tuple[str, ...]

    @classmethod
    def of(cls, wall: Wall, found: WallZones) -> "_Outline":
        room = wall.room
        right = math.inf if wall.length is None else float(wall.length)
        bare = -room.floor.datum
        raw = room.floor.heights_from is HeightsFrom.RAW
        floor = room.floor.build_up if raw else Length(0.0, "m")
        drop, keys = _ceiling_drop(wall)
        line: tuple[Spot, ...] = ()
        if wall.gable:
            line = tuple((float(at), height + bare - drop) for at, height in wall.gable)
        elif wall.height_left is not None and wall.height_right is not None:
            ends = (wall.height_left + bare - drop, wall.height_right + bare - drop)
            if ends[0] == ends[1] or math.isfinite(right):
                line = ((0.0, ends[0]), (right, ends[1]))
        found.ceiling = line
        return cls(wall, found, right, bare, None if floor is None else float(floor), line, keys)

    def zones(self, row: Row, given: Given) -> Iterator[tuple[list[_Keyed], str]]:
        """The zones that one row of the set gives this wall, each with the words for it."""
        beside = str(row["beside"])
        low, high = (row["from"], row["to"])
        if not (isinstance(low, Length) and isinstance(high, Length)):
            return
        far = f"{low} to {high} {_WORDS[beside]}"
        if beside == "floor":
            yield self._keyed(self._along_floor(low, high)), far
        elif beside == "ceiling":
            if not self.ceiling:
                self.found.unplaced.append(f"{self.wall.room.place}.height")
            yield self._keyed(strip_along(self.ceiling, -high, -low), self.ceiling_keys), far
        elif beside == "corner":
            yield self._keyed(self._at_corners(low, high)), far
        elif beside in ("door", "window"):
            kinds = (OpeningKind.DOOR, OpeningKind.PASSAGE) if beside == "door" else (OpeningKind.WINDOW,)
            for opening in (opening for opening in self.wall.openings if opening.kind in kinds):
                words = "beside" if opening.kind is OpeningKind.PASSAGE else _WORDS[beside]
                yield list(self._at_opening(opening, low, high)), f"{low} to {high} {words} {opening.name}"
        else:
            for point in self.wall.points:
                yield list(self._at_point(point, beside, high, given)), f"{_WORDS[beside]} {point.name}"

    @staticmethod
    def _keyed(zones: Sequence[Zone], keys: tuple[str, ...] = ()) -> list[_Keyed]:
        return [(zone, keys) for zone in zones]

    def _along_floor(self, low: float, high: float) -> list[Zone]:
        if self.floor is None:
            self.found.unplaced.append(f"{self.wall.room.place}.floor.build_up")
            return []
        return strip_along(((0.0, self.floor), (self.right, self.floor)), low, high)

    def _upright(self, left: float, right: float) -> list[Zone]:
        # Without a known ceiling an upright zone goes on upwards: whoever draws a way stays in the room.
        return strip_up(left, right, self.bare_floor, self.ceiling or ((0.0, math.inf), (self.right, math.inf)))

    def _at_corners(self, low: float, high: float) -> list[Zone]:
        zones = []
        if any(other.corner and other.corner.next_wall is self.wall for other in self.wall.room.walls):
            zones += self._upright(low, high)
        if self.wall.corner:
            if math.isinf(self.right):
                self.found.unplaced.append(f"{self.wall.place}.length")
            else:
                zones += self._upright(self.right - high, self.right - low)
        return zones

    def _at_opening(self, opening: Opening, low: float, high: float) -> Iterator[_Keyed]:
        if opening.at is None or opening.width is None:
            recorded = (("at", opening.at), ("width", opening.width))
            self.found.unplaced.extend(f"{opening.place}.{key}" for key, value in recorded if value is None)
            return
        end = opening.at + opening.width
        both = opening.kind is not OpeningKind.DOOR or opening.opens is Swing.SLIDE
        keys = () if both or opening.hinges else (f"{opening.place}.hinges",)
        if both or opening.hinges != "left":
            yield from self._keyed(self._upright(opening.at - high, opening.at - low), keys)
        if both or opening.hinges != "right":
            yield from self._keyed(self._upright(end + low, end + high), keys)

    def _at_point(self, point: Point, beside: str, half: float, given: Given) -> Iterator[_Keyed]:
        height = point.centre(given.quantity("plate_width", Length))
        wants = {"at": point.at} if beside == "point-upright" else {"height": height}
        wants |= {"at": point.at} if beside == "point-branch" else {}
        missing = [f"{point.place}.{key}" for key, value in wants.items() if value is None]
        self.found.unplaced.extend(missing)
        if missing:
            return
        if beside == "point-level":
            yield from self._keyed(strip_along(((0.0, height or 0.0), (self.right, height or 0.0)), -half, half))
            return
        at = point.at or 0.0
        reach = half + (point.gangs - 1) * given.quantity("gang_spacing", Length) / 2
        if beside == "point-upright":
            yield from self._keyed(self._upright(at - reach, at + reach))
        else:
            yield from self._branch((at, height or 0.0), reach, half)

    def _branch(self, spot: Spot, reach: float, half: float) -> Iterator[_Keyed]:
        """The upright zone between a point and the nearest level one."""
        levels = [placed.zone for placed in self.found.level() if not placed.keys]
        nearest = min(levels, key=lambda zone: zone.distance(spot), default=None)
        distance = math.inf if nearest is None else nearest.distance(spot)
        if nearest is None or not distance:
            return
        low, high = nearest.edges(spot[0])
        # It covers the plate of the point too: a way may be drawn to the plate's edge.
        ends = (spot[1] - half, low) if spot[1] < low else (high, spot[1] + half)
        # Another level zone may turn out to be nearer, once it is known where it is.
        perhaps = [key for placed in self.found.level() for key in placed.keys if placed.zone.distance(spot) < distance]
        keys = tuple(dict.fromkeys((*self.found.unplaced, *perhaps)))
        bottom, top = (ends[0], ends[0]), (ends[1], ends[1])
        yield Zone(spot[0] - reach, spot[0] + reach, bottom, top, is_level=False), keys


def _ceiling_drop(wall: Wall) -> tuple[float, tuple[str, ...]]:
    """How far the finished ceiling hangs below the bare one, and what is not recorded of it."""
    ceiling = wall.room.ceiling
    if ceiling is None or ceiling.undecided:
        return 0.0, (f"{wall.room.place}.ceiling.lining",)
    if ceiling.lining is None:
        return 0.0, ()
    layers = [
        layer.board.thickness if layer.board else layer.thickness
        for layer in ceiling.lining.layers
        if not layer.is_film
    ]
    known = [thickness for thickness in layers if thickness is not None]
    return sum(known), () if len(known) == len(layers) else (f"{ceiling.lining.place}.layers.thickness",)


def astray(stretches: Sequence[Stretch], given: Given) -> Astray | None:
    """Where a way first goes askew, through an opening or outside of the zones; None where it does not.

    What is surely wrong comes before what would only be wrong if more were known.
    """
    found = [one for stretch in stretches if (one := _astray(stretch, given))]
    return next((one for one in found if not one.keys), next(iter(found), None))


def _astray(stretch: Stretch, given: Given) -> Astray | None:
    wall, start, end = stretch.wall, stretch.start, stretch.end
    zones = zones_of(wall, given)
    if not at_most(slant(start, end, zones.ceiling), given.quantity("run_slant", Length)):
        return Astray(wall, start, end, is_askew=True)
    holes = ((opening, hole(opening)) for opening in wall.openings)
    crossed = next((opening for opening, gap in holes if gap and gap.is_crossed(start, end)), None)
    if crossed:
        return Astray(wall, start, end, opening=crossed)
    sure = [placed for placed in zones.placed if not placed.keys]
    outside = strays(start, end, [placed.zone for placed in sure])
    if outside is None:
        # Nobody knows whether it goes through an opening of which nobody knows where it is and how large.
        return next((unsure for opening in wall.openings if (unsure := _perhaps_through(stretch, opening))), None)
    # A zone that may be there would help if the way strayed less with it.
    perhaps = [
        key
        for placed in zones.placed
        if placed.keys and strays(*outside, [placed.zone]) != outside
        for key in placed.keys
    ]
    middle = ((outside[0][0] + outside[1][0]) / 2, (outside[0][1] + outside[1][1]) / 2)
    nearest = min(sure, key=lambda placed: placed.zone.distance(middle), default=None)
    return Astray(
        wall,
        *outside,
        zone=nearest,
        keys=tuple(dict.fromkeys((*zones.unplaced, *perhaps))),
    )


def _perhaps_through(stretch: Stretch, opening: Opening) -> Astray | None:
    recorded = {"at": opening.at, "width": opening.width, "sill": opening.bottom, "height": opening.height}
    keys = tuple(f"{opening.place}.{key}" for key, value in recorded.items() if value is None)
    left, right = sorted((stretch.start[0], stretch.end[0]))
    beside = (opening.at is not None and at_most(right, opening.at)) or (
        opening.at is not None and opening.width is not None and at_least(left, opening.at + opening.width)
    )
    return Astray(stretch.wall, stretch.start, stretch.end, opening=opening, keys=keys) if keys and not beside else None


def hole(opening: Opening) -> Zone | None:
    """The hole of an opening as a strip of its wall; None where its place or size is not known."""
    if opening.at is None or opening.width is None or opening.bottom is None or opening.height is None:
        return None
    bottom, top = float(opening.bottom), opening.bottom + opening.height
    return Zone(opening.at, opening.at + opening.width, (bottom, bottom), (top, top), is_level=True)
