"""Metal told at the counter of the karat bench: by its masses, by weight and make, or by weight and fineness."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from refinekit.bench.dissolve import make_shares
from refinekit.bench.fields import METALS, Field, metal_fields
from refinekit.bench.lot_fields import BALANCE_FIELD
from refinekit.bench.work import Work
from refinekit.chemistry.species import molar_mass
from refinekit.errors import BadQuantity, CannotFollow
from refinekit.ranges import Number, high

MASSES = ("gold", "silver", "copper", "zinc", "nickel", "tin", "lead", "palladium", "platinum")
"""Metals that may be told by their mass."""


def _balance_from(texts: Mapping[str, object]) -> str:
    """An unknown balance stands between all silver and all copper, where only the fineness is told."""
    return "practice/lot.silver_in_balance" if texts.get("fineness") is not None else ""


GOODS_FIELDS = (
    Field("weight", "mass", "g", "weight of the alloy", above_zero=True),
    Field("make", "text", "", 'its make: "14 karat yellow", "sterling silver", or gold/silver/copper/zinc as 583/104/313'),
    Field("fineness", "fineness", "", "its gold share by stamp or assay, where the make is not known", highest=1.0),
    replace(BALANCE_FIELD, default_from=_balance_from),
    *metal_fields(*MASSES, what="in the alloy"),
)
"""What the goods of the karat bench may be told by."""


def pour_goods(work: Work, told: Mapping[str, Any]) -> bool:
    """Put in the metal told.

    Args:
        work: the step
        told: may hold the figures of GOODS_FIELDS
    Returns: whether any was told
    Raises: BadQuantity, told by halves, twice, or over a thousand parts; UnknownName, no such alloy
    """
    grams: dict[str, Number] = {metal: told[f"{metal}_g"] for metal in MASSES if told.get(f"{metal}_g") is not None}
    for metal, more in _by_weight(work, told).items():
        grams[metal] = grams.get(metal, 0.0) + more
    amounts = {METALS[metal]: mass / molar_mass(METALS[metal]) for metal, mass in grams.items()}
    if amounts:
        work.pour("goods", amounts)
    return bool(amounts)


def _by_weight(work: Work, told: Mapping[str, Any]) -> dict[str, Number]:
    weight, make, fineness = told.get("weight_g"), told.get("make"), told.get("fineness")
    if weight is None and make is None and fineness is None:
        return {}
    if make is not None and fineness is not None:
        raise BadQuantity("the make and the fineness are both told", cure="tell one; the make holds its fineness")
    if weight is None or (make is None and fineness is None):
        raise BadQuantity(
            "a weight and a make or fineness go together",
            cure="as in --weight 100g --make 583/104/313, or --weight 100g --fineness 14K",
        )
    if make is not None:
        return {metal: share * weight for metal, share in make_shares(str(make)).items()}
    assert fineness is not None
    silver = work.default(told.get("silver_in_balance"), "practice/lot.silver_in_balance", "share of the balance that is silver")
    rest = weight * (1 - fineness)
    return {"gold": weight * fineness, "silver": rest * silver, "copper": rest * (1 - silver)}


def alloy_g(work: Work) -> dict[str, Number]:
    """Metals in the work by symbol [g]; the ones that are there."""
    there = {symbol: work.solids.get(symbol, 0.0) for symbol in METALS.values()}
    return {symbol: mol * molar_mass(symbol) for symbol, mol in there.items() if high(mol) > 0}


def need_metal(work: Work, verb: str, symbols: tuple[str, ...], example: str) -> dict[str, Number]:
    """Metals in the work by symbol [g].

    Raises: CannotFollow, none of those wanted is there
    """
    grams = alloy_g(work)
    if not any(symbol in grams for symbol in symbols):
        words = " or ".join(word for word, symbol in METALS.items() if symbol in symbols)
        raise CannotFollow(f"{verb} finds no {words}", cure=f"tell the metal, as in {example}, or give a pot with --pot FILE")
    return grams
