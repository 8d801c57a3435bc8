import unicodedata

import pytest

from planlint.scalars import MERGE, Trap, resolve

# YAML 1.2.2, section 10.3.2 (core schema); what is not listed there is a text.
CORE = {
    "": None,
    "~": None,
    "null": None,
    "NULL": None,
    "true": True,
    "TRUE": True,
    "False": False,
    "0": 0,
    "-0": 0,
    "12": 12,
    "+12": 12,
    "-3": -3,
    "2.5": 2.5,
    "-2.5": -2.5,
    ".5": 0.5,
    "5.": 5.0,
    "1e3": 1000.0,
    "2.5E-3": 0.0025,
    "0.00012345678901234567": 0.00012345678901234567,
    "999999999999999999": 999999999999999999,
}
TEXTS = [
    "tRUE",
    "y",
    "nO problem",
    "2026-03-02",
    "2026-03-02T12:30:00Z",
    "2.5 mm²",
    "007 mm",
    "5/8",
    "-",
    "+",
    ".",
    "...5",
    "1e",
    "1.2.3",
    "-5 degC",
    "0x",
    "1:30 h",
    "inf",
    "nan",
    "S1",
]


@pytest.mark.parametrize(("text", "value"), CORE.items())
def test_core_schema(text: str, value: object) -> None:
    found = resolve(text)
    assert found == value
    assert type(found) is type(value)


@pytest.mark.parametrize("text", TEXTS)
def test_everything_else_is_text(text: str) -> None:
    assert resolve(text) == text


def test_text_is_composed() -> None:
    typed = unicodedata.normalize("NFD", "Küche")
    assert typed != "Küche"
    assert resolve(typed) == "Küche"


@pytest.mark.parametrize(
    ("text", "hinted"),
    [
        *((word, "write true or false") for word in ("yes", "No", "ON", "off", "nO")),
        ("12:30", '"12:30" in quotes'),
        ("1:30:00", '"1:30:00" in quotes'),
        ("-1:30.5", "12.5 h"),
        ("010", "write 10;"),
        ("-007", "write -7;"),
        ("00.5", "write 0.5;"),
        ("010.5e3", "write 10.5e3;"),
        ("000", "write 0;"),
        ("0x1F", "decimal figures"),
        ("0o17", "decimal figures"),
        ("0b1", "decimal figures"),
        ("1_000", "write 1000;"),
        ("1_000.5", "write 1000.5;"),
        (".nan", "leave the key out"),
        (".INF", "leave the key out"),
        ("-.inf", "leave the key out"),
        ("1234567890123456789", "fewer figures"),
        ("0.1234567890123456789", "fewer figures"),
        ("9" * 100_000, "fewer figures"),
        ("1e400", "write a smaller one"),
        ("-1e" + "9" * 5000, "write a smaller one"),
    ],
)
def test_traps_say_what_to_write(text: str, hinted: str) -> None:
    trap = resolve(text)
    assert isinstance(trap, Trap)
    assert trap.text == text
    assert hinted in trap.as_value
    assert "in quotes" in trap.as_name
    assert len(trap.why) + len(trap.as_value) < 300


def test_merge_key_is_told_from_the_word() -> None:
    assert resolve("<<") is MERGE
