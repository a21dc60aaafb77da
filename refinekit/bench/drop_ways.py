"""The reductants of a drop, as data, and how each ends."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np

from refinekit.bench.work import Work
from refinekit.chemistry.equation import Equation
from refinekit.chemistry.gas import litres
from refinekit.chemistry.redox import electrons_given, electrons_taken
from refinekit.chemistry.species import molar_mass
from refinekit.errors import UnknownName
from refinekit.facts.load import table
from refinekit.ranges import Number, Range, high

TO_SO2 = {
    "S2O5^2-": ("S2O5^2- + 2 H^+ -> 2 SO2 + H2O", 2.0),
    "HSO3^-": ("HSO3^- + H^+ -> SO2 + H2O", 1.0),
    "SO3^2-": ("SO3^2- + 2 H^+ -> SO2 + H2O", 2.0),
}
"""Leftover sulfite of each kind to sulfur dioxide: equation, acid per mole."""
COPPER_OXALATE = "R5.21"


@dataclass(frozen=True, slots=True)
class Way:
    """A reductant.

    Args:
        key: of the shelf [text]
        name: on the bottle [text]
        solute: formula weighed [text]
        form: solid, liquor, gas or metal [text]
        has_goodness: whether the shelf gives it a goodness
        gives: what gives the electrons in the pot [text]
        eats: takers it serves on the way to a finished drop
        if_overdone: takers it serves past that
        excess: times the bare need, on the gold [-]
        gas: what comes off, "" for none [text]
    """

    key: str
    name: str
    solute: str
    form: str
    has_goodness: bool
    gives: str
    eats: tuple[str, ...]
    if_overdone: tuple[str, ...]
    excess: float
    gas: str

    @property
    def electrons_per_mol(self) -> float:
        """Electrons a mole of the reagent gives [mol/mol]."""
        return electrons_given(self.gives)

    @property
    def reagent_per_gold(self) -> float:
        """Reagent to a gold, bare [mol/mol]."""
        return electrons_taken("AuCl4^-") / self.electrons_per_mol

    @property
    def wants_ph(self) -> bool:
        """Whether the liquor's acid must be taken down first."""
        return self.key in ("oxalic", "formic")

    def grams(self, electrons_mol: Number) -> Number:
        """Reagent, pure, that gives so many electrons [g]."""
        return electrons_mol / self.electrons_per_mol * molar_mass(self.solute)

    def finish(self, work: Work, electrons_left_mol: Number, weighed_g: Number) -> None:
        """What becomes of the reagent that was not used, and the gas."""
        {"SO2": _sulfur_dioxide, "CO2": _carbon_dioxide, "N2": _nitrogen, "H2": _hydrogen}.get(self.gas, _nothing)(
            work, self, electrons_left_mol
        )


def _ways() -> dict[str, Way]:
    shelf: Mapping[str, Mapping[str, Any]] = {row["key"]: row for row in table("reagents")["reagent"]}
    found = {}
    for row in table("practice/drop")["way"]:
        bottle = shelf[row["key"]]
        found[row["key"]] = Way(
            row["key"],
            bottle["name"],
            bottle["solute"],
            bottle["form"],
            "goodness" in bottle,
            row["gives"],
            tuple(row["eats"]),
            tuple(row["if_overdone"]),
            row["excess"]["value"],
            row["gas"],
        )
    return found


WAYS = _ways()
"""Reductants by their key on the shelf."""


def way_of(key: str) -> Way:
    """A reductant. Raises: UnknownName."""
    if key not in WAYS:
        raise UnknownName(f"{key[:40]!r} is no reductant for gold", cure=f"one of: {', '.join(WAYS)}")
    return WAYS[key]


def _sulfur_dioxide(work: Work, way: Way, left_mol: Number) -> None:
    spare = work.dissolved.get(way.gives, 0.0)
    if way.gives in TO_SO2:
        text, acid = TO_SO2[way.gives]
        work.react(Equation.parse(text), np.minimum(spare, work.dissolved.get("H^+", 0.0) / acid))
    unused = left_mol / 2
    dissolved = work.dissolved.get("SO2", 0.0)
    work.escape("SO2", dissolved)
    work.answer("so2_unused", 1000 * unused, "mmol", sized_on="all of it leaves", because="sulfur dioxide made less used")
    work.answer(
        "so2_unused_gas",
        1000 * litres(unused, work.place.temperature_k, work.place.pressure_pa),
        "mL",
        because="upper limit of what can leave",
    )
    work.answer("so2_made", 1000 * (unused + _used(work)), "mmol", because="two to a metabisulfite")
    work.gas("SO2", Range.over(unused), sized_on="all that is not used leaves")
    work.say("how", "cold, dissolved, in quarters, under the hood; never dry on hot acid")


def _used(work: Work) -> Number:
    """Sulfate that sulfur dioxide became: what the eaters took [mol]."""
    return work.dissolved.get("SO4^2-", 0.0) - sum((pot.mol("SO4^2-") for pot in work.before), 0.0)


def _carbon_dioxide(work: Work, way: Way, left_mol: Number) -> None:
    if way.key == "oxalic":
        copper = np.minimum(work.dissolved.get("Cu^2+", 0.0), work.dissolved.get("C2H2O4", 0.0))
        if high(np.asarray(copper)) > 0:
            work.answer(
                "copper_oxalate", copper * molar_mass("CuC2O4"), "g", because="one oxalate to a copper: it falls with the gold"
            )
            work.answer("oxalic_for_copper", copper * molar_mass(way.solute), "g", because="one to a copper")
            work.react(COPPER_OXALATE, copper)
    gas = work.gases_mol.get("CO2", 0.0)
    work.gas("CO2", Range.over(gas), sized_on="all the gold")
    work.answer(
        "co2",
        litres(gas, work.place.temperature_k, work.place.pressure_pa),
        "L",
        because="three to a gold from oxalic, one and a half from formic",
    )
    work.say("how", "70 degC to the boil, a little at a time: it froths")


def _nitrogen(work: Work, way: Way, left_mol: Number) -> None:
    gas = work.gases_mol.get("N2", 0.0)
    work.gas("N2", Range.over(gas), sized_on="all the gold")
    work.answer("n2", litres(gas, work.place.temperature_k, work.place.pressure_pa), "L", because="three to four gold")


def _hydrogen(work: Work, way: Way, left_mol: Number) -> None:
    acid = np.maximum(work.dissolved.get("H^+", 0.0), 0.0)
    most = np.minimum(acid, left_mol) / 2
    work.gas("H2", Range(0.0, 0.0, high(most)), sized_on="all the metal left over goes to acid")
    work.answer(
        "hydrogen",
        Range(0.0, 0.0, high(litres(most, work.place.temperature_k, work.place.pressure_pa))),
        "L",
        sized_on="most it can be",
        because="the metal not used, or the acid there is, whichever is less",
    )


def _nothing(work: Work, way: Way, left_mol: Number) -> None:
    """What is not used stays in the liquor."""
