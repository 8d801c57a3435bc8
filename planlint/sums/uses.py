"""What a room is used for, as far as rules go by it."""

from planlint.model.fixtures import Fixture
from planlint.model.rooms import Room
from planlint.model.words import FixtureKind
from planlint.rule import Given

LIMITS_OF_USES = ("wet_rooms",)
_WET = (FixtureKind.BATH, FixtureKind.SHOWER)


def wet_fixtures(room: Room) -> tuple[Fixture, ...]:
    """The baths and showers of a room."""
    return tuple(fixture for fixture in room.fixtures if fixture.kind in _WET)


def is_bathroom(room: Room, given: Given) -> bool | None:
    """Whether people bathe in a room: by what stands in it, else by its use; None where neither is recorded."""
    if wet_fixtures(room):
        return True
    if room.use is None:
        return None
    use = room.use.casefold().replace("-", " ")
    return any(word in use for word in given.words("wet_rooms"))
