"""Who eats the reductant: what stands in the liquor, in the order it is served."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from refinekit.bench.drop_ways import Way
from refinekit.bench.work import Work
from refinekit.chemistry.redox import electrons_taken, order
from refinekit.chemistry.species import molar_mass, parse
from refinekit.ranges import Number, Range, high

OXIDANTS = ("Cl2", "HClO", "H2O2", "HNO2", "NO3^-")
WORDS = {
    "Cl2": "chlorine",
    "HClO": "hypochlorite",
    "H2O2": "peroxide",
    "HNO2": "nitrous acid",
    "NO3^-": "nitric acid",
    "AuCl4^-": "gold",
    "Fe^3+": "iron(III)",
    "PtCl6^2-": "platinum",
    "PdCl4^2-": "palladium",
    "AgCl2^-": "silver",
    "Cu^2+": "copper, to white cuprous",
    "Cu^2+ metal": "copper, to metal",
    "H^+": "free acid, to hydrogen",
}
METAL = {
    "AuCl4^-": "Au",
    "Fe^3+": "Fe",
    "PtCl6^2-": "Pt",
    "PdCl4^2-": "Pd",
    "AgCl2^-": "Ag",
    "Cu^2+": "Cu",
    "Cu^2+ metal": "Cu",
    "NO3^-": "HNO3",
    "H^+": "HCl",
}


@dataclass(frozen=True, slots=True)
class Eaters:
    """Electrons the liquor can take, by taker [mol].

    Args:
        wants_mol: what is served, gold and the oxidants and iron that come with it [mol of electrons]
        over_mol: what is eaten only if the drop is overdone [mol of electrons]
        partner_mol: reagent that falls as a salt with copper or lead, as electrons it would have given [mol]
    """

    wants_mol: Mapping[str, Number]
    over_mol: Mapping[str, Number]
    partner_mol: Number

    @property
    def gold_mol(self) -> Number:
        """Electrons the gold takes [mol]."""
        return self.wants_mol["AuCl4^-"]

    @property
    def oxidants_mol(self) -> Number:
        """Electrons leftover oxidants take [mol]."""
        return sum((self.wants_mol[one] for one in OXIDANTS if one in self.wants_mol), 0.0)

    @property
    def iron_mol(self) -> Number:
        """Electrons iron(III) and, for a metal, the other noble metals take [mol]."""
        return sum((mol for one, mol in self.wants_mol.items() if one not in (*OXIDANTS, "AuCl4^-")), 0.0)

    @property
    def rest_mol(self) -> Number:
        """Electrons eaten if the drop is overdone [mol]."""
        return sum(self.over_mol.values(), 0.0)

    @staticmethod
    def place(taker: str) -> int:
        """Place in the queue."""
        return order(taker)


def eaters_of(work: Work, way: Way) -> Eaters:
    """What the liquor holds that eats a reductant.

    Args:
        work: the step, the liquor in it
        way: the reductant
    """

    def there(taker: str) -> Number:
        mol = work.dissolved.get(taker.removesuffix(" metal"), 0.0)
        if taker == "H^+":
            mol = np.maximum(mol - work.dissolved.get("AuCl4^-", 0.0), 0.0)
        return electrons_taken(taker) * mol

    wants = {taker: there(taker) for taker in way.eats if taker == "AuCl4^-" or high(np.asarray(there(taker))) > 0}
    over = {taker: there(taker) for taker in way.if_overdone if high(np.asarray(there(taker))) > 0}
    partner: Number = 0.0
    if way.key == "oxalic":
        partner = electrons_taken("Cu^2+ metal") * work.dissolved.get("Cu^2+", 0.0)
    return Eaters(wants, over, partner)


def say_eaters(work: Work, way: Way, eaters: Eaters) -> None:
    """Give the table of who eats it, in order of attack."""
    copperas = molar_mass("FeSO4.7H2O")
    rows: list[tuple[str | float | Range, ...]] = []
    both = {**eaters.wants_mol, **eaters.over_mol}
    for taker in sorted(both, key=eaters.place):
        electrons = both[taker]
        mol = electrons / electrons_taken(taker)
        grams = mol * molar_mass(METAL.get(taker, taker))
        label = WORDS[taker] + (" (only if overdone)" if taker in eaters.over_mol else "")
        rows.append(
            (
                label,
                Range.over(grams),
                Range.over(1000 * mol),
                Range.over(500 * electrons),
                Range.over(way.grams(electrons)),
                Range.over(electrons * copperas),
            )
        )
        key = {"AuCl4^-": "gold", "Fe^3+": "iron", "NO3^-": "nitric", "Cu^2+": "copper_if_overdone"}.get(taker)
        if key:
            work.answer(
                f"so2_{key}", 500 * electrons, "mmol", because=f"as sulfur dioxide; {electrons_taken(taker):g} electrons each"
            )
    if high(np.asarray(eaters.partner_mol)) > 0:
        rows.append(
            ("copper, as oxalate", "-", Range.over(500 * eaters.partner_mol), "-", Range.over(way.grams(eaters.partner_mol)), "-")
        )
    work.table("Who eats it, in order", ("eats", "g", "mmol", "SO2 mmol", f"{way.name} g", "copperas g"), rows)


def charge_of(formula: str) -> int:
    """Charge number of a species."""
    return parse(formula).charge
