"""What must hold for every circuit. Figures themselves are held in tests/reference and tests/rules."""

from collections.abc import Callable
from itertools import pairwise

from hypothesis import given, settings
from hypothesis import strategies as st

from planlint.model.services import Circuit
from planlint.rule import Given
from planlint.sums.capacity import Capacity, capacity
from planlint.sums.conduit import Fill, conduit_fill
from planlint.sums.ring import ring_of
from planlint.sums.way import Drop, Loop, fault_loop, voltage_drop
from planlint.units import at_least, at_most

SMALL = settings(deadline=None, derandomize=True, max_examples=50)
Make = Callable[..., Circuit]
SECTIONS = ("1.5", "2.5", "4", "6", "10")  # mm², from thin to thick
METHODS = ("A2", "A1", "B2", "B1", "C")  # from warm to cool, IEC 60364-5-52, Table B.52.2

Tree = list[tuple[str, str, int, str]]


@st.composite
def trees(draw: st.DrawFn) -> Tree:
    """Runs from the supply to some points: from, to, centimetres, mm²; each hangs on one before it."""
    reached = ["supply"]
    runs: Tree = []
    for number in range(1, draw(st.integers(1, 5)) + 1):
        near, far = draw(st.sampled_from(reached)), f"S{number}"
        runs.append((near, far, draw(st.integers(1, 6000)), draw(st.sampled_from(SECTIONS))))
        reached.append(far)
    return runs


def written(runs: Tree, more: str = "") -> str:
    told = [
        f"{{from: {near}, to: {far}, length: {length} cm, section: {section} mm²}}"
        for near, far, length, section in runs
    ]
    return f"runs: [{', '.join(told)}]{more}"


def sockets(runs: Tree, loads: list[int] | None = None) -> str:
    names = dict.fromkeys(far for _, far, *_ in runs if far != "supply")
    told = [f", load: {load} W" for load in loads] if loads else [""] * len(names)
    return ", ".join(f"{name}: {{kind: socket, circuit: first{load}}}" for name, load in zip(names, told, strict=False))


def drop(circuit: Circuit, given_all: Given) -> Drop:
    found = voltage_drop(circuit, given_all)
    assert isinstance(found, Drop), found
    return found


def loop(circuit: Circuit, given_all: Given) -> Loop:
    found = fault_loop(circuit, given_all)
    assert isinstance(found, Loop), found
    return found


def carried(circuit: Circuit, given_all: Given) -> float:
    found = capacity(circuit, given_all)
    assert isinstance(found, Capacity), found
    assert found.carried <= found.best_carried <= found.if_others_rest
    return float(found.carried)


@SMALL
@given(runs=trees(), data=st.data(), longer=st.integers(1, 4000))
def test_a_longer_run_never_loses_less(
    circuit_of: Make, given_all: Given, runs: Tree, data: st.DataObject, longer: int
) -> None:
    index = data.draw(st.integers(0, len(runs) - 1))
    near, far, length, section = runs[index]
    stretched = [*runs[:index], (near, far, length + longer, section), *runs[index + 1 :]]
    short, long = (circuit_of(written(some), sockets(some)) for some in (runs, stretched))
    assert at_least(drop(long, given_all).volts, drop(short, given_all).volts)
    assert at_least(loop(long, given_all).impedance, loop(short, given_all).impedance)


@SMALL
@given(runs=trees(), data=st.data())
def test_a_thinner_run_never_loses_less(circuit_of: Make, given_all: Given, runs: Tree, data: st.DataObject) -> None:
    index = data.draw(st.integers(0, len(runs) - 1))
    near, far, length, section = runs[index]
    thinner = data.draw(st.sampled_from(SECTIONS[: SECTIONS.index(section) + 1]))
    thinned = [*runs[:index], (near, far, length, thinner), *runs[index + 1 :]]
    thick, thin = (circuit_of(written(some), sockets(some)) for some in (runs, thinned))
    assert at_least(drop(thin, given_all).volts, drop(thick, given_all).volts)
    assert at_least(loop(thin, given_all).impedance, loop(thick, given_all).impedance)


