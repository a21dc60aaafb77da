"""The ways to be rid of nitric without boiling, each as it is done and as it ends."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import numpy as np

from refinekit.bench.foam import foam_by_portions, foam_of_portion, half_full_l
from refinekit.bench.neutralise_heat import heat_of
from refinekit.bench.step import Reagent
from refinekit.bench.vessel import stand
from refinekit.bench.work import ROUNDING, Work
from refinekit.chemistry.gas import litres
from refinekit.chemistry.heat import rise_k
from refinekit.chemistry.redox import electrons_given, extent, reaction_of
from refinekit.chemistry.solution import Solution
from refinekit.chemistry.species import molar_mass
from refinekit.errors import CannotFollow
from refinekit.facts.load import fact
from refinekit.ranges import Number, Range, high, low, times_bare

WITH_NITROUS = "R4.2"
WITH_NITRIC = "R4.3"
TO_AMMONIUM = "R4.4"
UREA = "R4.5"
LEAD_SULFATE = "R4.7"
GONE_BEFORE = "R4.1"
GEAR = "hood; face shield and goggles, long gloves; a cartridge mask does not hold nitric oxide"


# ---- sulfamic acid
def sulfamic(work: Work, acid: Solution, told: Mapping[str, Any]) -> None:
    """Sulfamic acid, mole for mole, hot and in pinches.

    Args:
        work: the step, the liquor in it
        acid: the nitric as it was poured
        told: may hold `sulfamic_g`, `taken`, `boiled_after`
    Source: R4.2, R4.3, R4.4; taken share and ammonium line by common practice
    """
    mass = molar_mass("H3NSO3")
    nitrous = work.dissolved.get("HNO2", 0.0)
    left = work.dissolved.get("NO3^-", 0.0) + nitrous
    if told.get("sulfamic_g") is not None:
        added = told["sulfamic_g"] / mass
    else:
        added = left * work.default(told.get("taken"), "practice/denox.sulfamic_taken", "share of the nitric that sulfamic takes")
    _say_sulfamic(work, left, added * mass)
    work.pour("sulfamic acid", {"H3NSO3": added})
    at_once = np.minimum(work.dissolved["H3NSO3"], nitrous)
    if high(at_once) > 0:
        work.react(WITH_NITROUS, at_once)
        work.gas("N2", Range.over(at_once), sized_on="all of the nitrous")
    ran = np.minimum(work.dissolved["H3NSO3"], work.dissolved.get("NO3^-", 0.0))
    work.react(WITH_NITRIC, ran)
    work.gas("N2O", Range.over(ran), sized_on="all of the sulfamic")
    froth_l = litres(ran + at_once, work.place.temperature_k, work.place.pressure_pa)
    work.answer("n2o", froth_l, "L", sized_on="high: for froth and vessel", because="one to a sulfamic")
    made = ran + at_once
    work.answer("sulfate", 1000 * made, "mmol", because="one to a sulfamic: lead falls as white sulfate")
    work.answer("sulfuric_acid", made * molar_mass("H2SO4"), "g", because="one to a sulfamic")
    _warms(work, ran, at_once)
    lead_sulfate(work)
    _spare_sulfamic(work, left, added, told)
    still = work.dissolved.get("NO3^-", 0.0)
    work.answer(
        "nitric_still_left", 1000 * still / acid.mol_per_l, "mL", sized_on="a range", because="what the sulfamic did not take"
    )
    if high(work.volume_l) > 0:
        vessel = stand(work, work.volume_l, work.fact("practice/general.vessel.foam_fine").value, how="on a tray: it froths")
        foam_by_portions(work, froth_l, "sulfamic", vessel, made * mass)
    work.say("how", "hot (70 to 90 degC), a pinch at a time, the next when the froth has fallen")
    work.say("done when", "a pinch no longer fizzes; stop there. Cold and dilute it seems done while nitric remains")
    work.say(
        "watch for", "never boil on with sulfamic left over: it becomes ammonium, and caustic on that with gold is explosive"
    )
    work.say("gear", GEAR)


def _warms(work: Work, with_nitric: Number, with_nitrous: Number) -> None:
    """How far the liquor heats itself beside the plate; what the powder takes to dissolve, a tenth, is left out."""
    work.heat_kj = with_nitric * (heat_of(WITH_NITRIC) or 0.0) + with_nitrous * (heat_of(WITH_NITROUS) or 0.0)
    work.answer("heat", work.heat_kj, "kJ", sized_on="high", because="from formation enthalpies, about 250 to a mole of nitric")
    if low(work.volume_l) <= 0:
        return
    rise: Number = np.maximum(rise_k(work.heat_kj, work.volume_l), 0.0)
    work.answer(
        "rise", rise, "K", sized_on="high", because="if all goes in at once and the pot keeps its heat, plate not counted"
    )
    if high(rise) > 0:
        work.say(
            "watch for",
            f"it heats itself, up to {high(rise):.2g} K in all: plate off before the first pinch, on again at the end",
        )


def _say_sulfamic(work: Work, left_mol: Number, added_g: Number) -> None:
    """What to weigh, at first and at most."""
    mass = molar_mass("H3NSO3")
    bare, ceiling_g = Range.over(left_mol * mass), high(left_mol) * mass
    half = work.fact("practice/general.excess.sulfamic_first").value
    first_g, on = half * bare.low, "top of the leftover range"
    if first_g > 0:
        when = "first, in pinches"
        work.reagent(
            Reagent(
                "sulfamic acid",
                bare,
                first_g,
                "g",
                "low leftover",
                excess=times_bare(half),
                when=when,
                key="sulfamic",
                rounding="down",
                counts=False,
            )
        )
    if ceiling_g > 0:
        when = "at most, in pinches"
        work.reagent(
            Reagent(
                "sulfamic acid",
                bare,
                ceiling_g,
                "g",
                on,
                excess=times_bare(1.0),
                when=when,
                key="sulfamic",
                rounding="down",
                to_sign=True,
            )
        )
    work.answer("sulfamic_bare", bare, "g", sized_on="bare", because="one to a nitric")
    work.answer("sulfamic_ceiling", ceiling_g, "g", sized_on=on, because="more, boiled, becomes ammonium")
    work.answer("sulfamic_added", added_g, "g", because="what it takes till a pinch no longer fizzes")
    work.working(
        "sulfamic, at most",
        "mol nitric x molar mass",
        f"{1000 * high(left_mol):.4g} mmol x {mass:.4g} g/mol",
        f"{ceiling_g:.4g} g",
    )


def lead_sulfate(work: Work) -> None:
    """Let lead fall as sulfate, as far as there is sulfate."""
    lead = work.dissolved.get("Pb^2+", 0.0)
    if high(lead) <= 0:
        return
    work.react(LEAD_SULFATE, np.minimum(lead, work.dissolved.get("SO4^2-", 0.0)))
    fallen = work.solids.get("PbSO4", 0.0) * molar_mass("PbSO4")
    work.answer("lead_sulfate", fallen, "g", because="one to a lead: filter it off now")
    work.say("next", "filter the white lead sulfate off before the drop")


def _spare_sulfamic(work: Work, left_mol: Number, added_mol: Number, told: Mapping[str, Any]) -> None:
    """What sulfamic left over becomes when it is boiled on, or may become where it is far too much."""
    spare = work.dissolved.get("H3NSO3", 0.0)
    if high(spare) <= ROUNDING * high(added_mol):
        return
    over = work.fact("practice/denox.sulfamic_over").value
    if not told.get("boiled_after") and high(added_mol) <= over * high(left_mol):
        work.assume("the little sulfamic left over is not boiled on")
        return
    work.react(TO_AMMONIUM, spare)
    work.mark("ammonium")
    ammonium = 1000 * work.dissolved.get("NH4^+", 0.0)
    work.answer("ammonium", ammonium, "mmol", sized_on="all the excess", because="sulfamic boiled in water, one to one")
    work.working(
        "ammonium",
        "sulfamic added less what nitric took",
        f"{1000 * high(added_mol):.4g} mmol added",
        f"{high(ammonium):.4g} mmol",
        "practice/denox.sulfamic_over",
    )
    work.say("next", "drop the gold acid, with metabisulfite or copperas: no alkali to this pot")


# ---- a gold button
def button(work: Work, acid: Solution, told: Mapping[str, Any]) -> None:
    """A clean gold button hung in the hot liquor eats the nitric, and its loss measures it.

    Args:
        work: the step, the liquor in it
        acid: the nitric as it was poured
        told: may hold `button_before_g`, `button_after_g`
    Raises: CannotFollow, the button grew, or one weight of two
    Source: R4.8, one gold to a nitric by nitric oxide, a third by nitrogen dioxide
    """
    before, after = told.get("button_before_g"), told.get("button_after_g")
    if (before is None) != (after is None):
        raise CannotFollow(
            "a button measures by two weights", cure='give both, as in --button-before "12.40 g" --button-after "11.90 g"'
        )
    work.say("how", "hung from a glass hook in the hot liquor, hydrochloric plenty, till action stops")
    work.say("gear", GEAR)
    if before is not None and after is not None:
        _measured(work, acid, before - after)
        return
    left = work.dissolved.get("NO3^-", 0.0)
    gold_g = left * molar_mass("Au")
    if high(gold_g) > 0:
        work.reagent(
            Reagent(
                "fine gold button",
                Range.over(gold_g),
                high(gold_g),
                "g",
                "top of the leftover range, all as NO",
                excess=times_bare(1.0),
                bottle="weighed",
                when="hung in, hot",
                key="gold",
                rounding="up",
                counts=False,
            )
        )
    work.answer("gold_no_route", gold_g, "g", sized_on="all as NO", because="one gold to a nitric")
    work.answer("gold_no2_route", gold_g / 3, "g", sized_on="all as NO2", because="one gold to three nitric")
    _eat_button(work, left)
    work.say("done when", "action stops; weigh the button: its loss in grams x 5.08 is the mmol of nitric that was left")


def _measured(work: Work, acid: Solution, lost_g: Number) -> None:
    """What a button's loss says was left: a measurement, which the pot is then held to."""
    if low(lost_g) < 0:
        raise CannotFollow("the button weighs more after than before", cure="dry both, weigh again")
    nitric = lost_g / molar_mass("Au")
    per_gram = 1000 / molar_mass("Au")
    work.answer(
        "nitric_that_was_left",
        1000 * nitric / acid.mol_per_l,
        "mL",
        because=f"loss x {per_gram:.3g} mmol/g, one gold to a nitric",
    )
    because = "a measurement: it beats any reckoned range"
    work.answer("nitric_that_was_left_amount", 1000 * nitric, "mmol", because=because)
    work.working("nitric that was left", "loss / 196.97 g/mol", f"{high(lost_g):.4g} g", f"{1000 * high(nitric):.4g} mmol")
    hold_nitric_to(work, nitric, "the button")
    work.mark("nitric-measured")
    _eat_button(work, nitric)
    work.say("done when", "no more is lost when it hangs again: no nitric is left")


