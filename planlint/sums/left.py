"""What is left on a circuit: how much longer its cable may get, and what an earth electrode may still have."""

from dataclasses import dataclass

from planlint.formulas import electrical as formulas
from planlint.model.services import Circuit
from planlint.rule import Given
from planlint.sums.way import Drop, Loop
from planlint.sums.working import Lacking, Step, unrecorded, within_range
from planlint.units import Current, Resistance, Voltage

LIMITS_OF_ELECTRODE = ("touch_voltage",)


def metres_left(worst: Drop | Loop, voltage: Voltage) -> float | None:
    """How much longer in metres the way to the worst point may get, wherever on it; None where nothing is drawn."""
    left = worst.allowed * voltage - worst.volts if isinstance(worst, Drop) else worst.allowed - worst.impedance
    if worst.more == 0:
        return None
    return max(0.0, left / worst.more)


@dataclass(frozen=True, slots=True)
class Electrode:
    """The earth electrode of a TT supply against the greatest at which the RCD still switches off in time."""

    resistance: Resistance
    allowed: Resistance
    rcd: Current
    steps: tuple[Step, ...]


@within_range
def electrode(circuit: Circuit, given: Given) -> Electrode | Lacking:
    """RA · IΔn against the touch voltage (IEC 60364-4-41, 411.5.3)."""
    resistance, rcd = circuit.supply.earth_resistance, circuit.rcd
    if circuit.has_rcd is False:
        return Lacking("no RCD stands before this circuit, and on a TT supply a breaker alone clears no fault", ())
    if resistance is None or rcd is None:
        return unrecorded({"supply.earth_resistance": resistance, "rcd": rcd})
    touch = given.quantity("touch_voltage", Voltage)
    allowed = resistance.like(formulas.greatest_electrode(touch, rcd))
    return Electrode(
        resistance,
        allowed,
        rcd,
        (
            Step("earth electrode (RA)", "as recorded", f"{resistance}"),
            Step("greatest electrode", f"{touch} ÷ {rcd}", f"{allowed}"),
        ),
    )
