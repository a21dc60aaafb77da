"""Several kinds of karat goods weighed in as one lot: "50 g of 14 karat yellow; 35 g of 10 karat yellow"."""

from __future__ import annotations

import re
from collections.abc import Iterator

from refinekit.bench.lot_alloy import add_by_fineness
from refinekit.bench.lot_metals import alloy, shares
from refinekit.bench.lot_parcel import Parcel
from refinekit.errors import BadQuantity, RefinekitError, UnknownName
from refinekit.ranges import Number, high, likely
from refinekit.units import read

_ITEM = re.compile(r"\s*(?P<mass>.+?)\s+of\s+(?P<what>.+?)\s*", re.IGNORECASE)
EXAMPLE = 'items are parted by ";", as in "50 g of 14 karat yellow; 35 g of 10K"'


def read_items(text: str) -> Iterator[tuple[float, str]]:
    """The items of a lot.

    Args:
        text: masses of makes, parted by ";" [text]
    Returns: mass [g] and what it is [text], one after the other
    Raises: BadQuantity, an item that is not "mass of make", or a mass with a range

    >>> list(read_items("50 g of 14 karat yellow; 1 oz t of 585"))
    [(50.0, '14 karat yellow'), (31.1034768, '585')]
    """
    parts = [part for part in text.split(";") if part.strip()]
    if not parts:
        raise BadQuantity("there are no items in the lot", cure=EXAMPLE)
    for part in parts:
        item = _ITEM.fullmatch(part)
        if not item:
            raise BadQuantity(f"{part.strip()[:40]!r} is no item of a lot", cure=EXAMPLE)
        mass = read(item["mass"], "mass", name=f"item {part.strip()[:40]!r}", above_zero=True).range
        if not mass.is_point:
            raise BadQuantity(f"item {part.strip()[:40]!r} has a range", cure="weigh it: one mass for each item")
        yield mass.likely, item["what"]


def by_items(parcel: Parcel) -> None:
    """Put in the items of a lot, each by its make or its karat.

    Raises: BadQuantity, no such item, or items heavier than the lot; UnknownName, neither an alloy nor a fineness
    """
    text = parcel.told.get("items")
    if text is None:
        return
    before = parcel.grams.get("gold", 0.0)
    total, lines = 0.0, []
    for grams, what in read_items(text):
        total += grams
        lines.append(f"{grams:.5g} g {what}")
        _add(parcel, grams, what)
    if parcel.weight_g is None:
        parcel.weight_g = total + parcel.stones_g
    elif total > high(parcel.weight_g) * (1 + 1e-9):
        raise BadQuantity(
            f"the items weigh {total:.5g} g, the lot {high(parcel.weight_g):.5g} g", cure="leave --weight out, or weigh again"
        )
    gold: Number = parcel.grams.get("gold", 0.0) - before
    parcel.stamp = gold / total if high(gold) > 0 else None
    parcel.work.working(
        "items", "sum of weight x parts per thousand", ", ".join(lines), f"{likely(gold):.5g} g gold in {total:.5g} g"
    )


def _add(parcel: Parcel, grams: float, what: str) -> None:
    """One item: an alloy by name, a make by its parts, or a fineness with an unknown balance."""
    if "/" in what:
        from refinekit.bench.dissolve import make_shares

        for metal, share in make_shares(what).items():
            parcel.add(metal, share * grams)
        return
    try:
        row = alloy(what)
    except UnknownName as unknown:
        try:
            fineness = read(what, "fineness", name="item", highest=1.0).range.likely
        except RefinekitError:
            raise unknown from None
        add_by_fineness(parcel, grams, fineness)
    else:
        if not shares(row)[0]:
            raise BadQuantity(f"{what[:40]!r} holds none of the metals kept here", cure=EXAMPLE)
        parcel.add_alloy(what, grams)
