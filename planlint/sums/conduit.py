"""How full the wires of a run make its conduit, and whether three of them may jam in it."""

from collections.abc import Sequence
from dataclasses import dataclass

from planlint.formulas import electrical as formulas
from planlint.model.services import Run
from planlint.rule import Given
from planlint.sums.working import Lacking, within_range
from planlint.units import Area, Length, Ratio, at_most

LIMITS_OF_CONDUIT = ("wire_diameter", "conduit_share", "jam_ratio_low", "jam_ratio_high")
JAMMING = 3
"""Three wires are what jams: two lie beside each other, four find a shape of their own."""


@dataclass(frozen=True, slots=True)
class Fill:
    """What a run's wires take of its conduit."""

    wires: int
    share: Ratio
    allowed: Ratio
    least_bore: Length
    """The bore that would do, beyond the one in which three wires may jam."""
    jam_ratio: Ratio | None
    """Bore to wire, where just three wires lie in it."""
    jams: bool
    jam_band: str
    made_of: str


@within_range
def conduit_fill(run: Run, given: Given) -> Fill | Lacking:
    """The share of its bore that a run's own wires take up; those of other circuits in it are not known."""
    circuit, place = run.circuit, run.circuit.place
    bore = run.conduit.bore if run.conduit else None
    needed = {f"{place}.conduit.bore": bore, f"{place}.section": run.section}
    missing = tuple(key for key, value in needed.items() if value is None)
    if bore is None or run.section is None:
        return Lacking("the bore of the conduit and the section of the wires in it", missing)
    wires = run.wires or circuit.usual_wires
    sections = [run.section] * (wires - 1) + [circuit.earth_section or run.section]
    diameters = [_diameter(section, given) for section in sections]
    known = [diameter for diameter in diameters if diameter is not None]
    if len(known) < len(diameters):
        return Lacking(f"the limits have no diameter of a wire as thick as {max(sections)}", ())
    share, low, high = (given.quantity(name, Ratio) for name in ("conduit_share", "jam_ratio_low", "jam_ratio_high"))
    bore_wanted = formulas.least_bore(known, share)
    jam = formulas.jam_ratio(bore, sum(known) / wires) if wires == JAMMING else None
    return Fill(
        wires=wires,
        share=Ratio(formulas.area_share(known, bore), "%"),
        allowed=share,
        least_bore=bore.like(bore_wanted if jam is None else max(bore_wanted, high * sum(known) / wires)),
        jam_ratio=None if jam is None else Ratio(jam, "%"),
        jams=jam is not None and not at_most(jam, low) and not at_most(high, jam),
        jam_band=f"{low} and {high}",
        made_of=f"{_counted(sections)} in a bore of {bore}",
    )


def _diameter(section: Area, given: Given) -> float | None:
    """The diameter of the thinnest wire of the table that is not thinner; None beyond it."""
    rows = [(float(row["section"]), float(row["diameter"])) for row in given.table("wire_diameter") or ()]
    return min((row for row in rows if at_most(section, row[0])), default=(0.0, None))[1]


def _counted(sections: Sequence[Area]) -> str:
    *rest, earth = sections
    if all(section == earth for section in rest):
        return f"{len(sections)} wire{'s' if rest else ''} of {earth}"
    return f"{len(rest)} wires of {rest[0]} and one of {earth}"
