"""One small change at a time in a copy of the tree, and whether the tests see it: `python -m tests.mutate --sample 60 --seed 1`.

Ends with 1 where a change is not seen. Such a change is either a test that is missing, or code nobody needs, or it changes
nothing anybody could see; the same sample and seed draw the same changes again as long as the files stay as they are.
"""

from __future__ import annotations

import argparse
import os
import re
import shutil
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator, Sequence
from pathlib import Path
from random import Random

from tests.mutate.sites import Site, sites

ROOT = Path(__file__).resolve().parents[2]
TREE = ("refinekit", "tests", "examples", "pyproject.toml", "README.md", "DEVELOPERS.md")
ROOMS = ("chemistry", "safety")
BEYOND = ("bench", "published", "property", "data", "shop")
"""Folders of tests a change is shown to after those of its own room."""

TIMED_OUT = 124


def drawn(rooms: Sequence[str], sample: int, seed: int, only: str) -> list[tuple[Path, Site]]:
    """So many changes of each room, each as likely as any other."""
    random = Random(seed)
    chosen: list[tuple[Path, Site]] = []
    for number, room in enumerate(rooms):
        files = sorted(path for path in (ROOT / "refinekit" / room).rglob("*.py") if only in path.name)
        there = [(path.relative_to(ROOT), site) for path in files for site in sites(path.read_text(encoding="utf-8"))]
        share = sample // len(rooms) + (number < sample % len(rooms))
        chosen += random.sample(there, min(share, len(there)))
    return chosen


def looks(path: Path, beyond: Sequence[str]) -> Iterator[list[str]]:
    """What is run for a file, the likeliest to see a change of it first: tests that name it, its room's, then all the others."""
    room, stem = path.parts[1], path.stem
    word = re.compile(rf"\b{room}(\.| import .*\b){stem}\b")
    tests = sorted((ROOT / "tests").rglob("test_*.py"))
    named = [one for one in tests if word.search(one.read_text(encoding="utf-8")) and one.parent.name in (room, *beyond)]
    if named:
        yield [str(one.relative_to(ROOT)) for one in named]
    yield [f"tests/{room}"]
    for other in ("chemistry", "safety", *beyond):
        if other != room:
            yield [f"tests/{other}"]


def run(tree: Path, tests: Sequence[str], seconds: float) -> int:
    """How the tests ended in a tree: 0 all passed, 124 not within the time."""
    environment = {**os.environ, "PYTHONPATH": str(tree)}
    words = [sys.executable, "-m", "pytest", "-x", "-q", "--no-header", "--tb=no", "-p", "no:cacheprovider", *tests]
    try:
        return subprocess.run(words, cwd=tree, env=environment, capture_output=True, timeout=seconds).returncode
    except subprocess.TimeoutExpired:
        return TIMED_OUT


def fate(tree: Path, path: Path, site: Site, beyond: Sequence[str], seconds: float) -> str:
    """Which tests see a change; "" where none does."""
    whole = (ROOT / path).read_text(encoding="utf-8")
    (tree / path).write_text(site.applied(whole), encoding="utf-8")
    try:
        for tests in looks(path, beyond):
            if run(tree, tests, seconds):
                return tests[0] if len(tests) == 1 else f"{tests[0]} and {len(tests) - 1} more"
        return ""
    finally:
        (tree / path).write_text(whole, encoding="utf-8")


def main() -> None:
    """Draw, change, run, and print what no test saw."""
    options = argparse.ArgumentParser(description="One small change at a time, and whether the tests see it.")
    options.add_argument("--sample", type=int, default=60, help="how many changes, shared over the rooms")
    options.add_argument("--seed", type=int, default=1, help="which ones")
    options.add_argument("--rooms", nargs="+", default=ROOMS, choices=("chemistry", "bench", "safety"), help="where")
    options.add_argument("--file", default="", help="only files whose name has this in it")
    options.add_argument("--beyond", nargs="*", default=BEYOND, help="folders of tests looked at last")
    options.add_argument(
        "--seconds", type=float, default=600, help="longest run of a folder's tests; a longer one counts as seen"
    )
    told = options.parse_args()
    chosen = drawn(told.rooms, told.sample, told.seed, told.file)
    unseen = []
    start = time.perf_counter()
    with tempfile.TemporaryDirectory() as folder:
        tree = Path(folder)
        for name in TREE:
            copy = shutil.copytree if (ROOT / name).is_dir() else shutil.copy
            copy(ROOT / name, tree / name)
        for path, site in chosen:
            by = fate(tree, path, site, told.beyond, told.seconds)
            print(f"{'seen' if by else 'NOT SEEN'} {path}:{site.line}: {site.was}  ->  {site.now}  {by}", flush=True)
            unseen += [] if by else [(path, site)]
    print(f"{len(chosen)} changes, {len(unseen)} not seen, {time.perf_counter() - start:.0f} s")
    for path, site in unseen:
        print(f"{path}:{site.line}\n- {site.was}\n+ {site.now}")
    raise SystemExit(1 if unseen else 0)


if __name__ == "__main__":
    main()
