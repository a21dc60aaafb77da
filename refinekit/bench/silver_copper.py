"""Silver nitrate on a copper bar; and palladium out of a silver or gold liquor with dimethylglyoxime."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import numpy as np

from refinekit.bench.foam import foam_of_copper
from refinekit.bench.part_nitric import nitric_in
from refinekit.bench.rinse_wash import Rinse
from refinekit.bench.silver_wash import react_warm, say_rise, wash_and_set_aside
from refinekit.bench.step import Reagent
from refinekit.chemistry.equation import Equation
from refinekit.chemistry.species import molar_mass
from refinekit.ranges import Number, Range, high, likely, times_bare

GLYOXIME = {
    "Pd^2+": Equation.parse("Pd^2+ + 2 C4H8N2O2 -> PdC8H14N4O4 + 2 H^+"),
    "PdCl4^2-": Equation.parse("PdCl4^2- + 2 C4H8N2O2 -> PdC8H14N4O4 + 2 H^+ + 4 Cl^-"),
}
"""Palladium with dimethylglyoxime, by how a pot holds it."""


def glyoxime_factor() -> float:
    """Palladium in its dimethylglyoxime precipitate [g/g]. Source: molar masses, CIAAW 2021.

    >>> round(glyoxime_factor(), 4)
    0.3161
    """
    return molar_mass("Pd") / molar_mass("PdC8H14N4O4")


def on_copper(work: Rinse, told: Mapping[str, Any], excess: Number) -> str:
    """Cement silver on a copper bar.

    Args:
        work: the step, liquor in it
        told: figures of the room
        excess: bar to hang, times what silver and palladium take [-]
    Returns: name of the liquor that is left
    Source: R7.5, R7.11, R7.13; habits, facts/practice/silver.toml
    """
    silver, nitric = work.dissolved.get("Ag^+", 0.0), nitric_in(work)
    palladium, platinum = work.dissolved.get("Pd^2+", 0.0), work.dissolved.get("Pt^4+", 0.0)
    noble = silver / 2 + palladium + 2 * platinum
    for_silver, for_nitric = silver / 2, nitric * 3 / 8
    stays = work.default(told.get("copper_stays"), "practice/silver.copper.stays", "copper that stays in the silver")
    stuck = stays * silver * molar_mass("Ag") / molar_mass("Cu")
    _say_bar(work, noble, for_nitric, excess)
    work.pour("copper bar", {"Cu": noble + for_nitric + stuck})
    react_warm(work, "R7.13", for_nitric / 3)
    react_warm(work, "R7.5", for_silver)
    if high(palladium) > 0:
        react_warm(work, "R7.11", palladium)
    if high(platinum) > 0:
        react_warm(work, "R7.19", platinum)
    if high(palladium + platinum) > 0:
        work.say("watch for", "palladium and platinum come down with the silver")
    no = work.gases_mol.get("NO", 0.0)
    if high(no) > 0:
        work.gas("NO", Range(0.0, likely(no), high(no)), sized_on="high: all the free nitric eats copper")
        foam_of_copper(work, no)
    say_rise(work)
    grams = silver * molar_mass("Ag")
    powder = grams + stuck * molar_mass("Cu") + palladium * molar_mass("Pd") + platinum * molar_mass("Pt")
    work.answer("silver", grams, "g", because="in the liquor, all of it comes down")
    work.answer("silver_powder", powder, "g", because="with the copper that stays in it, dry")
    work.answer(
        "silver_fineness",
        1000 * grams / np.maximum(powder, 1e-300),
        "per thousand",
        sized_on="low to sell by",
        because="silver over powder",
    )
    solids = {solid: work.solids[solid] for solid in ("Ag", "Cu", "Pd", "Pt") if high(work.solids.get(solid, 0.0)) > 0}
    wash_and_set_aside(work, told, "copper", "silver powder", solids)
    work.say(
        "how",
        "a clean solid bar, never powder or wire; knock the crystals off, stir now and then; use free nitric up first",
    )
    work.say("watch for", "brown fume while nitric is free: hood")
    work.say("done when", "a drop of salt in the clear liquor brings no cloud; lift the bar out and brush it")
    work.say("gear", "gloves and goggles: silver nitrate blackens skin and blinds")
    work.say("next", "wash the blue out of the silver, dry, melt; the liquor is copper nitrate: cement --metal iron")
    return "copper nitrate liquor"


def _say_bar(work: Rinse, noble: Number, for_nitric: Number, excess: Number) -> None:
    mass = molar_mass("Cu")
    total = (noble + for_nitric) * mass
    hang = (excess * noble + for_nitric) * mass
    on = "high silver, high free nitric: the rest is lifted out"
    work.answer("copper_for_silver", noble * mass, "g", sized_on="half to a silver", because="0.295 g to a gram of silver")
    work.answer("copper_for_nitric", for_nitric * mass, "g", sized_on="high", because="three to eight free nitric, all as NO")
    work.answer("copper", total, "g", sized_on="high", because="what is eaten")
    work.answer("copper_bar", hang, "g", sized_on=on, because=f"x {likely(excess):.3g} on the silver, and the nitric's")
    excess_words = f"x {likely(excess):.3g} on the silver, and the nitric's"
    work.reagent(Reagent("copper bar", Range.over(total), high(hang), "g", on, excess_words, "", "hung in", "copper", "up"))
    work.working(
        "copper eaten",
        "2 Ag^+ + Cu, 3 Cu + 8 HNO3",
        f"({likely(noble):.4g} + {likely(for_nitric):.4g}) mol x {mass:.5g} g/mol",
        f"{likely(total):.4g} g",
        "practice/general.excess.copper_silver_total",
    )


def with_glyoxime(work: Rinse, told: Mapping[str, Any], excess: Number) -> str:
    """Take palladium out with dimethylglyoxime, or read a weighed precipitate.

    Args:
        work: the step, liquor in it
        told: may hold `precipitate_g`
        excess: dimethylglyoxime, times the bare need [-]
    Returns: name of the liquor that is left
    Source: R7.12; factor from molar masses
    """
    factor = glyoxime_factor()
    work.answer("factor", factor, "g/g", because="106.42 of 336.64: palladium in its precipitate")
    weighed = told.get("precipitate_g")
    if weighed is not None:
        work.answer("palladium_found", weighed * factor, "g", because="weighed precipitate x factor")
        work.working(
            "palladium", "precipitate x factor", f"{likely(weighed):.5g} g x {factor:.4g}", f"{likely(weighed * factor):.5g} g"
        )
    palladium = {species: work.dissolved[species] for species in GLYOXIME if high(work.dissolved.get(species, 0.0)) > 0}
    mol: Number = sum(palladium.values(), 0.0)
    if high(mol) > 0:
        mass = molar_mass("C4H8N2O2")
        bare, on, times = 2 * mol * mass, "high palladium", times_bare(likely(excess))
        work.answer("palladium", mol * molar_mass("Pd"), "g", because="dissolved")
        work.answer("dmg_bare", bare, "g", sized_on="two to a palladium", because="2.18 g to a gram")
        work.answer("dmg", excess * bare, "g", sized_on=on, because=times)
        work.reagent(
            Reagent(
                "dimethylglyoxime", Range.over(bare), high(excess * bare), "g", on, times, "", "as a 1 % solution", "dmg", "up"
            )
        )
        work.pour("dimethylglyoxime", {"C4H8N2O2": 2 * excess * mol})
        work.mark("organics")
        for species, amount in palladium.items():
            work.react(GLYOXIME[species], np.minimum(amount, work.dissolved["C4H8N2O2"] / 2))
        made = work.solids["PdC8H14N4O4"] * molar_mass("PdC8H14N4O4")
        work.answer("precipitate", made, "g", sized_on="high for the filter", because="yellow, bulky, dry weight")
        work.working(
            "precipitate", "palladium / factor", f"{likely(mol * molar_mass('Pd')):.4g} g / {factor:.4g}", f"{likely(made):.4g} g"
        )
        work.draw_off("palladium precipitate", solids=["PdC8H14N4O4"], note="filtered, washed")
    work.say(
        "how", "silver out first, as chloride; cold, weak acid; the yellow fluff falls in minutes; dry it at 110 degC and weigh"
    )
    work.say(
        "watch for",
        "a solution in alcohol never goes near silver nitrate or nitric: fulminate, fire. Use its sodium salt in water",
    )
    work.say("watch for", "stannous: yellow-brown going green-blue is palladium, orange-red is platinum; only in chloride liquor")
    work.say("done when", "a drop of dimethylglyoxime in the clear liquor brings no yellow")
    work.say("next", "sell the precipitate, or ignite it under a hood to metal; it is never counted as gold")
    return "liquor without palladium"
