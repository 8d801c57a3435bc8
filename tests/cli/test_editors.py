"""What editors read: the schema and its descriptions, the line that names it in a plan, and `--report lines`.

The lines are read by Vim and by Emacs themselves, each with the patterns that it comes with, and by those patterns
written down once more here, for machines without the two.
"""

import json
import os
import re
import shutil
import subprocess
import sys
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft202012Validator

README = Path(__file__).parents[2] / "README.md"
EXAMPLES = Path(__file__).parents[2] / "examples"
SCHEMAS = Path(__file__).parents[2] / "schemas"
MODELINE = re.compile(r"# yaml-language-server: \$schema=(\S+)\n")
"""The comment by which a plan names its schema, as YAML language servers have agreed on it."""

Main = Callable[..., tuple[int, str, str]]
Spot = tuple[str, int, int]


# ---- The schema ----


@pytest.fixture
def schema(main: Main) -> dict[str, Any]:
    loaded: dict[str, Any] = json.loads(main("schema")[1])
    return loaded


def parts(node: Any) -> Iterator[dict[str, Any]]:  # noqa: ANN401 - any part of a schema
    if isinstance(node, dict):
        yield node
    for inner in node.values() if isinstance(node, dict) else node if isinstance(node, list) else []:
        yield from parts(inner)


def keys(schema: dict[str, Any]) -> Iterator[tuple[str, dict[str, Any], dict[str, Any]]]:
    """Every key: its name with that of its owner, what stands at it, and what that refers to."""
    # Parts without additionalProperties only ask more of keys that are described elsewhere.
    for owner in (part for part in parts(schema) if part.get("additionalProperties") is False):
        for key, part in owner["properties"].items():
            target = schema["$defs"][part["$ref"].removeprefix("#/$defs/")] if "$ref" in part else {}
            yield f"{owner['title']}: {key}", part, target


def test_every_key_is_described_and_shown_by_an_example(schema: dict[str, Any]) -> None:
    found = list(keys(schema))
    assert len(found) > 300
    assert [name for name, part, target in found if not (part | target).get("description")] == []
    # Twelve months make no example that helps.
    assert [name for name, part, target in found if not (part | target).get("examples")] == ["the climate: months"]


def test_every_example_fits_its_key_by_a_validator_that_knows_none_of_our_forms(schema: dict[str, Any]) -> None:
    for name, part, _ in keys(schema):
        judge = Draft202012Validator({**part, "$defs": schema["$defs"]})
        for example in part.get("examples", []):
            assert judge.is_valid(example), f"{name}: {example}"


def test_an_editor_needs_no_network_for_the_schema(schema: dict[str, Any]) -> None:
    """An $id would be fetched by some; a $ref leads nowhere but into the file itself."""
    assert not any("$id" in part for part in parts(schema))
    references = {part["$ref"] for part in parts(schema) if "$ref" in part}
    assert all(reference.startswith("#/$defs/") for reference in references)


def test_the_schema_of_a_plan_is_the_one_that_is_printed_without_a_name(main: Main) -> None:
    assert main("schema") == main("schema", "plan") == main("schema", "plan-1")


@pytest.mark.parametrize("plan", sorted(EXAMPLES.rglob("*.plan.yaml")), ids=lambda plan: plan.name)
def test_an_example_names_its_schema_in_its_first_line(plan: Path) -> None:
    line = MODELINE.match(plan.read_text(encoding="utf-8"))
    assert line
    named = (plan.parent / line[1]).resolve()
    # A crew's schema is that of the planlint it has installed: `planlint schema` writes it, and git leaves it alone.
    ignored = (EXAMPLES / "crew/.gitignore").read_text(encoding="utf-8").splitlines()
    assert named == SCHEMAS / "plan-1.json" or (named.parent == EXAMPLES / "crew" and named.name in ignored)


# ---- Findings, one a line ----


