"""Gold by hydrochloric acid and the least nitric: first charge, steps, ceiling, and what may be left over."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import numpy as np

from refinekit.bench.chloride_silver import say_silver, settle_silver
from refinekit.bench.dissolve_common import (
    acid_reach,
    electrons_of,
    metals_of,
    pour_hydrochloric,
    say_liquor,
    silver_share_of,
    take_up,
)
from refinekit.bench.dissolve_says import Nitric, eat_paper, paper_wants, say_gases, say_habit, say_left, say_pours
from refinekit.bench.pouring import bottle_of, pour_bottle
from refinekit.bench.step import Step
from refinekit.bench.work import Work
from refinekit.chemistry.species import molar_mass
from refinekit.ranges import Number, high, likely

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
    Source: Au + HNO3 + 4 HCl -> HAuCl4 + NO + 2 H2O to Au + 3 HNO3 + 4 HCl -> HAuCl4 + 3 NO2 + 3 H2O (OpenStax, Chemistry 2e)
        and their halves; first charge and ceiling by common practice
    """
    metals = metals_of(work)
    bottle = bottle_of(work, "HNO3", told.get("nitric"), "nitric acid")
    no_share = work.default(
        told.get("no_share"), "practice/general.no_share.gold_hot", "share of nitrogen leaving as nitric oxide"
    )
    electrons = electrons_of(metals)
    silver_share = silver_share_of(metals)
    nitric = Nitric(bottle, electrons, no_share, paper_wants(work, told))
    hydrochloric = pour_hydrochloric(work, metals, told)
    total_l = _total_l(work, told, nitric)
    say_pours(work, nitric, total_l, told)
    pour_bottle(work, "nitric acid", bottle, total_l)
    used_mol = _let_run(work, metals, nitric)
    eat_paper(work, nitric.paper_mol)
    settle_silver(work)
    say_left(work, nitric, metals, used_mol, total_l)
    say_habit(work, nitric, metals.get("Au", 0.0) * molar_mass("Au"), total_l)
    say_gases(work, nitric, told)
    say_silver(work, silver_share, told.get("dilute_water_l"))
    say_liquor(work, hydrochloric, told)
    work.say("how", "hot, not boiling; nitric by drops, the next only when the fume has stopped; watch glass on")
    work.say("gear", "face shield over goggles, long neoprene or butyl gloves, apron; hood: no cartridge mask holds nitric oxide")
    work.say("done when", "no foil is left and no fume comes; stop there, whatever nitric is still in the dropper")


def _total_l(work: Work, told: Mapping[str, Any], nitric: Nitric) -> Number:
    """Nitric poured in all [L]: as told, or the ratio to the least need, never less than takes the metal up, and the paper's."""
    given = told.get("nitric_added_l")
    if given is not None:
        total: Number = given
        return total
    ratio = work.default(told.get("nitric_ratio"), "practice/dissolve.nitric_ratio", "nitric in all, times the nitric oxide need")
    poured: Number = np.maximum(ratio * nitric.least_mol, nitric.need_mol) + nitric.paper_mol
    return poured / nitric.bottle.mol_per_l


def _let_run(work: Work, metals_mol: Mapping[str, Number], nitric: Nitric) -> Number:
    """Let the nitric take the metals up, as far as acid and nitric reach; returns the nitric used on them [mol]."""
    per_electron = 1 + nitric_for(1.0, nitric.no_share)
    reach = np.minimum(work.dissolved.get("NO3^-", 0.0) * (1 + 2 * nitric.no_share), acid_reach(work, metals_mol, per_electron))
    electrons = np.minimum(nitric.electrons_mol, reach)
    used_mol = nitric_for(electrons, nitric.no_share)
    take_up(work, "NO3^-", metals_mol, electrons)
    # a part of the nitric oxide meets more nitric on its way out and leaves as nitrogen dioxide
    work.react(NO_TO_NO2, (1 - nitric.no_share) * used_mol / 3)
    return used_mol


def nitric_reach(work: Work, told: Mapping[str, Any]) -> Step:
    """What so much nitric can dissolve, by either route.

    Args:
        work: an empty step
        told: `nitric_added_l`, may hold `nitric`
    """
    acid = bottle_of(work, "HNO3", told.get("nitric"), "nitric acid")
    millilitres = 1000 * likely(told["nitric_added_l"])
    gold_g = told["nitric_added_l"] * acid.mol_per_l * molar_mass("Au")
    work.answer("gold_if_no", gold_g, "g", sized_on="all nitrogen leaving as NO", because="one gold to a nitric")
    work.answer("gold_if_no2", gold_g / 3, "g", sized_on="all nitrogen leaving as NO2", because="one gold to three nitric")
    work.working(
        "what it can dissolve",
        "mL x mol/L x 196.97 g/mol, all as NO; a third of it all as NO2",
        f"{millilitres:.4g} mL x {likely(acid.mol_per_l):.4g} mol/L",
        f"{likely(gold_g):.4g} g at most, {likely(gold_g) / 3:.4g} g at least",
    )
    work.assume("hydrochloric acid plenty, hot, foils or powder")
    return work.done(None, title=f"what {1000 * high(told['nitric_added_l']):.3g} mL of nitric can dissolve")