def hold_nitric_to(work: Work, nitric_mol: Number, whose: str) -> None:
    """Hold the pot's reckoned nitric to a figure that is known better.

    Args:
        work: the step
        nitric_mol: nitric there was [mol]
        whose: where the figure is from, for the history [text]
    Source: what was reckoned beyond it is taken to have left hot with hydrochloric, R4.1
    """
    there = work.dissolved.get("NO3^-", 0.0)
    short = np.maximum(nitric_mol - there, 0.0)
    if high(short) > 0:
        work.pour(f"nitric by {whose}, over the reckoned", {"HNO3": short})
    acid = np.minimum(work.dissolved.get("H^+", 0.0) / 4, work.dissolved.get("Cl^-", 0.0) / 3)
    gone = np.minimum(np.maximum(there - nitric_mol, 0.0), acid)
    if high(gone) > 0:
        work.react(GONE_BEFORE, gone)
        work.escape("Cl2", work.dissolved.get("Cl2", 0.0))
        work.assume(f"the reckoned nitric over what {whose} says had left in the fume before")
    work.did(f"nitric held to {whose}")


def _eat_button(work: Work, nitric_mol: Number) -> None:
    """Let the button take up so much nitric, as far as there is acid and chloride beside it."""
    reaction = reaction_of("Au", "NO3^-")
    there = work.dissolved.get("NO3^-", 0.0)
    protons, chloride = (work.dissolved.get(ion, 0.0) / reaction.left[ion] for ion in ("H^+", "Cl^-"))
    acid = np.minimum(protons, chloride)
    eaten = np.minimum(np.minimum(nitric_mol, there), acid)
    if high(np.minimum(nitric_mol, there) - acid) > 0:
        work.say("watch for", "the liquor is short of hydrochloric: a gold takes four, pour more before the button hangs")
    if high(eaten) <= 0:
        return
    work.pour("gold off the button", {"Au": eaten})
    work.react(reaction, extent("Au", "NO3^-", electrons_given("Au") * eaten))
    work.gas("NO", Range.over(eaten), sized_on="all as NO")
    if low(work.volume_l) > 0:
        gas_l = litres(eaten, work.place.temperature_k, work.place.pressure_pa)
        hot_k = work.fact("practice/foam.sulfamic.hot").value + fact("constants.zero_celsius").value
        foam_of_portion(work, gas_l, "practice/heat.t90.nitric", half_full_l(work.volume_l), hot_k=hot_k)


