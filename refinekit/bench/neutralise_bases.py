"""What neutralises: each reagent's alkali, how it lives in a pot, its heat, and how it is weighed or poured."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from typing import Any

from refinekit.bench.neutralise_heat import heat_of, net_in_pot
from refinekit.bench.pouring import bottle_of, label_of, pour_bottle
from refinekit.bench.work import Work
from refinekit.chemistry.heat import dilution_heat, neutralising_heat
from refinekit.chemistry.heat import formation_enthalpy as formed
from refinekit.chemistry.solution import Solution
from refinekit.chemistry.species import molar_mass
from refinekit.facts.load import fact, table
from refinekit.ranges import Number, Range, likely
from refinekit.record import record

DISSOLVES = {"lime": "R10.29", "magnesium-hydroxide": "R10.30", "soda-ash": "R10.31", "bicarbonate": "R10.32"}
"""Reaction by which a base becomes dissolved alkali, a carbonate with all its carbon dioxide driven off."""
REAGENTS = ("caustic", "caustic-liquor", "potash", "lime", "soda-ash", "bicarbonate", "magnesium-hydroxide")
SLOW = ("lime", "magnesium-hydroxide", "soda-ash", "bicarbonate")


@record
class Base:
    """A reagent in hand.

    Args:
        key: of the reagent facts [text]
        name: what stands on it [text]
        solute: formula [text]
        alkali: acid one mole takes up [mol]
        goodness: share of a solid that is the compound; a point for a liquor [-]
        bottle: the liquor, None for a solid
    """

    key: str
    name: str
    solute: str
    alkali: float
    goodness: Range
    bottle: Solution | None = None

    @property
    def carbonate(self) -> float:
        """Carbon dioxide one mole can give off [mol]."""
        return net_in_pot(DISSOLVES[self.key]).get("CO2", 0.0) if self.key in DISSOLVES else 0.0

    @property
    def unit(self) -> str:
        """What it is measured out in."""
        return "g" if self.bottle is None else "mL"

    def grams(self, alkali_mol: Number) -> Number:
        """Pure base for so much alkali [g]."""
        return alkali_mol / self.alkali * molar_mass(self.solute)

    def measured(self, alkali_mol: Number, goodness: float | None = None) -> Number:
        """What to weigh [g] or pour [mL] for so much alkali; pure where no goodness is given."""
        if self.bottle is not None:
            return 1000 * alkali_mol / self.alkali / self.bottle.mol_per_l
        return self.grams(alkali_mol) / (1.0 if goodness is None else goodness)

    def litres(self, alkali_mol: Number) -> Number:
        """Room it takes in the pot [L]; a solid none."""
        return 0.0 if self.bottle is None else alkali_mol / self.alkali / self.bottle.mol_per_l

    def acid_heat(self) -> float:
        """Heat of a mole of acid it neutralises, its own dissolving apart [kJ/mol]."""
        known = {"lime": "lime", "soda-ash": "soda ash", "bicarbonate": "bicarbonate"}
        if self.key == "magnesium-hydroxide":
            return fact("practice/neutralise.magnesium_hydroxide_heat").value
        return neutralising_heat(known.get(self.key, "caustic")).likely

    def own_heat(self) -> float:
        """Heat of each mole of alkali put in, whatever takes it up: pearls dissolving, strong liquor thinned [kJ/mol]."""
        if self.bottle is not None:
            return likely(dilution_heat("NaOH", self.bottle.mass_fraction))
        if self.key == "caustic":
            return fact("enthalpy.dissolve.pearls").value
        return formed("KOH(s)") - formed("K^+") - formed("OH^-") if self.key == "potash" else 0.0

    def metal_heat(self) -> float:
        """Heat of each mole of alkali that metals take up, beside their falling from dissolved alkali [kJ/mol]."""
        return self.acid_heat() - (heat_of("R10.33") or 0.0) if self.key in SLOW else 0.0

    def into(self, work: Work, alkali_mol: Number) -> None:
        """Put it into the work as dissolved alkali."""
        mol = alkali_mol / self.alkali
        if self.bottle is not None:
            pour_bottle(work, self.name, self.bottle, self.litres(alkali_mol))
        else:
            work.pour(self.name, {self.solute: mol})
        if self.key in DISSOLVES:
            work.react(DISSOLVES[self.key], mol)


@cache
def _row(key: str) -> Mapping[str, Any]:
    return next(row for row in table("reagents")["reagent"] if row["key"] == key)


def base_of(work: Work, key: str, told: Mapping[str, Any], which: str = "") -> Base:
    """A reagent of the shelf as a base.

    Args:
        work: the step, to note what was assumed
        key: one of REAGENTS [text]
        told: may hold `caustic_strength` (a Solution), `alkali_goodness` and `second_goodness`
        which: "second " for the second reagent [text]
    """
    row = _row(key)
    solute = str(row["solute"])
    alkali = {"lime": 2.0, "magnesium-hydroxide": 2.0, "soda-ash": 2.0}.get(key, 1.0)
    if row["form"] == "liquor":
        bottle = bottle_of(work, solute, told.get("caustic_strength"), str(row["name"]))
        return Base(key, str(row["name"]), solute, alkali, Range.point(1.0), bottle)
    good = row["goodness"]
    goodness = Range(good["low"], good["likely"], good["high"])
    own = "second_goodness" if which else "alkali_goodness"
    if own in told:
        goodness = Range.over(told[own])
    else:
        work.assume(f"{which}{row['name']}: {goodness.low:g} to {goodness.high:g} of it is {solute}")
    return Base(key, str(row["name"]), solute, alkali, goodness)


def bottle_words(base: Base) -> str:
    """Strength or goodness of a base, for the pour."""
    if base.bottle is not None:
        return label_of(base.bottle)
    return f"{base.goodness.low:g} good" if base.goodness.low < 1 else ""
