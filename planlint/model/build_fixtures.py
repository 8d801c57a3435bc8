"""Builds what is fixed to walls or cut into them."""

from collections.abc import Iterator, Mapping

from planlint.model.fields import Fields
from planlint.model.fixtures import Chase, Fixture, Notch
from planlint.model.rooms import Room, Wall
from planlint.model.words import Direction, FixtureKind
from planlint.units import Length


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
