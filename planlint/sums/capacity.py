"""How the cables of a circuit lie, and what they may carry there.

Where the plan leaves something open that can only make things better, the worse is taken and said.
"""

from dataclasses import dataclass

from planlint.formulas import electrical as formulas
from planlint.model.rooms import Surface, Wall
from planlint.model.services import Circuit, Run
from planlint.model.words import Cable, Method, PointKind
from planlint.rule import Given
from planlint.sums.working import Lacking, Step, within_range
from planlint.units import Area, Current, Ratio, Temperature, at_least

LIMITS_OF_LYING = ("insulation_materials",)
LIMITS_OF_CAPACITY = (
    *LIMITS_OF_LYING,
    "cable_capacity",
    "ambient_temperature",
    "ambient_factor",
    "grouping_factor",
    "lightly_loaded_share",
    "insulation_factor",
    "power_factor",
)
CONSUMES_NOTHING = (PointKind.SWITCH, PointKind.JUNCTION)
INSULATED = (Method.A1, Method.A2)
"""The methods of a cable inside an insulated wall; their capacities hold for the insulation already."""


@dataclass(frozen=True, slots=True)
class Lying:
    """How a run lies: the warmest method that may hold, the coolest, and the surface that makes it so."""

    worst: Method
    best: Method
    why: str


@dataclass(frozen=True, slots=True)
class Capacity:
    """What the worst run of a circuit may carry for good (Iz), and how that came about."""

    run: Run
    lying: Lying
    table: Current
    carried: Current
    best_carried: Current
    """What it may carry where everything that is not recorded turns out well."""
    steps: tuple[Step, ...]


def load_current(circuit: Circuit, given: Given) -> Current | None:
    """The current of all recorded loads; None where a point that consumes has none, or points lie elsewhere."""
    consumers = [point for point in circuit.points if point.kind not in CONSUMES_NOTHING]
    voltage = circuit.supply.voltage
    loads = [point.load for point in consumers if point.load is not None]
    if not consumers or len(loads) < len(consumers) or voltage is None or circuit.also_sockets or circuit.also_lights:
        return None
    factor = given.quantity("power_factor", Ratio)
    return Current(formulas.load_current(sum(loads), voltage, factor, loaded(circuit)), "A")


def lying(run: Run, given: Given) -> Lying | Lacking:
    """How a run lies, from what is recorded of it, else from its cable and the walls behind which it runs."""
    if run.method is not None:
        return Lying(run.method, run.method, "as recorded")
    return derived_lying(run, given)


def derived_lying(run: Run, given: Given) -> Lying | Lacking:
    """How a run lies by its cable and the walls behind which it runs, worst stretch first."""
    circuit = run.circuit
    if circuit.cable is None:
        return Lacking("what cable is laid, or by which method", ("cable",))
    if not run.surfaces:
        return Lacking(f"behind which walls the run to {run.end_name} lies, or by which method", ("method",))
    words = given.words("insulation_materials")
    stretches = [(surface, _insulated(surface, words)) for surface in run.surfaces]
    worst = next((stretch for stretch in stretches if stretch[1] is not False), stretches[0])
    best = next((stretch for stretch in stretches if stretch[1]), stretches[0])
    in_worst, in_best = worst[1] is not False, bool(best[1])
    known = "" if worst[1] is not None else ", whose insulation is not recorded"
    return Lying(
        _method(circuit, run, worst[0], insulated=in_worst),
        _method(circuit, run, best[0], insulated=in_best),
        f"behind {worst[0].place}{known}",
    )


def _insulated(surface: Surface, words: tuple[str, ...]) -> bool | None:
    """Whether a cable behind a surface lies in insulation; None where that is not recorded."""
    if surface.lining:
        materials = [(layer.material or "").casefold() for layer in surface.lining.layers]
        if any(word in material for material in materials for word in words):
            return True
    if surface.undecided:
        return None
    base = surface.base if isinstance(surface, Wall) else None
    if base is not None and base.is_masonry:
        return False
    return None if surface.lining is None else False


