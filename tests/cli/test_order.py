"""`planlint order` as a whole. Days are counted by hand on a calendar."""

import json
import sys
from collections.abc import Callable
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import pytest
import vobject
from jsonschema import Draft202012Validator

from planlint.schema import load_schema

ROOT = Path(__file__).parents[2]
Main = Callable[..., tuple[int, str, str]]
House = Callable[..., Path]
Order = Callable[..., dict[str, Any]]

LOCK_HOUSE = """\
plan: 1
title: Lock-keeper's house, küche
rooms:
  kitchen: {walls: [{wall: west}, {wall: north}]}
  loft: {walls: [{wall: west}]}
work:
  - {task: filling, kind: filling, rooms: [kitchen], takes: 1 d, wait: 48 h, done: 2026-05-05}
  - {task: sanding, kind: sanding, rooms: [kitchen], after: [filling], takes: 0.5 d}
  - {task: paint, kind: painting, rooms: [kitchen], after: [sanding], takes: 2 d, coats: 2, wait: 12 h}
  - {task: wiring, kind: first-fix, walls: [loft.west], takes: 1 d}
  - {task: lining, kind: closing-in, walls: [loft.west], after: [wiring], takes: 1 d}
  - {task: tidy, kind: second-fix, after: [paint, lining], takes: 6 h}
"""


@pytest.fixture
def house(tmp_path: Path) -> House:
    """Writes the plan of the lock-keeper's house, with texts of it replaced."""

    def write(*edits: tuple[str, str]) -> Path:
        text = LOCK_HOUSE
        for old, new in edits:
            assert text.count(old) == 1, old
            text = text.replace(old, new)
        file = tmp_path / "lock.plan.yaml"
        file.write_text(text, encoding="utf-8")
        return file

    return write


@pytest.fixture
def order(main: Main) -> Order:
    """The order of a plan as programs read it, held against its schema."""

    def read(plan: Path, *options: str, today: str = "2026-05-06") -> dict[str, Any]:
        status, out, err = main("order", plan, "--report=json", f"--today={today}", *options)
        assert (status, err) == (0, "")
        found: dict[str, Any] = json.loads(out)
        Draft202012Validator(load_schema("order-1")).validate(found)
        return found

    return read


@pytest.fixture
def calendar(main: Main) -> Callable[..., Any]:
    """The calendar of a plan as a reader of iCalendar sees it that is not the library that wrote it."""

    def read(plan: Path, *options: str, today: str = "2026-05-06") -> Any:  # noqa: ANN401 - the reader has no types
        status, out, err = main("order", plan, "--report=icalendar", f"--today={today}", *options)
        assert (status, err) == (0, "")
        found = vobject.readOne(out)
        assert found.validate(raiseException=True)
        return found

    return read


Calendar = Callable[..., Any]


def said(text: str) -> str:
    return " ".join(text.split())


def by_name(order: dict[str, Any]) -> dict[str, dict[str, Any]]:
    return {task["name"]: task for task in order["tasks"]}


def entries(calendar: Any) -> dict[str, tuple[date, date]]:  # noqa: ANN401 - the reader has no types
    """What stands in a calendar, with its first and its last day."""
    return {
        event.summary.value: (event.dtstart.value, event.dtend.value - timedelta(days=1))
        for event in calendar.contents.get("vevent", [])
    }


def test_the_schema_is_one_and_is_printed(main: Main) -> None:
    schema = json.loads(main("schema", "order")[1])
    Draft202012Validator.check_schema(schema)
    assert schema["title"] == "the order of work"


