"""Part-neutralising a nitrate liquor: caustic takes most of its free nitric, so that iron can go in without a burst of fume."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np

from refinekit.bench.neutralise_bases import Base, base_of, bottle_words
from refinekit.bench.neutralise_liquor import is_liquor, is_rich
from refinekit.bench.pot import Pot
from refinekit.bench.step import Reagent
from refinekit.bench.vessel import stand
from refinekit.bench.work import Work
from refinekit.chemistry.gas import litres
from refinekit.chemistry.heat import rise_k
from refinekit.chemistry.solution import Solution
from refinekit.errors import CannotFollow
from refinekit.ranges import Number, Range, high, likely, low

WEAK = "weak nitrate liquor"
"""Name of a nitrate liquor whose free acid is mostly gone."""
TO_WATER = "R10.33"
NO_PER_ACID = 0.25
"""Nitric oxide of an acid on iron: 3 Fe + 8 H+ + 2 NO3-, two to eight."""


NO_FOAM = 1.0
"""Room for foam, times the liquor: caustic brings none."""


def nitrate_liquors(pots: Sequence[Pot]) -> tuple[Pot, ...]:
    """Sour liquors that hold nitrate before chloride, and no gold to be dropped."""
    found = [pot for pot in pots if is_liquor(pot) and not is_rich(pot) and high(pot.free_acid_mol) > 0]
    return tuple(pot for pot in found if likely(pot.mol("NO3^-")) > likely(pot.mol("Cl^-")))


def part_neutralise(work: Work, acid: Solution, told: Mapping[str, Any]) -> None:
    """Take the free acid down to a little that is left on purpose.

    Args:
        work: the step, the liquor in it
        acid: the nitric as it was poured
        told: may hold `acid_left_mol_per_l`, `alkali_goodness`
    Raises: CannotFollow, gold in the liquor, or no litres
    Source: one alkali to an acid; what is left by common practice
    """
    if high(work.dissolved.get("AuCl4^-", 0.0)) > 0:
        raise CannotFollow(
            "caustic takes no nitric out of a gold liquor: the nitrate stays, and the acid of the drop sets it free again",
            cure="sulfamic, boil or button for a gold liquor; caustic is for spent nitrate liquor",
        )
    if low(work.volume_l) <= 0:
        raise CannotFollow("denox by caustic needs the litres of the liquor", cure='give --volume "4 L" beside --nitric-left')
    there = _free(work)
    leave = work.default(told.get("acid_left_mol_per_l"), "practice/denox.acid_left", "free acid left in the liquor")
    need = np.maximum(there - leave * work.volume_l, 0.0)
    base = base_of(work, "caustic", told)
    work.answer("free_acid", there, "mol", sized_on="low: what is poured over it brings copper down", because="before")
    work.answer("nitric_left", 1000 * there / acid.mol_per_l, "mL", sized_on="a range, never a point", because="as the bottle")
    _say_caustic(work, base, need, there, leave)
    if high(need) > 0:
        base.into(work, need)
        work.react(TO_WATER, need)
    heat = need * (base.acid_heat() + base.own_heat())
    work.heat_kj = heat
    work.answer("heat", heat, "kJ", sized_on="high", because="acid taken up, and the pearls' own dissolving")
    work.answer("rise", rise_k(heat, work.volume_l), "K", sized_on="high: none lost", because="heat over litres")
    _say_left(work)
    stand(work, work.volume_l, NO_FOAM, how="on a tray, stirred")
    work.did("part-neutralised")
    work.say("how", "dissolve the pearls in ten times their weight of cold water first; pour in slowly, stirred, and let it cool")
    work.say("watch for", "stop where a blue cloud no longer stirs away: that is copper coming down")
    work.say("watch for", "the nitrate stays as salt: never dry this liquor down with anything that burns")
    work.say("done when", "paper reads pH 1.5 to 2; under pH 1 it is blind: titrate")
    work.say("gear", "goggles, gloves, apron; caustic blinds")
    work.say("next", "copper onto iron: cement --metal iron")


def _free(work: Work) -> Number:
    """Free acid of the liquor [mol]."""
    found: Number = np.maximum(work.dissolved.get("H^+", 0.0), 0.0)
    return found


def _say_caustic(work: Work, base: Base, need: Number, there: Number, leave: Number) -> None:
    """What to weigh: up to the least there may be, the rest by titration."""
    pure = base.grams(need)
    work.answer("caustic", pure, "g", sized_on="low, the rest by titration", because="one to an acid, less what is left; pure")
    least, most = low(pure) / base.goodness.high, high(pure) / base.goodness.low
    bare = Range.over(pure)
    for grams, sized, when, counts in (
        (least, "low free acid, best pearls", "first, dissolved, slowly", False),
        (most, "high free acid, poorest pearls", "at most, in all, by titration", True),
    ):
        if grams > 0 and (counts or grams < most):
            rounding = "nearest" if counts else "down"
            work.reagent(
                Reagent(
                    base.name, bare, grams, "g", sized, "bare need", bottle_words(base), when, base.key, rounding, counts, True
                )
            )
    work.working(
        "caustic",
        "(free acid - mol/L left x litres) x g/mol",
        f"({likely(there):.4g} mol - {likely(leave):.3g} mol/L x {likely(work.volume_l):.4g} L) x 40 g/mol",
        f"{likely(pure):.4g} g",
        "practice/denox.acid_left",
    )


def _say_left(work: Work) -> None:
    left = _free(work)
    work.answer("acid_left", left, "mol", sized_on="high: iron turns it to nitric oxide", because="left on purpose")
    work.answer(
        "acid_left_strength", left / work.volume_l, "mol/L", sized_on="high", because="free acid over litres, by titration"
    )
    gas = litres(NO_PER_ACID * left, work.place.temperature_k, work.place.pressure_pa)
    work.answer("no_if_on_iron", gas, "L", sized_on="high for lungs", because="one nitric oxide to four acid, over iron")
