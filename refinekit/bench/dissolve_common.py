"""What every way of dissolving gold shares: the metals it takes, their electrons and chloride, the hydrochloric to pour."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import numpy as np

from refinekit.bench.chloride_silver import STEADY
from refinekit.bench.foam import foam_at_rate
from refinekit.bench.pot import free_acid_mol
from refinekit.bench.pouring import bottle_of, label_of, pour_bottle, pour_water
from refinekit.bench.step import Reagent
from refinekit.bench.vessel import Vessel, stand
from refinekit.bench.work import Work
from refinekit.chemistry.redox import dissolving_order, electrons_given, extent, giver, reaction_of, serve
from refinekit.chemistry.solution import Solution
from refinekit.chemistry.species import molar_mass, parse
from refinekit.facts.load import fact
from refinekit.ranges import Number, Range, high, likely, low, times_bare

METALS = ("Au", "Cu", "Ni", "Zn", "Pb", "Fe", "Sn", "Ag", "Pd", "Pt", "Al")
"""Metals taken up, by symbol."""


def metals_of(work: Work) -> dict[str, Number]:
    """Metals lying in the pot, by symbol, the one that dissolves first first [mol]."""
    there = (metal for metal in METALS if high(work.solids.get(metal, 0.0)) > 0)
    return {metal: work.solids[metal] for metal in sorted(there, key=dissolving_order)}


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


def silver_share_of(metals_mol: Mapping[str, Number]) -> Number:
    """Silver in the metals [g/g]."""
    whole = sum((mol * molar_mass(metal) for metal, mol in metals_mol.items()), 0.0)
    return share(metals_mol.get("Ag", 0.0) * molar_mass("Ag"), whole)


def acid_reach(work: Work, metals_mol: Mapping[str, Number], protons_per_electron: Number) -> Number:
    """Electrons the acid and chloride in the pot can let pass [mol].

    Args:
        work: the step, acid poured
        metals_mol: by symbol [mol]
        protons_per_electron: acid the oxidant uses up with an electron [mol/mol]; 0 for none
    """
    electrons = electrons_of(metals_mol)
    complexed = sum((giver(metal).left.get("Cl^-", 0.0) * mol for metal, mol in metals_mol.items()), 0.0)
    wanted = protons_per_electron * electrons
    there = work.dissolved.get("H^+", 0.0)
    by_acid = np.where(np.asarray(wanted) > there, electrons * share(there, wanted), electrons)
    chloride = work.dissolved.get("Cl^-", 0.0)
    by_chloride = np.where(np.asarray(complexed) > chloride, electrons * share(chloride, complexed), electrons)
    return np.minimum(by_acid, by_chloride)


def share(part: Number, whole: Number) -> Number:
    """Part over whole [-]; 0 where there is no whole."""
    whole_or_one = np.where(np.asarray(whole) > 0, whole, 1.0)
    return np.where(np.asarray(whole) > 0, part / whole_or_one, 0.0)


def take_up(work: Work, oxidant: str, metals_mol: Mapping[str, Number], electrons_mol: Number) -> None:
    """Let an oxidant take so many electrons off the metals, the basest first [mol]."""
    wants = {metal: electrons_given(metal) * mol for metal, mol in metals_mol.items()}
    for metal, electrons in serve(electrons_mol, wants)[0].items():
        work.react(reaction_of(metal, oxidant), extent(metal, oxidant, electrons))


def pour_hydrochloric(
    work: Work, metals_mol: Mapping[str, Number], told: Mapping[str, Any], *, beside_mol: Number = 0.0, beside: str = ""
) -> Solution:
    """Pour hydrochloric acid and water, and say how much.

    Args:
        work: the step
        metals_mol: by symbol [mol]
        told: may hold `hydrochloric`, `hydrochloric_volume_l`, `water_l`
        beside_mol: acid that something beside the metals uses up [mol]
        beside: what that is [text]
    Returns: the bottle
    Source: bare need, the metals' halves; practice in facts/practice/dissolve.toml and general.toml
    """
    acid = bottle_of(work, "HCl", told.get("hydrochloric"), "hydrochloric acid")
    bare_l = (chloride_of(metals_mol) + beside_mol) / acid.mol_per_l
    gold_g = metals_mol.get("Au", 0.0) * molar_mass("Au")
    habit = _habit(work, acid, gold_g)
    excess = work.fact("practice/general.excess.hydrochloric_gold_total").value
    advised_l = max(
        habit.likely * high(gold_g) / 1000 + high(beside_mol / acid.mol_per_l),
        excess * high(chloride_of(metals_mol) / acid.mol_per_l) + high(beside_mol / acid.mol_per_l),
    )
    told_l = told.get("hydrochloric_volume_l")
    pour_l = advised_l if told_l is None else told_l
    _say_hydrochloric(work, acid, Range.over(1000 * bare_l), pour_l, "high metal" if told_l is None else "as you said")
    _bare_working(work, acid, metals_mol, beside_mol, beside)
    pour_bottle(work, "hydrochloric acid", acid, pour_l)
    _water(work, pour_l, told.get("water_l"))
    _acid_short(work, acid, chloride_of(metals_mol) + beside_mol)
    return acid


def _habit(work: Work, acid: Solution, gold_g: Number) -> Range:
    """Millilitres of this bottle to a gram of gold that shops pour; answers what that comes to."""
    usual = work.fact("practice/dissolve.hcl_per_gold")
    per_gold = usual.range * likely(Solution.usual("HCl").mol_per_l / acid.mol_per_l)
    span = Range(per_gold.low * low(gold_g), per_gold.likely * likely(gold_g), per_gold.high * high(gold_g))
    words = f"{usual.range.low:g} to {usual.range.high:g} mL of 20 Be acid to a gram of gold"
    work.answer("hcl_habit", span, "mL", sized_on="high gold", because=words)
    return per_gold


def _say_hydrochloric(work: Work, acid: Solution, bare: Range, pour_l: Number, on: str) -> None:
    most_ml = 1000 * high(pour_l)
    times = times_bare(most_ml / bare.high) if bare.high > 0 else ""
    name = "hydrochloric acid"
    work.reagent(Reagent(name, bare, most_ml, "mL", on, times, label_of(acid), "first", "hydrochloric", "up"))
    work.answer(
        "hcl_bare", bare, "mL", sized_on="what the metals bind", because="4 to a gold, 2 to copper and nickel, 1 to silver"
    )
    work.answer("hcl_pour", 1000 * pour_l, "mL", sized_on=on, because="excess is harmless and holds gold and lead in solution")


def _bare_working(work: Work, acid: Solution, metals_mol: Mapping[str, Number], beside_mol: Number, beside: str) -> None:
    parts = [f"{chloride_per(metal):g} x {high(mol):.4g} mol {metal}" for metal, mol in metals_mol.items()]
    if high(beside_mol) > 0:
        parts.append(f"{high(beside_mol):.4g} mol for {beside}")
    most_ml = 1000 * high((chloride_of(metals_mol) + beside_mol) / acid.mol_per_l)
    work.working(
        "hydrochloric, bare",
        "sum of (HCl bound x mol) / (mol/L)",
        f"({' + '.join(parts) or '0'}) / {likely(acid.mol_per_l):.4g} mol/L",
        f"{most_ml:.4g} mL (high metal)",
    )


def _water(work: Work, acid_l: Number, told_l: Number | None) -> None:
    """Pour water beside the acid: half strength fumes less."""
    water_l = acid_l * work.fact("practice/dissolve.water_per_acid").value if told_l is None else told_l
    if high(water_l) > 0:
        why = "half strength, for less fume" if told_l is None else "as you said"
        work.reagent(Reagent("water", Range.point(0.0), 1000 * high(water_l), "mL", why, when="with it", key="water"))
        pour_water(work, water_l)


def _acid_short(work: Work, acid: Solution, wanted_mol: Number) -> None:
    there = np.minimum(work.dissolved.get("H^+", 0.0), work.dissolved.get("Cl^-", 0.0))
    short_ml = 1000 * high((wanted_mol - there) / acid.mol_per_l)
    if short_ml > STEADY:
        work.notice(
            "warn",
            "reagent-short",
            f"{short_ml:.3g} mL of hydrochloric is missing of what the metals bind: some metal stays, or chlorine comes late",
            "pour more hydrochloric: excess harms nothing",
            "equation",
        )


def hydrochloric_left_mol(work: Work) -> Number:
    """Free acid that is neither nitric's nor without chloride [mol]."""
    acid = free_acid_mol(work.dissolved) - work.dissolved.get("NO3^-", 0.0)
    return np.maximum(np.minimum(acid, work.dissolved.get("Cl^-", 0.0)), 0.0)


