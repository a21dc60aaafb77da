"""`read_price`: money for an amount of something, from text to money for one base unit."""

from __future__ import annotations

import re
from fractions import Fraction

from refinekit.errors import BadQuantity
from refinekit.ranges import Range
from refinekit.record import record
from refinekit.units.find import Scale, in_order, plain, refuse_traps, scale_of
from refinekit.units.grammar import NUMBER, Figure, figures, finite
from refinekit.units.kinds import KINDS, MONEY_LEAD, Kind
from refinekit.units.plain_kinds import plain_scale
from refinekit.units.reading import Bounds, ordered
from refinekit.units.typed import Typed, visible

PRICED = ("mass", "volume", "energy", "amount", "area", "time")
"""Kinds of thing that are sold by the amount."""
EACH = ("each", "piece", "pc", "ea")
PER = re.compile(rf"\s*(?:/(?!\s*(?:{MONEY_LEAD})?\s*[+-]?\.?\d)|(?<!\w)per(?!\w)|(?<!\w)(?=each\s*$))\s*", re.ASCII)
SIZE = re.compile(rf"({NUMBER})\s*(?=\D)", re.ASCII)
AMOUNT_SOLD = Kind("amount sold", "an amount", "", "", ("1", "2.5"))
EXAMPLE = "4.20 /L, 18 per kg, 60 EUR/oz t or 3.8/4.2/5 /L"


@record
class PriceReading:
    """A price, read.

    Args:
        range: low, likely, high [money for one `per`]
        per: what it is for: a base unit, g, L, kJ, mol, cm2 or s; "each" for a piece [text]
        kind: the kind of thing `per` is a unit of, "count" for a piece [text]
        currency: sign or code as typed; "" for none
        assumed: what was taken as given; None where all was said
        text: as typed
    """

    range: Range
    per: str
    kind: str
    currency: str
    assumed: str | None
    text: str

    def cost(self, amount: float, unit: str) -> float:
        """What an amount costs at the likely price.

        Args:
            amount: how much [unit]
            unit: the base unit it is in: the price's own `per` [text]
        Raises: BadQuantity, the price is for another unit
        """
        if unit != self.per:
            raise BadQuantity(
                f"the price {visible(self.text.strip())} is per {self.per}, the amount is in {unit}", cure=f"a price per {unit}"
            )
        return self.range.likely * amount


def read_price(text: str, *, name: str, unit: str | None = None, decimal_comma: bool | None = None) -> PriceReading:
    """A price as typed, as money for one base unit.

    Args:
        text: money, then what it is for: "4.20 /L", "18 per kg", "$60/oz t", "42 per 2.5 L", "3.8/4.2/5 /L", "2 each"
        name: what it was typed for, as messages call it
        unit: unit a bare sum is for, e.g. "kg"; None where a bare sum is refused
        decimal_comma: whether a comma is the decimal mark; None for what the program or the file was told
    Returns: PriceReading
    Raises: BadQuantity, no money, nothing it is for, a unit nothing is sold by
    Source: exact factors of refinekit.units.kinds

    >>> read_price("18 per kg", name="price").range.likely
    0.018
    """
    typed = Typed.clean(name, text, EXAMPLE, decimal_comma=decimal_comma)
    per = PER.search(typed.text)
    kind, scale, size = _sold_by(typed, per.end() if per else len(typed.text), unit)
    money = Typed(name, text, typed.text[: per.start()] if per else typed.text, EXAMPLE)
    values = figures(money, lead=MONEY_LEAD)
    whole = [figure for value in values for figure in value]
    currency = plain_scale(money, KINDS["money"], whole[0], None, whole).unit
    base = [float(figure.value / (scale.factor * size)) for figure in whole]
    for figure, one in zip(whole, base, strict=True):
        Bounds(KINDS["money"], lowest=0.0).check(money, figure, Scale(""), one)
    notes = [note for note in (typed.note, scale.note, f"as {visible(text.strip())} per {unit}" if not per else "") if note]
    assumed = f"{name} {visible(text.strip())} read {', '.join(notes)}" if notes else None
    return PriceReading(ordered(money, values, base), kind.base or "each", kind.name, currency, assumed, text)


def _sold_by(typed: Typed, at: int, unit: str | None) -> tuple[Kind, Scale, Fraction]:
    """What a price is for: the kind, the scale of its unit, and how many of them."""
    wanted = typed.text[at:].strip() or unit
    if not wanted:
        raise typed.fault(len(typed.text.rstrip()), "a price is for an amount, none is named")
    size, at = _size(typed, at)
    wanted = typed.text[at:].strip() or wanted
    if in_order(wanted) in EACH:
        return KINDS["count"], Scale("each"), size
    refuse_traps(typed, KINDS["mass"], in_order(wanted), at)
    for name in PRICED:
        if plain(in_order(wanted), KINDS[name]):
            return KINDS[name], scale_of(typed, KINDS[name], wanted, at, "a price per"), size
    raise typed.fault(at, f"{visible(wanted)} is not a unit anything is sold by")


def _size(typed: Typed, at: int) -> tuple[Fraction, int]:
    """How many units the price is for (one where it does not say), and where the unit begins."""
    size = SIZE.match(typed.text, at)
    if not size:
        return Fraction(1), at
    many = finite(typed, size[1], at)
    Bounds(AMOUNT_SOLD, above_zero=True).check(typed, Figure(many, size[1], at, "", at), Scale(""), float(many))
    return many, size.end()
