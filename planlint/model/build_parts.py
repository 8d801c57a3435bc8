"""Reads the parts of a room that stand for themselves: build-ups, lengths and heights, readings, air, sealants."""

from collections.abc import Iterator, Mapping

from planlint.grammar import parse
from planlint.model.buildups import Base, Board, Layer, Screws, VapourResistance
from planlint.model.climate import NO_AIR, Air, Climate, Month
from planlint.model.fields import Fields
from planlint.model.fixtures import Flue
from planlint.model.readings import Reading
from planlint.model.rooms import RIGHT_ANGLE, Sealant
from planlint.model.words import Faces, ReadOf, Scale
from planlint.units import Angle, Conductivity, Density, Length, Quantity, Ratio, Temperature

TURNS = {"right": RIGHT_ANGLE, "left": -RIGHT_ANGLE, "straight": 0.0}


def layers(fields: Fields, boards: Mapping[str, Board]) -> tuple[Layer, ...]:
    """The layers of a lining or of an existing face, from the wall towards the room."""
    return tuple(
        Layer(
            board=layer.refer("board", boards, "board", "boards"),
            material=layer.text("material"),
            thickness=layer.quantity("thickness", Length),
            sd=layer.quantity("sd", Length),
            conductivity=layer.quantity("conductivity", Conductivity),
            vapour_resistance=_vapour_resistance(layer),
            density=layer.quantity("density", Density),
            screws=_screws(layer.part("screws")) if "screws" in layer else None,
            gap=layer.quantity("gap", Length) if "gap" in layer else fields.quantity("gap", Length),
        )
        for layer in fields.items("layers")
    )


def base(fields: Fields, place: str) -> Base:
    """A wall as found, from the list of bases or written in place."""
    return Base(
        place=place,
        path=fields.path,
        material=fields.text("material"),
        thickness=fields.quantity("thickness", Length),
        faces=fields.word("faces", Faces),
        sound=fields.flag("sound"),
        unevenness=fields.quantity("unevenness", Length),
        conductivity=fields.quantity("conductivity", Conductivity),
        vapour_resistance=_vapour_resistance(fields),
        density=fields.quantity("density", Density),
        is_load_bearing=fields.flag("load_bearing"),
        flue=_flue(fields.part("flue")) if "flue" in fields else None,
    )


def _flue(fields: Fields) -> Flue:
    use = fields.text("use")
    return Flue(None if use is None else use == "in-use", fields.flag("ventilated"))


def air(fields: Fields) -> Air:
    """The air on one side of a wall, as far as it is given."""
    if not fields.data:
        return NO_AIR
    return Air(fields.quantity("temperature", Temperature), fields.quantity("humidity", Ratio))


def own_climate(fields: Fields, whole: Climate) -> Climate:
    """The plan's climate, with what a room says of its own air in place of the plan's."""
    own = air(fields.part("inside"))
    if own is NO_AIR:
        return whole
    inside = Air(
        whole.inside.temperature if own.temperature is None else own.temperature,
        whole.inside.humidity if own.humidity is None else own.humidity,
    )
    return Climate(inside, whole.outside, tuple(Month(inside, month.outside) for month in whole.months))


def _vapour_resistance(fields: Fields) -> VapourResistance | None:
    value = fields.data.get("vapour_resistance")
    if isinstance(value, dict):
        return VapourResistance(float(value["dry"]), float(value["wet"]))
    return None if value is None else VapourResistance(float(value), float(value))


def _screws(fields: Fields) -> Screws:
    return Screws(
        fields.quantity("length", Length), fields.quantity("spacing", Length), fields.quantity("edge", Length)
    )


def lengths(fields: Fields, key: str) -> tuple[Length | None, Length | None]:
    """Length at the floor and at the ceiling, from the short or the long form."""
    if fields.text(key):
        length = fields.quantity(key, Length)
        return length, length
    part = fields.part(key)
    bottom, top = part.quantity("bottom", Length), part.quantity("top", Length)
    return bottom or top, top or bottom


def heights(fields: Fields) -> tuple[Length | None, Length | None]:
    """Height at the wall's left and right end, where the wall gives its own."""
    height = fields.data.get("height")
    if isinstance(height, str):
        length = fields.quantity("height", Length)
        return length, length
    if isinstance(height, list):
        spots = gable(fields)
        return spots[0][1], spots[-1][1]
    part = fields.part("height")
    return part.quantity("left", Length), part.quantity("right", Length)


def gable(fields: Fields) -> tuple[tuple[Length, Length], ...]:
    """Positions and heights along a wall whose height is given at several spots, from left to right."""
    if not isinstance(fields.data.get("height"), list):
        return ()
    return tuple(sorted((parse(spot["at"], Length), parse(spot["height"], Length)) for spot in fields.data["height"]))


def build_up(floor: Fields) -> Length | None:
    """What is still to come on the floor, given at once or layer by layer."""
    if not isinstance(floor.data.get("build_up"), list):
        return floor.quantity("build_up", Length)
    layers = [parse(layer["thickness"], Length) for layer in floor.data["build_up"]]
    return Length(sum(layers), layers[0].unit if layers else "mm")


def turn(fields: Fields) -> float | None:
    """Turn to the right at the wall's end in radians; to the left it is negative."""
    word = fields.text("then")
    if word:
        return TURNS[word]
    part = fields.part("then")
    if not part.data:
        return None
    sense, by = TURNS[part.text("turn") or "straight"], part.quantity("by", Angle)
    return sense if by is None else (1 if sense > 0 else -1) * by


def readings(fields: Fields) -> Iterator[Reading]:
    """The readings of a wall or a floor; each value of a column becomes a reading of its own."""
    for index, reading in enumerate(fields.items("readings")):
        column = reading.data.get("column") or {reading.text("height"): reading.data.get("value")}
        for height, value in column.items():
            yield Reading(
                index=index,
                of=reading.word("of", ReadOf) or ReadOf.WALL,
                scale=reading.word("scale", Scale),
                value=_reading_value(value),
                date=reading.day("date"),
                at=reading.quantity("at", Length),
                height=parse(height, Length) if height else None,
                temperature=reading.quantity("temperature", Temperature),
                depth=reading.quantity("depth", Length),
            )


def _reading_value(value: str | float | None) -> Quantity | float | None:
    """A reading in percent, or a plain number where the scale has no unit."""
    return parse(value, Ratio) if isinstance(value, str) else value


def sealant(fields: Fields) -> Sealant:
    """What an elastic joint is filled with."""
    given = fields.data.get("class")
    return Sealant(fields.text("kind"), None if given is None else float(given), fields.flag("paintable"))
