"""The ways to be rid of nitric, each as it is done and as it ends."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import numpy as np

from refinekit.bench.pouring import bottle_of, label_of, pour_bottle
from refinekit.bench.step import Reagent
from refinekit.bench.work import Work
from refinekit.chemistry.gas import litres
from refinekit.chemistry.heat import boil_down_heat
from refinekit.chemistry.redox import electrons_given, extent, reaction_of
from refinekit.chemistry.solution import Solution
from refinekit.chemistry.species import molar_mass
from refinekit.errors import CannotFollow
from refinekit.ranges import Number, Range, high, likely, low

SULFAMIC = "R4.3"
TO_AMMONIUM = "R4.4"
LEAD_SULFATE = "R4.7"
BOILED_OFF = "R4.1"


def sulfamic(work: Work, acid: Solution, told: Mapping[str, Any]) -> None:
    """Sulfamic acid, mole for mole, hot and in pinches.

    Source: R4.3; taken share and ammonium line by common practice
    """
    left = work.dissolved.get("NO3^-", 0.0)
    mass = molar_mass("H3NSO3")
    ceiling_g = high(left) * mass
    added_g = told.get("sulfamic_g")
    share = (
        work.default(told.get("taken"), "practice/denox.sulfamic_taken", "share of the nitric that sulfamic takes")
        if added_g is None
        else 1.0
    )
    bare = Range.over(left * mass)
    added_mol: Number = left * share if added_g is None else added_g / mass
    first_g = 0.5 * low(left) * mass
    if first_g > 0:
        work.reagent(
            Reagent(
                "sulfamic acid",
                bare,
                first_g,
                "g",
                "low leftover",
                "x 0.5",
                "",
                "first, in pinches",
                "sulfamic",
                "down",
                counts=False,
            )
        )
    work.reagent(
        Reagent(
            "sulfamic acid",
            bare,
            ceiling_g,
            "g",
            "top of the leftover range",
            "x 1",
            "",
            "at most, in pinches",
            "sulfamic",
            "down",
        )
    )
    work.answer("sulfamic_bare", bare, "g", because="one to a nitric")
    work.answer(
        "sulfamic_ceiling", ceiling_g, "g", sized_on="top of the leftover range", because="more, boiled, becomes ammonium"
    )
    work.answer("sulfamic_added", added_mol * mass, "g", because="what it takes till a pinch no longer fizzes")
    work.working(
        "sulfamic, at most", "mol nitric x 97.09 g/mol", f"{1000 * high(left):.4g} mmol x {mass:.4g} g/mol", f"{ceiling_g:.4g} g"
    )
    work.pour("sulfamic acid", {"H3NSO3": added_mol})
    ran = np.minimum(work.dissolved["H3NSO3"], work.dissolved.get("NO3^-", 0.0))
    work.react(SULFAMIC, ran)
    gas = Range.over(work.gases_mol.get("N2O", 0.0))
    work.gas("N2O", gas, sized_on="all of the sulfamic")
    work.answer(
        "n2o", Range.over(litres(ran, work.place.temperature_k, work.place.pressure_pa)), "L", because="one to a sulfamic"
    )
    work.answer("sulfate", 1000 * ran, "mmol", because="one to a sulfamic: lead falls as white sulfate")
    work.answer("sulfuric_acid", ran * molar_mass("H2SO4"), "g", because="one to a sulfamic")
    lead_sulfate(work)
    excess_to_ammonium(work, left, told)
    still = work.dissolved.get("NO3^-", 0.0)
    work.answer("nitric_still_left", 1000 * still / acid.mol_per_l, "mL", because="what the sulfamic did not take")
    work.say("how", "hot (70 to 90 degC), a pinch at a time; it froths")
    work.say("done when", "a pinch no longer fizzes; stop there. Cold and dilute it seems done while nitric remains")


def lead_sulfate(work: Work) -> None:
    """Let lead fall as sulfate, as far as there is sulfate."""
    lead = work.dissolved.get("Pb^2+", 0.0)
    if high(np.asarray(lead)) <= 0:
        return
    work.react(LEAD_SULFATE, np.minimum(lead, work.dissolved.get("SO4^2-", 0.0)))
    work.answer(
        "lead_sulfate", work.solids.get("PbSO4", 0.0) * molar_mass("PbSO4"), "g", because="one to a lead: filter it off now"
    )
    work.say("next", "filter the white lead sulfate off before the drop")


def excess_to_ammonium(work: Work, left_mol: Number, told: Mapping[str, Any]) -> None:
    """What sulfamic left over becomes when it is boiled on, or may become where it is far too much."""
    spare = work.dissolved.get("H3NSO3", 0.0)
    if high(np.asarray(spare)) <= 0:
        return
    over = work.fact("practice/denox.sulfamic_over").value
    added = high(left_mol) + high(np.asarray(spare))
    if told.get("boiled_after") or added > over * high(left_mol):
        work.react(TO_AMMONIUM, spare)
        work.mark("ammonium")
        work.answer(
            "ammonium",
            1000 * work.dissolved.get("NH4^+", 0.0),
            "mmol",
            sized_on="all the excess",
            because="sulfamic boiled in water",
        )
    else:
        work.assume("the little sulfamic left over is not boiled on")


def boil_down(work: Work, acid: Solution, told: Mapping[str, Any]) -> None:
    """Boil to syrup with hydrochloric, again and again; the nitric leaves as nitrosyl chloride and chlorine.

    Raises: CannotFollow, asked to boil to less than bakes the gold
    Source: R4.1; boiling heat; end strength of constant-boiling acid
    """
    left = work.dissolved.get("NO3^-", 0.0)
    bottle = bottle_of(work, "HCl", told.get("hydrochloric"), "hydrochloric acid")
    excess = work.default(
        told.get("hcl_excess"), "practice/denox.boil_hcl_excess", "hydrochloric for boiling off, times the bare need"
    )
    rounds = work.fact("practice/denox.boil_rounds").value
    bare_ml = Range.over(3000 * left / bottle.mol_per_l)
    pour_l = high(np.asarray(3 * left * excess / bottle.mol_per_l))
    work.reagent(
        Reagent(
            "hydrochloric acid",
            bare_ml,
            1000 * pour_l,
            "mL",
            "top of the leftover range",
            f"x {high(np.asarray(excess)):.2g}",
            label_of(bottle),
            f"in {rounds:g} goes, after each boil-down",
            "hydrochloric",
            "up",
        )
    )
    work.answer("hcl_bare", bare_ml, "mL", because="three to a nitric")
    pour_bottle(work, "hydrochloric acid", bottle, pour_l)
    ran = np.minimum(left, work.dissolved.get("H^+", 0.0) / 4)
    ran = np.minimum(ran, work.dissolved.get("Cl^-", 0.0) / 3)
    work.react(BOILED_OFF, ran)
    chlorine = work.dissolved.get("Cl2", 0.0)
    work.escape("Cl2", chlorine)
    for gas in ("NOCl", "Cl2"):
        work.gas(gas, Range.over(work.gases_mol.get(gas, 0.0)), sized_on="all the nitric, by way of nitrosyl chloride")
    gold_g = work.dissolved.get("AuCl4^-", 0.0) * molar_mass("Au")
    least_l = high(gold_g) * work.fact("practice/denox.boil_end").value / 1000
    end_l = told.get("end_volume_l")
    end_l = least_l if end_l is None else end_l
    steam_l = np.maximum(work.volume_l - end_l, 0.0)
    plate_time(work, 1000 * steam_l, told, work.temperature_k)
    _boil_away(work, steam_l)
    work.answer("end_volume", 1000 * end_l, "mL", sized_on="high gold", because="5 mL to a gram of gold: never to dryness")
    work.answer("hcl_used", 3000 * ran / bottle.mol_per_l, "mL", because="three to a nitric")
    work.say("how", f"to syrup, add hydrochloric, {rounds:g} times; never dry, never over the last 50 mL unwatched: it bumps")
    work.say("done when", "no brown over the syrup when fresh hydrochloric goes in")


def _boil_away(work: Work, steam_l: Number) -> None:
    """Take water, and acid with the steam, off the liquor, and say heat and time."""
    if high(steam_l) <= 0:
        return
    strength = work.fact("practice/denox.boil_end_strength").value
    work.boil_off(np.minimum(steam_l, work.dissolved.get("H2O", 0.0) * molar_mass("H2O") / 1000))
    # hydrochloric goes with the steam towards constant-boiling strength: what stands over that leaves
    litres_left = np.maximum(work.volume_l, 1e-6)
    keep_mol = strength * 1000 * litres_left / molar_mass("HCl")
    free = np.minimum(work.dissolved.get("H^+", 0.0) - work.dissolved.get("AuCl4^-", 0.0), work.dissolved.get("Cl^-", 0.0))
    off = np.maximum(free - keep_mol, 0.0)
    work.escape("H^+", off)
    work.escape("Cl^-", off)


def plate_time(work: Work, water_g: Number, told: Mapping[str, Any], from_k: float) -> None:
    """Answer heat and minutes to boil so much water away."""
    heat = boil_down_heat(water_g, from_k)
    watts = high(np.asarray(work.default(told.get("plate_w"), "practice/denox.plate", "hot plate")))
    share = work.default(
        told.get("plate_share"), "practice/denox.plate_share", "share of the plate's heat that reaches the liquor"
    )
    minutes = 1000 * heat / (watts * share) / 60
    work.answer("boil_heat", heat, "kJ", because="warming to the boil, and steam")
    work.answer("boil_minutes", minutes, "min", because="heat over the power that reaches the liquor")
    work.minutes = Range.over(minutes)
    work.heat_kj = -1 * likely(np.asarray(heat))


def button(work: Work, acid: Solution, told: Mapping[str, Any]) -> None:
    """A clean gold button hung in the hot liquor eats the nitric, and its loss measures it.

    Source: R4.8, one gold to a nitric by nitric oxide, a third by nitrogen dioxide
    """
    before, after = told.get("button_before_g"), told.get("button_after_g")
    if before is not None and after is not None:
        lost = np.asarray(before - after)
        if low(lost) < 0:
            raise CannotFollow("the button weighs more after than before", cure="dry both, weigh again")
        nitric = lost / molar_mass("Au")
        work.answer(
            "nitric_that_was_left", 1000 * nitric / acid.mol_per_l, "mL", because="loss x 5.08 mmol/g, one gold to a nitric"
        )
        work.answer("nitric_that_was_left_amount", 1000 * nitric, "mmol", because="a measurement: it beats any reckoned range")
        work.mark("nitric-measured")
        _eat_button(work, nitric)
        return
    left = work.dissolved.get("NO3^-", 0.0)
    gold_g = left * molar_mass("Au")
    work.reagent(
        Reagent(
            "fine gold button",
            Range.over(gold_g),
            high(gold_g),
            "g",
            "top of the leftover range, all as NO",
            "x 1",
            "weighed",
            "hung in, hot",
            "gold",
            "up",
            counts=False,
        )
    )
    work.answer("gold_no_route", gold_g, "g", sized_on="all as NO", because="one gold to a nitric")
    work.answer("gold_no2_route", gold_g / 3, "g", sized_on="all as NO2", because="one gold to three nitric")
    _eat_button(work, left)
    work.say("done when", "action stops; weigh the button: its loss x 5.08 is the mmol of nitric that was left")


def _eat_button(work: Work, nitric_mol: Number) -> None:
    reaction = reaction_of("Au", "NO3^-")
    there = work.dissolved.get("NO3^-", 0.0)
    acid = np.minimum(
        work.dissolved.get("H^+", 0.0) / reaction.left["H^+"], work.dissolved.get("Cl^-", 0.0) / reaction.left["Cl^-"]
    )
    eaten = np.minimum(np.minimum(nitric_mol, there), acid)
    if high(eaten) <= 0:
        return
    work.pour("gold off the button", {"Au": eaten})
    work.react(reaction, extent("Au", "NO3^-", electrons_given("Au") * eaten))
    work.gas("NO", Range.over(work.gases_mol.get("NO", 0.0)), sized_on="all as NO")


def urea(work: Work, acid: Solution, told: Mapping[str, Any]) -> None:
    """Urea for a stated amount of nitrous acid, and why not for nitric.

    Raises: CannotFollow, no nitrous acid was stated
    Source: R4.5, R4.6
    """
    nitrous = told.get("nitrous_mol")
    if nitrous is None:
        raise CannotFollow(
            "urea is not sized on nitric: it takes nitrous only, and with nitric forms urea nitrate, an explosive when dried",
            cure='sulfamic or a gold button for nitric; for nitrous say how much, as in --nitrous "10 mmol"',
        )
    grams = Range.over(nitrous / 2 * molar_mass("CO(NH2)2"))
    work.reagent(Reagent("urea", grams, grams.high, "g", "the nitrous acid stated", "x 1", "", "cold", "urea", "down"))
    work.answer("urea", grams, "g", because="half a urea to a nitrous acid")
    work.answer(
        "gas",
        litres(nitrous * 3 / 2, work.place.temperature_k, work.place.pressure_pa),
        "L",
        because="one CO2 and two N2 to a urea",
    )
    work.answer("nitric_removed", 0.0, "mmol", because="urea does nothing to nitric")
    short = np.maximum(nitrous - work.dissolved.get("HNO2", 0.0), 0.0)
    work.pour("nitrous acid, as stated", {"HNO2": short})
    work.pour("urea", {"CO(NH2)2": nitrous / 2})
    work.react("R4.5", nitrous / 2)
    work.gas("N2", Range.over(nitrous), sized_on="the nitrous acid stated")
    work.mark("urea")
    work.notice(
        "warn",
        "urea-not-for-nitric",
        "urea does not remove nitric: do not size urea on nitric, it forms urea nitrate, an explosive when dried",
        "sulfamic acid, boiling down or a gold button takes nitric",
        "equation",
    )


def leave_it(work: Work, acid: Solution, told: Mapping[str, Any]) -> None:
    """Nothing is done: the nitric goes on to the drop."""
    work.say("next", "the drop will have to pay for this nitric first, with brown fume")
