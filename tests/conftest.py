import pytest


@pytest.fixture(autouse=True)
def page_of_eighty_columns(monkeypatch: pytest.MonkeyPatch) -> None:
    """Every report is written for a page of the usual width, whatever terminal the tests run in."""
    monkeypatch.setenv("COLUMNS", "80")
