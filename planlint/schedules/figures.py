"""Quantities and limits as records: the value, its unit, how one says it, and where it comes from."""

from planlint.limit_values import Kind
from planlint.limits import PLAN, Limits
from planlint.sum_records import Figure, Source
from planlint.units import Quantity, scale, show


def figure(quantity: Quantity | None) -> Figure | None:
    """A quantity as a figure; None where there is none."""
    return None if quantity is None else known(quantity)


def known(quantity: Quantity) -> Figure:
    """A quantity as a figure, in the unit that it was written in."""
    factor, zero = scale(quantity.unit)
    # A wire size by its name has the section that it stands for; noise of floats is of no use to anybody.
    unit = "mm²" if quantity.unit == "AWG" else quantity.unit
    said = min(show(quantity), show(quantity, 4), key=len)
    return Figure(float(f"{(quantity - zero) / factor:.6g}"), unit, said)


def source(name: str, limits: Limits) -> Source:
    """Where the figures of a limit come from."""
    limit = limits[name]
    said = "" if limit.kind in (Kind.TABLE, Kind.LIST) else limit.said
    reason = f"{limit.source}: {limit.reason}" if limit.set == PLAN else limit.source
    return Source(name, said, limit.set, limit.basis, reason, limit.note)


def overridden(limits: Limits) -> tuple[str, ...]:
    """The limits that the plan sets for itself, in words, with the reason."""
    return tuple(f"{limit.name}: {limit.said} ({limit.reason})" for limit in limits.overridden())
