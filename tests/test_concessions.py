"""Leave to live with a finding, as the engine holds it against what hand-made rules found."""

from collections.abc import Callable
from datetime import date

import pytest

from planlint import source
from planlint.inspection import ENGINE_CARDS, Wanted, inspect
from planlint.model.rooms import Corner, Room, Wall
from planlint.records import Finding, HoldPoint, Level, PlanRecord, Verdict
from planlint.registry import Rulebook, load
from planlint.rule import NOT_APPLICABLE, PASS, Fail, Given, Open, Outcome, Remedy, Review, rule

TODAY = date(2026, 6, 1)
MINE = "concession-in-force"
PLAN = """
plan: 1
title: the dairy
rooms:
  churn:
    outline: partial
    walls:
    - {wall: west, then: right}
    - {wall: north}
"""


@rule("walls-are-straight", judges=Wall, level=Level.ERROR, guards=HoldPoint.CLOSING_IN)
def walls_are_straight(wall: Wall, given: Given) -> Outcome:  # noqa: ARG001 - every rule takes both
    """The west wall is straight.

    Why: so that something fails.
    Source: this test.
    """
    return Fail("the wall leans", remedy=Remedy("pull it up")) if wall.name == "west" else PASS


@rule("roof-holds", judges=Room, level=Level.ERROR, guards=HoldPoint.CLOSING_IN, guards_life=True, caution="stay out")
def roof_holds(room: Room, given: Given) -> Outcome:  # noqa: ARG001 - every rule takes both
    """The roof holds.

    Why: so that something fails that nobody may concede.
    Source: this test.
    """
    return Fail("the roof hangs", remedy=Remedy("prop it"))


@rule("beam-looked-at", judges=Corner, level=Level.ERROR, guards=HoldPoint.PAINTING)
def beam_looked_at(corner: Corner, given: Given) -> Outcome:  # noqa: ARG001 - every rule takes both
    """Somebody looked at the beam.

    Why: so that something wants a person.
    Source: this test.
    """
    return Review("have somebody look at the beam")


@rule("colour-recorded", judges=Room, level=Level.NOTE, guards=HoldPoint.PAINTING, needs=("colour",))
def colour_recorded(room: Room, given: Given) -> Outcome:  # noqa: ARG001 - every rule takes both
    """The colour is recorded.

    Why: so that something is open.
    Source: this test.
    """
    return Open("the colour", "colour") if room.name == "churn" else NOT_APPLICABLE


RULES = (walls_are_straight, roof_holds, beam_looked_at, colour_recorded)


@pytest.fixture(scope="module")
def book() -> Rulebook:
    return Rulebook(RULES, (*(each.card("test") for each in RULES), *ENGINE_CARDS), load().limit_folders)


@pytest.fixture
def record(book: Rulebook) -> Callable[..., PlanRecord]:
    def run(*lines: str, reviews: str = "", **wanted: object) -> PlanRecord:
        text = PLAN + "".join(f"{line}\n" for line in ("concessions:", *lines) if lines) + reviews
        return inspect(source.read(text.encode(), "dairy.plan.yaml"), book, Wanted(**{"today": TODAY} | wanted))  # type: ignore[arg-type] # as the test says

    return run


def leave(name: str, at: str, until: str = "2026-12-31") -> str:
    return f"- {{rule: {name}, at: {at}, reason: it is only a shed, agreed_by: the dairymaid, until: {until}}}"


def of(record: PlanRecord, name: str) -> list[Finding]:
    return [finding for finding in record.findings if finding.rule == name]


def test_without_a_concession_nothing_is_said_of_any(record: Callable[..., PlanRecord]) -> None:
    plain = record()
    assert of(plain, MINE) == []
    assert plain.tally[Verdict.CONCEDED] == 0
    assert plain.tally[Verdict.FAIL] == 2


def test_in_force(record: Callable[..., PlanRecord]) -> None:
    found = record(leave("walls-are-straight", "churn.west"))
    (leaning,) = of(found, "walls-are-straight")
    assert leaning.conceded
    assert (leaning.conceded.reason, leaning.conceded.agreed_by) == ("it is only a shed", "the dairymaid")
    assert leaning.conceded.until == "2026-12-31"
    assert of(found, MINE) == []
    # Counted under conceded alone; the other fail stays.
    assert (found.tally[Verdict.CONCEDED], found.tally[Verdict.FAIL]) == (1, 1)


def test_its_last_day_still_counts_and_the_next_does_not(record: Callable[..., PlanRecord]) -> None:
    entry = leave("walls-are-straight", "churn.west", until="2026-06-01")
    assert record(entry).tally[Verdict.CONCEDED] == 1
    late = record(entry, today=date(2026, 6, 2))
    assert late.tally[Verdict.CONCEDED] == 0
    (leaning,) = of(late, "walls-are-straight")
    assert leaning.conceded is None
    (over,) = of(late, MINE)
    assert "ran out on 2026-06-01" in over.message
    assert (over.level, over.place) == (Level.WARNING, "plan")
    assert over.remedy


def test_what_is_open_or_asks_for_a_person_can_be_conceded(record: Callable[..., PlanRecord]) -> None:
    found = record(leave("colour-recorded", "churn"), leave("beam-looked-at", "churn.west.corner"))
    assert found.tally[Verdict.CONCEDED] == 2
    assert found.tally[Verdict.OPEN] == found.tally[Verdict.REVIEW] == 0
    assert of(found, MINE) == []


