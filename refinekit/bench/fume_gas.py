"""Where the gas comes from: metals in nitric or acid, bleach in acid, metabisulfite, carbonate, or an amount told."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np

from refinekit.bench.fields import METALS
from refinekit.bench.pot import Pot
from refinekit.bench.work import Work
from refinekit.chemistry.equation import reaction
from refinekit.chemistry.gas import molar_volume_l, moles
from refinekit.chemistry.solution import Solution
from refinekit.chemistry.species import molar_mass
from refinekit.errors import CannotFollow
from refinekit.ranges import Number, Range, high, likely, low
from refinekit.record import record

ELECTRONS = {"Au": 3, "Cu": 2, "Ni": 2, "Zn": 2, "Pb": 2, "Fe": 3, "Sn": 4, "Ag": 1, "Al": 3, "Pd": 2, "Pt": 4}
"""Electrons a metal gives to nitric acid; three make a nitric oxide, one a nitrogen dioxide."""
HYDROGEN_BY = {"Zn": "R2.6", "Fe": "R2.7", "Sn": "R2.9", "Al": "R2.13", "Pb": "R2.30", "Ni": "R2.31"}
"""Metals that make hydrogen of acid, and the reaction of each."""
CARBONATES = {"soda ash": 2, "bicarbonate": 1, "limestone": 2}
"""Acid that one carbon dioxide answers to, by what neutralises it."""
LEAVES = ("SO2", "Cl2", "NH3")
"""What lies dissolved in a pot and may leave it as gas."""
WORDS = {symbol: word for word, symbol in METALS.items()}


@record
class Source:
    """A gas that comes off.

    Args:
        formula: species [text]
        least: by the route that makes least of it [mol]
        usual: as expected [mol]
        most: by the route that makes most [mol]
        because: how it comes about, one line [text]
        routes: what least and most stand for [text]
    """

    formula: str
    least: Number
    usual: Number
    most: Number
    because: str
    routes: str = "high"

    @property
    def mol(self) -> Range:
        """The gas, least to most [mol]."""
        return Range(low(self.least), likely(self.usual), high(self.most))

    def with_more(self, other: Source) -> Source:
        """The same gas from here and from another source."""
        ways = "; ".join(dict.fromkeys((self.because, other.because)))
        routes = other.routes if self.routes in other.routes else self.routes  # "high" is the beginning of the longer words
        return Source(self.formula, self.least + other.least, self.usual + other.usual, self.most + other.most, ways, routes)


def sources(work: Work, told: Mapping[str, Any], pots: tuple[Pot, ...]) -> list[Source]:
    """The gases asked about.

    Args:
        work: the step
        told: see the fields of fume
        pots: pots whose dissolved gas may leave
    Raises: CannotFollow, nothing was told that gives gas
    """
    found = [*_as_told(work, told), *_of_metals(work, told), *_of_bleach(work, told), *_of_others(work, told)]
    if not found:
        found = [
            Source(
                formula, 0.0, pot.mol(formula), pot.mol(formula), f"all that is dissolved in {pot.name}", "high: all of it leaves"
            )
            for pot in pots
            for formula in LEAVES
            if high(pot.mol(formula)) > 0
        ]
    if not found:
        raise CannotFollow(
            "nothing was told that gives off gas",
            cure="give --gold 10g, --zinc 20g, --bleach-volume 100mL, or --gas NO2 --litres 3L",
        )
    return each_once(found)


def each_once(found: Sequence[Source]) -> list[Source]:
    """One source a gas: what comes about in several ways adds up."""
    once: dict[str, Source] = {}
    for one in found:
        before = once.get(one.formula)
        once[one.formula] = one if before is None else before.with_more(one)
    return list(once.values())


def _as_told(work: Work, told: Mapping[str, Any]) -> list[Source]:
    """An amount of a gas by its moles or litres, and amounts of the scrubber's gases by their names."""
    gas, mol = told.get("gas"), told.get("mol_mol")
    if mol is None and "litres_l" in told:
        mol = moles(told["litres_l"], work.place.temperature_k, work.place.pressure_pa)
    named = [(gas or "NO2", mol)] if mol is not None else []
    named += [(formula, told[arg]) for arg, formula in BY_NAME.items() if arg in told]
    return [Source(formula, amount, amount, amount, "as told") for formula, amount in named]


BY_NAME = {
    "nitric_oxide_mol": "NO",
    "nitrogen_dioxide_mol": "NO2",
    "hydrogen_chloride_mol": "HCl",
    "chlorine_mol": "Cl2",
    "sulfur_dioxide_mol": "SO2",
    "nitrosyl_chloride_mol": "NOCl",
}
"""Gases told by their names, for the scrubber."""


# ---- metals
def _of_metals(work: Work, told: Mapping[str, Any]) -> list[Source]:
    grams = {symbol: told[f"{word}_g"] for word, symbol in METALS.items() if f"{word}_g" in told}
    if not grams or "bleach_volume_l" in told:
        return []
    mol = {symbol: mass / molar_mass(symbol) for symbol, mass in grams.items()}
    gas = told.get("gas") or ("H2" if set(mol) <= set(HYDROGEN_BY) else "NOx")
    return [_hydrogen(work, mol)] if gas == "H2" else _nitrogen_oxides(work, told, mol, gas)


