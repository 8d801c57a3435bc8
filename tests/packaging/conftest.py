import os
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

Run = Callable[..., subprocess.CompletedProcess[str]]


@pytest.fixture
def run(tmp_path: Path) -> Run:
    """Run a program as on a machine of its own: git sees nobody's settings, and planlint is installed."""
    environment = {name: value for name, value in os.environ.items() if not name.startswith("GIT_")} | {
        "GIT_CONFIG_GLOBAL": os.devnull,
        "GIT_CONFIG_SYSTEM": os.devnull,
        "GIT_AUTHOR_NAME": "a",
        "GIT_AUTHOR_EMAIL": "a@example.invalid",
        "GIT_COMMITTER_NAME": "a",
        "GIT_COMMITTER_EMAIL": "a@example.invalid",
        "PATH": os.pathsep.join([str(Path(sys.executable).parent), os.environ["PATH"]]),
        "PRE_COMMIT_HOME": str(tmp_path / "pre-commit-home"),
    }

    def call(folder: Path, *words: str | Path, check: bool = True, **more: str) -> subprocess.CompletedProcess[str]:
        return subprocess.run(
            words, cwd=folder, env=environment | more, capture_output=True, encoding="utf-8", check=check
        )

    return call
