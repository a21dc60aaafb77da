"""What a plan takes off the shelf, what is missing, and what it costs."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from refinekit.bench.step import Reagent, Step, Table
from refinekit.errors import BadQuantity
from refinekit.facts.load import fact
from refinekit.ranges import Range
from refinekit.record import record
from refinekit.shop.batch import Batch
from refinekit.units import read, read_price

TO_BASE = {"g": ("mass", 1.0), "kg": ("mass", 1000.0), "mg": ("mass", 0.001), "mL": ("volume", 0.001), "L": ("volume", 1.0)}
"""Unit of a pour -> its kind and what it is in the kind's base unit (g, L)."""
BASE_UNIT = {"mass": "g", "volume": "L"}


@record
class Line:
    """One line of the shopping list.

    Args:
        key: reagent key, or its name where it has none [text]
        name: what it is called [text]
        kind: mass or volume
        wanted: what the plan takes [g or L]
        on_hand: what the shelf has [g or L]; None where it was not told or is of the other kind
        cost: price of what is taken [money]; None where no price was told
        used: what is used of it: what goes in only until a sign may be as little as its bare need [g or L]
    """

    key: str
    name: str
    kind: str
    wanted: float
    on_hand: float | None
    cost: float | None
    used: Range

    @property
    def short(self) -> float | None:
        """What is missing [g or L]; None where the shelf is not known."""
        return None if self.on_hand is None else max(self.wanted - self.on_hand, 0.0)


def shopping(steps: Iterable[Step], shelf: Mapping[str, Mapping[str, object]]) -> tuple[Line, ...]:
    """The shopping list of a set of steps against a shelf.

    Args:
        steps: the steps; a pour that is part of another one told beside it does not count
        shelf: texts of each bottle, by reagent key
    Raises: BadQuantity, an amount on hand or a price that cannot be read
    """
    wanted: dict[tuple[str, str], tuple[str, float, list[Range]]] = {}
    for step in steps:
        for reagent in step.reagents:
            if reagent.counts and reagent.unit in TO_BASE and reagent.key != "water":
                kind, factor = TO_BASE[reagent.unit]
                key = (reagent.key or reagent.name, kind)
                name, so_far, used = wanted.get(key, (_plain(reagent), 0.0, []))
                wanted[key] = (name, so_far + factor * reagent.to_take, [*used, _used(reagent) * factor])
    return tuple(
        _line(key, kind, name, amount, used, shelf.get(key, {}))
        for (key, kind), (name, amount, used) in wanted.items()
        if amount > 0
    )


def _used(reagent: Reagent) -> Range:
    """What is used of a reagent [in its unit]: all that is measured out, or from its bare need up where a sign ends it."""
    most = reagent.to_take
    if not reagent.to_sign:
        return Range.point(most)
    return Range(min(reagent.bare.low, most), min(reagent.bare.likely, most), most)


def _plain(reagent: Reagent) -> str:
    return reagent.name.partition(",")[0]


def _line(key: str, kind: str, name: str, amount: float, used: list[Range], bottle: Mapping[str, object]) -> Line:
    on_hand = cost = None
    if "on-hand" in bottle:
        try:
            on_hand = read(str(bottle["on-hand"]), kind, name=f"shelf, {key}, on-hand", lowest=0.0).range.low
        except BadQuantity:
            other = "volume" if kind == "mass" else "mass"
            read(str(bottle["on-hand"]), other, name=f"shelf, {key}, on-hand", lowest=0.0)
    if "price" in bottle:
        price = read_price(str(bottle["price"]), name=f"shelf, {key}, price")
        cost = price.cost(amount, BASE_UNIT[kind])
    ends = Range(*(sum(getattr(one, end) for one in used) for end in ("low", "likely", "high")))
    return Line(key, name, kind, amount, on_hand, cost, ends)


def tables(lines: Iterable[Line], batch: Batch, gold_g: float) -> tuple[Table, ...]:
    """The shopping list, and the cost where prices were told."""
    lines = tuple(lines)
    rows = [(line.name, _amount(line.wanted, line.kind), _told(line.on_hand, line.kind), _missing(line)) for line in lines]
    found = [Table("Shopping list", ("reagent", "the plan takes", "on the shelf", "to buy"), tuple(rows))]
    priced = [line for line in lines if line.cost is not None]
    if priced:
        total = sum(line.cost or 0.0 for line in priced)
        unpriced = ", ".join(line.name for line in lines if line.cost is None)
        cost_rows: list[tuple[str | float, ...]] = [
            (line.name, _amount(line.wanted, line.kind), f"{line.cost:.2f}") for line in priced
        ]
        cost_rows.append(("reagents together" + (f" (no price for {unpriced})" if unpriced else ""), "", f"{total:.2f}"))
        if gold_g > 0:
            cost_rows.append(("for each gram of fine gold expected", "", f"{total / gold_g:.2f}"))
        found.append(Table("Cost, in the shelf's money", ("what", "amount", "cost"), tuple(cost_rows)))
    return tuple(found)


def _amount(amount: float, kind: str) -> str:
    if kind == "mass":
        if amount < fact("practice/show.scale.fine_step").value:
            return f"{amount * 1000:.3g} mg"
        return f"{amount / 1000:.3g} kg" if amount >= 1000 else f"{amount:.3g} g"
    return f"{amount:.3g} L" if amount >= 1 else f"{amount * 1000:.3g} mL"


def _told(amount: float | None, kind: str) -> str:
    return "not told" if amount is None else _amount(amount, kind)


def _missing(line: Line) -> str:
    if line.short is None:
        return "see the shelf"
    return _amount(line.short, line.kind) if line.short > 0 else "nothing"
