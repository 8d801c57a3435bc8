import json
from collections.abc import Callable
from dataclasses import replace
from datetime import date, datetime

import pytest
import vobject
from jsonschema import Draft202012Validator, ValidationError

from planlint.order_records import Late, OrderOfWork, Span, State, TaskCard, When
from planlint.records import HoldPoint, Release
from planlint.reports import order, order_calendar, order_json
from planlint.reports.page import Page
from planlint.schema import load_schema

Golden = Callable[[str, str], None]


def moments(start: str, finish: str, free: str, latest: tuple[str, str], total_float: float) -> When:
    """Moments that are made up, as everything here: reports do no sums."""
    return When(
        start=datetime.fromisoformat(start),
        finish=datetime.fromisoformat(finish),
        free=datetime.fromisoformat(free),
        latest_start=datetime.fromisoformat(latest[0]),
        latest_finish=datetime.fromisoformat(latest[1]),
        total_float=total_float,
    )


@pytest.fixture
def screed() -> TaskCard:
    """Done, and drying."""
    return TaskCard(
        name="screed",
        kind="screed",
        place="work.screed",
        where=("mill", "loft"),
        hold_point=None,
        releases=(),
        to_release=(),
        after=(),
        not_in_plan=(),
        takes=Span(48, "2 days"),
        wait=Span(720, "30 days"),
        coats=1,
        state=State.DONE,
        done=date(2026, 9, 20),
        when=None,
        dries_until=datetime(2026, 10, 21),  # noqa: DTZ001 - the clock on the site
        meanwhile=("lining",),
        late=None,
        missing=(),
    )


@pytest.fixture
def lining(screed: TaskCard) -> TaskCard:
    """Can begin at once, stands behind a hold point, and is late, for the end hangs on it."""
    return replace(
        screed,
        name="lining",
        kind="closing-in",
        place="work.lining",
        where=("mill.north", "mill.east"),
        hold_point=HoldPoint.CLOSING_IN,
        releases=(Release("mill.north", "2026-09-30", "A. Mason", overtaken=False),),
        to_release=("mill.east",),
        after=("wiring", "photos"),
        not_in_plan=("photos",),
        takes=Span(12, "12 h"),
        wait=None,
        state=State.CAN_BEGIN,
        done=None,
        when=moments("2026-10-03", "2026-10-03T12:00", "2026-10-03T12:00", ("2026-10-03T00:00", "2026-10-03T12:00"), 0),
        dries_until=None,
        meanwhile=(),
        late=Late(since=date(2026, 9, 30), overtaken_by=()),
    )


@pytest.fixture
def paint(lining: TaskCard) -> TaskCard:
    """To come, in two coats, of which little is recorded; overtaken by two others."""
    return replace(
        lining,
        name="paint",
        kind="painting",
        place="work.paint",
        where=(),
        hold_point=HoldPoint.PAINTING,
        releases=(Release("plan", "2026-09-30", "A. Mason", overtaken=True),),
        to_release=("plan",),
        after=("lining",),
        not_in_plan=(),
        takes=None,
        wait=Span(12, "12 h"),
        coats=2,
        state=State.WAITS,
        when=moments(
            "2026-10-03T12:00", "2026-10-04", "2026-10-04T12:00", ("2026-10-05T00:00", "2026-10-05T12:00"), 36
        ),
        meanwhile=("lamps", "door"),
        late=Late(since=date(2026, 10, 1), overtaken_by=("fittings", "lamps")),
        missing=("takes", "wait"),
    )


@pytest.fixture
def held_up(paint: TaskCard) -> TaskCard:
    return replace(
        paint, name="lamps", kind="second-fix", hold_point=None, state=State.HELD_UP, when=None, late=None, missing=()
    )


@pytest.fixture
def mill(screed: TaskCard, lining: TaskCard, paint: TaskCard) -> OrderOfWork:
    return OrderOfWork(
        plan="mill.plan.yaml",
        title="Mill on the dyke, küche",
        digest="sha256:" + "0" * 64,
        today=date(2026, 10, 3),
        place=None,
        only_next=False,
        tasks=(screed, lining, paint),
        in_plan=3,
        loop=(),
        end=datetime(2026, 10, 21),  # noqa: DTZ001 - the clock on the site
    )


@pytest.fixture
def circling(mill: OrderOfWork, held_up: TaskCard) -> OrderOfWork:
    """The same with tasks that wait for each other."""
    return replace(mill, tasks=(*mill.tasks, held_up), in_plan=4, loop=("lamps", "door", "lock"), end=None)


