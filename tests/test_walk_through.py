"""The walk through DEVELOPERS.md: one of each thing is added to a copy of the tree as printed there, and the commands run."""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

TREE = Path(__file__).resolve().parent.parent
SECTION = "## One of each\n"
EACH = ("A reagent", "A reaction", "A gas", "A limit", "A metal", "A step")
MOST_LINES = 30
"""Lines that any of them may take."""
BLOCK = re.compile(r"(?:(A new file|At the end of|Under) (?:`([^`]+)` in )?`([^`]+)`:\n\n)?```(\w+)\n(.*?)```", re.DOTALL)


def parts() -> dict[str, str]:
    """What stands under each heading of the section."""
    text = (TREE / "DEVELOPERS.md").read_text(encoding="utf-8").split(SECTION)[1].split("\n## ")[0]
    return {part.split("\n")[0]: part for part in text.split("### ")[1:]}


def put(tree: Path, how: str, anchor: str, name: str, lines: str) -> None:
    """Write lines into a file of the tree, where the page says."""
    file = tree / name
    if how == "A new file":
        assert not file.exists()
        file.write_text(lines, encoding="utf-8")
        return
    text = file.read_text(encoding="utf-8")
    if how == "At the end of":
        file.write_text(text.rstrip("\n") + "\n\n" + lines, encoding="utf-8")
        return
    rows = text.splitlines(keepends=True)
    (at,) = [number for number, row in enumerate(rows) if row.strip() == anchor]
    file.write_text("".join([*rows[: at + 1], lines, *rows[at + 1 :]]), encoding="utf-8")


@pytest.fixture
def tree(tmp_path: Path) -> Path:
    leave = shutil.ignore_patterns("__pycache__", ".*", "data")
    for name in ("refinekit", "tests"):
        shutil.copytree(TREE / name, tmp_path / name, ignore=leave)
    shutil.copy(TREE / "pyproject.toml", tmp_path)
    return tmp_path


def test_the_page_walks_through_one_of_each() -> None:
    assert tuple(parts()) == EACH


@pytest.mark.parametrize("what", EACH)
def test_what_is_printed_for_developers_works_as_printed(tree: Path, what: str) -> None:
    blocks = BLOCK.findall(parts()[what])
    added = [block for block in blocks if block[3] != "sh"]
    assert sum(lines.count("\n") for *_, lines in added) <= MOST_LINES
    for how, anchor, name, _, lines in added:
        put(tree, how, anchor, name, lines)
    commands = [line for *_, kind, lines in blocks if kind == "sh" for line in lines.splitlines()]
    assert commands
    for line in commands:
        command, _, wanted = line.partition("   # ")
        run = re.sub(r"(^|\| )refinekit ", r"\1python -m refinekit ", command)
        run = re.sub(r"(^|\| )python ", lambda found: f"{found[1]}{sys.executable} ", run)
        there = {**os.environ, "PYTHONPATH": str(tree), "COLUMNS": "100"}
        done = subprocess.run(run, shell=True, cwd=tree, env=there, capture_output=True, text=True, timeout=300, check=False)
        said = done.stdout + done.stderr
        assert "a fault of the program" not in said, said
        assert done.returncode == 0 or "STOP" in said, said
        assert wanted in said, said
