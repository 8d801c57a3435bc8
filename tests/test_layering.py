"""The layers of the program: a module imports only from rows above its own."""

import ast
from collections.abc import Iterator
from pathlib import Path

import planlint.rules
import pytest

import planlint

ROWS = (
    {"errors", "spans"},
    {"units"},
    {"source", "formulas", "geometry", "records"},
    {"schema"},
    {"limits", "materials"},
    {"model"},
    {"rule"},
    {"sums"},
    {"api"},
    {"rules"},
    {"registry"},
    {"concessions", "cutting", "drawing", "edits", "offers", "releases"},
    {"inspection"},
    {"release", "mend", "takeoff"},
    {"schedules"},
    {"reports"},
    {"cli"},
)
ROW = {name: number for number, row in enumerate(ROWS) for name in row}
INNER = {
    # Modules that are parts of one room, which would be too long for one file.
    "composer": "source",
    "events": "source",
    "scalars": "source",
    "syntax": "source",
    "grammar": "units",
    "limit_values": "limits",
    "circuit_records": "records",
    "order_records": "records",
    "digest": "releases",
    "holds": "inspection",
    "takeoff_records": "records",
    "moisture_records": "records",
    "points_records": "records",
    "behind_records": "records",
    "entries": "records",
    "sheet_records": "records",
    "sum_records": "records",
}
PROGRAM = Path(planlint.__file__).parent
RULES = sorted(path for path in Path(planlint.rules.__path__[0]).glob("*.py") if path.name != "__init__.py")
MODULES = sorted(
    path
    for path in PROGRAM.rglob("*.py")
    if path.name not in ("__init__.py", "__main__.py") and path.parent.name not in ("rules", "schemas")
)


def room(dotted: str) -> str:
    """The room of the house that a module of ours belongs to: `planlint.model.rooms` to `model`."""
    name = dotted.split(".")[1]
    return INNER.get(name, name)


def own_imports(path: Path) -> Iterator[str]:
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            yield from (
                alias.name for alias in node.names if alias.name.split(".")[0] in ("planlint", "rules", "schemas")
            )
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{path}: imports are absolute"
            if node.module == "planlint":
                yield from (f"planlint.{alias.name}" for alias in node.names if alias.name != "__version__")
            elif node.module and node.module.split(".")[0] in ("planlint", "rules", "schemas"):
                yield node.module


@pytest.mark.parametrize("path", MODULES, ids=lambda path: str(path.relative_to(PROGRAM)))
def test_module_imports_from_above(path: Path) -> None:
    own = room("planlint." + ".".join(path.relative_to(PROGRAM).with_suffix("").parts))
    assert own in ROW, f"{own} stands in no row of the table"
    for imported in own_imports(path):
        assert imported.startswith("planlint."), f"{path.name} imports {imported}, a second copy of it"
        other = room(imported)
        assert other != "rules", f"{path.name} imports a rule by name"
        assert other == own or ROW[other] < ROW[own], f"{own} (row {ROW[own]}) imports {other} (row {ROW[other]})"


@pytest.mark.parametrize("path", RULES, ids=lambda path: path.name)
def test_rules_import_the_api_alone(path: Path) -> None:
    assert set(own_imports(path)) == {"planlint.api"}


def test_only_the_command_line_prints_and_exits() -> None:
    for path in (path for path in MODULES if "cli" not in path.parts):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Name):
                assert node.id not in ("print", "exit", "input"), f"{path}:{node.lineno}"
            if isinstance(node, ast.Attribute):
                assert node.attr not in ("environ", "getenv", "stdout", "stderr"), f"{path}:{node.lineno}"
