"""Pouring from a bottle, and the usual bottle where none was told."""

from __future__ import annotations

from refinekit.bench.work import Work
from refinekit.chemistry.solution import Solution
from refinekit.chemistry.species import molar_mass
from refinekit.ranges import Number, high, likely


def bottle_of(work: Work, solute: str, told: Solution | None, what: str) -> Solution:
    """The bottle told, or the usual one, then listed as assumed.

    Args:
        work: the step
        solute: formula [text]
        told: the bottle; None where it was not told
        what: the bottle in words [text]
    """
    if told is not None:
        return told
    usual = Solution.usual(solute)
    work.assume(f"{what}: {usual.label}, {likely(usual.mol_per_l):.3g} mol/L, the usual bottle")
    return usual


def label_of(bottle: Solution) -> str:
    """How a bottle is called beside a pour: its label, or its percentage."""
    return bottle.label or f"{likely(bottle.percent_ww):.3g} %"


def pour_bottle(work: Work, label: str, bottle: Solution, volume_l: Number) -> None:
    """Pour from a bottle: its solute and its water.

    Args:
        work: the step
        label: its name in the ledger [text]
        bottle: what is in it
        volume_l: how much [L]
    """
    if high(volume_l) <= 0:
        return
    grams = 1000 * volume_l * bottle.density_g_per_ml
    solute = grams * bottle.mass_fraction / molar_mass(bottle.solute)
    water = grams * (1 - bottle.mass_fraction) / molar_mass("H2O")
    work.pour(label, {bottle.solute: solute, "H2O": water}, volume_l=volume_l)


def pour_water(work: Work, volume_l: Number, label: str = "water") -> None:
    """Pour water, a kilogram to the litre [L]."""
    if high(volume_l) > 0:
        work.pour(label, {"H2O": 1000 * volume_l / molar_mass("H2O")}, volume_l=volume_l)
