"""Gold liquor made up, chilled and filtered: silver chloride falls, and the pulp keeps liquor."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np

from refinekit.bench.chloride_silver import settle_silver
from refinekit.bench.pot import Pot
from refinekit.bench.pouring import pour_water
from refinekit.bench.rinse_fields import hold_fact
from refinekit.bench.rinse_parts import share_of
from refinekit.bench.rinse_wash import Rinse
from refinekit.bench.step import Reagent
from refinekit.chemistry.species import molar_mass
from refinekit.ranges import Number, Range, high, in_words, likely


def dilute_and_filter(work: Rinse, told: Mapping[str, Any], pots: Sequence[Pot]) -> tuple[Pot, Number]:
    """Make gold liquor up, let silver chloride fall, and filter.

    Args:
        work: the step
        told: may hold `dilute_l`, `warm`, `weight_g` of the pulp and `hold_ml_per_g` or `held_l`
        pots: the liquor; it is in the work already
    Returns: the pulp with the liquor it holds, unwashed, still in the work, and that liquor [L]
    """
    if work.started_from:
        _make_up(work, told)
        if not told.get("warm", False):
            _let_fall(work)
    if high(work.dissolved.get("AuCl4^-", 0.0)) > 0:
        strength = work.dissolved["AuCl4^-"] * molar_mass("Au") / work.volume_l
        work.answer("gold_strength", strength, "g/L", because="liquor as it goes on the filter")
    weight = work.default(told.get("weight_g"), "practice/rinse.filter.pulp_g", "dry filter pulp")
    work.pour("filter pulp", {}, inert_g=weight)
    held = told.get("held_l")
    if held is None:
        held = work.default(told.get("hold_ml_per_g"), hold_fact("pulp", ""), "liquor the pulp holds") * weight / 1000
    held = np.minimum(held, work.volume_l)
    share = share_of(held, work.volume_l)
    liquor = {species: amount * share for species, amount in work.dissolved.items()}
    return Pot("pulp", held, liquor, dict(work.solids), work.inert_g, work.temperature_k), held


def _make_up(work: Rinse, told: Mapping[str, Any]) -> None:
    """Pour water to the volume asked for, one figure whatever is doubted."""
    wanted = told.get("dilute_l")
    if wanted is None:
        wanted = high(work.volume_l) * likely(
            work.default(None, "practice/rinse.filter.dilute_times", "times the liquor is made up")
        )
    water_l = np.maximum(likely(wanted) - work.volume_l, 0.0)
    if not high(water_l) > 0:
        return
    pour_water(work, water_l)
    span = Range.over(1000 * water_l)
    why = f"to {in_words(1000 * likely(wanted), 'mL')} in all, so that silver chloride falls"
    work.reagent(Reagent("water", span, span.likely, "mL", "likely", why, when="first, cold", key="water"))


def _let_fall(work: Rinse) -> None:
    """Silver chloride beyond what the liquor holds falls; what it holds goes on with the gold."""
    there = work.dissolved.get("AgCl2^-", 0.0)
    if not high(there) > 0:
        return
    settle_silver(work)
    silver = 1000 * molar_mass("Ag")
    carried = work.dissolved.get("AgCl2^-", 0.0)
    because = "silver chloride that falls on dilution and stays on the pulp"
    work.answer("silver_fallen", np.maximum(there - carried, 0.0) * silver, "mg", because=because)
    work.answer(
        "silver_carried", carried * silver, "mg", sized_on="high", because="stays dissolved and follows the gold, within half"
    )
    chloride = work.dissolved.get("Cl^-", 0.0) / np.maximum(work.volume_l, 1e-12)
    work.working(
        "silver chloride on dilution",
        "a power of the chloride, times the litres",
        f"{likely(chloride):.3g} mol/L chloride, {1000 * likely(work.volume_l):.4g} mL",
        f"{likely(carried) * silver:.3g} mg silver held",
        "practice/dissolve.silver_curve_mol",
        "practice/dissolve.silver_curve_power",
    )
    work.say("watch for", "chill it and let it stand overnight before the filter: silver chloride is slow to fall")
