"""Speed as ratios in one run: `python -m tests.bench`. Nothing here is asserted; each figure stands beside its limit."""

from __future__ import annotations

import os
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

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


def main() -> None:
    """Print the table."""
    rounds = int(sys.argv[1]) if len(sys.argv) > 1 else 9
    found = medians(rounds)
    four = found["FOUR"]
    print(f"FOUR ({FOUR}): {1000 * four:.0f} ms, median of {rounds}")
    print(f"{'what':30s}{'ms':>7s}{'FOUR':>7s}{'at most':>9s}{'aim':>7s}")
    for name, _, most, aim in CASES:
        ratio = found[name] / four
        print(f"{name:30s}{1000 * found[name]:7.0f}{ratio:7.2f}{most:9.2f}{aim:7.2f}{'' if ratio <= most else '   OVER'}")


if __name__ == "__main__":
    main()
