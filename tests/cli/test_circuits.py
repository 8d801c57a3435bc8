"""`planlint circuits` as a whole. Where a figure is expected, its sum stands beside it."""

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft202012Validator

from planlint.cli.main import run
from planlint.schema import load_schema

Main = Callable[..., tuple[int, str, str]]

BARN = """\
plan: 1
title: Salt barn
supply: {earthing: TN-S, voltage: 230 V, loop_impedance: 0.42 ohm}
circuits:
  sockets:
    serves: sockets
    breaker: {rating: 16 A, curve: B}
    rcd: 30 mA
    section: 2.5 mm²
    cable: multicore
    method: B2
    chain: [supply, S1]
    lengths: {S1: 25 m}
    also_feeds: {sockets: 3}
rooms:
  barn:
    walls:
      - wall: north
        points:
          S1: {kind: socket, circuit: sockets, gangs: 2}
      - wall: south
"""


@pytest.fixture
def barn(tmp_path: Path) -> Callable[..., Path]:
    """Writes the plan of the barn, with texts of it replaced."""

    def write(*edits: tuple[str, str]) -> Path:
        text = BARN
        for old, new in edits:
            assert text.count(old) == 1, old
            text = text.replace(old, new)
        file = tmp_path / "barn.plan.yaml"
        file.write_text(text, encoding="utf-8")
        return file

    return write


@pytest.fixture
def schedule(main: Main) -> Callable[..., dict[str, Any]]:
    """The schedule of a plan as programs read it, held against its schema."""

    def read(plan: Path, *options: str) -> dict[str, Any]:
        status, out, err = main("circuits", plan, "--report=json", *options)
        assert (status, err) == (0, "")
        found: dict[str, Any] = json.loads(out)
        Draft202012Validator(load_schema("circuits-1")).validate(found)
        return found

    return read


@pytest.fixture
def first(main: Main, schedule: Callable[..., dict[str, Any]]) -> Callable[[Path], tuple[dict[str, Any], str]]:
    """The first circuit of a plan as programs read it, and the whole text that people read, on one line."""

    def read(plan: Path) -> tuple[dict[str, Any], str]:
        return schedule(plan)["schedule"][0], said(main("circuits", plan)[1])

    return read


Barn = Callable[..., Path]
First = Callable[[Path], tuple[dict[str, Any], str]]
Schedule = Callable[..., dict[str, Any]]


def said(text: str) -> str:
    return " ".join(text.split())


def test_the_schema_is_one_and_is_printed(main: Main) -> None:
    schema = json.loads(main("schema", "circuits")[1])
    Draft202012Validator.check_schema(schema)
    assert schema["title"] == "the schedule of circuits"


def test_voltage_drop_and_the_metres_that_are_left(barn: Barn, schedule: Schedule) -> None:
    """IEC 60364-5-52, Annex G: 2 × 0.0225 / 2.5 × 25 m × 16 A = 7.2 V; 5 % of 230 V = 11.5 V leave 4.3 V, at
    0.288 V each metre 14.93 m.
    """
    (circuit,) = schedule(barn())["schedule"]
    assert circuit["drop"]["volts"]["value"] == pytest.approx(7.2)
    assert circuit["drop"]["share"]["value"] == pytest.approx(100 * 7.2 / 230, abs=1e-4)
    assert circuit["drop"]["allowed"]["said"] == "5 %"
    assert circuit["drop"]["within"]
    left = circuit["left"]["length"]
    assert (left["to"], left["ends_by"], left["or_sooner"]) == ("S1", "voltage drop", [])
    assert left["value"] == pytest.approx(4.3 / 0.288, abs=0.01)


def test_the_metres_that_are_left_can_be_laid(barn: Barn, schedule: Schedule) -> None:
    """Just so much longer holds the limit, and a finger's breadth more does not."""
    left = schedule(barn())["schedule"][0]["left"]["length"]["value"]
    for more, within in ((left, True), (left + 0.02, False)):
        (circuit,) = schedule(barn(("S1: 25 m", f"S1: {25 + more} m")))["schedule"]
        assert circuit["drop"]["within"] is within


