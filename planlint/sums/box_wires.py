"""How much room the wires in a box want, where the limits give a volume for each (NEC 314.16(B))."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from planlint.limit_values import Row, listed
from planlint.model.services import Point, Run
from planlint.model.words import PointKind
from planlint.rule import Given
from planlint.sums.working import Lacking
from planlint.units import Area, Ratio, Volume, at_most

LIMITS_OF_BOX_WIRES = (
    "wire_volume",
    "wires_for_device",
    "wires_for_clamps",
    "wires_for_earths",
    "earths_together",
    "further_earth",
)
DEVICES: Final = (PointKind.SOCKET, PointKind.SWITCH)
"""Points with a device that sits in the box itself; others are fixed to it or beside it."""


@dataclass(frozen=True, slots=True)
class Wanted:
    """The volume that a box wants for what is in it, as SI, and what that is made of in words."""

    volume: float
    made_of: str


def volume_wanted(point: Point, runs: Sequence[Run], given: Given) -> Wanted | Lacking:
    """The volume that the wires of the runs at a point want in its box, with its device, clamps and earths.

    Each wire that brings current counts once, in every run that begins or ends here; of each run one wire is the
    earth, and earths count together, as do clamps. Device, clamps and earths count as the thickest wire here.
    """
    rows = given.table("wire_volume") or ()
    sections = [run.section for run in runs if run.section is not None]
    if len(sections) < len(runs) or not sections:
        missing = dict.fromkeys(f"{run.circuit.place}.section" for run in runs if run.section is None)
        return Lacking("the section of the wires in the box", tuple(missing))
    volumes = [_volume(section, rows) for section in sections]
    known = [volume for volume in volumes if volume is not None]
    if len(known) < len(volumes):
        return Lacking(f"the limits have no volume for a wire as thick as {max(sections)}", ())
    carrying = [_wires(run) - 1 for run in runs]
    devices = point.gangs if point.kind in DEVICES else 0
    further = max(len(runs) - (given.count("earths_together") or 0), 0)
    earths = (given.count("wires_for_earths") or 0) + further * given.quantity("further_earth", Ratio)
    parts = {
        "wires": sum(carrying),
        "the clamps": given.count("wires_for_clamps") or 0,
        "the earths": earths,
        "the device" if devices == 1 else "the devices": devices * (given.count("wires_for_device") or 0),
    }
    as_wires = sum(list(parts.values())[1:])
    volume = sum(count * each for count, each in zip(carrying, known, strict=True)) + as_wires * max(known)
    told = [
        f"{count:g} {what}" if what == "wires" else f"{count:g} for {what}" for what, count in parts.items() if count
    ]
    return Wanted(volume, f"counted as wires: {listed(told, 'and')}")


def _wires(run: Run) -> int:
    return run.wires or run.circuit.usual_wires


def _volume(section: Area, rows: Sequence[Row]) -> Volume | None:
    """The volume for the thinnest wire of the table that is not thinner; None beyond it."""
    fitting = [row for row in rows if isinstance(row["section"], Area) and at_most(section, row["section"])]
    volumes = [row["volume"] for row in fitting]
    return min((volume for volume in volumes if isinstance(volume, Volume)), default=None)
