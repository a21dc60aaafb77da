"""Several kinds of karat goods weighed in as one lot: "50 g of 14 karat yellow; 35 g of 10 karat yellow"."""

from __future__ import annotations

import re
from collections.abc import Iterator

from refinekit.bench.lot_alloy import add_by_fineness
from refinekit.bench.lot_metals import alloy, combined_error, shares, triangular_error
from refinekit.bench.lot_parcel import Parcel
from refinekit.errors import BadQuantity, RefinekitError, UnknownName
from refinekit.ranges import Number, Range, high, likely, low
from refinekit.units import read

_ARGUMENT = re.compile(r"item_\d+_(g|fineness)")
_FINENESS = re.compile(r"[\d./\s]+(\w+|%)?")
_MAKE = re.compile(r"[\d./\s]*/[\d./\s]*")
_ITEM = re.compile(r"\s*(?P<mass>.+?)\s+of\s+(?P<what>.+?)\s*", re.IGNORECASE)
EXAMPLE = 'items are parted by ";", as in "50 g of 14 karat yellow; 35 g of 10K"'


def read_items(text: str) -> Iterator[tuple[Range, str]]:
    """The items of a lot.

    Args:
        text: masses of makes, parted by ";"; a mass may have a range [text]
    Returns: mass [g] and what it is [text], one after the other
    Raises: BadQuantity, an item that is not "mass of make"

    >>> [(mass.likely, what) for mass, what in read_items("50 g of 14 karat yellow; 1 oz t of 585")]
    [(50.0, '14 karat yellow'), (31.1034768, '585')]
    """
    parts = [part for part in text.split(";") if part.strip()]
    if not parts:
        raise BadQuantity("there are no items in the lot", cure=EXAMPLE)
    for part in parts:
        item = _ITEM.fullmatch(part)
        if not item:
            raise BadQuantity(f"{part.strip()[:40]!r} is no item of a lot", cure=EXAMPLE)
        yield read(item["mass"], "mass", name=f"item {part.strip()[:40]!r}", above_zero=True).range, item["what"]


def ranges_within(text: str) -> dict[str, Range]:
    """Masses [g] and finenesses [-] of items that are not known to a point, by argument name: each is an unknown of its own.

    >>> ranges_within("50 g of 14 K; 30/35/40 g of 10 K")["item_2_g"].high
    40.0
    """
    found: dict[str, Range] = {}
    for number, (mass, what) in enumerate(read_items(text), start=1):
        fineness = _fineness_of(what)
        both = {argument(number): mass, argument(number, "fineness"): fineness}
        found |= {name: figure for name, figure in both.items() if figure is not None and not figure.is_point}
    return found


def argument(number: int, of: str = "g") -> str:
    """Name of the mass of an item, counted from 1, or of its fineness."""
    return f"item_{number}_{of}"


def is_item(name: str) -> bool:
    """Whether an argument is the mass or the fineness of an item."""
    return bool(_ARGUMENT.fullmatch(name))


def by_items(parcel: Parcel) -> None:
    """Put in the items of a lot, each by its make or its karat.

    Raises: BadQuantity, no such item, or items heavier than the lot; UnknownName, neither an alloy nor a fineness
    """
    text = parcel.told.get("items")
    if text is None:
        return
    before = parcel.grams.get("gold", 0.0)
    total: Number = 0.0
    lines, spreads = [], []
    for number, (mass, what) in enumerate(read_items(text), start=1):
        grams = parcel.told.get(argument(number), mass.likely)
        held = parcel.grams.get("gold", 0.0)
        total = total + grams
        lines.append(f"{mass.likely:.5g} g {what}")
        _add(parcel, grams, what, parcel.told.get(argument(number, "fineness")))
        own: Number = parcel.grams.get("gold", 0.0) - held
        spreads.append(triangular_error(own) * likely(own))
    if parcel.weight_g is None:
        parcel.weight_g = total + parcel.stones_g
    elif low(total) > high(parcel.weight_g) * (1 + 1e-9):
        raise BadQuantity(
            f"the items weigh {low(total):.5g} g, the lot {high(parcel.weight_g):.5g} g",
            cure="leave --weight out, or weigh again",
        )
    gold: Number = parcel.grams.get("gold", 0.0) - before
    parcel.stamp = gold / total if high(gold) > 0 else None
    if likely(gold) > 0 and any(spreads):
        parcel.errors["items"] = combined_error(spreads) / likely(gold)
    parcel.work.working(
        "items", "sum of weight x parts per thousand", ", ".join(lines), f"{likely(gold):.5g} g gold in {likely(total):.5g} g"
    )


def _fineness_of(what: str) -> Range | None:
    """Gold share of an item told by its karat, fineness or percent; None where it is a make or the name of an alloy."""
    if _MAKE.fullmatch(what):
        return None
    try:
        alloy(what)
    except UnknownName as unknown:
        try:
            return read(what, "fineness", name="item", highest=1.0).range
        except RefinekitError:
            if _FINENESS.fullmatch(what):
                raise
            raise unknown from None
    return None


def _add(parcel: Parcel, grams: Number, what: str, fineness: Number | None) -> None:
    """One item: an alloy by name, a make by its parts, or a fineness with an unknown balance."""
    told = _fineness_of(what)
    if told is not None:
        add_by_fineness(parcel, grams, told.likely if fineness is None else fineness)
    elif _MAKE.fullmatch(what):
        from refinekit.bench.dissolve import make_shares

        for metal, share in make_shares(what).items():
            parcel.add(metal, share * grams)
    elif not shares(alloy(what))[0]:
        raise BadQuantity(f"{what[:40]!r} holds none of the metals kept here", cure=EXAMPLE)
    else:
        parcel.add_alloy(what, grams)