def test_unused(record: Callable[..., PlanRecord]) -> None:
    (unused,) = of(record(leave("walls-are-straight", "churn.north")), MINE)
    assert "is not used" in unused.message
    assert "churn.north" in unused.message
    # Its line is that of the item in the plan's list: eleven lines of plan, the key, then the item.
    assert unused.line == PLAN.count("\n") + 2


def test_too_broad(record: Callable[..., PlanRecord]) -> None:
    found = record(leave("walls-are-straight", "churn"))
    (leaning,) = of(found, "walls-are-straight")
    assert leaning.conceded is None
    (broad,) = of(found, MINE)
    assert "too broad" in broad.message
    assert broad.remedy
    assert "churn.west" in broad.remedy


def test_a_finer_place_than_the_finding_is_not_its_place(record: Callable[..., PlanRecord]) -> None:
    found = record(leave("walls-are-straight", "churn.west.corner"))
    assert found.tally[Verdict.CONCEDED] == 0
    assert "is not used" in of(found, MINE)[0].message


def test_a_rule_that_guards_life(record: Callable[..., PlanRecord]) -> None:
    found = record(leave("roof-holds", "churn"))
    assert of(found, "roof-holds")[0].conceded is None
    assert "cannot be conceded" in of(found, MINE)[0].message
    assert found.tally[Verdict.CONCEDED] == 0


def test_the_rule_about_concessions_itself(record: Callable[..., PlanRecord]) -> None:
    found = record(leave("walls-are-straight", "churn.north"), leave(MINE, "plan"))
    assert found.tally[Verdict.CONCEDED] == 0
    assert ["is not used" in each.message or "cannot be conceded" in each.message for each in of(found, MINE)] == [
        True,
        True,
    ]


def test_a_rule_that_is_not_installed_leaves_it_open(record: Callable[..., PlanRecord]) -> None:
    found = record(leave("thatch-is-dry", "churn"))
    (unknown,) = of(found, MINE)
    assert unknown.outcome is Verdict.OPEN
    assert "thatch-is-dry" in unknown.message


def test_one_that_ran_out_is_told_also_where_its_rule_is_not_installed(record: Callable[..., PlanRecord]) -> None:
    (over,) = of(record(leave("thatch-is-dry", "churn", until="2026-05-31")), MINE)
    assert over.outcome is Verdict.FAIL
    assert "ran out" in over.message


def test_the_whole_plan_is_too_broad(record: Callable[..., PlanRecord]) -> None:
    (broad,) = of(record(leave("walls-are-straight", "plan")), MINE)
    assert "too broad" in broad.message


@pytest.mark.parametrize(
    "wanted",
    [
        {"only": ("walls-are-straight",)},
        {"only": ("walls-are-straight", MINE)},
        {"place": "churn.north"},
        {"place": "churn"},
        {"hold_point": HoldPoint.CLOSING_IN},
        {"hold_point": HoldPoint.PAINTING},
    ],
)
def test_none_is_called_unused_where_a_part_alone_was_looked_at(
    record: Callable[..., PlanRecord], wanted: dict[str, object]
) -> None:
    assert of(record(leave("walls-are-straight", "churn.north"), **wanted), MINE) == []


def test_an_expired_one_is_told_also_where_its_rule_alone_was_looked_at(record: Callable[..., PlanRecord]) -> None:
    entry = leave("walls-are-straight", "churn.west", until="2026-01-01")
    assert len(of(record(entry, only=("walls-are-straight",)), MINE)) == 1
    assert of(record(entry, only=("roof-holds",)), MINE) == []


def test_two_for_one_finding_are_both_in_use(record: Callable[..., PlanRecord]) -> None:
    entry = leave("walls-are-straight", "churn.west")
    found = record(entry, entry)
    assert (found.tally[Verdict.CONCEDED], of(found, MINE)) == (1, [])


def test_a_review_settles_what_asked_for_it(record: Callable[..., PlanRecord]) -> None:
    asked = record()
    (beam,) = of(asked, "beam-looked-at")
    assert (beam.outcome, beam.level) == (Verdict.REVIEW, Level.NOTE)
    looked = "reviews: [{rule: beam-looked-at, at: churn.west.corner, by: engineer, date: 2026-05-01}]\n"
    settled = record(reviews=looked)
    assert of(settled, "beam-looked-at") == []
    assert settled.tally[Verdict.REVIEW] == 0
    assert settled.tally[Verdict.PASS] == asked.tally[Verdict.PASS] + 1


@pytest.mark.parametrize(
    "looked", ["{rule: beam-looked-at, at: churn.west,", "{rule: walls-are-straight, at: churn.west.corner,"]
)
def test_a_review_of_another_place_or_rule_settles_nothing(record: Callable[..., PlanRecord], looked: str) -> None:
    found = record(reviews=f"reviews: [{looked} by: engineer, date: 2026-05-01}}]\n")
    assert found.tally[Verdict.REVIEW] == 1


def test_a_review_settles_no_fail(record: Callable[..., PlanRecord]) -> None:
    looked = "reviews: [{rule: walls-are-straight, at: churn.west, by: engineer, date: 2026-05-01}]\n"
    assert len(of(record(reviews=looked), "walls-are-straight")) == 1
