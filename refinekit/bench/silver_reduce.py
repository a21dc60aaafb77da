"""Silver chloride turned back to silver: by iron or zinc in weak acid, or by caustic and sugar."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import numpy as np

from refinekit.bench.hydrogen import say_rate
from refinekit.bench.pouring import bottle_of, label_of, pour_bottle, pour_water
from refinekit.bench.rinse_wash import Rinse
from refinekit.bench.silver_wash import react_warm, say_rise, wash_and_set_aside
from refinekit.bench.step import Reagent
from refinekit.chemistry.equation import Equation
from refinekit.chemistry.gas import molar_volume_l
from refinekit.chemistry.solution import Solution
from refinekit.chemistry.species import molar_mass
from refinekit.ranges import Number, Range, high, likely, times_bare
from refinekit.record import record


@record
class Metal:
    """A metal that reduces silver chloride.

    Args:
        symbol: formula [text]
        reduces: reaction with silver chloride
        acid: reaction with each acid
        copper: reaction with copper the curd still holds
    """

    symbol: str
    reduces: str
    acid: Mapping[str, str | Equation]
    copper: str | Equation


METALS = {
    "iron": Metal(
        "Fe",
        "R7.6",
        {"hydrochloric": "R10.2", "sulfuric": Equation.parse("Fe + H2SO4 -> FeSO4 + H2")},
        Equation.parse("Cu^2+ + Fe -> Cu + Fe^2+"),
    ),
    "zinc": Metal("Zn", "R7.7", {"hydrochloric": "R2.6", "sulfuric": "R9.11"}, Equation.parse("Cu^2+ + Zn -> Cu + Zn^2+")),
}
SILVER = ("Ag", "Cu", "Pd", "Pt", "AgCl", "Ag2O")
"""Solids that come as the silver powder."""
ACIDS = {"hydrochloric": "HCl", "sulfuric": "H2SO4"}


def by_metal(work: Rinse, told: Mapping[str, Any], metal: str, excess: Number) -> str:
    """Reduce silver chloride with a metal in weak acid, lift the rest of the metal out, wash the silver.

    Args:
        work: the step, curd in it
        told: figures of the room
        metal: iron or zinc
        excess: metal, times the bare need [-]
    Returns: name of the liquor that is left
    Source: R7.6, R7.7, R10.2, R2.6, R9.11; habits, facts/practice/silver.toml
    """
    kind = METALS[metal]
    chloride = work.solids["AgCl"]
    bare = chloride / 2
    weighed = excess * bare
    _say_metal(work, metal, bare, weighed, excess)
    acid_mol = _pour_acid(work, told, chloride * molar_mass("Ag"), metal)
    work.pour(metal, {kind.symbol: weighed})
    react_warm(work, kind.reduces, np.minimum(bare, weighed))
    copper = np.minimum(work.dissolved.get("Cu^2+", 0.0), work.solids[kind.symbol])
    react_warm(work, kind.copper, copper)
    _eat_acid(work, told, metal, acid_mol)
    _silver(work, chloride)
    left = work.solids.get(kind.symbol, 0.0)
    work.answer(
        f"{metal}_lifted_out",
        left * molar_mass(kind.symbol),
        "g",
        because="weighed, less silver's, copper's and the acid's share",
    )
    if high(left) > 0:
        work.draw_off(f"spare {metal}", solids=[kind.symbol], note="lifted out and wiped off")
    _aside(work, told, metal)
    work.say("how", f"curd under weak acid, {metal} as one piece or clean nails, stirred and turned until no white is left; warm")
    work.say("watch for", "hydrogen: no flame, no lid, air; foam lifts curd over the rim")
    work.say(
        "done when",
        f"it is grey throughout, a pinch dissolves clear in nitric; then lift the {metal} out and pick the bits with a magnet"
        if metal == "iron"
        else "it is grey throughout, a pinch dissolves clear in nitric; spare zinc dissolves in a little more acid",
    )
    work.say("next", "dry, melt with borax: melt")
    return "reduction liquor"


def _say_metal(work: Rinse, metal: str, bare: Number, weighed: Number, excess: Number) -> None:
    kind = METALS[metal]
    mass = molar_mass(kind.symbol)
    on, times = "high silver: the rest is lifted out", times_bare(likely(excess))
    work.answer(f"{metal}_bare", bare * mass, "g", sized_on="half to a silver", because="2 AgCl + M -> 2 Ag + MCl2")
    work.answer(f"{metal}", weighed * mass, "g", sized_on=on, because=f"{times}: acid eats some")
    work.reagent(
        Reagent(
            metal, Range.over(bare * mass), high(weighed * mass), "g", on, times, "", "into the curd", metal, "up", to_sign=True
        )
    )
    work.working(
        metal,
        f"2 AgCl + {kind.symbol} -> 2 Ag + {kind.symbol}Cl2",
        f"{likely(2 * bare):.4g} mol AgCl / 2 x {mass:.5g} g/mol x {likely(excess):.3g}",
        f"{likely(bare * mass):.4g} g bare, {likely(weighed * mass):.4g} g weighed",
        "practice/general.excess.metal_silver_chloride_total",
    )


def _pour_acid(work: Rinse, told: Mapping[str, Any], silver_g: Number, metal: str) -> Number:
    """Weak acid over the curd; returns its protons [mol]."""
    acid = told.get("acid") or ("sulfuric" if told.get("sulfuric") is not None else "hydrochloric")
    told_l = told.get("acid_volume_l")
    if acid == "hydrochloric":
        bottle = bottle_of(work, "HCl", told.get("hydrochloric"), "hydrochloric acid")
        per_g = work.fact("practice/silver.acid.hydrochloric").value * Solution.usual("HCl").mol_per_l / bottle.mol_per_l / 1000
    else:
        bottle = bottle_of(work, "H2SO4", told.get("sulfuric"), "sulfuric acid")
        mint = Solution.of("H2SO4", "baume", work.fact("practice/silver.acid.sulfuric_be").value)
        grams = work.fact("practice/silver.acid.sulfuric_60_be").value
        work.answer("sulfuric_60_be", grams * silver_g, "g", sized_on="high", because="one part of 60 Be acid to two of silver")
        per_g = grams * mint.mass_fraction / (bottle.mass_fraction * bottle.density_g_per_ml) / 1000
    volume_l = per_g * silver_g if told_l is None else told_l
    times = work.fact("practice/silver.acid.water").value
    water_l = told.get("water_l", times * volume_l)
    if high(water_l) > 0:
        work.reagent(
            Reagent("water", Range.point(0.0), 1000 * high(water_l), "mL", "high silver", "", "", "first, on the curd", "water")
        )
        pour_water(work, water_l)
    name, on = f"{acid} acid", "high silver" if told_l is None else "as you said"
    if high(volume_l) > 0:
        words = "" if told_l is not None else "shop habit"
        work.reagent(
            Reagent(name, Range.point(0.0), 1000 * high(volume_l), "mL", on, words, label_of(bottle), "then", acid, "up")
        )
    pour_bottle(work, name, bottle, volume_l)
    return volume_l * bottle.mol_per_l * (2 if acid == "sulfuric" else 1)


def _eat_acid(work: Rinse, told: Mapping[str, Any], metal: str, acid_mol: Number) -> None:
    """The acid's share of the metal, as hydrogen; at most all of the acid and all of the metal."""
    kind = METALS[metal]
    acid = told.get("acid") or ("sulfuric" if told.get("sulfuric") is not None else "hydrochloric")
    share = work.default(told.get("acid_share"), "practice/silver.acid.share", "share of the acid that eats the metal")
    there = np.minimum(work.dissolved.get("H^+", 0.0), acid_mol)
    eaten = np.minimum(share * there / 2, work.solids.get(kind.symbol, 0.0))
    most = np.minimum(there / 2, work.solids.get(kind.symbol, 0.0))
    react_warm(work, kind.acid[acid], eaten)
    minutes = high(told["minutes_s"]) / 60 if "minutes_s" in told else None
    span = Range(0.0, likely(eaten), max(high(most), likely(eaten)))
    work.gas("H2", span, minutes=minutes, sized_on="high: all the acid eats metal")
    say_rate(work, span, work.volume_l, minutes)
    litres = molar_volume_l(work.place.temperature_k, work.place.pressure_pa)
    work.answer("hydrogen", eaten * litres, "L", sized_on="high", because="half to an acid eaten")
    work.answer(
        "hydrogen_most",
        most * litres,
        "L",
        sized_on="high: all the acid eats metal",
        because="if it lies there till the acid is gone",
    )
    work.answer(f"{metal}_for_acid", eaten * molar_mass(kind.symbol), "g", because="the acid's share")


