"""All speeds in one run against their limits: `python -m tests.bench [--rounds 9] [--json FILE]`. Ends with 1 where one is over.

Whatever can be is a ratio taken in turns in this run, so that a busy machine is busy for both; the load is told with the table.
No test asserts on a clock.
"""

from __future__ import annotations

import argparse
import json
import os
import platform
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from dataclasses import asdict
from pathlib import Path

from tests.bench.rows import HEAD, Row

ROOT = Path(__file__).resolve().parents[2]
# an installed package has its bytecode, so the runs may write and use it
ENVIRONMENT = {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}
FOUR = "import typer, rich, pint, periodictable"
"""What everything is measured against: the four libraries a command could load at most."""

LARGEST = str(ROOT / "examples" / "edge-tabs.toml")
VENT = ["vent", "--gold", "7/8/9 g", "--hot", "--time", "20min", "--room", "45m3", "--fan", "0.2 m3/s"]
SHEET = os.path.join(tempfile.gettempdir(), "refinekit-bench.html")
DISSOLVE = ["dissolve", "--gold", "1.6/2.1/2.6 g", "--nitric", "68 %"]
CASES: tuple[tuple[str, list[str], float, float], ...] = (
    ("--version", ["--version"], 0.35, 0.15),
    ("list of commands", ["--help"], 0.60, 0.30),
    ("help of one command", ["dissolve", "--help"], 1.00, 0.60),
    ("one sizing, JSON", [*DISSOLVE, "--json"], 1.10, 0.85),
    ("one sizing, table", DISSOLVE, 1.25, 1.00),
    (
        "a bath by days, JSON",
        ["air", "--weight", "500 g", "--copper", "63 g", "--nickel", "7 g", "--air", "1.5 L/min", "--depth", "15 cm", "--json"],
        1.10,
        0.85,
    ),
    (
        "nitric by portions, table",
        ["leach", "--method", "nitric", "--copper", "100 g"],
        1.25,
        1.00,
    ),
    (
        "neutralise, JSON",
        ["neutralise", "--volume", "10 L", "--copper-strength", "80 g/L", "--free-acid", "1.2 mol/L", "--json"],
        1.40,
        1.40,
    ),
    ("a room's air, JSON", [*VENT, "--json"], 1.10, 0.85),
    ("a room's air, table", VENT, 1.25, 1.00),
    ("how much at once, table", [*VENT, "--how-much"], 1.25, 1.00),
    ("a scrubber, JSON", ["scrub", "--gold", "8g", "--turned", "50%", "--json"], 1.10, 0.85),
    ("plan of the largest example", ["plan", LARGEST], 1.80, 1.30),
    ("the same with its run sheet", ["plan", LARGEST, "--sheet", SHEET, "--force"], 8.00, 6.00),
)
"""What is run, its words, at most, aim."""


def seconds(argv: list[str]) -> float:
    """Wall time of one process."""
    start = time.perf_counter()
    done = subprocess.run(argv, capture_output=True, cwd=ROOT, env=ENVIRONMENT)
    if done.returncode not in (0, 3):
        raise SystemExit(f"{' '.join(argv)} ended with {done.returncode}: {done.stderr.decode()[-400:]}")
    return time.perf_counter() - start


def medians(rounds: int) -> dict[str, float]:
    """Median seconds of every case and of the four, taken in turns so that a busy machine is busy for all."""
    taken: dict[str, list[float]] = {"FOUR": [], **{name: [] for name, *_ in CASES}}
    for _ in range(rounds):
        taken["FOUR"].append(seconds([sys.executable, "-c", FOUR]))
        for name, words, _, _ in CASES:
            taken[name].append(seconds([sys.executable, "-m", "refinekit", *words]))
    return {name: statistics.median(times) for name, times in taken.items()}


def commands(rounds: int) -> Iterator[Row]:
    """Every command as a ratio to the four libraries."""
    found = medians(rounds)
    four = found["FOUR"]
    yield Row("the four libraries", 1.0, "FOUR", 1.0, None, 1000 * four, rounds)
    for name, _, most, aim in CASES:
        yield Row(name, found[name] / four, "FOUR", most, aim, 1000 * found[name], rounds)


def everything(rounds: int, events: int) -> Iterator[Row]:
    """All rows, one after the other."""
    from tests.bench import bench_inside, imports

    ran = list(commands(rounds))
    yield from ran
    yield from imports.rows(min(rounds, 5))[0]
    for part in (bench_inside.balancing, bench_inside.equilibria, bench_inside.plans, bench_inside.fume_and_account):
        yield from part(rounds)
    yield from bench_inside.book((ran[0].ms or 0.0) / 1000, events, min(rounds, 3))


def main() -> int:
    """Print the table; 1 where anything takes longer than it may."""
    options = argparse.ArgumentParser(description="All speeds in one run against their limits.")
    options.add_argument("--rounds", type=int, default=9, help="how many each median is of")
    options.add_argument("--events", type=int, default=100_000, help="events in the large record")
    options.add_argument("--json", metavar="FILE", help="where to keep the figures")
    told = options.parse_args()
    before = os.getloadavg()
    print(f"Python {platform.python_version()}, {os.cpu_count()} processors, load {before[0]:.1f} at the start; FOUR = {FOUR}")
    print(HEAD, flush=True)
    rows = []
    for row in everything(told.rounds, told.events):
        rows.append(row)
        print(row.line(), flush=True)
    over = [row.what for row in rows if row.over]
    print(f"{len(rows)} figures, {len(over)} over; load {os.getloadavg()[0]:.1f} at the end")
    if told.json:
        kept = {"python": platform.python_version(), "load": [before, os.getloadavg()], "rows": [asdict(row) for row in rows]}
        Path(told.json).write_text(json.dumps(kept, indent=1) + "\n", encoding="utf-8")
    return 1 if over else 0


if __name__ == "__main__":
    sys.exit(main())
