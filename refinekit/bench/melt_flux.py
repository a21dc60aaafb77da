"""Flux by dirt: borax on clean sponge, a charge on dirty powder, soda on silver chloride."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import numpy as np

from refinekit.bench.step import Reagent
from refinekit.bench.work import Work
from refinekit.chemistry.equation import reaction
from refinekit.chemistry.species import molar_mass
from refinekit.ranges import Number, Range, high, likely, times_bare

SMELT = "R8.1"
"""Silver chloride to silver with soda ash."""
CHARGES = {"clean": ("borax",), "dirty": ("borax", "soda", "silica"), "chloride": ()}
"""What goes on which powder, by weight of it."""
NAMES = {"borax": ("borax glass", "borax-glass"), "soda": ("soda ash", "soda-ash"), "silica": ("silica", "silica")}
"""Each flux as the bottle calls it, and its key on the shelf."""


def dirt_of(work: Work, told: Mapping[str, Any]) -> str:
    """What the powder is: told, or silver chloride where there is more of it than of metal, or clean."""
    if "dirt" in told:
        return str(told["dirt"])
    chloride = likely(work.solids.get("AgCl", 0.0)) * molar_mass("AgCl")
    metal = sum(likely(mol) * molar_mass(solid) for solid, mol in work.solids.items() if solid != "AgCl")
    return "chloride" if chloride > metal else "clean"


def add_flux(work: Work, told: Mapping[str, Any], powder_g: Number) -> Number:
    """Put the flux in, and smelt silver chloride.

    Args:
        work: the step, the powder in it
        told: may hold `dirt`, the shares `borax`, `soda`, `silica`, and `soda_times`
        powder_g: weight of the powder [g]
    Returns: room the flux takes [mL]
    Source: MacFarren's charges; borax on clean sponge is common practice
    """
    dirt = dirt_of(work, told)
    volume: Number = 0.0
    for flux in NAMES:
        if flux in told or flux in CHARGES[dirt]:
            volume = volume + _charge(work, told, flux, dirt, powder_g)
    if dirt == "chloride":
        volume = volume + _smelt(work, told)
    return volume


def _charge(work: Work, told: Mapping[str, Any], flux: str, dirt: str, powder_g: Number) -> Number:
    """One flux by the weight of the powder. Returns the room it takes [mL]."""
    name, key = NAMES[flux]
    id = f"practice/melt.{flux}.{'dirty' if dirt == 'dirty' or flux != 'borax' else 'clean'}"
    share = told.get(flux)
    habit = work.fact(id).range if share is None else Range.over(share)
    powder = Range.over(powder_g)
    span = Range(habit.low * powder.low, habit.likely * powder.likely, habit.high * powder.high)
    take = span.likely
    if take > 0:
        work.pour(name, {}, inert_g=take)
    else:
        return 0.0
    why = (
        f"{100 * habit.low:.3g} to {100 * habit.high:.3g} % of the powder"
        if not habit.is_point
        else f"{100 * habit.likely:.3g} %"
    )
    sized = "likely: too much flux holds beads, too little leaves dirt"
    work.answer(flux, span, "g", sized_on=sized, because=why)
    work.reagent(Reagent(name, span, take, "g", sized, why, when="mixed in, and a pinch to glaze the dish", key=key))
    work.working(flux, "powder x share", f"{likely(powder_g):.4g} g x {habit.likely:.4g}", f"{take:.4g} g", id)
    return take / work.fact(f"practice/melt.flux_density.{flux}").value


def _smelt(work: Work, told: Mapping[str, Any]) -> Number:
    """Silver chloride with soda ash to silver, salt and gas. Returns the room the soda takes [mL]."""
    chloride = work.solids.get("AgCl", 0.0)
    bare_mol = chloride * reaction(SMELT).mole_ratio("Na2CO3", "AgCl")
    bare = bare_mol * molar_mass("Na2CO3")
    times = work.default(told.get("soda_times"), "practice/melt.soda.chloride_times", "soda ash, times the bare need")
    take = high(bare) * likely(times)
    work.pour("soda ash", {"Na2CO3": take / molar_mass("Na2CO3")})
    work.react(SMELT, np.minimum(chloride / 4, take / molar_mass("Na2CO3") / 2))
    for gas in ("CO2", "O2"):
        work.gas(gas, Range.over(work.gases_mol.get(gas, 0.0)), sized_on="high: most chloride")
    sized = "high: chloride that is left boils off as silver chloride fume"
    work.answer("soda_ash", bare, "g", sized_on=sized, because="half a soda ash to a silver chloride (R8.1)")
    work.reagent(
        Reagent("soda ash", Range.over(bare), take, "g", sized, times_bare(likely(times)), when="mixed in, dry", key="soda-ash")
    )
    work.working(
        "soda ash on silver chloride",
        str(reaction(SMELT)),
        f"{likely(chloride):.4g} mol / 2 x {molar_mass('Na2CO3'):.5g} g/mol",
        f"{likely(bare):.4g} g, x {likely(times):g}",
        "practice/melt.soda.chloride_times",
    )
    work.say(
        "watch for",
        "silver chloride and soda froth with gas: a roomy crucible, heat up slowly; over 450 degC bare chloride fumes off",
    )
    return take / work.fact("practice/melt.flux_density.soda").value
