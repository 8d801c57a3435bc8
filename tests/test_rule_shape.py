"""What every rule owes its reader, and what must not happen to the package of rules."""

import ast
import re
import subprocess
import sys
from importlib.metadata import entry_points
from pathlib import Path

import planlint.rules

from planlint import inspection, limits, registry
from planlint.records import HoldPoint
from planlint.takeoff.takeoff import LIMITS_OF_TAKEOFF

FOLDER = Path(planlint.rules.__path__[0])
PLAIN_NUMBERS = {0, 1, 2, -1, 100}
BOOK = registry.load(inspection.ENGINE_CARDS)
MODULES = {point.name for point in entry_points(group=registry.GROUP) if point.dist and point.dist.name == "planlint"}


def test_every_module_of_rules_is_an_entry_point_and_back() -> None:
    assert {path.stem for path in FOLDER.glob("*.py")} - {"__init__"} == MODULES


def test_every_rule_says_what_why_and_from_where() -> None:
    for card in BOOK.cards:
        assert re.fullmatch(r"[A-Z].*\.", card.summary), card.id
        assert card.why.endswith("."), card.id
        assert card.source.endswith("."), card.id
        assert not re.search(r"tbd|unknown|n/a", card.source, re.IGNORECASE), card.id
        assert re.fullmatch(r"[a-z]+(-[a-z]+)+", card.id), card.id


def test_no_two_rules_say_the_same() -> None:
    assert len({card.summary for card in BOOK.cards}) == len(BOOK.cards)
    assert len({card.why for card in BOOK.cards}) == len(BOOK.cards)


def test_rules_guard_a_hold_point_unless_they_are_about_results_or_about_tasks_at_any_of_them() -> None:
    unguarded = {card.id for card in BOOK.cards if card.guards is None} - {card.id for card in inspection.ENGINE_CARDS}
    # What stops nobody from closing a wall: a gap between sheets, and a lean that only decides how boards are cut.
    about_boards = {"sheet-timber-gap", "wall-plumb-enough"}
    assert unguarded == {"order-has-no-loop", "done-in-order", "dust-and-foam-precautions", *about_boards}
    assert {card.guards for card in BOOK.cards} <= {None, *HoldPoint}


def test_what_guards_life_has_a_caution() -> None:
    assert all(card.caution for card in BOOK.cards if card.guards_life)


def test_rules_hold_no_numbers() -> None:
    for path in sorted(FOLDER.glob("*.py")):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Constant) and type(node.value) in (int, float):
                assert node.value in PLAIN_NUMBERS, f"{path.name}:{node.lineno}"


def test_every_limit_is_read_and_every_limit_read_is_there() -> None:
    read = {name for rule in BOOK.rules for name in rule.reads}.union(LIMITS_OF_TAKEOFF)
    assert read == set(limits.resolve(None, BOOK.limit_folders))


def test_rules_have_one_name_only() -> None:
    code = "import sys; from planlint import registry; registry.load(); print('rules' in sys.modules)"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "False"
