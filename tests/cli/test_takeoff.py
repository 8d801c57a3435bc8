"""`planlint takeoff` as a whole."""

import csv
import io
import json
from collections.abc import Callable
from pathlib import Path

import pytest
from jsonschema import Draft202012Validator

from planlint.schema import load_schema

Main = Callable[..., tuple[int, str, str]]
SMALL_HOUSE = Path(__file__).parents[2] / "examples/ferry-cottage.plan.yaml"


def test_the_schema_is_one_and_is_printed(main: Main) -> None:
    schema = json.loads(main("schema", "takeoff")[1])
    Draft202012Validator.check_schema(schema)
    assert schema["title"] == "the takeoff"


def test_json_is_as_its_schema_says(main: Main) -> None:
    status, out, err = main("takeoff", SMALL_HOUSE, "--report=json")
    assert (status, err) == (0, "")
    found = json.loads(out)
    Draft202012Validator(load_schema("takeoff-1")).validate(found)
    assert found["takeoff"] == 1
    assert set(found["boards"]) <= {"narrow", "moist", "panel", "strand", "strand-half"}
    assert main("takeoff", SMALL_HOUSE, "--report=json")[1] == out


def test_text_names_pieces_by_wall_with_widths_height_and_edges(main: Main) -> None:
    status, out, err = main("takeoff", SMALL_HOUSE, "--place", "hall")
    assert (status, err) == (0, "")
    for heading in ("To take to the shop", "To take to the saw", "What hangs where", "Take care"):
        assert heading in out
    said = " ".join(out.split())
    assert "left cut, right tapered" in said or "left tapered, right cut" in said
    assert "all of the plan" not in said


def test_csv_has_a_row_for_each_piece(main: Main, tmp_path: Path) -> None:
    file = tmp_path / "cut.csv"
    status, out, err = main("takeoff", SMALL_HOUSE, "--report", f"csv={file}", "--report=json")
    assert (status, err) == (0, "")
    rows = list(csv.DictReader(io.StringIO(file.read_text(encoding="utf-8"), newline="")))
    saw = [row for row in rows if row["list"] == "saw"]
    assert sorted(row["place"] for row in saw) == sorted(piece["piece"] for piece in json.loads(out)["pieces"])
    assert any(row["list"] == "shop" and row["item"] == "sheet of narrow" for row in rows)


def test_a_plan_without_linings_takes_nothing(main: Main, plan: Path) -> None:
    status, out, err = main("takeoff", plan)
    assert (status, err) == (0, "")
    assert "To take to the shop" in out


@pytest.mark.parametrize(
    ("options", "said"),
    [
        (("--place", "hal"), "there is no place called hal"),
        (("--report", "pdf"), "there is no report called pdf"),
        (("--seconds", "0"), "--seconds"),
    ],
)
def test_wrong_use_is_trouble(main: Main, options: tuple[str, ...], said: str) -> None:
    status, out, err = main("takeoff", SMALL_HOUSE, *options)
    assert (status, out) == (2, "")
    assert said in err
