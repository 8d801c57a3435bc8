"""What is lost on the way from the supply to the points of a circuit, and what a fault to earth meets there."""

from collections import Counter, defaultdict
from collections.abc import Iterator
from dataclasses import dataclass

from planlint.formulas import electrical as formulas
from planlint.limit_values import listed
from planlint.model.services import SUPPLY, Circuit, Run
from planlint.model.words import PointKind, Serves
from planlint.rule import Given
from planlint.sums.capacity import LIMITS_OF_LOAD, load_current, loaded
from planlint.sums.ring import ring_of
from planlint.sums.working import FIGURES, Lacking, Step, Steps, key_of, unrecorded, within_range
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
    show,
)

LIMITS_OF_DROP = (*LIMITS_OF_LOAD, "drop_lights", "drop_others")
_AROUND = 4
"""Half way round a ring two halves lie side by side: a quarter of the whole counts (`formulas.ring_length`)."""
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
    made_of: str
    """The way in words: its sections and lengths, and which of them were worked out along the walls."""
    more: float
    """The volts that one metre more of cable would cost, wherever on the way it is laid."""
    steps: Steps


@dataclass(frozen=True, slots=True)
class Loop:
    """The loop that a fault to earth meets at the farthest point, and the greatest that still trips the breaker."""

    point: str
    impedance: Resistance
    allowed: Resistance
    trips_at: Current
    length: Length
    made_of: str
    """The way in words: its sections and lengths, and which of them were worked out along the walls."""
    more: float
    """The ohms that one metre more of cable would add, wherever on the way it is laid."""
    steps: Steps


@within_range
def voltage_drop(circuit: Circuit, given: Given) -> Drop | Lacking:
    """The voltage lost at the worst point (IEC 60364-5-52, Annex G)."""
    voltage, rating, serves = circuit.supply.voltage, circuit.breaker_rating, circuit.serves
    load, ways = load_current(circuit, given), _ways(circuit)
    drawn = rating if load is None else load
    if voltage is None or drawn is None or serves is None:
        return unrecorded({"supply.voltage": voltage, "breaker.rating": drawn, "serves": serves})
    if isinstance(ways, Lacking):
        return ways
    factor = given.quantity("power_factor", Ratio)
    # What flows where on a ring hangs on where its loads are; all of them half way round is the worst.
    spread = _currents(circuit, ways, factor) if load is not None and not ring_of(circuit) else None
    lost = {way: [_lost(stretch, drawn, spread, factor) for stretch in way.stretches] for way in ways}
    lights = {point.name for point in circuit.points_of(PointKind.LIGHT)}

    def allowed(way: Way) -> Ratio:
        is_light = serves is Serves.LIGHTS or way.point in lights
        return given.quantity("drop_lights" if is_light else "drop_others", Ratio)

    worst = max(ways, key=lambda way: sum(lost[way]) / allowed(way))
    volts = Voltage(sum(lost[worst]), "V")
    share = Ratio(formulas.drop_share(volts, voltage), "%")
    return Drop(
        point=worst.point,
        volts=volts,
        share=share,
        allowed=allowed(worst),
        by_loads=load is not None,
        length=Length(worst.length, "m"),
        made_of=worst.made_of,
        more=_more(worst, lost[worst]),
        steps=Steps(
            lambda: (
                *_ring_step(circuit),
                *(
                    Step(
                        f"lost to {stretch.run.end_name}",
                        f"{show(Length(stretch.counted, 'm'), FIGURES)} of {stretch.section} "
                        f"× {Current(drawn if spread is None else spread[stretch.run], 'A')} "
                        f"× {1000 * formulas.drop_per_metre(stretch.section, factor, loaded(circuit)):.4g} mV/(A·m)",
                        f"{Voltage(volts_there, 'V')}",
                    )
                    for stretch, volts_there in zip(worst.stretches, lost[worst], strict=True)
                ),
                Step("lost in all", f"{volts} ÷ {voltage}", show(share, FIGURES)),
            )
        ),
    )


def _lost(stretch: "Stretch", drawn: float, spread: dict[Run, float] | None, factor: float) -> float:
    current = drawn if spread is None else spread[stretch.run]
    per_metre = formulas.drop_per_metre(stretch.section, factor, loaded(stretch.run.circuit))
    return formulas.voltage_drop(stretch.counted, current, per_metre)


