"""The section through a wall: its layers from outside to the room, and what the sum of condensation says of them.

A level cut, seen from above, outside on the left. Layers are to scale across; a base that would dwarf its lining is
drawn shortened and broken. The curves are those of the sum that `planlint moisture` shows, none of it worked out anew.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from planlint.drawing.callouts import LINE, Callout, callouts, flags_below, paragraph, wrapped
from planlint.drawing.curves import AIR, Chart, place_of, pressures, saturations, temperatures, ticks
from planlint.drawing.layers import Shown, Standing, laid_out
from planlint.drawing.paper import HIGHEST, LETTERS, SMALL, bounded, spread
from planlint.limit_values import listed
from planlint.model.rooms import Ceiling, Slope, Surface, Wall
from planlint.model.words import Faces
from planlint.rule import Given
from planlint.sheet_records import Area, Circle, Line, Look, Mark, Picture, Sample, Table, Text
from planlint.sums.climate import Side
from planlint.sums.condensation import LEFT_OUT, LIMITS_OF_CONDENSATION, Condensation, Water, condensation
from planlint.sums.working import Lacking
from planlint.units import Pressure, Temperature, contrast, scale, show

LIMITS_OF_SECTION: Final = LIMITS_OF_CONDENSATION

Numbers = Mapping[str, tuple[tuple[int, Look], ...]]
"""For every place the numbers of what was found there, each with the look of its flag."""

_LIST: Final = 62.0
"""[mm] How wide the list beside a section is."""
_STRIP: Final = 34.0
"""[mm] How much of the wall's length is seen."""
_CHARTS: Final = 78.0
"""[mm] How high the two charts are together, where the page has room for them; `_LOWEST` where it has not."""
_LOWEST: Final = 46.0
_SHARE: Final = 0.44
"""What the chart of temperature takes of it."""
_AROUND_CHARTS: Final = 46.0
"""[mm] What the titles and the gaps around the charts take."""
_BETWEEN: Final = 11.0
"""[mm] From one part of the picture to the next."""
_ZIGZAG: Final = 1.2


def section(surface: Surface, given: Given, numbers: Numbers) -> Picture | None:
    """The section through a wall, slope or ceiling; None where it has no lining and no check of condensation."""
    checked = isinstance(surface, Wall) and surface.faces is Faces.OUTSIDE
    if surface.lining is None and not checked:
        return None
    layers, battens, to = laid_out(surface)
    if not layers:
        return None
    found = condensation(surface, given) if isinstance(surface, Wall) and checked else None
    reckoned = found if isinstance(found, Condensation) else None
    drawing = _Drawing(surface, layers, battens, to, reckoned, numbers)
    marks, width, height = bounded(list(drawing.marks()))
    return Picture(
        title=_title(surface),
        described=" ".join(drawing.told()),
        width=width,
        height=height,
        scale=to,
        marks=marks,
        legend=tuple(_legend(layers, battens, reckoned)),
        unplaced=tuple(_unplaced(surface, layers, found)),
    )


def table_of_layers(surface: Surface, given: Given) -> Table | None:
    """The figures of the curves at the face of each layer; None where nothing could be reckoned."""
    if not isinstance(surface, Wall) or surface.faces is not Faces.OUTSIDE:
        return None
    found = condensation(surface, given)
    if isinstance(found, Lacking):
        return None
    unit = found.conditions.inside.temperature.unit
    rows = tuple(
        (
            row.words,
            show(row.stratum.thickness) if row.stratum and row.stratum.thickness else "",
            show(row.sd) if row.sd is not None else "",
            show(Temperature(row.temperature, unit), 3),
            show(Pressure(round(row.pressure), "Pa")),
            show(Pressure(round(row.saturation), "Pa")),
            show(row.humidity, 3),
        )
        for row in found.rows
    )
    head = ("Layer, from outside", "Thickness", "sd", "Temperature", "Vapour pressure", "Saturation", "Humidity")
    return Table("What holds at the inner face of each layer", head, rows)


