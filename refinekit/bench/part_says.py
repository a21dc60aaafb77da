"""What a parting says: the charge and its portions, the gas by every route, how it is done."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any

from refinekit.bench.part_nitric import electrons_of, nitric_for
from refinekit.bench.pouring import label_of
from refinekit.bench.step import Reagent
from refinekit.bench.work import Work
from refinekit.chemistry.gas import molar_volume_l
from refinekit.chemistry.solution import Solution
from refinekit.ranges import Number, Range, high, likely, low
from refinekit.record import record

NITRIC = "nitric acid"


@record
class Charge:
    """The acid of a parting.

    Args:
        bottle: nitric acid in hand
        no_share: share of the nitrogen leaving as nitric oxide [-]
        metals_mol: what is to dissolve, by symbol [mol]
        least_l, need_l, most_l: acid the metals take, all as NO, as split, all as NO2 [L]
        poured_l: acid of the first boil [L]
        water_l: water with it [L]
        second_l: strong acid of the second boil [L]
    """

    bottle: Solution
    no_share: Number
    metals_mol: Mapping[str, Number]
    least_l: Number
    need_l: Number
    most_l: Number
    poured_l: Number
    water_l: Number
    second_l: Number


def portions_of(work: Work, told: Mapping[str, Any]) -> float:
    """Portions the first boil's acid goes in."""
    return likely(work.default(told.get("portions"), "practice/part.portions", "portions of the first boil"))


def say_pours(work: Work, told: Mapping[str, Any], charge: Charge) -> None:
    """Answer the need by every route and the acid to pour.

    Args:
        work: the step
        told: may hold `portions`, `nitric_added_l`, `charge`
        charge: the acid
    """
    portions = portions_of(work, told)
    why = "salts bound + electrons / (1 + 2 x)"
    work.answer(
        "electrons",
        electrons_of(charge.metals_mol),
        "mol",
        because="1 to a silver, 2 to copper, zinc and palladium, 4 to platinum",
    )
    work.answer(
        "nitric_no_route", 1000 * charge.least_l, "mL", sized_on="low: the least that can do", because=f"{why}, x = 1, all as NO"
    )
    work.answer(
        "nitric_no2_route",
        1000 * charge.most_l,
        "mL",
        sized_on="high: the most any route uses",
        because=f"{why}, x = 0, all as NO2",
    )
    work.answer("nitric", 1000 * charge.need_l, "mL", because=f"{why}, x = {likely(charge.no_share):.3g}")
    told_it = told.get("nitric_added_l") is not None
    times = told.get("charge", work.fact("practice/part.charge").value)
    because = "as you said" if told_it else f"x {likely(times):.3g} on the mean of both routes"
    work.answer("nitric_charge", 1000 * charge.poured_l, "mL", sized_on="high to have at hand", because=because)
    work.answer("portion", 1000 * charge.poured_l / portions, "mL", sized_on="low: foam", because=f"one of {portions:g} portions")
    _first_boil(work, charge, portions, because)
    _second_boil(work, charge)
    bound = nitric_for(charge.metals_mol, 0.0) - electrons_of(charge.metals_mol)
    work.working(
        "nitric",
        "salts bound + electrons / (1 + 2 x)",
        f"{likely(bound):.4g} mol bound, {likely(electrons_of(charge.metals_mol)):.4g} mol electrons,"
        f" bottle {likely(charge.bottle.mol_per_l):.4g} mol/L",
        f"{1000 * likely(charge.least_l):.4g} mL (all NO), {1000 * likely(charge.need_l):.4g} mL,"
        f" {1000 * likely(charge.most_l):.4g} mL (all NO2)",
    )
    work.working(
        "charge",
        "times x (all NO + all NO2) / 2",
        f"{likely(times):.3g} x ({1000 * likely(charge.least_l):.4g} + {1000 * likely(charge.most_l):.4g}) mL / 2",
        f"{1000 * likely(charge.poured_l):.4g} mL{', as you said' if told_it else ''}",
        "practice/part.charge",
    )


def _first_boil(work: Work, charge: Charge, portions: float, excess: str) -> None:
    """Water on the flake, then the acid by portions."""
    if high(charge.water_l) > 0:
        water = 1000 * high(charge.water_l)
        work.reagent(
            Reagent("water", Range.point(0.0), water, "mL", "high metal", "", "", "first, on the flake", "water", "nearest")
        )
    bare = Range(low(1000 * charge.least_l), likely(1000 * charge.need_l), high(1000 * charge.most_l))
    first, most = 1000 * low(charge.poured_l) / portions, 1000 * high(charge.poured_l)
    bottle, in_all = label_of(charge.bottle), f"then a portion, {portions:g} in all"
    work.reagent(Reagent(NITRIC, bare, first, "mL", "low metal", excess, bottle, in_all, "nitric", "down", counts=False))
    sized_on, all_of_it = "high metal, mean of both routes", "at most, first boil"
    work.reagent(Reagent(NITRIC, bare, most, "mL", sized_on, excess, bottle, all_of_it, "nitric", "down", to_sign=True))


