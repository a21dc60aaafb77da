"""The command as a process, the way a user runs it."""

import os
import subprocess
import sys
from pathlib import Path

import pytest
from hypothesis import settings

from tests.command import Run

# no test asserts on a clock: a busy machine, or the first load of a library, is no fault
settings.register_profile("no clock", deadline=None)
settings.load_profile("no clock")


@pytest.fixture
def refinekit(tmp_path: Path) -> Run:
    def run(*words: str, stdin: str = "", **environment: str) -> subprocess.CompletedProcess[str]:
        return subprocess.run(
            [sys.executable, "-m", "refinekit", *words],
            input=stdin,
            capture_output=True,
            text=True,
            encoding="utf-8",
            cwd=tmp_path,
            env={**os.environ, "PYTHONIOENCODING": "utf-8", "REFINEKIT_BOOK": str(tmp_path / "book.sqlite"), **environment},
            timeout=60,
        )

    return run
