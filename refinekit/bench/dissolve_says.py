"""What is told of nitric on gold: the pours, what may be left of it and its price, the fume, the paper in it."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import numpy as np

from refinekit.bench.dissolve_common import fume_times
from refinekit.bench.pouring import label_of
from refinekit.bench.step import Reagent
from refinekit.bench.work import Work
from refinekit.chemistry.gas import litres
from refinekit.chemistry.redox import electrons_given, electrons_taken, extent, reaction_of
from refinekit.chemistry.solution import Solution
from refinekit.chemistry.species import molar_mass
from refinekit.ranges import Number, Range, high, likely, low, times_bare
from refinekit.record import record

PAPER = "C6H10O5"


@record
class Nitric:
    """Nitric on a set of metals.

    Args:
        bottle: the acid
        electrons_mol: electrons of the metals [mol]
        no_share: share of the nitrogen leaving as nitric oxide [-]
        paper_mol: acid that filter paper eats [mol]
    """

    bottle: Solution
    electrons_mol: Number
    no_share: Number
    paper_mol: Number

    @property
    def least_mol(self) -> Number:
        """Need by the nitric oxide route [mol]."""
        return self.electrons_mol / 3

    @property
    def need_mol(self) -> Number:
        """Need at the share of this run [mol]."""
        return self.electrons_mol / (1 + 2 * self.no_share)

    @property
    def most_mol(self) -> Number:
        """Need by the nitrogen dioxide route [mol]."""
        return self.electrons_mol

    def ml(self, mol: Number) -> Number:
        """Millilitres of the bottle that hold so much acid."""
        return 1000 * mol / self.bottle.mol_per_l


def smb_g(nitric_mol: Number) -> Number:
    """Metabisulfite that leftover nitric eats at the drop, by the nitric oxide route [g]."""
    return electrons_taken("NO3^-") * nitric_mol / electrons_given("S2O5^2-") * molar_mass("Na2S2O5")


def copperas_g(nitric_mol: Number) -> Number:
    """Copperas that leftover nitric eats at the drop, by the nitric oxide route [g]."""
    return electrons_taken("NO3^-") * nitric_mol / electrons_given("Fe^2+") * molar_mass("FeSO4.7H2O")


# ---- what to pour
def say_pours(work: Work, nitric: Nitric, total_l: Number, told: Mapping[str, Any]) -> None:
    """Give the first charge, the steps, the ceiling; or the pour that was told beside them."""
    first_share = work.fact("practice/general.excess.nitric_gold_first").value
    least, most = Range.over(nitric.ml(nitric.least_mol)), Range.over(nitric.ml(nitric.most_mol))
    first_ml, ceiling_ml = first_share * least.low, most.high + high(nitric.ml(nitric.paper_mol))
    step_ml = least.low * work.fact("practice/dissolve.nitric_step").value
    label, name, on = label_of(nitric.bottle), "nitric acid", "low metal, all as NO"
    stop = "stop when no foil is left"
    given = told.get("nitric_added_l") is not None

    def pour(bare: Range, ml: float, sized_on: str, excess: str, when: str, rounding: str, counts: bool) -> None:
        work.reagent(Reagent(name, bare, ml, "mL", sized_on, excess, label, when, "nitric", rounding, counts, to_sign=not given))

    pour(least, first_ml, on, times_bare(first_share), "first charge", "down", counts=False)
    pour(Range.point(0.0), step_ml, stop, "", "then, each time the fume stops", "down", counts=False)
    pour(most, ceiling_ml, "high metal, all as NO2", times_bare(1.0), "at most, in all", "down", counts=not given)
    if given:
        pour(least, 1000 * high(total_l), "as you said", "", "as you said, in all", "nearest", counts=True)
    work.answer("nitric_no_route", least, "mL", sized_on="all nitrogen leaving as NO", because="electrons / 3")
    work.answer("nitric_no2_route", most, "mL", sized_on="all nitrogen leaving as NO2", because="electrons / 1")
    work.answer("nitric_first_charge", first_ml, "mL", sized_on=on, because="what is not added does not have to be killed")
    work.answer("nitric_step", step_ml, "mL", sized_on=on, because=f"a tenth of the least need, {stop}")
    work.answer("nitric_ceiling", ceiling_ml, "mL", sized_on="high metal, all as NO2", because="no route can use more than this")
    work.answer(
        "nitric_total", 1000 * total_l, "mL", because="as you said" if given else "likely pour in all, till no foil is left"
    )
    _pour_workings(work, nitric, first_share, first_ml)


def _pour_workings(work: Work, nitric: Nitric, first_share: float, first_ml: float) -> None:
    electrons = Range.over(1000 * nitric.electrons_mol)
    mol_per_l = likely(nitric.bottle.mol_per_l)
    work.working(
        "nitric, bare",
        "electrons / 3 (all NO) to electrons / 1 (all NO2), over mol/L, as in R3.1 Au + HNO3 + 4 HCl -> HAuCl4 + NO + 2 H2O"
        " and R3.2 Au + 3 HNO3 + 4 HCl -> HAuCl4 + 3 NO2 + 3 H2O",
        f"{electrons.low:.5g} mmol / 3 and {electrons.high:.5g} mmol / 1, over {mol_per_l:.4g} mol/L",
        f"{electrons.low / 3 / mol_per_l:.4g} mL (low metal, NO) to {electrons.high / mol_per_l:.4g} mL (high metal, NO2)",
    )
    work.working(
        "nitric, first charge",
        "first share x low-end NO need",
        f"{first_share:g} x {electrons.low / 3 / mol_per_l:.4g} mL",
        f"{first_ml:.4g} mL",
        "practice/general.excess.nitric_gold_first",
    )


# ---- what is left
def say_left(work: Work, nitric: Nitric, metals_mol: Mapping[str, Number], used_mol: Number, total_l: Number) -> None:
    """Answer what nitric is used and left, and what the leftover costs at the drop or to be killed."""
    left = work.dissolved.get("NO3^-", 0.0)
    electrons = " + ".join(f"{electrons_given(metal):g} {metal}" for metal in metals_mol)
    work.answer("electrons", 1000 * nitric.electrons_mol, "mmol", because=electrons or "no metal")
    work.answer("nitric_used", nitric.ml(used_mol), "mL", because="electrons / (1 + 2 x NO share)")
    work.answer(
        "nitric_left",
        nitric.ml(left),
        "mL",
        sized_on="a range, never a point",
        because="poured less electrons / (1 + 2 x NO share)",
    )
    work.answer("smb_wasted", smb_g(left), "g", sized_on="high", because="metabisulfite the leftover would eat: 0.75 to a nitric")
    work.answer("copperas_wasted", copperas_g(left), "g", sized_on="high", because="or copperas: 3 to a nitric")
    work.answer(
        "sulfamic_to_kill",
        left * molar_mass("H3NSO3"),
        "g",
        sized_on="high",
        because="or sulfamic acid, one to one, to be rid of it before the drop",
    )
    poured, used = 1000 * likely(total_l), likely(nitric.ml(used_mol))
    work.working(
        "nitric, left over",
        "poured - electrons / (1 + 2 x NO share) / (mol/L)",
        f"{poured:.4g} mL - {1000 * likely(nitric.electrons_mol):.5g} mmol / {1 + 2 * likely(nitric.no_share):.4g}"
        f" / {likely(nitric.bottle.mol_per_l):.4g} mol/L = {poured:.4g} - {used:.4g} mL",
        f"{likely(nitric.ml(left)):.3g} mL (likely)",
    )
    _routes(work, nitric, likely(total_l))
    work.say("left over", "nitric left is the largest unknown in the shop: take the range to denox, never one figure")


def _routes(work: Work, nitric: Nitric, total_l: float) -> None:
    """What is left of the likely pour on the likely metal, by how the nitrogen leaves."""
    hot, cold = (work.fact(f"practice/general.no_share.gold_{heat}").range for heat in ("hot", "cold"))
    told = Range.over(nitric.no_share)
    ways = [
        ("all as NO", 1.0),
        ("this run, most NO", told.high),
        ("this run, likely", told.likely),
        ("this run, least NO", told.low),
        (f"hot, by drops, covered ({hot.likely:g} NO)", hot.likely),
        (f"cold, all at once, open ({cold.likely:g} NO)", cold.likely),
        ("all as NO2", 0.0),
    ]
    rows: list[tuple[str | float | Range, ...]] = []
    for words, no_share in ways:
        need = likely(nitric.electrons_mol) / (1 + 2 * no_share) + likely(nitric.paper_mol)
        left = max(total_l * likely(nitric.bottle.mol_per_l) - need, 0.0)
        ml = likely(nitric.ml(1.0))
        rows.append((words, no_share, need * ml, left * ml, float(smb_g(left)), left * molar_mass("H3NSO3")))
    columns = ("nitrogen leaves", "NO share", "need mL", "left mL", "SMB it eats g", "sulfamic g")
    work.table(f"Nitric left of {1000 * total_l:.3g} mL, likely metal", columns, rows)


def say_habit(work: Work, nitric: Nitric, gold_g: Number, total_l: Number) -> None:
    """Hold the old habit, and the pour that was told, against the need."""
    if high(gold_g) <= 0:
        return
    habit = work.fact("practice/dissolve.nitric_habit").value
    surplus = habit * likely(gold_g) - likely(nitric.ml(nitric.need_mol))
    if surplus > 0:
        because = f"the habit of {habit:g} mL to a gram of gold leaves this to be killed"
        work.answer("habit_would_leave", surplus, "mL", because=because)
    most = work.fact("practice/dissolve.nitric_most").value
    equivalent_g = nitric.electrons_mol / electrons_given("Au") * molar_mass("Au")
    if likely(1000 * total_l) > most * likely(equivalent_g) + likely(nitric.ml(nitric.paper_mol)):
        work.notice(
            "warn",
            "nitric-left",
            f"{1000 * likely(total_l):.3g} mL of nitric is over {most:g} mL to a gram of gold (or its equal): no route uses it",
            "start with the first charge and add only while foil is left",
            "practice",
        )


# ---- fume and paper
def say_gases(work: Work, nitric: Nitric, told: Mapping[str, Any]) -> None:
    """Nitric oxide and dioxide, from this pour's mix to the end where all leaves as the worse one."""
    minutes, tenths = fume_times(work, told)
    most = {"NO": nitric.least_mol, "NO2": nitric.most_mol + nitric.paper_mol}
    for gas, mol in most.items():
        made = work.gases_mol.get(gas, 0.0)
        span = Range(low(np.minimum(made, mol)), likely(made), max(high(made), high(mol)))
        on = f"high metal, all as {gas}" + (": for lungs" if gas == "NO2" else "")
        work.gas(gas, span, minutes=minutes, t90_min=tenths, sized_on=on)
        name = {"NO": "nitric_oxide", "NO2": "nitrogen_dioxide"}[gas]
        made_l, most_l = (litres(amount, work.place.temperature_k, work.place.pressure_pa) for amount in (made, mol))
        work.answer(name, made_l, "L", because="at the NO share of this run")
        work.answer(f"{name}_at_most", most_l, "L", sized_on="high", because=f"all nitrogen leaving as {gas}")
    work.minutes = Range.point(minutes)
    work.say("watch for", "brown fume: hood or open air, a second person; lungs can fill 3 to 30 h later")


