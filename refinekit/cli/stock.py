"""`refinekit stock`: the shelf, from the book."""

from __future__ import annotations

from typing import Annotated, Any

import typer

from refinekit.cli.desk import desk_of_look
from refinekit.cli.options import (
    Law,
    Text,
    look_told,
    typed,
    writes_event,
)
from refinekit.cli.stock_plan import is_batch, shelf_of_plan
from refinekit.errors import BadQuantity
from refinekit.nearest import did_you_mean
from refinekit.shop.book.stock import DOES
from refinekit.show.document import Document

PAST = {"buy": "bought", "use": "used", "count": "counted", "throw": "thrown"}


@writes_event
def run(
    what: Annotated[
        str, typer.Argument(help=f"{', '.join(DOES)}, or a batch file: its shelf against its plan", metavar="WHAT")
    ] = "show",
    reagent: Annotated[str | None, typer.Argument(help="name as on the bottle", metavar="REAGENT", show_default=False)] = None,
    volume: Annotated[Text, typed("volume", "how much of a liquor", "L")] = None,
    weight: Annotated[Text, typed("weight", "how much of a dry one", "G")] = None,
    strength: Annotated[Text, typed("strength", "its label", "STRENGTH")] = None,
    paid: Annotated[Text, typed("paid", "what was paid for it in all", "MONEY")] = None,
    bottle: Annotated[Text, typed("bottle", "lot number on the bottle", "NUMBER")] = None,
    expires: Annotated[Text, typed("expires", "day it goes off, as 2027-01-31", "DAY")] = None,
    reorder: Annotated[Text, typed("reorder", "amount at which to buy more", "AMOUNT")] = None,
    law: Law = "us",
    **event: Any,
) -> int:
    """The shelf from the book: what is on hand, bought, used, counted, thrown away, and what to buy.

    Example: refinekit stock buy nitric --volume 1L --strength "68 %" --paid 18 --bottle H-2291 --reorder 250mL
    """
    from refinekit.cli.log_answers import number_of
    from refinekit.shop.book.entry import Entry, day
    from refinekit.shop.book.opening import open_book
    from refinekit.shop.book.stock import shelf_table, stock_of

    desk = desk_of_look("stock", **look_told(event))
    if is_batch(what):
        return shelf_of_plan(desk, what, day(event["at"]))
    if what not in DOES and reagent is None:  # the name of a reagent alone asks to see it
        what, reagent = "show", what
    if what not in DOES:
        raise BadQuantity(f"the shelf cannot be asked to {what[:40]!r}", cure=did_you_mean(what, DOES))
    lines = []
    with open_book(event["book"], write=what != "show") as opened:
        if what != "show":
            data, key = moved(what, reagent, volume=volume, weight=weight, reorder=reorder, paid=paid)
            plain = {"strength": strength, "bottle": bottle, "expires": expires and expiry(expires), "note": event["note"]}
            data |= {name: value for name, value in plain.items() if value}
            at, who, instead = day(event["at"]), event["who"] or "", number_of(event["corrects"])
            (number,) = opened.add([Entry("stock", key, at, data, who, instead)])
            lines.append(("written", f"event {number}: {data['did']} {data['amount']:.4g} {data['unit']} of {key}"))
        shelf = stock_of(opened)
    if reagent is not None and what == "show":
        key = reagent_key(reagent)
        shelf = {key: shelf[key]} if key in shelf else {}
    section = shelf_table(shelf.values(), day(None), law)
    return desk.show(Document.of("stock", title=reagent or "", sections=(section,) if section.rows else (), lines=lines))


def reagent_key(word: str) -> str:
    """Key of a reagent by what it says on the bottle. Raises: UnknownName."""
    from refinekit.shop.bottles import reagent_row

    return str(reagent_row(word)["key"])


def expiry(text: str) -> str:
    """A day to come, as typed. Raises: BadQuantity."""
    from datetime import date

    try:
        return date.fromisoformat(text.strip()).isoformat()
    except ValueError:
        raise BadQuantity(f"--expires {text[:40]!r} is no day", cure="year-month-day, as in --expires 2027-01-31") from None


def moved(
    what: str, reagent: str | None, *, volume: str | None, weight: str | None, reorder: str | None, paid: str | None
) -> tuple[dict[str, object], str]:
    """What happened on the shelf, as data, and the reagent's key. Raises: BadQuantity, UnknownName."""
    from refinekit.units import read

    if reagent is None:
        raise BadQuantity(f"what to {what} is not told", cure=f"refinekit stock {what} nitric --volume 1L")
    if bool(volume) == bool(weight):
        raise BadQuantity("how much is not told", cure="--volume 1L of a liquor, or --weight 500g of a dry one")
    kind, unit, text = ("volume", "L", volume) if volume else ("mass", "g", weight)
    amount = read(str(text), kind, name=f"--{'volume' if volume else 'weight'}", unit=unit, lowest=0.0).range.likely
    data: dict[str, object] = {"did": PAST[what], "amount": amount, "unit": unit}
    if reorder:
        data["reorder"] = read(reorder, kind, name="--reorder", unit=unit, lowest=0.0).range.likely
    if paid:
        data["paid"] = read(paid, "money", name="--paid", lowest=0.0).range.likely
    return data, reagent_key(reagent)
