"""Colours of conductors, and points and sections of circuits, as norms and countries give them.

None of these was read in the standard itself: each row says in which kind of text it was.
"""

from datetime import date
from typing import NamedTuple

import pytest

from planlint import inspection, registry
from planlint.source import read

BOOK = registry.load(inspection.ENGINE_CARDS)


def findings(limits: str, circuit: str, *rules: str, points: str = "") -> list[str]:
    text = f"""
plan: 1
title: one circuit
limits: {limits}
circuits:
  first: {{{circuit}}}
rooms: {{study: {{walls: [{{wall: west, points: {{{points}}}}}]}}}}
"""
    wanted = inspection.Wanted(today=date(2026, 10, 3), only=rules, contain=False)
    return [str(finding.outcome) for finding in inspection.inspect(read(text.encode(), "x"), BOOK, wanted).findings]


# ---- IEC 60445 and HD 308 S2 -------------------------------------------------------------------------------------
# Source: pages that reproduce the table of HD 308 S2 (cables with a green-and-yellow core) and IEC 60445: protective
# conductor green-and-yellow, which is for nothing else; neutral blue; cores of 3: + brown, of 5: + brown, black, grey.
CORES = {3: ["green-yellow", "blue", "brown"], 5: ["green-yellow", "blue", "brown", "black", "grey"]}
# Source: from memory and the same pages. Great Britain until 2006: lines red, yellow, blue, neutral black, so that blue
# and black have changed their meaning. United States: neutral white or grey, equipment ground bare or green.
OLD_BRITISH = [("red", "black"), ("yellow", "black"), ("blue", "black")]
AMERICAN = [
    (line, neutral, earth) for line in ("black", "red") for neutral in ("white", "grey") for earth in ("bare", "green")
]


def colours(limits: str, line: str, neutral: str, earth: str) -> list[str]:
    conductors = f"conductors: {{line: {line}, neutral: {neutral}, earth: {earth}}}"
    return findings(limits, conductors, "conductor-colours")


@pytest.mark.parametrize("limits", ["general", "fr", "be", "de", "es", "gb"])
@pytest.mark.parametrize("cores", CORES.values(), ids=CORES)
def test_the_cores_of_a_european_cable_serve_their_purpose_and_no_other(limits: str, cores: list[str]) -> None:
    earth, neutral, *lines = cores
    assert colours(limits, f"[{', '.join(lines)}]", neutral, earth) == []
    for line in lines:
        assert colours(limits, line, neutral, earth) == []
        assert colours(limits, neutral, line, earth) == ["fail"]
        assert colours(limits, earth, neutral, line) == ["fail"]
    assert colours(limits, lines[0], earth, neutral) == ["fail"]
    assert colours(limits, earth, neutral, earth) == ["fail"]


@pytest.mark.parametrize(("line", "neutral"), OLD_BRITISH)
def test_old_british_colours_are_told(line: str, neutral: str) -> None:
    assert colours("gb", line, neutral, "green-yellow") == ["fail"]


@pytest.mark.parametrize(("line", "neutral", "earth"), AMERICAN)
def test_american_colours_hold_there_alone(line: str, neutral: str, earth: str) -> None:
    assert colours("us", line, neutral, earth) == []
    assert colours("general", line, neutral, earth) == ["fail"]


# ---- Points on a circuit -----------------------------------------------------------------------------------------


class Most(NamedTuple):
    limits: str
    what: str
    section: str
    breaker: str
    points: int
    source: str


MOST = [
    Most("fr", "sockets", "1.5 mm²", "16 A", 8, "NF C 15-100 (amendment of 2015 and later), French trade guides"),
    Most("fr", "sockets", "2.5 mm²", "20 A", 12, "NF C 15-100 (amendment of 2015 and later), French trade guides"),
    Most("fr", "lights", "1.5 mm²", "16 A", 8, "NF C 15-100 (amendment of 2015 and later), French trade guides"),
    Most("be", "sockets", "2.5 mm²", "20 A", 8, "RGIE/AREI, Belgian trade and training pages"),
    Most("es", "lights", "1.5 mm²", "10 A", 30, "REBT, ITC-BT-25, circuit C1, a Spanish trade article"),
    Most("es", "sockets", "2.5 mm²", "16 A", 20, "REBT, ITC-BT-25, circuit C2, a Spanish trade article"),
]
RULES = {"sockets": "socket-points-per-circuit", "lights": "light-points-per-circuit"}


def counted(most: Most, points: int, section: str = "", breaker: str = "") -> list[str]:
    kind = most.what.removesuffix("s")
    circuit = (
        f"serves: {most.what}, section: {section or most.section}, "
        f"breaker: {{rating: {breaker or most.breaker}}}, also_feeds: {{{most.what}: {points - 2}}}"
    )
    here = ", ".join(f"P{number}: {{kind: {kind}, circuit: first}}" for number in (1, 2))
    return findings(most.limits, circuit, RULES[most.what], points=here)


@pytest.mark.parametrize("most", MOST, ids=lambda most: f"{most.limits}-{most.what}-{most.points}")
def test_a_country_allows_so_many_points_and_no_more(most: Most) -> None:
    assert counted(most, most.points) == []
    assert counted(most, most.points + 1) == ["fail"]


