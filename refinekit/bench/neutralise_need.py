"""What takes alkali in a spent liquor, in the order it is taken, and what each becomes."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import field
from functools import cache

import numpy as np

from refinekit.bench.neutralise_heat import net_in_pot
from refinekit.chemistry.equation import Equation
from refinekit.facts.load import fact, table
from refinekit.ranges import Number, high
from refinekit.record import record

Route = tuple[str | Equation, float]
"""A reaction by which a species takes alkali, and the share of the species that goes that way."""
BROUGHT_BY_ALKALI = ("OH^-", "CO3^2-", "H2O")


@record
class Taker:
    """One row of what takes alkali.

    Args:
        species: as pots hold it [text]
        reaction: id of the plain reaction [text]
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
        """Alkali one mole of it takes up by the plain rule [mol]."""
        return alkali_of(self.reaction) / used_by(self.reaction, self.species)


def used_by(equation: str | Equation, species: str) -> float:
    """Moles of a species one run of a reaction uses up."""
    return -net_in_pot(equation)[species]


def alkali_of(equation: str | Equation) -> float:
    """Alkali one run of a reaction uses up, a carbonate counting two [mol]."""
    net = net_in_pot(equation)
    return -net.get("OH^-", 0.0) - 2 * net.get("CO3^2-", 0.0)


@cache
def takers() -> tuple[Taker, ...]:
    """Everything that takes alkali, first served first."""
    rows = table("practice/neutralise")["takes"]
    found = [Taker(row["species"], row["reaction"], row["word"], row["begins"], row["ends"]) for row in rows]
    return tuple(sorted(found, key=lambda row: (row.species != "H^+", row.begins)))


@record
class Fate:
    """What becomes of a liquor on the way to a pH.

    Args:
        routes: species to the ways it goes; a species not named goes whole by its plain reaction
        over_mol_per_l: alkali beyond what is taken up, still dissolved at the end [mol/L]
    """

    routes: Mapping[str, tuple[Route, ...]] = field(default_factory=dict)
    over_mol_per_l: float = 0.0


@record
class Want:
    """One taker of a pot.

    Args:
        taker: its row
        mol: how much of it takes alkali [mol]
        runs: each reaction with how often it runs [mol]
        alkali_mol: alkali it takes [mol]
    """

    taker: Taker
    mol: Number
    runs: tuple[tuple[str | Equation, Number], ...]
    alkali_mol: Number

    @property
    def carbonate_mol(self) -> Number:
        """Carbonate it falls with [mol]."""
        return sum((-net_in_pot(equation).get("CO3^2-", 0.0) * runs for equation, runs in self.runs), 0.0)


def plain_rule(there_mol: Mapping[str, Number], target: float) -> Fate:
    """The plain rule: all acid, every metal by its charge; of ammonium the share that is ammonia at the pH."""
    if high(there_mol.get("NH4^+", 0.0)) <= 0:
        return Fate()
    ammonia = 1 / (1 + 10 ** (fact("practice/neutralise.ammonium_pka").value - target))
    return Fate({"NH4^+": (("R10.48", float(ammonia)),)})


def part_way(there_mol: Mapping[str, Number], ph: float) -> Fate:
    """The plain rule on the way to a pH, each taker as far as it is taken up there at the bench."""
    routes: dict[str, tuple[Route, ...]] = {}
    for row in takers():
        if high(there_mol.get(row.species, 0.0)) > 0:
            share = min(max((ph - row.begins) / (row.ends - row.begins), 0.0), 1.0)
            routes[row.species] = ((row.reaction, share),)
    return Fate(routes)


def wants(there_mol: Mapping[str, Number], fate: Fate) -> tuple[Want, ...]:
    """What takes alkali in a pot, first served first.

    Args:
        there_mol: what is dissolved [mol]
        fate: what falls and how
    """
    found = [_want(row, there_mol, fate) for row in (*takers(), *_further(fate)) if high(there_mol.get(row.species, 0.0)) > 0]
    return tuple(want for want in found if high(want.mol) > 0)


def _further(fate: Fate) -> tuple[Taker, ...]:
    """Species with a way to go that the plain rule leaves alone, such as calcium with carbonate."""
    known = {row.species for row in takers()}
    return tuple(
        Taker(species, str(routes[0][0]), species, fact("practice/neutralise.target").value, 14.0)
        for species, routes in fate.routes.items()
        if species not in known and routes
    )


def _want(row: Taker, there_mol: Mapping[str, Number], fate: Fate) -> Want:
    there: Number = there_mol[row.species]
    if row.species == "Ag^+" and "Ag^+" not in fate.routes:
        there = np.maximum(there - there_mol.get("Cl^-", 0.0), 0.0)
    runs: list[tuple[str | Equation, Number]] = []
    short: Number = 0.0
    gone: Number = 0.0
    for equation, share in fate.routes.get(row.species, ((row.reaction, 1.0),)):
        asked = there * share / used_by(equation, row.species)
        can = asked
        for other, count in net_in_pot(equation).items():
            if count < 0 and other != row.species and other not in BROUGHT_BY_ALKALI:
                can = np.minimum(can, there_mol.get(other, 0.0) / -count)
        runs.append((equation, can))
        short = short + (asked - can) * used_by(equation, row.species)
        gone = gone + asked * used_by(equation, row.species)
    if high(short) > 0:
        # A basic salt without enough of its anion: the rest of the metal goes by its plain reaction.
        runs.append((row.reaction, short / used_by(row.reaction, row.species)))
    alkali: Number = sum((alkali_of(equation) * count for equation, count in runs), 0.0)
    return Want(row, gone, tuple(runs), alkali)


def total(some: tuple[Want, ...]) -> Number:
    """Alkali of all of them [mol]."""
    return sum((want.alkali_mol for want in some), 0.0)


def acid_in(some: tuple[Want, ...]) -> Number:
    """Of that, what free acid takes [mol]."""
    return sum((want.alkali_mol for want in some if want.taker.species == "H^+"), 0.0)


def ph_after(some: tuple[Want, ...], alkali_mol: float, volume_l: float, target: float, case: Callable[[Number], float]) -> float:
    """pH to expect after so much alkali, by where each taker is taken up at the bench [-].

    Args:
        some: what takes alkali
        alkali_mol: alkali gone in [mol]
        volume_l: liquor then [L]
        target: pH it ends at [-]
        case: picks the case of an amount, e.g. `ranges.likely`
    """
    gone, ph = alkali_mol, 0.0
    for want in some:
        need, row = case(want.alkali_mol), want.taker
        if gone >= need:
            gone, ph = gone - need, max(ph, row.ends)
            continue
        if row.species == "H^+":
            strength = (need - gone) / max(volume_l, 1e-9)
            return float(min(max(-np.log10(strength), -0.5), row.ends))
        return float(min(max(ph, row.begins + (row.ends - row.begins) * gone / need), target))
    return target
