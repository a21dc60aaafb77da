"""Boiling nitric off with hydrochloric, to syrup, again and again: acid, gas, heat, time, and what is left."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import numpy as np

from refinekit.bench.pot import free_acid_mol
from refinekit.bench.pouring import bottle_of, label_of, pour_bottle
from refinekit.bench.step import Reagent
from refinekit.bench.vessel import stand
from refinekit.bench.work import Work
from refinekit.chemistry.gas import litres
from refinekit.chemistry.heat import boil_down_heat
from refinekit.chemistry.solution import Solution
from refinekit.chemistry.species import molar_mass
from refinekit.errors import CannotFollow
from refinekit.ranges import Number, Range, high, likely, low, times_bare

BOILED_OFF = "R4.1"


def boil_down(work: Work, acid: Solution, told: Mapping[str, Any]) -> None:
    """Boil to syrup with hydrochloric, again and again; the nitric leaves as nitrosyl chloride and chlorine.

    Args:
        work: the step, the liquor in it
        acid: the nitric as it was poured
        told: may hold `hydrochloric`, `hcl_excess`, `end_volume_l`, `end_acid_mol_per_l`, `plate_w`, `plate_share`
    Raises: CannotFollow, asked to boil to dryness
    Source: R4.1; boiling heat; end strength of constant-boiling acid
    """
    end_l = _end_volume(work, told)
    bottle = bottle_of(work, "HCl", told.get("hydrochloric"), "hydrochloric acid")
    _pour_hydrochloric(work, bottle, told)
    _drive_off_nitric(work, bottle)
    steam_l = np.maximum(work.volume_l - end_l, 0.0)
    stand(work, work.volume_l, "foils", how="on a tray, on the plate")
    plate_time(work, 1000 * steam_l, told, work.temperature_k)
    _steam(work, steam_l, told)
    rounds = work.fact("practice/denox.boil_rounds").value
    work.say("how", f"to syrup, add hydrochloric, {rounds:g} times; never dry, never over the last 50 mL unwatched: it bumps")
    work.say("done when", "no brown over the syrup when fresh hydrochloric goes in")
    work.say("watch for", "baked dry, gold chloride breaks down and some goes off as vapour; lead and silver salts make it bump")
    work.say("gear", "hood: chlorine and nitrosyl chloride; face shield, long gloves")


def _end_volume(work: Work, told: Mapping[str, Any]) -> Number:
    """Liquor at the end of the boil-down [L]."""
    told_l: Number | None = told.get("end_volume_l")
    if told_l is not None:
        if low(told_l) <= 0:
            raise CannotFollow("boiled to dryness, gold chloride bakes and is lost", cure="end at 5 mL to a gram of gold or more")
        work.answer("end_volume", 1000 * told_l, "mL", sized_on="as told", because="never to dryness")
        return told_l
    gold_g = high(work.dissolved.get("AuCl4^-", 0.0)) * molar_mass("Au")
    per_gold, least = work.fact("practice/denox.boil_end").value, work.fact("practice/denox.boil_least").value
    end_l = (gold_g * per_gold if gold_g > 0 else least) / 1000
    why = f"{per_gold:g} mL to a gram of gold: never to dryness" if gold_g > 0 else "the last of it bumps: never to dryness"
    work.answer("end_volume", 1000 * end_l, "mL", sized_on="high gold", because=why)
    return end_l


def _pour_hydrochloric(work: Work, bottle: Solution, told: Mapping[str, Any]) -> None:
    """Hydrochloric for boiling off: three to a nitric, and as much again as habit takes."""
    left = work.dissolved.get("NO3^-", 0.0)
    words = "hydrochloric for boiling off, times the bare need"
    excess = work.default(told.get("hcl_excess"), "practice/denox.boil_hcl_excess", words)
    bare_ml = 3000 * left / bottle.mol_per_l
    pour_l = high(3 * left * excess / bottle.mol_per_l)
    rounds = work.fact("practice/denox.boil_rounds").value
    sized_on, why = "top of the leftover range", times_bare(high(excess))
    if pour_l > 0:
        work.reagent(
            Reagent(
                "hydrochloric acid",
                Range.over(bare_ml),
                1000 * pour_l,
                "mL",
                sized_on,
                excess=why,
                bottle=label_of(bottle),
                when=f"in {rounds:g} goes, after each boil-down",
                key="hydrochloric",
                rounding="up",
            )
        )
    work.answer("hcl_bare", bare_ml, "mL", sized_on="bare", because="three to a nitric")
    work.answer("hcl_added", 1000 * pour_l, "mL", sized_on=sized_on, because=f"{why}, in {rounds:g} goes")
    work.working(
        "hydrochloric for boiling off",
        "3 x mol nitric x times / (mol/L)",
        f"3 x {1000 * high(left):.4g} mmol x {high(excess):.3g} / {likely(bottle.mol_per_l):.4g} mol/L",
        f"{1000 * pour_l:.4g} mL",
    )
    pour_bottle(work, "hydrochloric acid", bottle, pour_l)


def _drive_off_nitric(work: Work, bottle: Solution) -> None:
    """Let the nitric go with three hydrochloric each, as far as acid and chloride reach."""
    left = work.dissolved.get("NO3^-", 0.0)
    ran = np.minimum(np.minimum(left, work.dissolved.get("H^+", 0.0) / 4), work.dissolved.get("Cl^-", 0.0) / 3)
    work.react(BOILED_OFF, ran)
    work.escape("Cl2", work.dissolved.get("Cl2", 0.0))
    for gas in ("NOCl", "Cl2"):
        work.gas(gas, Range.over(work.gases_mol.get(gas, 0.0)), sized_on="all the nitric, by way of nitrosyl chloride")
    each_l = litres(ran, work.place.temperature_k, work.place.pressure_pa)
    work.answer("gas", 2 * each_l, "L", sized_on="high nitric: for lungs", because="one chlorine and one nitrosyl chloride each")
    work.answer("hcl_used", 3000 * ran / bottle.mol_per_l, "mL", because="three to a nitric")


def _steam(work: Work, steam_l: Number, told: Mapping[str, Any]) -> None:
    """Take water, and acid with the steam, off the liquor."""
    work.boil_off(np.minimum(steam_l, work.dissolved.get("H2O", 0.0) * molar_mass("H2O") / 1000))
    work.answer("driven_off", 1000 * steam_l, "mL", because="what is there less what is left")
    end_acid = told.get("end_acid_mol_per_l")
    if end_acid is None:
        # hydrochloric goes with the steam towards constant-boiling strength: what stands over that leaves
        percent = 100 * work.fact("practice/denox.boil_end_strength").value
        end_acid = Solution.of("HCl", "percent_ww", percent).mol_per_l
        work.assume(f"hydrochloric left at {percent:g} % at most: the rest goes with the steam")
    free = np.minimum(free_acid_mol(work.dissolved), work.dissolved.get("Cl^-", 0.0))
    off = np.where(steam_l > 0, np.maximum(free - end_acid * work.volume_l, 0.0), 0.0)
    work.escape("HCl", off)
    work.answer("hcl_off", off, "mol", sized_on="high: for hood and scrubber", because="hydrochloric that goes with the steam")
    work.gas("HCl", Range.over(off), sized_on="acid over the end strength, with the steam")
    gold_g = work.dissolved.get("AuCl4^-", 0.0) * molar_mass("Au")
    if low(gold_g) > 0:
        work.answer("end_per_gold", 1000 * work.volume_l / gold_g, "mL/g", sized_on="low", because="under 5 gold chloride bakes")


def plate_time(work: Work, water_g: Number, told: Mapping[str, Any], from_k: float) -> None:
    """Answer heat and minutes to boil so much water away.

    Args:
        work: the step
        water_g: water to drive off [g]
        told: may hold `plate_w`, `plate_share`
        from_k: temperature it starts at [K]
    """
    heat = boil_down_heat(water_g, from_k)
    watts = high(work.default(told.get("plate_w"), "practice/denox.plate", "hot plate"))
    words = "share of the plate's heat that reaches the liquor"
    share = work.default(told.get("plate_share"), "practice/denox.plate_share", words)
    minutes = 1000 * heat / (watts * share) / 60
    work.answer("boil_heat", heat, "kJ", because="warming to the boil, and steam")
    work.answer("boil_minutes", minutes, "min", because="heat over the power that reaches the liquor")
    work.working(
        "boiling time",
        "heat / (plate x share)",
        f"{likely(heat):.4g} kJ / ({watts:g} W x {likely(share):.3g})",
        f"{likely(minutes):.4g} min",
        "practice/denox.plate_share",
    )
    work.minutes = Range.over(minutes)
    work.heat_kj = -1 * likely(heat)
