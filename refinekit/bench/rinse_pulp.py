"""Gold liquor made up, chilled and filtered: silver chloride falls, and the pulp keeps liquor."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np

from refinekit.bench.pot import Pot
from refinekit.bench.rinse_fields import hold_fact
from refinekit.bench.rinse_liquids import WATER_MOL_PER_L
from refinekit.bench.rinse_parts import share_of
from refinekit.bench.rinse_wash import Rinse
from refinekit.bench.step import Reagent
from refinekit.chemistry.equation import Equation, reaction
from refinekit.chemistry.species import molar_mass
from refinekit.facts.load import fact
from refinekit.ranges import Number, Range, high, likely

FALLS = "R3.13"
"""Silver chloride taken up by chloride; on dilution it runs backwards."""
CURVE_AT_1 = "practice/rinse.filter.silver_chloride_at_1"
CURVE_POWER = "practice/rinse.filter.silver_chloride_power"


def silver_chloride_held(chloride_mol_per_l: Number) -> Number:
    """Silver chloride that chloride liquor holds dissolved when it has settled.

    Args:
        chloride_mol_per_l: chloride of the liquor [mol/L]; outside the curve its nearest end is taken
    Returns: silver [mol/L], good to half of it
    Source: power law from memory of Forbes 1911; facts/practice/rinse.toml

    >>> 300 * silver_chloride_held(5.5) * 143.32
    106.2
    """
    inside = np.clip(
        chloride_mol_per_l, fact("practice/rinse.filter.curve_from").value, fact("practice/rinse.filter.curve_to").value
    )
    held: Number = fact(CURVE_AT_1).value * inside ** fact(CURVE_POWER).value / 1000
    return held


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
    work.pour("water", {"H2O": WATER_MOL_PER_L * water_l}, volume_l=water_l)
    span = Range.over(1000 * water_l)
    why = f"to {1000 * likely(wanted):.4g} mL in all, so that silver chloride falls"
    work.reagent(Reagent("water", span, span.likely, "mL", "likely", why, when="first, cold", key="water"))


def _let_fall(work: Rinse) -> None:
    """Silver chloride beyond what the liquor holds falls; what it holds goes on with the gold."""
    there = work.dissolved.get("AgCl2^-", 0.0)
    if not high(there) > 0:
        return
    chloride = work.dissolved.get("Cl^-", 0.0) / np.maximum(work.volume_l, 1e-12)
    can_hold = silver_chloride_held(chloride) * work.volume_l
    falls = np.maximum(there - can_hold, 0.0)
    forward = reaction(FALLS)
    work.react(Equation(forward.right, forward.left, id=forward.id), falls)
    silver = 1000 * molar_mass("Ag")
    work.answer("silver_fallen", falls * silver, "mg", because="silver chloride that falls on dilution and stays on the pulp")
    work.answer(
        "silver_carried",
        (there - falls) * silver,
        "mg",
        sized_on="high",
        because="stays dissolved and follows the gold, within half",
    )
    work.working(
        "silver chloride on dilution",
        f"{fact(CURVE_AT_1).value:g} C^{fact(CURVE_POWER).value:g} mmol/L, C the chloride in mol/L",
        f"{likely(chloride):.3g} mol/L chloride, {1000 * likely(work.volume_l):.4g} mL",
        f"{likely(can_hold) * silver:.3g} mg silver held",
        CURVE_AT_1,
        CURVE_POWER,
    )
    work.say("watch for", "chill it and let it stand overnight before the filter: silver chloride is slow to fall")
