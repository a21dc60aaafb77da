"""The gold liquor of a drop, where it is told by its figures."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from refinekit.bench.pot import Pot, charge_mol
from refinekit.bench.work import Work
from refinekit.chemistry.solution import Solution
from refinekit.chemistry.species import molar_mass
from refinekit.errors import CannotFollow
from refinekit.ranges import Number

DISSOLVED = {
    "gold": ("AuCl4^-", "Au"),
    "iron_iii": ("Fe^3+", "Fe"),
    "copper": ("Cu^2+", "Cu"),
    "lead": ("Pb^2+", "Pb"),
    "palladium": ("PdCl4^2-", "Pd"),
    "platinum": ("PtCl6^2-", "Pt"),
    "silver": ("AgCl2^-", "Ag"),
}
"""What may be told in grams: its species in the liquor, and the metal that is weighed."""
CHLORIDE_OF = {"Fe^3+": 3, "Cu^2+": 2, "Pb^2+": 2}
"""Chloride beside a metal that is there as a bare ion [mol/mol]."""
LEFT = {"peroxide_left_mol": "H2O2", "chlorine_left_mol": "Cl2"}
CONTENTS = {
    **{f"--{word.replace('_', '-')}": f"{word}_g" for word in DISSOLVED},
    "--peroxide-left": "peroxide_left_mol",
    "--chlorine-left": "chlorine_left_mol",
    "--nitric-left": "nitric_left_l",
    "--volume": "volume_l",
    "--free-acid": "free_acid_mol_per_l",
}
"""Figures that tell a liquor that is no pot, by their option."""


def refuse_both(told: Mapping[str, Any]) -> None:
    """Keep a liquor from being told beside the pot that holds it.

    Raises: CannotFollow, figures of a liquor were told where there is a pot
    """
    beside = [option for option, name in CONTENTS.items() if told.get(name) is not None]
    if beside:
        raise CannotFollow(
            f"drop has a pot of gold liquor and was told {', '.join(beside)} beside it",
            cure="leave those out, or ask without the pot",
        )


def liquor_told(work: Work, told: Mapping[str, Any]) -> Pot:
    """A gold liquor from what was told of it; acid and chloride are made up so that it is electrically whole.

    Args:
        work: where what is assumed is noted
        told: see CONTENTS; `nitric` is the strength of the nitric left
    Raises: CannotFollow, no gold was told
    """
    gold_g = told.get("gold_g")
    if gold_g is None:
        raise CannotFollow(
            "drop has nothing to work on", cure='give --gold "2.1 g", or a pot from the step before with --pot FILE'
        )
    ions: dict[str, Number] = {}
    for word, (species, metal) in DISSOLVED.items():
        if told.get(f"{word}_g") is not None:
            ions[species] = told[f"{word}_g"] / molar_mass(metal)
    if told.get("nitric_left_l") is not None:
        ions["NO3^-"] = told["nitric_left_l"] * (told.get("nitric") or Solution.usual("HNO3")).mol_per_l
    ions |= {species: told[name] for name, species in LEFT.items() if told.get(name) is not None}
    volume_l = told.get("volume_l")
    if volume_l is None:
        strength = work.fact("practice/dissolve.dilute_gold").value
        volume_l = gold_g / strength
        work.assume(f"liquor at {strength:g} g/L gold")
    free = work.default(told.get("free_acid_mol_per_l"), "practice/drop.free_acid", "free hydrochloric acid")
    ions["Cl^-"] = free * volume_l + sum((each * ions[metal] for metal, each in CHLORIDE_OF.items() if metal in ions), 0.0)
    ions["H^+"] = -1 * charge_mol(ions.items())
    water = 1000 * volume_l / molar_mass("H2O")
    return Pot("gold liquor", volume_l, {**ions, "H2O": water}, temperature_k=work.place.temperature_k)
