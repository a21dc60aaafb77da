"""A bar weighed in air and in water: density, fineness at both ends of what the rest may be, how little a step tells."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import numpy as np

from refinekit.bench.fineness_sums import density_by_water, gold_share, metal_density, sphere_ml, thread_ml
from refinekit.bench.lot_metals import karat_of
from refinekit.bench.work import Work
from refinekit.chemistry.density import water_g_per_ml
from refinekit.errors import BadQuantity, CannotFollow
from refinekit.ranges import Number, Range, high, likely, low

ENDS = {"copper": "Cu", "silver": "Ag", "nickel": "Ni", "palladium": "Pd"}
"""What the rest may be; copper and silver are the ends of yellow gold."""


def by_water(work: Work, told: Mapping[str, Any]) -> str:
    """Tell a bar's fineness by its two weights.

    Args:
        work: the step
        told: figures of the room
    Returns: words for the title
    Raises: BadQuantity, one weight alone; OutOfRange, heavier in water; CannotFollow, too few steps of water weight to tell
    Source: Archimedes; mixture rule; Kell (1975)
    """
    if "air_g" not in told or "water_g" not in told:
        raise BadQuantity("a bar is weighed in air and in water", cure="give both, as in --air 25.000g --water 23.650g")
    air, water = told["air_g"], told["water_g"]
    temperature = told.get("water_temperature_k")
    if temperature is None:
        temperature = work.place.temperature_k
        work.assume("the water is as warm as the shop")
    step = work.default(told.get("scale_step_g"), "practice/general.uncertainty.jeweller_scale", "step of the scale")
    lifted = _lifted(work, told)
    air_density = work.fact("practice/fineness.water.air").value if told.get("air_buoyancy") else 0.0
    if "air_buoyancy" not in told:
        work.assume("buoyancy of air is left out")
    density = density_by_water(air, water, temperature, lifted_ml=lifted, air_g_per_ml=air_density)
    _enough(work, air - water, step)
    work.answer("water_density", water_g_per_ml(temperature), "g/mL", because="at its temperature (Kell)")
    work.answer("density", density, "g/mL", because="weight in air over weight lost, x density of water")
    work.answer("volume", air / density, "mL", because="weight over density")
    work.answer(
        "density_step", density * step / (air - water), "g/mL", sized_on="high", because="what one step of the scale moves it"
    )
    _bracket(work, told, density, step / (air - water))
    work.working(
        "density",
        "air / (air - water) x density of water",
        f"{likely(air):.6g} g / ({likely(air):.6g} - {likely(water):.6g}) g x {likely(water_g_per_ml(temperature)):.5f} g/mL",
        f"{likely(density):.5g} g/mL",
    )
    _says(work)
    return f"{likely(air):.5g} g in air, {likely(water):.5g} g in water"


def _lifted(work: Work, told: Mapping[str, Any]) -> Number:
    """What else displaces water: a wet thread that was tared dry, a bubble."""
    lifted: Number = 0.0
    if ("thread_m" in told) != ("thread_wet_m" in told):
        raise BadQuantity("a thread has a diameter and a wet length", cure="give both, as in --thread 0.1mm --thread-wet 30mm")
    for name, volume in (
        ("thread", thread_ml(told["thread_m"], told["thread_wet_m"]) if "thread_m" in told else None),
        ("bubble", sphere_ml(told["bubble_m"]) if "bubble_m" in told else None),
    ):
        if volume is not None:
            work.answer(
                f"{name}_lift", 1000 * volume, "mg", sized_on="high", because=f"water the {name} displaces, taken off the loss"
            )
            lifted = lifted + volume
    return lifted


def _enough(work: Work, lost: Number, step: Number) -> None:
    """Refuse where the scale's steps are too few to tell anything."""
    least = work.fact("practice/fineness.water.steps_least").value
    steps = lost / step
    if low(steps) < least:
        raise CannotFollow(
            f"{low(lost):.4g} g lost in water is {low(steps):.3g} steps of {high(step):g} g: under {least:g} nothing can be told",
            cure="use a scale of 0.001 g, or weigh several bars of one melt together",
        )
    work.answer(
        "water_steps", steps, "", sized_on="low", because=f"scale steps of weight lost; under {least:g} nothing can be told"
    )


