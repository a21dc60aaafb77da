"""The account by item: what each item of a lot should hold, its share of what was found, and what whoever brought it gets."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import numpy as np

from refinekit.bench.leach_goods import as_number
from refinekit.bench.lot_items import Held, put_in
from refinekit.bench.lot_parcel import Parcel
from refinekit.bench.work import Work
from refinekit.errors import BadQuantity
from refinekit.facts.load import fact
from refinekit.ranges import Number, Range, high, likely, low
from refinekit.record import record

RECTANGLE = 12**0.5
"""Width of a rectangle over its standard deviation."""


@record
class Shared:
    """What the account has to share out.

    Args:
        metal: word of the metal [text]
        expected_g: what all that went in should hold [g]
        back_g: what there is to give back [g]; None where nothing was told
        told: whether that was found, rather than worked out by the plan
        paid: what is paid for it, `currency` its word; None where no price was told
    """

    metal: str
    expected_g: Number
    back_g: Number | None
    told: bool
    paid: Number | None = None
    currency: str = ""


def items_of(work: Work, told: Mapping[str, Any], metal: str) -> list[tuple[Held, Number]]:
    """The items told, each with its metal [g]; those that hold none of it are left out.

    Raises: BadQuantity, no such items, or none of them holds the metal; UnknownName, neither an alloy nor a fineness
    """
    if "items" not in told:
        return []
    scratch = Work("items", place=work.place)
    found = [(one, one.grams.get(metal, 0.0)) for one in put_in(Parcel(scratch, told), told["items"])]
    held = [(one, grams) for one, grams in found if high(grams) > 0]
    if not held:
        raise BadQuantity(f"none of the items holds {metal}", cure="give --metal, or the items of this lot")
    return held


def stamps_g(work: Work, told: Mapping[str, Any], items: list[tuple[Held, Number]]) -> float:
    """One standard error that the stamps of the items leave in their gold [g]: as far under as the law lets, or not at all.

    Args:
        work: the step
        told: figures of the account; with an error, or an expectation of its own, the stamps are not counted
        items: as `items_of`
    Source: standard deviation of a rectangle, JCGM 100:2008, 4.3.7; 15 USC 295. The goods run under together
    """
    if {"sigma_g", "error", "expected_g"} & told.keys():
        return 0.0
    metal = told.get("metal") or "gold"
    under = sum(likely(grams - _poor(work, metal, one, grams)) for one, grams in items)
    if under <= 0:
        return 0.0
    error = under / RECTANGLE
    work.fact("materials.stamp.soldered_under")
    work.assume(f"stamps may be 7 parts in a thousand under (15 USC 295): one standard error of {error:.3g} g")
    return error


def say_items(work: Work, items: list[tuple[Held, Number]], shared: Shared) -> None:
    """Set out what each item should hold and what it gets of what is there.

    Args:
        work: the step
        items: as `items_of`
        shared: what is to be shared
    Source: share of the expectation; how far a stamp may lie, 15 USC 295 in facts/materials.toml
    """
    if not items:
        return
    whole: Number = sum((grams for _, grams in items), 0.0)
    rest = as_number(np.maximum(shared.expected_g - whole, 0.0))
    rest = rest if high(rest / whole) > 1e-6 else 0.0
    lines = [(one.item.name, one.item.who, grams, _share(work, shared.metal, number, items, rest))
             for number, (one, grams) in enumerate(items)]  # fmt: skip
    _table(work, "by item", lines, shared, rest)
    owners = [who for _, who, _, _ in lines if who]
    if len(set(owners)) < len(owners):
        _table(work, "by whom", _by_owner(lines), shared, rest)
    _say_how(work, shared, rest)


Line = tuple[str, str, Number, Range]
"""What it is, whose it is, its metal [g], its share of the whole [-]."""


def _share(work: Work, metal: str, number: int, items: list[tuple[Held, Number]], rest: Number) -> Range:
    """Share of an item: over the cases, and with its stamp, or that of all the others, as poor as the law lets it be."""
    own = items[number][1]
    others: Number = sum((grams for at, (_, grams) in enumerate(items) if at != number), 0.0) + rest
    poor = _poor(work, metal, *items[number])
    others_poor: Number = sum((_poor(work, metal, *one) for at, one in enumerate(items) if at != number), 0.0) + rest
    return Range(low(poor / (poor + others)), likely(own / (own + others)), high(own / (own + others_poor)))


def _poor(work: Work, metal: str, held: Held, grams: Number) -> Number:
    """Metal of an item whose stamp is as far under as soldered goods may be; gold goods in the United States only [g]."""
    if metal != "gold" or work.place.law != "us":
        return grams
    under = fact("materials.stamp.soldered_under").value / 1000
    return as_number(np.maximum(grams - under * held.weight_g, 0.0))


def _by_owner(lines: list[Line]) -> list[Line]:
    """The lines put together by whose they are."""
    found: dict[str, Line] = {}
    for name, who, grams, share in lines:
        if who in found:
            names, _, held, before = found[who]
            both = Range(before.low + share.low, before.likely + share.likely, before.high + share.high)
            found[who] = (f"{names}; {name}", who, held + grams, both)
        else:
            found[who] = (name, who, grams, share)
    # ends of several items of one seller cannot all be low at once by more than the whole
    return [
        (name, who, grams, Range(share.low, share.likely, min(share.high, 1.0))) for name, who, grams, share in found.values()
    ]


def _table(work: Work, title: str, lines: list[Line], shared: Shared, rest: Number) -> None:
    owned = any(who for _, who, _, _ in lines)
    back = "gets back g" if shared.told else "of the bar by the plan g"
    columns = ("item", *(["from"] if owned else []), "expected g", "share %")
    columns = (*columns, *([back] if shared.back_g is not None else []), *([f"pays {shared.currency}"] if _pays(shared) else []))
    rows: list[tuple[str | Range, ...]] = []
    for name, who, grams, share in lines:
        rows.append(_row(shared, (name, *([who or "not told"] if owned else [])), grams, share))
    if high(rest) > 0:
        share = Range.over(rest / np.maximum(shared.expected_g, 1e-12))
        rows.append(_row(shared, ("not of the items (the shop's)", *([""] if owned else [])), rest, share))
    work.table(title, columns, rows)


def _pays(shared: Shared) -> bool:
    return shared.paid is not None


def _row(shared: Shared, head: tuple[str, ...], grams: Number, share: Range) -> tuple[str | Range, ...]:
    cells: list[str | Range] = [*head, Range.over(grams), _times(share, 100.0)]
    cells += [_times(share, whole) for whole in (shared.back_g, shared.paid) if whole is not None]
    return tuple(cells)


def _times(share: Range, whole: Number) -> Range:
    """A share of a whole, the ends of both together."""
    ends = sorted(one * other for one in (share.low, share.high) for other in (low(whole), high(whole)))
    return Range(ends[0], share.likely * likely(whole), ends[-1])


def _say_how(work: Work, shared: Shared, rest: Number) -> None:
    what = "what was found" if shared.told else "what the plan leaves in the bar"
    line = f"{what} goes by each item's part of the expectation: loss and gain fall on all alike"
    if shared.metal == "gold" and work.place.law == "us":
        work.fact("materials.stamp.soldered_under")
        line += "; low and high ends: that stamp, or all the others, 7 parts in a thousand under (15 USC 295)"
    work.say("by item", line)
    work.say("by item", "melt or assay an item by itself where its seller doubts the share: after they are mixed nobody can tell")
    if high(rest) > 0:
        work.say("by item", f"{likely(rest):.4g} g of the expectation came with none of the items: added metal stays the shop's")
