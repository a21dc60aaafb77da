"""The command as a process, the way a user runs it."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

from tests.command import Run


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
            env={**os.environ, "PYTHONIOENCODING": "utf-8", **environment},
            timeout=60,
        )

    return run
