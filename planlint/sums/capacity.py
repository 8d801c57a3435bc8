"""What the cables of a circuit may carry as they lie, and what is drawn through them."""

from dataclasses import dataclass
from itertools import accumulate, islice
from operator import mul

from planlint.formulas import electrical as formulas
from planlint.model.services import Circuit, Run
from planlint.model.words import Method, PointKind
from planlint.rule import Given
from planlint.sums.lying import INSULATED, LIMITS_OF_LYING, Lying, derived_lying, lying, spoken
from planlint.sums.working import FIGURES, Lacking, Step, key_of, within_range
from planlint.units import Area, Current, Length, Ratio, Temperature, at_least, at_most, show

__all__ = [
    "LIMITS_OF_CAPACITY",
    "LIMITS_OF_LOAD",
    "LIMITS_OF_LYING",
    "Capacity",
    "Lying",
    "capacity",
    "derived_lying",
    "drawn_load",
    "load_current",
    "loaded",
    "lying",
    "recorded_load",
    "run_capacity",
]

LIMITS_OF_LOAD = ("power_factor",)
LIMITS_OF_CAPACITY = (
    *LIMITS_OF_LYING,
    *LIMITS_OF_LOAD,
    "cable_capacity",
    "ambient_temperature",
    "ambient_factor",
    "grouping_factor",
    "lightly_loaded_share",
    "insulation_factor",
)
CONSUMES_NOTHING = (PointKind.SWITCH, PointKind.JUNCTION)


@dataclass(frozen=True, slots=True)
class Capacity:
    """What a run may carry for good (Iz), and how that came about."""

    run: Run
    lying: Lying
    carried: Current
    best_carried: Current
    """What it may carry where everything that is not recorded of how it lies turns out well."""
    if_others_rest: Current
    """The same, where the circuits beside it whose loads are not recorded carry next to nothing."""
    product: "Product"
    """The product of table and factors that gives what is carried."""


def load_current(circuit: Circuit, given: Given) -> Current | None:
    """The current of all that a circuit feeds; None where the load of something on it is not recorded."""
    consumers = [point for point in circuit.points if point.kind not in CONSUMES_NOTHING]
    elsewhere = circuit.also_sockets or circuit.also_lights
    if not consumers or elsewhere or any(point.load is None for point in consumers):
        return None
    return recorded_load(circuit, given)


def recorded_load(circuit: Circuit, given: Given) -> Current | None:
    """The current of those loads that are recorded; None where none is, or the supply's voltage is not."""
    loads = [point.load for point in circuit.points if point.load is not None]
    voltage = circuit.supply.voltage
    if not loads or voltage is None:
        return None
    return Current(
        formulas.load_current(sum(loads), voltage, given.quantity("power_factor", Ratio), loaded(circuit)), "A"
    )


@within_range
def drawn_load(circuit: Circuit, given: Given) -> Current | None:
    """The current of those loads that are recorded, as `recorded_load`, for loads that no formula holds for too."""
    return recorded_load(circuit, given)


@within_range
def capacity(circuit: Circuit, given: Given) -> Capacity | Lacking:
    """What the worst run of a circuit may carry: Iz = It · Ca · Cg · Ci (IEC 60364-5-52)."""
    if not circuit.runs:
        return Lacking("how the cables run", ("chain",))
    found: list[Capacity] = []
    for run in circuit.runs:
        one = run_capacity(run, given)
        if isinstance(one, Lacking):
            return one
        found.append(one)
    return min(found, key=lambda one: one.carried)


@within_range
def run_capacity(run: Run, given: Given) -> Capacity | Lacking:
    """What one run may carry as it lies."""
    circuit = run.circuit
    how = lying(run, given)
    if isinstance(how, Lacking):
        return how
    if run.section is None:
        return Lacking("the section of the conductors", (key_of(run, "section"),))
    methods = dict.fromkeys((how.worst, how.best))
    products = [_product(run, run.section, method, how.why, given) for method in methods]
    found = [one for one in products if one is not None]
    if len(found) < len(products):
        return Lacking(f"the limits have no current that {run.section} may carry as {spoken(how.worst)}", ())
    worst, best = min(found, key=lambda one: one.carried), max(found, key=lambda one: one.carried)
    surely = _grouping(1 + sum(_carries_much(other, given) for other in circuit.neighbours), given)
    return Capacity(
        run=run,
        lying=how,
        carried=Current(worst.carried, "A"),
        best_carried=Current(best.carried, "A"),
        if_others_rest=Current(best.carried / best.grouping * surely, "A"),
        product=worst,
    )


