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


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter) -> None:
    """Tests that need a browser are left out without one; a run that left them out says so in its own words."""
    left_out = [test for test in terminalreporter.stats.get("skipped", ()) if "no Chromium found" in str(test.longrepr)]
    if left_out:
        terminalreporter.section("browser tests")
        terminalreporter.write_line(
            f"{len(left_out)} browser tests were left out, since no Chromium was found. To have them, install it "
            f"(Debian: apt-get install chromium) or set CHROMIUM to its path."
        )