def _second_boil(work: Work, charge: Charge) -> None:
    """Strong acid on the sponge, where gold is left."""
    second_ml = 1000 * charge.second_l
    if high(second_ml) <= 0:
        return
    none, bottle, sponge = Range.point(0.0), label_of(charge.bottle), "covers the sponge"
    sized_on, when = f"high gold: {sponge}", "second boil, not diluted"
    work.reagent(Reagent(NITRIC, none, high(second_ml), "mL", sized_on, "", bottle, when, "nitric"))
    because = f"{sponge}; most of it stays free acid"
    work.answer("nitric_second_boil", second_ml, "mL", sized_on="high gold", because=because)


def say_gases(work: Work, told: Mapping[str, Any], charge: Charge) -> None:
    """Answer the gas by the routes: a portion is a burst of its own.

    Args:
        work: the step, metals dissolved
        told: may hold `portions`, `minutes_s`, `nine_tenths_s`
        charge: the acid
    """
    portions = portions_of(work, told)
    minutes_s = high(told["minutes_s"]) if "minutes_s" in told else 60 * work.fact("practice/part.minutes").value
    if "minutes_s" not in told:
        work.assume(f"a portion every {minutes_s / 60:g} min")
    tenths = told.get("nine_tenths_s")
    t90_min = minutes_s / 60 * work.fact("practice/part.nine_tenths").value if tenths is None else high(tenths) / 60
    electrons = electrons_of(charge.metals_mol)
    for formula, most in (("NO", high(electrons) / 3), ("NO2", high(electrons))):
        made = max(likely(work.gases_mol.get(formula, 0.0)), 0.0)
        route = f"all as {formula}"
        # the peak is that of one portion's burst: as much more time as there are portions
        work.gas(
            formula,
            Range(0.0, min(made, most), most),
            minutes=portions * minutes_s / 60,
            t90_min=t90_min * portions,
            sized_on=f"high: {route}",
        )
    work.minutes = Range.point(portions * minutes_s / 60)
    litres = molar_volume_l(work.place.temperature_k, work.place.pressure_pa)
    work.answer("gas_if_no", electrons / 3 * litres, "L", because="if all the nitrogen leaves as nitric oxide")
    work.answer(
        "gas_if_no2", electrons * litres, "L", sized_on="high for lungs", because="if all the nitrogen leaves as nitrogen dioxide"
    )
    work.answer(
        "nitric_oxide", work.gases_mol.get("NO", 0.0) * litres, "L", because=f"as split, x = {likely(charge.no_share):.3g}"
    )
    work.answer(
        "nitrogen_dioxide", work.gases_mol.get("NO2", 0.0) * litres, "L", because=f"as split, x = {likely(charge.no_share):.3g}"
    )
    at_once = high(electrons * litres) / portions
    work.answer("gas_of_portion", at_once, "L", sized_on="high for lungs: all as NO2", because="one portion's gas")
    _split(work, high(electrons * litres))


def _split(work: Work, no2_l: float) -> None:
    most = work.fact("practice/part.gas_a_go")
    goes = max(1, math.ceil(no2_l / most.value - 1e-9))
    work.answer("goes", float(goes), "", sized_on="high gas", because=f"no more than {most.value:g} L of brown fume a go")
    if goes > 1:
        work.say("how", f"split it into {goes} goes: up to {no2_l:.3g} L of brown fume in all is no matter for one beaker")


def say_how(work: Work, charge: Charge, grams: Mapping[str, Number]) -> None:
    """Say how it is done, what to watch and when it is done."""
    work.say(
        "how",
        "hood with a scrubber, or outdoors upwind; flake and water first, nitric by portions, the next when the fume drops",
    )
    if "Au" in grams:
        work.say("watch for", "the first boil too strong breaks gold to mud: dilute, gentle, never over half strength")
        work.say("done when", "a fresh portion brings no fume; pour off, boil once more in strong acid, wash with hot water")
        work.say(
            "next", "rinse the sponge into the silver liquor (rinse --what powder), then hydrochloric and little nitric: dissolve"
        )
    else:
        work.say("done when", "all is dissolved but a little metal left lying: then no free nitric is left to kill")
        work.say("next", "silver: as chloride with salt, or on copper")
    work.say(
        "watch for", "chloride (tap water, salt, unrinsed hydrochloric) makes it milky and takes gold along: distilled water only"
    )
    work.say("watch for", "silver nitrate stains skin black and burns eyes; never with ammonia, alcohol or acetylene")
    if "Pd" in grams or high(work.dissolved.get("Pd^2+", 0.0)) > 0:
        work.say(
            "watch for",
            "yellow to orange tint: palladium is in the silver liquor; take it out, or it goes with the silver",
        )
    if "Pt" in grams:
        share = work.fact("practice/part.platinum_parted").range
        work.say(
            "watch for", f"platinum: up to {100 * share.high:g} % of a little follows the silver, the rest stays in the sponge"
        )
        work.say(
            "watch for",
            "ammonium, sulfamic or urea later on would lose that platinum as a yellow salt: a loss, not a way to refine it",
        )
    if "Sn" in grams:
        work.say("watch for", "tin ends as white paste in the sponge and holds gold: it will not filter")
    work.say("gear", "face shield and goggles, long neoprene or butyl gloves, apron; never alone")