@dataclass(frozen=True, slots=True)
class _Drawing:
    """A section on paper: x = 0 is the outer surface, y = 0 the upper edge of what is seen of the wall."""

    surface: Surface
    layers: Sequence[Shown]
    battens: Standing | None
    to: int
    found: Condensation | None
    numbers: Numbers

    @property
    def right(self) -> float:
        """Where the wall ends towards the room."""
        return self.layers[-1].right

    @property
    def beside(self) -> float:
        """Where the list begins."""
        return self.right + AIR + 3.0

    def marks(self) -> Iterator[Mark]:
        """All of it; the charts get what is left of the page."""
        yield from self._strip()
        yield Text(Look.QUIET, (0.0, -1.6), self._said_of_scale(), SMALL)
        entries, y = callouts(self._entries(), self.beside, _STRIP + 3.0, _LIST)
        yield from entries
        closing, y = self._closing(y + 1.0)
        yield from closing
        top = -_BETWEEN
        if self.found:
            left = HIGHEST - y - _AROUND_CHARTS
            high = min(max(left, _LOWEST), _CHARTS)
            yield from self._charts(self.found, high)
            top -= high + _BETWEEN + 7.0
        yield from self._sides(top)

    def told(self) -> Iterator[str]:
        """The section in sentences."""
        layers = listed([_spoken(layer) for layer in self.layers], "and")
        first, last = _ends(self.surface)
        yield f"From {first} on the left to {last} on the right: {layers}."
        if self.found is None:
            return
        rows, unit = self.found.rows, self.found.conditions.inside.temperature.unit
        outer, inner = (show(Temperature(row.temperature, unit), 3) for row in (rows[0], rows[-1]))
        yield (
            f"With {self.found.conditions.words}, the temperature falls from {inner} on the surface in the room to "
            f"{outer} on the outer one."
        )
        yield from _told_of_water(self.found)

    def _strip(self) -> Iterator[Mark]:
        for layer in self.layers:
            if layer.is_shortened or layer.missing:
                yield from _broken(layer)
            else:
                yield Area(layer.look, _rectangle(layer.left, layer.right, 0.0, _STRIP))
        if self.battens:
            high = self._batten_height()
            middle = _STRIP / 2 - 3.0
            yield Area(
                Look.BATTEN, _rectangle(self.battens.left, self.battens.right, middle - high / 2, middle + high / 2)
            )
        for water in self._places_of_water():
            yield Line(Look.CONDENSING, ((water, 0.0), (water, _STRIP)))

    def _batten_height(self) -> float:
        lining = self.surface.lining
        width = lining.battens.width if lining and lining.battens else None
        return min(_STRIP * 0.6, 1000 * width / self.to if width else _STRIP * 0.4)

    def _places_of_water(self) -> list[float]:
        return sorted({place_of(one.plane, self.layers) for one in self.found.water}) if self.found else []

    def _charts(self, found: Condensation, high: float) -> Iterator[Mark]:
        ends = -AIR, self.right + AIR
        below, unit = -_BETWEEN, _unit(found)
        pressure, saturation = pressures(found, self.layers), saturations(found, self.layers)
        most = max(value for _, value in saturation)
        lower = Chart(*ends, below - (1 - _SHARE) * high, below, ticks(0.0, most))
        factor, zero = scale(unit)
        warmth = [(x, (kelvin - zero) / factor) for x, kelvin in temperatures(found, self.layers)]
        values = [value for _, value in warmth]
        base = lower.top - _BETWEEN
        upper = Chart(*ends, base - _SHARE * high, base, ticks(min(values), max(values)))
        for x in sorted({0.0, *(layer.right for layer in self.layers)}):
            for chart in (upper, lower):
                yield Line(Look.LEADER, ((x, chart.top), (x, chart.bottom)))
        yield from upper.axes(f"Temperature, {unit}")
        yield from lower.axes("Vapour pressure, Pa")
        yield upper.line(Look.CURVE_TEMPERATURE, warmth)
        yield lower.line(Look.CURVE_SATURATION, saturation)
        yield lower.line(Look.CURVE_VAPOUR, pressure)
        for x in self._places_of_water():
            yield Line(Look.CONDENSING, ((x, lower.up(_at(pressure, x))), (x, lower.bottom)))
            yield Circle(Look.CONDENSING, (x, lower.up(_at(pressure, x))), 1.2)
        names = (("saturation", saturation), ("vapour pressure", pressure))
        places = spread([lower.up(course[-1][1]) for _, course in names], LETTERS * LINE)
        for (words, _), y in zip(names, places, strict=True):
            yield Text(Look.LABEL, (self.beside - 2.0, y + LETTERS / 3), words)
        yield Text(Look.LABEL, (self.beside - 2.0, upper.up(warmth[-1][1]) + LETTERS / 3), "temperature")

    def _sides(self, bottom: float) -> Iterator[Mark]:
        """What is on either side, with the air that is reckoned with."""
        outer, inner = _ends(self.surface)
        if self.found is None:
            yield Text(Look.LABEL, (-AIR, bottom + 5.0), outer.capitalize())
            yield Text(Look.LABEL, (self.beside - 2.0, bottom + 5.0), inner.capitalize())
            return
        climate = self.found.conditions
        lines = [f"Outside (left): {_air(climate.outside)}", f"Room (right): {_air(climate.inside)}"]
        lines.append("in the coldest of the twelve months" if climate.months else f"for {climate.period}")
        marks, _ = paragraph(lines, -AIR, bottom - len(lines) * LETTERS * LINE)
        yield from marks

    def _said_of_scale(self) -> str:
        across = f"thickness across 1:{self.to}"
        return f"{across}, {self.layers[0].words} shortened" if self.layers[0].is_shortened else across

    def _entries(self) -> list[Callout]:
        lining = self.surface.lining
        entries: list[Callout] = []
        for layer in self.layers:
            # Beside battens a layer is pointed at near its left edge, they themselves near their right one.
            is_beside = self.battens and self.battens.left <= layer.left < self.battens.right
            share = 0.3 if is_beside or layer.at(0.5) in self._places_of_water() else 0.5
            entries.append(Callout((layer.at(share), _STRIP - 3.0), _said(layer), self._found_at(*layer.places)))
        if self.battens and lining:
            x = self.battens.left + 0.7 * (self.battens.right - self.battens.left)
            entries.append(Callout((x, _STRIP / 2 - 3.0), self.battens.words))
        if self.found:
            for x, text in _gathered(self.found, self.layers):
                entries.append(Callout((x, _STRIP), text))
        return entries

    def _found_at(self, *places: str) -> tuple[tuple[int, Look], ...]:
        return tuple(dict.fromkeys(flag for place in places for flag in self.numbers.get(place, ())))

    def _closing(self, y: float) -> tuple[list[Mark], float]:
        """What holds of the whole, under the list, and where it ends."""
        whole, lining = self.beside + _LIST + AIR, self.surface.lining
        found: list[Mark] = []
        if lining:
            marks, y = paragraph(wrapped(f"Lining {lining.name}", whole), -AIR, y)
            found += marks
            own = () if isinstance(self.surface, Wall) else (self.surface.place,)
            marks, y = flags_below(self._found_at(lining.place, *own), -AIR, y, whole)
            found += marks
        for sentence in _closing(self.surface, self.found):
            marks, y = paragraph(wrapped(sentence, whole, SMALL), -AIR, y, SMALL, Look.QUIET)
            found += marks
        return found, y


