"""Silver chloride: how much of it strong chloride carries, and what falls when it is diluted."""

from __future__ import annotations

import numpy as np

from refinekit.bench.work import Work
from refinekit.chemistry.species import molar_mass
from refinekit.facts.load import fact
from refinekit.ranges import Number, high, low


def dissolved_mol_per_l(chloride_mol_per_l: Number) -> Number:
    """Silver chloride that chloride liquor holds at 25 C.

    Args:
        chloride_mol_per_l: free chloride [mol/L]; the curve holds from 0.6 to 5.5, outside it its ends are taken
    Returns: dissolved silver [mol/L], an upper bound outside the curve's reach
    Source: power law after Forbes, J. Am. Chem. Soc. 33 (1911) 1937, from memory
    """
    least, most = fact("practice/dissolve.silver_curve_least").value, fact("practice/dissolve.silver_curve_most").value
    front, power = fact("practice/dissolve.silver_curve_mol").value, fact("practice/dissolve.silver_curve_power").value
    held: Number = front * np.clip(chloride_mol_per_l, least, most) ** power
    return held


def settle_silver(work: Work) -> None:
    """Let silver chloride dissolve or fall until the liquor holds what its chloride allows."""
    if high(work.solids.get("AgCl", 0.0)) <= 0 and high(work.dissolved.get("AgCl2^-", 0.0)) <= 0:
        return
    litres = np.maximum(work.volume_l, 1e-9)
    # a complex ties up one chloride more than the solid: the free chloride is what is not in it
    holds = dissolved_mol_per_l(work.dissolved.get("Cl^-", 0.0) / litres) * litres
    solid, complexed = work.solids.get("AgCl", 0.0), work.dissolved.get("AgCl2^-", 0.0)
    target = np.minimum(np.minimum(holds, solid + complexed), work.dissolved.get("Cl^-", 0.0) + complexed)
    work.react("R3.13", np.maximum(target - complexed, 0.0))
    back = np.maximum(complexed - target, 0.0)
    if high(back) > 0:
        from refinekit.chemistry.equation import Equation

        work.react(Equation.parse("AgCl2^- -> AgCl + Cl^-"), back)


def say_silver(work: Work) -> None:
    """Answer how much silver chloride lies and how much is carried dissolved."""
    solid, carried = work.solids.get("AgCl", 0.0), work.dissolved.get("AgCl2^-", 0.0)
    if high(solid) <= 0 and high(carried) <= 0:
        return
    for id in ("silver_curve_mol", "silver_curve_power"):
        work.fact(f"practice/dissolve.{id}")
    work.answer("silver_chloride", (solid + carried) * molar_mass("AgCl"), "g", because="1.329 g to a gram of silver")
    work.answer(
        "silver_carried",
        1000 * carried * molar_mass("Ag"),
        "mg",
        because="silver dissolved in the chloride liquor; half or twice",
    )
    chloride = work.dissolved.get("Cl^-", 0.0) / np.maximum(work.volume_l, 1e-9)
    most, least = fact("practice/dissolve.silver_curve_most").value, fact("practice/dissolve.silver_curve_least").value
    if high(chloride) > most or low(chloride) < least:
        work.assume(f"silver carried is an upper bound: the curve holds from {least:g} to {most:g} mol/L chloride")
    work.say("next", "dilute three to five times, chill and stand overnight, so that silver chloride falls before the filter")
