"""What breakers there are, which of them a section may have behind it, and what a cable has to carry for one."""

from planlint.model.services import Circuit
from planlint.rule import Given
from planlint.sums.ring import ring_of
from planlint.units import Area, Current, at_least, at_most

LIMITS_OF_BREAKERS = ("breaker_ratings", "largest_breaker", "ring_circuits")


def made(given: Given) -> list[Current]:
    """The rated currents that breakers are made for, in the order of their size."""
    ratings = [row["rating"] for row in given.table("breaker_ratings") or ()]
    return sorted(rating for rating in ratings if isinstance(rating, Current))


def wanted_capacity(circuit: Circuit, rating: Current, given: Given) -> Current:
    """What the cable has to carry: the breaker's rating, or less on a ring where the limit set foresees it."""
    thinnest = circuit.thinnest
    if not ring_of(circuit) or thinnest is None:
        return rating
    rows = [
        row["capacity"]
        for row in given.table("ring_circuits") or ()
        if at_most(rating, float(row["breaker"])) and at_least(thinnest, float(row["section"]))
    ]
    return min((rating, *(capacity for capacity in rows if isinstance(capacity, Current))))


def goes_by_section(given: Given) -> bool:
    """Whether the limit set foresees a largest breaker for a section."""
    return bool(given.table("largest_breaker"))


def largest_foreseen(section: Area, given: Given) -> Current | None:
    """The largest breaker behind a section: that of the row up to it; none for what is thicker than all rows."""
    rows = {float(row["section"]): row["breaker"] for row in given.table("largest_breaker") or ()}
    fitting = [size for size in rows if at_least(section, size)]
    if not fitting or not at_most(section, max(rows)):
        return None
    largest = rows[max(fitting)]
    return largest if isinstance(largest, Current) else None
