"""Copper onto iron or aluminium: the metal it takes, hydrogen, heat, and what it leaves to neutralise."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import numpy as np

from refinekit.bench.cement_eaten import SYMBOL, Eaten, eaters, grams_by, let_eat, noble_and_oxidants
from refinekit.bench.heat_portions import Heating
from refinekit.bench.heat_say import say_warming
from refinekit.bench.hydrogen import say_rate
from refinekit.bench.step import Reagent, Step
from refinekit.bench.work import Work
from refinekit.chemistry.gas import molar_volume_l
from refinekit.chemistry.heat import rise_k
from refinekit.chemistry.species import molar_mass
from refinekit.facts.load import fact
from refinekit.ranges import Number, Range, high, in_words, likely, low

HYDROGEN_PER_ACID = 0.5
"""Hydrogen of two acids: pure counting."""
COPPER = ("Cu^2+", "CuCl2^-")


def onto_iron(work: Work, metal: str, told: Mapping[str, Any]) -> Step:
    """Bring the copper of a liquor down on iron or aluminium.

    Args:
        work: the step, its liquors merged
        metal: iron or aluminium
        told: see FIELDS of the room
    Returns: Step with pots "iron liquor" (or "aluminium liquor") and "cement copper"
    """
    before_g = _copper_g(work)
    work.answer("liquor", work.volume_l, "L", because="all liquors put together")
    work.answer("copper", before_g, "g", because="dissolved, before")
    work.answer("free_acid", work.dissolved.get("H^+", 0.0), "mol", because="before the metal goes in")
    _gold_first(work)
    share = work.default(told.get("acid_share"), "practice/cement.acid_share", "share of the free acid that eats the metal")
    left = work.default(told.get("copper_left_g_per_l"), "practice/cement.copper_left", "copper that stays dissolved")
    left_g_per_l = left if "copper_left_g_per_l" in told else left / 1000
    eaten, most = _eaten(work, metal, share, left_g_per_l), _eaten(work, metal, 1.0, left_g_per_l)
    _say_metal(work, metal, eaten, most)
    before_l = work.volume_l
    let_eat(work, metal, metal, eaten)
    _say_hydrogen(work, metal, most, told)
    _say_copper(work, metal, before_g, before_l)
    _say_heat(work, metal, eaten, most)
    _say_how(work, metal, told)
    return work.done(f"{metal} liquor", title=in_words(likely(before_g), f"g copper onto {metal}"))


def _copper_g(work: Work) -> Number:
    copper: Number = work.dissolved.get("Cu^2+", 0.0) + work.dissolved.get("CuCl2^-", 0.0)
    return copper * molar_mass("Cu")


def _gold_first(work: Work) -> None:
    gold_mg = 1000 * work.dissolved.get("AuCl4^-", 0.0) * molar_mass("Au")
    if high(gold_mg) > 0:
        work.answer("gold_into_copper", gold_mg, "mg", sized_on="high", because="comes down with the copper")
        work.notice(
            "note",
            "gold-goes-with-copper",
            f"up to {high(gold_mg):.3g} mg of gold would come down among the copper",
            "hang copper in it first: cement --metal copper, and test with stannous",
            "practice",
        )


def _eaten(work: Work, metal: str, share: Number, left_g_per_l: Number) -> tuple[Eaten, ...]:
    """Oxidants, noble metal, copper down to what stays, then a share of the acid the nitrate left."""
    first = noble_and_oxidants(work.dissolved)
    cuprous, cupric = work.dissolved.get("CuCl2^-", 0.0), work.dissolved.get("Cu^2+", 0.0)
    stays = np.minimum(left_g_per_l * work.volume_l / molar_mass("Cu"), cupric)
    wanted = {**first, "CuCl2^-": cuprous, "Cu^2+": cupric - stays}
    wanted = {species: amount for species, amount in wanted.items() if high(amount) > 0}
    used = eaters(metal, work.dissolved, wanted)
    acid = work.dissolved.get("H^+", 0.0) - sum((_acid_used(one) for one in used), 0.0)
    return eaters(metal, work.dissolved, {**wanted, "H^+": np.maximum(acid, 0.0) * share})


def _acid_used(one: Eaten) -> Number:
    from refinekit.bench.neutralise_heat import net_in_pot

    used: Number = -net_in_pot(one.equation).get("H^+", 0.0) * one.extent_mol
    return used


def _say_metal(work: Work, metal: str, eaten: tuple[Eaten, ...], most: tuple[Eaten, ...]) -> None:
    mass = molar_mass(SYMBOL[metal])
    by_copper = grams_by(eaten, metal, *COPPER)
    by_acid = grams_by(eaten, metal, "H^+")
    total: Number = sum((one.metal_mol for one in eaten), 0.0) * mass
    at_most: Number = sum((one.metal_mol for one in most), 0.0) * mass
    rows = [(one.word, Range.over(one.species_mol), Range.over(one.metal_mol * mass)) for one in eaten]
    work.table(f"what eats the {metal}", ("what", "mol", f"{metal} g"), rows)
    work.answer(
        f"{metal}_for_copper",
        by_copper,
        "g",
        because="one to a cupric copper, half to a cuprous" if metal == "iron" else "two to three cupric coppers",
    )
    work.answer(f"{metal}_for_acid", by_acid, "g", because="the share of the free acid that gets at it, as hydrogen")
    others = grams_by(eaten, metal, *({one.species for one in eaten} - {*COPPER, "H^+"}))
    if high(others) > 0:
        work.answer(f"{metal}_for_others", others, "g", because="iron(III), nitrate, noble metal and other oxidants")
    work.answer(metal, total, "g", sized_on="high: all the acid eats it", because="copper, acid and the rest together")
    work.answer(f"{metal}_most", at_most, "g", sized_on="high", because="if it lies there till all the acid is gone")
    work.reagent(
        Reagent(
            f"{metal}, clean scrap",
            Range.over(total),
            high(at_most),
            "g",
            "high copper, all the acid: what is left over is lifted out",
            excess="bare need, all free acid counted",
            key=metal,
            rounding="up",
            to_sign=True,
        )
    )
    copper = sum((one.species_mol for one in eaten if one.species == "Cu^2+"), 0.0)
    acid = sum((one.species_mol for one in eaten if one.species == "H^+"), 0.0)
    each = 1 if metal == "iron" else 2 / 3
    each_acid = each / 2
    work.working(
        f"{metal} eaten",
        " and ".join(str(one.equation) for one in eaten) or "nothing",
        f"({likely(copper):.4g} mol Cu(II) x {each:.3g} + {likely(acid):.4g} mol acid x {each_acid:.3g}) x {mass:.5g} g/mol"
        + (f" + {likely(others):.4g} g for the rest" if high(others) > 0 else ""),
        f"{likely(total):.4g} g",
        "practice/cement.acid_share",
        "practice/cement.copper_left",
    )


def _say_hydrogen(work: Work, metal: str, most: tuple[Eaten, ...], told: Mapping[str, Any]) -> None:
    made = work.gases_mol.get("H2", 0.0)
    at_most = HYDROGEN_PER_ACID * sum((one.species_mol for one in most if one.species == "H^+"), 0.0)
    litre = molar_volume_l(work.place.temperature_k, work.place.pressure_pa)
    usual = work.fact("practice/cement.cement_minutes").range
    work.minutes = Range.over(told["minutes_s"] / 60) if "minutes_s" in told else usual
    if high(at_most) > 0:
        work.answer("hydrogen", made * litre, "L", sized_on="high for the air", because=f"half of each acid that eats {metal}")
        work.answer("hydrogen_most", at_most * litre, "L", sized_on="high", because="all the free acid")
        span = Range(low(made), likely(made), max(high(made), high(at_most)))
        work.gas("H2", span, minutes=work.minutes.low, sized_on=f"all the acid eats {metal}, in the shortest time")
        say_rate(work, span, work.volume_l, work.minutes.low)
    nitric_oxide = work.gases_mol.get("NO", 0.0)
    if high(nitric_oxide) > 0:
        work.gas("NO", Range.over(nitric_oxide), minutes=work.minutes.low, sized_on="all the nitrate is reduced")


def _say_copper(work: Work, metal: str, before_g: Number, before_l: Number) -> None:
    fell = work.solids.get("Cu", 0.0)
    names = [symbol for symbol in ("Cu", "Au", "Ag", "Pd", "Pt") if high(work.solids.get(symbol, 0.0)) > 0]
    grams = fell * molar_mass("Cu")
    work.answer("copper_recovered", grams, "g", because="dry; sponge, to be washed and pressed while wet")
    wet = work.fact("practice/cement.wet_cement").range
    work.answer(
        "cement_wet", Range(low(grams) / wet.high, likely(grams) / wet.likely, high(grams) / wet.low), "g", because="drained"
    )
    if high(before_l) > 0:
        work.answer(
            "copper_left", 1000 * _copper_g(work) / np.maximum(before_l, 1e-300), "mg/L", because="a clean nail no longer plates"
        )
        symbol = SYMBOL[metal]
        there = work.dissolved.get({"iron": "Fe^2+", "aluminium": "Al^3+"}[metal], 0.0)
        work.answer(
            f"{metal}_in_liquor",
            there * molar_mass(symbol) / np.maximum(before_l, 1e-300),
            "g/L",
            sized_on="high",
            because="left to be neutralised",
        )
    work.draw_off("cement copper", solids=names, note=f"copper sponge off the {metal}")


def _say_heat(work: Work, metal: str, eaten: tuple[Eaten, ...], most: tuple[Eaten, ...]) -> None:
    heat, at_most = (sum((one.heat_kj for one in some), 0.0) for some in (eaten, most))
    work.heat_kj = heat
    work.answer("heat", heat, "kJ", sized_on="high", because="from formation enthalpies of what reacts")
    if low(work.volume_l) <= 0:
        return
    capacity = work.fact("practice/cement.heat_capacity").value
    rise, worst = rise_k(heat, work.volume_l, capacity), rise_k(at_most, work.volume_l, capacity)
    work.answer("rise", rise, "K", sized_on="high: all in at once, none lost", because="heat over litres x 4.0 kJ/(L K)")
    pause = work.fact("practice/neutralise.pause").value
    start = work.temperature_k - fact("constants.zero_celsius").value
    end = start + high(worst)
    work.answer(
        "temperature", Range(start + low(rise), start + likely(rise), end), "C", sized_on="high", because="start and rise"
    )
    work.working(
        "heat",
        "heat of each reaction from formation enthalpies",
        f"{likely(heat):.4g} kJ / ({likely(work.volume_l):.4g} L x {capacity:g} kJ/(L K))",
        f"{likely(rise):.3g} K",
        "practice/cement.heat_capacity",
    )
    parts = int(np.ceil(high(worst) / max(pause - start, 1.0))) if end > pause else 1
    range_k = Range(max(low(rise), 0.0), max(likely(rise), 0.0), max(high(rise), high(worst), 0.0))
    t90 = {"iron": "t90.iron", "aluminium": "t90.aluminium"}[metal]
    say_warming(work, Heating(metal, t90, range_k, work.volume_l, work.volume_l, work.temperature_k, parts, capacity))


def _say_how(work: Work, metal: str, told: Mapping[str, Any]) -> None:
    work.say(
        "vessel",
        f"{metal} in a basket or on a string, so that what is left lifts out; the vessel no more than two thirds full, uncapped",
    )
    work.say("watch for", "hydrogen: open air or hood, no flame, lid off")
    work.say("done when", "a clean nail stays bright for a minute; nickel and zinc stay in the liquor")
    work.say(
        "left over",
        f"wash the sponge and keep it wet or dry it at once: a heap of it warms by itself. The {metal} it took is in the liquor",
    )
    work.say("next", "neutralise the liquor; sludge tells what the drum will hold")
