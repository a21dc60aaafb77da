"""What takes alkali in a spent liquor, in the order it is taken, and how much of each falls."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cache
from typing import Any

import numpy as np

from refinekit.bench.neutralise_heat import net_in_pot
from refinekit.facts.load import fact, table
from refinekit.ranges import Number, high


@dataclass(frozen=True, slots=True)
class Taker:
    """One row of what takes alkali.

    Args:
        species: as pots hold it [text]
        reaction: id of the reaction [text]
        word: what the bench calls it [text]
        begins, ends: pH one reads while it is taken up [-]
    """

    species: str
    reaction: str
    word: str
    begins: float
    ends: float

    @property
    def alkali(self) -> float:
        """Alkali one mole of it takes up [mol]."""
        net = net_in_pot(self.reaction)
        return net["OH^-"] / net[self.species]

    def runs(self, mol: Number) -> Number:
        """How often its reaction runs for so much of it [mol]."""
        return mol / -net_in_pot(self.reaction)[self.species]


@cache
def takers() -> tuple[Taker, ...]:
    """Everything that takes alkali, first served first."""
    rows = [
        Taker(row["species"], row["reaction"], row["word"], row["begins"], row["ends"])
        for row in table("practice/neutralise")["takes"]
    ]
    return tuple(sorted(rows, key=lambda row: (row.species != "H^+", row.begins)))


@dataclass(frozen=True, slots=True)
class Fate:
    """What becomes of a liquor at its pH.

    Args:
        falls: share of each species that takes its alkali; all of what is not named [-]
        basic_copper: share of the falling copper that falls as basic chloride [-]
        over_mol_per_l: alkali beyond what is taken up, still dissolved at the end [mol/L]
        gas_share: share of the carbon dioxide that leaves [-]
    """

    falls: Mapping[str, float] = field(default_factory=dict)
    basic_copper: float = 0.0
    over_mol_per_l: float = 0.0
    gas_share: float = 1.0


BASIC_ALKALI = 1.5
"""Alkali to a copper of basic chloride, Cu2(OH)3Cl: from its formula."""


@dataclass(frozen=True, slots=True)
class Want:
    """One taker of a pot.

    Args:
        taker: its row
        mol: how much of it takes alkali [mol]
        alkali_mol: alkali it takes [mol]
    """

    taker: Taker
    mol: Number
    alkali_mol: Number


def plain_rule(there_mol: Mapping[str, Number], target: float) -> Fate:
    """The plain rule: all acid, every metal by its charge; of ammonium the share that is ammonia at the pH."""
    ammonia = 1 / (1 + 10 ** (fact("practice/neutralise.ammonium_pka").value - target))
    return Fate({"NH4^+": float(ammonia)} if high(there_mol.get("NH4^+", 0.0)) > 0 else {})


def wants(there_mol: Mapping[str, Number], fate: Fate) -> tuple[Want, ...]:
    """What takes alkali in a pot, first served first.

    Args:
        there_mol: what is dissolved [mol]
        fate: what falls and how
    """
    found = []
    for taker in takers():
        mol: Number = there_mol.get(taker.species, 0.0)
        if taker.species == "Ag^+":
            mol = np.maximum(mol - there_mol.get("Cl^-", 0.0), 0.0)
        if high(mol) <= 0:
            continue
        taken = mol * fate.falls.get(taker.species, 1.0)
        each = taker.alkali
        if taker.species == "Cu^2+":
            each = each - (each - BASIC_ALKALI) * fate.basic_copper
        found.append(Want(taker, taken, taken * each))
    return tuple(found)


def total(some: tuple[Want, ...]) -> Number:
    """Alkali of all of them [mol]."""
    return sum((want.alkali_mol for want in some), 0.0)


def by_ph(some: tuple[Want, ...], ph: float) -> Number:
    """Alkali taken up on the way to a pH, by where each is taken up at the bench [mol]."""
    taken: Number = 0.0
    for want in some:
        row = want.taker
        share = (
            1.0 if row.species == "H^+" and ph >= row.ends else min(max((ph - row.begins) / (row.ends - row.begins), 0.0), 1.0)
        )
        taken = taken + share * want.alkali_mol
    return taken


def ph_after(some: tuple[Want, ...], alkali_mol: float, volume_l: float, target: float, case: Any) -> float:
    """pH to expect after so much alkali, by the plain rule, likely case [-].

    Args:
        some: what takes alkali
        alkali_mol: alkali gone in [mol]
        volume_l: liquor then [L]
        target: pH it ends at [-]
        case: picks the case of an amount, e.g. `ranges.likely`
    """
    gone, ph = alkali_mol, 0.0
    for want in some:
        need = case(want.alkali_mol)
        row = want.taker
        if gone >= need:
            gone, ph = gone - need, max(ph, row.ends)
            continue
        if row.species == "H^+":
            strength = (need - gone) / max(volume_l, 1e-9)
            return float(min(max(-np.log10(strength), -0.5), row.ends + 1))
        return float(max(ph, row.begins + (row.ends - row.begins) * gone / need) if need > 0 else ph)
    return target