def _title(surface: Surface) -> str:
    name = surface.place.rpartition(".")[2]
    if isinstance(surface, Ceiling):
        return "Section through the ceiling"
    kind = "slope" if isinstance(surface, Slope) else "wall"
    lined = "" if surface.lining else ", as it stands" if surface.stays else ", not lined yet"
    return f"Section through {kind} {name}{lined}"


def _ends(surface: Surface) -> tuple[str, str]:
    """What is on the left of a section, and on its right."""
    if not isinstance(surface, Wall):
        return "above", "the room"
    names = {Faces.OUTSIDE: "outside", Faces.GROUND: "the ground", Faces.NEIGHBOUR: "the neighbour"}
    faces = surface.faces
    return names.get(faces, "the other side") if faces else "the other side", "the room"


def _said(layer: Shown) -> str:
    if layer.missing:
        return f"{layer.words}, thickness not recorded"
    return f"{layer.words}, {layer.thickness}" if layer.thickness else layer.words


def _spoken(layer: Shown) -> str:
    if layer.missing:
        return f"{layer.words} of a thickness that is not recorded"
    return f"{layer.thickness} of {layer.words}" if layer.thickness else layer.words


def _air(side: Side) -> str:
    return f"{side.words}, assumed" if side.from_limits else side.words


def _unit(found: Condensation) -> str:
    """The unit of the scale of temperatures: that of both airs, or °C."""
    units = {side.temperature.unit for side in (found.conditions.inside, found.conditions.outside)}
    return units.pop() if len(units) == 1 else "°C"


def _at(course: Sequence[tuple[float, float]], x: float) -> float:
    """The value of a course at one of its own spots."""
    return next(value for place, value in course if abs(place - x) < 1e-9)  # noqa: PLR2004 - a millionth of a mm


def _gathered(found: Condensation, layers: Sequence[Shown]) -> Iterator[tuple[float, str]]:
    """Where water condenses, and how much of it; of several places inside one layer the wettest."""
    groups: dict[str, list[Water]] = {}
    for water in found.water:
        groups.setdefault(found.where(water), []).append(water)
    for waters in groups.values():
        most = max(waters, key=lambda water: water.mass)
        measured, allowed = contrast(most.mass, most.allowed)
        several = f" at the wettest of {len(waters)} places here" if len(waters) > 1 else ""
        yield place_of(most.plane, layers), f"water: {measured}{several}, and at most {allowed} may gather"