@SMALL
@given(runs=trees(), data=st.data())
def test_spread_loads_never_lose_more_than_the_breakers_rating_at_the_far_end(
    circuit_of: Make, given_all: Given, runs: Tree, data: st.DataObject
) -> None:
    """Loads of at most 16 A in all: 3680 W at 230 V."""
    loads = [data.draw(st.integers(0, 3680 // len(runs))) for _ in runs]
    spread, lumped = (circuit_of(written(runs), sockets(runs, some)) for some in (loads, None))
    assert at_most(drop(spread, given_all).volts, drop(lumped, given_all).volts)


@SMALL
@given(runs=trees(), data=st.data())
def test_the_order_and_direction_of_runs_change_no_sum(
    circuit_of: Make, given_all: Given, runs: Tree, data: st.DataObject
) -> None:
    turned = [
        (far, near, *rest) if data.draw(st.booleans()) else (near, far, *rest)
        for near, far, *rest in data.draw(st.permutations(runs))
    ]
    first, second = (circuit_of(written(some), sockets(runs)) for some in (runs, turned))
    assert str(drop(first, given_all).volts) == str(drop(second, given_all).volts)
    assert str(loop(first, given_all).impedance) == str(loop(second, given_all).impedance)


@SMALL
@given(
    method=st.sampled_from(METHODS),
    section=st.sampled_from(SECTIONS),
    ambient=st.integers(-10, 50),
    warmer=st.integers(0, 10),
    stretch=st.integers(0, 800),
    longer=st.integers(0, 800),
    beside=st.integers(0, 10),
    more=st.integers(0, 3),
)
def test_no_factor_ever_lets_more_flow(  # noqa: PLR0913 - every factor is one
    circuit_of: Make,
    given_all: Given,
    *,
    method: str,
    section: str,
    ambient: int,
    warmer: int,
    stretch: int,
    longer: int,
    beside: int,
    more: int,
) -> None:
    def lying(degrees: int, millimetres: int, circuits: int) -> float:
        names = ", ".join(f"other-{number}" for number in range(circuits))
        return carried(
            circuit_of(
                f"section: {section} mm², method: {method}, chain: [supply, S1], ambient: {degrees} °C, "
                f"in_insulation: {millimetres} mm, grouped_with: [{names}]"
            ),
            given_all,
        )

    plain = lying(ambient, stretch, beside)
    assert at_most(lying(ambient + warmer, stretch, beside), plain)
    assert at_most(lying(ambient, stretch + longer, beside), plain)
    assert at_most(lying(ambient, stretch, beside + more), plain)
    assert at_most(
        plain, carried(circuit_of(f"section: {section} mm², method: {method}, chain: [supply, S1]"), given_all)
    )


@SMALL
@given(method=st.sampled_from(METHODS), cable=st.sampled_from(("singles", "multicore")), conduit=st.booleans())
def test_what_is_not_recorded_is_never_taken_for_good(
    circuit_of: Make, given_all: Given, *, method: str, cable: str, conduit: bool
) -> None:
    """A method that is derived where nothing is known of the wall carries as little as the warmest that it may be."""
    bore = ", conduit: {bore: 14.1 mm}" if conduit else ""
    derived = carried(circuit_of(f"section: 2.5 mm², cable: {cable}{bore}, chain: [supply, S1]"), given_all)
    recorded = carried(
        circuit_of(f"section: 2.5 mm², cable: {cable}{bore}, method: {method}, chain: [supply, S1]"), given_all
    )
    assert derived <= recorded or (method == "A2" and not (cable == "multicore" and conduit))


@SMALL
@given(points=st.integers(1, 5), branches=st.integers(0, 3), data=st.data())
def test_a_ring_is_found_in_any_order_and_its_branches_are_left_out(
    circuit_of: Make, points: int, branches: int, data: st.DataObject
) -> None:
    stops = ["supply", *(f"S{number}" for number in range(1, points + 1)), "supply"]
    ring: Tree = [(near, far, 100, "2.5") for near, far in pairwise(stops)]
    spurs: Tree = [(data.draw(st.sampled_from(stops)), f"T{number}", 100, "2.5") for number in range(branches)]
    runs = data.draw(st.permutations([*ring, *spurs]))
    circuit = circuit_of(written(runs, ", ring: true"), sockets(runs))
    assert {frozenset((run.start_name, run.end_name)) for run in ring_of(circuit)} == {
        frozenset(run[:2]) for run in ring
    }
    assert len(ring_of(circuit)) == len(ring)
    assert ring_of(circuit_of(written(runs), sockets(runs))) == ()
    gone = data.draw(st.sampled_from(ring))
    broken = [run for run in runs if run != gone]
    assert ring_of(circuit_of(written(broken, ", ring: true"), sockets(broken))) == ()


@SMALL
@given(wires=st.integers(1, 12), bore=st.integers(100, 400), wider=st.integers(0, 100))
def test_a_wider_conduit_is_never_fuller(
    circuit_of: Make, given_all: Given, *, wires: int, bore: int, wider: int
) -> None:
    def fill(tenths: int, count: int) -> Fill:
        run = f"runs: [{{from: supply, to: S1, wires: {count}}}]"
        circuit = circuit_of(f"section: 2.5 mm², conduit: {{bore: {tenths / 10} mm}}, {run}")
        found = conduit_fill(circuit.runs[0], given_all)
        assert isinstance(found, Fill), found
        return found

    plain = fill(bore, wires)
    assert fill(bore + wider, wires).share <= plain.share < fill(bore, wires + 1).share
    assert (wires == 3) or not plain.jams
    assert (at_most(plain.share, plain.allowed) and not plain.jams) == at_least(bore / 10_000, plain.least_bore)
