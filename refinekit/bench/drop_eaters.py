"""Who eats the reductant: what stands in the liquor, in the order it is served."""

from __future__ import annotations

from collections.abc import Mapping

from refinekit.bench.drop_ways import Way
from refinekit.bench.pot import free_acid_mol
from refinekit.bench.work import Work
from refinekit.chemistry.redox import electrons_taken, order
from refinekit.chemistry.species import molar_mass
from refinekit.ranges import Number, Range, high
from refinekit.record import record

SLOW = {"NO3^-": "fast when hot or brown, else slow", "PtCl6^2-": "slowly", "PdCl4^2-": "slowly"}
"""What to know of a taker's haste."""
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


@record
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
    def nitric_mol(self) -> Number:
        """Electrons the nitric takes, where it is awake [mol]."""
        return self.wants_mol.get("NO3^-", 0.0)

    @property
    def before_mol(self) -> Number:
        """Electrons' worth of reagent that goes elsewhere by the time the gold is down [mol]: to oxidants, to iron(III), for a
        metal to the other noble metals, and what falls as a salt."""
        return sum((mol for one, mol in self.wants_mol.items() if one != "AuCl4^-"), self.partner_mol)

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
        return electrons_taken(taker) * (free_acid_mol(work.dissolved) if taker == "H^+" else mol)

    wants = {taker: there(taker) for taker in way.eats if taker == "AuCl4^-" or high(there(taker)) > 0}
    over = {taker: there(taker) for taker in way.if_overdone if high(there(taker)) > 0}
    partner: Number = 0.0
    if way.key == "oxalic":
        fall = work.dissolved.get("Cu^2+", 0.0) + work.dissolved.get("Pb^2+", 0.0)
        partner = way.electrons_per_mol * fall
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
        remarks = [SLOW.get(taker, ""), "only if overdone" if taker in eaters.over_mol else ""]
        remark = ", ".join(filter(None, remarks))
        label = f"{WORDS[taker]} ({remark})" if remark else WORDS[taker]
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
                f"so2_{key}",
                500 * electrons,
                "mmol",
                because=f"as sulfur dioxide, half the electrons: {electrons_taken(taker):g} each",
            )
    if high(eaters.partner_mol) > 0:
        rows.append(
            (
                "copper and lead, as oxalate",
                "-",
                Range.over(500 * eaters.partner_mol),
                "-",
                Range.over(way.grams(eaters.partner_mol)),
                "-",
            )
        )
    work.table("Who eats it, in order", ("eats", "g", "mmol", "SO2 mmol", f"{way.name} g", "copperas g"), rows)
