"""Networks whose times and floats are published, and random ones that a reference library works out too."""

from random import Random
from typing import NamedTuple

import networkx as nx
import pytest

from planlint.formulas.schedule import Activity, find_loop, schedule


class Row(NamedTuple):
    duration: float
    after: str
    total_float: float


# Source: C. Hendrickson, Project Management for Construction, chapter 10, the example of nine activities (read in two
# copies of its table). Its end of 30 and the critical chain A-C-F-I are published; the other floats follow by hand from
# the passes below. A solution that goes round gives E a float of 4 and G one of 7: it forgets the arrow from G to I.
NINE = {
    "A": Row(4, "", 0),
    "B": Row(3, "", 9),
    "C": Row(8, "A", 0),
    "D": Row(7, "A", 11),
    "E": Row(9, "BC", 1),
    "F": Row(12, "BC", 0),
    "G": Row(2, "DE", 1),
    "H": Row(5, "DE", 4),
    "I": Row(6, "FG", 0),
}
# The same example, worked by hand: ES, EF, LS, LF.
PASSES = {
    "A": (0, 4, 0, 4),
    "B": (0, 3, 9, 12),
    "C": (4, 12, 4, 12),
    "D": (4, 11, 15, 22),
    "E": (12, 21, 13, 22),
    "F": (12, 24, 12, 24),
    "G": (21, 23, 22, 24),
    "H": (21, 26, 25, 30),
    "I": (24, 30, 24, 30),
}
# Source: a course handout on the critical path method, with its table and its slack.
SEVEN = {
    "A": Row(6, "", 0),
    "B": Row(2, "A", 0),
    "C": Row(2, "A", 1),
    "D": Row(3, "B", 0),
    "F": Row(2, "C", 1),
    "E": Row(4, "DF", 0),
    "G": Row(1, "E", 0),
}
# Source: a page of exercises (the table; the answer by hand): both chains A-C and B-D take 10, both E and F take 4, so
# that every activity is critical, and no single longest chain shows it.
TIES = {
    "A": Row(7, "", 0),
    "B": Row(5, "", 0),
    "C": Row(3, "A", 0),
    "D": Row(5, "B", 0),
    "E": Row(4, "C", 0),
    "F": Row(4, "CD", 0),
    "G": Row(3, "EF", 0),
    "H": Row(1, "G", 0),
}


def network(rows: dict[str, Row]) -> list[Activity]:
    return [Activity(name=name, duration=row.duration, after=tuple(row.after)) for name, row in rows.items()]


@pytest.mark.parametrize(
    ("rows", "end", "critical"), [(NINE, 30, "ACFI"), (SEVEN, 16, "ABDEG"), (TIES, 18, "ABCDEFGH")]
)
def test_published_networks(rows: dict[str, Row], end: float, critical: str) -> None:
    times = schedule(network(rows))
    assert max(time.earliest_finish for time in times.values()) == end
    assert {name: time.total_float for name, time in times.items()} == {
        name: row.total_float for name, row in rows.items()
    }
    assert "".join(sorted(name for name, time in times.items() if time.is_critical)) == critical


def test_both_passes_of_the_nine_activities() -> None:
    times = schedule(network(NINE))
    found = {
        name: (time.earliest_start, time.earliest_finish, time.latest_start, time.latest_finish)
        for name, time in times.items()
    }
    assert found == PASSES


@pytest.mark.parametrize(("lag", "end"), [(1, 16), (3, 20)])
def test_waits_lengthen_the_chain(lag: float, end: float) -> None:
    """Sum by hand, in days: 2 + 0 + 1 + 2 + 1 + lag + 1 + lag + 1 + 1 + 1 + 1 + 1 + 1 + 1, with the hold at none."""
    chain = [
        ("first-fix", 2, 0),
        ("hold", 0, 0),
        ("insulation", 1, 0),
        ("lining", 2, 0),
        ("first-coat", 1, lag),
        ("second-coat", 1, lag),
        ("sanding", 1, 0),
        ("priming", 1, 1),
        ("painting", 1, 1),
        ("second-fix", 1, 0),
        ("live-tests", 1, 0),
    ]
    activities = [
        Activity(name=name, duration=24 * days, wait=24 * wait, after=(chain[index - 1][0],) if index else ())
        for index, (name, days, wait) in enumerate(chain)
    ]
    times = schedule(activities)
    assert times["live-tests"].earliest_finish == 24 * end
    assert all(time.is_critical for time in times.values())


def random_network(seed: int) -> list[Activity]:
    random = Random(seed)  # noqa: S311 - the same network every time
    names = [f"task-{number}" for number in range(random.randint(2, 40))]
    random.shuffle(names)
    return [
        Activity(
            name=name,
            duration=random.choice([0.0, 0.5, 4.0, random.uniform(0, 80)]),
            wait=random.choice([0.0, 0.0, 12.0, random.uniform(0, 80)]),
            after=tuple(random.sample(names[:index], min(index, random.randint(0, 3)))),
        )
        for index, name in enumerate(names)
    ]


@pytest.mark.parametrize("seed", range(40))
def test_a_reference_library_agrees_on_random_networks(seed: int) -> None:
    """NetworkX: the longest way to an activity is its start, and that through it tells its float.

    The network is made of arrows from start to start and to the end, as long as work and wait; NetworkX gives the
    longest ways as the shortest with the sign turned (Bellman and Ford).
    """
    activities = random_network(seed)
    graph = nx.DiGraph()
    for activity in activities:
        graph.add_edge("begin", activity.name, weight=0.0)
        graph.add_edge(activity.name, "end", weight=-(activity.duration + activity.wait))
    by_name = {activity.name: activity for activity in activities}
    for activity in activities:
        for before in activity.after:
            graph.add_edge(before, activity.name, weight=-(by_name[before].duration + by_name[before].wait))
    to = nx.single_source_bellman_ford_path_length(graph, "begin")
    onward = nx.single_source_bellman_ford_path_length(graph.reverse(), "end")
    times = schedule(activities)
    end = -to["end"]
    assert max(time.free for time in times.values()) == pytest.approx(end)
    for name, time in times.items():
        assert time.earliest_start == pytest.approx(-to[name], abs=1e-9)
        assert time.total_float == pytest.approx(end + to[name] + onward[name], abs=1e-6)
    assert list(nx.topological_sort(graph))  # it has no loop, says NetworkX
    longest = nx.dag_longest_path(graph_with_positive(graph))
    assert all(times[name].is_critical for name in longest if name in times)


def graph_with_positive(graph: "nx.DiGraph[str]") -> "nx.DiGraph[str]":
    turned = nx.DiGraph()
    turned.add_weighted_edges_from((one, two, -weight) for one, two, weight in graph.edges(data="weight"))
    return turned


@pytest.mark.parametrize("seed", range(20))
def test_a_reference_library_agrees_on_loops(seed: int) -> None:
    random = Random(seed)  # noqa: S311 - the same order every time
    after = {str(name): [str(random.randrange(12)) for _ in range(random.randint(0, 2))] for name in range(12)}
    graph = nx.DiGraph([(before, name) for name, befores in after.items() for before in befores])
    loop = find_loop(after)
    assert bool(loop) is not nx.is_directed_acyclic_graph(graph)
    if loop:
        assert nx.is_simple_path(graph, loop)
        assert graph.has_edge(loop[-1], loop[0])