def test_days_by_the_calendar(house: House, order: Order) -> None:
    """Filling is done on 5 May, and dry 48 h after the end of it: 8 May. Half a day to sand, two coats of a day with
    12 h after each: noon of 8 May, 24 h, 12 h, 24 h are 11 May, and dry at noon.
    """
    found = order(house())
    tasks = by_name(found)
    assert [*tasks] == ["filling", "wiring", "lining", "sanding", "paint", "tidy"]
    assert tasks["filling"]["dries_until"] == "2026-05-08T00:00"
    assert tasks["sanding"]["earliest"]["start"] == "2026-05-08T00:00"
    assert tasks["paint"]["earliest"] == {
        "start": "2026-05-08T12:00",
        "finish": "2026-05-11T00:00",
        "free": "2026-05-11T12:00",
    }
    assert found["end"] == "2026-05-11T18:00"
    # Lining is done by the end of 7 May and has to be at noon of 11 May: 3.5 days.
    assert (tasks["lining"]["float"], tasks["lining"]["critical"]) == (84, False)
    assert tasks["lining"]["latest"] == {"start": "2026-05-10T12:00", "finish": "2026-05-11T12:00"}
    assert tasks["paint"]["critical"]
    assert [task["state"] for task in found["tasks"]] == ["done", "can-begin", "waits", "waits", "waits", "waits"]
    assert [tasks[name]["hold_point"] for name in ("lining", "sanding", "paint")] == ["closing-in", None, "painting"]
    assert tasks["paint"]["meanwhile"] == ["wiring", "lining"]


def test_text_reads_from_day_to_day(main: Main, house: House) -> None:
    status, out, err = main("order", house(), "--today", "2026-05-06")
    assert (status, err) == (0, "")
    text = said(out)
    assert "On Wed 2026-05-06: 6 tasks, 1 of them done." in text
    assert "All of the plan can be done and dry by the end of Mon 2026-05-11." in text
    assert "Thu 2026-05-07 Hold point closing-in: lining begins once loft.west is released for it. Thu" in text
    assert "paint from 12:00: painting in kitchen, 2 days in 2 coats, to Sun 2026-05-10. After sanding." in text
    assert "12 h of waiting after each coat, over on Mon 2026-05-11 at 12:00; meanwhile wiring and lining can" in text
    assert "tidy from 12:00: second-fix everywhere, 6 h, until 18:00. After paint and lining. The end hangs on" in text
    assert "Tue 2026-05-05 filling: filling" not in text
    assert "It dries or sets until Fri 2026-05-08; meanwhile wiring and lining can begin." in text


def test_next_is_what_can_be_begun_today(main: Main, house: House, order: Order) -> None:
    assert [*by_name(order(house(), "--next"))] == ["filling", "wiring"]
    text = said(main("order", house(), "--next", "--today=2026-05-06")[1])
    assert "What can be begun on Wed 2026-05-06 Wed 2026-05-06 wiring: first-fix in loft.west, 1 day. It may" in text
    assert "What is drying or setting Tue 2026-05-05 filling: in kitchen. It dries or sets until Fri" in text
    assert "paint" not in text


def test_next_where_there_is_nothing_says_what_is(main: Main, house: House) -> None:
    text = said(main("order", house(), "--next", "--place=kitchen", "--today=2026-05-06")[1])
    assert "Nothing; sanding is the next that can, on Fri 2026-05-08." in text


def test_where_all_is_done(main: Main, house: House, order: Order) -> None:
    edits = [(f"takes: {takes}}}", "done: 2026-05-06}") for takes in ("0.5 d", "6 h")]
    edits += [
        ("[loft.west], takes: 1 d", "[loft.west], done: 2026-05-06"),
        ("[wiring], takes: 1 d", "done: 2026-05-06"),
    ]
    plan = house(*edits, ("12 h}", "12 h, done: 2026-05-06}"), ("after: done", "after: [wiring], done"))
    assert order(plan, today="2026-07-01")["end"] is None
    text = said(main("order", plan, "--next", "--today=2026-07-01")[1])
    assert "6 tasks, 6 of them done. What can be begun on Wed 2026-07-01 Nothing: all of it is done." in text


def test_a_place_shows_its_tasks_by_the_days_of_all(house: House, order: Order, main: Main) -> None:
    whole, part = order(house()), order(house(), "--place", "loft.west")
    assert [*by_name(part)] == ["wiring", "lining", "tidy"]
    assert all(by_name(whole)[task["name"]] == task for task in part["tasks"])
    assert (part["in_plan"], part["place"]) == (6, "loft.west")
    assert "3 of its 6 tasks bear on loft.west, none of them done." in said(
        main("order", house(), "--place", "loft.west", "--today=2026-05-06")[1]
    )


