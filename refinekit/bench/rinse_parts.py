"""A part that is rinsed: how much liquor it holds, how often it is washed, what stays, and how that is said."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any

import numpy as np

from refinekit.bench.fields import METALS
from refinekit.bench.pot import Pot
from refinekit.bench.rinse_wash import ROUNDING, Rinse, Washes, fraction_left, held_after, left_wash_by_wash, washes_for
from refinekit.chemistry.species import molar_mass, parse
from refinekit.errors import BadQuantity
from refinekit.ranges import Number, Range, high, likely, low

WORDS = {symbol: word for word, symbol in METALS.items()}


def whole(value: Number, what: str) -> int:
    """A count told.

    Raises: BadQuantity, no whole number
    """
    count = likely(value)
    if high(value) != low(value) or count != round(count):
        raise BadQuantity(f"{what} of {count:g} is no count of washes", cure="give one whole number, as in 4")
    return round(count)


def metal_g(held: Mapping[str, Number], symbol: str) -> Number:
    """Metal in a liquor [g]."""
    atoms = ((parse(species).elements.get(symbol, 0), amount) for species, amount in held.items())
    return sum((count * amount for count, amount in atoms if count), 0.0) * molar_mass(symbol)


def metal_of(told: Mapping[str, Any], held: Mapping[str, Number], what: str) -> str:
    """Symbol of the metal that what stays is told by.

    Args:
        told: may hold `metal`
        held: the liquor held [mol]
        what: pulp goes by its gold; foils, boards and powder by what fouls them, the metal there is most of besides gold
    """
    if "metal" in told:
        return METALS[told["metal"]]
    amounts = {symbol: grams for symbol in WORDS if (grams := likely(metal_g(held, symbol))) > 0}
    if "Au" in amounts and (what == "pulp" or len(amounts) == 1):
        return "Au"
    return max((symbol for symbol in amounts if symbol != "Au"), key=lambda symbol: amounts[symbol], default="")


def share_allowed(work: Rinse, told: Mapping[str, Any], held: Mapping[str, Number], what: str) -> Number:
    """Share of the liquor that may stay: told, or by metal that may stay, or the usual."""
    if "allowed_g" in told:
        symbol = metal_of(told, held, what)
        there = metal_g(held, symbol) if symbol else 0.0
        if not high(there) > 0:
            raise BadQuantity(
                "nothing is known of the metal in the liquor held", cure="give its strength, as in --gold-strength 5g/L"
            )
        share: Number = np.minimum(told["allowed_g"] / np.maximum(there, 1e-300), 1.0)
        return share
    return work.default(told.get("target"), f"practice/rinse.target.{what}", "share of the liquor that may stay")


def wash_size_l(work: Rinse, told: Number | None, held_l: Number) -> float:
    """Size of one wash: told, or some times what is held, but not less than can be stirred [L]."""
    if told is not None:
        return likely(told)
    times = work.default(None, "practice/rinse.wash.times", "size of a wash, times the liquor held")
    least = work.fact("practice/rinse.wash.least").value / 1000
    return max(handy_l(work, likely(times) * high(held_l)), least)


def handy_l(work: Rinse, volume_l: float) -> float:
    """A volume to measure out, rounded up to the step of a beaker's lines [L]."""
    step = work.fact("practice/general.showing.coarse_step").value / 1000
    return math.ceil(volume_l / step * (1 - ROUNDING)) * step


def wash(work: Rinse, pot: Pot, held_l: Number, washes: Sequence[Washes], note: str) -> Pot:
    """Wash a part and set it aside: its solids and inert mass, and what stays of the liquor it holds.

    Args:
        work: the step; its washes are poured already
        pot: the part, `held_l` of its liquor staying with it
        held_l: liquor it holds [L]
        washes: in order
        note: line of history [text]
    """
    share = share_of(held_l, pot.volume_l)
    held = {species: amount * share for species, amount in pot.dissolved_mol.items()}
    after = held_after(held, held_l, washes)
    return work.set_aside(replace(pot, volume_l=held_l, dissolved_mol=after), note)


def share_of(part: Number, whole_of: Number) -> Number:
    """A part of a whole, nothing of nothing, and not more than all [-]."""
    safe = np.maximum(whole_of, 1e-300)
    share = np.where(np.asarray(whole_of) > 0, np.minimum(part / safe, 1.0), 0.0)
    return share if np.ndim(share) else float(share)


