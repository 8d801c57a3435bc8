"""Builds what is fixed to walls or cut into them."""

from collections.abc import Iterator, Mapping

from planlint.model.fields import Fields
from planlint.model.fixtures import Chase, Fixture, Notch
from planlint.model.rooms import Room, Wall
from planlint.model.services import Pipe, PipeSpot
from planlint.model.words import Direction, FixtureKind, PipeKind
from planlint.units import Length, Pressure


def fixtures(room: Room, walls: Mapping[str, Wall], fields: Fields) -> Iterator[Fixture]:
    """The fixtures of a room; `walls` are its walls by name."""
    for name, fixture in fields.named("fixtures"):
        wall = walls.get(fixture.text("wall") or "")
        yield Fixture(
            place=f"{room.place}.{name}",
            path=fixture.path,
            bears_on=frozenset({wall.place}) if wall else frozenset(),
            name=name,
            kind=fixture.must("kind", FixtureKind),
            room=room,
            wall=wall,
            at=fixture.quantity("at", Length),
            width=fixture.quantity("width", Length),
            depth=fixture.quantity("depth", Length),
            rim=fixture.quantity("rim", Length),
            height=fixture.quantity("height", Length),
            has_tray=fixture.flag("tray"),
            outlet_height=fixture.quantity("outlet_height", Length),
            backing=bool(fixture.flag("backing")),
        )


def chases(fields: Fields) -> Iterator[Chase]:
    """The chases cut into a wall."""
    for chase in fields.items("chases"):
        measures = (chase.quantity(key, Length) for key in ("depth", "width", "length", "at", "height"))
        yield Chase(chase.word("direction", Direction), *measures)


def notches(fields: Fields) -> Iterator[Notch]:
    """The notches and holes cut into the studs or joists of a wall."""
    for notch in fields.items("notches"):
        measures = (notch.quantity(key, Length) for key in ("depth", "member_depth", "at", "span"))
        yield Notch(notch.text("kind") == "hole", notch.text("member"), *measures)


def pipe(wall: Wall, name: str, fields: Fields) -> Pipe:
    """A pipe in or on a wall."""
    way = tuple(
        PipeSpot(spot.text("wall") or "", spot.quantity("at", Length), spot.quantity("height", Length))
        for spot in fields.items("path")
    )
    return Pipe(
        place=f"{wall.place}.{name}",
        path=fields.path,
        bears_on=frozenset(spot.wall for spot in way),
        name=name,
        wall=wall,
        kind=fields.must("kind", PipeKind),
        at=fields.quantity("at", Length),
        height=fields.quantity("height", Length),
        outside=fields.quantity("outside", Length),
        depth=fields.quantity("depth", Length),
        way=way,
        tested=fields.day("tested"),
        pressure=fields.quantity("pressure", Pressure),
        vapour_sealed=fields.flag("vapour_sealed"),
    )
