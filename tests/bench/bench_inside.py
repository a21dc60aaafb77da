"""What is measured inside one process: peers side by side, many cases, many lots, a day second by second."""

from __future__ import annotations

import tempfile
from collections.abc import Iterator
from pathlib import Path

import numpy as np

from tests.bench.rows import Row, beside, median

ROOT = Path(__file__).resolve().parents[2]
EXAMPLE = ROOT / "examples" / "edge-tabs.toml"
COUNT = 60


def balancing(rounds: int) -> Iterator[Row]:
    """Sixty equations of the trade, against chempy, both loaded before."""
    from refinekit.chemistry.balance import balance
    from refinekit.chemistry.equation import Equation
    from tests.published.test_balancing_against_chempy import EQUATIONS, balance_stoichiometry, bare, theirs

    asked = [bare(text) for text in EQUATIONS[:COUNT]]
    assert len(asked) == COUNT, "too few equations to measure by"
    parsed = [Equation.parse(text) for text in asked]
    sides = [({theirs(one) for one in each.left}, {theirs(one) for one in each.right}) for each in parsed]

    def ours() -> None:
        for text in asked:
            balance(text)

    def chempy() -> None:
        for left, right in sides:
            balance_stoichiometry(left, right)

    ours()
    mine, _, ratio = beside(ours, chempy, min(rounds, 3))
    yield Row(f"balancing {COUNT} equations", ratio, "of chempy", 1.0, None, 1000 * mine, min(rounds, 3))


def equilibria(rounds: int) -> Iterator[Row]:
    """A neutralising curve and many liquors, against PHREEQC through phreeqpython."""
    from refinekit.chemistry.equilibrium.constants import Constants
    from refinekit.chemistry.equilibrium.curve import curve
    from refinekit.chemistry.equilibrium.dose import dose_to_ph
    from refinekit.chemistry.equilibrium.liquor import Liquor
    from tests.bench import bench_equilibrium as bench

    peer = bench.ThroughPhreeqpython(Constants.default())
    one = {name: total[0] for name, total in bench.liquors(1).items()}
    doses = np.linspace(0.0, dose_to_ph(Liquor(one), "NaOH", 11.0).base_mol_per_l[0], bench.POINTS)
    pot = peer.liquor(one)
    mine, _, ratio = beside(
        lambda: curve(Liquor(one), "NaOH", doses_mol_per_l=doses),
        lambda: [peer.at_dose(pot, dose) for dose in doses],
        rounds,
    )
    yield Row(f"neutralising curve of {bench.POINTS} points", ratio, "of PHREEQC", 0.1, 1 / 30, 1000 * mine, rounds)
    many = bench.liquors(bench.LIQUORS)
    rows = [{name: total[row] for name, total in many.items()} for row in range(bench.SAMPLED)]
    mine, _, ratio = beside(
        lambda: dose_to_ph(Liquor(many), "NaOH", bench.TARGET),
        lambda: [peer.to_ph(row, bench.TARGET) for row in rows],
        min(rounds, 3),
    )
    ratio *= bench.SAMPLED / bench.LIQUORS
    yield Row(f"{bench.LIQUORS} liquors to a pH", ratio, "of PHREEQC", 0.1, 1 / 30, 1000 * mine, min(rounds, 3))
    alone = median(lambda: dose_to_ph(Liquor(one), "NaOH", bench.TARGET), rounds)
    yield Row("one dose", alone, "s", 0.005, None, 1000 * alone, rounds)


def plans(rounds: int) -> Iterator[Row]:
    """Many cases of a whole plan, the largest lot, and the share of the safety rules."""
    from refinekit.safety.engine import review
    from refinekit.shop import plan as plan_of
    from refinekit.shop.largest import largest
    from refinekit.shop.limits import limits_of
    from refinekit.shop.samples import sample
    from tests.bench.bench_cases import ends_of
    from tests.bench.bench_samples import heard_of

    heard = heard_of(EXAMPLE.name)
    plan = plan_of.reckon(heard)
    few, many, ratio = beside(lambda: sample(heard, plan, 10_000), lambda: sample(heard, plan, 100_000), 3)
    yield Row("whole plan, 10,000 samples", few, "s", 1.0, 0.3, 1000 * few, 3)
    yield Row("100,000 samples, a tenth of", 1 / ratio / 10, "of 10,000", 1.25, 1.0, 1000 * many, 3)
    taken = median(lambda: largest(heard, plan, limits_of(heard)), 3)
    yield Row("plan --largest", taken, "s", 2.0, None, 1000 * taken, 3)
    usual = plan_of.leading
    plan_of.leading = ends_of(10_000)
    try:
        wide = plan_of.reckon(heard)
        steps = [(one.done.step, one.ask.overrides) for one in wide.steps if one.done]
        mine, _, ratio = beside(
            lambda: [review(step, wide.place, overrides=why) for step, why in steps], lambda: plan_of.reckon(heard), 3
        )
    finally:
        plan_of.leading = usual
    yield Row("safety rules over 10,000 samples", ratio, "of the plan", 0.05, None, 1000 * mine, 3)


def fume_and_account(rounds: int) -> Iterator[Row]:
    """A twelve-step day of fume for a thousand samples, and an account of a thousand lots."""
    from refinekit.bench.vent_time import room_air
    from tests.bench import bench_karat, bench_vent

    pieces, breath = bench_vent.a_day()
    taken = median(lambda: room_air(pieces, breath, bench_vent.DAY_MIN, step_min=1 / 60, keep=60), 3)
    yield Row("a day's fume, 12 steps, 1,000 samples", taken, "s", bench_vent.ALLOWED_S, None, 1000 * taken, 3)
    taken = median(bench_karat.thousand, 3)
    yield Row("account of 1,000 lots", taken, "s", bench_karat.SECONDS, None, 1000 * taken, 3)


def book(four_s: float, events: int, rounds: int) -> Iterator[Row]:
    """Every report of a large record beyond the same of a small one, and one event logged."""
    from tests.bench import bench_book as bench

    with tempfile.TemporaryDirectory() as folder:
        large, small = str(Path(folder) / "large.sqlite"), str(Path(folder) / "small.sqlite")
        bench.filled(large, events)
        bench.filled(small, bench.LOT_EVENTS * 100)
        for words in bench.REPORTS:
            beyond = median(lambda words=words: bench.seconds(words, large), rounds) - median(
                lambda words=words: bench.seconds(words, small), rounds
            )
            yield Row(
                f"{' '.join(words)}, {events:,} events", beyond, "s beyond", bench.MOST_BEYOND_S, 0.1, 1000 * beyond, rounds
            )
        log = median(lambda: bench.seconds(["log", "--lot", "x", "--bar", "2g", "--fineness", "998"], large), rounds)
        yield Row("one event logged", log / four_s, "FOUR", bench.MOST_LOG, None, 1000 * log, rounds)