@within_range
def fault_loop(circuit: Circuit, given: Given) -> Loop | Lacking:
    """The loop impedance at the farthest point against the greatest that trips the breaker at once (IEC 60364-4-41)."""
    supply = circuit.supply
    ways = _ways(circuit)
    voltage, unit, rating = supply.voltage, supply.loop_impedance, circuit.breaker_rating
    if voltage is None or unit is None or rating is None or circuit.curve is None:
        needed = {"supply.voltage": voltage, "supply.loop_impedance": unit}
        return unrecorded(needed | {"breaker.rating": rating, "breaker.curve": circuit.curve})
    if isinstance(ways, Lacking):
        return ways
    lines = {stretch.section for way in ways for stretch in way.stretches}
    sections = sorted({*lines, *filter(None, [circuit.earth_section])})
    cold = {section: at_20 for section in sections if (at_20 := _resistance(section, given)) is not None}
    if len(cold) < len(sections):
        return Lacking(f"the limits have no resistance of a conductor as thin as {sections[0]}", ())
    temperature = given.quantity("conductor_temperature", Temperature)
    hot = {section: at_20.like(formulas.conductor_resistance(at_20, temperature)) for section, at_20 in cold.items()}

    def of_cable(stretch: Stretch) -> tuple[LinearResistance, LinearResistance]:
        """Line and earth of a stretch."""
        return hot[stretch.section], hot[circuit.earth_section or stretch.section]

    ohms = {way: [formulas.fault_loop(0.0, one.counted, *of_cable(one)) for one in way.stretches] for way in ways}
    multiple = trip_multiple(circuit, given, "most")
    if multiple is None:
        return Lacking(f"the limits do not say when curve {circuit.curve} trips", ())
    worst = max(ways, key=lambda way: sum(ohms[way]))
    trips_at = formulas.trip_current(rating, multiple)
    least = given.quantity("voltage_factor_min", Ratio)
    impedance = unit.like(unit + sum(ohms[worst]))
    allowed = unit.like(formulas.greatest_loop(trips_at, voltage, least))
    of = f"curve {circuit.curve}: {multiple:g} × {rating}"
    return Loop(
        point=worst.point,
        impedance=impedance,
        allowed=allowed,
        trips_at=Current(trips_at, "A"),
        length=Length(worst.length, "m"),
        made_of=worst.made_of + (f" with an earth of {circuit.earth_section}" if circuit.earth_section else ""),
        more=_more(worst, ohms[worst]),
        steps=Steps(
            lambda: (
                Step("loop at the distribution board (Ze)", "as recorded", f"{unit}"),
                *(
                    Step(f"{section} at {temperature}", f"{at_20} × {hot[section] / at_20:.4g}", f"{hot[section]}")
                    for section, at_20 in cold.items()
                ),
                *_ring_step(circuit),
                *(
                    Step(
                        f"line and earth to {stretch.run.end_name}",
                        f"{Length(stretch.counted, 'm')} × ({' + '.join(map(str, of_cable(stretch)))})",
                        f"{unit.like(ohms_there)}",
                    )
                    for stretch, ohms_there in zip(worst.stretches, ohms[worst], strict=True)
                ),
                Step("loop at the farthest point (Zs)", "all of these together", f"{impedance}"),
                Step("trips at once (Ia)", of, f"{Current(trips_at, 'A')}"),
                Step("greatest loop", f"{least} × {supply.voltage} ÷ {Current(trips_at, 'A')}", show(allowed, FIGURES)),
            )
        ),
    )


def _more(way: "Way", amounts: list[float]) -> float:
    """What one metre more on the way adds to the amounts of its stretches, wherever it is laid."""
    return max(
        amount / stretch.counted / (_AROUND if stretch.run in ring_of(stretch.run.circuit) else 1)
        for stretch, amount in zip(way.stretches, amounts, strict=True)
    )


def _ring_step(circuit: Circuit) -> Iterator[Step]:
    if ring := ring_of(circuit):
        around = sum(run.known_length or 0.0 for run in ring)
        how = f"{Length(around, 'm')} around ÷ {_AROUND}: two ways meet half way round"
        yield Step("length that counts for the ring", how, f"{Length(around / _AROUND, 'm')}")


def trip_multiple(circuit: Circuit, given: Given, end: str) -> float | None:
    """At how many times its rating a circuit's breaker trips at once: the `least` that may trip it, or the `most`."""
    rows = given.table("trip_multiple") or ()
    return next((float(row[end]) for row in rows if row["curve"] == circuit.curve), None)


def _resistance(section: Area, given: Given) -> LinearResistance | None:
    """Resistance of a conductor at 20 °C, by the largest section of the table that is not above its own."""
    rows = [
        (float(row["section"]), float(row["resistance"]))
        for row in given.table("conductor_resistance") or ()
        if at_least(section, float(row["section"]))
    ]
    return LinearResistance(max(rows)[1], "ohm/km") if rows else None


