"""What a plan over many cases costs beside a plan over few, step by step, as ratios in one run: run this file by hand."""

import sys
import time
from dataclasses import replace
from pathlib import Path

import numpy as np

from refinekit.safety.engine import review
from refinekit.shop import plan as plans
from refinekit.shop.batch import read_batch
from refinekit.shop.plan import run_plan

EXAMPLE = Path(__file__).parents[2] / "examples" / "edge-tabs.toml"
CASES = (100, 10_000, 100_000)
ALLOWED = 0.05
"""Share of a plan over ten thousand cases and more that the safety rules may take."""


def ends_of(cases):
    """So many cases anywhere between low and high, the likely one first, in place of the corners."""

    def leading(ends, figures):
        rows = np.random.default_rng(1).integers(0, 3, size=(cases, ends.shape[1])) / 2
        rows[0] = 0.5
        return rows

    return leading


def timed(work, rounds=3):
    best = float("inf")
    for _ in range(rounds):
        began = time.process_time()
        found = work()
        best = min(best, time.process_time() - began)
    return best, found


def by_room(batch):
    """Seconds by room of one run, its first look among them."""
    taken = {}
    usual = plans.room

    def clocked(verb):
        room = usual(verb)

        def run(*told, **named):
            began = time.process_time()
            try:
                return room.run(*told, **named)
            finally:
                taken[verb] = taken.get(verb, 0.0) + time.process_time() - began

        return replace(room, run=run)

    plans.room = clocked
    try:
        run_plan(batch)
    finally:
        plans.room = usual
    return taken


def main():
    batch = read_batch(EXAMPLE.read_text(encoding="utf-8"), EXAMPLE.name)
    usual, _ = timed(lambda: run_plan(batch))
    for cases in CASES:
        plans.leading = ends_of(cases)
        whole, plan = timed(lambda: run_plan(batch))
        steps = [(one.done.step, one.ask.overrides) for one in plan.steps if one.done]
        rules, _ = timed(lambda plan=plan, steps=steps: [review(step, plan.place, overrides=why) for step, why in steps])
        over = "   OVER" if cases >= 10_000 and rules > ALLOWED * whole else ""
        print(f"{cases} cases: {1000 * whole:.0f} ms, {whole / usual:.2f} plain plans; rules {rules / whole:.1%} of it{over}")
        for verb, seconds in sorted(by_room(batch).items(), key=lambda pair: -pair[1])[:6]:
            print(f"  {verb:12s}{1000 * seconds:7.0f} ms")
    return 0


if __name__ == "__main__":
    sys.exit(main())
