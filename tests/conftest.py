import pytest
from hypothesis import HealthCheck, settings

# The same examples in every run, however slow the machine is: how fast we are is for the benchmarks.
settings.register_profile(
    "steady",
    deadline=None,
    derandomize=True,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.filter_too_much],
)
settings.load_profile("steady")


@pytest.fixture(autouse=True)
def page_of_eighty_columns(monkeypatch: pytest.MonkeyPatch) -> None:
    """Every report is written for a page of the usual width, whatever terminal the tests run in."""
    monkeypatch.setenv("COLUMNS", "80")