@dataclass(frozen=True, slots=True)
class Stretch:
    """A run on the way to a point, and the length of it that counts."""

    run: Run
    counted: float
    section: Area
    is_worked_out: bool


@dataclass(frozen=True, slots=True)
class Way:
    """The runs from the supply to a point."""

    point: str
    stretches: tuple[Stretch, ...]

    @property
    def length(self) -> float:
        """The whole length in metres; of a ring, that of a single run that would do as it does."""
        return sum(stretch.counted for stretch in self.stretches)

    @property
    def made_of(self) -> str:
        """Its sections and lengths in words."""
        metres: defaultdict[Area, float] = defaultdict(float)
        for stretch in self.stretches:
            metres[stretch.section] += stretch.counted
        told = " and ".join(f"{show(Length(length, 'm'), FIGURES)} of {section}" for section, length in metres.items())
        worked_out = [stretch.run.end_name for stretch in self.stretches if stretch.is_worked_out]
        return f"{told}, the length to {listed(worked_out, 'and')} worked out along the walls" if worked_out else told


def _ways(circuit: Circuit) -> list[Way] | Lacking:
    """The way to each point that the runs reach; on a ring to the point half way round, where two ways meet."""
    # A run of unknown length to a point that the plan does not hold is a finding of its own, and leads nowhere.
    names = Counter(name for run in circuit.runs for name in (run.start_name, run.end_name))
    leads = [run for run in circuit.runs if run.end or run.known_length or names[run.end_name] > 1]
    runs = leads or circuit.runs
    adrift = [run for run in runs if run.start_name is None]
    unknown = [run for run in runs if run.known_length is None]
    unsized = [run for run in runs if run.section is None]
    if not runs:
        return Lacking("how the cables run", ("chain",))
    if adrift:
        keys = [f"{run.place}.from" if run.stands_alone else "chain" for run in adrift]
        return Lacking(f"where the run to {adrift[0].end_name} begins", tuple(dict.fromkeys(keys)))
    if unsized:
        return Lacking("the section of the conductors", tuple(dict.fromkeys(key_of(run, "section") for run in unsized)))
    if unknown:
        to = ", ".join(run.end_name for run in unknown)
        return Lacking(f"how long the cable to {to} is", tuple(_length_key(run) for run in unknown))
    reached: dict[str, tuple[Stretch, ...]] = {SUPPLY: ()}
    ring = ring_of(circuit)
    if ring:
        thinnest = min(ring, key=lambda run: run.section or 0.0)
        around = sum(run.known_length or 0.0 for run in ring)
        half = tuple(_stretches(thinnest, formulas.ring_length(around, around / 2), ring))
        # A branch hangs somewhere on the ring: as if half way round, which is the worst.
        reached |= {run.end_name: half for run in ring if run.end_name != SUPPLY}
        reached |= {run.start_name: half for run in ring if run.start_name not in (None, SUPPLY)}
    waiting = [run for run in runs if run not in ring]
    while waiting:
        next_runs = [run for run in waiting if run.start_name in reached or run.end_name in reached]
        if not next_runs:
            break
        for run in next_runs:
            start, end = run.start_name or SUPPLY, run.end_name
            near, far = (start, end) if start in reached else (end, start)
            reached.setdefault(far, (*reached[near], *_stretches(run, run.known_length or 0.0, (run,))))
        waiting = [run for run in waiting if run not in next_runs]
    ways = [Way(name, stretches) for name, stretches in reached.items() if stretches]
    return ways or Lacking("a run that begins at the supply", ("chain",))


def _stretches(run: Run, counted: float, counts_for: tuple[Run, ...]) -> Iterator[Stretch]:
    if run.section is not None:
        yield Stretch(run, counted, run.section, any(one.length is None for one in counts_for))


def _length_key(run: Run) -> str:
    """Where the length of a run is recorded: in the chain's lengths, or in the run itself."""
    return f"{run.place}.length" if run.stands_alone else f"lengths.{run.end_name}"


def _currents(circuit: Circuit, ways: list[Way], factor: float) -> dict[Run, float]:
    """The current that the recorded loads draw through each run."""
    powers: defaultdict[Run, float] = defaultdict(float)
    loads = {point.name: point.load for point in circuit.points if point.load is not None}
    for way in ways:
        for stretch in way.stretches:
            powers[stretch.run] += loads.get(way.point, 0.0)
    voltage = circuit.supply.voltage or 0.0
    return {run: formulas.load_current(power, voltage, factor, loaded(circuit)) for run, power in powers.items()}
