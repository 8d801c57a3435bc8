"""Prints, in one run, how long planlint takes as ratios to programs that do only the unavoidable part of the work.

Cold: `planlint inspect` on a plan of 50 points as a process of its own, to a bare program that imports click,
PyYAML, jsonschema and pint and builds pint's default registry; the two in turn.
Warm: reading and inspecting a plan, to parsing the same text with PyYAML's C loader and validating it with
jsonschema; the collector of garbage is paused for both, since planlint pauses it while it reads.
Seconds are those of the processor, so that whatever else the machine does moves the ratios little.

    python benchmarks/ratios.py [RUNS]
"""

import gc
import os
import resource
import statistics
import subprocess
import sys
import tempfile
from collections.abc import Callable
from datetime import date
from pathlib import Path

import jsonschema
import yaml
from plans import make

from planlint import inspection, registry, schema, source

BARE = "import click, yaml, jsonschema, pint; pint.UnitRegistry(cache_folder=None).meter"
TODAY = date(2026, 10, 3)
SIZES = (500, 5_000, 20_000)


def seconds(work: Callable[[], object]) -> float:
    """The processor's time for a piece of work, in this process and in those that it starts."""
    start = _used()
    work()
    return _used() - start


def _used() -> float:
    used = [resource.getrusage(who) for who in (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN)]
    return sum(one.ru_utime + one.ru_stime for one in used)


def in_turn(runs: int, ours: Callable[[], object], other: Callable[[], object]) -> tuple[float, float, float]:
    """Medians of both, and of the ratio pair by pair, after one run that is not counted."""
    ours(), other()
    pairs = [(seconds(ours), seconds(other)) for _ in range(runs)]
    medians = (statistics.median(pair[side] for pair in pairs) for side in (0, 1))
    return (*medians, statistics.median(first / second for first, second in pairs))  # type: ignore[return-value] # three of them


def cold(runs: int) -> None:
    """The whole program on a small plan, from start to exit."""
    with tempfile.TemporaryDirectory() as folder:
        plan = Path(folder) / "house.plan.yaml"
        plan.write_text(make(50), encoding="utf-8")
        inspect = [sys.executable, "-m", "planlint", "inspect", str(plan), "--today", TODAY.isoformat()]
        bare = [sys.executable, "-c", BARE]
        # Installed programs are kept compiled, and so is planlint after its first run, unless Python is told not to.
        kept = {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}
        times = in_turn(
            runs,
            lambda: subprocess.run(inspect, check=True, capture_output=True, env=kept),
            lambda: subprocess.run(bare, check=True, capture_output=True, env=kept),
        )
    print(f"cold, 50 points: {times[0]:.3f} s to {times[1]:.3f} s, ratio {times[2]:.2f} (budget 1.5)")


def warm(runs: int) -> None:
    """Reading and inspecting plans of growing size inside one process."""
    rulebook = registry.load(inspection.ENGINE_CARDS)
    validator = jsonschema.Draft202012Validator(schema.load_schema("plan-1"))
    for size in SIZES:
        raw = make(size).encode()

        def ours(raw: bytes = raw) -> None:
            record = inspection.inspect(source.read(raw, "-"), rulebook, inspection.Wanted(today=TODAY))
            if record.crashes or record.findings:
                raise SystemExit(f"the plan should be sound: {record.findings[:3]} {record.crashes[:3]}")

        def other(raw: bytes = raw) -> None:
            gc.disable()
            try:
                data = yaml.load(raw, yaml.CSafeLoader)
                if not validator.is_valid(data):
                    raise SystemExit("the plan should fit the schema")
            finally:
                gc.enable()

        times = in_turn(runs if size < SIZES[-1] else 1, ours, other)
        each = times[0] / size * 1e6
        print(
            f"warm, {size} points: {times[0]:.3f} s to {times[1]:.3f} s, ratio {times[2]:.2f} (budget 2), "
            f"{each:.0f} µs a point"
        )


if __name__ == "__main__":
    wanted = int(sys.argv[1]) if len(sys.argv) > 1 else 5
    cold(wanted)
    warm(wanted)
