"""Lots from the events: what was expected, what was found and where, what it took and what it paid."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cache
from typing import Any

import numpy as np

from refinekit.bench.account import STREAMS
from refinekit.bench.account_sums import sigmas_of, verdicts
from refinekit.bench.fields import METALS
from refinekit.bench.lot_metals import triangular_error
from refinekit.errors import BadFile, UnknownName
from refinekit.facts.load import fact
from refinekit.nearest import did_you_mean
from refinekit.ranges import Range
from refinekit.shop.book.store import Book


@dataclass(slots=True)
class Lot:
    """A lot as the events have it.

    Args:
        number: its number
        at: day it was weighed in, or of its first event
        source: where it came from
        goods: what it is
        title: as its lot room put it
        weight_g: goods as they came [g]
        metals_g: metals expected, by element: a figure, or likely, low and high [g]
        found: fine metal by element and stream [g]
        bars: each bar: element, grams, fineness
        used: reagents: key, used, bare, unit, step
        steps: names of the steps logged, with day
        paid, sold, cost: money for the goods, for the metal, and what else it cost
        last: day of its last event
        seller: what the law asks to be kept
    """

    number: str
    at: str = ""
    source: str = ""
    goods: str = ""
    title: str = ""
    weight_g: float = 0.0
    metals_g: Mapping[str, Any] = field(default_factory=dict)
    found: dict[str, dict[str, float]] = field(default_factory=dict)
    bars: list[tuple[str, float, float | None]] = field(default_factory=list)
    used: list[Mapping[str, Any]] = field(default_factory=list)
    steps: list[tuple[str, str, Mapping[str, Any]]] = field(default_factory=list)
    paid: float | None = None
    sold: float = 0.0
    cost: float = 0.0
    last: str = ""
    seller: str = ""

    @property
    def expected(self) -> dict[str, Range]:
        """Metals expected, by element, low to high [g]."""
        return {element: span_of(grams) for element, grams in self.metals_g.items()}

    def should_g(self, element: str) -> float:
        """Metal to expect, likely [g]; 0 where nobody told."""
        grams = self.metals_g.get(element, 0.0)
        return float(grams[0] if isinstance(grams, list) else grams)

    def found_g(self, element: str) -> float:
        """Fine metal found in all streams [g]."""
        return sum(self.found.get(element, {}).values())

    def verdict(self, element: str) -> tuple[float | None, str]:
        """Standard errors missing, and what that proves; None and "" where nothing was found or expected."""
        return verdicts_of([self], element)[0]


def verdicts_of(lots: Sequence[Lot], element: str) -> list[tuple[float | None, str]]:
    """Of each lot, standard errors missing and what that proves; None and "" where nothing was found or expected."""
    told = [lot for lot in lots if element in lot.found and lot.should_g(element) > 0]
    if not told:
        return [(None, "")] * len(lots)
    likely_g = np.array([lot.should_g(element) for lot in told])
    errors = np.array([_error(lot.metals_g[element]) for lot in told])
    sigmas = np.asarray(sigmas_of(likely_g, np.array([lot.found_g(element) for lot in told]), errors * likely_g))
    said = {id(lot): (float(one), str(word)) for lot, one, word in zip(told, sigmas, verdicts(sigmas), strict=True)}
    return [said.get(id(lot), (None, "")) for lot in lots]


@cache
def _unknown() -> float:
    return fact("practice/account.sigma_unknown").value


def _error(grams: Any) -> float:
    """One standard error of what was expected, as a share of it; the usual one where it was told without a range."""
    own = triangular_error(np.array(grams)) if isinstance(grams, list) else 0.0
    return own or _unknown()


def lots_of_book(
    book: Book, *, number: str | None = None, kinds: Iterable[str] = ("lot", "step", "yield", "money", "bath"), since: str = ""
) -> dict[str, Lot]:
    """Lots of the book by number, in the order of their first event.

    Args:
        book: the open book
        number: of the one that is wanted; None for all
        kinds: events to read; fewer where less is asked
        since: day before which a lot that has an event is left out, "" for none
    """
    wanted = tuple(kinds)
    where, arguments = f"e.kind IN ({', '.join('?' * len(wanted))})", list(wanted)
    if number is not None:
        where, arguments = f"{where} AND (e.about = ? OR e.kind = 'bath')", [*arguments, number]
    if number is None and "bath" not in wanted:  # of many lots, only the steps that used something tell anything
        where += " AND (e.kind <> 'step' OR instr(e.data, '\"used\":[{') > 0)"
    older: set[str] = set()
    if since:
        older = book.names_before(since, ("lot", "step", "yield"))
        where, arguments = f"{where} AND e.at >= ?", [*arguments, since]
    found: dict[str, Lot] = {}
    for at, kind, about, data in book.rows(where, arguments):
        name = str(data.get("lot", "")) if kind == "bath" else about
        if name and number in (None, name) and name not in older:
            try:
                _follow(found.get(name) or found.setdefault(name, Lot(name)), at, kind, data)
            except (KeyError, IndexError, TypeError, AttributeError):  # the book was altered by other hands
                raise BadFile(
                    f"the {kind} of lot {name[:40]!r} on {at[:10]} lacks what it was written with", cure="refinekit book check"
                ) from None
    return found


def _follow(lot: Lot, at: str, kind: str, data: Mapping[str, Any]) -> None:
    lot.at, lot.last = lot.at or at, at
    if kind == "yield":
        element = METALS[data.get("metal", "gold")]
        streams = lot.found.setdefault(element, {})
        streams[data["stream"]] = streams.get(data["stream"], 0.0) + data["fine_g"]
        if data["stream"] == "bar":
            grams = data["grams"][0] if isinstance(data["grams"], list) else data["grams"]
            lot.bars.append((element, grams, data.get("fineness")))
        return
    if kind == "lot":
        lot.at = at
        lot.source, lot.goods, lot.title = data.get("source", ""), data.get("goods", ""), data.get("did", "")
        lot.weight_g, lot.seller, lot.paid = data.get("weight_g", 0.0), data.get("seller", ""), data.get("paid")
        lot.metals_g = data.get("metals_g", {})
    elif kind == "money":
        lot.sold += data.get("in", 0.0)
        lot.cost += data.get("out", 0.0)
    else:
        lot.steps.append((at, str(data.get("step") or data.get("did", "")), data))
    if isinstance(data.get("used"), list):
        for row in data["used"]:
            row["step"] = data.get("step", "")
        lot.used += data["used"]


def span_of(figure: Any) -> Range:
    """A figure of an event as low, likely and high."""
    if isinstance(figure, list):
        return Range(min(figure), figure[0], max(figure))
    return Range.point(float(figure))


def lot_of(book: Book, number: str) -> Lot:
    """One lot. Raises: UnknownName, with the nearest number."""
    found = lots_of_book(book, number=number)
    if number not in found:
        every = lots_of_book(book)
        some = ", ".join(list(every)[-8:])
        raise UnknownName(
            f"the book knows no lot {number[:40]!r}",
            cure=did_you_mean(number, every, f"one of: {some}" if some else "refinekit log FILE --lot 12"),
        )
    return found[number]


# ---- what the account room is told of a lot
def account_texts(lot: Lot, metal: str) -> dict[str, object]:
    """A lot as the options of the account: expected, bar, fineness, streams.

    Args:
        lot: the lot
        metal: gold, silver, palladium or platinum
    """
    element = METALS[metal]
    texts: dict[str, object] = {"metal": metal}
    expected = lot.expected.get(element)
    if expected is not None:
        ends = (expected.likely,) if expected.is_point else (expected.low, expected.likely, expected.high)
        texts["expected"] = f"{'/'.join(repr(float(end)) for end in ends)} g"
    bars = [(grams, fine) for name, grams, fine in lot.bars if name == element]
    if bars:
        weight = sum(grams for grams, _ in bars)
        fine = sum(grams * (1.0 if share is None else share) for grams, share in bars)
        texts["bar"] = f"{weight!r} g"
        if any(share is not None for _, share in bars):
            texts["fineness"] = repr(fine / weight) if weight else "1"
    for stream, grams in lot.found.get(element, {}).items():
        if stream in STREAMS:
            texts[stream] = f"{grams!r} g"
    return texts
