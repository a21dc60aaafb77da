"""What eats a cementing metal: oxidants, precious metal, iron(III), copper, acid, in the order they are served."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from refinekit.bench.drop_eaters import WORDS as DROP_WORDS
from refinekit.bench.neutralise_heat import heat_of, net_in_pot
from refinekit.bench.work import Work
from refinekit.chemistry.equation import Equation
from refinekit.chemistry.redox import queue, reaction_of
from refinekit.chemistry.species import molar_mass
from refinekit.ranges import Number, high
from refinekit.record import record

SYMBOL = {"copper": "Cu", "iron": "Fe", "aluminium": "Al"}
GIVES = {"copper": "Cu", "iron": "Fe(II)", "aluminium": "Al"}
"""Id of each metal among the halves of facts/redox.toml."""
TAKERS = ("Cl2", "HClO", "H2O2", "HNO2", "NO3^-", "AuCl4^-", "Fe^3+", "PtCl6^2-", "PdCl4^2-", "AgCl2^-")
WORDS = DROP_WORDS | {
    "Ag^+": "silver nitrate",
    "Pd^2+": "palladium nitrate",
    "Pt^4+": "platinum nitrate",
    "CuCl2^-": "cuprous copper",
    "Cu^2+": "copper",
    "H^+": "free acid",
}
KNOWN = {
    ("copper", "AuCl4^-"): "R10.15",
    ("copper", "Fe^3+"): "R5.23",
    ("copper", "PtCl6^2-"): "R5.24",
    ("copper", "PdCl4^2-"): "R5.25",
    ("copper", "NO3^-"): "R5.26",
    ("copper", "Ag^+"): "R7.5",
    ("copper", "Pd^2+"): "R7.11",
    ("copper", "Pt^4+"): "R7.19",
    ("copper", "Cu^2+"): "R2.1",
    ("iron", "Fe^3+"): "R10.17",
    ("iron", "Ag^+"): "R7.17",
    ("iron", "Pd^2+"): "R7.20",
    ("iron", "Pt^4+"): "R7.21",
    ("iron", "CuCl2^-"): "R10.18",
    ("iron", "Cu^2+"): "R10.1",
    ("iron", "H^+"): "R10.2",
    ("aluminium", "Fe^3+"): "R10.51",
    ("aluminium", "Ag^+"): "R10.52",
    ("aluminium", "Pd^2+"): "R7.22",
    ("aluminium", "Pt^4+"): "R7.23",
    ("aluminium", "CuCl2^-"): "R10.50",
    ("aluminium", "Cu^2+"): "R10.3",
    ("aluminium", "H^+"): "R2.13",
}
"""Reactions written out in the facts; the rest are put together from their halves."""


@record
class Eaten:
    """One thing that eats the metal.

    Args:
        species: what eats it, as pots hold it [text]
        equation: id or Equation of it
        extent_mol: how often it runs [mol]
        metal_mol: metal it takes [mol]
        species_mol: how much of the species is used up [mol]
    """

    species: str
    equation: str | Equation
    extent_mol: Number
    metal_mol: Number
    species_mol: Number

    @property
    def word(self) -> str:
        """What it is called at the bench."""
        return WORDS[self.species]

    @property
    def heat_kj(self) -> Number:
        """Heat given out [kJ]; 0 where a formation enthalpy is missing."""
        return (heat_of(self.equation) or 0.0) * self.extent_mol


def equation_of(metal: str, species: str) -> str | Equation:
    """The reaction of a species with a cementing metal: its id where the facts write it out."""
    return KNOWN.get((metal, species)) or reaction_of(GIVES[metal], species)


def eaters(metal: str, there_mol: Mapping[str, Number], wanted: Mapping[str, Number]) -> tuple[Eaten, ...]:
    """What eats the metal, in order, each as far as all it uses is there.

    Args:
        metal: copper, iron or aluminium
        there_mol: what the liquor holds [mol]
        wanted: species to how much of it may be used up [mol]; served in this order
    """
    left = dict(there_mol)
    found: list[Eaten] = []
    for species, most in wanted.items():
        equation = equation_of(metal, species)
        net = net_in_pot(equation)
        extent: Number = most / -net[species]
        for other, count in net.items():
            if count < 0 and other not in (SYMBOL[metal], species, "H2O"):
                extent = np.minimum(extent, left.get(other, 0.0) / -count)
        if high(extent) <= 0:
            continue
        for other, count in net.items():
            left[other] = np.maximum(left.get(other, 0.0) + count * extent, 0.0)
        found.append(Eaten(species, equation, extent, -net[SYMBOL[metal]] * extent, -net[species] * extent))
    return tuple(found)


def noble_and_oxidants(there_mol: Mapping[str, Number]) -> dict[str, Number]:
    """Everything but base copper and acid that eats a cementing metal, first served first [mol]."""
    found = {species: there_mol[species] for species in queue(TAKERS) if high(there_mol.get(species, 0.0)) > 0}
    for ion in ("Ag^+", "Pd^2+", "Pt^4+"):
        if high(there_mol.get(ion, 0.0)) > 0:
            found[ion] = there_mol[ion]
    return found


def let_eat(work: Work, label: str, metal: str, eaten: tuple[Eaten, ...]) -> None:
    """Put in the metal that is eaten, and let it be eaten.

    Args:
        work: the step
        label: the metal in the ledger [text], e.g. "copper bar"
        metal: copper, iron or aluminium
        eaten: as `eaters` finds it
    """
    work.pour(label, {SYMBOL[metal]: sum((one.metal_mol for one in eaten), 0.0)})
    for one in eaten:
        work.react(one.equation, one.extent_mol)


def grams_by(eaten: tuple[Eaten, ...], metal: str, *species: str) -> Number:
    """Metal taken by some of the eaters [g]."""
    taken: Number = sum((one.metal_mol for one in eaten if one.species in species), 0.0)
    return taken * molar_mass(SYMBOL[metal])