def test_the_loop_may_end_the_length_first(barn: Barn, schedule: Schedule) -> None:
    """Lights draw little, so that the fault loop ends the way: Zs may be 0.95 × 230 / 160 = 1.3656 ohm on a C16
    (IEC 60898-1: 10 × In), of which 0.42 are the supply's and 25 × 2 × 7.41e-3 × 1.2 = 0.4446 the cable's; the rest at
    17.784 mohm each metre is 28.18 m.
    """
    plan = barn(
        ("curve: B", "curve: C"), ("    also_feeds: {sockets: 3}\n", ""), ("gangs: 2}", "gangs: 2, load: 500 W}")
    )
    (circuit,) = schedule(plan)["schedule"]
    assert circuit["loop"]["impedance"]["value"] == pytest.approx(0.8646)
    assert circuit["loop"]["allowed"]["value"] == pytest.approx(1.36563, abs=1e-4)
    left = circuit["left"]["length"]
    assert left["ends_by"] == "fault loop"
    assert left["value"] == pytest.approx((0.95 * 230 / 160 - 0.8646) / 17.784e-3, abs=0.01)
    # 16 A less 500 W / 230 V
    assert circuit["left"]["breaker"]["value"] == pytest.approx(16 - 500 / 230, abs=1e-4)
    assert circuit["drop"]["by_loads"]


def test_outlets_elsewhere_count(barn: Barn, schedule: Schedule) -> None:
    """The limit of the general set is six: two here and three elsewhere leave one."""
    (circuit,) = schedule(barn())["schedule"]
    assert circuit["outlets"] == 5
    (left,) = circuit["left"]["outlets"]
    assert (left["what"], left["fed"], left["most"], left["left"]) == ("socket outlets", 5, 6, 1)


def test_without_a_limit_on_outlets_it_says_so(main: Main, barn: Barn, schedule: Schedule) -> None:
    """Guidance to BS 7671 counts floor areas, not sockets."""
    (left,) = schedule(barn(), "--limits", "gb")["schedule"][0]["left"]["outlets"]
    assert (left["most"], left["left"]) == (None, None)
    assert "Socket outlets: no limit; the limits set none, and it feeds 5." in said(
        main("circuits", barn(), "--limits", "gb")[1]
    )


def test_lights_among_sockets_are_not_offered_more(barn: Barn, schedule: Schedule) -> None:
    plan = barn(("{sockets: 3}", "{sockets: 3, lights: 1}"))
    left = {found["what"]: found["left"] for found in schedule(plan)["schedule"][0]["left"]["outlets"]}
    assert left == {"socket outlets": 1, "light points": -1}


def test_three_circuits_at_35_degrees(barn: Barn, schedule: Schedule) -> None:
    """2.5 mm² by method B2: 23 A × 0.94 × 0.70 = 15.1 A (IEC 60364-5-52, Tables B.52.2, B.52.14 and B.52.17)."""
    plan = barn(("method: B2", "method: B2\n    ambient: 35 °C\n    grouped_with: [yard, gate]"))
    (circuit,) = schedule(plan)["schedule"]
    found = circuit["capacity"]
    assert found["table"]["said"] == "23 A"
    assert found["carries"]["value"] == pytest.approx(15.134, abs=1e-3)
    assert [step["result"] for step in found["working"]["steps"]][:3] == ["23 A", "21.62 A", "15.134 A"]
    assert circuit["left"]["cable"]["value"] == pytest.approx(15.134 - 16, abs=1e-3)


@pytest.mark.parametrize(
    ("method", "amperes", "words"),
    [
        ("A1", 14.5, "a bare multicore cable inside an insulated wall (A1), as recorded"),
        ("A2", 14, "a multicore cable in conduit inside an insulated wall (A2), as recorded"),
        ("B2", 16.5, "a multicore cable in conduit, or in the hollow behind a lining (B2), as recorded"),
    ],
)
def test_how_it_lies_is_said_in_words(barn: Barn, first: First, method: str, amperes: float, words: str) -> None:
    """1.5 mm² with two loaded conductors (IEC 60364-5-52, Table B.52.2)."""
    circuit, text = first(barn(("2.5 mm²", "1.5 mm²"), ("method: B2", f"method: {method}")))
    assert (circuit["capacity"]["table"]["value"], circuit["capacity"]["lies"]) == (amperes, words)
    assert words in text


def test_words_explain_the_letters(main: Main) -> None:
    told = said(main("words", "method")[1])
    for letter in ("A1: ", "A2: ", "B1: ", "B2: ", "C: "):
        assert letter in told


