"""Years and figures of the hazards, each with where it was read.

The years of bans on asbestos: a university's list of the years of the first general ban of chrysotile, read while the
sheet behind the limits was compiled; for the member states that it leaves out, Directive 1999/77/EC (1 January 2005).
"""

import re
from datetime import date

import pytest

from planlint import limits, source
from planlint.inspection import Wanted, inspect
from planlint.records import PlanRecord, Verdict
from planlint.registry import Rulebook, load
from planlint.units import Duration, Length, Ratio

IN_FORCE = limits.resolve(None)

LISTED = {
    "AT": 1990,
    "AU": 2003,
    "BE": 1998,
    "CH": 1989,
    "DE": 1993,
    "DK": 1986,
    "ES": 2002,
    "FR": 1997,  # the list says 1996 and 1997: the decree was of December, and held from January
    "GB": 1999,  # 24 November (the day from memory); surveys are asked for in buildings from before 2000
    "IE": 2000,
    "IT": 1992,
    "PL": 1997,
    "SE": 1986,
}
ELSEWHERE = {
    "NL": 1993,  # the list says 1991 and later, in stages; from memory
    "CA": 2018,  # a weak page
}
MEMBERS = set(re.findall("[A-Z]+", "AT BE BG CY CZ DE DK EE ES FI FR GR HR HU IE IT LT LU LV MT NL PL PT RO SE SI SK"))
"""The member states of the European Union since 2020."""

MEMBERS_WITHOUT_A_YEAR = MEMBERS - (LISTED | ELSEWHERE).keys()
"""Those that the list leaves out: the directive was their first ban, as far as is known here."""


def years(name: str) -> dict[str, int]:
    return {str(row["country"]): int(row["year"]) for row in IN_FORCE.table(name) or ()}


def test_years_of_the_bans_on_asbestos_are_those_of_the_list_and_of_the_directive() -> None:
    assert years("asbestos_ban_years") == LISTED | ELSEWHERE | dict.fromkeys(MEMBERS_WITHOUT_A_YEAR, 2005)


def test_no_member_of_the_union_was_later_than_the_directive() -> None:
    assert len(MEMBERS) == 27
    assert all(years("asbestos_ban_years")[country] <= 2005 for country in MEMBERS)


def test_years_of_lead_paint() -> None:
    # US: 16 CFR 1303, paint made after 27 February 1978; the EPA's rule is on housing built before 1978 (read at the
    # source). GB: end of retail sale in 1992, weak pages. AU: 0.25 % in 1992, 0.1 % in 1997, CA 1976: weak pages.
    assert years("lead_paint_years") == {"US": 1978, "GB": 1992, "AU": 1997, "CA": 1976}
    assert IN_FORCE.count("lead_paint_year") == 1992


@pytest.mark.parametrize(
    ("name", "value"),
    [
        # A project specification for masonry, as quoted.
        ("chase_depth_vertical", Ratio(1 / 3, "%")),
        ("chase_depth_horizontal", Ratio(1 / 6, "%")),
        ("chase_length_horizontal", Length(1, "m")),
        # IRC R602.6, as copied in the administrative code of Washington.
        ("stud_notch_bearing", Ratio(0.25, "%")),
        ("stud_notch", Ratio(0.40, "%")),
        ("stud_hole_bearing", Ratio(0.40, "%")),
        ("stud_hole", Ratio(0.60, "%")),
        # British and Irish guidance on joists up to 250 mm, as quoted.
        ("joist_notch", Ratio(0.125, "%")),
        ("joist_notch_from", Ratio(0.07, "%")),
        ("joist_notch_to", Ratio(0.25, "%")),
        ("joist_hole", Ratio(0.25, "%")),
        ("joist_hole_from", Ratio(0.25, "%")),
        ("joist_hole_to", Ratio(0.40, "%")),
        # US 40 CFR 763.85 (b), every three years: from memory.
        ("survey_age", Duration(3 * 365.25 * 86_400, "day")),
    ],
)
def test_figures_are_those_that_were_read(name: str, value: Ratio | Length | Duration) -> None:
    assert IN_FORCE.quantity(name, type(value)) == pytest.approx(value, rel=1e-3)


@pytest.mark.parametrize(("name", "value"), [("joist_notch", 1 / 6), ("joist_hole", 1 / 3), ("joist_notch_to", 1 / 3)])
def test_joists_in_the_us_go_by_the_irc(name: str, value: float) -> None:
    assert limits.resolve("us").quantity(name, Ratio) == pytest.approx(value)


@pytest.fixture(scope="module")
def rulebook() -> Rulebook:
    return load()


def outcome(rulebook: Rulebook, rule: str, built: int, country: str, limits: str = "general") -> PlanRecord:
    text = f"""
plan: 1
title: one room
limits: {limits}
building: {{built: {built}, country: "{country}", surveys: {{{rule.removesuffix("-survey")}: {{covers: []}}}}}}
rooms: {{hall: {{}}}}
work: [{{task: out, kind: stripping}}]
"""
    return inspect(source.read(text.encode(), "case.plan.yaml"), rulebook, Wanted(date(2026, 10, 3), only=(rule,)))


@pytest.mark.parametrize(("country", "year"), sorted((LISTED | ELSEWHERE).items()))
def test_a_building_of_the_year_of_the_ban_is_old_and_one_of_the_next_is_not(
    rulebook: Rulebook, country: str, year: int
) -> None:
    # The rule of use of the sheet: built before the year after the ban.
    for limits_in_force in ("general", "us"):
        old = outcome(rulebook, "asbestos-survey", year, country, limits_in_force)
        young = outcome(rulebook, "asbestos-survey", year + 1, country, limits_in_force)
        assert (old.tally[Verdict.FAIL], young.tally[Verdict.PASS]) == (1, 1)


@pytest.mark.parametrize("country", ["US", "JP", "NO"])
def test_where_no_year_is_known_every_building_is_old(rulebook: Rulebook, country: str) -> None:
    # US: the rule of 1989 was overturned in 1991, that of 2024 (89 FR 21970) is on listed uses; JP: pages disagree.
    assert outcome(rulebook, "asbestos-survey", 2024, country).tally[Verdict.FAIL] == 1


@pytest.mark.parametrize(("country", "year"), [("US", 1978), ("GB", 1992), ("AU", 1997), ("CA", 1976), ("BE", 1992)])
def test_a_building_from_before_the_year_counts_as_painted_with_lead(
    rulebook: Rulebook, country: str, year: int
) -> None:
    old = outcome(rulebook, "lead-paint-survey", year - 1, country)
    young = outcome(rulebook, "lead-paint-survey", year, country)
    assert (old.tally[Verdict.FAIL], young.tally[Verdict.PASS]) == (1, 1)
