"""What is lost on the way from the supply to the points of a circuit, and what a fault to earth meets there."""

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass

from planlint.formulas import electrical as formulas
from planlint.model.services import SUPPLY, Circuit, Run
from planlint.model.words import Serves
from planlint.rule import Given
from planlint.sums.capacity import load_current, loaded
from planlint.sums.working import Lacking, Step, within_range
from planlint.units import (
    Area,
    Current,
    Length,
    LinearResistance,
    Ratio,
    Resistance,
    Temperature,
    Voltage,
    at_least,
)

LIMITS_OF_DROP = ("power_factor", "drop_lights", "drop_others")
LIMITS_OF_LOOP = ("conductor_resistance", "conductor_temperature", "trip_multiple", "voltage_factor_min")


@dataclass(frozen=True, slots=True)
class Drop:
    """The voltage lost on the way to the worst point of a circuit."""

    point: str
    volts: Voltage
    share: Ratio
    allowed: Ratio
    by_loads: bool
    """Whether recorded loads were used; else the breaker's rating is drawn at the far end."""
    length: Length
    steps: tuple[Step, ...]


@dataclass(frozen=True, slots=True)
class Loop:
    """The loop that a fault to earth meets at the farthest point, and the greatest that still trips the breaker."""

    point: str
    impedance: Resistance
    allowed: Resistance
    trips_at: Current
    length: Length
    steps: tuple[Step, ...]


@within_range
def voltage_drop(circuit: Circuit, given: Given) -> Drop | Lacking:
    """The voltage lost at the worst point (IEC 60364-5-52, Annex G)."""
    voltage, rating, serves = circuit.supply.voltage, circuit.breaker_rating, circuit.serves
    load, ways = load_current(circuit, given), _ways(circuit)
    needed = {"supply.voltage": voltage, "breaker.rating": load or rating, "serves": serves}
    missing = tuple(key for key, value in needed.items() if value is None)
    if voltage is None or missing:
        return Lacking("the voltage of the supply, the breaker and what the circuit serves", missing)
    if isinstance(ways, Lacking):
        return ways
    factor = given.quantity("power_factor", Ratio)
    by_loads = load is not None and not circuit.is_ring
    currents = _currents(circuit, ways, factor) if by_loads else {}

    def lost_on(stretch: Stretch) -> tuple[float, float]:
        drawn = currents.get(stretch.run, 0.0) if by_loads else float(load or rating or 0.0)
        per_metre = formulas.drop_per_metre(stretch.section, factor, loaded(circuit))
        return drawn, formulas.voltage_drop(stretch.counted, drawn, per_metre)

    worst = max(ways, key=lambda way: sum(lost_on(stretch)[1] for stretch in way.stretches))
    steps: list[Step] = []
    for stretch in worst.stretches:
        drawn, lost = lost_on(stretch)
        how = f"{Length(stretch.counted, 'm')} of {stretch.section} at {Current(drawn, 'A')}"
        steps.append(Step(f"lost to {stretch.run.end_name}", how, f"{Voltage(lost, 'V')}"))
    volts = sum(lost_on(stretch)[1] for stretch in worst.stretches)
    share = Ratio(formulas.drop_share(volts, voltage), "%")
    steps.append(Step("lost in all", f"{Voltage(volts, 'V')} of {voltage}", f"{share}"))
    return Drop(
        point=worst.point,
        volts=Voltage(volts, "V"),
        share=share,
        allowed=given.quantity("drop_lights" if serves is Serves.LIGHTS else "drop_others", Ratio),
        by_loads=load is not None,
        length=Length(worst.length, "m"),
        steps=tuple(steps),
    )


