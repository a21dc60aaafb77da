"""What a run costs, to the gram of gold; the grade it breaks even at; what a lot may cost at a wanted margin."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from refinekit.bench.step import Answer, Step, Table
from refinekit.errors import BadQuantity, CannotFollow
from refinekit.ranges import Range
from refinekit.shop.ask import Told, listen
from refinekit.shop.batch import Batch, raise_all
from refinekit.shop.cost_fields import COST_FIELDS
from refinekit.shop.largest import lot_g
from refinekit.shop.plan import Plan
from refinekit.shop.shopping import shopping
from refinekit.units import read_price
from refinekit.units.price import PriceReading

ONE = Range.point(1.0)
SECONDS_AN_HOUR = 3600
WATTS_A_KILOWATT = 1000
ACT_ON = {
    "pay": "low: gold at its least, costs at their most",
    "break_even_grade": "high: costs at their most, the price at its least",
    "left": "low: gold at its least, costs at their most",
    "cost_per_gram": "high: costs at their most, gold at its least",
}


def plus(*parts: Range) -> Range:
    """Sum, ends to ends."""
    return Range(sum(part.low for part in parts), sum(part.likely for part in parts), sum(part.high for part in parts))


def times(one: Range, other: Range) -> Range:
    """Product of two figures that are not below nothing, ends to ends."""
    return Range(one.low * other.low, one.likely * other.likely, one.high * other.high)


def over(one: Range, other: Range) -> Range | None:
    """Quotient: least over most, most over least; None where the other may be nothing, which has no top."""
    if other.low <= 0:
        return None
    return Range(one.low / other.high, one.likely / other.likely, one.high / other.low)


def less(one: Range, other: Range) -> Range:
    """Difference: least less most, most less least."""
    return Range(one.low - other.high, one.likely - other.likely, one.high - other.low)


@dataclass(frozen=True, slots=True)
class Money:
    """What a run costs and brings.

    Args:
        lines: (what, cost) of everything that has a price [money]
        gold_g: gold that comes out [g]; None where there is none
        recovery: gold that comes out over gold in the lot, likely case [-]
        lot_kg: mass of the lot [kg]
        price: of fine gold [money/g]; None where it was not told
        paid: share of the gold that is paid for [-]
        margin: share of what the gold brings that is to be left over [-]
        lot: what the lot costs [money]; None where it was not told
        unpriced: what is used and has no price
        assumed: what was taken as given
    """

    lines: tuple[tuple[str, Range], ...]
    gold_g: Range | None
    recovery: float
    lot_kg: float
    price: Range | None
    paid: Range
    margin: Range
    lot: Range | None
    unpriced: tuple[str, ...]
    assumed: tuple[str, ...]

    @property
    def total(self) -> Range:
        """Everything but the lot itself [money]."""
        return plus(*(cost for _, cost in self.lines))

    @property
    def value(self) -> Range | None:
        """What the gold brings [money]."""
        if self.gold_g is None or self.price is None:
            return None
        return times(times(self.gold_g, self.price), self.paid)

    @property
    def cost_per_gram(self) -> Range | None:
        """Cost of a gram of gold, the lot not counted [money/g]."""
        return None if self.gold_g is None else over(self.total, self.gold_g)

    @property
    def break_even_grade(self) -> Range | None:
        """Gold to a kilogram of lot that just pays for the run [g/kg]."""
        if self.price is None or not self.recovery or not self.lot_kg:
            return None
        a_gram = times(self.price, self.paid) * (self.recovery * self.lot_kg)
        return over(self.total, a_gram)

    @property
    def pay(self) -> Range | None:
        """What may be paid for the lot so that the margin is left [money]; below nothing where even a gift would not do."""
        value = self.value
        if value is None:
            return None
        kept = Range(1 - self.margin.high, 1 - self.margin.likely, 1 - self.margin.low)
        return less(times(value, kept), self.total)

    @property
    def left(self) -> Range | None:
        """What is left after costs and the lot [money]."""
        value = self.value
        if value is None:
            return None
        return less(value, plus(self.total, self.lot or Range.point(0.0)))


def money_of(plan: Plan, gold_price: str | None = None) -> Money:
    """What a plan costs and brings.

    Args:
        plan: the plan, gone through
        gold_price: price of fine gold as typed; None for the batch file's
    Raises: CannotFollow, the plan is stopped; BadQuantity, a price for the wrong unit; BadFile, costs that cannot be read
    """
    if plan.stopped_at:
        raise CannotFollow(f"the plan is stopped at {plan.stopped_at}", cure="clear that first: refinekit plan FILE says why")
    batch = plan.batch
    told = listen(COST_FIELDS, batch.costs, label=lambda key: batch.labels.get(f"costs.{key}", f"costs, {key}"))
    raise_all(list(told.faults))
    steps = plan.done_steps()
    reagents, unpriced = _reagents(steps, batch)
    lines = [*reagents, *_waste(steps, told), *_power(steps, told), *_labour(told)]
    if "filters" in told.figures:
        lines.append(("filters and the like", told.figures["filters"]))
    price = _price(gold_price or batch.gold_price, "--gold-price" if gold_price else "gold-price")
    gold, recovery = _gold(steps)
    assumed = [*told.assumed]
    if "paid" not in told.figures:
        assumed.append("all the gold is paid for")
    if "margin" not in told.figures:
        assumed.append("no margin: what is left over is nothing")
    return Money(
        tuple(lines),
        gold,
        recovery,
        lot_g(plan) / 1000,
        price,
        told.figures.get("paid", ONE),
        told.figures.get("margin", Range.point(0.0)),
        told.figures.get("lot"),
        unpriced,
        tuple(assumed),
    )


def _reagents(steps: Iterable[Step], batch: Batch) -> tuple[list[tuple[str, Range]], tuple[str, ...]]:
    """Reagents as they are measured out, at the shelf's prices."""
    lines, unpriced = [], []
    for line in shopping(steps, batch.shelf):
        text = batch.shelf.get(line.key, {}).get("price")
        if text is None:
            unpriced.append(line.name)
        else:
            price = read_price(str(text), name=f"shelf, {line.key}, price")
            price.cost(line.wanted, "g" if line.kind == "mass" else "L")  # a price for the other kind of amount is refused
            lines.append((line.name, price.range * line.wanted))
    return lines, tuple(unpriced)