def say_liquor(work: Work, acid: Solution, told: Mapping[str, Any]) -> None:
    """Answer what of the acid and the gold is left, the liquid in all and the vessel."""
    work.answer(
        "hcl_left",
        1000 * hydrochloric_left_mol(work) / acid.mol_per_l,
        "mL",
        because="poured less what the metals bound, as the bottle",
    )
    gold_left = work.solids.get("Au", 0.0) * molar_mass("Au")
    if high(gold_left) > STEADY:
        work.answer("gold_left", gold_left, "g", sized_on="high", because="what poured acid and oxidant do not reach")
    work.answer("liquid", 1000 * work.volume_l, "mL", sized_on="all that was poured")
    vessel = stand(work, work.volume_l, str(told.get("form") or "foils"), how="on a tray, watch glass on")
    _foams(work, vessel, told)


def _foams(work: Work, vessel: Vessel, told: Mapping[str, Any]) -> None:
    """Foam of the worst gas at its peak, hot where nitric makes it; of gases that stand in for one another only one comes."""
    worst = max((gas for gas in work.gases if gas.peak_l_per_min), key=lambda gas: gas.peak_l_per_min or 0.0, default=None)
    if worst is None or not worst.peak_l_per_min:
        return
    hot_k = fact("enthalpy.water_boils").value if worst.formula in ("NO", "NO2") else None
    what = f"up to {worst.litres.high:.3g} L of gas, at its peak {worst.peak_l_per_min:.2g} L/min"
    foam_at_rate(work, worst.peak_l_per_min, vessel, what, hot_k=hot_k, frothing=told.get("form") == "fine")


def fume_times(work: Work, told: Mapping[str, Any]) -> tuple[float, float]:
    """Minutes over which the fume comes, and minutes to nine tenths of it."""
    told_s, told_tenths_s = told.get("minutes_s"), told.get("nine_tenths_s")
    usual = work.default(None if told_s is None else told_s / 60, "practice/dissolve.minutes", "fume comes over")
    minutes = low(usual)
    if told_tenths_s is None:
        return minutes, minutes * work.fact("practice/dissolve.nine_tenths").value
    return minutes, low(told_tenths_s) / 60
