"""A lot told by karat, by assay, by a known make, or by a gold-filled mark."""

from __future__ import annotations

import numpy as np

from refinekit.bench.lot_metals import alloy, filled_gold_g, read_filled, shares, triangular_error
from refinekit.bench.lot_parcel import Parcel
from refinekit.errors import BadQuantity, CannotFollow
from refinekit.facts.load import fact
from refinekit.ranges import Number, high, likely, low

FINENESSES = ("silver", "copper", "zinc", "nickel", "palladium", "platinum")
"""Metals of a karat alloy whose share may be told."""
NOTHING = 1e-9
"""Share of a lot that is rounding."""


def by_alloy(parcel: Parcel) -> None:
    """Put in the metals of a karat alloy or of a known make, where one is told.

    Raises: BadQuantity, told twice or over the whole; CannotFollow, no weight
    """
    told = parcel.told
    if (
        "filled" in told
        or "items" in told
        or not (any(word in told for word in ("karat", "fineness", "make")) or parcel.row.get("make"))
    ):
        return
    if "karat" in told and "fineness" in told:
        raise BadQuantity("the gold is told by karat and by fineness", cure="tell one of them")
    weight = parcel.weighed("karat or make") - told.get("solder_g", 0.0)
    fineness = told.get("karat", told.get("fineness"))
    make = told.get("make") or ("" if fineness is not None else parcel.row.get("make", ""))
    if make:
        if fineness is not None:
            raise BadQuantity("the make and the karat are both told", cure="tell one; the make holds its karat")
        parcel.add_alloy(make, weight)
        gold_share = shares(alloy(make))[0].get("gold", 0.0)
        parcel.stamp = gold_share or None
        parcel.work.working(
            "make", "weight x parts per thousand", f"{likely(weight):.5g} g of {alloy(make)['name']}", _parts_text(make)
        )
    elif fineness is not None:
        _by_fineness(parcel, weight, fineness)
    parcel.errors["stamp"] = triangular_error(fineness) if fineness is not None else 0.0


def _parts_text(make: str) -> str:
    return ", ".join(f"{1000 * share:g} {metal}" for metal, share in shares(alloy(make))[0].items())


def _by_fineness(parcel: Parcel, weight: Number, fineness: Number) -> None:
    """Gold by its share, and the balance by what is told of it or by its two ends."""
    if high(fineness) > 1:
        raise BadQuantity(f"a fineness of {high(fineness):.4g} is more than all", cure="write 585, 58.5 % or 14 K")
    parcel.stamp = fineness
    add_by_fineness(parcel, weight, _less_solder(parcel, fineness))


def _less_solder(parcel: Parcel, fineness: Number) -> Number:
    """Fineness of the whole, where a share of the weight is solder that runs under it."""
    share = parcel.told.get("solder_share")
    if share is None:
        return fineness
    under = parcel.work.default(None, "practice/lot.solder_under", "gold solder under the goods' fineness by")
    parcel.work.working(
        "solder allowance",
        "fineness - share of solder x how far it runs under",
        f"{likely(fineness):.5g} - {likely(share):.3g} x {likely(under):.3g}",
        f"{likely(fineness - share * under):.5g}",
        "practice/lot.solder_under",
    )
    least: Number = np.maximum(fineness - share * under, 0.0)
    return least


def add_by_fineness(parcel: Parcel, weight: Number, fineness: Number) -> None:
    """Put in an alloy known by its gold share, the balance by what is told of it or by its two ends.

    Args:
        parcel: the lot
        weight: of the alloy [g]
        fineness: its gold share [-]
    Raises: BadQuantity, parts over a thousand
    """
    parcel.add("gold", weight * fineness)
    balance = 1 - fineness
    for metal in FINENESSES:
        share = parcel.told.get(f"{metal}_fineness")
        if share is not None:
            parcel.add(metal, weight * share)
            balance = balance - share
    if low(balance) < -NOTHING:
        raise BadQuantity(
            f"the parts come to {1000 * (1 - low(balance)):.4g} per thousand", cure="the parts of an alloy come to 1000 at most"
        )
    parcel.work.working(
        "gold by karat",
        "weight x fineness",
        f"{likely(weight):.5g} g x {likely(fineness):.5g}",
        f"{likely(weight * fineness):.5g} g",
    )
    _balance(parcel, weight, np.maximum(balance, 0.0))


def _balance(parcel: Parcel, weight: Number, balance: Number) -> None:
    """What is left of an alloy: white metal where that was said, then silver and copper."""
    told, work = parcel.told, parcel.work
    if "white" in told:
        share = work.default(told.get("white_share"), f"practice/lot.white_{told['white']}", f"{told['white']} of the alloy")
        share = np.minimum(share, balance)
        parcel.add(told["white"], weight * share)
        balance = balance - share
    if high(balance) <= NOTHING:
        return
    if "white" in told:
        silver: Number = 1.0 if told["white"] == "palladium" else 0.0
    elif "silver_fineness" in told:
        silver = 0.0
    elif "copper_fineness" in told:
        silver = 1.0
    else:
        silver = work.default(
            told.get("silver_in_balance"), "practice/lot.silver_in_balance", "share of the balance that is silver"
        )
    parcel.add("silver", weight * balance * silver)
    parcel.add("copper", weight * balance * (1 - silver))


# ---- gold-filled
def by_mark(parcel: Parcel) -> None:
    """Put in the gold of a gold-filled mark, where one is told.

    Raises: BadQuantity, no such mark; CannotFollow, no karat or no weight
    """
    told, work = parcel.told, parcel.work
    if "filled" not in told:
        return
    layer, fineness = read_filled(told["filled"])
    if fineness is None:
        given = told.get("karat", told.get("fineness"))
        if given is None:
            raise CannotFollow(
                "the gold-filled mark has no karat", cure='write it in the mark, as in "1/20 12K", or tell --karat 12'
            )
        fineness = given
    wear = work.default(told.get("wear"), "materials.filled.wear", "share of the layer worn away")
    weight = parcel.weighed("a gold-filled mark")
    gold = filled_gold_g(weight, layer, fineness, wear)
    work.answer("gold_when_new", filled_gold_g(weight, layer, fineness), "g", because="before wear")
    parcel.add("gold", gold)
    span = fact("materials.filled.wear").range
    parcel.errors["wear"] = triangular_error(1 - wear if "wear" in told else 1 - np.array([span.likely, span.low, span.high]))
    work.working(
        "gold-filled",
        "weight x layer x fineness x (1 - wear)",
        f"{likely(weight):.5g} g x {layer:.4g} x {likely(fineness):.4g} x (1 - {likely(wear):.3g})",
        f"{likely(gold):.5g} g",
        "materials.filled.wear",
    )
