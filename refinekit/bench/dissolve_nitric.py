"""Gold by hydrochloric acid and the least nitric: first charge, steps, ceiling, and what may be left over."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import numpy as np

from refinekit.bench.chloride_silver import say_silver, settle_silver
from refinekit.bench.dissolve_common import (
    electrons_of,
    fume_times,
    metals_of,
    pour_hydrochloric,
    say_liquid,
    take_up,
)
from refinekit.bench.pouring import bottle_of, label_of, pour_bottle
from refinekit.bench.step import Reagent, Step
from refinekit.bench.work import Work
from refinekit.chemistry.redox import electrons_given, electrons_taken
from refinekit.chemistry.solution import Solution
from refinekit.chemistry.species import molar_mass
from refinekit.ranges import Number, Range, high, likely, low

NO_TO_NO2 = "R2.41"


def nitric_for(electrons_mol: Number, no_share: Number) -> Number:
    """Nitric acid that takes up so many electrons in chloride liquor.

    Args:
        electrons_mol: electrons of the metals [mol]
        no_share: share of the nitrogen leaving as nitric oxide, the rest as nitrogen dioxide [-]; 0 to 1
    Returns: acid [mol]
    Source: 3 electrons to a nitric oxide, 1 to a nitrogen dioxide

    >>> nitric_for(3.0, 1.0), nitric_for(3.0, 0.0)
    (1.0, 3.0)
    """
    return electrons_mol / (1 + 2 * no_share)


def dissolve_nitric(work: Work, told: Mapping[str, Any]) -> None:
    """Dissolve the metals in the pot with hydrochloric and the least nitric.

    Args:
        work: the step, metals in it
        told: figures of the room
    Source: R3.1 to R3.20 and their halves; first charge and ceiling by common practice
    """
    metals = metals_of(work)
    acid = bottle_of(work, "HNO3", told.get("nitric"), "nitric acid")
    share = work.default(told.get("no_share"), "practice/general.no_share.gold_hot", "share of nitrogen leaving as nitric oxide")
    electrons = electrons_of(metals)
    no_l, no2_l = nitric_for(electrons, 1.0) / acid.mol_per_l, nitric_for(electrons, 0.0) / acid.mol_per_l
    pour_hydrochloric(work, metals, told)
    paper_l = _paper(work, told)
    need_l = nitric_for(electrons, share) / acid.mol_per_l
    total_l = _total(work, told, no_l, need_l)
    _say_pours(work, acid, no_l, no2_l, total_l, told)
    done = np.minimum(np.divide(total_l, need_l), 1.0)
    pour_bottle(work, "nitric acid", acid, total_l)
    used_mol = nitric_for(electrons * done, share)
    take_up(work, "NO3^-", metals, done)
    # a part of the nitric oxide meets more nitric on its way out and leaves as nitrogen dioxide
    work.react(NO_TO_NO2, (1 - share) * used_mol / 3)
    _eat_paper(work, acid, paper_l)
    settle_silver(work)
    _say_left(work, acid, metals, electrons, total_l, share)
    _say_gases(work, electrons, told)
    say_silver(work)
    say_liquid(work, told)
    work.say("how", "hot, not boiling; nitric by drops, the next only when the fume has stopped")
    work.say("done when", "no foil is left and no fume comes; stop there, whatever nitric is still in the dropper")


def _total(work: Work, told: Mapping[str, Any], no_l: Number, need_l: Number) -> Number:
    """Nitric poured in all [L]: as told, or the ratio to the least need but never less than takes the metal up."""
    given = told.get("nitric_added_l")
    if given is not None:
        total: Number = given
        return total
    ratio = work.default(told.get("nitric_ratio"), "practice/dissolve.nitric_ratio", "nitric in all, times the nitric oxide need")
    poured: Number = np.maximum(ratio * no_l, need_l)
    return poured


def _paper(work: Work, told: Mapping[str, Any]) -> Number:
    """Nitric the filter papers eat [L]."""
    papers = told.get("paper") or 0.0
    if high(np.asarray(papers)) <= 0:
        return 0.0
    eaten = work.fact("practice/dissolve.paper_nitric")
    work.answer(
        "paper_eats", eaten.range * high(np.asarray(papers)), "mL", sized_on="strong nitric", because="paper pulp in hot acid"
    )
    work.mark("organics")
    return papers * eaten.value / 1000


def _eat_paper(work: Work, acid: Solution, paper_l: Number) -> None:
    """Let paper take its nitric where there is any left: cellulose is not in the pot, so it is told of and not reacted."""
    if high(np.asarray(paper_l)) > 0:
        work.say("watch for", "filter paper in hot acid eats nitric and fumes brown: lift it out first if you can")


def _say_pours(work: Work, acid: Solution, no_l: Number, no2_l: Number, total_l: Number, told: Mapping[str, Any]) -> None:
    first_share = work.fact("practice/general.excess.nitric_gold_first").value
    first_l = first_share * low(no_l)
    ceiling_l = high(no2_l)
    step_l = first_l * work.fact("practice/dissolve.nitric_step").value
    label = label_of(acid)
    bare_no, bare_no2 = Range.over(1000 * no_l), Range.over(1000 * no2_l)
    name = "nitric acid"
    on = "low metal, all as NO"
    work.reagent(
        Reagent(
            name, bare_no, 1000 * first_l, "mL", on, f"x {first_share:g}", label, "first charge", "nitric", "down", counts=False
        )
    )
    stop = "stop when no foil is left"
    work.reagent(
        Reagent(
            name,
            Range.point(0.0),
            1000 * step_l,
            "mL",
            stop,
            "",
            label,
            "then, each time the fume stops",
            "nitric",
            "down",
            counts=False,
        )
    )
    work.reagent(
        Reagent(name, bare_no2, 1000 * ceiling_l, "mL", "high metal, all as NO2", "x 1", label, "at most, in all", "nitric", "up")
    )
    work.answer("nitric_no_route", bare_no, "mL", sized_on="all nitrogen leaving as NO", because="electrons / 3")
    work.answer("nitric_no2_route", bare_no2, "mL", sized_on="all nitrogen leaving as NO2", because="electrons / 1")
    work.answer("nitric_first_charge", 1000 * first_l, "mL", sized_on=on, because="what is not added does not have to be killed")
    work.answer(
        "nitric_ceiling", 1000 * ceiling_l, "mL", sized_on="high metal, all as NO2", because="more than this no route can use"
    )
    work.answer("nitric_total", 1000 * total_l, "mL", because="poured in all")
    work.working(
        "nitric, bare",
        "electrons / 3 (all NO) to electrons / 1 (all NO2), over mol/L",
        f"{1000 * low(no_l) * low(acid.mol_per_l) * 3:.4g} to {1000 * high(no_l) * high(acid.mol_per_l) * 3:.4g} mmol electrons,"
        f" {likely(acid.mol_per_l):.4g} mol/L",
        f"{bare_no.low:.3g} mL (low metal, NO) to {bare_no2.high:.3g} mL (high metal, NO2)",
    )
    work.working(
        "nitric, first charge",
        "first share x low-end NO need",
        f"{first_share:g} x {bare_no.low:.4g} mL",
        f"{1000 * first_l:.4g} mL",
        "practice/general.excess.nitric_gold_first",
    )


def _say_left(
    work: Work, acid: Solution, metals: Mapping[str, Number], electrons: Number, total_l: Number, share: Number
) -> None:
    left_mol = work.dissolved.get("NO3^-", 0.0)
    left_ml = 1000 * left_mol / acid.mol_per_l
    work.answer("electrons", 1000 * electrons, "mmol", because=" + ".join(f"{electrons_given(m):g} {m}" for m in metals))
    work.answer(
        "nitric_left", left_ml, "mL", sized_on="a range, never a point", because="poured less electrons / (1 + 2 x NO share)"
    )
    smb_g = left_mol * electrons_taken("NO3^-") / 2 / 2 * molar_mass("Na2S2O5")
    work.answer("smb_wasted", smb_g, "g", because="metabisulfite the leftover nitric would eat at the drop")
    work.answer(
        "sulfamic_to_kill",
        left_mol * molar_mass("H3NSO3"),
        "g",
        because="sulfamic acid, one to one, the other way to be rid of it",
    )
    work.say("left over", "read by denox: nitric left is the largest unknown in the shop")
    gold_g = metals.get("Au", 0.0) * molar_mass("Au")
    if high(gold_g) > 0:
        habit = work.fact("practice/dissolve.nitric_habit").value
        surplus = habit * likely(gold_g) - 1000 * likely(nitric_for(electrons, share) / acid.mol_per_l)
        if surplus > 0:
            work.answer(
                "habit_would_leave",
                surplus,
                "mL",
                sized_on="likely",
                because=f"the habit of {habit:g} mL to a gram of gold leaves this",
            )
        most = work.fact("practice/dissolve.nitric_most").value
        equivalent_g = electrons / electrons_given("Au") * molar_mass("Au")
        if likely(1000 * total_l / equivalent_g) > most:
            work.notice(
                "warn",
                "nitric-left",
                f"{1000 * likely(total_l):.3g} mL of nitric is over {most:g} mL to a gram of gold (or its equal): no route uses it",
                "start with the first charge and add only while foil is left",
                "practice",
            )


def _say_gases(work: Work, electrons: Number, told: Mapping[str, Any]) -> None:
    """Nitric oxide and dioxide, from this pour's mix to the end where all leaves as the worse one."""
    minutes, tenths = fume_times(work, told)
    no_made, no2_made = Range.over(work.gases_mol.get("NO", 0.0)), Range.over(work.gases_mol.get("NO2", 0.0))
    no_most, no2_most = high(electrons) / 3, high(electrons)
    work.gas(
        "NO",
        Range(min(no_made.low, no_most), no_made.likely, max(no_most, no_made.high)),
        minutes=minutes,
        t90_min=tenths,
        sized_on="high metal, all as NO",
    )
    work.gas(
        "NO2",
        Range(no2_made.low, no2_made.likely, max(no2_most, no2_made.high)),
        minutes=minutes,
        t90_min=tenths,
        sized_on="high metal, all as NO2: for lungs",
    )
    work.minutes = Range.point(minutes)


def nitric_reach(work: Work, told: Mapping[str, Any]) -> Step:
    """What so much nitric can dissolve, by either route.

    Args:
        work: an empty step
        told: `nitric_added_l`, may hold `nitric`
    """
    acid = bottle_of(work, "HNO3", told.get("nitric"), "nitric acid")
    mol = told["nitric_added_l"] * acid.mol_per_l
    gold_g = mol * molar_mass("Au")
    work.answer("gold_if_no", gold_g, "g", sized_on="all nitrogen leaving as NO", because="one gold to a nitric")
    work.answer("gold_if_no2", gold_g / 3, "g", sized_on="all nitrogen leaving as NO2", because="one gold to three nitric")
    work.working(
        "what it can dissolve",
        "mL x mol/L x 196.97 g/mol",
        f"{1000 * high(told['nitric_added_l']):.4g} mL",
        f"{high(gold_g):.4g} g at most",
    )
    return work.done(None, title=f"what {1000 * high(told['nitric_added_l']):.3g} mL of nitric can dissolve")