def _silver(work: Rinse, chloride: Number) -> None:
    made = work.solids.get("Ag", 0.0) * molar_mass("Ag")
    work.answer("silver", made, "g", sized_on="low to sell by", because="107.87 of 143.32 of the chloride, dry")
    work.answer("silver_chloride", chloride * molar_mass("AgCl"), "g", because="dry weight of what is reduced")
    stays = work.solids.get("AgCl", 0.0) * molar_mass("AgCl")
    if high(stays) > 1e-6:
        work.notice(
            "note",
            "chloride-left-in-silver",
            f"up to {high(stays):.3g} g of silver chloride stays: it flies off in the melt",
            "give it more metal or caustic, or smelt it with soda ash",
            "equation",
        )


def _aside(work: Rinse, told: Mapping[str, Any], how: str) -> None:
    say_rise(work)
    there = {solid: work.solids[solid] for solid in SILVER if high(work.solids.get(solid, 0.0)) > 0}
    wash_and_set_aside(work, told, how, "silver powder", there)
    work.answer("reduction_liquor", work.volume_l, "L", because="acid, salts and washes: spent liquor")


def by_caustic(work: Rinse, told: Mapping[str, Any], excess: Number) -> str:
    """Reduce silver chloride with strong hot caustic, then sugar.

    Args:
        work: the step, curd in it
        told: figures of the room
        excess: caustic, times the bare need [-]
    Returns: name of the liquor that is left
    Source: R7.8, R7.9; habits, facts/practice/silver.toml
    """
    chloride = work.solids["AgCl"]
    grams = chloride * molar_mass("AgCl")
    water_l = told.get("water_l", work.fact("practice/silver.caustic.water").value * grams / 1000)
    sugar = work.default(told.get("sugar"), "practice/silver.caustic.sugar_times", "sugar, times the bare need")
    work.reagent(
        Reagent("water", Range.point(0.0), 1000 * high(water_l), "mL", "high silver", "", "", "first, on the curd", "water")
    )
    pour_water(work, water_l)
    for name, key, formula, bare, times, because, when in (
        ("caustic pearls", "caustic", "NaOH", chloride, excess, "one to a silver", "hot and strong, stirred until all is black"),
        ("glucose", "dextrose", "C6H12O6", chloride / 2, sugar, "half to a silver, as glucose", "then, by spoons: it froths"),
    ):
        mass = molar_mass(formula)
        on, words = "high silver", times_bare(likely(times))
        work.answer(f"{key}_bare", bare * mass, "g", sized_on="bare", because=because)
        work.answer(key, times * bare * mass, "g", sized_on=on, because=words)
        work.reagent(Reagent(name, Range.over(bare * mass), high(times * bare * mass), "g", on, words, "", when, key, "up"))
        work.pour(name, {formula: times * bare})
        work.working(
            name,
            f"{because}",
            f"{likely(bare):.4g} mol x {mass:.5g} g/mol x {likely(times):.3g}",
            f"{likely(times * bare * mass):.4g} g",
        )
    gluconate = chloride * molar_mass("NaOH") * 3 / 2
    work.answer(
        "caustic_with_gluconate", gluconate, "g", sized_on="bare", because="the acid the sugar becomes takes half as much again"
    )
    done = np.minimum(chloride, work.dissolved.get("OH^-", 0.0))
    react_warm(work, "R7.8", done / 2)
    react_warm(work, "R7.9", np.minimum(done / 2, sugar * chloride / 2))
    work.mark("organics")
    _silver(work, chloride)
    _aside(work, told, "caustic")
    work.say("how", "face shield: near boiling caustic; white curd turns black, then grey with the sugar; stir it, no lumps")
    work.say("watch for", "pearls heat their water to boiling: dissolve them beforehand, by spoons, in a pan of cold water")
    work.say("watch for", "white left inside lumps is chloride that flies off in the melt; hot caustic blinds")
    work.say("watch for", "no ammonia near it, no nitric on it before it is washed free of sugar")
    work.say("gear", "face shield, long gloves, apron")
    work.say("done when", "no white is left, and a washed pinch dissolves clear in nitric")
    work.say("next", "wash until the water is neutral; dry, melt with borax")
    return "reduction liquor"