def paper_wants(work: Work, told: Mapping[str, Any]) -> Number:
    """Nitric the filter papers eat [mol]; marks the pot."""
    papers = told.get("paper")
    if papers is None or high(papers) <= 0:
        return 0.0
    eaten = work.fact("practice/dissolve.paper_nitric")
    span = Range(eaten.range.low * low(papers), eaten.value * likely(papers), eaten.range.high * high(papers))
    work.answer("paper_eats", span, "mL", sized_on="strong nitric", because="paper pulp in hot acid, 1 to 2 mL each")
    work.mark("organics")
    work.say("watch for", "filter paper in hot acid eats nitric and fumes brown: lift it out first if you can")
    amount: Number = papers * eaten.value / 1000 * Solution.usual("HNO3").mol_per_l
    return amount


def eat_paper(work: Work, paper_mol: Number) -> None:
    """Let paper take its nitric, as far as there is any: the pulp burnt goes in as cellulose, the nitrogen leaves brown."""
    if high(paper_mol) <= 0:
        return
    eaten = np.minimum(paper_mol, np.minimum(work.dissolved.get("NO3^-", 0.0), work.dissolved.get("H^+", 0.0)))
    work.pour("paper pulp burnt by the nitric", {PAPER: eaten / electrons_given(PAPER)})
    # by nitric oxide first, which takes two more nitric on its way out: one electron to a nitric in all
    work.react(reaction_of(PAPER, "NO3^-"), extent(PAPER, "NO3^-", eaten))
    work.react("R2.41", eaten / 3)
