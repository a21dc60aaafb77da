"""Which way a lot of karat, filled or silver goods goes, with the reason, and what each way costs in silver, nitric and gas."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from refinekit.bench.fields import METALS
from refinekit.bench.inquart import add_for
from refinekit.bench.part_nitric import ELECTRONS, PARTED, electrons_of, nitric_for
from refinekit.bench.work import Work
from refinekit.chemistry.gas import molar_volume_l
from refinekit.chemistry.solution import Solution
from refinekit.chemistry.species import molar_mass
from refinekit.ranges import Number, Range, high, low

GOLD_ELECTRONS = 3
"""Electrons a gold gives nitric acid in hydrochloric."""


def say_ways(work: Work, grams: Mapping[str, Number], *, filled: bool) -> None:
    """Say which way the goods go and set the ways side by side.

    Args:
        work: the step
        grams: metals of the lot by word [g]
        filled: whether it is gold-filled or rolled goods on a base
    Source: limits of facts/practice/lot.toml and inquart.toml; nitric by R7.1, R7.13 and the halves of gold and silver
    """
    metals = {METALS[word]: mass / molar_mass(METALS[word]) for word, mass in grams.items() if high(mass) > 0}
    weight: Number = sum((mass for mass in grams.values()), 0.0)
    if high(grams.get("tin", 0.0)) > 0 or high(grams.get("lead", 0.0)) > 0:
        work.say("next", "solder first: hot hydrochloric strips tin and lead; in nitric tin goes to paste that holds gold")
    plate = work.fact("practice/lot.plate_share").value
    if high(grams.get("gold", 0.0)) <= 0 and np.all(grams.get("silver", 0.0) < plate * weight):
        work.say(
            "next",
            "thin plate: whole in nitric the base eats nearly all the acid, see below; strip the skin or sell it as plate,"
            " and add up its silver first",
        )
    elif high(grams.get("gold", 0.0)) <= 0:
        work.say("next", "no gold: dissolve it in nitric (part), then throw the silver down with salt or on copper (silver)")
    elif filled:
        work.say(
            "next",
            "leach the base first, in the aerated bath or in nitric: the gold shell stays as foil",
        )
    _white(work, grams)
    rows = [
        row
        for row in (_inquart(work, metals, grams, weight, filled), _straight(work, metals), _base_first(work, metals, filled))
        if row
    ]
    if rows:
        work.table(
            "ways, and what each costs", ("way", "silver to add g", "nitric mL", "brown fume at most L", "left over"), rows
        )


def _white(work: Work, grams: Mapping[str, Number]) -> None:
    """What white gold and platinum metals change on the way."""
    gold = high(grams.get("gold", 0.0)) > 0
    for metal, line in (
        ("palladium", "palladium white: in the parting it follows the silver and tints it; in hydrochloric it follows the gold"),
        ("nickel", "nickel white: inquart it like yellow; nickel parts with the silver, green liquor, pH over 10 to drop it"),
        ("platinum", "platinum stays in the sponge, then follows the gold: no ammonium, sulfamic or urea till it is out"),
    ):
        if high(grams.get(metal, 0.0)) > 0 and (gold or metal != "nickel"):
            work.say("next", line)


Row = tuple[str | float | Range, ...]


def _costs(work: Work, least_mol: Number, most_mol: Number, electrons_mol: Number) -> tuple[Range, Range]:
    """Nitric by either route [mL of the usual bottle], and the brown fume if all leaves as that [L]."""
    strength = Solution.usual("HNO3").mol_per_l
    litres = molar_volume_l(work.place.temperature_k, work.place.pressure_pa)
    nitric = Range(
        1000 * low(least_mol / strength), 1000 * high((least_mol + most_mol) / 2 / strength), 1000 * high(most_mol / strength)
    )
    return nitric, Range.over(electrons_mol * litres)


def _inquart(work: Work, metals: Mapping[str, Number], grams: Mapping[str, Number], weight: Number, filled: bool) -> Row | None:
    gold = grams.get("gold", 0.0)
    if filled:
        return None
    if high(gold) <= 0:
        parted = {symbol: mol for symbol, mol in metals.items() if symbol in PARTED}
        return ("part in nitric", 0.0, *_costs(work, *_ends(parted), electrons_of(parted)), "silver liquor")
    target = work.fact("practice/inquart.target").value
    add = add_for(weight, gold / np.maximum(weight, 1e-300), target)
    parted = {symbol: mol for symbol, mol in metals.items() if symbol in PARTED}
    parted["Ag"] = parted.get("Ag", 0.0) + add / molar_mass("Ag")
    return (
        "inquart, then part",
        Range.over(add),
        *_costs(work, *_ends(parted), electrons_of(parted)),
        "silver liquor, and all silver back",
    )


def _ends(metals_mol: Mapping[str, Number]) -> tuple[Number, Number]:
    return nitric_for(metals_mol, 1.0), nitric_for(metals_mol, 0.0)


def _straight(work: Work, metals: Mapping[str, Number]) -> Row | None:
    """Hydrochloric and nitric on the goods as they are: nitric by electrons only, the salts being chlorides."""
    if "Au" not in metals:
        return None
    electrons: Number = sum(((GOLD_ELECTRONS if s == "Au" else ELECTRONS.get(s, 0)) * mol for s, mol in metals.items()), 0.0)
    chloride = metals.get("Ag", 0.0) * molar_mass("AgCl")
    words = f"{high(chloride):.3g} g silver chloride as a crust on it" if high(chloride) > 0 else "no crust"
    return ("straight in hydrochloric and nitric", 0.0, *_costs(work, electrons / 3, electrons, electrons), words)


def _base_first(work: Work, metals: Mapping[str, Number], filled: bool) -> Row | None:
    base = {symbol: mol for symbol, mol in metals.items() if symbol in PARTED and symbol != "Ag"}
    if not filled or "Au" not in metals or not base:
        return None
    return (
        "base off in nitric first",
        0.0,
        *_costs(work, *_ends(base), electrons_of(base)),
        "gold foil; the aerated bath takes no nitric at all",
    )
