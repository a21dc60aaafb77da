"""Several kinds of karat goods weighed in as one lot: "50 g of 14 karat yellow; 35 g of 10 karat yellow"."""

from __future__ import annotations

import re
from dataclasses import field

from refinekit.bench.lot_alloy import add_by_fineness
from refinekit.bench.lot_fields import kind_row
from refinekit.bench.lot_metals import alloy, combined_error, filled_gold_g, read_filled, shares, triangular_error
from refinekit.bench.lot_parcel import Parcel
from refinekit.errors import BadQuantity, RefinekitError, UnknownName
from refinekit.ranges import Number, Range, high, likely, low
from refinekit.record import record
from refinekit.units import read

_ARGUMENT = re.compile(r"item_\d+_(g|fineness)")
_FINENESS = re.compile(r"[\d./\s]+(\w+|%)?")
_MAKE = re.compile(r"[\d./\s]*/[\d./\s]*")
_FILLED = re.compile(r"\d+\s*/\s*\d+\s+[\d.]+\s*(?:k|kt|karat)\b.*", re.IGNORECASE)
_ITEM = re.compile(r"\s*(?P<mass>.+?)\s+of\s+(?P<what>.+?)(?:\s+from\s+(?P<who>.+?))?\s*", re.IGNORECASE)
EXAMPLE = 'items are parted by ";", as in "50 g of 14 karat yellow; 35 g of 10K", and may end in whose they are: "from tray 2"'


@record
class Item:
    """One item of a lot as told.

    Args:
        mass: its weight [g]
        what: make, alloy or fineness [text]
        who: whose it is, "" where that was not told [text]
    """

    mass: Range
    what: str
    who: str = ""

    @property
    def name(self) -> str:
        """Weight and make, as a line of a table calls it."""
        return f"{self.mass.likely:.5g} g {self.what}"


@record
class Held:
    """What one item of a lot holds.

    Args:
        item: as told
        weight_g: its weight [g]
        grams: metals in it, by word [g]
    """

    item: Item
    weight_g: Number
    grams: dict[str, Number] = field(default_factory=dict)


def read_items(text: str) -> list[Item]:
    """The items of a lot.

    Args:
        text: masses of makes, parted by ";"; a mass may have a range, and an item may end in "from" and whose it is [text]
    Returns: the items in their order
    Raises: BadQuantity, an item that is not "mass of make"

    >>> [(one.mass.likely, one.what, one.who) for one in read_items("50 g of 14 karat yellow; 1 oz t of 585 from tray 2")]
    [(50.0, '14 karat yellow', ''), (31.1034768, '585', 'tray 2')]
    """
    parts = [part for part in text.split(";") if part.strip()]
    if not parts:
        raise BadQuantity("there are no items in the lot", cure=EXAMPLE)
    return [_read_item(part) for part in parts]


def _read_item(part: str) -> Item:
    item = _ITEM.fullmatch(part)
    if not item or item["what"].lower().endswith(" from"):
        raise BadQuantity(f"{part.strip()[:40]!r} is no item of a lot", cure=EXAMPLE)
    mass = read(item["mass"], "mass", name=f"item {part.strip()[:40]!r}", above_zero=True).range
    return Item(mass, item["what"], item["who"] or "")


def ranges_within(text: str) -> dict[str, Range]:
    """Masses [g] and finenesses [-] of items that are not known to a point, by argument name: each is an unknown of its own.

    >>> ranges_within("50 g of 14 K; 30/35/40 g of 10 K")["item_2_g"].high
    40.0
    """
    found: dict[str, Range] = {}
    for number, item in enumerate(read_items(text), start=1):
        fineness = _fineness_of(item.what)
        both = {argument(number): item.mass, argument(number, "fineness"): fineness}
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
    parcel.held = put_in(parcel, text)
    total: Number = sum((one.weight_g for one in parcel.held), 0.0)
    lines = [one.item.name for one in parcel.held]
    spreads = [triangular_error(own) * likely(own) for own in (one.grams.get("gold", 0.0) for one in parcel.held)]
    if parcel.weight_g is None:
        parcel.weight_g = total + parcel.stones_g
    elif low(total) > high(parcel.weight_g) * (1 + 1e-9):
        raise BadQuantity(
            f"the items weigh {low(total):.5g} g, the lot {high(parcel.weight_g):.5g} g",
            cure="leave --weight out, or weigh again",
        )
    gold: Number = parcel.grams.get("gold", 0.0) - before
    filled = any(is_filled(one.item.what) for one in parcel.held)
    parcel.stamp = gold / total if high(gold) > 0 and not filled else None
    if filled and len(parcel.held) > 1:
        parcel.work.say(
            "next", "keep the filled goods apart: leach their base first; melted in, all their brass goes into the nitric"
        )
    if likely(gold) > 0 and any(spreads):
        parcel.errors["items"] = combined_error(spreads) / likely(gold)
    parcel.work.working(
        "items", "sum of weight x parts per thousand", ", ".join(lines), f"{likely(gold):.5g} g gold in {likely(total):.5g} g"
    )


def put_in(parcel: Parcel, text: str) -> list[Held]:
    """Put the items of a text into a parcel.

    Args:
        parcel: the lot; its `told` may hold their masses and finenesses over the cases
        text: as `read_items` takes it [text]
    Returns: what each of them holds
    Raises: BadQuantity, no such item; UnknownName, neither an alloy nor a fineness
    """
    found = []
    for number, item in enumerate(read_items(text), start=1):
        grams: Number = parcel.told.get(argument(number), item.mass.likely)
        before = dict(parcel.grams)
        _add(parcel, grams, item.what, parcel.told.get(argument(number, "fineness")))
        own = {metal: held - before.get(metal, 0.0) for metal, held in parcel.grams.items() if held is not before.get(metal)}
        found.append(Held(item, grams, own))
    return found


def _fineness_of(what: str) -> Range | None:
    """Gold share of an item told by its karat, fineness or percent; None where it is a make or the name of an alloy."""
    if _MAKE.fullmatch(what) or _FILLED.fullmatch(what):
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
    """One item: an alloy by name, a make by its parts, a filled mark, or a fineness with an unknown balance."""
    told = _fineness_of(what)
    if told is not None:
        add_by_fineness(parcel, grams, told.likely if fineness is None else fineness)
    elif _FILLED.fullmatch(what):
        _add_filled(parcel, grams, what)
    elif _MAKE.fullmatch(what):
        from refinekit.bench.dissolve import make_shares

        for metal, share in make_shares(what).items():
            parcel.add(metal, share * grams)
    elif not shares(alloy(what))[0]:
        raise BadQuantity(f"{what[:40]!r} holds none of the metals kept here", cure=EXAMPLE)
    else:
        parcel.add_alloy(what, grams)


def is_filled(what: str) -> bool:
    """Whether an item is told by a gold-filled mark."""
    return bool(_FILLED.fullmatch(what))


def _add_filled(parcel: Parcel, grams: Number, what: str) -> None:
    """A gold-filled item: its worn layer, the rest the usual base of filled goods."""
    layer, fineness = read_filled(what)
    assert fineness is not None  # the pattern has a karat in it
    wear = parcel.work.default(parcel.told.get("wear"), "materials.filled.wear", "share of the layer worn away")
    gold = filled_gold_g(grams, layer, fineness, wear)
    parcel.add("gold", gold)
    parcel.add_alloy(kind_row("filled")["base"], grams - gold)
    parcel.work.assume(f"the base of {what} is {kind_row('filled')['base']}, its layer counted as gold and base")
