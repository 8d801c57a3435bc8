from collections.abc import Callable
from datetime import date

import pytest

from planlint import limits, source
from planlint.model.build import build
from planlint.model.rooms import Wall
from planlint.model.services import Circuit
from planlint.rule import Given


@pytest.fixture(scope="session")
def given_all() -> Given:
    """All limits of `general`."""
    in_force = limits.resolve(None)
    return Given(in_force, date(2026, 10, 3), tuple(in_force.by_name))


@pytest.fixture(scope="session")
def circuit_of() -> Callable[..., Circuit]:
    """The circuit `first` of a plan with what is written of it, and sockets or other points on one wall."""

    def make(written: str, points: str = "S1: {kind: socket, circuit: first}", more: str = "") -> Circuit:
        text = f"""
plan: 1
title: one circuit
supply: {{earthing: TN-S, voltage: 230 V, loop_impedance: 0.35 ohm}}
circuits:
  first: {{serves: sockets, breaker: {{rating: 16 A, curve: B}}, {written}}}
{more}
rooms: {{study: {{walls: [{{wall: west, points: {{{points}}}}}]}}}}
"""
        return build(source.read(text.encode(), "case.plan.yaml")).circuits["first"]

    return make


@pytest.fixture(scope="session")
def wall_of() -> Callable[..., Wall]:
    """An outside wall of 380 mm of brick with the layers of a lining, wall side first, as a plan writes them."""

    def make(
        layers: str,
        *,
        base: str = "material: solid-brick, thickness: 380 mm, faces: outside",
        wall: str = "lining: chosen",
        battens: str = "",
        more: str = "",
    ) -> Wall:
        text = f"""
plan: 1
title: one wall
boards:
  strand: {{kind: osb, thickness: 12 mm, density: 600 kg/m³}}
  sheet: {{kind: gypsum, thickness: 12.5 mm, mass: 10 kg/m²}}
linings: {{chosen: {{{battens} layers: [{layers}]}}}}
{more}
rooms: {{study: {{walls: [{{wall: west, base: {{{base}}}, {wall}}}]}}}}
"""
        return build(source.read(text.encode(), "case.plan.yaml")).rooms[0].walls[0]

    return make
