"""`planlint sheet` as a whole, from the plan to the page."""

import re
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
DRAFT = ROOT / "examples" / "weigh-house" / "first-draft.plan.yaml"
READY = ROOT / "examples" / "weigh-house" / "ready-to-close.plan.yaml"
TODAY = "--today=2026-10-03"
Main = Callable[..., tuple[int, str, str]]


def text_of(page: str) -> str:
    return " ".join(re.sub(r"<[^>]+>", " ", page.partition("<body>")[2]).split())


def items(page: str) -> list[int]:
    return sorted(map(int, re.findall(r'id="item-(\d+)"', page)))


@pytest.fixture
def sheet(main: Main, tmp_path: Path) -> Callable[..., str]:
    """The page that the command writes."""

    def write(plan: Path, *options: str) -> str:
        file = tmp_path / "page.html"
        assert main("sheet", plan, "--output", file, TODAY, *options) == (0, "", "")
        return file.read_text(encoding="utf-8")

    return write


def test_has_every_finding_under_the_number_that_inspect_gives_it(sheet: Callable[..., str], main: Main) -> None:
    page = sheet(DRAFT)
    _, report, _ = main("inspect", DRAFT, TODAY)
    numbered = re.findall(r"^ *(\d+)\.  .*?Line (\d+);", report, re.MULTILINE | re.DOTALL)
    assert items(page) == [int(number) for number, _ in numbered]
    for number, line in numbered:
        item = page.partition(f'id="item-{number}"')[2].partition("</li>")[0]
        assert f"Line {line};" in item, number


def test_goes_room_by_room_in_the_order_of_the_walk(sheet: Callable[..., str]) -> None:
    page = sheet(DRAFT)
    order = re.findall(r'<section class="(?:room|part)" id="([^"]+)"', page)
    walls = ["west", "north-left", "breast-left", "breast-face", "breast-right", "north-right", "east", "south"]
    assert order[:10] == ["place:study", *(f"place:study.{wall}" for wall in walls), "place:study.ceiling"]
    assert order[10] == "elsewhere"
    assert order[11:14] == ["place:plan", "place:boxes.deep", "place:boxes.flat"]
    titles = re.findall(r"<h[23] [^>]*>([^<]+)</h", page)
    assert {"Room study", "Wall west", "Ceiling", "The whole plan", "Circuit sockets", "Task lining"} <= set(titles)


def test_every_wall_is_drawn_with_its_section(sheet: Callable[..., str]) -> None:
    west = sheet(DRAFT).partition('id="place:study.west"')[2].partition("</section>")[0]
    assert re.findall(r'<strong id="[^"]+">([^<]+)<', west) == [
        "West wall, seen from inside",
        "Section through wall west",
    ]
    assert 'href="#item-28"' in west  # W2, which would sit in the window
    assert "What holds at the inner face of each layer" in west


def test_hold_points_of_the_plan_are_on_it_and_the_caution_for_all_of_it(sheet: Callable[..., str]) -> None:
    text = text_of(sheet(READY))
    assert "closing-in : May be released." in text
    assert "Before you drill, nail or cut into a wall, go over the spot with a detector" in text
    for word in ("safe", "compliant", "certified"):
        assert not re.search(rf"\b{word}\b", text, re.IGNORECASE)


def test_a_place_alone(sheet: Callable[..., str]) -> None:
    page = sheet(DRAFT, "--place=study.west.S1")
    assert "What lies outside of what was asked for: place study.west.S1." in text_of(page)
    # Its circuit and its height bear on it: what is found of them on other walls is shown where it is.
    assert _drawn(page) == {"study.west", "study.north-left", "study.south"}
    lined = sheet(DRAFT, "--place=linings.plain")
    assert _drawn(lined) == {"study.north-left", "study.north-right"}


def _drawn(page: str) -> set[str]:
    """The walls that a page has pictures of."""
    return set(re.findall(r'id="picture:(study\.[^":]+):', page))