def _bracket(work: Work, told: Mapping[str, Any], density: Number, relative: Number) -> None:
    """Fineness at each end of what the rest may be."""
    gold = work.fact("materials.solid.Au.density").value
    ends = [told["alloy"]] if "alloy" in told else ["copper", "silver"]
    most = work.fact("practice/fineness.water.gold_most").value
    if low(density) > gold * most:
        work.notice(
            "warn",
            "denser-than-gold",
            f"{low(density):.4g} g/mL is denser than gold ({gold:g}): platinum, tungsten beside it, or a wrong weight",
            "weigh again, tare the thread, and have it assayed",
            "practice",
        )
    found, steps = {}, 0.0
    for metal in ends:
        other = metal_density(ENDS[metal])
        work.fact(f"materials.solid.{ENDS[metal]}.density")
        share = np.clip(gold_share(density, other, gold), 0.0, 1.0)
        moved = np.abs(gold_share(density * (1 + relative), other, gold) - gold_share(density, other, gold))
        found[metal], steps = share, max(steps, high(moved))
        work.answer(f"fineness_if_{metal}", 1000 * share, "per thousand", because=f"if all the rest is {metal}")
        work.answer(
            f"step_if_{metal}",
            1000 * moved,
            "per thousand",
            sized_on="high",
            because="what one step on the water weight moves it",
        )
        if metal == ends[0]:
            work.say("verdict", _verdict(found[metal], moved, metal))
        work.working(
            f"fineness, rest {metal}",
            "(1/density - 1/alloy) / (1/gold - 1/alloy)",
            f"(1/{likely(density):.5g} - 1/{other:g}) / (1/{gold:g} - 1/{other:g})",
            f"{1000 * likely(share):.4g} per thousand",
        )
    shares = list(found.values())
    ends_of = (min(low(one) for one in shares) - steps, max(high(one) for one in shares) + steps)
    near = Range(max(ends_of[0], 0.0), likely(sum(shares)) / len(shares), min(ends_of[1], 1.0))
    work.answer(
        "fineness", near * 1000, "per thousand", sized_on="low to sell by", because="between both ends, one scale step wider"
    )
    open_to = f"{1000 * near.low:.4g} to {1000 * near.high:.4g} per thousand"
    work.say("verdict", f"so by these two weights it is anything from {open_to}")
    work.answer("karat", near * likely(karat_of(1.0)), "karat", because="fineness x 24")
    work.answer("fine_gold", near * likely(told["air_g"]), "g", sized_on="low to sell by", because="weight x fineness")
    _warn_poor(work, near)


def _verdict(share: Number, moved: Number, metal: str) -> str:
    parts = 1000 * likely(moved)
    so = "bars so small want a scale of 0.001 g" if parts > 2 else "the alloy, not the scale, is what is unknown"
    return (
        f"{1000 * likely(share):.4g} per thousand if the rest is {metal}; one step on the water weight moves it"
        f" {parts:.2g} per thousand: {so}"
    )


def _warn_poor(work: Work, near: Range) -> None:
    over = work.fact("practice/fineness.water.over").value
    rule = work.fact("practice/fineness.water.rule_over").value
    if near.likely < over:
        work.notice(
            "warn",
            "too-poor-for-water",
            f"{1000 * near.likely:.3g} fine: under {1000 * over:g} the mixture rule, {100 * rule:g} % out, tells no half karat",
            "have it assayed, or take a drilling for the spectrometer",
            "jewellers-tables",
        )


def _says(work: Work) -> None:
    work.say(
        "how",
        "thin thread, tared with it hanging dry; boiled water, a drop of soap, the bar brushed free of bubbles; read it still",
    )
    work.say("watch for", "porous, hollow or stone-set metal reads poor; tungsten weighs as gold and is not seen by this at all")
    work.say("done when", "three readings agree to a step")
    work.say("next", "an assay, where money hangs on it")
