"""Speed of samples, as ratios to one plain plan: `python -m tests.bench.bench_samples`. Nothing is asserted."""

from __future__ import annotations

import resource
import statistics
import sys
import time
from collections.abc import Callable
from pathlib import Path

from refinekit.shop.batch import read_batch
from refinekit.shop.largest import largest
from refinekit.shop.limits import limits_of
from refinekit.shop.plan import Heard, hear_all, reckon
from refinekit.shop.sampled_step import sampled_step
from refinekit.shop.samples import sample

EXAMPLES = Path(__file__).resolve().parents[2] / "examples"
LARGEST = "edge-tabs.toml"


def seconds(run: Callable[[], object], rounds: int) -> float:
    """Median of some rounds."""
    taken = []
    for _ in range(rounds):
        start = time.perf_counter()
        run()
        taken.append(time.perf_counter() - start)
    return statistics.median(taken)


def heard_of(name: str) -> Heard:
    """An example, read."""
    return hear_all(read_batch((EXAMPLES / name).read_text(encoding="utf-8"), name))


def megabytes() -> float:
    """Most memory this process has held."""
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1000


def main() -> None:
    """Print the table."""
    rounds = int(sys.argv[1]) if len(sys.argv) > 1 else 5
    heard = heard_of(LARGEST)
    plan = reckon(heard)
    plain = seconds(lambda: reckon(heard), rounds)
    print(f"one plain plan of {LARGEST}: {1000 * plain:.0f} ms, median of {rounds}")
    print(f"{'what':40s}{'ms':>8s}{'plain':>8s}{'MB':>8s}")

    def line(what: str, taken: float) -> None:
        print(f"{what:40s}{1000 * taken:8.0f}{taken / plain:8.2f}{megabytes():8.0f}")

    for count in (1_000, 10_000, 100_000):
        line(f"{count} samples", seconds(lambda count=count: sample(heard, plan, count), rounds if count < 100_000 else 1))
    line("10000 samples, shares and measures", seconds(lambda: sampled_step(heard, plan, 10_000), rounds))
    limits = limits_of(heard)
    line("the largest lot", seconds(lambda: largest(heard, plan, limits), rounds))
    if "--million" in sys.argv:
        line("1000000 samples", seconds(lambda: sample(heard, plan, 1_000_000), 1))


if __name__ == "__main__":
    main()