def left_after(held_l: Number, washes: Sequence[Washes]) -> Number:
    """Share of the first liquor that stays after all washes [-]."""
    share: Number = 1.0
    for one in washes:
        share = share * fraction_left(held_l, one.each_l, one.count)
    return share


def say_washes(
    work: Rinse, what: str, prefix: str, held: Mapping[str, Number], held_l: Number, washes: Sequence[Washes], symbol: str
) -> None:
    """Answer with what stays of the liquor, wash by wash.

    Args:
        work: the step
        what: what is washed [text]
        prefix: begins the names of the answers [text], e.g. "board_"
        held: what is in the liquor held, before [mol]
        held_l: liquor held [L]
        washes: in order
        symbol: metal that what stays is told by [text]; "" for none
    """
    made, count = sum(one.volume_l for one in washes), sum(one.count for one in washes)
    left = left_after(held_l, washes)
    why = " then ".join(f"{one.count} x {1000 * one.each_l:.4g} mL {one.label}" for one in washes if one.count) or "no wash"
    work.answer(
        f"{prefix}held", 1000 * held_l, "mL", sized_on="high for washes", because=f"liquor held by the {what} when poured off"
    )
    work.answer(f"{prefix}washes_made", float(count), "", because=why)
    work.answer(
        f"{prefix}left", 100 * left, "%", sized_on="high: most liquor held, fully mixed", because=f"(held/(held + wash))^n: {why}"
    )
    if made:
        once = 100 * fraction_left(held_l, made, 1)
        work.answer(
            f"{prefix}left_in_one_go", once, "%", sized_on="high", because="the same water in one go: many small beat one"
        )
    for one, word in WORDS.items():
        grams = metal_g(held, one)
        if high(grams) > 0:
            work.answer(
                f"{prefix}{word}_held", 1000 * grams, "mg", sized_on="high", because=f"in the liquor held by the {what}, unwashed"
            )
            work.answer(
                f"{prefix}{word}_left", 1000 * grams * left, "mg", sized_on="high: what could be lost", because="held x left"
            )
    there = metal_g(held, symbol) if symbol else 0.0
    _table(work, what, held_l, washes, there, WORDS.get(symbol, ""))
    work.working(
        f"washing the {what}",
        "(held / (held + wash))^n",
        " x ".join(
            f"({1000 * likely(held_l):.4g} / ({1000 * likely(held_l):.4g} + {1000 * one.each_l:.4g}))^{one.count}"
            for one in washes
        )
        or "1",
        f"{100 * likely(left):.4g} % left",
    )


def _table(work: Rinse, what: str, held_l: Number, washes: Sequence[Washes], there_g: Number, metal: str) -> None:
    rows: list[tuple[str | float | Range, ...]] = []
    for number, (label, each_l, share) in enumerate(left_wash_by_wash(held_l, washes), start=1):
        left_mg: str | Range = Range.over(1000 * there_g * share) if metal else "-"
        rows.append((f"{number} {label}", 1000 * each_l, Range.over(100 * share), left_mg))
    if rows:
        work.table(f"washes of the {what}", ("wash", "mL", "left %", f"left mg {metal}".strip()), rows)


def say_target(work: Rinse, held_l: Number, each_l: float, share: Number, after: str = "") -> int:
    """Answer with the washes a target takes; the most of them is what to make.

    Args:
        work: the step
        held_l: liquor held [L]
        each_l: size of one wash [L]
        share: share that may stay [-]
        after: what went before, where these come on top of other washes [text]
    """
    needed = washes_for(held_l, each_l, share)
    because = f"so that {100 * low(share):.3g} % stays{after}, fully mixed"
    work.answer("washes", needed, "", sized_on="high: most liquor held", because=because)
    work.working(
        "washes for a target",
        "n = ln(1/f) / ln((v + w)/v), rounded up",
        f"ln({1 / likely(share):.5g}) / ln(({1000 * likely(held_l):.4g} + {1000 * each_l:.4g})/{1000 * likely(held_l):.4g})",
        f"{likely(needed):g} washes",
    )
    return int(high(needed))