def test_an_electrode_in_place_of_a_loop(barn: Barn, first: First) -> None:
    """On a TT supply 50 V / 30 mA = 1667 ohm is the most (IEC 60364-4-41, 411.5.3)."""
    circuit, text = first(barn(("TN-S", "TT"), ("loop_impedance: 0.42 ohm", "earth_resistance: 1700 ohm")))
    loop = circuit["loop"]
    assert (loop["point"], loop["within"], loop["impedance"]["said"]) == (None, False, "1700 ohm")
    assert loop["allowed"]["value"] == pytest.approx(50 / 0.03, abs=0.01)
    assert circuit["left"]["length"]["ends_by"] == "voltage drop"
    assert "above the limit of 1667 ohm, at which the RCD trips (30 mA)" in text


def test_a_tt_supply_without_an_rcd_clears_nothing(main: Main, barn: Barn) -> None:
    plan = barn(("TN-S", "TT"), ("loop_impedance: 0.42 ohm", "earth_resistance: 35 ohm"), ("rcd: 30 mA", "rcd: none"))
    assert "Fault loop: not worked out: no RCD stands before this circuit" in said(main("circuits", plan)[1])


def test_a_ring_counts_for_a_quarter(barn: Barn, schedule: Schedule) -> None:
    """60 m around: half way round two ways of 30 m lie side by side, as one of 15 m would. One metre more around is a
    quarter of one: 2.86 V of 11.5 V are left at 32 A × 18 mV / 4 = 0.144 V each. BS 7671, 433.1.204: 20 A.
    """
    runs = "runs: [{from: supply, to: S1, length: 40 m}, {from: S1, to: supply, length: 20 m}]\n    ring: true"
    plan = barn(("chain: [supply, S1]\n    lengths: {S1: 25 m}", runs), ("16 A", "32 A"))
    (circuit,) = schedule(plan, "--limits", "gb")["schedule"]
    assert circuit["drop"]["length"]["said"] == "15 m"
    assert circuit["drop"]["volts"]["value"] == pytest.approx(15 * 32 * 0.018)
    assert circuit["left"]["length"]["value"] == pytest.approx((11.5 - 8.64) / 0.144, abs=0.01)
    assert circuit["left"]["has_to_carry"]["said"] == "20 A"


@pytest.mark.parametrize(
    ("gone", "part", "keys"),
    [
        ("  chain: [supply, S1]\n    lengths: {S1: 25 m}\n  ", "capacity", ["chain"]),
        ("  lengths: {S1: 25 m}\n  ", "drop", ["lengths.S1"]),
        (", voltage: 230 V", "drop", ["supply.voltage"]),
        ("earthing: TN-S, ", "loop", ["supply.earthing"]),
        (", loop_impedance: 0.42 ohm", "loop", ["supply.loop_impedance"]),
        (", curve: B", "loop", ["breaker.curve"]),
        ("  section: 2.5 mm²\n  ", "capacity", ["section"]),
        ("  cable: multicore\n    method: B2\n  ", "capacity", ["cable"]),
    ],
)
def test_what_is_not_recorded_is_named(barn: Barn, first: First, gone: str, part: str, keys: list[str]) -> None:
    circuit, text = first(barn((gone, "")))
    assert circuit[part]["missing"] == keys
    assert f"(add {', '.join(keys)})" in text


def test_a_circuit_of_which_nothing_is_known_has_no_blank(main: Main, barn: Barn, schedule: Schedule) -> None:
    plan = barn(("rooms:", "  spare: {}\nrooms:"))
    spare = schedule(plan)["schedule"][1]
    assert spare["missing"] == ["serves", "breaker.rating", "breaker.curve", "rcd", "section", "cable"]
    for found in (spare["capacity"], spare["drop"], spare["loop"], spare["left"]["length"], spare["left"]["cable"]):
        assert found["missing"]
    block = main("circuits", plan, "--place=circuits.spare")[1]
    for key in spare["missing"]:
        assert f"add {key}" in said(block)


def test_only_what_the_place_touches(main: Main, barn: Barn, schedule: Schedule) -> None:
    assert len(schedule(barn(), "--place=barn.north")["schedule"]) == 1
    assert schedule(barn(), "--place=barn.south")["schedule"] == []
    assert "None of its 1 circuit, as far as they lie under barn.south" in said(
        main("circuits", barn(), "--place=barn.south")[1]
    )