def _hydrogen(work: Work, mol: Mapping[str, Number]) -> Source:
    """Hydrogen of acid, all of the metal making it: the most there can be.

    Source: reactions R2.6, R2.7, R2.9, R2.13, R2.30, R2.31
    """
    others = [WORDS[symbol] for symbol in mol if symbol not in HYDROGEN_BY]
    if others:
        raise CannotFollow(
            f"{' and '.join(others)} makes no hydrogen of acid", cure="give zinc, iron, aluminium, nickel, tin or lead"
        )
    total: Number = 0.0
    for symbol, amount in mol.items():
        each = reaction(HYDROGEN_BY[symbol]).mole_ratio("H2", symbol)
        total = total + each * amount
        work.working(
            f"hydrogen of {WORDS[symbol]}",
            str(reaction(HYDROGEN_BY[symbol])),
            f"{each:g} x {likely(amount):.4g} mol",
            f"{likely(each * amount):.4g} mol hydrogen",
        )
    return Source("H2", 0.0, total, total, "every mole of metal makes its hydrogen", "high: all the metal makes hydrogen")


def electrons_mol(mol: Mapping[str, Number]) -> Number:
    """Electrons that metals give to nitric acid [mol], by symbol and moles."""
    return sum((ELECTRONS[symbol] * amount for symbol, amount in mol.items()), 0.0)


def _nitrogen_oxides(work: Work, told: Mapping[str, Any], mol: Mapping[str, Number], gas: str) -> list[Source]:
    """Nitric oxide and nitrogen dioxide of metals in nitric acid or aqua regia, both ends and the mix expected.

    Source: three electrons to a nitric oxide, one to a nitrogen dioxide; the mix is common practice
    """
    electrons = electrons_mol(mol)
    share = work.default(
        told.get("no_share"), "practice/general.no_share.gold_hot", "share of the nitrogen that leaves as nitric oxide"
    )
    nitric = electrons / (1 + 2 * share)
    sums = " + ".join(f"{ELECTRONS[symbol]} x {1000 * likely(amount):.4g}" for symbol, amount in mol.items())
    result = (
        f"{1000 * likely(electrons):.4g} mmol electrons: {1000 * likely(electrons / 3):.4g} mmol NO or as many NO2 as electrons"
    )
    work.working("nitrogen oxides", "electrons / 3 as NO, electrons / 1 as NO2", f"{sums} mmol", result)
    work.working(
        "the mix expected",
        "nitric = electrons / (1 + 2x), NO = x nitric, NO2 = (1 - x) nitric",
        f"{1000 * likely(electrons):.4g} mmol / (1 + 2 x {likely(share):.3g})",
        f"{1000 * likely(share * nitric):.4g} mmol NO, {1000 * likely((1 - share) * nitric):.4g} mmol NO2",
        "practice/general.no_share.gold_hot",
    )
    both = [
        Source(
            "NO",
            0.0 * electrons,
            share * nitric,
            electrons / 3,
            "one for three electrons, if all leaves as NO",
            "high: all as NO",
        ),
        Source(
            "NO2", 0.0 * electrons, (1 - share) * nitric, electrons, "one an electron, if all leaves as NO2", "high: all as NO2"
        ),
    ]
    return [one for one in both if gas in ("NOx", one.formula)]


# ---- bleach, sulfite, carbonate
def _of_bleach(work: Work, told: Mapping[str, Any]) -> list[Source]:
    """Chlorine of bleach in acid, less what gold takes up."""
    if "bleach_volume_l" not in told:
        return []
    bottle = told.get("bleach")
    if not isinstance(bottle, Solution):
        bottle = Solution.usual("NaOCl")
        work.assume(f"bleach: {bottle.label}")
    there = told["bleach_volume_l"] * bottle.mol_per_l
    gold = told.get("gold_g", 0.0) / molar_mass("Au")
    taken = gold * reaction("R3.7").mole_ratio("NaOCl", "Au")
    over = np.maximum(there - taken, 0.0)
    if high(gold) > 0:
        need = 1000 * taken / bottle.mol_per_l
        work.answer("bleach_for_gold", need, "mL", sized_on="likely gold", because="1.5 hypochlorite to a gold (R3.7)")
    work.working(
        "chlorine of bleach",
        f"{reaction('R9.8')}",
        f"{1000 * likely(there):.4g} mmol hypochlorite - {1000 * likely(taken):.4g} mmol for gold",
        f"{1000 * likely(over):.4g} mmol chlorine",
    )
    return [Source("Cl2", 0.0 * over, over, over, "one for each hypochlorite that gold does not take", "high: fully acidified")]


def _of_others(work: Work, told: Mapping[str, Any]) -> list[Source]:
    """Sulfur dioxide of metabisulfite, carbon dioxide of carbonate."""
    found = []
    if "smb_g" in told:
        good = work.default(told.get("goodness"), "practice/fume.smb.goodness", "share of the metabisulfite that is good")
        mol = 2 * told["smb_g"] * good / molar_mass("Na2S2O5")
        found.append(
            Source("SO2", 0.0 * mol, mol, mol, "two for each metabisulfite, where no gold takes it", "high: all of it leaves")
        )
    if "acid_neutralised_mol" in told:
        per = CARBONATES[told.get("carbonate", "soda ash")]
        mol = told["acid_neutralised_mol"] / per
        found.append(Source("CO2", mol, mol, mol, f"one for {per} acid"))
        work.working(
            "carbon dioxide",
            f"one for {per} H+",
            f"{likely(told['acid_neutralised_mol']):.4g} mol / {per}",
            f"{likely(mol):.4g} mol",
        )
    return found


def litres(work: Work, mol: Range) -> Range:
    """Gas at the shop's temperature and pressure [L]."""
    return mol * likely(molar_volume_l(work.place.temperature_k, work.place.pressure_pa))
