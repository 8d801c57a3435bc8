"""What a schedule of circuits holds, as plain frozen data: the only thing that its reports see."""

from dataclasses import dataclass

from planlint.sum_records import About, Figure, Source, Unknown, Working


@dataclass(frozen=True, slots=True)
class Fed:
    """A point that a circuit feeds."""

    name: str
    kind: str
    outlets: int
    place: str


@dataclass(frozen=True, slots=True)
class Carrying:
    """What the worst run of a circuit may carry for good (Iz)."""

    run: str
    lying: str
    """How it lies, with the letter of the method, and why that is taken."""
    table: Figure
    carried: Figure
    at_best: Figure | None
    """What it may carry where what is not recorded of how it lies turns out well; None where that is no more."""
    missing: tuple[str, ...]
    """The keys that would tell the two apart."""
    working: Working


@dataclass(frozen=True, slots=True)
class Drop:
    """The voltage lost at the worst point."""

    point: str
    way: Figure
    volts: Figure
    share: Figure
    allowed: Figure
    is_within: bool
    by_loads: bool
    """Whether recorded loads were used; else the breaker's rating is drawn at the far end."""
    working: Working


@dataclass(frozen=True, slots=True)
class Loop:
    """What a fault to earth meets: the loop at the farthest point, or on a TT supply the earth electrode."""

    point: str | None
    """None where it is the earth electrode, which is the same for every point."""
    way: Figure | None
    ohms: Figure
    allowed: Figure
    is_within: bool
    cleared_by: str
    working: Working


@dataclass(frozen=True, slots=True)
class OutletsLeft:
    """How many more a circuit may feed; without a limit `most` is None, and `why` says so."""

    what: str
    fed: int
    most: int | None
    why: str
    limit: str

    @property
    def left(self) -> int | None:
        """How many more; below zero where there are too many."""
        return None if self.most is None else self.most - self.fed


@dataclass(frozen=True, slots=True)
class MetresLeft:
    """How much longer the way to the worst point may get before the drop or the loop reaches its limit.

    The smaller of the two counts. What could not be worked out of them stands in `unknown`: it might end it sooner.
    """

    left: Figure
    to: str
    ends_by: str
    unknown: tuple[Unknown, ...]


@dataclass(frozen=True, slots=True)
class AmperesLeft:
    """What is left between cable and breaker (Iz - In), and between breaker and loads (In - Ib)."""

    has_to_carry: Figure | None
    """What the cable has to carry: the breaker's rating, or less on a ring where the limits foresee it."""
    cable: Figure | Unknown
    breaker: Figure | Unknown


@dataclass(frozen=True, slots=True)
class CircuitCard:
    """One circuit with its sums. What the plan does not record is None."""

    place: str
    serves: str | None
    feeds: tuple[Fed, ...]
    also_sockets: int
    also_lights: int
    outlets: int
    breaker: Figure | None
    curve: str | None
    rcd: Figure | str | None
    """Its residual current; a text where it is another than a current, such as none."""
    section: Figure | None
    other_sections: tuple[tuple[str, Figure], ...]
    """Runs that have a section of their own, by place."""
    earth_section: Figure | None
    cable: str | None
    is_ring: bool
    capacity: Carrying | Unknown
    drop: Drop | Unknown
    loop: Loop | Unknown
    outlets_left: tuple[OutletsLeft | Unknown, ...]
    metres_left: MetresLeft | Unknown
    amperes_left: AmperesLeft

    @property
    def unrecorded(self) -> tuple[str, ...]:
        """The keys that describe it and are not recorded."""
        described = {
            "serves": self.serves,
            "breaker.rating": self.breaker,
            "breaker.curve": self.curve,
            "rcd": self.rcd,
            "section": self.section or self.other_sections or None,
            "cable": self.cable,
        }
        return tuple(key for key, value in described.items() if value is None)


@dataclass(frozen=True, slots=True, kw_only=True)
class CircuitSchedule(About):
    """The circuits of one plan, those that were asked for, and where the figures come from."""

    place: str | None
    circuits: tuple[CircuitCard, ...]
    in_plan: int
    """How many circuits the plan holds."""
    sources: tuple[Source, ...]
    """Limits that the plan sets for itself, in words, with the reason."""
    caution: str
