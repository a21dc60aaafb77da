"""Precious metal onto copper: what is at stake, what the bar loses, what to look for."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import numpy as np

from refinekit.bench.cement_eaten import Eaten, eaters, grams_by, let_eat, noble_and_oxidants
from refinekit.bench.foam import foam_of_copper
from refinekit.bench.step import Reagent, Step
from refinekit.bench.work import Work
from refinekit.chemistry.species import molar_mass, parse
from refinekit.ranges import Number, Range, high, in_words, likely, low

NOBLE = {
    "gold": (("AuCl4^-", "AuCl2^-"), "Au"),
    "silver": (("AgCl2^-", "Ag^+"), "Ag"),
    "palladium": (("PdCl4^2-", "Pd^2+"), "Pd"),
    "platinum": (("PtCl6^2-", "Pt^4+"), "Pt"),
}


def onto_copper(work: Work, told: Mapping[str, Any]) -> Step:
    """Bring the precious metal of a liquor down on a copper bar.

    Args:
        work: the step, its liquors merged
        told: see FIELDS of the room
    Returns: Step with pots "stock pot" and, where anything falls, "cement gold"
    """
    volume_l = work.volume_l
    _say_stake(work, told, volume_l)
    cupric = work.dissolved.get("Cu^2+", 0.0)
    share = work.default(told.get("bar_left"), "practice/cement.bar_left", "share of the cupric copper that eats the bar")
    wanted = noble_and_oxidants(work.dissolved)
    eaten = eaters("copper", work.dissolved, wanted)
    alone = sum((one.metal_mol for one in eaten), 0.0)
    with_bar = eaters("copper", work.dissolved, {**wanted, "Cu^2+": cupric * share})
    most = eaters("copper", work.dissolved, {**wanted, "Cu^2+": cupric + alone})
    _say_bar(work, with_bar, most)
    let_eat(work, "copper bar", "copper", with_bar)
    _gas(work)
    fell = {symbol: work.solids[symbol] for _, symbol in NOBLE.values() if high(work.solids.get(symbol, 0.0)) > 0}
    if fell:
        work.draw_off("cement gold", solids=fell, note="black cement filtered off the copper")
        grams = sum((mol * molar_mass(symbol) for symbol, mol in fell.items()), 0.0)
        work.answer("black", grams, "g", sized_on="high for the filter", because="precious metal on the copper, dry and clean")
    _marks(work, told)
    _say_how(work)
    return work.done("stock pot", title=in_words(likely(volume_l), "L of spent liquor over copper"))


def _say_stake(work: Work, told: Mapping[str, Any], volume_l: Number) -> None:
    for word, (forms, symbol) in NOBLE.items():
        mol: Number = sum((work.dissolved.get(form, 0.0) for form in forms), 0.0)
        if high(mol) <= 0 and word != "gold":
            continue
        mg = 1000 * mol * molar_mass(symbol)
        work.answer(word, mg, "mg", sized_on="high: what is at stake", because="dissolved in the spent liquor, litres x strength")
        if high(volume_l) > 0:
            work.answer(f"{word}_strength", mg / np.maximum(volume_l, 1e-300), "mg/L", because="in the liquors put together")
        if word == "gold" and told.get("gold_price") is not None:
            price = told["gold_price"]
            money = price.range.likely * mg / 1000
            work.answer("money_at_stake", money, price.currency or "money", sized_on="high", because="gold at the price")


def _say_bar(work: Work, eaten: tuple[Eaten, ...], most: tuple[Eaten, ...]) -> None:
    """How much of the bar goes, by what eats it, and how much if it is forgotten in the liquor."""
    total: Number = sum((one.metal_mol for one in eaten), 0.0) * molar_mass("Cu")
    forgotten: Number = sum((one.metal_mol for one in most), 0.0) * molar_mass("Cu")
    rows = [
        (
            one.word,
            Range.over(1000 * one.species_mol),
            Range.over(one.metal_mol / np.maximum(one.species_mol, 1e-300)),
            Range.over(1000 * grams_by((one,), "copper", one.species)),
        )
        for one in eaten
    ]
    if rows:
        work.table("what eats the copper", ("what", "mmol", "copper mol/mol", "copper mg"), rows)
    work.answer("copper_by_gold", 1000 * grams_by(eaten, "copper", "AuCl4^-"), "mg", because="1.5 copper to a gold")
    work.answer("copper_eaten", 1000 * total, "mg", sized_on="high", because="gold and everything else in the table")
    work.answer(
        "copper_if_left",
        forgotten,
        "g",
        sized_on="high: the bar forgotten in the liquor",
        because="and one copper to each cupric copper, which becomes cuprous",
    )
    work.reagent(
        Reagent(
            "copper bar",
            Range.over(total),
            max(high(forgotten), high(total)),
            "g",
            "high: so much cannot vanish, even if it is forgotten in cupric liquor",
            excess="what is eaten, and one to each cupric copper",
            key="copper",
            rounding="up",
            counts=False,
        )
    )
    work.working(
        "copper eaten",
        "; ".join(str(one.equation) for one in eaten) or "nothing eats it",
        " + ".join(f"{1000 * likely(one.metal_mol):.4g} mmol by {one.word}" for one in eaten)
        + f", x {molar_mass('Cu'):.5g} g/mol"
        if eaten
        else "0",
        f"{1000 * likely(total):.4g} mg",
    )


def _gas(work: Work) -> None:
    nitric_oxide = work.gases_mol.get("NO", 0.0)
    if high(nitric_oxide) > 0:
        work.gas("NO", Range(0.0, likely(nitric_oxide), high(nitric_oxide)), sized_on="all the nitrate eats copper")
        foam_of_copper(work, nitric_oxide)


def _marks(work: Work, told: Mapping[str, Any]) -> None:
    if told.get("tested"):
        work.marks.pop("gold-untested", None)
        work.mark("gold-tested")
        work.did("stannous shows no gold, recorded")


def _say_how(work: Work) -> None:
    days = work.fact("practice/cement.copper_days").range
    work.minutes = days * (24 * 60)
    fraction = sum((parse(s).elements.get("Cu", 0) * high(a) for s, a in work.dissolved.items()), 0.0)
    work.say("vessel", "the vessel it stands in, a solid copper bar hung in it, the liquor stirred now and then; loosely covered")
    if fraction > 0 and low(work.volume_l) > 0:
        work.say("watch for", "cupric liquor goes on eating the bar: lift it out when the test is clear")
    work.say(
        "done when", f"after {days.low:g} to {days.high:g} days a drop shows nothing with stannous, twice; write the test down"
    )
    work.say("next", "filter the black and keep it with the gold; then cement --metal iron, and only then neutralise")