def test_text(mill: OrderOfWork, golden: Golden) -> None:
    golden("order.txt", order.render(mill, Page()))


def test_text_of_what_is_next(mill: OrderOfWork, golden: Golden) -> None:
    golden("order-next.txt", order.render(replace(mill, only_next=True), Page()))


def test_text_of_a_loop(circling: OrderOfWork, golden: Golden) -> None:
    golden("order-loop.txt", order.render(circling, Page()))


@pytest.mark.parametrize("width", [40, 80, 100])
def test_text_keeps_to_the_page(circling: OrderOfWork, width: int) -> None:
    text = order.render(circling, Page(width))
    # A word that is longer than the page stands alone on its line: people copy keys and places.
    assert [line for line in text.split("\n") if len(line) > width and " " in line.strip()] == []


def test_nothing_in_a_plan_steers_the_terminal(mill: OrderOfWork) -> None:
    text = order.render(replace(mill, title="Mill\x1b[2J", plan="a\x07.yaml"), Page())
    assert "\x1b" not in text
    assert "\x07" not in text


def test_colour_adds_nothing_but_colour(circling: OrderOfWork) -> None:
    plain = order.render(circling, Page())
    coloured = order.render(circling, Page(colour=True))
    assert coloured != plain
    for code in ("\x1b[1m", "\x1b[1;31m", "\x1b[2m", "\x1b[0m"):
        coloured = coloured.replace(code, "")
    assert coloured == plain


def test_where_nothing_can_be_put_off_it_is_said_once(mill: OrderOfWork, screed: TaskCard, lining: TaskCard) -> None:
    text = " ".join(order.render(replace(mill, tasks=(screed, lining)), Page()).split())
    assert "None of what is to come can be put off without moving that day." in text
    assert "The end hangs on it" not in text


def test_what_ends_at_midnight_ends_on_the_day_before(paint: TaskCard, lining: TaskCard) -> None:
    assert paint.when
    assert lining.when
    assert order.last_day(paint.when) == date(2026, 10, 3)
    assert order.last_day(lining.when) == date(2026, 10, 3)
    # What takes no time is over on the day on which it begins, be it at midnight.
    assert order.last_day(replace(lining.when, finish=lining.when.start)) == date(2026, 10, 3)


@pytest.fixture
def validator() -> Draft202012Validator:
    return Draft202012Validator(load_schema("order-1"))


def test_json(mill: OrderOfWork, golden: Golden, validator: Draft202012Validator) -> None:
    text = order_json.render(mill, "1.2.3")
    golden("order.json", text)
    validator.validate(json.loads(text))


def test_json_of_a_loop(circling: OrderOfWork, validator: Draft202012Validator) -> None:
    report = json.loads(order_json.render(circling, "1.2.3"))
    validator.validate(report)
    assert report["loop"] == ["lamps", "door", "lock"]
    assert (report["tasks"][-1]["state"], report["tasks"][-1]["float"]) == ("held-up", None)


@pytest.mark.parametrize(
    ("key", "value"),
    [("state", "begun"), ("done", "3 October"), ("earliest", {}), ("float", -1), ("late", False), ("takes", "2 days")],
)
def test_the_schema_refuses_what_is_wrong(
    mill: OrderOfWork, validator: Draft202012Validator, key: str, value: object
) -> None:
    report = json.loads(order_json.render(mill, "1.2.3"))
    report["tasks"][0][key] = value
    with pytest.raises(ValidationError):
        validator.validate(report)


def test_calendar(circling: OrderOfWork, golden: Golden) -> None:
    text = order_calendar.render(circling, "1.2.3")
    golden("order.ics", text.replace("\r\n", "\n"))
    found = vobject.readOne(text)
    assert found.validate(raiseException=True)
    # What is done or has no day is not in it; before what stands behind a hold point comes an entry of its own.
    assert [event.summary.value for event in found.vevent_list] == [
        "Hold point closing-in: release mill.east before lining",
        "lining: closing-in, mill.north and mill.east",
        "Hold point painting: release the whole plan before paint",
        "paint: painting, the whole plan",
    ]


def test_calendar_of_what_is_next(mill: OrderOfWork) -> None:
    found = vobject.readOne(order_calendar.render(replace(mill, only_next=True), "1.2.3"))
    assert len(found.vevent_list) == 2
