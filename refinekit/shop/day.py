"""What a plan's whole day of steps holds in the room."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from refinekit.bench.step import Notice, Step
from refinekit.shop.batch import Batch
from refinekit.shop.plan import Plan, run_plan


def day_of(batch: Batch, told: Mapping[str, object]) -> tuple[Plan, Step, tuple[Notice, ...]]:
    """The air of a batch's day.

    Args:
        batch: the file
        told: texts of the shop told beside it, by key; they stand before the file's
    Returns: the plan, the step of its air, and what the safety rules say of that
    Raises: BadFile, CannotFollow: as `run_plan`; no step makes gas
    """
    from refinekit.bench.vent_day import run
    from refinekit.safety.engine import review
    from refinekit.safety.gear import with_gear

    place = {**batch.place, **{key: text for key, text in told.items() if text is not None}}
    labels = {**batch.labels, **{f"shop.{key}": f"--{key}" for key, text in told.items() if text is not None}}
    plan = run_plan(replace(batch, place=place, labels=labels))
    step = with_gear(run(plan.done_steps(), place=plan.place))
    return plan, step, review(step, plan.place, overrides={})
