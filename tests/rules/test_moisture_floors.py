from collections.abc import Callable
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planlint.records import PlanRecord, Verdict

Inspect = Callable[..., PlanRecord]
calm = settings(derandomize=True, deadline=None, max_examples=40)


def test_case(case: dict[str, Any], hold: Callable[[dict[str, Any]], None]) -> None:
    hold(case)


def plan(floor: str, work: str = "[]") -> str:
    rooms = f"{{hall: {{floor: {{{floor}}}, walls: [{{wall: west}}]}}, other: {{walls: [{{wall: east}}]}}}}"
    return f"plan: 1\ntitle: t\nwork: {work}\nrooms: {rooms}\n"


@pytest.mark.parametrize(
    ("rooms", "open_at"), [("", {"hall.floor", "other.floor"}), (", rooms: [other]", {"other.floor"})]
)
def test_a_screed_in_the_work_is_asked_about_in_its_rooms_alone(
    inspect: Inspect, rooms: str, open_at: set[str]
) -> None:
    record = inspect(plan("build_up: 65 mm", f"[{{task: pour, kind: screed{rooms}}}]"), "screed-dry-enough")
    assert {finding.place for finding in record.findings} == open_at
    assert record.tally[Verdict.NOT_APPLICABLE] == 2 - len(open_at)


@calm
@given(
    st.sampled_from(["cement", "calcium-sulphate"]),
    st.booleans(),
    st.lists(st.integers(0, 30), min_size=2, max_size=5),
    st.sets(st.sampled_from(["screed", "heated"])),
)
def test_the_wettest_decides_and_what_is_not_recorded_never_lets_it_pass(
    inspect: Inspect,
    screed: str,
    is_heated: bool,  # noqa: FBT001 - drawn
    tenths: list[int],
    lost: set[str],
) -> None:
    # From the trade pages, as quoted, in tenths of a percent.
    most = {("cement", False): 20, ("cement", True): 18, ("calcium-sulphate", False): 5, ("calcium-sulphate", True): 3}
    tests = ", ".join(f"{{scale: carbide, value: {value / 10} %}}" for value in tenths)
    known = {"screed": screed, "heated": str(is_heated).lower()}
    written = [f"{key}: {value}" for key, value in known.items() if key not in lost]
    found = inspect(plan(", ".join([*written, f"readings: [{tests}]"])), "screed-dry-enough").findings
    is_dry = max(tenths) <= most[screed, is_heated]
    if not lost:
        assert (not found) == is_dry
    assert found or is_dry
    # What is not recorded is never held against the screed either.
    assert not is_dry or all(finding.outcome is Verdict.OPEN for finding in found)
