"""One row of the speed table, and how a median is taken."""

from __future__ import annotations

import statistics
import time
from collections.abc import Callable
from dataclasses import dataclass


@dataclass(frozen=True)
class Row:
    """What was measured beside what it may be.

    Args:
        what: in words
        found: the figure
        unit: "FOUR" for times the four libraries, "s", "of the plan", "of PHREEQC"
        most: at most
        aim: what is aimed at; None where that is the limit
        ms: milliseconds it took; None where the row is no time
        rounds: how many the median is of
    """

    what: str
    found: float
    unit: str
    most: float
    aim: float | None = None
    ms: float | None = None
    rounds: int = 1

    @property
    def over(self) -> bool:
        """Whether it takes longer than it may."""
        return self.found > self.most

    def line(self) -> str:
        """As the table has it."""
        told = "" if self.ms is None else f"{self.ms:.1f}" if self.ms < 10 else f"{self.ms:.0f}"
        aim = "" if self.aim is None else f"{self.aim:.3g}"
        return (
            f"{self.what:44s}{told:>8s}{self.found:9.3f} {self.unit:13s}{self.most:8.3g}{aim:>8s}{'   OVER' if self.over else ''}"
        )


HEAD = f"{'what':44s}{'ms':>8s}{'found':>9s} {'in':13s}{'at most':>8s}{'aim':>8s}"


def median(run: Callable[[], object], rounds: int) -> float:
    """Median seconds of some rounds."""
    taken = []
    for _ in range(rounds):
        began = time.perf_counter()
        run()
        taken.append(time.perf_counter() - began)
    return statistics.median(taken)


def beside(one: Callable[[], object], other: Callable[[], object], rounds: int) -> tuple[float, float, float]:
    """Median seconds of two, and the median of their ratio, taken in turns so that a busy machine is busy for both."""
    ours, theirs = [], []
    for _ in range(rounds):
        ours.append(median(one, 1))
        theirs.append(median(other, 1))
    ratio = statistics.median(mine / yours for mine, yours in zip(ours, theirs, strict=True))
    return statistics.median(ours), statistics.median(theirs), ratio