# ---- urea, and nothing
def urea(work: Work, acid: Solution, told: Mapping[str, Any]) -> None:
    """Urea for a stated amount of nitrous acid, and why not for nitric.

    Args:
        work: the step
        acid: the nitric as it was poured
        told: `nitrous_mol`
    Raises: CannotFollow, no nitrous acid was stated
    Source: R4.5, R4.6
    """
    nitrous = told.get("nitrous_mol")
    if nitrous is None:
        raise CannotFollow(
            "urea is not sized on nitric: it takes nitrous only, and with nitric forms urea nitrate, an explosive when dried",
            cure='sulfamic or a gold button for nitric; for nitrous say how much, as in --nitrous "10 mmol"',
        )
    need = nitrous / 2
    grams = Range.over(need * molar_mass("CO(NH2)2"))
    on = "the nitrous acid stated"
    work.reagent(Reagent("urea", grams, grams.high, "g", on, excess=times_bare(1.0), when="cold", key="urea", rounding="down"))
    work.answer("urea", grams, "g", sized_on=on, because="half a urea to a nitrous acid")
    gas_l = litres(3 * need, work.place.temperature_k, work.place.pressure_pa)
    work.answer("gas", gas_l, "L", sized_on=on, because="one carbon dioxide and two nitrogen to a urea")
    work.answer("nitric_removed", 0.0, "mmol", because="urea does nothing to nitric")
    work.working(
        "urea", "mol nitrous / 2 x molar mass", f"{1000 * high(nitrous):.4g} mmol / 2 x 60.06 g/mol", f"{grams.high:.4g} g"
    )
    work.pour("nitrous acid, as stated", {"HNO2": np.maximum(nitrous - work.dissolved.get("HNO2", 0.0), 0.0)})
    work.pour("urea", {"CO(NH2)2": need})
    work.react(UREA, need)
    for formula, each in (("N2", 2), ("CO2", 1)):
        work.gas(formula, Range.over(each * need), sized_on=on)
    if low(work.volume_l) > 0:
        foam_by_portions(work, gas_l, "urea", half_full_l(work.volume_l), grams.high)
    work.mark("urea")
    work.notice(
        "warn",
        "urea-refused",
        "urea does not remove nitric: do not size urea on nitric, it forms urea nitrate, an explosive when dried",
        "sulfamic acid, boiling down or a gold button takes nitric",
        "equation",
    )
    work.say("watch for", "never boil or dry a liquor that had urea and nitric in it")


def leave_it(work: Work, acid: Solution, told: Mapping[str, Any]) -> None:
    """Nothing is done: the nitric goes on to the drop."""
    work.say("next", "the drop will have to pay for this nitric first, with brown fume")
