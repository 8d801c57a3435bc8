"""The kit that takeoffs are tested with: a layout is written back into its plan, and the plan is inspected."""

from collections.abc import Callable, Iterable
from datetime import date
from typing import Any

import pytest
import yaml

from planlint import inspection, registry, source
from planlint.model.plan import Plan
from planlint.records import PlanRecord
from planlint.rule import Given
from planlint.takeoff.layout import LIMITS_OF_LAYOUT
from planlint.takeoff_records import PieceCard

TODAY = date(2026, 11, 25)
Data = dict[str, Any]


@pytest.fixture(scope="session")
def rulebook() -> registry.Rulebook:
    return registry.load(inspection.ENGINE_CARDS)


@pytest.fixture(scope="session")
def read(rulebook: registry.Rulebook) -> Callable[[Data], tuple[Plan, Given]]:
    """A plan from its data, and what sums and layouts are given with it."""

    def build(data: Data) -> tuple[Plan, Given]:
        document = source.read(yaml.safe_dump(data, allow_unicode=True, sort_keys=False).encode(), "case.plan.yaml")
        plan = inspection.plan_of(document)
        return plan, Given(inspection.limits_of(document, plan, rulebook, None), date.min, LIMITS_OF_LAYOUT)

    return build


@pytest.fixture(scope="session")
def inspect(rulebook: registry.Rulebook) -> Callable[..., PlanRecord]:
    """Inspects the data of a plan by some rules or families; a rule that breaks down raises."""

    def run(data: Data, *only: str) -> PlanRecord:
        document = source.read(yaml.safe_dump(data, allow_unicode=True, sort_keys=False).encode(), "case.plan.yaml")
        return inspection.inspect(document, rulebook, inspection.Wanted(today=TODAY, only=only, contain=False))

    return run


@pytest.fixture(scope="session")
def write_back() -> Callable[[Data, Iterable[PieceCard]], None]:
    """Writes pieces into the walls of a plan, as a person would who takes the layout over."""

    def write(data: Data, pieces: Iterable[PieceCard]) -> None:
        walls = {f"{room}.{wall['wall']}": wall for room, body in data["rooms"].items() for wall in body["walls"]}
        kept: dict[str, list[Data]] = {}
        for piece in pieces:
            if not piece.lies_flat:
                kept.setdefault(piece.surface, []).append(as_written(piece))
        for place, written in kept.items():
            walls[place]["pieces"] = written

    return write


def as_written(piece: PieceCard) -> Data:
    """A piece as a plan says it."""
    data: Data = {
        "board": piece.board,
        "width": {"bottom": _length(piece.width_bottom), "top": _length(piece.width_top)},
        "bottom": _length(piece.bottom),
        "layer": piece.layer,
        "row": piece.row,
    }
    if not piece.name.startswith("piece-"):
        data["name"] = piece.name
    if not piece.to_end:
        data["height"] = {"left": _length(piece.height_left), "right": _length(piece.height_right)}
    if not piece.chained:
        data["at"] = _length(piece.at)
    return data | {side: edge for side, edge in (("left", piece.left), ("right", piece.right)) if edge}


def _length(metres: float) -> str:
    return f"{1000 * metres:.2f} mm"