def test_an_unknown_place_is_trouble(main: Main, house: House) -> None:
    status, out, err = main("order", house(), "--place", "lofft")
    assert (status, out) == (2, "")
    assert "did you mean loft?" in err


def test_late_comes_first(main: Main, house: House, order: Order) -> None:
    plan = house(("[wiring], takes: 1 d", "[wiring], takes: 1 d, done: 2026-05-04"))
    assert by_name(order(plan))["wiring"]["late"] == {"since": "2026-05-04", "overtaken_by": ["lining"]}
    text = said(main("order", plan, "--today=2026-05-06")[1])
    assert "Late wiring is not done, yet lining, which comes after it, has been done since Mon 2026-05-04:" in text
    assert text.index("Late") < text.index("What is to come")


def test_what_the_end_hangs_on_may_be_late(main: Main, house: House, order: Order) -> None:
    """Dry on 8 May and sanded by noon of it, so that on 12 May it is late."""
    assert by_name(order(house(), today="2026-05-09"))["sanding"]["late"] is None
    assert by_name(order(house(), today="2026-05-12"))["sanding"]["late"] == {"since": "2026-05-08", "overtaken_by": []}
    text = said(main("order", house(), "--today=2026-05-12")[1])
    assert "sanding could have been done by Fri 2026-05-08, and the end hangs on it:" in text


def test_a_loop_is_told_and_the_rest_has_its_days(main: Main, house: House, order: Order) -> None:
    plan = house((", wait: 48 h, done: 2026-05-05", ", wait: 48 h, after: [paint]"))
    found = order(plan)
    assert found["loop"] == ["filling", "sanding", "paint"]
    assert found["end"] is None
    tasks = by_name(found)
    assert {name for name, task in tasks.items() if task["state"] == "held-up"} == {
        "filling",
        "sanding",
        "paint",
        "tidy",
    }
    assert tasks["tidy"]["earliest"] is None
    assert tasks["lining"]["earliest"]["start"] == "2026-05-07T00:00"
    text = said(main("order", plan, "--today=2026-05-06")[1])
    assert "filling comes before sanding, which comes before paint, which comes before filling again" in text
    assert "Until then 4 tasks have no day." in text
    assert "The end hangs on it" not in text
    assert "Nothing, until" not in said(main("order", plan, "--next", "--today=2026-05-06")[1])


def test_what_waits_for_itself(main: Main, house: House) -> None:
    text = said(main("order", house(("takes: 6 h", "takes: 6 h, wait: 1 h"), ("[paint, lining]", "[tidy]")))[1])
    assert "tidy comes before itself, so that none of it can ever begin" in text


def test_what_is_not_recorded_is_said(main: Main, house: House, order: Order) -> None:
    plan = house((", takes: 6 h", ""), ("2, wait: 12 h", "2"), ("after: [wiring]", "after: [wiring, photos]"))
    tasks = by_name(order(plan))
    assert tasks["tidy"]["missing"] == ["takes"]
    assert tasks["paint"]["missing"] == ["wait"]
    assert tasks["lining"]["not_in_plan"] == ["photos"]
    text = said(main("order", plan, "--today=2026-05-06")[1])
    assert "How long it takes is not recorded of tidy (add takes)" in text
    assert "How long it dries is not recorded of paint (add wait)" in text
    assert "lining is to come after photos, of which the plan knows nothing." in text


def test_a_plan_without_work(main: Main, house: House, order: Order) -> None:
    text = LOCK_HOUSE.partition("work:")[0]
    plan = house()
    plan.write_text(text, encoding="utf-8")
    assert order(plan)["tasks"] == []
    assert "It records no work; `planlint words task` says how a task is written." in said(main("order", plan)[1])


def test_work_without_end_is_refused(main: Main, house: House) -> None:
    status, out, err = main("order", house(("takes: 6 h", "takes: 900000000 weeks")))
    assert (status, out) == (2, "")
    assert ":12:5: the work would end after the year 9999; tidy alone goes on for too long" in err


