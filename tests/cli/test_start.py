import json
from collections.abc import Callable
from pathlib import Path

import pytest

Main = Callable[..., tuple[int, str, str]]


def test_the_first_plan_has_no_mistake_and_is_read_as_written(main: Main, plan: Path) -> None:
    status, out, _ = main("inspect", plan, "--report=json")
    tally = json.loads(out)["plans"][0]["tally"]
    assert (status, tally["fail"], tally["review"], tally["crashed"]) == (0, 0, 0, 0)
    assert tally["pass"] > 10
    assert tally["open"] > 0


def test_what_the_comments_offer_can_be_added(main: Main, plan: Path) -> None:
    lines = plan.read_text(encoding="utf-8").splitlines()
    begin = next(index for index, line in enumerate(lines) if line.lstrip().startswith("# readings:"))
    for index in range(begin, begin + 5):
        lines[index] = lines[index].replace("# ", "", 1)
    plan.write_text("\n".join(lines), encoding="utf-8")
    status, _, err = main("inspect", plan, "--today=2026-10-03", "--report=json")
    assert (status in {0, 1}, err) == (True, "")


def test_a_file_that_is_there_is_left_alone(main: Main, tmp_path: Path) -> None:
    file = tmp_path / "mine.plan.yaml"
    file.write_text("mine", encoding="utf-8")
    status, out, err = main("start", file)
    assert (status, out) == (2, "")
    assert "this file is there already" in err
    assert file.read_text(encoding="utf-8") == "mine"


def test_one_more_room_fits_below_the_first(main: Main, plan: Path) -> None:
    status, room, _ = main("start", "--room", "küche")
    assert status == 0
    plan.write_text(plan.read_text(encoding="utf-8") + room, encoding="utf-8")
    status, out, err = main("inspect", plan, "--report=json")
    assert (status, err) == (0, "")
    assert any(found["place"].startswith("küche.") for found in json.loads(out)["plans"][0]["findings"])


@pytest.mark.parametrize("name", ["", "1", "a b", "supply", "a: b", "a.b", '"', "{", "a\n  b", "no"])
def test_a_name_that_no_room_can_have(main: Main, name: str) -> None:
    status, out, err = main("start", "--room", name)
    assert (status, out) == (2, "")
    assert "cannot be the name of a room" in err


def test_a_file_or_a_room(main: Main, tmp_path: Path) -> None:
    assert main("start")[0] == 2
    assert main("start", tmp_path / "a.plan.yaml", "--room", "hall")[0] == 2
    assert list(tmp_path.iterdir()) == []


def test_another_ending_is_written_with_a_word_about_it(main: Main, tmp_path: Path) -> None:
    status, _, err = main("start", tmp_path / "a.yaml")
    assert status == 0
    assert "a.plan.yaml would do" in err