def test_the_working_can_be_followed_by_hand(main: Main, barn: Barn) -> None:
    without, out = said(main("circuits", barn())[1]), main("circuits", barn(), "--show-working")[1]
    told = said(out)
    for line in (
        "lost to S1: 25 m of 2.5 mm² × 16 A × 18 mV/(A·m) = 7.2 V",
        "lost in all: 7.2 V ÷ 230 V = 3.13 %",
        "2.5 mm² at 70 °C: 7.41 ohm/km × 1.2 = 8.892 ohm/km",
        "line and earth to S1: 25 m × (8.892 ohm/km + 8.892 ohm/km) = 0.4446 ohm",
        "trips at once (Ia): curve B: 5 × 16 A = 80 A",
        "cable_capacity, of the set general; memory: IEC 60364-5-52, Tables B.52.2",
        "drop_others 5 %, of the set general; published: IEC 60364-5-52, Annex G",
    ):
        assert line in told
        assert line not in without
    assert max(len(line) for line in out.splitlines() if not line.endswith(".plan.yaml")) <= 80
    assert "drop_lights" not in told  # no limit that was not used


def test_a_limit_of_the_plan_is_said(main: Main, barn: Barn) -> None:
    plan = barn(("title:", "limits: [general, {drop_others: {value: 3 %, reason: a long way already}}]\ntitle:"))
    told = said(main("circuits", plan, "--show-working")[1])
    assert "The plan sets limits of its own: drop_others: 3 % (a long way already)." in told
    assert "above the limit of 3 %" in told
    assert "drop_others 3 %, set by the plan; own decision: this plan: a long way already" in told


def test_the_caution_is_said_once(main: Main, barn: Barn) -> None:
    out = main("circuits", barn(("rooms:", "  spare: {}\nrooms:")), "--show-working")[1]
    assert out.count("Take care") == 1
    for word in ("dead", "licensed", "before a wall is closed"):
        assert word in said(out)


def test_a_plan_without_circuits(main: Main, barn: Barn) -> None:
    plan = barn((BARN[BARN.index("circuits:") : BARN.index("rooms:")], ""), (", circuit: sockets", ""))
    status, out, err = main("circuits", plan)
    assert (status, err) == (0, "")
    assert "It records no circuits" in out


def test_the_same_plan_gives_the_same_bytes(main: Main, barn: Barn) -> None:
    assert main("circuits", barn(), "--report=json") == main("circuits", barn(), "--report=json")


def test_several_reports(main: Main, barn: Barn, tmp_path: Path) -> None:
    file = tmp_path / "circuits.json"
    status, out, _ = main("circuits", barn(), "--report=text", f"--report=json={file}")
    assert (status, out) == (0, main("circuits", barn())[1])
    assert file.read_text(encoding="utf-8") == main("circuits", barn(), "--report=json")[1]


@pytest.mark.parametrize(
    ("options", "hint"),
    [
        (["--report=jsn"], "did you mean json?"),
        (["--report=text", "--report=json"], "cannot both go to standard output"),
        (["--limits=gn"], "no limit set is called gn"),
        (["--place=barn.nort"], "did you mean barn.north?"),
    ],
)
def test_trouble_is_2_with_a_hint(main: Main, barn: Barn, options: list[str], hint: str) -> None:
    status, out, err = main("circuits", barn(), *options)
    assert (status, out) == (2, "")
    assert hint in err


def test_a_report_does_not_overwrite_the_plan(main: Main, barn: Barn) -> None:
    plan = barn()
    assert main("circuits", plan, f"--report=json={plan}")[0] == 2
    assert plan.read_text(encoding="utf-8") == BARN


def test_a_plan_that_cannot_be_read(main: Main, unreadable: Path, tmp_path: Path) -> None:
    for plan in (unreadable, tmp_path / "nowhere.plan.yaml", tmp_path):
        status, out, err = main("circuits", plan)
        assert (status, out) == (2, "")
        assert err.startswith(str(plan))


def test_a_limit_that_the_plan_names_in_vain_has_its_line(main: Main, barn: Barn) -> None:
    plan = barn(("title:", "limits: atlantis\ntitle:"))
    assert main("circuits", plan)[2].startswith(f"{plan}:2:9: no limit set is called atlantis")


def test_first_plan_of_a_newcomer(plan: Path) -> None:
    assert run(["circuits", str(plan), "--show-working"]) == 0
