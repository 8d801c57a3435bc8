"""How many outlets or lights a circuit feeds, and how many it may."""

from dataclasses import dataclass
from typing import Final

from planlint.model.services import Circuit
from planlint.model.words import PointKind, Serves
from planlint.rule import Given
from planlint.sums.working import Lacking
from planlint.units import at_least, at_most

LIMITS_OF_SOCKETS = ("socket_points_per_circuit", "socket_counting", "sockets_and_lights_together")
LIMITS_OF_LIGHTS = ("light_points_per_circuit",)
_SPOKEN: Final[dict[str, str]] = {
    Serves.COOKER: "a cooker",
    Serves.HEATING: "fixed heating",
    Serves.LAUNDRY: "a washing machine or dryer",
    Serves.APPLIANCE: "an appliance",
}


def spoken_use(served: str) -> str:
    """How one speaks of what a circuit serves, where the word alone would not do."""
    return _SPOKEN.get(served, served)


@dataclass(frozen=True, slots=True)
class PointsFed:
    """How many of one kind a circuit feeds, those elsewhere included, and the limit that holds for them."""

    number: int
    what: str
    limit: str


@dataclass(frozen=True, slots=True)
class Most:
    """The most that a limit allows; None where the limit set counts without limiting."""

    number: int | None


@dataclass(frozen=True, slots=True)
class Unforeseen:
    """A section behind a breaker for which the limit's table has no row."""

    laid: str
    foreseen: str


def is_mixed(circuit: Circuit) -> bool:
    """Whether it feeds both sockets and lights."""
    sockets = circuit.also_sockets or circuit.points_of(PointKind.SOCKET)
    return bool(sockets and (circuit.also_lights or circuit.points_of(PointKind.LIGHT)))


def sockets_fed(circuit: Circuit, given: Given) -> PointsFed:
    """The socket outlets of a circuit, or its plates where those are what counts."""
    by_outlet = given.choice("socket_counting") == "outlets"
    sockets = circuit.points_of(PointKind.SOCKET)
    number = sum(point.outlets if by_outlet else 1 for point in sockets) + circuit.also_sockets
    what = "socket outlets" if by_outlet else "socket plates"
    # Where lights may share the circuit they take the place of sockets. Where they may not, that is found already.
    if number and is_mixed(circuit) and given.choice("sockets_and_lights_together") == "allowed":
        number, what = number + lights_fed(circuit).number, f"{what} and lights"
    return PointsFed(number, what, "socket_points_per_circuit")


def lights_fed(circuit: Circuit) -> PointsFed:
    """The light points of a circuit."""
    number = sum(point.outlets for point in circuit.points_of(PointKind.LIGHT)) + circuit.also_lights
    return PointsFed(number, "light points", "light_points_per_circuit")


def most_fed(circuit: Circuit, fed: PointsFed, given: Given) -> Most | Unforeseen | Lacking:
    """The most of them that the circuit may feed, by a limit that is one count or goes by section and breaker."""
    rows = given.table(fed.limit)
    if rows is None:
        return Most(given.count(fed.limit))
    section, rating = circuit.thinnest, circuit.breaker_rating
    if section is None or rating is None:
        missing = [key for key, value in (("section", section), ("breaker.rating", rating)) if value is None]
        return Lacking(f"the section and the breaker, by which the number of {fed.what} goes", tuple(missing))
    fitting = [
        int(row["points"])
        for row in rows
        if at_least(section, float(row["section"])) and at_most(rating, float(row["breaker"]))
    ]
    if not fitting:
        return Unforeseen(
            f"{section} behind {rating}", " or ".join(f"{row['section']} behind {row['breaker']}" for row in rows)
        )
    return Most(max(fitting))
