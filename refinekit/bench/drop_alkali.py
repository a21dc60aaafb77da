"""Alkali that takes a gold liquor's acid down for oxalic or formic acid: sodium or potassium hydroxide, never ammonia."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import numpy as np

from refinekit.bench.pot import free_acid_mol
from refinekit.bench.step import Reagent
from refinekit.bench.work import Work
from refinekit.chemistry.equation import Equation
from refinekit.chemistry.species import molar_mass
from refinekit.ranges import Number, Range, high, likely

ALKALIS = {
    "caustic": ("NaOH", "sodium hydroxide, solid"),
    "potash": ("KOH", "potassium hydroxide, solid"),
    "ammonia": ("NH3", "ammonia"),
}
"""Formula and name by key; ammonia only so that it can be refused where it is offered."""
TO_AMMONIUM = "NH3 + H^+ -> NH4^+"
TO_WATER = "H^+ + OH^- -> H2O"


def alkali_need_mol(free_acid_mol: Number, gold_mol: Number) -> Number:
    """Alkali for a drop that wants its acid gone.

    Args:
        free_acid_mol: acid beside the gold's own partner proton [mol]
        gold_mol: gold in the liquor [mol]
    Returns: hydroxide [mol]
    Source: four hydrogen ions to a gold dropped by oxalic or formic acid (R5.8, R5.11)

    >>> alkali_need_mol(0.15, 0.05)
    0.35
    """
    return free_acid_mol + 4 * gold_mol


def pour_alkali(work: Work, told: Mapping[str, Any]) -> None:
    """Say the alkali and put it in.

    Args:
        work: the step, the liquor in it
        told: may hold `alkali`, `alkali_goodness`
    """
    key = str(told.get("alkali") or "caustic")
    formula, name = ALKALIS[key]
    gold = work.dissolved.get("AuCl4^-", 0.0)
    # nitric that is eaten takes its own acid with it
    free = np.maximum(free_acid_mol(work.dissolved) - work.dissolved.get("NO3^-", 0.0), 0.0)
    need = alkali_need_mol(free, gold)
    goodness: Number = 1.0
    if key != "ammonia":
        id = f"reagents.reagent.{key}.goodness"
        goodness = work.default(told.get("alkali_goodness"), id, f"share of the {name} that is good")
    pure, weighed = need * molar_mass(formula), need * molar_mass(formula) / goodness
    sized_on = "free acid + 4 to a gold, high ends; the last tenth by pH paper"
    bare, when = Range.over(pure), "before the oxalic or formic, cold, a little at a time"
    work.reagent(Reagent(name, bare, high(weighed), "g", sized_on, excess="over its goodness", when=when, key=key, rounding="up"))
    because = "sodium or potassium hydroxide only, never ammonia"
    work.answer("alkali", pure, "g", sized_on="bare: free acid + 4 to a gold", because=because)
    work.answer("alkali_to_weigh", weighed, "g", sized_on=sized_on, because="bare over its goodness")
    work.answer("alkali_amount", need, "mol", because="free acid beside the gold, and four to a gold")
    work.answer("free_acid", free, "mol", because="hydrogen ions beside the gold's own")
    copper = work.dissolved.get("Cu^2+", 0.0)
    if high(copper) > 0:
        more = 2 * copper * molar_mass(formula) / goodness
        work.answer("alkali_more_for_copper", more, "g", sized_on="only if taken to pH 5", because="two to a copper")
    work.working(
        "alkali",
        "(free acid + 4 x gold) x molar mass / goodness",
        f"({likely(free):.4g} + 4 x {likely(gold):.4g}) mol x {molar_mass(formula):.4g} g/mol / {likely(goodness):.3g}",
        f"{likely(weighed):.4g} g",
    )
    work.pour(name, {formula: need, "H2O": (weighed - pure) / molar_mass("H2O")})
    if key == "ammonia":
        work.mark("ammonium")
        work.react(Equation.parse(TO_AMMONIUM), np.minimum(work.dissolved["NH3"], work.dissolved.get("H^+", 0.0)))
    work.say("alkali", "sodium or potassium hydroxide only: ammonia on gold chloride makes fulminating gold")


def settle_alkali(work: Work) -> None:
    """Let hydroxide take the acid that was there and the acid the drop made."""
    met = np.minimum(work.dissolved.get("H^+", 0.0), work.dissolved.get("OH^-", 0.0))
    if high(met) > 0:
        work.react(Equation.parse(TO_WATER), met)