@dataclass(frozen=True, slots=True)
class Product:
    """Iz = It · Ca · Cg · Ci of a run by one method; it is put into words when somebody asks for it."""

    run: Run
    section: Area
    method: Method
    why: str
    table: Current
    temperature: Temperature
    ambient: float
    together: int
    grouping: float
    stretch: Length | None
    insulation: float
    carried: float

    @property
    def lies(self) -> str:
        """How the run is taken to lie, in words, with the letter of the method and the reason."""
        return f"{spoken(self.method, self.run.circuit.cable)}, {self.why}"

    @property
    def made_of(self) -> str:
        """The sum in words: the section, how it lies, and the factors that are not one."""
        factors = (
            (self.ambient, f"at {self.temperature}"),
            (self.grouping, f"for {_circuits(self.together)} together"),
            (self.insulation, f"for {self.stretch} in insulation"),
        )
        told = "".join(f", × {factor:.2f} {why}" for factor, why in factors if factor < 1)
        return f"{self.section} as {self.lies}: {self.table}{told}"

    @property
    def steps(self) -> tuple[Step, ...]:
        """The sum step by step."""
        factors = (
            (self.ambient, "warmth", f"{self.temperature} around the cable"),
            (self.grouping, "cables together", _beside(self.together)),
            (self.insulation, "insulation", _in_insulation(self.stretch, self.method)),
        )
        left = accumulate((factor for factor, *_ in factors), mul, initial=float(self.table))
        product = " × ".join(f"{factor:.2f}" for factor, *_ in factors)
        wires = loaded(self.run.circuit)
        return (
            Step("current by the table", f"{self.section}, {wires} loaded, {self.lies}", f"{self.table}"),
            *(
                Step(f"after the factor for {what}", f"{how}: × {factor:.2f}", f"{Current(current, 'A')}")
                for (factor, what, how), current in zip(factors, islice(left, 1, None), strict=True)
            ),
            Step("may carry (Iz)", f"{self.table} × {product}", show(Current(self.carried, "A"), FIGURES)),
        )


def _product(run: Run, section: Area, method: Method, why: str, given: Given) -> Product | None:
    """What one method allows; None where the table has no row for it."""
    circuit = run.circuit
    table = _tabulated(circuit, section, method, given)
    if table is None:
        return None
    temperature = circuit.ambient or given.quantity("ambient_temperature", Temperature)
    # In air cooler than the table's cables carry more, but nobody knows how warm a wall gets: that is left out.
    ambient = min(1.0, _factor("ambient_factor", "ambient", temperature, given))
    together = 1 + _unknown_neighbours(circuit) + sum(not _carries_little(one, given) for one in circuit.neighbours)
    grouping = _grouping(together, given)
    stretch = None if method in INSULATED else run.in_insulation
    insulation = _factor("insulation_factor", "enclosed", stretch, given, beyond=True) if stretch else 1.0
    carried = formulas.capacity(table, ambient, grouping, insulation)
    return Product(
        run, section, method, why, table, temperature, ambient, together, grouping, stretch, insulation, carried
    )


def _beside(together: int) -> str:
    return "no circuit beside it" if together == 1 else f"{_circuits(together)} together"


def _in_insulation(stretch: float | None, method: Method) -> str:
    if method in INSULATED:
        return f"{method} holds for insulation already"
    return f"{stretch} in insulation" if stretch else "no stretch of it in insulation"


def _circuits(count: int) -> str:
    return f"{count} circuit{'s' if count > 1 else ''}"


def _tabulated(circuit: Circuit, section: Area, method: Method, given: Given) -> Current | None:
    """The table's current of the largest section that is not above the one laid; None outside of the table."""
    rows = [
        (float(row["section"]), row["capacity"])
        for row in given.table("cable_capacity") or ()
        if row["method"] == method and row["loaded"] == loaded(circuit)
    ]
    fitting = [(size, current) for size, current in rows if isinstance(current, Current) and at_least(section, size)]
    if not fitting or not at_most(section, max(size for size, _ in rows)):
        return None
    return max(fitting, key=lambda pair: pair[0])[1]


def _factor(table: str, key: str, wanted: float, given: Given, *, beyond: bool = False) -> float:
    rows = [(float(row[key]), float(row["factor"])) for row in given.table(table) or ()]
    return formulas.careful_factor(rows, wanted, last_holds_beyond=beyond)


def _grouping(together: int, given: Given) -> float:
    return 1.0 if together == 1 else _factor("grouping_factor", "circuits", together, given, beyond=True)


def _unknown_neighbours(circuit: Circuit) -> int:
    """How many circuits lie beside it that the plan does not describe."""
    known = {other.name for other in circuit.neighbours}
    return len({name for name in circuit.grouped_with if name != circuit.name} - known)


def _carries_little(circuit: Circuit, given: Given) -> bool:
    """Whether all loads of a neighbour are recorded and so small that it warms nobody."""
    return load_current(circuit, given) is not None and _is_light(circuit, given) is True


def _carries_much(circuit: Circuit, given: Given) -> bool:
    """Whether those loads of a neighbour that are recorded are more than that already."""
    return _is_light(circuit, given) is False


def _is_light(circuit: Circuit, given: Given) -> bool | None:
    load, rating = recorded_load(circuit, given), circuit.breaker_rating
    if load is None or rating is None:
        return None
    return at_most(load, given.quantity("lightly_loaded_share", Ratio) * rating)


def loaded(circuit: Circuit) -> int:
    """How many of its conductors carry current: two, or three where it has more than one phase."""
    return 3 if circuit.lines > 1 else 2