def test_in_france_the_row_goes_by_section_and_breaker() -> None:
    thin, thick, _ = MOST[:3]
    assert counted(thin, thin.points, breaker="10 A") == []
    assert counted(thick, thin.points, section="1.5 mm²") == ["fail"]  # 1.5 mm² belongs behind 16 A
    assert counted(thick, thick.points, breaker="16 A") == []
    assert counted(thick, 2, breaker="32 A") == ["fail"]


# Source: trade guides, as above. Great Britain: a 32 A ring or a radial serves floor area, sockets are not counted (a
# textbook and trade pages). United States: the NEC sets no number of receptacles on a dwelling's circuit (from memory).
# Germany: DIN 18015-2 counts circuits by floor area, not the sockets on one (from memory).
@pytest.mark.parametrize("limits", ["de", "gb", "us"])
def test_where_sockets_are_not_counted(limits: str) -> None:
    assert counted(Most(limits, "sockets", "2.5 mm²", "20 A", 60, ""), 60) == []


@pytest.mark.parametrize(("limits", "outcome"), [("be", []), ("general", ["fail"]), ("fr", ["fail"])])
def test_a_triple_socket_is_one_point_in_belgium(limits: str, outcome: list[str]) -> None:
    # RGIE/AREI: a unit of one, two or three outlets in one housing counts as one. Eight of them hold 24 outlets.
    points = ", ".join(f"S{number}: {{kind: socket, circuit: first, gangs: 3}}" for number in range(8))
    circuit = "serves: sockets, section: 2.5 mm², breaker: {rating: 20 A}"
    assert findings(limits, circuit, "socket-points-per-circuit", points=points) == outcome


# ---- Sockets and lights on one circuit ---------------------------------------------------------------------------


# France: forbidden (NF C 15-100, trade guides). Belgium: allowed, every light is one of eight points, and the whole
# circuit is of 2.5 mm² (RGIE/AREI, trade pages). United States: general circuits feed both (NEC, from memory), and so
# may those of Germany (DIN 18015-2, from memory).
@pytest.mark.parametrize(
    ("limits", "outcome"), [("fr", ["fail"]), ("general", ["fail"]), ("be", []), ("de", []), ("us", [])]
)
def test_mixed_circuits(limits: str, outcome: list[str]) -> None:
    points = "S1: {kind: socket, circuit: first}, C1: {kind: light, circuit: first}"
    assert findings(limits, "serves: sockets", "sockets-and-lights-apart", points=points) == outcome


@pytest.mark.parametrize(("lights", "outcome"), [(4, []), (5, ["fail"])])
def test_on_a_belgian_mixed_circuit_every_light_is_one_of_eight_points(lights: int, outcome: list[str]) -> None:
    circuit = (
        f"serves: sockets, section: 2.5 mm², breaker: {{rating: 16 A}}, also_feeds: {{sockets: 4, lights: {lights}}}"
    )
    assert findings("be", circuit, "socket-points-per-circuit") == outcome


# ---- Least sections ----------------------------------------------------------------------------------------------

# limit set, what is served, least section, the size below it that is sold. Sources: the trade pages above for France,
# Belgium and Spain (6 mm² of the hob from memory); a training page for Germany; BS 7671, Table 52.3, quoted in a forum,
# for 1 mm²; NEC 240.4(D) from memory for 14 AWG. 1.5, 2.5, 4 and 6 mm² and 14, 16 AWG are standard sizes (IEC 60228;
# ASTM B258).
SECTIONS = [
    ("fr", "sockets", "1.5 mm²", "1 mm²"),
    ("fr", "lights", "1.5 mm²", "1 mm²"),
    ("fr", "cooker", "6 mm²", "4 mm²"),
    ("fr", "laundry", "2.5 mm²", "1.5 mm²"),
    ("be", "sockets", "2.5 mm²", "1.5 mm²"),
    ("be", "lights", "1.5 mm²", "1 mm²"),
    ("de", "sockets", "1.5 mm²", "1 mm²"),
    ("de", "lights", "1.5 mm²", "1 mm²"),
    ("es", "sockets", "2.5 mm²", "1.5 mm²"),
    ("es", "lights", "1.5 mm²", "1 mm²"),
    ("es", "cooker", "6 mm²", "4 mm²"),
    ("gb", "lights", "1 mm²", "0.75 mm²"),
    ("us", "sockets", "14 AWG", "16 AWG"),
    ("us", "lights", "14 AWG", "16 AWG"),
]


@pytest.mark.parametrize(("limits", "serves", "least", "thinner"), SECTIONS)
def test_a_country_asks_for_this_section(limits: str, serves: str, least: str, thinner: str) -> None:
    assert findings(limits, f"serves: {serves}, section: {least}", "conductor-section") == []
    assert findings(limits, f"serves: {serves}, section: {thinner}", "conductor-section") == ["fail"]


def test_a_belgian_mixed_circuit_is_thick_throughout() -> None:
    points = "S1: {kind: socket, circuit: first}, C1: {kind: light, circuit: first}"
    for section, outcome in (("2.5 mm²", []), ("1.5 mm²", ["fail"])):
        assert findings("be", f"serves: lights, section: {section}", "conductor-section", points=points) == outcome
