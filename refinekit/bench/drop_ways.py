"""The reductants of a drop, as data, and how each ends."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from typing import Any

import numpy as np

from refinekit.bench.foam import burst_l_per_min, foam_by_portions
from refinekit.bench.hydrogen import say_rate
from refinekit.bench.vessel import Vessel
from refinekit.bench.work import Work
from refinekit.chemistry.equation import Equation
from refinekit.chemistry.gas import litres
from refinekit.chemistry.redox import electrons_given, electrons_taken
from refinekit.chemistry.species import molar_mass
from refinekit.errors import UnknownName
from refinekit.facts.load import table
from refinekit.nearest import did_you_mean
from refinekit.ranges import Number, Range, high
from refinekit.record import record

KEYS = (
    "smb",
    "bisulfite",
    "sulfite",
    "sulfur-dioxide",
    "copperas",
    "oxalic",
    "ascorbic",
    "hydrazine-sulfate",
    "formic",
    "zinc",
    "copper",
    "iron",
    "aluminium",
)
"""Reductants by their key on the shelf: the rows of facts/practice/drop.toml, in their order."""
TO_SO2 = {
    "S2O5^2-": ("S2O5^2- + 2 H^+ -> 2 SO2 + H2O", 2.0),
    "HSO3^-": ("HSO3^- + H^+ -> SO2 + H2O", 1.0),
    "SO3^2-": ("SO3^2- + 2 H^+ -> SO2 + H2O", 2.0),
}
"""Leftover sulfite of each kind to sulfur dioxide: equation, acid per mole."""
COPPER_OXALATE = "R5.21"
LEAD_OXALATE = "Pb^2+ + C2H2O4 -> PbC2O4 + 2 H^+"


@record
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
    def excess_fact(self) -> str:
        """Id of how many times the bare need of the gold is taken."""
        return f"practice/drop.way.{self.key}.excess"

    @property
    def wants_ph(self) -> bool:
        """Whether the liquor's acid must be taken down first."""
        return self.key in ("oxalic", "formic")

    @property
    def froths(self) -> bool:
        """Whether its gas lifts the liquor, so that the vessel wants the more room."""
        return self.gas not in ("", "SO2")

    def grams(self, electrons_mol: Number) -> Number:
        """Reagent, pure, that gives so many electrons [g]."""
        return electrons_mol / self.electrons_per_mol * molar_mass(self.solute)

    def finish(self, work: Work, poured_mol: Number, left_mol: Number) -> None:
        """What becomes of the reagent that was not used, and the gas.

        Args:
            work: the step, the queue served
            poured_mol: electrons the reagent brought [mol]
            left_mol: electrons of it nobody took [mol]
        """
        ends = {"SO2": _sulfur_dioxide, "CO2": _carbon_dioxide, "N2": _nitrogen, "H2": _hydrogen}
        ends.get(self.gas, _nothing)(work, self, poured_mol, left_mol)


@cache
def ways() -> Mapping[str, Way]:
    """Reductants by their key on the shelf. Source: facts/practice/drop.toml, facts/reagents.toml."""
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
            row["gas"],
        )
    return found


def way_of(key: str) -> Way:
    """A reductant. Raises: UnknownName."""
    if key not in ways():
        raise UnknownName(f"{key[:40]!r} is no reductant for gold", cure=did_you_mean(key, KEYS))
    return ways()[key]


# ---- how each ends
def _sulfur_dioxide(work: Work, way: Way, poured_mol: Number, left_mol: Number) -> None:
    spare = work.dissolved.get(way.gives, 0.0)
    if way.gives in TO_SO2:
        text, acid = TO_SO2[way.gives]
        work.react(Equation.parse(text), np.minimum(spare, work.dissolved.get("H^+", 0.0) / acid))
    made, unused = poured_mol / 2, left_mol / 2
    work.escape("SO2", work.dissolved.get("SO2", 0.0))
    work.answer("so2_made", 1000 * made, "mmol", because="two to a metabisulfite, one to a bisulfite or sulfite")
    work.answer("so2_unused", 1000 * unused, "mmol", sized_on="all of it leaves", because="sulfur dioxide made less used")
    work.answer(
        "so2_unused_gas",
        1000 * _litres(work, unused),
        "mL",
        sized_on="all of it leaves",
        because="upper limit of what can leave; water holds some, air sweeps it out",
    )
    work.answer(
        "so2_if_dry",
        _litres(work, made),
        "L",
        sized_on="all of it bursts out",
        because="if it goes dry on hot acid: gone before it drops gold",
    )
    work.gas("SO2", Range.over(unused), sized_on="all that is not used leaves")
    work.working(
        "sulfur dioxide that can leave",
        "made less used",
        f"{1000 * high(made):.4g} mmol made, {1000 * high(made - unused):.4g} mmol used, at the high ends",
        f"{1000 * high(unused):.4g} mmol at most",
    )
    work.say("how", "cold, dissolved in water, in quarters, under the hood; never dry on hot acid: it bursts out as gas")


