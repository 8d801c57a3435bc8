"""Whether a wall that is to be lined can be judged for damp at all, and what is said where it cannot."""

from planlint.model.rooms import Wall
from planlint.model.words import ReadOf
from planlint.rule import NOT_APPLICABLE, Given, Open, Outcome

LIMITS_OF_EXPOSURE = ("exposed_faces",)


def unready(wall: Wall, key: str = "", what: str = "", *, known: bool = True) -> Outcome | None:
    """What rules answer where a wall stays as it is, where its lining is undecided, or a key of its base unknown."""
    gaps = {"lining": "whether and how the wall will be lined"} if wall.undecided else {}
    gaps |= {} if known else {wall.base.key(key) if wall.base else "base": what}
    return NOT_APPLICABLE if wall.stays else Open(", and ".join(gaps.values()), *gaps) if gaps else None


def off_masonry(wall: Wall) -> Outcome | None:
    """What rules about lined masonry answer where a wall is none, or where that is not recorded."""
    is_stud = wall.base.is_stud if wall.base else None
    return NOT_APPLICABLE if is_stud else unready(wall, "material", "what it is made of", known=is_stud is not None)


def faces_key(wall: Wall) -> str:
    """The key that says what a wall faces."""
    return wall.base.key("faces") if wall.base else "base"


def is_unexposed(wall: Wall, given: Given) -> bool:
    """Whether the wall is known to face neither weather nor ground nor a neighbour."""
    return wall.faces is not None and wall.faces not in given.words("exposed_faces")


def needs_no_reading(wall: Wall, given: Given) -> bool:
    """Whether nothing hints at damp: an inside wall that nobody read, knows to be damp or glues boards to."""
    hints = wall.damp or wall.readings_of(ReadOf.WALL) or (wall.lining and wall.lining.is_glued)
    return not hints and is_unexposed(wall, given)


def unread(wall: Wall, given: Given) -> Outcome:
    """What rules about readings answer where there are none: open where some are needed and none is recorded."""
    if wall.readings_recorded or needs_no_reading(wall, given):
        return NOT_APPLICABLE
    return Open("moisture readings of the wall", "readings")