def _told_of_water(found: Condensation) -> Iterator[str]:
    if not found.water:
        yield "By these figures no water condenses in it."
        return
    when = f"in {found.conditions.period}" if found.year is None else "at the end of the worst month"
    spots = listed(dict.fromkeys(map(found.where, found.water)), "and")
    measured, allowed = contrast(found.total, found.allowed)
    yield f"Water condenses {spots}: {measured} in all {when}, and at most {allowed} may."
    if found.evaporates is not None:
        yield f"In the warm period {show(found.evaporates, 3)} can dry out, so it {_dries(found)}."
    else:
        yield f"Through the year it {_dries(found)}."


def _dries(found: Condensation) -> str:
    return "dries out again" if found.dries else "does not dry out again"


def _closing(surface: Surface, found: Condensation | None) -> Iterator[str]:
    """What is said in passing under a section."""
    if surface.extent:
        yield f"It covers a part of the wall: {_extent(surface)}."
    if isinstance(surface, (Ceiling, Slope)) and surface.air_gap is not None:
        yield f"A free air gap of {surface.air_gap} lies above the insulation."
    if found:
        yield from _told_of_water(found)
        yield f"The sum does not see {LEFT_OUT}."


def _extent(surface: Surface) -> str:
    extent = surface.extent
    named = (("from", extent and extent.start), ("to", extent and extent.end), ("up to", extent and extent.top))
    return ", ".join(f"{word} {value}" for word, value in named if value is not None)


def _unplaced(surface: Surface, layers: Sequence[Shown], found: Condensation | Lacking | None) -> Iterator[str]:
    for layer in layers:
        if layer.missing:
            yield f"The {layer.words} is drawn broken: its thickness is not recorded ({layer.missing})."
        if layer.stratum is None:
            yield f"The sums leave out the {layer.words} ({layer.thickness}): it is not among the layers of the lining."
    if isinstance(surface, Wall) and surface.faces is None:
        yield "No curves of temperature and vapour: it is not recorded what the wall faces (base.faces)."
    elif isinstance(found, Lacking):
        why = f"not recorded is {found.what} ({', '.join(found.keys)})" if found.keys else found.what
        yield f"No curves of temperature and vapour: {why}."


def _legend(layers: Sequence[Shown], battens: Standing | None, found: Condensation | None) -> Iterator[Sample]:
    words = {
        Look.MASONRY: "masonry, plaster and other mineral layers",
        Look.INSULATION: "insulation",
        Look.SHEET: "board",
        Look.FILM: "film or coat, drawn thicker than it is",
        Look.AIR: "air",
        Look.TIMBER: "timber",
    }
    for look, meaning in words.items():
        if any(layer.look is look for layer in layers):
            yield Sample((Area(look, _rectangle(1.0, 11.0, 1.0, 5.0)),), meaning)
    if battens:
        yield Sample((Area(Look.BATTEN, _rectangle(1.0, 11.0, 1.0, 5.0)),), "batten")
    if found is None:
        return
    for look, meaning in (
        (Look.CURVE_TEMPERATURE, "temperature"),
        (Look.CURVE_SATURATION, "pressure at which vapour is saturated"),
        (Look.CURVE_VAPOUR, "vapour pressure"),
    ):
        yield Sample((Line(look, ((1.0, 5.0), (6.0, 2.5), (11.0, 1.0))),), meaning)
    if found.water:
        yield Sample(
            (Line(Look.CONDENSING, ((6.0, 0.5), (6.0, 5.5))), Circle(Look.CONDENSING, (6.0, 2.0), 1.2)),
            "where water condenses",
        )


def _rectangle(left: float, right: float, top: float, bottom: float) -> tuple[tuple[float, float], ...]:
    return (left, top), (right, top), (right, bottom), (left, bottom)


def _broken(layer: Shown) -> Iterator[Mark]:
    """A layer that is not to scale: in two halves, with a jagged break between them."""
    middle, steps = (layer.left + layer.right) / 2, 8
    edge = [(_ZIGZAG * (-1 if step % 2 else 1), _STRIP * step / steps) for step in range(steps + 1)]
    left = [(middle - 0.8 + x / 2, y) for x, y in edge]
    right = [(middle + 0.8 + x / 2, y) for x, y in edge]
    yield Area(layer.look, ((layer.left, 0.0), *left, (layer.left, _STRIP)))
    yield Area(layer.look, ((layer.right, 0.0), *right, (layer.right, _STRIP)))
