"""What every way of dissolving gold shares: the metals it takes, their electrons and chloride, the hydrochloric to pour."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import numpy as np

from refinekit.bench.pouring import bottle_of, label_of, pour_bottle, pour_water
from refinekit.bench.step import Reagent
from refinekit.bench.vessel import stand
from refinekit.bench.work import Work
from refinekit.chemistry.redox import electrons_given, extent, giver, reaction_of
from refinekit.chemistry.species import molar_mass, parse
from refinekit.ranges import Number, Range, high

METALS = ("Au", "Cu", "Ni", "Zn", "Pb", "Fe", "Sn", "Ag", "Pd", "Pt", "Al")
"""Metals taken up, by symbol."""


def metals_of(work: Work) -> dict[str, Number]:
    """Metals lying in the pot, by symbol [mol]."""
    return {metal: work.solids[metal] for metal in METALS if high(work.solids.get(metal, 0.0)) > 0}


def electrons_of(metals_mol: Mapping[str, Number]) -> Number:
    """Electrons the metals give [mol]."""
    return sum((electrons_given(metal) * mol for metal, mol in metals_mol.items()), 0.0)


def chloride_per(metal: str) -> float:
    """Hydrochloric acid a metal binds [mol/mol]: its charge's worth, or its complex's chloride."""
    half = giver(metal)
    made = next(formula for formula in half.right if formula != "e^-")
    return max(half.left.get("Cl^-", 0.0), float(parse(made).charge))


def chloride_of(metals_mol: Mapping[str, Number]) -> Number:
    """Hydrochloric acid the metals bind [mol]."""
    return sum((chloride_per(metal) * mol for metal, mol in metals_mol.items()), 0.0)


def take_up(work: Work, oxidant: str, metals_mol: Mapping[str, Number], share: Number) -> None:
    """Run every metal with an oxidant, the same share of each."""
    for metal, mol in metals_mol.items():
        electrons = electrons_given(metal) * mol * share
        work.react(reaction_of(metal, oxidant), extent(metal, oxidant, electrons))


def pour_hydrochloric(work: Work, metals_mol: Mapping[str, Number], told: Mapping[str, Any]) -> None:
    """Pour hydrochloric acid and water, and say how much.

    Args:
        work: the step
        metals_mol: by symbol [mol]
        told: may hold `hydrochloric`, `hydrochloric_volume_l`, `water_l`
    """
    acid = bottle_of(work, "HCl", told.get("hydrochloric"), "hydrochloric acid")
    bare_l = chloride_of(metals_mol) / acid.mol_per_l
    gold_g = metals_mol.get("Au", 0.0) * molar_mass("Au")
    per_gold = work.fact("practice/dissolve.hcl_per_gold")
    excess = work.fact("practice/dissolve.hcl_base_excess").value
    habit_l = high(gold_g) * per_gold.value / 1000
    advised_l = max(habit_l, excess * high(bare_l))
    pour_l = told.get("hydrochloric_volume_l")
    pour_l = advised_l if pour_l is None else pour_l
    water_l = told.get("water_l")
    if water_l is None:
        water_l = pour_l * work.fact("practice/dissolve.water_per_acid").value
    bare = Range.over(1000 * bare_l)
    times = f"x {high(pour_l) / high(bare_l):.2g}" if high(bare_l) > 0 else ""
    work.reagent(
        Reagent(
            "hydrochloric acid",
            bare,
            1000 * high(pour_l),
            "mL",
            "high metal",
            times,
            label_of(acid),
            "first",
            "hydrochloric",
            "up",
        )
    )
    if high(water_l) > 0:
        work.reagent(
            Reagent(
                "water", Range.point(0.0), 1000 * high(water_l), "mL", "half strength, for less fume", when="with it", key="water"
            )
        )
    work.answer(
        "hcl_bare", bare, "mL", sized_on="what the metals bind", because="4 to a gold, 2 to copper and nickel, 1 to silver"
    )
    work.answer("hcl_habit", per_gold.range * (high(gold_g)), "mL", sized_on="high gold", because="4 to 5 mL to a gram of gold")
    work.answer(
        "hcl_pour", 1000 * pour_l, "mL", sized_on="high metal", because="excess is harmless and holds gold and lead in solution"
    )
    work.working(
        "hydrochloric, bare",
        "sum of (HCl bound x mol) / (mol/L)",
        " + ".join(f"{chloride_per(metal):g} x {high(mol):.4g} mol {metal}" for metal, mol in metals_mol.items())
        + f", over {high(acid.mol_per_l):.4g} mol/L",
        f"{bare.high:.4g} mL",
    )
    pour_bottle(work, "hydrochloric acid", acid, pour_l)
    pour_water(work, water_l)


def say_liquid(work: Work, told: Mapping[str, Any]) -> None:
    """Answer the liquid in all and the vessel."""
    work.answer("liquid", 1000 * work.volume_l, "mL", sized_on="all that was poured")
    stand(work, work.volume_l, str(told.get("form") or "foils"), how="on a tray, watch glass on")


def fume_times(work: Work, told: Mapping[str, Any]) -> tuple[float, float]:
    """Minutes over which the fume comes, and minutes to nine tenths of it."""
    whole_s = high(work.default(told.get("minutes_s"), "practice/dissolve.minutes", "fume over"))
    told_tenths = told.get("nine_tenths_s")
    tenths_s = (
        whole_s * work.fact("practice/dissolve.nine_tenths").value if told_tenths is None else high(np.asarray(told_tenths))
    )
    return whole_s / 60, tenths_s / 60