@within_range
def fault_loop(circuit: Circuit, given: Given) -> Loop | Lacking:
    """The loop impedance at the farthest point against the greatest that trips the breaker at once (IEC 60364-4-41)."""
    supply = circuit.supply
    ways = _ways(circuit)
    needed = {
        "supply.voltage": supply.voltage,
        "supply.loop_impedance": supply.loop_impedance,
        "breaker.rating": circuit.breaker_rating,
        "breaker.curve": circuit.curve,
    }
    missing = tuple(key for key, value in needed.items() if value is None)
    if missing or supply.voltage is None or supply.loop_impedance is None or circuit.breaker_rating is None:
        return Lacking("the supply and the breaker that a fault has to trip", missing)
    if isinstance(ways, Lacking):
        return ways
    worst = max(ways, key=lambda way: sum(stretch.counted / stretch.section for stretch in way.stretches))
    impedance = float(supply.loop_impedance)
    for stretch in worst.stretches:
        line, earth = (
            _resistance(section, given) for section in (stretch.section, circuit.earth_section or stretch.section)
        )
        if line is None or earth is None:
            return Lacking(f"the resistance of {stretch.section}: the limit set has no such row", ())
        impedance = formulas.fault_loop(impedance, stretch.counted, line, earth)
    most = next(float(row["most"]) for row in given.table("trip_multiple") or () if row["curve"] == circuit.curve)
    trips_at = formulas.trip_current(circuit.breaker_rating, most)
    allowed = formulas.greatest_loop(trips_at, supply.voltage, given.quantity("voltage_factor_min", Ratio))
    unit = supply.loop_impedance
    return Loop(
        point=worst.point,
        impedance=unit.like(impedance),
        allowed=unit.like(allowed),
        trips_at=Current(trips_at, "A"),
        length=Length(worst.length, "m"),
        steps=(
            Step("loop at the distribution board (Ze)", "measured", f"{supply.loop_impedance}"),
            Step(
                "line and earth, hot", f"{Length(worst.length, 'm')} to {worst.point}", f"{unit.like(impedance - unit)}"
            ),
            Step("loop at the farthest point (Zs)", "the two together", f"{unit.like(impedance)}"),
            Step(
                "trips at once (Ia)",
                f"{circuit.curve}: {most:g} × {circuit.breaker_rating}",
                f"{Current(trips_at, 'A')}",
            ),
            Step("greatest loop", f"Cmin × {supply.voltage} ÷ {Current(trips_at, 'A')}", f"{unit.like(allowed)}"),
        ),
    )


def _resistance(section: Area, given: Given) -> float | None:
    """Resistance of a conductor when hot, in ohm per metre; by the largest section of the table not above its own."""
    rows = [
        (float(row["section"]), float(row["resistance"]))
        for row in given.table("conductor_resistance") or ()
        if at_least(section, float(row["section"]))
    ]
    if not rows:
        return None
    cold = LinearResistance(max(rows)[1], "ohm/km")
    return formulas.conductor_resistance(cold, given.quantity("conductor_temperature", Temperature))


@dataclass(frozen=True, slots=True)
class Stretch:
    """A run on the way to a point, and the length of it that counts."""

    run: Run
    counted: float
    section: Area


@dataclass(frozen=True, slots=True)
class Way:
    """The runs from the supply to a point, and their whole length in metres."""

    point: str
    stretches: tuple[Stretch, ...]

    @property
    def length(self) -> float:
        """The whole length in metres."""
        return sum(stretch.counted for stretch in self.stretches)


def _ways(circuit: Circuit) -> list[Way] | Lacking:
    """The way to each point that the runs reach; on a ring to the point half way round, where two ways meet."""
    runs = [run for run in circuit.runs if run.start_name is not None]
    unknown = [run for run in runs if run.known_length is None]
    unsized = [run for run in runs if run.section is None]
    if not runs:
        return Lacking("how the cables run", ("chain",))
    if unsized:
        return Lacking("the section of the conductors", ("section",))
    if unknown:
        return Lacking("how long the cables are", tuple(_length_key(run) for run in unknown))
    if circuit.is_ring:
        thinnest = min(runs, key=lambda run: run.section or 0.0)
        around = sum(run.known_length or 0.0 for run in runs)
        half = formulas.ring_length(around, around / 2)
        return [Way("half way round the ring", tuple(_stretches(thinnest, half)))]
    reached: dict[str, tuple[Stretch, ...]] = {SUPPLY: ()}
    waiting = list(runs)
    while waiting:
        next_runs = [run for run in waiting if run.start_name in reached or run.end_name in reached]
        if not next_runs:
            break
        for run in next_runs:
            start, end = run.start_name or SUPPLY, run.end_name
            near, far = (start, end) if start in reached else (end, start)
            reached.setdefault(far, (*reached[near], *_stretches(run, run.known_length or 0.0)))
        waiting = [run for run in waiting if run not in next_runs]
    ways = [Way(name, stretches) for name, stretches in reached.items() if stretches]
    return ways or Lacking("a run that begins at the supply", ("chain",))


def _stretches(run: Run, counted: float) -> Iterator[Stretch]:
    if run.section is not None:
        yield Stretch(run, counted, run.section)


def _length_key(run: Run) -> str:
    """Where the length of a run is recorded: in the chain's lengths, or in the run itself."""
    return f"{run.place}.length" if "runs" in run.path else f"lengths.{run.end_name}"


def _currents(circuit: Circuit, ways: list[Way], factor: float) -> dict[Run, float]:
    """The current that the recorded loads draw through each run."""
    powers: defaultdict[Run, float] = defaultdict(float)
    loads = {point.name: point.load for point in circuit.points if point.load is not None}
    for way in ways:
        for stretch in way.stretches:
            powers[stretch.run] += loads.get(way.point, 0.0)
    voltage = circuit.supply.voltage or 0.0
    return {run: formulas.load_current(power, voltage, factor, loaded(circuit)) for run, power in powers.items()}
