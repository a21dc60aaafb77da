"""Silver chloride: how much of it strong chloride carries, what falls when it is diluted, and what a crust does."""

from __future__ import annotations

import numpy as np

from refinekit.bench.work import Work
from refinekit.chemistry.equation import Equation
from refinekit.chemistry.species import molar_mass
from refinekit.facts.load import fact
from refinekit.ranges import Number, high, likely, low

STEADY = 1e-9
"""Amount below which nothing lies and nothing is missing [mol, mL, or a share]."""
FALLS = Equation.parse("AgCl2^- -> AgCl + Cl^-")
GIVES_WAY = "R3.13"


def dissolved_mol_per_l(chloride_mol_per_l: Number) -> Number:
    """Silver chloride that chloride liquor holds at 25 C.

    Args:
        chloride_mol_per_l: free chloride [mol/L]; the curve holds from 0.6 to 5.5, outside it its ends are taken
    Returns: dissolved silver [mol/L], an upper bound below the curve's reach, a lower one above it
    Source: power law after Forbes, J. Am. Chem. Soc. 33 (1911) 1937, from memory

    >>> round(float(dissolved_mol_per_l(1.0)), 9)
    7.5e-05
    """
    least, most = fact("practice/dissolve.silver_curve_least").value, fact("practice/dissolve.silver_curve_most").value
    front, power = fact("practice/dissolve.silver_curve_mol").value, fact("practice/dissolve.silver_curve_power").value
    held: Number = front * np.clip(chloride_mol_per_l, least, most) ** power
    return held


def held_mol(work: Work, water_l: Number = 0.0) -> Number:
    """Silver the liquor holds as its complex, once so much water has gone in [mol].

    Args:
        work: the step, liquor and silver chloride in it
        water_l: water still to be poured [L]; 0 and up
    """
    litres = np.maximum(work.volume_l + water_l, STEADY)
    solid, complexed = work.solids.get("AgCl", 0.0), work.dissolved.get("AgCl2^-", 0.0)
    chloride = work.dissolved.get("Cl^-", 0.0)
    # a complex ties up one chloride more than the solid: no more can dissolve than there is chloride for
    return np.minimum(np.minimum(dissolved_mol_per_l(chloride / litres) * litres, solid + complexed), chloride + complexed)


def settle_silver(work: Work) -> None:
    """Let silver chloride dissolve or fall until the liquor holds what its chloride allows."""
    if high(work.solids.get("AgCl", 0.0)) <= 0 and high(work.dissolved.get("AgCl2^-", 0.0)) <= 0:
        return
    complexed = work.dissolved.get("AgCl2^-", 0.0)
    target = held_mol(work)
    work.react(GIVES_WAY, np.maximum(target - complexed, 0.0))
    back = np.maximum(complexed - target, 0.0)
    if high(back) > 0:
        work.react(FALLS, back)


def say_silver(work: Work, silver_share: Number, water_l: Number | None = None) -> None:
    """Answer how much silver chloride lies, how much is carried dissolved, and how much still is after dilution.

    Args:
        work: the step, silver settled
        silver_share: silver in the metal that went in [-]; 0 for none
        water_l: water it will be diluted with [L]; None for the usual dilution
    Source: curve as `dissolved_mol_per_l`; silver limits, Rose
    """
    solid, carried = work.solids.get("AgCl", 0.0), work.dissolved.get("AgCl2^-", 0.0)
    if high(solid + carried) <= 0:
        return
    for id in ("silver_curve_mol", "silver_curve_power"):
        work.fact(f"practice/dissolve.{id}")
    milligrams = 1000 * molar_mass("Ag")
    if water_l is None:
        times = work.fact("practice/dissolve.dilute_times").value
        water_l = (times - 1) * work.volume_l
    after = held_mol(work, water_l)
    curve = "a power of the chloride; half or twice"
    work.answer("silver_chloride", (solid + carried) * molar_mass("AgCl"), "g", because="1.329 g to a gram of silver")
    work.answer(
        "silver_carried", carried * milligrams, "mg", sized_on="high", because=f"silver dissolved in the strong acid: {curve}"
    )
    work.answer(
        "silver_carried_diluted",
        after * milligrams,
        "mg",
        sized_on="high",
        because="still dissolved after dilution: it follows the gold",
    )
    _curve_working(work, carried * milligrams, after * milligrams, water_l)
    work.say("next", "dilute three to five times, chill and stand overnight, so that silver chloride falls before the filter")
    _say_crust(work, silver_share)


def _curve_working(work: Work, before_mg: Number, after_mg: Number, water_l: Number) -> None:
    chloride = work.dissolved.get("Cl^-", 0.0)
    strong, weak = (chloride / np.maximum(litres, STEADY) for litres in (work.volume_l, work.volume_l + water_l))
    least, most = fact("practice/dissolve.silver_curve_least").value, fact("practice/dissolve.silver_curve_most").value
    if high(strong) > most:
        work.assume(f"silver carried in the strong acid: the curve ends at {most:g} mol/L chloride, above it more may dissolve")
    if low(weak) < least:
        work.assume(f"silver still carried is an upper bound: the curve begins at {least:g} mol/L chloride")
    work.working(
        "silver carried",
        "0.075 mmol/L x (chloride)^2.05 x litres, no more than there is",
        f"{likely(strong):.3g} mol/L in {1000 * likely(work.volume_l):.4g} mL, then"
        f" {likely(weak):.3g} mol/L in {1000 * likely(work.volume_l + water_l):.4g} mL",
        f"{likely(before_mg):.3g} mg, then {likely(after_mg):.3g} mg silver",
        "practice/dissolve.silver_curve_mol",
        "practice/dissolve.silver_curve_power",
    )


def _say_crust(work: Work, silver_share: Number) -> None:
    """What a share of silver does to the dissolving, by the limits the lot goes by."""
    per_thousand = 1000 * silver_share
    if high(per_thousand) <= 0:
        return
    work.answer("silver_per_thousand", per_thousand, "", sized_on="high", because="of the metal that went in")
    warn, inquart, stop = (work.fact(f"practice/lot.{name}").value for name in ("silver_warn", "silver_inquart", "silver_stop"))
    for limit, says in (
        (stop, "it will not go: inquart and part with nitric instead"),
        (inquart, "crust likely: inquart instead"),
        (warn, "a grey crust slows it: thin pieces, plenty of hot hydrochloric, break the crust, add no nitric to a dead pot"),
    ):
        if high(silver_share) > limit:
            work.say("watch for", f"silver {high(per_thousand):.4g} per thousand, over {1000 * limit:g}: {says}")
            return
