"""Metal a run gives back, and what it is worth: gold, and silver, palladium and platinum where the plan returns them."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from refinekit.bench.fields import METALS
from refinekit.bench.lot_metals import alloy, shares
from refinekit.bench.step import Step
from refinekit.errors import BadQuantity
from refinekit.ranges import Range
from refinekit.record import record
from refinekit.shop.plan import Plan
from refinekit.units import read_price

PRECIOUS = ("gold", "silver", "palladium", "platinum")
"""Metals that are paid for; the first one a run returns is the one its cost is laid on."""
AS_SALT = {"palladium": "palladium precipitate"}
"""Metals that come out as a salt: the pot that holds it."""


@record
class Returned:
    """A metal that comes out.

    Args:
        metal: its word [text]
        grams: fine metal [g]
        recovery: what comes out over what was in the lot, likely case [-]; 0 where the lot had none
        price: of the fine metal [money/g]; None where it was not told
    """

    metal: str
    grams: Range
    recovery: float
    price: Range | None


def price_of(text: str, name: str) -> Range | None:
    """A price of fine metal [money/g]; None for no text. Raises: BadQuantity, no price, or not by weight."""
    if not text:
        return None
    price = read_price(text, name=name)
    if price.kind != "mass":
        raise BadQuantity(f"{name} {text[:40]!r} is not by weight", cure=f'{name} "60 /g", or "1900 /oz t"')
    return price.range


def prices_of(plan: Plan, told: Mapping[str, str | None]) -> dict[str, Range | None]:
    """The price of each precious metal: as told to the command, else as in the file [money/g].

    Args:
        plan: the plan
        told: by metal, None or "" where it was not told
    Raises: BadQuantity, a price that cannot be read
    """
    of_file = {**plan.batch.metal_prices, "gold": plan.batch.gold_price}
    found = {}
    for metal in PRECIOUS:
        own = told.get(metal)
        found[metal] = price_of(own or of_file.get(metal, ""), f"--{metal}-price" if own else f"{metal}-price")
    return found


def returned(plan: Plan, prices: Mapping[str, Range | None]) -> tuple[Returned, ...]:
    """Every precious metal a plan gives back in its buttons, or as a salt, in the order of `PRECIOUS`."""
    lot, *others = plan.done_steps()
    found = []
    for metal in PRECIOUS:
        grams = _buttons(others, metal) + _salt(plan, metal)
        if grams:
            there = next((one.range for one in lot.answers if one.name == metal), None)
            whole = Range(*(sum(getattr(one, end) for one in grams) for end in ("low", "likely", "high")))
            recovery = whole.likely / there.likely if there is not None and there.low > 0 else 0.0
            found.append(Returned(metal, whole, recovery, prices.get(metal)))
    return tuple(found)


def _buttons(steps: Iterable[Step], metal: str) -> list[Range]:
    spans = [one.range for step in steps for one in step.answers if one.name == f"{metal}_in_button"]
    return [Range(span.low, span.likely, span.high) for span in spans]


def _salt(plan: Plan, metal: str) -> list[Range]:
    name = AS_SALT.get(metal)
    spans = [Range.over(pot.element_g(METALS[metal])) for pot in plan.pots if name and pot.name.startswith(name)]
    return [Range(span.low, span.likely, span.high) for span in spans if span.high > 0]


def fine_share(name: str) -> float:
    """Fine silver in the silver a run is given [-]: that of sterling, all of fine silver."""
    return shares(alloy("sterling silver"))[0]["silver"] if name.startswith("sterling") else 1.0
