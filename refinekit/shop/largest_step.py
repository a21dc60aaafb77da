"""The largest lot, told: what binds, what comes next, what doubling buys, and the equal runs a lot is split into."""

from __future__ import annotations

import math

from refinekit.bench.step import Answer, Step, Table
from refinekit.ranges import Range
from refinekit.shop.largest import HUGE, Bound, Largest, largest
from refinekit.shop.limits import Limits, Use, limits_of
from refinekit.shop.plan import Heard, Plan

SAFE = "the safe end of every range"


def largest_step(heard: Heard, plan: Plan) -> Step:
    """The largest lot of this kind, as a step.

    Args:
        heard: the batch
        plan: the same, reckoned
    Raises: OutOfRange, a limit that no lot meets; CannotFollow, the plan is stopped; BadFile, limits that cannot be read
    """
    limits = limits_of(heard)
    found = largest(heard, plan, limits)
    return Step(
        "largest",
        title=title(found),
        answers=tuple(answers(found)),
        tables=(limits_table(found), runs_table(found)),
        says=tuple(said(found, limits)),
        assumed=(*limits.assumed, *(f"no limit told for {name}" for name in limits.untold)),
        used_facts=("practice/fume.hood.leak", "practice/fume.hood.leak_at", "practice/general.foam.warn"),
    )


def title(found: Largest) -> str:
    """The answer in a line."""
    if math.isinf(found.share):
        return f"over {HUGE:g} times this lot: nothing told here limits it"
    return f"{down(found.share):g} times this lot fits: {grams(down(found.share * found.lot_g))}"


def answers(found: Largest) -> list[Answer]:
    """The figures."""
    if math.isinf(found.share):
        return []
    second = next((bound.share for bound in found.bounds[1:]), math.inf)
    lines = [
        ("largest_share", down(found.share), "lots", "every limit kept"),
        ("largest_lot", down(found.share * found.lot_g), "g", "share of this lot by its weight"),
        ("next_share", second, "lots", f"then {found.bounds[1].use.name} binds" if len(found.bounds) > 1 else ""),
        ("doubled_share", found.doubled, "lots", f"with twice the {found.bounds[0].use.name}"),
        ("equal_runs", float(found.runs), "", "equal runs that each keep every limit"),
        ("run_weight", found.lot_g / found.runs, "g", "the lot over the runs"),
    ]
    return [Answer(name, Range.point(value), unit, SAFE, because) for name, value, unit, because in lines if math.isfinite(value)]


def limits_table(found: Largest) -> Table:
    """Every limit, the one that binds first."""
    rows = [
        (one.use.name, amount(one.use.asks, one.use), amount(one.use.has, one.use), share(one), one.use.because)
        for one in found.bounds
    ]
    return Table("What limits the lot", ("limit", "this lot asks", "there is", "largest, lots", "sized on"), tuple(rows))


def down(figure: float, figures: int = 3) -> float:
    """A figure of so many places, never rounded up: what fits must still fit as it is said."""
    if not figure or not math.isfinite(figure):
        return figure
    step = 10.0 ** (math.floor(math.log10(figure)) + 1 - figures)
    return float(f"{math.floor(figure / step * (1 + 1e-12)) * step:.{figures}g}")


def amount(figure: float, use: Use) -> str:
    """A figure with its unit."""
    return f"{float(f'{figure:.3g}'):g} {use.unit}".rstrip() if math.isfinite(figure) else "-"


def share(one: Bound) -> str:
    """A share of the lot; one that was read off a line says so."""
    if math.isinf(one.share):
        return "any"
    return f"about {down(one.share, 2):g}" if one.about else f"{down(one.share):g}"


def runs_table(found: Largest) -> Table:
    """What one of the equal runs takes of the limits it takes most of."""
    if math.isinf(found.share):
        return Table("In equal runs", ("limit", "each run asks", "there is", "used"), ())
    most = sorted(found.at_run.values(), key=lambda use: -use.share)[:MOST_SHOWN]
    rows = [(use.name, amount(use.asks, use), amount(use.has, use), f"{100 * use.share:.0f} %") for use in most]
    runs = "one run" if found.runs == 1 else f"{found.runs} equal runs of {grams(found.lot_g / found.runs)}"
    return Table(f"In {runs}", ("limit", "each run asks", "there is", "used"), tuple(rows))


MOST_SHOWN = 5
"""Limits shown of a run."""


def said(found: Largest, limits: Limits) -> list[tuple[str, str]]:
    """What binds, in sentences."""
    if math.isinf(found.share):
        return [("what binds", "nothing: tell [limits] in the batch file, as vessel, days, drum, month, month-so-far, hood")]
    first = found.bounds[0]
    lines = [
        (
            "what binds",
            f"{first.use.name}: this lot asks {amount(first.use.asks, first.use)} of {amount(first.use.has, first.use)}",
        )
    ]
    if found.stopped:
        lines = [("what binds", f"safety, just above this: {found.stopped}")]
    if len(found.bounds) > 1 and math.isfinite(found.bounds[1].share):
        second = found.bounds[1]
        lines.append(("what comes next", f"{second.use.name}, at {second.share:.3g} of this lot"))
    if not found.stopped:
        gain = min(found.doubled, HUGE) / found.share
        lines.append(
            ("what doubling buys", f"twice the {first.use.name}: {gain:.3g} times as much; doubling any other alone buys nothing")
        )
    runs = (
        "this lot goes in one run"
        if found.runs == 1
        else f"split this lot into {found.runs} runs of {grams(found.lot_g / found.runs)}"
    )
    lines.append(("how", f"{runs}; what is told as a figure (a bath's litres, a pour) stays as told at every size"))
    if limits.untold:
        lines.append(("watch for", f"no limit was told for {', '.join(limits.untold)}: none was kept"))
    return lines


def grams(figure: float) -> str:
    """A weight as a person says it."""
    return f"{figure / 1000:.3g} kg" if figure >= 1000 else f"{figure:.3g} g"
