"""Silver thrown down as chloride: salt or hydrochloric, and not too much of it; curd washed and set aside."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import numpy as np

from refinekit.bench.chloride_silver import dissolved_mol_per_l
from refinekit.bench.neutralise_heat import heat_of
from refinekit.bench.pouring import bottle_of, label_of, pour_bottle, pour_water
from refinekit.bench.rinse_wash import Rinse
from refinekit.bench.silver_wash import react_warm, say_rise, wash_and_set_aside
from refinekit.bench.step import Reagent
from refinekit.bench.work import Work
from refinekit.chemistry.species import molar_mass
from refinekit.facts.load import fact
from refinekit.ranges import Number, Range, high, likely, times_bare

FALLS = {"salt": "R7.3", "hydrochloric": "R7.4"}
"""Reaction by what throws the chloride down."""


def throw_down(work: Rinse, told: Mapping[str, Any], excess: Number) -> str:
    """Throw the silver of a nitrate liquor down as chloride, wash the curd and set it aside.

    Args:
        work: the step, liquor in it
        told: figures of the room
        excess: salt or acid, times the bare need [-]
    Returns: name of the liquor that is left
    Source: R7.3, R7.4; habits, facts/practice/silver.toml
    """
    silver = work.dissolved.get("Ag^+", 0.0)
    chloride_mol = _pour(work, told, silver, excess)
    falls = np.minimum(silver, work.dissolved.get("Cl^-", 0.0))
    react_warm(work, FALLS[told.get("salt") or "salt"], falls)
    curd_g = work.solids["AgCl"] * molar_mass("AgCl")
    work.answer("silver_chloride", curd_g, "g", because="1.329 g to a gram of silver, dry")
    _say_left(work, silver, chloride_mol, falls)
    say_rise(work)
    share = work.default(told.get("fines"), "practice/silver.fines", "silver chloride carried off as fines")
    fines = share * work.solids["AgCl"]
    work.answer(
        "fines", 1000 * fines * molar_mass("Ag"), "mg", sized_on="high", because="silver, as chloride, in the liquor and washes"
    )
    curd = {solid: amount - (fines if solid == "AgCl" else 0.0) for solid, amount in work.solids.items()}
    wash_and_set_aside(work, told, "chloride", "silver chloride", curd)
    work.answer("nitrate_liquor", work.volume_l, "L", because="liquor and washes, less what the curd holds")
    _says(work)
    return "nitrate liquor"


def _pour(work: Rinse, told: Mapping[str, Any], silver: Number, excess: Number) -> Number:
    """Salt or hydrochloric for the silver; returns the chloride poured [mol]."""
    acid = bottle_of(work, "HCl", told.get("hydrochloric"), "hydrochloric acid")
    salt_g, acid_ml = silver * molar_mass("NaCl"), 1000 * silver / acid.mol_per_l
    work.answer("silver", silver * molar_mass("Ag"), "g", because="in the liquor, as nitrate")
    work.answer("salt_bare", salt_g, "g", sized_on="one to a silver", because="0.542 g sodium chloride to a gram of silver")
    work.answer("hcl_bare", acid_ml, "mL", sized_on="one to a silver", because="if hydrochloric is taken; nitric comes back")
    mol = f"{likely(silver):.4g} mol"
    if (told.get("salt") or "salt") == "salt":
        _brine(work, told, silver)
        _take(work, ("salt", "salt", "no iodine, dissolved in water"), "salt", salt_g, "g", excess)
        _working(work, "salt", f"{mol} x {molar_mass('NaCl'):.5g} g/mol", salt_g, "g", excess)
        work.pour("salt", {"NaCl": excess * silver})
    else:
        name = "hydrochloric acid"
        _take(work, ("hydrochloric", name, label_of(acid)), "hcl", acid_ml, "mL", excess)
        _working(work, "hydrochloric", f"{mol} / {likely(acid.mol_per_l):.4g} mol/L", acid_ml, "mL", excess)
        pour_bottle(work, name, acid, excess * silver / acid.mol_per_l)
    return excess * silver


def _take(work: Work, called: tuple[str, str, str], answer: str, bare: Number, unit: str, excess: Number) -> None:
    """Say what is taken of a reagent (its key, its name, its bottle), and give it as an answer."""
    key, name, bottle = called
    on, times = "high silver: short leaves silver in the liquor", times_bare(likely(excess))
    work.answer(answer, excess * bare, unit, sized_on=on, because=times)
    work.reagent(Reagent(name, Range.over(bare), high(excess * bare), unit, on, times, bottle, "stirred in", key, rounding="up"))


def _working(work: Work, by: str, one_to_one: str, bare: Number, unit: str, excess: Number) -> None:
    """Give the sum as one would check it by hand."""
    sums = f"{one_to_one} x {likely(excess):.3g}"
    result = f"{likely(excess * bare):.4g} {unit}"
    work.working(by, "Ag^+ + Cl^- -> AgCl", sums, result, "practice/general.excess.salt_silver_total")


def _brine(work: Work, told: Mapping[str, Any], silver_mol: Number) -> None:
    """Water that the salt is dissolved in: as told, or as much as keeps a strong liquor from getting hot."""
    water_l = told.get("water_l")
    if water_l is None:
        most = work.fact("practice/silver.brine.rise").value * work.fact("enthalpy.liquor_heat_capacity").value
        water_l = high(np.maximum(silver_mol * (heat_of(FALLS["salt"]) or 0.0) / most - work.volume_l, 0.0))
    if high(water_l) > 0:
        on = "as you said" if "water_l" in told else "high silver: thins what would get hot"
        work.reagent(Reagent("water", Range.point(0.0), 1000 * high(water_l), "mL", on, "", "", "for the salt", "water", "up"))
        pour_water(work, water_l, "water for the salt")


def _say_left(work: Work, silver: Number, chloride_mol: Number, falls: Number) -> None:
    short = (silver - falls) * molar_mass("Ag")
    if high(short) > 1e-6:
        work.notice(
            "note",
            "silver-left-in-liquor",
            f"up to {high(short):.3g} g of silver stays in the liquor: the chloride does not reach",
            "add salt until a drop brings no cloud",
            "equation",
        )
    over = high(chloride_mol / np.maximum(silver, 1e-300))
    most = fact("practice/general.excess.salt_silver_total").range.high
    if over > most + 1e-9:
        work.notice(
            "warn",
            "too-much-salt",
            f"{over:.3g} times the chloride: over {most:g} times silver chloride goes back into solution as its complex",
            "add the last of it by drops, until a drop brings no cloud, and dilute",
            "practice",
        )
    free = work.dissolved.get("Cl^-", 0.0) / np.maximum(work.volume_l, 1e-300)
    kept = dissolved_mol_per_l(free) * work.volume_l * molar_mass("Ag") * 1000
    work.answer("silver_kept", kept, "mg", sized_on="high", because="silver the chloride liquor holds at most: an upper bound")
    if high(work.dissolved.get("Pb^2+", 0.0)) > 0:
        work.say(
            "watch for", "lead falls with it as white needles: wash the curd with hot water once, which takes lead chloride along"
        )
    if high(work.dissolved.get("Pd^2+", 0.0)) > 0:
        work.say("left over", "palladium stays in the liquor: dimethylglyoxime, or copper, takes it out")
    if high(work.dissolved.get("Pt^4+", 0.0)) > 0:
        work.say("left over", "platinum that followed the silver stays in the liquor: copper takes it out, never ammonium")


def _says(work: Work) -> None:
    work.say("how", "salt dissolved in water, stirred in until a drop brings no more cloud; stand dark, pour off when clear")
    work.say("watch for", "keep it out of the light: grey to violet curd is half reduced; dried hard it will not reduce")
    work.say("watch for", "never ammonia on it and left to stand: fulminating silver")
    work.say("done when", "a drop of salt brings no cloud, and the last wash runs without blue")
    work.say("gear", "gloves and goggles: silver nitrate blackens skin and blinds")
    work.say("next", "silver --how iron, zinc, caustic or soda while the curd is still wet")