def test_limits_of_the_command_line_are_judged_by(sheet: Callable[..., str]) -> None:
    assert "by the limits general and de" in text_of(sheet(DRAFT, "--limits=de"))


def test_conceded_findings_come_after_all_others(sheet: Callable[..., str], tmp_path: Path) -> None:
    plan = tmp_path / "conceded.plan.yaml"
    text = DRAFT.read_text(encoding="utf-8")
    plan.write_text(text.replace("at: study.breast-left,", "at: study.breast-left.corner,"), encoding="utf-8")
    page = sheet(plan)
    last = items(page)[-1]
    item = page.partition(f'id="item-{last}"')[2].partition("</li>")[0]
    assert "a bookcase will stand in front of it" in item
    assert "Conceded at corner" in item


def test_standard_input_and_output(main: Main, monkeypatch: pytest.MonkeyPatch) -> None:
    with READY.open("rb") as stream:
        monkeypatch.setattr("sys.stdin", type("Stdin", (), {"buffer": stream}))
        status, page, err = main("sheet", "-", "--output=-", TODAY)
    assert (status, err) == (0, "")
    assert page.startswith("<!DOCTYPE html>\n")
    assert "from standard input" in text_of(page)


def test_same_plan_and_day_give_the_same_bytes() -> None:
    command = [sys.executable, "-m", "planlint", "sheet", str(DRAFT), "--output=-", TODAY]
    pages = [
        subprocess.run(command, capture_output=True, check=True, env={"PYTHONHASHSEED": seed}).stdout
        for seed in ("1", "2")
    ]
    assert pages[0] == pages[1]


def test_an_unknown_place_or_limit_set_leaves_what_is_there(main: Main, tmp_path: Path) -> None:
    file = tmp_path / "page.html"
    file.write_text("as it was", encoding="utf-8")
    for option in ("--place=study.wets", "--limits=nowhere", "--today=soon"):
        status, out, err = main("sheet", DRAFT, "--output", file, option)
        assert (status, out) == (2, "")
        assert err.startswith("planlint: ")
    assert file.read_text(encoding="utf-8") == "as it was"
    assert list(tmp_path.iterdir()) == [file]


def test_a_plan_that_cannot_be_read_writes_nothing(main: Main, unreadable: Path, tmp_path: Path) -> None:
    file = tmp_path / "page.html"
    status, out, err = main("sheet", unreadable, "--output", file)
    assert (status, out) == (2, "")
    assert err.startswith(str(unreadable))
    assert not file.exists()


def test_never_writes_over_the_plan(main: Main, plan: Path) -> None:
    before = plan.read_bytes()
    status, _, err = main("sheet", plan, "--output", plan)
    assert status == 2
    assert "name another file" in err
    assert plan.read_bytes() == before


def test_says_where_it_cannot_be_written(main: Main, plan: Path, tmp_path: Path) -> None:
    status, _, err = main("sheet", plan, "--output", tmp_path / "nowhere" / "page.html")
    assert status == 2
    assert "the folder for this file is not there" in err
    assert main("sheet", plan)[0] == 2


def test_a_damaged_release_record_is_told_and_the_page_written(main: Main, plan: Path, tmp_path: Path) -> None:
    plan.with_name("cottage.releases.yaml").write_text("releases: [torn", encoding="utf-8")
    file = tmp_path / "page.html"
    status, _, err = main("sheet", plan, "--output", file, TODAY)
    assert status == 2
    assert "cottage.releases.yaml" in err
    assert "What could not be read or checked" in file.read_text(encoding="utf-8")


def test_no_other_command_imports_the_template_library() -> None:
    code = (
        "import sys; from planlint.cli.main import run; "
        "run(['inspect', sys.argv[1]]); sys.exit('jinja2' in sys.modules)"
    )
    done = subprocess.run([sys.executable, "-c", code, str(READY)], capture_output=True, check=False)
    assert done.returncode == 0