def test_the_last_days_of_the_calendar(main: Main, house: House) -> None:
    assert main("order", house(), "--today=9999-12-31")[0] == 2
    assert main("order", house(), "--today=9999-12-01", "--report=icalendar")[0] == 0


# ---- The calendar ------------------------------------------------------------------------------------------------


def test_calendar_has_what_is_not_done_and_the_hold_points_before(house: House, calendar: Calendar) -> None:
    """A hold point stands on the day before its task; an entry takes every day that its task touches."""
    assert entries(calendar(house())) == {
        "wiring: first-fix, loft.west": (date(2026, 5, 6), date(2026, 5, 6)),
        "Hold point closing-in: release loft.west before lining": (date(2026, 5, 6), date(2026, 5, 6)),
        "lining: closing-in, loft.west": (date(2026, 5, 7), date(2026, 5, 7)),
        "sanding, kitchen": (date(2026, 5, 8), date(2026, 5, 8)),
        "Hold point painting: release kitchen before paint": (date(2026, 5, 7), date(2026, 5, 7)),
        "paint: painting, kitchen": (date(2026, 5, 8), date(2026, 5, 10)),
        "tidy: second-fix, the whole plan": (date(2026, 5, 11), date(2026, 5, 11)),
    }


def test_a_hold_point_is_never_in_the_past(house: House, calendar: Calendar) -> None:
    plan = house(("after: [wiring], ", ""))
    day = entries(calendar(plan))["Hold point closing-in: release loft.west before lining"]
    assert day == (date(2026, 5, 6), date(2026, 5, 6))


def test_calendar_says_what_to_know(house: House, calendar: Calendar) -> None:
    told = {event.summary.value: event.description.value for event in calendar(house()).vevent_list}
    assert told["paint: painting, kitchen"] == (
        "After sanding. Takes 2 days in 2 coats. Then 12 h of waiting after each coat, over at 12:00 on 2026-05-11. "
        "Meanwhile wiring and lining can begin. The end of the work hangs on it."
    )
    assert "licensed people decide" in told["Hold point painting: release kitchen before paint"]


def test_identifiers_outlast_a_change_of_days(house: House, calendar: Calendar) -> None:
    """Whoever imports the calendar again finds the entries moved, not doubled."""

    def identifiers(found: Any) -> dict[str, str]:  # noqa: ANN401 - the reader has no types
        return {event.summary.value: event.uid.value for event in found.vevent_list}

    before = identifiers(calendar(house()))
    after = identifiers(calendar(house(("takes: 0.5 d", "takes: 9 d")), today="2026-05-07"))
    assert before == after
    assert len({*before.values()}) == len(before)
    other = identifiers(calendar(house(("Lock-keeper's house", "Mill"))))
    assert not {*before.values()} & {*other.values()}


def test_entries_leave_the_day_free_and_carry_the_day_of_the_run(house: House, calendar: Calendar) -> None:
    found = calendar(house())
    assert {event.transp.value for event in found.vevent_list} == {"TRANSPARENT"}
    assert {event.dtstamp.value.isoformat() for event in found.vevent_list} == {"2026-05-06T00:00:00+00:00"}
    assert found.contents["x-wr-calname"][0].value == "Lock-keeper's house, küche"


def test_calendar_of_next_and_of_nothing(house: House, calendar: Calendar) -> None:
    assert [*entries(calendar(house(), "--next"))] == ["wiring: first-fix, loft.west"]
    assert entries(calendar(house(), "--next", "--place=kitchen")) == {}


def test_calendar_keeps_to_the_form(main: Main, house: House) -> None:
    """RFC 5545, 3.1: lines end in CRLF and have 75 bytes at most."""
    out = main("order", house(), "--report=icalendar", "--today=2026-05-06")[1]
    lines = out.split("\r\n")
    assert lines[0] == "BEGIN:VCALENDAR"
    assert lines[-2:] == ["END:VCALENDAR", ""]
    assert all("\n" not in line and len(line.encode()) <= 75 for line in lines)