def _waste(steps: Iterable[Step], told: Told) -> list[tuple[str, Range]]:
    price = told.plain.get("waste")
    if not isinstance(price, PriceReading):
        return []
    name, per = {"g": ("cake", 1000.0), "L": ("drum", 1.0)}.get(price.per, ("", 0.0))
    if not name:
        raise BadQuantity(f"costs, waste {price.text!r} is neither by weight nor by volume", cure='waste = "3.50 /kg"')
    amounts = [one.range for step in steps for one in step.answers if one.name == name]
    return [(f"waste, by the {name}", times(_bare(amounts[-1]) * per, price.range))] if amounts else []


def _power(steps: Iterable[Step], told: Told) -> list[tuple[str, Range]]:
    price = told.plain.get("electricity")
    if not isinstance(price, PriceReading):
        return []
    if price.kind != "energy":
        raise BadQuantity(f"costs, electricity {price.text!r} is not by energy", cure='electricity = "0.30 /kWh"')
    used = told.figures.get("energy_kj", Range.point(0.0))
    hours = [one.range for step in steps for one in step.answers if one.name == "hours"]
    if "pump_w" in told.figures and hours:
        air = times(told.figures["pump_w"], plus(*map(_bare, hours))) * (SECONDS_AN_HOUR / WATTS_A_KILOWATT)
        used = plus(used, air)
    return [("power", times(used, price.range))] if used.high else []


def _labour(told: Told) -> list[tuple[str, Range]]:
    price, hours = told.plain.get("labour"), told.figures.get("hours_s")
    if not isinstance(price, PriceReading) or hours is None:
        return []
    if price.kind != "time":
        raise BadQuantity(f"costs, labour {price.text!r} is not by time", cure='labour = "20 /h"')
    return [("labour", times(hours, price.range))]


def _price(text: str, name: str) -> Range | None:
    if not text:
        return None
    price = read_price(text, name=name)
    if price.kind != "mass":
        raise BadQuantity(f"{name} {text[:40]!r} is not by weight", cure=f'{name} "60 /g", or "1900 /oz t"')
    return price.range


def _gold(steps: Iterable[Step]) -> tuple[Range | None, float]:
    """Gold in the buttons, and its share of the gold of the lot."""
    lot, *others = steps
    found = [one.range for step in others for one in step.answers if one.name == "gold_in_button"]
    there = next((one.range for one in lot.answers if one.name == "gold"), None)
    if not found or there is None or not there.low:
        return None, 0.0
    gold = plus(*map(_bare, found))
    return gold, gold.likely / there.likely


def _bare(span: Range) -> Range:
    return Range(span.low, span.likely, span.high)


def cost_step(plan: Plan, gold_price: str | None = None) -> Step:
    """What a run costs and brings, as a step."""
    money = money_of(plan, gold_price)
    figures: Mapping[str, tuple[Range | None, str, str]] = {
        "cost": (money.total, "", "reagents as measured out, waste, filters, power, labour; the lot not counted"),
        "gold": (money.gold_g, "g", "gold in the buttons"),
        "cost_per_gram": (money.cost_per_gram, "/g", "cost over gold"),
        "value": (money.value, "", "gold x price x share paid for"),
        "break_even_grade": (money.break_even_grade, "g/kg", "cost over price, share paid, recovery and weight of the lot"),
        "pay": (money.pay, "", "value less margin less cost: what the lot may cost"),
        "left": (money.left if money.lot else None, "", "value less cost less the lot"),
    }
    answers = [
        Answer(name, span, unit, ACT_ON.get(name, "low, likely and high ends"), because)
        for name, (span, unit, because) in figures.items()
        if span is not None
    ]
    return Step(
        "cost",
        title=f"{money.total.likely:.2f} for the run",
        answers=tuple(answers),
        tables=(budget(money),),
        says=tuple(said(money)),
        assumed=money.assumed,
    )


def budget(money: Money) -> Table:
    """Every line with its share of the whole; the shares add to all of it."""
    whole = money.total.likely
    rows: list[tuple[str | Range, ...]] = [
        (name, cost, f"{100 * cost.likely / whole:.1f} %" if whole else "-") for name, cost in money.lines
    ]
    rows.append(("all together", money.total, "100 %" if whole else "-"))
    return Table("Cost, in the shelf's money", ("what", "cost", "share"), tuple(rows))


def said(money: Money) -> list[tuple[str, str]]:
    """What to make of it."""
    lines = []
    if money.unpriced:
        lines.append(("watch for", f"no price is told for {', '.join(money.unpriced)}: the whole is more than this"))
    if money.price is None:
        lines.append(("next", 'tell gold-price = "60 /g" at the top of the file for what it brings and what a lot may cost'))
    pay = money.pay
    if pay is not None:
        word = f"pay no more than {pay.low:.2f}" if pay.low > 0 else f"at the low end even a gift loses {-pay.low:.2f}"
        lines.append(("what to pay", f"{word}: gold at its least, costs at their most (likely {pay.likely:.2f})"))
    return lines
