"""Base metal off by peroxide, by ferric chloride, and solder off by hot hydrochloric acid."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import numpy as np

from refinekit.bench.bubbles import plain_percent
from refinekit.bench.foam import burst_l_per_min, foam_by_portions, half_full_l
from refinekit.bench.hydrogen import say_rate
from refinekit.bench.leach_bath import make_ready
from refinekit.bench.leach_goods import dissolved_share, metal_mol, metals_table, part_pots, reachable
from refinekit.bench.leach_state import read_bath
from refinekit.bench.pouring import bottle_of, label_of, pour_bottle
from refinekit.bench.step import Reagent
from refinekit.bench.work import Work
from refinekit.chemistry.equation import reaction
from refinekit.chemistry.heat import reaction_enthalpy, rise_k
from refinekit.chemistry.solution import Solution
from refinekit.chemistry.species import molar_mass
from refinekit.errors import CannotFollow
from refinekit.ranges import Number, Range, high, likely, low

BY_ACID = {"Zn": "R2.6", "Fe": "R2.7", "Sn": "R2.9", "Pb": "R2.30", "Al": "R2.13"}
"""Metals that hydrochloric acid eats without air, making hydrogen."""
ACID_ALONE = {"Zn": 2.0, "Fe": 2.0, "Sn": 2.0, "Pb": 2.0, "Al": 3.0}
"""Moles of hydrochloric acid to a mole of each, no air: R2.6, R2.7, R2.9, R2.30, R2.13."""
IRON_PER_METAL = 2.0
"""Moles of ferric iron to a mole of copper or nickel: R2.21, R2.42."""


# ---- hydrochloric and peroxide
def leach_peroxide(work: Work, told: Mapping[str, Any]) -> None:
    """Dissolve copper and nickel with hydrochloric acid and peroxide; what else acid eats makes hydrogen.

    Args:
        work: the step, goods in it, the bath in it where there is one
        told: see LeachTold
    Source: R2.17, R2.43, R2.19; times the need, facts/practice/leach.toml
    """
    metals = reachable(work, told, "Cu", "Ni")
    others = metal_mol(work, *BY_ACID)
    bare = metals["Cu"] + metals["Ni"]
    eaten = 2 * bare + _acid_alone(others)
    acid = make_ready(work, told, eaten, metals["Cu"], starter=False)
    read_bath(work, "start")
    bottle = bottle_of(work, "H2O2", told.get("peroxide"), "hydrogen peroxide")
    times = work.default(told.get("peroxide_times"), "practice/leach.peroxide_times", "peroxide in all, times the bare need")
    share = dissolved_share(eaten, work.dissolved.get("H^+", 0.0))
    bath_l = work.volume_l
    poured = _peroxide(work, told, bottle, bare, times)
    worked = np.minimum(bare * share, poured / np.maximum(times, 1.0))  # less than the need leaves metal, and none falls apart
    part = dissolved_share(bare, worked)
    work.react("R2.17", metals["Cu"] * part)
    work.react("R2.43", metals["Ni"] * part)
    apart = worked * np.maximum(times - 1, 0.0)
    work.react("R2.19", np.minimum(apart, work.dissolved["H2O2"]) / 2)
    work.gas("O2", Range.over(work.gases_mol.get("O2", 0.0)), sized_on="peroxide that falls apart")
    _by_acid(work, others, share, foams=False)
    _foams(work)
    heat = -reaction_enthalpy(reaction("R2.17").net) * worked - reaction_enthalpy(reaction("R2.19").net) / 2 * apart
    work.heat_kj = heat
    work.answer("heat", heat, "kJ", because="from formation enthalpies")
    work.answer(
        "rise",
        rise_k(heat, work.volume_l),
        "K",
        sized_on="high: all at once, no heat lost",
        because="why it goes in by sips, cold",
    )
    work.answer("hcl_eaten", 2 * worked + _acid_alone(others) * share, "mol", sized_on="high metal")
    work.answer(
        "peroxide_of_bath",
        100 * poured / bottle.mol_per_l / np.maximum(bath_l, 1e-12),
        "%",
        sized_on="high",
        because="of the bath's volume, in all",
    )
    metals_table(work, {metal: mol * part for metal, mol in metals.items()}, {"Cu": 2.0, "Ni": 2.0}, acid.mol_per_l)
    work.say("watch for", "cold, in sips: copper, iron and warmth destroy it, 30 % into a warm bath boils over with chlorine")
    work.say("watch for", "never till the metal is all gone: then the gold goes in")
    work.say("next", "rinse foils and boards with dilute hydrochloric first")
    read_bath(work)
    part_pots(work, told)


def _foams(work: Work) -> None:
    """Foam of the oxygen of each sip, and of hydrogen beside it."""
    oxygen, hydrogen = (sum(gas.litres.high for gas in work.gases if gas.formula == one) for one in ("O2", "H2"))
    beside = burst_l_per_min(hydrogen, "practice/heat.t90.metal_in_acid") if hydrogen else 0.0
    if low(work.volume_l) > 0:
        foam_by_portions(work, oxygen, "peroxide", half_full_l(work.volume_l), beside_l_per_min=beside)


def _peroxide(work: Work, told: Mapping[str, Any], bottle: Solution, bare: Number, times: Number) -> Number:
    """Say and pour the peroxide: as told, or so many times the need; returns what was poured [mol]."""
    bare_ml = 1000 * bare / bottle.mol_per_l
    poured_l = told.get("peroxide_volume_l", times * bare / bottle.mol_per_l)
    work.answer("peroxide", bare, "mol", because="one to a mole of copper or nickel")
    work.answer("peroxide_bare", bare_ml, "mL", because="if none fell apart")
    work.answer(
        "peroxide_volume", 1000 * poured_l, "mL", sized_on="low metal first, then in sips", because="with what falls apart"
    )
    in_all = likely(told["peroxide_times"]) if "peroxide_times" in told else work.fact("practice/leach.peroxide_times").range.high
    charges = [(in_all, "at most, in all, cold, in sips; stop while metal is left", True)]
    if in_all > 1:
        charges.insert(0, (1.0, "first, cold, in sips", False))
    for times_need, when, counts in charges:
        work.reagent(
            Reagent(
                "hydrogen peroxide",
                Range.over(bare_ml),
                low(bare_ml) * times_need,
                "mL",
                "low metal: more dissolves gold",
                f"x {times_need:g} on the low metal",
                label_of(bottle),
                when,
                "peroxide",
                "down",
                counts=counts,
            )
        )
    work.working(
        "peroxide",
        "moles of copper and nickel / bottle",
        f"{likely(bare):.5g} mol / {likely(bottle.mol_per_l):.5g} mol/L",
        f"{likely(bare_ml):.5g} mL",
    )
    pour_bottle(work, "hydrogen peroxide", bottle, poured_l)
    poured: Number = poured_l * bottle.mol_per_l
    return poured


# ---- ferric chloride
def leach_ferric(work: Work, told: Mapping[str, Any]) -> None:
    """Dissolve copper and nickel with ferric chloride.

    Args:
        work: the step, goods in it; ferric chloride in it where there is some
        told: see LeachTold
    Raises: CannotFollow, nothing to size it on
    Source: R2.21, R2.42; share used, facts/practice/leach.toml
    """
    metals = reachable(work, told, "Cu", "Ni")
    want = IRON_PER_METAL * (metals["Cu"] + metals["Ni"])
    used = work.default(told.get("ferric_used"), "practice/leach.ferric_used", "share of the ferric iron to be used")
    if high(work.dissolved.get("Fe^3+", 0.0)) <= 0:
        _pour_ferric(work, told, want, used)
    ferric = work.dissolved.get("Fe^3+", 0.0)
    work.answer("iron_iii", ferric, "mol", because="ferric iron in the bath")
    work.answer("copper_limit", ferric / IRON_PER_METAL * molar_mass("Cu"), "g", because="half a mole to a mole of ferric iron")
    work.answer(
        "copper_at_use",
        used * ferric / IRON_PER_METAL * molar_mass("Cu"),
        "g",
        sized_on="low",
        because=f"{100 * likely(used):g} % used: slow beyond",
    )
    share = dissolved_share(want, ferric * used)
    work.react("R2.21", metals["Cu"] * share)
    work.react("R2.42", metals["Ni"] * share)
    work.answer("copper_dissolved", metals["Cu"] * share * molar_mass("Cu"), "g")
    iron = work.dissolved.get("Fe^2+", 0.0) + work.dissolved.get("Fe^3+", 0.0)
    work.answer(
        "rust_sludge",
        iron * molar_mass("FeO3H3"),
        "g",
        sized_on="high for the drum",
        because="all the iron ends as dry ferric hydroxide",
    )
    work.say("left over", "two irons to a copper end as rust sludge, and ferric iron later eats metabisulfite")
    read_bath(work)
    part_pots(work, told)


def _pour_ferric(work: Work, told: Mapping[str, Any], want: Number, used: Number) -> None:
    bottle = bottle_of(work, "FeCl3", told.get("ferric"), "ferric chloride")
    bare_l = want / bottle.mol_per_l
    volume = told.get("volume_l", high(bare_l / used))
    if high(volume) <= 0:
        raise CannotFollow("there is nothing to size the ferric chloride on", cure="--volume 1 L, or tell the goods")
    amounts = (Range.over(1000 * bare_l), 1000 * high(volume))
    excess = f"used to {100 * likely(used):g} %"
    work.reagent(
        Reagent(
            "ferric chloride",
            *amounts,
            "mL",
            "high metal",
            excess,
            label_of(bottle),
            "",
            "ferric-chloride",
            "up",
        )
    )
    work.answer("ferric_volume", 1000 * volume, "mL", sized_on="high metal", because=excess)
    work.working(
        "ferric chloride",
        "2 to a mole of metal / bottle / share used",
        f"{likely(want):.4g} mol / {likely(bottle.mol_per_l):.4g} mol/L / {likely(used):.3g}",
        f"{1000 * likely(want / bottle.mol_per_l / used):.4g} mL",
    )
    pour_bottle(work, "ferric chloride", bottle, volume)


# ---- hot hydrochloric on solder
def strip_solder(work: Work, told: Mapping[str, Any]) -> None:
    """Take solder off with hot hydrochloric acid, no air: tin and lead dissolve, copper and gold stay on the goods.

    Args:
        work: the step, goods in it, acid in it where there is some
        told: see LeachTold
    Source: R2.9, R2.30, R2.7, R2.6, R2.13, two of acid (three to aluminium) and hydrogen; facts/practice/leach.toml
    """
    metals = metal_mol(work, *BY_ACID)
    acid = make_ready(work, told, _acid_alone(metals), 0.0, start_acid="practice/leach.strip_acid", starter=False)
    share = dissolved_share(_acid_alone(metals), work.dissolved.get("H^+", 0.0))
    work.answer("plain_strength", plain_percent(work), "%", because="free acid over the liquor's weight")
    _by_acid(work, metals, share)
    work.marks.pop("solder", None)  # it is off the goods now: what is left of tin and lead the pots hold themselves
    eaten = _acid_alone(metals) * share
    work.answer("hcl_eaten", eaten, "mol", sized_on="high metal", because="2 to tin, lead, iron and zinc, 3 to aluminium: no air")
    work.answer("hcl_eaten_volume", 1000 * eaten / acid.mol_per_l, "mL", sized_on="high metal")
    metals_table(work, {metal: mol * share for metal, mol in metals.items()}, ACID_ALONE, acid.mol_per_l)
    if high(metals["Sn"]) > 0:
        work.mark("stannous")
    read_bath(work)
    work.say("done when", "no more bubbles at the solder, joints bare")
    work.say(
        "next",
        "rinse the tin off with dilute hydrochloric before the goods meet nitric or gold liquor: stannous tin turns gold purple",
    )
    held = work.default(told.get("board_held_ml_per_g"), "practice/leach.board_held", "liquor the goods carry along")
    weight = work.inert_g + sum((mol * molar_mass(solid) for solid, mol in work.solids.items()), 0.0)
    liquor = np.minimum(held * weight / 1000, work.volume_l)
    work.answer("goods_held", 1000 * liquor, "mL", because="liquor they carry along: rinse it off")
    work.draw_off(
        "goods",
        liquor,
        [solid for solid, mol in work.solids.items() if high(mol) > 0],
        inert_g=work.inert_g,
        note="lifted out and shaken",
    )


def _acid_alone(metals: Mapping[str, Number]) -> Number:
    return sum((ACID_ALONE[metal] * mol for metal, mol in metals.items()), 0.0)


def _by_acid(work: Work, metals: Mapping[str, Number], share: Number, *, foams: bool = True) -> None:
    """Let acid alone eat metals, with all the hydrogen that makes; lead chloride dissolves as far as the liquor holds it."""
    if high(_acid_alone(metals)) <= 0:
        return
    for metal, id in BY_ACID.items():
        if high(metals[metal]) > 0:
            work.react(id, metals[metal] * share / reaction(id).left[metal])
    hydrogen = Range.over(work.gases_mol.get("H2", 0.0))
    work.gas("H2", hydrogen, sized_on="high metal, all of it to hydrogen")
    say_rate(work, hydrogen, work.volume_l, foams=foams)
    work.say("watch for", "hydrogen: air, no lid, no flame")
    needles = work.solids.get("PbCl2", 0.0)
    if high(needles) > 0:
        holds = work.fact("practice/leach.lead_chloride_held").value * work.volume_l / molar_mass("PbCl2")
        work.react("R2.40", np.minimum(needles, holds))
