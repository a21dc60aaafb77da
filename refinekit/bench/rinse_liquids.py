"""What is washed with, and what a liquor told by its strengths is made of."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np

from refinekit.bench.rinse_wash import Rinse, Washes
from refinekit.bench.step import Reagent
from refinekit.chemistry.solution import Solution
from refinekit.chemistry.species import molar_mass
from refinekit.errors import OutOfRange
from refinekit.ranges import Number, Range, high, likely

WATER_MOL_PER_L = 1000 / molar_mass("H2O")
"""Water in a litre of it, a kilogram to the litre [mol]."""
AS_TOLD = {
    "gold": ("Au", {"AuCl4^-": 1, "H^+": 1}),
    "silver": ("Ag", {"Ag^+": 1, "NO3^-": 1}),
    "copper": ("Cu", {"Cu^2+": 1, "Cl^-": 2}),
    "nickel": ("Ni", {"Ni^2+": 1, "Cl^-": 2}),
    "zinc": ("Zn", {"Zn^2+": 1, "Cl^-": 2}),
}
"""A metal of a liquor told by its strength: its element, and the ions a mole of it brings."""
LIQUIDS: Mapping[str, tuple[str, str, Mapping[str, int], str]] = {
    "acid": ("HCl", "hydrochloric", {"H^+": 1, "Cl^-": 1}, "practice/rinse.wash.acid_strength"),
    "ammonia": ("NH3", "ammonia", {"NH3": 1}, "practice/rinse.wash.ammonia_strength"),
}
"""Weak liquors to wash with: solute, key of the bottle, what it lives as in a pot, and how strong it is taken."""


def contents(told: Mapping[str, Any], volume_l: Number) -> dict[str, Number]:
    """What a liquor told by its strengths is made of.

    Args:
        told: may hold `gold_strength_g_per_l` and its like
        volume_l: how much of it there is [L]
    Returns: amounts [mol]; silver as nitrate, gold as chloro-gold, the others as chlorides
    """
    found: dict[str, Number] = {"H2O": WATER_MOL_PER_L * volume_l}
    for metal, (symbol, ions) in AS_TOLD.items():
        strength = told.get(f"{metal}_strength_g_per_l")
        if strength is not None:
            for ion, count in ions.items():
                found[ion] = found.get(ion, 0.0) + count * strength * volume_l / molar_mass(symbol)
    return found


def washes_of(work: Rinse, told: Mapping[str, Any], liquid: str, each_l: float, count: int) -> Washes:
    """So many washes of water, weak acid or weak ammonia.

    Args:
        work: the step
        told: may hold `acid` and `acid_strength_mol_per_l`
        liquid: water, acid or ammonia [text]
        each_l: size of one [L]
        count: how many [-]
    Raises: OutOfRange, weak acid stronger than the bottle
    """
    if liquid == "water":
        return Washes("water", count, each_l, {"H2O": WATER_MOL_PER_L}, {"H2O": WATER_MOL_PER_L})
    solute, _, ions, id = LIQUIDS[liquid]
    bottle, strength = _bottle(work, told, liquid), _strength(work, told, liquid, id)
    share = strength / bottle.mol_per_l
    if high(share) > 1:
        raise OutOfRange(
            f"a wash of {likely(strength):.3g} mol/L cannot be made of a bottle of {likely(bottle.mol_per_l):.3g} mol/L",
            cure="give a weaker wash or a stronger bottle",
        )
    water = share * bottle.density_g_per_ml * WATER_MOL_PER_L * (1 - bottle.mass_fraction) + (1 - share) * WATER_MOL_PER_L
    lives = {ion: number * strength for ion, number in ions.items()}
    label = f"{likely(strength):.3g} mol/L {'hydrochloric acid' if liquid == 'acid' else liquid}"
    return Washes(label, count, each_l, {**lives, "H2O": water}, {solute: strength, "H2O": water})


def _bottle(work: Rinse, told: Mapping[str, Any], liquid: str) -> Solution:
    solute = LIQUIDS[liquid][0]
    found = told.get("acid") if liquid == "acid" else None
    if isinstance(found, Solution):
        return found
    usual = Solution.usual(solute)
    work.assume(f"{'hydrochloric acid' if liquid == 'acid' else liquid}: {usual.label}")
    return usual


def _strength(work: Rinse, told: Mapping[str, Any], liquid: str, id: str) -> float:
    """One strength for all the world: what is poured does not change with what is doubted."""
    given = told.get("acid_strength_mol_per_l") if liquid == "acid" else None
    return likely(work.default(given, id, f"weak {liquid} to wash with"))


def to_pour(work: Rinse, told: Mapping[str, Any], washes: Sequence[Washes], what: str) -> None:
    """Say what is poured.

    Args:
        work: the step
        told: as `washes_of`
        washes: in order
        what: what is washed [text]
    """
    for one in washes:
        if not one.count:
            continue
        how = f"{one.count} x {1000 * one.each_l:.4g} mL"
        liquid = next((word for word, row in LIQUIDS.items() if row[0] in one.poured), "")
        water_ml: Number = 1000 * one.volume_l
        if liquid:
            bottle = _bottle(work, told, liquid)
            bottle_ml = 1000 * one.volume_l * one.poured[bottle.solute] / bottle.mol_per_l
            water_ml = water_ml - bottle_ml
            _pour(work, bottle_ml, LIQUIDS[liquid][1], bottle.label, f"for {how} of {one.label}", f"first, on the {what}")
        _pour(work, water_ml, "water", "", f"for {how}", f"with the acid, on the {what}" if liquid else f"on the {what}")


def _pour(work: Rinse, ml: Number, key: str, bottle: str, how: str, when: str) -> None:
    name = {"hydrochloric": "hydrochloric acid", "ammonia": "ammonia water"}.get(key, key)
    span = Range.over(np.maximum(ml, 0.0))
    work.reagent(
        Reagent(name, span, span.likely, "mL", "likely: the washes are the same whatever is in them", how, bottle, when, key)
    )