def _method(circuit: Circuit, run: Run, surface: Surface, *, insulated: bool) -> Method:
    if circuit.cable is Cable.SINGLES:
        return Method.A1 if insulated else Method.B1
    if run.conduit:
        return Method.A2 if insulated else Method.B2
    is_masonry = isinstance(surface, Wall) and surface.base is not None and surface.base.is_masonry
    in_masonry = is_masonry and surface.lining is None
    return Method.A1 if insulated else Method.C if in_masonry else Method.B2


@within_range
def capacity(circuit: Circuit, given: Given) -> Capacity | Lacking:
    """What the worst run of a circuit may carry: Iz = It · Ca · Cg · Ci (IEC 60364-5-52)."""
    if not circuit.runs:
        return Lacking("how the cables run", ("chain",))
    found: list[Capacity] = []
    for run in circuit.runs:
        one = _run_capacity(run, given)
        if isinstance(one, Lacking):
            return one
        found.append(one)
    return min(found, key=lambda one: one.carried)


def _run_capacity(run: Run, given: Given) -> Capacity | Lacking:
    circuit = run.circuit
    how = lying(run, given)
    if isinstance(how, Lacking):
        return how
    if run.section is None:
        return Lacking("the section of the conductors", ("section",))
    table, best = (_tabulated(circuit, run.section, method, given) for method in (how.worst, how.best))
    if table is None or best is None:
        return Lacking(f"how much {run.section} carries by method {how.worst}: the limit set has no such row", ())
    temperature = circuit.ambient or given.quantity("ambient_temperature", Temperature)
    # In cool air cables carry more than their table says, but nobody knows how warm a wall gets: that is left out.
    ambient = min(1.0, _factor("ambient_factor", "ambient", temperature, given))
    together = 1 + sum(not _carries_little(other, given) for other in circuit.neighbours)
    grouping = 1.0 if together == 1 else _factor("grouping_factor", "circuits", together, given, beyond=True)
    stretch = run.in_insulation
    lies_in = bool(stretch) and how.worst not in INSULATED
    insulation = _factor("insulation_factor", "enclosed", stretch or 0.0, given, beyond=True) if lies_in else 1.0
    carried = Current(formulas.capacity(table, ambient, grouping, insulation), "A")
    wires = loaded(circuit)
    return Capacity(
        run=run,
        lying=how,
        table=table,
        carried=carried,
        best_carried=Current(formulas.capacity(best, ambient, grouping, insulation), "A"),
        steps=(
            Step("current by the table", f"method {how.worst} ({how.why}), {wires} loaded, {run.section}", f"{table}"),
            Step("factor for warmth", f"{temperature} around the cable", f"× {ambient:.2f}"),
            Step("factor for cables together", f"{together} circuit{'s' if together > 1 else ''}", f"× {grouping:.2f}"),
            Step("factor for insulation", f"{stretch} in insulation" if lies_in else "none", f"× {insulation:.2f}"),
            Step("may carry (Iz)", f"{table} × {ambient:.2f} × {grouping:.2f} × {insulation:.2f}", f"{carried}"),
        ),
    )


def _tabulated(circuit: Circuit, section: Area, method: Method, given: Given) -> Current | None:
    """The table's current of the largest section that is not above the one laid."""
    rows = [
        (row["section"], row["capacity"])
        for row in given.table("cable_capacity") or ()
        if row["method"] == method and row["loaded"] == loaded(circuit)
    ]
    fitting = [
        (float(size), current)
        for size, current in rows
        if isinstance(current, Current) and at_least(section, float(size))
    ]
    return max(fitting, key=lambda pair: pair[0])[1] if fitting else None


def _factor(table: str, key: str, wanted: float, given: Given, *, beyond: bool = False) -> float:
    rows = [(float(row[key]), float(row["factor"])) for row in given.table(table) or ()]
    return formulas.careful_factor(rows, wanted, last_holds_beyond=beyond)


def _carries_little(circuit: Circuit, given: Given) -> bool:
    """Whether a neighbour's recorded loads are so small that it warms nobody."""
    load, rating = load_current(circuit, given), circuit.breaker_rating
    share = given.quantity("lightly_loaded_share", Ratio)
    return load is not None and rating is not None and load <= share * rating


def loaded(circuit: Circuit) -> int:
    """How many of its conductors carry current: two, or three where it has more than one phase."""
    return 3 if circuit.lines > 1 else 2