def test_a_file_has_the_bytes_of_standard_output(main: Main, house: House, tmp_path: Path) -> None:
    for form in ("text", "json", "icalendar"):
        file = tmp_path / form
        assert main("order", house(), f"--report={form}={file}", "--today=2026-05-06") == (0, "", "")
        out = main("order", house(), f"--report={form}", "--today=2026-05-06")[1]
        assert file.read_bytes().decode() == out
        assert out == main("order", house(), f"--report={form}", "--today=2026-05-06")[1]


def test_without_the_library_it_says_what_to_install(main: Main, house: House, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delitem(sys.modules, "planlint.reports.order_calendar", raising=False)
    monkeypatch.setitem(sys.modules, "icalendar", None)
    status, out, err = main("order", house(), "--report=icalendar")
    assert (status, out) == (2, "")
    assert "the package icalendar is not installed; `python -m pip install icalendar` installs" in err
    assert main("order", house())[0] == 0


def test_wrong_usage(main: Main, house: House) -> None:
    assert "there is no report called ical; did you mean icalendar?" in main("order", house(), "--report=ical")[2]
    assert "cannot both go to standard output" in main("order", house(), "--report=json", "--report=icalendar")[2]
    assert "is not a day" in main("order", house(), "--today=tomorrow")[2]


# Releases


def study(tmp_path: Path) -> Path:
    file = tmp_path / "study.plan.yaml"
    file.write_bytes((ROOT / "examples/weigh-house/ready-to-close.plan.yaml").read_bytes())
    return file


def lining(order: Order, plan: Path) -> dict[str, Any]:
    found = order(plan, today="2026-10-03")
    return next(task for task in found["tasks"] if task["name"] == "lining")


def release(main: Main, plan: Path, place: str) -> None:
    asked = ("--hold-point=closing-in", f"--place={place}", "--by=A. Mason", "--today=2026-10-03")
    assert main("release", plan, *asked)[0] == 0


def test_what_is_released_is_said_and_what_is_still_to_be(main: Main, order: Order, tmp_path: Path) -> None:
    """The study has six faces to be lined; released one by one or all at once, the room is released."""
    plan = study(tmp_path)
    assert (lining(order, plan)["releases"], lining(order, plan)["to_release"]) == ([], ["study"])
    release(main, plan, "study.west")
    west = {"place": "study.west", "date": "2026-10-03", "by": "A. Mason", "overtaken": False}
    found = lining(order, plan)
    assert found["releases"] == [west]
    rest = ["north-left", "breast-left", "breast-face", "breast-right", "north-right"]
    assert found["to_release"] == [f"study.{name}" for name in rest]
    for name in rest:
        release(main, plan, f"study.{name}")
    assert lining(order, plan)["to_release"] == []
    release(main, plan, "study")
    assert lining(order, plan)["releases"] == [west | {"place": "study"}]
    shown = " ".join(main("order", plan, "--today=2026-10-03")[1].split())
    assert "Hold point closing-in: released for study on 2026-10-03 by A. Mason." in shown
    calendar = main("order", plan, "--today=2026-10-03", "--report=icalendar")[1]
    assert "Hold point closing-in" not in calendar
    assert "Hold point painting" in calendar


def test_a_release_that_facts_have_overtaken_does_not_count(main: Main, order: Order, tmp_path: Path) -> None:
    plan = study(tmp_path)
    release(main, plan, "study")
    text = plan.read_text(encoding="utf-8")
    plan.write_text(text.replace("0.15 m: 19 %", "0.15 m: 18 %"), encoding="utf-8")
    found = lining(order, plan)
    assert [one["overtaken"] for one in found["releases"]] == [True]
    assert found["to_release"] == ["study"]


def test_a_damaged_record_is_said_and_the_order_still_given(main: Main, tmp_path: Path) -> None:
    plan = study(tmp_path)
    plan.with_name("study.releases.yaml").write_text("release: 1\nplan: stu", encoding="utf-8")
    status, out, err = main("order", plan, "--today=2026-10-03")
    assert status == 2
    assert "lining: closing-in in study" in out
    assert "this release record cannot be used" in err
