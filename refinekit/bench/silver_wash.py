"""Curd and silver powder: set aside with the liquor they hold, after so many washes."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import numpy as np

from refinekit.bench.neutralise_heat import heat_of
from refinekit.bench.pot import Pot
from refinekit.bench.rinse_liquids import WATER_MOL_PER_L
from refinekit.bench.rinse_parts import handy_l, metal_g, whole
from refinekit.bench.rinse_wash import Rinse, Washes, held_after
from refinekit.bench.silver_fields import hold_fact
from refinekit.bench.step import Reagent
from refinekit.chemistry.equation import Equation
from refinekit.chemistry.heat import rise_k
from refinekit.chemistry.species import molar_mass
from refinekit.ranges import Number, Range, high, likely


def wash_and_set_aside(work: Rinse, told: Mapping[str, Any], how: str, name: str, solids: Mapping[str, Number]) -> Pot:
    """Let solids settle, pour off, wash with water, set aside.

    Args:
        work: the step, liquor and solids in it
        told: may hold `hold_ml_per_g`, `wash_l`, `washes`
        how: one of HOW [text]
        name: what the pot is called [text]
        solids: what is set aside [mol]
    Returns: the pot, with the liquor it holds after the washes
    Source: material balance; habits, facts/practice/rinse.toml and silver.toml
    """
    grams: Number = sum((mol * molar_mass(solid) for solid, mol in solids.items()), 0.0)
    hold = work.default(told.get("hold_ml_per_g"), hold_fact(how), "liquor held, per gram")
    held_l = np.minimum(hold * grams / 1000, work.volume_l)
    kind = "chloride" if how == "chloride" else "silver"
    count = whole(work.default(told.get("washes"), f"practice/silver.wash.{kind}", "washes"), "washes")
    each_l = told.get("wash_l")
    if each_l is None:
        times = work.default(None, "practice/silver.wash.times", "size of a wash, times the liquor held")
        each_l = max(handy_l(work, likely(times) * high(held_l)), 1e-9)
    water = Washes("water", count, likely(each_l), {"H2O": WATER_MOL_PER_L}, {"H2O": WATER_MOL_PER_L})
    held = _share(work, held_l)
    after = held_after(held, held_l, [water])
    work.pour_washes([water])
    if count:
        amount = 1000 * water.volume_l
        words = f"{count} x {1000 * water.each_l:.4g} mL"
        work.reagent(Reagent("water", Range.point(0.0), amount, "mL", "most solids", words, "", f"to wash the {name}", "water"))
    _say(work, name, held_l, held, after, water)
    return work.set_aside(Pot(name, held_l, after, dict(solids)), f"settled, poured off, {count} washes")


def react_warm(work: Rinse, which: str | Equation, extent_mol: Number) -> None:
    """Run a reaction and count its heat, where the formation enthalpies are known.

    Args:
        work: the step
        which: id of the reactions facts, or an Equation
        extent_mol: how often [mol]
    """
    work.react(which, extent_mol)
    work.heat_kj = work.heat_kj + (heat_of(which) or 0.0) * extent_mol


def say_rise(work: Rinse) -> None:
    """Answer the heat counted so far and how warm the liquor gets if it keeps it: called before the washes go in."""
    if high(work.volume_l) <= 0:
        return
    work.answer("heat", work.heat_kj, "kJ", sized_on="high", because="from formation enthalpies, those that are known")
    rise: Number = np.maximum(rise_k(work.heat_kj, work.volume_l), 0.0)
    work.answer("rise", rise, "K", sized_on="high", because="if it is done at once and the pot keeps its heat")


def _share(work: Rinse, held_l: Number) -> dict[str, Number]:
    share = held_l / np.maximum(work.volume_l, 1e-300)
    return {species: amount * share for species, amount in work.dissolved.items()}


def _say(work: Rinse, name: str, held_l: Number, held: Mapping[str, Number], after: Mapping[str, Number], water: Washes) -> None:
    work.answer("held", 1000 * held_l, "mL", because=f"liquor the {name} holds once settled")
    for symbol, word in (("Cu", "copper"), ("Fe", "iron"), ("Zn", "zinc")):
        before_mg, left_mg = 1000 * metal_g(held, symbol), 1000 * metal_g(after, symbol)
        if high(before_mg) > 0:
            because = f"dissolved, in the liquor it still holds after {water.count} washes of {1000 * water.each_l:.4g} mL"
            work.answer(f"{word}_left", left_mg, "mg", sized_on="high", because=because)
    if water.count:
        work.working(
            f"washing the {name}",
            "(held / (held + wash)) ^ washes",
            f"({1000 * likely(held_l):.4g} / ({1000 * likely(held_l):.4g} + {1000 * water.each_l:.4g})) ^ {water.count}",
            f"{likely((held_l / (held_l + water.each_l)) ** water.count):.3g} of the liquor left",
        )
