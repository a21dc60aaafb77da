"""How much reductant: for the gold with its excess, for what else eats it bare, all over the reagent's goodness."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import numpy as np

from refinekit.bench.drop_eaters import Eaters, say_eaters
from refinekit.bench.drop_ways import Way
from refinekit.bench.pouring import bottle_of
from refinekit.bench.step import Reagent
from refinekit.bench.work import Work
from refinekit.chemistry.redox import electrons_taken
from refinekit.chemistry.species import molar_mass
from refinekit.ranges import Number, Range, high, likely, low

QUARTERS = 4
SIZED_ON = "high gold and what else eats it; stop on the test"


def goodness_of(work: Work, way: Way, told: Mapping[str, Any]) -> Number:
    """Share of what is weighed that is the compound.

    Args:
        work: the step
        way: the reductant
        told: may hold `goodness`, or for a liquor the bottle `formic`
    Returns: share [-]; 1 for a gas
    Source: facts/reagents.toml
    """
    told_share: Number | None = told.get("goodness")
    if told_share is not None:
        return told_share
    if way.form == "liquor":
        return bottle_of(work, way.solute, told.get(way.key), way.name).mass_fraction
    if way.has_goodness:
        return work.default(None, f"reagents.reagent.{way.key}.goodness", f"share of the {way.name} that is good")
    return 1.0


def weigh(work: Work, way: Way, eaters: Eaters, goodness: Number, told: Mapping[str, Any]) -> Number:
    """Say what to weigh.

    Args:
        work: the step, the liquor in it
        way: the reductant
        eaters: what takes its electrons
        goodness: share of it that is good [-]
        told: may hold `excess`, and `weigh_g`, the weight a person has in mind
    Returns: reagent weighed, case by case [g]
    Source: electrons of both halves; excess by common practice
    """
    excess = work.default(told.get("excess"), way.excess_fact, f"{way.name} for the gold, times its bare need")
    gold_g = way.grams(eaters.gold_mol)
    before_g = way.grams(eaters.before_mol)
    to_weigh = (excess * gold_g + before_g) / goodness
    _reagents(work, way, gold_g, excess, to_weigh)
    _answers(work, way, eaters, excess, goodness, to_weigh)
    if way.form == "liquor":
        bottle = bottle_of(work, way.solute, told.get(way.key), way.name)
        why = "grams over its density"
        work.answer("to_pour", to_weigh / bottle.density_g_per_ml, "mL", sized_on=SIZED_ON, because=why)
    say_eaters(work, way, eaters)
    _workings(work, way, eaters, excess, goodness, to_weigh)
    if told.get("weigh_g") is not None:
        return _own_figure(work, told["weigh_g"], goodness, gold_g, before_g, way)
    return to_weigh


def _times(excess: Number) -> str:
    return f"x {likely(excess):.3g} on the gold, the rest bare, over its goodness"


def _reagents(work: Work, way: Way, gold_g: Number, excess: Number, to_weigh_g: Number) -> None:
    bare, first_g = Range.over(gold_g), low(excess * gold_g) / QUARTERS
    if first_g > 0:
        work.reagent(
            Reagent(
                way.name,
                bare,
                first_g,
                "g",
                "low gold, a quarter: what is not added drags nothing down",
                when="first quarter",
                key=way.key,
                rounding="down",
                counts=False,
            )
        )
    work.reagent(
        Reagent(
            way.name,
            bare,
            high(to_weigh_g),
            "g",
            SIZED_ON,
            excess=_times(excess),
            when="in quarters, at most",
            key=way.key,
            rounding="up",
            to_sign=True,
        )
    )


def _answers(work: Work, way: Way, eaters: Eaters, excess: Number, goodness: Number, to_weigh_g: Number) -> None:
    gold_g, before_g = way.grams(eaters.gold_mol), way.grams(eaters.before_mol)
    each = f"{way.reagent_per_gold:g} mol to a gold"
    work.answer("gold_only", gold_g, "g", sized_on="bare need of the gold", because=each)
    work.answer(
        "gold_oxidants_iron", gold_g + before_g, "g", sized_on="the stop line, bare", because="past it other metals come down"
    )
    everything = gold_g + before_g + way.grams(eaters.rest_mol)
    work.answer("everything", everything, "g", sized_on="bare", because="with what is eaten if overdone")
    work.answer("to_weigh", to_weigh_g, "g", sized_on=SIZED_ON, because=_times(excess))
    if high(eaters.nitric_mol) > 0:
        asleep = to_weigh_g - way.grams(eaters.nitric_mol) / goodness
        why = "cold nitric can be slow: then this does it, and the nitric is still there to take the gold up again"
        work.answer("to_weigh_if_nitric_sleeps", asleep, "g", sized_on="nitric takes nothing", because=why)
    per_gram = way.grams(electrons_taken("AuCl4^-") / molar_mass("Au"))
    work.answer("per_gram_gold", per_gram, "g/g", because="bare need to a gram of gold")


def _workings(work: Work, way: Way, eaters: Eaters, excess: Number, goodness: Number, to_weigh_g: Number) -> None:
    gold_g, before_g = likely(way.grams(eaters.gold_mol)), likely(way.grams(eaters.before_mol))
    gold_mol = likely(eaters.gold_mol) / electrons_taken("AuCl4^-")
    work.working(
        f"{way.name}, bare",
        "mol gold x mol to a gold x molar mass",
        f"{gold_mol:.4g} mol x {way.reagent_per_gold:g} x {molar_mass(way.solute):.5g} g/mol",
        f"{gold_g:.4g} g",
    )
    work.working(
        f"{way.name}, to weigh",
        "(excess x gold + eaters) / goodness",
        f"({likely(excess):.4g} x {gold_g:.4g} g + {before_g:.4g} g) / {likely(goodness):.4g}",
        f"{likely(to_weigh_g):.4g} g",
        way.excess_fact,
    )


def _own_figure(work: Work, weigh_g: Number, goodness: Number, gold_g: Number, before_g: Number, way: Way) -> Number:
    """Hold the weight a person means to take against the need."""
    for_gold = np.asarray(np.maximum(weigh_g * goodness - before_g, 0.0))
    times = np.divide(for_gold, gold_g, out=np.zeros(np.broadcast(for_gold, gold_g).shape), where=np.asarray(gold_g) > 0)
    work.answer("times_stoichiometric", times, "times", because="what is left of it for the gold, over the bare need")
    if low(times) < 1:
        work.notice(
            "warn",
            "reagent-short",
            f"{likely(weigh_g):.3g} g of {way.name} is short of stoichiometric: gold will be left in the liquor",
            "weigh the figure given, in quarters, and stop on the stannous test",
            "equation",
        )
    return weigh_g
