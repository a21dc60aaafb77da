"""The shelf from the events: bought, used by steps and vessels, counted, thrown away."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Any

from refinekit.bench.step import Table
from refinekit.facts.load import table
from refinekit.ranges import Range
from refinekit.shop.book.store import Book
from refinekit.shop.law import limits_of

DOES = ("show", "buy", "use", "count", "throw")
"""What can be done with the shelf."""


@dataclass(slots=True)
class Bottle:
    """A reagent on the shelf.

    Args:
        key: reagent key
        unit: g or L
        on_hand: what is left by the events [g or L]; under 0 where more was used than bought
        used: what was used in all [g or L]
        reorder: amount at which to buy [g or L]; None where nobody told
        bottles: lot number to the day it was bought
        expires: day the newest bottle goes off, "" where nobody told
        spent: money paid in all
        per_unit: money for a gram or a litre, last paid; None where no price was told
        strength: label of the newest bottle
        counted: day it was last counted
        off: what the last count was off by [g or L]
    """

    key: str
    unit: str = "g"
    on_hand: float = 0.0
    used: float = 0.0
    reorder: float | None = None
    bottles: dict[str, str] = field(default_factory=dict)
    expires: str = ""
    spent: float = 0.0
    per_unit: float | None = None
    strength: str = ""
    counted: str = ""
    off: float = 0.0


def stock_of(book: Book) -> dict[str, Bottle]:
    """The shelf by reagent key; water is not on it."""
    found: dict[str, Bottle] = {}
    for at, kind, about, data in book.rows("e.kind = 'stock' OR instr(e.data, '\"used\":[{') > 0"):
        if kind == "stock":
            _moved(found.setdefault(about, Bottle(about)), at, data)
        for row in data.get("used", ()) if isinstance(data.get("used"), list) else ():
            if row["key"] != "water":
                bottle = found.setdefault(row["key"], Bottle(row["key"], row["unit"]))
                bottle.on_hand -= row["used"]
                bottle.used += row["used"]
    return found


def _moved(bottle: Bottle, at: str, data: Any) -> None:
    amount, did = data["amount"], data["did"]
    bottle.unit = data["unit"]
    if did == "bought":
        bottle.on_hand += amount
        bottle.reorder = data.get("reorder", bottle.reorder)
        bottle.expires = data.get("expires", bottle.expires)
        bottle.strength = data.get("strength", bottle.strength)
        if "bottle" in data:
            bottle.bottles[data["bottle"]] = at
        if "paid" in data:
            bottle.spent += data["paid"]
            bottle.per_unit = data["paid"] / amount if amount else bottle.per_unit
    elif did == "counted":
        bottle.off = amount - bottle.on_hand
        bottle.on_hand, bottle.counted = amount, at
    else:
        bottle.on_hand -= amount
        if did == "used":
            bottle.used += amount


def price_of(book: Book) -> dict[str, float]:
    """Money for a gram or a litre of each reagent, last paid."""
    found: dict[str, float] = {}
    for _, _, key, data in book.rows("e.kind = 'stock' AND instr(e.data, '\"paid\":') > 0"):
        if data["amount"] > 0:
            found[key] = data["paid"] / data["amount"]
    return found


COLUMNS = ("reagent", "on hand", "used", "unit", "to buy at", "expires", "bottles", "note")


def shelf_table(shelf: Iterable[Bottle], today: str, law: str) -> Table:
    """The shelf in lines."""
    names = {row["key"]: row for row in table("reagents")["reagent"]}
    rows: list[tuple[str | float | Range, ...]] = []
    for one in shelf:
        row = names.get(one.key, {})
        reorder: str | Range = "" if one.reorder is None else Range.point(one.reorder)
        span = (Range.point(one.on_hand), Range.point(one.used), one.unit, reorder, one.expires)
        rows.append((row.get("name", one.key), *span, ", ".join(one.bottles), "; ".join(_notes(one, row, today, law))))
    return Table("Shelf", COLUMNS, tuple(rows))


def _notes(one: Bottle, row: Any, today: str, law: str) -> list[str]:
    notes = []
    if one.on_hand < 0:
        notes.append("more was used than is written down as bought: count it")
    elif one.reorder is not None and one.on_hand <= one.reorder:
        notes.append("buy")
    if one.expires and one.expires < today:
        notes.append("past its day: test it before it is trusted")
    if one.counted and abs(one.off) > 0:
        notes.append(f"count of {one.counted} was {one.off:+.3g} {one.unit} off the events")
    words = {"public": "a private person may not hold it over", "licence": "a private person needs a licence over"}
    for limit in limits_of(one.key, law):
        if limit["kind"] in words:
            notes.append(f"{words[limit['kind']]} {limit['value']:g} {limit['unit']}")
    return notes