@pytest.fixture
def findings(main: Main, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> list[dict[str, Any]]:
    """Findings of plans with spaces and signs in their names, and the file lines.txt with a line for each."""
    monkeypatch.chdir(tmp_path)
    for name in ("weigh-house/first-draft", "ferry-cottage", "smallest"):
        target = Path("old mill, no. 2 (east)", f"the {Path(name).name}.plan.yaml")
        target.parent.mkdir(exist_ok=True)
        shutil.copy(EXAMPLES / f"{name}.plan.yaml", target)
    words = ("--report=lines=lines.txt", "--report=json", "--today=2026-10-03")
    status, out, err = main("inspect", "old mill, no. 2 (east)", *words)
    assert (status, err) == (1, "")
    found: list[dict[str, Any]] = [one for plan in json.loads(out)["plans"] for one in plan["findings"]]
    assert len({(one["level"], one["outcome"]) for one in found}) >= 4
    return found


def spots(findings: list[dict[str, Any]]) -> list[Spot]:
    return [(one["file"], one["line"], one["column"]) for one in findings]


@pytest.mark.skipif(not shutil.which("vim"), reason="there is no vim")
def test_vim_finds_the_place_of_every_finding(findings: list[dict[str, Any]]) -> None:
    """With the 'errorformat' that Vim comes with."""
    listed = "map(getqflist(), {_, one -> [bufname(one.bufnr), one.lnum, one.col, one.valid, one.text]})"
    steps = ("cgetfile lines.txt", f'call writefile([json_encode({listed})], "found.json")', "qall!")
    words = [word for step in steps for word in ("-c", step)]
    vim = ("vim", "-es", "-N", "-u", "NONE", "-i", "NONE", "--cmd", "set encoding=utf-8")
    subprocess.run((*vim, *words), stdin=subprocess.DEVNULL, timeout=60, check=True)
    found = json.loads(Path("found.json").read_text(encoding="utf-8"))
    assert [tuple(one[:4]) for one in found] == [(*spot, 1) for spot in spots(findings)]
    for one, finding in zip(found, findings, strict=True):
        assert one[4].endswith(f"[{finding['rule']}]")


@pytest.mark.skipif(not shutil.which("vim"), reason="there is no vim")
def test_make_in_vim_goes_by_what_the_readme_sets(
    findings: list[dict[str, Any]], monkeypatch: pytest.MonkeyPatch
) -> None:
    setting = re.search(r"`:(set makeprg=\S.*?%:S)`", README.read_text(encoding="utf-8"))
    assert setting
    monkeypatch.setenv("PATH", str(Path(sys.executable).parent), prepend=os.pathsep)
    plan = findings[-1]["file"]
    assert "smallest" in plan  # a plan without dates, whose findings stay the same from day to day
    steps = (
        setting[1],
        "silent make!",
        'call writefile([len(filter(getqflist(), "v:val.valid"))], "found.txt")',
        "qall!",
    )
    vim = ("vim", "-es", "-N", "-u", "NONE", "-i", "NONE", plan)
    words = [word for step in steps for word in ("-c", step)]
    subprocess.run((*vim, *words), stdin=subprocess.DEVNULL, capture_output=True, timeout=60, check=True)
    assert int(Path("found.txt").read_text(encoding="utf-8")) == sum(one["file"] == plan for one in findings)


LISP = """
(require 'compile)
(require 'json)
(find-file "lines.txt")
(compilation-mode)
(compilation--ensure-parse (point-max))
(let (found)
  (goto-char (point-min))
  (while (not (eobp))
    (let* ((message (get-text-property (point) 'compilation-message))
           (place (and message (compilation--message->loc message))))
      (push (and place (vector (caar (compilation--loc->file-struct place)) (compilation--loc->line place)
                               (compilation--loc->col place) (compilation--message->type message)))
            found))
    (forward-line 1))
  (princ (json-encode (vconcat (nreverse found)))))
"""


@pytest.mark.skipif(not shutil.which("emacs"), reason="there is no emacs")
def test_emacs_finds_the_place_of_every_finding_and_how_grave_it_is(findings: list[dict[str, Any]]) -> None:
    """With the patterns that M-x compile comes with."""
    Path("read.el").write_text(LISP, encoding="utf-8")
    emacs = ("emacs", "-Q", "--batch", "--eval", '(set-language-environment "UTF-8")', "--load", "read.el")
    done = subprocess.run(emacs, capture_output=True, encoding="utf-8", timeout=60, check=True)
    types = {"error": 2, "warning": 1, "note": 0}  # of compilation-mode: 0 is for information
    told = [types["note" if one["conceded"] else one["level"]] for one in findings]
    expected = [[*spot, kind] for spot, kind in zip(spots(findings), told, strict=True)]
    assert json.loads(done.stdout) == expected


VIM = re.compile(r"(?P<file>.+?):(?P<line>\d+):(?P<column>\d+):(?P<rest>.*)")
"""`%f:%l:%c:%m` of the 'errorformat' that Vim 9 comes with; `:help errorformat` says what each part matches."""
EMACS = re.compile(
    r"(?:[A-Za-z][-A-Za-z0-9.]+: ?)?"
    r"(?P<file>[0-9]*[^0-9\n](?:[^\n :]| [^-/\n]|:[^ \n])*?)"
    r": ?(?P<line>[0-9]+)[.:](?P<column>[0-9]+):"
    r"(?: *(?P<warning>[Ww]arning)| *(?P<note>[Nn]ote)| *(?P<error>[Ee]rror))"
)
"""The entry `gnu` of `compilation-error-regexp-alist-alist` in compile.el of Emacs 28, for lines with a column."""
OTHERS = re.compile(README.read_text(encoding="utf-8").split("- Others: the pattern `")[1].split("`")[0])


def spot(match: re.Match[str] | None) -> Spot | None:
    return match and (match[1], int(match[2]), int(match[3]))


@pytest.mark.parametrize("pattern", [VIM, EMACS, OTHERS], ids=["vim", "emacs", "readme"])
def test_the_patterns_fit_every_line(findings: list[dict[str, Any]], pattern: re.Pattern[str]) -> None:
    lines = Path("lines.txt").read_text(encoding="utf-8").splitlines()
    assert [spot(pattern.match(line)) for line in lines] == spots(findings)