def _carbon_dioxide(work: Work, way: Way, poured_mol: Number, left_mol: Number) -> None:
    if way.key == "oxalic":
        _oxalates(work, way)
    gas = work.gases_mol.get("CO2", 0.0)
    work.gas("CO2", Range.over(gas), sized_on="all the gold, and what else eats it")
    each = "three to a gold" if way.key == "oxalic" else "one and a half to a gold; a little of it may come as carbon monoxide"
    work.answer("co2", _litres(work, gas), "L", sized_on="high gold for the vessel", because=each)
    warmth = "70 degC to the boil" if way.key == "oxalic" else "hot"
    work.say("how", f"{warmth}, a little at a time, the next when the froth has fallen")


def _oxalates(work: Work, way: Way) -> None:
    """Copper and lead that fall as oxalate with the gold."""
    copper = np.minimum(work.dissolved.get("Cu^2+", 0.0), work.dissolved.get("C2H2O4", 0.0))
    if high(copper) > 0:
        work.react(COPPER_OXALATE, copper)
        because = "one oxalate to a copper: it falls with the gold"
        work.answer("copper_oxalate", copper * molar_mass("CuC2O4"), "g", because=because)
        work.answer("oxalic_for_copper", copper * molar_mass(way.solute), "g", because="one to a copper")
    lead = np.minimum(work.dissolved.get("Pb^2+", 0.0), work.dissolved.get("C2H2O4", 0.0))
    if high(lead) > 0:
        work.react(Equation.parse(LEAD_OXALATE), lead)
        because = "one oxalate to a lead: it falls with the gold"
        work.answer("lead_oxalate", lead * molar_mass("PbC2O4"), "g", because=because)


def _nitrogen(work: Work, way: Way, poured_mol: Number, left_mol: Number) -> None:
    gas = work.gases_mol.get("N2", 0.0)
    work.gas("N2", Range.over(gas), sized_on="all the gold, and what else eats it")
    work.answer("n2", _litres(work, gas), "L", because="three to four gold")
    work.say("watch for", "poison, and a cause of cancer; with nitrite or nitric it makes azide: use metabisulfite instead")


def _hydrogen(work: Work, way: Way, poured_mol: Number, left_mol: Number) -> None:
    _metal_left(work, way, left_mol)
    most = np.minimum(work.dissolved.get("H^+", 0.0), left_mol) / 2
    why = "the metal not used, or the acid there is, whichever is less"
    work.gas("H2", Range(0.0, 0.0, high(most)), sized_on="all the metal left over goes to acid")
    say_rate(work, Range(0.0, 0.0, high(most)), work.volume_l, foams=False)
    work.answer("hydrogen", Range(0.0, 0.0, high(_litres(work, most))), "L", sized_on="most it can be", because=why)
    work.say("watch for", "hydrogen while metal and acid meet: outdoors or hood, no flame, no lid")


def _nothing(work: Work, way: Way, poured_mol: Number, left_mol: Number) -> None:
    """What is not used stays: salts in the liquor, metal on the gold."""
    if way.form == "metal":
        _metal_left(work, way, left_mol)
    if way.key == "copperas":
        work.say("how", "dissolved in water with a little hydrochloric, filtered, cold; slow: an hour and more")
        work.say("watch for", "brown crystals are part spent; iron stays in the liquor and wants more rinses")


def _metal_left(work: Work, way: Way, left_mol: Number) -> None:
    grams = way.grams(left_mol)
    why = "lies with the gold, or eats acid to hydrogen: acid takes all of it, so leave some acid"
    if way.key == "copper":
        why = "lies with the gold: lift it out, or use a bar"
    work.answer("metal_left", Range(0.0, float(Range.over(grams).likely), high(grams)), "g", sized_on="bare need", because=why)
    work.say("next", "boil the powder in hydrochloric till nothing fizzes, so that no base metal stays on the gold")
    work.say("how", "a bar or coarse pieces, not dust; it takes every noble metal: recovery, not refining")


def foams(work: Work, way: Way, vessel: Vessel, weighed_g: Number) -> None:
    """Foam of the drop: what its reagent gives by portions, and hydrogen of metal in acid beside it.

    Args:
        work: the step, its gases given
        way: what drops the gold
        vessel: what it stands in
        weighed_g: reagent in all [g]
    Source: facts/practice/foam.toml
    """
    hydrogen = sum(gas.litres.high for gas in work.gases if gas.formula == "H2")
    others = sum(gas.litres.high for gas in work.gases if gas.formula != "H2")
    beside = burst_l_per_min(hydrogen, "practice/heat.t90.metal_in_acid") if hydrogen else 0.0
    foam_by_portions(work, others, "oxalic" if way.froths else "reductant", vessel, weighed_g, beside_l_per_min=beside)


def _litres(work: Work, mol: Number) -> Number:
    return litres(mol, work.place.temperature_k, work.place.pressure_pa)
