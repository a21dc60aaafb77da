"""What the safety rules cost beside the plan they look at, as a ratio in one run: run this file by hand."""

import sys
import time
from pathlib import Path

from refinekit.safety.engine import review
from refinekit.shop.batch import read_batch
from refinekit.shop.plan import run_plan

ALLOWED = 0.05


def timed(work, rounds=5):
    best = float("inf")
    for _ in range(rounds):
        began = time.perf_counter()
        work()
        best = min(best, time.perf_counter() - began)
    return best


def main():
    path = Path(__file__).parents[2] / "examples" / "edge-tabs.toml"
    batch = read_batch(path.read_text(encoding="utf-8"), path.name)
    plan = run_plan(batch)
    steps = [(one.done.step, one.ask.overrides) for one in plan.steps if one.done]
    whole = timed(lambda: run_plan(batch))
    rules = timed(lambda: [review(step, plan.place, overrides=overrides) for step, overrides in steps])
    sizes = f"{len(steps)} steps, {len(plan.ends)} cases"
    print(f"{sizes}: plan {1000 * whole:.0f} ms, rules {1000 * rules:.1f} ms, {rules / whole:.1%}")
    return 0 if rules < ALLOWED * whole else 1


if __name__ == "__main__":
    sys.exit(main())
